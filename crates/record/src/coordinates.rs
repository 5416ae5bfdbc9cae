//! A place as a person types it: degrees, minutes and seconds in the usual ways of writing them.
//!
//! In comes a text such as `52.2001, 0.1203` or `52°12′0.4″N 0°7′13″E`; out come latitude and longitude in decimal
//! degrees together with how finely they were written, so that the converted value can be shown and never gains
//! digits. It corrects nothing: what can be read in two ways, or looks swapped, is refused with words that say so.

mod angle;

use angle::{Angle, Axis, angle, halves};

/// How an angle was written, which says how fine its last digit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum AngleForm {
    /// Decimal degrees.
    Degrees,
    /// Degrees and minutes.
    Minutes,
    /// Degrees, minutes and seconds.
    Seconds,
}

/// A latitude and a longitude as typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coordinates {
    /// Decimal degrees, −90 to 90, north positive; never `-0.0`.
    pub latitude: f64,
    /// Decimal degrees, −180 to 180, east positive; never `-0.0`.
    pub longitude: f64,
    /// How the latitude and the longitude were written.
    pub written: [Written; 2],
}

/// How finely an angle was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// Its last part.
    pub form: AngleForm,
    /// Digits behind the point of that part, 0 to 15.
    pub decimals: u8,
}

/// Why a text is not a place.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CoordinateFault {
    /// A latitude beyond 90 or a longitude beyond 180 degrees.
    #[error("“{0}” lies outside the Earth: latitude goes to 90 degrees and longitude to 180")]
    OutOfRange(String),
    /// The first is beyond 90 degrees, and the second could be a latitude.
    #[error("“{0}”: the two look swapped; latitude comes first. Nothing was changed")]
    Swapped(String),
    /// There is one number where two are needed.
    #[error("“{0}” is only one number; a place needs latitude and longitude")]
    OneNumber(String),
    /// A comma may part two numbers or be a decimal comma.
    #[error("“{0}” can be read as two numbers or as one with a decimal comma; part the two by a semicolon")]
    Comma(String),
    /// The letter O is east in one language and west in another.
    #[error("“{0}”: O is east in German and west in French; write E or W")]
    LetterO(String),
    /// A sign and a letter both say the hemisphere.
    #[error("“{0}” has both a sign and a letter for the same half of the Earth; keep one")]
    SignAndLetter(String),
    /// Minutes or seconds from 60 on.
    #[error("“{0}” has 60 or more minutes or seconds")]
    Sixty(String),
    /// A latitude's letter with a longitude, or the same twice.
    #[error("“{0}” does not have one latitude (N or S) and one longitude (E or W)")]
    Letters(String),
    /// Anything else.
    #[error("“{0}” cannot be read as a place; write it like 52.2001, 0.1203 or 52°12′0.4″N 0°7′13″E")]
    Unreadable(String),
}

/// Reads latitude and longitude from one text.
///
/// Latitude comes first unless letters say otherwise. Decimal commas are taken where no point is written.
///
/// ```
/// let place = record::parse_coordinates("52°12′0.4″N 0°7′13″E").unwrap();
/// assert_eq!(place.decimal_text(), ("52.20011".to_owned(), "0.1203".to_owned()));
/// ```
pub fn parse_coordinates(text: &str) -> Result<Coordinates, CoordinateFault> {
    let [first, second] = halves(text)?;
    pair(text, first, second)
}

/// Reads a latitude and a longitude that stand in two cells.
pub fn parse_coordinate_pair(latitude: &str, longitude: &str) -> Result<Coordinates, CoordinateFault> {
    let both = format!("{}; {}", latitude.trim(), longitude.trim());
    let (first, second) = (angle(latitude)?, angle(longitude)?);
    if first.axis == Some(Axis::Longitude) || second.axis == Some(Axis::Latitude) {
        return Err(CoordinateFault::Letters(both));
    }
    pair(&both, first, second)
}

fn pair(text: &str, first: Angle, second: Angle) -> Result<Coordinates, CoordinateFault> {
    let said = || text.trim().to_owned();
    let (lat, lon) = match (first.axis, second.axis) {
        (Some(Axis::Longitude), Some(Axis::Latitude) | None) | (None, Some(Axis::Latitude)) => {
            (second, first)
        }
        (Some(a), Some(b)) if a == b => return Err(CoordinateFault::Letters(said())),
        _ => (first, second),
    };
    if lat.degrees.abs() > 90.0 {
        let swapped = first.axis.is_none() && second.axis.is_none();
        let swapped = swapped && lat.degrees.abs() <= 180.0 && lon.degrees.abs() <= 90.0;
        let fault = if swapped { CoordinateFault::Swapped } else { CoordinateFault::OutOfRange };
        return Err(fault(said()));
    }
    if lon.degrees.abs() > 180.0 {
        return Err(CoordinateFault::OutOfRange(said()));
    }
    let positive_zero = |v: f64| if v == 0.0 { 0.0 } else { v };
    Ok(Coordinates {
        latitude: positive_zero(lat.degrees),
        longitude: positive_zero(lon.degrees),
        written: [lat.written, lon.written],
    })
}

impl Coordinates {
    /// What one unit of the last digit typed is, in degrees; of latitude and longitude the coarser.
    pub fn step_deg(&self) -> f64 {
        self.written[0].step_deg().max(self.written[1].step_deg())
    }

    /// The least uncertainty that the way of writing leaves, in metres: [`precision_uncertainty_m`] of the last digit
    /// typed. A lower bound only, since digits say nothing of how well a place was measured; it never stands in for
    /// an uncertainty that somebody stated.
    pub fn least_uncertainty_m(&self) -> f64 {
        precision_uncertainty_m(self.step_deg(), self.latitude)
    }

    /// Latitude and longitude as text for data: decimal degrees with as many digits as were typed, or, from minutes
    /// and seconds, the fewest whose step is no coarser than what was typed.
    pub fn decimal_text(&self) -> (String, String) {
        let [lat, lon] = self.written.map(Written::decimals_of_degrees);
        (degrees_text(self.latitude, lat), degrees_text(self.longitude, lon))
    }
}

impl Written {
    /// What one unit of the last digit is, in degrees.
    fn step_deg(self) -> f64 {
        let unit = match self.form {
            AngleForm::Degrees => 1.0,
            AngleForm::Minutes => 60.0,
            AngleForm::Seconds => 3600.0,
        };
        0.1_f64.powi(i32::from(self.decimals)) / unit
    }

    fn decimals_of_degrees(self) -> u8 {
        match self.form {
            AngleForm::Degrees => self.decimals,
            AngleForm::Minutes | AngleForm::Seconds => (-self.step_deg().log10()).ceil() as u8,
        }
    }
}

/// Decimal degrees as text for data: a point, no sign for zero, and this many digits (ten at most, which is 0.01 mm).
pub fn degrees_text(degrees: f64, decimals: u8) -> String {
    let text = format!("{degrees:.*}", usize::from(decimals.min(10)));
    let zero = text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
    if zero { text.trim_start_matches('-').to_owned() } else { text }
}

/// Uncertainty in metres of a place written to a precision of `step_deg` degrees, at a latitude in degrees.
///
/// The published method of Wieczorek, Guo and Hijmans (2004), The point-radius method for georeferencing locality
/// descriptions, IJGIS 18:745–767: the diagonal of one step in latitude and one in longitude on the ellipsoid, here
/// WGS 84 (a = 6 378 137 m, 1/f = 298.257223563).
pub fn precision_uncertainty_m(step_deg: f64, latitude: f64) -> f64 {
    let (in_latitude, in_longitude) = step_m(step_deg, latitude);
    in_latitude.hypot(in_longitude)
}

/// One step of `step_deg` degrees at a latitude, in metres northward and eastward.
fn step_m(step_deg: f64, latitude: f64) -> (f64, f64) {
    const SEMI_MAJOR_M: f64 = 6_378_137.0;
    const FLATTENING: f64 = 1.0 / 298.257_223_563;
    let eccentricity2 = FLATTENING * (2.0 - FLATTENING);
    let (sin, cos) = latitude.to_radians().sin_cos();
    let narrowing = 1.0 - eccentricity2 * sin * sin;
    let meridian = SEMI_MAJOR_M * (1.0 - eccentricity2) / narrowing.powf(1.5);
    let parallel = SEMI_MAJOR_M / narrowing.sqrt() * cos;
    let step = step_deg.to_radians();
    (meridian * step, parallel * step)
}

#[cfg(test)]
mod tests;

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
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn both(form: AngleForm, decimals: u8) -> [Written; 2] {
        [Written { form, decimals }; 2]
    }

    fn check(text: &str, expected: (f64, f64)) -> Coordinates {
        let read = parse_coordinates(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        assert!(
            near(read.latitude, expected.0) && near(read.longitude, expected.1),
            "{text}: {read:?} instead of {expected:?}"
        );
        read
    }

    #[test]
    fn decimal_degrees_are_read_as_people_write_them() {
        for text in [
            "52.2001, 0.1203",
            "52.2001 0.1203",
            " 52.2001,0.1203 ",
            "52.2001; 0.1203",
            "52.2001 / 0.1203",
            "52,2001; 0,1203",
            "52,2001;0,1203",
            "52,2001 0,1203",
            "52,2001, 0,1203",
            "N 52.2001 E 0.1203",
            "N52.2001 E0.1203",
            "52.2001N 0.1203E",
            "52.2001° N, 0.1203° E",
            "52.2001°, 0.1203°",
            "E 0.1203, N 52.2001",
            "0.1203 e 52.2001 n",
            "+52.2001 +0.1203",
            "52.2001\u{a0}N 0.1203\u{a0}E",
        ] {
            let read = check(text, (52.2001, 0.1203));
            assert_eq!(read.written, both(AngleForm::Degrees, 4), "{text}");
        }
        for text in [
            "-33.5 -70.25",
            "−33.5, −70.25",
            "–33,5; –70,25",
            "33.5 S 70.25 W",
            "S33.5 W70.25",
            "- 33.5, -70.25",
        ] {
            check(text, (-33.5, -70.25));
        }
        check("52, 12", (52.0, 12.0));
        check("52 12", (52.0, 12.0));
        check("90, -180", (90.0, -180.0));
    }

    #[test]
    fn minutes_and_seconds_are_read() {
        let exact = (52.0 + 12.0 / 60.0 + 0.4 / 3600.0, -(7.0 / 60.0 + 13.1 / 3600.0));
        for text in [
            "52°12′0.4″N 0°7′13.1″W",
            "52° 12' 0.4\" N, 0° 7' 13.1\" W",
            "52º12’0.4” N 0º07’13.1” W",
            "N 52°12'0,4\" W 0°7'13,1\"",
            "52°12'0.4''N 0°7'13.1''W",
            "52°12′0.4″ -0°7′13.1″",
            "52 12 0.4 -0 7 13.1",
            "52 12 0.4 N 0 7 13.1 W",
        ] {
            let read = check(text, exact);
            assert_eq!(read.written, both(AngleForm::Seconds, 1), "{text}");
        }
        for text in ["52°12.5′N, 0°7.2′E", "52 12.5 0 7.2", "52°12,5'N 0°7,2'E", "N52 12.5 E0 7.2"] {
            let read = check(text, (52.0 + 12.5 / 60.0, 7.2 / 60.0));
            assert_eq!(read.written, both(AngleForm::Minutes, 1), "{text}");
        }
    }

    #[test]
    fn what_cannot_be_read_is_said_plainly() {
        type Fault = fn(String) -> CoordinateFault;
        let cases: [(&str, Fault); 24] = [
            ("", CoordinateFault::Unreadable),
            ("the old quarry", CoordinateFault::Unreadable),
            ("52.2001", CoordinateFault::OneNumber),
            ("52.2 S", CoordinateFault::OneNumber),
            ("52°12′0.4″N", CoordinateFault::OneNumber),
            ("52,12", CoordinateFault::Comma),
            ("52,2,0,12", CoordinateFault::Unreadable),
            ("0.12 N 52.2 N", CoordinateFault::Letters),
            ("52.2 S 0.12", CoordinateFault::Letters),
            ("52,0 12", CoordinateFault::Comma),
            ("120.5, 45.5", CoordinateFault::Swapped),
            ("-151.2 -33.8", CoordinateFault::Swapped),
            ("91 181", CoordinateFault::OutOfRange),
            ("120.5 N, 45.5 E", CoordinateFault::OutOfRange),
            ("45.5, 180.01", CoordinateFault::OutOfRange),
            ("52°60′N 0°7′E", CoordinateFault::Sixty),
            ("52°12′60″N 0°7′1″E", CoordinateFault::Sixty),
            ("-52.2 N 0.12 E", CoordinateFault::SignAndLetter),
            ("52.2 N 0.12 O", CoordinateFault::LetterO),
            ("52.2.1 0.12", CoordinateFault::Unreadable),
            ("52.5°12′N 0°7′E", CoordinateFault::Unreadable),
            ("52 12 0 7 1", CoordinateFault::Unreadable),
            ("52°12″N 0°7″E", CoordinateFault::Unreadable),
            ("1e1 2", CoordinateFault::Letters),
        ];
        for (text, fault) in cases {
            assert_eq!(parse_coordinates(text), Err(fault(text.trim().to_owned())), "{text}");
        }
        assert!(CoordinateFault::Swapped("1".into()).to_string().contains("the two look swapped"));
    }

    #[test]
    fn two_cells_are_read_as_one_place() {
        let read = parse_coordinate_pair("52,2001", " 0,12 ").unwrap();
        assert_eq!((read.latitude, read.longitude, read.step_deg()), (52.2001, 0.12, 0.1 * 0.1));
        assert!(matches!(parse_coordinate_pair("0.12 E", "52.2 N"), Err(CoordinateFault::Letters(_))));
        assert!(matches!(parse_coordinate_pair("151.2", "-33.8"), Err(CoordinateFault::Swapped(_))));
        assert!(matches!(parse_coordinate_pair("52.2", ""), Err(CoordinateFault::Unreadable(_))));
    }

    #[test]
    fn text_for_data_has_no_more_digits_than_were_typed() {
        for (typed, lat, lon) in [
            ("52,20; 0,1203", "52.20", "0.1203"),
            ("52.2001 -0.0", "52.2001", "0.0"),
            ("-0, -0.0000", "0", "0.0000"),
            ("52°12′N 0°7′W", "52.20", "-0.12"),
            ("52°12′0″N 0°7′13″E", "52.2000", "0.1203"),
            ("52°12.345′N 0°7.200′E", "52.20575", "0.12000"),
            ("33.86785 S, 151.20732 E", "-33.86785", "151.20732"),
        ] {
            let text = parse_coordinates(typed).unwrap().decimal_text();
            assert_eq!((text.0.as_str(), text.1.as_str()), (lat, lon), "{typed}");
        }
        let zero = parse_coordinates("-0.0, -0.0").unwrap();
        assert!(zero.latitude.is_sign_positive() && zero.longitude.is_sign_positive());
        assert_eq!(degrees_text(-0.04, 1), "0.0");
    }

    /// Table of uncertainty by precision in Chapman and Wieczorek (2020), Georeferencing Best Practices,
    /// <https://doi.org/10.15468/doc-gg7h-s853>, after Wieczorek (2001): metres at 0, 30, 60 and 85 degrees.
    #[test]
    fn precision_gives_the_published_uncertainty() {
        for (step_deg, published) in [
            (1.0, [156_904.0, 146_962.0, 124_605.0, 112_109.0]),
            (0.1, [15_691.0, 14_697.0, 12_461.0, 11_211.0]),
            (0.01, [1_570.0, 1_470.0, 1_246.0, 1_121.0]),
            (0.001, [157.0, 147.0, 125.0, 112.0]),
            (0.000_1, [16.0, 15.0, 13.0, 12.0]),
            (0.000_01, [2.0, 2.0, 2.0, 2.0]),
            (1.0 / 60.0, [2_615.0, 2_450.0, 2_077.0, 1_869.0]),
            (1.0 / 3600.0, [44.0, 41.0, 35.0, 32.0]),
        ] {
            for (latitude, metres) in [0.0, 30.0, 60.0, 85.0].into_iter().zip(published) {
                let got = precision_uncertainty_m(step_deg, latitude);
                assert!((got - metres).abs() <= 1.0, "{step_deg}° at {latitude}: {got} instead of {metres}");
            }
        }
        // The worked examples of the same guide, in kilometres.
        let (north, east) = step_m(0.01, 10.27);
        assert!((north - 1106.1).abs() < 0.1 && (east - 1095.5).abs() < 0.1, "{north} {east}");
        assert!((precision_uncertainty_m(0.01, 10.27) - 1556.8).abs() < 0.1);
        assert!((precision_uncertainty_m(0.5, 10.0) - 77_870.0).abs() < 10.0);
        let typed = parse_coordinates("10.27 0.00").unwrap();
        assert!((typed.least_uncertainty_m() - 1556.8).abs() < 0.1);
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in "[-−0-9.,;°º'’′\"″ NSEWO/+a-z]{0,40}") {
            if let Ok(read) = parse_coordinates(&text) {
                prop_assert!(read.latitude.abs() <= 90.0 && read.longitude.abs() <= 180.0);
            }
        }

        #[test]
        fn what_is_written_is_read_back(lat in -900_000_i32..=900_000, lon in -1_800_000_i32..=1_800_000) {
            let (lat, lon) = (f64::from(lat) / 1e4, f64::from(lon) / 1e4);
            let (lat, lon) = (degrees_text(lat, 4), degrees_text(lon, 4));
            let read = parse_coordinates(&format!("{lat}, {lon}")).unwrap();
            prop_assert_eq!(read.decimal_text(), (lat, lon));
        }
    }
}

//! What the camera data mean: body, orientation, exposure, place.
//!
//! In goes a walk over directories, out come values in the units of [`record`]. What cannot be is left out and said
//! among the faults. Capture times are read in `times`.

use record::{Body, Position, Shot};

use crate::pages::Pages;
use crate::tiff::{Directory, Walk};

/// Tags of CIPA DC-008, and the serial number of DNG 1.4.
const MAKE: u16 = 0x010F;
const MODEL: u16 = 0x0110;
const ORIENTATION: u16 = 0x0112;
const EXPOSURE_TIME: u16 = 0x829A;
const F_NUMBER: u16 = 0x829D;
const SENSITIVITY: u16 = 0x8827;
const FOCUS_DISTANCE: u16 = 0x9206;
const FOCAL_LENGTH: u16 = 0x920A;
const BODY_SERIAL: u16 = 0xA431;
const LENS_MODEL: u16 = 0xA434;
const LENS_SERIAL: u16 = 0xA435;
const DNG_SERIAL: u16 = 0xC62F;

/// The camera; empty texts for what is not recorded.
pub(crate) fn body(pages: &mut Pages<'_>, camera: &Walk) -> Body {
    // Other programs than cameras leave serials elsewhere; that of the camera stands in the Exif directory.
    let own = camera.exif.as_ref().and_then(|exif| exif.text(pages, BODY_SERIAL)).unwrap_or_default();
    let mut text = |tag| camera.text(pages, tag).unwrap_or_default();
    let serial = if own.is_empty() { text(DNG_SERIAL) } else { own };
    Body { make: text(MAKE), model: text(MODEL), serial }
}

/// Orientation 1..=8; `None` when it is not recorded or means nothing.
pub(crate) fn orientation(pages: &mut Pages<'_>, camera: &Walk, faults: &mut Vec<String>) -> Option<u8> {
    match camera.number(pages, ORIENTATION)? {
        0 => None,
        turned @ 1..=8 => Some(turned as u8),
        other => {
            faults.push(format!("the camera data says orientation {other}, which means nothing"));
            None
        }
    }
}

/// How and where the frame was taken.
pub(crate) fn shot(pages: &mut Pages<'_>, camera: &Walk, faults: &mut Vec<String>) -> Shot {
    let mut above_zero = |tag| camera.fraction(pages, tag).filter(|v| v.is_finite() && *v > 0.0);
    Shot {
        exposure_secs: above_zero(EXPOSURE_TIME),
        f_number: above_zero(F_NUMBER),
        focal_length_mm: above_zero(FOCAL_LENGTH),
        // The standard writes infinity as all bits of the numerator; unknown is 0.
        focus_distance_m: above_zero(FOCUS_DISTANCE).filter(|metres| *metres < f64::from(u32::MAX)),
        lens: lens(pages, camera),
        iso: camera.number(pages, SENSITIVITY).filter(|iso| *iso > 0),
        position: camera.gps.as_ref().and_then(|gps| position(pages, gps, faults)),
    }
}

/// The lens by model and serial number: two of one model need not focus alike.
fn lens(pages: &mut Pages<'_>, camera: &Walk) -> String {
    let text = |tag| camera.text(pages, tag).filter(|text| !text.is_empty());
    [LENS_MODEL, LENS_SERIAL].into_iter().filter_map(text).collect::<Vec<_>>().join(" ")
}

/// The place by satellite (CIPA DC-008, GPS attributes).
fn position(pages: &mut Pages<'_>, gps: &Directory, faults: &mut Vec<String>) -> Option<Position> {
    let latitude_deg = degrees(pages, gps, [1, 2], ["N", "S"])?;
    let longitude_deg = degrees(pages, gps, [3, 4], ["E", "W"])?;
    if latitude_deg.abs() > 90.0 || longitude_deg.abs() > 180.0 {
        faults.push("the place in the camera data lies outside the Earth".to_owned());
        return None;
    }
    let below = gps.number(pages, 5) == Some(1);
    let height = gps.fractions(pages, 6, 1).first().copied().flatten();
    let altitude_m = height.map(|h| if below { -h } else { h });
    Some(Position { latitude_deg, longitude_deg, altitude_m })
}

/// Degrees from degrees, minutes and seconds, negative in the second hemisphere. Seconds may be absent, where minutes
/// have decimals instead.
fn degrees(pages: &mut Pages<'_>, gps: &Directory, tags: [u16; 2], hemispheres: [&str; 2]) -> Option<f64> {
    let hemisphere = gps.text(pages, tags[0])?.to_uppercase();
    let sign = match hemispheres.iter().position(|h| hemisphere.starts_with(h))? {
        0 => 1.0,
        _ => -1.0,
    };
    let parts = gps.fractions(pages, tags[1], 3);
    let part = |i: usize| parts.get(i).copied().flatten();
    Some(sign * (part(0)? + part(1)? / 60.0 + part(2).unwrap_or(0.0) / 3600.0))
}

//! Writes the Exif segment of a JPEG, by hand, with its thumbnail.
//!
//! Tags and types after CIPA DC-008 (Exif 2.32). In: script, shot, picture size and a thumbnail already encoded. Out: bytes that go
//! right behind the start marker.

use crate::script::{Script, Shot};
use crate::tiff::{Directory, HEADER, Value, size_bytes, written};

/// Tags, each with the directory it belongs to.
pub(crate) mod tag {
    pub(crate) const MAKE: u16 = 0x010F;
    pub(crate) const MODEL: u16 = 0x0110;
    pub(crate) const ORIENTATION: u16 = 0x0112;
    pub(crate) const X_RESOLUTION: u16 = 0x011A;
    pub(crate) const Y_RESOLUTION: u16 = 0x011B;
    pub(crate) const RESOLUTION_UNIT: u16 = 0x0128;
    pub(crate) const SOFTWARE: u16 = 0x0131;
    pub(crate) const DATE_TIME: u16 = 0x0132;
    pub(crate) const EXIF_DIRECTORY: u16 = 0x8769;
    pub(crate) const COMPRESSION: u16 = 0x0103;
}

/// What stands in the Software tag of every file made here.
const SOFTWARE: &str = "invented demo picture";

/// What a camera writes about itself and the time into the first directory.
pub(crate) fn main_directory(script: &Script, shot: &Shot) -> Directory {
    vec![
        (tag::MAKE, Value::Text(script.body.make.to_owned())),
        (tag::MODEL, Value::Text(script.body.model.to_owned())),
        (tag::ORIENTATION, Value::Shorts(vec![if shot.portrait { 6 } else { 1 }])),
        (tag::X_RESOLUTION, Value::Rationals(vec![[72, 1]])),
        (tag::Y_RESOLUTION, Value::Rationals(vec![[72, 1]])),
        (tag::RESOLUTION_UNIT, Value::Shorts(vec![2])),
        (tag::SOFTWARE, Value::Text(SOFTWARE.to_owned())),
        (tag::DATE_TIME, Value::Text(exif_time(script, shot))),
    ]
}

/// The Exif directory: when and how the exposure was made.
pub(crate) fn exif_directory(script: &Script, shot: &Shot, size_px: [u32; 2]) -> Directory {
    let time = Value::Text(exif_time(script, shot));
    let [_, _, _, hundredths] = shot.clock();
    vec![
        (0x829A, Value::Rationals(vec![[1, 125]])),
        (0x829D, Value::Rationals(vec![[8, 1]])),
        (0x8827, Value::Shorts(vec![script.body.iso])),
        (0x9000, Value::Undefined(b"0232".to_vec())),
        (0x9003, time.clone()),
        (0x9004, time),
        (0x9010, Value::Text(script.offset.to_owned())),
        (0x9011, Value::Text(script.offset.to_owned())),
        (0x9012, Value::Text(script.offset.to_owned())),
        // Components configuration: Y, Cb, Cr, none.
        (0x9101, Value::Undefined(vec![1, 2, 3, 0])),
        (0x920A, Value::Rationals(vec![[script.body.focal_mm, 1]])),
        (0x9291, Value::Text(hundredths.clone())),
        (0x9292, Value::Text(hundredths)),
        (0xA000, Value::Undefined(b"0100".to_vec())),
        // sRGB.
        (0xA001, Value::Shorts(vec![1])),
        (0xA002, Value::Longs(vec![size_px[0]])),
        (0xA003, Value::Longs(vec![size_px[1]])),
        (0xA431, Value::Text(script.body.serial.to_owned())),
    ]
}

/// `YYYY:MM:DD HH:MM:SS`
fn exif_time(script: &Script, shot: &Shot) -> String {
    let [hour, minute, second, _] = shot.clock();
    format!("{} {hour}:{minute}:{second}", script.date.replace('-', ":"))
}

/// The whole APP1 segment, marker and length included.
pub(crate) fn segment(script: &Script, shot: &Shot, size_px: [u32; 2], thumbnail: &[u8]) -> Vec<u8> {
    let mut main = main_directory(script, shot);
    // Chroma sits in the middle of its pixels.
    main.push((0x0213, Value::Shorts(vec![1])));
    let exif = exif_directory(script, shot, size_px);
    let small = |place: u32| -> Directory {
        vec![
            (tag::COMPRESSION, Value::Shorts(vec![6])),
            (tag::X_RESOLUTION, Value::Rationals(vec![[72, 1]])),
            (tag::Y_RESOLUTION, Value::Rationals(vec![[72, 1]])),
            (tag::RESOLUTION_UNIT, Value::Shorts(vec![2])),
            (0x0201, Value::Longs(vec![place])),
            (0x0202, Value::Longs(vec![thumbnail.len() as u32])),
        ]
    };
    // A pointer to the Exif directory is one more entry of 12 bytes.
    let exif_place = HEADER.len() as u32 + size_bytes(&main) + 12;
    let small_place = exif_place + size_bytes(&exif);
    let thumbnail_place = small_place + size_bytes(&small(0));
    main.push((tag::EXIF_DIRECTORY, Value::Longs(vec![exif_place])));

    let mut payload = b"Exif\0\0".to_vec();
    payload.extend(HEADER);
    payload.extend(written(&main, HEADER.len() as u32, small_place));
    payload.extend(written(&exif, exif_place, 0));
    payload.extend(written(&small(thumbnail_place), small_place, 0));
    payload.extend(thumbnail);
    let length = payload.len() as u16 + 2;
    [&[0xFF, 0xE1], &length.to_be_bytes()[..], &payload].concat()
}

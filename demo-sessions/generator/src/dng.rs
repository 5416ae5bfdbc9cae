//! Writes a minimal raw file (DNG 1.4): a small colour preview in front, a tiny mosaic behind.
//!
//! Tags after Adobe's *Digital Negative Specification* 1.4, chapters 3 and 4. The mosaic is the picture drawn small and
//! seen through a red-green/green-blue filter. Good enough to be read and shown, useless for printing.

use crate::exif::{exif_directory, main_directory, tag};
use crate::picture::Picture;
use crate::script::{Script, Shot};
use crate::tiff::{Directory, HEADER, Value, size_bytes, written};

/// Size of the preview and of the mosaic; even, because the filter repeats every two pixels.
const PREVIEW_PX: [usize; 2] = [96, 64];
const MOSAIC_PX: [usize; 2] = [120, 80];
/// Top of the mosaic's scale.
const WHITE_LEVEL: u16 = 16_383;

/// The bytes of the raw file that belongs to a picture of the shot.
pub(crate) fn file(script: &Script, shot: &Shot, picture: &Picture) -> Vec<u8> {
    let preview = picture.reduced(PREVIEW_PX[0], PREVIEW_PX[1]).rgb;
    let mosaic = mosaic(&picture.reduced(MOSAIC_PX[0], MOSAIC_PX[1]));
    let mut main = main_directory(script, shot);
    main.extend(strip(PREVIEW_PX, 1, 2, 0, preview.len()));
    main.extend([
        (0x0102, Value::Shorts(vec![8, 8, 8])),
        (0xC612, Value::Bytes(vec![1, 4, 0, 0])),
        (0xC613, Value::Bytes(vec![1, 1, 0, 0])),
        (0xC614, Value::Text(format!("{} {}", script.body.make, script.body.model))),
        // The invented sensor sees sRGB primaries: this is XYZ (D65) to linear sRGB, IEC 61966-2-1.
        (0xC621, Value::SignedRationals(XYZ_TO_SENSOR.map(|x| [x, 10_000]).to_vec())),
        (0xC628, Value::Rationals(vec![[1, 1]; 3])),
        (0xC62F, Value::Text(script.body.serial.to_owned())),
        // Calibration light 21: daylight D65.
        (0xC65A, Value::Shorts(vec![21])),
    ]);
    let mut raw = strip(MOSAIC_PX, 0, 32_803, 0, mosaic.len());
    raw.extend([
        (0x0102, Value::Shorts(vec![16])),
        (0x828D, Value::Shorts(vec![2, 2])),
        (0x828E, Value::Bytes(vec![0, 1, 1, 2])),
        (0xC61D, Value::Longs(vec![u32::from(WHITE_LEVEL)])),
    ]);
    let exif = exif_directory(script, shot, MOSAIC_PX.map(|px| px as u32));

    // Two pointers are still to be added to the first directory, 12 bytes each.
    let raw_place = HEADER.len() as u32 + size_bytes(&main) + 24;
    let exif_place = raw_place + size_bytes(&raw);
    let preview_place = exif_place + size_bytes(&exif);
    let mosaic_place = preview_place + preview.len() as u32;
    main.extend([
        (0x014A, Value::Longs(vec![raw_place])),
        (tag::EXIF_DIRECTORY, Value::Longs(vec![exif_place])),
    ]);
    point_strip(&mut main, preview_place);
    point_strip(&mut raw, mosaic_place);
    [
        HEADER.to_vec(),
        written(&main, HEADER.len() as u32, 0),
        written(&raw, raw_place, 0),
        written(&exif, exif_place, 0),
        preview,
        mosaic,
    ]
    .concat()
}

/// Ten thousandths, row by row.
const XYZ_TO_SENSOR: [i32; 9] = [32_406, -15_372, -4_986, -9_689, 18_758, 415, 557, -2_040, 10_570];

const STRIP_OFFSETS: u16 = 0x0111;

/// The entries that describe one uncompressed strip; `kind` 0 is the full picture, 1 a smaller one.
fn strip(size_px: [usize; 2], kind: u32, photometric: u16, place: u32, length: usize) -> Directory {
    vec![
        (0x00FE, Value::Longs(vec![kind])),
        (0x0100, Value::Longs(vec![size_px[0] as u32])),
        (0x0101, Value::Longs(vec![size_px[1] as u32])),
        (tag::COMPRESSION, Value::Shorts(vec![1])),
        (0x0106, Value::Shorts(vec![photometric])),
        (STRIP_OFFSETS, Value::Longs(vec![place])),
        (0x0115, Value::Shorts(vec![if photometric == 2 { 3 } else { 1 }])),
        (0x0116, Value::Longs(vec![size_px[1] as u32])),
        (0x0117, Value::Longs(vec![length as u32])),
        (0x011C, Value::Shorts(vec![1])),
    ]
}

fn point_strip(directory: &mut Directory, place: u32) {
    for (_, value) in directory.iter_mut().filter(|(tag, _)| *tag == STRIP_OFFSETS) {
        *value = Value::Longs(vec![place]);
    }
}

/// One colour of each pixel, made linear by squaring, which is near enough to the curve of sRGB here.
fn mosaic(picture: &Picture) -> Vec<u8> {
    let mut bytes = Vec::new();
    for (index, rgb) in picture.rgb.chunks_exact(3).enumerate() {
        let (row, column) = (index / picture.width_px, index % picture.width_px);
        let coded = f32::from(rgb[row % 2 + column % 2]) / 255.0;
        bytes.extend(((coded * coded * f32::from(WHITE_LEVEL)) as u16).to_le_bytes());
    }
    bytes
}

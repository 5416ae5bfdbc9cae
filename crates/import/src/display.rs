//! Pictures for a screen, upright.
//!
//! A small one comes from the embedded thumbnail where that will do, since decoding the large picture takes some
//! hundreds of times as long.

use std::path::Path;

use image::RgbImage;
use imaging::Luma;
use record::{FileRole, Frame};

use crate::fault::io_words;
use crate::kind::Content;
use crate::metadata::{self, Reading};
use crate::{decode, preview};

/// An upright colour picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row-major, 3 bytes a pixel: red, green, blue.
    pub rgb: Vec<u8>,
}

/// Up to this size an embedded thumbnail is answer enough: Exif thumbnails have it.
const QUICK_PX: u32 = 160;

/// A small upright picture of a frame, its long side at most `long_side_px` (at least 1 px).
///
/// # Errors
/// Says in a sentence why the frame cannot be shown, its path last.
pub fn thumbnail(root: &Path, frame: &Frame, long_side_px: u32) -> Result<Picture, String> {
    let long_side_px = long_side_px.max(1);
    first_that_works(root, frame, |path, reading| {
        let quick = embedded(path, reading).filter(|e| {
            long_side_px <= QUICK_PX
                || e.width().max(e.height()) >= long_side_px
                || reading.cut
                || reading.raw
        });
        let picture = match quick {
            Some(quick) => quick,
            None => large(path, reading)?,
        };
        Ok(reduced(picture, long_side_px))
    })
}

/// The full upright picture of a frame; of a raw alone, its embedded preview.
///
/// # Errors
/// Says in a sentence why the frame cannot be shown, its path last.
pub fn picture(root: &Path, frame: &Frame) -> Result<Picture, String> {
    first_that_works(root, frame, large)
}

/// Tries the pictures and raws of a frame in order.
fn first_that_works(
    root: &Path,
    frame: &Frame,
    get: impl Fn(&Path, &Reading) -> Result<RgbImage, String>,
) -> Result<Picture, String> {
    let mut why_not = None;
    for file in frame.files.iter().filter(|f| matches!(f.role, FileRole::Picture | FileRole::Raw)) {
        let path = root.join(&file.path);
        let reading = metadata::read(&path);
        if reading.unreadable {
            why_not = why_not.or_else(|| reading.faults.first().cloned());
            continue;
        }
        match get(&path, &reading) {
            Ok(picture) => return Ok(upright(&picture, frame.orientation)),
            Err(reason) => why_not = why_not.or(Some(reason)),
        }
    }
    let why_not = why_not.unwrap_or_else(|| "it has no picture".to_owned());
    Err(format!(
        "This frame cannot be shown: {why_not}. It is kept with its day all the same: {}",
        frame.path()
    ))
}

fn large(path: &Path, reading: &Reading) -> Result<RgbImage, String> {
    if reading.raw {
        let preview =
            reading.embedded_bytes(path).ok_or("this raw file holds no preview that can be read")?;
        return decode::rgb(&preview, Content::Jpeg);
    }
    let bytes = std::fs::read(path).map_err(|e| format!("the file could not be read: {}", io_words(&e)))?;
    decode::rgb(&bytes, reading.content)
}

/// The embedded picture without its bars, when it shows what the file's picture shows.
fn embedded(path: &Path, reading: &Reading) -> Option<RgbImage> {
    let mut picture = decode::rgb(&reading.embedded_bytes(path)?, Content::Jpeg).ok()?;
    let luma = Luma::from_rgb(picture.width() as usize, picture.height() as usize, picture.as_raw())?;
    let part = preview::trusted_part(&luma, reading)?;
    let [x, y, width, height] = [part.x, part.y, part.width, part.height].map(|n| n as u32);
    Some(image::imageops::crop(&mut picture, x, y, width, height).to_image())
}

fn reduced(picture: RgbImage, long_side_px: u32) -> RgbImage {
    let (width, height) = picture.dimensions();
    let long = width.max(height);
    if long <= long_side_px {
        return picture;
    }
    let (long, wanted) = (u64::from(long), u64::from(long_side_px));
    let side = |n: u32| ((u64::from(n) * wanted + long / 2) / long).max(1) as u32;
    image::imageops::thumbnail(&picture, side(width), side(height))
}

/// Turns a stored picture upright by its Exif orientation; a value outside 1..=8 counts as 1.
fn upright(stored: &RgbImage, orientation: u8) -> Picture {
    let (w, h) = stored.dimensions();
    let (width, height) = if (5..=8).contains(&orientation) { (h, w) } else { (w, h) };
    let mut rgb = Vec::with_capacity(stored.as_raw().len());
    for y in 0..height {
        for x in 0..width {
            // Exif 2.32, Orientation: where row 0 and column 0 of what is stored lie in the scene.
            let (from_x, from_y) = match orientation {
                2 => (w - 1 - x, y),
                3 => (w - 1 - x, h - 1 - y),
                4 => (x, h - 1 - y),
                5 => (y, x),
                6 => (y, h - 1 - x),
                7 => (w - 1 - y, h - 1 - x),
                8 => (w - 1 - y, x),
                _ => (x, y),
            };
            rgb.extend(stored.get_pixel(from_x, from_y).0);
        }
    }
    Picture { width: width as usize, height: height as usize, rgb }
}

#[cfg(test)]
mod tests {
    use record::TimeSource;

    use super::*;
    use crate::sample::{Sample, frame};

    #[test]
    fn each_orientation_is_shown_upright() {
        // Stored 2 × 3 as AB/CD/EF; shown by the table of Exif 2.32 (Orientation).
        let stored = RgbImage::from_raw(2, 3, b"ABCDEF".iter().flat_map(|b| [*b; 3]).collect()).unwrap();
        for (orientation, shown) in [
            (1, "AB/CD/EF"),
            (2, "BA/DC/FE"),
            (3, "FE/DC/BA"),
            (4, "EF/CD/AB"),
            (5, "ACE/BDF"),
            (6, "ECA/FDB"),
            (7, "FDB/ECA"),
            (8, "BDF/ACE"),
            (0, "AB/CD/EF"),
        ] {
            let picture = upright(&stored, orientation);
            let letters: Vec<u8> = picture.rgb.iter().step_by(3).copied().collect();
            let rows: Vec<_> = letters.chunks(picture.width).map(|r| String::from_utf8_lossy(r)).collect();
            assert_eq!(rows.join("/"), shown, "orientation {orientation}");
        }
    }

    #[test]
    fn sizes_and_turns() {
        let card = tempfile::tempdir().unwrap();
        let sample = Sample { thumbnail: true, subject: true, width: 480, height: 320, ..Sample::default() };
        std::fs::write(card.path().join("a.jpg"), sample.jpeg()).unwrap();
        let mut frame = frame(0, "a.jpg", None, TimeSource::Absent);
        let size = |p: Picture| (p.width, p.height, p.rgb.len());
        assert_eq!(size(picture(card.path(), &frame).unwrap()), (480, 320, 480 * 320 * 3));
        assert_eq!(
            size(thumbnail(card.path(), &frame, 300).unwrap()),
            (300, 200, 180_000),
            "decoded and reduced"
        );
        assert_eq!(size(thumbnail(card.path(), &frame, 160).unwrap()).0, 160, "embedded");
        frame.orientation = 6;
        assert_eq!(size(thumbnail(card.path(), &frame, 30).unwrap()), (20, 30, 1800));
    }

    #[test]
    fn what_cannot_be_shown_says_so() {
        let card = tempfile::tempdir().unwrap();
        std::fs::write(card.path().join("a.jpg"), b"words").unwrap();
        let frame_a = frame(0, "a.jpg", None, TimeSource::Absent);
        let words = thumbnail(card.path(), &frame_a, 160).unwrap_err();
        assert!(words.starts_with("This frame cannot be shown: ") && words.ends_with(": a.jpg"), "{words}");
        let words = picture(card.path(), &frame(0, "gone.jpg", None, TimeSource::Absent)).unwrap_err();
        assert!(words.contains("not there any more"), "{words}");
    }

    #[test]
    fn a_cut_picture_is_shown_by_its_thumbnail() {
        let card = tempfile::tempdir().unwrap();
        let bytes = Sample { thumbnail: true, width: 480, height: 320, ..Sample::default() }.jpeg();
        std::fs::write(card.path().join("a.jpg"), &bytes[..bytes.len() - 400]).unwrap();
        let shown = thumbnail(card.path(), &frame(0, "a.jpg", None, TimeSource::Absent), 400).unwrap();
        assert_eq!(shown.width, 160);
    }
}

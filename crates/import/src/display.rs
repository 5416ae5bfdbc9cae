//! Pictures for a screen, upright.
//!
//! A small one comes from the embedded thumbnail where that will do, since decoding the large picture takes some
//! hundreds of times as long.

use std::path::Path;

use image::RgbImage;
use imaging::Luma;
use record::{FileRole, Frame};

use crate::kind::Content;
use crate::metadata::{self, Reading};
use crate::pages::Pages;
use crate::source::Meter;
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

/// From this long side on: makers write 120 to 160 px.
const NEARLY_QUICK_PX: usize = 100;

/// A small upright picture of a frame, its long side at most `long_side_px` (at least 1 px).
///
/// # Errors
/// Says in a sentence why the frame cannot be shown, its path last.
pub fn thumbnail(root: &Path, frame: &Frame, long_side_px: u32) -> Result<Picture, String> {
    let long_side_px = long_side_px.max(1);
    first_that_works(root, frame, |pages, reading, orientation| {
        // Where there is nothing larger to be had, the largest will do.
        let last_resort = reading.cut || reading.raw;
        let picture = match embedded(pages, reading, long_side_px, last_resort) {
            Some(quick) => quick,
            None => large(pages, reading)?,
        };
        Ok(upright(&reduced(picture, long_side_px), orientation))
    })
}

/// The full upright picture of a frame; of a raw alone, its largest embedded preview.
///
/// # Errors
/// Says in a sentence why the frame cannot be shown, its path last.
pub fn picture(root: &Path, frame: &Frame) -> Result<Picture, String> {
    first_that_works(root, frame, |pages, reading, orientation| {
        large(pages, reading).map(|stored| upright(&stored, orientation))
    })
}

/// Tries the pictures and raws of a frame in order; `get` is also told how what is stored is to be turned.
pub(crate) fn first_that_works<T>(
    root: &Path,
    frame: &Frame,
    get: impl Fn(&mut Pages<'_>, &Reading, u8) -> Result<T, String>,
) -> Result<T, String> {
    let mut why_not = None;
    let meter = Meter::default();
    for file in frame.files.iter().filter(|f| matches!(f.role, FileRole::Picture | FileRole::Raw)) {
        let source = match meter.open(&root.join(&file.path)) {
            Ok(source) => source,
            Err(e) => {
                why_not = why_not.or_else(|| Reading::unreadable(&e).faults.pop());
                continue;
            }
        };
        let mut pages = Pages::new(&source);
        let reading = metadata::read(&mut pages, &file.path);
        // HEIF files are turned by their decoder, as they say themselves.
        let orientation = if reading.content == Content::Heif { 1 } else { frame.orientation };
        match get(&mut pages, &reading, orientation) {
            Ok(got) => return Ok(got),
            Err(reason) => why_not = why_not.or(Some(reason)),
        }
    }
    let why_not = why_not.unwrap_or_else(|| "it has no picture".to_owned());
    Err(format!(
        "This frame cannot be shown: {why_not}. It is kept with its day all the same: {}",
        frame.path()
    ))
}

pub(crate) fn large(pages: &mut Pages<'_>, reading: &Reading) -> Result<RgbImage, String> {
    if reading.raw {
        let mut previews = preview::smallest_first(reading);
        previews.reverse();
        let shown = |span| {
            preview::shown_long_side(pages, span)?;
            decode::rgb(&preview::bytes_of(pages, span), Content::Jpeg).ok()
        };
        return previews
            .into_iter()
            .find_map(shown)
            .ok_or_else(|| "this raw file holds no preview that can be read".to_owned());
    }
    decode::rgb(&preview::whole(pages)?, reading.content)
}

/// The smallest embedded picture that will do for `long_side_px`, without its bars, when it shows what the file's
/// picture shows; else, as a last resort, the largest.
pub(crate) fn embedded(
    pages: &mut Pages<'_>,
    reading: &Reading,
    long_side_px: u32,
    last_resort: bool,
) -> Option<RgbImage> {
    // Thumbnails of Exif data are answer enough for small pictures, though few have exactly their size.
    let enough =
        |long: usize| long >= long_side_px as usize || (long_side_px <= QUICK_PX && long >= NEARLY_QUICK_PX);
    if reading.content == Content::Heif {
        let picture = preview::heif_thumbnail(pages)?;
        let long = picture.width().max(picture.height()) as usize;
        return without_bars(picture, reading).filter(|_| last_resort || enough(long));
    }
    let mut largest = None;
    for span in preview::smallest_first(reading) {
        let Some(long) = preview::shown_long_side(pages, span).filter(|l| last_resort || enough(*l)) else {
            continue;
        };
        let decoded = decode::rgb(&preview::bytes_of(pages, span), Content::Jpeg).ok();
        let Some(picture) = decoded.and_then(|p| without_bars(p, reading)) else { continue };
        if enough(long) {
            return Some(picture);
        }
        largest = Some(picture);
    }
    largest
}

fn without_bars(mut picture: RgbImage, reading: &Reading) -> Option<RgbImage> {
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
pub(crate) fn upright(stored: &RgbImage, orientation: u8) -> Picture {
    let (w, h) = stored.dimensions();
    if !(2..=8).contains(&orientation) {
        return Picture { width: w as usize, height: h as usize, rgb: stored.as_raw().clone() };
    }
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
                _ => (w - 1 - y, x),
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

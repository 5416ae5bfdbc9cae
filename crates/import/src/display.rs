//! Pictures for a screen, upright.
//!
//! A small one comes from the embedded thumbnail where that will do, since decoding the large picture takes some
//! hundreds of times as long.

use std::path::Path;

use bytemuck::Pod;
use image::RgbImage;
use imaging::Luma;
use record::{FileRole, Frame};

use crate::kind::Content;
use crate::metadata::{self, Reading};
use crate::pages::Pages;
use crate::room::Taken;
use crate::source::{Meter, Source as _};
use crate::upright::{turned, upright};
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

/// A small picture of a frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Small {
    /// The picture.
    pub picture: Picture,
    /// Whether it took long to make, a large picture having been decoded for it.
    pub was_slow: bool,
}

/// Decoding more pixels than this is slow: some 12 ms, where a thumbnail takes a tenth of one.
const SLOW_PX: u64 = 2_000_000;

/// Up to this size an embedded thumbnail is answer enough: Exif thumbnails have it.
const QUICK_PX: u32 = 160;

/// From this long side on: makers write 120 to 160 px.
const NEARLY_QUICK_PX: usize = 100;

/// A small upright picture of a frame, its long side at most `long_side_px` (at least 1 px).
///
/// # Errors
/// Says in a sentence why the frame cannot be shown, its path last.
pub fn thumbnail(root: &Path, frame: &Frame, long_side_px: u32) -> Result<Small, String> {
    let long_side_px = long_side_px.max(1);
    let made = first_that_works(root, frame, |pages, reading, orientation| {
        // Where there is nothing larger to be had, the largest will do.
        let (picture, _room) = match embedded(pages, reading, long_side_px, reading.cut || reading.raw) {
            Some(quick) => (quick, None),
            None => match large(pages, reading) {
                Ok((picture, held)) => (picture, Some(held)),
                Err(why) => (embedded(pages, reading, long_side_px, true).ok_or(why)?, None),
            },
        };
        let was_slow = u64::from(picture.width()) * u64::from(picture.height()) > SLOW_PX;
        Ok(Small { picture: upright(reduced(picture, long_side_px), orientation), was_slow })
    });
    made.map_err(|why| {
        format!("This frame cannot be shown: {why}. It is kept with its day all the same: {}", frame.path())
    })
}

/// The smallest picture embedded in a frame's files that is at least so long and shows what they show, reduced to that and
/// upright: as good as [`thumbnail`], where that is quick. `None` where there is none.
pub fn embedded_preview(root: &Path, frame: &Frame, long_side_px: u32) -> Option<Picture> {
    let found = first_that_works(root, frame, |pages, reading, orientation| {
        let picture = embedded(pages, reading, long_side_px, false).ok_or_else(String::new)?;
        Ok(upright(reduced(picture, long_side_px), orientation))
    });
    found.ok()
}

/// A full picture, upright. `P` holds the red, green, blue and full opacity of a pixel as four bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Full<P> {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row-major.
    pub pixels: Vec<P>,
}

impl<P: Pod> Full<P> {
    /// The same reduced by means of square blocks, its long side at most `long_side_px`.
    pub fn reduced(&self, long_side_px: usize) -> Picture {
        let side = self.width.max(self.height).div_ceil(long_side_px.max(1)).max(1);
        let (width, height) = (self.width.div_ceil(side), self.height.div_ceil(side));
        let mut rgb = Vec::with_capacity(width * height * 3);
        for rows in self.pixels.chunks(self.width * side) {
            let mut sums = vec![[0u32; 4]; width];
            for row in rows.chunks(self.width) {
                let bytes: &[[u8; 4]] = bytemuck::cast_slice(row);
                for (sum, block) in sums.iter_mut().zip(bytes.chunks(side)) {
                    for [red, green, blue, _] in block {
                        let [r, g, b, n] = *sum;
                        *sum = [r + u32::from(*red), g + u32::from(*green), b + u32::from(*blue), n + 1];
                    }
                }
            }
            rgb.extend(sums.iter().flat_map(|[r, g, b, n]| [r, g, b].map(|sum| ((sum + n / 2) / n) as u8)));
        }
        Picture { width, height, rgb }
    }
}

/// The full upright picture of a frame; of a raw alone, its largest embedded preview.
///
/// # Errors
/// Says in a sentence why the frame cannot be shown so, its path last.
pub fn picture<P: Pod>(root: &Path, frame: &Frame) -> Result<Full<P>, String> {
    let full = first_that_works(root, frame, |pages, reading, orientation| {
        let (width, height, pixels) = large_as(pages, reading, decode::rgba)?;
        let (width, height, pixels) = turned(width, height, pixels, orientation);
        Ok(Full { width, height, pixels })
    });
    full.map_err(|why| {
        format!(
            "This frame cannot be shown pixel for pixel: {why}. It is kept with its day all the same: {}",
            frame.path()
        )
    })
}

/// Tries the pictures and raws of a frame in order; `get` is also told how what is stored is to be turned. A file of
/// another length than the frame's is another's: cards come to lie at one place, and cameras count from the start again.
///
/// # Errors
/// Says in words without a full stop what was wrong with the first.
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
        if source.size_bytes() != file.bytes {
            why_not = why_not.or_else(|| Some("another file lies in its place".to_owned()));
            continue;
        }
        let mut pages = Pages::new(&source);
        let reading = metadata::read(&mut pages, &file.path);
        // HEIF files are turned by their decoder, as they say themselves.
        let orientation = if reading.content == Content::Heif { 1 } else { frame.orientation };
        match get(&mut pages, &reading, orientation) {
            Ok(got) => return Ok(got),
            Err(reason) => why_not = why_not.or(Some(reason)),
        }
    }
    Err(why_not.unwrap_or_else(|| "it has no picture".to_owned()))
}

/// The large picture of a file as stored, in colours, with its share of what is decoded at once: to be held until the picture
/// is reduced.
///
/// # Errors
/// Says in words why there is none.
pub(crate) fn large(pages: &mut Pages<'_>, reading: &Reading) -> Result<(RgbImage, Taken<'static>), String> {
    let held = large_as(pages, reading, |bytes, kind| decode::held(bytes, kind, reading.size_px))?;
    let (width, height) = (held.width as u32, held.height as u32);
    let picture = RgbImage::from_raw(width, height, held.pixels).ok_or(decode::NOT_DECODED)?;
    Ok((picture, held.room))
}

/// As [`large`], decoded so.
pub(crate) fn large_as<T>(
    pages: &mut Pages<'_>,
    reading: &Reading,
    decode: impl Fn(&[u8], Content) -> Result<T, String>,
) -> Result<T, String> {
    if reading.raw {
        let mut previews = preview::smallest_first(reading);
        previews.reverse();
        let shown = |span| {
            preview::shown_long_side(pages, span)?;
            decode(&preview::bytes_of(pages, span), Content::Jpeg).ok()
        };
        return previews
            .into_iter()
            .find_map(shown)
            .ok_or_else(|| "this raw file holds no preview that can be read".to_owned());
    }
    decode(&preview::whole(pages, reading)?, reading.content)
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

#[cfg(test)]
mod tests {
    use record::TimeSource;

    use super::*;
    use crate::sample::{Sample, frame};

    type Pixel = [u8; 4];

    /// Puts a picture on a card, and gives the frame it is.
    fn put(card: &Path, bytes: &[u8]) -> Frame {
        std::fs::write(card.join("a.jpg"), bytes).unwrap();
        let mut frame = frame(0, "a.jpg", None, TimeSource::Absent);
        frame.files[0].bytes = bytes.len() as u64;
        frame
    }

    #[test]
    fn sizes_and_turns() {
        let card = tempfile::tempdir().unwrap();
        let sample = Sample { thumbnail: true, subject: true, width: 480, height: 320, ..Sample::default() };
        let mut frame = put(card.path(), &sample.jpeg());
        let full = picture::<Pixel>(card.path(), &frame).unwrap();
        assert_eq!((full.width, full.height, full.pixels.len()), (480, 320, 480 * 320));
        let small = |frame: &Frame, side| {
            let Picture { width, height, rgb } = thumbnail(card.path(), frame, side).unwrap().picture;
            (width, height, rgb.len())
        };
        assert_eq!(small(&frame, 300), (300, 200, 180_000), "decoded and reduced");
        assert_eq!(small(&frame, 160).0, 160, "embedded");
        frame.orientation = 6;
        assert_eq!(small(&frame, 30), (20, 30, 1800));
        let upright = picture::<Pixel>(card.path(), &frame).unwrap();
        assert_eq!((upright.width, upright.height), (320, 480));
        // By the table of Exif 2.32 the first column of what is stored, read upwards, is the first row.
        let column: Vec<Pixel> = full.pixels.chunks(480).rev().map(|row| row[0]).collect();
        assert_eq!(upright.pixels[..320], column);
    }

    #[test]
    fn a_full_picture_is_reduced_by_means_of_blocks() {
        let gray = |v: u8| [v, v, v, u8::MAX];
        // Five columns in blocks of two: the last block is one column wide.
        let pixels = vec![[0, 4, 8, 255], gray(4), gray(10), gray(20), gray(50)];
        let full = Full { width: 5, height: 2, pixels: [pixels.clone(), pixels].concat() };
        let reduced = full.reduced(3);
        assert_eq!((reduced.width, reduced.height), (3, 1));
        assert_eq!(reduced.rgb, [2, 4, 6, 15, 15, 15, 50, 50, 50]);
        assert_eq!(full.reduced(5).rgb.len(), 5 * 2 * 3);
    }

    #[test]
    fn a_preview_is_quick_only_where_one_is_embedded_that_is_large_enough() {
        let card = tempfile::tempdir().unwrap();
        let sample = Sample { thumbnail: true, subject: true, width: 480, height: 320, ..Sample::default() };
        let frame = put(card.path(), &sample.jpeg());
        assert_eq!(embedded_preview(card.path(), &frame, 160).map(|p| p.width), Some(160));
        assert_eq!(embedded_preview(card.path(), &frame, 400), None);
    }

    #[test]
    fn only_what_took_a_large_picture_is_called_slow() {
        let card = tempfile::tempdir().unwrap();
        let large = Sample { thumbnail: true, subject: true, width: 1920, height: 1280, ..Sample::default() };
        let frame = put(card.path(), &large.jpeg());
        let was_slow = |side| thumbnail(card.path(), &frame, side).unwrap().was_slow;
        assert_eq!((was_slow(160), was_slow(400)), (false, true));
    }

    /// A JPEG that says it is so large, with as little behind its headers as before.
    fn said_to_be(width: u16, height: u16, thumbnail: bool) -> Vec<u8> {
        let sample = Sample { thumbnail, subject: true, ..Sample::default() };
        let stated_size = Some((width.into(), height.into()));
        let mut bytes = Sample { stated_size, ..sample }.jpeg();
        // The frame header (T.81 B.2.2): FFC0, length, precision, height, width; the last is the picture's own.
        let sof = bytes.windows(4).rposition(|w| w == [0xFF, 0xC0, 0, 11]).unwrap();
        bytes[sof + 5..sof + 7].copy_from_slice(&height.to_be_bytes());
        bytes[sof + 7..sof + 9].copy_from_slice(&width.to_be_bytes());
        bytes
    }

    #[test]
    fn a_picture_of_500_megapixels_is_shown_by_its_preview_and_refused_in_full() {
        let card = tempfile::tempdir().unwrap();
        // As wide and high as 500 million pixels in the shape of the thumbnail, 3 : 2.
        let frame = put(card.path(), &said_to_be(27_390, 18_260, true));
        for side in [160, 400, 1200] {
            assert_eq!(thumbnail(card.path(), &frame, side).unwrap().picture.width, 160, "{side}");
        }
        let words = picture::<Pixel>(card.path(), &frame).unwrap_err();
        assert!(words.contains("pixel for pixel") && words.contains("27390 × 18260 px"), "{words}");
        assert!(words.contains("too large to open") && words.ends_with(": a.jpg"), "{words}");
        // Without a preview there is nothing to show, and that is said.
        let frame = put(card.path(), &said_to_be(27_390, 18_260, false));
        let words = thumbnail(card.path(), &frame, 400).unwrap_err();
        assert!(words.contains("27390 × 18260 px, which is too large to open"), "{words}");
    }

    /// A file of so many bytes of which only the first kilobytes may be read.
    struct Endless(Vec<u8>, u64);

    impl crate::Source for Endless {
        fn size_bytes(&self) -> u64 {
            self.1
        }

        fn read_at(&self, offset: u64, into: &mut [u8]) -> std::io::Result<usize> {
            assert!(into.len() < 1_000_000, "{} bytes are read at {offset}", into.len());
            let rest = self.0.get(offset as usize..).unwrap_or_default();
            let come = rest.len().min(into.len());
            into[..come].copy_from_slice(&rest[..come]);
            into[come..].fill(0);
            // It ends as a JPEG does that is all there.
            if offset + into.len() as u64 == self.size_bytes() {
                let end = into.len() - 2;
                into[end..].copy_from_slice(&[0xFF, 0xD9]);
            }
            Ok(into.len())
        }
    }

    #[test]
    fn what_is_too_large_is_refused_before_it_is_read() {
        let source = Endless(said_to_be(25_000, 20_000, false), 900_000_000);
        let mut pages = Pages::new(&source);
        let reading = metadata::read(&mut pages, "a.jpg");
        assert_eq!(reading.size_px, Some((25_000, 20_000)));
        assert!(large(&mut pages, &reading).unwrap_err().contains("too large to open"));
        assert!(preview::for_measuring(&mut pages, &reading).unwrap_err().contains("too large to open"));
    }

    #[test]
    fn what_cannot_be_shown_says_so() {
        let card = tempfile::tempdir().unwrap();
        let frame_a = put(card.path(), b"words");
        let words = thumbnail(card.path(), &frame_a, 160).unwrap_err();
        assert!(words.starts_with("This frame cannot be shown: ") && words.ends_with(": a.jpg"), "{words}");
        let gone = frame(0, "gone.jpg", None, TimeSource::Absent);
        let words = picture::<Pixel>(card.path(), &gone).unwrap_err();
        assert!(words.contains("not there any more"), "{words}");
    }

    #[test]
    fn an_empty_file_and_one_too_large_are_told_apart() {
        let card = tempfile::tempdir().unwrap();
        let frame = put(card.path(), b"");
        let empty =
            "This frame cannot be shown: the file is empty. It is kept with its day all the same: a.jpg";
        assert_eq!(thumbnail(card.path(), &frame, 160).unwrap_err(), empty);
        assert!(picture::<Pixel>(card.path(), &frame).unwrap_err().contains("the file is empty"));
        // Nothing says how many pixels this one has.
        let source = Endless(b"words".to_vec(), preview::MOST_FILE_BYTES + 1);
        let mut pages = Pages::new(&source);
        let reading = metadata::read(&mut pages, "a.jpg");
        assert_eq!(large(&mut pages, &reading).unwrap_err(), "the file is too large to open");
    }

    #[test]
    fn a_cut_picture_is_shown_by_its_thumbnail() {
        let card = tempfile::tempdir().unwrap();
        let bytes = Sample { thumbnail: true, width: 480, height: 320, ..Sample::default() }.jpeg();
        let frame = put(card.path(), &bytes[..bytes.len() - 400]);
        let shown = thumbnail(card.path(), &frame, 400).unwrap();
        assert_eq!(shown.picture.width, 160);
    }

    #[test]
    fn a_file_of_another_length_is_not_the_frame_s() {
        let card = tempfile::tempdir().unwrap();
        let sample = Sample { thumbnail: true, subject: true, width: 480, height: 320, ..Sample::default() };
        let frame = put(card.path(), &sample.jpeg());
        assert!(thumbnail(card.path(), &frame, 160).is_ok());
        put(card.path(), &Sample { width: 510, ..sample }.jpeg());
        let (small, full) = (thumbnail(card.path(), &frame, 160), picture::<Pixel>(card.path(), &frame));
        for words in [small.map(|_| ()).unwrap_err(), full.map(|_| ()).unwrap_err()] {
            assert!(words.contains("another file lies in its place"), "{words}");
        }
    }
}

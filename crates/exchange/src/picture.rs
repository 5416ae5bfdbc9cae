//! A filed picture becomes a copy that may be shared: upright, in sRGB, of a given size, and without a word beside it.
//!
//! Goes in: a frame whose files are those of an archive ([`crate::round::filed_frame`]), and what is [`Wanted`]. Comes out: a
//! baseline JPEG whose only header is JFIF's, so neither place, time, body nor thumbnail of the original go with it; or its
//! pixels, to be drawn on first. Reduced by Lanczos's filter, never enlarged. The same file gives the same bytes.

mod colours;
mod encode;
mod halved;

use std::path::Path;

use fast_image_resize::images::{Image, ImageRef};
use fast_image_resize::{PixelType, ResizeOptions, Resizer};
use imaging::colour::Rgb;
use imaging::subject;
use import::{Stored, stored, turned};
use record::Frame;

pub(crate) use encode::within;
use halved::halved;

/// Why there is no copy of a picture.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(crate) enum PictureFault {
    /// It cannot be read or decoded.
    #[error(
        "This picture cannot be copied: {reason}. What stands in the archive was not changed; audit it: {path}"
    )]
    NotDecoded {
        /// Why, in words.
        reason: String,
        /// Its path in the archive.
        path: String,
    },
    /// It cannot be made so small.
    #[error("A copy of this picture cannot be made within {at_most_bytes} bytes. Allow more: {path}")]
    TooFewBytes {
        /// How many were allowed.
        at_most_bytes: usize,
        /// Its path in the archive.
        path: String,
    },
}

/// What a copy is to be like.
#[allow(dead_code, reason = "as of copy_of")]
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wanted {
    /// Its long side in px, at least 1; what is smaller stays as it is.
    pub(crate) long_side_px: u32,
    /// The part that is shown; `None` for all of it.
    pub(crate) crop: Option<Crop>,
    /// How many bytes the JPEG may have; `None` for any number.
    pub(crate) at_most_bytes: Option<usize>,
}

/// A part of an upright picture, as shares of its width and height, 0..=1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Crop {
    /// Where it begins, from the left and the top.
    pub(crate) at: (f64, f64),
    /// How wide and high it is.
    pub(crate) size: (f64, f64),
}

/// A copy as a file.
#[allow(dead_code, reason = "as of copy_of")]
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Copy {
    /// The bytes of the JPEG.
    pub(crate) jpeg: Vec<u8>,
    /// Columns.
    pub(crate) width: usize,
    /// Rows.
    pub(crate) height: usize,
    /// Pixels of the copy a pixel of the full picture, above 0 and at most 1: what turns its scale into the copy's.
    pub(crate) px_per_px: f64,
}

/// A copy as pixels.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Reduced {
    /// Its pixels, upright, sRGB.
    pub(crate) rgb: Rgb,
    /// As [`Copy::px_per_px`].
    pub(crate) px_per_px: f64,
}

/// A copy of a frame whose files lie below `root`.
///
/// # Errors
/// When it cannot be decoded, or not be made so small.
#[allow(dead_code, reason = "sheets are made of such copies, packs of what is drawn on first")]
pub(crate) fn copy_of(root: &Path, frame: &Frame, wanted: &Wanted) -> Result<Copy, PictureFault> {
    let opened = Opened::of(root, frame)?;
    let mut px_per_px = 1.0;
    let drawn = within(wanted.at_most_bytes, wanted.long_side_px, |long_side_px| {
        let reduced = opened.reduced(long_side_px, wanted.crop);
        px_per_px = reduced.px_per_px;
        reduced.rgb
    });
    let (jpeg, (width, height)) = drawn.map_err(|at_most_bytes| opened.too_few(at_most_bytes))?;
    Ok(Copy { jpeg, width, height, px_per_px })
}

/// A picture decoded at full size. A thread holds one at a time: see [`Stored`].
pub(crate) struct Opened {
    stored: Stored,
    path: String,
}

/// Long side of the picture in which a subject is looked for: as in the closer look at a card.
const LOOKED_AT_PX: u32 = 640;

/// Margin around a subject, as a share of its long side: a bumble bee's antennae and legs, which the mask may miss, reach
/// out by a tenth to a seventh of its length.
const MARGIN: f64 = 0.15;

impl Opened {
    /// Reads and decodes.
    ///
    /// # Errors
    /// When there is no picture to be had.
    pub(crate) fn of(root: &Path, frame: &Frame) -> Result<Self, PictureFault> {
        let path = frame.path().to_owned();
        match stored(root, frame) {
            Ok(stored) => Ok(Self { stored, path }),
            Err(reason) => Err(PictureFault::NotDecoded { reason, path }),
        }
    }

    /// The fault of a copy that does not come out so small.
    pub(crate) fn too_few(&self, at_most_bytes: usize) -> PictureFault {
        PictureFault::TooFewBytes { at_most_bytes, path: self.path.clone() }
    }

    fn is_on_its_side(&self) -> bool {
        (5..=8).contains(&self.stored.orientation)
    }

    /// Width and height of the full picture, upright.
    pub(crate) fn size_px(&self) -> (usize, usize) {
        let (width, height) = (self.stored.width, self.stored.height);
        if self.is_on_its_side() { (height, width) } else { (width, height) }
    }

    /// The part that shows the subject with a margin; `None` where none is found.
    pub(crate) fn around_subject(&self) -> Option<Crop> {
        let small = self.reduced(LOOKED_AT_PX, None).rgb;
        let subject = subject::find(&small, None);
        let [x, y, width, height] = subject.bounds?.map(|n| n as f64);
        let (columns, rows) = (subject.width as f64, subject.height as f64);
        let margin = MARGIN * width.max(height);
        let (left, top) = ((x - margin).max(0.0), (y - margin).max(0.0));
        let (right, bottom) = ((x + width + margin).min(columns), (y + height + margin).min(rows));
        let size = ((right - left) / columns, (bottom - top) / rows);
        Some(Crop { at: (left / columns, top / rows), size })
    }

    /// The picture, or a part of it, with its long side at most so long.
    pub(crate) fn reduced(&self, long_side_px: u32, crop: Option<Crop>) -> Reduced {
        let stored = &self.stored;
        let [x, y, width, height] = stored_part(stored, crop);
        let px_per_px = (f64::from(long_side_px.max(1)) / width.max(height) as f64).min(1.0);
        let side = |full: usize| ((full as f64 * px_per_px).round() as usize).max(1);
        let (to_width, to_height) = (side(width), side(height));
        let mut values = if px_per_px <= HALVED_BELOW && width.min(height) > 1 {
            let (columns, rows, half) = halved(&stored.rgb, stored.width, [x, y, width, height]);
            resized(&half, (columns, rows), [0, 0, columns, rows], (to_width, to_height))
        } else {
            let all = (stored.width, stored.height);
            resized(&stored.rgb, all, [x, y, width, height], (to_width, to_height))
        };
        if let Some(profile) = &stored.profile {
            values = colours::to_srgb(values, profile);
        }
        let pixels = values.as_chunks::<3>().0.to_vec();
        let (width, height, pixels) = turned(to_width, to_height, pixels, stored.orientation);
        Reduced { rgb: Rgb { width, height, values: pixels.into_flattened() }, px_per_px }
    }
}

/// Where so little is left, means of four come first, so that the filter has a quarter to do. They dampen the finest that the
/// copy can show by cos(π/8), 8 %; of a half it would be 29 %.
const HALVED_BELOW: f64 = 0.25;

/// A part of a picture of so many columns and rows, by Lanczos's filter of three lobes in columns and rows of another number.
fn resized(rgb: &[u8], (columns, rows): (usize, usize), part: [usize; 4], to: (usize, usize)) -> Vec<u8> {
    let from = ImageRef::new(columns as u32, rows as u32, rgb, PixelType::U8x3)
        .expect("a decoded picture has three bytes for each of its pixels");
    let [x, y, width, height] = part.map(|n| n as f64);
    let mut into = Image::new(to.0 as u32, to.1 as u32, PixelType::U8x3);
    Resizer::new()
        .resize(&from, &mut into, &ResizeOptions::new().crop(x, y, width, height))
        .expect("the part lies in the picture and has as many bytes a pixel");
    into.into_vec()
}

/// A part of the upright picture as a box of the stored one: first column and row, columns and rows, all of them within it.
fn stored_part(stored: &Stored, crop: Option<Crop>) -> [usize; 4] {
    let Some(Crop { at: (x, y), size: (w, h) }) = crop else {
        return [0, 0, stored.width, stored.height];
    };
    // Exif 2.32, Orientation: where the first row and column of what is stored lie in the scene.
    let (x, y, w, h) = match stored.orientation {
        2 => (1.0 - x - w, y, w, h),
        3 => (1.0 - x - w, 1.0 - y - h, w, h),
        4 => (x, 1.0 - y - h, w, h),
        5 => (y, x, h, w),
        6 => (y, 1.0 - x - w, h, w),
        7 => (1.0 - y - h, 1.0 - x - w, h, w),
        8 => (1.0 - y - h, x, h, w),
        _ => (x, y, w, h),
    };
    let side = |from: f64, size: f64, full: usize| {
        let place = |share: f64| ((share * full as f64).round().max(0.0) as usize).min(full);
        let first = place(from).min(full - 1);
        (first, place(from + size).max(first + 1) - first)
    };
    let ((x, width), (y, height)) = (side(x, w, stored.width), side(y, h, stored.height));
    [x, y, width, height]
}

#[cfg(test)]
mod tests;

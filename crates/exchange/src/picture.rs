//! A filed picture becomes a copy that may be shared: upright, in sRGB, of a given size, and without a word beside it.
//!
//! Goes in: a frame whose files are those of an archive ([`crate::round::filed_frame`]), and what is [`Wanted`]. Comes out: a
//! baseline JPEG whose only header is JFIF's, so neither place, time, body nor thumbnail of the original go with it; or its
//! pixels, to be drawn on first. Reduced by Lanczos's filter, never enlarged. The same file gives the same bytes.

mod colours;
mod encode;

use std::path::Path;

use fast_image_resize::images::{Image, ImageRef};
use fast_image_resize::{PixelType, ResizeOptions, Resizer};
use imaging::colour::Rgb;
use imaging::subject;
use import::{Stored, stored, turned};
use record::Frame;

pub(crate) use encode::within;

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
        let from = ImageRef::new(stored.width as u32, stored.height as u32, &stored.rgb, PixelType::U8x3)
            .expect("a decoded picture has three bytes for each of its pixels");
        let mut to = Image::new(to_width as u32, to_height as u32, PixelType::U8x3);
        let options = ResizeOptions::new().crop(x as f64, y as f64, width as f64, height as f64);
        Resizer::new()
            .resize(&from, &mut to, &options)
            .expect("the part lies in the picture and has as many bytes a pixel");
        let mut values = to.into_vec();
        if let Some(profile) = &stored.profile {
            values = colours::to_srgb(values, profile);
        }
        let pixels = values.as_chunks::<3>().0.to_vec();
        let (width, height, pixels) = turned(to_width, to_height, pixels, stored.orientation);
        Reduced { rgb: Rgb { width, height, values: pixels.into_flattened() }, px_per_px }
    }
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

//! Pixels of HEIF files, behind one small trait.
//!
//! The decoder is young, so it gets bounded sizes, and a fault inside it is a picture that cannot be shown, never the
//! end of a card.

use std::panic::{AssertUnwindSafe, catch_unwind};

use image::RgbImage;

use crate::decode::NOT_DECODED;

/// Decodes HEIF files.
pub(crate) trait HeifDecoder {
    /// The upright colours of the primary picture, at most `most_px` pixels of them.
    ///
    /// # Errors
    /// Says in words why there is no picture.
    fn rgb(&self, bytes: &[u8], most_px: u64) -> Result<RgbImage, String>;
}

/// Decodes by the crate of this name, which turns pictures as their file says.
pub(crate) struct Heifer;

impl HeifDecoder for Heifer {
    fn rgb(&self, bytes: &[u8], most_px: u64) -> Result<RgbImage, String> {
        let options = heifer::Options { max_pixels: most_px, ..heifer::Options::default() };
        let decoded = catch_unwind(AssertUnwindSafe(|| heifer::decode_rgba8(bytes, &options)));
        let picture = match decoded {
            Ok(Ok(picture)) => picture,
            Ok(Err(heifer::Error::Unsupported(_))) => {
                return Err("the picture is coded in a way that cannot be decoded".to_owned());
            }
            Ok(Err(_)) | Err(_) => return Err(NOT_DECODED.to_owned()),
        };
        let (width, height) = (picture.width, picture.height);
        RgbImage::from_raw(width, height, picture.into_rgb8()).ok_or_else(|| NOT_DECODED.to_owned())
    }
}

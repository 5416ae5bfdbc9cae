//! The small luma picture by which a frame is measured.
//!
//! The thumbnail that the camera embedded, when it shows what the large picture shows; else the large picture,
//! decoded and reduced, which takes some hundreds of times as long.

use std::path::Path;

use imaging::bars::{Part, shown_part};
use imaging::{Luma, PREVIEW_LONG_SIDE_PX};

use crate::decode;
use crate::fault::io_words;
use crate::kind::Content;
use crate::metadata::Reading;

/// Where a preview came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Origin {
    Embedded,
    Decoded,
}

/// Least long side of a thumbnail that is trusted for measuring: below it a small animal is a few pixels.
const LEAST_EMBEDDED_PX: usize = 100;

/// The preview of a file, reduced for measuring.
///
/// # Errors
/// Says in words why there is none.
pub(crate) fn for_measuring(path: &Path, reading: &Reading) -> Result<(Luma, Origin), String> {
    if let Some(luma) = trusted(path, reading) {
        return Ok((luma.reduced(PREVIEW_LONG_SIDE_PX), Origin::Embedded));
    }
    if reading.cut {
        return Err("too little of the picture is left to tell whether it is a blank".to_owned());
    }
    if reading.raw {
        return Err("this raw file holds no preview that can be read".to_owned());
    }
    from_large(path, reading.content).map(|luma| (luma, Origin::Decoded))
}

/// The large picture reduced for measuring.
///
/// # Errors
/// Says in words why there is none.
pub(crate) fn from_large(path: &Path, content: Content) -> Result<Luma, String> {
    let bytes =
        std::fs::read(path).map_err(|e| format!("the picture could not be read: {}", io_words(&e)))?;
    decode::luma(&bytes, content).map(|luma| luma.reduced(PREVIEW_LONG_SIDE_PX))
}

/// The embedded picture without its bars; `None` when there is none that can be trusted.
fn trusted(path: &Path, reading: &Reading) -> Option<Luma> {
    let luma = decode::luma(&reading.embedded_bytes(path)?, Content::Jpeg).ok()?;
    let part = trusted_part(&luma, reading)?;
    (luma.width.max(luma.height) >= LEAST_EMBEDDED_PX)
        .then(|| luma.crop(part.x, part.y, part.width, part.height))
}

/// The part of an embedded picture that shows its file's picture; `None` when it is not to be trusted.
pub(crate) fn trusted_part(embedded: &Luma, reading: &Reading) -> Option<Part> {
    let whole = Part { x: 0, y: 0, width: embedded.width, height: embedded.height };
    match reading.size_px {
        // The sizes that raws state include borders, and there is no other picture to be had.
        _ if reading.raw => Some(whole),
        None => Some(whole),
        Some(size) => shown_part(embedded, size),
    }
}

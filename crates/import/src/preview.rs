//! The small luma picture by which a frame is measured.
//!
//! The smallest embedded one that is large enough and shows what the large picture shows; else the large picture,
//! decoded and reduced, which takes some hundreds of times as long.

use imaging::bars::{Part, shown_part};
use imaging::{Luma, PREVIEW_LONG_SIDE_PX};

use crate::decode;
use crate::fault::io_words;
use crate::heic::{HeifDecoder, Heifer};
use crate::kind::Content;
use crate::metadata::{Reading, Span};
use crate::pages::Pages;
use crate::{heif, jpeg};

/// Where a preview came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Origin {
    /// An embedded picture of this many pixels along its long side.
    Embedded(usize),
    Decoded,
}

/// Least long side of a thumbnail that is trusted for measuring: below it a small animal is a few pixels.
const LEAST_EMBEDDED_PX: usize = 100;

/// Long side from which on a thumbnail is as good as any for measuring; those of Exif have it.
const GOOD_EMBEDDED_PX: usize = 160;

/// Most pixels of the thumbnail of a HEIF.
const MOST_THUMBNAIL_PX: u64 = 4_000_000;

/// Most bytes of a file that is decoded whole.
pub(crate) const MOST_FILE_BYTES: u64 = 1024 * 1024 * 1024;

/// Embedded pictures up to this length are kept with what was read of their file.
const KEPT_BYTES: u64 = 1024 * 1024;

/// The preview of a file, reduced for measuring.
///
/// # Errors
/// Says in words why there is none.
pub(crate) fn for_measuring(pages: &mut Pages<'_>, reading: &Reading) -> Result<(Luma, Origin), String> {
    if let Some((luma, long)) = embedded(pages, reading, 0) {
        return Ok((luma.reduced(PREVIEW_LONG_SIDE_PX), Origin::Embedded(long)));
    }
    if reading.cut {
        return Err("too little of the picture is left to tell whether it is a blank".to_owned());
    }
    if reading.raw {
        return Err(
            "this raw file holds no preview that can be read, so it cannot be told whether it is a blank"
                .to_owned(),
        );
    }
    from_large(pages, reading).map(|luma| (luma, Origin::Decoded))
}

/// A better preview than one of `long_px` along its long side: a larger embedded one, else the large picture.
pub(crate) fn closer(pages: &mut Pages<'_>, reading: &Reading, long_px: usize) -> Option<Luma> {
    let larger = embedded(pages, reading, long_px + 1).map(|(luma, _)| luma.reduced(PREVIEW_LONG_SIDE_PX));
    if larger.is_some() || reading.raw || reading.cut {
        return larger;
    }
    from_large(pages, reading).ok()
}

/// The large picture reduced for measuring.
fn from_large(pages: &mut Pages<'_>, reading: &Reading) -> Result<Luma, String> {
    let bytes = whole(pages, reading)?;
    decode::luma(&bytes, reading.content).map(|luma| luma.reduced(PREVIEW_LONG_SIDE_PX))
}

/// The whole file of a picture, unless that is known to be empty or too large to be decoded.
///
/// # Errors
/// Says in words why it could not be read.
pub(crate) fn whole(pages: &mut Pages<'_>, reading: &Reading) -> Result<Vec<u8>, String> {
    if let Some((width, height)) = reading.size_px {
        decode::check_size(width, height)?;
    }
    if pages.size_bytes() > MOST_FILE_BYTES {
        return Err("the file is too large to open".to_owned());
    }
    let bytes = pages.whole(MOST_FILE_BYTES);
    match &pages.trouble {
        Some(e) => Err(format!("the picture could not be read: {}", io_words(e))),
        None if bytes.is_empty() => Err("the file is empty".to_owned()),
        None => Ok(bytes),
    }
}

/// The smallest embedded picture of at least `least_px` along its long side that is good for measuring, without its
/// bars, and its own long side; the largest of the lesser ones when none is that good.
pub(crate) fn embedded(pages: &mut Pages<'_>, reading: &Reading, least_px: usize) -> Option<(Luma, usize)> {
    if reading.content == Content::Heif {
        let picture = heif_thumbnail(pages)?;
        let luma = Luma::from_rgb(picture.width() as usize, picture.height() as usize, picture.as_raw())?;
        let long = luma.width.max(luma.height);
        return trusted_part(&luma, reading)
            .filter(|_| long >= least_px)
            .map(|part| (cut_out(&luma, part), long));
    }
    let mut second_best = None;
    for span in smallest_first(reading) {
        let Some(long) = shown_long_side(pages, span).filter(|l| *l >= least_px.max(LEAST_EMBEDDED_PX))
        else {
            continue;
        };
        let Ok(luma) = decode::luma(&bytes_of(pages, span), Content::Jpeg) else { continue };
        // Shapes are compared at the scale of thumbnails.
        let luma = luma.reduced(2 * PREVIEW_LONG_SIDE_PX);
        let Some(part) = trusted_part(&luma, reading) else { continue };
        let found = (cut_out(&luma, part), long);
        if long >= GOOD_EMBEDDED_PX {
            return Some(found);
        }
        second_best = Some(found);
    }
    second_best
}

fn cut_out(luma: &Luma, part: Part) -> Luma {
    luma.crop(part.x, part.y, part.width, part.height)
}

/// The upright thumbnail of a HEIF.
pub(crate) fn heif_thumbnail(pages: &mut Pages<'_>) -> Option<image::RgbImage> {
    let file = heif::items(pages).thumbnail?.as_file(pages)?;
    Heifer.rgb(&file, MOST_THUMBNAIL_PX).ok()
}

/// Embedded pictures, those of the fewest bytes first.
pub(crate) fn smallest_first(reading: &Reading) -> Vec<Span> {
    let mut spans = reading.previews.clone();
    spans.sort_by_key(|s| (s.bytes, s.offset));
    spans
}

/// Long side of an embedded picture by its header; `None` when it is none that is shown, such as the lossless data
/// of a raw.
pub(crate) fn shown_long_side(pages: &mut Pages<'_>, span: Span) -> Option<usize> {
    let outline = jpeg::outline(pages, span.offset);
    let (w, h) = outline.size_px.filter(|_| outline.shown)?;
    Some(w.max(h) as usize)
}

/// The bytes of an embedded picture.
pub(crate) fn bytes_of(pages: &mut Pages<'_>, span: Span) -> Vec<u8> {
    if span.bytes <= KEPT_BYTES {
        pages.exact(span.offset, span.bytes as usize).to_vec()
    } else if span.bytes <= MOST_FILE_BYTES && span.end() <= pages.size_bytes() {
        pages.read(span.offset, span.bytes as usize)
    } else {
        vec![]
    }
}

/// The part of an embedded picture that shows its file's picture; `None` when it is not to be trusted.
pub(crate) fn trusted_part(embedded: &Luma, reading: &Reading) -> Option<Part> {
    let whole = Part { x: 0, y: 0, width: embedded.width, height: embedded.height };
    match reading.size_px {
        None => Some(whole),
        // The sizes that raws state may include borders, and there is no other picture to be had.
        Some(size) if reading.raw => shown_part(embedded, size).or(Some(whole)),
        Some(size) => shown_part(embedded, size),
    }
}

//! CR3 raws: camera data and previews inside boxes.
//!
//! `moov` holds a `uuid` box with the first, Exif and GPS directories, each as a TIFF stream of its own (`CMT1`,
//! `CMT2`, `CMT4`), and a thumbnail (`THMB`); another `uuid` box of the file holds a preview (`PRVW`). The layout was
//! checked on files of two cameras: a JPEG's length stands 12 bytes (`THMB`) or 16 bytes (`PRVW`) behind the start
//! of the box's name, the JPEG itself 20 bytes behind it.

use crate::boxes::{Boxed, boxes, first};
use crate::metadata::Span;
use crate::pages::Pages;
use crate::raw::jpeg_at;
use crate::tiff::{self, Walk};

/// What the boxes hold.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Found {
    /// The directories, as if they stood in one stream.
    pub(crate) camera: Option<Walk>,
    pub(crate) previews: Vec<Span>,
    /// Whether the file ends before its boxes do.
    pub(crate) cut: bool,
}

/// Length of a `uuid` box's own name.
const UUID_BYTES: u64 = 16;

/// Reads the boxes.
pub(crate) fn find(pages: &mut Pages<'_>) -> Found {
    let whole = Span { offset: 0, bytes: pages.size_bytes() };
    let outer = boxes(pages, whole);
    let cut = outer.last().is_none_or(|b| b.body.end() > pages.size_bytes());
    let mut found = Found { cut, ..Found::default() };
    let moov = outer.iter().find(|b| b.kind == *b"moov").map(|b| b.body);
    let inner = moov.and_then(|moov| first(pages, moov, *b"uuid")?.past(UUID_BYTES));
    for part in inner.map_or(vec![], |span| boxes(pages, span)) {
        let stream = |pages: &mut Pages<'_>| tiff::walk(pages, part.body.offset, part.body.end());
        match &part.kind {
            b"CMT1" => {
                let walk = stream(pages);
                let camera = found.camera.get_or_insert_default();
                camera.damaged |= walk.is_none();
                camera.chain = walk.map_or(vec![], |w| w.chain);
            }
            b"CMT2" => {
                let exif = stream(pages).and_then(|w| w.chain.into_iter().next());
                found.camera.get_or_insert_default().exif = exif;
            }
            b"CMT4" => {
                let gps = stream(pages).and_then(|w| w.chain.into_iter().next());
                found.camera.get_or_insert_default().gps = gps;
            }
            b"THMB" => found.previews.extend(jpeg(pages, part, 12)),
            _ => {}
        }
    }
    for other in outer.iter().filter(|b| b.kind == *b"uuid") {
        // Eight bytes stand between the box's own name and the preview.
        let Some(inside) = other.body.past(UUID_BYTES + 8) else { continue };
        for part in boxes(pages, inside).into_iter().filter(|b| b.kind == *b"PRVW") {
            found.previews.extend(jpeg(pages, part, 16));
        }
    }
    found
}

/// The JPEG in a box; its length stands `length_at` bytes behind the start of the box's name.
fn jpeg(pages: &mut Pages<'_>, part: Boxed, length_at: u64) -> Option<Span> {
    let name = part.body.offset.checked_sub(4)?;
    let bytes = u32::from_be_bytes(pages.array(name + length_at)?).into();
    jpeg_at(pages, name + 20, bytes).filter(|s| s.end() <= part.body.end())
}

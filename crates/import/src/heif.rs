//! The items of a HEIF file (HEIC): where its Exif data and thumbnail lie, its size, and whether all of it is there.
//!
//! Reads boxes only (ISO/IEC 23008-12 and 14496-12, 8.11); decodes nothing.

use crate::boxes::{Boxed, boxes, first};
use crate::metadata::Span;
use crate::pages::{Pages, be16, be32};

/// What the boxes say.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Items {
    /// The TIFF stream of the Exif item.
    pub(crate) exif: Option<Span>,
    /// Upright width and height of the primary item.
    pub(crate) size_px: Option<(u32, u32)>,
    /// The thumbnail of the primary item.
    pub(crate) thumbnail: Option<Thumbnail>,
    /// Whether the file ends before some of its items do.
    pub(crate) cut: bool,
}

/// A small picture of the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Thumbnail {
    id: u32,
    /// Where its bytes lie.
    parts: Vec<Span>,
    /// The `meta` box with all that describes it.
    meta: Span,
    /// Where the primary item's number stands.
    primary_at: Span,
}

/// Most bytes of a thumbnail and of the boxes that describe it: real ones have some tens of kilobytes each.
const MOST_THUMBNAIL_BYTES: u64 = 4 * 1024 * 1024;

/// Most bytes of a file whose thumbnail is looked at.
const MOST_FILE_BYTES: u64 = 256 * 1024 * 1024;

impl Thumbnail {
    /// A HEIF file of which only the thumbnail is filled in, as its primary item. `None` when it is too large or
    /// not wholly there.
    pub(crate) fn as_file(&self, pages: &mut Pages<'_>) -> Option<Vec<u8>> {
        let spans = || self.parts.iter().chain([&self.meta]);
        if spans().any(|s| s.bytes > MOST_THUMBNAIL_BYTES || s.end() > pages.size_bytes()) {
            return None;
        }
        for span in spans() {
            pages.exact(span.offset, span.bytes as usize);
        }
        let mut bytes = pages.sparse(MOST_FILE_BYTES);
        let at = self.primary_at.offset as usize;
        let number = bytes.get_mut(at..at + self.primary_at.bytes as usize)?;
        let id = self.id.to_be_bytes();
        number.copy_from_slice(&id[4 - number.len()..]);
        Some(bytes)
    }
}

/// Most items and parts that are looked at: grids have up to some hundred tiles.
const MOST_ITEMS: usize = 4096;

/// Reads the items; all absent when there are none that make sense.
pub(crate) fn items(pages: &mut Pages<'_>) -> Items {
    let whole = Span { offset: 0, bytes: pages.size_bytes() };
    let outer = boxes(pages, whole);
    let cut = outer.last().is_none_or(|b| b.body.end() > pages.size_bytes());
    let Some(meta) = outer.iter().find(|b| b.kind == *b"meta").map(|b| b.body) else {
        return Items { cut: true, ..Items::default() };
    };
    // A full box: version and flags come first.
    let Some(meta) = meta.past(4) else { return Items { cut, ..Items::default() } };
    let kinds = kinds(pages, meta);
    let places = places(pages, meta);
    let place = |id: u32| places.iter().find(|(of, _)| *of == id).map_or(&[][..], |(_, spans)| spans);
    let primary = first(pages, meta, *b"pitm").and_then(|body| {
        let at =
            Span { offset: body.offset + 4, bytes: if pages.array(body.offset)? == [0] { 2 } else { 4 } };
        Some((number(pages.get(at.offset, at.bytes as usize)), at))
    });
    let thumbnail = first(pages, meta, *b"iref")
        .and_then(|body| referring(pages, body, *b"thmb", primary?.0))
        .map(|id| (id, place(id).to_vec()))
        .filter(|(_, parts)| !parts.is_empty())
        .and_then(|(id, parts)| Some(Thumbnail { id, parts, meta, primary_at: primary?.1 }));
    let exif = kinds.iter().find(|(_, kind)| kind == b"Exif").and_then(|(id, _)| place(*id).first().copied());
    Items {
        exif: exif.and_then(|item| {
            // The stream's distance from behind this number (ISO/IEC 23008-12, A.2.1).
            let distance = u32::from_be_bytes(pages.array(item.offset)?);
            item.past(4 + u64::from(distance))
        }),
        size_px: primary.and_then(|(id, _)| size(pages, meta, id)),
        thumbnail,
        cut: cut || places.iter().flat_map(|(_, spans)| spans).any(|s| s.end() > pages.size_bytes()),
    }
}

/// A big-endian number of as many bytes as there are.
fn number(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0, |sum, b| sum << 8 | u32::from(*b))
}

/// Type of each item (`iinf`, `infe`).
fn kinds(pages: &mut Pages<'_>, meta: Span) -> Vec<(u32, [u8; 4])> {
    let Some(body) = first(pages, meta, *b"iinf") else { return vec![] };
    let version = pages.array::<1>(body.offset).map_or(0, |v| v[0]);
    let Some(entries) = body.past(if version == 0 { 6 } else { 8 }) else { return vec![] };
    let found = boxes(pages, entries);
    let entry = |b: Boxed| {
        let bytes = pages.get(b.body.offset, 14);
        match bytes.first()? {
            2 => Some((be16(bytes, 4)?.into(), *bytes.get(8..)?.first_chunk()?)),
            3 => Some((be32(bytes, 4)?, *bytes.get(10..)?.first_chunk()?)),
            _ => None,
        }
    };
    found.into_iter().filter_map(entry).collect()
}

/// Numbers of given widths, one after the other.
struct Cursor<'a>(&'a [u8]);

impl Cursor<'_> {
    fn take(&mut self, bytes: usize) -> Option<u64> {
        let (number, rest) = self.0.split_at_checked(bytes)?;
        self.0 = rest;
        (bytes <= 8).then(|| number.iter().fold(0, |sum, b| sum << 8 | u64::from(*b)))
    }
}

/// Where each item lies (`iloc`). Items inside another one are left out.
fn places(pages: &mut Pages<'_>, meta: Span) -> Vec<(u32, Vec<Span>)> {
    let Some(body) = first(pages, meta, *b"iloc") else { return vec![] };
    let bytes = pages.get(body.offset, body.bytes as usize).to_vec();
    let mut found = vec![];
    let mut parts = 0;
    let mut cursor = Cursor(&bytes);
    let mut read = || {
        let (version, _) = (cursor.take(1)?, cursor.take(3)?);
        let widths = cursor.take(2)? as usize;
        let [offset_width, length_width, base_width, index_width] =
            [12, 8, 4, 0].map(|shift| widths >> shift & 15);
        let id_width = if version < 2 { 2 } else { 4 };
        for _ in 0..cursor.take(id_width)?.min(MOST_ITEMS as u64) {
            let id = cursor.take(id_width)? as u32;
            let inside = if version > 0 { cursor.take(2)? & 15 != 0 } else { false };
            cursor.take(2)?;
            let base = cursor.take(base_width)?;
            let mut spans = vec![];
            for _ in 0..cursor.take(2)? {
                if version > 0 {
                    cursor.take(index_width)?;
                }
                let (offset, bytes) = (cursor.take(offset_width)?, cursor.take(length_width)?);
                spans.push(Span { offset: base.saturating_add(offset), bytes });
                parts += 1;
                if parts > MOST_ITEMS {
                    return None;
                }
            }
            if !inside {
                found.push((id, spans));
            }
        }
        Some(())
    };
    // What came before the box stops making sense stands.
    let _whole = read();
    found
}

/// The first item that refers to another by a reference of a type (`iref`).
fn referring(pages: &mut Pages<'_>, iref: Span, kind: [u8; 4], to: u32) -> Option<u32> {
    let wide = pages.array::<1>(iref.offset)?[0] != 0;
    let width = if wide { 4 } else { 2 };
    boxes(pages, iref.past(4)?).into_iter().filter(|b| b.kind == kind).find_map(|b| {
        let mut cursor = Cursor(pages.get(b.body.offset, b.body.bytes.min(1024) as usize));
        let from = cursor.take(width)? as u32;
        let count = cursor.take(2)?;
        (0..count).map_while(|_| cursor.take(width)).any(|id| id == u64::from(to)).then_some(from)
    })
}

/// Upright size of an item: its `ispe` property, turned as its `irot` says.
fn size(pages: &mut Pages<'_>, meta: Span, id: u32) -> Option<(u32, u32)> {
    let iprp = first(pages, meta, *b"iprp")?;
    let ipco = first(pages, iprp, *b"ipco")?;
    let properties = boxes(pages, ipco);
    let ipma = first(pages, iprp, *b"ipma")?;
    let bytes = pages.get(ipma.offset, ipma.bytes as usize).to_vec();
    let mut cursor = Cursor(&bytes);
    let (version, flags, count) = (cursor.take(1)?, cursor.take(3)?, cursor.take(4)?);
    for _ in 0..count.min(MOST_ITEMS as u64) {
        let of = cursor.take(if version < 1 { 2 } else { 4 })? as u32;
        let (mut stated, mut turned) = (None, false);
        for _ in 0..cursor.take(1)? {
            // The first bit says whether the property is essential; the rest is its place, from 1.
            let index = if flags & 1 == 1 { cursor.take(2)? & 0x7FFF } else { cursor.take(1)? & 0x7F };
            let Some(property) = properties.get((index as usize).wrapping_sub(1)) else { continue };
            match &property.kind {
                b"ispe" => stated = pages.array::<12>(property.body.offset),
                b"irot" => turned = pages.array::<1>(property.body.offset)?[0] & 1 == 1,
                _ => {}
            }
        }
        if of == id {
            let (w, h) = (be32(&stated?, 4)?, be32(&stated?, 8)?);
            return Some(if turned { (h, w) } else { (w, h) }).filter(|(w, h)| *w > 0 && *h > 0);
        }
    }
    None
}

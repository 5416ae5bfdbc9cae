//! Where makers' raws keep JPEG previews, and the camera data of those that keep it inside such a preview.
//!
//! Offsets are checked against the file and each preview against the mark of a JPEG; whether it can be shown is for
//! those to see who decode it. Develops nothing. Sources: TIFF 6.0 and TIFF/EP for directories; published tag tables
//! for makers' own tags.

use crate::metadata::Span;
use crate::pages::{Pages, be16, be32};
use crate::tiff::{Directory, Stream, Walk};

/// Offset and length of a JPEG (TIFF 6.0 section 22; the thumbnail of Exif data), and of a picture's strips.
const JPEG: (u16, u16) = (0x0201, 0x0202);
const STRIP: (u16, u16) = (0x0111, 0x0117);

/// JPEG preview of an RW2, in its first directory.
const RW2_JPEG: u16 = 0x002E;

/// A maker's own data.
const MAKER_NOTE: u16 = 0x927C;

/// The JPEG at a place, when it fits into the file and starts as one.
pub(crate) fn jpeg_at(pages: &mut Pages<'_>, offset: u64, bytes: u64) -> Option<Span> {
    let span = Span { offset, bytes };
    (bytes > 4 && span.end() <= pages.size_bytes() && pages.exact(offset, 2) == [0xFF, 0xD8]).then_some(span)
}

/// JPEG previews of all directories of a stream, in the order found.
pub(crate) fn previews(pages: &mut Pages<'_>, walk: &Walk) -> Vec<Span> {
    let mut found = vec![];
    for directory in walk.chain.iter().chain(&walk.subs) {
        for (offset, bytes) in [JPEG, STRIP] {
            // A picture in several strips is no JPEG preview.
            let single = |pages: &mut Pages<'_>, tag| match directory.numbers(pages, tag, 2)[..] {
                [one] => Some(u64::from(one)),
                _ => None,
            };
            let Some((offset, bytes)) = single(pages, offset).zip(single(pages, bytes)) else { continue };
            found.extend(jpeg_at(pages, directory.stream().base + offset, bytes));
        }
    }
    if let Some(entry) = walk.chain.first().and_then(|d| d.entry(RW2_JPEG)) {
        found.extend(jpeg_at(pages, entry.at, entry.bytes));
    }
    found.extend(in_olympus_note(pages, walk));
    found.sort_by_key(|s| (s.offset, s.bytes));
    found.dedup_by_key(|s| s.offset);
    found
}

/// The preview that an ORF names in its maker's note.
fn in_olympus_note(pages: &mut Pages<'_>, walk: &Walk) -> Option<Span> {
    let holder = walk.exif.as_ref()?;
    let note = *holder.entry(MAKER_NOTE)?;
    let head = pages.get(note.at, 16).to_vec();
    let outer = holder.stream();
    // Newer notes count offsets from their own start; the oldest from that of the file's stream.
    let (base, directory_at) = match &head[..] {
        [b'O', b'L', b'Y', b'M', b'P', 0, ..] => (outer.base, note.at + 8),
        [b'O', b'L', b'Y', b'M', b'P', b'U', b'S', 0, b'I', b'I', ..] => (note.at, note.at + 12),
        [b'O', b'M', b' ', b'S', b'Y', b'S', b'T', b'E', b'M', 0, ..] => (note.at, note.at + 16),
        _ => return None,
    };
    let stream = Stream { base, end: pages.size_bytes(), big_endian: outer.big_endian };
    let main = stream.directory(pages, u32::try_from(directory_at - base).ok()?)?;
    let named = |pages: &mut Pages<'_>, directory: &Directory, offset, bytes| {
        let offset = u64::from(directory.number(pages, offset)?);
        let bytes = directory.number(pages, bytes)?.into();
        jpeg_at(pages, base + offset, bytes).or_else(|| jpeg_at(pages, outer.base + offset, bytes))
    };
    // 2020 is the directory of camera settings, 0101 and 0102 in it the preview's place and length; 0088 and 0089
    // are the same in the oldest notes.
    let settings = main.number(pages, 0x2020).and_then(|at| stream.directory(pages, at));
    settings
        .and_then(|settings| named(pages, &settings, 0x0101, 0x0102))
        .or_else(|| named(pages, &main, 0x0088, 0x0089))
}

/// Largest width and height among the pictures of a raw's directories: the raw picture itself.
pub(crate) fn largest_picture(pages: &mut Pages<'_>, walk: &Walk) -> Option<(u32, u32)> {
    let sides = |d: &Directory| d.number(pages, 0x0100).zip(d.number(pages, 0x0101));
    let all: Vec<_> = walk.chain.iter().chain(&walk.subs).filter_map(sides).collect();
    all.into_iter().filter(|(w, h)| *w > 0 && *h > 0).max_by_key(|(w, h)| u64::from(*w) * u64::from(*h))
}

/// What a RAF says about itself: its JPEG, and the size of its raw picture.
pub(crate) struct Raf {
    pub(crate) jpeg: Option<Span>,
    pub(crate) size_px: Option<(u32, u32)>,
}

/// Most records of a RAF's own directory that are looked at.
const MOST_RECORDS: u32 = 256;

/// Reads the head of a RAF: offset and length of its JPEG stand, big-endian, at bytes 84 and 88, those of its
/// directory at 92 and 96.
pub(crate) fn raf(pages: &mut Pages<'_>) -> Raf {
    let head = pages.get(0, 100).to_vec();
    let long = |at| be32(&head, at).map(u64::from);
    let jpeg = long(84).zip(long(88)).and_then(|(offset, bytes)| jpeg_at(pages, offset, bytes));
    Raf { jpeg, size_px: long(92).and_then(|at| raf_size(pages, at)) }
}

/// Height and width of the picture in a RAF's directory: record 0111, else 0100 with its borders.
fn raf_size(pages: &mut Pages<'_>, directory: u64) -> Option<(u32, u32)> {
    let count = u32::from_be_bytes(pages.array(directory)?).min(MOST_RECORDS);
    let (mut at, mut found) = (directory + 4, None);
    for _ in 0..count {
        let record = pages.get(at, 8).to_vec();
        let (tag, bytes) = be16(&record, 0).zip(be16(&record, 2))?;
        if bytes == 4 && (tag == 0x0111 || (tag == 0x0100 && found.is_none())) {
            let (height, width) = be16(&record, 4).zip(be16(&record, 6))?;
            found = Some((width.into(), height.into())).filter(|(w, h): &(u32, u32)| *w > 0 && *h > 0);
        }
        at += 4 + u64::from(bytes);
    }
    found
}

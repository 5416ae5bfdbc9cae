//! The outline of a JPEG picture: its segments up to the picture data, the other pictures its index names, and
//! whether the data end as they should.
//!
//! Reads headers only; decodes nothing.

use crate::metadata::Span;
use crate::pages::{Pages, be16, be32, le32};

/// What stands before the picture data of a JPEG. Places count from the start of the file.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Outline {
    /// The TIFF stream of the first Exif segment.
    pub(crate) exif: Option<Span>,
    /// The index of a multi-picture file, from its endian mark on.
    index: Option<Span>,
    /// Width and height from the frame header.
    pub(crate) size_px: Option<(u32, u32)>,
    /// Whether the coding is one that pictures are shown by (baseline, extended, progressive), not the lossless
    /// one of raws.
    pub(crate) shown: bool,
    /// Where the first scan starts; `None` when the file ends before it.
    pub(crate) scan_at: Option<u64>,
}

/// Segments before the picture data: real files have some tens, so more means that this is no JPEG.
const MOST_SEGMENTS: usize = 1000;

/// Most stray bytes before a marker; any may stand there (ITU-T T.81 B.1.1.2), but no writer leaves many.
const MOST_STRAY_BYTES: usize = 4096;

/// Reads the outline of a JPEG that starts at `base`. What stands before the file ends, or before its
/// segments stop making sense, is given; the rest is absent.
pub(crate) fn outline(pages: &mut Pages<'_>, base: u64) -> Outline {
    let mut outline = Outline::default();
    let mut at = base + 2;
    for _ in 0..MOST_SEGMENTS {
        let Some((marker, after)) = marker(pages, at) else { break };
        at = after;
        match marker {
            // Markers without a length.
            0x00 | 0x01 | 0xD0..=0xD8 => continue,
            0xD9 => break,
            _ => {}
        }
        let Some(length) = pages.array(at).map(u16::from_be_bytes) else { break };
        let body = Span { offset: at + 2, bytes: u64::from(length.saturating_sub(2)) };
        at = body.end();
        match marker {
            0xDA => {
                outline.scan_at = (at <= pages.size_bytes()).then_some(at);
                break;
            }
            // Frame headers: C0..CF but DHT, JPG and DAC (ITU-T T.81 table B.1).
            0xC0..=0xCF if ![0xC4, 0xC8, 0xCC].contains(&marker) && body.bytes >= 5 => {
                let header: Option<[u8; 5]> = pages.array(body.offset);
                let side = |h: [u8; 5], i| u32::from(u16::from_be_bytes([h[i], h[i + 1]]));
                outline.size_px = header.map(|h| (side(h, 3), side(h, 1))).filter(|(w, h)| *w > 0 && *h > 0);
                outline.shown = matches!(marker, 0xC0..=0xC2);
            }
            0xE1 if outline.exif.is_none() && pages.get(body.offset, 5) == b"Exif\0" => {
                outline.exif = body.past(6);
            }
            0xE2 if outline.index.is_none() && pages.get(body.offset, 4) == b"MPF\0" => {
                outline.index = body.past(4);
            }
            _ => {}
        }
    }
    outline
}

/// The next marker from `at` on, and where it ends.
fn marker(pages: &mut Pages<'_>, at: u64) -> Option<(u8, u64)> {
    // Nearly always it stands right here.
    if let [0xFF, marker @ 1..=0xFE] = pages.get(at, 2) {
        return Some((*marker, at + 2));
    }
    let bytes = pages.get(at, MOST_STRAY_BYTES);
    let lead = bytes.iter().position(|b| *b == 0xFF)?;
    let more = bytes[lead..].iter().position(|b| *b != 0xFF)?;
    Some((bytes[lead + more], at + (lead + more + 1) as u64))
}

/// Most pictures of an index that are looked at.
const MOST_PICTURES: usize = 16;

impl Outline {
    /// The pictures that a multi-picture index names, the file's own first (CIPA DC-007). Only those that start as
    /// a JPEG and fit into the file are given; editors often cut the others off and leave the index. Types:
    /// 03 primary, 01 large thumbnail, 02 other views.
    pub(crate) fn pictures(&self, pages: &mut Pages<'_>) -> Vec<(u8, Span)> {
        self.listed(pages).unwrap_or_default()
    }

    fn listed(&self, pages: &mut Pages<'_>) -> Option<Vec<(u8, Span)>> {
        let index = self.index?;
        let bytes = pages.get(index.offset, index.bytes as usize).to_vec();
        let big_endian = bytes.starts_with(b"MM");
        let long = |at| if big_endian { be32(&bytes, at) } else { le32(&bytes, at) };
        let short = |at: usize| {
            let value = be16(&bytes, at)?;
            Some(if big_endian { value } else { value.swap_bytes() })
        };
        let directory = long(4)? as usize;
        let entries = (0..usize::from(short(directory)?.min(64))).map(|i| directory + 2 + 12 * i);
        // B002: MP Entry, 16 bytes a picture.
        let list = entries.into_iter().find(|at| short(*at) == Some(0xB002))?;
        let (count, at) = (long(list + 4)? as usize / 16, long(list + 8)? as usize);
        let mut found = vec![];
        for entry in (0..count.min(MOST_PICTURES)).map_while(|i| at.checked_add(16 * i)) {
            let (attribute, size, offset) = (long(entry)?, long(entry + 4)?, long(entry + 8)?);
            // Offsets count from the index; the first picture is the file itself and says 0.
            let from = if offset == 0 { 0 } else { index.offset + u64::from(offset) };
            let span = Span { offset: from, bytes: size.into() };
            let is_jpeg = (attribute >> 24).trailing_zeros() >= 3;
            if is_jpeg && span.end() <= pages.size_bytes() && pages.exact(from, 2) == [0xFF, 0xD8] {
                found.push(((attribute >> 16) as u8, span));
            }
        }
        Some(found)
    }
}

/// How much of a file's end is searched for the end mark, step by step: nearly every file ends with it, some
/// cameras pad or append notes of their own.
const SEARCHED_BYTES: [u64; 3] = [32, 2048, 64 * 1024];

/// Says whether the picture data of a JPEG come to an end before its file does.
///
/// `own` is the length of the file's own picture where an index states it.
pub(crate) fn ends_properly(pages: &mut Pages<'_>, scan_at: u64, own: Option<u64>) -> bool {
    if let Some(end) = own.filter(|end| *end >= scan_at + 2 && *end <= pages.size_bytes())
        && pages.exact(end - 2, 2) == [0xFF, 0xD9]
    {
        return true;
    }
    SEARCHED_BYTES.into_iter().any(|searched| {
        let end = pages.size_bytes();
        let from = end.saturating_sub(searched).max(scan_at);
        let tail = pages.exact(from, (end.saturating_sub(from)) as usize);
        tail.array_windows().any(|[lead, mark]| *lead == 0xFF && ends_data(*mark))
    })
}

/// Whether a byte after FF shows that the picture data are over: the end mark itself, or what cannot stand within or
/// between scans (ITU-T T.81 B.1.1.5 and B.2), so that it belongs to something behind the picture.
fn ends_data(mark: u8) -> bool {
    mark == 0xD9 || matches!(mark, 0x02..=0xBF | 0xF0..=0xFD)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::Sample;

    fn of(bytes: &[u8]) -> Outline {
        outline(&mut Pages::new(&bytes), 0)
    }

    fn ends(bytes: &[u8], scan_at: u64) -> bool {
        ends_properly(&mut Pages::new(&bytes), scan_at, None)
    }

    #[test]
    fn outline_of_a_whole_file() {
        let bytes = Sample { width: 48, height: 32, ..Sample::default() }.jpeg();
        let outline = of(&bytes);
        assert_eq!(outline.size_px, Some((48, 32)));
        assert!(outline.shown);
        let exif = outline.exif.unwrap();
        assert!(bytes[exif.offset as usize..].starts_with(b"II*\0"));
        let scan_at = outline.scan_at.unwrap();
        let whole = bytes.len() as u64;
        assert!(ends(&bytes, scan_at));
        assert!(!ends(&bytes[..(scan_at + (whole - scan_at) / 2) as usize], scan_at));
        assert!(!ends(&bytes[..bytes.len() - 1], scan_at));
    }

    #[test]
    fn what_stands_behind_the_picture_does_no_harm() {
        let bytes = Sample::default().jpeg();
        let scan_at = of(&bytes).scan_at.unwrap();
        let mut padded = bytes.clone();
        padded.resize(bytes.len() + 5000, 0);
        assert!(ends(&padded, scan_at));
        // A film behind the picture: its bytes hold what picture data cannot.
        let mut with_film = bytes.clone();
        with_film.extend((0..200_000u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8));
        assert!(ends(&with_film, scan_at));
        // A card that lost the rest filled it with zeros.
        let mut lost = bytes[..bytes.len() - 40].to_vec();
        lost.resize(lost.len() + 200_000, 0);
        assert!(!ends(&lost, scan_at));
    }

    #[test]
    fn any_cut_gives_what_stands_before_it() {
        let bytes = Sample::default().jpeg();
        let whole = of(&bytes);
        for end in 0..bytes.len() {
            let cut = of(&bytes[..end]);
            assert!(cut.size_px.is_none() || cut.size_px == whole.size_px);
            assert!(cut.scan_at.is_none() || cut.scan_at == whole.scan_at);
        }
    }

    #[test]
    fn noise_is_no_outline() {
        let noise: Vec<u8> = (0..20_000u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
        assert_eq!(of(&noise).exif, None);
        assert_eq!(of(&vec![0xFF; 70_000]), Outline::default());
    }

    #[test]
    fn pictures_of_an_index_are_checked() {
        let (small, large) = (Sample { width: 64, height: 48, ..Sample::default() }, Sample::default());
        let thumbnail = small.jpeg();
        let bytes = large.with_picture_behind(&thumbnail);
        let pictures = |bytes: &[u8]| of(bytes).pictures(&mut Pages::new(&bytes));
        let own = bytes.len() - thumbnail.len();
        let at = Span { offset: own as u64, bytes: thumbnail.len() as u64 };
        assert_eq!(pictures(&bytes), [(3, Span { offset: 0, bytes: own as u64 }), (1, at)]);
        assert_eq!(pictures(&bytes[..bytes.len() - 1]).len(), 1, "cut off");
        let mut other = bytes.clone();
        other[own] = 0;
        assert_eq!(pictures(&other).len(), 1, "no JPEG");
        // The picture of the file itself is whole although the one behind it is cut off.
        let scan_at = of(&bytes).scan_at.unwrap();
        let cut = &bytes[..own + 300];
        assert!(ends_properly(&mut Pages::new(&cut), scan_at, Some(own as u64)));
    }
}

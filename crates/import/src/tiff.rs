//! TIFF directories, walked lazily: in TIFF files, in makers' raws, and in the Exif data of every other format.
//!
//! Gives entries and their values. Every offset is checked against the stream, every count is bounded, and no
//! directory is read twice; what does not fit is left out and marks the walk as damaged. Knows no meaning of tags
//! but of those that lead to other directories.

use crate::pages::Pages;

/// Most entries of a directory that are looked at: real ones have some tens, makers' own some hundreds.
const MOST_ENTRIES: u16 = 1000;

/// Most directories of one stream: raws have up to ten.
const MOST_DIRECTORIES: usize = 32;

/// Most bytes of a text that are read.
const MOST_TEXT_BYTES: u64 = 1024;

/// A TIFF stream inside a file. Offsets within it count from `base`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Stream {
    pub(crate) base: u64,
    pub(crate) end: u64,
    pub(crate) big_endian: bool,
}

/// One entry of a directory.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Entry {
    pub(crate) tag: u16,
    kind: u16,
    count: u32,
    /// Where its value lies, counted from the start of the file.
    pub(crate) at: u64,
    /// Length of its value.
    pub(crate) bytes: u64,
}

/// A directory.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Directory {
    stream: Stream,
    entries: Vec<Entry>,
    next: u32,
    /// Whether some of it was left out because it does not fit.
    damaged: bool,
}

/// Bytes of one value of a type (TIFF 6.0, section 2; 13 is IFD of its supplement 1, 129 UTF-8 of Exif 3.0).
fn value_bytes(kind: u16) -> Option<u64> {
    match kind {
        1 | 2 | 6 | 7 | 129 => Some(1),
        3 | 8 => Some(2),
        4 | 9 | 11 | 13 => Some(4),
        5 | 10 | 12 => Some(8),
        _ => None,
    }
}

impl Stream {
    /// Opens a stream; gives it with the offset of its first directory. `None` when there is none.
    pub(crate) fn open(pages: &mut Pages<'_>, base: u64, end: u64) -> Option<(Self, u32)> {
        let end = end.min(pages.size_bytes());
        let head: [u8; 8] = pages.array(base).filter(|_| base + 8 <= end)?;
        let big_endian = match &head[..4] {
            // ORF writes RO or RS, RW2 U and a zero, in place of 42.
            b"II*\0" | b"IIRO" | b"IIRS" | b"IIU\0" => false,
            b"MM\0*" | b"MMOR" => true,
            _ => return None,
        };
        let stream = Self { base, end, big_endian };
        Some((stream, stream.u32(&head[4..])?))
    }

    fn u16(self, bytes: &[u8]) -> Option<u16> {
        let value = *bytes.first_chunk()?;
        Some(if self.big_endian { u16::from_be_bytes(value) } else { u16::from_le_bytes(value) })
    }

    fn u32(self, bytes: &[u8]) -> Option<u32> {
        let value = *bytes.first_chunk()?;
        Some(if self.big_endian { u32::from_be_bytes(value) } else { u32::from_le_bytes(value) })
    }

    /// The directory at `offset`; `None` when there can be none.
    pub(crate) fn directory(self, pages: &mut Pages<'_>, offset: u32) -> Option<Directory> {
        let at = self.base + u64::from(offset);
        if offset < 8 || at + 2 > self.end {
            return None;
        }
        let stated = self.u16(pages.get(at, 2))?;
        let count = stated.min(MOST_ENTRIES);
        let bytes = pages.get(at + 2, usize::from(count) * 12 + 4).to_vec();
        let room = usize::try_from(self.end - at - 2).unwrap_or(usize::MAX).min(bytes.len());
        let bytes = &bytes[..room];
        let entries = bytes.chunks_exact(12).take(count.into()).zip(0u64..);
        let entries: Vec<Entry> =
            entries.filter_map(|(entry, i)| self.entry(entry, at + 2 + 12 * i)).collect();
        let fitting: Vec<Entry> = entries.iter().copied().filter(|e| e.at + e.bytes <= self.end).collect();
        let damaged =
            count < stated || bytes.len() / 12 < usize::from(count) || fitting.len() < entries.len();
        let next = bytes.get(usize::from(count) * 12..).and_then(|b| self.u32(b)).unwrap_or(0);
        Some(Directory { stream: self, entries: fitting, next, damaged })
    }

    /// One entry, wherever its value may lie; `None` when its type is not known.
    fn entry(self, bytes: &[u8], at: u64) -> Option<Entry> {
        let (tag, kind) = (self.u16(bytes)?, self.u16(&bytes[2..])?);
        let (count, offset) = (self.u32(&bytes[4..])?, self.u32(&bytes[8..])?);
        let bytes = value_bytes(kind)? * u64::from(count);
        let value_at = if bytes <= 4 { at + 8 } else { self.base + u64::from(offset) };
        Some(Entry { tag, kind, count, at: value_at, bytes })
    }
}

impl Directory {
    /// The first entry with a tag.
    pub(crate) fn entry(&self, tag: u16) -> Option<&Entry> {
        self.entries.iter().find(|e| e.tag == tag)
    }

    /// The stream it belongs to.
    pub(crate) fn stream(&self) -> Stream {
        self.stream
    }

    /// Text up to its first NUL, trimmed; `None` when it is absent or no text.
    pub(crate) fn text(&self, pages: &mut Pages<'_>, tag: u16) -> Option<String> {
        let entry = self.entry(tag).filter(|e| matches!(e.kind, 1 | 2 | 7 | 129))?;
        let bytes = pages.get(entry.at, entry.bytes.min(MOST_TEXT_BYTES) as usize);
        let text = bytes.split(|b| *b == 0).find(|part| !part.is_empty()).unwrap_or_default();
        Some(String::from_utf8_lossy(text).trim().to_owned())
    }

    /// Whole numbers, at most `most` of them; empty when the tag is absent or holds something else.
    pub(crate) fn numbers(&self, pages: &mut Pages<'_>, tag: u16, most: usize) -> Vec<u32> {
        let Some(entry) = self.entry(tag) else { return vec![] };
        let each = match entry.kind {
            1 | 7 => 1,
            3 => 2,
            4 | 13 => 4,
            _ => return vec![],
        };
        let count = most.min(entry.count as usize);
        let values = pages.get(entry.at, count * each).chunks_exact(each);
        let value = |b: &[u8]| match b {
            [one] => Some(u32::from(*one)),
            [_, _] => self.stream.u16(b).map(u32::from),
            _ => self.stream.u32(b),
        };
        values.filter_map(value).collect()
    }

    /// The first whole number of an entry.
    pub(crate) fn number(&self, pages: &mut Pages<'_>, tag: u16) -> Option<u32> {
        self.numbers(pages, tag, 1).first().copied()
    }

    /// Fractions, `most` at most. One with a denominator of 0 is absent (CIPA DC-008).
    pub(crate) fn fractions(&self, pages: &mut Pages<'_>, tag: u16, most: usize) -> Vec<Option<f64>> {
        let Some(entry) = self.entry(tag).filter(|e| matches!(e.kind, 5 | 10)) else { return vec![] };
        let signed = entry.kind == 10;
        let part = |b: &[u8]| {
            let part = self.stream.u32(b)?;
            Some(if signed { f64::from(part.cast_signed()) } else { f64::from(part) })
        };
        let fraction = |b: &[u8]| Some(part(b)? / part(&b[4..]).filter(|d| *d != 0.0)?);
        let count = most.min(entry.count as usize);
        pages.get(entry.at, count * 8).chunks_exact(8).map(fraction).collect()
    }
}

/// All directories of a stream.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Walk {
    /// The first directory and those that follow in its chain: in Exif data the thumbnail's, in raws previews.
    pub(crate) chain: Vec<Directory>,
    /// Directories that those name as their own (`SubIFDs`): in raws the raw picture and previews.
    pub(crate) subs: Vec<Directory>,
    pub(crate) exif: Option<Directory>,
    pub(crate) gps: Option<Directory>,
    /// Whether something did not fit and was left out.
    pub(crate) damaged: bool,
}

/// Tags that lead to other directories: `SubIFDs` (TIFF/EP), Exif and GPS (CIPA DC-008).
const SUBS: u16 = 0x014A;
const EXIF: u16 = 0x8769;
const GPS: u16 = 0x8825;

/// Walks a stream from its first directory on; `None` when there is no TIFF stream.
pub(crate) fn walk(pages: &mut Pages<'_>, base: u64, end: u64) -> Option<Walk> {
    let (stream, first) = Stream::open(pages, base, end)?;
    let mut walk = Walk::default();
    let mut seen = vec![];
    let mut next = first;
    while next != 0 && walk.chain.len() < MOST_DIRECTORIES {
        // A pointer to nowhere behind the thumbnail's directory is common and does no harm.
        let Some(directory) = unseen(&mut seen, next).and_then(|at| stream.directory(pages, at)) else {
            walk.damaged |= walk.chain.len() < 2;
            break;
        };
        walk.damaged |= directory.damaged && walk.chain.len() < 2;
        for sub in directory.numbers(pages, SUBS, MOST_DIRECTORIES) {
            if walk.subs.len() < MOST_DIRECTORIES {
                walk.subs.extend(unseen(&mut seen, sub).and_then(|at| stream.directory(pages, at)));
            }
        }
        next = directory.next;
        walk.chain.push(directory);
    }
    let mut pointed = |tag| {
        let at = walk.chain.first()?.number(pages, tag)?;
        let directory = unseen(&mut seen, at).and_then(|at| stream.directory(pages, at));
        walk.damaged |= directory.as_ref().is_none_or(|d| d.damaged);
        directory
    };
    (walk.exif, walk.gps) = (pointed(EXIF), pointed(GPS));
    Some(walk)
}

fn unseen(seen: &mut Vec<u32>, at: u32) -> Option<u32> {
    if seen.contains(&at) {
        return None;
    }
    seen.push(at);
    Some(at)
}

impl Walk {
    /// The directory that holds a tag: tags of Exif stand in its own directory, in some raws in the first.
    fn holder(&self, tag: u16) -> Option<&Directory> {
        [self.exif.as_ref().filter(|_| tag >= 0x8000), self.chain.first()]
            .into_iter()
            .flatten()
            .find(|d| d.entry(tag).is_some())
    }

    /// Text of a tag of the camera data.
    pub(crate) fn text(&self, pages: &mut Pages<'_>, tag: u16) -> Option<String> {
        self.holder(tag)?.text(pages, tag)
    }

    /// First whole number of a tag of the camera data.
    pub(crate) fn number(&self, pages: &mut Pages<'_>, tag: u16) -> Option<u32> {
        self.holder(tag)?.number(pages, tag)
    }

    /// First fraction of a tag of the camera data.
    pub(crate) fn fraction(&self, pages: &mut Pages<'_>, tag: u16) -> Option<f64> {
        self.holder(tag)?.fractions(pages, tag, 1).first().copied().flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A little-endian stream with one directory at 8, of entries (tag, type, count, value), and a next pointer.
    fn stream(entries: &[(u16, u16, u32, u32)], next: u32, rest: &[u8]) -> Vec<u8> {
        let mut out = b"II*\0\x08\0\0\0".to_vec();
        out.extend((entries.len() as u16).to_le_bytes());
        for (tag, kind, count, value) in entries {
            out.extend(tag.to_le_bytes());
            out.extend(kind.to_le_bytes());
            out.extend(count.to_le_bytes());
            out.extend(value.to_le_bytes());
        }
        out.extend(next.to_le_bytes());
        out.extend(rest);
        out
    }

    fn walked<T>(bytes: &[u8], look: impl Fn(&Walk, &mut Pages<'_>) -> T) -> T {
        let mut pages = Pages::new(&bytes);
        let walk = walk(&mut pages, 0, bytes.len() as u64).unwrap();
        look(&walk, &mut pages)
    }

    #[test]
    fn values_of_each_type() {
        let mut rest = 3u32.to_le_bytes().to_vec();
        rest.extend(2u32.to_le_bytes());
        rest.extend(1u32.to_le_bytes());
        rest.extend(0u32.to_le_bytes());
        rest.extend(b" Examplecam\0junk");
        let at = 8 + 2 + 5 * 12 + 4;
        let bytes = stream(
            &[(1, 3, 1, 7), (2, 5, 2, at), (3, 2, 16, at + 16), (4, 10, 1, at), (5, 99, 1, 1)],
            0,
            &rest,
        );
        walked(&bytes, |walk, pages| {
            assert_eq!(walk.number(pages, 1), Some(7));
            assert_eq!(walk.chain[0].fractions(pages, 2, 9), [Some(1.5), None], "x/0 is absent");
            assert_eq!(walk.text(pages, 3).as_deref(), Some("Examplecam"));
            assert_eq!(walk.fraction(pages, 4), Some(1.5));
            assert_eq!(
                (walk.number(pages, 5), walk.text(pages, 1), walk.number(pages, 9)),
                (None, None, None)
            );
            assert!(!walk.damaged);
        });
    }

    #[test]
    fn loops_and_pointers_out_of_the_file_end() {
        // Its chain, its Exif pointer and its sub-directories all lead back to itself.
        let own = stream(&[(0x014A, 4, 1, 8), (0x8769, 4, 1, 8)], 8, &[]);
        walked(&own, |walk, _| {
            assert_eq!((walk.chain.len(), walk.subs.len(), walk.exif.is_some()), (1, 0, false));
            assert!(walk.damaged);
        });
        let far = stream(&[(1, 4, u32::MAX, 8), (2, 5, 0x4000_0000, 8), (3, 2, 5, u32::MAX)], u32::MAX, &[]);
        walked(&far, |walk, pages| {
            assert_eq!((walk.text(pages, 3), walk.number(pages, 1)), (None, None));
            assert!(walk.damaged);
        });
        let mut endless = stream(&[(1, 3, 1, 7)], 0, &[]);
        endless[8..10].fill(0xFF);
        walked(&endless, |walk, pages| assert_eq!(walk.number(pages, 1), Some(7)));
    }

    #[test]
    fn any_cut_is_read_as_far_as_it_goes() {
        let whole = stream(&[(1, 3, 1, 7), (2, 2, 9, 8 + 2 + 24 + 4)], 0, b"nine more\0");
        for end in 0..whole.len() {
            let bytes = &whole[..end];
            if walk(&mut Pages::new(&bytes), 0, u64::MAX).is_some() {
                walked(bytes, |walk, pages| assert!([None, Some(7)].contains(&walk.number(pages, 1))));
            }
        }
    }
}

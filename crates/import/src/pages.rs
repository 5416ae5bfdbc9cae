//! A file seen through the few parts of it that were read.
//!
//! Parts are read when asked for, with a little more behind them, and kept, so that a walk over directories that lie
//! together costs one read. What cannot be read looks like the end of the file; [`Pages::trouble`] says so.

use std::io;

use crate::source::Source;

/// First read of a file. Camera data start there and mostly end there; an Exif thumbnail takes 5 to 15 KiB.
const HEAD_BYTES: usize = 16 * 1024;

/// Read beyond what was asked for, elsewhere: a directory and its values take some hundreds of bytes.
const AHEAD_BYTES: usize = 2 * 1024;

/// Most bytes kept of one file's structures, whatever they declare.
const MOST_HELD_BYTES: u64 = 64 * 1024 * 1024;

/// A part that was read.
struct Held {
    at: u64,
    bytes: Vec<u8>,
}

impl Held {
    fn end(&self) -> u64 {
        self.at + self.bytes.len() as u64
    }
}

/// The parts of a file that were read so far.
pub(crate) struct Pages<'a> {
    source: &'a dyn Source,
    size_bytes: u64,
    held: Vec<Held>,
    held_bytes: u64,
    /// Why a read failed, the first time it did.
    pub(crate) trouble: Option<io::Error>,
    /// Whether the file turned out shorter than it was when opened.
    pub(crate) shrunk: bool,
}

impl<'a> Pages<'a> {
    pub(crate) fn new(source: &'a dyn Source) -> Self {
        let size_bytes = source.size_bytes();
        Self { source, size_bytes, held: vec![], held_bytes: 0, trouble: None, shrunk: false }
    }

    /// Length of the file as far as is known.
    pub(crate) fn size_bytes(&self) -> u64 {
        self.size_bytes
    }

    /// `len` bytes from `at` on, fewer where the file ends or cannot be read.
    pub(crate) fn get(&mut self, at: u64, len: usize) -> &[u8] {
        let ahead = if self.held.is_empty() { HEAD_BYTES } else { AHEAD_BYTES };
        self.fetch(at, len, ahead)
    }

    /// The same without reading more than was asked for.
    pub(crate) fn exact(&mut self, at: u64, len: usize) -> &[u8] {
        self.fetch(at, len, 0)
    }

    /// An array from `at` on; `None` where the file ends before.
    pub(crate) fn array<const N: usize>(&mut self, at: u64) -> Option<[u8; N]> {
        self.get(at, N).first_chunk().copied()
    }

    fn fetch(&mut self, at: u64, len: usize, ahead: usize) -> &[u8] {
        let left = self.size_bytes.saturating_sub(at);
        let len = len.min(usize::try_from(left).unwrap_or(usize::MAX));
        if len == 0 || self.held_bytes + len as u64 > MOST_HELD_BYTES {
            return &[];
        }
        let wanted_end = at + len as u64;
        // The last part that reaches here: parts that grew may overlap.
        let found = self.held.iter().rposition(|h| h.at <= at && at <= h.end());
        let index = found.unwrap_or(self.held.len());
        if found.is_none() {
            self.held.push(Held { at, bytes: vec![] });
        }
        let end = self.held[index].end();
        if end < wanted_end {
            let read_end = wanted_end.max(end + ahead as u64).min(self.size_bytes);
            let more = self.read(end, (read_end - end) as usize);
            self.held_bytes += more.len() as u64;
            self.held[index].bytes.extend(more);
        }
        let held = &self.held[index];
        let from = (at - held.at) as usize;
        let bytes = held.bytes.get(from..).unwrap_or_default();
        &bytes[..bytes.len().min(len)]
    }

    /// Reads afresh, keeping nothing: for pictures. Fewer bytes where the file ends or cannot be read.
    pub(crate) fn read(&mut self, at: u64, len: usize) -> Vec<u8> {
        let mut bytes = vec![0; len];
        let mut come = 0;
        while come < len {
            match self.source.read_at(at + come as u64, &mut bytes[come..]) {
                Ok(0) => {
                    self.shrunk |= at + (come as u64) < self.size_bytes;
                    self.size_bytes = self.size_bytes.min(at + come as u64);
                    break;
                }
                Ok(more) => come += more,
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                Err(e) => {
                    self.trouble.get_or_insert(e);
                    break;
                }
            }
        }
        bytes.truncate(come);
        bytes
    }

    /// The whole file; empty when it is longer than `most_bytes`.
    pub(crate) fn whole(&mut self, most_bytes: u64) -> Vec<u8> {
        if self.size_bytes > most_bytes {
            return vec![];
        }
        // What is held already is not read again.
        let mut bytes = match self.held.iter().find(|h| h.at == 0) {
            Some(head) => head.bytes.clone(),
            None => vec![],
        };
        let from = bytes.len() as u64;
        bytes.extend(self.read(from, self.size_bytes.saturating_sub(from) as usize));
        bytes
    }

    /// As many bytes as the file has, zero where nothing was read; empty when that is more than `most_bytes`.
    pub(crate) fn sparse(&self, most_bytes: u64) -> Vec<u8> {
        if self.size_bytes > most_bytes {
            return vec![];
        }
        let mut bytes = vec![0; self.size_bytes as usize];
        for held in &self.held {
            let from = (held.at as usize).min(bytes.len());
            let len = held.bytes.len().min(bytes.len() - from);
            bytes[from..from + len].copy_from_slice(&held.bytes[..len]);
        }
        bytes
    }
}

/// A big-endian number of two bytes.
pub(crate) fn be16(bytes: &[u8], at: usize) -> Option<u16> {
    bytes.get(at..)?.first_chunk().map(|b| u16::from_be_bytes(*b))
}

/// A big-endian number of four bytes.
pub(crate) fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|b| u32::from_be_bytes(*b))
}

/// A little-endian number of four bytes.
pub(crate) fn le32(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|b| u32::from_le_bytes(*b))
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;

    /// Counts reads as offset and length; the file has `real` bytes though it said `said`.
    struct Counted {
        said: u64,
        real: usize,
        reads: RefCell<Vec<(u64, usize)>>,
        broken_from: u64,
    }

    impl Source for Counted {
        fn size_bytes(&self) -> u64 {
            self.said
        }
        fn read_at(&self, offset: u64, into: &mut [u8]) -> io::Result<usize> {
            if offset >= self.broken_from {
                return Err(io::Error::other("bad block"));
            }
            let bytes: Vec<u8> = (0..self.real).map(|i| i as u8).collect();
            let come = bytes.as_slice().read_at(offset, into)?;
            self.reads.borrow_mut().push((offset, come));
            Ok(come)
        }
    }

    fn counted(said: u64, real: usize) -> Counted {
        Counted { said, real, reads: RefCell::default(), broken_from: u64::MAX }
    }

    #[test]
    fn nothing_is_read_twice_and_little_ahead() {
        let source = counted(100_000, 100_000);
        let mut pages = Pages::new(&source);
        assert_eq!(pages.get(0, 4), [0, 1, 2, 3]);
        assert_eq!(pages.get(300, 2), [44, 45]);
        assert_eq!(pages.get(16_380, 10).len(), 10, "grows");
        assert_eq!(pages.get(50_000, 1), [80]);
        assert_eq!(pages.exact(99_990, 32).len(), 10, "up to the end");
        let reads = vec![(0, 16_384), (16_384, 2048), (50_000, 2048), (99_990, 10)];
        assert_eq!(*source.reads.borrow(), reads);
        assert_eq!(pages.get(100_000, 4), [0u8; 0]);
        assert_eq!(pages.get(u64::MAX, 4), [0u8; 0]);
        assert_eq!(pages.whole(100_000).len(), 100_000);
        assert_eq!(source.reads.borrow().last(), Some(&(18_432, 81_568)));
        assert_eq!(pages.whole(99_999).len(), 0);
        let sparse = pages.sparse(100_000);
        assert_eq!((sparse[300], sparse[40_000], sparse[50_001], sparse[99_999]), (44, 0, 81, 159));
    }

    #[test]
    fn a_file_that_shrinks_ends_where_it_ends() {
        let source = counted(100_000, 20_000);
        let mut pages = Pages::new(&source);
        assert_eq!(pages.get(19_998, 8).len(), 2);
        assert!(pages.shrunk);
        assert_eq!(pages.size_bytes(), 20_000);
        assert_eq!(pages.whole(1 << 20).len(), 20_000);
        assert!(pages.trouble.is_none());
    }

    #[test]
    fn a_bad_block_is_told() {
        let source = Counted { broken_from: 16_384, ..counted(100_000, 100_000) };
        let mut pages = Pages::new(&source);
        assert_eq!(pages.get(0, 4).len(), 4);
        assert_eq!(pages.get(16_382, 8).len(), 2, "what came before it stands");
        assert_eq!(pages.trouble.map(|e| e.to_string()).as_deref(), Some("bad block"));
    }
}

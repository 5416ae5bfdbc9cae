//! Where bytes come from, and how many were read.
//!
//! Everything that this crate reads of a card goes through [`Meter::open`], so that the count is whole. Tests and
//! fuzzing feed bytes in memory through the same [`Source`]. Keeps nothing of what was read; see `pages`.

use std::fs::File;
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

/// A file, or bytes that stand for one.
pub trait Source {
    /// Its length in bytes when it was opened. Less may be there by the time it is read.
    fn size_bytes(&self) -> u64;

    /// Reads from `offset` on into `into`, and gives how many bytes came; 0 at the end.
    ///
    /// # Errors
    /// What the system says when reading fails.
    fn read_at(&self, offset: u64, into: &mut [u8]) -> io::Result<usize>;
}

impl Source for &[u8] {
    fn size_bytes(&self) -> u64 {
        self.len() as u64
    }

    fn read_at(&self, offset: u64, into: &mut [u8]) -> io::Result<usize> {
        let rest = usize::try_from(offset).ok().and_then(|from| self.get(from..)).unwrap_or_default();
        let come = rest.len().min(into.len());
        into[..come].copy_from_slice(&rest[..come]);
        Ok(come)
    }
}

/// Counts the bytes read of all files opened through it.
#[derive(Debug, Default)]
pub(crate) struct Meter(AtomicU64);

impl Meter {
    /// Bytes read so far.
    pub(crate) fn bytes(&self) -> u64 {
        self.0.load(Ordering::Relaxed)
    }

    /// Opens a file for counted reading.
    ///
    /// # Errors
    /// What the system says.
    pub(crate) fn open(&self, path: &Path) -> io::Result<CardFile<'_>> {
        let file = File::open(path)?;
        let size_bytes = file.metadata()?.len();
        Ok(CardFile { file, size_bytes, meter: self })
    }
}

/// A file of a card, open for reading.
#[derive(Debug)]
pub(crate) struct CardFile<'a> {
    file: File,
    size_bytes: u64,
    meter: &'a Meter,
}

impl Source for CardFile<'_> {
    fn size_bytes(&self) -> u64 {
        self.size_bytes
    }

    fn read_at(&self, offset: u64, into: &mut [u8]) -> io::Result<usize> {
        #[cfg(unix)]
        let come = std::os::unix::fs::FileExt::read_at(&self.file, into, offset)?;
        #[cfg(windows)]
        let come = std::os::windows::fs::FileExt::seek_read(&self.file, into, offset)?;
        self.meter.0.fetch_add(come as u64, Ordering::Relaxed);
        Ok(come)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_read_is_counted() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, [7; 100]).unwrap();
        let meter = Meter::default();
        let file = meter.open(&path).unwrap();
        let mut into = [0; 30];
        assert_eq!((file.size_bytes(), meter.bytes()), (100, 0));
        assert_eq!(file.read_at(0, &mut into).unwrap(), 30);
        assert_eq!(file.read_at(90, &mut into).unwrap(), 10);
        assert_eq!(file.read_at(200, &mut into).unwrap(), 0);
        assert_eq!(meter.bytes(), 40);
    }

    #[test]
    fn bytes_in_memory_are_a_source() {
        let mut into = [0; 3];
        let source: &[u8] = &[1, 2, 3, 4];
        assert_eq!((source.read_at(2, &mut into).unwrap(), into), (2, [3, 4, 0]));
        assert_eq!(source.read_at(u64::MAX, &mut into).unwrap(), 0);
    }
}

//! What was read of a folder, kept for the next reading of it.
//!
//! A folder that is being watched is read again and again; only exposures whose files are new or changed, by path, size
//! or time of change, are opened then. What could not be opened is not kept. A reading gives the same frames with or
//! without it.

use std::collections::BTreeMap;
use std::time::SystemTime;

use crate::copies::Sums;
use crate::exposure::Read;
use crate::pairing::Exposure;

/// A file's path, size and time of change.
pub(crate) type Stamp = (String, u64, Option<SystemTime>);

/// The exposures of the last reading.
#[derive(Debug, Default)]
pub(crate) struct Kept {
    reads: BTreeMap<Vec<Stamp>, (Option<String>, Read)>,
    /// Whether an exposure could not be opened.
    lacking: bool,
    /// Sums of files that were compared.
    pub(crate) sums: Sums,
}

impl Kept {
    /// What was read of an exposure whose files are all as they were.
    pub(crate) fn read_of(&self, exposure: &Exposure) -> Option<Read> {
        let (remark, read) = self.reads.get(&stamps(exposure))?;
        (*remark == exposure.remark).then(|| read.clone())
    }

    /// Whether every exposure of the last reading could be opened.
    pub(crate) fn is_whole(&self) -> bool {
        !self.lacking
    }

    /// Keeps a reading in place of the one before. Both lists are in the same order.
    pub(crate) fn keep(&mut self, exposures: Vec<Exposure>, read: Vec<Read>) {
        self.lacking = read.iter().any(|read| read.unreadable);
        let both = exposures.into_iter().zip(read).filter(|(_, read)| !read.unreadable);
        self.reads = both.map(|(exposure, read)| (stamps(&exposure), (exposure.remark, read))).collect();
    }
}

fn stamps(exposure: &Exposure) -> Vec<Stamp> {
    exposure.files.iter().map(|f| (f.path.clone(), f.bytes, f.modified)).collect()
}

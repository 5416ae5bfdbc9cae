//! What the whole journal of an archive says should lie in it.
//!
//! Goes in: the journal. Comes out: SHA-256 and time of each file and text as last filed, moved or repaired, what was taken
//! back left out.

use std::collections::BTreeMap;
use std::path::Path;

use crate::FilingFault;
use crate::disk::Disk;
use crate::entry::Entry;
use crate::journal::{JOURNAL_FILE, Log};

/// What a file should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Expected {
    pub(crate) sha256: String,
    /// When it counts as last changed, in seconds since 1970; `None` where that is not known.
    pub(crate) changed: Option<i64>,
    /// Its size, where that is known.
    pub(crate) bytes: Option<u64>,
}

/// All that was done to an archive.
#[derive(Debug, Default)]
pub(crate) struct History {
    /// What the archive is known by.
    pub(crate) id: Option<String>,
    /// Whether there is a journal.
    pub(crate) is_there: bool,
    /// By path in the archive.
    pub(crate) expected: BTreeMap<String, Expected>,
    /// Whether the last filing is not over.
    pub(crate) is_open: bool,
    /// What the last filing changed: each path as it was before.
    before: BTreeMap<String, Option<Expected>>,
    moves: Vec<(String, String)>,
    /// Sizes of files that are going to be copied.
    announced: BTreeMap<String, u64>,
}

impl History {
    /// Reads the journal of an archive; none is as an empty one.
    ///
    /// # Errors
    /// As [`Log::read`]; and when there is no archive.
    pub(crate) fn read(disk: &dyn Disk, archive: &Path) -> Result<Self, FilingFault> {
        if !crate::disk::is_folder(disk, archive) {
            let reason = "there is no such folder".to_owned();
            return Err(FilingFault::ArchiveUnusable { reason, path: archive.to_owned() });
        }
        let is_there = crate::disk::size_of(disk, &archive.join(JOURNAL_FILE)).is_some();
        let mut history = Self { is_there, ..Self::default() };
        for entry in Log::entries(disk, archive)? {
            history.take(entry);
        }
        Ok(history)
    }

    fn take(&mut self, entry: Entry) {
        match entry {
            Entry::Archive { id, .. } => self.id = Some(id),
            Entry::Filing { .. } => {
                self.before.clear();
                self.is_open = true;
            }
            Entry::Text { path, sha256, .. } => {
                self.put(path, Some(Expected { sha256, changed: None, bytes: None }));
            }
            Entry::Copy { to, bytes, .. } => _ = self.announced.insert(to, bytes),
            Entry::Verified { to, sha256, changed } => {
                let bytes = self.announced.remove(&to);
                self.put(to, Some(Expected { sha256, changed, bytes }));
            }
            Entry::Repair { path, sha256, changed, .. } => {
                let bytes =
                    self.expected.get(&path).filter(|was| was.sha256 == sha256).and_then(|was| was.bytes);
                self.expected.insert(path, Expected { sha256, changed, bytes });
            }
            Entry::Moves { files } => {
                self.moves = files.into_iter().map(|moved| (moved.from, moved.to)).collect();
            }
            Entry::Placing => {
                let moves = std::mem::take(&mut self.moves);
                let taken: Vec<_> = moves.iter().map(|(from, _)| self.expected.get(from).cloned()).collect();
                for (from, _) in &moves {
                    self.put(from.clone(), None);
                }
                for ((_, to), expected) in moves.into_iter().zip(taken) {
                    self.put(to, expected);
                }
            }
            Entry::End { .. } => self.is_open = false,
            Entry::Undone { whole, .. } => {
                for (path, before) in std::mem::take(&mut self.before) {
                    match before {
                        Some(before) => _ = self.expected.insert(path, before),
                        None => _ = self.expected.remove(&path),
                    }
                }
                self.is_open = !whole;
            }
            Entry::Again { .. } | Entry::Undo { .. } => self.is_open = true,
            Entry::Folder { .. } | Entry::Back | Entry::PutBack | Entry::MovedBack => {}
        }
    }

    /// Notes what lies at a path, and what did before the filing.
    fn put(&mut self, path: String, expected: Option<Expected>) {
        let before = match expected {
            Some(expected) => self.expected.insert(path.clone(), expected),
            None => self.expected.remove(&path),
        };
        self.before.entry(path).or_insert(before);
    }
}

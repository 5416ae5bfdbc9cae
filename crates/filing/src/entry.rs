//! What the journal says, line by line, and what a filing's lines say together.
//!
//! Goes in: entries. Comes out: an [`Operation`], as far as it came. It reads and writes no file. Paths are relative to
//! the archive.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// One line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Entry {
    /// The first line: what the archive is known by, wherever it is moved.
    Archive { form: u32, id: String },
    /// A filing begins, of the card or folder at `source`, into a session's folder.
    Filing { n: u32, at: String, folder: String, source: String },
    /// It goes on after it was stopped or cut short.
    Again { at: String },
    /// A folder is going to be made.
    Folder { path: String },
    /// One of Endleaf's own texts is going to be put in the place of another, which is kept at `before`, or of none.
    Text { path: String, before: Option<String>, sha256: String },
    /// A file is going to be copied.
    Copy { from: String, to: String, bytes: u64 },
    /// The copy lies whole beside its name, was read back, and is going to get its name.
    Verified {
        to: String,
        sha256: String,
        /// When it counts as last changed, in seconds since 1970.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        changed: Option<i64>,
    },
    /// Files of the archive are going to get other names: first each lies beside its new name, then all get those.
    Moves { files: Vec<Moved> },
    /// All of them lie beside their new names.
    Placing,
    /// While a filing is taken back: all texts are as they were before it, under the names they had in it.
    PutBack,
    /// All of the last moves lie beside their old names, when they are taken back.
    Back,
    /// They have those again.
    MovedBack,
    /// The filing is over, with all that was wanted or without.
    End { at: String, whole: bool },
    /// The filing is going to be taken back: what was verified goes, and so do texts and folders.
    Undo { n: u32, at: String },
    /// It is taken back; or not wholly, and is open again.
    Undone { at: String, whole: bool },
    /// A good copy lies whole beside its name and was read back. What stood under the name is put aside first.
    Repair { path: String, aside: Option<String>, sha256: String, changed: Option<i64> },
}

/// A file of the archive that gets another name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Moved {
    pub(crate) from: String,
    pub(crate) to: String,
    pub(crate) sha256: String,
}

impl Moved {
    /// Where it is taken from and where it goes to; `back` when that is taken back.
    pub(crate) fn ends(&self, back: bool) -> (&str, &str) {
        if back { (&self.to, &self.from) } else { (&self.from, &self.to) }
    }
}

/// Files that got other names together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Round {
    pub(crate) files: Vec<Moved>,
    pub(crate) phase: Phase,
}

/// How far a round has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Phase {
    /// Under the old names, or beside the new ones.
    Gathering,
    /// Beside the new names, or under them.
    Placing,
    /// Being taken back: beside the old names, or under them.
    Back,
}

/// A file that a filing copied or meant to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Copied {
    /// Path on the card.
    pub(crate) from: String,
    pub(crate) bytes: u64,
    /// Once it was read back.
    pub(crate) sha256: Option<String>,
}

/// A text that a filing replaced or meant to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Replaced {
    /// Where the text from before the filing is kept; `None` when there was none.
    pub(crate) before: Option<String>,
    /// SHA-256 of the texts written, the last of which may not be there yet.
    pub(crate) sha256s: Vec<String>,
}

/// The last filing, as far as the journal tells.
#[derive(Debug, Clone, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "each stands for a line of the journal")]
pub(crate) struct Operation {
    pub(crate) n: u32,
    /// When it began.
    pub(crate) at: String,
    /// The session's folder.
    pub(crate) folder: String,
    /// Where the card was.
    pub(crate) source: String,
    /// Folders made, outermost first.
    pub(crate) folders: Vec<String>,
    /// Texts replaced, by path.
    pub(crate) texts: BTreeMap<String, Replaced>,
    /// Files copied, by path in the archive.
    pub(crate) copies: BTreeMap<String, Copied>,
    /// Files moved within the archive, in order.
    pub(crate) rounds: Vec<Round>,
    /// Whether it is over.
    pub(crate) ended: bool,
    /// Whether it is being taken back.
    pub(crate) undoing: bool,
    /// Whether texts are put back while it is.
    pub(crate) put_back: bool,
    /// Whether it was taken back.
    pub(crate) undone: bool,
}

impl Operation {
    pub(crate) fn begun(n: u32, at: String, folder: String, source: String) -> Self {
        let (texts, copies, folders, rounds) = (BTreeMap::new(), BTreeMap::new(), Vec::new(), Vec::new());
        let (ended, undoing, put_back, undone) = (false, false, false, false);
        Self { n, at, folder, source, folders, texts, copies, rounds, ended, undoing, put_back, undone }
    }

    pub(crate) fn take(&mut self, entry: Entry) {
        let reaches = |rounds: &mut Vec<Round>, phase| {
            if let Some(round) = rounds.last_mut() {
                round.phase = phase;
            }
        };
        match entry {
            Entry::Archive { .. } | Entry::Filing { .. } | Entry::Again { .. } | Entry::Repair { .. } => {}
            Entry::Folder { path } => self.folders.push(path),
            Entry::Text { path, before, sha256 } => {
                let replaced = self.texts.entry(path).or_insert(Replaced { before, sha256s: Vec::new() });
                replaced.sha256s.push(sha256);
            }
            Entry::Copy { from, to, bytes } => {
                self.copies.insert(to, Copied { from, bytes, sha256: None });
            }
            Entry::Verified { to, sha256, .. } => {
                if let Some(copied) = self.copies.get_mut(&to) {
                    copied.sha256 = Some(sha256);
                }
            }
            Entry::Moves { files } => self.rounds.push(Round { files, phase: Phase::Gathering }),
            Entry::Placing => reaches(&mut self.rounds, Phase::Placing),
            Entry::Back => reaches(&mut self.rounds, Phase::Back),
            Entry::PutBack => self.put_back = true,
            Entry::MovedBack => {
                // Their texts went with them.
                let moved = self.rounds.pop().map(|round| round.files).unwrap_or_default();
                for moved in &moved {
                    self.texts.remove(&moved.to);
                }
            }
            Entry::End { .. } => self.ended = true,
            Entry::Undo { .. } => self.undoing = true,
            Entry::Undone { whole, .. } => {
                (self.undoing, self.undone, self.ended) = (false, whole, whole);
                self.put_back = false;
            }
        }
    }
}

//! How a filing can end other than well, in words for people.
//!
//! Each message says what happened, what is safe, what to do, and at its end which file or folder. Nothing
//! is printed here.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// What kind of end a filing came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FaultKind {
    /// Nothing was done.
    Refusal,
    /// The person asked to stop; what was done is recorded.
    Stopped,
    /// Some was done and is recorded; the message says what is safe.
    Failure,
}

/// Why a filing was not, or not wholly, done. Paths of files on the card are relative to it.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
pub enum FilingFault {
    /// The archive, or the session's folder in it, is the card, lies on it, or holds all of it.
    #[error(
        "The archive and the card lie inside one another, so filing would change the card. \
         Nothing was done. Choose an archive outside the card: {}", path.display()
    )]
    ArchiveOnCard {
        /// The folder that would have been written to.
        path: PathBuf,
    },
    /// Two archives that are one, or one of which lies in the other.
    #[error(
        "The two archives are the same folder, or one lies in the other, so a fault of one would be a fault of both. \
         Nothing was done. Choose a second archive apart from the first, best on another disk: {}", path.display()
    )]
    ArchivesAlike {
        /// The second archive.
        path: PathBuf,
    },
    /// The archive is a file.
    #[error(
        "The archive must be a folder, and this is a file. Nothing was done. Choose a folder: {}",
        path.display()
    )]
    ArchiveIsFile {
        /// What was given as archive.
        path: PathBuf,
    },
    /// The archive cannot be made, listed or written to.
    #[error(
        "The archive cannot be used: {reason}. Nothing was filed and the card was not changed. \
         Choose another folder, or make this one writable, and file again: {}", path.display()
    )]
    ArchiveUnusable {
        /// What the system said, in words.
        reason: String,
        /// The folder.
        path: PathBuf,
    },
    /// A folder that nothing was ever filed into.
    #[error(
        "There is no archive here: the folder holds neither Endleaf's journal nor a list of checksums, so nothing was \
         compared. Choose the folder that sessions are filed into, and not a folder in it: {}", path.display()
    )]
    NoArchive {
        /// The folder.
        path: PathBuf,
    },
    /// A folder of the archive that may be this session's has a session text that cannot be read.
    #[error(
        "A folder of the archive may hold this session already, but its record cannot be read. \
         Nothing was done, so that nothing is filed twice. {reason}"
    )]
    SessionUnreadable {
        /// What is wrong, with the path at its end.
        reason: String,
    },
    /// The journal of the archive is not as it was written.
    #[error(
        "The archive's journal is damaged from line {line} on, so it cannot be said what was done last. Nothing \
         was done. Put the journal back from a backup, or move it out of the archive to begin a new one; what \
         lies in the archive is known without it, but can no longer be taken back: {}", path.display()
    )]
    JournalDamaged {
        /// First line that does not fit, from 1.
        line: usize,
        /// The journal.
        path: PathBuf,
    },
    /// The session has no frames.
    #[error("There is nothing to file: the session “{name}” has no frames. Read a card first")]
    NothingToFile {
        /// Name of the session.
        name: String,
    },
    /// The card is not there at the start.
    #[error(
        "The card is not there. Nothing was done. Put the card in and file again: {}",
        path.display()
    )]
    CardAbsent {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// What is to be copied cannot fit.
    #[error(
        "There is too little room in the archive: {} needed, {} free. \
         Nothing was done. Free some space, or choose another disk, and file again: {}",
        size_words(*needed_bytes), size_words(*free_bytes), path.display()
    )]
    NoRoom {
        /// Bytes still to be copied.
        needed_bytes: u64,
        /// Bytes free.
        free_bytes: u64,
        /// The archive.
        path: PathBuf,
    },
    /// Another window or command line is at work in the same archive.
    #[error(
        "Another Endleaf is at work in this archive at the moment. Nothing was done. \
         Wait until it has finished and file again: {}", folder.display()
    )]
    Busy {
        /// The archive.
        folder: PathBuf,
    },
    /// The session's folder was changed after the filing was worked out.
    #[error(
        "Something else was filed into this session's folder after this filing was worked out. Nothing was done, so \
         that two cards are not mixed. Plan again, and file: {}", path.display()
    )]
    PlanOld {
        /// The session's folder.
        path: PathBuf,
    },
    /// The person asked to stop while the filing was being worked out.
    #[error("Working out what to file was stopped as asked. Nothing was done")]
    PlanStopped,
    /// The person asked to stop.
    #[error(
        "Filing was stopped as asked: {filed} of {of} files are in the archive, checked and recorded; \
         the card was not changed. File again to go on from here: {}", folder.display()
    )]
    Stopped {
        /// Files in the archive, this time or before.
        filed: usize,
        /// Files in all.
        of: usize,
        /// The session's folder.
        folder: PathBuf,
    },
    /// The card went away.
    #[error(
        "The card can no longer be read: {filed} of {of} files are in the archive, checked and recorded. \
         Put the card in again and file again; copying goes on from here: {}", card.display()
    )]
    CardGone {
        /// Files in the archive, this time or before.
        filed: usize,
        /// Files in all.
        of: usize,
        /// The card.
        card: PathBuf,
    },
    /// Some files of the card could not be copied; all others were.
    #[error(
        "{} could not be copied: {reason}. {filed} of {of} files are in the archive, checked and recorded. \
         Put the card in again, or read it again if its files have changed, and file again; only what is \
         left is copied{}: {from}",
        record::count(*failed, "file", "files"),
        if *failed == 1 { "" } else { ". The first of them" }
    )]
    SourceTrouble {
        /// Files that could not be copied.
        failed: usize,
        /// Files in the archive, this time or before.
        filed: usize,
        /// Files in all.
        of: usize,
        /// What is wrong with the first, in words.
        reason: String,
        /// The first, on the card.
        from: String,
    },
    /// The disk of the archive filled up.
    #[error(
        "Could not copy to the archive: the disk is full ({} still needed, {} free). \
         Nothing on the card was changed, and what was filed so far is recorded. \
         Free some space and file again; copying goes on from here: {from}",
        size_words(*needed_bytes), size_words(*free_bytes)
    )]
    DiskFull {
        /// Bytes still to be copied.
        needed_bytes: u64,
        /// Bytes free.
        free_bytes: u64,
        /// The file that did not fit, on the card.
        from: String,
    },
    /// A copy did not read back as it was written.
    #[error(
        "A copy did not read back as it was written, so it was taken away again. Nothing on the card was \
         changed, and what was filed before it is recorded. Check the archive's disk and its cable, keep \
         the card as it is, and file again: {from}"
    )]
    CopyDiffers {
        /// The file, on the card.
        from: String,
    },
    /// The archive could not be written to any more.
    #[error(
        "Could not write to the archive: {reason}. Nothing on the card was changed, and what was filed \
         before is recorded. Put the archive right and file again; copying goes on from here: {}",
        path.display()
    )]
    ArchiveTrouble {
        /// What the system said, in words.
        reason: String,
        /// The file or folder in the archive.
        path: PathBuf,
    },
    /// All files are in place but the lists beside them could not be written.
    #[error(
        "The files are copied and checked, but the list of them could not be written: {reason}. Nothing on \
         the card was changed. Put this right and file again; nothing is copied twice: {}", path.display()
    )]
    ListTrouble {
        /// What the system said, in words.
        reason: String,
        /// The list.
        path: PathBuf,
    },
    /// No filing is there to be taken back.
    #[error("There is nothing to take back: the last filing was taken back already, or none was done: {}", path.display())]
    NothingToUndo {
        /// The archive.
        path: PathBuf,
    },
    /// Taking the last filing back would lose something.
    #[error(
        "The last filing cannot be taken back without losing something; nothing was taken away. {}. Put the card in, \
         or say with --card where it is now; a file that you changed on purpose, move out of the archive's folders: {}",
        some_of(reasons), path.display()
    )]
    UndoRefused {
        /// Each reason, naming a file.
        reasons: Vec<String>,
        /// The archive.
        path: PathBuf,
    },
    /// Taking a filing back was begun and could not be ended.
    #[error(
        "The last filing could not be taken back wholly: {reason}. Nothing on the card was changed. Put this right \
         and take it back again; it goes on from here: {}", path.display()
    )]
    UndoTrouble {
        /// What the system said, in words.
        reason: String,
        /// The archive.
        path: PathBuf,
    },
}

impl FilingFault {
    /// What kind of end this is.
    pub fn kind(&self) -> FaultKind {
        match self {
            Self::ArchiveOnCard { .. }
            | Self::ArchiveIsFile { .. }
            | Self::ArchivesAlike { .. }
            | Self::ArchiveUnusable { .. }
            | Self::NoArchive { .. }
            | Self::SessionUnreadable { .. }
            | Self::JournalDamaged { .. }
            | Self::NothingToFile { .. }
            | Self::CardAbsent { .. }
            | Self::NoRoom { .. }
            | Self::NothingToUndo { .. }
            | Self::UndoRefused { .. }
            | Self::PlanOld { .. }
            | Self::Busy { .. } => FaultKind::Refusal,
            Self::PlanStopped | Self::Stopped { .. } => FaultKind::Stopped,
            Self::CardGone { .. }
            | Self::SourceTrouble { .. }
            | Self::DiskFull { .. }
            | Self::CopyDiffers { .. }
            | Self::ArchiveTrouble { .. }
            | Self::ListTrouble { .. }
            | Self::UndoTrouble { .. } => FaultKind::Failure,
        }
    }
}

/// The first few of these, and how many more there are.
fn some_of(reasons: &[String]) -> String {
    const SHOWN: usize = 5;
    let shown = reasons.iter().take(SHOWN).cloned().collect::<Vec<_>>().join("; ");
    match reasons.len().saturating_sub(SHOWN) {
        0 => shown,
        more => format!("{shown}; and {more} more"),
    }
}

impl FilingFault {
    /// What the system said of something in an archive.
    pub(crate) fn unusable(path: &Path) -> impl Fn(io::Error) -> Self + use<'_> {
        |error| Self::ArchiveUnusable { reason: io_words(&error), path: path.to_owned() }
    }
}

/// What the system said, in plain words and without its code.
pub(crate) fn io_words(error: &io::Error) -> String {
    let words = match error.kind() {
        ErrorKind::NotFound => "it is not there",
        ErrorKind::PermissionDenied => "the permission for it is missing",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full",
        ErrorKind::ReadOnlyFilesystem => "the disk is write-protected",
        ErrorKind::NotADirectory => "a part of its path is a file",
        ErrorKind::IsADirectory => "a folder stands in its place",
        ErrorKind::FileTooLarge => "it is too large for this disk",
        ErrorKind::AlreadyExists => "another file has taken its name",
        ErrorKind::InvalidData => "it is not text",
        _ => {
            let said = error.to_string();
            return said.split(" (os error").next().unwrap_or(&said).to_owned();
        }
    };
    words.to_owned()
}

/// A size for people: `312 bytes`, `1.2 MB`; decimal units, as on disks and cards.
pub(crate) fn size_words(bytes: u64) -> String {
    let units = [(1_000_000_000_000, "TB"), (1_000_000_000, "GB"), (1_000_000, "MB"), (1_000, "kB")];
    match units.iter().find(|(size, _)| bytes >= *size) {
        Some((size, unit)) => format!("{:.1} {unit}", bytes as f64 / *size as f64),
        None if bytes == 1 => "1 byte".to_owned(),
        None => format!("{bytes} bytes"),
    }
}

#[cfg(test)]
#[path = "fault_tests.rs"]
mod tests;

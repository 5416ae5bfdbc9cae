//! Whether a filing into an archive was begun and is not over, so that it can be offered to be gone on with.
//!
//! Goes in: an archive. Comes out: what its journal says of that filing. It only reads.

use std::path::{Path, PathBuf};

use crate::FilingFault;
use crate::disk::LocalDisk;
use crate::opened::Opened;

/// A filing that was stopped or cut short, or of which the taking back was.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfinished {
    /// The session's folder, by its name in the archive.
    pub folder: String,
    /// When the filing began: UTC, ISO 8601.
    pub begun_at: String,
    /// Where its card was.
    pub card: PathBuf,
    /// Files that were copied and read back.
    pub filed: usize,
    /// Files that were to be copied.
    pub of: usize,
    /// Whether it was being taken back.
    pub undoing: bool,
}

/// Looks for a filing that is not over. One that is going on at this moment is none.
///
/// # Errors
/// Where the archive or its journal cannot be read.
pub fn unfinished(archive: &Path) -> Result<Option<Unfinished>, FilingFault> {
    let opened = match Opened::of(&LocalDisk, archive) {
        Err(FilingFault::Busy { .. }) => return Ok(None),
        opened => opened?,
    };
    Ok(opened.log.open().map(|operation| Unfinished {
        folder: operation.folder.clone(),
        begun_at: operation.at.clone(),
        card: operation.source.clone().into(),
        filed: operation.copies.values().filter(|copied| copied.sha256.is_some()).count(),
        of: operation.copies.len(),
        undoing: operation.undoing,
    }))
}

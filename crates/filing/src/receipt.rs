//! What a filing did, for people.

use std::collections::BTreeMap;
use std::path::PathBuf;

/// What a filing did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// The session's folder in the archive.
    pub folder: PathBuf,
    /// Files copied this time.
    pub copied: usize,
    /// Their size together.
    pub copied_bytes: u64,
    /// Files that stood in the archive already.
    pub filed_before: usize,
    /// How many of those lie in the folders of other sessions, by folder.
    pub elsewhere: BTreeMap<String, usize>,
    /// Copies of all those files elsewhere on the card.
    pub copies: usize,
}

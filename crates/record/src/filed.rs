//! Where a file is, once filed.

use serde::{Deserialize, Serialize};

/// Where a file of the card stands in the archive.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filed {
    /// Path relative to the session's folder in the archive, with `/`.
    pub path: String,
    /// Size of the file.
    pub bytes: u64,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
    /// Folder of the session that filed it, in the same archive; `None` for this session's own. The path is relative
    /// to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub session: Option<String>,
}

impl Filed {
    /// Where it lies in the archive, from there, when `own` is the folder of the session that says so.
    pub fn path_in_archive(&self, own: &str) -> String {
        format!("{}/{}", self.session.as_deref().unwrap_or(own), self.path)
    }
}

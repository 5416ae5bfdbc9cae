//! Names that systems give to folders and files of their own on any disk.
//!
//! Goes in: a name. Comes out: whether a system put it there. Nothing under such a name is a person's.

/// In lower case.
const SYSTEM_NAMES: [&str; 8] = [
    "system volume information",
    "$recycle.bin",
    "recycler",
    "lost.dir",
    "lost+found",
    "__macosx",
    "thumbs.db",
    "desktop.ini",
];

/// Whether a file or folder of this name belongs to the system, in whatever case it is written.
pub fn is_the_systems(name: &str) -> bool {
    SYSTEM_NAMES.contains(&name.to_lowercase().as_str())
}

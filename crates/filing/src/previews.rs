//! Small pictures that took long to make, kept in the user's cache folder: `<cache>/endleaf/previews/<key>.jpg`.
//!
//! Goes in: JPEGs, under keys that change when the files they were made from do. Comes out: the same bytes, or
//! nothing. Each entry is an ordinary JPEG with the SHA-256 of its bytes behind its end, where readers of pictures do
//! not look. It is named once it is whole; one that is damaged is taken away. Entries used least lately go first when
//! there are too many bytes. Nothing here is the only copy of anything, so what cannot be kept or read is passed over
//! in silence, and nothing is flushed. Several windows may use one folder. It makes no pictures.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, SystemTime};

use etcetera::BaseStrategy;
use record::{FileRole, Frame};
use sha2::{Digest, Sha256};

use crate::disk::{self, About, Disk, LocalDisk};

/// Most bytes that are kept: some thousands of pictures as large as a window.
pub const MOST_BYTES: u64 = 512_000_000;

/// The folder is counted again each time this part of what it may hold was written.
const COUNT_AFTER: u64 = 16;

/// An entry counts as used anew when its last use lies so far back: fewer changes on the disk, and no day of work is
/// taken for another.
const USE_STEP: Duration = Duration::from_hours(1);

/// Length of the SHA-256 behind each picture.
const SUM_BYTES: usize = 32;

/// Changes whenever the same file would be made into another small picture.
const MADE_AS: &str = "1";

/// Names a small picture by the files it is made from and its size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreviewKey(String);

impl PreviewKey {
    /// The key of a frame's picture with this long side: paths on the card, lengths and times of change of its
    /// pictures and raws, how they are turned, and when the frame was taken. The card itself may have moved. `None`
    /// when one of the files cannot be looked at.
    pub fn of(card: &Path, frame: &Frame, long_side_px: u32) -> Option<Self> {
        let mut lines = vec![format!("{MADE_AS} {long_side_px} {} {:?}", frame.orientation, frame.taken)];
        for file in frame.files.iter().filter(|f| matches!(f.role, FileRole::Picture | FileRole::Raw)) {
            let about = LocalDisk.about(&card.join(&file.path)).ok()?;
            let changed = about.changed?.duration_since(SystemTime::UNIX_EPOCH).ok()?;
            lines.push(format!("{} {} {}", file.path, about.bytes, changed.as_nanos()));
        }
        Some(Self(disk::hash_text(&lines.join("\n"))))
    }
}

/// What emptying did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Emptied {
    /// Bytes that were freed.
    pub freed_bytes: u64,
    /// Bytes that could not be freed.
    pub left_bytes: u64,
}

/// The folder of small pictures.
#[derive(Debug)]
pub struct Previews {
    folder: PathBuf,
    most_bytes: u64,
    /// Bytes written since the folder was counted; `None` before it was.
    written: Mutex<Option<u64>>,
}

/// Tells parts apart that are written at one time.
static PARTS: AtomicU64 = AtomicU64::new(0);

impl Previews {
    /// The person's cache folder for small pictures; `None` when the system names none.
    pub fn default_folder() -> Option<PathBuf> {
        let folders = etcetera::base_strategy::choose_native_strategy().ok()?;
        Some(folders.cache_dir().join("endleaf").join("previews"))
    }

    /// Small pictures in a folder, which is made once there is something to keep.
    pub fn new(folder: PathBuf) -> Self {
        Self::bounded(folder, MOST_BYTES)
    }

    /// The same with another bound.
    pub fn bounded(folder: PathBuf, most_bytes: u64) -> Self {
        Self { folder, most_bytes, written: Mutex::new(None) }
    }

    /// The JPEG kept under a key. It counts as used now.
    pub fn get(&self, key: &PreviewKey) -> Option<Vec<u8>> {
        let path = self.path(key);
        let mut bytes = disk::read_bytes(&LocalDisk, &path).ok()?;
        let is_whole = bytes.len() > SUM_BYTES && {
            let (picture, sum) = bytes.split_at(bytes.len() - SUM_BYTES);
            Sha256::digest(picture)[..] == *sum
        };
        if !is_whole {
            LocalDisk.remove_file(&path).ok();
            return None;
        }
        bytes.truncate(bytes.len() - SUM_BYTES);
        touch(&path);
        Some(bytes)
    }

    /// Keeps a JPEG under a key, if it can be, and lets go of what was used least lately when that is too much.
    pub fn put(&self, key: &PreviewKey, picture: &[u8]) {
        if self.write(key, picture).is_err() {
            return;
        }
        let added = (picture.len() + SUM_BYTES) as u64;
        // One writer at a time counts.
        let mut written = self.written.lock().unwrap_or_else(PoisonError::into_inner);
        let since = written.map(|since| since + added);
        let again = since.is_none_or(|since| since >= self.most_bytes / COUNT_AFTER);
        *written = if again { Some(0) } else { since };
        if again {
            self.trim();
        }
    }

    /// Takes all of it away, also what was written in part.
    pub fn empty(&self) -> Emptied {
        let mut emptied = Emptied { freed_bytes: 0, left_bytes: 0 };
        for (path, about) in self.entries() {
            match LocalDisk.remove_file(&path) {
                Ok(()) => emptied.freed_bytes += about.bytes,
                Err(e) if e.kind() == io::ErrorKind::NotFound => {}
                Err(_) => emptied.left_bytes += about.bytes,
            }
        }
        emptied
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    fn path(&self, key: &PreviewKey) -> PathBuf {
        self.folder.join(format!("{}.jpg", key.0))
    }

    fn write(&self, key: &PreviewKey, picture: &[u8]) -> io::Result<()> {
        disk::make_folder(&LocalDisk, &self.folder)?;
        let nth = PARTS.fetch_add(1, Ordering::Relaxed);
        let part = self.folder.join(format!(".{}-{}-{nth}.part", key.0, std::process::id()));
        let written = LocalDisk.create_new(&part).and_then(|mut file| {
            disk::write_all(&mut *file, picture)?;
            disk::write_all(&mut *file, &Sha256::digest(picture))
        });
        // Another window may have been quicker.
        let named = written.and_then(|()| LocalDisk.rename_new(&part, &self.path(key)));
        if named.is_err() {
            LocalDisk.remove_file(&part).ok();
        }
        named
    }

    /// Takes entries away, those used least lately first, until there is room for what is written before the next
    /// count.
    fn trim(&self) {
        let mut entries = self.entries();
        entries.sort_by_key(|(_, about)| about.changed);
        let mut bytes: u64 = entries.iter().map(|(_, about)| about.bytes).sum();
        for (path, about) in entries {
            if bytes <= self.most_bytes - self.most_bytes / COUNT_AFTER {
                return;
            }
            if LocalDisk.remove_file(&path).is_ok() {
                bytes -= about.bytes;
            }
        }
    }

    /// All that was written here, in part or whole; nothing else.
    fn entries(&self) -> Vec<(PathBuf, About)> {
        let names = disk::entries_of(&LocalDisk, &self.folder).unwrap_or_default();
        let own = names.into_iter().filter(|(name, is_folder)| !is_folder && is_own(name));
        let entry = |(name, _)| {
            let path = self.folder.join(name);
            let about = LocalDisk.about(&path).ok()?;
            Some((path, about))
        };
        own.filter_map(entry).collect()
    }
}

/// Whether a name is one that is given here.
fn is_own(name: &str) -> bool {
    let part = || name.strip_prefix('.')?.strip_suffix(".part")?.split('-').next();
    let key = name.strip_suffix(".jpg").or_else(part);
    key.is_some_and(|k| k.len() == 2 * SUM_BYTES && k.bytes().all(|b| b.is_ascii_hexdigit()))
}

/// Marks an entry as used now, unless it was not long ago.
fn touch(path: &Path) {
    let now = LocalDisk.now();
    let used = LocalDisk.about(path).ok().and_then(|about| about.changed);
    let is_old = |used| now.duration_since(used).is_ok_and(|ago| ago > USE_STEP);
    if used.is_some_and(is_old)
        && let Ok(mut file) = LocalDisk.append(path)
    {
        file.set_changed(now).ok();
    }
}

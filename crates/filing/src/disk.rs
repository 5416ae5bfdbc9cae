//! Every file operation of this crate.
//!
//! Goes in: paths, and the bytes of files on the card. Comes out: files that stand whole under their name or
//! not at all. What is promised after power is lost: a name that shows in a folder has all its bytes, as far
//! as the disk keeps what it was told to flush. It overwrites nothing but Endleaf's own texts, and opens the
//! card for reading only. It knows no session and no plan.

use std::collections::BTreeMap;
use std::fs::{self, File, FileTimes, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

use sha2::{Digest, Sha256};

/// Name of the text that holds a session, in the store and in the archive.
pub(crate) const SESSION_FILE: &str = "session.ron";

/// Bytes read and written at a time: large enough for card readers, small enough to stop quickly.
const BUFFER_BYTES: usize = 1 << 20;

/// Why a file could not be copied. The part written is gone again in every case.
#[derive(Debug)]
pub(crate) enum CopyTrouble {
    /// The file could not be read.
    Source(io::Error),
    /// The file has another size than it had.
    SourceChanged { found_bytes: u64 },
    /// The person asked to stop.
    Stopped,
    /// What was read back differs from what was written.
    Differs,
    /// The copy could not be written.
    Target(io::Error),
}

/// Makes a folder and those above it, lasting.
pub(crate) fn make_folder(path: &Path) -> io::Result<()> {
    if path.is_dir() || path.as_os_str().is_empty() {
        return Ok(());
    }
    let above = path.parent().unwrap_or(Path::new(""));
    make_folder(above)?;
    match fs::create_dir(path) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => Err(error),
        Err(_) if !path.is_dir() => Err(ErrorKind::NotADirectory.into()),
        _ => flush_folder(above),
    }
}

/// Holds a folder for one writer at a time, until what it gives is dropped. Where the system cannot, it gives
/// nothing and the care taken with each name must do.
///
/// # Errors
/// [`ErrorKind::WouldBlock`] when another holds it.
pub(crate) fn hold_folder(path: &Path) -> io::Result<Option<File>> {
    let Ok(folder) = File::open(path) else { return Ok(None) };
    match folder.try_lock() {
        Ok(()) => Ok(Some(folder)),
        Err(TryLockError::WouldBlock) => Err(ErrorKind::WouldBlock.into()),
        Err(TryLockError::Error(_)) => Ok(None),
    }
}

/// Takes a folder away when it is empty, and says nothing when it is not.
pub(crate) fn remove_empty_folder(path: &Path) {
    fs::remove_dir(path).ok();
}

/// Whether this is a folder that can be listed and holds something.
pub(crate) fn is_filled_folder(path: &Path) -> bool {
    fs::read_dir(path).is_ok_and(|mut entries| entries.next().is_some())
}

/// Reads a text whole.
pub(crate) fn read_text(path: &Path) -> io::Result<String> {
    fs::read_to_string(path)
}

/// Reads a text whole; `None` when there is none.
pub(crate) fn read_text_if_there(path: &Path) -> io::Result<Option<String>> {
    match fs::read_to_string(path) {
        Ok(text) => Ok(Some(text)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// Writes one of Endleaf's own texts, in place of the old one: afterwards the one or the other is there whole.
pub(crate) fn replace_text(path: &Path, text: &str) -> io::Result<()> {
    let part = part_path(path);
    let written = File::create(&part).and_then(|mut file| {
        file.write_all(text.as_bytes())?;
        file.sync_all()
    });
    if let Err(error) = written.and_then(|()| fs::rename(&part, path)) {
        fs::remove_file(&part).ok();
        return Err(error);
    }
    path.parent().map_or(Ok(()), flush_folder)
}

/// Names of all that stands in a folder, sorted, with whether each is a folder itself. A folder that is not
/// there gives none.
pub(crate) fn entries_of(folder: &Path) -> io::Result<Vec<(String, bool)>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut names = Vec::new();
    for entry in entries {
        let entry = entry?;
        names.push((entry.file_name().to_string_lossy().into_owned(), entry.path().is_dir()));
    }
    names.sort();
    Ok(names)
}

/// When a file was last changed; `None` when it is not there.
pub(crate) fn changed_at(path: &Path) -> Option<SystemTime> {
    fs::metadata(path).and_then(|about| about.modified()).ok()
}

/// Sizes of all files in a folder and in the folders directly in it, by their path relative to it with `/`.
/// Names reserved for a copy that was cut short (empty, with the part beside it) are left out. A folder that
/// is not there gives none.
pub(crate) fn files_below(folder: &Path) -> io::Result<BTreeMap<String, u64>> {
    let mut files = BTreeMap::new();
    for (name, is_folder) in entries_of(folder)? {
        if !is_folder {
            files.extend(size_of(&folder.join(&name)).map(|bytes| (name, bytes)));
            continue;
        }
        for (inner, _) in entries_of(&folder.join(&name))? {
            let path = folder.join(&name).join(&inner);
            files.extend(size_of(&path).map(|bytes| (format!("{name}/{inner}"), bytes)));
        }
    }
    files.retain(|path, bytes| *bytes > 0 || !part_path(&folder.join(path)).exists());
    Ok(files)
}

/// Size of a file; `None` when there is none, or something else stands there.
pub(crate) fn size_of(path: &Path) -> Option<u64> {
    fs::metadata(path).ok().filter(fs::Metadata::is_file).map(|m| m.len())
}

/// Whether a name is taken by anything but what an earlier run that was cut short reserved it with.
pub(crate) fn is_taken(path: &Path) -> bool {
    let is_reserved = size_of(path) == Some(0) && part_path(path).exists();
    fs::symlink_metadata(path).is_ok() && !is_reserved
}

/// Bytes free for this person where a path lies or would lie; `None` when the system does not say.
pub(crate) fn free_bytes(path: &Path) -> Option<u64> {
    let there = path.ancestors().find(|p| p.exists()).unwrap_or(Path::new("."));
    let space = fs4::statvfs(if there.as_os_str().is_empty() { Path::new(".") } else { there }).ok()?;
    // Some network disks say nothing of their size by giving none.
    (space.total_space() > 0).then(|| space.available_space())
}

/// A path with all links and `..` resolved, as far as it is there; what is not there yet is put after it.
pub(crate) fn true_path(path: &Path) -> io::Result<PathBuf> {
    let path = std::path::absolute(path)?;
    let there = path.ancestors().find(|p| p.exists()).unwrap_or(Path::new("/"));
    let mut real = fs::canonicalize(there)?;
    for component in path.strip_prefix(there).into_iter().flat_map(Path::components) {
        match component {
            Component::Normal(name) => real.push(name),
            Component::ParentDir => _ = real.pop(),
            _ => {}
        }
    }
    Ok(fs::canonicalize(&real).unwrap_or(real))
}

/// Whether a text is a relative path that cannot leave its folder.
pub(crate) fn is_plain_relative(path: &str) -> bool {
    !path.is_empty() && Path::new(path).components().all(|part| matches!(part, Component::Normal(_)))
}

/// Where a file of the card is.
///
/// # Errors
/// When its path, as a session text that was tampered with may have it, leads off the card.
pub(crate) fn on_card(card: &Path, path: &str) -> io::Result<PathBuf> {
    if is_plain_relative(path) {
        return Ok(card.join(path));
    }
    Err(io::Error::new(ErrorKind::InvalidInput, "its path leads off the card"))
}

/// SHA-256 of a file's bytes, lower-case hexadecimal, read from the disk where the system can be asked to.
pub(crate) fn hash_file(path: &Path, stopped: &dyn Fn() -> bool) -> Result<String, CopyTrouble> {
    let mut file = File::open(path).map_err(CopyTrouble::Source)?;
    drop_cached(&file);
    pour(&mut file, None, stopped, &mut |_| {}).map(|(hash, _)| hash)
}

/// Copies a file to a name that is free, reads the copy back, and gives its SHA-256.
///
/// The bytes go to `.<name>.part` beside it, are flushed, read back and compared, get the file's time of last
/// change, and only then the name. `copied` is told how many bytes each step moved.
pub(crate) fn copy_verified(
    source: &Path,
    target: &Path,
    expected_bytes: u64,
    stopped: &dyn Fn() -> bool,
    copied: &mut dyn FnMut(u64),
) -> Result<String, CopyTrouble> {
    let mut from = File::open(source).map_err(CopyTrouble::Source)?;
    let about = from.metadata().map_err(CopyTrouble::Source)?;
    if !about.is_file() || about.len() != expected_bytes {
        return Err(CopyTrouble::SourceChanged { found_bytes: about.len() });
    }
    clear_leftovers(target).map_err(CopyTrouble::Target)?;
    let part = part_path(target);
    let result = write_part(&mut from, &part, expected_bytes, stopped, copied).and_then(|hash| {
        let to = OpenOptions::new().write(true).open(&part).map_err(CopyTrouble::Target)?;
        // A file time that the archive's disk cannot hold is no reason to do without the copy.
        if let Ok(changed) = about.modified() {
            to.set_times(FileTimes::new().set_modified(changed)).ok();
        }
        to.sync_all().map_err(CopyTrouble::Target)?;
        give_name(&part, target).map_err(CopyTrouble::Target)?;
        Ok(hash)
    });
    match result {
        Ok(hash) => {
            target.parent().map_or(Ok(()), flush_folder).map_err(CopyTrouble::Target)?;
            Ok(hash)
        }
        Err(trouble) => {
            fs::remove_file(&part).ok();
            Err(trouble)
        }
    }
}

/// Writes the part file, flushes it, reads it back, and gives the SHA-256 that both agree on.
fn write_part(
    from: &mut File,
    part: &Path,
    expected_bytes: u64,
    stopped: &dyn Fn() -> bool,
    copied: &mut dyn FnMut(u64),
) -> Result<String, CopyTrouble> {
    let mut to = OpenOptions::new().write(true).create_new(true).open(part).map_err(CopyTrouble::Target)?;
    let (written, bytes) = pour(from, Some(&mut to), stopped, copied)?;
    if bytes != expected_bytes {
        return Err(CopyTrouble::SourceChanged { found_bytes: bytes });
    }
    to.sync_all().map_err(CopyTrouble::Target)?;
    drop(to);
    let read_back = hash_file(part, stopped).map_err(|trouble| match trouble {
        CopyTrouble::Source(error) => CopyTrouble::Target(error),
        other => other,
    })?;
    if read_back == written { Ok(written) } else { Err(CopyTrouble::Differs) }
}

/// Reads a file to its end, writes it on when there is where to, and gives the SHA-256 and count of its bytes.
fn pour(
    from: &mut File,
    mut to: Option<&mut File>,
    stopped: &dyn Fn() -> bool,
    copied: &mut dyn FnMut(u64),
) -> Result<(String, u64), CopyTrouble> {
    let mut buffer = vec![0; BUFFER_BYTES];
    let mut hash = Sha256::new();
    let mut bytes = 0;
    loop {
        if stopped() {
            return Err(CopyTrouble::Stopped);
        }
        let count = match from.read(&mut buffer) {
            Ok(0) => return Ok((hex(&hash.finalize()), bytes)),
            Ok(count) => count,
            Err(error) if error.kind() == ErrorKind::Interrupted => continue,
            Err(error) => return Err(CopyTrouble::Source(error)),
        };
        hash.update(&buffer[..count]);
        if let Some(to) = &mut to {
            to.write_all(&buffer[..count]).map_err(CopyTrouble::Target)?;
        }
        bytes += count as u64;
        copied(count as u64);
    }
}

/// Gives a finished part its name unless that is taken ([`ErrorKind::AlreadyExists`]).
fn give_name(part: &Path, target: &Path) -> io::Result<()> {
    #[cfg(target_os = "linux")]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        match renameat_with(CWD, part, CWD, target, RenameFlags::NOREPLACE).map_err(io::Error::from) {
            // Some file systems (several network and FUSE ones) cannot rename so.
            Err(e) if matches!(e.kind(), ErrorKind::Unsupported | ErrorKind::InvalidInput) => {}
            done => return done,
        }
    }
    give_reserved_name(part, target)
}

/// Reserves the name with an empty file, which fails when it is taken, and then renames over that.
fn give_reserved_name(part: &Path, target: &Path) -> io::Result<()> {
    OpenOptions::new().write(true).create_new(true).open(target)?;
    fs::rename(part, target).inspect_err(|_| {
        fs::remove_file(target).ok();
    })
}

/// Takes away what an earlier run that was cut short left for this very name: the part, and the empty file
/// that may have reserved the name for it.
fn clear_leftovers(target: &Path) -> io::Result<()> {
    let part = part_path(target);
    if !part.exists() {
        return Ok(());
    }
    if size_of(target) == Some(0) {
        fs::remove_file(target)?;
    }
    fs::remove_file(part)
}

/// Where a file is written before it gets its name.
fn part_path(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}.part"))
}

/// Makes what was done in a folder lasting. Systems that cannot flush folders are left to their own ways.
fn flush_folder(folder: &Path) -> io::Result<()> {
    if cfg!(not(unix)) {
        return Ok(());
    }
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    match File::open(folder)?.sync_all() {
        Err(e) if matches!(e.kind(), ErrorKind::Unsupported | ErrorKind::InvalidInput) => Ok(()),
        done => done,
    }
}

/// Asks the system to forget a file's cached pages, so that it is read from the disk. Only a wish.
fn drop_cached(file: &File) {
    #[cfg(target_os = "linux")]
    rustix::fs::fadvise(file, 0, None, rustix::fs::Advice::DontNeed).ok();
    #[cfg(not(target_os = "linux"))]
    let _ = file;
}

fn hex(bytes: &[u8]) -> String {
    bytes
        .iter()
        .flat_map(|b| [b >> 4, b & 15])
        .map(|half| char::from(b"0123456789abcdef"[usize::from(half)]))
        .collect()
}

#[cfg(test)]
mod tests;

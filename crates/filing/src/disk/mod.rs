//! The file operations that filing is made of, and what is built of them alone.
//!
//! [`Disk`] is those operations, each as small as the system has it, so that tests can let any one of them fail;
//! [`LocalDisk`] is the computer's own. What is promised after power is lost: a name that shows in a folder after
//! [`replace_text`] has all its bytes, as far as the disk keeps what it was told to flush. Nothing here overwrites
//! anything but Endleaf's own texts, and the card is opened for reading only. It knows no session and no plan.

mod local;

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

use sha2::{Digest, Sha256};

pub(crate) use local::LocalDisk;
#[cfg(test)]
pub(crate) use local::rename_folder_to_reserved;

/// Name of the text that holds a session, in the store and in the archive.
pub(crate) const SESSION_FILE: &str = "session.ron";

/// Bytes read and written at a time: large enough for card readers, small enough to stop quickly.
pub(crate) const BUFFER_BYTES: usize = 1 << 20;

/// Bytes of a text read at a time: most texts are a few of these.
const TEXT_BUFFER_BYTES: usize = 1 << 16;

/// What is known of a path without opening it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct About {
    /// Length of a file.
    pub(crate) bytes: u64,
    pub(crate) is_file: bool,
    pub(crate) is_folder: bool,
    /// When it was last changed, where the system says.
    pub(crate) changed: Option<SystemTime>,
}

/// What keeps a folder held; letting go of it frees the folder.
pub(crate) type Held = Box<dyn Send>;

/// The operations. Paths are whole; errors are the system's.
pub(crate) trait Disk: Sync {
    /// Opens a file for reading.
    fn open(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>>;
    /// Makes a new file and opens it for writing; [`ErrorKind::AlreadyExists`] when anything has the name.
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>>;
    /// Opens a file for writing at its end, making it when it is not there.
    fn append(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>>;
    /// What stands at a path; links are followed.
    fn about(&self, path: &Path) -> io::Result<About>;
    /// Names of all that stands in a folder, sorted, with whether each is a folder itself.
    fn entries(&self, folder: &Path) -> io::Result<Vec<(String, bool)>>;
    /// Makes one folder; [`ErrorKind::AlreadyExists`] when anything has the name.
    fn create_folder(&self, path: &Path) -> io::Result<()>;
    /// Takes a file away.
    fn remove_file(&self, path: &Path) -> io::Result<()>;
    /// Takes an empty folder away.
    fn remove_folder(&self, path: &Path) -> io::Result<()>;
    /// Gives a file another name unless that is taken ([`ErrorKind::AlreadyExists`]).
    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a folder another name beside its own unless that is taken ([`ErrorKind::AlreadyExists`]).
    fn rename_folder_new(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Puts a file in the place of another, or of none. For Endleaf's own texts only.
    fn replace(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Makes lasting what was named, renamed and taken away in a folder.
    fn flush_folder(&self, folder: &Path) -> io::Result<()>;
    /// Holds a folder for one writer at a time. `None` where the system cannot; the care taken with each name must do
    /// then. [`ErrorKind::WouldBlock`] when another holds it.
    fn hold(&self, folder: &Path) -> io::Result<Option<Held>>;
    /// Bytes free for this person where a path lies or would lie; `None` when the system does not say.
    fn free_bytes(&self, path: &Path) -> Option<u64>;
    /// A path with all links and `..` resolved, as far as it is there; what is not there yet is put after it.
    fn true_path(&self, path: &Path) -> io::Result<PathBuf>;
    /// The time.
    fn now(&self) -> SystemTime;
}

/// An open file.
pub(crate) trait Handle {
    /// Reads on; 0 at the end.
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize>;
    /// Writes on, and gives how many of the bytes it took.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Sets when it was last changed.
    fn set_changed(&mut self, at: SystemTime) -> io::Result<()>;
    /// Makes its bytes and time lasting.
    fn flush(&mut self) -> io::Result<()>;
    /// Asks the system to forget what it keeps of the file in memory, so that it is read from the disk. Only a wish.
    fn forget_cached(&mut self);
}

/// Why a file could not be copied or read.
#[derive(Debug)]
pub(crate) enum CopyTrouble {
    /// The file could not be read.
    Source(io::Error),
    /// The file has another size than it had.
    SourceChanged { found_bytes: u64 },
    /// The person asked to stop.
    Stopped,
    /// The copy could not be written or read back.
    Target(io::Error),
}

/// Makes a folder and those above it, lasting.
pub(crate) fn make_folder(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    if path.as_os_str().is_empty() || is_folder(disk, path) {
        return Ok(());
    }
    let above = path.parent().unwrap_or(Path::new(""));
    make_folder(disk, above)?;
    match disk.create_folder(path) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => Err(error),
        Err(_) if !is_folder(disk, path) => Err(ErrorKind::NotADirectory.into()),
        _ => disk.flush_folder(above),
    }
}

/// Whether a folder stands at a path.
pub(crate) fn is_folder(disk: &dyn Disk, path: &Path) -> bool {
    disk.about(path).is_ok_and(|about| about.is_folder)
}

/// Whether this is a folder that can be listed and holds something.
pub(crate) fn is_filled_folder(disk: &dyn Disk, path: &Path) -> bool {
    disk.entries(path).is_ok_and(|entries| !entries.is_empty())
}

/// Size of a file; `None` when there is none, or something else stands there.
pub(crate) fn size_of(disk: &dyn Disk, path: &Path) -> Option<u64> {
    disk.about(path).ok().filter(|about| about.is_file).map(|about| about.bytes)
}

/// As [`size_of`]; a file that cannot be looked at is not taken for none.
pub(crate) fn size_if_file(disk: &dyn Disk, path: &Path) -> io::Result<Option<u64>> {
    match disk.about(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        about => about.map(|about| about.is_file.then_some(about.bytes)),
    }
}

/// Whether anything stands at a path; what cannot be looked at is not taken for nothing.
pub(crate) fn is_there(disk: &dyn Disk, path: &Path) -> io::Result<bool> {
    match disk.about(path) {
        Ok(_) => Ok(true),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => Ok(false),
        Err(error) => Err(error),
    }
}

/// Names of all that stands in a folder, as [`Disk::entries`]; one that is not there gives none.
pub(crate) fn entries_of(disk: &dyn Disk, folder: &Path) -> io::Result<Vec<(String, bool)>> {
    match disk.entries(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(Vec::new()),
        entries => entries,
    }
}

/// Whether the folder of a path names it letter for letter.
pub(crate) fn is_listed(disk: &dyn Disk, path: &Path) -> io::Result<bool> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let entries = entries_of(disk, path.parent().unwrap_or(Path::new("")))?;
    Ok(entries.iter().any(|(entry, _)| *entry == name))
}

/// Reads a text whole.
pub(crate) fn read_text(disk: &dyn Disk, path: &Path) -> io::Result<String> {
    String::from_utf8(read_bytes(disk, path)?).map_err(|e| io::Error::new(ErrorKind::InvalidData, e))
}

/// Reads a small file whole.
pub(crate) fn read_bytes(disk: &dyn Disk, path: &Path) -> io::Result<Vec<u8>> {
    let mut file = disk.open(path)?;
    let mut bytes = Vec::new();
    let mut buffer = vec![0; TEXT_BUFFER_BYTES];
    loop {
        match file.read(&mut buffer) {
            Ok(0) => return Ok(bytes),
            Ok(count) => bytes.extend_from_slice(&buffer[..count]),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
}

/// Reads a text whole; `None` when there is none.
pub(crate) fn read_text_if_there(disk: &dyn Disk, path: &Path) -> io::Result<Option<String>> {
    match read_text(disk, path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        text => text.map(Some),
    }
}

/// Writes all of these bytes.
pub(crate) fn write_all(file: &mut dyn Handle, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match file.write(bytes) {
            Ok(0) => return Err(ErrorKind::WriteZero.into()),
            Ok(count) => bytes = &bytes[count..],
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

/// One of Endleaf's own texts to be put at a path.
pub(crate) struct Text {
    pub(crate) path: PathBuf,
    pub(crate) bytes: Vec<u8>,
    /// When it counts as last changed; `None` leaves it at the time of writing.
    pub(crate) changed: Option<SystemTime>,
}

/// Writes one of Endleaf's own texts, in place of the old one: afterwards the one or the other is there whole.
pub(crate) fn replace_text(disk: &dyn Disk, path: &Path, text: &str) -> io::Result<()> {
    replace_bytes(disk, path, text.as_bytes())
}

/// As [`replace_text`] for what is no text.
pub(crate) fn replace_bytes(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> io::Result<()> {
    replace_texts(disk, &[Text { path: path.to_owned(), bytes: bytes.into(), changed: None }])
}

/// As [`replace_text`] for several, in this order.
pub(crate) fn replace_texts(disk: &dyn Disk, texts: &[Text]) -> io::Result<()> {
    let folders = put_texts(disk, texts)?;
    folders.into_iter().try_for_each(|folder| disk.flush_folder(folder))
}

/// As [`replace_texts`]; lasting once the folders given are flushed.
pub(crate) fn put_texts<'t>(disk: &dyn Disk, texts: &'t [Text]) -> io::Result<BTreeSet<&'t Path>> {
    let write = |text: &Text| {
        let part = part_path(&text.path);
        remove_if_there(disk, &part)?;
        let mut file = disk.create_new(&part)?;
        write_all(&mut *file, &text.bytes)?;
        if let Some(changed) = text.changed {
            // Without its time it is the same text.
            file.set_changed(changed).ok();
        }
        file.flush()
    };
    let written = texts
        .iter()
        .try_for_each(write)
        .and_then(|()| texts.iter().try_for_each(|text| disk.replace(&part_path(&text.path), &text.path)));
    if let Err(error) = written {
        for text in texts {
            disk.remove_file(&part_path(&text.path)).ok();
        }
        return Err(error);
    }
    Ok(texts.iter().filter_map(|text| text.path.parent()).collect())
}

/// Takes a file away; none is well.
pub(crate) fn remove_if_there(disk: &dyn Disk, path: &Path) -> io::Result<()> {
    match disk.remove_file(path) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
        done => done,
    }
}

/// Takes a folder away with all that is in it; none is well. A link in it is taken away, not what it leads to.
pub(crate) fn clear_folder(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    for (name, is_folder) in entries_of(disk, folder)? {
        let path = folder.join(name);
        let is_gone = disk.remove_file(&path).is_ok() || is_folder && disk.remove_folder(&path).is_ok();
        if !is_gone && is_folder {
            clear_folder(disk, &path)?;
        } else if !is_gone {
            disk.remove_file(&path)?;
        }
    }
    match disk.remove_folder(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
        done => done,
    }
}

/// Sizes of all files in a folder and in the folders directly in it, by their path relative to it with `/`. Parts, and
/// names reserved for one (empty, with the part beside it), are left out. A folder that is not there gives none.
pub(crate) fn files_below(disk: &dyn Disk, folder: &Path) -> io::Result<BTreeMap<String, u64>> {
    let mut files = BTreeMap::new();
    for (name, is_folder) in entries_of(disk, folder)? {
        if !is_folder {
            files.extend(size_if_file(disk, &folder.join(&name))?.map(|bytes| (name, bytes)));
            continue;
        }
        for (inner, _) in entries_of(disk, &folder.join(&name))? {
            let path = folder.join(&name).join(&inner);
            files.extend(size_if_file(disk, &path)?.map(|bytes| (format!("{name}/{inner}"), bytes)));
        }
    }
    let is_part = |path: &str| {
        let name = path.rsplit('/').next().unwrap_or(path);
        name.starts_with('.') && name.rsplit('.').next() == Some("part")
    };
    let is_reserved = |path: &str| disk.about(&part_path(&folder.join(path))).is_ok();
    files.retain(|path, bytes| !is_part(path) && (*bytes > 0 || !is_reserved(path)));
    Ok(files)
}

/// Whether a name is taken by anything but what an earlier run that was cut short reserved it with.
pub(crate) fn is_taken(disk: &dyn Disk, path: &Path) -> bool {
    let is_reserved = size_of(disk, path) == Some(0) && disk.about(&part_path(path)).is_ok();
    disk.about(path).is_ok() && !is_reserved
}

/// Frees a name that an earlier run that was cut short reserved with an empty file, as [`LocalDisk`] does where the
/// system cannot rename without overwriting.
pub(crate) fn free_reserved(disk: &dyn Disk, target: &Path) -> io::Result<()> {
    let is_reserved = disk.about(&part_path(target)).is_ok() && size_of(disk, target) == Some(0);
    if is_reserved { disk.remove_file(target) } else { Ok(()) }
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

/// Where a file is written before it gets its name.
pub(crate) fn part_path(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}.part"))
}

/// SHA-256 of a file's bytes, lower-case hexadecimal, read from the disk where the system can be asked to.
pub(crate) fn hash_file(
    disk: &dyn Disk,
    path: &Path,
    stopped: &dyn Fn() -> bool,
) -> Result<String, CopyTrouble> {
    let mut file = disk.open(path).map_err(CopyTrouble::Source)?;
    file.forget_cached();
    pour(&mut *file, &mut |_| Ok(()), stopped).map(|(hash, _)| hash)
}

/// Reads a file to its end, gives each piece on, and gives the SHA-256 and count of its bytes.
pub(crate) fn pour(
    from: &mut dyn Handle,
    to: &mut dyn FnMut(&[u8]) -> io::Result<()>,
    stopped: &dyn Fn() -> bool,
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
        to(&buffer[..count]).map_err(CopyTrouble::Target)?;
        bytes += count as u64;
    }
}

/// SHA-256 of a text, lower-case hexadecimal.
pub(crate) fn hash_text(text: &str) -> String {
    hash_bytes(text.as_bytes())
}

/// SHA-256 of bytes, lower-case hexadecimal.
pub(crate) fn hash_bytes(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Bytes as lower-case hexadecimal.
pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes
        .iter()
        .flat_map(|b| [b >> 4, b & 15])
        .map(|half| char::from(b"0123456789abcdef"[usize::from(half)]))
        .collect()
}

#[cfg(test)]
mod tests;

//! What documents are made of and where they go: the sessions filed in an archive, and files that appear whole or not at all.
//!
//! Goes in: an archive, or a path and what is to stand there. Comes out: sessions by folder, or a file under its name that
//! was flushed before. Nothing is written over, and nothing into an archive.

use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

use record::Session;

use crate::FilingFault;
use crate::disk::{self, Disk, LocalDisk, SESSION_FILE};
use crate::fault::io_words;
use crate::new_folder::NewFolder;
use crate::store::{self, StoreFault};

/// Why a document was not written. Nothing stands under its name then that did not before.
#[derive(Debug, thiserror::Error)]
pub enum DocumentFault {
    /// Something has its name.
    #[error("Something has this name already. Nothing was written. Choose another name: {}", path.display())]
    Exists {
        /// The name.
        path: PathBuf,
    },
    /// It would lie in the archive.
    #[error("This lies in the archive, which holds only what was filed. Nothing was written. Choose another place: {}", path.display())]
    InArchive {
        /// The place.
        path: PathBuf,
    },
    /// The system says no.
    #[error("This cannot be written: {}. Nothing was left there. Make room or choose another place: {}", io_words(reason), path.display())]
    Unwritable {
        /// What it said.
        reason: io::Error,
        /// The file or folder.
        path: PathBuf,
    },
}

/// Names of the folders of an archive that hold a session, sorted.
///
/// # Errors
/// When the archive cannot be listed.
pub fn filed_sessions(archive: &Path) -> Result<Vec<String>, FilingFault> {
    let entries = LocalDisk.entries(archive).map_err(FilingFault::unusable(archive))?;
    let holds = |name: &String| LocalDisk.about(&archive.join(name).join(SESSION_FILE)).is_ok();
    let folders = entries.into_iter().filter(|(_, is_folder)| *is_folder).map(|(name, _)| name);
    Ok(folders.filter(|name| !record::is_the_systems(name) && holds(name)).collect())
}

/// The session filed in a folder of an archive.
///
/// # Errors
/// When it cannot be read, is damaged or of another version.
pub fn filed_session(archive: &Path, folder: &str) -> Result<Session, StoreFault> {
    store::read_session(&archive.join(folder).join(SESSION_FILE))
}

/// Refuses a path for a document that is taken or lies in the archive.
///
/// # Errors
/// [`DocumentFault`].
pub fn refuse_document(archive: &Path, path: &Path) -> Result<(), DocumentFault> {
    refuse_document_on(&LocalDisk, archive, path)
}

/// As [`refuse_document`], on any disk.
pub(crate) fn refuse_document_on(disk: &dyn Disk, archive: &Path, path: &Path) -> Result<(), DocumentFault> {
    let unwritable = |reason| DocumentFault::Unwritable { reason, path: path.to_owned() };
    if disk::is_there(disk, path).map_err(unwritable)? {
        return Err(DocumentFault::Exists { path: path.to_owned() });
    }
    let (own, archive) = (disk.true_path(path), disk.true_path(archive));
    if own.map_err(unwritable)?.starts_with(archive.map_err(unwritable)?) {
        return Err(DocumentFault::InArchive { path: path.to_owned() });
    }
    Ok(())
}

/// Writes a document of all that `from` gives: beside its name, flushed, and only then under it.
///
/// # Errors
/// [`DocumentFault::Exists`] when the name is taken, else [`DocumentFault::Unwritable`].
pub fn put_document(path: &Path, from: &mut dyn Read) -> Result<(), DocumentFault> {
    put_on(&LocalDisk, path, from).map_err(|reason| match reason.kind() {
        ErrorKind::AlreadyExists => DocumentFault::Exists { path: path.to_owned() },
        _ => DocumentFault::Unwritable { reason, path: path.to_owned() },
    })
}

fn put_on(disk: &dyn Disk, path: &Path, from: &mut dyn Read) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new(""));
    disk::make_folder(disk, folder)?;
    if disk::is_there(disk, path)? {
        return Err(ErrorKind::AlreadyExists.into());
    }
    let part = disk::part_path(path);
    disk::remove_if_there(disk, &part)?;
    let written = pour(disk, &part, from).and_then(|()| disk.rename_new(&part, path));
    if written.is_err() {
        disk.remove_file(&part).ok();
    }
    written.and_then(|()| disk.flush_folder(folder))
}

/// Writes several documents as one new folder, by their paths in it with `/`: beside its name, flushed, and only then under it.
///
/// # Errors
/// [`DocumentFault::Exists`] when the name is taken, else [`DocumentFault::Unwritable`].
pub fn put_documents<R: Read>(folder: &Path, documents: Vec<(String, R)>) -> Result<(), DocumentFault> {
    put_all_on(&LocalDisk, folder, documents)
}

fn put_all_on<R: Read>(
    disk: &dyn Disk,
    folder: &Path,
    documents: Vec<(String, R)>,
) -> Result<(), DocumentFault> {
    let new = NewFolder::begin(disk, folder, documents.iter().map(|(path, _)| path.clone()).collect())?;
    for (path, mut from) in documents {
        if let Err(reason) = pour(disk, &new.at(&path), &mut from) {
            new.give_up();
            return Err(DocumentFault::Unwritable { reason, path: folder.join(path) });
        }
    }
    new.finish()
}

fn pour(disk: &dyn Disk, part: &Path, from: &mut dyn Read) -> io::Result<()> {
    let mut file = disk.create_new(part)?;
    let mut buffer = vec![0; disk::BUFFER_BYTES];
    loop {
        match from.read(&mut buffer) {
            Ok(0) => return file.flush(),
            Ok(count) => disk::write_all(&mut *file, &buffer[..count])?,
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;
    use crate::model::{After, Fate, ModelDisk};

    /// Gives some bytes, then fails.
    struct Failing(usize);

    impl Read for Failing {
        fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
            self.0 += 1;
            if self.0 > 1 { Err(ErrorKind::StorageFull.into()) } else { Ok(into.len().min(10)) }
        }
    }

    #[test]
    fn a_document_is_there_whole_or_not_at_all() {
        let folder = tempfile::TempDir::new().unwrap();
        let path = folder.path().join("new/data.zip");
        put_document(&path, &mut &b"all of it"[..]).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"all of it");
        let again = put_document(&path, &mut &b"other"[..]);
        assert!(matches!(again, Err(DocumentFault::Exists { .. })));
        assert_eq!(fs::read(&path).unwrap(), b"all of it");

        let cut = folder.path().join("new/cut.zip");
        let words = put_document(&cut, &mut Failing(0)).unwrap_err().to_string();
        assert!(words.contains("the disk is full"), "{words}");
        let left: Vec<_> = fs::read_dir(folder.path().join("new")).unwrap().collect();
        assert_eq!(left.len(), 1, "no part is left");
    }

    /// Every operation cut, every flush left out: after any loss of power nothing or all of it has the name.
    #[test]
    fn cut_anywhere_a_document_is_whole_or_absent() {
        let path = Path::new("/documents/data.zip");
        let empty = ModelDisk::new();
        empty.put(Path::new("/documents/other.txt"), b"other");
        let text = [b"all of it, ".repeat(20), b"to the end".to_vec()].concat();
        let write = |fate| {
            let disk = empty.with(fate);
            let done = put_on(&disk, path, &mut &text[..]);
            (disk, done)
        };
        let standing =
            |disk: &ModelDisk| disk.tree(Path::new("/documents")).remove("data.zip").map(|(bytes, _)| bytes);
        let (whole, done) = write(Fate::default());
        done.unwrap();
        for after in After::ALL {
            assert_eq!(standing(&whole.after(after)).as_ref(), Some(&text), "{after:?}");
        }
        for n in 1..=whole.calls() {
            let (cut, _) = write(Fate { ends_at: Some(n), moves_bytes: Some(50), ..Fate::default() });
            for after in After::ALL {
                let found = standing(&cut.after(after));
                assert!(found.is_none() || found.as_ref() == Some(&text), "cut at {n}, {after:?}");
            }
            let (failed, done) =
                write(Fate { fails_at: Some((n, ErrorKind::StorageFull)), ..Fate::default() });
            let found = standing(&failed);
            assert!(found.is_none() || found.as_ref() == Some(&text), "failed at {n}");
            assert!(done.is_err() || found.is_some(), "failed at {n}: said to be done");
        }
    }

    /// As above, for a folder of documents.
    #[test]
    fn cut_anywhere_a_folder_of_documents_is_whole_or_absent() {
        let folder = Path::new("/documents/new/set");
        let empty = ModelDisk::new();
        empty.put(Path::new("/documents/other.txt"), b"other");
        let write = |fate| {
            let disk = empty.with(fate);
            let texts = [("a/b/one", "first"), ("a/two", "second")]
                .map(|(path, text)| (path.to_owned(), text.as_bytes()));
            let done = put_all_on(&disk, folder, texts.into());
            (disk, done)
        };
        let standing = |disk: &ModelDisk| -> Vec<Vec<u8>> {
            disk.tree(folder).into_values().map(|(bytes, _)| bytes).collect()
        };
        let whole = [b"first".to_vec(), b"second".to_vec()];
        let (uncut, done) = write(Fate::default());
        done.unwrap();
        for after in After::ALL {
            assert_eq!(standing(&uncut.after(after)), whole, "{after:?}");
        }
        for n in 1..=uncut.calls() {
            let (cut, _) = write(Fate { ends_at: Some(n), ..Fate::default() });
            for after in After::ALL {
                let found = standing(&cut.after(after));
                assert!(found.is_empty() || found == whole, "cut at {n}, {after:?}");
            }
            let (troubled, done) =
                write(Fate { fails_at: Some((n, ErrorKind::StorageFull)), ..Fate::default() });
            let found = standing(&troubled);
            assert!(found.is_empty() || found == whole, "failed at {n}");
            assert!(done.is_err() || found == whole, "failed at {n}: said to be done");
        }
    }

    #[test]
    fn a_document_lies_outside_the_archive() {
        let folder = tempfile::TempDir::new().unwrap();
        let archive = folder.path().join("archive");
        fs::create_dir(&archive).unwrap();
        let inside = refuse_document(&archive, &archive.join("../archive/data.zip"));
        assert!(matches!(inside, Err(DocumentFault::InArchive { .. })), "{inside:?}");
        assert!(matches!(refuse_document(&archive, &archive), Err(DocumentFault::Exists { .. })));
        refuse_document(&archive, &folder.path().join("data.zip")).unwrap();
    }

    #[test]
    fn sessions_of_an_archive_are_its_folders_with_one() {
        let folder = tempfile::TempDir::new().unwrap();
        for (name, file) in [("b", "session.ron"), ("a", "session.ron"), ("c", "other.txt")] {
            fs::create_dir(folder.path().join(name)).unwrap();
            fs::write(folder.path().join(name).join(file), "not a session").unwrap();
        }
        assert_eq!(filed_sessions(folder.path()).unwrap(), ["a", "b"]);
        assert!(filed_session(folder.path(), "a").is_err());
        assert!(filed_sessions(&folder.path().join("none")).is_err());
    }
}

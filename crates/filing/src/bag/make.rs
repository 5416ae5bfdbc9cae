//! A session's folder of an archive becomes a bag.
//!
//! Goes in: the folder, and what is to be said of the bag. Comes out: the bag under a new name, whole, or nothing. Each file is
//! read once: its SHA-256 and SHA-512 are taken while it is copied, the first compared with what the archive says; then the copy
//! is flushed, read back and compared.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use record::Progress;
use sha2::{Digest, Sha256, Sha512};

use super::{DECLARATION_FILE, INFO_FILE, OXUM, PAYLOAD, manifest_file, text};
use crate::audit::{Wrong, told_of_session};
use crate::disk::{self, CopyTrouble, Disk, Handle, LocalDisk, SESSION_FILE};
use crate::documents::refuse_document_on;
use crate::fault::size_words;
use crate::history::Expected;
use crate::lists::own_path;
use crate::manifest::MANIFEST_FILE;
use crate::new_folder::NewFolder;
use crate::receipt::RECEIPT_FILE;
use crate::settle::Meter;
use crate::tree::Tree;
use crate::{DocumentFault, FilingFault};

/// A bag that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bagged {
    /// Files of its payload.
    pub files: usize,
    /// Their bytes.
    pub bytes: u64,
    /// What stands in the session's folder, in no list and so not in the bag: paths in that folder.
    pub left_out: Vec<String>,
}

/// Why no bag was made. Nothing stands under its name then that did not before.
#[derive(Debug, thiserror::Error)]
pub enum BagFault {
    /// The archive cannot be looked at.
    #[error(transparent)]
    Archive(#[from] FilingFault),
    /// The bag cannot be written there.
    #[error(transparent)]
    Document(#[from] DocumentFault),
    /// The archive is being filed into, or a filing was cut short.
    #[error(
        "A filing into this archive was cut short or is going on. No bag was made. File its card again, or take it back, \
         and make the bag then: {}", path.display()
    )]
    Unfinished {
        /// The archive.
        path: PathBuf,
    },
    /// Nothing is filed under this folder's name.
    #[error("No session is filed in this folder. No bag was made. Name a session's folder of the archive: {}", path.display())]
    NoSession {
        /// The folder.
        path: PathBuf,
    },
    /// A file is not as it was filed.
    #[error(
        "A file of this session is not as it was filed ({}). No bag was made, and the archive was left as it is. Audit the \
         archive to see what else is, put it right, and make the bag again: {path}", wrong.word()
    )]
    NotAsFiled {
        /// What is wrong with it.
        wrong: Wrong,
        /// Path in the archive.
        path: String,
    },
    /// What is to be copied cannot fit.
    #[error(
        "There is too little room for the bag: {} needed, {} free. No bag was made. Free some space, or choose another disk: {}",
        size_words(*needed_bytes), size_words(*free_bytes), path.display()
    )]
    NoRoom {
        /// Bytes of the payload.
        needed_bytes: u64,
        /// Bytes free.
        free_bytes: u64,
        /// The bag.
        path: PathBuf,
    },
    /// A copy did not read back as it was written.
    #[error(
        "A copy did not read back as it was written, so nothing of the bag was left there; the archive was not changed. \
         Check the disk of the bag and its cable, and make the bag again: {file}"
    )]
    CopyDiffers {
        /// Path in the bag.
        file: String,
    },
    /// The person asked to stop.
    #[error("Making the bag was stopped as asked. Nothing of it was left there; the archive was not changed")]
    Stopped,
}

/// Packs a session's folder of an archive as a bag (RFC 8493, version 1.0) under a new name: all that the archive's lists and
/// journal name there, below `data/`, with manifests by SHA-256 and SHA-512. `info` is what its `bag-info.txt` says, in this
/// order; `Payload-Oxum` is added. File times are kept. The bag appears whole or not at all. Progress is told in bytes.
///
/// # Errors
/// When the name is taken or lies in the archive, a file is not as it was filed, or something cannot be read or written.
pub fn put_bag(
    archive: &Path,
    folder: &str,
    info: &[(String, String)],
    path: &Path,
    progress: &dyn Progress,
) -> Result<Bagged, BagFault> {
    put_bag_on(&LocalDisk, archive, folder, info, path, progress)
}

/// As [`put_bag`], on any disk.
pub(crate) fn put_bag_on(
    disk: &dyn Disk,
    archive: &Path,
    folder: &str,
    info: &[(String, String)],
    path: &Path,
    progress: &dyn Progress,
) -> Result<Bagged, BagFault> {
    refuse_document_on(disk, archive, path)?;
    let payload = Payload::of(disk, archive, folder)?;
    if let Some(free_bytes) = disk.free_bytes(path).filter(|free| *free < payload.bytes) {
        return Err(BagFault::NoRoom { needed_bytes: payload.bytes, free_bytes, path: path.to_owned() });
    }
    let packing = Packing {
        disk,
        source: archive.join(folder),
        folder,
        path,
        bag: NewFolder::begin_at(disk, path)?,
        meter: Meter::new(payload.files.len(), payload.bytes, progress),
    };
    packing.pack(payload, info)
}

/// What a bag of a session is to hold.
struct Payload {
    /// By path in the session's folder; what the archive says of each, where it does.
    files: BTreeMap<String, Option<Expected>>,
    bytes: u64,
    left_out: Vec<String>,
}

impl Payload {
    /// What the archive says is in a folder, compared with what is there by name and size.
    fn of(disk: &dyn Disk, archive: &Path, folder: &str) -> Result<Self, BagFault> {
        let (history, expected) = told_of_session(disk, archive, folder)?;
        if history.is_open {
            return Err(BagFault::Unfinished { path: archive.to_owned() });
        }
        let source = archive.join(folder);
        let none = || BagFault::NoSession { path: source.clone() };
        if !disk::is_plain_relative(folder) || !disk::is_folder(disk, &source) {
            return Err(none());
        }
        let own = |(path, expected): (String, Expected)| {
            let path = own_path(folder, &path).filter(|path| disk::is_plain_relative(path))?;
            Some((path.to_owned(), Some(expected)))
        };
        let mut files: BTreeMap<String, Option<Expected>> = expected.into_iter().filter_map(own).collect();
        let tree = Tree::of(disk, &source).map_err(FilingFault::unusable(&source))?;
        // An archive that has lost its journal says nothing of Endleaf's own texts.
        for text in [SESSION_FILE, RECEIPT_FILE, MANIFEST_FILE] {
            if tree.files.contains_key(text) {
                files.entry(text.to_owned()).or_default();
            }
        }
        if !files.contains_key(SESSION_FILE) {
            return Err(none());
        }
        let there = tree.standing(disk, &source, files.keys());
        let mut bytes = 0;
        for (path, expected) in &files {
            let not = |wrong| BagFault::NotAsFiled { wrong, path: format!("{folder}/{path}") };
            let (_, found) = there.get(path).ok_or_else(|| not(Wrong::Missing))?;
            if expected.as_ref().and_then(|expected| expected.bytes).is_some_and(|wanted| wanted != **found) {
                return Err(not(Wrong::Changed));
            }
            bytes += **found;
        }
        let packed: BTreeSet<&String> = there.values().map(|(path, _)| *path).collect();
        let left_out = tree.files.keys().filter(|path| !packed.contains(path)).cloned().collect();
        Ok(Self { files, bytes, left_out })
    }
}

/// SHA-256 and SHA-512 by path in the bag.
type Sums = [BTreeMap<String, String>; 2];

struct Packing<'a> {
    disk: &'a dyn Disk,
    /// The session's folder, whole and by its name in the archive.
    source: PathBuf,
    folder: &'a str,
    path: &'a Path,
    bag: NewFolder<'a>,
    meter: Meter<'a>,
}

impl Packing<'_> {
    fn pack(mut self, payload: Payload, info: &[(String, String)]) -> Result<Bagged, BagFault> {
        let bagged = self.fill(&payload, info)?;
        self.bag.finish()?;
        Ok(Bagged { left_out: payload.left_out, ..bagged })
    }

    fn fill(&mut self, payload: &Payload, info: &[(String, String)]) -> Result<Bagged, BagFault> {
        let (mut sums, mut bytes) = (Sums::default(), 0);
        for (file, expected) in &payload.files {
            self.meter.rest();
            bytes += self.copy(file, expected.as_ref(), &mut sums)?;
        }
        let files = payload.files.len();
        let mut said = info.to_vec();
        said.push((OXUM.to_owned(), format!("{bytes}.{files}")));
        let mut of_tags = Sums::default();
        self.write(DECLARATION_FILE, text::DECLARATION, &mut of_tags)?;
        self.write(INFO_FILE, &text::info(&said), &mut of_tags)?;
        for (kind, sums) in ["sha256", "sha512"].into_iter().zip(&sums) {
            self.write(&manifest_file(false, kind), &text::manifest(sums), &mut of_tags)?;
        }
        for (kind, sums) in ["sha256", "sha512"].into_iter().zip(&of_tags) {
            // No tag manifest lists one.
            self.write(&manifest_file(true, kind), &text::manifest(sums), &mut Sums::default())?;
        }
        Ok(Bagged { files, bytes, left_out: Vec::new() })
    }

    /// Copies a file of the session's folder into the payload; gives how many bytes it has.
    fn copy(&mut self, file: &str, expected: Option<&Expected>, sums: &mut Sums) -> Result<u64, BagFault> {
        let not = |wrong| BagFault::NotAsFiled { wrong, path: format!("{}/{file}", self.folder) };
        let source = self.source.join(file);
        let changed = self.disk.about(&source).map_err(|error| not(wrong_of(&error)))?.changed;
        let mut from = self.disk.open(&source).map_err(|error| not(wrong_of(&error)))?;
        from.forget_cached();
        let packed = format!("{PAYLOAD}{file}");
        let mut to = self.bag.create(&packed).map_err(|error| self.unwritable(error, &packed))?;
        let mut sha512 = Sha512::new();
        let (progress, meter) = (self.meter.progress(), &mut self.meter);
        let mut write = |bytes: &[u8]| {
            sha512.update(bytes);
            meter.moved(bytes.len() as u64);
            disk::write_all(&mut *to, bytes)
        };
        let (sha256, bytes) = match disk::pour(&mut *from, &mut write, &|| progress.stopped()) {
            Ok(read) => read,
            Err(CopyTrouble::Target(error)) => return Err(self.unwritable(error, &packed)),
            Err(CopyTrouble::Source(error)) => return Err(not(wrong_of(&error))),
            Err(CopyTrouble::Stopped | CopyTrouble::SourceChanged { .. }) => return Err(BagFault::Stopped),
        };
        if expected.is_some_and(|expected| expected.sha256 != sha256) {
            return Err(not(Wrong::Changed));
        }
        self.make_sure(&mut *to, changed, &packed, &sha256)?;
        self.meter.finished(bytes);
        sums[0].insert(packed.clone(), sha256);
        sums[1].insert(packed, disk::hex(&sha512.finalize()));
        Ok(bytes)
    }

    /// Writes one of the bag's own texts.
    fn write(&mut self, file: &str, text: &str, sums: &mut Sums) -> Result<(), BagFault> {
        let mut to = self.bag.create(file).map_err(|error| self.unwritable(error, file))?;
        disk::write_all(&mut *to, text.as_bytes()).map_err(|error| self.unwritable(error, file))?;
        let sha256 = disk::hex(&Sha256::digest(text));
        self.make_sure(&mut *to, None, file, &sha256)?;
        sums[0].insert(file.to_owned(), sha256);
        sums[1].insert(file.to_owned(), disk::hex(&Sha512::digest(text)));
        Ok(())
    }

    /// Makes what was written lasting, reads it back and compares it.
    fn make_sure(
        &self,
        to: &mut dyn Handle,
        changed: Option<SystemTime>,
        file: &str,
        sha256: &str,
    ) -> Result<(), BagFault> {
        if let Some(changed) = changed {
            // A file time that the disk cannot hold is no reason to do without the copy.
            to.set_changed(changed).ok();
        }
        to.flush().map_err(|error| self.unwritable(error, file))?;
        match disk::hash_file(self.disk, &self.bag.at(file), &|| self.meter.stopped()) {
            Ok(found) if found == sha256 => Ok(()),
            Ok(_) => Err(BagFault::CopyDiffers { file: file.to_owned() }),
            Err(CopyTrouble::Source(error) | CopyTrouble::Target(error)) => Err(self.unwritable(error, file)),
            Err(CopyTrouble::Stopped | CopyTrouble::SourceChanged { .. }) => Err(BagFault::Stopped),
        }
    }

    fn unwritable(&self, reason: io::Error, file: &str) -> BagFault {
        DocumentFault::Unwritable { reason, path: self.path.join(file) }.into()
    }
}

/// What it says of a file of the archive that it cannot be opened or read on.
fn wrong_of(error: &io::Error) -> Wrong {
    if error.kind() == ErrorKind::NotFound { Wrong::Missing } else { Wrong::Unreadable }
}

//! A folder that appears whole or not at all: it is filled beside its name, as a part, and then gets it.
//!
//! Goes in: where it is to stand, and the paths of its files. Comes out: a place to write each, and in the end the folder under
//! its name. Nothing is written over, and nothing is taken away but what it was going to write itself.

use std::collections::BTreeSet;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::DocumentFault;
use crate::disk::{self, Disk, Handle};

/// A folder that is being filled beside its name.
pub(crate) struct NewFolder<'d> {
    disk: &'d dyn Disk,
    path: PathBuf,
    part: PathBuf,
    files: Vec<String>,
    /// Folders in it, those above before those in them.
    folders: BTreeSet<String>,
}

impl<'d> NewFolder<'d> {
    /// Begins a folder that is to hold files of these paths, relative to it with `/`. What is left of an earlier one that
    /// was cut is taken away first.
    ///
    /// # Errors
    /// When its name, or that of the part, is taken; or the system says no. Nothing is left there then.
    pub(crate) fn begin(disk: &'d dyn Disk, path: &Path, files: Vec<String>) -> Result<Self, DocumentFault> {
        let unwritable = |reason| DocumentFault::Unwritable { reason, path: path.to_owned() };
        disk::make_folder(disk, path.parent().unwrap_or(Path::new(""))).map_err(unwritable)?;
        if disk::is_there(disk, path).map_err(unwritable)? {
            return Err(DocumentFault::Exists { path: path.to_owned() });
        }
        let above = |file: &str| -> Vec<String> {
            file.match_indices('/').map(|(at, _)| file[..at].to_owned()).collect()
        };
        let folders = files.iter().flat_map(|file| above(file)).collect();
        let new = Self { disk, path: path.to_owned(), part: disk::part_path(path), files, folders };
        new.clear().map_err(|reason| match reason.kind() {
            ErrorKind::DirectoryNotEmpty | ErrorKind::NotADirectory => {
                DocumentFault::Exists { path: new.part.clone() }
            }
            _ => unwritable(reason),
        })?;
        if let Err(reason) = new.make() {
            new.clear().ok();
            return Err(unwritable(reason));
        }
        Ok(new)
    }

    fn make(&self) -> io::Result<()> {
        self.disk.create_folder(&self.part)?;
        self.folders.iter().try_for_each(|folder| self.disk.create_folder(&self.part.join(folder)))
    }

    /// Where one of its files is written.
    pub(crate) fn at(&self, file: &str) -> PathBuf {
        self.part.join(file)
    }

    /// Opens one of its files for writing.
    pub(crate) fn create(&self, file: &str) -> io::Result<Box<dyn Handle + 'd>> {
        self.disk.create_new(&self.at(file))
    }

    /// Gives the folder its name, once all its files are flushed.
    ///
    /// # Errors
    /// As [`NewFolder::begin`].
    pub(crate) fn finish(self) -> Result<(), DocumentFault> {
        let named = self.name();
        if named.is_err() {
            self.clear().ok();
        }
        let above = self.path.parent().unwrap_or(Path::new(""));
        named.and_then(|()| self.disk.flush_folder(above)).map_err(|reason| match reason.kind() {
            ErrorKind::AlreadyExists => DocumentFault::Exists { path: self.path },
            _ => DocumentFault::Unwritable { reason, path: self.path },
        })
    }

    fn name(&self) -> io::Result<()> {
        for folder in self.folders.iter().rev() {
            self.disk.flush_folder(&self.part.join(folder))?;
        }
        self.disk.flush_folder(&self.part)?;
        self.disk.rename_new(&self.part, &self.path)
    }

    /// Leaves nothing of it.
    pub(crate) fn give_up(self) {
        self.clear().ok();
    }

    fn clear(&self) -> io::Result<()> {
        if !disk::is_there(self.disk, &self.part)? {
            return Ok(());
        }
        for file in &self.files {
            match self.disk.remove_file(&self.part.join(file)) {
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        for folder in self.folders.iter().rev() {
            match self.disk.remove_folder(&self.part.join(folder)) {
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
                _ => {}
            }
        }
        self.disk.remove_folder(&self.part)
    }
}

//! A folder of documents that appears whole or not at all.
//!
//! Go in: a path, then files one after the other. Comes out: the folder under its name, once all is flushed. Until then it
//! stands beside that name as a part, which is taken away when the writing ends otherwise.

use std::collections::BTreeSet;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

use crate::DocumentFault;
use crate::disk::{self, Disk, Handle, LocalDisk};
use crate::documents::pour;

/// A folder that is being written.
pub struct NewFolder<'d> {
    disk: &'d dyn Disk,
    path: PathBuf,
    part: PathBuf,
    /// Folders made in the part, by their path.
    inner: BTreeSet<PathBuf>,
    is_done: bool,
}

impl NewFolder<'static> {
    /// Begins a folder. A part that an earlier writing left when it was cut is taken away.
    ///
    /// # Errors
    /// [`DocumentFault::Exists`] when the name is taken, else [`DocumentFault::Unwritable`].
    pub fn begin(path: &Path) -> Result<Self, DocumentFault> {
        Self::begin_at(&LocalDisk, path)
    }
}

impl NewFolder<'_> {
    /// Writes a file of all that `from` gives, at a relative path with `/`. The folders on the way are made.
    ///
    /// # Errors
    /// [`DocumentFault::Unwritable`]; also for a path that leads elsewhere or was given before.
    pub fn put(&mut self, name: &str, from: &mut dyn Read) -> Result<(), DocumentFault> {
        let written = self.put_on(name, from);
        written.map_err(|reason| DocumentFault::Unwritable { reason, path: self.path.join(name) })
    }

    /// Gives the folder its name.
    ///
    /// # Errors
    /// [`DocumentFault::Exists`] when the name was taken meanwhile, else [`DocumentFault::Unwritable`].
    pub fn finish(mut self) -> Result<(), DocumentFault> {
        self.finish_on().map_err(|reason| told(&self.path, reason))
    }
}

/// Writes several documents as one new folder, by their paths in it with `/`.
///
/// # Errors
/// As [`NewFolder::begin`], [`NewFolder::put`] and [`NewFolder::finish`].
pub fn put_documents<R: Read>(folder: &Path, documents: Vec<(String, R)>) -> Result<(), DocumentFault> {
    let mut begun = NewFolder::begin(folder)?;
    for (path, mut from) in documents {
        begun.put(&path, &mut from)?;
    }
    begun.finish()
}

fn told(path: &Path, reason: io::Error) -> DocumentFault {
    let path = path.to_owned();
    match reason.kind() {
        ErrorKind::AlreadyExists => DocumentFault::Exists { path },
        _ => DocumentFault::Unwritable { reason, path },
    }
}

impl<'d> NewFolder<'d> {
    /// As [`NewFolder::begin`], on any disk.
    pub(crate) fn begin_at(disk: &'d dyn Disk, path: &Path) -> Result<Self, DocumentFault> {
        Self::begin_on(disk, path).map_err(|reason| told(path, reason))
    }

    /// Where one of its files is written meanwhile.
    pub(crate) fn at(&self, name: &str) -> PathBuf {
        self.part.join(name)
    }

    /// Opens one of its files for writing, at a relative path with `/`. The folders on the way are made.
    pub(crate) fn create(&mut self, name: &str) -> io::Result<Box<dyn Handle + 'd>> {
        let path = self.place(name)?;
        self.disk.create_new(&path)
    }

    fn begin_on(disk: &'d dyn Disk, path: &Path) -> io::Result<Self> {
        disk::make_folder(disk, path.parent().unwrap_or(Path::new("")))?;
        if disk::is_there(disk, path)? {
            return Err(ErrorKind::AlreadyExists.into());
        }
        let part = disk::part_path(path);
        disk::clear_folder(disk, &part)?;
        disk.create_folder(&part)?;
        Ok(Self { disk, path: path.to_owned(), part, inner: BTreeSet::new(), is_done: false })
    }

    fn put_on(&mut self, name: &str, from: &mut dyn Read) -> io::Result<()> {
        let path = self.place(name)?;
        pour(self.disk, &path, from)
    }

    /// Where a file is written, with the folders on the way.
    fn place(&mut self, name: &str) -> io::Result<PathBuf> {
        if !disk::is_plain_relative(name) {
            return Err(io::Error::new(ErrorKind::InvalidInput, "its path leads out of the folder"));
        }
        let path = self.part.join(name);
        let above: Vec<&Path> = path.ancestors().skip(1).take_while(|folder| *folder != self.part).collect();
        for folder in above.into_iter().rev() {
            if !self.inner.contains(folder) {
                self.disk.create_folder(folder)?;
                self.inner.insert(folder.to_owned());
            }
        }
        Ok(path)
    }

    fn finish_on(&mut self) -> io::Result<()> {
        for folder in self.inner.iter().rev().chain([&self.part]) {
            self.disk.flush_folder(folder)?;
        }
        self.disk.rename_folder_new(&self.part, &self.path)?;
        self.is_done = true;
        self.disk.flush_folder(self.path.parent().unwrap_or(Path::new("")))
    }
}

impl Drop for NewFolder<'_> {
    fn drop(&mut self) {
        if !self.is_done {
            disk::clear_folder(self.disk, &self.part).ok();
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;
    use std::fs;

    use super::*;
    use crate::model::{After, Fate, ModelDisk};

    const FILES: [(&str, &str); 4] =
        [("index.html", "a page"), ("001/face.jpg", "a face"), ("001/above.jpg", "above"), ("a/b/c", "")];

    fn write(disk: &dyn Disk) -> io::Result<()> {
        let mut folder = NewFolder::begin_on(disk, Path::new("/documents/pack"))?;
        for (name, text) in FILES {
            folder.put_on(name, &mut text.as_bytes())?;
        }
        folder.finish_on()
    }

    /// What stands under the name; `None` when nothing does.
    fn standing(disk: &ModelDisk) -> Option<BTreeMap<String, String>> {
        let there = disk::is_there(disk, Path::new("/documents/pack")).unwrap();
        let files = disk.tree(Path::new("/documents/pack"));
        let texts = files.into_iter().map(|(name, (bytes, _))| (name, String::from_utf8(bytes).unwrap()));
        there.then(|| texts.collect())
    }

    fn whole() -> BTreeMap<String, String> {
        FILES.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
    }

    /// Where a system reserves the name with an empty folder first, that may be left.
    fn is_whole_or_absent(found: Option<&BTreeMap<String, String>>, reserves: bool) -> bool {
        found.is_none_or(|files| *files == whole() || reserves && files.is_empty())
    }

    /// Every operation cut or failing: after any loss of power nothing or all of it has the name.
    #[test]
    fn cut_anywhere_a_folder_is_whole_or_absent() {
        let empty = ModelDisk::new();
        empty.put(Path::new("/documents/other.txt"), b"other");
        for reserves in [false, true] {
            let uncut = empty.with(Fate { reserves, ..Fate::default() });
            write(&uncut).unwrap();
            for after in After::ALL {
                assert_eq!(standing(&uncut.after(after)), Some(whole()), "{after:?}");
            }
            for n in 1..=uncut.calls() {
                let cut =
                    empty.with(Fate { ends_at: Some(n), moves_bytes: Some(3), reserves, ..Fate::default() });
                write(&cut).ok();
                for after in After::ALL {
                    let left = cut.after(after);
                    assert!(is_whole_or_absent(standing(&left).as_ref(), reserves), "cut at {n}, {after:?}");
                    // What is left is no hindrance.
                    if standing(&left).is_none() {
                        write(&left).unwrap();
                        assert_eq!(standing(&left), Some(whole()));
                    }
                }
                let failed = empty.with(Fate {
                    fails_at: Some((n, ErrorKind::StorageFull)),
                    reserves,
                    ..Fate::default()
                });
                let done = write(&failed);
                let found = standing(&failed.after(After::Kill));
                assert!(is_whole_or_absent(found.as_ref(), false), "failed at {n}");
                assert!(done.is_err() || found == Some(whole()), "failed at {n}: said to be done");
            }
        }
    }

    /// A flush that nothing would miss is not needed.
    #[test]
    fn no_flush_can_be_left_out() {
        let empty = ModelDisk::new();
        empty.put(Path::new("/documents/other.txt"), b"other");
        let uncut = empty.with(Fate::default());
        write(&uncut).unwrap();
        for (flush, (_, path)) in (1..).zip(uncut.flushed()) {
            let skips = empty.with(Fate { skips_flush: Some(flush), ..Fate::default() });
            write(&skips).unwrap();
            let is_missed =
                After::ALL.into_iter().any(|after| standing(&skips.after(after)) != Some(whole()));
            // An empty file has no bytes to lose.
            assert!(is_missed || path.ends_with("c"), "{}", path.display());
        }
    }

    #[test]
    fn a_folder_on_a_disk_is_there_only_when_finished() {
        let place = tempfile::TempDir::new().unwrap();
        let path = place.path().join("new/pack");
        let names = || {
            let entries = fs::read_dir(place.path().join("new")).unwrap();
            let mut names: Vec<_> = entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
            names.sort();
            names
        };
        let mut begun = NewFolder::begin(&path).unwrap();
        begun.put("001/a.jpg", &mut &b"a"[..]).unwrap();
        assert_eq!(names(), [".pack.part"]);
        for wrong in ["../b", "/b", "001/a.jpg", ""] {
            assert!(begun.put(wrong, &mut &b"b"[..]).is_err(), "{wrong}");
        }
        drop(begun);
        assert!(names().is_empty());

        let mut begun = NewFolder::begin(&path).unwrap();
        begun.put("001/a.jpg", &mut &b"a"[..]).unwrap();
        begun.finish().unwrap();
        assert_eq!(names(), ["pack"]);
        assert_eq!(fs::read(path.join("001/a.jpg")).unwrap(), b"a");
        assert!(matches!(NewFolder::begin(&path), Err(DocumentFault::Exists { .. })));

        // A name taken meanwhile is not written over.
        let late = place.path().join("new/late");
        let begun = NewFolder::begin(&late).unwrap();
        fs::create_dir(&late).unwrap();
        assert!(matches!(begun.finish(), Err(DocumentFault::Exists { .. })));
        assert_eq!(names(), ["late", "pack"]);
    }

    #[test]
    fn reserving_renames_a_folder_too() {
        let place = tempfile::TempDir::new().unwrap();
        let (from, to) = (place.path().join("from"), place.path().join("to"));
        fs::create_dir(&from).unwrap();
        fs::write(from.join("a"), "a").unwrap();
        disk::rename_folder_to_reserved(&from, &to).unwrap();
        assert_eq!(fs::read(to.join("a")).unwrap(), b"a");
        fs::create_dir(&from).unwrap();
        let again = disk::rename_folder_to_reserved(&from, &to).unwrap_err();
        assert_eq!(again.kind(), ErrorKind::AlreadyExists);
    }

    /// Only the link goes, never what it leads to.
    #[cfg(unix)]
    #[test]
    fn what_a_link_in_a_left_part_leads_to_stays() {
        let place = tempfile::TempDir::new().unwrap();
        let (other, part) = (place.path().join("other"), place.path().join(".pack.part"));
        fs::create_dir(&other).unwrap();
        fs::write(other.join("kept"), "kept").unwrap();
        fs::create_dir_all(part.join("inner")).unwrap();
        std::os::unix::fs::symlink(&other, part.join("inner/link")).unwrap();
        drop(NewFolder::begin(&place.path().join("pack")).unwrap());
        assert!(!part.exists());
        assert_eq!(fs::read(other.join("kept")).unwrap(), b"kept");
    }
}

//! Files on their way into the archive, several at a time, so that a flush serves more than one.
//!
//! Goes in: steps of a plan. Comes out: files that stand whole under their names. Each is read once and hashed while it
//! is written beside its name; then all are flushed with their folders, read back from the disk and compared; then the
//! journal says so; then they get their names, which last when the sidecars do.

use std::collections::BTreeSet;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::Step;
use crate::disk::{self, CopyTrouble, Disk, Handle};
use crate::journal::{Entry, Journal};

/// A batch is full with this many bytes or files: large enough that its flushes cost little, small enough that little
/// is copied again after a cut, and that few files are open.
const FULL_BYTES: u64 = 64 << 20;
const FULL_FILES: usize = 64;

/// A file that is written beside its name.
struct Part<'p, 'd> {
    step: &'p Step,
    path: PathBuf,
    target: PathBuf,
    sha256: String,
    /// When it was last changed, in seconds since 1970.
    changed: Option<i64>,
    /// Until it is flushed.
    file: Option<Box<dyn Handle + 'd>>,
}

/// A file that is being written beside its name.
pub(crate) struct Writing<'p, 'd> {
    step: &'p Step,
    path: PathBuf,
    target: PathBuf,
    file: Box<dyn Handle + 'd>,
    /// Why it cannot be written on.
    pub(crate) failed: Option<io::Error>,
}

/// What was read of a file of the card, to its end.
pub(crate) struct Read {
    sha256: String,
    changed: Option<SystemTime>,
}

/// Reads a file of the card once and writes it to all of these; one that cannot be written on does not keep the others.
pub(crate) fn read_into(
    disk: &dyn Disk,
    card: &Path,
    step: &Step,
    writings: &mut [&mut Writing<'_, '_>],
    stopped: &dyn Fn() -> bool,
    moved: &mut dyn FnMut(u64),
) -> Result<Read, CopyTrouble> {
    let source = disk::on_card(card, &step.from).map_err(CopyTrouble::Source)?;
    let about = disk.about(&source).map_err(CopyTrouble::Source)?;
    if !about.is_file || about.bytes != step.bytes {
        return Err(CopyTrouble::SourceChanged { found_bytes: about.bytes });
    }
    let mut from = disk.open(&source).map_err(CopyTrouble::Source)?;
    let mut write = |bytes: &[u8]| {
        for writing in writings.iter_mut().filter(|writing| writing.failed.is_none()) {
            writing.failed = disk::write_all(&mut *writing.file, bytes).err();
        }
        moved(bytes.len() as u64);
        if writings.iter().all(|writing| writing.failed.is_some()) {
            Err(ErrorKind::Other.into())
        } else {
            Ok(())
        }
    };
    match disk::pour(&mut *from, &mut write, stopped)? {
        (sha256, bytes) if bytes == step.bytes => Ok(Read { sha256, changed: about.changed }),
        (_, found_bytes) => Err(CopyTrouble::SourceChanged { found_bytes }),
    }
}

/// A time in whole seconds since 1970.
pub(crate) fn seconds(time: SystemTime) -> Option<i64> {
    jiff::Timestamp::try_from(time).ok().map(jiff::Timestamp::as_second)
}

/// Why a batch did not get all its names.
#[derive(Debug)]
pub(crate) enum BatchTrouble<'p> {
    /// What was read back differs from what was written.
    Differs(&'p Step),
    /// The archive could not be written to, at this path.
    Target(io::Error, PathBuf),
}

/// Files written beside their names and not yet named.
pub(crate) struct Batch<'p, 'd> {
    disk: &'d dyn Disk,
    /// The session's folder, whole and by its name in the archive.
    folder: PathBuf,
    name: &'p str,
    parts: Vec<Part<'p, 'd>>,
    bytes: u64,
}

impl<'p, 'd> Batch<'p, 'd> {
    pub(crate) fn new(disk: &'d dyn Disk, folder: PathBuf, name: &'p str) -> Self {
        Self { disk, folder, name, parts: Vec::new(), bytes: 0 }
    }

    pub(crate) fn is_full(&self) -> bool {
        self.bytes >= FULL_BYTES || self.parts.len() >= FULL_FILES
    }

    /// Begins to write a file beside its name.
    pub(crate) fn begin(&self, step: &'p Step) -> io::Result<Writing<'p, 'd>> {
        let target = self.folder.join(&step.to);
        let path = disk::part_path(&target);
        disk::free_reserved(self.disk, &target)?;
        disk::remove_if_there(self.disk, &path)?;
        let file = self.disk.create_new(&path)?;
        Ok(Writing { step, path, target, file, failed: None })
    }

    /// Takes a file in that was read to its end.
    pub(crate) fn take(&mut self, writing: Writing<'p, 'd>, read: &Read) {
        let Writing { step, path, target, mut file, .. } = writing;
        // A file time that the archive's disk cannot hold is no reason to do without the copy.
        if let Some(changed) = read.changed {
            file.set_changed(changed).ok();
        }
        let (sha256, changed) = (read.sha256.clone(), read.changed.and_then(seconds));
        self.parts.push(Part { step, path, target, sha256, changed, file: Some(file) });
        self.bytes += step.bytes;
    }

    /// Leaves nothing of a file.
    pub(crate) fn drop_writing(&self, writing: Writing<'p, 'd>) {
        let path = writing.path.clone();
        drop(writing);
        self.disk.remove_file(&path).ok();
    }

    /// Makes the copies lasting, reads them back, and gives them their names, which last once their folders are flushed.
    /// `named` is told of each that has its
    /// name. On trouble those without a name are taken away again, unless the journal says that they are whole.
    pub(crate) fn finish(
        &mut self,
        journal: &mut Journal<'_>,
        named: &mut dyn FnMut(&'p Step, String),
    ) -> Result<(), BatchTrouble<'p>> {
        self.bytes = 0;
        let mut parts = std::mem::take(&mut self.parts);
        if parts.is_empty() {
            return Ok(());
        }
        let mut differs = None;
        if let Err((error, path)) = self.make_sure(&mut parts, &mut differs) {
            for part in &parts {
                self.disk.remove_file(&part.path).ok();
            }
            return Err(BatchTrouble::Target(error, path));
        }
        // From here on parts stay, whatever happens: the journal may say of them that they are whole.
        self.tell(journal, &parts).map_err(|(error, path)| BatchTrouble::Target(error, path))?;
        for part in &parts {
            let given = self.disk.rename_new(&part.path, &part.target).map_err(at(&part.target));
            given.map_err(|(error, path)| BatchTrouble::Target(error, path))?;
        }
        for part in parts {
            named(part.step, part.sha256);
        }
        differs.map_or(Ok(()), |step| Err(BatchTrouble::Differs(step)))
    }

    /// Flushes all parts and their folders and reads them back; those that differ are taken away and out.
    fn make_sure(
        &self,
        parts: &mut Vec<Part<'p, 'd>>,
        differs: &mut Option<&'p Step>,
    ) -> Result<(), (io::Error, PathBuf)> {
        for part in &mut *parts {
            if let Some(mut file) = part.file.take() {
                file.flush().map_err(at(&part.target))?;
            }
        }
        let folders: BTreeSet<PathBuf> =
            parts.iter().filter_map(|p| Some(p.path.parent()?.to_owned())).collect();
        flush_folders(self.disk, &folders.iter().map(PathBuf::as_path).collect())?;
        let mut n = 0;
        while let Some(part) = parts.get(n) {
            match disk::hash_file(self.disk, &part.path, &|| false) {
                Ok(sha256) if sha256 == part.sha256 => n += 1,
                Ok(_) => {
                    *differs = Some(part.step);
                    self.disk.remove_file(&part.path).map_err(at(&part.path))?;
                    parts.remove(n);
                }
                Err(CopyTrouble::Source(error) | CopyTrouble::Target(error)) => {
                    return Err((error, part.target.clone()));
                }
                Err(CopyTrouble::Stopped | CopyTrouble::SourceChanged { .. }) => {
                    unreachable!("it is never stopped, and no size is expected")
                }
            }
        }
        Ok(())
    }

    /// Has the journal say that the parts are whole.
    fn tell(&self, journal: &mut Journal<'_>, parts: &[Part<'_, '_>]) -> Result<(), (io::Error, PathBuf)> {
        for part in parts {
            let to = format!("{}/{}", self.name, part.step.to);
            journal.add(&Entry::Verified { to, sha256: part.sha256.clone(), changed: part.changed });
        }
        journal.flush().map_err(at(&self.folder))
    }
}

fn flush_folders(disk: &dyn Disk, folders: &BTreeSet<&Path>) -> Result<(), (io::Error, PathBuf)> {
    folders.iter().try_for_each(|folder| disk.flush_folder(folder).map_err(at(folder)))
}

/// Says where an operation failed.
fn at(path: &Path) -> impl FnOnce(io::Error) -> (io::Error, PathBuf) + use<> {
    let path = path.to_owned();
    move |error| (error, path)
}

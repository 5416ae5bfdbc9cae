//! Files of the archive that get other names, all together: first each is put beside its new name, then, once the journal
//! says so, all get those. So two files can change names with each other, and after any cut it is known where each lies.
//!
//! Goes in: pairs of paths in the archive. Comes out: files under their new names, or under the old ones again. No file
//! is opened, and none is replaced.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::disk::{self, Disk, is_there};
use crate::entry::{Entry, Moved, Operation, Phase};
use crate::journal::Journal;

/// Where a file lies and where it is to lie.
type Pair = (PathBuf, PathBuf);

/// Brings the last round of moves to its end, wherever it was cut. While a filing is being taken back, that is the old
/// names for all rounds.
///
/// # Errors
/// As the system says, with the path; trying again goes on.
pub(crate) fn finish(disk: &dyn Disk, archive: &Path, journal: &mut Journal<'_>) -> io::Result<()> {
    let Some(operation) = journal.last().cloned() else { return Ok(()) };
    if operation.undoing {
        return take_back(disk, archive, journal);
    }
    let Some(round) = operation.rounds.last() else { return Ok(()) };
    let pairs = pairs(archive, &round.files, false);
    if round.phase == Phase::Gathering {
        gather(disk, &pairs)?;
        journal.add(&Entry::Placing);
        journal.flush()?;
    }
    // Copies are going to be put there.
    let wanted = operation.copies.keys().filter_map(|to| archive.join(to).parent().map(Path::to_owned));
    place(disk, &pairs, &wanted.collect())
}

/// Gives all files their old names again, the last moves first.
///
/// # Errors
/// As [`finish`].
pub(crate) fn take_back(disk: &dyn Disk, archive: &Path, journal: &mut Journal<'_>) -> io::Result<()> {
    while let Some(round) = journal.last().and_then(|operation| operation.rounds.last()).cloned() {
        let pairs = pairs(archive, &round.files, true);
        if round.phase != Phase::Back {
            gather(disk, &pairs)?;
            journal.add(&Entry::Back);
            journal.flush()?;
        }
        place(disk, &pairs, &BTreeSet::new())?;
        // It lasts when the next line does: a round that is taken back once more finds nothing to do.
        journal.add(&Entry::MovedBack);
    }
    Ok(())
}

/// Where files lie that were recorded at a path in the archive, once what was cut is brought to its end.
pub(crate) struct Follower<'a>(Vec<BTreeMap<(&'a str, &'a str), &'a str>>);

impl<'a> Follower<'a> {
    pub(crate) fn of(operation: &'a Operation) -> Self {
        let back = operation.undoing;
        let entry = |m: &'a Moved| {
            let (from, to) = m.ends(back);
            ((from, m.sha256.as_str()), to)
        };
        let mut rounds: Vec<_> =
            operation.rounds.iter().map(|round| round.files.iter().map(entry).collect()).collect();
        if back {
            rounds.reverse();
        }
        Self(rounds)
    }

    /// The bytes tell whether a record is from before a round or after it, also where two files changed names.
    pub(crate) fn path(&self, path: &str, sha256: &str) -> String {
        self.0.iter().fold(path, |path, round| round.get(&(path, sha256)).copied().unwrap_or(path)).to_owned()
    }
}

/// Paths that lead out of the archive are no work of Endleaf's.
fn pairs(archive: &Path, files: &[Moved], back: bool) -> Vec<Pair> {
    let plain = files.iter().filter(|m| disk::is_plain_relative(&m.from) && disk::is_plain_relative(&m.to));
    plain.map(|m| m.ends(back)).map(|(from, to)| (archive.join(from), archive.join(to))).collect()
}

/// Where a file lies on its way to a name: not where a text or a copy is written before it gets that name.
pub(crate) fn beside(to: &Path) -> PathBuf {
    let name = to.file_name().unwrap_or_default().to_string_lossy();
    to.with_file_name(format!(".{name}.moved.part"))
}

/// Puts each file beside its new name.
fn gather(disk: &dyn Disk, pairs: &[Pair]) -> io::Result<()> {
    for (from, to) in pairs {
        let on_its_way = beside(to);
        if is_there(disk, &on_its_way)? {
            // A disk without a journal of its own may show a file under both names after the power went, and one that
            // renames by reserving the new name with an empty file may show that.
            let is_empty = disk::size_of(disk, &on_its_way) == Some(0);
            if !is_there(disk, from)? || !(is_empty || is_same(disk, from, &on_its_way)) {
                continue;
            }
            disk.remove_file(&on_its_way)?;
        }
        disk::make_folder(disk, to.parent().unwrap_or(Path::new("")))?;
        match disk.rename_new(from, &on_its_way) {
            // A person has taken it away.
            Err(error) if error.kind() == ErrorKind::NotFound => {}
            done => done.map_err(|error| at(&error, from))?,
        }
    }
    // The new names last before the old ones go.
    let targets: BTreeSet<&Path> = pairs.iter().filter_map(|(_, to)| to.parent()).collect();
    flush_folders_of(disk, pairs.iter().map(|(_, to)| to))?;
    let others = pairs.iter().map(|(from, _)| from);
    flush_folders_of(
        disk,
        others.filter(|from| from.parent().is_some_and(|folder| !targets.contains(folder))),
    )
}

/// Gives each file that lies beside its new name that name. Folders that are left empty go, but for those still wanted.
fn place(disk: &dyn Disk, pairs: &[Pair], wanted: &BTreeSet<PathBuf>) -> io::Result<()> {
    for (_, to) in pairs {
        let on_its_way = beside(to);
        if is_there(disk, &on_its_way)? {
            // No file is left under a name that is wanted but an empty one that reserves it.
            if disk::size_of(disk, to) == Some(0) {
                disk.remove_file(to)?;
            }
            disk.rename_new(&on_its_way, to).map_err(|error| at(&error, to))?;
        }
    }
    flush_folders_of(disk, pairs.iter().map(|(_, to)| to))?;
    let left: BTreeSet<&Path> = pairs.iter().filter_map(|(from, _)| from.parent()).collect();
    for folder in left.into_iter().filter(|folder| !wanted.contains(*folder)) {
        // Only where nothing is left in it.
        disk.remove_folder(folder).ok();
    }
    Ok(())
}

fn is_same(disk: &dyn Disk, a: &Path, b: &Path) -> bool {
    let hash = |path: &Path| disk::hash_file(disk, path, &|| false).ok();
    disk::size_of(disk, a) == disk::size_of(disk, b) && hash(a).is_some_and(|a| Some(a) == hash(b))
}

fn flush_folders_of<'p>(disk: &dyn Disk, paths: impl Iterator<Item = &'p PathBuf>) -> io::Result<()> {
    let folders: BTreeSet<&Path> = paths.filter_map(|path| path.parent()).collect();
    folders.into_iter().filter(|f| disk::is_folder(disk, f)).try_for_each(|f| disk.flush_folder(f))
}

/// Says of which file.
fn at(error: &io::Error, path: &Path) -> io::Error {
    let words = format!("{} ({})", crate::fault::io_words(error), path.display());
    io::Error::other(words)
}

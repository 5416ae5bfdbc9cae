//! Taking the last filing back.
//!
//! Goes in: an archive, and where its card is. Comes out: the archive as it was before the last filing, apart from the
//! journal, which gains the undoing. Nothing is taken away of which the card does not hold the same bytes, and nothing
//! that was changed since. What was cut short goes on when asked again, and everything still there is looked at again.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use record::{Filed, Progress, Session};

use crate::FilingFault;
use crate::disk::{self, CopyTrouble, Disk, LocalDisk, SESSION_FILE, Text};
use crate::entry::Moved;
use crate::fault::io_words;
use crate::journal::{Copied, Entry, Journal, Operation, time_words};
use crate::lists::{self, in_folder, own_path};
use crate::moves;
use crate::opened::Opened;
use crate::receipt::RECEIPT_FILE;
use crate::settle::Meter;

/// What taking the last filing back does, or did.
#[derive(Debug, Clone, PartialEq)]
pub struct Undo {
    /// The session's folder, by its name in the archive.
    pub folder: String,
    /// When the filing began: UTC, ISO 8601.
    pub filed_at: String,
    /// Where the card is looked for.
    pub card: PathBuf,
    /// Files that go, by path in the archive, each with its path on the card.
    pub files: Vec<(String, String)>,
    /// Their size together.
    pub bytes: u64,
    /// Files that get the names back that they had, by path in the archive: the name now, and the one before.
    pub moves: Vec<(String, String)>,
    /// Endleaf's own texts that are put back as they were, or go.
    pub texts: Vec<String>,
    /// The session as it stood filed; `None` when it could not be read.
    pub session: Option<Session>,
}

impl Undo {
    /// Has a session forget that what was taken back was filed.
    pub fn forget_in(&self, session: &mut Session) {
        for (to, from) in &self.files {
            let is_it = |filed: &Filed| filed.path_in_archive(&self.folder) == *to;
            if session.filed.get(from).is_some_and(is_it) {
                session.filed.remove(from);
            }
        }
        let moves: BTreeMap<&str, &str> =
            self.moves.iter().map(|(now, before)| (now.as_str(), before.as_str())).collect();
        for filed in session.filed.values_mut() {
            let before = moves.get(filed.path_in_archive(&self.folder).as_str());
            if let Some(before) = before.and_then(|before| own_path(&self.folder, before)) {
                before.clone_into(&mut filed.path);
            }
        }
    }
}

/// Works out what taking the last filing back would do, and does nothing. The card is looked for where it was, or at
/// `card`. Progress is told in bytes compared.
///
/// # Errors
/// [`FilingFault::NothingToUndo`], and [`FilingFault::UndoRefused`] with every reason.
pub fn plan_undo(archive: &Path, card: Option<&Path>, progress: &dyn Progress) -> Result<Undo, FilingFault> {
    let opened = Opened::of(&LocalDisk, archive)?;
    Undoing::of(&opened, card)?.plan(progress)
}

/// Takes the last filing back, after looking at everything as [`plan_undo`] does.
///
/// # Errors
/// As [`plan_undo`]; and [`FilingFault::UndoTrouble`] when it was begun and could not be ended: ask again to go on.
pub fn undo(archive: &Path, card: Option<&Path>, progress: &dyn Progress) -> Result<Undo, FilingFault> {
    undo_on(&LocalDisk, archive, card, progress)
}

/// As [`undo`], on any disk.
pub(crate) fn undo_on(
    disk: &dyn Disk,
    archive: &Path,
    card: Option<&Path>,
    progress: &dyn Progress,
) -> Result<Undo, FilingFault> {
    let opened = Opened::of(disk, archive)?;
    let undoing = Undoing::of(&opened, card)?;
    let plan = undoing.plan(progress)?;
    let mut journal = Journal::open(disk, archive, opened.log.clone()).map_err(|e| undoing.trouble(&e))?;
    undoing.carry_out(&mut journal).map_err(|error| undoing.trouble(&error))?;
    Ok(plan)
}

/// The last filing, about to be taken back.
struct Undoing<'a> {
    disk: &'a dyn Disk,
    archive: &'a Path,
    card: PathBuf,
    filing: &'a Operation,
}

impl<'a> Undoing<'a> {
    fn of(opened: &'a Opened<'_>, card: Option<&Path>) -> Result<Self, FilingFault> {
        let last = opened.log.last.as_ref().filter(|filing| !filing.undone);
        let Some(filing) = last else {
            return Err(FilingFault::NothingToUndo { path: opened.archive.to_owned() });
        };
        let card = card.map_or_else(|| PathBuf::from(&filing.source), Path::to_owned);
        Ok(Self { disk: opened.disk, archive: opened.archive, card, filing })
    }

    /// Files that were copied and read back. Paths that lead out of the archive are no work of Endleaf's.
    fn copied(&self) -> impl Iterator<Item = (&'a String, &'a Copied, &'a String)> + use<'a> {
        let copies = self.filing.copies.iter().filter(|(to, _)| disk::is_plain_relative(to));
        copies.filter_map(|(to, copied)| Some((to, copied, copied.sha256.as_ref()?)))
    }

    fn moved(&self) -> impl Iterator<Item = &'a Moved> + use<'a> {
        let moved = self.filing.rounds.iter().flat_map(|round| &round.files);
        moved.filter(|m| disk::is_plain_relative(&m.from) && disk::is_plain_relative(&m.to))
    }

    fn texts(&self) -> impl Iterator<Item = &'a String> + use<'a> {
        self.filing.texts.keys().filter(|path| disk::is_plain_relative(path))
    }

    /// Looks at everything and says what would be done.
    fn plan(&self, progress: &dyn Progress) -> Result<Undo, FilingFault> {
        let bytes = self.copied().map(|(_, copied, _)| copied.bytes).sum();
        let mut meter = Meter::new(self.copied().count(), bytes, progress);
        let mut reasons = Vec::new();
        for (to, copied, sha256) in self.copied() {
            reasons.extend(self.why_not_file(to, copied, sha256, &meter)?);
            meter.finished(copied.bytes);
        }
        for moved in self.moved() {
            reasons.extend(self.why_not_move(moved, &meter)?);
        }
        // Once texts are put back, others may be on their way to the names they had.
        for path in self.texts().filter(|_| !self.filing.put_back) {
            reasons.extend(self.why_not_text(path)?);
        }
        if !reasons.is_empty() {
            return Err(FilingFault::UndoRefused { reasons, path: self.archive.to_owned() });
        }
        let text =
            disk::read_text(self.disk, &self.archive.join(in_folder(&self.filing.folder, SESSION_FILE)));
        Ok(Undo {
            folder: self.filing.folder.clone(),
            filed_at: self.filing.at.clone(),
            card: self.card.clone(),
            files: self.copied().map(|(to, copied, _)| (to.clone(), copied.from.clone())).collect(),
            bytes,
            moves: self.moved().map(|moved| (moved.to.clone(), moved.from.clone())).collect(),
            texts: self.texts().cloned().collect(),
            session: text.ok().and_then(|text| record::session_from_text(&text).ok()),
        })
    }

    /// Why a file must not go, if so.
    fn why_not_file(
        &self,
        to: &str,
        copied: &Copied,
        sha256: &str,
        meter: &Meter<'_>,
    ) -> Result<Option<String>, FilingFault> {
        let target = self.archive.join(to);
        let part = disk::part_path(&target);
        // One that was cut before it got its name is whole under its part.
        let there = if self.disk.about(&part).is_ok() { part } else { target };
        match self.hash(&there, copied.bytes, meter)? {
            // Taken away by an undoing that was cut short, or by a person.
            Found::Nothing => return Ok(None),
            Found::Hash(found) if found == sha256 => {}
            _ => return Ok(Some(format!("{to} was changed since it was filed"))),
        }
        let Ok(source) = disk::on_card(&self.card, &copied.from) else {
            return Ok(Some(format!("{} leads off the card", copied.from)));
        };
        Ok(match self.hash(&source, copied.bytes, meter)? {
            Found::Hash(found) if found == sha256 => None,
            Found::Nothing => Some(format!("the card does not hold {} any more", copied.from)),
            _ => Some(format!("{} on the card is not the same any more", copied.from)),
        })
    }

    /// Why a file must not get its old name back, if so.
    fn why_not_move(&self, moved: &Moved, meter: &Meter<'_>) -> Result<Option<String>, FilingFault> {
        let path = |path: &str| self.archive.join(path);
        // A sidecar that was written anew after it was moved is looked at as a text.
        if self.filing.texts.contains_key(&moved.to) {
            return Ok(None);
        }
        let (from, to) = (path(&moved.from), path(&moved.to));
        let mut other = None;
        // Where it lies, also after a cut.
        for place in [moves::beside(&to), moves::beside(&from), to, from.clone()] {
            let Some(bytes) = disk::size_of(self.disk, &place) else { continue };
            match self.hash(&place, bytes, meter)? {
                Found::Hash(found) if found == moved.sha256 => return Ok(None),
                _ if place == from => {}
                _ => other = Some(place),
            }
        }
        // None: a person moved it away.
        Ok(other.map(|_| format!("{} was changed since it was filed", moved.to)))
    }

    /// Why a text must not be replaced, if so.
    fn why_not_text(&self, path: &str) -> Result<Option<String>, FilingFault> {
        let replaced = &self.filing.texts[path];
        let unreadable = |error: io::Error| self.trouble(&error);
        let there = match disk::read_bytes(self.disk, &self.archive.join(path)) {
            Err(error) if error.kind() == ErrorKind::NotFound => None,
            there => Some(there.map_err(unreadable)?),
        };
        let before = match &replaced.before {
            Some(before) => match disk::read_bytes(self.disk, &self.archive.join(before)) {
                Err(error) if error.kind() == ErrorKind::NotFound => {
                    return Ok(Some(format!("{before}, which is to be put back, is not there any more")));
                }
                before => Some(before.map_err(unreadable)?),
            },
            None => None,
        };
        let is_own = |bytes: &Vec<u8>| replaced.sha256s.contains(&disk::hash_bytes(bytes));
        let as_left = there.is_none() || there == before || there.as_ref().is_some_and(is_own);
        Ok((!as_left).then(|| format!("{path} was changed since")))
    }

    fn hash(&self, path: &Path, bytes: u64, meter: &Meter<'_>) -> Result<Found, FilingFault> {
        match self.disk.about(path) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Found::Nothing),
            Ok(about) if about.is_file && about.bytes == bytes => {}
            _ => return Ok(Found::Other),
        }
        match disk::hash_file(self.disk, path, &|| meter.stopped()) {
            Ok(hash) => Ok(Found::Hash(hash)),
            Err(CopyTrouble::Stopped) => Err(FilingFault::PlanStopped),
            Err(_) => Ok(Found::Other),
        }
    }

    fn trouble(&self, error: &io::Error) -> FilingFault {
        FilingFault::UndoTrouble { reason: io_words(error), path: self.archive.to_owned() }
    }

    /// Takes everything away or puts it back, and makes that lasting before the journal says so.
    fn carry_out(&self, journal: &mut Journal<'_>) -> io::Result<()> {
        if !self.filing.undoing {
            moves::finish(self.disk, self.archive, journal)?;
            journal.add(&Entry::Undo { n: self.filing.n, at: time_words(self.disk) });
            journal.flush()?;
        }
        let mut touched: BTreeSet<PathBuf> = BTreeSet::new();
        // The receipt must not vouch for copies that are gone.
        let (receipts, others): (Vec<_>, Vec<_>) =
            self.texts().partition(|path| path.ends_with(RECEIPT_FILE));
        self.put_back(&receipts, &mut touched)?;
        std::mem::take(&mut touched).iter().try_for_each(|folder| self.disk.flush_folder(folder))?;
        for to in self.filing.copies.keys().filter(|to| disk::is_plain_relative(to)) {
            self.remove_copy(to, &mut touched)?;
        }
        if !self.filing.put_back {
            self.put_back(&others, &mut touched)?;
        }
        if !self.filing.rounds.is_empty() {
            // What is moved back must be what was put back.
            std::mem::take(&mut touched).iter().try_for_each(|folder| self.disk.flush_folder(folder))?;
            if !self.filing.put_back {
                // It lasts when the next line does: what is moved until then is found wherever it lies.
                journal.add(&Entry::PutBack);
            }
            moves::take_back(self.disk, self.archive, journal)?;
        }
        for path in self.filing.folders.iter().rev().filter(|path| disk::is_plain_relative(path)) {
            let folder = self.archive.join(path);
            match self.disk.remove_folder(&folder) {
                // Somebody has put something there.
                Err(error) if error.kind() == ErrorKind::DirectoryNotEmpty => continue,
                Err(error) if error.kind() != ErrorKind::NotFound => return Err(error),
                _ => {}
            }
            touched.remove(&folder);
            touched.extend(folder.parent().map(Path::to_owned));
        }
        let there = touched.iter().filter(|folder| disk::is_folder(self.disk, folder));
        there.into_iter().try_for_each(|folder| self.disk.flush_folder(folder))?;
        journal.add(&Entry::Undone { at: time_words(self.disk), whole: true });
        journal.flush()?;
        lists::drop_all(self.disk, self.archive)
    }

    /// Puts texts back as they were, or takes them away where there were none. What is put back comes first: a text of
    /// which one is kept beside it must not be without both.
    fn put_back(&self, paths: &[&String], touched: &mut BTreeSet<PathBuf>) -> io::Result<()> {
        let texts = paths.iter().map(|path| (self.archive.join(path), &self.filing.texts[*path].before));
        let (kept, new): (Vec<_>, Vec<_>) = texts.partition(|(_, before)| before.is_some());
        let kept: Vec<Text> = kept
            .into_iter()
            .map(|(path, before)| self.kept_text(path, before.as_deref().unwrap_or_default()))
            .collect::<io::Result<_>>()?;
        touched.extend(disk::put_texts(self.disk, &kept)?.into_iter().map(Path::to_owned));
        for (path, _) in new {
            self.remove(&disk::part_path(&path), touched)?;
            self.remove(&path, touched)?;
        }
        Ok(())
    }

    /// A text as it was before the filing, with its time.
    fn kept_text(&self, path: PathBuf, before: &str) -> io::Result<Text> {
        let before = self.archive.join(before);
        let changed = self.disk.about(&before)?.changed;
        Ok(Text { path, bytes: disk::read_bytes(self.disk, &before)?, changed })
    }

    /// Takes a copy away, under its name or, before it got that, its part.
    fn remove_copy(&self, to: &str, touched: &mut BTreeSet<PathBuf>) -> io::Result<()> {
        let target = self.archive.join(to);
        let part = disk::part_path(&target);
        if self.disk.about(&part).is_ok() {
            // Whatever stands under the name then is another's, unless it only keeps the name free.
            disk::free_reserved(self.disk, &target)?;
            return self.remove(&part, touched);
        }
        if self.filing.copies[to].sha256.is_some() { self.remove(&target, touched) } else { Ok(()) }
    }

    /// Takes a file away; none, also for want of its folder, is well.
    fn remove(&self, path: &Path, touched: &mut BTreeSet<PathBuf>) -> io::Result<()> {
        match self.disk.remove_file(path) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(()),
            done => done?,
        }
        touched.extend(path.parent().map(Path::to_owned));
        Ok(())
    }
}

/// What stands at a path.
enum Found {
    Nothing,
    /// A file of the length expected, with this SHA-256.
    Hash(String),
    /// Something else, or it cannot be read.
    Other,
}

//! Carrying a filing out: copying what is not there yet, and keeping the record of it.
//!
//! Goes in: a plan, the session it was made from, the card and the archive. Comes out: a [`Receipt`], and
//! the session with what is filed. However it ends, what was filed is recorded in the session and in the
//! archive. It never writes to the card and never replaces a file that it did not write as a list.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use record::{Filed, Progress, Session};

use crate::disk::{self, CopyTrouble};
use crate::fault::io_words;
use crate::manifest::{self, MANIFEST_FILE};
use crate::settle::{Meter, settle};
use crate::{FilingFault, FilingPlan, Step};

/// What a filing did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Receipt {
    /// The session's folder in the archive.
    pub folder: PathBuf,
    /// Files copied this time.
    pub copied: usize,
    /// Their size together.
    pub copied_bytes: u64,
    /// Files that stood in the archive already.
    pub filed_before: usize,
    /// How many of those lie in the folders of other sessions, by folder.
    pub elsewhere: BTreeMap<String, usize>,
    /// Copies of all those files elsewhere on the card.
    pub copies: usize,
}

/// Carries a filing out.
///
/// Numbers of the session's specimens are fixed first, as [`Session::fix_numbers`] does, so that they never
/// change once something is filed under them. Each file is copied beside its name, read back, compared, and
/// then named. A file that stands there already with the same bytes is recorded and not copied again; where
/// another file has the name, the next free one is taken. In the end `manifest-sha256.txt` and `session.ron`
/// are written beside the folders of the specimens. Progress is told in bytes.
///
/// # Errors
/// A refusal leaves everything as it was, the session too. When stopped, and after a failure, the session and
/// the archive record what was filed; carrying out a new plan goes on from there. Files of the card that
/// cannot be read do not keep the others from being filed.
pub fn carry_out(
    plan: &FilingPlan,
    session: &mut Session,
    card: &Path,
    archive: &Path,
    progress: &dyn Progress,
) -> Result<Receipt, FilingFault> {
    refuse_beforehand(plan, session, card, archive)?;
    let mut fixed = session.clone();
    fix_numbers(&mut fixed);
    let mut meter = Meter::new(plan.bytes_to_copy(), progress);
    let plan = settle(plan, &fixed, card, archive, &mut meter)?;
    refuse_without_room(&plan, archive)?;
    let mut run = Run::new(&plan, fixed, card, archive);
    let held = run.begin(archive)?;
    let ended = run.copy_all(&mut meter);
    let listed = run.write_lists();
    drop(held);
    let receipt = run.receipt.clone();
    *session = run.session;
    ended.and(listed).map(|()| receipt)
}

/// Refuses what must not be begun.
fn refuse_beforehand(
    plan: &FilingPlan,
    session: &Session,
    card: &Path,
    archive: &Path,
) -> Result<(), FilingFault> {
    if session.frames.is_empty() {
        return Err(FilingFault::NothingToFile { name: session.name.clone() });
    }
    if archive.is_file() {
        return Err(FilingFault::ArchiveIsFile { path: archive.to_owned() });
    }
    let folder = archive.join(&plan.folder);
    let resolved = |path: &Path| {
        let unusable = |e| FilingFault::ArchiveUnusable { reason: io_words(&e), path: path.to_owned() };
        disk::true_path(path).map_err(unusable)
    };
    let (true_card, true_folder) = (resolved(card)?, resolved(&folder)?);
    if true_folder.starts_with(&true_card) || true_card.starts_with(&true_folder) {
        return Err(FilingFault::ArchiveOnCard { path: archive.to_owned() });
    }
    if plan.files_to_copy() > 0 && !card.is_dir() {
        return Err(FilingFault::CardAbsent { path: card.to_owned() });
    }
    Ok(())
}

/// Refuses what cannot fit. Where the system does not say how much is free, the copying will show.
fn refuse_without_room(plan: &FilingPlan, archive: &Path) -> Result<(), FilingFault> {
    let needed_bytes = plan.bytes_to_copy();
    match disk::free_bytes(archive) {
        Some(free_bytes) if free_bytes < needed_bytes => {
            Err(FilingFault::NoRoom { needed_bytes, free_bytes, path: archive.to_owned() })
        }
        _ => Ok(()),
    }
}

/// Fixes the numbers of all sets and brings their records up to date.
fn fix_numbers(session: &mut Session) {
    session.apply(&session.fix_numbers()).expect("an edit made for this very session");
    let sets = session.sets.iter().map(|set| (set.frames.clone(), set.closed_by)).collect();
    session.arrange(sets);
}

/// A filing under way.
struct Run<'a> {
    plan: &'a FilingPlan,
    session: Session,
    card: &'a Path,
    /// What is filed in this archive, by path on the card; the session may know of other archives too.
    here: BTreeMap<String, Filed>,
    receipt: Receipt,
}

impl<'a> Run<'a> {
    fn new(plan: &'a FilingPlan, session: Session, card: &'a Path, archive: &Path) -> Self {
        let folder = archive.join(&plan.folder);
        let mut here = plan.place.previous.as_ref().map(|p| p.filed.clone()).unwrap_or_default();
        here.retain(|_, filed| disk::is_plain_relative(&filed.path));
        let receipt = Receipt {
            folder,
            copied: 0,
            copied_bytes: 0,
            filed_before: 0,
            elsewhere: BTreeMap::new(),
            copies: plan.copies.len(),
        };
        Self { plan, session, card, here, receipt }
    }

    /// Makes the session's folder and marks it as this session's, so that a run that is cut short is found
    /// again. The folder is held for this run until what is given is dropped.
    fn begin(&mut self, archive: &Path) -> Result<Option<File>, FilingFault> {
        let archive_is_new = !archive.exists();
        let folder = self.receipt.folder.clone();
        let begun = disk::make_folder(&folder).and_then(|()| {
            let held = disk::hold_folder(&folder)?;
            self.keep_earlier_session()?;
            self.record_what_was_filed();
            self.write_session()?;
            Ok(held)
        });
        begun.map_err(|error| {
            if error.kind() == ErrorKind::WouldBlock {
                return FilingFault::Busy { folder };
            }
            disk::remove_empty_folder(&folder);
            if archive_is_new {
                disk::remove_empty_folder(archive);
            }
            FilingFault::ArchiveUnusable { reason: io_words(&error), path: folder }
        })
    }

    fn record_what_was_filed(&mut self) {
        for step in &self.plan.steps {
            if let Some(filed) = &step.filed {
                self.here.insert(step.from.clone(), filed.clone());
                self.session.filed.insert(step.from.clone(), filed.clone());
                self.receipt.filed_before += 1;
                if let Some(folder) = &filed.session {
                    *self.receipt.elsewhere.entry(folder.clone()).or_default() += 1;
                }
            }
        }
    }

    /// Copies every step that is not done, in order.
    fn copy_all(&mut self, meter: &mut Meter<'_>) -> Result<(), FilingFault> {
        let steps = self.plan.steps.iter().filter(|step| !step.done_before);
        let mut troubles: Vec<(String, &Step)> = Vec::new();
        for step in steps {
            if meter.stopped() {
                return Err(self.stopped());
            }
            match self.copy(step, meter) {
                Ok(sha256) => self.record(step, sha256),
                Err(CopyTrouble::Source(_)) if !disk::is_filled_folder(self.card) => {
                    let (filed, of) = self.counts();
                    return Err(FilingFault::CardGone { filed, of, card: self.card.to_owned() });
                }
                Err(CopyTrouble::Source(error)) => troubles.push((io_words(&error), step)),
                Err(CopyTrouble::SourceChanged { found_bytes }) => {
                    let was = step.bytes;
                    troubles.push((format!("it had {was} bytes when read and has {found_bytes} now"), step));
                }
                Err(CopyTrouble::Stopped) => return Err(self.stopped()),
                Err(CopyTrouble::Differs) => {
                    return Err(FilingFault::CopyDiffers { from: step.from.clone() });
                }
                Err(CopyTrouble::Target(error)) => return Err(self.target_trouble(step, &error)),
            }
        }
        let Some((reason, first)) = troubles.first().cloned() else { return Ok(()) };
        let (filed, of) = self.counts();
        Err(FilingFault::SourceTrouble {
            failed: troubles.len(),
            filed,
            of,
            reason,
            from: first.from.clone(),
        })
    }

    fn copy(&self, step: &Step, meter: &mut Meter<'_>) -> Result<String, CopyTrouble> {
        let source = disk::on_card(self.card, &step.from).map_err(CopyTrouble::Source)?;
        let target = self.receipt.folder.join(&step.to);
        if let Some(folder) = target.parent() {
            disk::make_folder(folder).map_err(CopyTrouble::Target)?;
        }
        let progress = meter.progress();
        let stopped = || progress.stopped();
        let copied = disk::copy_verified(&source, &target, step.bytes, &stopped, &mut |bytes| {
            meter.moved(bytes);
        });
        meter.finished(step.bytes);
        copied
    }

    fn record(&mut self, step: &Step, sha256: String) {
        let filed = Filed { path: step.to.clone(), bytes: step.bytes, sha256, session: None };
        self.here.insert(step.from.clone(), filed.clone());
        self.session.filed.insert(step.from.clone(), filed);
        self.receipt.copied += 1;
        self.receipt.copied_bytes += step.bytes;
    }

    /// Files in the archive, and files in all.
    fn counts(&self) -> (usize, usize) {
        (self.receipt.filed_before + self.receipt.copied, self.plan.steps.len())
    }

    fn stopped(&self) -> FilingFault {
        let (filed, of) = self.counts();
        FilingFault::Stopped { filed, of, folder: self.receipt.folder.clone() }
    }

    fn target_trouble(&self, step: &Step, error: &std::io::Error) -> FilingFault {
        let folder = &self.receipt.folder;
        if matches!(error.kind(), ErrorKind::StorageFull | ErrorKind::QuotaExceeded) {
            let needed_bytes = self.plan.bytes_to_copy() - self.receipt.copied_bytes;
            let free_bytes = disk::free_bytes(folder).unwrap_or(0);
            return FilingFault::DiskFull { needed_bytes, free_bytes, from: step.from.clone() };
        }
        FilingFault::ArchiveTrouble { reason: io_words(error), path: folder.join(&step.to) }
    }

    /// Writes the checksums and the session beside what was filed, for what was filed.
    fn write_lists(&self) -> Result<(), FilingFault> {
        let path = self.receipt.folder.join(MANIFEST_FILE);
        let trouble =
            |path: &Path, e| FilingFault::ListTrouble { reason: io_words(&e), path: path.to_owned() };
        let old = disk::read_text_if_there(&path).map_err(|e| trouble(&path, e))?.unwrap_or_default();
        let here = self.here.values().filter(|filed| filed.session.is_none());
        let is_there = |file: &str| disk::size_of(&self.receipt.folder.join(file)).is_some();
        let all = manifest::renewed(manifest::from_text(&old), here, is_there);
        replace_if_changed(&path, &manifest::to_text(&all)).map_err(|e| trouble(&path, e))?;
        self.write_session().map_err(|e| trouble(&self.receipt.folder.join(disk::SESSION_FILE), e))
    }

    /// Writes the session as it stands filed here.
    fn write_session(&self) -> std::io::Result<()> {
        let copy = Session { filed: self.here.clone(), ..self.session.clone() };
        let path = self.receipt.folder.join(disk::SESSION_FILE);
        replace_if_changed(&path, &record::session_to_text(&copy))
    }

    /// Keeps the archive's session beside the new one when the new one does not come from it and knows less:
    /// a card read afresh must not wipe out what was once decided and written.
    fn keep_earlier_session(&self) -> std::io::Result<()> {
        let Some(earlier) = &self.plan.place.previous else { return Ok(()) };
        let comes_from_it = earlier.filed.keys().any(|path| self.session.filed.contains_key(path));
        let knows_as_much = earlier.decisions == self.session.decisions
            && earlier.specimens == self.session.specimens
            && earlier.overlap(&self.session.frames) == earlier.frames.len();
        if earlier.filed.is_empty() || comes_from_it || knows_as_much {
            return Ok(());
        }
        let mut free = self.receipt.folder.join("session-before.ron");
        let mut n = 2;
        while disk::is_taken(&free) {
            free.set_file_name(format!("session-before-{n}.ron"));
            n += 1;
        }
        disk::replace_text(&free, &record::session_to_text(earlier))
    }
}

fn replace_if_changed(path: &Path, text: &str) -> std::io::Result<()> {
    if disk::read_text(path).is_ok_and(|old| old == text) {
        return Ok(());
    }
    disk::replace_text(path, text)
}

//! Carrying a filing out: copying what is not there yet, and keeping the record of it.
//!
//! Goes in: a plan, the session it was made from, the card and the archive. Comes out: a [`Receipt`], and
//! the session with what is filed. However it ends, what was filed is recorded in the session and in the
//! archive. It never writes to the card and never replaces a file that it did not write as a list.

use std::collections::BTreeMap;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use record::{Filed, Progress, Session};

use crate::batch::{Batch, BatchTrouble};
use crate::disk::{self, CopyTrouble, Disk, LocalDisk, SESSION_FILE, Text};
use crate::fault::io_words;
use crate::journal::{self, Entry, Journal, time_words};
use crate::lists::{self, Here, in_folder};
use crate::manifest::MANIFEST_FILE;
use crate::opened::Opened;
use crate::receipt::Receipt;
use crate::refuse::{refuse_beforehand, refuse_without_room};
use crate::settle::{Meter, settle};
use crate::{FilingFault, FilingPlan, Step};

/// Carries a filing out.
///
/// Numbers of the session's specimens are fixed first, as [`Session::fix_numbers`] does, so that they never
/// change once something is filed under them. Each file is copied beside its name, read back, compared, and
/// then named; the archive's journal tells of each step before it is done. A file that stands there already with
/// the same bytes is recorded and not copied again; where another file has the name, the next free one is taken.
/// In the end `manifest-sha256.txt` and `session.ron` are written beside the folders of the specimens. Where
/// nothing is to be copied or written nothing is done. Progress is told in bytes.
///
/// # Errors
/// A refusal leaves everything as it was, the session too, but for what was copied and read back by an earlier run
/// that was cut short: that gets its names first. When stopped, and after a failure, the session and the archive
/// record what was filed; carrying out a new plan goes on from there. Files of the card that cannot be read do not
/// keep the others from being filed.
pub fn carry_out(
    plan: &FilingPlan,
    session: &mut Session,
    card: &Path,
    archive: &Path,
    progress: &dyn Progress,
) -> Result<Receipt, FilingFault> {
    carry_out_on(&LocalDisk, plan, session, card, archive, progress)
}

/// As [`carry_out`], on any disk.
pub(crate) fn carry_out_on(
    disk: &dyn Disk,
    plan: &FilingPlan,
    session: &mut Session,
    card: &Path,
    archive: &Path,
    progress: &dyn Progress,
) -> Result<Receipt, FilingFault> {
    refuse_beforehand(disk, plan, session, card, archive)?;
    let mut opened = Opened::of(disk, archive)?;
    opened.end_what_was_cut(&plan.folder)?;
    let mut fixed = session.clone();
    fix_numbers(&mut fixed);
    let mut meter = Meter::new(plan.bytes_to_copy(), progress);
    let plan = settle(disk, plan, &fixed, card, archive, &mut meter)?;
    refuse_without_room(disk, &plan, archive)?;
    let mut run = Run::new(disk, &plan, fixed, card, archive);
    run.record_what_was_filed();
    let mut ended = Ok(());
    if !run.is_done(&opened) {
        let mut journal = run.begin(&mut opened)?;
        ended = run.copy_all(&mut journal, &mut meter);
        let listed = run.write_lists(&mut journal);
        ended = ended.and(listed).and_then(|()| run.end(&mut journal));
    }
    let receipt = run.receipt.clone();
    *session = run.session;
    ended.map(|()| receipt)
}

/// Fixes the numbers of all sets and brings their records up to date.
fn fix_numbers(session: &mut Session) {
    session.apply(&session.fix_numbers()).expect("an edit made for this very session");
    let sets = session.sets.iter().map(|set| (set.frames.clone(), set.closed_by)).collect();
    session.arrange(sets);
}

/// A filing under way.
struct Run<'a> {
    disk: &'a dyn Disk,
    plan: &'a FilingPlan,
    session: Session,
    card: &'a Path,
    archive: &'a Path,
    /// What is filed in this archive; the session may know of other archives too.
    here: Here,
    /// Whether the archive's session is to be kept beside the new one.
    keeps_earlier: bool,
    receipt: Receipt,
}

impl<'a> Run<'a> {
    fn new(
        disk: &'a dyn Disk,
        plan: &'a FilingPlan,
        session: Session,
        card: &'a Path,
        archive: &'a Path,
    ) -> Self {
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
        let keeps_earlier = plan.place.previous.as_ref().is_some_and(|earlier| knows_more(earlier, &session));
        Self { disk, plan, session, card, archive, here, keeps_earlier, receipt }
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

    /// Whether everything is filed and written as it would be.
    fn is_done(&self, opened: &Opened<'_>) -> bool {
        let folder = &self.receipt.folder;
        let reads = |name: &str, text: &str| {
            disk::read_text(self.disk, &folder.join(name)).is_ok_and(|there| there == text)
        };
        opened.log.open().is_none()
            && self.plan.files_to_copy() == 0
            && lists::manifest_text(self.disk, folder, &self.here).is_ok_and(|t| reads(MANIFEST_FILE, &t))
            && reads(SESSION_FILE, &lists::session_text(&self.session, &self.here))
    }

    /// Tells the journal of all that will be done, and makes the folders. The session in its folder marks that as this
    /// session's, so that a run that is cut short is found again.
    fn begin(&mut self, opened: &mut Opened<'a>) -> Result<Journal<'a>, FilingFault> {
        let begun = self.begin_writing(opened);
        begun.map_err(|error| {
            self.disk.remove_folder(&self.receipt.folder).ok();
            if opened.is_new {
                self.disk.remove_folder(self.archive).ok();
            }
            let path = self.receipt.folder.clone();
            match error.kind() {
                ErrorKind::WouldBlock => FilingFault::Busy { folder: self.archive.to_owned() },
                _ => FilingFault::ArchiveUnusable { reason: io_words(&error), path },
            }
        })
    }

    fn begin_writing(&mut self, opened: &mut Opened<'a>) -> io::Result<Journal<'a>> {
        let folder = &self.plan.folder;
        disk::make_folder(self.disk, self.archive)?;
        if opened.is_new {
            opened.hold_new()?;
        }
        let mut journal = Journal::open(self.disk, self.archive, std::mem::take(&mut opened.log))?;
        let at = time_words(self.disk);
        if journal.operation().is_some() {
            journal.add(&Entry::Again { at });
        } else {
            let source = self.disk.true_path(self.card)?.to_string_lossy().into_owned();
            let n = journal.next_number();
            journal.add(&Entry::Filing { n, at, folder: folder.clone(), source });
        }
        let copies: Vec<(String, &Step)> =
            self.to_copy().map(|step| (format!("{folder}/{}", step.to), step)).collect();
        let texts = in_folder(folder, SESSION_FILE);
        let paths = copies.iter().map(|(to, _)| to.as_str()).chain([texts.as_str()]);
        let folders = journal::folders_to_make(self.disk, self.archive, paths);
        for path in &folders {
            journal.add(&Entry::Folder { path: path.clone() });
        }
        for (to, step) in copies {
            journal.add(&Entry::Copy { from: step.from.clone(), to, bytes: step.bytes });
        }
        let mut written = self.announce_earlier_session(&mut journal)?;
        let text = lists::session_text(&self.session, &self.here);
        written.extend(lists::announce(self.disk, self.archive, &mut journal, &texts, text)?);
        journal.flush()?;
        for path in &folders {
            self.disk.create_folder(&self.archive.join(path))?;
        }
        self.disk.flush_folder(self.archive)?;
        // This makes the folders in the session's own lasting as well.
        disk::replace_texts(self.disk, &written)?;
        if written.is_empty() && !folders.is_empty() {
            self.disk.flush_folder(&self.receipt.folder)?;
        }
        Ok(journal)
    }

    fn to_copy(&self) -> impl Iterator<Item = &'a Step> + use<'a> {
        self.plan.steps.iter().filter(|step| !step.done_before)
    }

    /// Copies every step that is not done, in order.
    fn copy_all(&mut self, journal: &mut Journal<'_>, meter: &mut Meter<'_>) -> Result<(), FilingFault> {
        let (plan, disk) = (self.plan, self.disk);
        let mut batch = Batch::new(disk, self.receipt.folder.clone(), &plan.folder);
        let mut troubles: Vec<(String, &Step)> = Vec::new();
        let mut ended = Ok(());
        for step in self.to_copy() {
            if meter.stopped() {
                ended = Err(CopyTrouble::Stopped);
            } else {
                let progress = meter.progress();
                let copied = batch.copy(step, self.card, &|| progress.stopped(), &mut |b| meter.moved(b));
                meter.finished(step.bytes);
                match copied {
                    Err(CopyTrouble::Source(error)) if disk::is_filled_folder(disk, self.card) => {
                        troubles.push((io_words(&error), step));
                    }
                    Err(CopyTrouble::SourceChanged { found_bytes }) => {
                        let was = step.bytes;
                        let words = format!("it had {was} bytes when read and has {found_bytes} now");
                        troubles.push((words, step));
                    }
                    other => ended = other,
                }
            }
            if let Err(trouble) = std::mem::replace(&mut ended, Ok(())) {
                // What was copied until then is brought to its end; why it ended weighs more than how that went.
                self.finish(&mut batch, journal).ok();
                return Err(self.why_ended(step, &trouble));
            }
            if batch.is_full() {
                self.finish(&mut batch, journal)?;
            }
        }
        self.finish(&mut batch, journal)?;
        let Some((reason, first)) = troubles.first().cloned() else { return Ok(()) };
        Err(self.source_trouble(troubles.len(), reason, first))
    }

    /// Gives the files of a batch their names.
    fn finish(&mut self, batch: &mut Batch<'a, '_>, journal: &mut Journal<'_>) -> Result<(), FilingFault> {
        let finished = batch.finish(journal, &mut |step, sha256| self.record(step, sha256));
        finished.map_err(|trouble| match trouble {
            BatchTrouble::Differs(step) => FilingFault::CopyDiffers { from: step.from.clone() },
            BatchTrouble::Target(error, path) => self.target_trouble(&error, path),
        })
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

    fn source_trouble(&self, count: usize, reason: String, first: &Step) -> FilingFault {
        let (filed, of) = self.counts();
        FilingFault::SourceTrouble { failed: count, filed, of, reason, from: first.from.clone() }
    }

    fn why_ended(&self, step: &Step, trouble: &CopyTrouble) -> FilingFault {
        let (filed, of) = self.counts();
        match trouble {
            CopyTrouble::Target(error) => self.target_trouble(error, self.receipt.folder.join(&step.to)),
            CopyTrouble::Stopped => FilingFault::Stopped { filed, of, folder: self.receipt.folder.clone() },
            CopyTrouble::Source(_) | CopyTrouble::SourceChanged { .. } => {
                FilingFault::CardGone { filed, of, card: self.card.to_owned() }
            }
        }
    }

    fn target_trouble(&self, error: &io::Error, path: PathBuf) -> FilingFault {
        if matches!(error.kind(), ErrorKind::StorageFull | ErrorKind::QuotaExceeded) {
            let needed_bytes = self.plan.bytes_to_copy() - self.receipt.copied_bytes;
            let free_bytes = self.disk.free_bytes(&self.receipt.folder).unwrap_or(0);
            let is_it = |step: &&Step| self.receipt.folder.join(&step.to) == path;
            let step = self.plan.steps.iter().find(is_it);
            let from = step.map_or_else(|| path.display().to_string(), |step| step.from.clone());
            return FilingFault::DiskFull { needed_bytes, free_bytes, from };
        }
        FilingFault::ArchiveTrouble { reason: io_words(error), path }
    }

    /// Writes the checksums and the session beside what was filed, for what was filed.
    fn write_lists(&self, journal: &mut Journal<'_>) -> Result<(), FilingFault> {
        lists::put_both(self.disk, self.archive, journal, &self.plan.folder, &self.session, &self.here)
            .map_err(|(error, name)| self.list_trouble(&error, name))
    }

    fn list_trouble(&self, error: &io::Error, name: &str) -> FilingFault {
        FilingFault::ListTrouble { reason: io_words(error), path: self.receipt.folder.join(name) }
    }

    /// Says in the journal that everything is filed.
    fn end(&self, journal: &mut Journal<'_>) -> Result<(), FilingFault> {
        let n = journal.operation().map_or(0, |operation| operation.n);
        journal.add(&Entry::End { at: time_words(self.disk), whole: true });
        journal
            .flush()
            .and_then(|()| lists::drop_older(self.disk, self.archive, n))
            .map_err(|error| self.list_trouble(&error, SESSION_FILE))
    }

    /// Announces the archive's session under a name of its own, when the new one knows less.
    fn announce_earlier_session(&self, journal: &mut Journal<'_>) -> io::Result<Vec<Text>> {
        if !self.keeps_earlier {
            return Ok(Vec::new());
        }
        let text = disk::read_text(self.disk, &self.receipt.folder.join(SESSION_FILE))?;
        let mut free = "session-before.ron".to_owned();
        let mut n = 2;
        while disk::is_taken(self.disk, &self.receipt.folder.join(&free)) {
            // Kept already by a run that was cut short.
            if disk::read_text(self.disk, &self.receipt.folder.join(&free)).is_ok_and(|kept| kept == text) {
                return Ok(Vec::new());
            }
            free = format!("session-before-{n}.ron");
            n += 1;
        }
        let path = in_folder(&self.plan.folder, &free);
        Ok(lists::announce(self.disk, self.archive, journal, &path, text)?.into_iter().collect())
    }
}

/// Whether the archive's session knows more than the new one and that does not come from it: a card read afresh must not
/// wipe out what was once decided and written. To be asked before anything is recorded.
fn knows_more(earlier: &Session, new: &Session) -> bool {
    let comes_from_it = earlier.filed.keys().any(|path| new.filed.contains_key(path));
    let knows_as_much = earlier.decisions == new.decisions
        && earlier.specimens == new.specimens
        && earlier.overlap(&new.frames) == earlier.frames.len();
    !earlier.filed.is_empty() && !comes_from_it && !knows_as_much
}

//! Carrying a filing out: copying what is not there yet, and keeping the record of it.
//!
//! Goes in: a plan, the session it was made from, the card and the archive. Comes out: a [`Receipt`], and
//! the session with what is filed. However it ends, what was filed is recorded in the session and in the
//! archive. It never writes to the card and never replaces a file that it did not write as a list.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use record::{Account, Filed, FrameKind, Left, Progress, Session};

use crate::batch::{Batch, BatchTrouble};
use crate::begin::knows_more;
use crate::disk::{self, CopyTrouble, Disk, LocalDisk, SESSION_FILE};
use crate::fault::io_words;
use crate::journal::{Entry, Journal, time_words};
use crate::lists::{self, Here};
use crate::manifest::MANIFEST_FILE;
use crate::opened::Opened;
use crate::receipt::{self, RECEIPT_FILE, Receipt};
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
        run.session.account = Some(run.account());
        let listed = run.write_lists(&mut journal);
        ended = ended.and(listed).and_then(|()| run.end(&mut journal));
    }
    run.receipt.account = run.account();
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
pub(crate) struct Run<'a> {
    pub(crate) disk: &'a dyn Disk,
    pub(crate) plan: &'a FilingPlan,
    pub(crate) session: Session,
    pub(crate) card: &'a Path,
    pub(crate) archive: &'a Path,
    /// What is filed in this archive; the session may know of other archives too.
    pub(crate) here: Here,
    /// Whether the archive's session is to be kept beside the new one.
    pub(crate) keeps_earlier: bool,
    /// Files copied this time, by path on the card.
    copied: BTreeSet<&'a str>,
    /// Why files were not, by path on the card.
    reasons: BTreeMap<&'a str, String>,
    pub(crate) receipt: Receipt,
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
            account: Account::default(),
        };
        let keeps_earlier = plan.place.previous.as_ref().is_some_and(|earlier| knows_more(earlier, &session));
        Self {
            disk,
            plan,
            session,
            card,
            archive,
            here,
            keeps_earlier,
            copied: BTreeSet::new(),
            reasons: BTreeMap::new(),
            receipt,
        }
    }

    fn record_what_was_filed(&mut self) {
        for step in &self.plan.steps {
            if let Some(filed) = &step.filed {
                self.stands(step, filed.clone());
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
            && reads(SESSION_FILE, &lists::session_text(&self.session, &self.here, self.earlier_account()))
    }

    fn earlier_account(&self) -> Option<Account> {
        self.plan.place.previous.as_ref()?.account.clone()
    }

    /// What became of every file of the card so far.
    fn account(&self) -> Account {
        let mut account =
            Account { at: time_words(self.disk), left: self.plan.left.clone(), ..Account::default() };
        for step in &self.plan.steps {
            if !step.done_before && !self.copied.contains(step.from.as_str()) {
                let reason = self.reasons.get(step.from.as_str());
                let reason = reason.map_or("filing ended before it", String::as_str).to_owned();
                account.left.push(Left { path: step.from.clone(), reason, of_frame: true });
            } else if step.filed.as_ref().is_some_and(|filed| filed.session.is_some()) {
                account.filed_before.add(step.bytes);
            } else {
                account.filed.add(step.bytes);
                if step.kind == FrameKind::SetAside {
                    account.set_aside.add(step.bytes);
                }
            }
        }
        self.plan.copies.iter().for_each(|copy| account.copies.add(copy.bytes));
        account
    }

    pub(crate) fn to_copy(&self) -> impl Iterator<Item = &'a Step> + use<'a> {
        self.plan.steps.iter().filter(|step| !step.done_before)
    }

    /// Copies every step that is not done, in order.
    fn copy_all(&mut self, journal: &mut Journal<'_>, meter: &mut Meter<'_>) -> Result<(), FilingFault> {
        let (plan, disk) = (self.plan, self.disk);
        let mut batch = Batch::new(disk, self.receipt.folder.clone(), &plan.folder);
        let mut first: Option<(String, &Step)> = None;
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
                        self.leave(step, io_words(&error), &mut first);
                    }
                    Err(CopyTrouble::SourceChanged { found_bytes }) => {
                        let was = step.bytes;
                        let words = format!("it had {was} bytes when read and has {found_bytes} now");
                        self.leave(step, words, &mut first);
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
        let Some((reason, first)) = first else { return Ok(()) };
        Err(self.source_trouble(self.reasons.len(), reason, first))
    }

    /// Gives the files of a batch their names.
    fn finish(&mut self, batch: &mut Batch<'a, '_>, journal: &mut Journal<'_>) -> Result<(), FilingFault> {
        let finished = batch.finish(journal, &mut |step, sha256| self.record(step, sha256));
        finished.map_err(|trouble| match trouble {
            BatchTrouble::Differs(step) => FilingFault::CopyDiffers { from: step.from.clone() },
            BatchTrouble::Target(error, path) => self.target_trouble(&error, path),
        })
    }

    /// Leaves a file of the card, and goes on.
    fn leave(&mut self, step: &'a Step, reason: String, first: &mut Option<(String, &'a Step)>) {
        self.reasons.insert(&step.from, reason.clone());
        first.get_or_insert((reason, step));
    }

    fn record(&mut self, step: &'a Step, sha256: String) {
        self.copied.insert(&step.from);
        let filed = Filed { path: step.to.clone(), bytes: step.bytes, sha256, session: None };
        self.stands(step, filed);
        self.receipt.copied += 1;
        self.receipt.copied_bytes += step.bytes;
    }

    /// Notes where a file of the card lies, in the archive's session and in this one.
    fn stands(&mut self, step: &Step, filed: Filed) {
        self.here.insert(step.from.clone(), filed.clone());
        self.session.filed.insert(step.from.clone(), filed);
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
        let account = self.session.account.clone().unwrap_or_default();
        let manifest = lists::manifest_text(self.disk, &self.receipt.folder, &self.here)
            .map_err(|error| self.list_trouble(&error, MANIFEST_FILE))?;
        let texts = [
            (MANIFEST_FILE, manifest),
            (RECEIPT_FILE, receipt::text(&self.session, &account, self.plan, &self.here)),
            (SESSION_FILE, lists::session_text(&self.session, &self.here, Some(account))),
        ];
        lists::put_all(self.disk, self.archive, journal, &self.plan.folder, texts)
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
}

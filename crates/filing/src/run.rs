//! One archive's part in a filing under way: what is filed there, what was left and why, and the texts that say so.
//!
//! Goes in: a plan that is settled, and what becomes of each step. Comes out: the archive's record, and a [`Receipt`].

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use record::{Account, Filed, FrameId, FrameKind, Left, Session};

use crate::begin::knows_more;
use crate::disk::{self, CopyTrouble, Disk, SESSION_FILE};
use crate::fault::io_words;
use crate::journal::{Entry, Journal, time_words};
use crate::lists::{self, Here};
use crate::manifest::MANIFEST_FILE;
use crate::opened::Opened;
use crate::place::Ledger;
use crate::receipt::{self, RECEIPT_FILE, Receipt};
use crate::{FilingFault, FilingPlan, Step};

/// A filing under way.
pub(crate) struct Run<'a> {
    pub(crate) disk: &'a dyn Disk,
    pub(crate) plan: &'a FilingPlan,
    pub(crate) session: Session,
    pub(crate) card: &'a Path,
    pub(crate) archive: &'a Path,
    /// What is filed in this archive; the session may know of other archives too.
    pub(crate) here: Here,
    /// SHA-256 of the sidecars that stand or are going to, by path.
    pub(crate) sidecars: BTreeMap<String, String>,
    /// Whether the archive's session is to be kept beside the new one.
    pub(crate) keeps_earlier: bool,
    /// Files copied this time, by path on the card.
    pub(crate) copied: BTreeSet<&'a str>,
    /// Why files were not, by path on the card.
    pub(crate) reasons: BTreeMap<&'a str, String>,
    pub(crate) receipt: Receipt,
}

impl<'a> Run<'a> {
    pub(crate) fn new(
        disk: &'a dyn Disk,
        plan: &'a FilingPlan,
        remarks: &[String],
        session: Session,
        card: &'a Path,
        archive: &'a Path,
    ) -> Self {
        let mut here = plan.place.previous.as_ref().map(|p| p.filed.clone()).unwrap_or_default();
        here.retain(|_, filed| disk::is_plain_relative(&filed.path));
        let receipt = Receipt {
            folder: archive.join(&plan.folder),
            copied: 0,
            copied_bytes: 0,
            filed_before: 0,
            moved: 0,
            sidecars: 0,
            elsewhere: BTreeMap::new(),
            copies: plan.copies.len(),
            remarks: remarks.to_vec(),
            account: Account::default(),
        };
        let keeps_earlier = plan.place.previous.as_ref().is_some_and(|earlier| knows_more(earlier, &session));
        let (sidecars, copied, reasons) = (BTreeMap::new(), BTreeSet::new(), BTreeMap::new());
        Self { disk, plan, session, card, archive, here, sidecars, keeps_earlier, copied, reasons, receipt }
    }

    pub(crate) fn record_what_was_filed(&mut self) {
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

    /// Notes that what was to be moved is.
    pub(crate) fn record_moves(&mut self) {
        for step in &self.plan.steps {
            // Several frames with the same bytes share a file, which is moved once.
            let filed = step.filed.as_ref().filter(|filed| filed.session.is_none() && filed.path != step.to);
            if let Some(filed) = filed {
                self.stands(step, Filed { path: step.to.clone(), ..filed.clone() });
                self.receipt.moved += usize::from(step.moved_from.is_some());
            }
        }
    }

    /// Whether everything is filed and written as it would be, but for the time in the account.
    pub(crate) fn is_done(&mut self, opened: &Opened<'_>) -> bool {
        if opened.log.open().is_some() || self.plan.files_to_copy() > 0 || self.plan.moves().next().is_some()
        {
            return false;
        }
        let disk = self.disk;
        let folder = self.receipt.folder.clone();
        let reads = |name: &str, text: &str| {
            disk::read_text(disk, &folder.join(name)).is_ok_and(|there| there == text)
        };
        // An account of other files does not vouch for these.
        let earlier = self.plan.place.previous.as_ref().and_then(|earlier| earlier.account.as_ref());
        let at = earlier.map(|earlier| earlier.at.clone()).unwrap_or_default();
        let account = Account { at, ..self.account() };
        self.sidecars_stand()
            && self.manifest(&BTreeSet::new()).is_ok_and(|text| reads(MANIFEST_FILE, &text))
            && reads(RECEIPT_FILE, &receipt::text(&self.session, &account, self.plan, &self.here))
            && reads(SESSION_FILE, &lists::session_text(&self.session, &self.here, Some(account)))
    }

    fn manifest(&self, moved: &BTreeSet<String>) -> io::Result<String> {
        lists::manifest_text(self.disk, &self.receipt.folder, &self.here, &self.sidecars, moved)
    }

    /// What became of every file of the card so far.
    pub(crate) fn account(&self) -> Account {
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
        account.left.extend(self.unplanned());
        account
    }

    /// Files that the card held before the filing began and the plan does not know: it may be older than the session.
    fn unplanned(&self) -> Vec<Left> {
        let planned: BTreeSet<(FrameId, &str)> =
            self.plan.steps.iter().map(|step| (step.frame, step.from.as_str())).collect();
        let ledger = Ledger::of(&self.session);
        let still_there = self.session.frames.iter().filter(|frame| {
            !self.session.gone.contains(&frame.id) && !ledger.is_replaced(frame, frame.path())
        });
        let files =
            still_there.flat_map(|frame| frame.files.iter().map(|file| (frame.id, file.path.as_str())));
        let left = |path: &str| Left {
            path: path.to_owned(),
            reason: "it was read after this filing was worked out; file again".to_owned(),
            of_frame: true,
        };
        files.filter(|file| !planned.contains(file)).map(|(_, path)| left(path)).collect()
    }

    pub(crate) fn to_copy(&self) -> impl Iterator<Item = &'a Step> + use<'a> {
        self.plan.steps.iter().filter(|step| !step.done_before)
    }

    pub(crate) fn record(&mut self, step: &'a Step, sha256: String) {
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

    pub(crate) fn source_trouble(&self, reason: String, first: &Step) -> FilingFault {
        let (filed, of) = self.counts();
        FilingFault::SourceTrouble { failed: self.reasons.len(), filed, of, reason, from: first.from.clone() }
    }

    pub(crate) fn why_ended(&self, step: &Step, trouble: &CopyTrouble) -> FilingFault {
        let (filed, of) = self.counts();
        match trouble {
            CopyTrouble::Target(error) => self.target_trouble(error, self.receipt.folder.join(&step.to)),
            CopyTrouble::Stopped => FilingFault::Stopped { filed, of, folder: self.receipt.folder.clone() },
            CopyTrouble::Source(_) | CopyTrouble::SourceChanged { .. } => {
                FilingFault::CardGone { filed, of, card: self.card.to_owned() }
            }
        }
    }

    pub(crate) fn target_trouble(&self, error: &io::Error, path: PathBuf) -> FilingFault {
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

    /// Writes the sidecars, the checksums and the session beside what was filed, for what was filed.
    pub(crate) fn write_lists(&mut self, journal: &mut Journal<'_>) -> Result<(), FilingFault> {
        self.session.account = Some(self.account());
        self.write_sidecars(journal).map_err(|(error, path)| self.list_trouble(&error, &path))?;
        let account = self.session.account.clone().unwrap_or_default();
        let moved = journal.operation().map(lists::moved_away).unwrap_or_default();
        let manifest = self.manifest(&moved).map_err(|error| self.list_trouble(&error, MANIFEST_FILE))?;
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
    pub(crate) fn end(&self, journal: &mut Journal<'_>) -> Result<(), FilingFault> {
        let n = journal.operation().map_or(0, |operation| operation.n);
        journal.add(&Entry::End { at: time_words(self.disk), whole: true });
        journal
            .flush()
            .and_then(|()| lists::drop_older(self.disk, self.archive, n))
            .map_err(|error| self.list_trouble(&error, SESSION_FILE))
    }
}

//! What a plan left open because it does not touch the card: whether a file that stands at a name wanted is
//! the very file to be filed there, as after a run that was cut short, or another one.
//!
//! Goes in: a plan and the two folders. Comes out: a plan whose remaining steps all have free names. It only
//! reads.

use std::collections::BTreeSet;
use std::path::Path;

use record::{Filed, Progress, Session};

use crate::disk::{self, CopyTrouble, Disk};
use crate::plan::lay_out;
use crate::{FilingFault, FilingPlan, Step, names};

/// Counts bytes and files towards the whole and tells them on.
pub(crate) struct Meter<'a> {
    progress: &'a dyn Progress,
    finished_bytes: u64,
    moved_bytes: u64,
    of_bytes: u64,
    finished_files: usize,
    of_files: usize,
}

impl<'a> Meter<'a> {
    /// Starts at nothing of this many files and bytes.
    pub(crate) fn new(of_files: usize, of_bytes: u64, progress: &'a dyn Progress) -> Self {
        Self { progress, finished_bytes: 0, moved_bytes: 0, of_bytes, finished_files: 0, of_files }
    }

    /// More bytes of the file in hand are done.
    pub(crate) fn moved(&mut self, bytes: u64) {
        self.moved_bytes += bytes;
        self.tell();
    }

    /// The file in hand is done with, however it went.
    pub(crate) fn finished(&mut self, bytes: u64) {
        self.finished_bytes += bytes;
        self.finished_files += 1;
        self.moved_bytes = 0;
        self.tell();
    }

    pub(crate) fn stopped(&self) -> bool {
        self.progress.stopped()
    }

    /// Rests between two files for as long as the person wants.
    pub(crate) fn rest(&self) {
        if self.progress.held_up() {
            self.progress.wait();
        }
    }

    pub(crate) fn progress(&self) -> &'a dyn Progress {
        self.progress
    }

    fn tell(&self) {
        let done = (self.finished_bytes + self.moved_bytes).min(self.of_bytes);
        // Only on systems of 32 bits can this not hold a card's bytes.
        let small = |bytes: u64| usize::try_from(bytes).unwrap_or(usize::MAX);
        self.progress.at(small(done), small(self.of_bytes));
        self.progress.files(self.finished_files.min(self.of_files), self.of_files);
    }
}

/// A plan that can be carried out, and what a person should know of it.
pub(crate) struct Settled {
    pub(crate) plan: FilingPlan,
    /// In whole sentences.
    pub(crate) remarks: Vec<String>,
}

/// What is compared before a plan is carried out.
struct Settling<'a, 'm> {
    disk: &'a dyn Disk,
    card: &'a Path,
    archive: &'a Path,
    meter: &'a mut Meter<'m>,
    session: Session,
    /// Names in the folder, folded, at which other files stand.
    foreign: BTreeSet<String>,
    /// Files of the card whose place in the archive was read again and is as it was filed.
    sound: BTreeSet<String>,
    remarks: Vec<String>,
}

/// Reads again what was filed before, compares what stands at the names wanted, marks as filed what is the same, and
/// gives other names where another file stands. What is not as it was filed is copied anew.
///
/// # Errors
/// [`FilingFault::Stopped`] when asked to; nothing was done then.
pub(crate) fn settle(
    disk: &dyn Disk,
    plan: &FilingPlan,
    session: &Session,
    card: &Path,
    archive: &Path,
    meter: &mut Meter<'_>,
) -> Result<Settled, FilingFault> {
    let (foreign, sound, remarks) = (BTreeSet::new(), BTreeSet::new(), Vec::new());
    let session = session.clone();
    let mut settling = Settling { disk, card, archive, meter, session, foreign, sound, remarks };
    let mut plan = plan.clone();
    loop {
        if !settling.damaged(&mut plan)? && !settling.compare(&mut plan)? {
            return Ok(Settled { plan, remarks: settling.remarks });
        }
        plan = settling.laid_out_anew(plan)?;
    }
}

impl Settling<'_, '_> {
    fn stopped(&self, plan: &FilingPlan) -> FilingFault {
        let filed = plan.steps.iter().filter(|s| s.done_before).count();
        FilingFault::Stopped { filed, of: plan.steps.len(), folder: self.archive.join(&plan.folder) }
    }

    fn laid_out_anew(&self, plan: FilingPlan) -> Result<FilingPlan, FilingFault> {
        let (mut place, left) = (plan.place, plan.left);
        place.look(self.disk, self.archive)?;
        let mut plan = lay_out(&self.session, place, plan.proposals, plan.known, &self.foreign);
        plan.left = left;
        Ok(plan)
    }

    /// Reads what was filed before; drops the records of what is not there or not as it was filed, and says whether
    /// there was any.
    fn damaged(&mut self, plan: &mut FilingPlan) -> Result<bool, FilingFault> {
        let mut any = false;
        for step in
            plan.steps.iter().filter(|step| !self.sound.contains(&step.from)).cloned().collect::<Vec<_>>()
        {
            let Some(filed) = &step.filed else { continue };
            self.meter.rest();
            let path = filed.path_in_archive(&plan.folder);
            let there = self.archive.join(&path);
            // Time may have passed since the plan was made.
            let size = disk::size_if_file(self.disk, &there).map_err(FilingFault::unusable(&there))?;
            let stands = size == Some(filed.bytes);
            let hash = if stands {
                match disk::hash_file(self.disk, &there, &|| self.meter.stopped()) {
                    Ok(hash) => Some(hash),
                    Err(CopyTrouble::Source(e) | CopyTrouble::Target(e)) => {
                        return Err(FilingFault::unusable(&there)(e));
                    }
                    Err(_) => return Err(self.stopped(plan)),
                }
            } else {
                None
            };
            let is_sound = hash.as_ref() == Some(&filed.sha256);
            let is_on_card = !is_sound || !plan.is_compared(&step) || self.is_on_card(plan, &step, filed)?;
            self.meter.finished(plan.bytes_to_compare(&step));
            if is_sound && is_on_card {
                self.sound.insert(step.from);
                continue;
            }
            any = true;
            if stands {
                let why = if is_sound {
                    "The card holds other bytes than what was filed from it before, so they are filed too and that is"
                } else {
                    "What was filed before does not read as it was filed, so it is copied from the card once more and"
                };
                self.remarks.push(format!("{why} left as it is: {path}"));
                if filed.session.is_none() {
                    self.foreign.insert(names::folded(&filed.path));
                }
            }
            self.session.filed.remove(&step.from);
            plan.known.remove(&step.from);
            if let Some(previous) = &mut plan.place.previous {
                previous.filed.remove(&step.from);
            }
        }
        Ok(any)
    }

    /// Whether the card holds the bytes that were filed from it. What is not there any more, cannot be read, or has
    /// another length and so is told of elsewhere, says nothing against them.
    fn is_on_card(&self, plan: &FilingPlan, step: &Step, filed: &Filed) -> Result<bool, FilingFault> {
        let Ok(source) = disk::on_card(self.card, &step.from) else { return Ok(true) };
        if disk::size_of(self.disk, &source) != Some(filed.bytes) {
            return Ok(true);
        }
        match disk::hash_file(self.disk, &source, &|| self.meter.stopped()) {
            Ok(hash) => Ok(hash == filed.sha256),
            Err(CopyTrouble::Stopped) => Err(self.stopped(plan)),
            Err(_) => Ok(true),
        }
    }

    /// Leaves a name to the file of another that stands there.
    fn pass_over(&mut self, to: &str) {
        self.foreign.insert(names::folded(to));
        self.remarks
            .push(format!("A file of another has this name and keeps it, so the next one was taken: {to}"));
    }

    /// Compares what stands at the names wanted, and says whether another file does.
    fn compare(&mut self, plan: &mut FilingPlan) -> Result<bool, FilingFault> {
        let known_foreign = self.foreign.len();
        let folder = self.archive.join(&plan.folder);
        let leaving: BTreeSet<String> = plan.moves().map(|(from, _)| names::folded(from)).collect();
        for n in 0..plan.steps.len() {
            let step = &plan.steps[n];
            let target = folder.join(&step.to);
            let is_waiting = !step.done_before && !leaving.contains(&names::folded(&step.to));
            if !is_waiting {
                continue;
            }
            if !disk::is_taken(self.disk, &target) {
                // One that stands there with other capitals or accents is the same name on another disk.
                if plan.place.size_of(&step.to).is_some() {
                    self.pass_over(&step.to);
                }
                continue;
            }
            match same_bytes(self.disk, self.card, &target, step, self.meter) {
                Ok(Some(sha256)) => {
                    let filed = Filed { path: step.to.clone(), bytes: step.bytes, sha256, session: None };
                    self.meter.finished(step.bytes);
                    self.sound.insert(step.from.clone());
                    self.session.filed.insert(step.from.clone(), filed.clone());
                    let step = &mut plan.steps[n];
                    step.filed = Some(filed);
                    step.done_before = true;
                }
                Ok(None) => self.pass_over(&step.to),
                // The card cannot be read here: copying will say so.
                Err(CopyTrouble::Source(_)) => {}
                Err(_) => return Err(self.stopped(plan)),
            }
        }
        Ok(self.foreign.len() > known_foreign)
    }
}

/// The SHA-256 that both files have; `None` when they differ or the one in the archive cannot be read.
fn same_bytes(
    disk: &dyn Disk,
    card: &Path,
    target: &Path,
    step: &Step,
    meter: &Meter<'_>,
) -> Result<Option<String>, CopyTrouble> {
    if disk::size_of(disk, target) != Some(step.bytes) {
        return Ok(None);
    }
    let stopped = || meter.stopped();
    let there = match disk::hash_file(disk, target, &stopped) {
        Err(CopyTrouble::Source(_)) => return Ok(None),
        there => there?,
    };
    let source = disk::on_card(card, &step.from).map_err(CopyTrouble::Source)?;
    let here = disk::hash_file(disk, &source, &stopped)?;
    Ok((here == there).then_some(here))
}

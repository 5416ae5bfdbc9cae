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

/// Counts bytes towards the whole and tells them on.
pub(crate) struct Meter<'a> {
    progress: &'a dyn Progress,
    finished_bytes: u64,
    moved_bytes: u64,
    of_bytes: u64,
}

impl<'a> Meter<'a> {
    /// Starts at nothing of this many bytes.
    pub(crate) fn new(of_bytes: u64, progress: &'a dyn Progress) -> Self {
        Self { progress, finished_bytes: 0, moved_bytes: 0, of_bytes }
    }

    /// More bytes of the file in hand are done.
    pub(crate) fn moved(&mut self, bytes: u64) {
        self.moved_bytes += bytes;
        self.tell();
    }

    /// The file in hand is done with, however it went.
    pub(crate) fn finished(&mut self, bytes: u64) {
        self.finished_bytes += bytes;
        self.moved_bytes = 0;
        self.tell();
    }

    pub(crate) fn stopped(&self) -> bool {
        self.progress.stopped()
    }

    pub(crate) fn progress(&self) -> &'a dyn Progress {
        self.progress
    }

    fn tell(&self) {
        let done = (self.finished_bytes + self.moved_bytes).min(self.of_bytes);
        // Only on systems of 32 bits can this not hold a card's bytes.
        let small = |bytes: u64| usize::try_from(bytes).unwrap_or(usize::MAX);
        self.progress.at(small(done), small(self.of_bytes));
    }
}

/// Compares what stands at the names wanted, marks as filed what is the same, and gives other names where
/// another file stands.
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
) -> Result<FilingPlan, FilingFault> {
    let folder = archive.join(&plan.folder);
    let mut plan = plan.clone();
    let mut session = session.clone();
    let mut foreign: BTreeSet<String> = BTreeSet::new();
    // Time may have passed since the plan was made.
    let stands = |filed: &Filed| {
        disk::size_of(disk, &archive.join(filed.path_in_archive(&plan.folder))) == Some(filed.bytes)
    };
    if !plan.steps.iter().filter_map(|step| step.filed.as_ref()).all(stands) {
        let mut known = plan.known;
        known.retain(|_, filed| stands(filed));
        let mut place = plan.place;
        place.look(disk, archive)?;
        let left = plan.left;
        plan = lay_out(&session, place, plan.proposals, known, &foreign);
        plan.left = left;
    }
    loop {
        let known_foreign = foreign.len();
        for step in &mut plan.steps {
            let target = folder.join(&step.to);
            if step.done_before {
                continue;
            }
            if !disk::is_taken(disk, &target) {
                continue;
            }
            match same_bytes(disk, card, &target, step, meter) {
                Ok(Some(sha256)) => {
                    let filed = Filed { path: step.to.clone(), bytes: step.bytes, sha256, session: None };
                    session.filed.insert(step.from.clone(), filed.clone());
                    step.filed = Some(filed);
                    step.done_before = true;
                    meter.finished(step.bytes);
                }
                Ok(None) => _ = foreign.insert(names::folded(&step.to)),
                // The card cannot be read here: copying will say so.
                Err(CopyTrouble::Source(_)) => {}
                Err(_) => {
                    let filed = plan.steps.iter().filter(|s| s.done_before).count();
                    return Err(FilingFault::Stopped { filed, of: plan.steps.len(), folder });
                }
            }
        }
        if foreign.len() == known_foreign {
            return Ok(plan);
        }
        let mut place = plan.place;
        place.look(disk, archive)?;
        let left = plan.left;
        plan = lay_out(&session, place, plan.proposals, plan.known, &foreign);
        plan.left = left;
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

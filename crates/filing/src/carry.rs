//! Carrying a filing out: moving what is called otherwise by now, copying what is not there yet, and keeping the record
//! of it; into one archive, or into two from one reading.
//!
//! Goes in: a plan, the session it was made from, the card and the archive. Comes out: a [`Receipt`], and
//! the session with what is filed. However it ends, what was filed is recorded in the session and in the
//! archive. It never writes to the card and never replaces a file that it did not write as a list.

use std::path::Path;

use record::{Progress, Session};

use crate::disk::{Disk, LocalDisk};
use crate::lanes::Lane;
use crate::opened::Opened;
use crate::receipt::Receipt;
use crate::refuse::{refuse_beforehand, refuse_without_room};
use crate::run::Run;
use crate::settle::{Meter, settle};
use crate::{FilingFault, FilingPlan, lanes};

/// A plan, and the archive it is for.
pub(crate) type Target<'a> = (&'a FilingPlan, &'a Path);

/// Carries a filing out.
///
/// Numbers of the session's specimens are fixed first, as [`Session::fix_numbers`] does, so that they never
/// change once something is filed under them. What was filed before is read again and compared, also with the
/// card where that holds it still. Files that are called
/// otherwise by now are moved. Each file is copied beside its name, read back, compared, and
/// then named; the archive's journal tells of each step before it is done. A file that stands there already with
/// the same bytes is recorded and not copied again; where another file has the name, the next free one is taken.
/// In the end a sidecar is written beside the files of each frame, and `manifest-sha256.txt` and `session.ron` beside the
/// folders of the specimens. Where nothing is to be copied or written nothing is done. Progress is told in bytes.
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

/// Carries a filing out into two archives, reading the card once: the main one, whose record the session keeps, and
/// another. Each has its own plan, made by [`plan_filing`](crate::plan_filing), and its own journal. Where one of them
/// cannot be written to any more, the other goes on.
///
/// # Errors
/// A refusal by either leaves both as they were. Else what became of each, as [`carry_out`] says.
pub fn carry_out_both(
    plans: [&FilingPlan; 2],
    session: &mut Session,
    card: &Path,
    archives: [&Path; 2],
    progress: &dyn Progress,
) -> Result<[Result<Receipt, FilingFault>; 2], FilingFault> {
    let targets = [(plans[0], archives[0]), (plans[1], archives[1])];
    carry_out_both_on(&LocalDisk, targets, session, card, progress)
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
    let [receipt] = carry_out_all(disk, [(plan, archive)], session, card, progress)?;
    receipt
}

/// As [`carry_out_both`], on any disk.
pub(crate) fn carry_out_both_on(
    disk: &dyn Disk,
    targets: [Target<'_>; 2],
    session: &mut Session,
    card: &Path,
    progress: &dyn Progress,
) -> Result<[Result<Receipt, FilingFault>; 2], FilingFault> {
    let [one, other] =
        targets.map(|(_, archive)| disk.true_path(archive).unwrap_or_else(|_| archive.to_owned()));
    if one.starts_with(&other) || other.starts_with(&one) {
        return Err(FilingFault::ArchivesAlike { path: targets[1].1.to_owned() });
    }
    carry_out_all(disk, targets, session, card, progress)
}

fn carry_out_all<const N: usize>(
    disk: &dyn Disk,
    targets: [Target<'_>; N],
    session: &mut Session,
    card: &Path,
    progress: &dyn Progress,
) -> Result<[Result<Receipt, FilingFault>; N], FilingFault> {
    let mut opened = Vec::with_capacity(N);
    for (plan, archive) in targets {
        refuse_beforehand(disk, plan, session, card, archive)?;
        opened.push(Opened::of(disk, archive)?);
    }
    for ((plan, _), opened) in targets.iter().zip(&mut opened) {
        opened.end_what_was_cut(&plan.folder)?;
        plan.place.refuse_if_changed(disk, session, opened.archive, &opened.log)?;
    }
    let mut fixed = session.clone();
    fix_numbers(&mut fixed);
    let (files, bytes) = ahead(&targets);
    let mut meter = Meter::new(files, bytes, progress);
    let mut settled = Vec::with_capacity(N);
    for (plan, archive) in targets {
        settled.push(settle(disk, plan, &fixed, card, archive, &mut meter)?);
    }
    for (settled, (_, archive)) in settled.iter().zip(targets) {
        refuse_without_room(disk, &settled.plan, archive)?;
    }
    let mut all: Vec<Lane<'_>> = Vec::with_capacity(N);
    for ((settled, mut opened), (_, archive)) in settled.iter().zip(opened).zip(targets) {
        let mut run = Run::new(disk, &settled.plan, &settled.remarks, fixed.clone(), card, archive);
        run.record_what_was_filed();
        if run.is_done(&opened) {
            all.push(Lane::over(run, opened, Ok(())));
            continue;
        }
        match run.begin(&mut opened) {
            Ok(journal) => all.push(Lane::open(run, opened, journal)),
            // Nothing was done in any archive.
            Err(fault) if N == 1 => return Err(fault),
            Err(fault) => all.push(Lane::over(run, opened, Err(fault))),
        }
    }
    lanes::copy_all(disk, card, &mut all, &mut meter);
    let mut ended = all.into_iter().map(Lane::end);
    let (main, receipt) = ended.next().expect("there is a main archive");
    *session = main;
    let mut receipts = std::iter::once(receipt).chain(ended.map(|(_, receipt)| receipt));
    Ok(std::array::from_fn(|_| receipts.next().expect("each archive has its receipt")))
}

/// Files and bytes to be read again in all archives, and to be copied, each from the card once.
fn ahead(targets: &[Target<'_>]) -> (usize, u64) {
    let steps = targets.iter().flat_map(|(plan, _)| &plan.steps);
    let filed = steps.clone().filter(|step| step.filed.is_some()).count();
    let again: u64 = targets.iter().map(|(plan, _)| plan.bytes_to_read_again()).sum();
    let mut to_copy: Vec<(&str, u64)> =
        steps.filter(|s| !s.done_before).map(|s| (s.from.as_str(), s.bytes)).collect();
    to_copy.sort_unstable();
    to_copy.dedup();
    let bytes = again + to_copy.iter().map(|(_, bytes)| bytes).sum::<u64>();
    (filed + to_copy.len(), bytes)
}

/// Fixes the numbers of all sets and brings their records up to date.
fn fix_numbers(session: &mut Session) {
    session.apply(&session.fix_numbers()).expect("an edit made for this very session");
    let sets = session.sets.iter().map(|set| (set.frames.clone(), set.closed_by)).collect();
    session.arrange(sets);
}

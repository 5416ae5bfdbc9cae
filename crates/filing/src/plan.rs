//! A whole filing as data: every source, destination and size, before anything is done.
//!
//! Goes in: a session, its card, the archive, and views to use for frames without a confirmed one. Comes out: a
//! [`FilingPlan`]. It only reads; of the card only files of a length that the archive holds already.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use record::{Filed, Frame, FrameFile, FrameId, FrameKind, Left, Progress, Session, ViewKey};

use crate::disk::{Disk, LocalDisk};
use crate::known::{self, Known};
use crate::place::{Ledger, Place};
use crate::seats::{Draft, Seats};
use crate::stems::Stems;
use crate::{Altered, FilingFault, beside};

/// One file to be filed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// The frame it belongs to.
    pub frame: FrameId,
    /// What part that frame plays.
    pub kind: FrameKind,
    /// Path on the card, with `/`.
    pub from: String,
    /// Path inside the session's folder, with `/`; when the file lies in the folder of another session already, its
    /// path inside the archive.
    pub to: String,
    /// Where it lies in the session's folder now, when it is called otherwise since it was filed and is going to be
    /// moved.
    pub moved_from: Option<String>,
    /// Size when the card was read.
    pub bytes: u64,
    /// Whether it was filed before and still stands there with this size.
    pub done_before: bool,
    /// Why its name is not just what a person wrote.
    pub(crate) altered: Option<Altered>,
    /// What was recorded when it was filed before, or found by its bytes.
    pub(crate) filed: Option<Filed>,
}

impl Step {
    /// Whether it lies in the folder of another session.
    pub fn is_elsewhere(&self) -> bool {
        self.filed.as_ref().is_some_and(|filed| filed.session.is_some())
    }

    /// Why the name that it is going to get is not just what a person wrote; `None` for one that it has already.
    pub fn altered_now(&self) -> Option<Altered> {
        self.altered.filter(|_| !self.done_before || self.moved_from.is_some())
    }
}

/// A sidecar that Endleaf writes beside the files of a frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SidecarStep {
    /// The frame.
    pub frame: FrameId,
    /// Path inside the session's folder, with `/`.
    pub to: String,
    /// Where the one written before lies now, when it is going to be moved.
    pub moved_from: Option<String>,
}

/// A file of the card that is not filed because it holds the same bytes as one that is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CopyOnCard {
    /// Path on the card, with `/`.
    pub path: String,
    /// Its size.
    pub bytes: u64,
    /// The file of its frame that stands for it, on the card.
    pub of: String,
}

/// A whole filing.
#[derive(Debug, Clone, PartialEq)]
pub struct FilingPlan {
    /// Name of the session's folder in the archive.
    pub folder: String,
    /// Why that is not just what a person called the session; of a new folder.
    pub folder_altered: Option<Altered>,
    /// One step for every file of every frame, in the order of the day.
    pub steps: Vec<Step>,
    /// The sidecars beside them: one for each frame of which a file lies in the session's folder.
    pub sidecars: Vec<SidecarStep>,
    /// Copies of those files elsewhere on the card.
    pub copies: Vec<CopyOnCard>,
    /// What else is on the card, and frames that are not on it any more.
    pub left: Vec<Left>,
    /// What a person should know beforehand, in whole sentences; mostly empty.
    pub remarks: Vec<String>,
    pub(crate) place: Place,
    pub(crate) proposals: BTreeMap<FrameId, ViewKey>,
    pub(crate) known: Known,
}

impl FilingPlan {
    /// Bytes that are going to be read again of what was filed before, in the archive and on the card.
    pub fn bytes_to_read_again(&self) -> u64 {
        self.steps.iter().map(|step| self.bytes_to_compare(step)).sum()
    }

    /// Bytes to be read again for one file.
    pub(crate) fn bytes_to_compare(&self, step: &Step) -> u64 {
        let times = if self.is_compared(step) { 2 } else { 1 };
        step.filed.as_ref().map_or(0, |filed| times * filed.bytes)
    }

    /// Whether a file that was filed before is read on the card too: what was found by its bytes was just now.
    pub(crate) fn is_compared(&self, step: &Step) -> bool {
        step.filed.is_some() && !self.known.contains_key(&step.from)
    }

    /// Whether nothing is to be copied or moved.
    pub fn is_all_filed(&self) -> bool {
        self.files_to_copy() == 0 && self.moves().next().is_none()
    }

    /// Size of all files that were not filed before.
    pub fn bytes_to_copy(&self) -> u64 {
        self.steps.iter().filter(|s| !s.done_before).map(|s| s.bytes).sum()
    }

    /// How many files were not filed before.
    pub fn files_to_copy(&self) -> usize {
        self.steps.iter().filter(|s| !s.done_before).count()
    }

    /// How many files are going to get names that are not just what a person wrote.
    pub fn files_altered(&self) -> usize {
        self.steps.iter().filter(|step| step.altered_now().is_some()).count()
    }

    /// Files of the archive that get other names, sidecars among them: where each lies, and where it is going to lie,
    /// inside the session's folder.
    pub fn moves(&self) -> impl Iterator<Item = (&str, &str)> {
        let steps = self.steps.iter().filter_map(|s| Some((s.moved_from.as_deref()?, s.to.as_str())));
        let sidecars = self.sidecars.iter().filter_map(|s| Some((s.moved_from.as_deref()?, s.to.as_str())));
        steps.chain(sidecars)
    }
}

/// Bytes free where an archive lies or would lie; `None` when the system does not say.
pub fn free_bytes(archive: &Path) -> Option<u64> {
    LocalDisk.free_bytes(archive)
}

/// Works out where every file of a session's frames goes in the archive.
///
/// Frames go to the folder of their set's number; blanks, reference frames and those set aside to folders of
/// their own, so that nothing is left behind. Only confirmed views stand in names; `proposals` supplies
/// views for frames without a label, and is empty by default. What was filed before keeps its name where that still
/// says what is so, and is moved otherwise; it is known by the archive's record or this session's, else by its bytes,
/// whichever session of the archive filed it and from whatever card. `left` is what the card holds besides frames, for the receipt. A session without frames gives a plan without steps. Progress is told in bytes
/// compared.
///
/// # Errors
/// Refuses an archive that is a file or cannot be read, or in which it is unclear whether the session was
/// filed before. [`FilingFault::PlanStopped`] when asked to stop.
pub fn plan_filing(
    session: &Session,
    card: &Path,
    archive: &Path,
    proposals: &BTreeMap<FrameId, ViewKey>,
    left: &[Left],
    progress: &dyn Progress,
) -> Result<FilingPlan, FilingFault> {
    let mut plan = plan_filing_on(&LocalDisk, session, card, archive, proposals, progress)?;
    plan.left.extend_from_slice(left);
    Ok(plan)
}

/// As [`plan_filing`], on any disk.
pub(crate) fn plan_filing_on(
    disk: &dyn Disk,
    session: &Session,
    card: &Path,
    archive: &Path,
    proposals: &BTreeMap<FrameId, ViewKey>,
    progress: &dyn Progress,
) -> Result<FilingPlan, FilingFault> {
    let place = Place::find(disk, session, archive)?;
    let records = Records::of(session, &place);
    let there = session.frames.iter().filter(|f| records.is_on_card(f));
    let open = there.flat_map(|frame| frame.files.iter().filter(|file| records.filed(frame, file).is_none()));
    let open: BTreeSet<&str> = open.map(|file| file.path.as_str()).collect();
    let known = known::recognise(disk, session, &open, card, archive, &place.folder, progress)?;
    let mut plan = lay_out(session, place, proposals.clone(), known, &BTreeSet::new());
    plan.remarks.extend(beside::remarks(disk, card, &plan));
    Ok(plan)
}

/// Lays the steps out. Files at the paths in `foreign` (folded) are known not to be this session's; others of
/// the right size at the right name may be, and are compared when the plan is carried out.
pub(crate) fn lay_out(
    session: &Session,
    place: Place,
    proposals: BTreeMap<FrameId, ViewKey>,
    known: Known,
    foreign: &BTreeSet<String>,
) -> FilingPlan {
    let records = Records::of(session, &place);
    let mut seats = Seats::new(&place, foreign);
    let mut remarks = place.remarks.clone();
    let mut left = Vec::new();
    let absent = |frame: &Frame, reason: &str| Left {
        path: frame.path().to_owned(),
        reason: reason.to_owned(),
        of_frame: false,
    };
    let mut drafts = Vec::new();
    let wanted = Stems::of(session, &proposals);
    for frame in &session.frames {
        if session.gone.contains(&frame.id) {
            left.push(absent(frame, "it went away from the folder while that was watched"));
            remarks.push(format!(
                "The files of this frame went away from the folder while it was watched, so there is nothing to copy: {}",
                frame.path()
            ));
            continue;
        }
        if !records.is_on_card(frame) {
            left.push(absent(frame, "a later frame took its place on the card"));
            remarks.push(format!(
                "This frame was replaced on the card by a later one and cannot be copied any more, \
                 unless it was filed before; the later one is filed: {}",
                frame.path()
            ));
            continue;
        }
        let filed = |file| records.filed(frame, file).or_else(|| known.get(&file.path)).cloned();
        drafts.push(Draft::of(frame, frame.files.iter().map(filed).collect(), wanted.stem(frame)));
    }
    for draft in &mut drafts {
        seats.keep(draft);
    }
    let (mut steps, mut sidecars) = (Vec::new(), Vec::new());
    for draft in &drafts {
        let seated = seats.seat(draft);
        steps.extend(seated.steps(draft, session.kind(draft.frame)));
        sidecars.extend(seated.sidecar(draft));
    }
    let copies = drafts.iter().flat_map(|draft| copies(draft.frame)).collect();
    drop(records);
    FilingPlan {
        folder: place.folder.clone(),
        folder_altered: place.altered,
        steps,
        sidecars,
        copies,
        left,
        remarks,
        place,
        proposals,
        known,
    }
}

/// The copies of a frame's files elsewhere on the card, each with the file that stands for it.
fn copies(frame: &Frame) -> impl Iterator<Item = CopyOnCard> {
    frame.copies.iter().map(|copy| {
        let alike = |f: &&FrameFile| f.role == copy.role && f.bytes == copy.bytes;
        let of = frame.files.iter().find(alike).unwrap_or(&frame.files[0]).path.clone();
        CopyOnCard { path: copy.path.clone(), bytes: copy.bytes, of }
    })
}

/// What the session and the archive's own record of it say of files in the session's folder.
struct Records<'a> {
    session: &'a Session,
    place: &'a Place,
    own: Ledger<'a>,
    earlier: Option<Ledger<'a>>,
}

impl<'a> Records<'a> {
    fn of(session: &'a Session, place: &'a Place) -> Self {
        let earlier = place.previous.as_ref().map(Ledger::of);
        Self { session, place, own: Ledger::of(session), earlier }
    }

    /// Whether the files of a frame are still to be had: none went away, and no later frame took their place.
    fn is_on_card(&self, frame: &Frame) -> bool {
        !self.session.gone.contains(&frame.id) && !self.own.is_replaced(frame, frame.path())
    }

    /// Where a file was filed in the session's folder and still stands with its size. The archive's own record comes
    /// first: the session may have been filed into another archive since, or this one changed without it.
    fn filed(&self, frame: &Frame, file: &FrameFile) -> Option<&'a Filed> {
        let ledgers = [self.earlier.as_ref(), Some(&self.own)].into_iter().flatten();
        let mut filed = ledgers.filter_map(|ledger| ledger.filed(frame, &file.path));
        let stands = |f: &&Filed| {
            f.session.is_none() && f.bytes == file.bytes && self.place.size_of(&f.path) == Some(f.bytes)
        };
        filed.find(stands)
    }
}

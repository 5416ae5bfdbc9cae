//! What filing would do, line by line, in the order a person wants.
//!
//! Goes in: a plan. Comes out: a line for each file of the card and each sidecar, sorted by any column, with what becomes
//! of it and why, as the window and the command line both tell it. Sorting is done once, beside the window. Nothing is
//! drawn here.

use std::cmp::Ordering;
use std::path::PathBuf;

use filing::{Altered, FilingPlan};
use record::{FrameId, FrameKind, Session};

use super::words::tell;

/// A filing that was worked out for one archive.
#[derive(Debug)]
pub(crate) struct OnePlan {
    /// The archive.
    pub(crate) archive: PathBuf,
    /// What would be done.
    pub(crate) plan: FilingPlan,
    /// The same, line by line.
    pub(crate) lines: Lines,
    /// Bytes free where the archive lies, when the system says.
    pub(crate) free_bytes: Option<u64>,
}

/// One line, by its place in the plan.
#[derive(Debug, Clone, Copy)]
enum Line {
    Step(usize),
    Sidecar(usize),
    Copy(usize),
    Left(usize),
}

/// What is going to become of a line. The order is that of sorting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Fate {
    Left,
    ToCopy,
    Moves,
    Sidecar,
    SidecarMoves,
    CopyOnCard,
    Elsewhere,
    Before,
}

/// What a line says.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Told<'a> {
    pub(crate) frame: Option<FrameId>,
    pub(crate) kind: FrameKind,
    /// On the card; of what moves, in the archive.
    pub(crate) from: &'a str,
    pub(crate) to: &'a str,
    pub(crate) bytes: Option<u64>,
    pub(crate) fate: Fate,
    /// Why it is left.
    reason: &'a str,
    /// Why the name that it gets is not just what a person wrote.
    altered: Option<Altered>,
}

/// A column to sort by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub(crate) enum Column {
    /// The frame, in the order of the day.
    #[default]
    Frame,
    From,
    To,
    Size,
    State,
}

impl Column {
    /// All, from left to right.
    pub(crate) const ALL: [Self; 5] = [Self::Frame, Self::From, Self::To, Self::Size, Self::State];

    /// Its head.
    pub(crate) fn words(self) -> String {
        match self {
            Self::Frame => tell!("filing-column-frame"),
            Self::From => tell!("filing-column-from"),
            Self::To => tell!("filing-column-to"),
            Self::Size => tell!("filing-column-size"),
            Self::State => tell!("filing-column-state"),
        }
    }

    /// The next of them, the first after the last.
    pub(crate) fn next(self) -> Self {
        let at = Self::ALL.iter().position(|c| *c == self).unwrap_or(0);
        Self::ALL[(at + 1) % Self::ALL.len()]
    }
}

/// The lines of a plan, and their order by each column.
#[derive(Debug, Default)]
pub(crate) struct Lines {
    all: Vec<Line>,
    orders: [Vec<u32>; 5],
}

impl Lines {
    /// Lays a plan out in lines, and puts them in order by each column.
    pub(crate) fn of(plan: &FilingPlan) -> Self {
        let all = Self::laid_out(plan);
        let told: Vec<Told<'_>> = all.iter().map(|line| line.told(plan)).collect();
        let orders = Column::ALL.map(|column| order(&told, column));
        Self { all, orders }
    }

    /// The lines of a plan in the order of the day.
    pub(crate) fn of_the_day(plan: &FilingPlan) -> impl Iterator<Item = Told<'_>> {
        Self::laid_out(plan).into_iter().map(|line| line.told(plan))
    }

    /// Files in the order of the day with their sidecars, then copies, then what is left.
    fn laid_out(plan: &FilingPlan) -> Vec<Line> {
        let mut all = Vec::with_capacity(plan.steps.len() + plan.sidecars.len());
        let mut sidecars = plan.sidecars.iter().enumerate().peekable();
        for (at, step) in plan.steps.iter().enumerate() {
            all.push(Line::Step(at));
            let is_last = plan.steps.get(at + 1).is_none_or(|next| next.frame != step.frame);
            while let Some((at, _)) = sidecars.next_if(|(_, s)| is_last && s.frame == step.frame) {
                all.push(Line::Sidecar(at));
            }
        }
        all.extend(sidecars.map(|(at, _)| Line::Sidecar(at)));
        all.extend((0..plan.copies.len()).map(Line::Copy));
        all.extend((0..plan.left.len()).map(Line::Left));
        all
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.all.len()
    }

    /// The line at a place of the order.
    pub(crate) fn told<'p>(
        &self,
        plan: &'p FilingPlan,
        column: Column,
        reversed: bool,
        at: usize,
    ) -> Option<Told<'p>> {
        let order = &self.orders[column as usize];
        let at = if reversed { order.len().checked_sub(at + 1)? } else { at };
        Some(self.all[*order.get(at)? as usize].told(plan))
    }
}

/// Lines that agree keep the order of the day.
fn order(told: &[Told<'_>], column: Column) -> Vec<u32> {
    let mut order: Vec<u32> = (0..told.len() as u32).collect();
    let by = |a: &Told<'_>, b: &Told<'_>| match column {
        Column::Frame => Ordering::Equal,
        Column::From => a.from.cmp(b.from),
        Column::To => a.to.cmp(b.to),
        Column::Size => a.bytes.cmp(&b.bytes),
        Column::State => a.fate.cmp(&b.fate).then(b.altered.cmp(&a.altered)),
    };
    order.sort_by(|a, b| by(&told[*a as usize], &told[*b as usize]));
    order
}

impl Line {
    fn told(self, plan: &FilingPlan) -> Told<'_> {
        let none = Told {
            frame: None,
            kind: FrameKind::Specimen,
            from: "",
            to: "",
            bytes: None,
            fate: Fate::Left,
            reason: "",
            altered: None,
        };
        match self {
            Self::Step(at) => {
                let step = &plan.steps[at];
                let fate = match &step.moved_from {
                    Some(_) => Fate::Moves,
                    None if step.is_elsewhere() => Fate::Elsewhere,
                    None if step.done_before => Fate::Before,
                    None => Fate::ToCopy,
                };
                let from = step.moved_from.as_ref().unwrap_or(&step.from);
                let (frame, bytes) = (Some(step.frame), Some(step.bytes));
                Told {
                    frame,
                    kind: step.kind,
                    from,
                    to: &step.to,
                    bytes,
                    fate,
                    altered: step.altered_now(),
                    ..none
                }
            }
            Self::Sidecar(at) => {
                let sidecar = &plan.sidecars[at];
                let moved = sidecar.moved_from.as_deref();
                let fate = if moved.is_some() { Fate::SidecarMoves } else { Fate::Sidecar };
                let frame = Some(sidecar.frame);
                Told { frame, from: moved.unwrap_or_default(), to: &sidecar.to, fate, ..none }
            }
            Self::Copy(at) => {
                let copy = &plan.copies[at];
                let bytes = Some(copy.bytes);
                Told { from: &copy.path, to: &copy.of, bytes, fate: Fate::CopyOnCard, ..none }
            }
            Self::Left(at) => {
                let left = &plan.left[at];
                Told { from: &left.path, reason: &left.reason, ..none }
            }
        }
    }
}

impl Told<'_> {
    /// What becomes of it, in few words.
    pub(crate) fn fate_words(&self) -> String {
        match self.fate {
            Fate::Left => tell!("filing-fate-left"),
            Fate::ToCopy if self.altered.is_some() => tell!("filing-fate-copy-altered"),
            Fate::ToCopy => tell!("filing-fate-copy"),
            Fate::Moves if self.altered.is_some() => tell!("filing-fate-moves-altered"),
            Fate::Moves => tell!("filing-fate-moves"),
            Fate::Sidecar => tell!("filing-fate-sidecar"),
            Fate::SidecarMoves => tell!("filing-fate-sidecar-moves"),
            Fate::CopyOnCard => tell!("filing-fate-same"),
            Fate::Elsewhere => tell!("filing-fate-elsewhere"),
            Fate::Before => tell!("filing-fate-before"),
        }
    }

    /// Why, in one sentence without its full stop.
    pub(crate) fn reason_words(&self, session: &Session, takes_proposed: bool) -> String {
        let why = self.fate_reason(session, takes_proposed);
        match self.altered {
            Some(altered) => format!("{why}. {}", altered.words()),
            None => why,
        }
    }

    fn fate_reason(&self, session: &Session, takes_proposed: bool) -> String {
        let confirmed = self.frame.is_some_and(|f| session.decisions.labels.contains_key(&f));
        match (self.fate, self.kind) {
            (Fate::Left, _) => self.reason.to_owned(),
            (Fate::Moves | Fate::SidecarMoves, _) => tell!("filing-why-moves"),
            (Fate::Sidecar, _) => tell!("filing-why-sidecar"),
            (Fate::CopyOnCard, _) => tell!("filing-why-same"),
            (Fate::Elsewhere, _) => tell!("filing-why-elsewhere"),
            (Fate::Before, _) => tell!("filing-why-before"),
            (Fate::ToCopy, FrameKind::Specimen) if confirmed => tell!("filing-why-confirmed"),
            (Fate::ToCopy, FrameKind::Specimen) if takes_proposed => tell!("filing-why-proposed"),
            (Fate::ToCopy, FrameKind::Specimen) => tell!("filing-why-unconfirmed"),
            (Fate::ToCopy, kind) => tell!("filing-why-kind", kind = kind.word()),
        }
    }
}

//! Which views of the plan a set has.

use record::{FrameId, Session, Set, ViewKey};

use crate::{Grouping, PROPOSE_FROM};

/// How a view stands in a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlotState {
    /// A frame is confirmed to show it.
    Confirmed,
    /// A frame probably shows it; nobody has said so yet.
    Proposed,
    /// Required, and no frame shows it.
    Missing,
    /// Required, and not known yet: some frame without a view may show it.
    Open,
    /// Optional and absent.
    NotAsked,
}

/// One view of the plan and the frames that show it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slot {
    /// Which view.
    pub view: ViewKey,
    /// How it stands.
    pub state: SlotState,
    /// The frames that are confirmed or proposed to show it, best first.
    pub frames: Vec<FrameId>,
}

/// How a set stands against its plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coverage {
    /// One slot a view, in the plan's order.
    pub slots: Vec<Slot>,
    /// Frames whose view is neither confirmed nor proposed.
    pub unlabelled: Vec<FrameId>,
    /// How many required views cannot be there, whatever the unlabelled frames show.
    pub short: usize,
    /// Those of them that are known by name.
    pub missing: Vec<ViewKey>,
    /// Whether a person has confirmed all that decides completeness: every required view, or every frame.
    pub checked: bool,
}

impl Coverage {
    /// Whether every required view is confirmed.
    pub fn complete(&self) -> bool {
        self.checked && self.short == 0
    }
}

/// Works out how a set stands against the session's plan.
///
/// A view is named missing only when every frame of the set is confirmed, or proposed with enough
/// confidence, to show another one. Until then a set with fewer usable frames than required views is `short`
/// without a name. A frame whose picture cannot be read shows nothing.
pub fn coverage(session: &Session, grouping: &Grouping, set: &Set) -> Coverage {
    let plan = &session.plan;
    let labels = &session.decisions.labels;
    let shows = |frame: &FrameId| labels.get(frame).map(|l| &l.view).filter(|v| plan.view(v).is_some());
    let usable = |f: &FrameId| session.frame(*f).is_some_and(record::Frame::can_show);
    let undecided: Vec<FrameId> =
        set.frames.iter().copied().filter(|f| !labels.contains_key(f) && usable(f)).collect();
    let proposed = |frame: &FrameId| grouping.views.get(frame).filter(|p| p.prob >= PROPOSE_FROM);
    let unlabelled: Vec<FrameId> = undecided.iter().copied().filter(|f| proposed(f).is_none()).collect();

    let mut slots = Vec::with_capacity(plan.views.len());
    for view in &plan.views {
        let confirmed: Vec<FrameId> =
            set.frames.iter().copied().filter(|f| shows(f) == Some(&view.key)).collect();
        let likely: Vec<FrameId> =
            undecided.iter().copied().filter(|f| proposed(f).is_some_and(|p| p.view == view.key)).collect();
        let state = match (confirmed.is_empty(), likely.is_empty()) {
            (false, _) => SlotState::Confirmed,
            (true, false) => SlotState::Proposed,
            _ if !view.required => SlotState::NotAsked,
            _ if unlabelled.is_empty() => SlotState::Missing,
            _ => SlotState::Open,
        };
        let frames = if confirmed.is_empty() { likely } else { confirmed };
        slots.push(Slot { view: view.key.clone(), state, frames });
    }

    let required = |s: &&Slot| plan.view(&s.view).is_some_and(|v| v.required);
    let open: Vec<&Slot> =
        slots.iter().filter(required).filter(|s| s.state != SlotState::Confirmed).collect();
    let missing: Vec<ViewKey> =
        open.iter().filter(|s| s.state == SlotState::Missing).map(|s| s.view.clone()).collect();
    Coverage {
        short: open.len().saturating_sub(undecided.len()).max(missing.len()),
        checked: open.is_empty() || undecided.is_empty(),
        unlabelled,
        missing,
        slots,
    }
}

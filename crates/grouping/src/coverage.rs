//! Which views of the plan a set has.

use record::{FrameId, Plan, Session, Set, ViewKey};

use crate::worth::best_first;
use crate::{Grouping, ViewProposal};

/// How a view stands in a set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlotState {
    /// A frame is confirmed to show it, well enough or not.
    Confirmed,
    /// A frame probably shows it, well enough or not; nobody has said so yet.
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
    /// What is wrong with the best of them, in words, where none is good enough to count.
    pub inadequate: Option<String>,
}

/// How a set stands against its plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coverage {
    /// One slot a view, in the plan's order.
    pub slots: Vec<Slot>,
    /// Frames whose view is neither confirmed nor proposed.
    pub unlabelled: Vec<FrameId>,
    /// How many required views cannot be there, or not well enough, whatever the unlabelled frames show.
    pub short: usize,
    /// Those of them that no frame shows, as far as known by name.
    pub missing: Vec<ViewKey>,
    /// Those views that frames show, but none well enough, with what is wrong; `None` while no frame of the set was
    /// looked at.
    pub inadequate: Option<Vec<(ViewKey, String)>>,
    /// Whether a person has confirmed all that decides completeness: every required view, or every frame.
    pub checked: bool,
}

impl Coverage {
    /// Whether every required view is confirmed, by a frame that is good enough as far as they were looked at.
    pub fn complete(&self) -> bool {
        self.checked && self.short == 0
    }

    /// Required views that are there, but not well enough, and what is wrong.
    pub fn again(&self, plan: &Plan) -> Vec<(ViewKey, String)> {
        let required = |key: &ViewKey| plan.view(key).is_some_and(|v| v.required);
        self.inadequate.iter().flatten().filter(|(view, _)| required(view)).cloned().collect()
    }
}

/// A view is named missing when the frames of the set together show it with no more than this probability.
const NAME_BELOW: f32 = 0.2;

/// Works out how a set stands against the session's plan.
///
/// A view is named missing only when every frame of the set is confirmed, or probable enough, to show another one.
/// Until then a set with fewer usable frames than required views is `short` without a name. A frame whose picture cannot
/// be read shows nothing; one that is not good enough shows its view, and does not cover it.
pub fn coverage(session: &Session, grouping: &Grouping, set: &Set) -> Coverage {
    let plan = &session.plan;
    let labels = &session.decisions.labels;
    let shows = |frame: &FrameId| labels.get(frame).map(|l| &l.view).filter(|v| plan.view(v).is_some());
    let usable = |f: &FrameId| session.frame(*f).is_some_and(record::Frame::can_show);
    let undecided: Vec<FrameId> =
        set.frames.iter().copied().filter(|f| !labels.contains_key(f) && usable(f)).collect();
    let proposed = |frame: &FrameId| grouping.views.get(frame).filter(|p| p.is_proposed());
    let unlabelled: Vec<FrameId> = undecided.iter().copied().filter(|f| proposed(f).is_none()).collect();

    let mut slots = Vec::with_capacity(plan.views.len());
    for (at, view) in plan.views.iter().enumerate() {
        let confirmed: Vec<FrameId> =
            set.frames.iter().copied().filter(|f| shows(f) == Some(&view.key)).collect();
        let likely: Vec<FrameId> =
            undecided.iter().copied().filter(|f| proposed(f).is_some_and(|p| p.view == view.key)).collect();
        let state = match (confirmed.is_empty(), likely.is_empty()) {
            (false, _) => SlotState::Confirmed,
            (true, false) => SlotState::Proposed,
            _ if !view.required => SlotState::NotAsked,
            _ if shown_chance(grouping, &undecided, at) <= NAME_BELOW => SlotState::Missing,
            _ => SlotState::Open,
        };
        let mut frames = if confirmed.is_empty() { likely } else { confirmed };
        best_first(session, &grouping.flaws, &mut frames);
        // One that is good enough covers the view, also where a person likes another better.
        let none_will_do = frames.iter().all(|f| grouping.flaws.contains_key(f));
        let best = frames.first().filter(|_| none_will_do);
        let inadequate = best.and_then(|best| grouping.flaws.get(best)).cloned();
        slots.push(Slot { view: view.key.clone(), state, frames, inadequate });
    }
    let looked_at = set.frames.iter().any(|f| session.frame(*f).is_some_and(|f| f.looks.is_some()));
    stand(session, slots, unlabelled, undecided.len(), looked_at)
}

/// The chance that any of some frames shows a view, at most.
fn shown_chance(grouping: &Grouping, frames: &[FrameId], view: usize) -> f32 {
    let of = |p: &ViewProposal| p.probs.get(view).copied().unwrap_or(0.0);
    frames.iter().filter_map(|f| grouping.views.get(f)).map(of).sum()
}

/// Sums up the slots of a set with so many frames that nobody has decided about.
fn stand(
    session: &Session,
    slots: Vec<Slot>,
    unlabelled: Vec<FrameId>,
    undecided: usize,
    looked_at: bool,
) -> Coverage {
    let required: Vec<&Slot> =
        slots.iter().filter(|s| session.plan.view(&s.view).is_some_and(|v| v.required)).collect();
    let open = required.iter().filter(|s| s.state != SlotState::Confirmed).count();
    let missing: Vec<ViewKey> =
        required.iter().filter(|s| s.state == SlotState::Missing).map(|s| s.view.clone()).collect();
    let poor = required.iter().filter(|s| s.inadequate.is_some()).count();
    let inadequate = slots.iter().filter_map(|s| Some((s.view.clone(), s.inadequate.clone()?))).collect();
    Coverage {
        short: open.saturating_sub(undecided).max(missing.len()) + poor,
        checked: open == 0 || undecided == 0,
        unlabelled,
        missing,
        inadequate: looked_at.then_some(inadequate),
        slots,
    }
}

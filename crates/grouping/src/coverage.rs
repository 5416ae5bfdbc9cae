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
///
/// A frame whose view is neither confirmed nor proposed may show any one view. So of the required views that no frame
/// shows, at least as many are left out of `missing` and of `short` as the set has such frames: of one such frame and
/// five required views four are short, not known which, however improbable each of the five is by itself. That a frame
/// shows none of the views counts once a person has set it aside.
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
    for view in &plan.views {
        let confirmed: Vec<FrameId> =
            set.frames.iter().copied().filter(|f| shows(f) == Some(&view.key)).collect();
        let likely: Vec<FrameId> =
            undecided.iter().copied().filter(|f| proposed(f).is_some_and(|p| p.view == view.key)).collect();
        let state = match (confirmed.is_empty(), likely.is_empty()) {
            (false, _) => SlotState::Confirmed,
            (true, false) => SlotState::Proposed,
            _ if !view.required => SlotState::NotAsked,
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
    name_missing(grouping, &mut slots, &undecided, unlabelled.len());
    let looked_at = set.frames.iter().any(|f| session.frame(*f).is_some_and(|f| f.looks.is_some()));
    stand(session, slots, unlabelled, undecided.len(), looked_at)
}

/// Names the views missing that are probably shown by none of the undecided frames: all of these views, or none of them
/// where the unlabelled frames may show some of them after all.
fn name_missing(grouping: &Grouping, slots: &mut [Slot], undecided: &[FrameId], unlabelled: usize) {
    let open: Vec<usize> = (0..slots.len()).filter(|at| slots[*at].state == SlotState::Open).collect();
    let not_there = open.len().saturating_sub(unlabelled);
    let improbable = |at: &usize| shown_chance(grouping, undecided, *at) <= NAME_BELOW;
    let improbable: Vec<usize> = open.into_iter().filter(improbable).collect();
    if improbable.len() <= not_there {
        for at in improbable {
            slots[at].state = SlotState::Missing;
        }
    }
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use record::Label;
    use record::SpecimenId;

    use super::*;
    use crate::align::tests::plan;
    use crate::group::tests::frame;

    const VIEWS: usize = 4;

    /// What is known of a frame: the weight of each view and of none, the place of the view it was confirmed to show, and
    /// whether its picture can be read.
    type Known = ([u8; VIEWS + 1], Option<usize>, bool);

    /// A set of frames of which so much is known, against a plan of views that are each `R`equired or `O`ptional.
    fn set_of(required: &str, frames: &[Known]) -> (Session, Grouping) {
        let mut session = Session::new("day", plan(required));
        let mut grouping = Grouping::default();
        for (n, (weights, confirmed, readable)) in frames.iter().enumerate() {
            let id = FrameId(n as u32);
            session.frames.push(frame(id.0, 10 * id.0, readable.then_some(0.01)));
            if let Some(view) = confirmed {
                let view = session.plan.views[*view].key.clone();
                session.decisions.labels.insert(id, Label { view, specimen: SpecimenId(0) });
                continue;
            }
            let total: f32 = weights.iter().map(|w| f32::from(*w)).sum::<f32>().max(1.0);
            let probs: Vec<f32> = weights[..VIEWS].iter().map(|w| f32::from(*w) / total).collect();
            let best = (0..VIEWS).max_by(|a, b| probs[*a].total_cmp(&probs[*b])).expect("a view");
            let view = session.plan.views[best].key.clone();
            grouping.views.insert(id, ViewProposal { view, prob: probs[best], probs });
        }
        session.arrange(vec![((0..frames.len() as u32).map(FrameId).collect(), None)]);
        (session, grouping)
    }

    fn of(required: &str, frames: &[Known]) -> Coverage {
        let (session, grouping) = set_of(required, frames);
        coverage(&session, &grouping, &session.sets[0])
    }

    /// Short, and named missing in letters.
    fn check(required: &str, frames: &[[u8; VIEWS + 1]], expected: (usize, &str)) {
        let known: Vec<Known> = frames.iter().map(|weights| (*weights, None, true)).collect();
        let got = of(required, &known);
        let named: Vec<&str> = got.missing.iter().map(ViewKey::as_str).collect();
        assert_eq!((got.short, named.concat().as_str()), expected, "{required} {frames:?}");
    }

    #[test]
    fn what_unlabelled_frames_may_show_is_not_called_missing() {
        let nothing_known = [1, 1, 1, 1, 96];
        check("RRRR", &[nothing_known], (3, ""));
        check("RRRR", &[nothing_known; 2], (2, ""));
        check("RRRR", &[nothing_known; 4], (0, ""));
        // One is rather the first than any other, so the others are missing.
        check("RRRR", &[[70, 1, 1, 1, 27]], (3, "bcd"));
        check("RRRR", &[[70, 1, 1, 1, 27], nothing_known], (2, ""));
        // Either of two.
        check("RRRR", &[[45, 45, 1, 1, 8]], (3, "cd"));
        check("RRRR", &[[45, 45, 1, 1, 8]; 2], (2, "cd"));
        // A frame that probably shows an optional view shows no required one.
        check("RRRO", &[[1, 1, 1, 90, 7]], (3, "abc"));
        check("RRRO", &[[10, 10, 10, 60, 10]], (2, ""));
        // Both probably show the same.
        check("RRRR", &[[90, 1, 1, 1, 7]; 2], (3, "bcd"));
    }

    /// The fewest of these views that are not there, whichever views the frames show, each one of those it may.
    fn fewest_not_there(wanted: &[usize], may_show: &[Vec<usize>]) -> usize {
        let ways: usize = may_show.iter().map(Vec::len).product();
        let not_there = |way: usize| {
            let mut left = way;
            let shown: Vec<usize> = may_show
                .iter()
                .map(|views| {
                    let view = views[left % views.len()];
                    left /= views.len();
                    view
                })
                .collect();
            wanted.iter().filter(|view| !shown.contains(view)).count()
        };
        (0..ways).map(not_there).min().expect("a way")
    }

    proptest! {
        /// Counted by going through every way the frames can be labelled: no fewer are short than are with any labels that
        /// the person may still give, and no more, by name or not, than are while proposals hold.
        #[test]
        fn short_lies_between_what_may_be_and_what_is_probable(
            required in "R[RO]{3}",
            frames in prop::collection::vec(
                (any::<[u8; VIEWS + 1]>(), prop::option::weighted(0.2, 0..VIEWS), prop::bool::weighted(0.9)),
                1..5,
            ),
        ) {
            let (session, grouping) = set_of(&required, &frames);
            let got = coverage(&session, &grouping, &session.sets[0]);
            let wanted: Vec<usize> = (0..VIEWS).filter(|v| required.as_bytes()[*v] == b'R').collect();
            let all: Vec<usize> = (0..VIEWS).collect();
            let views_of = |by_proposal: bool| -> Vec<Vec<usize>> {
                let of = |(n, (_, confirmed, readable)): (usize, &Known)| {
                    let proposal = grouping.views.get(&FrameId(n as u32));
                    let proposal = proposal.filter(|p| by_proposal && p.is_proposed());
                    match (confirmed, readable) {
                        (Some(view), _) => Some(vec![*view]),
                        (None, false) => None,
                        (None, true) => Some(
                            proposal.and_then(|p| session.plan.place(&p.view)).map_or(all.clone(), |v| vec![v]),
                        ),
                    }
                };
                frames.iter().enumerate().filter_map(of).collect()
            };
            let least = fewest_not_there(&wanted, &views_of(false));
            let most = fewest_not_there(&wanted, &views_of(true));
            prop_assert!((least..=most).contains(&got.short), "{} not in {least}..={most}", got.short);
            prop_assert!(got.missing.len() <= got.short);
            for slot in &got.slots {
                prop_assert_eq!(got.missing.contains(&slot.view), slot.state == SlotState::Missing);
                prop_assert!(slot.frames.is_empty() || slot.state != SlotState::Missing);
            }
        }
    }
}

//! The sets of a card of which only a part was read, so that the first animals that lack a view are known at once.
//!
//! In goes what was read so far; out come a count and a few lines in words. Nothing of it is kept: the day is worked out
//! from the whole card.

use std::collections::BTreeMap;

use import::Part;
use record::{LearnedViews, Plan, Session, Set};

use crate::arrange::arrange;

/// What is known of the first sets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FirstSets {
    /// Sets that a blank has closed.
    pub closed: usize,
    /// Those of them that are short of a view, longest held first: number, and what it lacks.
    pub short: Vec<(u32, String)>,
}

impl FirstSets {
    /// Works the first sets out. The last one is left out, as more of its frames may come; so are all from the one on
    /// that holds the frame read last or comes behind it, as theirs may come next.
    pub fn of(part: Part, plan: Plan) -> Self {
        let mut session = Session::new("", plan);
        session.frames = part.frames;
        let arranged = arrange(&mut session, &LearnedViews::default(), &BTreeMap::new(), None);
        let place: BTreeMap<_, _> = session.frames.iter().zip(0..).map(|(f, at)| (f.id, at)).collect();
        let seam = place.get(&part.read_last);
        let is_whole = |set: &Set| set.frames.iter().all(|f| place.get(f) < seam);
        let closed = session.sets.iter().take_while(|set| is_whole(set)).count();
        let closed = closed.min(session.sets.len().saturating_sub(1));
        let retakes = grouping::retake_list(&session, &arranged.grouping);
        let short = retakes.iter().filter(|retake| retake.set < closed);
        let short = short.map(|r| (session.sets[r.set].number, r.words(&session.plan))).collect();
        Self { closed, short }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;
    use std::path::Path;

    use record::{Frame, FrameId};

    use super::*;

    #[test]
    fn sets_are_known_before_the_card_was_read_to_its_end() {
        let card = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/salt-marsh-bank/card");

        let whole = import::read_card(&card, &record::Silent).unwrap().frames;
        let count = whole.len();
        let first_sets = |frames: &[Frame], read_last: FrameId| {
            FirstSets::of(Part { frames: frames.to_vec(), read_last }, crate::plans::usual())
        };
        let all = first_sets(&whole, whole[count - 1].id);
        let half = first_sets(&whole[..count / 2], whole[count / 2 - 1].id);
        assert!(half.closed > 0 && half.closed < all.closed, "{half:?} {all:?}");
        // Of fourteen sets the last may still grow.
        assert_eq!(all.closed, 13);
        for known in &half.short {
            assert!(all.short.contains(known), "{known:?} of {all:?}");
        }
        assert!(!half.short.is_empty(), "{half:?}");
        // Where numbers began again, what is read last belongs into the middle of the day: no set from there on is
        // known to be whole, and none of them is called short.
        let within = first_sets(&whole, whole[count / 2 - 1].id);
        assert!((half.closed..=half.closed + 1).contains(&within.closed), "{within:?} {half:?}");
        for known in &within.short {
            assert!(all.short.contains(known) && known.0 <= within.closed as u32, "{known:?} of {within:?}");
        }
        assert_eq!(first_sets(&whole, whole[0].id), FirstSets { closed: 0, short: Vec::new() });

        // A card of fewer exposures than are read at once is not shown in part.
        let shown = RefCell::new(0);
        import::read_card_shown(&card, &record::Silent, &|_| *shown.borrow_mut() += 1).unwrap();
        assert_eq!(*shown.borrow(), 0);
    }
}

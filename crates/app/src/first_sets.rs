//! The sets of a card of which only a part was read, so that the first animals that lack a view are known at once.
//!
//! In go frames as read so far; out come a count and a few lines in words. Nothing of it is kept: the day is worked out
//! from the whole card.

use std::collections::BTreeMap;

use record::{Frame, LearnedViews, Plan, Session};

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
    /// Works the first sets out. The last one is left out, as more of its frames may come.
    pub fn of(frames: Vec<Frame>, plan: Plan) -> Self {
        let mut session = Session::new("", plan);
        session.frames = frames;
        let arranged = arrange(&mut session, &LearnedViews::default(), &BTreeMap::new(), None);
        let closed = session.sets.len().saturating_sub(1);
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

    use super::*;

    #[test]
    fn sets_are_known_before_the_card_was_read_to_its_end() {
        let card = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/salt-marsh-bank/card");

        let whole = import::read_card(&card, &record::Silent).unwrap().frames;
        let count = whole.len();
        let all = FirstSets::of(whole.clone(), crate::plans::usual());
        let half = FirstSets::of(whole[..count / 2].to_vec(), crate::plans::usual());
        assert!(half.closed > 0 && half.closed < all.closed, "{half:?} {all:?}");
        // Of fourteen sets the last may still grow.
        assert_eq!(all.closed, 13);
        for known in &half.short {
            assert!(all.short.contains(known), "{known:?} of {all:?}");
        }
        assert!(!half.short.is_empty(), "{half:?}");

        // A card of fewer exposures than are read at once is not shown in part.
        let shown = RefCell::new(0);
        import::read_card_shown(&card, &record::Silent, &|_| *shown.borrow_mut() += 1).unwrap();
        assert_eq!(*shown.borrow(), 0);
    }
}

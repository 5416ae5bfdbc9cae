//! The retake list with the clock beside it: how long each animal has been held, and which is most urgent now.
//!
//! The moment is an argument. What is not known is not told: no time of holding for a frame of a camera whose clock is
//! in doubt, of another day, or without a time.

use std::collections::BTreeSet;

use record::{Body, Holding, Session, Set, Taken};

use crate::{Grouping, Retake, retake_list};

/// A moment, and the cameras whose times cannot be held against it.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// Local time of the computer, with its zone where that is known.
    pub now: Taken,
    /// Cameras whose clocks are in doubt; see [`crate::check_clocks`].
    pub doubted: BTreeSet<Body>,
}

/// An animal of the retake list, and how long it has been held.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// What it lacks.
    pub retake: Retake,
    /// How long it has been held; `None` where that is not known.
    pub holding: Option<Holding>,
}

impl Held {
    /// Whether the person's limit has come for it: it is to be released, whatever is missing.
    pub fn is_past(&self) -> bool {
        self.holding.is_some_and(|h| h.is_past())
    }
}

/// How long the animal of a set has been held; `None` where that is not known.
pub fn holding(session: &Session, set: &Set, moment: &Moment) -> Option<Holding> {
    let timed = set.frames.iter().filter_map(|f| session.frame(*f)).find(|f| f.when().is_some());
    let first = timed.filter(|f| !moment.doubted.contains(&f.body))?.when()?;
    Holding::since_first_frame(first, moment.now, session.decisions.holding_limit_min)
}

/// The animals short of a required view, most urgent first: least time left; then those with no limit or of which it is
/// not known how long they have been held, longest since their first frame; then those past the limit.
pub fn held_list(session: &Session, grouping: &Grouping, moment: &Moment) -> Vec<Held> {
    let with_holding = |retake: Retake| {
        let holding = session.sets.get(retake.set).and_then(|set| holding(session, set, moment));
        Held { retake, holding }
    };
    // The list comes by first frame already, and a limit is the same for all of a session.
    let mut list: Vec<Held> = retake_list(session, grouping).into_iter().map(with_holding).collect();
    list.sort_by_key(|held| match held.holding.and_then(|h| h.left_secs()) {
        Some(left) if left > 0.0 => 0,
        None => 1,
        Some(_) => 2,
    });
    list
}

/// Index of the set that is still being shot: the last one while no blank closes it. `None` when there is none.
pub fn being_shot(session: &Session) -> Option<usize> {
    let last = session.sets.len().checked_sub(1)?;
    session.sets[last].closed_by.is_none().then_some(last)
}

#[cfg(test)]
mod tests {
    use record::{Departure, Way};

    use super::*;
    use crate::group::tests::day;
    use crate::regroup;

    /// Three sets of two frames each, a view short, first frames at 9:00:00, 9:01:00 and 9:02:00; the last is open.
    fn three() -> (Session, Grouping) {
        let mut session = day("ff_ff_ff");
        let grouping = regroup(&mut session);
        (session, grouping)
    }

    fn at(time: &str) -> Moment {
        Moment { now: format!("2026-06-14T{time}").parse().unwrap(), doubted: BTreeSet::new() }
    }

    fn list(session: &Session, grouping: &Grouping, moment: &Moment) -> Vec<String> {
        let line = |h: &Held| {
            let words = h.holding.map_or("not known".to_owned(), |h| h.words());
            format!("{} {words}", h.retake.number)
        };
        held_list(session, grouping, moment).iter().map(line).collect()
    }

    #[test]
    fn least_time_left_first_and_past_the_limit_last() {
        let (mut session, grouping) = three();
        assert_eq!(
            list(&session, &grouping, &at("09:10:30")),
            ["1 10 min since first frame", "2 9 min since first frame", "3 8 min since first frame"]
        );
        session.decisions.holding_limit_min = Some(10);
        assert_eq!(
            list(&session, &grouping, &at("09:10:30")),
            [
                "2 9 min since first frame, under 1 min left of your 10",
                "3 8 min since first frame, 1 min left of your 10",
                "1 10 min since first frame, past your 10: release"
            ]
        );
        assert!(held_list(&session, &grouping, &at("09:10:30"))[2].is_past());
    }

    #[test]
    fn what_is_not_known_stands_between() {
        let (mut session, grouping) = three();
        session.decisions.holding_limit_min = Some(10);
        session.frames[3].body.model = "E-2".into();
        let mut moment = at("09:10:30");
        moment.doubted.insert(session.frames[3].body.clone());
        assert_eq!(
            list(&session, &grouping, &moment),
            [
                "3 8 min since first frame, 1 min left of your 10",
                "2 not known",
                "1 10 min since first frame, past your 10: release"
            ]
        );
        assert_eq!(list(&session, &grouping, &at("23:10:30"))[0], "1 not known", "another day");
    }

    #[test]
    fn an_animal_that_left_is_off_the_list_and_stays_short_of_its_views() {
        let (mut session, _) = three();
        let left = Departure { way: Way::Flew, at: None };
        session.apply(&session.note_left(1, Some(left)).unwrap()).unwrap();
        let grouping = regroup(&mut session);
        let numbers =
            |s: &Session, g: &Grouping| -> Vec<u32> { retake_list(s, g).iter().map(|r| r.number).collect() };
        assert_eq!(numbers(&session, &grouping), [1, 3]);
        assert!(crate::coverage(&session, &grouping, &session.sets[1]).short > 0);
        session.apply(&session.note_left(1, None).unwrap()).unwrap();
        assert_eq!(numbers(&session, &grouping), [1, 2, 3]);
    }

    #[test]
    fn a_set_without_its_blank_is_being_shot() {
        let (mut session, _) = three();
        assert_eq!(being_shot(&session), Some(2));
        session.frames.pop();
        session.frames.pop();
        regroup(&mut session);
        assert_eq!(being_shot(&session), None);
        assert_eq!(being_shot(&day("")), None);
    }
}

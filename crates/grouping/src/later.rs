//! Short sets that may be retakes: of an earlier specimen that lacks a view.
//!
//! Nothing is joined unasked: each such set stands as an animal of its own until a person says whose retake it is.

use record::{Answer, Edit, Query, QueryKind, Session, Set};

use crate::{Grouping, Retake, retake_list};

/// Most frames of a set that is asked about: a retake makes up for a view or two.
const RETAKE_FRAMES: usize = 2;
/// Most specimens that are offered.
const OFFERED: usize = 3;
/// So many short specimens before it are looked at: more than anyone holds at once.
const LOOKED_BACK: usize = 100;

/// Asks of each short, closed set whether it is a retake, while an earlier specimen is short of a view. Offered are
/// those that lack as many views as the set has frames first, and those that were past the person's limit by then last.
pub fn retake_queries(session: &Session, grouping: &Grouping) -> Vec<Query> {
    let short: Vec<Retake> = retake_list(session, grouping);
    let closed = |at: usize| session.sets.get(at).filter(|set| set.closed_by.is_some());
    let mut by_place: Vec<&Retake> = short.iter().filter(|r| closed(r.set).is_some()).collect();
    by_place.sort_by_key(|r| r.set);
    let mut queries = Vec::new();
    for (before, retake) in by_place.iter().enumerate().skip(1) {
        let set = &session.sets[retake.set];
        let decided = set.frames.iter().any(|f| session.decisions.own_animals.contains(f));
        if set.frames.len() > RETAKE_FRAMES || decided {
            continue;
        }
        let mut offered = by_place[before.saturating_sub(LOOKED_BACK)..before].to_vec();
        offered.sort_by_key(|r| (past_by_then(session, r, retake), r.short != set.frames.len()));
        offered.truncate(OFFERED);
        queries.push(ask(session, set, retake, &offered));
    }
    queries
}

/// Whether an animal was past the person's limit when a later set was begun, and so released, one hopes.
fn past_by_then(session: &Session, earlier: &Retake, later: &Retake) -> bool {
    let limit_secs = session.decisions.holding_limit_min.map(|min| f64::from(min) * 60.0);
    let held = earlier.since.zip(later.since).map(|(a, b)| b.secs_since(&a));
    limit_secs.zip(held).is_some_and(|(limit, held)| held > limit)
}

fn ask(session: &Session, set: &Set, retake: &Retake, offered: &[&Retake]) -> Query {
    let own = Answer { words: "An animal of its own".to_owned(), edit: Edit::OwnAnimal(set.frames[0], true) };
    let of = |earlier: &&Retake| {
        let edit = session.take_as_retake(retake.set, earlier.set)?;
        Some(Answer { words: format!("A retake of specimen {}", earlier.number), edit })
    };
    let name = |r: &&Retake| match r.jar.as_str() {
        "" => format!("Specimen {}", r.number),
        jar => format!("Specimen {}, jar {jar},", r.number),
    };
    let lacks = |r: &Retake| match r.short {
        1 => "lacks a view".to_owned(),
        n => format!("lacks {n} views"),
    };
    let frames =
        if set.frames.len() == 1 { "one frame".to_owned() } else { format!("{} frames", set.frames.len()) };
    let evidence: Vec<String> = offered.iter().map(|r| format!("{} {}", name(r), lacks(r))).collect();
    Query {
        kind: QueryKind::Retake,
        frames: set.frames.clone(),
        question: format!(
            "Is set {} a retake of specimen {}?",
            set.number,
            offered.first().map_or(0, |r| r.number)
        ),
        evidence: format!("It has only {frames}. {}.", evidence.join("; ")),
        answers: std::iter::once(own).chain(offered.iter().filter_map(of)).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::group::tests::{day, sets_of};
    use crate::regroup;

    fn asked(text: &str, limit_min: Option<u16>) -> (Session, Vec<Query>) {
        let mut session = day(text);
        session.decisions.holding_limit_min = limit_min;
        let grouping = regroup(&mut session);
        let queries = grouping.queries.into_iter().filter(|q| q.kind == QueryKind::Retake).collect();
        (session, queries)
    }

    fn words(query: &Query) -> Vec<&str> {
        query.answers.iter().map(|a| a.words.as_str()).collect()
    }

    #[test]
    fn a_short_set_after_a_short_specimen_is_asked_about() {
        let (mut session, queries) = asked("fff_ff_fff_f_", None);
        assert_eq!(queries.len(), 1);
        assert_eq!(queries[0].question, "Is set 4 a retake of specimen 2?");
        assert_eq!(queries[0].evidence, "It has only one frame. Specimen 2 lacks a view.");
        assert_eq!(words(&queries[0]), ["An animal of its own", "A retake of specimen 2"]);

        session.apply(&queries[0].answers[1].edit).unwrap();
        let grouping = regroup(&mut session);
        assert_eq!(sets_of(&session), "0,1,2 4,5,11 7,8,9");
        assert_eq!(retake_list(&session, &grouping), []);
        assert!(grouping.queries.iter().all(|q| q.kind != QueryKind::Retake));
    }

    #[test]
    fn an_animal_of_its_own_is_not_asked_about_again() {
        let (mut session, queries) = asked("ff_fff_f_", None);
        session.apply(&queries[0].answers[0].edit).unwrap();
        let grouping = regroup(&mut session);
        assert_eq!(sets_of(&session), "0,1 3,4,5 7");
        assert!(grouping.queries.iter().all(|q| q.kind != QueryKind::Retake));
        assert_eq!(retake_list(&session, &grouping).len(), 2);
    }

    #[test]
    fn nothing_is_asked_before_the_blank_or_while_no_specimen_is_short() {
        for text in ["ff_fff_f", "fff_fff_f_", "f_fff_", "ff_fff_fff_", ""] {
            assert_eq!(asked(text, None).1, [], "{text}");
        }
    }

    #[test]
    fn the_fitting_specimen_is_offered_first_and_one_past_the_limit_last() {
        let (_, queries) = asked("f_fff_ff_fff_f_", None);
        let last = queries.last().unwrap();
        assert_eq!(words(last), ["An animal of its own", "A retake of specimen 3", "A retake of specimen 1"]);
        // Specimen 1 lacks as many views as set 3 has frames, but eleven minutes have passed.
        let (_, queries) = asked("f_~~~~~~~~~~ff_fff_ff_", Some(10));
        assert_eq!(words(queries.last().unwrap())[1..], ["A retake of specimen 2", "A retake of specimen 1"]);
    }
}

//! Sets that carry the jar card of an earlier one: retakes of its specimen, or another animal in the same jar.

use record::{Answer, Edit, FrameId, Query, QueryKind, Session};

/// Frames and closing blank of sets, with the jar label of each.
pub(crate) struct Sets {
    pub sets: Vec<(Vec<FrameId>, Option<FrameId>)>,
    pub jar_cards: Vec<Option<String>>,
}

/// Takes each set that carries the jar card of an earlier one into that one, when it is no whole round: nobody shoots a
/// whole round again, but jars are used again. Asks about both. A set that was said to be an animal of its own stays
/// one.
pub(crate) fn join_retakes(session: &Session, all: &mut Sets) -> Vec<Query> {
    let required = session.plan.required().count();
    let mut queries = Vec::new();
    let mut at = 0;
    while at < all.sets.len() {
        let earlier = all.jar_cards[at]
            .as_ref()
            .and_then(|card| all.jar_cards[..at].iter().position(|before| before.as_ref() == Some(card)));
        let own = all.sets[at].0.iter().any(|f| session.decisions.own_animals.contains(f));
        let Some(of) = earlier.filter(|_| !own) else {
            at += 1;
            continue;
        };
        let retake = all.sets[at].0.len() < required;
        queries.push(ask(session, all, at, of, retake));
        if retake {
            let (frames, blank) = all.sets.remove(at);
            all.jar_cards.remove(at);
            all.sets[of].0.extend(frames);
            all.sets[of].1 = blank.or(all.sets[of].1);
        } else {
            at += 1;
        }
    }
    queries
}

fn ask(session: &Session, all: &Sets, at: usize, of: usize, retake: bool) -> Query {
    let (frames, earlier) = (&all.sets[at].0, &all.sets[of].0);
    let moves = frames.iter().map(|f| Edit::Move(*f, Some(earlier[0]))).collect();
    let name = |f: FrameId| session.frame(f).map_or("", |f| f.file_name()).to_owned();
    let mut answers = vec![
        Answer { words: format!("A retake of the animal of {}", name(earlier[0])), edit: Edit::Many(moves) },
        Answer { words: "An animal of its own".to_owned(), edit: Edit::OwnAnimal(frames[0], true) },
    ];
    if !retake {
        answers.reverse();
    }
    Query {
        kind: QueryKind::Retake,
        frames: frames.clone(),
        question: format!("Does {} show the animal of {} again?", name(frames[0]), name(earlier[0])),
        evidence: format!(
            "Both carry the jar card {}; the later set has {}, the earlier one {}.",
            all.jar_cards[at].as_deref().unwrap_or_default(),
            counted(frames.len()),
            counted(earlier.len())
        ),
        answers,
    }
}

fn counted(frames: usize) -> String {
    if frames == 1 { "1 frame".to_owned() } else { format!("{frames} frames") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::group::tests::{day, sets_of};
    use crate::{regroup, retake_list};

    /// `cards` puts a jar card's text on frames.
    fn with_cards(text: &str, cards: &[(usize, &str)]) -> (Session, Vec<Query>) {
        let mut session = day(text);
        for (frame, card) in cards {
            session.frames[*frame].jar_card = Some((*card).to_owned());
        }
        let queries = regroup(&mut session).queries;
        (session, queries.into_iter().filter(|q| q.kind == QueryKind::Retake).collect())
    }

    fn jars(session: &Session) -> Vec<&str> {
        session.sets.iter().map(|s| session.jar_of(s)).collect()
    }

    #[test]
    fn a_card_labels_the_set_on_its_side_of_the_blank() {
        let (session, _) = with_cards("ffff_ffff_ffff_", &[(0, "1"), (5, "2"), (10, "3")]);
        assert_eq!(
            (sets_of(&session).as_str(), jars(&session)),
            ("1,2,3 6,7,8 11,12,13", vec!["1", "2", "3"])
        );
        let (session, _) = with_cards("ffff_ffff_ffff_", &[(3, "1"), (8, "2"), (13, "3")]);
        assert_eq!(
            (sets_of(&session).as_str(), jars(&session)),
            ("0,1,2 5,6,7 10,11,12", vec!["1", "2", "3"])
        );
        let (session, _) = with_cards("fff_f", &[(4, "2")]);
        assert_eq!(jars(&session), [""], "the animal of the last card is still to come");
    }

    #[test]
    fn a_card_between_two_rounds_splits_them_where_the_blank_was_forgotten() {
        let cards = [(0, "1"), (5, "2"), (9, "3"), (14, "4")];
        let (session, _) = with_cards("ffff_ffffffff_ffff_", &cards);
        assert_eq!(sets_of(&session), "1,2,3 6,7,8 10,11,12 15,16,17");
        assert_eq!(jars(&session), ["1", "2", "3", "4"]);
    }

    #[test]
    fn a_card_beside_the_animal_stays_in_the_set() {
        let (session, _) = with_cards("fff_fff_", &[(0, "1"), (1, "1"), (4, "2"), (5, "2"), (6, "2")]);
        assert_eq!((sets_of(&session).as_str(), jars(&session)), ("0,1,2 4,5,6", vec!["1", "2"]));
        let (session, _) = with_cards("fffffffffff_", &[(4, "1"), (5, "1"), (6, "2"), (7, "2")]);
        assert_eq!(session.sets.len(), 1, "without another clear boundary lengths say nothing");
    }

    #[test]
    fn a_written_label_stands_before_the_card() {
        let (mut session, _) = with_cards("ffff_", &[(0, "1")]);
        let edit = session.write_jar(0, "7b").unwrap();
        session.apply(&edit).unwrap();
        regroup(&mut session);
        assert_eq!(jars(&session), ["7b"]);
    }

    #[test]
    fn a_short_set_with_an_earlier_card_is_its_retake_until_a_person_says_otherwise() {
        let (mut session, queries) = with_cards("fff_ffff_ff_", &[(0, "1"), (4, "2"), (9, "1")]);
        assert_eq!(sets_of(&session), "1,2,10 5,6,7");
        assert!(retake_list(&session, &crate::group(&session)).is_empty());
        assert_eq!(queries.len(), 1);
        assert_eq!(
            queries[0].evidence,
            "Both carry the jar card 1; the later set has 1 frame, the earlier one 2 frames."
        );
        let mut confirmed = session.clone();
        confirmed.apply(&queries[0].answers[0].edit).unwrap();
        assert!(regroup(&mut confirmed).queries.is_empty());
        assert_eq!(sets_of(&confirmed), "1,2,10 5,6,7");
        session.apply(&queries[0].answers[1].edit).unwrap();
        regroup(&mut session);
        assert_eq!(sets_of(&session), "1,2 5,6,7 10");
    }

    #[test]
    fn a_whole_round_in_a_jar_used_again_is_another_animal() {
        let (session, queries) = with_cards("ffff_ffff_", &[(0, "1"), (5, "1")]);
        assert_eq!(sets_of(&session), "1,2,3 6,7,8");
        assert_eq!((queries.len(), queries[0].answers[0].words.as_str()), (1, "An animal of its own"));
    }
}

//! Lone frames among whole rounds: test shots, frames taken by accident, rulers and clock faces.

use record::{Answer, Edit, FrameKind, Query, QueryKind, Session};

/// A lone frame is asked about where sets usually have at least so many.
const USUAL_FRAMES: usize = 3;

/// Asks of each closed set of a single frame what it is, unless it is asked about already or a person has said. It stands
/// as an animal of its own until then.
pub(crate) fn stray_queries(session: &Session, asked: &[Query]) -> Vec<Query> {
    let mut lengths: Vec<usize> = session.sets.iter().map(|s| s.frames.len()).collect();
    lengths.sort_unstable();
    let usual = lengths.get(lengths.len() / 2).copied().unwrap_or(0);
    if usual < USUAL_FRAMES {
        return Vec::new();
    }
    let lone = session.sets.iter().filter(|s| s.frames.len() == 1 && s.closed_by.is_some());
    lone.filter_map(|set| {
        let frame = session.frame(set.frames[0])?;
        let decisions = &session.decisions;
        let said = decisions.own_animals.contains(&frame.id)
            || decisions.kinds.contains_key(&frame.id)
            || decisions.labels.contains_key(&frame.id)
            || asked.iter().any(|q| q.frames.contains(&frame.id));
        (!said).then(|| {
            let kind = |words: &str, kind| Answer {
                words: words.to_owned(),
                edit: Edit::Kind(frame.id, Some(kind)),
            };
            Query {
                kind: QueryKind::Stray,
                frames: vec![frame.id],
                question: format!("Is {} an animal, or a test shot?", frame.file_name()),
                evidence: format!("It stands alone before a blank; sets of {usual} frames are usual today."),
                answers: vec![
                    Answer {
                        words: "An animal of its own".to_owned(),
                        edit: Edit::OwnAnimal(frame.id, true),
                    },
                    kind("Set aside", FrameKind::SetAside),
                    kind("Reference frame", FrameKind::Reference),
                ],
            }
        })
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use record::FrameId;

    use super::*;
    use crate::group::tests::{day, sets_of};
    use crate::regroup;

    fn strays(text: &str) -> (Session, Vec<Query>) {
        let mut session = day(text);
        let queries = regroup(&mut session).queries;
        (session, queries.into_iter().filter(|q| q.kind == QueryKind::Stray).collect())
    }

    #[test]
    fn a_lone_frame_before_the_first_blank_is_asked_about_until_it_is_said() {
        let (session, queries) = strays("f_fff_fff_fff_");
        assert_eq!((queries.len(), queries[0].frames.as_slice()), (1, &[FrameId(0)][..]));
        for (answer, sets) in
            [(0, "0 2,3,4 6,7,8 10,11,12"), (1, "2,3,4 6,7,8 10,11,12"), (2, "2,3,4 6,7,8 10,11,12")]
        {
            let mut session = session.clone();
            session.apply(&queries[0].answers[answer].edit).unwrap();
            assert!(regroup(&mut session).queries.iter().all(|q| q.kind != QueryKind::Stray));
            assert_eq!(sets_of(&session), sets);
        }
    }

    #[test]
    fn nothing_is_asked_twice_or_where_sets_are_short_or_still_open() {
        // The second lone frame is asked about as a retake of the first.
        let (_, queries) = strays("f_fff_f_fff_fff_");
        assert_eq!(queries.len(), 1);
        for text in ["f_ff_ff_", "fff_fff_f", "f_", ""] {
            assert_eq!(strays(text).1, [], "{text}");
        }
    }
}

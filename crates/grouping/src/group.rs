//! A session's frames, arranged: sets, proposals and queries in one.

use std::collections::BTreeMap;

use record::{FrameId, FrameKind, LearnedViews, Query, Session};

use crate::ask::{blank_queries, boundary_queries, no_blank_query};
use crate::day::Day;
use crate::jars::{Sets, join_retakes};
use crate::pauses::{Pause, long_pauses};
use crate::stray::stray_queries;
use crate::views::Known;
use crate::worth::flaws;
use crate::{ViewProposal, retake_queries, split_day};

/// A day arranged.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grouping {
    /// Frames and closing blank of each set, in the order of the day.
    pub sets: Vec<(Vec<FrameId>, Option<FrameId>)>,
    /// The jar label of each of them, where a jar card was read.
    pub jar_cards: Vec<Option<String>>,
    /// The likeliest view of each frame without a confirmed one.
    pub views: BTreeMap<FrameId, ViewProposal>,
    /// What is wrong with frames that are not good enough to cover their view, in words.
    pub flaws: BTreeMap<FrameId, String>,
    /// Pauses that are longer than is usual for the day.
    pub pauses: Vec<Pause>,
    /// What a person should decide.
    pub queries: Vec<Query>,
}

/// Arranges a session and takes the sets over into it. Call after every edit. `learned` is what other sessions taught of
/// the plan's views.
pub fn regroup_with(session: &mut Session, learned: &LearnedViews) -> Grouping {
    let mut grouping = group_with(session, learned);
    session.arrange(grouping.sets.clone());
    session.sets.iter_mut().zip(&grouping.jar_cards).for_each(|(set, card)| set.jar_card.clone_from(card));
    grouping.queries.extend(retake_queries(session, &grouping));
    grouping.queries.extend(stray_queries(session, &grouping.queries));
    grouping
}

/// As [`regroup_with`], by this session alone.
pub fn regroup(session: &mut Session) -> Grouping {
    regroup_with(session, &LearnedViews::default())
}

/// As [`group_with`], by this session alone.
pub fn group(session: &Session) -> Grouping {
    group_with(session, &LearnedViews::default())
}

/// Arranges a session's frames by what was read and decided. No frames give nothing.
pub fn group_with(session: &Session, learned: &LearnedViews) -> Grouping {
    let known = Known::of(session, learned);
    let day = Day::of(session, &known);
    let split = split_day(&day.places);
    let pauses = long_pauses(session, &day, &split);
    let mut all = Sets { sets: day.sets(&split), jar_cards: day.jar_cards(&split) };
    let mut queries = blank_queries(session);
    queries.extend(boundary_queries(&day, &split));
    queries.extend(no_blank_query(&day, session));
    queries.extend(join_retakes(session, &mut all));
    let Sets { mut sets, mut jar_cards } = all;
    move_frames(session, &mut sets);
    jar_cards.resize(sets.len(), None);
    let frames: Vec<Vec<FrameId>> = sets.iter().map(|(frames, _)| frames.clone()).collect();
    let views = known.propose(&frames);
    Grouping { flaws: flaws(session, &views), views, sets, jar_cards, pauses, queries }
}

/// Puts frames moved by hand into the set that holds their target, after its own frames; one whose target
/// is in no set stands alone, at the end.
fn move_frames(session: &Session, sets: &mut Vec<(Vec<FrameId>, Option<FrameId>)>) {
    for frame in session.frames.iter().filter(|f| session.kind(f) == FrameKind::Specimen) {
        let Some(mut target) = session.decisions.moves.get(&frame.id) else { continue };
        // A target may itself have been moved since; a ring of moves ends when all were seen.
        for _ in 0..session.decisions.moves.len() {
            target = session.decisions.moves.get(target).unwrap_or(target);
        }
        match sets.iter_mut().find(|(frames, _)| frames.contains(target)) {
            Some((frames, _)) => frames.push(frame.id),
            None => sets.push((vec![frame.id], None)),
        }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use proptest::prelude::*;
    use record::{
        BlankVerdict, Boundary, Edit, FileRole, Frame, FrameFile, Plan, QueryKind, Spread, TimeSource,
        ViewKey,
    };

    use super::*;
    use crate::{Coverage, SlotState, coverage, retake_list};

    /// A plan of three required views and an optional one.
    fn plan() -> Plan {
        let view = |key: &str, required: bool| {
            let letter = key.chars().next().unwrap();
            format!(
                "(key: \"{key}\", name: \"{key}\", letter: '{letter}', required: {required},
                  subject_part: \"\", subject_orientation: \"\", hint: \"\"),"
            )
        };
        let views = [view("side", true), view("face", true), view("above", true), view("leg", false)];
        Plan::from_text(&format!("(key: \"p\", name: \"P\", views: [{}])", views.concat())).unwrap()
    }

    pub(crate) fn frame(id: u32, secs: u32, blank_prob: Option<f32>) -> Frame {
        let time = format!("2026-06-14T{:02}:{:02}:{:02}", 9 + secs / 3600, secs / 60 % 60, secs % 60);
        let file = FrameFile { path: format!("F{id:03}.JPG"), bytes: 1, role: FileRole::Picture };
        Frame {
            taken: Some(time.parse().unwrap()),
            time_source: TimeSource::Original,
            spread: blank_prob.map(|_| Spread { level: 1.0, frame: 1.0, tile: 1.0, grain: 1.0, mean: 1.0 }),
            blank: blank_prob.map(|prob| BlankVerdict { prob, reason: "little stands out".into() }),
            ..Frame::new(FrameId(id), vec![file])
        }
    }

    /// One character a frame: `f` a specimen, `_` a blank, `?` doubtful but rather a specimen, `x` a frame
    /// whose picture cannot be read; `~` a minute of waiting. Frames are 10 s apart, 40 s after a blank.
    pub(crate) fn day(text: &str) -> Session {
        let mut session = Session::new("day", plan());
        let mut secs = 0;
        for c in text.chars() {
            let prob = match c {
                '_' => Some(0.99),
                'f' => Some(0.01),
                '?' => Some(0.4),
                'x' => None,
                _ => {
                    secs += 60;
                    continue;
                }
            };
            session.frames.push(frame(session.frames.len() as u32, secs, prob));
            secs += if c == '_' { 40 } else { 10 };
        }
        session
    }

    /// Sets as `0-2 4-6`.
    pub(crate) fn sets_of(session: &Session) -> String {
        let sets = session.sets.iter().map(|s| {
            let ids: Vec<String> = s.frames.iter().map(|f| f.0.to_string()).collect();
            ids.join(",")
        });
        sets.collect::<Vec<_>>().join(" ")
    }

    fn check(text: &str, expected: &str) {
        let mut session = day(text);
        regroup(&mut session);
        assert_eq!(sets_of(&session), expected, "{text}");
    }

    /// Applies an edit made from the session, and arranges anew.
    fn edit(session: &mut Session, make: impl Fn(&Session) -> Option<Edit>) -> Grouping {
        let edit = make(session).expect("an edit");
        session.apply(&edit).unwrap();
        regroup(session)
    }

    fn label(session: &mut Session, frame: u32, view: &str) -> Grouping {
        edit(session, |s| s.label_frame(FrameId(frame), Some(ViewKey::from(view))))
    }

    fn coverage_of(session: &Session, set: usize) -> Coverage {
        coverage(session, &group(session), &session.sets[set])
    }

    #[test]
    fn leading_doubled_and_trailing_blanks_close_nothing_twice() {
        check("__fff__fff_fff", "2,3,4 7,8,9 11,12,13");
        check("fff_fff_", "0,1,2 4,5,6");
        check("___", "");
        check("", "");
    }

    #[test]
    fn the_blank_that_closes_a_set_is_the_first_after_it() {
        let grouping = group(&day("_fff__fff"));
        assert_eq!(grouping.sets[0].1, Some(FrameId(4)));
        assert_eq!(grouping.sets[1].1, None);
    }

    #[test]
    fn an_unreadable_frame_stays_in_its_set_but_covers_nothing() {
        let mut session = day("fxf_fff_");
        regroup(&mut session);
        assert_eq!(sets_of(&session), "0,1,2 4,5,6");
        assert_eq!(coverage_of(&session, 0).short, 1);
        assert_eq!(coverage_of(&session, 1).short, 0);
    }

    #[test]
    fn a_short_set_is_named_only_once_the_other_frames_are_confirmed() {
        let mut session = day("fff_ff_fff_");
        let grouping = regroup(&mut session);
        let list = retake_list(&session, &grouping);
        assert_eq!(list.len(), 1);
        assert_eq!((list[0].number, list[0].short, list[0].missing.len()), (2, 1, 0));
        assert_eq!(list[0].words(&session.plan), "One view short, which is not known yet");

        label(&mut session, 4, "side");
        let grouping = label(&mut session, 5, "above");
        let list = retake_list(&session, &grouping);
        assert_eq!(list[0].missing, [ViewKey::from("face")]);
        assert_eq!(list[0].words(&session.plan), "face");
        assert!(coverage_of(&session, 1).checked && !coverage_of(&session, 1).complete());
    }

    #[test]
    fn a_whole_set_is_proposed_and_unchecked_until_confirmed() {
        let mut session = day("fff_fff_");
        regroup(&mut session);
        let states: Vec<SlotState> = coverage_of(&session, 0).slots.iter().map(|s| s.state).collect();
        assert_eq!(
            states,
            [SlotState::Proposed, SlotState::Proposed, SlotState::Proposed, SlotState::NotAsked]
        );
        assert!(!coverage_of(&session, 0).checked);
        for (frame, view) in [(0, "side"), (1, "face"), (2, "above")] {
            label(&mut session, frame, view);
        }
        assert!(coverage_of(&session, 0).complete());
    }

    #[test]
    fn two_frames_of_one_view_leave_another_missing() {
        let mut session = day("fff_fff_");
        regroup(&mut session);
        for (frame, view) in [(0, "side"), (1, "side"), (2, "leg")] {
            label(&mut session, frame, view);
        }
        let coverage = coverage_of(&session, 0);
        assert_eq!((coverage.short, coverage.missing), (2, vec!["face".into(), "above".into()]));
    }

    #[test]
    fn a_view_is_named_missing_when_the_other_frames_are_probable_enough() {
        let mut session = day("ff_fff_");
        let mut grouping = regroup(&mut session);
        let mut check = |second: [f32; 4], states: &str, missing: &[&str], short: usize| {
            for (frame, probs) in [(0, [0.9, 0.05, 0.05, 0.0]), (1, second)] {
                let best = (0..4).max_by(|a, b| probs[*a].total_cmp(&probs[*b])).unwrap();
                let view = session.plan.views[best].key.clone();
                let proposal = ViewProposal { view, prob: probs[best], probs: probs.to_vec() };
                grouping.views.insert(FrameId(frame), proposal);
            }
            let coverage = coverage(&session, &grouping, &session.sets[0]);
            let got: Vec<String> =
                coverage.slots.iter().map(|s| format!("{:?}", s.state)[..1].to_owned()).collect();
            assert_eq!(got.concat(), states);
            assert_eq!(coverage.missing, missing.iter().map(|v| ViewKey::from(*v)).collect::<Vec<_>>());
            assert_eq!((coverage.short, coverage.checked), (short, false));
        };
        check([0.05, 0.85, 0.1, 0.0], "PPMN", &["above"], 1);
        check([0.05, 0.5, 0.45, 0.0], "POON", &[], 1);
        // It may be a detail, or either of the others: what is certain is only that one of them is not there.
        check([0.05, 0.1, 0.1, 0.0], "POON", &[], 1);
        // It is probably of a view that is not required: then neither of the others is there.
        check([0.05, 0.1, 0.05, 0.8], "PMMP", &["face", "above"], 2);
    }

    #[test]
    fn a_view_that_is_not_good_enough_is_not_covered() {
        let mut session = day("fff_fff_");
        regroup(&mut session);
        for (frame, view) in [(0, "side"), (1, "face"), (2, "above")] {
            label(&mut session, frame, view);
        }
        assert_eq!(coverage_of(&session, 0).inadequate, None, "nothing was looked at");
        for frame in &mut session.frames {
            let quality = record::Quality {
                focus: if frame.id == FrameId(1) { 0.5 } else { 10.0 },
                blown_share: 0.0,
                black_share: 0.0,
                subject_share: 0.2,
                edge_cut: false,
                subject_found: true,
            };
            frame.looks = Some(record::Looks { descriptor: vec![], quality, without_blank: false });
        }
        let grouping = regroup(&mut session);
        let coverage = coverage(&session, &grouping, &session.sets[0]);
        let words = "soft: 5 % as sharp as is usual today";
        assert_eq!(coverage.inadequate, Some(vec![(ViewKey::from("face"), words.to_owned())]));
        assert_eq!((coverage.short, coverage.missing.len(), coverage.complete()), (1, 0, false));
        let list = retake_list(&session, &grouping);
        assert_eq!(list[0].words(&session.plan), "face again, soft: 5 % as sharp as is usual today");
        // A second, sharp frame of the view covers it, and comes first.
        label(&mut session, 5, "side");
        let edit = session.move_frame(FrameId(4), 0).unwrap();
        session.apply(&edit).unwrap();
        let grouping = label(&mut session, 4, "face");
        let coverage = crate::coverage(&session, &grouping, &session.sets[0]);
        assert_eq!(coverage.slots[1].frames, [FrameId(4), FrameId(1)]);
        assert!(coverage.complete());
    }

    #[test]
    fn the_longest_waiting_animal_is_first_on_the_retake_list() {
        let mut session = day("ff_fff_f_");
        session.frames[0].taken = None;
        session.frames[1].taken = None;
        let grouping = regroup(&mut session);
        let numbers: Vec<u32> = retake_list(&session, &grouping).iter().map(|r| r.number).collect();
        assert_eq!(numbers, [3, 1], "one without a time comes last");
    }

    #[test]
    fn split_join_move_and_set_aside_are_taken_back_exactly() {
        let mut session = day("ffffff_fff_fff_");
        regroup(&mut session);
        let start = session.clone();
        let mut history = record::History::default();
        let mut step = |session: &mut Session, make: &dyn Fn(&Session) -> Option<Edit>, expected: &str| {
            let edit = make(session).expect("an edit");
            history.apply(session, "step", &edit).unwrap();
            regroup(session);
            assert_eq!(sets_of(session), expected);
        };
        step(&mut session, &|s| s.split_before(FrameId(3)), "0,1,2 3,4,5 7,8,9 11,12,13");
        step(&mut session, &|s| s.write_jar(1, "21"), "0,1,2 3,4,5 7,8,9 11,12,13");
        step(&mut session, &|s| s.join_with_previous(2), "0,1,2 3,4,5,7,8,9 11,12,13");
        step(&mut session, &|s| s.move_frame(FrameId(11), 0), "0,1,2,11 3,4,5,7,8,9 12,13");
        let aside = [FrameId(4)];
        let set_aside = |s: &Session| Some(s.decide_kind(&aside, FrameKind::SetAside));
        step(&mut session, &set_aside, "0,1,2,11 3,5,7,8,9 12,13");
        assert_eq!(session.record_of(&session.sets[1]).unwrap().jar, "21");
        while history.undo(&mut session).is_some() {}
        regroup(&mut session);
        assert_eq!(session, start);
    }

    #[test]
    fn a_ring_of_moves_loses_no_frame() {
        let mut session = day("fff_");
        for (frame, to) in [(0, 1), (1, 0)] {
            session.apply(&Edit::Move(FrameId(frame), Some(FrameId(to)))).unwrap();
        }
        regroup(&mut session);
        assert_eq!(sets_of(&session), "2 0,1");
        session.apply(&Edit::Move(FrameId(2), Some(FrameId(2)))).unwrap();
        regroup(&mut session);
        assert_eq!(sets_of(&session), "0 1 2");
    }

    #[test]
    fn a_doubtful_frame_is_asked_about_until_decided() {
        let mut session = day("ff?_fff_fff_");
        let grouping = regroup(&mut session);
        let query = &grouping.queries[0];
        assert_eq!((query.kind, query.frames.as_slice()), (QueryKind::BlankOrSpecimen, &[FrameId(2)][..]));
        assert_eq!(query.answers[0].words, "Specimen");
        let grouping = edit(&mut session, |_| Some(query.answers[1].edit.clone()));
        assert_eq!(grouping.queries.iter().filter(|q| q.kind == QueryKind::BlankOrSpecimen).count(), 0);
        assert_eq!(sets_of(&session), "0,1 4,5,6 8,9,10");
    }

    #[test]
    fn a_forgotten_blank_is_split_and_asked_about() {
        let mut session = day("fff_fff_fff~fff_fff_fff_");
        let grouping = regroup(&mut session);
        assert_eq!(sets_of(&session), "0,1,2 4,5,6 8,9,10 11,12,13 15,16,17 19,20,21");
        let asked: Vec<&Query> =
            grouping.queries.iter().filter(|q| q.kind == QueryKind::WhereToSplit).collect();
        assert_eq!(asked.len(), 1);
        assert_eq!(asked[0].frames, [FrameId(10), FrameId(11)]);
        assert!(asked[0].evidence.contains("70 s pass"), "{}", asked[0].evidence);
        assert_eq!(asked[0].answers[0].words, "Split here");
        let grouping = edit(&mut session, |_| Some(asked[0].answers[1].edit.clone()));
        assert_eq!(sets_of(&session), "0,1,2 4,5,6 8,9,10,11,12,13 15,16,17 19,20,21");
        assert!(grouping.queries.is_empty(), "{:?}", grouping.queries);
    }

    #[test]
    fn two_rounds_without_a_pause_stay_together_and_are_asked_about() {
        let mut session = day("fff_fff_ffffff_fff_fff_");
        let grouping = regroup(&mut session);
        assert_eq!(session.sets.len(), 5);
        assert_eq!(grouping.queries.len(), 1);
        assert_eq!(grouping.queries[0].answers[0].words, "One animal");
        assert!(
            grouping.queries[0]
                .evidence
                .contains("As two animals they have 3 and 3 frames, as one 6; 3 are usual today.")
        );
    }

    #[test]
    fn an_ordinary_day_raises_no_query() {
        for text in ["fff_fff_fff_", "fff", "__fff__ffff_fff_ff_fff", "_"] {
            assert_eq!(group(&day(text)).queries, [], "{text}");
        }
    }

    proptest! {
        /// Whatever the day and the decisions, every specimen frame is in exactly one set and no other frame
        /// is in any; unmoved frames keep the order of the day.
        #[test]
        fn every_specimen_frame_is_in_exactly_one_set(
            text in "[f_?x~]{0,60}",
            edits in prop::collection::vec((0u32..60, 0u32..60, 0u8..5), 0..15),
        ) {
            let mut session = day(&text);
            for (a, b, what) in edits {
                let (a, b) = (FrameId(a), FrameId(b));
                let edit = match what {
                    0 => Edit::Boundary(a, Some(Boundary::Split)),
                    1 => Edit::Boundary(a, Some(Boundary::Join)),
                    2 => Edit::Kind(a, Some(FrameKind::SetAside)),
                    3 => Edit::Kind(a, Some(FrameKind::Blank)),
                    _ => Edit::Move(a, Some(b)),
                };
                // Frames past the end of the day are refused, which is as good here.
                let known = session.apply(&edit).is_ok();
                prop_assert!(known || a.0 >= session.frames.len() as u32 || b.0 >= session.frames.len() as u32);
            }
            regroup(&mut session);
            let mut seen: Vec<FrameId> = session.sets.iter().flat_map(|s| s.frames.clone()).collect();
            let moved = |f: &&FrameId| session.decisions.moves.contains_key(f);
            let unmoved: Vec<&FrameId> = seen.iter().filter(|f| !moved(f)).collect();
            prop_assert!(unmoved.is_sorted(), "{:?}", unmoved);
            seen.sort();
            let expected: Vec<FrameId> = session
                .frames
                .iter()
                .filter(|f| session.kind(f) == FrameKind::Specimen)
                .map(|f| f.id)
                .collect();
            prop_assert_eq!(seen, expected);
            prop_assert!(session.sets.iter().all(|s| !s.frames.is_empty()));
        }
    }
}

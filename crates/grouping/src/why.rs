//! Why a frame is taken for what it is: the evidence in words, for the command line and the window alike.

use record::{Frame, FrameId, FrameKind, LearnedViews, Session};

use crate::ask::place_words;
use crate::day::Day;
use crate::views::Known;
use crate::{Grouping, PROPOSE_FROM, Split, split_day};

/// What speaks for how a frame was taken, a sentence or two each. `grouping` is what [`crate::regroup_with`] gave for the
/// same session and `learned`. Empty for a frame that the session does not have.
pub fn why(session: &Session, grouping: &Grouping, learned: &LearnedViews, frame: FrameId) -> Vec<String> {
    let Some(frame) = session.frame(frame) else { return Vec::new() };
    let known = Known::of(session, learned);
    let day = Day::of(session, &known);
    let split = split_day(&day.places);
    let mut said = vec![kind_words(session, frame)];
    said.extend(jar_words(session, frame));
    said.extend(set_words(session, frame.id));
    said.extend(boundary_words(&day, &split, frame.id));
    said.extend(view_words(session, grouping, &known, frame.id));
    said.extend(quality_words(session, grouping, frame));
    if frame.looks.as_ref().is_some_and(|looks| looks.without_blank) {
        said.push(
            "No usable blank lies near it: its own border stood in for the background, which is less sure."
                .to_owned(),
        );
    }
    said
}

fn kind_words(session: &Session, frame: &Frame) -> String {
    let kind = session.kind(frame).word();
    if session.decisions.kinds.contains_key(&frame.id) {
        return format!("Taken for {kind}: decided by hand.");
    }
    match &frame.blank {
        Some(verdict) => format!("Taken for {kind}: {}", verdict.words()),
        None => format!("Taken for {kind}: no picture of it could be judged."),
    }
}

fn jar_words(session: &Session, frame: &Frame) -> Option<String> {
    let text = frame.jar_card.as_ref()?;
    let alone = session.kind(frame) == FrameKind::Reference;
    Some(format!("A code in it says “{text}”{}.", if alone { ", so it is taken for a jar card" } else { "" }))
}

fn set_words(session: &Session, frame: FrameId) -> Option<String> {
    let set = &session.sets[session.set_of(frame)?];
    let place = set.frames.iter().position(|f| *f == frame)? + 1;
    let by_hand = if session.decisions.moves.contains_key(&frame) { ", moved there by hand" } else { "" };
    Some(format!("It is frame {place} of {} in set {}{by_hand}.", set.frames.len(), set.number))
}

/// The places before and after it.
fn boundary_words(day: &Day<'_>, split: &Split, frame: FrameId) -> Vec<String> {
    let Some(at) = day.shown.iter().position(|f| f.id == frame) else { return Vec::new() };
    let places = at.checked_sub(1).into_iter().chain((at < day.places.len()).then_some(at));
    places
        .map(|place| {
            let what = if split.ends[place] { "a new set starts" } else { "the set goes on" };
            let side = if place < at { "Before" } else { "After" };
            let by_hand = match day.places[place].decided {
                Some(_) => " Decided by hand.".to_owned(),
                None => format!(" Chance of two animals: {:.0} %.", 100.0 * split.probs[place]),
            };
            format!("{side} it {what}. {}{by_hand}", place_words(day, split, place))
        })
        .collect()
}

fn view_words(session: &Session, grouping: &Grouping, known: &Known<'_>, frame: FrameId) -> Vec<String> {
    let plan = &session.plan;
    let name = |v: usize| plan.views[v].name.as_str();
    if let Some(label) = session.decisions.labels.get(&frame) {
        let name = plan.name_of(&label.view);
        return vec![format!("View: {name}, confirmed by hand.")];
    }
    let Some(proposal) = grouping.views.get(&frame) else { return Vec::new() };
    let likeliest = |probs: &[f64]| {
        let mut order: Vec<usize> = (0..plan.views.len()).collect();
        order.sort_by(|a, b| probs[*b].total_cmp(&probs[*a]));
        let most = order.iter().take(3).filter(|v| probs[**v] >= 0.005);
        most.map(|v| format!("{} {:.0} %", name(*v), 100.0 * probs[*v])).collect::<Vec<_>>().join(", ")
    };
    let sets: Vec<Vec<FrameId>> = grouping.sets.iter().map(|(frames, _)| frames.clone()).collect();
    let together: Vec<f64> = proposal.probs.iter().map(|p| f64::from(*p)).collect();
    let proposed = if proposal.is_proposed() { "proposed" } else { "not enough to be proposed" };
    let from = 100.0 * PROPOSE_FROM;
    let mut said = vec![format!("View: {}; {proposed}, which takes {from:.0} %.", likeliest(&together))];
    if let Some(place) = known.by_place(frame, &sets) {
        said.push(format!("By its place in the round alone: {}.", likeliest(&place)));
    }
    match known.by_looks(frame, &sets) {
        Some(looks) => {
            let none = 100.0 * looks[plan.views.len()];
            said.push(format!("By its looks alone: {}; none of the views {none:.0} %.", likeliest(&looks)));
        }
        None => said.push(
            "Its looks were not compared: it was not looked at, or too little is confirmed.".to_owned(),
        ),
    }
    said
}

fn quality_words(session: &Session, grouping: &Grouping, frame: &Frame) -> Option<String> {
    let quality = frame.looks.as_ref()?.quality;
    if session.kind(frame) != FrameKind::Specimen {
        return None;
    }
    if !quality.subject_found {
        return Some("Quality: no subject was found, so it is not judged.".to_owned());
    }
    let judged = grouping.flaws.get(&frame.id).map_or("good enough".to_owned(), Clone::clone);
    Some(format!(
        "Quality: {judged}. Focus {:.3}, {:.1} % of the subject blown out, subject {:.0} % of the frame{}.",
        quality.focus,
        100.0 * quality.blown_share,
        100.0 * quality.subject_share,
        if quality.edge_cut { ", cut by its edge" } else { "" }
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::group::tests::day;
    use crate::regroup;

    fn said(session: &Session, grouping: &Grouping, frame: u32) -> String {
        why(session, grouping, &LearnedViews::default(), FrameId(frame)).join("\n")
    }

    #[test]
    fn the_evidence_names_kind_set_boundaries_and_view() {
        let mut session = day("fff_fff_fff_");
        let grouping = regroup(&mut session);
        let words = said(&session, &grouping, 4);
        for part in [
            "Taken for specimen: little stands out. Chance of a blank: 1 %.",
            "It is frame 1 of 3 in set 2.",
            "Before it a new set starts. 50 s pass between F002.JPG and F004.JPG; a blank lies between.",
            "After it the set goes on. 10 s pass between F004.JPG and F005.JPG; no blank lies between.",
            "View: side",
            "By its place in the round alone: side",
            "Its looks were not compared",
        ] {
            assert!(words.contains(part), "{part}\nnot in\n{words}");
        }
        assert!(said(&session, &grouping, 3).starts_with("Taken for blank: "));
        assert_eq!(said(&session, &grouping, 99), "");
    }

    #[test]
    fn a_look_without_a_usable_blank_says_so() {
        let mut session = day("fff_");
        let quality = record::Quality {
            focus: 2.0,
            blown_share: 0.0,
            black_share: 0.0,
            subject_share: 0.2,
            edge_cut: false,
            subject_found: true,
        };
        for without_blank in [false, true] {
            session.frames[1].looks = Some(record::Looks { descriptor: vec![], quality, without_blank });
            let grouping = regroup(&mut session);
            let words = said(&session, &grouping, 1);
            assert_eq!(words.contains("No usable blank lies near it"), without_blank, "{words}");
            assert!(words.contains("Quality: good enough."), "{words}");
        }
        session.frames[3].looks = session.frames[1].looks.clone();
        assert!(
            !said(&session, &regroup(&mut session.clone()), 3).contains("Quality"),
            "a blank is not judged"
        );
    }

    #[test]
    fn what_was_decided_by_hand_is_said_so() {
        let mut session = day("fff_fff_");
        regroup(&mut session);
        session.apply(&session.split_before(FrameId(1)).unwrap()).unwrap();
        session.apply(&session.decide_kind(&[FrameId(6)], FrameKind::SetAside)).unwrap();
        let grouping = regroup(&mut session);
        assert!(said(&session, &grouping, 1).contains("no blank lies between. Decided by hand."));
        assert_eq!(said(&session, &grouping, 6), "Taken for set aside: decided by hand.");
    }
}

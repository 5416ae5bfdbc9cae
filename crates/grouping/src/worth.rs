//! Which frames are good enough to count, and which of a view is best.
//!
//! A frame is compared with the other frames of the same view on the same day, since views differ in structure, size and
//! brightness; frames without a view are compared with all. What is wrong is said in words. Frames that were not looked
//! at, or on which no subject was found, are not judged.

use std::collections::BTreeMap;

use record::{Frame, FrameId, Plan, Quality, Session, ViewKey};

use crate::ViewProposal;

/// Fewest frames of a view that a day's usual can be told from.
const FEWEST: usize = 4;
/// A frame is soft when it is less than this share as sharp as is usual for its view: our own choice, below the factor
/// between neighbouring views of one animal, and only together with [`SOFT_SDS`].
const SOFT_SHARE: f64 = 0.4;
/// And when it lies this many robust standard deviations below, in logarithms: one good frame in some hundreds does.
const SOFT_SDS: f64 = 3.0;
/// Share of the subject that may be blown out: our own choice. Highlights on a shiny animal cover a few hundredths.
const BLOWN_SHARE: f32 = 0.1;
/// And this many times what is usual for the view: a white animal is no fault.
const BLOWN_TIMES: f32 = 2.0;
/// Under this share of the frame a subject shows little: 1/100 of a 24-megapixel frame is 490 px a side.
const SMALL_SHARE: f32 = 0.01;
/// And under this share of what is usual for the view.
const SMALL_TIMES: f32 = 0.25;

/// What is usual for the frames of a view.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Usual {
    log_focus: f64,
    log_focus_sd: f64,
    blown_share: f32,
    subject_share: f32,
    /// Whether at least half of them are cut by the frame's edge, as close views of a part are.
    cut: bool,
}

impl Usual {
    /// `None` for too few.
    fn of(frames: &[Quality]) -> Option<Self> {
        if frames.len() < FEWEST {
            return None;
        }
        let log_focus = median(frames.iter().map(log_focus).collect());
        let off = median(frames.iter().map(|q| (crate::worth::log_focus(q) - log_focus).abs()).collect());
        let share =
            |of: fn(&Quality) -> f32| median(frames.iter().map(|q| f64::from(of(q))).collect()) as f32;
        Some(Self {
            log_focus,
            // 1.4826 makes a median deviation the standard deviation of a normal.
            log_focus_sd: 1.4826 * off,
            blown_share: share(|q| q.blown_share),
            subject_share: share(|q| q.subject_share),
            cut: 2 * frames.iter().filter(|q| q.edge_cut).count() >= frames.len(),
        })
    }
}

/// What is wrong with frames, in words: those that are not good enough to count for their view. `None` is not in it.
pub(crate) fn flaws(session: &Session, views: &BTreeMap<FrameId, ViewProposal>) -> BTreeMap<FrameId, String> {
    let view_of = |frame: &Frame| -> Option<ViewKey> {
        let confirmed = session.decisions.labels.get(&frame.id).map(|l| l.view.clone());
        confirmed.or_else(|| views.get(&frame.id).filter(|p| p.is_proposed()).map(|p| p.view.clone()))
    };
    let judged: Vec<(&Frame, Quality, Option<ViewKey>)> = session
        .frames
        .iter()
        .filter(|f| session.kind(f) == record::FrameKind::Specimen)
        .filter_map(|f| Some((f, f.looks.as_ref()?.quality, view_of(f))))
        .filter(|(_, quality, _)| quality.subject_found)
        .collect();
    let all: Vec<Quality> = judged.iter().map(|(_, q, _)| *q).collect();
    let usual_of_all = Usual::of(&all);
    let mut by_view: BTreeMap<&ViewKey, Vec<Quality>> = BTreeMap::new();
    for (_, quality, view) in &judged {
        if let Some(view) = view {
            by_view.entry(view).or_default().push(*quality);
        }
    }
    let usual: BTreeMap<&ViewKey, Option<Usual>> =
        by_view.into_iter().map(|(view, frames)| (view, Usual::of(&frames))).collect();
    judged
        .iter()
        .filter_map(|(frame, quality, view)| {
            let own = view.as_ref().and_then(|v| usual.get(v).copied().flatten());
            let name = view.as_ref().and_then(|v| session.plan.view(v)).map(|v| v.name.as_str());
            let whole = view.as_ref().is_some_and(|v| shows_whole_animal(&session.plan, v));
            let flaw = flaw(quality, own.or(usual_of_all).as_ref(), own.and(name), whole)?;
            Some((frame.id, flaw))
        })
        .collect()
}

/// Whether a view asks for the whole animal, by the controlled value of Audiovisual Core.
fn shows_whole_animal(plan: &Plan, view: &ViewKey) -> bool {
    plan.view(view).is_some_and(|v| v.subject_part == "entireOrganism")
}

/// What is wrong with a frame in one word, the worst first: `soft`, `cut`, `blown` or `small`. Each reason begins with it.
pub fn flaw_word(reason: &str) -> &str {
    reason.split([' ', ':']).next().unwrap_or_default()
}

/// What is wrong with a frame, worst first; `None` when it is good enough.
fn flaw(quality: &Quality, usual: Option<&Usual>, view: Option<&str>, whole: bool) -> Option<String> {
    let of_view = view.map_or("today".to_owned(), |name| format!("for {name} today"));
    let mut said = Vec::new();
    if let Some(usual) = usual {
        let below = usual.log_focus - log_focus(quality);
        if below > -SOFT_SHARE.ln() && below > SOFT_SDS * usual.log_focus_sd {
            said.push(format!("soft: {:.0} % as sharp as is usual {of_view}", 100.0 * (-below).exp()));
        }
    }
    if quality.edge_cut && usual.map_or(whole, |u| !u.cut) {
        said.push("cut off by the edge of the frame".to_owned());
    }
    let blown_usual = usual.map_or(0.0, |u| u.blown_share);
    if quality.blown_share > BLOWN_SHARE.max(BLOWN_TIMES * blown_usual) {
        said.push(format!("blown out to white: {:.0} % of the subject", 100.0 * quality.blown_share));
    }
    let small_usual = usual.map_or(1.0, |u| SMALL_TIMES * u.subject_share);
    if quality.subject_share < SMALL_SHARE.min(small_usual) {
        said.push(format!("small: {:.1} % of the frame", 100.0 * quality.subject_share));
    }
    (!said.is_empty()).then(|| said.join("; "))
}

/// Puts frames in order of worth, best first: the one a person took for the best, then the good enough before the rest,
/// not cut before cut, and sharp.
/// Frames that were not looked at stay in their order, behind those that are good enough.
pub(crate) fn best_first(session: &Session, flaws: &BTreeMap<FrameId, String>, frames: &mut [FrameId]) {
    let quality =
        |f: &FrameId| session.frame(*f)?.looks.as_ref().map(|l| l.quality).filter(|q| q.subject_found);
    frames.sort_by(|a, b| {
        let rank = |f: &FrameId| {
            let chosen = session.decisions.preferred.contains(f);
            (!chosen, flaws.contains_key(f), quality(f).is_none(), quality(f).is_some_and(|q| q.edge_cut))
        };
        let focus = |f: &FrameId| quality(f).map_or(0.0, |q| q.focus);
        rank(a).cmp(&rank(b)).then(focus(b).total_cmp(&focus(a)))
    });
}

fn log_focus(quality: &Quality) -> f64 {
    f64::from(quality.focus).max(1e-9).ln()
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    const GOOD: Quality = Quality {
        focus: 10.0,
        blown_share: 0.02,
        black_share: 0.0,
        subject_share: 0.2,
        edge_cut: false,
        subject_found: true,
    };

    fn check(day: &[Quality], quality: Quality, expected: Option<&str>) {
        let usual = Usual::of(day);
        let said = flaw(&quality, usual.as_ref(), Some("Face"), false);
        assert_eq!(said.as_deref(), expected);
        let words = ["soft", "cut", "blown", "small"];
        assert!(said.is_none_or(|said| words.contains(&flaw_word(&said))), "{expected:?}");
    }

    #[test]
    fn a_frame_is_compared_with_those_of_its_view() {
        let day = [GOOD; 5];
        check(&day, GOOD, None);
        check(&day, Quality { focus: 5.0, ..GOOD }, None);
        check(&day, Quality { focus: 3.0, ..GOOD }, Some("soft: 30 % as sharp as is usual for Face today"));
        check(&day, Quality { edge_cut: true, ..GOOD }, Some("cut off by the edge of the frame"));
        check(&day, Quality { blown_share: 0.3, ..GOOD }, Some("blown out to white: 30 % of the subject"));
        check(&day, Quality { subject_share: 0.004, ..GOOD }, Some("small: 0.4 % of the frame"));
        let both = Quality { focus: 1.0, edge_cut: true, ..GOOD };
        let words = "soft: 10 % as sharp as is usual for Face today; cut off by the edge of the frame";
        check(&day, both, Some(words));
    }

    #[test]
    fn what_is_usual_for_a_view_is_no_flaw() {
        let close = Quality { edge_cut: true, blown_share: 0.2, subject_share: 0.005, ..GOOD };
        check(&[close; 4], Quality { blown_share: 0.3, ..close }, None);
        // Sharpness that varies much anyway.
        let focus = [1.0, 4.0, 10.0, 30.0, 100.0];
        check(&focus.map(|focus| Quality { focus, ..GOOD }), Quality { focus: 1.0, ..GOOD }, None);
    }

    #[test]
    fn too_few_frames_say_nothing_of_what_is_usual() {
        check(&[GOOD; 3], Quality { focus: 0.1, edge_cut: true, ..GOOD }, None);
        assert!(
            flaw(&Quality { edge_cut: true, ..GOOD }, None, None, true).is_some(),
            "a whole animal was asked for"
        );
        check(&[], Quality { focus: 0.0, ..GOOD }, None);
    }

    #[test]
    fn the_best_comes_first() {
        let mut session = crate::group::tests::day("fffff");
        let looks = |quality| Some(record::Looks { descriptor: vec![], quality, without_blank: false });
        session.frames[1].looks = looks(Quality { edge_cut: true, focus: 30.0, ..GOOD });
        session.frames[2].looks = looks(GOOD);
        session.frames[3].looks = looks(Quality { focus: 12.0, ..GOOD });
        session.frames[4].looks = looks(Quality { focus: 90.0, ..GOOD });
        let flaws = BTreeMap::from([(FrameId(4), "blown".to_owned())]);
        let mut frames: Vec<FrameId> = (0..5).map(FrameId).collect();
        best_first(&session, &flaws, &mut frames);
        assert_eq!(frames, [3, 2, 1, 0, 4].map(FrameId));
        session.apply(&session.prefer_frame(FrameId(4), &frames)).unwrap();
        best_first(&session, &flaws, &mut frames);
        assert_eq!(frames, [4, 3, 2, 1, 0].map(FrameId), "what a person chose stands");
    }
}

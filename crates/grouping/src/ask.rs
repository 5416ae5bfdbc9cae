//! What a person is asked of boundaries: both readings, with what speaks for each.

use record::{Answer, Boundary, Edit, Frame, FrameKind, Query, QueryKind, Session};

use crate::day::Day;
use crate::{Place, Split};

/// A boundary with a probability between these raises a query.
const UNSURE: std::ops::Range<f64> = 0.1..0.9;
/// A set this many times as long as usual raises a query.
const LONG_SET: f64 = 1.8;
/// Evidence is told from these log odds on: two to one.
const TELLING: f64 = 0.7;

/// Asks where a boundary was set without a blank, a blank was passed over, or the two readings are close;
/// and where a set is long enough for two animals.
pub(crate) fn boundary_queries(day: &Day<'_>, split: &Split) -> Vec<Query> {
    let mut queries = Vec::new();
    let mut first = 0;
    for end in 0..day.shown.len() {
        if end < day.places.len() && !split.ends[end] {
            continue;
        }
        let asked = (first..=end.min(day.places.len().saturating_sub(1)))
            .filter(|at| day.places.get(*at).is_some_and(|p| p.decided.is_none()))
            .filter(|at| is_unsure(day, split, *at));
        let mut asked: Vec<usize> = asked.collect();
        let long = (end + 1 - first) as f64 >= LONG_SET * split.typical.set_frames && day.has_blanks();
        let joined = day.places[first..end].iter().any(|p| p.decided.is_some());
        if asked.is_empty() && long && !joined {
            // Nothing says where: ask about the likeliest place.
            asked.extend((first..end).max_by(|a, b| split.probs[*a].total_cmp(&split.probs[*b])));
        }
        queries.extend(asked.into_iter().map(|at| ask(day, split, at)));
        first = end + 1;
    }
    queries
}

fn is_unsure(day: &Day<'_>, split: &Split, at: usize) -> bool {
    let has_blank = day.places[at].blank_prob >= 0.5;
    UNSURE.contains(&split.probs[at]) || split.ends[at] != has_blank
}

fn ask(day: &Day<'_>, split: &Split, at: usize) -> Query {
    let (before, after) = (day.shown[at], day.shown[at + 1]);
    let answer = |words: &str, boundary| Answer {
        words: words.to_owned(),
        edit: Edit::Boundary(after.id, Some(boundary)),
    };
    let mut answers = vec![answer("Split here", Boundary::Split), answer("One animal", Boundary::Join)];
    let question = if split.ends[at] {
        "Two animals here?"
    } else {
        answers.reverse();
        "One animal or two?"
    };
    Query {
        kind: QueryKind::WhereToSplit,
        frames: vec![before.id, after.id],
        question: question.to_owned(),
        evidence: format!(
            "{} {} Chance of two animals: {:.0} %.",
            place_words(day, split, at),
            readings(split, at),
            100.0 * split.probs[at]
        ),
        answers,
    }
}

/// What lies at a place, in one or two sentences.
pub(crate) fn place_words(day: &Day<'_>, split: &Split, at: usize) -> String {
    let place = &day.places[at];
    let pause = place.gap_secs.map_or("An unknown time passes".to_owned(), |s| format!("{s:.0} s pass"));
    let blank = if place.blank_prob >= 0.5 { "a blank lies between" } else { "no blank lies between" };
    let names = (day.shown[at].file_name(), day.shown[at + 1].file_name());
    let mut words = format!("{pause} between {} and {}; {blank}.", names.0, names.1);
    for more in looks_words(place, split).into_iter().flatten() {
        words.push(' ');
        words.push_str(more);
    }
    words
}

/// What looks and jar cards say of a place, where they say anything.
fn looks_words(place: &Place, split: &Split) -> [Option<&'static str>; 3] {
    let either = |odds: f64, new: &'static str, same: &'static str| {
        (odds.abs() >= TELLING).then_some(if odds > 0.0 { new } else { same })
    };
    [
        either(split.typical.change_odds(place), "The subject changes.", "The subject stays the same."),
        either(place.restart, "By its looks the round starts again.", "By its looks the round goes on."),
        place
            .jar_card
            .map(|new| if new { "A jar card tells them apart." } else { "Both show one jar card." }),
    ]
}

/// The two readings of a place: how long the sets are by each.
fn readings(split: &Split, at: usize) -> String {
    let from = split.ends[..at].iter().rposition(|end| *end).map_or(0, |end| end + 1);
    let to = split.ends[at + 1..].iter().position(|end| *end).map_or(split.ends.len(), |end| at + 1 + end);
    let (left, right) = (at + 1 - from, to - at);
    let usual = split.typical.set_frames.round();
    format!(
        "As two animals they have {left} and {right} frames, as one {}; {usual} are usual today.",
        left + right
    )
}

/// Asks how many animals there are where no frame is a blank.
pub(crate) fn no_blank_query(day: &Day<'_>, session: &Session) -> Option<Query> {
    let any = session.frames.iter().any(|f| session.kind(f) == FrameKind::Blank);
    // A handful of frames may well be one animal whose blank is still to come.
    let many = day.shown.len() > 2 * session.plan.required().count();
    (!any && many).then(|| Query {
        kind: QueryKind::NoBlank,
        frames: vec![day.shown[0].id],
        question: "No blank frame found. How many animals are these?".to_owned(),
        evidence: format!(
            "All {} frames stand in one set. Split it by hand, or move the line that tells blanks.",
            day.shown.len()
        ),
        answers: Vec::new(),
    })
}

/// So many frames in a row that are alike and rather specimens are not asked about: blanks come one or two at a time, and
/// an animal that hardly stands out does so in all its frames.
const ALIKE_FRAMES: usize = 3;
/// Faint frames among them are those with at least this chance of being blanks, in the doubtful band or just below it.
const FAINT_FROM: f32 = 0.03;
/// Frames are alike when the larger spread is at most this many times the smaller: crops of one scene vary less.
const ALIKE_TIMES: f32 = 1.3;

/// Whether a faint frame stands in a row of such frames that are alike.
fn in_row_alike(frames: &[Frame], at: usize) -> bool {
    let alike = |other: &Frame| {
        let faint = other.blank.as_ref().is_some_and(|b| (FAINT_FROM..0.5).contains(&b.prob));
        let levels =
            frames[at].spread.zip(other.spread).map(|(a, b)| (a.level.min(b.level), a.level.max(b.level)));
        faint && levels.is_some_and(|(low, high)| high <= ALIKE_TIMES * low)
    };
    let before = frames[..at].iter().rev().take_while(|f| alike(f)).count();
    let after = frames[at + 1..].iter().take_while(|f| alike(f)).count();
    alike(&frames[at]) && before + 1 + after >= ALIKE_FRAMES
}

/// Asks of each frame in the doubtful band whether it is a blank.
pub(crate) fn blank_queries(session: &Session) -> Vec<Query> {
    let mut queries = Vec::new();
    for (at, frame) in session.frames.iter().enumerate() {
        let Some(verdict) = frame.blank.as_ref().filter(|b| b.is_doubtful()) else { continue };
        if in_row_alike(&session.frames, at) {
            continue;
        }
        if session.decisions.kinds.contains_key(&frame.id) || session.kind(frame) == FrameKind::Reference {
            continue;
        }
        let answer =
            |words: &str, kind| Answer { words: words.to_owned(), edit: Edit::Kind(frame.id, Some(kind)) };
        let mut answers = vec![answer("Blank", FrameKind::Blank), answer("Specimen", FrameKind::Specimen)];
        if !verdict.is_blank() {
            answers.reverse();
        }
        answers.push(answer("Reference frame", FrameKind::Reference));
        queries.push(Query {
            kind: QueryKind::BlankOrSpecimen,
            frames: vec![frame.id],
            question: format!("Is {} a blank?", frame.file_name()),
            evidence: verdict.words(),
            answers,
        });
    }
    queries
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::group::tests::day;

    #[test]
    fn a_row_of_faint_frames_is_not_asked_about_and_a_single_one_is() {
        let asked = |text: &str, levels: &[(usize, f32)]| -> Vec<u32> {
            let mut session = day(text);
            for (frame, level) in levels {
                if let Some(spread) = &mut session.frames[*frame].spread {
                    spread.level = *level;
                }
            }
            blank_queries(&session).iter().map(|q| q.frames[0].0).collect()
        };
        assert_eq!(asked("fff_???_fff_", &[]), []);
        assert_eq!(asked("fff_???_fff_", &[(5, 1.5)]), [4, 5, 6]);
        assert_eq!(asked("fff_??_", &[]), [4, 5]);
        assert_eq!(asked("fff?_", &[(3, 0.5)]), [3], "unlike the frames before it");
    }
}

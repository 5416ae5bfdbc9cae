//! A day as one JSON object, for programs: the shape that `split --json` promises.

use std::collections::BTreeMap;

use grouping::{PROPOSE_FROM, coverage};
use import::Skipped;
use record::{Frame, FrameId, FrameKind, Session};
use serde::Serialize;

use crate::day::Day;

#[derive(Serialize)]
struct Whole<'a> {
    frames: Vec<FrameOut<'a>>,
    sets: Vec<SetOut<'a>>,
    queries: Vec<QueryOut<'a>>,
    skipped: Vec<SkippedOut<'a>>,
    bytes_read: u64,
    bytes_on_card: u64,
}

#[derive(Serialize)]
struct FrameOut<'a> {
    path: &'a str,
    files: Vec<&'a str>,
    kind: &'static str,
    taken: Option<String>,
    blank: bool,
    blank_probability: Option<f64>,
    set: Option<u32>,
    view: Option<&'a str>,
    view_probability: Option<f64>,
    faults: &'a [String],
}

#[derive(Serialize)]
struct SetOut<'a> {
    number: u32,
    frames: Vec<&'a str>,
    checked: bool,
    short: usize,
    missing: Vec<String>,
    inadequate: Option<Vec<Inadequate>>,
}

#[derive(Serialize)]
struct Inadequate {
    view: String,
    reason: String,
}

#[derive(Serialize)]
struct QueryOut<'a> {
    kind: &'static str,
    frames: Vec<&'a str>,
    evidence: String,
    proposal: Option<&'a str>,
}

/// A file or folder of the card that is in no frame. Bytes of its name that are no text stand as U+FFFD.
#[derive(Serialize)]
struct SkippedOut<'a> {
    path: &'a str,
    reason: &'a str,
    /// The file of a frame that holds the same bytes, when that is why.
    #[serde(skip_serializing_if = "Option::is_none")]
    same_as: Option<&'a str>,
}

/// Writes a day as JSON, with a line break at its end.
pub(super) fn day(day: &Day) -> serde_json::Result<String> {
    let session = &day.session;
    let sets = session.sets.iter().flat_map(|set| set.frames.iter().map(|f| (*f, set.number)));
    let set_of: BTreeMap<FrameId, u32> = sets.collect();
    let whole = Whole {
        frames: session.frames.iter().map(|f| frame_out(day, f, set_of.get(&f.id).copied())).collect(),
        sets: session.sets.iter().map(|set| set_out(day, set)).collect(),
        queries: day.grouping.queries.iter().map(|q| query_out(session, q)).collect(),
        skipped: day.skipped.iter().map(skipped_out).collect(),
        bytes_read: day.bytes_read,
        bytes_on_card: day.bytes_on_card,
    };
    serde_json::to_string_pretty(&whole).map(|text| text + "\n")
}

fn frame_out<'a>(day: &'a Day, frame: &'a Frame, set: Option<u32>) -> FrameOut<'a> {
    let session = &day.session;
    let kind = session.kind(frame);
    let confirmed = session.decisions.labels.get(&frame.id);
    let proposed = day.grouping.views.get(&frame.id).filter(|p| p.prob >= PROPOSE_FROM);
    let (view, view_prob) = match (confirmed, proposed) {
        (Some(label), _) => (Some(label.view.as_str()), Some(1.0)),
        (None, Some(p)) => (Some(p.view.as_str()), Some(rounded(p.prob))),
        (None, None) => (None, None),
    };
    FrameOut {
        path: frame.path(),
        files: frame.files.iter().map(|f| f.path.as_str()).collect(),
        kind: kind.word(),
        taken: frame.taken.map(|t| t.to_string()),
        blank: kind == FrameKind::Blank,
        blank_probability: frame.blank.as_ref().map(|b| rounded(b.prob)),
        set,
        view,
        view_probability: view_prob,
        faults: &frame.faults,
    }
}

fn set_out<'a>(day: &'a Day, set: &record::Set) -> SetOut<'a> {
    let coverage = coverage(&day.session, &day.grouping, set);
    SetOut {
        number: set.number,
        frames: paths(&day.session, &set.frames),
        checked: coverage.checked,
        short: coverage.short,
        missing: coverage.missing.iter().map(ToString::to_string).collect(),
        inadequate: coverage.inadequate.map(|views| {
            views.into_iter().map(|(view, reason)| Inadequate { view: view.to_string(), reason }).collect()
        }),
    }
}

fn skipped_out(skipped: &Skipped) -> SkippedOut<'_> {
    SkippedOut { path: &skipped.path, reason: &skipped.reason, same_as: skipped.same_as.as_deref() }
}

fn query_out<'a>(session: &'a Session, query: &'a grouping::Query) -> QueryOut<'a> {
    QueryOut {
        kind: query.kind.word(),
        frames: paths(session, &query.frames),
        evidence: format!("{} {}", query.question, query.evidence),
        proposal: query.answers.first().map(|a| a.words.as_str()),
    }
}

fn paths<'a>(session: &'a Session, frames: &[FrameId]) -> Vec<&'a str> {
    frames.iter().filter_map(|f| session.frame(*f)).map(Frame::path).collect()
}

/// To four decimals, as a probability estimated here deserves no more.
fn rounded(prob: f32) -> f64 {
    (f64::from(prob) * 1e4).round() / 1e4
}

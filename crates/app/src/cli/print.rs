//! What a day looks like in a terminal: sets, retake list, queries, faults, what was skipped.

use std::fmt::Write as _;
use std::io::Write as _;

use grouping::{SlotState, coverage, retake_list};
use record::{FrameKind, Session, Set, TimeSource, shown};

use crate::cautions::cautions;
use crate::day::Day;

/// Prints results to standard output. A closed pipe ends the output, not the work.
pub(super) fn result(text: &str) {
    let mut out = std::io::stdout().lock();
    if out.write_all(text.as_bytes()).and_then(|()| out.flush()).is_err() {
        // Nobody reads on; there is nowhere to say so.
    }
}

/// Says something beside the results, on standard error.
#[expect(clippy::print_stderr, reason = "the one place that talks to the person at the terminal")]
pub(super) fn note(words: &str) {
    eprintln!("{words}");
}

/// Everything a person wants to know of a day.
pub(super) fn day(day: &Day) -> String {
    let mut text = String::new();
    head(day, &mut text);
    sets(day, &mut text);
    retakes(day, &mut text);
    queries(day, &mut text);
    faults(day, &mut text);
    skipped(day, &mut text);
    text
}

/// Writing to a `String` cannot fail, so a line is simply added.
macro_rules! line {
    ($text:expr, $($words:tt)*) => { writeln!($text, $($words)*).expect("a string takes any text") };
}

fn head(day: &Day, text: &mut String) {
    let session = &day.session;
    let count = |kind| session.frames.iter().filter(|f| session.kind(f) == kind).count();
    let date = session.date().map_or("no date known".to_owned(), |d| d);
    let required = session.plan.required().count();
    line!(text, "{}, {date}", session.name);
    line!(
        text,
        "{} frames, {} blanks, {} sets. Plan: {}, {required} views required.",
        session.frames.len(),
        count(FrameKind::Blank),
        session.sets.len(),
        session.plan.name
    );
    let megabytes = |bytes: u64| bytes as f64 / 1e6;
    let (read, on_card) = (megabytes(day.bytes_read), megabytes(day.bytes_on_card));
    // A closer look reads some of it again.
    if read > on_card {
        line!(text, "Read {read:.1} MB.");
    } else {
        line!(text, "Read {read:.1} of {on_card:.1} MB.");
    }
}

fn sets(day: &Day, text: &mut String) {
    line!(text, "\nSets");
    for set in &day.session.sets {
        let files = set.frames.iter().filter_map(|f| day.session.frame(*f));
        let names: Vec<&str> = files.map(record::Frame::file_name).collect();
        let range = match names.as_slice() {
            [one] => (*one).to_owned(),
            [first, .., last] => format!("{first} to {last}"),
            [] => String::new(),
        };
        let frames = format!("{} frame{}", names.len(), if names.len() == 1 { "" } else { "s" });
        line!(
            text,
            "{:>4}  {frames:<10} {}  {}  {}",
            set.number,
            times(&day.session, set),
            shown(&range),
            state(day, set)
        );
    }
}

/// From when to when a set was shot.
fn times(session: &Session, set: &Set) -> String {
    let mut times = set.frames.iter().filter_map(|f| session.frame(*f)?.when());
    let Some(first) = times.next() else { return "no time known       ".to_owned() };
    let last = times.next_back().unwrap_or(first);
    format!("{} to {}", first.time_of_day(), last.time_of_day())
}

fn state(day: &Day, set: &Set) -> String {
    let coverage = coverage(&day.session, &day.grouping, set);
    let shown = |state| coverage.slots.iter().filter(|s| s.state == state).count();
    let (confirmed, proposed) = (shown(SlotState::Confirmed), shown(SlotState::Proposed));
    match (coverage.complete(), coverage.checked) {
        (true, _) => "complete".to_owned(),
        (_, true) => "incomplete".to_owned(),
        _ => {
            let poor = coverage.inadequate.map_or(0, |views| views.len());
            let poor = if poor == 0 { String::new() } else { format!(", {poor} not good enough") };
            format!("unchecked: {confirmed} views confirmed, {proposed} proposed{poor}")
        }
    }
}

fn retakes(day: &Day, text: &mut String) {
    let list = retake_list(&day.session, &day.grouping);
    line!(text, "\nRetake list");
    if list.is_empty() {
        line!(text, "      no animal is known to lack a view");
        return;
    }
    for retake in &list {
        let since = retake.since.map_or("no time known".to_owned(), |t| format!("since {}", t.time_of_day()));
        let jar = if retake.jar.is_empty() { String::new() } else { format!(", jar {}", retake.jar) };
        line!(text, "{:>4}  {since:<15}  {}{jar}", retake.number, retake.words(&day.session.plan));
    }
    if let Some(care) = cautions().handling.get(1) {
        line!(text, "      {}", care.text);
    }
}

fn queries(day: &Day, text: &mut String) {
    if day.grouping.queries.is_empty() {
        return;
    }
    line!(text, "\nQueries");
    for query in &day.grouping.queries {
        line!(text, "      {} {}", shown(&query.question), shown(&query.evidence));
        if let Some(answer) = query.answers.first() {
            line!(text, "      Taken as: {}.", answer.words);
        }
    }
}

fn faults(day: &Day, text: &mut String) {
    let session = &day.session;
    let unsure = |source| source != TimeSource::Original;
    if session.frames.iter().all(|f| f.faults.is_empty() && !unsure(f.time_source)) {
        return;
    }
    line!(text, "\nFaults");
    for frame in &session.frames {
        for fault in &frame.faults {
            line!(text, "      {}: {}", shown(frame.path()), shown(fault));
        }
    }
    for source in [TimeSource::Digitized, TimeSource::Changed, TimeSource::File, TimeSource::Absent] {
        let frames: Vec<_> = session.frames.iter().filter(|f| f.time_source == source).collect();
        match frames.as_slice() {
            [] => {}
            [one] => line!(text, "      {}: {}", shown(one.path()), source.words()),
            [first, ..] => {
                let first = shown(first.path());
                line!(text, "      {} frames, from {first} on: {}", frames.len(), source.words());
            }
        }
    }
}

fn skipped(day: &Day, text: &mut String) {
    if day.skipped.is_empty() {
        return;
    }
    line!(text, "\nLeft on the card");
    let mut copies = day.skipped.iter().filter_map(|s| Some((&s.path, s.same_as.as_ref()?)));
    if let Some((path, same_as)) = copies.next() {
        let count = match copies.count() {
            0 => "1 copy, which is no frame of its own".to_owned(),
            more => format!("{} copies, which are no frames of their own; one of them", more + 1),
        };
        line!(text, "      {count}: {} holds the same as {}", shown(path), shown(same_as));
    }
    for skipped in day.skipped.iter().filter(|s| s.same_as.is_none()) {
        line!(text, "      {}: {}", shown(&skipped.path), skipped.reason);
    }
}

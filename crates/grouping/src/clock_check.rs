//! Whether the cameras' clocks agree with the computer's, asked before any time of holding is told.
//!
//! A camera is in doubt when its newest frame lies in the computer's future, or when the frame that arrived last was
//! taken, by its own clock, at another time than it arrived. A person who has decided about a camera's clock is not
//! asked again. A camera whose clock fell within the day stays in doubt, for no one correction is right before and after
//! the fall; it is asked about where clocks are brought together. The moment and the arrivals are arguments.

use std::collections::{BTreeMap, BTreeSet};

use record::{
    Answer, Body, CLOCK_SLACK_SECS, Edit, Frame, FrameId, Query, QueryKind, Session, Taken, seconds_until,
    shift_words,
};

use crate::Moment;

/// A frame that came while its folder was being watched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arrival {
    /// Which.
    pub frame: FrameId,
    /// When its file was noticed, by the computer.
    pub at: Taken,
}

/// Holds the cameras' clocks against the computer's. Gives the moment with those in doubt, and a query for each.
pub fn check_clocks(session: &Session, arrivals: &[Arrival], now: Taken) -> (Moment, Vec<Query>) {
    let mut moment = Moment { now, doubted: fallen(session) };
    let mut queries = Vec::new();
    for (body, newest) in newest_frames(session) {
        if session.decisions.clocks.contains_key(body) {
            continue;
        }
        let of_body = |a: &&Arrival| session.frame(a.frame).is_some_and(|f| f.by_camera() && f.body == *body);
        let late = arrivals.iter().rfind(of_body).and_then(|a| off_by(session.frame(a.frame)?, a.at));
        let query = match late {
            Some(off) => Some(ask(&off)),
            None => off_by(newest, now).filter(|off| off.secs < 0.0).map(|off| ask_of_future(&off)),
        };
        if let Some(query) = query {
            moment.doubted.insert(body.clone());
            queries.push(query);
        }
    }
    (moment, queries)
}

/// A fall smaller than this, in seconds, is none: frames of a burst may be numbered in another order than taken.
const FALL_SECS: f64 = 2.0;

/// Cameras whose clock falls from one of their frames to the next in the order of the day. Frames stand in such an order
/// only where their numbers say so against the clock.
fn fallen(session: &Session) -> BTreeSet<Body> {
    let mut last: BTreeMap<&Body, Taken> = BTreeMap::new();
    let mut fallen = BTreeSet::new();
    for frame in session.frames.iter().filter(|f| f.by_camera()) {
        let Some(when) = frame.when() else { continue };
        let before = last.insert(&frame.body, when);
        if before.is_some_and(|before| before.secs_since(&when) > FALL_SECS) {
            fallen.insert(frame.body.clone());
        }
    }
    fallen
}

/// A frame and by how much the computer's clock was ahead of it.
struct Off<'a> {
    frame: &'a Frame,
    taken: Taken,
    computer: Taken,
    /// Above the slack, or below its negative for a frame of the future.
    secs: f64,
}

/// The newest frame of each camera, by its clock as corrected by now. File times are the computer's own.
fn newest_frames(session: &Session) -> BTreeMap<&Body, &Frame> {
    let mut newest: BTreeMap<&Body, &Frame> = BTreeMap::new();
    for frame in session.frames.iter().filter(|f| f.by_camera() && f.when().is_some()) {
        let of_body = newest.entry(&frame.body).or_insert(frame);
        if frame.when() > of_body.when() {
            *of_body = frame;
        }
    }
    newest
}

/// By how much the computer's clock is off a frame's; `None` within the slack.
fn off_by(frame: &Frame, computer: Taken) -> Option<Off<'_>> {
    let secs = seconds_until(frame.when()?, computer);
    let off = Off { frame, taken: frame.taken?, computer, secs };
    (secs.abs() > CLOCK_SLACK_SECS).then_some(off)
}

fn ask(off: &Off<'_>) -> Query {
    let body = &off.frame.body;
    let (fast, leave) = if off.secs < 0.0 {
        ("fast", "Leave the clock alone: this computer's is wrong")
    } else {
        ("slow", "The clock is right: the pictures came late")
    };
    let whole = seconds_until(off.taken, off.computer).round();
    let correct = Answer {
        words: format!("The clock is {} {fast}: correct it", shift_words(whole)),
        edit: Edit::Clock(body.clone(), Some(whole)),
    };
    query(off, "arrived", vec![correct, leave_alone(body, leave)])
}

/// How far off the clock is cannot be said of a frame that did not just arrive.
fn ask_of_future(off: &Off<'_>) -> Query {
    query(
        off,
        "was there",
        vec![leave_alone(&off.frame.body, "Leave the clock alone: this computer's is wrong")],
    )
}

fn leave_alone(body: &Body, words: &str) -> Answer {
    Answer { words: words.to_owned(), edit: Edit::Clock(body.clone(), Some(0.0)) }
}

fn query(off: &Off<'_>, came: &str, answers: Vec<Answer>) -> Query {
    let date =
        |of: Taken| if off.taken.date() == off.computer.date() { String::new() } else { of.date() + " " };
    let side = if off.secs < 0.0 { "ahead of" } else { "behind" };
    Query {
        kind: QueryKind::ClockSuspicious,
        frames: vec![off.frame.id],
        question: format!("Is the clock of {} right?", off.frame.body.words()),
        evidence: format!(
            "{} says {}{} and {came} at {}{} by this computer: the camera is {} {side} it. Until this is answered no time of \
             holding is told for its animals.",
            off.frame.file_name(),
            date(off.taken),
            off.taken.time_of_day(),
            date(off.computer),
            off.computer.time_of_day(),
            shift_words(off.secs.round())
        ),
        answers,
    }
}

#[cfg(test)]
mod tests {
    use record::TimeSource;

    use super::*;
    use crate::group::tests::day;

    /// Frames at 9:00:00 and 9:00:10; what is asked at `now` when the second arrived at `arrived`.
    fn asked(session: &Session, arrived: Option<&str>, now: &str) -> Vec<Query> {
        let time = |t: &str| format!("2026-06-14T{t}").parse().unwrap();
        let arrivals: Vec<Arrival> =
            arrived.map(|at| Arrival { frame: FrameId(1), at: time(at) }).into_iter().collect();
        let (moment, queries) = check_clocks(session, &arrivals, time(now));
        assert_eq!(moment.doubted.len(), queries.len());
        queries
    }

    #[test]
    fn clocks_that_agree_raise_nothing() {
        let mut session = day("ff");
        assert_eq!(asked(&session, None, "08:58:30"), []);
        assert_eq!(asked(&session, None, "11:00:00"), [], "read later");
        assert_eq!(asked(&session, Some("09:02:09"), "09:02:10"), []);
        session.frames[1].time_source = TimeSource::File;
        assert_eq!(
            asked(&session, Some("11:00:00"), "11:00:00"),
            [],
            "the file's time is the computer's own"
        );
        assert_eq!(asked(&day(""), None, "09:00:00"), []);
    }

    #[test]
    fn a_clock_that_is_off_is_asked_about_until_decided() {
        let mut session = day("ff");
        let queries = asked(&session, Some("10:00:12"), "10:00:13");
        assert_eq!(queries[0].question, "Is the clock of a camera without a name right?");
        assert!(
            queries[0].evidence.starts_with(
                "F001.JPG says 09:00:10 and arrived at 10:00:12 by this computer: the camera is 1 h 2 s behind it."
            ),
            "{}",
            queries[0].evidence
        );
        let words: Vec<&str> = queries[0].answers.iter().map(|a| a.words.as_str()).collect();
        assert_eq!(
            words,
            ["The clock is 1 h 2 s slow: correct it", "The clock is right: the pictures came late"]
        );
        for answer in &queries[0].answers {
            let undo = session.apply(&answer.edit).unwrap();
            assert_eq!(asked(&session, Some("10:00:12"), "10:00:13"), []);
            session.apply(&undo).unwrap();
        }
        let fast = asked(&session, Some("08:00:10"), "08:00:13");
        assert_eq!(fast[0].answers[0].words, "The clock is 1 h fast: correct it");
        assert_eq!(fast[0].answers[0].edit, Edit::Clock(Body::default(), Some(-3600.0)));
    }

    #[test]
    fn no_time_of_holding_rests_on_a_clock_that_fell() {
        let mut session = day("ff_ff_");
        let grouping = crate::regroup(&mut session);
        let now = "2026-06-14T09:05:00".parse().unwrap();
        let known = |session: &Session| {
            let (moment, queries) = check_clocks(session, &[], now);
            assert_eq!(queries, [], "it is asked about with the other clocks");
            let list = crate::held_list(session, &grouping, &moment);
            list.iter().filter(|held| held.holding.is_some()).count()
        };
        assert_eq!(known(&session), 2);
        // The battery was changed after the first set; numbers give the order. All else is within twelve hours.
        for frame in &mut session.frames[3..] {
            frame.taken = frame.taken.unwrap().shifted(-3600.0);
        }
        assert_eq!(known(&session), 0);
        session.decisions.clocks.insert(Body::default(), 0.0);
        assert_eq!(known(&session), 0, "one correction cannot be right on both sides");
        for frame in &mut session.frames[3..] {
            frame.taken = frame.taken.unwrap().shifted(3600.0 - 42.0);
        }
        assert_eq!(known(&session), 2, "a fall of two seconds is a burst");
    }

    #[test]
    fn a_frame_of_the_future_is_asked_about_also_when_it_was_there_before() {
        let queries = asked(&day("ff"), None, "08:50:00");
        assert_eq!(queries[0].answers.len(), 1);
        assert!(
            queries[0].evidence.contains("the camera is 10 min 10 s ahead of it"),
            "{}",
            queries[0].evidence
        );
    }
}

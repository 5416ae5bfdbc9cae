//! Works a session out: blanks, clocks, sets and queries, in the order in which they rest on each other.
//!
//! In goes a session with what is known beside it; frames get their verdicts and moments in place, the rest comes out.
//! It reads no clock and no disk; `day` does.

use std::collections::{BTreeMap, BTreeSet};
use std::time::SystemTime;

use grouping::{Arrival, Grouping};
use import::{BlankLine, BodyClock};
use record::{Body, Frame, LearnedViews, Query, QueryKind, Session, Taken};

/// What is worked out of a session.
pub(crate) struct Arranged {
    pub(crate) line: BlankLine,
    pub(crate) grouping: Grouping,
    pub(crate) clocks: Vec<BodyClock>,
    pub(crate) doubted: BTreeSet<Body>,
}

/// Blanks first, then the clocks of the bodies, which are told by how frames and blanks interleave, then sets.
pub(crate) fn arrange(
    session: &mut Session,
    learned: &LearnedViews,
    came: &BTreeMap<String, SystemTime>,
    now: Option<Taken>,
) -> Arranged {
    let line = import::judge_blanks(&mut session.frames, session.decisions.blank_line);
    let by_cameras = now.map(|now| in_their_zone(session, now).local());
    let clocks = import::set_clocks(&mut session.frames, &session.decisions, by_cameras);
    let mut grouping = grouping::regroup_with(session, learned);
    let checked = now.map(|now| grouping::check_clocks(session, &arrivals(session, came), now));
    let (moment, by_computer) = checked.unzip();
    let queries = once_a_body(session, clocks.queries, by_computer.unwrap_or_default());
    grouping.queries.extend(queries);
    Arranged { line, grouping, clocks: clocks.bodies, doubted: moment.map(|m| m.doubted).unwrap_or_default() }
}

/// The computer's time as the cameras' clocks would say it, as far as they say their zone.
fn in_their_zone(session: &Session, now: Taken) -> Taken {
    let zone = session.frames.iter().find_map(|f| f.when()?.offset_min());
    zone.map_or(now, |zone| now.in_zone(zone))
}

/// Arrivals of the frames that are still there.
fn arrivals(session: &Session, came: &BTreeMap<String, SystemTime>) -> Vec<Arrival> {
    let of = |f: &Frame| Some(Arrival { frame: f.id, at: local(*came.get(f.path())?)? });
    let mut arrivals: Vec<Arrival> = session.frames.iter().filter_map(of).collect();
    arrivals.sort_by_key(|a| a.at);
    arrivals
}

/// A camera's clock may be doubted by its day and by the computer. Of two such queries the one that can be answered in
/// more ways is asked, or else the computer's.
fn once_a_body(session: &Session, by_day: Vec<Query>, by_computer: Vec<Query>) -> Vec<Query> {
    let body = |q: &Query| q.frames.first().and_then(|f| session.frame(*f)).map(|f| &f.body);
    let mut queries = by_day;
    for query in by_computer {
        let same = |q: &&mut Query| q.kind == QueryKind::ClockSuspicious && body(q) == body(&query);
        match queries.iter_mut().find(same) {
            Some(asked) if asked.answers.len() > query.answers.len() => {}
            Some(asked) => *asked = query,
            None => queries.push(query),
        }
    }
    queries
}

/// A moment in the computer's zone.
pub(crate) fn local(moment: SystemTime) -> Option<Taken> {
    let moment = jiff::Timestamp::try_from(moment).ok()?;
    let zone = jiff::tz::TimeZone::system();
    let offset_min = i16::try_from(zone.to_offset(moment).seconds() / 60).ok();
    Some(Taken::new(zone.to_datetime(moment), "", offset_min))
}

//! What is doubtful about the clocks, as queries with evidence and answers.
//!
//! A body whose clock a person decided about is not asked about again. Every answer is a decision about a clock, so that
//! answering takes the query away; the first answer is what was done.

use std::collections::BTreeMap;

use jiff::civil::DateTime;
use record::{
    Answer, Body, Decisions, Edit, Frame, FrameId, FrameKind, Query, QueryKind, Taken, shift_words,
};

use super::{Bodies, ClockSource, Settled, Zones};
use crate::order::{Fall, follows};

/// All that queries are made from. Frames have their moment on the common clock and are in no order.
pub(crate) struct Known<'a> {
    pub(crate) frames: &'a [Frame],
    pub(crate) bodies: &'a Bodies,
    pub(crate) zones: &'a Zones,
    pub(crate) settled: &'a [Settled],
    pub(crate) falls: &'a [Fall],
    pub(crate) decisions: &'a Decisions,
    pub(crate) now: Option<DateTime>,
}

/// No camera wrote cards by the DCF rule before its first edition (JEIDA-49-2-1998): an earlier time is a clock that
/// was never set.
const FIRST_YEAR: i16 = 1998;
/// How far ahead of the computer a camera may be without being asked about: such clocks drift by minutes, in seconds.
const AHEAD_SECS: f64 = 300.0;
/// A step of summer time, in seconds; the longest pause between two frames that is taken for one with it.
const HOUR_SECS: f64 = 3600.0;
const STEP_BACK_PAUSE_SECS: f64 = 600.0;
/// A step ahead looks like a pause of an hour, so it must be an hour to within half a minute.
const STEP_AHEAD_PAUSE_SECS: f64 = 30.0;
/// Clocks left as they are are asked about when that is less probable than this.
const SURE_ENOUGH: f64 = 0.75;

/// The queries, body by body.
pub(crate) fn queries(known: &Known<'_>) -> Vec<Query> {
    let first = super::first_frames(known.frames, &known.bodies.of);
    let mut queries = vec![];
    for body in 0..known.bodies.list.len() {
        let Some(frame) = first.get(&body) else { continue };
        if known.settled[body].source == ClockSource::ByHand {
            continue;
        }
        let doubts = Doubts { known, body, first: *frame };
        queries.extend(doubts.shift(&first));
        queries.extend(doubts.suspicious());
        queries.extend(doubts.fall());
        queries.extend(doubts.step_ahead());
        queries.extend(doubts.zones());
    }
    queries
}

/// Whether a clock was never set, by the first of these frames of its body: it lies before [`FIRST_YEAR`], or on a
/// 1 January that is not of this year. Clocks start on the first of January of a year that their maker chose, and
/// reach no further in the day on which the battery was put in.
pub(crate) fn never_set<'a>(frames: impl Iterator<Item = &'a Frame>, now: Option<DateTime>) -> bool {
    let Some(first) = frames.filter(|f| f.by_camera()).filter_map(|f| f.taken).min() else { return false };
    let day = first.local().date();
    let first_of_year = (day.month(), day.day()) == (1, 1);
    day.year() < FIRST_YEAR || first_of_year && now.is_none_or(|n| n.year() != day.year())
}

struct Doubts<'a> {
    known: &'a Known<'a>,
    body: usize,
    first: FrameId,
}

impl Doubts<'_> {
    fn name(&self) -> String {
        self.known.bodies.list[self.body].words()
    }

    fn settled(&self) -> &Settled {
        &self.known.settled[self.body]
    }

    fn frames(&self) -> impl Iterator<Item = &Frame> {
        let own = self.known.frames.iter().zip(&self.known.bodies.of).filter(|(_, b)| **b == self.body);
        own.map(|(frame, _)| frame).filter(|f| f.by_camera())
    }

    fn answer(&self, words: impl Into<String>, secs: f64) -> Answer {
        let body: &Body = &self.known.bodies.list[self.body];
        Answer { words: words.into(), edit: Edit::Clock(body.clone(), Some(secs)) }
    }

    /// Decides for what was done.
    fn keep(&self, words: &str) -> Answer {
        self.answer(words, self.settled().shift_secs)
    }

    /// Asks about a shift that was estimated, used or not.
    fn shift(&self, first: &BTreeMap<usize, FrameId>) -> Option<Query> {
        let estimate = self.settled().estimate?;
        let used = matches!(self.settled().source, ClockSource::Estimated { .. });
        let as_set = self.known.zones.between_secs(self.body);
        let stays = estimate.shift_secs == 0.0;
        let proposed = if stays { estimate.next } else { Some((estimate.shift_secs, estimate.fit)) };
        let proposed = proposed.filter(|(_, fit)| fit.shared > 1).map(|(secs, _)| secs);
        // Frames that nothing closes stand apart, where by another clock they would share sets.
        let apart = estimate.alone.shared == 0 && estimate.alone.apart > 0 && proposed.is_some();
        if stays && estimate.confidence >= SURE_ENOUGH && !apart {
            return None;
        }
        let off = |secs: f64| format!("{} {}", shift_words(secs), if secs < 0.0 { "fast" } else { "slow" });
        let others: Vec<&Body> = (0..self.known.bodies.list.len())
            .filter(|b| *b != self.body && first.contains_key(b))
            .map(|b| &self.known.bodies.list[b])
            .collect();
        let others = match others[..] {
            [one] => one.words(),
            _ => "the other cameras".to_owned(),
        };
        let alone = self.answer("Leave the clock alone", as_set);
        let take = proposed.map(|secs| self.answer(format!("It was {}", off(secs)), as_set + secs));
        let (question, evidence, answers) = if used {
            let secs = estimate.shift_secs;
            let question = format!("Was the clock of {} {}?", self.name(), off(secs));
            let evidence = format!(
                "Then {} hold frames of it and of {others}; by the clocks as they are it would be {}. This is an estimate \
                 from how the frames lie between the blanks, {:.0} % sure, and is used until you decide.",
                sets(estimate.fit.shared),
                sets(estimate.alone.shared),
                (100.0 * estimate.confidence).min(99.0)
            );
            (question, evidence, take.into_iter().chain([alone]).collect())
        } else {
            let question = format!("Do the clocks of {} and {others} agree?", self.name());
            let likeliest = proposed
                .map_or(String::new(), |secs| format!(" If they do not, it was likeliest {}.", off(secs)));
            let evidence = format!(
                "How their frames lie between the blanks does not say it clearly, so the clocks are left alone.{likeliest} A \
                 frame of each that shows the same scene settles it."
            );
            (question, evidence, [alone].into_iter().chain(take).collect())
        };
        let other = first.iter().find(|(body, _)| **body != self.body).map(|(_, frame)| *frame);
        let frames = [self.first].into_iter().chain(other).collect();
        Some(Query { kind: QueryKind::ClockShift, frames, question, evidence, answers })
    }

    /// Asks about a clock that was never set, or that is ahead of the computer's.
    fn suspicious(&self) -> Option<Query> {
        if matches!(self.settled().source, ClockSource::Estimated { .. }) {
            return None;
        }
        let first = self.frames().min_by_key(|f| f.when())?;
        let last = self.frames().max_by_key(|f| f.when())?;
        let (first_at, last_at) = (first.when()?, last.when()?);
        let now = self.known.now;
        let ahead = now.map_or(0.0, |n| last_at.local().duration_since(n).as_secs_f64());
        let (frame, question, evidence) = if never_set(self.frames(), now) {
            let evidence = format!(
                "{} says {} {}. Clocks that were never set, or lost their battery, start on the first of January of some \
                 year. Its times are used as they are until you decide.",
                first.file_name(),
                first_at.date(),
                first_at.time_of_day()
            );
            (first, format!("Was the clock of {} ever set?", self.name()), evidence)
        } else if ahead > AHEAD_SECS {
            let evidence = format!(
                "{} says {} {}, which is {} ahead of this computer. Its times are used as they are until you decide.",
                last.file_name(),
                last_at.date(),
                last_at.time_of_day(),
                shift_words(ahead.round())
            );
            (last, format!("Is the clock of {} right?", self.name()), evidence)
        } else {
            return None;
        };
        let mut answers = vec![self.keep("Leave the clock alone")];
        if let Some(now) = now {
            let secs = now.duration_since(last_at.local()).as_secs_f64().round();
            answers.push(self.answer("Its last frame was taken just now", self.settled().shift_secs + secs));
        }
        Some(Query { kind: QueryKind::ClockSuspicious, frames: vec![frame.id], question, evidence, answers })
    }

    /// Tells of places where the clock fell while the numbers went on.
    fn fall(&self) -> Option<Query> {
        let mut falls: Vec<&Fall> =
            self.known.falls.iter().filter(|f| self.known.bodies.of[f.before] == self.body).collect();
        falls.sort_by(|a, b| b.secs.total_cmp(&a.secs));
        let most = *falls.first()?;
        let (before, after) = (&self.known.frames[most.before], &self.known.frames[most.after]);
        let step = (HOUR_SECS - STEP_BACK_PAUSE_SECS..=HOUR_SECS + 2.0).contains(&most.secs);
        let why = match (step, falls.len()) {
            (true, _) => " About an hour: the end of summer time looks like this.",
            (_, 1) => " A changed battery or a clock that was set looks like this.",
            _ => " It falls in other places too.",
        };
        Some(Query {
            kind: QueryKind::ClockJump,
            frames: vec![before.id, after.id],
            question: format!("Did the clock of {} jump back?", self.name()),
            evidence: format!(
                "From {} to {} it falls by {}, while the numbers go on.{why} Its frames stand in the order of their numbers. \
                 The times on one side are wrong and how long the pause was is not known, so no time of holding is told \
                 for its animals.",
                before.file_name(),
                after.file_name(),
                shift_words(most.secs.round()),
            ),
            answers: vec![self.keep("Keep the order of the numbers")],
        })
    }

    /// Asks about an hour that passed inside a set between two numbers, to the half minute.
    fn step_ahead(&self) -> Option<Query> {
        let mut frames: Vec<&Frame> = self.frames().collect();
        frames.sort_by_key(|f| f.when());
        let blank = |f: &Frame| self.known.decisions.kind(f) == FrameKind::Blank;
        let step = frames.windows(2).find(|pair| {
            let gap = pair[1].when().zip(pair[0].when()).map_or(0.0, |(b, a)| b.secs_since(&a));
            let hour = (HOUR_SECS..=HOUR_SECS + STEP_AHEAD_PAUSE_SECS).contains(&gap);
            hour && follows(pair[0], pair[1]) && !pair.iter().any(|f| blank(f))
        })?;
        Some(Query {
            kind: QueryKind::ClockJump,
            frames: vec![step[0].id, step[1].id],
            question: format!("Did the clock of {} jump ahead by an hour?", self.name()),
            evidence: format!(
                "From {} to {} it says that an hour passed, to within half a minute, and no blank lies between. The start \
                 of summer time looks like this. The order is the same either way.",
                step[0].file_name(),
                step[1].file_name()
            ),
            answers: vec![self.keep("Keep the times")],
        })
    }

    /// Tells of a body whose zone changed within the day.
    fn zones(&self) -> Option<Query> {
        let mut frames: Vec<(Taken, &Frame)> = self.frames().filter_map(|f| Some((f.when()?, f))).collect();
        frames.retain(|(_, f)| f.taken.is_some_and(|t| t.offset_min().is_some()));
        frames.sort_by_key(|(when, _)| *when);
        let offset = |f: &Frame| f.taken.and_then(|t| t.offset_min());
        let pair = frames.windows(2).find(|pair| offset(pair[0].1) != offset(pair[1].1))?;
        let (before, after) = (pair[0].1, pair[1].1);
        Some(Query {
            kind: QueryKind::ClockJump,
            frames: vec![before.id, after.id],
            question: format!("Did {} change its zone?", self.name()),
            evidence: format!(
                "{} says {} from UTC and {} says {}. A journey or a step of summer time looks like this. Frames that say their \
                 zone are ordered by UTC.",
                before.file_name(),
                zone_words(offset(before)),
                after.file_name(),
                zone_words(offset(after)),
            ),
            answers: vec![self.keep("Keep this order")],
        })
    }
}

fn sets(count: usize) -> String {
    match count {
        1 => "1 set".to_owned(),
        n => format!("{n} sets"),
    }
}

fn zone_words(offset_min: Option<i16>) -> String {
    let min = offset_min.unwrap_or(0);
    format!("{}{:02}:{:02}", if min < 0 { '-' } else { '+' }, min.abs() / 60, min.abs() % 60)
}

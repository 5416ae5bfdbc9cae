//! The clocks of the bodies: each frame's moment on one common clock, and the order of the day by it.
//!
//! A body's clock is corrected by what a person decided; without that by what its zone says, and where several bodies
//! were used, by an estimate from how their frames interleave. Frames get [`Frame::at`]; [`Frame::taken`] stays what the
//! body said, and no file is touched. What is doubtful about a clock comes back as queries. The present moment is an
//! argument.

mod bodies;
mod doubts;
mod estimate;
mod fit;
mod zones;

use std::collections::BTreeMap;

use jiff::civil::DateTime;
use record::{Body, Decisions, Frame, FrameId, FrameKind, Query};

pub(crate) use bodies::Bodies;
use estimate::Estimate;
use fit::Event;
use zones::Zones;

use crate::order;

/// What was done about the clocks of a day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Clocks {
    /// The bodies, in their own order; one without any name stands for frames whose body is not known.
    pub bodies: Vec<BodyClock>,
    /// What a person should decide or know.
    pub queries: Vec<Query>,
}

/// One body's clock.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyClock {
    /// The body.
    pub body: Body,
    /// How many frames are of it.
    pub frames: usize,
    /// Seconds added to what it said; negative for a clock that was fast. With [`ClockSource::AsSet`] this is the
    /// difference of the zones that the bodies themselves recorded, nearly always 0.
    pub shift_secs: f64,
    /// Where the shift is from.
    pub source: ClockSource,
}

/// Where the correction of a clock is from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClockSource {
    /// A person decided it.
    ByHand,
    /// From how the frames of several bodies interleave.
    Estimated {
        /// Probability that it is right, 0..=1; at least [`SURE`].
        confidence: f64,
    },
    /// None was needed or found.
    AsSet,
}

/// An estimate is used from this probability on; below, it is only asked about.
pub const SURE: f64 = 0.9;
/// An estimate is used only when so many sets hold frames of both bodies.
const SHARED_SETS: usize = 3;

/// Works out the common clock, gives each frame its moment on it, and puts the frames in order. Ids stay.
///
/// `now` is the local time of the computer, when clocks ahead of it are to be asked about. Without frames there are no
/// bodies and no queries.
pub fn set_clocks(frames: &mut [Frame], decisions: &Decisions, now: Option<DateTime>) -> Clocks {
    let bodies = Bodies::of(frames);
    let zones = Zones::of(frames, &bodies);
    let mut day = Day { frames, bodies: &bodies, zones: &zones, decisions, now };
    let settled = day.settle();
    day.apply(&settled);
    let falls = order::falls(frames, &bodies.of);
    let queries = doubts::queries(&doubts::Known {
        frames,
        bodies: &bodies,
        zones: &zones,
        settled: &settled,
        falls: &falls,
        decisions,
        now,
    });
    let counted = bodies.list.iter().zip(0..).map(|(body, at)| BodyClock {
        body: body.clone(),
        frames: bodies.of.iter().filter(|of| **of == at).count(),
        shift_secs: settled[at].shift_secs,
        source: settled[at].source,
    });
    let clocks = Clocks { bodies: counted.collect(), queries };
    order::sort(frames, &bodies.of);
    clocks
}

/// Orders frames just read by their clocks alone and numbers them from 0.
pub(crate) fn arrange(frames: &mut [Frame]) {
    set_clocks(frames, &Decisions::default(), None);
    for (frame, id) in frames.iter_mut().zip(0..) {
        frame.id = FrameId(id);
    }
}

/// A body's shift, and what was found on the way to it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Settled {
    shift_secs: f64,
    source: ClockSource,
    /// Found against the bodies settled before; whether used or not.
    estimate: Option<Estimate>,
}

struct Day<'a> {
    frames: &'a mut [Frame],
    bodies: &'a Bodies,
    zones: &'a Zones,
    decisions: &'a Decisions,
    now: Option<DateTime>,
}

impl Day<'_> {
    /// Settles the clock of each body: those decided, and the one with most blanks as it is; then the others against
    /// all that are settled, the surest first.
    fn settle(&self) -> Vec<Settled> {
        let as_set = |body: usize| {
            let by_hand = self.decided(body);
            let source = if by_hand.is_some() { ClockSource::ByHand } else { ClockSource::AsSet };
            let shift_secs = by_hand.unwrap_or(self.zones.between_secs(body));
            Settled { shift_secs, source, estimate: None }
        };
        let mut settled: Vec<Settled> = (0..self.bodies.list.len()).map(as_set).collect();
        let events: Vec<Vec<Event>> =
            (0..settled.len()).map(|b| self.events(b, settled[b].shift_secs)).collect();
        let falls = order::falls(self.frames, &self.bodies.of);
        let mut waiting: Vec<usize> =
            (0..settled.len()).filter(|b| self.may_be_estimated(*b, &settled, &falls)).collect();
        let blanks = |b: &usize| events[*b].iter().filter(|e| e.blank).count();
        waiting.sort_by_key(|b| std::cmp::Reverse((blanks(b), events[*b].len())));
        let by_hand = |b: &usize| settled[*b].source == ClockSource::ByHand;
        let mut placed: Vec<usize> = (0..settled.len()).filter(by_hand).collect();
        // One body stands as it is, for what was decided about others was decided against it.
        let first = (!waiting.is_empty()).then(|| waiting.remove(0));
        placed.extend(first);
        let mut known: Vec<Event> = placed.iter().flat_map(|b| events[*b].clone()).collect();
        while !waiting.is_empty() {
            known.sort_by(|a, b| a.secs.total_cmp(&b.secs));
            let trusted = |body: usize| !self.never_set(body) && !first.is_some_and(|f| self.never_set(f));
            let related = waiting.iter().map(|b| relate(&known, &events[*b], trusted(*b)));
            // The surest comes first: it helps to place the others.
            let sure =
                |e: &Option<Estimate>| e.map_or(-1.0, |e| e.confidence + f64::from(u8::from(is_usable(&e))));
            let surest =
                related.enumerate().max_by(|a, b| sure(&a.1).total_cmp(&sure(&b.1)).then(b.0.cmp(&a.0)));
            let Some((at, Some(estimate))) = surest else { break };
            let body = waiting.remove(at);
            let shift = if is_usable(&estimate) { estimate.shift_secs } else { 0.0 };
            settled[body].estimate = Some(estimate);
            if shift != 0.0 {
                settled[body].shift_secs += shift;
                settled[body].source = ClockSource::Estimated { confidence: estimate.confidence };
            }
            known.extend(events[body].iter().map(|e| Event { secs: e.secs + shift, ..*e }));
        }
        self.believe_a_set_clock(first, &mut settled);
        settled
    }

    /// Frames without any name may be of several bodies, and a clock that fell is no one clock.
    fn may_be_estimated(&self, body: usize, settled: &[Settled], falls: &[order::Fall]) -> bool {
        self.bodies.list[body] != Body::default()
            && settled[body].source == ClockSource::AsSet
            && !falls.iter().any(|f| self.bodies.of[f.before] == body)
    }

    /// Where the body that the others were held against was never set and another was, that other's clock stands.
    fn believe_a_set_clock(&self, first: Option<usize>, settled: &mut [Settled]) {
        let Some(first) = first else { return };
        if self.bodies.list.iter().any(|b| self.decisions.clocks.contains_key(b)) {
            return;
        }
        let moved: Vec<usize> = (0..settled.len())
            .filter(|b| matches!(settled[*b].source, ClockSource::Estimated { .. }))
            .collect();
        let Some(right) = moved.iter().find(|b| !self.never_set(**b)).filter(|_| self.never_set(first))
        else {
            return;
        };
        let (by, right) = (settled[*right].shift_secs - self.zones.between_secs(*right), *right);
        let (estimate, source) = (settled[right].estimate, settled[right].source);
        for body in moved {
            settled[body].shift_secs -= by;
        }
        settled[right] = Settled {
            shift_secs: self.zones.between_secs(right),
            source: ClockSource::AsSet,
            estimate: None,
        };
        settled[first] = Settled {
            shift_secs: settled[first].shift_secs - by,
            source,
            estimate: estimate.map(Estimate::turned),
        };
    }

    /// What a person decided, of the body or of a frame that goes with it.
    fn decided(&self, body: usize) -> Option<f64> {
        let clocks = &self.decisions.clocks;
        let own = || self.frames.iter().zip(&self.bodies.of).filter(|(_, b)| **b == body);
        let of_frames = || own().find_map(|(frame, _)| clocks.get(&frame.body));
        clocks.get(&self.bodies.list[body]).or_else(of_frames).copied()
    }

    fn never_set(&self, body: usize) -> bool {
        let own = self.frames.iter().zip(&self.bodies.of).filter(|(_, b)| **b == body);
        doubts::never_set(own.map(|(frame, _)| frame), self.now)
    }

    /// A body's exposures that are specimens or blanks, in order of time.
    fn events(&self, body: usize, shift_secs: f64) -> Vec<Event> {
        let own = self.frames.iter().zip(&self.bodies.of).filter(|(f, b)| **b == body && f.by_camera());
        let mut events: Vec<Event> = own
            .filter_map(|(frame, _)| {
                let blank = match self.decisions.kind(frame) {
                    FrameKind::Specimen => false,
                    FrameKind::Blank => true,
                    FrameKind::Reference | FrameKind::SetAside => return None,
                };
                let local = self.zones.of_body(body, frame.taken?).local();
                let secs = local.duration_since(DateTime::constant(2000, 1, 1, 0, 0, 0, 0)).as_secs_f64();
                Some(Event { secs: secs + shift_secs, blank })
            })
            .collect();
        events.sort_by(|a, b| a.secs.total_cmp(&b.secs));
        events
    }

    fn apply(&mut self, settled: &[Settled]) {
        for (frame, body) in self.frames.iter_mut().zip(&self.bodies.of) {
            let by_camera = frame.by_camera();
            let common = |taken| self.zones.common(*body, taken, settled[*body].shift_secs);
            frame.at =
                frame.taken.filter(|_| by_camera).and_then(common).filter(|at| Some(*at) != frame.taken);
        }
    }
}

/// Estimates the shift of `own`; the one with more blanks is held still for it.
fn relate(known: &[Event], own: &[Event], trusted: bool) -> Option<Estimate> {
    let blanks = |events: &[Event]| events.iter().filter(|e| e.blank).count();
    if blanks(known) >= blanks(own) {
        estimate::estimate(known, own, trusted)
    } else {
        estimate::estimate(own, known, trusted).map(Estimate::turned)
    }
}

/// Whether an estimate is sure, and rests on sets of both bodies and not on a few of many.
fn is_usable(estimate: &Estimate) -> bool {
    let fit = &estimate.fit;
    estimate.confidence >= SURE && fit.shared >= SHARED_SETS && fit.shared >= fit.own_alone
}

/// Frames of each body that a query can point at.
fn first_frames(frames: &[Frame], body_of: &[usize]) -> BTreeMap<usize, FrameId> {
    let mut first: BTreeMap<usize, &Frame> = BTreeMap::new();
    for (frame, body) in frames.iter().zip(body_of).filter(|(f, _)| f.by_camera()) {
        let of_body = first.entry(*body).or_insert(frame);
        if frame.when() < of_body.when() {
            *of_body = frame;
        }
    }
    first.into_iter().map(|(body, frame)| (body, frame.id)).collect()
}

#[cfg(test)]
mod tests;

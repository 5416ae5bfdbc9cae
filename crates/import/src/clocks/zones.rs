//! Zones that bodies recorded, and the way from a body's clock to the common one.
//!
//! Frames of one body may have different offsets: a journey, or a step of summer time. All that have one are brought to
//! the body's usual one, so that they compare by UTC; a frame without one is taken to be in the body's usual zone, since
//! a body has one clock. Bodies that both know their zone are brought to that of the body with most frames. Where a
//! zone is not known none is assumed: local times are compared.

use std::collections::BTreeMap;

use record::{Frame, Taken};

use super::Bodies;

/// The zones of a day, in minutes east of UTC.
pub(crate) struct Zones {
    /// Each body's usual one.
    usual: Vec<Option<i16>>,
    /// That of the common clock.
    common: Option<i16>,
}

impl Zones {
    pub(crate) fn of(frames: &[Frame], bodies: &Bodies) -> Self {
        let mut counts = vec![BTreeMap::<i16, usize>::new(); bodies.list.len()];
        for (frame, body) in frames.iter().zip(&bodies.of).filter(|(f, _)| f.by_camera()) {
            if let Some(offset) = frame.taken.and_then(|t| t.offset_min()) {
                *counts[*body].entry(offset).or_default() += 1;
            }
        }
        let usual = counts.iter().map(most).collect();
        let mut all: BTreeMap<i16, usize> = BTreeMap::new();
        for (offset, count) in counts.iter().filter_map(|c| c.get_key_value(&most(c)?)) {
            *all.entry(*offset).or_default() += count;
        }
        Self { usual, common: most(&all) }
    }

    /// A body's time in its usual zone.
    pub(crate) fn of_body(&self, body: usize, taken: Taken) -> Taken {
        self.usual[body].map_or(taken, |zone| taken.in_zone(zone))
    }

    /// Seconds from the clock of a body's zone to the common one; 0 where either is not known.
    pub(crate) fn between_secs(&self, body: usize) -> f64 {
        self.common.zip(self.usual[body]).map_or(0.0, |(to, from)| f64::from(to - from) * 60.0)
    }

    /// A body's time on the common clock, `shift_secs` added to what its clock said.
    pub(crate) fn common(&self, body: usize, taken: Taken, shift_secs: f64) -> Option<Taken> {
        let of_body = self.of_body(body, taken);
        match self.common.filter(|_| of_body.offset_min().is_some()) {
            Some(zone) => Some(of_body.shifted(shift_secs - self.between_secs(body))?.in_zone(zone)),
            None => of_body.shifted(shift_secs),
        }
    }
}

/// The offset that most frames have; of equals the westernmost.
fn most(counts: &BTreeMap<i16, usize>) -> Option<i16> {
    counts.iter().rev().max_by_key(|(_, count)| **count).map(|(offset, _)| *offset)
}

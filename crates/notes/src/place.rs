//! Where a track was at a moment, and how surely.
//!
//! In come tracks, an instant and how far the clock may be wrong; out comes a place with each part of its uncertainty,
//! or the reason why there is none. It tells where the receiver was, which is where the animal was caught only if it
//! was photographed there.

use jiff::Timestamp;
use record::{degrees_text, shift_words};

use crate::geodesic::distance_m;
use crate::track::{Point, Segment, Tracks};

/// Longest time between two points of a segment over which a place is worked out: ten minutes, our choice. A person on
/// foot is then within some hundred metres of the straight line.
pub const GAP_LIMIT_SECS: f64 = 600.0;

/// Error of a receiver whose accuracy nobody wrote down, in metres. Darwin Core gives 30 as the lower limit for such a
/// reading since May 2000 (<http://rs.tdwg.org/dwc/terms/coordinateUncertaintyInMeters>).
pub const RECEIVER_ERROR_M: f64 = 30.0;

/// Farthest that two tracks may be from each other at one moment and still give a place, in metres; our choice. Farther
/// apart they are of two people.
pub const APART_LIMIT_M: f64 = 1000.0;

/// Digits behind the point of a placed coordinate: a step of about a metre, well below the receiver's error.
const PLACED_DECIMALS: u8 = 5;

/// The parts of a place's uncertainty, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertainty {
    /// The receiver's.
    pub receiver_m: f64,
    /// Half of what was walked between the two points.
    pub walked_m: f64,
    /// What was walked while the clock may have been wrong, at the fastest speed within that time.
    pub clock_m: f64,
    /// How far another track was at the same moment; 0 with one track.
    pub apart_m: f64,
}

impl Uncertainty {
    /// All parts together, in metres.
    pub fn total_m(&self) -> f64 {
        self.receiver_m + self.walked_m + self.clock_m + self.apart_m
    }
}

/// A place on a track.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Degrees north, WGS 84.
    pub latitude: f64,
    /// Degrees east, −180 to below 180, WGS 84.
    pub longitude: f64,
    /// Metres above the sea, where both points have an elevation.
    pub elevation_m: Option<f64>,
    /// Its parts.
    pub uncertainty: Uncertainty,
    /// Seconds between the two points; 0 on a point.
    pub gap_secs: f64,
    /// Metres a second between the two points; 0 on a point.
    pub speed_m_per_s: f64,
}

impl Placed {
    /// Latitude and longitude as text for data, five digits behind the point.
    pub fn decimal_text(&self) -> (String, String) {
        (degrees_text(self.latitude, PLACED_DECIMALS), degrees_text(self.longitude, PLACED_DECIMALS))
    }
}

/// Why there is no place. Times in seconds.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoPlace {
    /// Nothing with times.
    #[error("there is no track with times")]
    NoTrack,
    /// Before all tracks.
    #[error("this is {} before the track begins", shift_words(*.0))]
    Before(f64),
    /// After all tracks.
    #[error("this is {} after the track ends", shift_words(*.0))]
    After(f64),
    /// Where the receiver had no reception or was off.
    #[error("the track has a break here: {} after it stops and {} before it goes on", shift_words(*.since), shift_words(*.until))]
    Break {
        /// Since the last point.
        since: f64,
        /// Until the next.
        until: f64,
    },
    /// Between two points too far from each other in time.
    #[error("the two nearest points of the track are {} from each other in time", shift_words(*.0))]
    Gap(f64),
    /// Tracks of the same moment lie far apart.
    #[error("two tracks are {:.0} m from each other at this moment", .0)]
    Apart(f64),
}

/// The place of a track at an instant. `clock_error_s` says by how many seconds the instant may be wrong.
///
/// Linear in time between two points of one segment, which is right below some kilometres and away from the poles.
/// Where tracks overlap, that with the nearest points is taken, and its distance from the others is uncertainty.
pub fn place_at(tracks: &Tracks, instant: Timestamp, clock_error_s: f64) -> Result<Placed, NoPlace> {
    let at_ms = instant.as_millisecond();
    let covering = tracks.segments.iter().filter(|s| (s.span_ms().0..=s.span_ms().1).contains(&at_ms));
    let (mut best, mut others, mut gap): (Option<Placed>, Vec<Placed>, f64) =
        (None, Vec::new(), f64::INFINITY);
    for found in covering.map(|s| on_segment(s, at_ms, clock_error_s)) {
        if found.gap_secs > GAP_LIMIT_SECS {
            gap = gap.min(found.gap_secs);
        } else if best.is_none_or(|b| found.gap_secs < b.gap_secs) {
            others.extend(best.replace(found));
        } else {
            others.push(found);
        }
    }
    let Some(mut placed) = best else {
        return Err(if gap.is_finite() { NoPlace::Gap(gap) } else { outside(tracks, at_ms) });
    };
    let here = (placed.latitude, placed.longitude);
    let apart = others.iter().map(|o| distance_m(here, (o.latitude, o.longitude))).fold(0.0, f64::max);
    if apart > APART_LIMIT_M {
        return Err(NoPlace::Apart(apart));
    }
    placed.uncertainty.apart_m = apart;
    Ok(placed)
}

fn outside(tracks: &Tracks, at_ms: i64) -> NoPlace {
    let spans = || tracks.segments.iter().map(Segment::span_ms);
    let since = spans().map(|s| s.1).filter(|end| *end < at_ms).max().map(|end| secs(at_ms - end));
    let until = spans().map(|s| s.0).filter(|begin| *begin > at_ms).min().map(|begin| secs(begin - at_ms));
    match (since, until) {
        (None, None) => NoPlace::NoTrack,
        (None, Some(until)) => NoPlace::Before(until),
        (Some(since), None) => NoPlace::After(since),
        (Some(since), Some(until)) => NoPlace::Break { since, until },
    }
}

fn secs(ms: i64) -> f64 {
    ms as f64 / 1000.0
}

/// Metres and seconds from one point to the next.
fn leg(from: &Point, to: &Point) -> (f64, f64) {
    let walked = distance_m((from.latitude, from.longitude), (to.latitude, to.longitude));
    (walked, secs(to.time_ms - from.time_ms))
}

/// The place on a segment that covers the moment.
fn on_segment(segment: &Segment, at_ms: i64, clock_error_s: f64) -> Placed {
    let points = &segment.points;
    let next = points.partition_point(|p| p.time_ms < at_ms);
    let to = &points[next];
    // On a point itself, both ends are that point.
    let from = if to.time_ms == at_ms { to } else { &points[next - 1] };
    let (walked_m, gap_secs) = leg(from, to);
    let share = if gap_secs > 0.0 { secs(at_ms - from.time_ms) / gap_secs } else { 0.0 };
    let between = |a: f64, b: f64| a + (b - a) * share;
    // The short way round, also over the antimeridian.
    let eastward = (to.longitude - from.longitude + 180.0).rem_euclid(360.0) - 180.0;
    let longitude = from.longitude + eastward * share;
    Placed {
        latitude: between(from.latitude, to.latitude),
        longitude: if (-180.0..180.0).contains(&longitude) {
            longitude
        } else {
            (longitude + 180.0).rem_euclid(360.0) - 180.0
        },
        elevation_m: from.elevation_m.zip(to.elevation_m).map(|(a, b)| between(f64::from(a), f64::from(b))),
        uncertainty: Uncertainty {
            receiver_m: RECEIVER_ERROR_M,
            walked_m: walked_m / 2.0,
            clock_m: fastest(points, at_ms, clock_error_s.abs()) * clock_error_s.abs(),
            apart_m: 0.0,
        },
        gap_secs,
        speed_m_per_s: if gap_secs > 0.0 { walked_m / gap_secs } else { 0.0 },
    }
}

/// The fastest speed on any leg that lies, in part, within so many seconds of the moment.
fn fastest(points: &[Point], at_ms: i64, error_s: f64) -> f64 {
    let reach_ms = (error_s * 1000.0) as i64;
    if reach_ms == 0 {
        return 0.0;
    }
    let first = points.partition_point(|p| p.time_ms <= at_ms.saturating_sub(reach_ms)).saturating_sub(1);
    let last = points.partition_point(|p| p.time_ms < at_ms.saturating_add(reach_ms));
    let legs = points[first..(last + 1).min(points.len())].windows(2);
    legs.map(|w| leg(&w[0], &w[1])).map(|(metres, secs)| metres / secs).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests;

//! A track as it was recorded: points with a place and a moment, by segments in which reception was not lost.

use jiff::Timestamp;

use crate::told::{Told, tell};

/// A point of a track, 32 bytes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Degrees north, −90 to 90, WGS 84.
    pub latitude: f64,
    /// Degrees east, −180 to 180, WGS 84.
    pub longitude: f64,
    /// Milliseconds since 1970 in UTC.
    pub time_ms: i64,
    /// Metres above the sea.
    pub elevation_m: Option<f32>,
}

/// Points between which the receiver had no break, rising in time. Never empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    /// Which track it is part of, from 0.
    pub track: u32,
    /// Its points.
    pub points: Vec<Point>,
}

impl Segment {
    /// First and last moment, in milliseconds since 1970.
    pub(crate) fn span_ms(&self) -> (i64, i64) {
        let time = |p: Option<&Point>| p.map_or(0, |p| p.time_ms);
        (time(self.points.first()), time(self.points.last()))
    }
}

/// A place that somebody marked.
#[derive(Debug, Clone, PartialEq)]
pub struct Waypoint {
    /// Its name; empty without one.
    pub name: String,
    /// What was written of it.
    pub description: String,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Metres above the sea.
    pub elevation_m: Option<f32>,
    /// When it was marked.
    pub time: Option<Timestamp>,
}

/// What a track file was read in spite of.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TrackDoubt {
    /// A track point without time.
    #[error("a point without a time was left out")]
    TimeMissing,
    /// A time that is none.
    #[error("a point whose time cannot be read was left out")]
    TimeUnreadable,
    /// A time with neither Z nor an offset.
    #[error("a time without a zone was taken as UTC")]
    ZoneMissing,
    /// Times that go back, or stand still.
    #[error("a point that goes back in time, or stands still in it, was left out")]
    OutOfOrder,
    /// Latitude or longitude missing, or beyond what the Earth has.
    #[error("a point without a place on the Earth was left out")]
    OffEarth,
    /// An elevation that is no number.
    #[error("an elevation that cannot be read was left out")]
    Elevation,
    /// A planned route has no times.
    #[error("a route was passed over; it is a plan and has no times")]
    Route,
    /// An entity that the file defines by itself.
    #[error("a name that the file defines by itself was not expanded")]
    Entity,
    /// The file is broken from here on.
    #[error("the file is cut or broken here; what comes before was read")]
    Broken,
}

/// All that was read of tracks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tracks {
    /// Segments in the order of the file.
    pub segments: Vec<Segment>,
    /// Places that were marked.
    pub waypoints: Vec<Waypoint>,
    /// What is doubtful.
    pub told: Vec<Told<TrackDoubt>>,
}

impl Tracks {
    /// Takes in the tracks of another file.
    pub fn add(&mut self, other: Self) {
        let tracks = self.segments.last().map_or(0, |s| s.track + 1);
        let moved = other.segments.into_iter().map(|s| Segment { track: s.track + tracks, ..s });
        self.segments.extend(moved);
        self.waypoints.extend(other.waypoints);
        for t in other.told {
            tell(&mut self.told, t.what, t.line, t.count);
        }
    }
}

//! Reads GPX 1.0 and 1.1, the exchange format of receivers, as leniently as files in the wild need.
//!
//! In comes a stream of bytes; out come [`Tracks`] with all that was passed over. Children of a point may stand in any
//! order and any name space. Nothing is expanded but the five entities of XML itself, and nesting has a limit. It
//! takes no routes, which have no times, and nothing from extensions.
//! GPX 1.1: `TopoGrafix` (2004), <http://www.topografix.com/GPX/1/1>.

use std::io::{self, BufRead, Read};

use encoding_rs::WINDOWS_1252;
use jiff::{Timestamp, civil::DateTime, tz::TimeZone};
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};

use crate::order::longest_rising;
use crate::told::tell;
use crate::track::{Point, Segment, TrackDoubt, Tracks, Waypoint};

/// Deepest nesting read. GPX 1.1 itself goes five deep; extensions add a few.
const DEPTH_LIMIT: usize = 64;

/// Why nothing could be read of a file.
#[derive(Debug, thiserror::Error)]
pub enum GpxFault {
    /// It is another kind of file.
    #[error("This is not a GPX file: it begins with {0}. Save the track as GPX and add that")]
    Other(String),
    /// It is broken before its first point.
    #[error("This GPX file cannot be read: {why} (line {line}, byte {byte}). Nothing was taken from it")]
    Broken {
        /// What is wrong.
        why: String,
        /// From 1.
        line: u64,
        /// From 0.
        byte: u64,
    },
}

/// Where in the file an element stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum At {
    Gpx,
    Track,
    Segment,
    TrackPoint,
    Waypoint,
    Field(Field),
    Other,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Field {
    Elevation,
    Time,
    Name,
    Description,
}

/// Reads a whole file. What is cut or broken behind the first point is told; before it, it is a fault.
pub fn read_gpx(mut source: impl BufRead) -> Result<Tracks, GpxFault> {
    let head = source.fill_buf().unwrap_or_default();
    if head.starts_with(&[0xFF, 0xFE]) || head.starts_with(&[0xFE, 0xFF]) {
        return Err(GpxFault::Other("UTF-16 text, which GPX files are not written in".to_owned()));
    }
    let mut xml = Reader::from_reader(Lines { source, line: 1 });
    xml.config_mut().expand_empty_elements = true;
    let (mut reading, mut buffer) = (Reading::default(), Vec::new());
    let why = loop {
        buffer.clear();
        match xml.read_event_into(&mut buffer) {
            Ok(Event::Eof) if reading.finished => return Ok(reading.tracks),
            Ok(Event::Eof) => break "it ends before it is complete".to_owned(),
            Ok(event) => reading.take(event, xml.get_ref().line)?,
            Err(error) => break error.to_string(),
        }
        if reading.open.len() > DEPTH_LIMIT {
            break format!("it is nested more than {DEPTH_LIMIT} deep");
        }
    };
    let line = xml.get_ref().line;
    reading.close_segment(line);
    if reading.tracks.segments.is_empty() && reading.tracks.waypoints.is_empty() {
        return Err(GpxFault::Broken { why, line, byte: xml.buffer_position() });
    }
    tell(&mut reading.tracks.told, TrackDoubt::Broken, line, 1);
    Ok(reading.tracks)
}

/// Counts the lines that were read.
struct Lines<R> {
    source: R,
    line: u64,
}

impl<R: BufRead> Read for Lines<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = self.fill_buf()?.read(into)?;
        self.consume(read);
        Ok(read)
    }
}

impl<R: BufRead> BufRead for Lines<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        self.source.fill_buf()
    }

    fn consume(&mut self, amount: usize) {
        // What is consumed was just given out, so no more is read for this.
        let given = self.source.fill_buf().unwrap_or_default();
        self.line += given.iter().take(amount).filter(|b| **b == b'\n').count() as u64;
        self.source.consume(amount);
    }
}

/// A point while it is read.
#[derive(Default)]
struct Draft {
    place: Option<(f64, f64)>,
    elevation_m: Option<f32>,
    time: Option<Timestamp>,
    time_unreadable: bool,
    name: String,
    description: String,
}

#[derive(Default)]
struct Reading {
    tracks: Tracks,
    open: Vec<At>,
    finished: bool,
    text: String,
    draft: Draft,
    track: u32,
    points: Vec<Point>,
}

impl Reading {
    fn take(&mut self, event: Event<'_>, line: u64) -> Result<(), GpxFault> {
        let in_field = matches!(self.open.last(), Some(At::Field(_)));
        match event {
            Event::Start(element) => self.start(&element, line)?,
            Event::End(_) => self.end(line),
            Event::Text(text) if in_field => self.text.push_str(&decoded(&text)),
            Event::CData(text) if in_field => self.text.push_str(&decoded(&text)),
            Event::GeneralRef(entity) if in_field => self.entity(&entity, line),
            Event::Text(text) if self.open.is_empty() && !self.finished => {
                let text = decoded(&text);
                let begin: String = text.trim_start_matches('\u{feff}').trim().chars().take(20).collect();
                if !begin.is_empty() {
                    return Err(GpxFault::Other(format!("“{begin}”")));
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn tell(&mut self, what: TrackDoubt, line: u64) {
        tell(&mut self.tracks.told, what, line, 1);
    }

    fn start(&mut self, element: &BytesStart<'_>, line: u64) -> Result<(), GpxFault> {
        let name = element.local_name();
        let at = match (self.open.last(), name.as_ref()) {
            (None, b"gpx") => At::Gpx,
            (None, other) => {
                return Err(GpxFault::Other(format!("the element “{}”", decoded(other))));
            }
            (Some(At::Gpx), b"trk") => At::Track,
            (Some(At::Gpx), b"wpt") => At::Waypoint,
            (Some(At::Gpx), b"rte") => {
                self.tell(TrackDoubt::Route, line);
                At::Other
            }
            (Some(At::Track), b"trkseg") => At::Segment,
            (Some(At::Segment), b"trkpt") => At::TrackPoint,
            (Some(At::TrackPoint | At::Waypoint), field) => match field {
                b"ele" => At::Field(Field::Elevation),
                b"time" => At::Field(Field::Time),
                b"name" => At::Field(Field::Name),
                b"desc" => At::Field(Field::Description),
                _ => At::Other,
            },
            _ => At::Other,
        };
        match at {
            At::TrackPoint | At::Waypoint => {
                self.draft = Draft { place: place(element), ..Draft::default() };
            }
            At::Field(_) => self.text.clear(),
            _ => {}
        }
        self.open.push(at);
        Ok(())
    }

    fn end(&mut self, line: u64) {
        match self.open.pop() {
            Some(At::Field(field)) => self.field(field, line),
            Some(At::TrackPoint) => self.point(line),
            Some(At::Waypoint) => self.waypoint(line),
            Some(At::Segment) => self.close_segment(line),
            Some(At::Track) => self.track += 1,
            Some(At::Gpx) => self.finished = true,
            _ => {}
        }
    }

    fn entity(&mut self, entity: &BytesRef<'_>, line: u64) {
        let named = quick_xml::escape::resolve_predefined_entity(&decoded(entity)).map(str::to_owned);
        match entity.resolve_char_ref().ok().flatten().map(String::from).or(named) {
            Some(text) => self.text.push_str(&text),
            None => self.tell(TrackDoubt::Entity, line),
        }
    }

    fn field(&mut self, field: Field, line: u64) {
        let text = self.text.trim();
        match field {
            Field::Name => text.clone_into(&mut self.draft.name),
            Field::Description => text.clone_into(&mut self.draft.description),
            Field::Elevation => {
                let metres = text.parse().ok().filter(|m: &f32| m.is_finite());
                self.draft.elevation_m = metres;
                if metres.is_none() {
                    self.tell(TrackDoubt::Elevation, line);
                }
            }
            Field::Time => match (text.parse::<Timestamp>(), text.parse::<DateTime>()) {
                (Ok(time), _) => self.draft.time = Some(time),
                (_, Ok(civil)) => {
                    self.draft.time = TimeZone::UTC.to_timestamp(civil).ok();
                    self.tell(TrackDoubt::ZoneMissing, line);
                }
                _ => self.draft.time_unreadable = true,
            },
        }
    }

    fn point(&mut self, line: u64) {
        let draft = std::mem::take(&mut self.draft);
        match (draft.place, draft.time) {
            (Some((latitude, longitude)), Some(time)) => self.points.push(Point {
                latitude,
                longitude,
                time_ms: time.as_millisecond(),
                elevation_m: draft.elevation_m,
            }),
            (None, _) => self.tell(TrackDoubt::OffEarth, line),
            (_, None) if draft.time_unreadable => self.tell(TrackDoubt::TimeUnreadable, line),
            (_, None) => self.tell(TrackDoubt::TimeMissing, line),
        }
    }

    fn waypoint(&mut self, line: u64) {
        let draft = std::mem::take(&mut self.draft);
        match draft.place {
            Some((latitude, longitude)) => self.tracks.waypoints.push(Waypoint {
                name: draft.name,
                description: draft.description,
                latitude,
                longitude,
                elevation_m: draft.elevation_m,
                time: draft.time,
            }),
            None => self.tell(TrackDoubt::OffEarth, line),
        }
    }

    /// Keeps the segment's points that rise in time; of points that do not, as few as can be are left out.
    fn close_segment(&mut self, line: u64) {
        let mut points = std::mem::take(&mut self.points);
        if !points.windows(2).all(|w| w[0].time_ms < w[1].time_ms) {
            let times: Vec<i64> = points.iter().map(|p| p.time_ms).collect();
            let kept: Vec<Point> = longest_rising(&times).into_iter().map(|at| points[at]).collect();
            let left_out = (points.len() - kept.len()) as u64;
            tell(&mut self.tracks.told, TrackDoubt::OutOfOrder, line, left_out);
            points = kept;
        }
        if !points.is_empty() {
            points.shrink_to_fit();
            self.tracks.segments.push(Segment { track: self.track, points });
        }
    }
}

/// UTF-8, and where it is not that, Windows-1252, which holds Latin-1.
fn decoded(bytes: &[u8]) -> String {
    match std::str::from_utf8(bytes) {
        Ok(text) => text.to_owned(),
        Err(_) => WINDOWS_1252.decode_without_bom_handling(bytes).0.into_owned(),
    }
}

/// Latitude and longitude of a point, where both lie on the Earth.
fn place(element: &BytesStart<'_>) -> Option<(f64, f64)> {
    let (mut latitude, mut longitude) = (None, None);
    for attribute in element.attributes().with_checks(false).filter_map(Result::ok) {
        let value = || std::str::from_utf8(&attribute.value).ok()?.trim().parse::<f64>().ok();
        match attribute.key.local_name().as_ref() {
            b"lat" => latitude = value(),
            b"lon" => longitude = value(),
            _ => {}
        }
    }
    let on_earth = |v: Option<f64>, limit: f64| v.filter(|v| v.abs() <= limit);
    on_earth(latitude, 90.0).zip(on_earth(longitude, 180.0))
}

#[cfg(test)]
mod tests;

//! Words about cameras, their clocks and the times of their frames; and a time read off a picture.
//!
//! Goes in: an open day and its frames. Comes out: whole phrases, and whether they stand out as a warning. What a
//! correction does is decided elsewhere.

use import::{BodyClock, ClockSource};
use jiff::ToSpan as _;
use jiff::civil::{DateTime, Time};
use record::{Body, Frame, TimeSource, shift_text, shift_words};

use super::open_day::OpenDay;
use super::words::tell;

/// A phrase, and whether it stands out as a warning.
pub(crate) type Phrase = (String, bool);

/// The clock of a frame's camera. A frame that lacks its serial goes with the only camera that it can be of.
pub(crate) fn clock_of<'a>(open: &'a OpenDay, frame: &Frame) -> Option<&'a BodyClock> {
    let clocks = &open.day.clocks;
    let alike = |clock: &&BodyClock| {
        frame.body.serial.is_empty()
            && (&clock.body.make, &clock.body.model) == (&frame.body.make, &frame.body.model)
    };
    let mut like = clocks.iter().filter(alike);
    let only = like.next().filter(|_| like.next().is_none());
    clocks.iter().find(|clock| clock.body == frame.body).or(only)
}

/// Whether a frame says when it was taken by its camera's clock, so that this clock can be corrected by it.
pub(crate) fn has_camera_time(frame: &Frame) -> bool {
    frame.taken.is_some() && frame.time_source < TimeSource::File
}

/// `Field One, body 0001`.
pub(crate) fn body_words(body: &Body) -> String {
    let make = body.make.trim();
    let model = body.model.trim();
    // Makers often begin the model with their own name.
    let mut words =
        if model.starts_with(make) { model.to_owned() } else { format!("{make} {model}").trim().to_owned() };
    if words.is_empty() {
        words = tell!("camera-unnamed");
    }
    if body.serial.is_empty() { words } else { tell!("camera-body", camera = words, serial = &body.serial) }
}

/// `1 h 3 min 17 s fast`.
pub(crate) fn off_words(shift_secs: f64) -> String {
    let by = shift_words(shift_secs);
    if shift_secs < 0.0 { tell!("clock-fast", by = by) } else { tell!("clock-slow", by = by) }
}

/// A correction with a minus as it is set in print.
pub(crate) fn signed(shift_secs: f64) -> String {
    shift_text(shift_secs).replace('-', "−")
}

/// The correction of a clock, and where it is from; an estimate stands out.
pub(crate) fn correction_words(clock: &BodyClock) -> Phrase {
    let secs = clock.shift_secs;
    let by = signed(secs);
    match clock.source {
        ClockSource::ByHand if secs == 0.0 => (tell!("clock-as-set-by-hand"), false),
        ClockSource::ByHand => (tell!("clock-by-hand", by = by, off = off_words(secs)), false),
        ClockSource::Estimated { confidence } => {
            let sure = format!("{:.0}", (confidence * 100.0).min(99.0));
            (tell!("clock-estimated", by = by, sure = sure, off = off_words(secs)), true)
        }
        ClockSource::AsSet if secs == 0.0 => (tell!("clock-as-set"), false),
        ClockSource::AsSet => (tell!("clock-by-zones", by = by), false),
    }
}

/// What a frame's time is and what it rests on: the rung of the ladder, the correction, the zone.
pub(crate) fn time_words(open: &OpenDay, frame: &Frame) -> Vec<Phrase> {
    let unsure = frame.time_source != TimeSource::Original;
    let source = frame.time_source.words().to_owned();
    let Some((when, taken)) = frame.when().zip(frame.taken) else { return vec![(source, true)] };
    let mut phrases = vec![(format!("{} {}", when.date(), when.time_of_day()), false), (source, unsure)];
    if frame.at.is_some()
        && let Some(clock) = clock_of(open, frame)
    {
        let (words, warns) = correction_words(clock);
        phrases.push((tell!("time-camera-said", time = taken.time_of_day(), clock = words), warns));
    }
    if has_camera_time(frame) {
        let zone = taken.offset_min().map_or_else(
            || tell!("time-no-zone"),
            |min| {
                format!("UTC{}{:02}:{:02}", if min < 0 { '−' } else { '+' }, min.abs() / 60, min.abs() % 60)
            },
        );
        phrases.push((zone, false));
    }
    phrases
}

/// Reads the time that a frame shows: `10:23:45`, `10:23`, or with its date `2026-06-14 10:23:45`. Without a date it
/// is the nearest moment of this time to what the frame's camera said. `None` for any other text.
pub(crate) fn shown_time(text: &str, frame: &Frame) -> Option<DateTime> {
    let text = text.trim();
    let said = frame.taken?.local();
    if text.len() > "2026-06-14".len() {
        return text.parse().ok();
    }
    let time: Time = text.parse().ok()?;
    let days = [-1, 0, 1].into_iter().filter_map(|day| said.date().checked_add(day.days()).ok());
    let moments = days.map(|date| date.to_datetime(time));
    moments.min_by_key(|moment| moment.duration_since(said).abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn body(make: &str, model: &str, serial: &str) -> Body {
        Body { make: make.into(), model: model.into(), serial: serial.into() }
    }

    #[test]
    fn a_camera_is_named_once() {
        assert_eq!(body_words(&body("Field", "Field One", "0001")), "Field One, body 0001");
        assert_eq!(body_words(&body("Field", "One", "")), "Field One");
        assert_eq!(body_words(&body("", "", "")), "A camera that is not named");
    }

    #[test]
    fn a_correction_says_where_it_is_from() {
        let words = |shift_secs, source| {
            correction_words(&BodyClock { body: Body::default(), frames: 1, shift_secs, source })
        };
        let estimated = ClockSource::Estimated { confidence: 0.96 };
        assert_eq!(
            words(-3797.0, estimated),
            ("−1:03:17 estimated, 96 % sure: it was 1 h 3 min 17 s fast".to_owned(), true)
        );
        assert_eq!(
            words(2.5, ClockSource::ByHand),
            ("+0:00:02.5 by hand: it was 2.5 s slow".to_owned(), false)
        );
        assert_eq!(words(0.0, ClockSource::ByHand).0, "left as set, by hand");
        assert_eq!(words(0.0, ClockSource::AsSet).0, "as set, no correction");
    }

    #[test]
    fn a_time_without_a_date_is_the_nearest() {
        let mut frame: Frame = ron::from_str(
            "(id:0,files:[],taken:Some(\"2026-06-14T23:50:00\"),time_source:Original,orientation:1,size_px:None,\
             spread:None,blank:None)",
        )
        .unwrap();
        let shown = |text: &str, frame: &Frame| shown_time(text, frame).map(|t| t.to_string());
        assert_eq!(shown("00:10", &frame).as_deref(), Some("2026-06-15T00:10:00"));
        assert_eq!(shown(" 22:47:05 ", &frame).as_deref(), Some("2026-06-14T22:47:05"));
        assert_eq!(shown("2026-06-11 22:47:05", &frame).as_deref(), Some("2026-06-11T22:47:05"));
        for bad in ["", "soon", "25:00", "2026-06-14", "-1:00:00"] {
            assert_eq!(shown(bad, &frame), None, "{bad}");
        }
        frame.taken = None;
        assert_eq!(shown("10:00", &frame), None);
    }
}

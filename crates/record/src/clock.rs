//! Corrections of a body's clock: ways to come by one, and words for it.
//!
//! A correction is a number of seconds to add to what the clock said: negative for a clock that was fast. Everything
//! here is worked out from its arguments; nothing is applied to frames here, and never to files.

use jiff::civil::DateTime;

use crate::{Body, Frame};

/// Furthest that a clock is corrected, in seconds: a hundred years of 365.25 days. A clock that was never set
/// starts some decades back.
pub const CLOCK_LIMIT_SECS: f64 = 100.0 * 365.25 * 86_400.0;

/// Why a text is not a correction.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ClockFault {
    /// It is not hours, minutes and seconds.
    #[error(
        "“{0}” is not hours, minutes and seconds with a sign, such as -1:03:17 for a clock that was fast"
    )]
    Form(String),
    /// It is more than a clock can be off.
    #[error("“{0}” is more than a hundred years; no clock is that far off")]
    TooFar(String),
}

/// Reads a correction written as `-1:03:17`, `+0:00:02.5` or `0:10:00`, in seconds; hours may have any number of
/// digits. A typographic minus counts as well.
///
/// # Errors
/// [`ClockFault`] for any other text, with minutes and seconds from 60 on among them.
pub fn parse_shift(text: &str) -> Result<f64, ClockFault> {
    let trimmed = text.trim();
    let form = || ClockFault::Form(trimmed.to_owned());
    let (sign, digits) = match trimmed.chars().next() {
        Some(c @ ('-' | '−')) => (-1.0, &trimmed[c.len_utf8()..]),
        Some('+') => (1.0, &trimmed[1..]),
        _ => (1.0, trimmed),
    };
    let parts: Vec<&str> = digits.split(':').collect();
    let [hours, minutes, seconds] = parts[..] else { return Err(form()) };
    let (whole, fraction) = seconds.split_once('.').unwrap_or((seconds, "0"));
    let numbers = [hours, minutes, whole, fraction].map(number);
    let [Some(hours), Some(minutes), Some(whole), Some(_)] = numbers else { return Err(form()) };
    if minutes >= 60 || whole >= 60 || fraction.len() > 3 {
        return Err(form());
    }
    let fraction: f64 = format!("0.{fraction}").parse().unwrap_or(0.0);
    let secs = f64::from(hours) * 3600.0 + f64::from(minutes * 60 + whole) + fraction;
    if secs > CLOCK_LIMIT_SECS { Err(ClockFault::TooFar(trimmed.to_owned())) } else { Ok(sign * secs) }
}

/// A number of digits alone, up to nine of them.
fn number(text: &str) -> Option<u32> {
    let digits = (1..=9).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

/// Writes a correction so that [`parse_shift`] reads it back: `-1:03:17`, `+0:00:02.5`; to the millisecond.
pub fn shift_text(secs: f64) -> String {
    let (sign, parts) = parts(secs);
    let mut text =
        format!("{sign}{}:{:02}:{:02}", parts.days * 24 + parts.hours, parts.minutes, parts.seconds);
    text.push_str(&parts.fraction);
    text
}

/// Says how long a shift is, without its direction: `1 h 3 min 17 s`, `2 days 4 s`, `0.5 s`.
pub fn shift_words(secs: f64) -> String {
    let (_, parts) = parts(secs);
    let mut words = Vec::new();
    match parts.days {
        0 => {}
        1 => words.push("1 day".to_owned()),
        days => words.push(format!("{days} days")),
    }
    for (amount, unit) in [(parts.hours, "h"), (parts.minutes, "min")] {
        if amount > 0 {
            words.push(format!("{amount} {unit}"));
        }
    }
    if parts.seconds > 0 || !parts.fraction.is_empty() || words.is_empty() {
        words.push(format!("{}{} s", parts.seconds, parts.fraction));
    }
    words.join(" ")
}

struct Parts {
    days: i64,
    hours: i64,
    minutes: i64,
    seconds: i64,
    /// With its point; empty for none.
    fraction: String,
}

fn parts(secs: f64) -> (char, Parts) {
    let millis = (secs * 1000.0).round() as i64;
    let (total, rest) = (millis.abs() / 1000, millis.abs() % 1000);
    let fraction = if rest == 0 { String::new() } else { format!(".{rest:03}") };
    let parts = Parts {
        days: total / 86_400,
        hours: total / 3600 % 24,
        minutes: total / 60 % 60,
        seconds: total % 60,
        fraction: fraction.trim_end_matches('0').to_owned(),
    };
    (if millis < 0 { '-' } else { '+' }, parts)
}

/// The correction of a frame's body from a frame that shows a clock face: `shown` is what it says. `None` for a
/// frame without a time.
pub fn shift_from_shown(frame: &Frame, shown: DateTime) -> Option<f64> {
    Some(shown.duration_since(frame.taken?.local()).as_secs_f64())
}

/// The correction of the body of `b` that puts it at the moment of `a`, a frame of another body that shows the same
/// scene. The other body stands as it is corrected by now. `None` when either has no time, or both are of one body.
pub fn shift_from_pair(a: &Frame, b: &Frame) -> Option<f64> {
    let (a_when, b_taken) = (a.when()?, b.taken?);
    (a.body != b.body).then(|| a_when.secs_since(&b_taken))
}

impl Body {
    /// Model and serial, as far as recorded: `TW-1 A0012345`, `a camera without a name`.
    pub fn words(&self) -> String {
        let name = if self.model.is_empty() { &self.make } else { &self.model };
        match (name.is_empty(), self.serial.is_empty()) {
            (true, true) => "a camera without a name".to_owned(),
            (true, false) => format!("the camera {}", self.serial),
            (false, true) => name.clone(),
            (false, false) => format!("{name} {}", self.serial),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::frame;

    #[test]
    fn corrections_are_read_and_written_by_hand() {
        for (text, secs, written) in [
            ("-1:03:17", -3797.0, "-1:03:17"),
            (" −1:03:17 ", -3797.0, "-1:03:17"),
            ("+0:00:02.5", 2.5, "+0:00:02.5"),
            ("0:10:00", 600.0, "+0:10:00"),
            ("-0:00:00.050", -0.05, "-0:00:00.05"),
            ("+227880:00:00", 820_368_000.0, "+227880:00:00"),
        ] {
            assert_eq!(parse_shift(text), Ok(secs), "{text}");
            assert_eq!(shift_text(secs), written);
        }
        for bad in [
            "",
            "1:03",
            "1:60:00",
            "1:00:60",
            "--1:00:00",
            "1h",
            "1:2:3:4",
            "+1:+3:00",
            "1:00:0.1234",
            "é:0:0",
        ] {
            assert!(matches!(parse_shift(bad), Err(ClockFault::Form(_))), "{bad}");
        }
        assert!(matches!(parse_shift("999999999:00:00"), Err(ClockFault::TooFar(_))));
    }

    #[test]
    fn shifts_in_words() {
        for (secs, words) in [
            (-3797.0, "1 h 3 min 17 s"),
            (0.0, "0 s"),
            (0.5, "0.5 s"),
            (172_804.0, "2 days 4 s"),
            (86_400.0, "1 day"),
        ] {
            assert_eq!(shift_words(secs), words);
        }
    }

    #[test]
    fn a_clock_face_and_a_shared_scene_give_the_correction() {
        let mut b = frame(1, "11:27:02");
        assert_eq!(shift_from_shown(&b, "2026-06-14T10:23:45".parse().unwrap()), Some(-3797.0));
        let mut a = frame(0, "10:23:40");
        assert_eq!(shift_from_pair(&a, &b), None, "one body has one clock");
        b.body.model = "E-2".into();
        a.at = a.taken.unwrap().shifted(5.0);
        assert_eq!(shift_from_pair(&a, &b), Some(-3797.0));
        b.taken = None;
        assert_eq!(shift_from_shown(&b, "2026-06-14T10:23:45".parse().unwrap()), None);
    }
}

//! The moment a frame was taken, as its body's clock said: local time, sub-seconds as written, and
//! the offset from UTC only when it was recorded. An absent offset means an unknown zone, never UTC.

use std::fmt;
use std::str::FromStr;

use jiff::SignedDuration;
use jiff::civil::DateTime;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A capture time: local civil time, the number of sub-second digits written, and the offset if known.
///
/// Ordered by local time alone; the offset does not take part, since frames of one body share a clock
/// whether or not each of them says its zone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Taken {
    local: DateTime,
    digits: u8,
    offset_min: Option<i16>,
}

/// Why a text is not a capture time.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{0}” is not a date and time such as 2026-06-14T10:23:45.12+01:00")]
pub struct TakenFault(String);

impl Taken {
    /// Builds a capture time from a local time in whole seconds.
    ///
    /// `subsec` is Exif's `SubSec` text: digits right of the decimal point, possibly padded with spaces
    /// (`12` is .12 s, `012` is .012 s). Anything else in it is ignored from the first non-digit on;
    /// digits past the ninth are dropped.
    pub fn new(local: DateTime, subsec: &str, offset_min: Option<i16>) -> Self {
        let digits: String = subsec.trim().chars().take_while(char::is_ascii_digit).take(9).collect();
        let nanos = format!("{digits:0<9}").parse::<i32>().unwrap_or(0);
        let local = local.with().subsec_nanosecond(nanos).build().unwrap_or(local);
        Self { local, digits: digits.len() as u8, offset_min }
    }

    /// The local time, with sub-seconds.
    pub fn local(&self) -> DateTime {
        self.local
    }

    /// Minutes east of UTC, when the body recorded them.
    pub fn offset_min(&self) -> Option<i16> {
        self.offset_min
    }

    /// Seconds from `earlier` to `self` by the local clock; negative when `self` is the earlier one.
    pub fn secs_since(&self, earlier: &Self) -> f64 {
        self.local.duration_since(earlier.local).as_secs_f64()
    }

    /// Digits of the fraction of a second as written; 0 when only whole seconds are known.
    pub fn subsec_digits(&self) -> u8 {
        self.digits
    }

    /// The time by a clock that is `secs` ahead of this one, to the millisecond; `None` beyond the calendar.
    pub fn shifted(&self, secs: f64) -> Option<Self> {
        let millis = (secs * 1000.0).round() as i64;
        let local = self.local.checked_add(SignedDuration::from_millis(millis)).ok()?;
        let digits = match millis {
            m if m % 1000 == 0 => 0,
            m if m % 100 == 0 => 1,
            m if m % 10 == 0 => 2,
            _ => 3,
        };
        Some(Self { local, digits: self.digits.max(digits), offset_min: self.offset_min })
    }

    /// The same moment by the clock of another zone; unchanged where the own offset is unknown.
    #[must_use]
    pub fn in_zone(&self, offset_min: i16) -> Self {
        let Some(own) = self.offset_min else { return *self };
        let span = SignedDuration::from_mins(i64::from(offset_min) - i64::from(own));
        let local = self.local.checked_add(span);
        local.map_or(*self, |local| Self { local, offset_min: Some(offset_min), ..*self })
    }

    /// The date as `2026-06-14`.
    pub fn date(&self) -> String {
        self.local.date().to_string()
    }

    /// The time of day as `10:23:45`.
    pub fn time_of_day(&self) -> String {
        let t = self.local.time();
        format!("{:02}:{:02}:{:02}", t.hour(), t.minute(), t.second())
    }
}

impl PartialOrd for Taken {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Taken {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (self.local, self.digits, self.offset_min).cmp(&(other.local, other.digits, other.offset_min))
    }
}

impl fmt::Display for Taken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}T{}", self.date(), self.time_of_day())?;
        if self.digits > 0 {
            let nanos = format!("{:09}", self.local.subsec_nanosecond());
            write!(f, ".{}", &nanos[..usize::from(self.digits)])?;
        }
        if let Some(min) = self.offset_min {
            let sign = if min < 0 { '-' } else { '+' };
            write!(f, "{sign}{:02}:{:02}", min.abs() / 60, min.abs() % 60)?;
        }
        Ok(())
    }
}

impl FromStr for Taken {
    type Err = TakenFault;

    fn from_str(text: &str) -> Result<Self, TakenFault> {
        let fault = || TakenFault(text.to_owned());
        if !text.is_ascii() || text.len() < 19 {
            return Err(fault());
        }
        let (whole, rest) = text.split_at(19);
        let local: DateTime = whole.parse().ok().ok_or_else(fault)?;
        let zone_at = rest.find(['+', '-']).unwrap_or(rest.len());
        let (fraction, zone) = rest.split_at(zone_at);
        let digits = match fraction.strip_prefix('.') {
            Some(d) if !d.is_empty() && d.len() <= 9 && d.bytes().all(|b| b.is_ascii_digit()) => d,
            None if fraction.is_empty() => "",
            _ => return Err(fault()),
        };
        let offset = if zone.is_empty() { None } else { Some(parse_offset(zone).ok_or_else(fault)?) };
        Ok(Self::new(local, digits, offset))
    }
}

/// Reads `+01:00`; `None` for anything else. Also the form of Exif's `OffsetTime` tags.
fn parse_offset(text: &str) -> Option<i16> {
    let bytes = text.as_bytes();
    if bytes.len() != 6 || bytes[3] != b':' || !text.is_ascii() {
        return None;
    }
    let hours: i16 = text[1..3].parse().ok()?;
    let minutes: i16 = text[4..6].parse().ok()?;
    let sign = match bytes[0] {
        b'+' => 1,
        b'-' => -1,
        _ => return None,
    };
    // The widest offsets in use are UTC-12 and UTC+14 (IANA time zone data).
    (hours <= 14 && minutes < 60).then_some(sign * (hours * 60 + minutes))
}

impl Taken {
    /// Reads an offset as Exif writes it (`+01:00`), in minutes; `None` when it is not one.
    pub fn offset_from_exif(text: &str) -> Option<i16> {
        parse_offset(text.trim())
    }
}

impl Serialize for Taken {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Taken {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(local: &str, subsec: &str, offset: Option<&str>, expected: &str) {
        let offset = offset.and_then(Taken::offset_from_exif);
        let taken = Taken::new(local.parse().unwrap(), subsec, offset);
        assert_eq!(taken.to_string(), expected);
        assert_eq!(expected.parse::<Taken>().unwrap(), taken, "reads back what it wrote");
    }

    #[test]
    fn subsec_is_a_decimal_fraction_exif() {
        // CIPA DC-008: SubSec digits stand right of the decimal point; `5` is half a second.
        check("2026-06-14T10:23:45", "12", Some("+01:00"), "2026-06-14T10:23:45.12+01:00");
        check("2026-06-14T10:23:45", "012", None, "2026-06-14T10:23:45.012");
        check("2026-06-14T10:23:45", "5  ", None, "2026-06-14T10:23:45.5");
        check("2026-06-14T10:23:45", "", Some("-09:30"), "2026-06-14T10:23:45-09:30");
        check("2026-06-14T10:23:45", "00", None, "2026-06-14T10:23:45.00");
        let t = |s: &str| s.parse::<Taken>().unwrap();
        assert!((t("2026-06-14T10:23:45.5").secs_since(&t("2026-06-14T10:23:45.012")) - 0.488).abs() < 1e-9);
    }

    #[test]
    fn offset_is_never_invented() {
        assert_eq!("2026-06-14T10:23:45".parse::<Taken>().unwrap().offset_min(), None);
        for bad in ["+1:00", "01:00 ", "+25:00", "+01:60", "Z", ""] {
            assert_eq!(Taken::offset_from_exif(bad), None, "{bad}");
        }
    }

    #[test]
    fn shifts_keep_the_fraction_and_zones_keep_the_moment() {
        let t = |s: &str| s.parse::<Taken>().unwrap();
        let shifted = |s: &str, secs| t(s).shifted(secs).unwrap().to_string();
        assert_eq!(shifted("2026-06-14T11:27:02.12+01:00", -3797.0), "2026-06-14T10:23:45.12+01:00");
        assert_eq!(shifted("2026-06-14T23:59:59", 1.25), "2026-06-15T00:00:00.25");
        assert_eq!(t("9999-12-31T23:59:59").shifted(60.0), None);
        assert_eq!(t("2026-06-14T00:30:00+02:00").in_zone(60), t("2026-06-13T23:30:00+01:00"));
        assert_eq!(
            t("2026-06-14T00:30:00").in_zone(60),
            t("2026-06-14T00:30:00"),
            "an unknown zone stays so"
        );
    }

    #[test]
    fn other_texts_are_refused() {
        for bad in ["", "2026-06-14", "2026-06-31T10:00:00", "2026-06-14T10:23:45.", "2026-06-14T10:23:45.1x"]
        {
            assert!(bad.parse::<Taken>().is_err(), "{bad}");
        }
    }
}

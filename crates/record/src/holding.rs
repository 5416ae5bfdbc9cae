//! How long an animal has been held, and what is left of the person's own limit.
//!
//! Times and the limit are arguments. No limit is claimed here: none is published that could be stated as fact, so it
//! is the person's, or their permit's. Words never urge anyone to keep an animal: past the limit they say release.

use crate::Taken;

/// Longest time of holding that is told, in seconds: twelve hours. What is older is no animal in a jar but a day that
/// is read again.
pub const TOLD_FOR_SECS: f64 = 12.0 * 3600.0;

/// Most that a camera's clock and the computer's may differ before times of holding are not told, in seconds: two
/// minutes, a small part of the minutes for which an animal stays cold.
pub const CLOCK_SLACK_SECS: f64 = 120.0;

/// How long an animal has been held by now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holding {
    /// Seconds since its first frame, not below 0.
    pub held_secs: f64,
    /// The person's limit in minutes, when they set one.
    pub limit_min: Option<u16>,
}

impl Holding {
    /// From an animal's first frame until `now`, both moved into one zone where both are known. `None` where that
    /// makes no sense to tell: more than twelve hours, or a frame more than two minutes ahead of now.
    pub fn since_first_frame(first: Taken, now: Taken, limit_min: Option<u16>) -> Option<Self> {
        let secs = seconds_until(first, now);
        let told = (-CLOCK_SLACK_SECS..=TOLD_FOR_SECS).contains(&secs);
        told.then_some(Self { held_secs: secs.max(0.0), limit_min })
    }

    /// Seconds left until the limit, negative past it; `None` without a limit.
    pub fn left_secs(&self) -> Option<f64> {
        Some(f64::from(self.limit_min?) * 60.0 - self.held_secs)
    }

    /// Whether the limit has come; `false` without one.
    pub fn is_past(&self) -> bool {
        self.left_secs().is_some_and(|left| left <= 0.0)
    }

    /// `7 min since first frame`; with a limit `7 min since first frame, 8 min left of your 15` or
    /// `21 min since first frame, past your 15: release`.
    pub fn words(&self) -> String {
        let since = format!("{} since first frame", minutes(self.held_secs));
        match (self.limit_min, self.left_secs()) {
            (Some(limit), Some(left)) if left > 0.0 => {
                format!("{since}, {} left of your {limit}", minutes(left))
            }
            (Some(limit), _) => format!("{since}, past your {limit}: release"),
            _ => since,
        }
    }
}

/// Seconds from one moment to another, by the zones of both where they are known and by their local times else.
pub fn seconds_until(from: Taken, to: Taken) -> f64 {
    let from = to.offset_min().map_or(from, |offset| from.in_zone(offset));
    to.secs_since(&from)
}

/// Whole minutes gone by: `7 min`, `1 h 5 min`, `under 1 min`.
fn minutes(secs: f64) -> String {
    match (secs / 60.0) as u32 {
        0 => "under 1 min".to_owned(),
        min if min < 60 => format!("{min} min"),
        min => format!("{} h {} min", min / 60, min % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(first: &str, now: &str, limit: Option<u16>) -> Option<String> {
        let taken = |time: &str| format!("2026-06-14T{time}").parse().unwrap();
        Holding::since_first_frame(taken(first), taken(now), limit).map(|h| h.words())
    }

    #[test]
    fn held_and_left_in_words() {
        for (first, now, limit, expected) in [
            ("10:00:00", "10:07:59", None, "7 min since first frame"),
            ("10:00:00", "10:00:10", None, "under 1 min since first frame"),
            ("10:00:00", "11:05:00", None, "1 h 5 min since first frame"),
            ("10:00:00", "10:06:30", Some(15), "6 min since first frame, 8 min left of your 15"),
            ("10:00:00", "10:14:30", Some(15), "14 min since first frame, under 1 min left of your 15"),
            ("10:00:00", "10:15:00", Some(15), "15 min since first frame, past your 15: release"),
            ("10:01:30", "10:00:00", None, "under 1 min since first frame"),
        ] {
            assert_eq!(words(first, now, limit).as_deref(), Some(expected), "{first} {now}");
        }
    }

    #[test]
    fn zones_count_where_both_are_known() {
        assert_eq!(
            words("10:00:00+01:00", "11:07:00+02:00", None).as_deref(),
            Some("7 min since first frame")
        );
        assert_eq!(words("10:00:00", "10:07:00+02:00", None).as_deref(), Some("7 min since first frame"));
    }

    #[test]
    fn nothing_is_told_of_another_day_or_of_the_future() {
        assert_eq!(words("00:00:00", "12:00:01", Some(15)), None);
        assert_eq!(words("10:02:01", "10:00:00", Some(15)), None);
    }
}

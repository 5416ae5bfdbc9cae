//! How much longer work will take, by the rate of the last while.
//!
//! Goes in: how much was done when. Comes out: seconds, once the rate has been seen long enough to mean something. It knows
//! no clock.

use std::collections::VecDeque;

/// Files come in bursts, between which they are flushed and read back: the rate is taken over this many seconds, which hold
/// several bursts, and not said before it was seen for the least of them.
const OVER_SECS: f64 = 30.0;
const LEAST_SECS: f64 = 10.0;

/// What was seen of work that goes on.
#[derive(Debug, Default)]
pub(crate) struct TimeLeft {
    seen: VecDeque<(f64, usize)>,
}

impl TimeLeft {
    /// Notes that so much is done by now.
    pub(crate) fn note(&mut self, now_secs: f64, done: usize) {
        self.seen.push_back((now_secs, done));
        while self.seen.get(1).is_some_and(|(at, _)| now_secs - at >= OVER_SECS) {
            self.seen.pop_front();
        }
    }

    /// Forgets what was seen: work rested, or goes on at another rate.
    pub(crate) fn forget(&mut self) {
        self.seen.clear();
    }

    /// Seconds until all of it is done; `None` while they cannot be told.
    pub(crate) fn secs(&self, of: usize) -> Option<f64> {
        let ((from_secs, from), (to_secs, to)) = (self.seen.front()?, self.seen.back()?);
        let (span, done) = (to_secs - from_secs, to.checked_sub(*from)?);
        let left = of.checked_sub(*to)?;
        (span >= LEAST_SECS && done > 0).then(|| left as f64 * span / done as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rate_of_the_last_while_counts_and_only_once_it_was_seen() {
        let mut left = TimeLeft::default();
        assert_eq!(left.secs(100), None);
        for second in 0..10 {
            left.note(f64::from(second), second as usize);
            assert_eq!(left.secs(100), None, "{second} s are too few");
        }
        left.note(10.0, 10);
        assert_eq!(left.secs(100), Some(90.0));
        // It becomes three times as fast; after half a minute the beginning counts no more.
        for second in 11..=41_u32 {
            left.note(f64::from(second), 10 + 3 * (second as usize - 10));
        }
        assert_eq!(left.secs(193), Some(30.0));
        left.forget();
        assert_eq!(left.secs(193), None);
    }

    #[test]
    fn work_that_stands_still_has_no_end() {
        let mut left = TimeLeft::default();
        left.note(0.0, 5);
        left.note(20.0, 5);
        assert_eq!(left.secs(100), None);
    }
}

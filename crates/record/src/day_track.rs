//! The way of a day, kept with its session to be drawn: far fewer points than a receiver records.

use serde::{Deserialize, Serialize};

/// Most points that are kept of a day's way: a small map shows no more.
pub const TRACK_POINTS_MOST: usize = 600;

/// A way, by stretches without a break.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct DayTrack {
    /// What its file was called.
    pub name: String,
    /// Latitude and longitude of each point, degrees, WGS 84.
    pub stretches: Vec<Vec<(f64, f64)>>,
}

impl DayTrack {
    /// Thins a way out until it is small enough, each stretch by the same measure; their ends stay.
    pub fn thinned(name: &str, stretches: &[Vec<(f64, f64)>]) -> Self {
        let all: usize = stretches.iter().map(Vec::len).sum();
        let every = all.div_ceil(TRACK_POINTS_MOST).max(1);
        let thin = |stretch: &Vec<(f64, f64)>| {
            let last = stretch.len().saturating_sub(1);
            let kept = stretch.iter().enumerate().filter(|(at, _)| at % every == 0 || *at == last);
            kept.map(|(_, point)| *point).collect()
        };
        let stretches = stretches.iter().filter(|s| !s.is_empty()).map(thin).collect();
        Self { name: name.to_owned(), stretches }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_way_is_thinned_and_keeps_its_ends() {
        let stretch = |n: u32| (0..n).map(|i| (f64::from(i), 1.0)).collect::<Vec<_>>();
        let track = DayTrack::thinned("walk.gpx", &[stretch(5000), stretch(2), vec![]]);
        let points: usize = track.stretches.iter().map(Vec::len).sum();
        assert!(points <= TRACK_POINTS_MOST + 4, "{points}");
        assert_eq!(track.stretches.len(), 2);
        assert_eq!(track.stretches[0].last(), Some(&(4999.0, 1.0)));
        assert_eq!(track.stretches[1], stretch(2));
        assert_eq!(DayTrack::thinned("", &[stretch(30)]).stretches[0], stretch(30));
    }
}

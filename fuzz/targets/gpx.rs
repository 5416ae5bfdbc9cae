//! A track, and places at and between its points.
#![no_main]

use libfuzzer_sys::fuzz_target;
use notes::{place_at, read_gpx};

fuzz_target!(|data: &[u8]| {
    let Ok(tracks) = read_gpx(data) else { return };
    for segment in &tracks.segments {
        assert!(segment.points.windows(2).all(|w| w[0].time_ms < w[1].time_ms));
        for point in &segment.points {
            for ms in [point.time_ms, point.time_ms.saturating_add(500)] {
                let Ok(instant) = jiff::Timestamp::from_millisecond(ms) else { continue };
                if let Ok(placed) = place_at(&tracks, instant, 60.0) {
                    assert!(placed.latitude.abs() <= 90.0 && placed.longitude.abs() <= 180.0);
                    assert!(placed.uncertainty.total_m() >= 30.0);
                }
            }
        }
    }
});

use super::*;
use crate::gpx::read_gpx;

/// A track of segments, each `latitude longitude elevation clock` by semicolons; clocks on 14 June 2026.
fn tracks(segments: &[&str]) -> Tracks {
    let segments = segments.iter().zip(0..).map(|(text, track)| {
        let points = text.split(';').map(|point| {
            let parts: Vec<&str> = point.split_whitespace().collect();
            let number = |at: usize| parts[at].parse::<f64>().unwrap();
            Point {
                latitude: number(0),
                longitude: number(1),
                time_ms: moment(parts[3]).as_millisecond(),
                elevation_m: Some(number(2) as f32),
            }
        });
        Segment { track, points: points.collect() }
    });
    Tracks { segments: segments.collect(), ..Tracks::default() }
}

fn moment(clock: &str) -> Timestamp {
    format!("2026-06-14T{clock}Z").parse().unwrap()
}

const WALK: &str = "52.200000 0.120000 12 09:00:00; 52.200500 0.120700 14 09:01:00";

/// Worked by hand from two points a minute apart: the middle, 73.39 m on the ellipsoid, 1.22 m/s, and 73 m for a clock
/// that is a minute wrong.
#[test]
fn a_frame_is_placed_between_two_points() {
    let instant = "2026-06-14T10:00:30+01:00".parse().unwrap();
    let placed = place_at(&tracks(&[WALK]), instant, 60.0).unwrap();
    assert!((placed.latitude - 52.200_25).abs() < 1e-9 && (placed.longitude - 0.120_35).abs() < 1e-9);
    assert_eq!(placed.decimal_text(), ("52.20025".to_owned(), "0.12035".to_owned()));
    assert_eq!((placed.elevation_m, placed.gap_secs), (Some(13.0), 60.0));
    assert!((placed.speed_m_per_s - 1.22).abs() < 0.005);
    let parts = placed.uncertainty;
    assert!((parts.walked_m * 2.0 - 73.39).abs() < 0.005 && (parts.clock_m - 73.39).abs() < 0.005);
    assert!((parts.total_m() - (30.0 + 73.39 / 2.0 + 73.39)).abs() < 0.01);
    let sure = place_at(&tracks(&[WALK]), instant, 0.0).unwrap();
    assert!(sure.uncertainty.clock_m.abs() < f64::EPSILON);
}

#[test]
fn on_a_point_there_is_no_gap() {
    for (clock, latitude) in [("09:00:00", 52.2), ("09:01:00", 52.2005)] {
        let placed = place_at(&tracks(&[WALK]), moment(clock), 10.0).unwrap();
        assert_eq!((placed.latitude, placed.gap_secs, placed.uncertainty.walked_m), (latitude, 0.0, 0.0));
        assert!((placed.uncertainty.clock_m - 12.2).abs() < 0.05, "the walk beside it counts");
    }
}

#[test]
fn a_clock_error_goes_by_the_fastest_walk_it_reaches() {
    let two = tracks(&["52 0 0 09:00:00; 52 0 0 09:01:00; 52.01 0 0 09:02:00"]);
    let clock_m = |error| place_at(&two, moment("09:00:30"), error).unwrap().uncertainty.clock_m;
    assert!(clock_m(20.0).abs() < f64::EPSILON);
    // A hundredth of a degree of latitude is 1112.7 m at 52°; over a minute, for 40 s.
    assert!((clock_m(40.0) - 1112.7 * 40.0 / 60.0).abs() < 0.2, "{}", clock_m(40.0));
}

#[test]
fn no_place_across_segments_in_gaps_or_outside() {
    let two = tracks(&[WALK, "52.21 0.13 9 10:00:00; 52.22 0.13 9 10:10:00; 52.23 0.13 9 10:20:00.001"]);
    let no = |clock| place_at(&two, moment(clock), 0.0).unwrap_err();
    assert_eq!(no("08:59:00"), NoPlace::Before(60.0));
    assert_eq!(no("09:02:00"), NoPlace::Break { since: 60.0, until: 3480.0 });
    assert_eq!(no("10:15:00"), NoPlace::Gap(600.001));
    assert_eq!(no("11:20:00.001"), NoPlace::After(3600.0));
    assert!(place_at(&two, moment("10:05:00"), 0.0).is_ok(), "ten minutes are within the limit");
    assert_eq!(no("11:20:00.001").to_string(), "this is 1 h after the track ends");
    assert_eq!(place_at(&Tracks::default(), moment("10:00:00"), 0.0), Err(NoPlace::NoTrack));
}

#[test]
fn the_antimeridian_is_crossed_the_short_way() {
    for (from, to, between) in [("179.9999", "-179.9997", -179.9999), ("-179.9999", "179.9995", 179.9998)] {
        let over = tracks(&[&format!("10 {from} 0 09:00:00; 10 {to} 0 09:01:00")]);
        let placed = place_at(&over, moment("09:00:30"), 0.0).unwrap();
        assert!((placed.longitude - between).abs() < 1e-9, "{}", placed.longitude);
        assert!(placed.uncertainty.walked_m < 100.0);
    }
    let on = tracks(&["10 179.9 0 09:00:00; 10 180 0 09:01:00"]);
    assert!((place_at(&on, moment("09:01:00"), 0.0).unwrap().longitude + 180.0).abs() < 1e-9);
}

#[test]
fn two_tracks_of_one_moment_widen_the_place_or_leave_none() {
    let near = tracks(&[WALK, "52.2010 0.12035 12 09:00:25; 52.2010 0.12035 14 09:00:35"]);
    let placed = place_at(&near, moment("09:00:30"), 0.0).unwrap();
    assert!((placed.gap_secs - 10.0).abs() < 1e-9, "the nearest points are taken");
    // 0.00075° of latitude at 52.2°, 111 267 m a degree.
    assert!((placed.uncertainty.apart_m - 83.45).abs() < 0.05, "{}", placed.uncertainty.apart_m);
    let far = tracks(&[WALK, "52.3 0.12 12 09:00:25; 52.3 0.12 14 09:00:35"]);
    assert!(matches!(place_at(&far, moment("09:00:30"), 0.0), Err(NoPlace::Apart(m)) if m > 11_000.0));
}

/// The example track of the collection that `ENDLEAF_CORPUS` names, with the place worked out beside it.
#[test]
#[ignore = "needs the collection that ENDLEAF_CORPUS names"]
#[allow(clippy::disallowed_methods, reason = "a test may read its own data")]
fn the_example_track_places_a_frame() {
    let folder = std::env::var_os("ENDLEAF_CORPUS").expect("set ENDLEAF_CORPUS to its folder");
    let path = std::path::Path::new(&folder).join("standards/data/example-track.gpx");
    let read = read_gpx(&std::fs::read(path).unwrap()[..]).unwrap();
    assert!(read.told.is_empty());
    let placed = place_at(&read, moment("09:00:30"), 60.0).unwrap();
    assert!((placed.latitude - 52.200_25).abs() < 1e-9 && (placed.longitude - 0.120_35).abs() < 1e-9);
    assert_eq!(placed.elevation_m, Some(13.0));
    assert!(matches!(place_at(&read, moment("09:30:00"), 0.0), Err(NoPlace::Break { .. })));
}

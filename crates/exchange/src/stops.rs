//! Which records give a coarsened place away: those taken at the same stop.
//!
//! Go in: where and when each animal was caught, and whether its place is coarsened. Come out: the records shared exactly
//! that were made on the same day at the same place, or at a site of the same name. Whether they are coarsened too is the
//! person's decision (Chapman 2020 advises against restricting records of other species).

use std::collections::BTreeMap;

use record::Coordinates;
use uuid::Uuid;

/// Metres that a place counts as uncertain where nobody said: the usual value for a receiver whose precision was not noted
/// (Darwin Core, comments on `coordinateUncertaintyInMeters`, 2026-05-26).
const UNSAID_M: f64 = 30.0;

/// Where and when an animal was caught.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// The occurrence.
    pub occurrence: Uuid,
    /// The day as `2026-06-14`; empty when not known, which counts as any day.
    pub date: String,
    /// Where.
    pub at: Option<Coordinates>,
    /// Radius of the circle that surely holds it, metres; `None` when nobody said.
    pub uncertainty_m: Option<f64>,
    /// The site by name; may be empty.
    pub locality: String,
    /// Whether its place is shared coarsened or not at all.
    pub is_coarsened: bool,
}

/// A record that gives another's place away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Betrayal {
    /// The occurrence whose place is shared as held.
    pub exact: Uuid,
    /// One of those coarsened whose place it gives away, the first given.
    pub coarsened: Uuid,
}

/// The records shared exactly that give a coarsened place away, in the order given.
pub fn betraying(stops: &[Stop]) -> Vec<Betrayal> {
    let mut coarsened: BTreeMap<&str, Vec<&Stop>> = BTreeMap::new();
    for stop in stops.iter().filter(|stop| stop.is_coarsened) {
        coarsened.entry(&stop.date).or_default().push(stop);
    }
    let by = |exact: &Stop| {
        let of = |date: &str| coarsened.get(date).into_iter().flatten();
        let found = if exact.date.is_empty() {
            coarsened.values().flatten().find(|other| is_one_stop(exact, other))
        } else {
            of(&exact.date).chain(of("")).find(|other| is_one_stop(exact, other))
        };
        found.map(|other| Betrayal { exact: exact.occurrence, coarsened: other.occurrence })
    };
    stops.iter().filter(|stop| !stop.is_coarsened).filter_map(by).collect()
}

/// Whether two places may be one: their circles touch, or they have one name.
fn is_one_stop(one: &Stop, other: &Stop) -> bool {
    let same_name = !one.locality.trim().is_empty()
        && one.locality.trim().to_lowercase() == other.locality.trim().to_lowercase();
    let reach = |stop: &Stop| stop.uncertainty_m.unwrap_or(UNSAID_M);
    let touch = || {
        let (one_at, other_at) = one.at.zip(other.at)?;
        Some(distance_m(one_at, other_at) <= reach(one) + reach(other))
    };
    same_name || touch().unwrap_or(false)
}

/// Great-circle distance by haversines on the sphere of mean radius 6 371 008.8 m (IUGG); at most 0.56 % off the ellipsoid.
fn distance_m(one: Coordinates, other: Coordinates) -> f64 {
    let (lat, to_lat) = (one.latitude.to_radians(), other.latitude.to_radians());
    let half = |from: f64, to: f64| ((to - from) / 2.0).sin().powi(2);
    let across = half(one.longitude.to_radians(), other.longitude.to_radians());
    let haversine = half(lat, to_lat) + lat.cos() * to_lat.cos() * across;
    2.0 * 6_371_008.8 * haversine.sqrt().min(1.0).asin()
}

#[cfg(test)]
mod tests {
    use record::parse_coordinates;

    use super::*;

    fn stop(n: u128, date: &str, at: &str, uncertainty_m: Option<f64>, locality: &str) -> Stop {
        Stop {
            occurrence: Uuid::from_u128(n),
            date: date.into(),
            at: parse_coordinates(at).ok(),
            uncertainty_m,
            locality: locality.into(),
            is_coarsened: n < 10,
        }
    }

    fn check(stops: &[Stop], expected: &[(u128, u128)]) {
        let found = betraying(stops);
        let found: Vec<_> = found.iter().map(|b| (b.exact.as_u128(), b.coarsened.as_u128())).collect();
        assert_eq!(found, expected);
    }

    /// Haversine distances on the IUGG sphere, worked out apart: 0,0 to 0,1; 60,10 to 60.001,10.001; over 180 degrees.
    #[test]
    fn distances_are_those_on_the_sphere() {
        for (one, other, metres) in [
            ("0, 0", "0, 1", 111_195.080),
            ("60, 10", "60.001, 10.001", 124.320),
            ("10, 179.9999", "10, -179.9999", 21.901),
        ] {
            let [one, other] = [one, other].map(|text| parse_coordinates(text).unwrap());
            assert!((distance_m(one, other) - metres).abs() < 0.001, "{}", distance_m(one, other));
        }
    }

    #[test]
    fn a_stop_is_one_by_place_or_by_name_on_one_day() {
        const DAY: &str = "2026-06-14";
        let rare = stop(1, DAY, "52.20000, 0.12000", Some(10.0), "Old quarry");
        // 0.0005 degree of latitude are 56 m.
        let beside = |n, uncertainty| stop(n, DAY, "52.20050, 0.12000", uncertainty, "");
        check(&[rare.clone(), beside(11, Some(45.0)), beside(12, Some(47.0))], &[(12, 1)]);
        check(&[rare.clone(), beside(13, None)], &[]);
        check(&[stop(1, DAY, "52.2, 0.12", None, ""), beside(13, None)], &[(13, 1)]);
        check(&[rare.clone(), stop(14, DAY, "", None, " old QUARRY ")], &[(14, 1)]);
        check(&[stop(1, DAY, "", None, ""), stop(14, DAY, "", None, "")], &[]);
        check(&[rare.clone(), stop(15, "2026-06-15", "52.2, 0.12", Some(10.0), "Old quarry")], &[]);
        check(&[rare.clone(), stop(16, "", "52.2, 0.12", Some(10.0), "")], &[(16, 1)]);
        check(&[stop(2, "", "52.2, 0.12", None, ""), stop(17, DAY, "52.2, 0.12", None, "")], &[(17, 2)]);
        check(&[rare, stop(2, DAY, "52.2, 0.12", None, "")], &[]);
    }
}

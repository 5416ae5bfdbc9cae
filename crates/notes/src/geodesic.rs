//! Distance between two places on the ellipsoid WGS 84.

use geographiclib_rs::{Geodesic, InverseGeodesic};

/// Length of the shortest way over the ellipsoid WGS 84 between two places, in metres; latitudes and longitudes in
/// decimal degrees. Karney (2013), Algorithms for geodesics, J. Geodesy 87:43–55.
pub fn distance_m(from: (f64, f64), to: (f64, f64)) -> f64 {
    Geodesic::wgs84().inverse(from.0, from.1, to.0, to.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Vincenty's inverse on WGS 84 (Vincenty 1975, Survey Review 23:88–93), computed apart from this crate, to the
    /// millimetre. One degree along the equator is a·π/180 and can be worked out by hand.
    #[test]
    fn distances_are_those_of_another_method() {
        for (from, to, metres) in [
            ((0.0, 0.0), (0.0, 1.0), 111_319.491),
            ((0.0, 0.0), (1.0, 0.0), 110_574.389),
            ((45.0, 0.0), (45.0, 1.0), 78_846.335),
            ((45.0, 0.0), (46.0, 0.0), 111_141.548),
            ((60.0, 10.0), (60.001, 10.001), 124.604),
            ((10.0, 179.9999), (10.0, -179.9999), 21.928),
            ((51.4778, -0.0015), (48.8584, 2.2945), 334_325.221),
        ] {
            let got = distance_m(from, to);
            assert!((got - metres).abs() < 0.001, "{from:?} {to:?}: {got} instead of {metres}");
        }
    }
}

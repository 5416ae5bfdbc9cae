//! Lengths on a picture: the scale, lines, polylines and ratios, each with its standard uncertainty.
//!
//! Go in: places in pixels of one picture, how well a person places a point, and a length that is known. Come out: values
//! with uncertainty, and what makes it up. Relative variances add (JCGM 100:2008, 5.1.6):
//! `(uL/L)² = (up/p)² + (us/s)² + tilt² + depth²`, where the scale s = d/n mm per px of a length d that spans n px has
//! `(us/s)² = (un/n)² + (ud/d)²`. Which frame a scale may be used on is [`crate::carried`]'s question; lenses'
//! distortion is left out.

use crate::region::Point;
use crate::uncertain::Uncertain;

/// How a length may lie out of the scale's plane, as far as a person thinks possible.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OutOfPlane {
    /// The largest tilt against the plane of the picture, degrees, 0 to less than 90. A length tilted by θ looks shorter
    /// by the factor cos θ.
    pub tilt_deg: f64,
    /// The largest share by which it looks larger or smaller because it lies nearer or farther: see [`depth_share`].
    pub depth_share: f64,
}

/// The share by which what lies nearer by `height_mm`, at `distance_mm` from the lens to the scale's plane, looks larger:
/// h / (D − h). `None` unless both are finite and the distance is the larger.
pub fn depth_share(height_mm: f64, distance_mm: f64) -> Option<f64> {
    let share = height_mm / (distance_mm - height_mm);
    (share.is_finite() && distance_mm > height_mm.abs()).then_some(share)
}

impl OutOfPlane {
    /// Standard uncertainties by tilt and by depth, as shares. Of tilt, all errors from 0 to 1 − cos θ are held equally
    /// likely and are not corrected: their root mean square is the largest over √3. Of depth the same to both sides (GUM
    /// 4.3.7).
    fn shares(self) -> [f64; 2] {
        let tilt = 1.0 - self.tilt_deg.to_radians().cos();
        [tilt, self.depth_share.abs()].map(|largest| largest / 3f64.sqrt())
    }
}

/// The longest of 1, 2 or 5 times a power of ten that is at most so much, as for the bar of a scale; `None` unless that is finite
/// and above 0.
pub fn round_length(most: f64) -> Option<f64> {
    if !usable(most) {
        return None;
    }
    // Powers as divisions, so that they are the decimals they are written as.
    let power = most.log10().floor() as i32;
    let of = |n: f64| if power < 0 { n / 10f64.powi(-power) } else { n * 10f64.powi(power) };
    [5.0, 2.0, 1.0].map(of).into_iter().find(|length| *length <= most)
}

/// How long one pixel is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// mm per px of the picture at the size it was measured at.
    pub mm_per_px: Uncertain,
}

impl Scale {
    /// The scale by a length of `known_mm` between two places, each placed with `placing_px` standard uncertainty in either
    /// direction. `None` when the places are one, or a number is not finite or not positive; either uncertainty may be 0.
    pub fn of(ends: [Point; 2], placing_px: f64, known_mm: Uncertain) -> Option<Self> {
        let span = length_px(&ends, placing_px)?;
        if !(usable(known_mm.value) && known_mm.standard.is_finite() && known_mm.standard >= 0.0) {
            return None;
        }
        let value = known_mm.value / span.value;
        let standard = value * span.relative().hypot(known_mm.relative());
        Some(Self { mm_per_px: Uncertain { value, standard } })
    }
}

/// A length on a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length {
    /// Its value in mm.
    pub mm: Uncertain,
    /// What its relative standard uncertainty is made of, in quadrature: placing its points, the scale, tilt, depth.
    pub shares: [f64; 4],
}

/// The length of a line or polyline through these places in order, px, each placed with `placing_px` standard uncertainty in
/// either direction. `None` when it has no length or a number is not finite.
///
/// A place moves the length by the difference of the directions of its two pieces, so a middle place of a straight line adds
/// nothing to first order; two ends add √2 times their uncertainty.
pub fn length_px(places: &[Point], placing_px: f64) -> Option<Uncertain> {
    let pieces: Vec<Point> = places.windows(2).map(|p| (p[1].0 - p[0].0, p[1].1 - p[0].1)).collect();
    let value = pieces.iter().map(|p| p.0.hypot(p.1)).sum::<f64>();
    if !(usable(value) && placing_px.is_finite() && placing_px >= 0.0) {
        return None;
    }
    let direction = |piece: Option<&Point>| {
        piece.filter(|p| p.0.hypot(p.1) > 0.0).map_or((0.0, 0.0), |p| {
            let long = p.0.hypot(p.1);
            (p.0 / long, p.1 / long)
        })
    };
    let moves = (0..places.len()).map(|i| {
        let (before, after) =
            (direction(i.checked_sub(1).and_then(|i| pieces.get(i))), direction(pieces.get(i)));
        (before.0 - after.0).powi(2) + (before.1 - after.1).powi(2)
    });
    Some(Uncertain { value, standard: placing_px * moves.sum::<f64>().sqrt() })
}

/// A length in mm from one in px of the same picture as the scale, or of one the scale may be carried to.
pub fn length(px: Uncertain, scale: Scale, out: OutOfPlane) -> Length {
    let [tilt, depth] = out.shares();
    let shares = [px.relative(), scale.mm_per_px.relative(), tilt, depth];
    let value = px.value * scale.mm_per_px.value;
    Length { mm: Uncertain { value, standard: value * in_quadrature(&shares) }, shares }
}

/// One length over another of the same picture, for which no scale is needed: its relative variance is the sum of both,
/// with tilt and depth counted for either. Their places are taken as placed apart; `None` when the other is 0.
pub fn ratio(one_px: Uncertain, other_px: Uncertain, out: OutOfPlane) -> Option<Uncertain> {
    let value = one_px.value / other_px.value;
    let [tilt, depth] = out.shares();
    let shares = [one_px.relative(), other_px.relative(), tilt, tilt, depth, depth];
    usable(value).then(|| Uncertain { value, standard: value * in_quadrature(&shares) })
}

fn in_quadrature(shares: &[f64]) -> f64 {
    shares.iter().map(|s| s * s).sum::<f64>().sqrt()
}

fn usable(v: f64) -> bool {
    v.is_finite() && v > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    const FLAT: OutOfPlane = OutOfPlane { tilt_deg: 0.0, depth_share: 0.0 };

    fn near(got: f64, expected: f64, within: f64) {
        assert!((got - expected).abs() <= within, "{got} is not {expected}");
    }

    /// 10.00 ± 0.02 mm over 1200 px, ends placed within √2 px.
    fn scale() -> Scale {
        let known = Uncertain { value: 10.0, standard: 0.02 };
        Scale::of([(100.0, 50.0), (1300.0, 50.0)], 2f64.sqrt(), known).unwrap()
    }

    #[test]
    fn a_round_length_is_the_longest_that_fits() {
        for (most, expected) in
            [(7.3, 5.0), (5.0, 5.0), (4.99, 2.0), (1.0, 1.0), (0.49, 0.2), (0.002, 0.002), (250.0, 200.0)]
        {
            assert_eq!(round_length(most), Some(expected), "{most}");
        }
        for odd in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(round_length(odd), None, "{odd}");
        }
    }

    #[test]
    fn a_worked_example_by_the_guide_to_uncertainty() {
        // By JCGM 100:2008: k = 120 px per mm, p = 482 px, u_p = u_n = 2 px (two ends of √2), u_d = 0.02 mm. Relative terms
        // 0.004149, 0.001667 and 0.002000 make 0.0048985: 4.0167 ± 0.0197 mm, written 4.02 ± 0.02.
        near(1.0 / scale().mm_per_px.value, 120.0, 1e-9);
        let px = length_px(&[(10.0, 10.0), (10.0, 492.0)], 2f64.sqrt()).unwrap();
        let got = length(px, scale(), FLAT);
        near(got.mm.value, 4.0167, 5e-5);
        near(got.mm.standard, 0.0197, 5e-5);
        near(got.shares[0], 0.004_149, 5e-7);
        near(got.shares[1], 0.001_667_f64.hypot(0.002), 5e-7);
        near(got.mm.relative(), 0.004_898_5, 5e-8);
        assert_eq!(got.mm.words(), "4.02 ± 0.02");
        assert_eq!(got.mm.expanded().words(), "4.02 ± 0.04");
    }

    #[test]
    fn what_lies_out_of_the_plane_adds_its_share() {
        // cos 10° shortens by 1.5 %, cos 20° by 6.0 %; 4 mm nearer at 200 mm is 2.0 % larger, 0.08 mm on 4 mm.
        near(depth_share(4.0, 200.0).unwrap(), 0.020_4, 5e-5);
        let px = Uncertain { value: 480.0, standard: 0.0 };
        let exact = Scale { mm_per_px: Uncertain { value: 1.0 / 120.0, standard: 0.0 } };
        let with = |tilt_deg, depth_share| length(px, exact, OutOfPlane { tilt_deg, depth_share }).mm;
        near(with(10.0, 0.0).relative() * 3f64.sqrt(), 0.015, 5e-4);
        near(with(20.0, 0.0).relative() * 3f64.sqrt(), 0.060, 5e-4);
        near(with(0.0, depth_share(4.0, 200.0).unwrap()).standard * 3f64.sqrt(), 0.08, 2e-3);
        near(
            with(20.0, 0.02).relative(),
            with(20.0, 0.0).relative().hypot(with(0.0, 0.02).relative()),
            1e-12,
        );
        near(with(20.0, 0.0).value, 4.0, 1e-12);
        for (height, distance) in [(5.0, 5.0), (5.0, 4.0), (f64::NAN, 9.0), (-9.0, 5.0)] {
            assert_eq!(depth_share(height, distance), None);
        }
    }

    #[test]
    fn a_polyline_is_the_sum_of_its_pieces() {
        let bent = length_px(&[(0.0, 0.0), (30.0, 40.0), (30.0, 100.0)], 1.0).unwrap();
        near(bent.value, 110.0, 1e-12);
        // The bend moves the length by the difference of the directions (0.6, 0.8) and (0, 1).
        near(bent.standard, (2.0_f64 + 0.6 * 0.6 + 0.2 * 0.2).sqrt(), 1e-12);
        let straight = length_px(&[(0.0, 0.0), (50.0, 0.0), (100.0, 0.0)], 1.0).unwrap();
        near(straight.standard, 2f64.sqrt(), 1e-12);
    }

    #[test]
    fn a_ratio_needs_no_scale() {
        // A cheek of 0.82 mm over 0.71 mm: 1.15.
        let line = |long: f64| length_px(&[(5.0, 5.0), (5.0 + long, 5.0)], 0.7).unwrap();
        let (long, wide) = (line(98.4), line(85.2));
        let got = ratio(long, wide, FLAT).unwrap();
        near(got.value, 1.155, 5e-4);
        near(got.relative(), long.relative().hypot(wide.relative()), 1e-12);
        let tilted = OutOfPlane { tilt_deg: 20.0, ..FLAT };
        let one = (1.0 - 20f64.to_radians().cos()) / 3f64.sqrt();
        near(ratio(long, wide, tilted).unwrap().relative(), got.relative().hypot(one * 2f64.sqrt()), 1e-12);
        assert_eq!(ratio(long, Uncertain { value: 0.0, standard: 0.1 }, FLAT), None);
    }

    #[test]
    fn what_has_no_length_measures_nothing() {
        assert_eq!(length_px(&[], 1.0), None);
        assert_eq!(length_px(&[(1.0, 1.0)], 1.0), None);
        assert_eq!(length_px(&[(1.0, 1.0), (1.0, 1.0)], 1.0), None);
        assert_eq!(length_px(&[(1.0, 1.0), (f64::INFINITY, 1.0)], 1.0), None);
        assert_eq!(length_px(&[(1.0, 1.0), (9.0, 1.0)], -1.0), None);
        assert!(length_px(&[(1.0, 1.0), (1.0, 1.0), (4.0, 5.0)], 1.0).is_some());
        let ends = [(0.0, 0.0), (10.0, 0.0)];
        for (value, standard) in [(0.0, 0.1), (-1.0, 0.1), (1.0, f64::NAN), (1.0, -0.1)] {
            assert_eq!(Scale::of(ends, 1.0, Uncertain { value, standard }), None);
        }
    }
}

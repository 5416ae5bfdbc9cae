//! How different two colours look: CIEDE2000 (ISO/CIE 11664-6).
//!
//! Go in: two colours as CIELAB of one white. Comes out: ΔE00 with all three weights 1, about 1 for a difference that is
//! just seen side by side. What difference is too large is not decided here.

use std::f64::consts::{PI, TAU};

/// The chroma at which the formula's correction of a\* and of hue turns, to the seventh power.
const TURN: f64 = 6_103_515_625.0; // 25⁷

/// ΔE00 of two colours given as L\*, a\*, b\*. The order of the two makes no difference.
///
/// Sharma G, Wu W & Dalal EN 2005, *Color Research and Application* 30:21–30, equations 2–22.
pub fn delta_e([l1, a1, b1]: [f64; 3], [l2, a2, b2]: [f64; 3]) -> f64 {
    let seventh_part = |c: f64| (c.powi(7) / (c.powi(7) + TURN)).sqrt();
    let g = 0.5 * (1.0 - seventh_part(a1.hypot(b1).midpoint(a2.hypot(b2))));
    let (a1, a2) = ((1.0 + g) * a1, (1.0 + g) * a2);
    let (c1, c2) = (a1.hypot(b1), a2.hypot(b2));
    let hue = |a: f64, b: f64| if a == 0.0 && b == 0.0 { 0.0 } else { b.atan2(a).rem_euclid(TAU) };
    let (h1, h2) = (hue(a1, b1), hue(a2, b2));

    let grey = c1 * c2 == 0.0;
    let apart = h2 - h1;
    let turn = match apart {
        _ if grey => 0.0,
        _ if apart > PI => apart - TAU,
        _ if apart < -PI => apart + TAU,
        _ => apart,
    };
    let mean_hue = match h1 + h2 {
        sum if grey => sum,
        sum if apart.abs() <= PI => sum / 2.0,
        sum if sum < TAU => sum.midpoint(TAU),
        sum => (sum - TAU) / 2.0,
    };
    let (lightness, chroma, hue) = (l2 - l1, c2 - c1, 2.0 * (c1 * c2).sqrt() * (turn / 2.0).sin());
    let (mean_l, mean_c) = (l1.midpoint(l2), c1.midpoint(c2));

    let t = 1.0 - 0.17 * (mean_hue - 30f64.to_radians()).cos()
        + 0.24 * (2.0 * mean_hue).cos()
        + 0.32 * (3.0 * mean_hue + 6f64.to_radians()).cos()
        - 0.20 * (4.0 * mean_hue - 63f64.to_radians()).cos();
    let from_blue = ((mean_hue.to_degrees() - 275.0) / 25.0).powi(2);
    let twist = (60.0 * (-from_blue).exp()).to_radians();
    let rotation = -2.0 * seventh_part(mean_c) * twist.sin();
    let from_mid = (mean_l - 50.0).powi(2);
    let lightness = lightness / (1.0 + 0.015 * from_mid / (20.0 + from_mid).sqrt());
    let chroma = chroma / (1.0 + 0.045 * mean_c);
    let hue = hue / (1.0 + 0.015 * mean_c * t);
    (lightness.powi(2) + chroma.powi(2) + hue.powi(2) + rotation * chroma * hue).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Table 1 of Sharma, Wu & Dalal 2005: two colours and their difference. Pairs 7 to 16 try the mean and the difference
    /// of hues about half a turn apart.
    #[rustfmt::skip]
    const PAIRS: [[f64; 7]; 34] = [
        [50.0, 2.6772, -79.7751, 50.0, 0.0, -82.7485, 2.0425],
        [50.0, 3.1571, -77.2803, 50.0, 0.0, -82.7485, 2.8615],
        [50.0, 2.8361, -74.02, 50.0, 0.0, -82.7485, 3.4412],
        [50.0, -1.3802, -84.2814, 50.0, 0.0, -82.7485, 1.0],
        [50.0, -1.1848, -84.8006, 50.0, 0.0, -82.7485, 1.0],
        [50.0, -0.9009, -85.5211, 50.0, 0.0, -82.7485, 1.0],
        [50.0, 0.0, 0.0, 50.0, -1.0, 2.0, 2.3669],
        [50.0, -1.0, 2.0, 50.0, 0.0, 0.0, 2.3669],
        [50.0, 2.49, -0.001, 50.0, -2.49, 0.0009, 7.1792],
        [50.0, 2.49, -0.001, 50.0, -2.49, 0.001, 7.1792],
        [50.0, 2.49, -0.001, 50.0, -2.49, 0.0011, 7.2195],
        [50.0, 2.49, -0.001, 50.0, -2.49, 0.0012, 7.2195],
        [50.0, -0.001, 2.49, 50.0, 0.0009, -2.49, 4.8045],
        [50.0, -0.001, 2.49, 50.0, 0.001, -2.49, 4.8045],
        [50.0, -0.001, 2.49, 50.0, 0.0011, -2.49, 4.7461],
        [50.0, 2.5, 0.0, 50.0, 0.0, -2.5, 4.3065],
        [50.0, 2.5, 0.0, 73.0, 25.0, -18.0, 27.1492],
        [50.0, 2.5, 0.0, 61.0, -5.0, 29.0, 22.8977],
        [50.0, 2.5, 0.0, 56.0, -27.0, -3.0, 31.903],
        [50.0, 2.5, 0.0, 58.0, 24.0, 15.0, 19.4535],
        [50.0, 2.5, 0.0, 50.0, 3.1736, 0.5854, 1.0],
        [50.0, 2.5, 0.0, 50.0, 3.2972, 0.0, 1.0],
        [50.0, 2.5, 0.0, 50.0, 1.8634, 0.5757, 1.0],
        [50.0, 2.5, 0.0, 50.0, 3.2592, 0.335, 1.0],
        [60.2574, -34.0099, 36.2677, 60.4626, -34.1751, 39.4387, 1.2644],
        [63.0109, -31.0961, -5.8663, 62.8187, -29.7946, -4.0864, 1.263],
        [61.2901, 3.7196, -5.3901, 61.4292, 2.248, -4.962, 1.8731],
        [35.0831, -44.1164, 3.7933, 35.0232, -40.0716, 1.5901, 1.8645],
        [22.7233, 20.0904, -46.694, 23.0331, 14.973, -42.5619, 2.0373],
        [36.4612, 47.858, 18.3852, 36.2715, 50.5065, 21.2231, 1.4146],
        [90.8027, -2.0831, 1.441, 91.1528, -1.6435, 0.0447, 1.4441],
        [90.9257, -0.5406, -0.9208, 88.6381, -0.8985, -0.7239, 1.5381],
        [6.7747, -0.2908, -2.4247, 5.8714, -0.0985, -2.2286, 0.6377],
        [2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082],
    ];

    #[test]
    fn all_34_published_pairs_agree_to_four_decimals() {
        for (i, [l1, a1, b1, l2, a2, b2, expected]) in PAIRS.into_iter().enumerate() {
            let (one, two) = ([l1, a1, b1], [l2, a2, b2]);
            for got in [delta_e(one, two), delta_e(two, one)] {
                assert!((got - expected).abs() <= 0.000_05, "pair {}: {got} is not {expected}", i + 1);
            }
        }
    }

    #[test]
    fn a_colour_is_no_different_from_itself() {
        for lab in [[0.0; 3], [50.0, 20.0, -30.0], [100.0, 0.0, 0.0]] {
            assert!(delta_e(lab, lab).abs() < 1e-12);
        }
    }
}

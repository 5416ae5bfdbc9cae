//! Grain: the noise of the sensor, told from what is seen by its finest scale.

use crate::Luma;

/// Standard deviation of the grain of a part of a picture, by Immerkær J (1996) *Comput. Vis. Image
/// Underst.* 64:300–302: σ = √(π/2) · Σ|I∗N| / (6 (W−2)(H−2)) with N = [1 −2 1; −2 4 −2; 1 −2 1].
///
/// The mask is zero on any plane, so light does not count; fine hair does. `None` below 3 × 3 px.
pub fn immerkaer(picture: &Luma) -> Option<f64> {
    let (w, h) = (picture.width, picture.height);
    if w < 3 || h < 3 {
        return None;
    }
    let mut sum = 0u64;
    let across = |[a, b, c]: &[u8; 3]| i32::from(*a) - 2 * i32::from(*b) + i32::from(*c);
    for y in 1..h - 1 {
        let [above, here, below] = [y - 1, y, y + 1].map(|y| picture.row(y).array_windows().map(across));
        let of_row = above.zip(here).zip(below).map(|((a, b), c)| (a - 2 * b + c).unsigned_abs());
        sum += u64::from(of_row.sum::<u32>());
    }
    let inner = ((w - 2) * (h - 2)) as f64;
    Some(std::f64::consts::FRAC_PI_2.sqrt() * sum as f64 / (6.0 * inner))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn checkerboard_of_immerkaer() {
        // Every |I∗N| of a board of 0 and 2 is 16, so σ = √(π/2)·16/6 = 3.3422.
        let board = Luma::new(5, 5, (0..25).map(|i| if i % 2 == 0 { 0 } else { 2 }).collect()).unwrap();
        assert!((immerkaer(&board).unwrap() - 3.3422).abs() < 5e-5);
    }

    #[test]
    fn planes_have_no_grain() {
        let plane = (0..60u8).map(|i| 2 * (i % 10) + 3 * (i / 10)).collect();
        assert_eq!(immerkaer(&Luma::new(10, 6, plane).unwrap()), Some(0.0));
        assert_eq!(immerkaer(&Luma::new(2, 9, vec![0; 18]).unwrap()), None);
    }
}

//! Grain: the noise of the sensor, told from what is seen by its finest scale.
//!
//! Immerkær J (1996) *Comput. Vis. Image Underst.* 64:300–302: σ = √(π/2) · Σ|I∗N| / (6 (W−2)(H−2)) with
//! N = [1 −2 1; −2 4 −2; 1 −2 1]. The mask is zero on any plane, so light does not count; fine hair does.

use crate::Luma;

/// |I∗N| at one pixel; 0 at the outermost, where the mask does not fit.
pub(crate) fn response(picture: &Luma, x: usize, y: usize) -> u32 {
    if x == 0 || y == 0 || x + 1 >= picture.width || y + 1 >= picture.height {
        return 0;
    }
    let across = |y: usize| {
        let at = y * picture.width + x;
        let [left, here, right] = [at - 1, at, at + 1].map(|i| i32::from(picture.pixels[i]));
        left - 2 * here + right
    };
    let [above, here, below] = [across(y - 1), across(y), across(y + 1)];
    (above - 2 * here + below).unsigned_abs()
}

/// Standard deviation of grain that makes this mean response.
pub(crate) fn sigma(mean_response: f64) -> f64 {
    std::f64::consts::FRAC_PI_2.sqrt() * mean_response / 6.0
}

/// Standard deviation of the grain of a picture; `None` below 3 × 3 px.
pub fn immerkaer(picture: &Luma) -> Option<f64> {
    let (w, h) = (picture.width, picture.height);
    if w < 3 || h < 3 || picture.pixels.len() != w * h {
        return None;
    }
    let places = (1..h - 1).flat_map(|y| (1..w - 1).map(move |x| (x, y)));
    let sum: u64 = places.map(|(x, y)| u64::from(response(picture, x, y))).sum();
    Some(sigma(sum as f64 / ((w - 2) * (h - 2)) as f64))
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

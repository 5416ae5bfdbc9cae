//! Grain: the noise of the sensor, told from what is seen by its finest scale.
//!
//! Immerkær J (1996) *Comput. Vis. Image Underst.* 64:300–302: σ = √(π/2) · Σ|I∗N| / (6 (W−2)(H−2)) with
//! N = [1 −2 1; −2 4 −2; 1 −2 1]. The mask is zero on any plane, so light does not count; fine hair does.

use crate::Luma;

/// |I∗N| at each pixel, row-major; 0 at the outermost, where the mask does not fit, and everywhere in a picture of less
/// than 3 × 3 px.
pub(crate) fn responses(picture: &Luma) -> Vec<u16> {
    let (w, h) = (picture.width, picture.height);
    let mut responses = vec![0; w * h];
    if w < 3 || h < 3 {
        return responses;
    }
    // The mask is [1 −2 1] across and the same down.
    let mut across = vec![0i16; w * h];
    for (y, seconds) in across.chunks_exact_mut(w).enumerate() {
        let row = picture.row(y);
        for (second, ((left, here), right)) in
            seconds[1..].iter_mut().zip(row.iter().zip(&row[1..]).zip(&row[2..]))
        {
            *second = i16::from(*left) - 2 * i16::from(*here) + i16::from(*right);
        }
    }
    for y in 1..h - 1 {
        let [above, here, below] = [y - 1, y, y + 1].map(|y| &across[y * w + 1..(y + 1) * w - 1]);
        for (response, ((a, b), c)) in
            responses[y * w + 1..].iter_mut().zip(above.iter().zip(here).zip(below))
        {
            *response = (a - 2 * b + c).unsigned_abs();
        }
    }
    responses
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
    let sum: u64 = responses(picture).into_iter().map(u64::from).sum();
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

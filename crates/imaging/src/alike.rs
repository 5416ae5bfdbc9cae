//! Whether two pictures show the same thing, as an embedded thumbnail and its picture should.
//!
//! Compares what is left at a dozen places across: exposure, sharpening and JPEG hardly touch that. Does not find out
//! which of the two is right.

use crate::variance::of_values;
use crate::{Field, Luma};

/// Places along each side that are compared: enough for an animal of a tenth of the frame to count.
const PLACES: usize = 16;

/// Share of the bolder picture's variance by which the two may differ. A judgement, not a measure: a thumbnail differs
/// from its own picture by sharpening and coding alone, and the variances of pictures that share nothing add up, to 2
/// when both are as bold. The line lies well below that, and leaves room for a thumbnail that was badly made.
const MOST_DIFFERENCE: f64 = 0.4;

/// Standard deviation, in levels, below which neither picture shows anything to differ by: sheets of paper.
const LEAST_CONTENT: f64 = 4.0;

/// Whether two pictures may show the same. Mean luma is left out. Even pictures show the same, and an empty one shows
/// what any does.
pub fn alike(a: &Luma, b: &Luma) -> bool {
    let (Some(a), Some(b)) = (places(a), places(b)) else { return true };
    let ((mean_a, var_a), (mean_b, var_b)) = (of_values(&a), of_values(&b));
    let off: f64 =
        a.iter().zip(&b).map(|(a, b)| ((f64::from(*a) - mean_a) - (f64::from(*b) - mean_b)).powi(2)).sum();
    let bolder = var_a.max(var_b);
    bolder < LEAST_CONTENT.powi(2) || off / a.len() as f64 <= MOST_DIFFERENCE * bolder
}

/// Means of the boxes of a grid; `None` when there is no picture. A side of fewer pixels has boxes of one pixel.
fn places(picture: &Luma) -> Option<Vec<f32>> {
    let field = Field::of(picture);
    if field.values.is_empty() {
        return None;
    }
    let part = |i: usize, n: usize| {
        let from = (i * n / PLACES).min(n - 1);
        from..((i + 1) * n / PLACES).max(from + 1)
    };
    let mean = |i: usize| {
        let (rows, columns) = (part(i / PLACES, field.height), part(i % PLACES, field.width));
        let n = (rows.len() * columns.len()) as f32;
        rows.map(|y| field.row(y)[columns.clone()].iter().sum::<f32>()).sum::<f32>() / n
    };
    Some((0..PLACES * PLACES).map(mean).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A disc at a place, in a picture of any size.
    fn disc(width: usize, height: usize, (cx, cy): (f64, f64), inside: u8, outside: u8) -> Luma {
        let pixel = |i: usize| {
            let (x, y) = ((i % width) as f64 / width as f64, (i / width) as f64 / height as f64);
            if (x - cx).hypot((y - cy) * 0.67) < 0.12 { inside } else { outside }
        };
        Luma::new(width, height, (0..width * height).map(pixel).collect()).unwrap()
    }

    #[test]
    fn size_and_exposure_do_not_matter_and_content_does() {
        let large = disc(640, 427, (0.4, 0.5), 60, 200);
        assert!(alike(&large, &disc(160, 107, (0.4, 0.5), 60, 200)));
        assert!(alike(&large, &disc(160, 104, (0.4, 0.5), 75, 215)), "brighter, and a little cut");
        assert!(!alike(&large, &disc(160, 107, (0.7, 0.3), 60, 200)), "elsewhere");
        assert!(!alike(&large, &disc(160, 107, (0.4, 0.5), 200, 60)), "inside out");
        let paper = Luma { width: 160, height: 107, pixels: vec![200; 160 * 107] };
        assert!(!alike(&large, &paper) && !alike(&paper, &large));
        assert!(alike(&paper, &Luma { pixels: vec![120; 160 * 107], ..paper.clone() }));
    }

    #[test]
    fn odd_pictures_say_nothing() {
        let dot = Luma { width: 1, height: 1, pixels: vec![9] };
        for other in [Luma::default(), dot.clone(), Luma { width: 1, height: 50, pixels: vec![9; 50] }] {
            assert!(alike(&dot, &other));
        }
    }
}

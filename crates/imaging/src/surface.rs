//! The light over a frame as a quadratic surface, fitted by least squares.
//!
//! A lamp at one side, a vignetting lens, a sheet that curves: all are smooth over the whole frame, and a
//! quadratic in x and y follows them while it cannot follow an animal.

use crate::Luma;

/// c₀ + c₁x + c₂y + c₃x² + c₄xy + c₅y² with x and y running from −1 to 1 over the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    coefficients: [f64; 6],
}

/// Place of pixel `i` of `n` on −1..1; 0 when there is only one.
fn place(i: usize, n: usize) -> f64 {
    if n < 2 { 0.0 } else { 2.0 * i as f64 / (n - 1) as f64 - 1.0 }
}

/// Powers of x and y in each term.
const POWERS: [(usize, usize); 6] = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2)];

/// The first five powers of a place.
fn powers(place: f64) -> [f64; 5] {
    [1.0, place, place.powi(2), place.powi(3), place.powi(4)]
}

/// Places along a side of `n` pixels, and Σ placeᵏ over it for k of 0..=4.
fn side(n: usize) -> (Vec<f64>, [f64; 5]) {
    let places: Vec<f64> = (0..n).map(|i| place(i, n)).collect();
    let mut moments = [0.0; 5];
    for at in &places {
        moments.iter_mut().zip(powers(*at)).for_each(|(moment, power)| *moment += power);
    }
    (places, moments)
}

impl Surface {
    /// Fits a picture. Terms that its shape cannot tell apart (a picture of one or two columns) are left
    /// out; an empty picture gives the zero surface.
    ///
    /// On a full grid Σ xᵃyᵇ is Σ xᵃ · Σ yᵇ, so the left sides of the normal equations need no look at the pixels,
    /// and the right ones take three sums a row.
    pub fn fit(picture: &Luma) -> Self {
        let (xs, by_x) = side(picture.width);
        let (ys, by_y) = side(picture.height);
        let left = POWERS.map(|(a, b)| POWERS.map(|(c, d)| by_x[a + c] * by_y[b + d]));
        let mut right = [0.0; 6];
        for (y, at_y) in ys.iter().enumerate() {
            let mut row = [0.0; 3];
            for (value, x) in picture.row(y).iter().zip(&xs) {
                let value = f64::from(*value);
                row[0] += value;
                row[1] += value * x;
                row[2] += value * (x * x);
            }
            let at_y = powers(*at_y);
            right.iter_mut().zip(POWERS).for_each(|(sum, (a, b))| *sum += row[a] * at_y[b]);
        }
        Self { coefficients: solve(left, right) }
    }

    /// What is left of a picture when the surface is taken off: row-major, zero mean where it was fitted.
    pub fn residual(&self, picture: &Luma) -> Vec<f64> {
        let [c0, c1, c2, c3, c4, c5] = self.coefficients;
        let (xs, _) = side(picture.width);
        let mut out = Vec::with_capacity(picture.pixels.len());
        for row in 0..picture.height {
            let y = place(row, picture.height);
            // Along a row the surface is a quadratic in x alone.
            let (constant, slope) = (c0 + c2 * y + c5 * y * y, c1 + c4 * y);
            let values = picture.row(row).iter().zip(&xs);
            out.extend(values.map(|(value, x)| f64::from(*value) - (constant + x * (slope + x * c3))));
        }
        out
    }
}

/// Solves the symmetric normal equations by Gauss–Jordan elimination with the largest pivot on the diagonal
/// first; terms whose pivot has vanished get the coefficient 0.
fn solve(mut left: [[f64; 6]; 6], mut right: [f64; 6]) -> [f64; 6] {
    // A pivot this much smaller than the largest is rounding, not information (f64 has 16 digits).
    let least = 1e-9 * (0..6).map(|i| left[i][i]).fold(0.0, f64::max);
    let mut done = [false; 6];
    while let Some(p) = (0..6).filter(|i| !done[*i]).max_by(|a, b| left[*a][*a].total_cmp(&left[*b][*b])) {
        if left[p][p] <= least {
            break;
        }
        done[p] = true;
        for row in (0..6).filter(|row| *row != p) {
            let factor = left[row][p] / left[p][p];
            let pivot_row = left[p];
            for (value, pivot) in left[row].iter_mut().zip(pivot_row) {
                *value -= factor * pivot;
            }
            right[row] -= factor * right[p];
        }
    }
    std::array::from_fn(|i| if done[i] { right[i] / left[i][i] } else { 0.0 })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picture(w: i32, h: i32, f: impl Fn(i32, i32) -> i32) -> Luma {
        let pixels = (0..h).flat_map(|y| (0..w).map(move |x| (x, y)));
        Luma::new(w as usize, h as usize, pixels.map(|(x, y)| u8::try_from(f(x, y)).unwrap()).collect())
            .unwrap()
    }

    fn largest_left(p: &Luma) -> f64 {
        Surface::fit(p).residual(p).iter().fold(0.0, |m: f64, r| m.max(r.abs()))
    }

    #[test]
    fn any_quadratic_is_removed_exactly() {
        // Whole-number quadratics, so that 8-bit rounding plays no part.
        assert!(largest_left(&picture(16, 10, |x, y| 100 + 3 * x - 2 * y)) < 1e-9);
        assert!(largest_left(&picture(12, 9, |x, y| 20 + x * x - x * y + y * y)) < 1e-9);
        assert!(largest_left(&picture(15, 15, |x, y| 200 - (x - 7) * (x - 7) - (y - 4) * (y - 4))) < 1e-9);
    }

    #[test]
    fn a_step_is_not_removed() {
        let step = picture(20, 10, |x, _| if x < 10 { 100 } else { 160 });
        assert!(largest_left(&step) > 15.0);
    }

    #[test]
    fn thin_and_empty_pictures_stay_finite() {
        for (w, h) in [(0, 0), (1, 1), (2, 2), (1, 9), (9, 1), (2, 9)] {
            let p = picture(w, h, |x, y| 50 + 2 * x + y);
            let left = Surface::fit(&p).residual(&p);
            assert!(left.iter().all(|r| r.abs() < 1e-6), "{w}×{h}: {left:?}");
        }
    }
}

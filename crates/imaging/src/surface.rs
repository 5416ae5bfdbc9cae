//! The light over a frame as a quadratic surface, fitted by least squares.
//!
//! A lamp at one side, a vignetting lens, a sheet that curves: all are smooth over the whole frame, and a
//! quadratic in x and y follows them while it cannot follow an animal.

use crate::Field;

/// c₀ + c₁x + c₂y + c₃x² + c₄xy + c₅y² with x and y running from −1 to 1 over the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    coefficients: [f64; 6],
}

/// Places of `n` pixels on −1..1; 0 when there is only one.
fn places(n: usize) -> Vec<f64> {
    (0..n).map(|i| if n < 2 { 0.0 } else { 2.0 * i as f64 / (n - 1) as f64 - 1.0 }).collect()
}

/// Powers of x and of y in each term.
const POWERS: [(u8, u8); 6] = [(0, 0), (1, 0), (0, 1), (2, 0), (1, 1), (0, 2)];

impl Surface {
    /// Fits a field. Terms that its shape cannot tell apart (a field of one or two columns) are left out; an empty
    /// field gives the zero surface.
    ///
    /// On a full grid every sum is one of columns times one of rows, so each value is touched three times only.
    pub fn fit(field: &Field) -> Self {
        let (columns, rows) = (places(field.width), places(field.height));
        let moment = |places: &[f64], power: u8| places.iter().map(|p| p.powi(power.into())).sum::<f64>();
        let left = POWERS.map(|(i, j)| POWERS.map(|(k, l)| moment(&columns, i + k) * moment(&rows, j + l)));
        let mut right = [0.0; 6];
        for (y, place) in rows.iter().enumerate() {
            let mut sums = [0.0; 3];
            for (value, x) in field.row(y).iter().zip(&columns) {
                let value = f64::from(*value);
                sums[0] += value;
                sums[1] += value * x;
                sums[2] += value * x * x;
            }
            for (sum, (i, j)) in right.iter_mut().zip(POWERS) {
                *sum += sums[usize::from(i)] * place.powi(j.into());
            }
        }
        Self { coefficients: solve(left, right) }
    }

    /// Fits a field where these indices of its values lie; others have no say. None give the zero surface.
    pub fn fit_at(field: &Field, indices: &[usize]) -> Self {
        let (columns, rows) = (places(field.width), places(field.height));
        let mut left = [[0.0; 6]; 6];
        let mut right = [0.0; 6];
        for i in indices {
            let (x, y) = (columns[i % field.width], rows[i / field.width]);
            let terms = POWERS.map(|(i, j)| x.powi(i.into()) * y.powi(j.into()));
            for ((row, sum), term) in left.iter_mut().zip(&mut right).zip(terms) {
                *sum += term * f64::from(field.values[*i]);
                row.iter_mut().zip(terms).for_each(|(entry, other)| *entry += term * other);
            }
        }
        Self { coefficients: solve(left, right) }
    }

    /// What is left of a field when the surface is taken off: zero mean where it was fitted.
    pub fn residual(&self, field: &Field) -> Field {
        let columns = places(field.width);
        let [one, x, y, xx, xy, yy] = self.coefficients;
        let mut values = Vec::with_capacity(field.values.len());
        for (row, down) in places(field.height).into_iter().enumerate() {
            let (start, slope) = (one + y * down + yy * down * down, x + xy * down);
            let light = |across: f64| start + (slope + xx * across) * across;
            let left = field.row(row).iter().zip(&columns);
            values.extend(left.map(|(value, across)| (f64::from(*value) - light(*across)) as f32));
        }
        Field { values, ..*field }
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

    fn picture(w: i32, h: i32, f: impl Fn(i32, i32) -> i32) -> Field {
        let places = (0..h).flat_map(|y| (0..w).map(move |x| (x, y)));
        Field { width: w as usize, height: h as usize, values: places.map(|(x, y)| f(x, y) as f32).collect() }
    }

    fn largest_left(p: &Field) -> f32 {
        Surface::fit(p).residual(p).values.iter().fold(0.0, |m: f32, r| m.max(r.abs()))
    }

    #[test]
    fn any_quadratic_is_removed_exactly() {
        // Whole-number quadratics, so that rounding plays next to no part.
        assert!(largest_left(&picture(16, 10, |x, y| 100 + 3 * x - 2 * y)) < 1e-4);
        assert!(largest_left(&picture(12, 9, |x, y| 20 + x * x - x * y + y * y)) < 1e-4);
        assert!(largest_left(&picture(15, 15, |x, y| 200 - (x - 7) * (x - 7) - (y - 4) * (y - 4))) < 1e-4);
    }

    #[test]
    fn a_step_is_not_removed() {
        let step = picture(20, 10, |x, _| if x < 10 { 100 } else { 160 });
        assert!(largest_left(&step) > 15.0);
    }

    #[test]
    fn a_few_places_tell_the_whole_surface() {
        let quadratic = picture(16, 10, |x, y| 100 + 3 * x - 2 * y + x * y - y * y);
        let border: Vec<usize> = (0..160).filter(|i| i % 16 < 2 || i % 16 > 13 || i / 16 < 2).collect();
        let left = Surface::fit_at(&quadratic, &border).residual(&quadratic);
        assert!(left.values.iter().all(|r| r.abs() < 1e-3), "{left:?}");
        let zero = Surface::fit_at(&quadratic, &[]).residual(&quadratic);
        assert_eq!(zero, quadratic);
    }

    #[test]
    fn thin_and_empty_pictures_stay_finite() {
        for (w, h) in [(0, 0), (1, 1), (2, 2), (1, 9), (9, 1), (2, 9)] {
            let p = picture(w, h, |x, y| 50 + 2 * x + y);
            let left = Surface::fit(&p).residual(&p);
            assert!(left.values.iter().all(|r| r.abs() < 1e-4), "{w}×{h}: {left:?}");
        }
    }
}

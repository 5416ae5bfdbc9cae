//! Square windows slid over a field: what each varies by, and along how many directions.
//!
//! In goes a field from which the light is taken off and the coded picture it came from; out comes, for each place of
//! the window, variance off a plane, directedness and grain. Sums over any window come from running totals, so the cost
//! does not depend on the window's size. What the numbers say about a subject is not decided here.

use crate::grain;
use crate::{Field, Luma};

/// What one window holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Window {
    /// Variance of the values once the plane that fits them best is taken off.
    pub(crate) variance: f64,
    /// How far slopes all run one way, 0..=1: 1 along a fold or a rim, low on anything that has a shape.
    pub(crate) directed: f64,
    /// Standard deviation of the coded picture's grain.
    pub(crate) grain: f64,
    /// How many of the frame's sides it reaches in the margin: 2 in a corner.
    pub(crate) sides: u8,
}

/// Share of the long side that counts as the frame's margin: what begins within it may be no part of the scene.
const MARGIN: f64 = 0.06;

/// What is summed at each pixel: value, its square, its products with column and row, the three products of its
/// slopes, and the grain mask's response.
const SUMMED: usize = 8;

/// Running totals: `totals[y · (width + 1) + x]` holds the sums above and left of that corner.
pub(crate) struct Sums {
    width: usize,
    height: usize,
    totals: Vec<[f64; SUMMED]>,
}

impl Sums {
    /// Sums a field, and the picture it was made from for its grain. Both must be of one size.
    pub(crate) fn new(field: &Field, picture: &Luma) -> Self {
        let (width, height) = (field.width, field.height);
        let smooth = smoothed(field);
        let mut totals = vec![[0.0; SUMMED]; (width + 1) * (height + 1)];
        for y in 0..height {
            let mut row = [0.0; SUMMED];
            let [above, here, below] =
                [y.saturating_sub(1), y, (y + 1).min(height - 1)].map(|y| smooth.row(y));
            for (x, value) in field.row(y).iter().enumerate() {
                let value = f64::from(*value);
                let across = f64::from(here[(x + 1).min(width - 1)] - here[x.saturating_sub(1)]) / 2.0;
                let down = f64::from(below[x] - above[x]) / 2.0;
                let grain = f64::from(grain::response(picture, x, y));
                let summed = [
                    value,
                    value * value,
                    value * x as f64,
                    value * y as f64,
                    across * across,
                    across * down,
                    down * down,
                    grain,
                ];
                let total = totals[y * (width + 1) + x + 1];
                let here = &mut totals[(y + 1) * (width + 1) + x + 1];
                for i in 0..SUMMED {
                    row[i] += summed[i];
                    here[i] = total[i] + row[i];
                }
            }
        }
        Self { width, height, totals }
    }

    /// All windows of this side, or of the field's shorter side if that is less, spread evenly from edge to edge about a
    /// third of a side apart. None when the field is empty.
    pub(crate) fn windows(&self, side_px: usize) -> Vec<Window> {
        let side = side_px.min(self.width).min(self.height);
        if side == 0 {
            return vec![];
        }
        let starts = |length: usize| {
            let (last, steps) = (length - side, (length - side).div_ceil((side / 3).max(1)).max(1));
            (0..=steps).map(move |i| (i * last + steps / 2) / steps)
        };
        let across: Vec<usize> = starts(self.width).collect();
        let places = starts(self.height).flat_map(|y| across.iter().map(move |x| (*x, y)));
        places.map(|(x, y)| self.window(x, y, side)).collect()
    }

    fn within(&self, x: usize, y: usize, side: usize) -> [f64; SUMMED] {
        let at = |x: usize, y: usize| &self.totals[y * (self.width + 1) + x];
        let (first, last) = (at(x, y), at(x + side, y + side));
        let (above, before) = (at(x + side, y), at(x, y + side));
        std::array::from_fn(|i| last[i] - above[i] - before[i] + first[i])
    }

    fn window(&self, x: usize, y: usize, side: usize) -> Window {
        let [sum, squares, by_x, by_y, xx, xy, yy, grain] = self.within(x, y, side);
        let n = (side * side) as f64;
        let mean = sum / n;
        // Σ(i − centre)² over a square of n values is n(n − 1)/12; on a full square the constant and the two slopes
        // of a plane are independent, so each takes off its own part.
        let centre = (side as f64 - 1.0) / 2.0;
        let spread = n * (n - 1.0) / 12.0;
        let explained = |by: f64, start: usize| {
            let cross = by - (start as f64 + centre) * sum;
            if spread > 0.0 { cross * cross / spread / n } else { 0.0 }
        };
        let variance = squares / n - mean * mean - explained(by_x, x) - explained(by_y, y);
        // Coherence of the structure tensor: (λ₁ − λ₂) / (λ₁ + λ₂) of its eigenvalues.
        let directed = if xx + yy > 0.0 { (xx - yy).hypot(2.0 * xy) / (xx + yy) } else { 0.0 };
        let margin = (MARGIN * self.width.max(self.height) as f64) as usize;
        let reaches =
            |start: usize, length: usize| u8::from(start < margin || start + side + margin > length);
        Window {
            variance: variance.max(0.0),
            directed: directed.clamp(0.0, 1.0),
            grain: grain::sigma(grain / n),
            sides: reaches(x, self.width) + reaches(y, self.height),
        }
    }
}

/// Means of 3 × 3 values (fewer at the edge), so that grain alone has no direction to speak of.
fn smoothed(field: &Field) -> Field {
    let (width, height) = (field.width, field.height);
    let mut values = Vec::with_capacity(field.values.len());
    let mut columns = vec![0.0; width];
    for y in 0..height {
        let rows = y.saturating_sub(1)..(y + 2).min(height);
        columns.fill(0.0);
        for row in rows.clone() {
            columns.iter_mut().zip(field.row(row)).for_each(|(sum, value)| *sum += value);
        }
        for x in 0..width {
            let beside = &columns[x.saturating_sub(1)..(x + 2).min(width)];
            values.push(beside.iter().sum::<f32>() / (beside.len() * rows.len()) as f32);
        }
    }
    Field { values, ..*field }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn only_window(side: usize, f: impl Fn(f64, f64) -> f64) -> Window {
        let values: Vec<u8> = (0..side * side)
            .map(|i| f((i % side) as f64, (i / side) as f64).clamp(0.0, 255.0) as u8)
            .collect();
        let picture = Luma::new(side, side, values).unwrap();
        let windows = Sums::new(&Field::of(&picture), &picture).windows(side);
        // The first and last place of a window as large as the field are one and the same.
        windows[0]
    }

    #[test]
    fn planes_have_no_variance_and_one_direction() {
        let plane = only_window(13, |x, y| 20.0 + 3.0 * x + 2.0 * y);
        assert!(plane.variance < 1e-6 && plane.directed > 0.9 && plane.grain < 0.5, "{plane:?}");
    }

    #[test]
    fn a_fold_runs_one_way_and_a_spot_does_not() {
        let fold = only_window(21, |x, y| if (x + y - 20.0).abs() < 2.0 { 40.0 } else { 200.0 });
        let spot = only_window(21, |x, y| if (x - 10.0).hypot(y - 10.0) < 4.0 { 40.0 } else { 200.0 });
        assert!(fold.directed > 0.9 && spot.directed < 0.1, "{fold:?} {spot:?}");
        assert!(fold.variance > 1000.0 && spot.variance > 1000.0);
    }

    #[test]
    fn variance_is_that_of_the_window_alone() {
        // By hand: columns of 0 and 9 in turn, 4 × 4; no plane fits any of it but the slope across.
        let stripes = only_window(4, |x, _| 9.0 * (x % 2.0));
        // Variance 20.25; Σ(i − 1.5)·v over a row is 9·(−0.5 + 1.5) = 9, in four rows 36; 36²/20/16 = 4.05.
        assert!((stripes.variance - 16.2).abs() < 1e-9, "{stripes:?}");
    }

    #[test]
    fn windows_reach_every_edge_and_know_it() {
        let picture = Luma::new(160, 107, vec![9; 160 * 107]).unwrap();
        let windows = Sums::new(&Field::of(&picture), &picture).windows(21);
        assert_eq!(windows.iter().filter(|w| w.sides == 2).count(), 16);
        assert!(windows.iter().any(|w| w.sides == 0));
        assert!(Sums::new(&Field::default(), &Luma::default()).windows(21).is_empty());
    }
}

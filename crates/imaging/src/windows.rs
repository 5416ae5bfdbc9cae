//! Square windows slid over a field: what each varies by, and along how many directions.
//!
//! In goes a field from which the light is taken off and the coded picture it came from; out comes, for each place of
//! the window, variance off a plane, directedness and grain. Rows come in one by one, and the part of one that a window
//! holds is the difference of two running totals, so the cost does not depend on the window's size. What the numbers say about a subject is not decided here.

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

/// What is summed over a window: value, its square, its products with column and row, the three products of its slopes,
/// and the grain mask's response.
const SUMMED: usize = 8;

/// Column of [`SUMMED`] with the products of value and row, which are those of a whole row at once.
const BY_ROW: usize = 3;

/// All windows of a field, and of the picture it was made from for its grain, a list for each of these sides. Both must
/// be of one size; an empty field has none.
///
/// A side larger than the field's shorter one is cut to that. Windows are spread evenly from edge to edge about a third
/// of a side apart.
pub(crate) fn windows<const N: usize>(
    field: &Field,
    picture: &Luma,
    sides_px: [usize; N],
) -> [Vec<Window>; N] {
    let (width, height) = (field.width, field.height);
    let mut grids = sides_px.map(|side| Grid::new(width, height, side));
    let smooth = smoothed(field);
    let responses = grain::responses(picture);
    let mut totals = vec![[0.0; SUMMED]; width + 1];
    for y in 0..height {
        let around = [y.saturating_sub(1), y, (y + 1).min(height - 1)].map(|y| smooth.row(y));
        total(&mut totals, field.row(y), around, &responses[y * width..(y + 1) * width]);
        for grid in &mut grids {
            grid.add_row(y, &totals);
        }
    }
    grids.map(|grid| grid.windows(width, height))
}

/// Running totals along a row: `totals[x]` gets the sums left of `x`. `around` holds the rows above, at and below it once
/// smoothed.
fn total(totals: &mut [[f64; SUMMED]], row: &[f32], around: [&[f32]; 3], responses: &[u16]) {
    let [above, here, below] = around;
    let last = row.len().saturating_sub(1);
    let mut so_far = [0.0; SUMMED];
    for (x, value) in row.iter().enumerate() {
        let across = (here[(x + 1).min(last)] - here[x.saturating_sub(1)]) / 2.0;
        let down = (below[x] - above[x]) / 2.0;
        let [value, across, down] = [*value, across, down].map(f64::from);
        let grain = f64::from(responses[x]);
        let summed =
            [value, value * value, value * x as f64, 0.0, across * across, across * down, down * down, grain];
        so_far.iter_mut().zip(summed).for_each(|(sum, more)| *sum += more);
        totals[x + 1] = so_far;
    }
}

/// Windows of one side, with what they hold of the rows so far.
struct Grid {
    side: usize,
    /// Where windows start, in order.
    across: Vec<usize>,
    down: Vec<usize>,
    /// Row-major: one for each start across, of each start down.
    sums: Vec<[f64; SUMMED]>,
}

impl Grid {
    fn new(width: usize, height: usize, side_px: usize) -> Self {
        let side = side_px.min(width).min(height);
        let starts = |length: usize| {
            let (last, steps) = (length - side, (length - side).div_ceil((side / 3).max(1)).max(1));
            (0..=steps).map(|i| (i * last + steps / 2) / steps).collect()
        };
        let (across, down) = if side == 0 { (vec![], vec![]) } else { (starts(width), starts(height)) };
        Self { side, sums: vec![[0.0; SUMMED]; across.len() * down.len()], across, down }
    }

    /// Adds a row to the windows that hold it.
    fn add_row(&mut self, y: usize, totals: &[[f64; SUMMED]]) {
        let first = self.down.partition_point(|start| start + self.side <= y);
        let end = self.down.partition_point(|start| *start <= y);
        let columns = self.across.len();
        for (column, x) in self.across.iter().enumerate() {
            let (before, upto) = (&totals[*x], &totals[x + self.side]);
            let mut part: [f64; SUMMED] = std::array::from_fn(|i| upto[i] - before[i]);
            part[BY_ROW] = part[0] * y as f64;
            for sums in self.sums[first * columns + column..end * columns].iter_mut().step_by(columns) {
                sums.iter_mut().zip(part).for_each(|(sum, more)| *sum += more);
            }
        }
    }

    fn windows(&self, width: usize, height: usize) -> Vec<Window> {
        let places = self.down.iter().flat_map(|y| self.across.iter().map(move |x| (*x, *y)));
        places.zip(&self.sums).map(|(at, sums)| window(at, self.side, (width, height), *sums)).collect()
    }
}

/// What the sums over a window say of it.
fn window((x, y): (usize, usize), side: usize, frame: (usize, usize), sums: [f64; SUMMED]) -> Window {
    let [sum, squares, by_x, by_y, xx, xy, yy, grain] = sums;
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
    let apart = ((xx - yy) * (xx - yy) + 4.0 * xy * xy).sqrt();
    let directed = if xx + yy > 0.0 { apart / (xx + yy) } else { 0.0 };
    let margin = (MARGIN * frame.0.max(frame.1) as f64) as usize;
    let reaches = |start: usize, length: usize| u8::from(start < margin || start + side + margin > length);
    Window {
        variance: variance.max(0.0),
        directed: directed.clamp(0.0, 1.0),
        grain: grain::sigma(grain / n),
        sides: reaches(x, frame.0) + reaches(y, frame.1),
    }
}

/// Means of 3 × 3 values (fewer at the edge), so that grain alone has no direction to speak of.
fn smoothed(field: &Field) -> Field {
    let (width, height) = (field.width, field.height);
    let mut values = Vec::with_capacity(field.values.len());
    // A column of zeros on either side stands for those that are not there.
    let mut columns = vec![0.0; width + 2];
    for y in 0..height {
        let rows = y.saturating_sub(1)..(y + 2).min(height);
        columns.fill(0.0);
        for row in rows.clone() {
            columns[1..].iter_mut().zip(field.row(row)).for_each(|(sum, value)| *sum += value);
        }
        let mean = |there: usize| 1.0 / (there * rows.len()) as f32;
        let (inner, edge) = (mean(3.min(width)), mean(2.min(width)));
        let sums = columns.iter().zip(&columns[1..]).zip(&columns[2..]).map(|((a, b), c)| a + b + c);
        values.extend(sums.map(|sum| sum * inner));
        for x in [0, width - 1] {
            values[y * width + x] = (columns[x] + columns[x + 1] + columns[x + 2]) * edge;
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
        let [windows] = windows(&Field::of(&picture), &picture, [side]);
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
    fn each_window_holds_its_own_rows_and_columns() {
        // Windows of 8 px start at most 2 px apart, evenly from edge to edge.
        let (across, down) = ([0, 2, 4, 6, 8], [0, 2, 3]);
        let pixels = (0..16 * 11u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8).collect();
        let picture = Luma::new(16, 11, pixels).unwrap();
        let [found] = windows(&Field::of(&picture), &picture, [8]);
        assert_eq!(found.len(), across.len() * down.len());
        for (i, window) in found.iter().enumerate() {
            let part = picture.crop(across[i % 5], down[i / 5], 8, 8);
            let [alone] = windows(&Field::of(&part), &part, [8]);
            assert!((window.variance - alone[0].variance).abs() < 1e-6, "{i}: {window:?} {:?}", alone[0]);
        }
    }

    #[test]
    fn windows_reach_every_edge_and_know_it() {
        let picture = Luma::new(160, 107, vec![9; 160 * 107]).unwrap();
        let [windows] = windows(&Field::of(&picture), &picture, [21]);
        assert_eq!(windows.iter().filter(|w| w.sides == 2).count(), 16);
        assert!(windows.iter().any(|w| w.sides == 0));
        assert!(super::windows(&Field::default(), &Luma::default(), [21])[0].is_empty());
    }
}

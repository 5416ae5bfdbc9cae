//! Blur: what the lens does to parts off the plane of focus, and what shadows need.
//!
//! A running mean taken three times over is close to a bell curve and costs the same at any width.

use crate::canvas::Spot;
use crate::maths::V3;

/// Blurs a plane of numbers, row by row `width_px` wide, with a bell curve of about `sigma_px`.
pub(crate) fn blurred(plane: &[f32], width_px: usize, sigma_px: f32) -> Vec<f32> {
    // Three means over 2r + 1 pixels have the variance r(r + 1).
    let reach = ((sigma_px * sigma_px + 0.25).sqrt() - 0.5 + 0.5).floor() as usize;
    let mut plane = plane.to_vec();
    if reach == 0 {
        return plane;
    }
    let mut line = vec![0.0; width_px];
    for _ in 0..3 {
        for row in plane.chunks_exact_mut(width_px) {
            line.copy_from_slice(row);
            running_mean(&line, reach, |index, mean| row[index] = mean);
        }
        mean_down(&mut plane, width_px, reach);
    }
    plane
}

/// Gives the mean of each place's neighbours up to `reach` away; beyond the ends the last value is repeated.
fn running_mean(line: &[f32], reach: usize, mut give: impl FnMut(usize, f32)) {
    let last = line.len() - 1;
    let count = (2 * reach + 1) as f32;
    let mut sum = line[0] * (reach + 1) as f32;
    for step in 1..=reach {
        sum += line[step.min(last)];
    }
    for index in 0..line.len() {
        give(index, sum / count);
        sum += line[(index + reach + 1).min(last)] - line[index.saturating_sub(reach)];
    }
}

/// Takes the running mean down all columns at once, row after row, as memory likes it.
fn mean_down(plane: &mut [f32], width_px: usize, reach: usize) {
    let before = plane.to_vec();
    let last = plane.len() / width_px - 1;
    let row_of = |row: usize| &before[row.min(last) * width_px..(row.min(last) + 1) * width_px];
    let count = (2 * reach + 1) as f32;
    let mut sums: Vec<f32> = row_of(0).iter().map(|value| value * (reach + 1) as f32).collect();
    for step in 1..=reach {
        for (sum, value) in sums.iter_mut().zip(row_of(step)) {
            *sum += value;
        }
    }
    for (row, means) in plane.chunks_exact_mut(width_px).enumerate() {
        let (coming, going) = (row_of(row + reach + 1), row_of(row.saturating_sub(reach)));
        for (column, mean) in means.iter_mut().enumerate() {
            *mean = sums[column] / count;
            sums[column] += coming[column] - going[column];
        }
    }
}

/// Blurs colour and cover alike.
pub(crate) fn blurred_spots(spots: &[Spot], width_px: usize, sigma_px: f32) -> Vec<Spot> {
    let plane = |part: fn(&Spot) -> f32| {
        let values: Vec<f32> = spots.iter().map(part).collect();
        blurred(&values, width_px, sigma_px)
    };
    let (red, green, blue) = (plane(|s| s.colour.0), plane(|s| s.colour.1), plane(|s| s.colour.2));
    let cover = plane(|s| s.cover);
    (0..spots.len())
        .map(|k| Spot { colour: V3(red[k], green[k], blue[k]), cover: cover[k], depth: spots[k].depth })
        .collect()
}

/// Softens parts far from the plane at `focus_depth`, by `sigma_px` for each body unit off it.
pub(crate) fn focused(spots: &[Spot], width_px: usize, focus_depth: f32, sigma_px: f32) -> Vec<Spot> {
    // Depth is spread a little beyond the outline, so that soft edges bleed outward as well.
    let spread_px = sigma_px * 0.12 + 1.0;
    let weights = blurred(&spots.iter().map(|s| s.cover).collect::<Vec<_>>(), width_px, spread_px);
    let depths = blurred(&spots.iter().map(|s| s.cover * s.depth).collect::<Vec<_>>(), width_px, spread_px);
    let steps: Vec<(f32, Vec<Spot>)> = [0.04, 0.11, 0.28]
        .iter()
        .map(|share| (share * sigma_px, blurred_spots(spots, width_px, share * sigma_px)))
        .collect();
    (0..spots.len())
        .map(|k| {
            let depth = if weights[k] > 1e-4 { depths[k] / weights[k] } else { focus_depth };
            // The first tenth of a body unit is sharp.
            let wanted_px = ((depth - focus_depth).abs() - 0.10).max(0.0) * sigma_px;
            let mut below = (0.0, spots[k]);
            for (step_px, blurred) in &steps {
                if wanted_px < *step_px {
                    return between(below.1, blurred[k], (wanted_px - below.0) / (step_px - below.0));
                }
                below = (*step_px, blurred[k]);
            }
            below.1
        })
        .collect()
}

fn between(a: Spot, b: Spot, share: f32) -> Spot {
    Spot {
        colour: a.colour.mix(b.colour, share),
        cover: a.cover + (b.cover - a.cover) * share,
        depth: a.depth,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blur_keeps_the_sum_and_has_the_width_asked_for() {
        let mut plane = vec![0.0; 101 * 101];
        plane[50 * 101 + 50] = 1.0;
        let blurred = blurred(&plane, 101, 6.0);
        let sum: f32 = blurred.iter().sum();
        let variance: f32 = (0..blurred.len())
            .map(|k| {
                let off = (k % 101) as f32 - 50.0;
                blurred[k] * off * off
            })
            .sum();
        assert!((sum - 1.0).abs() < 1e-3, "{sum}");
        assert!((variance.sqrt() - 6.0).abs() < 0.5, "{}", variance.sqrt());
    }
}

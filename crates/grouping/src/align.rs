//! Sequence alignment: the frames of a set laid along the views of a plan, every possible way weighed.
//!
//! In go a [`Habit`] and, for each frame, how well it fits each view; out come probabilities. Each frame shows one view,
//! or none of them (a detail). Two explanations are weighed against each other: the set was shot in the habitual order
//! with slips, or in no order at all. Sums run forward and backward over all ways, so nothing is decided too early.

use crate::habit::Habit;

/// Chance that a frame shows none of the views, where pictures can tell: our own choice.
const DETAIL: f64 = 0.03;

/// How a set's frames are laid along the views.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Aligned {
    /// For each frame the probability of each view, and last that of none of them. Each row sums to 1.
    pub probs: Vec<Vec<f64>>,
    /// Probability that the set was shot in no order.
    pub no_order: f64,
}

/// Aligns a set. `fits` has a row for each frame: how probable what is seen would be for each view, and last for none of
/// them, up to a factor common to the row; all 1 when nothing was looked at, one 1 and the rest 0 where a person
/// has confirmed. `no_order` is the probability beforehand that a set is shot in no order.
pub(crate) fn align(habit: &Habit, fits: &[Vec<f64>], no_order: f64) -> Aligned {
    let views = habit.start.len();
    if fits.is_empty() {
        return Aligned { probs: Vec::new(), no_order };
    }
    let (ordered, log_ordered) = sums(habit, fits);
    // Only sets of this length are compared, so that a short one is not taken for a disordered one.
    let flat = vec![vec![1.0; views + 1]; fits.len()];
    let log_flat = sums(habit, &flat).1;
    let mut log_free = 0.0;
    let free: Vec<Vec<f64>> = fits
        .iter()
        .map(|fit| {
            let mut row: Vec<f64> = fit[..views].iter().map(|f| f * (1.0 - DETAIL) / views as f64).collect();
            row.push(fit[views] * DETAIL);
            log_free += normalise(&mut row);
            row
        })
        .collect();
    let odds = no_order / (1.0 - no_order) * (log_free - (log_ordered - log_flat)).exp();
    let weight = if odds.is_finite() { odds / (1.0 + odds) } else { 1.0 };
    let mix =
        |a: &Vec<f64>, b: &Vec<f64>| a.iter().zip(b).map(|(o, f)| (1.0 - weight) * o + weight * f).collect();
    Aligned { probs: ordered.iter().zip(&free).map(|(a, b)| mix(a, b)).collect(), no_order: weight }
}

/// Probabilities in the habitual order, and the logarithm of the summed weight of all ways. A frame that shows none of
/// the views leaves the round where it stands.
fn sums(habit: &Habit, fits: &[Vec<f64>]) -> (Vec<Vec<f64>>, f64) {
    let views = habit.start.len();
    let n = fits.len();
    // State: what was shown last of the views (`views` for nothing yet), by a frame of it or a detail since.
    let mut shown: Vec<Vec<f64>> = Vec::with_capacity(n);
    let mut detail: Vec<Vec<f64>> = Vec::with_capacity(n);
    let mut log_total = 0.0;
    let mut at: Vec<f64> = vec![0.0; views + 1];
    at[views] = 1.0;
    for fit in fits {
        let mut here: Vec<f64> = (0..views).map(|j| at[views] * habit.start[j]).collect();
        for i in (0..views).filter(|i| at[*i] > 0.0) {
            for (here, step) in here.iter_mut().zip(&habit.step[i]) {
                *here += at[i] * step;
            }
        }
        here.iter_mut().zip(fit).for_each(|(h, f)| *h *= f * (1.0 - DETAIL));
        let mut aside: Vec<f64> = at.iter().map(|a| a * fit[views] * DETAIL).collect();
        let total: f64 = here.iter().sum::<f64>() + aside.iter().sum::<f64>();
        if total > 0.0 {
            here.iter_mut().chain(&mut aside).for_each(|p| *p /= total);
        }
        log_total += total.ln();
        at = (0..=views).map(|i| aside[i] + here.get(i).copied().unwrap_or(0.0)).collect();
        shown.push(here);
        detail.push(aside);
    }
    // A set of details alone ends as it may.
    let mut backward: Vec<f64> = habit.finish.iter().copied().chain([1.0]).collect();
    log_total += at.iter().zip(&backward).map(|(a, b)| a * b).sum::<f64>().ln();
    let mut probs = vec![Vec::new(); n];
    for frame in (0..n).rev() {
        let mut row: Vec<f64> = (0..views).map(|v| shown[frame][v] * backward[v]).collect();
        row.push(detail[frame].iter().zip(&backward).map(|(d, b)| d * b).sum());
        normalise(&mut row);
        probs[frame] = row;
        let fit = &fits[frame];
        let ahead =
            |row: &[f64]| -> f64 { (0..views).map(|j| row[j] * fit[j] * (1.0 - DETAIL) * backward[j]).sum() };
        let mut before: Vec<f64> = (0..=views)
            .map(|i| ahead(habit.step.get(i).unwrap_or(&habit.start)) + fit[views] * DETAIL * backward[i])
            .collect();
        normalise(&mut before);
        backward = before;
    }
    (probs, log_total)
}

/// Scales to sum 1, so that long sets neither vanish nor overflow, and gives the logarithm of the sum; all equal when
/// nothing fits.
fn normalise(row: &mut [f64]) -> f64 {
    let sum: f64 = row.iter().sum();
    if sum > 0.0 {
        for p in row.iter_mut() {
            *p /= sum;
        }
    } else {
        row.fill(1.0 / row.len() as f64);
    }
    sum.ln()
}

#[cfg(test)]
pub(crate) mod tests {
    use proptest::prelude::*;
    use record::Plan;

    use super::*;

    /// A plan of views a, b, c …, each `R`equired or `O`ptional.
    pub(crate) fn plan(required: &str) -> Plan {
        let views = required.chars().enumerate().map(|(i, kind)| {
            let letter = (b'a' + i as u8) as char;
            format!(
                "(key: \"{letter}\", name: \"{letter}\", letter: '{letter}', required: {}, subject_part: \"\",
                  subject_orientation: \"\", hint: \"\"),",
                kind == 'R'
            )
        });
        Plan::from_text(&format!("(key: \"p\", name: \"P\", views: [{}])", views.collect::<String>()))
            .unwrap()
    }

    proptest! {
        /// The sums agree with adding up every way one by one, details and no order included.
        #[test]
        fn agrees_with_brute_force(
            fits in prop::collection::vec(prop::collection::vec(0.01f64..1.0, 4), 1..5),
            no_order in 0.05f64..0.9,
        ) {
            let habit = Habit::of_plan(&plan("ROR"));
            let n = fits.len();
            let (mut total, mut total_flat, mut total_free) = (0.0, 0.0, 0.0);
            let (mut ordered, mut free) = (vec![vec![0.0; 4]; n], vec![vec![0.0; 4]; n]);
            for code in 0..4usize.pow(n as u32) {
                let way: Vec<usize> = (0..n).map(|i| code / 4usize.pow(i as u32) % 4).collect();
                let views: Vec<usize> = way.iter().copied().filter(|v| *v < 3).collect();
                let power = |base: f64, n: usize| base.powf(n as f64);
                let details = power(0.03, n - views.len()) * power(0.97, views.len());
                let mut prior = details;
                if let (Some(first), Some(last)) = (views.first(), views.last()) {
                    prior *= habit.start[*first] * habit.finish[*last];
                    prior *= views.windows(2).map(|w| habit.step[w[0]][w[1]]).product::<f64>();
                }
                let fit: f64 = way.iter().zip(&fits).map(|(v, f)| f[*v]).product();
                let by_chance = details / power(3.0, views.len()) * fit;
                total += prior * fit;
                total_flat += prior;
                total_free += by_chance;
                for (i, v) in way.iter().enumerate() {
                    ordered[i][*v] += prior * fit;
                    free[i][*v] += by_chance;
                }
            }
            let odds = no_order / (1.0 - no_order) * total_free / (total / total_flat);
            let weight = odds / (1.0 + odds);
            let got = align(&habit, &fits, no_order);
            prop_assert!((got.no_order - weight).abs() < 1e-9);
            for i in 0..n {
                for v in 0..4 {
                    let by_hand = (1.0 - weight) * ordered[i][v] / total + weight * free[i][v] / total_free;
                    prop_assert!((got.probs[i][v] - by_hand).abs() < 1e-9, "{} {}", got.probs[i][v], by_hand);
                }
            }
        }
    }

    #[test]
    fn any_length_and_any_plan_give_probabilities() {
        for required in ["R", "RO", &"R".repeat(26)] {
            let habit = Habit::of_plan(&plan(required));
            for n in [0, 1, 2, 40, 500] {
                let views = required.len();
                let nothing_fits = vec![vec![0.0; views + 1]; n];
                for fits in [vec![vec![1.0; views + 1]; n], nothing_fits] {
                    let aligned = align(&habit, &fits, 0.15);
                    assert!((0.0..=1.0).contains(&aligned.no_order), "{required} {n}");
                    for row in aligned.probs {
                        assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{required} {n}");
                    }
                }
            }
        }
    }
}

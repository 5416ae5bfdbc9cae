//! Two-class split of real values by Otsu's criterion.

/// Where values split into two classes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Split {
    /// Middle of the gap between the classes.
    pub at: f64,
    /// Largest value of the lower class and smallest of the upper.
    pub gap: (f64, f64),
    /// Variance between the classes.
    pub between: f64,
    /// Share of all variance that lies between the classes, 0..=1. A uniform spread gives 0.75 and a normal
    /// one 2/π, so values near those mean no real split.
    pub separability: f64,
}

/// Splits values where the variance between the classes (Otsu N 1979, *IEEE Trans. Syst. Man Cybern.* 9:62–66)
/// times the weight of the gap is largest. `weight` is given the gap's two ends; 0 leaves the gap out, and 1
/// for every gap is Otsu's criterion itself.
///
/// Every place in a gap splits alike, so the middle of it is given. `None` when fewer than two values
/// differ or every gap is left out. Otsu always answers: whether the split means anything is for the
/// caller to judge. Values must be finite.
pub fn otsu(values: &[f64], weight: impl Fn(f64, f64) -> f64) -> Option<Split> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len() as f64;
    let mean = sorted.iter().sum::<f64>() / n;
    let total = sorted.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n;
    let mut best: Option<(f64, Split)> = None;
    let mut below = 0.0;
    for (i, pair) in sorted.windows(2).enumerate() {
        let (low, high) = (pair[0], pair[1]);
        below += low - mean;
        let share = (i + 1) as f64 / n;
        // ω₀ω₁(μ₀ − μ₁)² with means taken from the common mean: (Σ₀/n)² / (ω₀ω₁).
        let between = (below / n).powi(2) / (share * (1.0 - share));
        let worth = if low < high { weight(low, high) * between } else { 0.0 };
        if worth > best.map_or(0.0, |(most, _)| most) {
            let at = f64::midpoint(low, high);
            best = Some((worth, Split { at, gap: (low, high), between, separability: between / total }));
        }
    }
    best.map(|(_, split)| split)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn anywhere(_: f64, _: f64) -> f64 {
        1.0
    }

    #[test]
    fn worked_example_of_otsu() {
        // By Otsu (1979) on ten values: σ_B² = 196/25 of σ_T² = 206/25 for every place from 2 to below 6.
        let values = [1.0, 1.0, 2.0, 2.0, 2.0, 6.0, 7.0, 7.0, 8.0, 8.0];
        let split = otsu(&values, anywhere).unwrap();
        assert!((split.between - 7.84).abs() < 1e-12);
        assert!((split.separability - 0.9515).abs() < 5e-5);
        assert_eq!((split.at, split.gap), (4.0, (2.0, 6.0)));
        // Elsewhere, from the same table: between 6 and 7 it is 961/150.
        let high = otsu(&values, |low, _| if low < 6.0 { 0.0 } else { 1.0 - low / 100.0 }).unwrap();
        assert!((high.between - 961.0 / 150.0).abs() < 1e-12);
    }

    #[test]
    fn there_may_be_nothing_to_split() {
        assert_eq!(otsu(&[], anywhere), None);
        assert_eq!(otsu(&[3.0], anywhere), None);
        assert_eq!(otsu(&[3.0, 3.0, 3.0], anywhere), None);
        assert_eq!(otsu(&[1.0, 2.0], |_, _| 0.0), None);
    }
}

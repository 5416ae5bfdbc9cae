//! Variance in one pass: running (Welford), merged (Chan), and exact for 8-bit values.

/// Count, mean and sum of squared deviations, kept up to date value by value.
///
/// Welford BP (1962) *Technometrics* 4:419–420. Unlike Σx²/n − m² it does not cancel: see the tests.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Running {
    count: u64,
    mean: f64,
    squares: f64,
}

impl Running {
    /// Takes one value in.
    pub fn push(&mut self, x: f64) {
        self.count += 1;
        let delta = x - self.mean;
        self.mean += delta / self.count as f64;
        self.squares += delta * (x - self.mean);
    }

    /// Both parts as one (Chan TF, Golub GH, `LeVeque` RJ 1983).
    #[must_use]
    pub fn merge(self, other: Self) -> Self {
        if self.count == 0 {
            return other;
        }
        if other.count == 0 {
            return self;
        }
        let count = self.count + other.count;
        let (a, b, n) = (self.count as f64, other.count as f64, count as f64);
        let delta = other.mean - self.mean;
        Self {
            count,
            mean: self.mean + delta * b / n,
            squares: self.squares + other.squares + delta * delta * a * b / n,
        }
    }

    /// How many values were taken in.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// Their mean; 0 when there are none.
    pub fn mean(&self) -> f64 {
        self.mean
    }

    /// Their population variance; 0 when there are none.
    pub fn variance(&self) -> f64 {
        if self.count == 0 { 0.0 } else { self.squares / self.count as f64 }
    }
}

impl<'a, T: Copy + Into<f64>> From<&'a [T]> for Running {
    /// In two passes, mean first, which is as safe as value by value and needs no division for each.
    fn from(values: &'a [T]) -> Self {
        let reals = || values.iter().map(|x| (*x).into());
        let mean = reals().sum::<f64>() / values.len().max(1) as f64;
        let squares = reals().map(|x| (x - mean) * (x - mean)).sum();
        Self { count: values.len() as u64, mean, squares }
    }
}

/// Mean and population variance of 8-bit values from integer sums, without any rounding before the last
/// division: var = (nΣx² − (Σx)²)/n². Both 0 for no values.
pub fn exact(values: &[u8]) -> (f64, f64) {
    let n = values.len() as u128;
    if n == 0 {
        return (0.0, 0.0);
    }
    let sum = u128::from(values.iter().map(|x| u64::from(*x)).sum::<u64>());
    let squares = u128::from(values.iter().map(|x| u64::from(*x).pow(2)).sum::<u64>());
    (sum as f64 / n as f64, (n * squares - sum * sum) as f64 / (n * n) as f64)
}

/// Mean and population variance of real values, in two passes as [`Running::from`] takes them. Both 0 for no values.
pub fn of_values(values: &[f32]) -> (f64, f64) {
    let all = Running::from(values);
    (all.mean(), all.variance())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn worked_example_of_welford() {
        // By hand from Welford (1962): 4, 7, 13, 16 give m 10, S 90, population variance 22.5.
        let mut r = Running::default();
        for (x, m, s) in [(4.0, 4.0, 0.0), (7.0, 5.5, 4.5), (13.0, 8.0, 42.0), (16.0, 10.0, 90.0)] {
            r.push(x);
            assert_eq!((r.mean, r.squares), (m, s));
        }
        assert_eq!(r.variance().to_bits(), 22.5f64.to_bits());
    }

    #[test]
    fn a_large_offset_changes_nothing() {
        let offset = [4.0, 7.0, 13.0, 16.0].map(|x| x + 1e9);
        let r = Running::from(offset.as_slice());
        assert_eq!((r.squares, r.variance()), (90.0, 22.5));
        // The textbook form fails there: −128 in 64-bit floats.
        let naive = offset.iter().map(|x| x * x).sum::<f64>() / 4.0 - r.mean().powi(2);
        assert!((naive - 22.5).abs() > 100.0, "{naive}");
    }

    #[test]
    fn parts_merge_to_the_whole() {
        // Chan et al. (1983): {4,7} and {13,16}: S = 4.5 + 4.5 + 81·4/4 = 90.
        let part = |x: [f64; 2]| Running::from(x.as_slice());
        let whole = part([4.0, 7.0]).merge(part([13.0, 16.0]));
        assert_eq!((whole.count(), whole.mean(), whole.squares), (4, 10.0, 90.0));
        assert_eq!(Running::default().merge(whole), whole);
        assert_eq!(whole.merge(Running::default()), whole);
    }

    #[test]
    fn integer_sums_are_exact() {
        assert_eq!(exact(&[4, 7, 13, 16]), (10.0, 22.5));
        assert_eq!(exact(&[255; 1000]), (255.0, 0.0));
        assert_eq!(exact(&[]), (0.0, 0.0));
        assert_eq!(of_values(&[4.0, 7.0, 13.0, 16.0]), (10.0, 22.5));
        assert_eq!(of_values(&[]), (0.0, 0.0));
        assert_eq!(Running::default().variance().to_bits(), 0);
    }
}

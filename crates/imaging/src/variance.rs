//! Mean and variance: exact for 8-bit values, and without cancelling for real ones.

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

/// Mean and population variance of real values, in two passes: unlike Σx²/n − m² that does not cancel, see the tests.
/// Both 0 for no values.
pub fn of_values<T: Copy + Into<f64>>(values: &[T]) -> (f64, f64) {
    let n = values.len().max(1) as f64;
    let mean = sum(values, |x| x) / n;
    (mean, sum(values, |x| (x - mean) * (x - mean)) / n)
}

/// Sum of what each value stands for, in parts side by side, since each addition to one part waits for the last.
fn sum<T: Copy + Into<f64>>(values: &[T], of: impl Fn(f64) -> f64) -> f64 {
    const PARTS: usize = 8;
    let mut parts = [0.0; PARTS];
    for chunk in values.chunks(PARTS) {
        parts.iter_mut().zip(chunk).for_each(|(part, x)| *part += of((*x).into()));
    }
    parts.into_iter().sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn worked_example_of_welford() {
        // Welford BP (1962) *Technometrics* 4:419–420, by hand: 4, 7, 13, 16 give mean 10 and Σδ² 90, so 22.5.
        assert_eq!(of_values(&[4.0, 7.0, 13.0, 16.0]), (10.0, 22.5));
    }

    #[test]
    fn a_large_offset_changes_nothing() {
        let offset = [4.0, 7.0, 13.0, 16.0].map(|x| x + 1e9);
        let (mean, variance) = of_values(&offset);
        assert_eq!((mean, variance), (1e9 + 10.0, 22.5));
        // The textbook form fails there: −128 in 64-bit floats.
        let naive = offset.iter().map(|x| x * x).sum::<f64>() / 4.0 - mean.powi(2);
        assert!((naive - 22.5).abs() > 100.0, "{naive}");
    }

    #[test]
    fn integer_sums_are_exact() {
        assert_eq!(exact(&[4, 7, 13, 16]), (10.0, 22.5));
        assert_eq!(exact(&[255; 1000]), (255.0, 0.0));
        assert_eq!(exact(&[]), (0.0, 0.0));
        assert_eq!(of_values::<f32>(&[]), (0.0, 0.0));
    }
}

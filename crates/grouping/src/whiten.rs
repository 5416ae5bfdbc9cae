//! Small linear algebra: a covariance, its Cholesky factor, and distances measured by it.
//!
//! All in plain vectors of `f64`; sizes are those of a descriptor, some dozens.

/// A lower triangular factor `L` of a covariance `S = L Lᵀ`, row by row.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Factor(Vec<Vec<f64>>);

impl Factor {
    /// Factors a symmetric, positive definite matrix (Cholesky–Banachiewicz). `None` where it is not one.
    pub(crate) fn of(matrix: &[Vec<f64>]) -> Option<Self> {
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
        for (i, from) in matrix.iter().enumerate() {
            let mut row = Vec::with_capacity(i + 1);
            for j in 0..i {
                let above: &Vec<f64> = &rows[j];
                row.push((from[j] - dot(&row, &above[..j])) / above[j]);
            }
            let left = from[i] - dot(&row, &row);
            if !left.is_finite() || left <= 0.0 {
                return None;
            }
            row.push(left.sqrt());
            rows.push(row);
        }
        Some(Self(rows))
    }

    /// Solves `L y = x`: between two such `y`, the squared Euclidean distance is the Mahalanobis distance of the `x`.
    pub(crate) fn whiten(&self, x: &[f64]) -> Vec<f64> {
        let mut y: Vec<f64> = Vec::with_capacity(x.len());
        for (row, x) in self.0.iter().zip(x) {
            y.push((x - dot(&row[..row.len() - 1], &y)) / row[row.len() - 1]);
        }
        y
    }
}

/// Sum of products.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Squared Euclidean distance.
pub(crate) fn distance2(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).powi(2)).sum()
}

/// Covariance of rows that have mean 0, drawn towards a multiple of the identity.
///
/// How far is what Ledoit and Wolf give (“A well-conditioned estimator for large-dimensional covariance matrices”, 2004)
/// for these rows, and not less than `least`, 0..=1. `free` is how many rows are free to vary, at least 1; rows that
/// were taken from group means are fewer than they seem. No rows give the identity.
pub(crate) fn shrunken_covariance(rows: &[Vec<f64>], free: usize, least: f64) -> Vec<Vec<f64>> {
    let size = rows.first().map_or(0, Vec::len);
    let mut cov = vec![vec![0.0; size]; size];
    for row in rows {
        for (cov, at) in cov.iter_mut().zip(row) {
            for (c, other) in cov.iter_mut().zip(row) {
                *c += at * other / free as f64;
            }
        }
    }
    let mean_var = (0..size).map(|i| cov[i][i]).sum::<f64>() / size.max(1) as f64;
    if mean_var <= 0.0 {
        return (0..size).map(|i| (0..size).map(|j| f64::from(u8::from(i == j))).collect()).collect();
    }
    let norm2 = cov.iter().map(|r| dot(r, r)).sum::<f64>();
    let off2 = norm2 - size as f64 * mean_var * mean_var;
    // Mean squared distance of single products x xᵀ from their mean, over n: the sampling error of the covariance.
    let error2 = rows
        .iter()
        .map(|x| {
            let own: f64 = dot(x, x);
            let cross: f64 = cov.iter().zip(x.iter()).map(|(row, at)| dot(row, x) * at).sum();
            own * own - 2.0 * cross + norm2
        })
        .sum::<f64>()
        / (free * free) as f64;
    let share = if off2 > 0.0 { (error2 / off2).clamp(least, 1.0) } else { 1.0 };
    for (i, row) in cov.iter_mut().enumerate() {
        for (j, c) in row.iter_mut().enumerate() {
            *c = (1.0 - share) * *c + if i == j { share * mean_var } else { 0.0 };
        }
    }
    cov
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_worked_factor() {
        // By hand: [[4, 2], [2, 5]] = L Lᵀ with L = [[2, 0], [1, 2]].
        let factor = Factor::of(&[vec![4.0, 2.0], vec![2.0, 5.0]]).unwrap();
        assert_eq!(factor, Factor(vec![vec![2.0], vec![1.0, 2.0]]));
        // xᵀ S⁻¹ x for x = (2, 3): S⁻¹ = [[5, −2], [−2, 4]] / 16, so (20 − 24 + 36) / 16 = 2.
        let y = factor.whiten(&[2.0, 3.0]);
        assert!((dot(&y, &y) - 2.0).abs() < 1e-12);
        assert_eq!(Factor::of(&[vec![1.0, 2.0], vec![2.0, 1.0]]), None, "not positive definite");
        assert_eq!(Factor::of(&[vec![f64::NAN]]), None);
    }

    /// The value that numpy gives for these rows by the formula in the documentation of scikit-learn's
    /// `LedoitWolf(assume_centered=True)`.
    #[test]
    fn shrinks_as_ledoit_and_wolf_say() {
        let rows = [vec![1.0, 0.5], vec![-2.0, -1.0], vec![0.5, 1.0], vec![0.5, -0.5]];
        let cov = shrunken_covariance(&rows, 4, 0.0);
        let expected = [[1.079_418_789, 0.145_601_115], [0.145_601_115, 0.920_581_210]];
        for i in 0..2 {
            for j in 0..2 {
                assert!((cov[i][j] - expected[i][j]).abs() < 1e-8, "{cov:?}");
            }
        }
    }

    #[test]
    fn equal_rows_and_none_give_something_that_can_be_factored() {
        assert!(Factor::of(&shrunken_covariance(&[], 1, 0.2)).is_some());
        for rows in [vec![vec![0.0; 3]; 5], vec![vec![3.0, 0.0, 0.0]]] {
            let factor = Factor::of(&shrunken_covariance(&rows, 1, 0.5)).expect("positive definite");
            assert_eq!(factor.whiten(&[0.0; 3]), [0.0; 3]);
        }
    }
}

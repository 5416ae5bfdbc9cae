//! Aligns two lists without changing the order of either, at the least cost; gaps are allowed on both sides.
//!
//! In comes what each pair costs; out come the pairs of the cheapest alignment, each with what else would have cost
//! hardly more. It knows nothing of what the lists hold.

/// What one left out costs, on either side. A pair that costs less than two of them is matched rather than left open.
pub(super) const GAP: f64 = 1.0;

/// A pair of the cheapest alignment.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pair {
    pub(super) left: usize,
    pub(super) right: usize,
    /// Others on the right for which the whole alignment would cost at most `margin` more, nearest in cost first.
    pub(super) others: Vec<usize>,
    /// Leaving it open would cost at most `margin` more.
    pub(super) or_none: bool,
}

/// The cheapest alignment of `rows` with `columns`; of equal ones that which matches earliest. `cost` gives `None` for
/// pairs that cannot be. Takes memory and time of `rows` times `columns`.
pub(super) fn align(
    rows: usize,
    columns: usize,
    margin: f64,
    cost: impl Fn(usize, usize) -> Option<f64>,
) -> Vec<Pair> {
    let wide = columns + 1;
    let costs: Vec<f64> =
        (0..rows * columns).map(|at| cost(at / columns, at % columns).unwrap_or(f64::INFINITY)).collect();
    let pair = |i: usize, j: usize| costs[i * columns + j];
    // Least cost of what lies before a corner, and of what lies behind it.
    let mut before = vec![0.0; (rows + 1) * wide];
    let mut behind = before.clone();
    for i in 0..=rows {
        for j in 0..=columns {
            let skip_row = if i > 0 { before[(i - 1) * wide + j] + GAP } else { f64::INFINITY };
            let skip_column = if j > 0 { before[i * wide + j - 1] + GAP } else { f64::INFINITY };
            let matched = if i > 0 && j > 0 {
                before[(i - 1) * wide + j - 1] + pair(i - 1, j - 1)
            } else {
                f64::INFINITY
            };
            let least = skip_row.min(skip_column).min(matched);
            before[i * wide + j] = if least.is_finite() { least } else { 0.0 };
        }
    }
    for i in (0..=rows).rev() {
        for j in (0..=columns).rev() {
            let skip_row = if i < rows { behind[(i + 1) * wide + j] + GAP } else { f64::INFINITY };
            let skip_column = if j < columns { behind[i * wide + j + 1] + GAP } else { f64::INFINITY };
            let matched = if i < rows && j < columns {
                behind[(i + 1) * wide + j + 1] + pair(i, j)
            } else {
                f64::INFINITY
            };
            let least = skip_row.min(skip_column).min(matched);
            behind[i * wide + j] = if least.is_finite() { least } else { 0.0 };
        }
    }
    let total = behind[0];
    let near = |cost: f64, least: f64| cost <= least + 1e-9;
    let mut pairs = Vec::new();
    let (mut i, mut j) = (0, 0);
    while i < rows && j < columns {
        let here = behind[i * wide + j];
        if near(pair(i, j) + behind[(i + 1) * wide + j + 1], here) {
            let through = |c: usize| before[i * wide + c] + pair(i, c) + behind[(i + 1) * wide + c + 1];
            let mut others: Vec<usize> =
                (0..columns).filter(|c| *c != j && near(through(*c), total + margin)).collect();
            others.sort_by(|a, b| through(*a).total_cmp(&through(*b)));
            let open = (0..wide)
                .map(|c| before[i * wide + c] + GAP + behind[(i + 1) * wide + c])
                .fold(f64::INFINITY, f64::min);
            pairs.push(Pair { left: i, right: j, others, or_none: near(open, total + margin) });
            (i, j) = (i + 1, j + 1);
        } else if near(GAP + behind[i * wide + j + 1], here) {
            j += 1;
        } else {
            i += 1;
        }
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Cost of the cheapest alignment, by trying all.
    fn cheapest(costs: &[Vec<Option<f64>>], i: usize, j: usize, columns: usize) -> f64 {
        if i == costs.len() || j == columns {
            return GAP * (costs.len() - i + columns - j) as f64;
        }
        let skip = cheapest(costs, i + 1, j, columns).min(cheapest(costs, i, j + 1, columns)) + GAP;
        costs[i][j].map_or(skip, |c| skip.min(c + cheapest(costs, i + 1, j + 1, columns)))
    }

    proptest! {
        #[test]
        fn no_alignment_is_cheaper(
            costs in proptest::collection::vec(
                proptest::collection::vec(proptest::option::of(0.0..2.5_f64), 4), 0..5)
        ) {
            let pairs = align(costs.len(), 4, 0.0, |i, j| costs[i][j]);
            prop_assert!(pairs.windows(2).all(|w| w[0].left < w[1].left && w[0].right < w[1].right));
            let matched: f64 = pairs.iter().map(|p| costs[p.left][p.right].unwrap()).sum();
            let cost = matched + GAP * (costs.len() + 4 - 2 * pairs.len()) as f64;
            prop_assert!((cost - cheapest(&costs, 0, 0, 4)).abs() < 1e-9);
        }
    }

    #[test]
    fn what_would_cost_hardly_more_is_named() {
        let pairs = align(1, 3, 0.3, |_, column| Some([0.5, 0.4, 0.9][column]));
        assert_eq!(pairs, [Pair { left: 0, right: 1, others: vec![0], or_none: false }]);
        assert!(align(1, 1, 0.3, |_, _| Some(1.9))[0].or_none);
    }
}

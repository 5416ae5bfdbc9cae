//! The longest run of times that goes forward: what stays of a list when the fewest are left out.

/// Places of the longest strictly rising run within the list, in order. Of several, the one that ends lowest and earliest.
pub(crate) fn longest_rising(times: &[i64]) -> Vec<usize> {
    // For each length the end of the run that ends lowest; before each the one it follows.
    let mut ends: Vec<usize> = Vec::new();
    let mut before: Vec<Option<usize>> = Vec::with_capacity(times.len());
    for (at, time) in times.iter().enumerate() {
        let length = ends.partition_point(|end| times[*end] < *time);
        before.push(length.checked_sub(1).map(|l| ends[l]));
        if length == ends.len() {
            ends.push(at);
        } else if *time < times[ends[length]] {
            ends[length] = at;
        }
    }
    let mut run: Vec<usize> = std::iter::successors(ends.last().copied(), |at| before[*at]).collect();
    run.reverse();
    run
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn one_wild_time_costs_only_itself() {
        assert_eq!(longest_rising(&[1, 2, 900, 3, 4]), [0, 1, 3, 4]);
        assert_eq!(longest_rising(&[-70, 5, 1, 6, 6, 7]), [0, 2, 3, 5]);
        assert_eq!(longest_rising(&[]), [0_usize; 0]);
    }

    proptest! {
        #[test]
        fn no_longer_run_is_there(times in proptest::collection::vec(0_i64..20, 0..12)) {
            let run = longest_rising(&times);
            let rises = |run: &[usize]| run.windows(2).all(|w| w[0] < w[1] && times[w[0]] < times[w[1]]);
            prop_assert!(rises(&run));
            for chosen in 0..1_u32 << times.len() {
                let other: Vec<usize> = (0..times.len()).filter(|i| chosen >> i & 1 == 1).collect();
                prop_assert!(other.len() <= run.len() || !rises(&other));
            }
        }
    }
}

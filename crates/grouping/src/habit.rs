//! The order in which a person shoots the round, as chances: of starting a set with a view, of going from one view to
//! the next, and of ending with it.
//!
//! A habit begins as the plan's own order with slips, and learns from views that follow each other in sets. What it
//! does not know is what frames look like.

use record::Plan;

/// Chance that the next frame shows the same view again. With [`SKIP`], [`BACK`] and [`OPTIONAL`] our own
/// choice of round figures; they matter only in relation to each other.
const REPEAT: f64 = 0.08;
/// Chance that a required view is skipped.
const SKIP: f64 = 0.04;
/// Chance of coming back to any one earlier view.
const BACK: f64 = 0.005;
/// Chance that an optional view is taken at its place.
const OPTIONAL: f64 = 0.05;
/// How many steps seen from one view outweigh what the plan says of it: one set of a person who never varies.
const PLAN_COUNTS: f64 = 1.0;
/// Share of steps that follow no habit: our own choice, about one slip every two rounds. A person who was steady for a
/// while is not for that held to be so for ever.
const SLIPS: f64 = 0.1;

/// A first-order chain over the views of a plan. Every row of `step` with its `finish`, and `start`, sums to 1.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Habit {
    /// Chance that a set starts with a view.
    pub start: Vec<f64>,
    /// `step[i][j]`: chance that view `j` follows view `i`.
    pub step: Vec<Vec<f64>>,
    /// Chance that a set ends with a view.
    pub finish: Vec<f64>,
}

/// How often views followed each other; the same shape as [`Habit`], but counted, and with fractions.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Counts(Habit);

impl Habit {
    /// The order of the plan, with slips. A plan has at least one view.
    pub(crate) fn of_plan(plan: &Plan) -> Self {
        let views = plan.views.len();
        let pass = |v: usize| if plan.views[v].required { SKIP } else { 1.0 - OPTIONAL };
        let take = |v: usize| 1.0 - pass(v);
        let passed = |from: usize, to: usize| (from..to).map(pass).product::<f64>();
        let follows = |i: usize, j: usize| match j.cmp(&i) {
            std::cmp::Ordering::Less => BACK,
            std::cmp::Ordering::Equal => REPEAT,
            std::cmp::Ordering::Greater => (1.0 - REPEAT) * passed(i + 1, j) * take(j),
        };
        let mut habit = Self {
            start: (0..views).map(|j| passed(0, j) * take(j)).collect(),
            step: (0..views).map(|i| (0..views).map(|j| follows(i, j)).collect()).collect(),
            finish: (0..views).map(|last| (1.0 - REPEAT) * passed(last + 1, views)).collect(),
        };
        habit.normalise();
        habit
    }

    /// This habit, corrected by what was seen.
    pub(crate) fn learned(&self, seen: &Counts) -> Self {
        let join =
            |own: &[f64], seen: &[f64]| own.iter().zip(seen).map(|(o, s)| PLAN_COUNTS * o + s).collect();
        let mut habit = Self {
            start: join(&self.start, &seen.0.start),
            step: self.step.iter().zip(&seen.0.step).map(|(own, seen)| join(own, seen)).collect(),
            finish: join(&self.finish, &seen.0.finish),
        };
        habit.normalise();
        habit
    }

    /// This habit with every step given its share of [`SLIPS`], for looks to overrule. By place alone nobody would
    /// know of a slip, and all would be doubted for it.
    #[must_use]
    pub(crate) fn with_slips(mut self) -> Self {
        let even = |p: &mut f64, ways: usize| *p = (1.0 - SLIPS) * *p + SLIPS / ways as f64;
        let views = self.start.len();
        for p in &mut self.start {
            even(p, views);
        }
        for p in self.step.iter_mut().flatten().chain(&mut self.finish) {
            even(p, views + 1);
        }
        self
    }

    fn normalise(&mut self) {
        let total: f64 = self.start.iter().sum();
        for p in &mut self.start {
            *p /= total;
        }
        for (row, finish) in self.step.iter_mut().zip(&mut self.finish) {
            let total = row.iter().sum::<f64>() + *finish;
            for p in row.iter_mut() {
                *p /= total;
            }
            *finish /= total;
        }
    }
}

impl Counts {
    /// Nothing seen of a plan with so many views.
    pub(crate) fn none(views: usize) -> Self {
        let zero = vec![0.0; views];
        Self(Habit { start: zero.clone(), step: vec![zero.clone(); views], finish: zero })
    }

    /// Adds a set by the probabilities of each view of each frame. What a frame shows that is none of the views counts
    /// as nothing.
    pub(crate) fn add(&mut self, probs: &[Vec<f64>]) {
        let views = self.0.start.len();
        let (Some(first), Some(last)) = (probs.first(), probs.last()) else { return };
        for v in 0..views {
            self.0.start[v] += first[v];
            self.0.finish[v] += last[v];
        }
        for pair in probs.windows(2) {
            for i in (0..views).filter(|i| pair[0][*i] > 0.0) {
                for j in 0..views {
                    self.0.step[i][j] += pair[0][i] * pair[1][j];
                }
            }
        }
    }

    /// Forgets all of it to this share.
    pub(crate) fn fade(&mut self, keep: f64) {
        self.each(|count, _| *count *= keep, &Self::none(0));
    }

    /// Takes in all of another.
    pub(crate) fn take(&mut self, other: &Self) {
        self.each(|count, more| *count += more, other);
    }

    fn each(&mut self, mut change: impl FnMut(&mut f64, f64), other: &Self) {
        let mut row = |own: &mut [f64], more: Option<&Vec<f64>>| {
            for (v, count) in own.iter_mut().enumerate() {
                change(count, more.and_then(|m| m.get(v)).copied().unwrap_or(0.0));
            }
        };
        row(&mut self.0.start, Some(&other.0.start));
        row(&mut self.0.finish, Some(&other.0.finish));
        for (i, own) in self.0.step.iter_mut().enumerate() {
            row(own, other.0.step.get(i));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::align::tests::plan;

    fn sums_to_one(habit: &Habit) {
        assert!((habit.start.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        for (row, finish) in habit.step.iter().zip(&habit.finish) {
            assert!((row.iter().sum::<f64>() + finish - 1.0).abs() < 1e-12);
        }
    }

    fn likeliest(row: &[f64]) -> usize {
        (0..row.len()).max_by(|a, b| row[*a].total_cmp(&row[*b])).unwrap()
    }

    #[test]
    fn a_plan_is_shot_in_its_order_and_optional_views_are_passed() {
        let habit = Habit::of_plan(&plan("RRORO"));
        sums_to_one(&habit);
        let next: Vec<usize> = habit.step.iter().map(|row| likeliest(row)).collect();
        assert_eq!((likeliest(&habit.start), &next[..3]), (0, &[1, 3, 3][..]));
        assert_eq!(likeliest(&habit.finish), 4);
        assert!(habit.finish[3] > 0.8, "an optional view at the end is not waited for: {:?}", habit.finish);
    }

    #[test]
    fn another_order_is_learned_within_a_few_sets_and_faded_counts_give_way() {
        let plan_habit = Habit::of_plan(&plan("RRR"));
        let one_hot = |order: &[usize]| -> Vec<Vec<f64>> {
            order.iter().map(|v| (0..3).map(|j| f64::from(u8::from(j == *v))).collect()).collect()
        };
        let mut seen = Counts::none(3);
        for _ in 0..4 {
            seen.add(&one_hot(&[2, 0, 1]));
        }
        let learned = plan_habit.learned(&seen);
        sums_to_one(&learned);
        sums_to_one(&learned.clone().with_slips());
        assert_eq!(
            (likeliest(&learned.start), likeliest(&learned.step[2]), likeliest(&learned.finish)),
            (2, 0, 1)
        );
        seen.fade(0.0);
        assert_eq!(seen, Counts::none(3));
        let mut other = Counts::none(3);
        other.add(&one_hot(&[1]));
        seen.take(&other);
        assert_eq!(seen, other);
    }
}

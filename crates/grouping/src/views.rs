//! Which view each frame of a set probably shows, from its place in the round alone.
//!
//! People shoot in a habitual order, repeat a view, skip one, and now and then come back to an earlier
//! one. A set is aligned with its plan by a hidden chain over the views (forward and backward sums, so that
//! every possible alignment counts), with confirmed frames held fast.

use std::collections::BTreeMap;

use record::{FrameId, Plan, ViewKey};

/// A view is proposed from this probability on; below it a frame stays unlabelled. Order alone reaches it
/// for a set that fits the round, and not for one that lacks a view somewhere unknown.
pub const PROPOSE_FROM: f32 = 0.75;

/// Chance that the next frame shows the same view again. With [`SKIP`], [`BACK`] and [`OPTIONAL`] our own
/// choice of round figures; they matter only in relation to each other.
const REPEAT: f64 = 0.08;
/// Chance that a required view is skipped.
const SKIP: f64 = 0.04;
/// Chance of coming back to any one earlier view.
const BACK: f64 = 0.005;
/// Chance that an optional view is taken at its place.
const OPTIONAL: f64 = 0.05;
/// Share of sets shot in no order at all, for which place says nothing: our own choice, on the careful
/// side, since order is all there is to go by here.
const NO_ORDER: f64 = 0.15;

/// The best guess for a frame without a confirmed view.
#[derive(Debug, Clone, PartialEq)]
pub struct ViewProposal {
    /// The likeliest view.
    pub view: ViewKey,
    /// Its probability, 0..=1; proposed from [`PROPOSE_FROM`] on.
    pub prob: f32,
}

/// A plan's round, ready to be aligned with sets.
#[derive(Debug, Clone)]
pub struct Round<'a> {
    plan: &'a Plan,
    /// `step[i][j]`: weight of going from view i − 1 to view j; row 0 is the start of the set.
    step: Vec<Vec<f64>>,
    /// `finish[i]`: weight of ending the set after view i.
    finish: Vec<f64>,
}

impl<'a> Round<'a> {
    /// Prepares the weights of a plan.
    pub fn new(plan: &'a Plan) -> Self {
        let views = plan.views.len();
        let pass = |v: usize| if plan.views[v].required { SKIP } else { 1.0 - OPTIONAL };
        let take = |v: usize| if plan.views[v].required { 1.0 - SKIP } else { OPTIONAL };
        let passed = |from: usize, to: usize| (from..to).map(pass).product::<f64>();
        let step = (0..=views)
            .map(|i| {
                (0..views)
                    .map(|j| match (i, i.checked_sub(1)) {
                        (0, _) => passed(0, j) * take(j),
                        (_, Some(now)) if j == now => REPEAT,
                        (_, Some(now)) if j < now => BACK,
                        _ => (1.0 - REPEAT) * passed(i, j) * take(j),
                    })
                    .collect()
            })
            .collect();
        let finish = (0..views).map(|last| passed(last + 1, views)).collect();
        Self { plan, step, finish }
    }

    /// Proposes a view for each frame of a set that has no confirmed one. `confirmed` gives the view of a
    /// frame as a place in the plan; a label that is not in the plan counts as none.
    pub fn propose(
        &self,
        frames: &[FrameId],
        confirmed: impl Fn(FrameId) -> Option<usize>,
    ) -> BTreeMap<FrameId, ViewProposal> {
        let fixed: Vec<Option<usize>> = frames.iter().map(|f| confirmed(*f)).collect();
        let probs = self.align(&fixed);
        let mut proposals = BTreeMap::new();
        for ((frame, fixed), row) in frames.iter().zip(&fixed).zip(probs) {
            let best = (0..row.len()).max_by(|a, b| row[*a].total_cmp(&row[*b]).then(b.cmp(a)));
            if let (None, Some(best)) = (fixed, best) {
                let view = self.plan.views[best].key.clone();
                proposals.insert(*frame, ViewProposal { view, prob: row[best] as f32 });
            }
        }
        proposals
    }

    /// Probability of each view for each frame, one row a frame, each row summing to 1. `fixed` frames
    /// have their view for certain.
    pub fn align(&self, fixed: &[Option<usize>]) -> Vec<Vec<f64>> {
        let views = self.finish.len();
        let fits = |frame: usize, view: usize| fixed[frame].is_none_or(|v| v == view);
        let mut forward: Vec<Vec<f64>> = Vec::with_capacity(fixed.len());
        for frame in 0..fixed.len() {
            let row = (0..views).map(|j| match (fits(frame, j), frame.checked_sub(1)) {
                (false, _) => 0.0,
                (true, None) => self.step[0][j],
                (true, Some(before)) => (0..views).map(|i| forward[before][i] * self.step[i + 1][j]).sum(),
            });
            forward.push(normalised(row.collect()));
        }
        let mut backward = self.finish.clone();
        let mut probs = vec![Vec::new(); fixed.len()];
        for frame in (0..fixed.len()).rev() {
            let ordered = normalised((0..views).map(|v| forward[frame][v] * backward[v]).collect());
            probs[frame] = ordered
                .iter()
                .enumerate()
                .map(|(v, p)| match fixed[frame] {
                    Some(known) => f64::from(u8::from(known == v)),
                    None => (1.0 - NO_ORDER) * p + NO_ORDER / views as f64,
                })
                .collect();
            let ahead = (0..views).map(|i| {
                (0..views).filter(|j| fits(frame, *j)).map(|j| self.step[i + 1][j] * backward[j]).sum()
            });
            backward = normalised(ahead.collect());
        }
        probs
    }
}

/// Scales to sum 1, so that long sets neither vanish nor overflow; all equal when nothing fits.
fn normalised(mut row: Vec<f64>) -> Vec<f64> {
    let sum: f64 = row.iter().sum();
    if sum > 0.0 {
        for p in &mut row {
            *p /= sum;
        }
    } else {
        let even = 1.0 / row.len() as f64;
        row.fill(even);
    }
    row
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn plan(required: &str) -> Plan {
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

    /// `fixed` is one character a frame: `.` for not confirmed, else the view. Expected: the view proposed
    /// for each frame, `.` where it stays unlabelled, in upper case where confirmed.
    fn check(required: &str, fixed: &str, expected: &str) {
        let plan = plan(required);
        let frames: Vec<FrameId> = (0..fixed.len() as u32).map(FrameId).collect();
        let fixed: Vec<u8> = fixed.bytes().collect();
        let known =
            |f: FrameId| (fixed[f.0 as usize] != b'.').then(|| usize::from(fixed[f.0 as usize] - b'a'));
        let proposals = Round::new(&plan).propose(&frames, known);
        let got: String = frames
            .iter()
            .map(|f| match proposals.get(f) {
                Some(p) if p.prob >= PROPOSE_FROM => p.view.as_str().to_owned(),
                Some(_) => ".".to_owned(),
                None => (fixed[f.0 as usize] as char).to_uppercase().to_string(),
            })
            .collect();
        assert_eq!(got, expected);
    }

    #[test]
    fn a_whole_round_is_proposed_in_order() {
        check("RRRRR", ".....", "abcde");
        check("RRRRROOO", ".....", "abcde");
        check("R", ".", "a");
    }

    #[test]
    fn a_set_that_lacks_a_view_somewhere_stays_unlabelled() {
        check("RRRRROOO", "....", "....");
        check("RRRRR", "..", "..");
    }

    #[test]
    fn confirmed_frames_pin_the_rest() {
        check("RRRRR", "ab.e", "AB.E");
        check("RRRRR", "abd.", "ABDe");
        check("RRRRR", "ab.de", "ABcDE");
        // Out of order once, place says too little of the rest.
        check("RRRRR", "ba...", "BA...");
    }

    #[test]
    fn any_length_and_any_plan_give_probabilities() {
        for required in ["R", "RO", &"R".repeat(26)] {
            let plan = plan(required);
            for n in [0, 1, 2, 40, 500] {
                for row in Round::new(&plan).align(&vec![None; n]) {
                    assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{required} {n}");
                }
            }
        }
    }

    proptest! {
        /// The sums agree with adding up every alignment one by one.
        #[test]
        fn alignment_agrees_with_brute_force(n in 1usize..5, fixed in prop::collection::vec(prop::option::of(0usize..4), 4)) {
            let plan = plan("RROR");
            let round = Round::new(&plan);
            let fixed = &fixed[..n];
            let mut by_hand = vec![vec![0.0; 4]; n];
            let mut total = 0.0;
            for code in 0..4usize.pow(n as u32) {
                let path: Vec<usize> = (0..n).map(|i| code / 4usize.pow(i as u32) % 4).collect();
                if path.iter().zip(fixed).any(|(v, f)| f.is_some_and(|f| f != *v)) {
                    continue;
                }
                let mut weight = round.step[0][path[0]] * round.finish[path[n - 1]];
                weight *= path.windows(2).map(|w| round.step[w[0] + 1][w[1]]).product::<f64>();
                total += weight;
                path.iter().enumerate().for_each(|(i, v)| by_hand[i][*v] += weight);
            }
            for ((row, hand), fixed) in round.align(fixed).iter().zip(by_hand).zip(fixed) {
                for (p, h) in row.iter().zip(hand).filter(|_| fixed.is_none()) {
                    prop_assert!((p - (0.85 * h / total + 0.15 / 4.0)).abs() < 1e-9);
                }
            }
        }
    }
}

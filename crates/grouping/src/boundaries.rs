//! Where one set ends and the next begins: one optimisation over the whole day.
//!
//! A day is its specimen frames in order, with a [`Place`] between each two. A boundary at a place is
//! supported by a blank there, a long pause, a change of subject, the round of views starting again and a jar card; a
//! set is supported by a length usual for the day. The best splitting is found by dynamic programming over all of them,
//! and the probability of each boundary by summing over all of them. What a person decided is kept.

use record::Boundary;

/// What lies between two neighbouring specimen frames.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Probability that a blank lies here; 0 when no frame was taken for one.
    pub blank_prob: f64,
    /// Seconds between the two frames; `None` when a time is unknown.
    pub gap_secs: Option<f64>,
    /// How unlike the two frames look, above 0 on any scale; `None` where either was not looked at.
    pub change: Option<f64>,
    /// How much more the two look like the end of a round and the start of the next than like a step within one, in log
    /// odds; 0 where that is not known.
    pub restart: f64,
    /// What jar cards say: `Some(true)` where one lies here or the two frames show different ones, `Some(false)` where
    /// both show the same.
    pub jar_card: Option<bool>,
    /// What a person decided.
    pub decided: Option<Boundary>,
}

/// A day split into sets.
#[derive(Debug, Clone, PartialEq)]
pub struct Split {
    /// For each place whether a set ends there.
    pub ends: Vec<bool>,
    /// For each place the probability that a set ends there, 0..=1.
    pub probs: Vec<f64>,
    /// What is usual for the day.
    pub typical: Typical,
}

/// What the day's own blanks say of its sets and pauses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typical {
    /// Usual number of frames in a set (median).
    pub set_frames: f64,
    /// Spread of the logarithm of that number.
    log_sd: f64,
    /// Pauses between frames, in seconds.
    pauses: Contrast,
    /// How unlike neighbouring frames look.
    changes: Contrast,
}

/// What is large among numbers inside sets, and usual between sets, each with its spread; all as logarithms.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Contrast {
    within: Option<(f64, f64)>,
    between: Option<(f64, f64)>,
}

/// Chance that a blank was forgotten between two animals: our own choice, about one in thirty.
const FORGOTTEN: f64 = 0.03;
/// Chance of a blank inside a set: rare enough that a clear blank is never overruled by pause and length.
const ACCIDENTAL: f64 = 0.003;
/// How much a pause can speak for and against a boundary, in natural logarithms of odds. Against is small:
/// an animal may follow quickly.
const PAUSE_FOR: f64 = 4.0;
const PAUSE_AGAINST: f64 = 2.0;
/// The same for a change of subject. Less, since views of one animal may differ more than two animals of a kind.
const CHANGE_FOR: f64 = 3.0;
const CHANGE_AGAINST: f64 = 1.5;
/// How much the round starting again can speak either way: about as much as a usual length.
const RESTART_MOST: f64 = 3.0;
/// What a jar card speaks for or against a boundary: about one in twenty lies within a set, by our own choice.
const JAR_CARD: f64 = 3.0;
/// How much an unusual length can speak against a set.
const LENGTH_MOST: f64 = 3.0;
/// Least spread of logarithms of length, pause and change; below it a few equal sets would make any other impossible.
const LEAST_LOG_SD: f64 = 0.3;
/// A pause is out of the ordinary from so many spreads above the usual: one in forty of a normal lies there.
const ORDINARY_SDS: f64 = 2.0;
/// With fewer sets than this closed by blanks, their length says little.
const FEW_SETS: usize = 3;
/// Sets longer than this many times the usual all count as equally unusual.
const LONGEST: f64 = 8.0;

impl Typical {
    /// Learns from a day split at its blanks alone.
    fn learn(places: &[Place]) -> Self {
        let mut lengths = vec![1.0_f64];
        for place in places {
            if place.blank_prob >= 0.5 {
                lengths.push(1.0);
            } else if let Some(length) = lengths.last_mut() {
                *length += 1.0;
            }
        }
        let few = lengths.len() < FEW_SETS;
        let (log_frames, log_sd) = middle(lengths.iter().map(|n| n.ln()).collect()).unwrap_or((0.0, 1.0));
        Self {
            set_frames: log_frames.exp(),
            log_sd: if few { 1.0 } else { log_sd },
            pauses: Contrast::learn(places, |place| place.gap_secs),
            changes: Contrast::learn(places, |place| place.change),
        }
    }

    /// What a set of `frames` frames costs against the usual, 0..=[`LENGTH_MOST`].
    fn length_cost(&self, frames: usize) -> f64 {
        let off = ((frames as f64).ln() - self.set_frames.ln()) / self.log_sd;
        (off * off / 2.0).min(LENGTH_MOST)
    }

    /// Log odds of a boundary at a place, before any set lengths.
    fn odds(&self, place: &Place) -> f64 {
        let b = place.blank_prob;
        let if_boundary = b * (1.0 - FORGOTTEN) + (1.0 - b) * FORGOTTEN;
        let if_not = b * ACCIDENTAL + (1.0 - b) * (1.0 - ACCIDENTAL);
        (if_boundary / if_not).ln()
            + self.pause_odds(place)
            + self.change_odds(place)
            + place.restart.clamp(-RESTART_MOST, RESTART_MOST)
            + place.jar_card.map_or(0.0, |new| if new { JAR_CARD } else { -JAR_CARD })
    }

    /// What the pause at a place says for a boundary, in log odds.
    pub(crate) fn pause_odds(&self, place: &Place) -> f64 {
        self.pauses.odds(place.gap_secs).clamp(-PAUSE_AGAINST, PAUSE_FOR)
    }

    /// Whether the pause at a place is longer than is usual on this day, within sets and between them alike.
    pub(crate) fn is_long_pause(&self, place: &Place) -> bool {
        let pause = place.gap_secs.filter(|secs| *secs > 0.0);
        pause.zip(self.pauses.ordinary()).is_some_and(|(secs, most)| secs.ln() > most)
    }

    /// What the change of subject at a place says for a boundary, in log odds.
    pub(crate) fn change_odds(&self, place: &Place) -> f64 {
        self.changes.odds(place.change).clamp(-CHANGE_AGAINST, CHANGE_FOR)
    }
}

impl Contrast {
    /// Learns one number of the places from a day split at its blanks alone.
    fn learn(places: &[Place], number: impl Fn(&Place) -> Option<f64>) -> Self {
        let of = |ends: bool| -> Vec<f64> {
            let here = places.iter().filter(|p| (p.blank_prob >= 0.5) == ends);
            here.filter_map(&number).filter(|n| *n > 0.0).map(f64::ln).collect()
        };
        Self { within: upper(of(false)), between: middle(of(true)) }
    }

    /// What a number says for a boundary, in log odds. Grows with it, and is nothing while the day has not shown that it
    /// is larger between sets than within.
    fn odds(&self, number: Option<f64>) -> f64 {
        let (Some(number), Some(within), Some(between)) = (number, self.within, self.between) else {
            return 0.0;
        };
        if between.0 < within.0 + LEAST_LOG_SD {
            return 0.0;
        }
        let at = number.max(1e-3).ln().clamp(within.0, between.0);
        let log_density = |(mean, sd): (f64, f64)| -((at - mean) / sd).powi(2) / 2.0 - sd.ln();
        log_density(between) - log_density(within)
    }

    /// Where ordinary numbers end, within sets and between them alike; `None` while the day has shown none.
    fn ordinary(&self) -> Option<f64> {
        let ends = [self.within, self.between].into_iter().flatten();
        ends.map(|(at, sd)| at + ORDINARY_SDS * sd).reduce(f64::max)
    }
}

/// Median, and spread from the median absolute deviation (× 1.4826 for a normal), not under
/// [`LEAST_LOG_SD`]. `None` for nothing.
fn middle(mut values: Vec<f64>) -> Option<(f64, f64)> {
    let median = |values: &mut Vec<f64>| {
        values.sort_by(f64::total_cmp);
        values.get(values.len() / 2).copied()
    };
    let at = median(&mut values)?;
    let mut off: Vec<f64> = values.iter().map(|v| (v - at).abs()).collect();
    Some((at, (1.4826 * median(&mut off)?).max(LEAST_LOG_SD)))
}

/// What is long among these: nine in ten are shorter. Bursts would pull a median far below the pauses from
/// view to view, and a forgotten blank or two lie above. `None` for nothing.
fn upper(mut values: Vec<f64>) -> Option<(f64, f64)> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() * 9 / 10).map(|at| (*at, LEAST_LOG_SD))
}

/// Splits a day of `places.len() + 1` specimen frames.
///
/// ```
/// use grouping::{Place, split_day};
/// let near = Place { gap_secs: Some(9.0), ..Place::default() };
/// let blank = Place { blank_prob: 0.99, gap_secs: Some(50.0), ..Place::default() };
/// let split = split_day(&[near, near, blank, near, near]);
/// assert_eq!(split.ends, [false, false, true, false, false]);
/// ```
pub fn split_day(places: &[Place]) -> Split {
    let typical = Typical::learn(places);
    let costs: Vec<(f64, f64)> = places
        .iter()
        .map(|place| match place.decided {
            Some(Boundary::Split) => (0.0, f64::INFINITY),
            Some(Boundary::Join) => (f64::INFINITY, 0.0),
            None => (0.0, typical.odds(place)),
        })
        .collect();
    Split { ends: Chain::new(&typical, &costs).best(), probs: boundary_probs(&typical, &costs), typical }
}

/// The day as a chain of costs. A cost is a negative log likelihood; place `p` lies after frame `p`.
///
/// Sets longer than [`Chain::longest`] all cost the same length, so their starts are carried as one sum
/// while the day goes by: the work grows with the number of frames, not with its square.
struct Chain {
    /// Cost of ending a set at a place.
    end: Vec<f64>,
    /// Cost of a set of 0..=longest frames.
    lengths: Vec<f64>,
    /// For each frame, the decided boundaries before it, and the cost of passing all other places before it.
    passed: Vec<(usize, f64)>,
}

/// Most frames of a set that have a length of their own, whatever is usual for the day.
const LONGEST_FRAMES: usize = 200;

impl Chain {
    fn new(typical: &Typical, costs: &[(f64, f64)]) -> Self {
        let longest = ((typical.set_frames * LONGEST).ceil() as usize).min(LONGEST_FRAMES);
        let lengths = (0..=longest).map(|n| typical.length_cost(n.max(1))).collect();
        let mut passed = vec![(0, 0.0)];
        for (_, on) in costs {
            let (walls, sum) = passed[passed.len() - 1];
            passed.push(if on.is_finite() { (walls, sum + on) } else { (walls + 1, sum) });
        }
        Self { end: costs.iter().map(|c| c.0).collect(), lengths, passed }
    }

    fn longest(&self) -> usize {
        self.lengths.len() - 1
    }

    fn frames(&self) -> usize {
        self.end.len() + 1
    }

    /// Cost of ending a set after `frames` frames of the day; nothing at the end of the day.
    fn end_cost(&self, frames: usize) -> f64 {
        self.end.get(frames - 1).copied().unwrap_or(0.0)
    }

    /// Cost of a set of frames `from..to` with a length of its own; infinite over a decided boundary.
    fn set_cost(&self, from: usize, to: usize) -> f64 {
        let ((walls_a, a), (walls_b, b)) = (self.passed[from], self.passed[to - 1]);
        if walls_a == walls_b { b - a + self.lengths[to - from] } else { f64::INFINITY }
    }

    /// Walks the day. `step` gets each end `to`, the starts near enough to have a length of their own, and
    /// the start that has just become too far for it.
    fn walk(&self, mut step: impl FnMut(usize, std::ops::Range<usize>, Option<usize>)) {
        for to in 1..=self.frames() {
            step(to, to.saturating_sub(self.longest())..to, to.checked_sub(self.longest() + 1));
        }
    }

    /// The cheapest splitting; of equal ones, that with the earlier starts.
    fn best(&self) -> Vec<bool> {
        let n = self.frames();
        let mut cost = vec![0.0; n + 1];
        let mut start = vec![0; n + 1];
        // The best far start, with its cost less what was passed before it, and the boundaries before it.
        let mut far = (0, f64::INFINITY, 0);
        self.walk(|to, near, joins| {
            if let Some(from) = joins {
                let (walls, passed) = self.passed[from];
                if walls > far.0 || cost[from] - passed < far.1 {
                    far = (walls, cost[from] - passed, from);
                }
            }
            let (walls, passed) = self.passed[to - 1];
            let mut least = (f64::INFINITY, to - 1);
            if far.0 == walls {
                least = (far.1 + passed + self.lengths[self.longest()], far.2);
            }
            for from in near {
                let here = cost[from] + self.set_cost(from, to);
                if here < least.0 {
                    least = (here, from);
                }
            }
            cost[to] = least.0 + self.end_cost(to);
            start[to] = least.1;
        });
        let mut ends = vec![false; n - 1];
        let mut to = start[n];
        while to > 0 {
            ends[to - 1] = true;
            to = start[to];
        }
        ends
    }

    /// Log of the summed likelihoods of all splittings of the first 0..=n frames.
    fn sums(&self) -> Vec<f64> {
        let mut sum = vec![0.0; self.frames() + 1];
        let mut far = (0, f64::NEG_INFINITY);
        self.walk(|to, near, joins| {
            if let Some(from) = joins {
                let (walls, passed) = self.passed[from];
                let carried = if walls > far.0 { f64::NEG_INFINITY } else { far.1 };
                far = (walls, log_sum([carried, sum[from] + passed].into_iter()));
            }
            let (walls, passed) = self.passed[to - 1];
            let carried = if far.0 == walls { far.1 } else { f64::NEG_INFINITY };
            let far_ways = carried - passed - self.lengths[self.longest()];
            let near_ways = log_sum(near.map(|from| sum[from] - self.set_cost(from, to)));
            sum[to] = log_sum([far_ways, near_ways].into_iter()) - self.end_cost(to);
        });
        sum
    }
}

/// The probability of a boundary at each place, over all splittings: what lies before it, summed, times
/// what lies after it, which is the same sum over the day turned round.
fn boundary_probs(typical: &Typical, costs: &[(f64, f64)]) -> Vec<f64> {
    let turned: Vec<(f64, f64)> = costs.iter().rev().copied().collect();
    let before = Chain::new(typical, costs).sums();
    let after = Chain::new(typical, &turned).sums();
    let n = costs.len() + 1;
    (1..n)
        .map(|at| match costs[at - 1].0 {
            // Both sums count the place itself.
            end if end.is_finite() => (before[at] + after[n - at] + end - before[n]).exp().clamp(0.0, 1.0),
            _ => 0.0,
        })
        .collect()
}

/// Logarithm of the sum of exponentials; negative infinity for nothing.
fn log_sum(logs: impl Iterator<Item = f64> + Clone) -> f64 {
    let most = logs.clone().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY { most } else { most + logs.map(|l| (l - most).exp()).sum::<f64>().ln() }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// One character a frame: `f` a frame, `_` a blank, `~` a long pause (90 s) before the next, `!` and `+`
    /// a decided boundary or join there. Frames follow each other after 8 to 12 s, sets after 40 to 60 s.
    fn day(text: &str) -> Vec<Place> {
        let mut places: Vec<Place> = vec![];
        let mut next: Option<Place> = None;
        for (i, c) in text.chars().enumerate() {
            let wobble = (i * 7 % 5) as f64;
            if c == 'f' {
                places.extend(next);
                next = Some(Place { gap_secs: Some(8.0 + wobble), ..Place::default() });
                continue;
            }
            let Some(place) = next.as_mut() else { continue };
            match c {
                '_' => (place.blank_prob, place.gap_secs) = (0.99, Some(40.0 + 5.0 * wobble)),
                '~' => place.gap_secs = Some(90.0),
                '!' => place.decided = Some(Boundary::Split),
                '+' => place.decided = Some(Boundary::Join),
                c => panic!("{c}"),
            }
        }
        places
    }

    fn check(text: &str, expected: &[usize]) {
        let places = day(text);
        let mut sizes = vec![1];
        for end in split_day(&places).ends {
            if end {
                sizes.push(1);
            } else {
                *sizes.last_mut().unwrap() += 1;
            }
        }
        assert_eq!(sizes, expected, "{text}");
    }

    #[test]
    fn blanks_close_sets() {
        check("fffff_fffff_fffff_", &[5, 5, 5]);
        check("__fffff__fffff___fffff", &[5, 5, 5]);
        check("fffff_f_fffff_ffff_fffffff_", &[5, 1, 5, 4, 7]);
        check("f", &[1]);
    }

    #[test]
    fn a_forgotten_blank_is_seen_by_pause_and_length() {
        check("fffff_fffff_fffff~fffff_fffff_fffff_", &[5, 5, 5, 5, 5, 5]);
        // A long pause inside a usual set does not cut it, and neither does length without a pause.
        check("fffff_fff~ff_fffff_fffff_", &[5, 5, 5, 5]);
        check("fffff_fffff_ffffffffff_fffff_", &[5, 5, 10, 5]);
    }

    #[test]
    fn a_day_without_blanks_is_one_set() {
        check("fffff~fffff~fffff", &[15]);
    }

    #[test]
    fn decisions_stand() {
        check("fffff_fff!ff_fffff_", &[5, 3, 2, 5]);
        check("fffff_+fffff_fffff_", &[10, 5]);
        check("fffff_fffff~+fffff_fffff_fffff", &[5, 10, 5, 5]);
    }

    #[test]
    fn a_change_of_subject_a_new_round_and_a_jar_card_each_take_the_place_of_a_pause() {
        let marked = |mark: &dyn Fn(usize, bool) -> Place| {
            let mut places = day("fffff_fffff_fffff_ffffffffff_fffff_");
            for (at, place) in places.iter_mut().enumerate() {
                let more = mark(at, at % 5 == 4);
                (place.change, place.restart, place.jar_card) = (more.change, more.restart, more.jar_card);
            }
            let split = split_day(&places);
            (split.ends.iter().filter(|e| **e).count(), split.probs[19])
        };
        assert_eq!(marked(&|_, _| Place::default()).0, 4);
        let change =
            |_: usize, new: bool| Place { change: Some(if new { 6.0 } else { 1.0 }), ..Place::default() };
        let restart =
            |_: usize, new: bool| Place { restart: if new { 3.0 } else { -3.0 }, ..Place::default() };
        let card = |at: usize, _: bool| Place { jar_card: (at == 19).then_some(true), ..Place::default() };
        for mark in [&change as &dyn Fn(usize, bool) -> Place, &restart, &card] {
            let (ends, prob) = marked(mark);
            assert!(ends == 5 && prob > 0.5, "{ends} {prob}");
        }
        // Animals that look alike, and views that do not, say nothing.
        let alike = |at: usize, _: bool| Place { change: Some(1.0 + (at % 3) as f64), ..Place::default() };
        assert_eq!(marked(&alike).0, 4);
    }

    #[test]
    fn the_far_sum_agrees_with_lengths_of_their_own() {
        // 300 frames in one set, decided so: far longer than any length of its own.
        let mut places = day(&format!("fffff_fffff_fffff_{}_fffff", "f".repeat(300)));
        for place in &mut places[15..315] {
            place.decided = Some(Boundary::Join);
        }
        places[14].decided = Some(Boundary::Split);
        let split = split_day(&places);
        assert_eq!(split.ends.iter().filter(|e| **e).count(), 3);
        assert!(split.probs.iter().all(|p| p.is_finite()));
    }

    #[test]
    fn ten_thousand_frames_are_split_in_proportionate_work() {
        let text = "fffff_".repeat(2_000);
        assert_eq!(split_day(&day(&text)).ends.iter().filter(|e| **e).count(), 1_999);
    }

    fn any_place() -> impl Strategy<Value = Place> {
        let blank = prop_oneof![3 => Just(0.0), 1 => 0.5f64..1.0];
        let decided =
            prop_oneof![8 => Just(None), 1 => Just(Some(Boundary::Split)), 1 => Just(Some(Boundary::Join))];
        let change = prop::option::of(0.1f64..9.0);
        let rest = (change, -5.0f64..5.0, prop::option::weighted(0.2, prop::bool::ANY));
        (blank, prop::option::of(0.1f64..500.0), decided, rest).prop_map(
            |(blank_prob, gap_secs, decided, (change, restart, jar_card))| Place {
                blank_prob,
                gap_secs,
                change,
                restart,
                jar_card,
                decided,
            },
        )
    }

    proptest! {
        /// Best splitting and probabilities agree with trying every splitting, also where sets are too long
        /// to have a length of their own.
        #[test]
        fn agrees_with_brute_force(places in prop::collection::vec(any_place(), 0..10), longest in 1usize..12) {
            let typical = Typical::learn(&places);
            let costs: Vec<(f64, f64)> = places.iter().map(|p| match p.decided {
                Some(Boundary::Split) => (0.0, f64::INFINITY),
                Some(Boundary::Join) => (f64::INFINITY, 0.0),
                None => (0.0, typical.odds(p)),
            }).collect();
            let n = costs.len() + 1;
            let mut chain = Chain::new(&typical, &costs);
            chain.lengths = (0..=longest).map(|n| typical.length_cost(n.max(1))).collect();
            let cost_of = |ends: &[bool]| {
                let mut cost = 0.0;
                let mut length = 1;
                for (end, (ending, passing)) in ends.iter().zip(&costs) {
                    cost += if *end { *ending } else { *passing };
                    if *end {
                        cost += chain.lengths[length.min(longest)];
                        length = 0;
                    }
                    length += 1;
                }
                cost + chain.lengths[length.min(longest)]
            };
            let (mut least, mut total) = (f64::INFINITY, 0.0);
            for code in 0..1u32 << (n - 1) {
                let ends: Vec<bool> = (0..n - 1).map(|p| code >> p & 1 == 1).collect();
                least = least.min(cost_of(&ends));
                total += (-cost_of(&ends)).exp();
            }
            prop_assert!((cost_of(&chain.best()) - least).abs() < 1e-9);
            prop_assert!((chain.sums()[n] - total.ln()).abs() < 1e-9);
            let probs = split_day(&places).probs;
            prop_assert!(probs.iter().all(|p| (0.0..=1.0).contains(p)));
        }

        #[test]
        fn boundary_probabilities_agree_with_brute_force(places in prop::collection::vec(any_place(), 1..9)) {
            let split = split_day(&places);
            let costs: Vec<f64> = places.iter().map(|p| split.typical.odds(p)).collect();
            let mut weights = vec![0.0; places.len()];
            let mut total = 0.0;
            for code in 0..1u32 << places.len() {
                let ends: Vec<bool> = (0..places.len()).map(|p| code >> p & 1 == 1).collect();
                let against = |(p, e): (&Place, &bool)| p.decided.is_some_and(|d| (d == Boundary::Split) != *e);
                if places.iter().zip(&ends).any(against) {
                    continue;
                }
                let mut cost = 0.0;
                let mut length = 1;
                for (p, end) in ends.iter().enumerate() {
                    if *end {
                        cost += split.typical.length_cost(length);
                        length = 0;
                    } else if places[p].decided.is_none() {
                        cost += costs[p];
                    }
                    length += 1;
                }
                let weight = (-(cost + split.typical.length_cost(length))).exp();
                total += weight;
                ends.iter().zip(&mut weights).filter(|(e, _)| **e).for_each(|(_, w)| *w += weight);
            }
            for (p, w) in split.probs.iter().zip(weights) {
                prop_assert!((p - w / total).abs() < 1e-6, "{} {}", p, w / total);
            }
        }
    }
}

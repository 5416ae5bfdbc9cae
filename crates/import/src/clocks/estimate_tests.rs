//! Estimates of days made by rule, with habits of many kinds and clocks that are off by known amounts.

use super::*;

/// A day of two bodies, made by rule. Numbers come from a linear congruence, so each seed is one day.
struct Day {
    seed: u64,
    reference: Vec<Event>,
    own: Vec<Event>,
}

/// How someone works.
struct Habit {
    /// Who takes each view and then the blank (`a`, `b`); `B` is a burst of the second body, `2` is both.
    round: &'static str,
    sets: usize,
    /// Chance in a hundred that a frame is left out.
    skipped: u64,
    /// Chance in a hundred that the second body takes no part in a set.
    without: u64,
    pause: (f64, f64),
}

const HABIT: Habit = Habit { round: "abbaaa", sets: 6, skipped: 0, without: 0, pause: (27.0, 75.0) };

impl Day {
    fn between(&mut self, from: f64, to: f64) -> f64 {
        self.seed = self.seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        from + (to - from) * (self.seed >> 11) as f64 / (1u64 << 53) as f64
    }

    fn chance(&mut self, percent: u64) -> bool {
        self.between(0.0, 100.0) < percent as f64
    }

    fn new(habit: &Habit, seed: u64, fast: f64) -> Self {
        let mut day = Self { seed: seed * 7919 + 13, reference: vec![], own: vec![] };
        let mut secs = 0.0;
        for _ in 0..habit.sets {
            let without = day.chance(habit.without);
            let last = habit.round.len() - 1;
            for (at, who) in habit.round.chars().enumerate() {
                let blank = at == last;
                if !blank && day.chance(habit.skipped) {
                    continue;
                }
                let own = who != 'a' && !without;
                if who == 'a' || who == '2' || (without && blank) {
                    day.reference.push(Event { secs, blank });
                }
                for _ in 0..if own { if who == 'B' { 4 } else { 1 } } else { 0 } {
                    let own_secs = secs + fast + if who == '2' { 3.0 } else { 0.0 };
                    day.own.push(Event { secs: own_secs, blank });
                    secs += if who == 'B' { 0.125 } else { 0.0 };
                }
                secs += day.between(4.0, 14.0);
            }
            secs += day.between(habit.pause.0, habit.pause.1);
        }
        day
    }

    fn estimate(&self) -> Option<Estimate> {
        let by_time = |events: &[Event]| {
            let mut events = events.to_vec();
            events.sort_by(|a, b| a.secs.total_cmp(&b.secs));
            events
        };
        estimate(&by_time(&self.reference), &by_time(&self.own), true)
    }

    fn right(&self, estimate: &Estimate, fast: f64) -> bool {
        let cycles = cycles(&self.reference);
        let set = |secs: f64| cycles.partition_point(|c| c.2 < secs);
        let frames = self.own.iter().filter(|e| !e.blank);
        frames.clone().all(|e| set(e.secs - fast) == set(e.secs + estimate.shift_secs))
    }
}

/// Of `seeds` days of a habit whose second clock is so many seconds fast: how many are estimated surely and put
/// every frame into its set, and how many surely and wrongly.
fn right_and_wrong(habit: &Habit, fast: f64, seeds: u64) -> (u64, u64) {
    let days = (0..seeds).map(|seed| Day::new(habit, seed, fast));
    days.filter_map(|day| {
        let estimate = day.estimate()?;
        (estimate.confidence >= 0.9).then(|| day.right(&estimate, fast))
    })
    .fold((0, 0), |(right, wrong), is_right| (right + u64::from(is_right), wrong + u64::from(!is_right)))
}

#[test]
fn habits_of_all_kinds_give_the_shift() {
    let habit = |round, sets| Habit { round, sets, ..HABIT };
    for habit in [
        HABIT,
        habit("bbaaaa", 8),
        habit("aaabba", 8),
        habit("aabaaa", 8),
        habit("ababaa", 8),
        habit("aBBaaa", 8),
        Habit { skipped: 15, ..habit("abbaaa", 10) },
        Habit { without: 20, ..habit("abbaaa", 12) },
        Habit { pause: (8.0, 20.0), ..habit("abbaaa", 10) },
        Habit { pause: (40.0, 45.0), ..habit("abbaaa", 8) },
        Habit { skipped: 10, without: 10, ..habit("abbaaa", 40) },
    ] {
        // The last is a clock that started at 2000-01-01 instead of 2025-12-31.
        for fast in [3797.0, -40.0, 100.0, -820_368_000.0] {
            let (right, wrong) = right_and_wrong(&habit, fast, 10);
            assert!(right >= 9 && wrong == 0, "{} {fast}: {right} right, {wrong} wrong", habit.round);
        }
    }
}

#[test]
fn clocks_that_agree_are_left_alone() {
    for round in ["abbaaa", "bbaaaa", "aaabba", "ababaa", "aBBaaa", "abbaa2", "bbbbba"] {
        for sets in [3, 8] {
            for seed in 0..10 {
                let day = Day::new(&Habit { round, sets, ..HABIT }, seed, 0.0);
                let estimate = day.estimate().unwrap();
                assert!(estimate.shift_secs.abs() < 1e-9, "{round} {sets} {seed}: {estimate:?}");
                assert!(estimate.confidence > 0.7, "{round} {sets} {seed}: {estimate:?}");
            }
        }
    }
}

#[test]
fn the_shift_is_the_middle_of_those_that_serve() {
    for seed in 0..10 {
        let off = Day::new(&HABIT, seed, 3797.0).estimate().unwrap().shift_secs + 3797.0;
        assert!(off.abs() <= 3.0, "{off}");
    }
}

#[test]
fn days_that_have_nothing_to_do_with_each_other_are_not_brought_together() {
    for seed in 0..10 {
        let one = Day::new(&Habit { round: "aaaaaa", ..HABIT }, seed, 0.0);
        for later in [-86_400.0, 1000.0] {
            let other = Day::new(&Habit { round: "bbbbbb", ..HABIT }, seed + 100, later);
            let estimate = estimate(&one.reference, &other.own, true);
            assert_eq!(estimate.map(|e| e.shift_secs), Some(0.0));
        }
    }
}

#[test]
fn without_sets_or_frames_there_is_no_estimate() {
    let event = |secs, blank| Event { secs, blank };
    assert_eq!(estimate(&[], &[], true), None);
    assert_eq!(estimate(&[event(0.0, false), event(9.0, false)], &[event(5.0, false)], true), None);
    let day = Day::new(&HABIT, 1, 0.0);
    assert_eq!(estimate(&day.reference, &[event(3.0, true)], true), None);
    // All at one moment.
    let same = [event(0.0, false), event(0.0, true), event(0.0, false), event(0.0, true)];
    assert!(estimate(&same, &[event(0.0, false); 3], true).is_some());
}

#[test]
fn a_day_of_more_frames_than_a_first_look_takes_gives_its_shift_too() {
    let day = Day::new(&Habit { sets: 1010, ..HABIT }, 3, 3797.0);
    assert!(day.own.len() > GLANCED_AT);
    let found = estimate(&day.reference, &day.own, true).unwrap();
    assert!((found.shift_secs + 3797.0).abs() < 12.0 && found.confidence > 0.9, "{found:?}");
}

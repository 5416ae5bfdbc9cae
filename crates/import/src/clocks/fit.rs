//! How well the frames of two bodies make one day when one of their clocks is moved by some seconds.
//!
//! One photographer uses two bodies in a habit: each animal gets frames of both, the second body comes in at the same
//! place of the round, nobody shoots while animals are changed, and a blank closes it all. At the right shift the
//! merged day is therefore the most regular one. Regularity is measured as the length of a description of the day
//! that learns as it goes (Krichevsky–Trofimov estimate: a value seen n times among N of k kinds costs
//! −ln((n + ½)/(N + k/2))): what repeats is cheap. In goes two lists of moments, out comes that length in nats.

/// One exposure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Event {
    /// Seconds on the common scale.
    pub(crate) secs: f64,
    /// Whether it closes a set.
    pub(crate) blank: bool,
}

/// A merged day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Fit {
    /// Length of its description, in nats; less is better.
    pub(crate) cost: f64,
    /// Runs of frames between blanks that hold frames of both bodies.
    pub(crate) shared: usize,
    /// Runs of frames between blanks that hold frames of the reference alone.
    pub(crate) reference_alone: usize,
    /// Runs of frames between blanks that hold frames of the moved body alone.
    pub(crate) own_alone: usize,
    /// Frames of the moved body that share no run with the reference.
    pub(crate) apart: usize,
}

/// Kinds of place in the round, of pause, and of number of turns that are told apart; the last takes all beyond.
/// All odd, so that one table of logarithms serves.
const PLACES: usize = 11;
const PAUSES: usize = 13;
const TURNS: usize = 5;
/// What it costs, in nats, when frames of the moved body take up the whole pause in which animals are changed.
const HURRIED: f64 = 2.0;

/// Counts of what is described.
#[derive(Default)]
struct Tally {
    /// Runs between blanks: of both, of the reference, of the moved body.
    cycles: [usize; 3],
    /// Turns of the moved body, by how many reference frames lie before and after them in their cycle.
    before: [usize; PLACES],
    after: [usize; PLACES],
    /// Turns of the moved body in a cycle of both.
    turns: [usize; TURNS],
    /// Pauses by their power of two: within one body and between the two; frame to frame, to a blank, from one.
    pauses: [[[usize; PAUSES]; 3]; 2],
    apart: usize,
    /// Sum over the sets of the part of the pause before it that the moved body cut off.
    hurried: f64,
}

/// Whose an exposure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Owner {
    Reference,
    Own,
}

/// What has been seen since the last blank.
#[derive(Default)]
struct Cycle {
    /// When that blank was.
    blank: Option<f64>,
    reference: usize,
    own: usize,
    /// When the moved body began, where it began before the reference.
    began: Option<f64>,
    /// For each turn of the moved body, the reference frames before it.
    turns: Vec<usize>,
}

impl Cycle {
    fn add(&mut self, owner: Owner, secs: f64, new_turn: bool, tally: &mut Tally) {
        match owner {
            Owner::Own => {
                if new_turn {
                    self.turns.push(self.reference);
                }
                self.began = self.began.or((self.reference == 0).then_some(secs));
                self.own += 1;
            }
            Owner::Reference => {
                if let (0, Some(blank), Some(began)) = (self.reference, self.blank, self.began) {
                    tally.hurried += (secs - began) / (secs - blank).max(1e-3);
                }
                self.reference += 1;
            }
        }
    }
}

impl Tally {
    /// Takes in what lies before a blank, or before the end of the day.
    fn close(&mut self, cycle: &mut Cycle, closed_by: Option<Owner>) {
        match (cycle.reference, cycle.own) {
            (0, 0) => {}
            (_, 0) => self.cycles[1] += 1,
            (0, own) if closed_by != Some(Owner::Reference) => {
                self.cycles[2] += 1;
                // What a body closes by itself needs no other.
                self.apart += if closed_by.is_none() { own } else { 0 };
            }
            (reference, _) => {
                self.cycles[0] += 1;
                self.turns[cycle.turns.len().min(TURNS) - 1] += 1;
                for before in &cycle.turns {
                    self.before[(*before).min(PLACES - 1)] += 1;
                    self.after[(reference - before).min(PLACES - 1)] += 1;
                }
            }
        }
        (cycle.reference, cycle.own, cycle.began) = (0, 0, None);
        cycle.turns.clear();
    }

    fn cost(&self, logs: &Logs) -> f64 {
        // A frame that shares nothing could stand at any place.
        let apart = self.apart as f64 * (PLACES as f64).ln();
        let places = logs.code(&self.before).min(logs.code(&self.after));
        let pauses: f64 = self.pauses.iter().flatten().map(|kinds| logs.code(kinds)).sum();
        let hurried = HURRIED * self.hurried;
        apart + hurried + places + logs.code(&self.cycles) + logs.code(&self.turns) + pauses
    }
}

/// Sums of logarithms, worked out once for all shifts.
pub(crate) struct Logs {
    /// `halves[n]`: sum of ln(i + ½) for i < n.
    halves: Vec<f64>,
    /// Pauses longer than this part sets.
    long_secs: f64,
}

impl Logs {
    /// For days of up to so many events.
    pub(crate) fn new(events: usize, long_secs: f64) -> Self {
        let sums = (0..=events + PAUSES).scan(0.0, |sum, i| {
            let before = *sum;
            *sum += (i as f64 + 0.5).ln();
            Some(before)
        });
        Self { halves: sums.collect(), long_secs }
    }

    /// Length of a description of values of an odd number of kinds, seen so many times each.
    fn code(&self, counts: &[usize]) -> f64 {
        let (all, skipped) = (counts.iter().sum::<usize>(), counts.len() / 2);
        let total = self.halves[all + skipped] - self.halves[skipped];
        total - counts.iter().map(|n| self.halves[*n]).sum::<f64>()
    }
}

/// Fits `own`, each moment moved by `shift_secs`, to `reference`; both in order of time.
pub(crate) fn fit(reference: &[Event], own: &[Event], shift_secs: f64, logs: &Logs) -> Fit {
    let mut tally = Tally::default();
    let mut cycle = Cycle::default();
    let mut last: Option<(Owner, Event)> = None;
    for (owner, event) in merged(reference, own, shift_secs) {
        if let Some((before_owner, before)) = last {
            let kind = if event.blank { 1 } else { 2 * usize::from(before.blank) };
            let pause = power_of_two(event.secs - before.secs);
            tally.pauses[usize::from(before_owner != owner)][kind][pause] += 1;
            if !before.blank && event.secs - before.secs > logs.long_secs {
                // An animal was changed without a blank, or the bodies do not belong together here.
                tally.close(&mut cycle, None);
                cycle.blank = None;
            }
        }
        if event.blank {
            tally.close(&mut cycle, Some(owner));
            cycle.blank = Some(event.secs);
        } else {
            let new_turn = cycle.own == 0 || last.is_some_and(|(o, _)| o == Owner::Reference);
            cycle.add(owner, event.secs, new_turn, &mut tally);
        }
        last = Some((owner, event));
    }
    tally.close(&mut cycle, None);
    Fit {
        cost: tally.cost(logs),
        shared: tally.cycles[0],
        reference_alone: tally.cycles[1],
        own_alone: tally.cycles[2],
        apart: tally.apart,
    }
}

/// Both days in order of time; at one moment the reference comes first.
fn merged(reference: &[Event], own: &[Event], shift_secs: f64) -> impl Iterator<Item = (Owner, Event)> {
    let mut reference = reference.iter().copied().peekable();
    let mut own = own.iter().map(move |e| Event { secs: e.secs + shift_secs, ..*e }).peekable();
    std::iter::from_fn(move || match (reference.peek(), own.peek()) {
        (Some(a), Some(b)) if b.secs < a.secs => own.next().map(|e| (Owner::Own, e)),
        (Some(_), _) => reference.next().map(|e| (Owner::Reference, e)),
        (None, _) => own.next().map(|e| (Owner::Own, e)),
    })
}

/// Kind of a pause: under ½ s, then doubling, to from 1024 s on.
fn power_of_two(secs: f64) -> usize {
    ((secs.max(0.25).log2() + 2.0) as usize).min(PAUSES - 1)
}

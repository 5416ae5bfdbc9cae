//! By how much the clocks of two bodies differ, from how their frames and blanks interleave.
//!
//! Every shift under which the two days overlap is looked at: first on a fine grid by how many sets of the reference
//! then hold a frame of the other body, and how many of its frames fall into the pauses in which animals are changed;
//! then the most promising by how regular the merged day is (see [`super::fit`]). A clock is more often off by little
//! than by much, so a large shift needs more evidence than a small one, and clocks that agree need least. Whether the
//! estimate is used is decided by the caller.

use super::fit::{Event, Fit, Logs, fit};

/// An estimate and what speaks for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Estimate {
    /// Seconds to add to the moved body's clock.
    pub(crate) shift_secs: f64,
    /// Probability that it is the right one, 0..=1.
    pub(crate) confidence: f64,
    /// The day with it.
    pub(crate) fit: Fit,
    /// The day with the clocks left alone.
    pub(crate) alone: Fit,
    /// The likeliest shift that puts the frames into other sets, and the day with it.
    pub(crate) next: Option<(f64, Fit)>,
}

impl Estimate {
    /// The estimate with the other body moved.
    pub(crate) fn turned(self) -> Self {
        let turned = |fit: Fit| Fit { reference_alone: fit.own_alone, own_alone: fit.reference_alone, ..fit };
        Self {
            shift_secs: -self.shift_secs,
            fit: turned(self.fit),
            alone: turned(self.alone),
            next: self.next.map(|(secs, fit)| (-secs, turned(fit))),
            ..self
        }
    }
}

/// Cells of the grid of shifts: 0.15 s each for two days of ten hours.
const CELLS: usize = 1 << 18;
/// Part of the pause after a blank, until the reference goes on, in which animals are changed for certain. In the
/// rest the other body may have begun.
const CHANGING: f64 = 0.5;
/// Promising shifts of the grid that are looked at closely, and those of them whose surroundings are searched.
const LOOKED_AT: usize = 80;
const SEARCHED: usize = 12;
/// Most frames that a first look takes, evenly over the day, so that it grows with the day and not with its square.
const GLANCED_AT: usize = 2000;
/// Steps to either side of such a search.
const STEPS: i32 = 24;
/// The shift that is half as likely as none, in seconds: clocks set by hand differ by some seconds.
const USUAL_SECS: f64 = 10.0;
/// Beyond this all shifts are equally likely: the widest difference of two zones, from UTC−12 to UTC+14 (IANA time zone
/// data). A clock that was never set may be decades off.
const FAR_SECS: f64 = 26.0 * 3600.0;
/// The descriptions that are compared see one habit several times over, so only part of their difference counts.
const WEIGHT: f64 = 0.5;
/// Share of frames that must lie in another set for two shifts to count as different answers.
const DIFFERENT: f64 = 0.1;
/// How much better, in nats, a shift must be than none to be taken where it moves no frame to another set.
const WITHIN_SETS: f64 = 10.0;

/// Estimates the shift of `own`; both in order of time. `trusted` says that both clocks were once set, so that they
/// rather agree than not. `None` when the reference has no blank between frames or
/// `own` has no frame.
pub(crate) fn estimate(reference: &[Event], own: &[Event], trusted: bool) -> Option<Estimate> {
    let search = Search { trusted, ..Search::new(reference, own)? };
    let mut found: Vec<Candidate> = search.promising().into_iter().map(|s| search.candidate(s)).collect();
    found.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    found.truncate(SEARCHED);
    let mut found: Vec<Candidate> = found.iter().map(|c| search.around(c.shift_secs)).collect();
    let alone = search.candidate(0.0);
    found.push(alone);
    found.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let best = found[0];
    let others = found.iter().filter(|c| search.differ(best.shift_secs, c.shift_secs));
    let next = others.min_by(|a, b| a.cost.total_cmp(&b.cost));
    let lead = next.map_or(f64::INFINITY, |n| WEIGHT * (n.cost - best.cost));
    let zero_serves = !search.differ(best.shift_secs, 0.0) && alone.cost - best.cost < WITHIN_SETS;
    let chosen = if zero_serves { alone } else { search.middle(best) };
    Some(Estimate {
        shift_secs: chosen.shift_secs,
        confidence: 1.0 / (1.0 + (-lead).exp()),
        fit: chosen.fit,
        alone: alone.fit,
        next: next.map(|n| (n.shift_secs.round(), n.fit)),
    })
}

#[derive(Debug, Clone, Copy)]
struct Candidate {
    shift_secs: f64,
    fit: Fit,
    /// Length of the description with the shift itself.
    cost: f64,
}

struct Search<'a> {
    reference: &'a [Event],
    own: &'a [Event],
    logs: Logs,
    /// From blank to blank, where frames lie between; the moment the reference's frames begin again.
    cycles: Vec<(f64, f64, f64)>,
    /// How near two shifts are one answer for a first look.
    near_secs: f64,
    trusted: bool,
}

impl<'a> Search<'a> {
    fn new(reference: &'a [Event], own: &'a [Event]) -> Option<Self> {
        let cycles = cycles(reference);
        let mut changing: Vec<f64> = cycles.iter().map(|c| c.1 - c.0).filter(|c| c.is_finite()).collect();
        changing.sort_by(f64::total_cmp);
        let usual = *changing.get(changing.len() / 2)?;
        own.iter().any(|e| !e.blank).then(|| Self {
            reference,
            own,
            logs: Logs::new(reference.len() + own.len(), usual),
            cycles,
            near_secs: (usual / 4.0).max(0.01),
            trusted: true,
        })
    }

    fn candidate(&self, shift_secs: f64) -> Candidate {
        let fit = fit(self.reference, self.own, shift_secs, &self.logs);
        let far = if self.trusted { shift_secs.abs().min(FAR_SECS) } else { 0.0 };
        let rare = (1.0 + far / USUAL_SECS).ln();
        Candidate { shift_secs, fit, cost: fit.cost + rare / WEIGHT }
    }

    /// The best shift near this one.
    fn around(&self, shift_secs: f64) -> Candidate {
        let step = 2.0 * self.near_secs / f64::from(STEPS);
        let shifts = (-STEPS..=STEPS).map(|i| shift_secs + f64::from(i) * step);
        let best = shifts.map(|s| self.candidate(s)).min_by(|a, b| a.cost.total_cmp(&b.cost));
        best.unwrap_or_else(|| self.candidate(shift_secs))
    }

    /// The middle of the stretch of shifts around the best one that are nearly as good, in whole seconds where the
    /// stretch has one.
    fn middle(&self, best: Candidate) -> Candidate {
        const NEARLY: f64 = 2.0;
        let step = self.near_secs / f64::from(STEPS);
        let reach = |sign: f64| {
            let steps = (1..=4 * STEPS).map(|i| best.shift_secs + sign * f64::from(i) * step);
            steps
                .take_while(|s| self.candidate(*s).cost <= best.cost + NEARLY)
                .last()
                .unwrap_or(best.shift_secs)
        };
        let middle = f64::midpoint(reach(-1.0), reach(1.0));
        let whole = self.candidate(middle.round());
        if whole.cost <= best.cost + NEARLY {
            whole
        } else {
            self.candidate((middle * 100.0).round() / 100.0)
        }
    }

    /// Whether two shifts put more than a tenth of the frames into different sets.
    fn differ(&self, a: f64, b: f64) -> bool {
        let set = |secs: f64| self.cycles.partition_point(|c| c.2 < secs);
        let frames = self.own.iter().filter(|e| !e.blank);
        let moved = frames.clone().filter(|e| set(e.secs + a) != set(e.secs + b)).count();
        moved as f64 > DIFFERENT * frames.count() as f64
    }

    /// Shifts of the grid under which most sets hold a frame of both, each the middle of a stretch of equal ones.
    fn promising(&self) -> Vec<f64> {
        let frames: Vec<f64> = self.own.iter().filter(|e| !e.blank).map(|e| e.secs).collect();
        let every = frames.len().div_ceil(GLANCED_AT).max(1);
        let frames: Vec<f64> = frames.into_iter().step_by(every).collect();
        let (Some(first), Some(last)) = (frames.first(), frames.last()) else { return vec![] };
        let (Some(start), Some(end)) = (self.reference.first(), self.reference.last()) else { return vec![] };
        let (from, to) = (start.secs - last, end.secs - first);
        let cell_secs = ((to - from) / CELLS as f64).max(self.near_secs / 16.0);
        let cells = ((to - from) / cell_secs) as usize + 1;
        let mut grid = Grid { from, cell_secs, steps: vec![0.0; cells + 1] };
        for (blank, resumed, closing) in &self.cycles {
            let (blank, closing) = (blank.max(start.secs), closing.min(end.secs));
            let changing = 8.0 * self.near_secs;
            let mut covered = f64::NEG_INFINITY;
            for frame in frames.iter().rev() {
                // Rising shifts: each frame's stretch starts and ends later than that of the frame after it.
                grid.add((blank - frame).max(covered), closing - frame, 1.0);
                covered = closing - frame;
                let changed = blank + CHANGING * (resumed - blank).min(changing);
                grid.add(
                    blank - frame,
                    changed - frame,
                    -1.0 / frames.len() as f64 * self.cycles.len() as f64,
                );
            }
        }
        grid.peaks(self.near_secs)
    }
}

/// The reference's sets as blank before, first frame and blank after; infinite where there is none. A reference that
/// takes nothing but blanks has a set between each two of them.
fn cycles(reference: &[Event]) -> Vec<(f64, f64, f64)> {
    if reference.iter().all(|e| e.blank) {
        return reference.windows(2).map(|pair| (pair[0].secs, pair[1].secs, pair[1].secs)).collect();
    }
    let mut cycles = vec![];
    let (mut blank, mut resumed) = (f64::NEG_INFINITY, None);
    for event in reference {
        match (event.blank, resumed) {
            (true, Some(first)) => {
                cycles.push((blank, first, event.secs));
                (blank, resumed) = (event.secs, None);
            }
            (true, None) => blank = event.secs,
            (false, None) => resumed = Some(event.secs),
            (false, Some(_)) => {}
        }
    }
    cycles.extend(resumed.map(|first| (blank, first, f64::INFINITY)));
    cycles
}

/// Values over a range of shifts, kept as differences from cell to cell.
struct Grid {
    from: f64,
    cell_secs: f64,
    steps: Vec<f64>,
}

impl Grid {
    fn cell(&self, shift: f64) -> usize {
        (((shift - self.from) / self.cell_secs).max(0.0) as usize).min(self.steps.len() - 1)
    }

    /// Adds a value from one shift to another.
    fn add(&mut self, from: f64, to: f64, value: f64) {
        let (from, to) = (self.cell(from), self.cell(to));
        if from < to {
            self.steps[from] += value;
            self.steps[to] -= value;
        }
    }

    /// The best shifts, no two nearer than this.
    fn peaks(&self, near_secs: f64) -> Vec<f64> {
        let mut stretches: Vec<(f64, usize, usize)> = vec![];
        let mut value = 0.0;
        for (at, step) in self.steps.iter().enumerate() {
            value += step;
            match stretches.last_mut() {
                Some((same, _, to)) if (*same - value).abs() < 1e-6 => *to = at + 1,
                _ => stretches.push((value, at, at + 1)),
            }
        }
        stretches.sort_by(|a, b| b.0.total_cmp(&a.0).then((b.2 - b.1).cmp(&(a.2 - a.1))));
        let mut peaks: Vec<f64> = vec![];
        for (_, from, to) in stretches {
            let middle = self.from + self.cell_secs * (from + to) as f64 / 2.0;
            if peaks.iter().all(|p| (p - middle).abs() > near_secs) {
                peaks.push(middle);
            }
            if peaks.len() == LOOKED_AT {
                break;
            }
        }
        peaks
    }
}

#[cfg(test)]
#[path = "estimate_tests.rs"]
mod tests;

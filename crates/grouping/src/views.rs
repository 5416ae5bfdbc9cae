//! Which view each frame of a day probably shows: place in the round and looks together.
//!
//! Place comes from a [`Habit`] that begins as the plan's order and follows the person through the day; looks come from
//! an [`Appearance`] learned from frames that were confirmed. Until frames of two specimens are, the day teaches itself:
//! whole rounds show what each place looks like. Confirmed frames are held fast, and never proposed anything.

use std::collections::BTreeMap;

use record::{FrameId, LearnedViews, Plan, Session, ViewKey};

use crate::align::align;
use crate::habit::{Counts, Habit};
use crate::looks::{Appearance, Example};

/// A view is proposed from this probability on; below it a frame stays unlabelled. Order alone reaches it
/// for a set that fits the round, and not for one that lacks a view somewhere unknown.
pub const PROPOSE_FROM: f32 = 0.75;

/// Share of sets shot in no order at all, for which place says nothing: our own choice, on the careful
/// side, since a person begins with order as all there is to go by.
const NO_ORDER: f64 = 0.15;
/// How many sets of the day outweigh that share.
const NO_ORDER_SETS: f64 = 3.0;
/// How much of what was seen of the order counts one set further away in the day: about six sets are remembered.
const NEARBY: f64 = 0.85;
/// How often the day is gone through: the first time by the plan's order and what is confirmed, then by the order that
/// the looks showed in the sets around. The second time a changed order is seen, the third time it is gone by.
const PASSES: usize = 3;
/// Fewest whole rounds from which an unconfirmed day teaches itself.
const FEWEST_ROUNDS: usize = 3;
/// Chance that the person has the plan's own order for a habit, while nothing is confirmed: our own choice. Looks cannot
/// tell another habit from it, so no view becomes surer than this.
const HABIT_IS_THE_PLANS: f64 = 0.9;
/// Most specimens that looks are learned from, the latest ones: enough for a few dozen numbers, and quick.
pub(crate) const MOST_SPECIMENS: usize = 40;

/// The best guess for a frame without a confirmed view.
#[derive(Debug, Clone, PartialEq)]
pub struct ViewProposal {
    /// The likeliest view.
    pub view: ViewKey,
    /// Its probability, 0..=1; proposed from [`PROPOSE_FROM`] on.
    pub prob: f32,
    /// The probability of each view of the plan, in its order. What is left to 1 is that it shows none of them.
    pub probs: Vec<f32>,
}

impl ViewProposal {
    /// Whether it is probable enough to be shown as a proposal.
    pub fn is_proposed(&self) -> bool {
        self.prob >= PROPOSE_FROM
    }
}

/// What is known of views before any set is looked at.
pub(crate) struct Known<'a> {
    session: &'a Session,
    plan_habit: Habit,
    /// What confirmed frames taught.
    appearance: Option<Appearance>,
}

impl<'a> Known<'a> {
    /// Learns from the session's confirmed frames, and from `before`: those of other sessions.
    pub(crate) fn of(session: &'a Session, before: &'a LearnedViews) -> Self {
        let plan = &session.plan;
        let mut examples: Vec<Example<'_>> = Vec::new();
        for (frame, label) in &session.decisions.labels {
            let looks =
                session.frame(*frame).and_then(|f| f.looks.as_ref()).filter(|l| !l.descriptor.is_empty());
            if let (Some(view), Some(looks)) = (plan.place(&label.view), looks) {
                let specimen = label.specimen.0 as usize;
                examples.push(Example { descriptor: &looks.descriptor, view, specimen });
            }
        }
        // Newest last, and told from the session's own.
        let own = examples.iter().map(|e| e.specimen + 1).max().unwrap_or(0);
        for (at, specimen) in before.specimens().rev().enumerate() {
            for (key, descriptor) in specimen {
                if let Some(view) = plan.place(key) {
                    examples.push(Example { descriptor, view, specimen: own + at });
                }
            }
        }
        let mut kept: Vec<usize> = examples.iter().map(|e| e.specimen).collect();
        kept.sort_unstable();
        kept.dedup();
        // The latest of this session first, then the latest of those before.
        let mine = kept.partition_point(|s| *s < own);
        let from = mine.saturating_sub(MOST_SPECIMENS);
        let kept = &kept[from..kept.len().min(from + MOST_SPECIMENS)];
        examples.retain(|e| kept.binary_search(&e.specimen).is_ok());
        let appearance = Appearance::learn(descriptors(session), &examples, plan.views.len());
        Self { session, plan_habit: Habit::of_plan(plan), appearance }
    }

    fn plan(&self) -> &Plan {
        &self.session.plan
    }

    fn confirmed(&self, frame: FrameId) -> Option<usize> {
        self.plan().place(&self.session.decisions.labels.get(&frame)?.view)
    }

    fn descriptor(&self, frame: FrameId) -> Option<&'a [f32]> {
        let looks = self.session.frame(frame)?.looks.as_ref()?;
        Some(looks.descriptor.as_slice()).filter(|d| !d.is_empty())
    }

    /// How well a frame fits each view, and last none: as confirmed, else by its looks, else all the same.
    fn fits(&self, frame: FrameId, appearance: Option<&Appearance>) -> Vec<f64> {
        let views = self.plan().views.len();
        match (self.confirmed(frame), appearance, self.descriptor(frame)) {
            (Some(known), ..) => (0..=views).map(|v| f64::from(u8::from(v == known))).collect(),
            (None, Some(appearance), Some(descriptor)) => appearance.fits(descriptor),
            _ => vec![1.0; views + 1],
        }
    }

    /// How much more two neighbouring frames look like the end of one round and the start of the next than like a step
    /// within a round, in log odds. 0 while nothing was confirmed: a day that teaches itself knows its rounds from its
    /// sets, and must not prove them by that.
    pub(crate) fn restart_odds(&self, before: FrameId, after: FrameId) -> f64 {
        let Some(appearance) = &self.appearance else { return 0.0 };
        let (a, b) = (self.fits(before, Some(appearance)), self.fits(after, Some(appearance)));
        let habit = &self.plan_habit;
        let views = habit.start.len();
        let odds = |a: &[f64], b: &[f64]| {
            let ends: f64 = (0..views).map(|i| a[i] * habit.finish[i]).sum();
            let starts: f64 = (0..views).map(|j| b[j] * habit.start[j]).sum();
            let goes_on: f64 =
                (0..views).map(|i| a[i] * (0..views).map(|j| habit.step[i][j] * b[j]).sum::<f64>()).sum();
            (ends * starts / goes_on).ln()
        };
        let flat = vec![1.0; views + 1];
        let odds = odds(&a, &b) - odds(&flat, &flat);
        if odds.is_nan() { 0.0 } else { odds }
    }

    /// What looks alone say of a frame: the probability of each view, and last of none. `None` where nothing was learned
    /// or the frame was not looked at.
    pub(crate) fn by_looks(&self, frame: FrameId, sets: &[Vec<FrameId>]) -> Option<Vec<f64>> {
        let taught = self.taught_by_day(sets);
        let mut row = self.appearance.as_ref().or(taught.as_ref())?.fits(self.descriptor(frame)?);
        let total: f64 = row.iter().sum();
        for fit in &mut row {
            *fit /= total;
        }
        Some(row)
    }

    /// What place alone says of a frame of the sets: the probability of each view, and last of none.
    pub(crate) fn by_place(&self, frame: FrameId, sets: &[Vec<FrameId>]) -> Option<Vec<f64>> {
        let fits: Vec<Vec<Vec<f64>>> =
            sets.iter().map(|set| set.iter().map(|f| self.fits(*f, None)).collect()).collect();
        let set = sets.iter().position(|set| set.contains(&frame))?;
        let at = sets[set].iter().position(|f| *f == frame)?;
        self.go_through(sets, &fits, false).swap_remove(set).into_iter().nth(at)
    }

    /// What the whole rounds of an unconfirmed day look like, in the plan's order, or in that of the one specimen that
    /// is confirmed. `None` where confirmed frames teach better, or too few rounds are whole.
    fn taught_by_day(&self, sets: &[Vec<FrameId>]) -> Option<Appearance> {
        if self.appearance.is_some() {
            return None;
        }
        let required: Vec<usize> =
            (0..self.plan().views.len()).filter(|v| self.plan().views[*v].required).collect();
        let known =
            |set: &Vec<FrameId>| set.iter().map(|f| self.confirmed(*f)).collect::<Option<Vec<usize>>>();
        let whole = sets.iter().filter(|set| set.len() == required.len());
        let order = whole.clone().find_map(known).unwrap_or_else(|| required.clone());
        let mut rounds = 0;
        let mut examples: Vec<Example<'_>> = Vec::new();
        for (specimen, set) in whole.enumerate() {
            let seen: Option<Vec<&[f32]>> = set.iter().map(|f| self.descriptor(*f)).collect();
            let Some(seen) = seen.filter(|_| rounds < MOST_SPECIMENS) else { continue };
            rounds += 1;
            let rows = seen.into_iter().zip(&order);
            examples.extend(rows.map(|(descriptor, view)| Example { descriptor, view: *view, specimen }));
        }
        (rounds >= FEWEST_ROUNDS)
            .then(|| Appearance::learn(descriptors(self.session), &examples, self.plan().views.len()))?
    }

    /// Proposes a view for each frame of the day's sets that has no confirmed one.
    pub(crate) fn propose(&self, sets: &[Vec<FrameId>]) -> BTreeMap<FrameId, ViewProposal> {
        let taught = self.taught_by_day(sets);
        let appearance = self.appearance.as_ref().or(taught.as_ref());
        let any_confirmed = sets.iter().flatten().any(|f| self.confirmed(*f).is_some());
        let trust = if self.appearance.is_some() || any_confirmed || taught.is_none() {
            1.0
        } else {
            HABIT_IS_THE_PLANS
        };
        let fits: Vec<Vec<Vec<f64>>> =
            sets.iter().map(|set| set.iter().map(|f| self.fits(*f, appearance)).collect()).collect();
        let mut proposals = BTreeMap::new();
        for (set, probs) in sets.iter().zip(self.go_through(sets, &fits, appearance.is_some())) {
            for (frame, row) in set.iter().zip(probs).filter(|(f, _)| self.confirmed(**f).is_none()) {
                let views = self.plan().views.len();
                let probs: Vec<f32> =
                    row[..views].iter().map(|p| (trust * p + (1.0 - trust) / views as f64) as f32).collect();
                let Some(best) = (0..views).max_by(|a, b| probs[*a].total_cmp(&probs[*b]).then(b.cmp(a)))
                else {
                    continue;
                };
                let view = self.plan().views[best].key.clone();
                proposals.insert(*frame, ViewProposal { view, prob: probs[best], probs });
            }
        }
        proposals
    }

    /// Aligns all sets, each by the habit that the sets around it show.
    fn go_through(&self, sets: &[Vec<FrameId>], fits: &[Vec<Vec<f64>>], looked: bool) -> Vec<Vec<Vec<f64>>> {
        let mut probs: Vec<Vec<Vec<f64>>> = fits.to_vec();
        let mut orders: Vec<f64> = vec![NO_ORDER; sets.len()];
        for pass in 0..PASSES {
            // Place must not be learned from what place alone said.
            let tells = |f: &FrameId| {
                self.confirmed(*f).is_some() || pass > 0 && looked && self.descriptor(*f).is_some()
            };
            for (frame, row) in sets.iter().flatten().zip(probs.iter_mut().flatten()) {
                if !tells(frame) {
                    row.fill(0.0);
                }
            }
            let mut habits = self.habits_around(&probs);
            if looked {
                habits = habits.into_iter().map(Habit::with_slips).collect();
            }
            let disorder = smoothed(&orders);
            for at in 0..sets.len() {
                let aligned = align(&habits[at], &fits[at], disorder[at]);
                probs[at] = aligned.probs;
                orders[at] = aligned.no_order;
            }
        }
        probs
    }

    /// The habit at each set, by what is known of the frames of the sets around it; its own frames have no say.
    fn habits_around(&self, probs: &[Vec<Vec<f64>>]) -> Vec<Habit> {
        let views = self.plan().views.len();
        let counts: Vec<Counts> = probs
            .iter()
            .map(|set| {
                let mut counts = Counts::none(views);
                counts.add(set);
                counts
            })
            .collect();
        let mut around = before_each(counts.iter(), views);
        let mut after = before_each(counts.iter().rev(), views);
        after.reverse();
        around.iter_mut().zip(&after).for_each(|(sum, after)| sum.take(after));
        around.iter().map(|seen| self.plan_habit.learned(seen)).collect()
    }
}

/// For each set what was seen in those before it, the nearer ones counting more.
fn before_each<'a>(counts: impl Iterator<Item = &'a Counts>, views: usize) -> Vec<Counts> {
    let mut sum = Counts::none(views);
    counts
        .map(|own| {
            let before = sum.clone();
            sum.take(own);
            sum.fade(NEARBY);
            before
        })
        .collect()
}

/// For each set the chance that it has no order, by the sets around it.
fn smoothed(orders: &[f64]) -> Vec<f64> {
    let sweep = |orders: &mut dyn Iterator<Item = f64>| -> Vec<(f64, f64)> {
        let mut sum = (0.0, 0.0);
        let mut each = Vec::new();
        for order in orders {
            each.push(sum);
            sum = (NEARBY * (sum.0 + order), NEARBY * (sum.1 + 1.0));
        }
        each
    };
    let before = sweep(&mut orders.iter().copied());
    let mut after = sweep(&mut orders.iter().rev().copied());
    after.reverse();
    let mean = |((a, n), (b, m)): (&(f64, f64), &(f64, f64))| {
        (NO_ORDER * NO_ORDER_SETS + a + b) / (NO_ORDER_SETS + n + m)
    };
    before.iter().zip(&after).map(mean).collect()
}

/// All descriptors of a session.
fn descriptors(session: &Session) -> impl Iterator<Item = &[f32]> + Clone {
    session
        .frames
        .iter()
        .filter_map(|f| Some(f.looks.as_ref()?.descriptor.as_slice()))
        .filter(|d| !d.is_empty())
}

#[cfg(test)]
mod tests {
    use record::{Label, Looks, Quality, Specimen, SpecimenId};

    use super::*;
    use crate::align::tests::plan;
    use crate::looks::tests::{Noise, descriptor};

    /// A day of sets, in words of one letter a frame: what it truly shows, in upper case where confirmed, `z` for none of
    /// the views. `blur` is the noise of the descriptors; `None` where nothing was looked at.
    fn day(required: &str, sets: &[&str], blur: Option<f64>) -> (Session, Vec<Vec<FrameId>>) {
        let mut session = Session::new("day", plan(required));
        let mut noise = Noise(3);
        let mut ids = Vec::new();
        for (animal, set) in sets.iter().enumerate() {
            let mut frames = Vec::new();
            for shown in set.bytes() {
                let id = FrameId(session.frames.len() as u32);
                let mut frame = crate::group::tests::frame(id.0, id.0, Some(0.01));
                let view = usize::from(shown.to_ascii_lowercase() - b'a');
                frame.looks = blur.map(|blur| {
                    let mut descriptor = descriptor(view, animal, &mut noise, blur);
                    if shown == b'z' {
                        descriptor.fill(12.0);
                    }
                    Looks { descriptor, quality: quality(), without_blank: false }
                });
                if shown.is_ascii_uppercase() {
                    let label = Label {
                        view: session.plan.views[view].key.clone(),
                        specimen: SpecimenId(animal as u32),
                    };
                    session.decisions.labels.insert(id, label);
                }
                session.frames.push(frame);
                frames.push(id);
            }
            let id = SpecimenId(animal as u32);
            let anchors = frames.clone();
            session.specimens.push(Specimen::new(id, anchors));
            ids.push(frames);
        }
        (session, ids)
    }

    fn quality() -> Quality {
        Quality {
            focus: 10.0,
            blown_share: 0.0,
            black_share: 0.0,
            subject_share: 0.2,
            edge_cut: false,
            subject_found: true,
        }
    }

    /// What is proposed, one letter a frame, `.` where it stays unlabelled, upper case where confirmed.
    fn proposed(required: &str, sets: &[&str], blur: Option<f64>) -> Vec<String> {
        let (session, ids) = day(required, sets, blur);
        let none = LearnedViews::default();
        let known = Known::of(&session, &none);
        let proposals = known.propose(&ids);
        let letter = |f: &FrameId| match (proposals.get(f), known.confirmed(*f)) {
            (Some(p), None) if p.is_proposed() => p.view.as_str().to_owned(),
            (Some(_), None) => ".".to_owned(),
            (None, Some(v)) => session.plan.views[v].key.as_str().to_uppercase(),
            odd => panic!("{odd:?}"),
        };
        ids.iter().map(|set| set.iter().map(letter).collect()).collect()
    }

    fn check(required: &str, sets: &[&str], blur: Option<f64>, expected: &[&str]) {
        assert_eq!(proposed(required, sets, blur), expected, "{sets:?}");
    }

    #[test]
    fn a_whole_round_is_proposed_in_order() {
        check("RRRRR", &["abcde"], None, &["abcde"]);
        check("RRRRROOO", &["abcde"], None, &["abcde"]);
        check("R", &["a"], None, &["a"]);
    }

    #[test]
    fn a_set_that_lacks_a_view_somewhere_stays_unlabelled() {
        check("RRRRROOO", &["abde"], None, &["...."]);
        check("RRRRR", &["cd"], None, &[".."]);
    }

    #[test]
    fn confirmed_frames_pin_the_rest() {
        check("RRRRR", &["ABcE"], None, &["AB.E"]);
        check("RRRRR", &["ABDe"], None, &["ABDe"]);
        check("RRRRR", &["ABcDE"], None, &["ABcDE"]);
    }

    #[test]
    fn an_unconfirmed_day_says_which_view_a_short_set_lacks() {
        let mut sets = vec!["abcde"; 6];
        sets.extend(["abde", "bcde", "abcd"]);
        let got = proposed("RRRRR", &sets, Some(0.5));
        assert_eq!(got[..6], ["abcde"; 6]);
        assert_eq!(got[6..], ["abde", "bcde", "abcd"]);
        // Two rounds teach nothing.
        assert_eq!(proposed("RRRRR", &["abcde", "abcde", "abde"], Some(0.5))[2], "....");
    }

    #[test]
    fn looks_overrule_place_and_a_changed_order_is_followed() {
        let mut sets = vec!["ABCDE"; 5];
        sets.extend(["baced", "cabed", "cabed", "cabed", "cabed", "cabed", "abzcde"]);
        let got = proposed("RRRRR", &sets, Some(0.5));
        let (truth, got_all) = (sets[5..11].concat(), got[5..11].concat());
        assert!(truth.chars().zip(got_all.chars()).all(|(t, g)| t == g || g == '.'), "{got_all}");
        assert!(got_all.matches('.').count() <= 2, "{got_all}");
        assert_eq!(got[11], "ab.cde", "a detail is none of the views");
    }

    #[test]
    fn looks_that_tell_nothing_leave_it_to_place() {
        let mut sets = vec!["ABCDE"; 4];
        sets.extend(["abcde", "abde"]);
        assert_eq!(proposed("RRRRR", &sets, Some(60.0))[4..], ["abcde", "...e"]);
    }

    #[test]
    fn a_habit_that_was_confirmed_is_proposed_without_looks() {
        let sets = ["CAB", "CAB", "CAB", "CAB", "cab"];
        assert_eq!(proposed("RRR", &sets, None)[4], "cab");
    }

    #[test]
    fn frames_of_another_session_teach_as_well() {
        let (taught, _) = day("RRRRR", &["ABCDE"; 4], Some(0.5));
        let mut learned = LearnedViews::default();
        learned.teach("2026-06-13_earlier", &taught);
        assert_eq!(learned.specimens().map(Vec::len).collect::<Vec<_>>(), [5; 4]);
        let (session, ids) = day("RRRRR", &["edb"], Some(0.5));
        let known = Known::of(&session, &learned);
        let views: Vec<String> = known.propose(&ids).values().map(|p| p.view.to_string()).collect();
        assert_eq!(views, ["e", "d", "b"]);
        assert!(known.by_looks(FrameId(0), &ids).unwrap()[4] > 0.9);
    }

    #[test]
    fn a_round_that_starts_again_is_seen_by_looks() {
        let mut sets = vec!["ABCDE"; 5];
        sets.push("abcdeabcde");
        let (session, ids) = day("RRRRR", &sets, Some(0.5));
        let none = LearnedViews::default();
        let known = Known::of(&session, &none);
        let odds: Vec<f64> = ids[5].windows(2).map(|w| known.restart_odds(w[0], w[1])).collect();
        assert!(odds[4] > 2.0, "{odds:?}");
        assert!(odds.iter().enumerate().all(|(i, o)| i == 4 || *o < -1.0), "{odds:?}");
    }
}

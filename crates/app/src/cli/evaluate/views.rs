//! Views of labelled cards: how many are right, how many are proposed, and whether probabilities mean what they say.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use record::{Plan, ViewKey};

use super::answer::{self, SaidOfViews};
use super::focus::Ranked;
use super::truth::Truth;
use super::{border, share};
use crate::day::Day;

/// Bins of equal count that probabilities are compared in.
const BINS: usize = 10;

/// A judged frame: probability of the likeliest view, whether that was right, whether it was proposed.
type Judged = (f64, bool, bool);

/// Looks at each card, once with nothing confirmed and once with the first specimens confirmed, and prints what came of
/// it, with order alone and border pixels alone beside it.
pub(super) fn report(cards: &[(PathBuf, Truth)], plan: &Plan, confirmed: usize) -> anyhow::Result<String> {
    let mut text = format!("After {confirmed} confirmed specimens, judged on the rest:\n");
    let mut all: Vec<Judged> = Vec::new();
    let mut ranked = Ranked::default();
    let (mut named, mut named_right, mut four_frames) = (0, 0, 0);
    for (card, truth) in cards {
        let day = answer::look(card, plan)?;
        let known = labels(truth, plan, |set| set < confirmed);
        let rest: BTreeMap<&str, &str> = truth
            .frames
            .iter()
            .filter(|f| f.set.is_some_and(|set| set >= confirmed))
            .filter_map(|f| Some((f.path.as_str(), f.view.as_deref()?)))
            .collect();
        let judged = judge(&rest, &answer::views(day.clone(), &known)?);
        let order = judge(&rest, &answer::views(unseen(&day), &known)?);
        let border = border::right(card, &day.session.frames, &known, &rest);
        writeln!(
            text,
            "{:18} {} | order alone {} | border pixels alone right {}",
            truth.scenario,
            line(&judged),
            line(&order),
            share(border, rest.len())
        )?;
        all.extend(judged);
        ranked.add_card(card, &day.session, truth);
        let blind = answer::views(day, &[])?;
        for (frames, missing) in &blind.missing {
            let Some(truly) = lacks_one(truth, plan, frames) else { continue };
            four_frames += 1;
            if let Some(missing) = missing {
                named += 1;
                named_right += usize::from(*missing == truly);
            }
        }
    }
    writeln!(text, "{:18} {}", "all", line(&all))?;
    let likely: Vec<(f64, bool)> = all.iter().map(|(p, right, _)| (*p, *right)).collect();
    let proposed: Vec<(f64, bool)> = all.iter().filter(|j| j.2).map(|(p, right, _)| (*p, *right)).collect();
    writeln!(
        text,
        "calibration error, {BINS} bins of equal count: {:.3} over all {} frames, {:.3} over the {} proposed",
        calibration_error(likely.clone()),
        likely.len(),
        calibration_error(proposed.clone()),
        proposed.len()
    )?;
    writeln!(
        text,
        "With nothing confirmed, sets that lack one view: named {}; named right {}",
        share(named, four_frames),
        share(named_right, named)
    )?;
    text += &ranked.line();
    Ok(text)
}

/// Paths and views of the frames of some sets, as far as the plan has them.
fn labels(truth: &Truth, plan: &Plan, of: impl Fn(usize) -> bool) -> Vec<(String, ViewKey)> {
    let wanted = truth.frames.iter().filter(|f| f.set.is_some_and(&of));
    wanted
        .filter_map(|f| Some((f.path.clone(), ViewKey::from(f.view.as_deref()?))))
        .filter(|(_, view)| plan.view(view).is_some())
        .collect()
}

/// The day as if nobody had looked closer.
fn unseen(day: &Day) -> Day {
    let mut day = day.clone();
    day.session.frames.iter_mut().for_each(|f| f.looks = None);
    day
}

fn judge(rest: &BTreeMap<&str, &str>, said: &SaidOfViews) -> Vec<Judged> {
    let of = |(path, view): (&&str, &&str)| {
        let said = said.frames.get(*path)?;
        Some((f64::from(said.prob), said.view == **view, said.proposed))
    };
    rest.iter().filter_map(of).collect()
}

fn line(judged: &[Judged]) -> String {
    let proposed = judged.iter().filter(|j| j.2).count();
    let right = judged.iter().filter(|j| j.2 && j.1).count();
    format!("proposed {} right {}", share(proposed, judged.len()), share(right, proposed))
}

/// Mean difference between how sure and how often right, over bins of equal count; 0 for nothing.
fn calibration_error(mut judged: Vec<(f64, bool)>) -> f64 {
    judged.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = judged.len();
    let bin = |at: usize| &judged[at * n / BINS..(at + 1) * n / BINS];
    let off = |bin: &[(f64, bool)]| {
        let sure: f64 = bin.iter().map(|j| j.0).sum();
        (sure - bin.iter().filter(|j| j.1).count() as f64).abs()
    };
    (0..BINS).map(|at| off(bin(at))).sum::<f64>() / n.max(1) as f64
}

/// The one required view that a set truly lacks, when it has one frame of each other and nothing else.
fn lacks_one(truth: &Truth, plan: &Plan, frames: &[String]) -> Option<String> {
    let of = |path: &String| truth.frames.iter().find(|f| f.path == *path)?.view.as_deref();
    let shown: Vec<&str> = frames.iter().filter_map(of).collect();
    let mut lacking = plan.required().filter(|v| !shown.contains(&v.key.as_str()));
    let one = lacking.next()?;
    let whole = shown.len() + 1 == plan.required().count() && lacking.next().is_none();
    whole.then(|| one.key.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn calibration_error_is_the_gap_between_sure_and_right() {
        // Of every ten so many are right.
        let bins = |sure: f64, right: usize| (0..200).map(|i| (sure, i % 10 < right)).collect::<Vec<_>>();
        for (sure, right, expected) in [(0.9, 9, 0.0), (1.0, 9, 0.1), (0.5, 9, 0.4), (1.0, 0, 1.0)] {
            assert!((calibration_error(bins(sure, right)) - expected).abs() < 1e-9, "{sure} {right}");
        }
        let mixed = [bins(0.9, 8), bins(0.3, 4)].concat();
        assert!((calibration_error(mixed) - 0.1).abs() < 1e-9, "too sure and not sure enough both count");
        assert!((calibration_error(vec![])).abs() < 1e-12);
    }
}

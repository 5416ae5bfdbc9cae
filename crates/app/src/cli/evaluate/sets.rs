//! Sets of labelled cards: how many are exact, and whether slips are found or asked about without needless queries.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

use record::{Plan, QueryKind};

use super::answer::{self, SaidOfSets};
use super::share;
use super::truth::Truth;

/// Counts over cards.
#[derive(Default, Clone, Copy)]
struct Score {
    frames: usize,
    sets: usize,
    /// Sets at which the person made no slip, and those of them that are exact.
    clean: usize,
    clean_exact: usize,
    /// Boundaries without a blank, those found, and those asked about.
    slips: usize,
    found: usize,
    asked: usize,
    queries: usize,
    needless: usize,
    blanks_wrong: usize,
}

impl Score {
    fn add(&mut self, more: &Self) {
        self.frames += more.frames;
        self.sets += more.sets;
        self.clean += more.clean;
        self.clean_exact += more.clean_exact;
        self.slips += more.slips;
        self.found += more.found;
        self.asked += more.asked;
        self.queries += more.queries;
        self.needless += more.needless;
        self.blanks_wrong += more.blanks_wrong;
    }

    fn line(&self, name: &str) -> String {
        format!(
            "{name:28} sets exact {:<18} slips {:<3} found {:<3} found or asked {:<3} queries {:<3} needless {:<3} blanks wrong {}\n",
            share(self.clean_exact, self.clean),
            self.slips,
            self.found,
            self.asked,
            self.queries,
            self.needless,
            self.blanks_wrong
        )
    }
}

/// Splits each card and prints a line for it, and the sum.
pub(super) fn report(cards: &[(PathBuf, Truth)], plan: &Plan) -> anyhow::Result<String> {
    let mut text = String::new();
    let mut total = Score::default();
    for (card, truth) in cards {
        let score = score(truth, &answer::sets(card, plan)?);
        let folder = card.parent().and_then(|f| f.file_name()).map(|f| f.to_string_lossy().into_owned());
        text += &score.line(&folder.unwrap_or_else(|| truth.scenario.clone()));
        total.add(&score);
    }
    text += &total.line("all");
    writeln!(
        text,
        "needless queries per 20 sets {:.2}; queries per 100 frames {:.2}",
        20.0 * total.needless as f64 / total.sets.max(1) as f64,
        100.0 * total.queries as f64 / total.frames.max(1) as f64
    )?;
    Ok(text)
}

fn score(truth: &Truth, said: &SaidOfSets) -> Score {
    let listed: BTreeSet<&str> = truth.frames.iter().map(|f| f.path.as_str()).collect();
    let known = |set: &Vec<String>| -> BTreeSet<String> {
        set.iter().filter(|p| listed.contains(p.as_str())).cloned().collect()
    };
    let said_sets: Vec<BTreeSet<String>> = said.sets.iter().map(known).collect();
    let blanks: BTreeSet<&String> = said.blanks.iter().collect();
    let sets = truth.sets();
    let slip = |at: usize| {
        sets.get(at).and_then(|s| s[0].boundary.as_deref()).is_some_and(|b| b == "gap" || b == "none")
    };
    let mut score = Score {
        frames: truth.frames.len(),
        sets: sets.len(),
        queries: said.queries.len(),
        blanks_wrong: truth.frames.iter().filter(|f| f.is_blank != blanks.contains(&f.path)).count(),
        ..Score::default()
    };
    // Frames beside a slip, at which a query about boundaries is wanted.
    let mut beside: BTreeSet<&str> = BTreeSet::new();
    for (at, set) in sets.iter().enumerate() {
        let frames: BTreeSet<String> = set.iter().map(|f| f.path.clone()).collect();
        if slip(at) {
            let (last, first) = (sets[at - 1].last().map_or("", |f| f.path.as_str()), set[0].path.as_str());
            beside.extend([last, first]);
            let found = !said_sets.iter().any(|s| s.contains(first) && s.contains(last));
            let asked = said.queries.iter().any(|(_, frames)| {
                let asked: Vec<&str> = frames.iter().map(String::as_str).collect();
                asked.contains(&first) || asked.contains(&last)
            });
            score.slips += 1;
            score.found += usize::from(found);
            score.asked += usize::from(found || asked);
        }
        if !slip(at) && !slip(at + 1) {
            score.clean += 1;
            score.clean_exact += usize::from(said_sets.contains(&frames));
        }
    }
    let needless = |(kind, frames): &&(QueryKind, Vec<String>)| match kind {
        QueryKind::WhereToSplit => !frames.iter().any(|f| beside.contains(f.as_str())),
        // Clocks are asked about where two bodies' clocks differ; that is another measure.
        QueryKind::ClockShift | QueryKind::ClockSuspicious | QueryKind::ClockJump => false,
        _ => true,
    };
    score.needless = said.queries.iter().filter(needless).count();
    score
}

#[cfg(test)]
mod tests {
    use super::*;

    fn truth(frames: &str) -> Truth {
        // `a` to `z`: a frame of that set; `_` a blank. A set that starts without a blank is a slip.
        let mut before = '_';
        let rows: Vec<String> = frames
            .chars()
            .enumerate()
            .map(|(i, c)| {
                let boundary = if c != before && before != '_' { "\"none\"" } else { "null" };
                let blank = c == '_';
                let set = if blank { "null".to_owned() } else { (c as u32 - 'a' as u32).to_string() };
                before = c;
                let boundary = if blank { "null" } else { boundary };
                format!("{{\"path\":\"{i}\",\"is_blank\":{blank},\"set\":{set},\"boundary\":{boundary}}}")
            })
            .collect();
        serde_json::from_str(&format!("{{\"scenario\":\"x\",\"frames\":[{}]}}", rows.join(","))).unwrap()
    }

    fn said(sets: &[&[u32]], blanks: &[u32], queries: &[(QueryKind, &[u32])]) -> SaidOfSets {
        let paths = |frames: &[u32]| frames.iter().map(ToString::to_string).collect::<Vec<_>>();
        SaidOfSets {
            sets: sets.iter().map(|s| paths(s)).collect(),
            blanks: paths(blanks),
            queries: queries.iter().map(|(kind, frames)| (*kind, paths(frames))).collect(),
        }
    }

    #[test]
    fn slips_exact_sets_and_needless_queries_are_counted() {
        let truth = truth("aa_bbcc_dd_");
        let all =
            said(&[&[0, 1], &[3, 4, 5, 6], &[8, 9]], &[2, 7, 10], &[(QueryKind::WhereToSplit, &[4, 5])]);
        let s = score(&truth, &all);
        assert_eq!((s.clean, s.clean_exact, s.slips, s.found, s.asked), (2, 2, 1, 0, 1));
        assert_eq!((s.queries, s.needless, s.blanks_wrong), (1, 0, 0));
        let worse = said(
            &[&[0, 1], &[3, 4], &[5, 6], &[8], &[9]],
            &[2, 7],
            &[(QueryKind::BlankOrSpecimen, &[10]), (QueryKind::WhereToSplit, &[8, 9])],
        );
        let s = score(&truth, &worse);
        assert_eq!((s.clean, s.clean_exact, s.slips, s.found, s.asked), (2, 1, 1, 1, 1));
        assert_eq!((s.queries, s.needless, s.blanks_wrong), (2, 2, 1));
    }
}

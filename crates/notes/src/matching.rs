//! Which row of a notebook is about which set.
//!
//! In come rows and sets as plain lists, each in its order; out come pairs with their ground and certainty, the
//! doubtful ones with what else they could be. Jar labels go first; what they leave open is aligned by order and time.
//! It changes nothing and reads no names.

mod align;
mod entry;

use std::collections::BTreeMap;

use align::align;
pub use entry::clock_secs;

use crate::fold::words;

/// Most pairs that are weighed, such as 1,000 rows with 2,000 sets; each takes 24 bytes meanwhile.
const PAIRS_LIMIT: usize = 2_000_000;

/// Off by this much in time, a pair costs half of what it can; our choice, about the time an animal is held.
const HALF_SECS: f64 = 1800.0;

/// Most that a difference in time costs, what a missing time costs, and what an equal or another number takes away or
/// adds. Together below two gaps, so that order alone still matches.
const TIME_COST: f64 = 1.4;
const NO_TIME_COST: f64 = 0.7;
const NUMBER_COST: f64 = 0.5;

/// Farther apart in time, a pair cannot be by order, and one by label is doubtful: six hours, our choice.
const FURTHEST_SECS: i64 = 6 * 3600;

/// Within this of a set's frames, a time speaks for it: a quarter of an hour, our choice.
const NEAR_SECS: i64 = 900;

/// An alternative that costs this much more, or less, makes a pair doubtful; our choice.
const MARGIN: f64 = 0.3;

/// Pairs by label from which on the usual time between note and first frame is taken.
const LAG_PAIRS: usize = 3;

/// A set that a row may be about.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Candidate {
    /// What the caller knows it by.
    pub set: usize,
    /// Label of its jar; empty if not known.
    pub jar: String,
    /// Its number, if it has one that a person may have written down.
    pub number: Option<u32>,
    /// When its first frame was taken, in seconds on any scale that rows share.
    pub first_secs: Option<i64>,
    /// When its last frame was taken.
    pub last_secs: Option<i64>,
}

/// A row that may be about a set.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Entry {
    /// What the caller knows it by.
    pub row: usize,
    /// The jar's label as written.
    pub jar: String,
    /// The specimen's number as written.
    pub number: Option<u32>,
    /// Its time, on the scale of the sets.
    pub time_secs: Option<i64>,
}

/// How sure a match is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// To be asked about.
    Doubtful,
    /// Nothing else comes near.
    Likely,
    /// By a label that both have and no other has.
    Sure,
}

/// What a match rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// The same jar label, on each side once.
    Jar,
    /// The same jar label, but more than once on a side; among those by order and time.
    DoubledJar,
    /// Order and time; so many seconds off the set's frames.
    Time(i64),
    /// Order and the specimen's number.
    Number,
    /// Order alone.
    Order,
}

/// A row and the set it is probably about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Match {
    /// As its [`Entry`] says.
    pub row: usize,
    /// As its [`Candidate`] says.
    pub set: usize,
    /// How sure.
    pub certainty: Certainty,
    /// Why.
    pub ground: Ground,
    /// Other sets that the row could be about, likeliest first.
    pub alternatives: Vec<usize>,
}

/// What came of all rows and sets.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Matching {
    /// In order of rows; no row and no set stands twice.
    pub matches: Vec<Match>,
    /// Rows about no set.
    pub open_rows: Vec<usize>,
    /// Sets without a row.
    pub open_sets: Vec<usize>,
}

impl Matching {
    /// Matches to be asked about.
    pub fn questions(&self) -> impl Iterator<Item = &Match> {
        self.matches.iter().filter(|m| m.certainty == Certainty::Doubtful)
    }
}

/// There are more rows and sets than can be weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{rows} rows are too many to match with {sets} sets; give the rows of one day. Nothing was matched")]
pub struct TooMany {
    rows: usize,
    sets: usize,
}

/// Matches rows with sets, both in the order they were written and taken.
///
/// Labels are compared without case, marks, blanks and leading zeros. A row and a set that have different labels are
/// never matched. Matches that do not rest on labels keep the order of both lists.
pub fn match_rows(rows: &[Entry], sets: &[Candidate]) -> Result<Matching, TooMany> {
    if rows.len().saturating_mul(sets.len()) > PAIRS_LIMIT {
        return Err(TooMany { rows: rows.len(), sets: sets.len() });
    }
    let mut work = Work::new(rows, sets);
    let groups = work.groups();
    for (of_rows, of_sets) in groups.iter().filter(|(r, s)| r.len() == 1 && s.len() == 1) {
        work.by_label(of_rows[0], of_sets[0]);
    }
    work.lag_secs = work.usual_lag();
    for (of_rows, of_sets) in groups.iter().filter(|(r, s)| r.len() + s.len() > 2) {
        work.by_order(of_rows, of_sets, true);
    }
    let open_rows: Vec<usize> = (0..rows.len()).filter(|r| work.of_row[*r].is_none()).collect();
    let open_sets: Vec<usize> = (0..sets.len()).filter(|s| !work.set_taken[*s]).collect();
    work.by_order(&open_rows, &open_sets, false);
    let open_row = |(at, entry): (usize, &Entry)| work.of_row[at].is_none().then_some(entry.row);
    let open_set = |(at, set): (usize, &Candidate)| (!work.set_taken[at]).then_some(set.set);
    Ok(Matching {
        open_rows: rows.iter().enumerate().filter_map(open_row).collect(),
        open_sets: sets.iter().enumerate().filter_map(open_set).collect(),
        matches: work.of_row.into_iter().flatten().collect(),
    })
}

/// A label as it is compared: words without case and marks run together, numbers without leading zeros.
fn label(text: &str) -> String {
    let plain = words(text);
    let (mut label, mut in_number) = (String::new(), false);
    let mut rest = plain.chars().filter(|c| *c != ' ').peekable();
    while let Some(c) = rest.next() {
        let leading = c == '0' && !in_number && rest.peek().is_some_and(char::is_ascii_digit);
        if !leading {
            in_number = c.is_ascii_digit();
            label.push(c);
        }
    }
    label
}

/// Places of rows and of sets that have one label.
type Group = (Vec<usize>, Vec<usize>);

struct Work<'a> {
    rows: &'a [Entry],
    sets: &'a [Candidate],
    row_labels: Vec<String>,
    set_labels: Vec<String>,
    of_row: Vec<Option<Match>>,
    set_taken: Vec<bool>,
    /// What is usual between a note and the set's first frame.
    lag_secs: i64,
}

impl<'a> Work<'a> {
    fn new(rows: &'a [Entry], sets: &'a [Candidate]) -> Self {
        Self {
            rows,
            sets,
            row_labels: rows.iter().map(|r| label(&r.jar)).collect(),
            set_labels: sets.iter().map(|s| label(&s.jar)).collect(),
            of_row: vec![None; rows.len()],
            set_taken: vec![false; sets.len()],
            lag_secs: 0,
        }
    }

    /// Rows and sets of each label that both sides have.
    fn groups(&self) -> Vec<Group> {
        let mut groups: BTreeMap<&str, Group> = BTreeMap::new();
        for (at, label) in self.row_labels.iter().enumerate() {
            groups.entry(label).or_default().0.push(at);
        }
        for (at, label) in self.set_labels.iter().enumerate() {
            groups.entry(label).or_default().1.push(at);
        }
        groups.remove("");
        groups.into_values().filter(|(rows, sets)| !rows.is_empty() && !sets.is_empty()).collect()
    }

    fn put(&mut self, row: usize, set: usize, certainty: Certainty, ground: Ground, alternatives: &[usize]) {
        self.set_taken[set] = true;
        self.of_row[row] = Some(Match {
            row: self.rows[row].row,
            set: self.sets[set].set,
            certainty,
            ground,
            alternatives: alternatives.iter().map(|s| self.sets[*s].set).collect(),
        });
    }

    fn by_label(&mut self, row: usize, set: usize) {
        let far = self.off_secs(row, set).is_some_and(|off| off > FURTHEST_SECS);
        let certainty = if far { Certainty::Doubtful } else { Certainty::Sure };
        self.put(row, set, certainty, Ground::Jar, &[]);
    }

    /// The median time from note to first frame of the pairs so far; 0 for too few.
    fn usual_lag(&self) -> i64 {
        let of_set: BTreeMap<usize, Option<i64>> = self.sets.iter().map(|s| (s.set, s.first_secs)).collect();
        let lag = |(m, entry): (&Option<Match>, &Entry)| {
            Some((*of_set.get(&m.as_ref()?.set)?)?.saturating_sub(entry.time_secs?))
        };
        let mut lags: Vec<i64> = self.of_row.iter().zip(self.rows).filter_map(lag).collect();
        lags.sort_unstable();
        if lags.len() < LAG_PAIRS { 0 } else { lags[lags.len() / 2] }
    }

    /// How far a row's time, with the usual lag, is from the frames of a set.
    fn off_secs(&self, row: usize, set: usize) -> Option<i64> {
        let time = self.rows[row].time_secs?.saturating_add(self.lag_secs);
        let first = self.sets[set].first_secs?;
        let last = self.sets[set].last_secs.unwrap_or(first);
        Some(first.saturating_sub(time).max(time.saturating_sub(last)).max(0))
    }

    fn same_number(&self, row: usize, set: usize) -> Option<bool> {
        Some(self.rows[row].number? == self.sets[set].number?)
    }

    fn cost(&self, row: usize, set: usize) -> Option<f64> {
        let (of_row, of_set) = (&self.row_labels[row], &self.set_labels[set]);
        if !of_row.is_empty() && !of_set.is_empty() && of_row != of_set {
            return None;
        }
        let time = match self.off_secs(row, set) {
            Some(off) if off > FURTHEST_SECS => return None,
            Some(off) => TIME_COST * off as f64 / (off as f64 + HALF_SECS),
            None => NO_TIME_COST,
        };
        Some(
            time + self
                .same_number(row, set)
                .map_or(0.0, |same| if same { -NUMBER_COST } else { NUMBER_COST }),
        )
    }

    /// Matches rows and sets by their order, what they cost deciding.
    fn by_order(&mut self, rows: &[usize], sets: &[usize], labelled: bool) {
        let pairs = align(rows.len(), sets.len(), MARGIN, |r, s| self.cost(rows[r], sets[s]));
        for pair in pairs {
            let (row, set) = (rows[pair.left], sets[pair.right]);
            let off = self.off_secs(row, set);
            let ground = match (off, self.same_number(row, set)) {
                _ if labelled => Ground::DoubledJar,
                (_, Some(true)) => Ground::Number,
                (Some(off), _) => Ground::Time(off),
                (None, _) => Ground::Order,
            };
            let far = matches!(ground, Ground::Time(off) if off > NEAR_SECS);
            let doubtful = labelled || far || pair.or_none || !pair.others.is_empty();
            let certainty = if doubtful { Certainty::Doubtful } else { Certainty::Likely };
            let mut others: Vec<usize> = pair.others.iter().map(|s| sets[*s]).collect();
            if labelled {
                others.extend(sets.iter().filter(|s| **s != set && !others.contains(s)).collect::<Vec<_>>());
            }
            self.put(row, set, certainty, ground, &others);
        }
    }
}

#[cfg(test)]
mod tests;

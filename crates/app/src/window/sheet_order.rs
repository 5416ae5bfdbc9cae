//! Which rows the day sheet shows, and in which order.

use std::collections::{BTreeMap, BTreeSet};

use grouping::SlotState;

use super::open_day::OpenDay;
use super::sheet::Row;
use super::state::{Screen, SheetState, UiState};
use super::words::tell;

/// What rows are sorted by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Sort {
    /// As they were shot.
    #[default]
    Shot,
    /// As on the retake list; what is not on it comes after.
    Urgency,
    /// Those that lack most first.
    Lacks,
}

/// Which rows are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Only {
    /// All.
    #[default]
    All,
    /// Those that lack a view, or have one that is not good enough.
    Incomplete,
    /// Those with views that nobody confirmed yet.
    Unchecked,
    /// Those that a query is about.
    Asked,
}

impl Sort {
    /// The next of them.
    pub(crate) fn next(self) -> Self {
        match self {
            Self::Shot => Self::Urgency,
            Self::Urgency => Self::Lacks,
            Self::Lacks => Self::Shot,
        }
    }

    /// In words.
    pub(crate) fn words(self) -> String {
        match self {
            Self::Shot => tell!("sheet-sort-shot"),
            Self::Urgency => tell!("sheet-sort-urgency"),
            Self::Lacks => tell!("sheet-sort-lacks"),
        }
    }
}

impl Only {
    /// The next of them.
    pub(crate) fn next(self) -> Self {
        match self {
            Self::All => Self::Incomplete,
            Self::Incomplete => Self::Unchecked,
            Self::Unchecked => Self::Asked,
            Self::Asked => Self::All,
        }
    }

    /// In words.
    pub(crate) fn words(self) -> String {
        match self {
            Self::All => tell!("sheet-only-all"),
            Self::Incomplete => tell!("sheet-only-incomplete"),
            Self::Unchecked => tell!("sheet-only-unchecked"),
            Self::Asked => tell!("sheet-only-asked"),
        }
    }

    fn takes(self, row: &Row) -> bool {
        match self {
            Self::All => true,
            Self::Incomplete => row.coverage.short > 0,
            Self::Unchecked => is_unchecked(row),
            Self::Asked => row.queries > 0,
        }
    }
}

/// Whether some frame of a row waits for its view to be confirmed.
fn is_unchecked(row: &Row) -> bool {
    let proposed = row.coverage.slots.iter().any(|s| s.state == SlotState::Proposed);
    proposed || !row.coverage.unlabelled.is_empty()
}

/// Whether something can still be done about a row: of an animal that left, only confirming its views.
pub(crate) fn needs_work(row: &Row) -> bool {
    !row.coverage.complete() && (!row.left || is_unchecked(row))
}

/// The rows that are shown, in their order, as places of sets.
pub(crate) fn shown(open: &OpenDay, sheet: &SheetState) -> Vec<usize> {
    let rows = &open.sheet.rows;
    let mut shown: Vec<usize> = (0..rows.len()).filter(|at| sheet.only.takes(&rows[*at])).collect();
    match sheet.sort {
        Sort::Shot => {}
        Sort::Urgency => {
            let ranks: BTreeMap<usize, usize> =
                open.held.iter().enumerate().map(|(rank, held)| (held.retake.set, rank)).collect();
            shown.sort_by_key(|at| ranks.get(at).copied().unwrap_or(usize::MAX));
        }
        Sort::Lacks => shown.sort_by_key(|at| std::cmp::Reverse(rows[*at].coverage.short)),
    }
    shown
}

/// The sets that are chosen: the one the keyboard is at and, on the day sheet, those chosen besides; in the order they were
/// shot.
pub(crate) fn chosen(open: &OpenDay, state: &UiState) -> BTreeSet<usize> {
    let counts = matches!(state.screen, Screen::DaySheet | Screen::Exchange);
    let also = state.sheet.also.iter().filter(|_| counts);
    also.filter_map(|f| open.sheet.set_of.get(f).copied()).chain([state.set]).collect()
}

/// The jars of a run such as `21-34`, as wide as its first number; `None` where it is no run upwards.
pub(crate) fn run_of_jars(text: &str) -> Option<Vec<String>> {
    let (first, last) = text.split_once(['-', '–'])?;
    let (first, last) = (first.trim(), last.trim());
    let digits = |s: &str| !s.is_empty() && s.len() <= 6 && s.bytes().all(|b| b.is_ascii_digit());
    if !digits(first) || !digits(last) {
        return None;
    }
    let (from, to) = (first.parse::<u32>().ok()?, last.parse::<u32>().ok()?);
    (from < to).then(|| (from..=to).map(|n| format!("{n:0width$}", width = first.len())).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_counts_up_and_keeps_its_noughts() {
        let run = |text| run_of_jars(text).map(|jars| jars.join(" "));
        assert_eq!(run("21-24").as_deref(), Some("21 22 23 24"));
        assert_eq!(run("008 – 010").as_deref(), Some("008 009 010"));
        for text in ["21", "24-21", "7-7", "a-3", "B1-B4", "-3", "2026-06-14", "1-9999999"] {
            assert_eq!(run(text), None, "{text}");
        }
    }

    #[test]
    fn going_round_comes_back() {
        assert_eq!(Sort::Shot.next().next().next(), Sort::Shot);
        assert_eq!(Only::All.next().next().next().next(), Only::All);
    }
}

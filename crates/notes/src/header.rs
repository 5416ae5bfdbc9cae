//! Finds the header of a table: which row, whether the one below belongs to it, its words, and what a word is known as.

use crate::fold::words;
use crate::table::{Row, TableDoubt};
use crate::told::{Told, tell};

/// Rows among which the header is looked for; titles above it are few.
const LOOKED_AT: usize = 30;

/// Longest header, in words, within which a known one is looked for.
const HEADER_WORDS: usize = 4;

/// Longest cell that is taken for a header at all.
const HEADER_BYTES: usize = 200;

/// What a header is known as: a whole phrase of the table, else the longest phrase within it that is not one of
/// `alone`. Phrases are parted by bars and written as [`words`] gives them.
pub(crate) fn known_header<'a>(header: &str, table: &[(&'a str, &str)], alone: &[&str]) -> Option<&'a str> {
    if header.len() > HEADER_BYTES {
        return None;
    }
    let header = words(header);
    let known = || table.iter().flat_map(|(key, all)| all.split('|').map(move |phrase| (*key, phrase)));
    let whole = known().find(|(_, phrase)| *phrase == header);
    if whole.is_some() || header.split(' ').count() > HEADER_WORDS {
        return whole.map(|(key, _)| key);
    }
    let bounded = |at: usize, phrase: &str| {
        let (before, after) = (&header[..at], &header[at + phrase.len()..]);
        (before.is_empty() || before.ends_with(' ')) && (after.is_empty() || after.starts_with(' '))
    };
    let within = |phrase: &str| header.match_indices(phrase).any(|(at, _)| bounded(at, phrase));
    // Of equally long ones the first of the table.
    let part = known().filter(|(_, phrase)| !alone.contains(phrase) && within(phrase));
    part.rev().max_by_key(|(_, phrase)| phrase.len()).map(|(key, _)| key)
}

/// The headers by column, and the place of the first row below them.
///
/// `known` says whether it knows what a cell would mean as a header.
pub(crate) fn find(
    rows: &[Row],
    told: &mut Vec<Told<TableDoubt>>,
    known: fn(&str) -> bool,
) -> (Vec<String>, usize) {
    // Words of a header may stand in data too, but beside numbers and times.
    let score = |row: &Row| {
        let understood = row.cells().filter(|c| known(c)).count();
        understood.cast_signed() - row.cells().filter(|c| like_data(c)).count().cast_signed()
    };
    let filled = |row: &Row| row.cells().filter(|c| !c.trim().is_empty()).count();
    let near = &rows[..rows.len().min(LOOKED_AT)];
    let ranked = near.iter().enumerate().rev().max_by_key(|(_, row)| (score(row), filled(row)));
    let header = ranked.filter(|(_, row)| score(row) > 0 || !row.cells().any(like_data));
    let Some((at, row)) = header else {
        tell(told, TableDoubt::NoHeader, rows.first().map_or(1, |r| r.line), 1);
        let width = rows.iter().map(Row::width).max().unwrap_or(0);
        return (vec![String::new(); width], 0);
    };
    for title in &rows[..at] {
        tell(told, TableDoubt::TitleRow, title.line, 1);
    }
    let second = rows.get(at + 1).filter(|next| belongs(row, next, known));
    let mut below = at + 1;
    if second.is_some() {
        tell(told, TableDoubt::TwoHeaderRows, row.line, 1);
        below += 1;
    }
    let width = row.width().max(second.map_or(0, Row::width));
    let mut group = "";
    let headers: Vec<String> = (0..width)
        .map(|column| {
            let (top, sub) = (row.cell(column), second.map_or("", |s| s.cell(column)));
            group = if top.is_empty() { group } else { top };
            if sub.is_empty() { top.to_owned() } else { format!("{group} {sub}").trim().to_owned() }
        })
        .collect();
    nameless(&rows[below..], &headers, told, row.line);
    (headers, below)
}

/// Whether a cell is data rather than a header.
fn like_data(cell: &str) -> bool {
    cell.trim().starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '−'))
}

/// Whether a row goes on with the header above it: it names a column that has no name there, or gives units alone.
fn belongs(header: &Row, next: &Row, known: fn(&str) -> bool) -> bool {
    let cells = || next.cells().map(str::trim).filter(|c| !c.is_empty());
    let names = || (0..next.width()).any(|at| header.cell(at).is_empty() && known(next.cell(at)));
    let units = || cells().all(|c| c.starts_with(['(', '[']) && c.ends_with([')', ']']));
    !cells().any(like_data) && (names() || units())
}

/// Tells of columns that have cells but no name.
fn nameless(rows: &[Row], headers: &[String], told: &mut Vec<Told<TableDoubt>>, line: u64) {
    for (column, _) in headers.iter().enumerate().filter(|(_, h)| h.is_empty()) {
        let filled = rows.iter().any(|r| !r.cell(column).is_empty());
        tell(told, TableDoubt::EmptyHeader, line, u64::from(filled));
    }
}

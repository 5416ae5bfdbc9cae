//! What a specialist sent back: a table of occurrences in which names were filled in.
//!
//! In come the bytes of a CSV or TSV file whose columns are headed by Darwin Core terms; out come its rows, each with the
//! occurrence it is about and the determination it gives, or what is amiss with it. It knows no session, and judges no name.

mod cells;

use record::{Determination, DeterminationFault};

use crate::fold::words;
use crate::header;
use crate::notebook::dates::{Styles, dated};
use crate::notebook::{DateDoubt, DayOrder};
use crate::table::{Dialect, Row, TableDoubt, TableFault, read_table};
use crate::told::{Told, tell};

/// Terms of Darwin Core (<http://rs.tdwg.org/dwc/terms/>, list of terms 2026-05-26) whose columns are taken: what a row is
/// about, then what is answered.
pub const ANSWER_TERMS: [&str; 8] = [
    "occurrenceID",
    "scientificName",
    "scientificNameAuthorship",
    "taxonRank",
    "identificationQualifier",
    "identifiedBy",
    "dateIdentified",
    "identificationRemarks",
];

/// A file of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answers {
    /// How it is written.
    pub dialect: Dialect,
    /// Its rows in order.
    pub rows: Vec<Answer>,
    /// Headers of the columns that were passed over.
    pub passed_over: Vec<String>,
    /// What is doubtful about its form.
    pub told: Vec<Told<TableDoubt>>,
}

/// A row: what was said of one occurrence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The line it begins at, from 1.
    pub line: u64,
    /// The occurrence as a UUID, in lower case without `urn:uuid:`; empty when the row names none.
    pub occurrence: String,
    /// The name given; `None` when there is none, or it cannot be kept.
    pub given: Option<Determination>,
    /// What is amiss with the row; then nothing of it is given.
    pub fault: Option<AnswerFault>,
}

/// Why a file cannot be read as answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AnswersFault {
    /// It is no table.
    #[error(transparent)]
    Table(#[from] TableFault),
    /// A column is not there, without which no row says anything.
    #[error(
        "There is no column headed {0}, so no row can be read. Keep the headings of the table that was sent"
    )]
    NoColumn(&'static str),
}

/// What is amiss with a row.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AnswerFault {
    /// Something was filled in, but of what animal is not said.
    #[error("it names no occurrence")]
    NoOccurrence,
    /// What should name an occurrence does not.
    #[error("“{0}” is no occurrenceID as it was sent: urn:uuid: and a UUID, or the UUID alone")]
    Occurrence(String),
    /// A qualifier stands in the name, and another in its own column.
    #[error("the name has “{in_name}” in it and the column of qualifiers says “{in_column}”")]
    TwoQualifiers {
        /// In the name.
        in_name: String,
        /// In its column.
        in_column: String,
    },
    /// A date that could be two.
    #[error("“{text}” can be two dates, and {doubt}; say which comes first, or write 2026-06-14")]
    TwoDates {
        /// The cell.
        text: String,
        /// What is unclear about its column.
        doubt: DateDoubt,
    },
    /// A determination that cannot be kept.
    #[error(transparent)]
    Determination(#[from] DeterminationFault),
}

/// Reads what came back, from `source` in a person's words, such as a letter. `day_order` says how dates are written where a
/// person knows it; else the whole column tells, as far as it can.
///
/// Columns are known by their terms, whatever the case, with or without `dwc:`. An apostrophe that was put before a cell so
/// that no spreadsheet runs it is taken away.
///
/// # Errors
/// When it is no table, or has no column for occurrences or for names.
///
/// ```
/// let text = b"occurrenceID,scientificName\nurn:uuid:95371597-fd1d-5a01-abe1-88da72d2af50,Bombus cf. lucorum\n";
/// let answers = notes::read_answers(text, "a letter", None).unwrap();
/// assert_eq!(answers.rows[0].given.as_ref().unwrap().qualifier, "cf.");
/// ```
pub fn read_answers(
    bytes: &[u8],
    source: &str,
    day_order: Option<DayOrder>,
) -> Result<Answers, AnswersFault> {
    let table = read_table(bytes)?;
    let mut told = table.told;
    let (headers, below) = header::find(&table.rows, &mut told, |cell| term(cell).is_some());
    let rows = &table.rows[below..];
    let mut columns = [None; ANSWER_TERMS.len()];
    let mut passed_over = Vec::new();
    for (column, header) in headers.iter().enumerate() {
        match term(header) {
            Some(at) if columns[at].is_none() => columns[at] = Some(column),
            Some(_) => tell(&mut told, TableDoubt::SameColumn, table.rows[below - 1].line, 1),
            None if header.is_empty() => {}
            None => passed_over.push(header.clone()),
        }
    }
    for at in 0..2 {
        columns[at].ok_or(AnswersFault::NoColumn(ANSWER_TERMS[at]))?;
    }
    for row in rows.iter().filter(|row| row.width() > headers.len()) {
        tell(&mut told, TableDoubt::LongRow, row.line, 1);
    }
    for row in rows.iter().filter(|row| row.length() < headers.len()) {
        tell(&mut told, TableDoubt::ShortRow, row.line, 1);
    }
    let reading = Reading { columns, source, order: order(rows, columns[6], day_order) };
    let rows = rows.iter().map(|row| reading.answer(row)).collect();
    Ok(Answers { dialect: table.dialect, rows, passed_over, told })
}

/// Which term a header is, by its place in [`ANSWER_TERMS`].
fn term(header: &str) -> Option<usize> {
    let header = words(header).replace(' ', "");
    let header = header.strip_prefix("dwc").unwrap_or(&header);
    ANSWER_TERMS.iter().position(|term| term.eq_ignore_ascii_case(header))
}

/// How days and months follow each other in a column of dates, or why that is not known.
fn order(rows: &[Row], column: Option<usize>, day_order: Option<DayOrder>) -> Result<DayOrder, DateDoubt> {
    let mut styles = Styles::default();
    for row in rows {
        if let Some(dated) = column.and_then(|at| dated(cells::plain(row.cell(at)))) {
            styles.note(&dated);
        }
    }
    day_order.map(Ok).or(styles.order()).unwrap_or(Err(DateDoubt::Undecided))
}

struct Reading<'a> {
    /// Places of the columns, as [`ANSWER_TERMS`].
    columns: [Option<usize>; ANSWER_TERMS.len()],
    source: &'a str,
    order: Result<DayOrder, DateDoubt>,
}

impl Reading<'_> {
    fn answer(&self, row: &Row) -> Answer {
        let cell = |at: usize| self.columns[at].map_or(String::new(), |at| cells::one_line(row.cell(at)));
        let [occurrence, name, authorship, rank, qualifier, by, date, ground]: [String; ANSWER_TERMS.len()] =
            std::array::from_fn(cell);
        let mut answer = Answer { line: row.line, occurrence: String::new(), given: None, fault: None };
        match cells::uuid(&occurrence) {
            Some(uuid) => answer.occurrence = uuid,
            None if occurrence.is_empty() && name.is_empty() => return answer,
            None if occurrence.is_empty() => answer.fault = Some(AnswerFault::NoOccurrence),
            None => answer.fault = Some(AnswerFault::Occurrence(occurrence)),
        }
        if name.is_empty() || answer.fault.is_some() {
            return answer;
        }
        let given = || -> Result<Determination, AnswerFault> {
            let name = name.strip_suffix(&authorship).map_or(name.as_str(), str::trim_end);
            let (name, in_name) = cells::unqualified(name);
            let in_column = cells::qualifier(&qualifier, &name);
            if !in_name.is_empty() && !in_column.is_empty() && in_name != in_column {
                return Err(AnswerFault::TwoQualifiers { in_name, in_column });
            }
            let given = Determination {
                name,
                authorship,
                rank: rank.to_lowercase(),
                qualifier: if in_column.is_empty() { in_name } else { in_column },
                by,
                date: self.date(&date)?,
                ground,
                source: self.source.to_owned(),
                ..Determination::default()
            };
            given.check()?;
            Ok(given)
        };
        match given() {
            Ok(given) => answer.given = Some(given),
            Err(fault) => answer.fault = Some(fault),
        }
        answer
    }

    /// A date as a determination keeps it. A month or a year stays, and so does what is no date, which is told later.
    fn date(&self, text: &str) -> Result<String, AnswerFault> {
        let Some(dated) = dated(text) else { return Ok(text.to_owned()) };
        match dated.under(self.order) {
            Ok(date) => Ok(date.to_string()),
            Err(doubt) => Err(AnswerFault::TwoDates { text: text.to_owned(), doubt }),
        }
    }
}

#[cfg(test)]
mod tests;

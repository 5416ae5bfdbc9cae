//! A table from any spreadsheet, as rows of cells: the ground of notebooks and checklists.
//!
//! In come the bytes of a CSV or TSV file; out come its rows with their lines, the dialect it was read by, and what is
//! doubtful about its form. Nothing is said here of what its columns mean.

mod dialect;
mod encoding;

use crate::told::{Told, tell};

/// Lines in one cell from which on a quotation mark was probably never closed; a note of a few lines is common.
const LONG_CELL_LINES: usize = 20;

/// How a file is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dialect {
    /// Name of its encoding: `UTF-8`, `UTF-16LE`, `UTF-16BE` or `windows-1252`.
    pub encoding: &'static str,
    /// What parts its cells: a comma, a semicolon, a tab or a bar.
    pub delimiter: char,
}

/// A row of cells as they stand in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The line it begins at, from 1.
    pub line: u64,
    cells: csv::StringRecord,
}

impl Row {
    /// A cell without blanks around it; empty beyond the row's end.
    pub fn cell(&self, at: usize) -> &str {
        self.cells.get(at).unwrap_or_default().trim()
    }

    /// All cells as they stand, with their blanks.
    pub fn cells(&self) -> impl Iterator<Item = &str> {
        self.cells.iter()
    }

    /// Cells up to the last that has something in it.
    pub(crate) fn width(&self) -> usize {
        let filled = self.cells.iter().enumerate().filter(|(_, c)| !c.trim().is_empty());
        filled.last().map_or(0, |(at, _)| at + 1)
    }

    /// How many cells it has, also empty ones.
    pub(crate) fn length(&self) -> usize {
        self.cells.len()
    }
}

/// Why a file is no table that can be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TableFault {
    /// A spreadsheet's own file.
    #[error("This is a spreadsheet's own file. Save the sheet as CSV and add that")]
    Spreadsheet,
    /// Bytes that are no text.
    #[error("This is not a text file, so no table can be read from it. Save the sheet as CSV and add that")]
    NotText,
    /// Nothing but blanks.
    #[error("There is nothing in this file")]
    Empty,
}

/// What a table was read in spite of.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableDoubt {
    /// Not UTF-8.
    #[error("the file is not UTF-8 and was read as Windows-1252; look whether its accents are right")]
    EncodingGuessed,
    /// Bytes that mean nothing in the encoding.
    #[error("characters that cannot be read were replaced by �")]
    Characters,
    /// Cells with nothing in them. Lines without any cell are passed over in silence.
    #[error("an empty row was passed over")]
    BlankRow,
    /// A quotation mark that probably swallows rows.
    #[error("a cell goes on for more than {LONG_CELL_LINES} lines; a quotation mark may not be closed")]
    QuoteOpen,
    /// Above the header.
    #[error("a row above the header was passed over")]
    TitleRow,
    /// The header is two rows.
    #[error("the header is two rows high; they were put together")]
    TwoHeaderRows,
    /// A column with cells but no header.
    #[error("a column has no header and is left out until you say what it is")]
    EmptyHeader,
    /// No row looks like a header.
    #[error("no header was found; say what each column is")]
    NoHeader,
    /// Two columns seem to mean the same.
    #[error("a column seems to mean the same as one before it and is left out until you say which counts")]
    SameColumn,
    /// Fewer cells than the header.
    #[error("a row has fewer cells than the header")]
    ShortRow,
    /// Cells beyond the header's end.
    #[error("a row has cells beyond the header's last; they belong to no column")]
    LongRow,
    /// A formula instead of its value.
    #[error(
        "a cell begins like a formula or is a spreadsheet's error; it was kept as text and not worked out"
    )]
    Formula,
}

/// Rows that have something in them.
pub(crate) struct Table {
    pub(crate) dialect: Dialect,
    pub(crate) rows: Vec<Row>,
    pub(crate) told: Vec<Told<TableDoubt>>,
}

pub(crate) fn read_table(bytes: &[u8]) -> Result<Table, TableFault> {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"\xD0\xCF\x11\xE0") {
        return Err(TableFault::Spreadsheet);
    }
    let mut told = Vec::new();
    let (text, encoding) = encoding::decode(bytes, &mut told);
    if text.contains('\0') {
        return Err(TableFault::NotText);
    }
    let (delimiter, begins) = dialect::delimiter(&text);
    let mut lines = Lines { text: &text, at: 0, line: 1 };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(&text.as_bytes()[begins..]);
    let mut rows = Vec::new();
    for cells in reader.records().filter_map(Result::ok) {
        // The position may be before empty lines, which are no records.
        let byte = cells.position().map_or(0, csv::Position::byte) as usize + begins;
        let line = lines.of_record(byte);
        let row = Row { line, cells };
        if row.cells.iter().any(|c| c.len() > LONG_CELL_LINES && c.lines().count() > LONG_CELL_LINES) {
            tell(&mut told, TableDoubt::QuoteOpen, line, 1);
        }
        if row.width() == 0 {
            tell(&mut told, TableDoubt::BlankRow, line, 1);
        } else {
            rows.push(row);
        }
    }
    if rows.is_empty() {
        return Err(TableFault::Empty);
    }
    Ok(Table { dialect: Dialect { encoding, delimiter: char::from(delimiter) }, rows, told })
}

/// Counts line ends of all three kinds up to a byte.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line a record begins at that begins at, or in the empty lines after, a byte.
    fn of_record(&mut self, byte: usize) -> u64 {
        let bytes = self.text.as_bytes();
        let ends =
            |at: usize| bytes[at] == b'\n' || (bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
        while self.at < bytes.len() && (self.at < byte || matches!(bytes[self.at], b'\n' | b'\r')) {
            self.line += u64::from(ends(self.at));
            self.at += 1;
        }
        self.line
    }
}

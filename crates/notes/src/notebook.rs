//! A field notebook that was typed into a spreadsheet.
//!
//! In come the bytes of a CSV or TSV file and what headers meant before; out come its rows, what each column probably
//! means, and what is doubtful. Rows give typed values ([`Row::values`]). It evaluates no formula and matches no row to
//! an animal.

mod column;
pub(crate) mod dates;
mod values;

pub use column::{Column, DayOrder, Mapping, Remembered};
pub use dates::DateDoubt;
pub use values::{Cell, CellFault, Reading, Value};

use crate::header;
use crate::table::{Dialect, Row, TableDoubt, TableFault, read_table};
use crate::told::{Told, tell};

/// A notebook as read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notebook {
    /// How the file is written.
    pub dialect: Dialect,
    /// Headers by column; empty where there is none.
    pub headers: Vec<String>,
    /// What the columns probably mean; a changed one is given to [`Notebook::reading`].
    pub mapping: Mapping,
    /// Rows below the header that have something in them.
    pub rows: Vec<Row>,
    /// What is doubtful.
    pub told: Vec<Told<TableDoubt>>,
}

/// Reads a notebook.
///
/// ```
/// let file = "Jar;Uhrzeit;Breite;Länge\nA1;10.23;52,2001;0,1203\n";
/// let notebook = notes::read_notebook(file.as_bytes(), &notes::Remembered::default()).unwrap();
/// let values = notebook.rows[0].values(&notebook.reading(&notebook.mapping));
/// assert_eq!(values[0].value, Some(notes::Value::Text("A1".to_owned())));
/// assert!(matches!(values[2].value, Some(notes::Value::Place(place)) if place.latitude == 52.2001));
/// ```
pub fn read_notebook(bytes: &[u8], remembered: &Remembered) -> Result<Notebook, TableFault> {
    let table = read_table(bytes)?;
    let (mut rows, mut told) = (table.rows, table.told);
    let (headers, below) = header::find(&rows, &mut told, |cell| column::meaning(cell).is_some());
    let header_line = rows[below.saturating_sub(1)].line;
    rows.drain(..below);
    for row in &rows {
        let kind = match row.width() {
            wide if wide > headers.len() => TableDoubt::LongRow,
            _ if row.length() < headers.len() => TableDoubt::ShortRow,
            _ => continue,
        };
        tell(&mut told, kind, row.line, 1);
    }
    for row in &rows {
        let formulas = row.cells().filter(|c| values::formula(c.trim())).count();
        tell(&mut told, TableDoubt::Formula, row.line, formulas as u64);
    }
    let (mapping, doubled) = Mapping::guess(&headers, remembered);
    tell(&mut told, TableDoubt::SameColumn, header_line, doubled.len() as u64);
    Ok(Notebook { dialect: table.dialect, headers, mapping, rows, told })
}

#[cfg(test)]
mod tests;

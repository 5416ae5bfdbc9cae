//! Occurrences as a data set in columns (Apache Parquet), for statistics.
//!
//! Goes in: an archive and a profile. Comes out: a new folder, there whole or not at all, with a file a month: its columns are
//! those of the tables for people, its cells exact, each a text. The same archive and profile give the same bytes. Folders are
//! named as readers of partitioned data sets know them: `year=2026/month=6/part-0.parquet`.

use std::collections::BTreeMap;
use std::io::{self, Seek as _, SeekFrom};
use std::path::Path;
use std::sync::Arc;

use filing::{put_documents, refuse_document};
use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::data_type::{ByteArray, ByteArrayType};
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::{Type, TypePtr};
use record::Progress;
use tempfile::SpooledTempFile;

use crate::archive::{ExportFault, IN_MEMORY_BYTES, go_through, refuse_twice};
use crate::darwin_core::{Profile, Table, rows};

/// Rows of a row group: those of a month are held in memory until so many are there.
const GROUP_ROWS: usize = 20_000;

/// What stands for a year or month that is not known: the name that Apache Hive gave to none, which readers know.
const UNKNOWN: &str = "__HIVE_DEFAULT_PARTITION__";

/// A year and a month, as folders are named; `None` where the date does not tell.
type Month = (Option<u16>, Option<u8>);

/// The month in which an event began whose date is written by ISO 8601, to the day, month or year, or as an interval.
fn month_of(date: &str) -> Month {
    let mut parts = date.split(['-', 'T', '/']);
    let year = parts.next().filter(|year| year.len() == 4).and_then(|year| year.parse().ok());
    let is_year = date.get(4..5).is_some_and(|sign| sign == "-");
    let month = parts.next().filter(|_| is_year).and_then(|month| month.parse().ok());
    (year, month.filter(|month| year.is_some() && (1..=12).contains(month)))
}

/// Where the file of a month stands in the data set.
fn path_of((year, month): Month) -> String {
    let name = |number: Option<String>| number.unwrap_or_else(|| UNKNOWN.to_owned());
    let (year, month) = (name(year.map(|n| format!("{n:04}"))), name(month.map(|n| n.to_string())));
    format!("year={year}/month={month}/part-0.parquet")
}

/// A column of text a column of the table; no cell is null.
fn schema() -> Result<TypePtr, ParquetError> {
    let column = |name: &str| {
        let text = Type::primitive_type_builder(name, Physical::BYTE_ARRAY);
        let text = text.with_repetition(Repetition::REQUIRED).with_logical_type(Some(LogicalType::String));
        Ok(Arc::new(text.build()?))
    };
    let columns: Result<Vec<TypePtr>, ParquetError> =
        Table::Occurrence.columns().iter().map(|of| column(of.name)).collect();
    let name = Table::Occurrence.name();
    Ok(Arc::new(Type::group_type_builder(name).with_fields(columns?).build()?))
}

/// The file of a month, being written.
struct Part {
    writer: SerializedFileWriter<SpooledTempFile>,
    /// By column.
    cells: Vec<Vec<ByteArray>>,
}

impl Part {
    fn new() -> Result<Self, ParquetError> {
        let made_by = format!("Endleaf {}", env!("CARGO_PKG_VERSION"));
        let properties = WriterProperties::builder().set_created_by(made_by).build();
        let file = SpooledTempFile::new(IN_MEMORY_BYTES);
        let writer = SerializedFileWriter::new(file, schema()?, Arc::new(properties))?;
        Ok(Self { writer, cells: vec![Vec::new(); Table::Occurrence.columns().len()] })
    }

    fn add(&mut self, cells: Vec<String>) -> Result<(), ParquetError> {
        for (column, cell) in self.cells.iter_mut().zip(cells) {
            column.push(ByteArray::from(cell.into_bytes()));
        }
        if self.cells[0].len() >= GROUP_ROWS { self.write() } else { Ok(()) }
    }

    /// Writes what is held as a row group.
    fn write(&mut self) -> Result<(), ParquetError> {
        let mut group = self.writer.next_row_group()?;
        for column in &mut self.cells {
            if let Some(mut writer) = group.next_column()? {
                writer.typed::<ByteArrayType>().write_batch(column, None, None)?;
                writer.close()?;
            }
            column.clear();
        }
        group.close()?;
        Ok(())
    }

    /// All that was written, from its beginning.
    fn finish(mut self) -> Result<SpooledTempFile, ParquetError> {
        if !self.cells[0].is_empty() {
            self.write()?;
        }
        let mut file = self.writer.into_inner()?;
        file.seek(SeekFrom::Start(0))?;
        Ok(file)
    }
}

/// Writes the occurrences of all sessions, published on a day as `2026-11-25`, as a data set into a new folder: there whole, or
/// not at all. Progress is told in sessions.
///
/// # Errors
/// When the name is taken or lies in the archive, a record stands in two sessions, or something cannot be read or written.
pub fn export_dataset(
    archive: &Path,
    profile: &Profile,
    published: &str,
    folder: &Path,
    progress: &dyn Progress,
) -> Result<(), ExportFault> {
    refuse_document(archive, folder)?;
    let kept = |error: ParquetError| ExportFault::Temporary(io::Error::other(error));
    let mut parts: BTreeMap<Month, Part> = BTreeMap::new();
    let date = Table::Occurrence.columns().iter().position(|column| column.name == "eventDate");
    let survey = go_through(archive, profile, published, progress, |folder, session| {
        let rows = rows(folder, session, profile);
        for row in rows.into_iter().filter(|row| row.table == Table::Occurrence) {
            let month = date.map_or((None, None), |at| month_of(&row.cells[at]));
            let part = match parts.entry(month) {
                std::collections::btree_map::Entry::Occupied(part) => part.into_mut(),
                std::collections::btree_map::Entry::Vacant(free) => free.insert(Part::new().map_err(kept)?),
            };
            part.add(row.cells).map_err(kept)?;
        }
        Ok(())
    })?;
    refuse_twice(&survey)?;
    let files = parts.into_iter().map(|(month, part)| Ok((path_of(month), part.finish()?)));
    let files: Vec<_> = files.collect::<Result<_, _>>().map_err(kept)?;
    Ok(put_documents(folder, files)?)
}

#[cfg(test)]
mod tests {
    use parquet::file::metadata::RowGroupMetaData;

    use super::*;

    #[test]
    fn a_date_tells_its_month_as_far_as_it_goes() {
        for (date, path) in [
            ("2026-06-14", "year=2026/month=6"),
            ("2026-12", "year=2026/month=12"),
            ("2026-06-30/2026-07-01", "year=2026/month=6"),
            ("2026-06-14/15", "year=2026/month=6"),
            ("2026", "year=2026/month=__HIVE_DEFAULT_PARTITION__"),
            ("2026/12", "year=2026/month=__HIVE_DEFAULT_PARTITION__"),
            ("2026-13-01", "year=2026/month=__HIVE_DEFAULT_PARTITION__"),
            ("", "year=__HIVE_DEFAULT_PARTITION__/month=__HIVE_DEFAULT_PARTITION__"),
            ("14.6.2026", "year=__HIVE_DEFAULT_PARTITION__/month=__HIVE_DEFAULT_PARTITION__"),
        ] {
            assert_eq!(path_of(month_of(date)), format!("{path}/part-0.parquet"), "{date}");
        }
    }

    #[test]
    fn rows_beyond_a_group_begin_another() {
        let mut part = Part::new().unwrap();
        for n in 0..=GROUP_ROWS {
            part.add(vec![n.to_string(); Table::Occurrence.columns().len()]).unwrap();
        }
        assert_eq!((part.cells[0].len(), part.writer.flushed_row_groups().len()), (1, 1));
        part.write().unwrap();
        let groups: Vec<i64> =
            part.writer.flushed_row_groups().iter().map(RowGroupMetaData::num_rows).collect();
        assert_eq!(groups, [i64::try_from(GROUP_ROWS).unwrap(), 1]);
    }
}

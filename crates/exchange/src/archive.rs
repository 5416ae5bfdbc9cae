//! From the sessions filed in an archive to documents on a disk: the one file here that touches it.
//!
//! Goes in: an archive and a profile. Comes out: a [`Survey`] of what would be exported, or a Darwin Core archive as one zip,
//! or its tables for people. Sessions are read one after the other, and surveyed in the same pass as they are written: what
//! is said of the whole is of what is in it. The same archive, profile and day give the same bytes.

use std::io::{self, BufReader, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use filing::store::StoreFault;
use filing::{
    DocumentFault, FilingFault, filed_session, filed_sessions, put_document, put_documents, refuse_document,
};
use record::{Progress, Session, count};
use tempfile::SpooledTempFile;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::cells::harmless;
use crate::darwin_core::{Profile, Survey, Table, eml_xml, meta_xml, rows};

/// Bytes of a table kept in memory; what is more goes to a temporary file without a name.
pub(crate) const IN_MEMORY_BYTES: usize = 8 << 20;

/// Why nothing was exported.
#[derive(Debug, thiserror::Error)]
pub enum ExportFault {
    /// The archive cannot be looked at.
    #[error(transparent)]
    Archive(#[from] FilingFault),
    /// There is no session in it.
    #[error("No session is filed in this folder. Nothing was written. Name the folder that sessions are filed into: {}", .0.display())]
    NoSession(PathBuf),
    /// One of its sessions cannot be read.
    #[error(transparent)]
    Session(#[from] StoreFault),
    /// A document cannot be written.
    #[error(transparent)]
    Document(#[from] DocumentFault),
    /// Records stand in two sessions.
    #[error("{} in two sessions of the archive, the first in {first}; each record may be published once. Nothing was written", count(*.records, "record stands", "records stand"))]
    Twice {
        /// How many.
        records: usize,
        /// Folder and number of one.
        first: String,
    },
    /// What was worked out could not be kept meanwhile.
    #[error("No room for temporary files: {0}. Nothing was written. Free some space and export again")]
    Temporary(#[source] io::Error),
    /// It was asked to.
    #[error("Stopped. Nothing was written")]
    Stopped,
}

/// Goes through all sessions of an archive in order, surveyed for a profile on a day as `2026-11-25`. Progress is told in
/// sessions.
pub(crate) fn go_through(
    archive: &Path,
    profile: &Profile,
    published: &str,
    progress: &dyn Progress,
    mut each: impl FnMut(&str, &Session) -> Result<(), ExportFault>,
) -> Result<Survey, ExportFault> {
    let folders = filed_sessions(archive)?;
    if folders.is_empty() {
        return Err(ExportFault::NoSession(archive.to_owned()));
    }
    let mut survey = Survey::new(published);
    for (done, folder) in folders.iter().enumerate() {
        if progress.stopped() {
            return Err(ExportFault::Stopped);
        }
        progress.at(done, folders.len());
        let session = filed_session(archive, folder)?;
        survey.add(folder, &session, profile);
        each(folder, &session)?;
    }
    survey.finish();
    Ok(survey)
}

/// Looks at all sessions of an archive, to be exported on a day as `2026-11-25`. Progress is told in sessions.
///
/// # Errors
/// When there is none, or one cannot be read: a data set that silently lacks a day is none.
pub fn survey(
    archive: &Path,
    profile: &Profile,
    published: &str,
    progress: &dyn Progress,
) -> Result<Survey, ExportFault> {
    go_through(archive, profile, published, progress, |_, _| Ok(()))
}

/// A table as it is written: a line of headings, then rows.
struct Sheet {
    writer: csv::Writer<SpooledTempFile>,
    for_people: bool,
}

impl Sheet {
    /// For programs: exact, lines ended by a line feed, as `meta.xml` says. For people: begins with the mark that tells a
    /// spreadsheet that it is UTF-8 (common practice), lines ended as RFC 4180 asks, no cell that runs as a formula.
    fn new(table: Table, for_people: bool) -> io::Result<Self> {
        let mut file = SpooledTempFile::new(IN_MEMORY_BYTES);
        let mut builder = csv::WriterBuilder::new();
        if for_people {
            file.write_all("\u{feff}".as_bytes())?;
            builder.terminator(csv::Terminator::CRLF);
        } else {
            builder.terminator(csv::Terminator::Any(b'\n'));
        }
        let mut writer = builder.from_writer(file);
        writer.write_record(table.columns().iter().map(|column| column.name))?;
        Ok(Self { writer, for_people })
    }

    fn add(&mut self, cells: &[String]) -> io::Result<()> {
        if self.for_people {
            self.writer.write_record(cells.iter().map(|cell| harmless(cell).into_owned()))?;
        } else {
            self.writer.write_record(cells)?;
        }
        Ok(())
    }

    /// All that was written, from its beginning.
    fn finish(self) -> io::Result<SpooledTempFile> {
        let mut file = self.writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
        file.seek(SeekFrom::Start(0))?;
        Ok(file)
    }
}

/// All four tables of an archive, and what they were surveyed to be: no record stands in two sessions. Progress is told in
/// sessions.
fn tables(
    archive: &Path,
    profile: &Profile,
    published: &str,
    for_people: bool,
    progress: &dyn Progress,
) -> Result<(Vec<(Table, SpooledTempFile)>, Survey), ExportFault> {
    let sheets: io::Result<Vec<Sheet>> =
        Table::ALL.into_iter().map(|table| Sheet::new(table, for_people)).collect();
    let mut sheets = sheets.map_err(ExportFault::Temporary)?;
    let survey = go_through(archive, profile, published, progress, |folder, session| {
        let mut all = rows(folder, session, profile).into_iter();
        all.try_for_each(|row| sheets[row.table as usize].add(&row.cells)).map_err(ExportFault::Temporary)
    })?;
    refuse_twice(&survey)?;
    let files = Table::ALL.into_iter().zip(sheets).map(|(table, sheet)| Ok((table, sheet.finish()?)));
    Ok((files.collect::<io::Result<_>>().map_err(ExportFault::Temporary)?, survey))
}

/// Refuses records that stand in two sessions.
pub(crate) fn refuse_twice(survey: &Survey) -> Result<(), ExportFault> {
    let mut twice = survey.twice();
    let Some((folder, number)) = twice.next() else { return Ok(()) };
    Err(ExportFault::Twice { records: 1 + twice.count(), first: format!("{folder}, {number}") })
}

/// Writes a Darwin Core archive of all sessions, published on a day as `2026-11-25`, as one zip under a new name: there whole,
/// or not at all.
///
/// # Errors
/// When the name is taken or lies in the archive, a record stands in two sessions, or something cannot be read or written.
pub fn export_darwin_core(
    archive: &Path,
    profile: &Profile,
    published: &str,
    path: &Path,
    progress: &dyn Progress,
) -> Result<(), ExportFault> {
    refuse_document(archive, path)?;
    let (tables, survey) = tables(archive, profile, published, false, progress)?;
    let mut zipped = zipped(tables, &eml_xml(&survey.credits)).map_err(ExportFault::Temporary)?;
    Ok(put_document(path, &mut zipped)?)
}

fn zipped(tables: Vec<(Table, SpooledTempFile)>, eml: &str) -> io::Result<SpooledTempFile> {
    // The earliest time that a zip can say: bytes follow from the records alone.
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(SpooledTempFile::new(IN_MEMORY_BYTES));
    for (name, text) in [("meta.xml", meta_xml().as_str()), ("eml.xml", eml)] {
        zip.start_file(name, options)?;
        zip.write_all(text.as_bytes())?;
    }
    for (table, file) in tables {
        zip.start_file(format!("{}.csv", table.name()), options)?;
        io::copy(&mut BufReader::new(file), &mut zip)?;
    }
    let mut file = zip.finish()?;
    file.seek(SeekFrom::Start(0))?;
    Ok(file)
}

/// Writes the tables for people as CSV into a new folder, there whole or not at all; cells that a spreadsheet would run as
/// formulas begin with an apostrophe. For programs there is the Darwin Core archive, whose cells are exact.
///
/// # Errors
/// As [`export_darwin_core`].
pub fn export_tables(
    archive: &Path,
    profile: &Profile,
    published: &str,
    folder: &Path,
    progress: &dyn Progress,
) -> Result<(), ExportFault> {
    refuse_document(archive, folder)?;
    let (tables, _) = tables(archive, profile, published, true, progress)?;
    let files = tables.into_iter().map(|(table, file)| (format!("{}.csv", table.name()), file));
    Ok(put_documents(folder, files.collect())?)
}

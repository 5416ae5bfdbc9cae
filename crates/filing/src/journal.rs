//! What filing has done to an archive, step by step: `endleaf-journal.txt` beside the sessions.
//!
//! Goes in: entries, each written and flushed before the step it describes. Comes out: the last filing, as far as it
//! came. Every line is `<sum> <entry>`: the entry in RON, and the first 16 digits of the SHA-256 of the sum of the line
//! before it and the entry, so that a line can be neither changed nor left out unseen. Lines are only ever added. A line
//! that was cut short is passed over; the next one follows from the last whole line. Paths are relative to the archive.

use std::collections::BTreeSet;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::disk::{self, Disk, Handle};
pub(crate) use crate::entry::{Copied, Entry, Operation};
use crate::fault::FilingFault;

/// Name of the journal.
pub(crate) const JOURNAL_FILE: &str = "endleaf-journal.txt";

/// Digits of a line's sum: 64 bits, enough against accidents; the journal does not guard against people.
const SUM_DIGITS: usize = 16;

/// Form of the journal that this program writes and reads.
const FORM: u32 = 1;

/// What a journal says.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Log {
    /// Sum of the last whole line; empty when there is none.
    sum: String,
    /// Whether the text ends within a line.
    torn: bool,
    /// The last filing.
    pub(crate) last: Option<Operation>,
}

impl Log {
    /// Reads the journal of an archive; none is as an empty one.
    ///
    /// # Errors
    /// [`FilingFault::JournalDamaged`], and [`FilingFault::ArchiveUnusable`] when it cannot be read.
    pub(crate) fn read(disk: &dyn Disk, archive: &Path) -> Result<Self, FilingFault> {
        let path = archive.join(JOURNAL_FILE);
        match disk::read_bytes(disk, &path) {
            // A line cut short may end within a character.
            Ok(bytes) => Self::of(&String::from_utf8_lossy(&bytes))
                .map_err(|line| FilingFault::JournalDamaged { line, path }),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(Self::default()),
            Err(error) => Err(FilingFault::unusable(&path)(error)),
        }
    }

    /// All entries of the journal of an archive, from the first.
    ///
    /// # Errors
    /// As [`Log::read`].
    pub(crate) fn entries(disk: &dyn Disk, archive: &Path) -> Result<Vec<Entry>, FilingFault> {
        Self::read(disk, archive)?;
        let text = match disk::read_bytes(disk, &archive.join(JOURNAL_FILE)) {
            Ok(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
            Err(_) => return Ok(Vec::new()),
        };
        let mut sum = String::new();
        let mut entries = Vec::new();
        for (found, record) in text.lines().filter_map(|line| line.split_once(' ')) {
            if found == next_sum(&sum, record) {
                found.clone_into(&mut sum);
                entries.extend(ron::from_str::<Entry>(record));
            }
        }
        Ok(entries)
    }

    /// The filing that was begun and is not over, or not wholly taken back.
    pub(crate) fn open(&self) -> Option<&Operation> {
        self.last.as_ref().filter(|operation| !operation.ended || operation.undoing)
    }

    /// Takes a journal apart; else the first line that does not fit.
    fn of(text: &str) -> Result<Self, usize> {
        let mut log = Self { torn: !text.is_empty() && !text.ends_with('\n'), ..Self::default() };
        let mut records: Vec<&str> = Vec::new();
        for (line, n) in text.lines().zip(1..) {
            let Some((sum, record)) = line.split_once(' ') else { continue };
            if sum == next_sum(&log.sum, record) {
                sum.clone_into(&mut log.sum);
                records.push(record);
            } else if ron::from_str::<Entry>(record).is_ok() {
                return Err(n);
            }
        }
        let Some(begun) = records.iter().rposition(|record| record.starts_with("Filing(")) else {
            return Ok(log);
        };
        // What a newer Endleaf may have written is not known here.
        for entry in records[begun..].iter().filter_map(|record| ron::from_str(record).ok()) {
            log.take(entry);
        }
        Ok(log)
    }

    /// Takes the next entry in. What stands before the first filing tells of none.
    fn take(&mut self, entry: Entry) {
        if let Entry::Filing { n, at, folder, source } = entry {
            self.last = Some(Operation::begun(n, at, folder, source));
        } else if let Some(last) = &mut self.last {
            last.take(entry);
        }
    }
}

/// The sum of a line that follows another.
fn next_sum(before: &str, record: &str) -> String {
    let mut sum = disk::hash_text(&format!("{before}{record}"));
    sum.truncate(SUM_DIGITS);
    sum
}

/// The line of an entry that follows a line with a sum, and its own sum.
fn line(before: &str, entry: &Entry) -> (String, String) {
    let record = ron::to_string(entry).expect("an entry holds only values that RON can write");
    let sum = next_sum(before, &record);
    let line = format!("{sum} {record}\n");
    (sum, line)
}

/// A journal that is open for adding.
pub(crate) struct Journal<'d> {
    file: Box<dyn Handle + 'd>,
    log: Log,
    /// Lines not yet written.
    waiting: String,
    /// After a line could not be written nothing more is: the next opening looks what is there.
    broken: bool,
}

impl<'d> Journal<'d> {
    /// Opens the journal of an archive, or begins one; its name lasts once the archive is flushed.
    ///
    /// # Errors
    /// As the system says.
    pub(crate) fn open(disk: &'d dyn Disk, archive: &Path, log: Log) -> io::Result<Self> {
        let path = archive.join(JOURNAL_FILE);
        let file = disk.append(&path)?;
        let mut journal = Self { file, waiting: String::new(), broken: false, log };
        if journal.log.torn {
            journal.waiting.push('\n');
        }
        if journal.log.sum.is_empty() {
            let now = disk.now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
            let seed = format!("{} {} {}", now.as_nanos(), std::process::id(), path.display());
            let id = disk::hash_text(&seed)[..32].to_owned();
            journal.add(&Entry::Archive { form: FORM, id });
        }
        Ok(journal)
    }

    /// The filing that was begun and is not over.
    pub(crate) fn operation(&self) -> Option<&Operation> {
        self.log.open()
    }

    /// The last filing.
    pub(crate) fn last(&self) -> Option<&Operation> {
        self.log.last.as_ref()
    }

    /// Number of the next filing.
    pub(crate) fn next_number(&self) -> u32 {
        self.log.last.as_ref().map_or(1, |last| last.n + 1)
    }

    /// Adds an entry. It stands in the journal after the next [`Journal::flush`].
    pub(crate) fn add(&mut self, entry: &Entry) {
        let (sum, line) = line(&self.log.sum, entry);
        self.log.sum = sum;
        self.waiting.push_str(&line);
        self.log.take(entry.clone());
    }

    /// Writes what was added and makes it lasting.
    ///
    /// # Errors
    /// As the system says; nothing more can be added then.
    pub(crate) fn flush(&mut self) -> io::Result<()> {
        if self.broken {
            return Err(io::Error::new(ErrorKind::BrokenPipe, "the journal could not be written before"));
        }
        let written =
            disk::write_all(&mut *self.file, self.waiting.as_bytes()).and_then(|()| self.file.flush());
        self.broken = written.is_err();
        self.waiting.clear();
        written
    }
}

/// The time as it stands in the journal: UTC, whole seconds, ISO 8601.
pub(crate) fn time_words(disk: &dyn Disk) -> String {
    let now = jiff::Timestamp::try_from(disk.now()).unwrap_or_default();
    let whole = jiff::Timestamp::from_second(now.as_second()).unwrap_or(now);
    whole.to_string()
}

/// Folders among these paths' own that are not there yet, outermost first. Paths are relative to the archive.
pub(crate) fn folders_to_make<'p>(
    disk: &dyn Disk,
    archive: &Path,
    paths: impl Iterator<Item = &'p str>,
) -> io::Result<Vec<String>> {
    let above = |path: &str| -> Vec<PathBuf> {
        Path::new(path)
            .ancestors()
            .skip(1)
            .filter(|p| !p.as_os_str().is_empty())
            .map(Path::to_owned)
            .collect()
    };
    let all: BTreeSet<PathBuf> = paths.flat_map(above).collect();
    let mut new = Vec::new();
    for folder in all {
        match disk.about(&archive.join(&folder)) {
            Err(error) if error.kind() == ErrorKind::NotFound => {
                new.push(folder.to_string_lossy().into_owned());
            }
            about => _ = about?,
        }
    }
    Ok(new)
}

#[cfg(test)]
#[path = "journal_tests.rs"]
mod tests;

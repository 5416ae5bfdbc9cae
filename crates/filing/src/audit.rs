//! Reading an archive again against its lists and its journal.
//!
//! Goes in: an archive (a bag is handed on to [`bag`]), and perhaps a second one. Comes out: every file that is missing, changed, rotten or not listed, with
//! where a good copy lies. It only reads. All paths are relative, so an archive may have been moved or be mounted
//! elsewhere; it is known by its id.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use record::Progress;

use crate::batch::seconds;
use crate::disk::{self, CopyTrouble, Disk, LocalDisk};
use crate::history::{Expected, History};
use crate::journal::JOURNAL_FILE;
use crate::lists::{BEFORE_FOLDER, own_path};
use crate::manifest::{self, MANIFEST_FILE};
use crate::repair::ASIDE;
use crate::settle::Meter;
use crate::tree::Tree;
use crate::{FilingFault, bag};

/// Seconds by which the time of a file may differ: FAT keeps steps of two.
const SAME_TIME_SECS: i64 = 2;

/// What is wrong with a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wrong {
    /// It is listed and not there.
    Missing,
    /// It has another size, or other bytes and another time.
    Changed,
    /// It has the size and time it was filed with and other bytes: the disk lost some.
    Rotten,
    /// It is there and cannot be read.
    Unreadable,
    /// It is there and no list names it.
    Unlisted,
    /// It lies in the payload of a bag, and a payload manifest does not list it.
    Added,
    /// It is not written as a bag's file of this name has to be.
    Malformed,
    /// It tells another number of files or bytes than there are.
    Miscounted,
}

impl Wrong {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Missing => "missing",
            Self::Changed => "changed",
            Self::Rotten => "rotten",
            Self::Unreadable => "unreadable",
            Self::Unlisted => "not listed",
            Self::Added => "added",
            Self::Malformed => "malformed",
            Self::Miscounted => "miscounted",
        }
    }
}

/// A file that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Path in the archive, with `/`.
    pub path: String,
    /// What is wrong with it.
    pub wrong: Wrong,
    /// SHA-256 of the bytes that should be there; empty for what is not listed.
    pub sha256: String,
    /// Where the second archive holds them, read and compared: a path in it.
    pub good: Option<String>,
}

impl Finding {
    pub(crate) fn of_no_list(path: &str, wrong: Wrong) -> Self {
        Self { path: path.to_owned(), wrong, sha256: String::new(), good: None }
    }
}

/// What an audit found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Audit {
    /// What the archive is known by, wherever it lies; `None` for one without a journal.
    pub id: Option<String>,
    /// Files looked at, and their size together.
    pub files: usize,
    /// Their bytes.
    pub bytes: u64,
    /// Whether bytes were read, not only sizes and times.
    pub whole: bool,
    /// Whether this is no archive but a bag (RFC 8493).
    pub is_bag: bool,
    /// What is wrong, by path.
    pub findings: Vec<Finding>,
    /// What a person should know, in whole sentences; mostly empty.
    pub remarks: Vec<String>,
}

impl Audit {
    /// Whether nothing that was filed is missing or other than it was filed; of a bag read whole, whether it is valid.
    pub fn is_sound(&self) -> bool {
        self.findings.iter().all(|finding| finding.wrong == Wrong::Unlisted)
    }
}

/// How an archive is looked at.
#[derive(Debug, Clone, Copy, Default)]
pub struct AuditOptions<'a> {
    /// Looks at sizes and times alone, and reads what no size is on record of: Endleaf's own texts.
    pub quick: bool,
    /// A second archive that may hold good copies.
    pub beside: Option<&'a Path>,
}

/// Reads everything in an archive against its lists and journal, or a bag against its manifests. Progress is told in bytes.
///
/// # Errors
/// When there is no archive here or beside, its journal is damaged, or it is asked to stop.
pub fn audit(
    archive: &Path,
    options: AuditOptions<'_>,
    progress: &dyn Progress,
) -> Result<Audit, FilingFault> {
    audit_on(&LocalDisk, archive, options, progress)
}

/// As [`audit`], on any disk.
pub(crate) fn audit_on(
    disk: &dyn Disk,
    archive: &Path,
    options: AuditOptions<'_>,
    progress: &dyn Progress,
) -> Result<Audit, FilingFault> {
    if bag::is_bag(disk, archive) {
        return bag::audit_bag(disk, archive, options, progress);
    }
    let (history, expected) = told_of(disk, archive)?;
    let tree = Tree::of(disk, archive).map_err(FilingFault::unusable(archive))?;
    let there = tree.standing(disk, archive, expected.keys());
    let Tree { files: tree, closed } = &tree;
    let is_closed = |path: &str| closed.iter().any(|folder| Path::new(path).starts_with(folder));
    let is_read = |path: &String| !options.quick || expected[path].bytes.is_none();
    let bytes = there.iter().filter(|(path, _)| is_read(path)).map(|(_, (_, bytes))| *bytes).sum();
    let mut meter = Meter::new(expected.len(), bytes, progress);
    let mut audit = Audit {
        id: history.id.clone(),
        files: 0,
        bytes: 0,
        whole: !options.quick,
        is_bag: false,
        findings: Vec::new(),
        remarks: Vec::new(),
    };
    if history.is_open {
        audit.remarks.push(
            "A filing into this archive was cut short or is going on; file its card again, or take it back."
                .to_owned(),
        );
    }
    for (path, wanted) in &expected {
        let wrong = match there.get(path) {
            None if is_closed(path) => Some(Wrong::Unreadable),
            None => Some(Wrong::Missing),
            Some((_, bytes)) => {
                (audit.files, audit.bytes) = (audit.files + 1, audit.bytes + *bytes);
                wrong(disk, &archive.join(path), **bytes, wanted, options.quick, &meter)?
            }
        };
        meter.finished(there.get(path).filter(|_| is_read(path)).map_or(0, |(_, bytes)| **bytes));
        audit.findings.extend(wrong.map(|wrong| Finding {
            path: path.clone(),
            wrong,
            sha256: wanted.sha256.clone(),
            good: None,
        }));
    }
    if !history.is_there {
        audit.findings.push(Finding::of_no_list(JOURNAL_FILE, Wrong::Missing));
    }
    audit.findings.extend(closed.iter().map(|folder| Finding::of_no_list(folder, Wrong::Unreadable)));
    let named: BTreeSet<&String> = there.values().map(|(path, _)| *path).collect();
    let unlisted = tree.keys().filter(|path| !named.contains(path) && !is_own(path));
    audit.findings.extend(unlisted.map(|path| Finding::of_no_list(path, Wrong::Unlisted)));
    audit.findings.sort_by(|a, b| a.path.cmp(&b.path));
    if let Some(beside) = options.beside {
        find_good(disk, beside, &mut audit, &meter)?;
    }
    Ok(audit)
}

/// Endleaf's own, of which no list says what it holds.
fn is_own(path: &str) -> bool {
    let is_aside = path
        .rfind(ASIDE)
        .is_some_and(|at| path[at + ASIDE.len()..].trim_start_matches('_').parse::<u32>().is_ok())
        || path.ends_with(ASIDE);
    path == JOURNAL_FILE || path.starts_with(&format!("{BEFORE_FOLDER}/")) || is_aside
}

/// What an archive's journal and lists say that it holds.
///
/// # Errors
/// As [`History::read`]; and when there is neither journal nor list.
fn told_of(disk: &dyn Disk, archive: &Path) -> Result<(History, BTreeMap<String, Expected>), FilingFault> {
    let history = History::read(disk, archive)?;
    let entries = disk.entries(archive).map_err(FilingFault::unusable(archive))?;
    let mut expected = BTreeMap::new();
    for (folder, _) in entries.into_iter().filter(|(_, is_folder)| *is_folder) {
        expected.append(&mut listed_in(disk, archive, &folder, &history));
    }
    // A list that is gone or was changed does not hide what the journal says was filed.
    for (path, told) in &history.expected {
        expected.entry(path.clone()).or_insert_with(|| told.clone());
    }
    if !history.is_there && expected.is_empty() {
        return Err(FilingFault::NoArchive { path: archive.to_owned() });
    }
    Ok((history, expected))
}

/// What the journal and the list of one session say that its folder holds, by path in the archive.
///
/// # Errors
/// As [`History::read`].
pub(crate) fn told_of_session(
    disk: &dyn Disk,
    archive: &Path,
    folder: &str,
) -> Result<(History, BTreeMap<String, Expected>), FilingFault> {
    let history = History::read(disk, archive)?;
    let mut expected = listed_in(disk, archive, folder, &history);
    for (path, told) in history.expected.iter().filter(|(path, _)| own_path(folder, path).is_some()) {
        expected.entry(path.clone()).or_insert_with(|| told.clone());
    }
    Ok((history, expected))
}

/// What the list of a session names, with size and time as the journal has them.
fn listed_in(disk: &dyn Disk, archive: &Path, folder: &str, history: &History) -> BTreeMap<String, Expected> {
    let list = disk::read_text_if_there(disk, &archive.join(folder).join(MANIFEST_FILE));
    let named = manifest::from_text(&list.ok().flatten().unwrap_or_default());
    let told = |(path, sha256): (String, String)| {
        let path = format!("{folder}/{path}");
        let told = history.expected.get(&path).filter(|told| told.sha256 == sha256);
        let (changed, bytes) = told.map_or((None, None), |told| (told.changed, told.bytes));
        (path, Expected { sha256, changed, bytes })
    };
    named.into_iter().map(told).collect()
}

/// What is wrong with a file that is there.
fn wrong(
    disk: &dyn Disk,
    path: &Path,
    bytes: u64,
    wanted: &Expected,
    quick: bool,
    meter: &Meter<'_>,
) -> Result<Option<Wrong>, FilingFault> {
    let changed = disk.about(path).ok().and_then(|about| about.changed).and_then(seconds);
    let same_time = match (changed, wanted.changed) {
        (Some(now), Some(then)) => Some((now - then).abs() <= SAME_TIME_SECS),
        _ => None,
    };
    let other_size = wanted.bytes.is_some_and(|wanted| wanted != bytes);
    // Where no size is on record it cannot be told from the outside: so are Endleaf's own texts, which are small.
    if other_size || (quick && wanted.bytes.is_some()) {
        return Ok((other_size || same_time == Some(false)).then_some(Wrong::Changed));
    }
    match disk::hash_file(disk, path, &|| meter.stopped()) {
        Ok(hash) if hash == wanted.sha256 => Ok(None),
        Ok(_) if same_time == Some(true) => Ok(Some(Wrong::Rotten)),
        Ok(_) => Ok(Some(Wrong::Changed)),
        Err(CopyTrouble::Stopped) => Err(FilingFault::PlanStopped),
        Err(_) => Ok(Some(Wrong::Unreadable)),
    }
}

/// Looks in a second archive for the bytes that should be there: under the same path first, then wherever they are listed.
fn find_good(
    disk: &dyn Disk,
    beside: &Path,
    audit: &mut Audit,
    meter: &Meter<'_>,
) -> Result<(), FilingFault> {
    let (_, listed) = told_of(disk, beside)?;
    let mut places: BTreeMap<&str, Vec<&String>> = BTreeMap::new();
    for (path, expected) in &listed {
        places.entry(&expected.sha256).or_default().push(path);
    }
    let none = Vec::new();
    for finding in audit.findings.iter_mut().filter(|finding| finding.wrong != Wrong::Unlisted) {
        let found = places.get(finding.sha256.as_str()).unwrap_or(&none);
        let same = found.iter().filter(|path| **path == &finding.path);
        let others = found.iter().filter(|path| **path != &finding.path);
        for path in same.chain(others) {
            match disk::hash_file(disk, &beside.join(path), &|| meter.stopped()) {
                Ok(hash) if hash == finding.sha256 => {
                    finding.good = Some((*path).clone());
                    break;
                }
                Err(CopyTrouble::Stopped) => return Err(FilingFault::PlanStopped),
                _ => {}
            }
        }
    }
    Ok(())
}

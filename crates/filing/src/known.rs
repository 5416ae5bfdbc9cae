//! Recognising by content what lies in the archive already, under whatever path or from whatever card it came.
//!
//! Goes in: a session, the card and the archive's own lists of what it holds. Comes out: where in the archive
//! which file of the card lies, certain by its bytes. Only files of a length that the archive holds are read,
//! on both sides. It only reads.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use record::{FileRole, Filed, Frame, FrameFile, Session};

use crate::disk::{self, CopyTrouble, Disk};
use crate::manifest::{self, MANIFEST_FILE};
use crate::place::Ledger;
use crate::settle::Meter;
use crate::{FilingFault, names};

/// Where files of the card lie in the archive, by their path on the card.
pub(crate) type Known = BTreeMap<String, Filed>;

/// Looks for files of frames in all sessions of the archive.
///
/// A picture or raw is known by its bytes alone. What travels with it, such as a sidecar, may be alike for many
/// frames, and so is known only where it lies beside its own picture. `open` are the files that are not known
/// otherwise; `own` is the folder of the session itself.
///
/// # Errors
/// [`FilingFault::PlanStopped`].
pub(crate) fn recognise(
    disk: &dyn Disk,
    session: &Session,
    open: &BTreeSet<&str>,
    card: &Path,
    archive: &Path,
    own: &str,
    progress: &dyn record::Progress,
) -> Result<Known, FilingFault> {
    let held = Held::of(disk, archive);
    let candidates: Vec<&FrameFile> = session
        .frames
        .iter()
        .flat_map(|f| &f.files)
        .filter(|f| open.contains(f.path.as_str()) && f.bytes > 0 && held.by_bytes.contains_key(&f.bytes))
        .collect();
    let of_bytes = candidates.iter().map(|f| f.bytes).sum();
    let mut search = Search {
        disk,
        card,
        archive,
        own,
        ledger: Ledger::of(session),
        held,
        whole: BTreeMap::new(),
        meter: Meter::new(candidates.len(), of_bytes, progress),
    };
    let candidates: BTreeSet<&str> = candidates.iter().map(|f| f.path.as_str()).collect();
    let mut known = Known::new();
    for frame in &session.frames {
        known.extend(search.frame(frame, &candidates)?);
    }
    Ok(known)
}

/// A file that the archive lists.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Listed {
    /// Folder of the session, a single part.
    folder: String,
    /// Path in that folder, with `/`.
    path: String,
    /// SHA-256 as listed.
    sha256: String,
}

impl Listed {
    /// Its path without ending, which the files of one frame share up to a number.
    fn stem(&self) -> &str {
        names::stem(&self.path)
    }
}

/// What the lists of an archive's sessions name and is there, by length.
struct Held {
    by_bytes: BTreeMap<u64, Vec<Listed>>,
}

impl Held {
    /// Reads the lists of all sessions. A list that cannot be read makes nothing known.
    fn of(disk: &dyn Disk, archive: &Path) -> Self {
        let mut by_bytes: BTreeMap<u64, Vec<Listed>> = BTreeMap::new();
        for (folder, _) in disk::entries_of(disk, archive).unwrap_or_default() {
            let text = disk::read_text(disk, &archive.join(&folder).join(MANIFEST_FILE)).unwrap_or_default();
            for (path, sha256) in manifest::from_text(&text) {
                if let Some(bytes) = disk::size_of(disk, &archive.join(&folder).join(&path)) {
                    let listed = Listed { folder: folder.clone(), path, sha256 };
                    by_bytes.entry(bytes).or_default().push(listed);
                }
            }
        }
        Self { by_bytes }
    }
}

struct Search<'a> {
    disk: &'a dyn Disk,
    card: &'a Path,
    archive: &'a Path,
    own: &'a str,
    ledger: Ledger<'a>,
    held: Held,
    /// Whether files of the archive read as they are listed, as far as that was looked at.
    whole: BTreeMap<(String, String), bool>,
    meter: Meter<'a>,
}

impl Search<'_> {
    /// Where those of a frame's files lie that are among the candidates and in the archive.
    fn frame(&mut self, frame: &Frame, candidates: &BTreeSet<&str>) -> Result<Known, FilingFault> {
        let mut known = Known::new();
        let mut beside: Vec<Listed> = Vec::new();
        let leads = |f: &&FrameFile| matches!(f.role, FileRole::Picture | FileRole::Raw);
        let (first, then): (Vec<_>, Vec<_>) = frame.files.iter().partition(leads);
        for file in first.into_iter().chain(then) {
            if !candidates.contains(file.path.as_str()) {
                continue;
            }
            let fits = |listed: &Listed| {
                leads(&file)
                    || beside.iter().any(|lead| lead.folder == listed.folder && is_beside(lead, listed))
            };
            let listed: Vec<Listed> =
                self.held.by_bytes[&file.bytes].iter().filter(|l| fits(l)).cloned().collect();
            if let Some(found) = self.find(frame, file, listed)? {
                known.insert(file.path.clone(), self.filed(&found, file.bytes));
                if leads(&file) {
                    beside.push(found);
                }
            }
        }
        Ok(known)
    }

    /// The one of these that has the bytes of a file of the card.
    fn find(
        &mut self,
        frame: &Frame,
        file: &FrameFile,
        listed: Vec<Listed>,
    ) -> Result<Option<Listed>, FilingFault> {
        if listed.is_empty() {
            return Ok(None);
        }
        // Where the session says where it was found before, its bytes were compared then.
        let before = self.ledger.filed(frame, &file.path).filter(|filed| filed.session.is_some());
        let is_before = |l: &&Listed| {
            before.is_some_and(|f| {
                f.path == l.path && f.sha256 == l.sha256 && f.session.as_ref() == Some(&l.folder)
            })
        };
        if let Some(found) = listed.iter().find(is_before) {
            return Ok(Some(found.clone()));
        }
        let Some(sha256) = self.hash_on_card(file)? else { return Ok(None) };
        for listed in listed.into_iter().filter(|l| l.sha256 == sha256) {
            if self.reads_as_listed(&listed)? {
                return Ok(Some(listed));
            }
        }
        Ok(None)
    }

    /// SHA-256 of a file of the card; `None` when it cannot be read or has changed, which copying will say.
    fn hash_on_card(&mut self, file: &FrameFile) -> Result<Option<String>, FilingFault> {
        let Ok(path) = disk::on_card(self.card, &file.path) else { return Ok(None) };
        if disk::size_of(self.disk, &path) != Some(file.bytes) {
            return Ok(None);
        }
        let hash = hash(self.disk, &path, &self.meter);
        self.meter.finished(file.bytes);
        hash
    }

    fn reads_as_listed(&mut self, listed: &Listed) -> Result<bool, FilingFault> {
        let key = (listed.folder.clone(), listed.path.clone());
        if let Some(whole) = self.whole.get(&key) {
            return Ok(*whole);
        }
        let path = self.archive.join(&listed.folder).join(&listed.path);
        let whole = hash(self.disk, &path, &self.meter)?.is_some_and(|hash| hash == listed.sha256);
        self.whole.insert(key, whole);
        Ok(whole)
    }

    fn filed(&self, listed: &Listed, bytes: u64) -> Filed {
        let session = (listed.folder != self.own).then(|| listed.folder.clone());
        Filed { path: listed.path.clone(), bytes, sha256: listed.sha256.clone(), session }
    }
}

/// Whether two files of one session's folder belong to one frame: they share their path without ending, but for
/// the `-2` of a second file with one ending.
fn is_beside(lead: &Listed, other: &Listed) -> bool {
    other.stem().strip_prefix(lead.stem()).is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
}

fn hash(disk: &dyn Disk, path: &Path, meter: &Meter<'_>) -> Result<Option<String>, FilingFault> {
    match disk::hash_file(disk, path, &|| meter.stopped()) {
        Ok(hash) => Ok(Some(hash)),
        Err(CopyTrouble::Stopped) => Err(FilingFault::PlanStopped),
        Err(_) => Ok(None),
    }
}

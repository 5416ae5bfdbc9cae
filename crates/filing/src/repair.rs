//! Putting good copies from a second archive in the place of files that are missing or damaged.
//!
//! Goes in: what an audit found. Comes out: the archive with those files whole. Each is copied as carefully as from a card,
//! the journal tells of it beforehand, and what stood there is put aside, never thrown away.

use std::io;
use std::path::Path;

use record::Progress;

use crate::audit::{Audit, Finding, Wrong};
use crate::batch::seconds;
use crate::disk::{self, CopyTrouble, Disk, LocalDisk};
use crate::entry::Entry;
use crate::fault::io_words;
use crate::journal::Journal;
use crate::opened::Opened;
use crate::settle::Meter;
use crate::{FilingFault, names};

/// What is added to the name of a damaged file that was repaired, beside which it is kept.
pub(crate) const ASIDE: &str = ".damaged";

/// Repairs what an audit found to be missing, rotten, changed or unreadable and of which the second archive holds a good
/// copy. Gives the paths repaired. Progress is told in bytes.
///
/// # Errors
/// When the archive is being filed into or a filing was cut short; else when it cannot be written to: what was repaired
/// until then is.
pub fn repair(
    archive: &Path,
    beside: &Path,
    audit: &Audit,
    progress: &dyn Progress,
) -> Result<Vec<String>, FilingFault> {
    repair_on(&LocalDisk, archive, beside, audit, progress)
}

/// As [`repair`], on any disk.
pub(crate) fn repair_on(
    disk: &dyn Disk,
    archive: &Path,
    beside: &Path,
    audit: &Audit,
    progress: &dyn Progress,
) -> Result<Vec<String>, FilingFault> {
    let mut opened = Opened::of(disk, archive)?;
    if opened.log.open().is_some() {
        let reason = "a filing into it was cut short; file its card again or take it back first".to_owned();
        return Err(FilingFault::ArchiveUnusable { reason, path: archive.to_owned() });
    }
    let wanted = audit.findings.iter().filter(|finding| finding.wrong != Wrong::Unlisted);
    let wanted: Vec<(&Finding, &String)> = wanted.filter_map(|f| Some((f, f.good.as_ref()?))).collect();
    let size = |good: &str| disk::size_of(disk, &beside.join(good)).unwrap_or(0);
    let mut meter = Meter::new(wanted.len(), wanted.iter().map(|(_, good)| size(good)).sum(), progress);
    let mut repaired = Vec::new();
    if wanted.is_empty() {
        return Ok(repaired);
    }
    let trouble = |error: &io::Error, path: &str| FilingFault::ArchiveTrouble {
        reason: io_words(error),
        path: archive.join(path),
    };
    let mut journal = Journal::open(disk, archive, std::mem::take(&mut opened.log))
        .map_err(|error| trouble(&error, crate::journal::JOURNAL_FILE))?;
    for (finding, good) in wanted {
        match repair_one(disk, archive, &beside.join(good), finding, &mut journal, &meter) {
            Ok(true) => repaired.push(finding.path.clone()),
            Ok(false) => return Err(FilingFault::CopyDiffers { from: good.clone() }),
            Err(CopyTrouble::Stopped) => return Err(FilingFault::PlanStopped),
            Err(CopyTrouble::Source(error) | CopyTrouble::Target(error)) => {
                return Err(trouble(&error, &finding.path));
            }
            Err(CopyTrouble::SourceChanged { .. }) => {
                return Err(FilingFault::CopyDiffers { from: good.clone() });
            }
        }
        meter.finished(size(good));
    }
    Ok(repaired)
}

/// Copies a file beside its name, reads it back, and gives it the name; `false` when it does not read as it should.
fn repair_one(
    disk: &dyn Disk,
    archive: &Path,
    good: &Path,
    finding: &Finding,
    journal: &mut Journal<'_>,
    meter: &Meter<'_>,
) -> Result<bool, CopyTrouble> {
    let stopped = || meter.stopped();
    let target = archive.join(&finding.path);
    let folder = target.parent().unwrap_or(archive);
    let part = disk::part_path(&target);
    let changed = disk.about(good).map_err(CopyTrouble::Source)?.changed;
    disk::make_folder(disk, folder)
        .and_then(|()| disk::free_reserved(disk, &target))
        .and_then(|()| disk::remove_if_there(disk, &part))
        .map_err(CopyTrouble::Target)?;
    let mut from = disk.open(good).map_err(CopyTrouble::Source)?;
    let mut file = disk.create_new(&part).map_err(CopyTrouble::Target)?;
    let poured = disk::pour(&mut *from, &mut |bytes| disk::write_all(&mut *file, bytes), &stopped);
    let lasting = poured.and_then(|(sha256, _)| {
        if let Some(changed) = changed {
            file.set_changed(changed).ok();
        }
        file.flush().map_err(CopyTrouble::Target)?;
        Ok(sha256)
    });
    drop(file);
    let read_back = lasting.and_then(|sha256| {
        let there = disk::hash_file(disk, &part, &stopped)?;
        Ok(sha256 == finding.sha256 && there == sha256)
    });
    if !matches!(read_back, Ok(true)) {
        disk.remove_file(&part).ok();
        return read_back;
    }
    let mut put = || -> io::Result<()> {
        let aside = put_aside_name(disk, archive, &finding.path)?;
        journal.add(&Entry::Repair {
            path: finding.path.clone(),
            aside: aside.clone(),
            sha256: finding.sha256.clone(),
            changed: changed.and_then(seconds),
        });
        journal.flush()?;
        if let Some(aside) = aside {
            disk.rename_new(&target, &archive.join(aside))?;
        }
        disk.rename_new(&part, &target)?;
        disk.flush_folder(folder)
    };
    put().map(|()| true).map_err(CopyTrouble::Target)
}

/// A free name for what stands at a path; `None` when nothing does.
fn put_aside_name(disk: &dyn Disk, archive: &Path, path: &str) -> io::Result<Option<String>> {
    if !disk::is_there(disk, &archive.join(path))? {
        return Ok(None);
    }
    // In the same folder: only so does a disk without a journal of its own never lose both names.
    let wanted = format!("{path}{ASIDE}");
    let taken = |name: &str| disk.about(&archive.join(name)).is_ok();
    Ok(Some(names::free(&wanted, taken)))
}

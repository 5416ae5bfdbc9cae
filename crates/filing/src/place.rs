//! The session's folder in the archive: which one it is, and what stands in it already.
//!
//! Goes in: a session and the archive. Comes out: a [`Place`]. It only reads.

use std::collections::{BTreeMap, BTreeSet};
use std::io::ErrorKind;
use std::path::Path;

use record::{Filed, Frame, Session};

use crate::disk::{self, Disk};
use crate::fault::io_words;
use crate::journal::Log;
use crate::{FilingFault, cut, names, store};

/// A session's folder in the archive, as it was found.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Place {
    /// Name of the folder in the archive; it may not be there yet.
    pub(crate) folder: String,
    /// The session as filed there before.
    pub(crate) previous: Option<Session>,
    /// Sizes of the files in it, by path in [folded](names::folded) form.
    sizes: BTreeMap<String, u64>,
    /// Folders of the archive whose session could not be read, in whole sentences.
    pub(crate) remarks: Vec<String>,
}

impl Place {
    /// Looks for the folder whose session shares most frames with this one, of equals the first by name; else
    /// chooses a new name. A new archive, or an empty one, is well.
    ///
    /// # Errors
    /// Refuses an archive that is a file or cannot be listed, and one with an unreadable session under the
    /// very name that this one would get.
    pub(crate) fn find(disk: &dyn Disk, session: &Session, archive: &Path) -> Result<Self, FilingFault> {
        if disk.about(archive).is_ok_and(|about| about.is_file) {
            return Err(FilingFault::ArchiveIsFile { path: archive.to_owned() });
        }
        let unusable = |e: std::io::Error| FilingFault::ArchiveUnusable {
            reason: io_words(&e),
            path: archive.to_owned(),
        };
        let entries = disk::entries_of(disk, archive).map_err(unusable)?;
        let log = Log::read(disk, archive)?;
        let mut best: Option<(usize, String, Session)> = None;
        let mut unread = Vec::new();
        for (name, _) in entries.iter().filter(|(_, is_folder)| *is_folder) {
            let text = archive.join(name).join(disk::SESSION_FILE);
            match disk.about(&text) {
                Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
                    continue;
                }
                about => _ = about.map_err(unusable)?,
            }
            match store::read_if_sharing(disk, &text, &session.frames) {
                Ok(None) => {}
                Ok(Some((shared, found))) => {
                    if shared > best.as_ref().map_or(0, |b| b.0) {
                        best = Some((shared, name.clone(), found));
                    }
                }
                Err(fault) => unread.push((name.clone(), fault.to_string())),
            }
        }
        let (folder, previous) = if let Some((_, name, found)) = best {
            (name, Some(found))
        } else {
            // What was only begun holds no file yet: the session is written first.
            let begun = log.open().map(|operation| operation.folder.as_str());
            let filled = |name: &str| {
                let path = archive.join(name);
                let is_begun = begun == Some(name) && disk.about(&path.join(disk::SESSION_FILE)).is_err();
                !is_begun && disk::is_filled_folder(disk, &path)
            };
            (new_folder(session, &entries, &unread, filled)?, None)
        };
        let mut place = Self { folder, previous, sizes: BTreeMap::new(), remarks: Vec::new() };
        place.remarks.extend(unread.into_iter().map(|(_, reason)| reason));
        place.look(disk, archive)?;
        place.take_in_what_was_cut(disk, archive, &log);
        Ok(place)
    }

    /// Counts as filed what a filing of this session that was cut short read back, named or not.
    fn take_in_what_was_cut(&mut self, disk: &dyn Disk, archive: &Path, log: &Log) {
        let cut = log.open().filter(|operation| operation.folder == self.folder);
        let (Some(operation), Some(previous)) = (cut, &mut self.previous) else { return };
        for (from, filed) in cut::standing(disk, archive, operation) {
            self.sizes.insert(names::folded(&filed.path), filed.bytes);
            previous.filed.insert(from, filed);
        }
    }

    /// Looks again at what stands in the folder.
    pub(crate) fn look(&mut self, disk: &dyn Disk, archive: &Path) -> Result<(), FilingFault> {
        let path = archive.join(&self.folder);
        match disk::files_below(disk, &path) {
            Ok(files) => {
                self.sizes = files.into_iter().map(|(p, bytes)| (names::folded(&p), bytes)).collect();
                Ok(())
            }
            Err(e) => Err(FilingFault::ArchiveUnusable { reason: io_words(&e), path }),
        }
    }

    /// Path of a file that was filed: inside the folder, or inside the archive when another session filed it.
    pub(crate) fn path_of(&self, filed: &Filed) -> String {
        if filed.session.is_none() { filed.path.clone() } else { filed.path_in_archive(&self.folder) }
    }

    /// Size of a file in the folder by its path there, compared without case; `None` when there is none.
    pub(crate) fn size_of(&self, path: &str) -> Option<u64> {
        self.sizes.get(&names::folded(path)).copied()
    }
}

/// A free name for a new folder. An empty folder under the name wanted, as a run cut short leaves it, is free.
fn new_folder(
    session: &Session,
    entries: &[(String, bool)],
    unread: &[(String, String)],
    filled: impl Fn(&str) -> bool,
) -> Result<String, FilingFault> {
    let wanted = names::folded(&names::free_folder(session, |_| false));
    if let Some((_, reason)) = unread.iter().find(|(name, _)| names::folded(name).starts_with(&wanted)) {
        return Err(FilingFault::SessionUnreadable { reason: reason.clone() });
    }
    let taken: BTreeSet<String> = entries
        .iter()
        .filter(|(name, is_folder)| !is_folder || filled(name))
        .map(|(name, _)| names::folded(name))
        .collect();
    Ok(names::free_folder(session, |name| taken.contains(&names::folded(name))))
}

/// What a session says of where its files stand, asked for frames of this or another reading of the card.
pub(crate) struct Ledger<'a> {
    session: &'a Session,
    /// The frame last read under each path on the card, and how many frames were.
    owners: BTreeMap<&'a str, (&'a Frame, usize)>,
}

impl<'a> Ledger<'a> {
    pub(crate) fn of(session: &'a Session) -> Self {
        let mut owners: BTreeMap<&str, (&Frame, usize)> = BTreeMap::new();
        for frame in &session.frames {
            for file in &frame.files {
                let entry = owners.entry(&file.path).or_insert((frame, 0));
                entry.1 += 1;
                // Ids are given in order of first reading.
                if frame.id > entry.0.id {
                    entry.0 = frame;
                }
            }
        }
        Self { session, owners }
    }

    /// Whether a later frame of the session came from this frame's place on the card.
    pub(crate) fn is_replaced(&self, frame: &Frame, path: &str) -> bool {
        self.owners.get(path).is_some_and(|(newest, _)| newest.id != frame.id)
    }

    /// Where a file of a frame was filed. `None` when it was not, or when several exposures came from that
    /// place on the card one after the other, so that it cannot be said which of them was filed.
    pub(crate) fn filed(&self, frame: &Frame, path: &str) -> Option<&'a Filed> {
        let (owner, frames) = self.owners.get(path)?;
        let filed = self.session.filed.get(path)?;
        let sure = *frames == 1 && owner.same_exposure(frame) && disk::is_plain_relative(&filed.path);
        sure.then_some(filed)
    }
}

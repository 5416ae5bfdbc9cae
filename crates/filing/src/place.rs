//! The session's folder in the archive: which one it is, and what stands in it already.
//!
//! Goes in: a session and the archive. Comes out: a [`Place`]. It only reads.

use std::collections::{BTreeMap, BTreeSet};
use std::io::ErrorKind;
use std::path::Path;

use record::{Filed, Frame, Session};

use crate::disk::{self, Disk};
use crate::journal::{Log, Operation};
use crate::lists::own_path;
use crate::manifest::{self, MANIFEST_FILE};
use crate::{Altered, FilingFault, cut, moves, names, sidecar, store};

/// A session's folder in the archive, as it was found.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Place {
    /// Name of the folder in the archive; it may not be there yet.
    pub(crate) folder: String,
    /// Why that is not just what a person called the session; of a new folder.
    pub(crate) altered: Option<Altered>,
    /// The session as filed there before.
    pub(crate) previous: Option<Session>,
    /// SHA-256 of the sidecars that Endleaf wrote or listed there, by path: what stands otherwise was changed by another.
    pub(crate) sidecars: BTreeMap<String, BTreeSet<String>>,
    /// What its `session.ron` said when it was looked at, apart from the account; `None` where there was none.
    seen: Option<String>,
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
        let unusable = FilingFault::unusable(archive);
        let mut entries = disk::entries_of(disk, archive).map_err(&unusable)?;
        entries.retain(|(name, _)| !record::is_the_systems(name));
        let log = Log::read(disk, archive)?;
        let mut best: Option<(usize, String, Session)> = None;
        let mut unread = Vec::new();
        for (name, _) in entries.iter().filter(|(_, is_folder)| *is_folder) {
            let text = archive.join(name).join(disk::SESSION_FILE);
            match disk.about(&text) {
                Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
                    continue;
                }
                Err(error) if error.kind() == ErrorKind::PermissionDenied => {
                    unread.push((name.clone(), closed_words(&archive.join(name))));
                    continue;
                }
                about => _ = about.map_err(&unusable)?,
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
        let ((folder, altered), previous) = if let Some((_, name, found)) = best {
            ((name, None), Some(found))
        } else {
            let filled = |name: &str| is_filled(disk, archive, name, &log);
            (new_folder(session, &entries, &unread, filled)?, None)
        };
        let seen = previous.as_ref().map(but_account);
        let (sidecars, sizes, remarks) = (BTreeMap::new(), BTreeMap::new(), Vec::new());
        let mut place = Self { folder, altered, previous, sidecars, seen, sizes, remarks };
        place.remarks.extend(unread.into_iter().map(|(_, reason)| reason));
        place.look(disk, archive)?;
        place.take_in_what_was_cut(disk, archive, &log);
        Ok(place)
    }

    /// Refuses when another card was filed into the folder since it was looked at, or other words; to be asked once the archive is held.
    ///
    /// # Errors
    /// [`FilingFault::PlanOld`].
    pub(crate) fn refuse_if_changed(
        &self,
        disk: &dyn Disk,
        session: &Session,
        archive: &Path,
        log: &Log,
    ) -> Result<(), FilingFault> {
        let path = archive.join(&self.folder);
        let text = disk::read_text(disk, &path.join(disk::SESSION_FILE)).ok();
        let now = text.and_then(|text| record::session_from_text(&text).ok());
        let same = match (&self.seen, now) {
            (Some(seen), now) => now.is_some_and(|now| but_account(&now) == *seen),
            // The very plan may have been carried out before.
            (None, Some(now)) => now.overlap(&session.frames) == now.frames.len(),
            (None, None) => !is_filled(disk, archive, &self.folder, log),
        };
        if same { Ok(()) } else { Err(FilingFault::PlanOld { path }) }
    }

    /// Counts as filed what a filing of this session that was cut short read back, named or not.
    fn take_in_what_was_cut(&mut self, disk: &dyn Disk, archive: &Path, log: &Log) {
        let cut = log.open().filter(|operation| operation.folder == self.folder);
        let Some(operation) = cut else { return };
        for (path, replaced) in operation.texts.iter().filter(|(path, _)| sidecar::is_sidecar(path)) {
            if let Some(path) = own_path(&self.folder, path) {
                let known = self.sidecars.entry(path.to_owned()).or_default();
                known.extend(replaced.sha256s.iter().cloned());
            }
        }
        self.take_in_moves(disk, archive, operation);
        let Some(previous) = &mut self.previous else { return };
        for (from, filed) in cut::standing(disk, archive, operation) {
            self.sizes.insert(names::folded(&filed.path), filed.bytes);
            previous.filed.insert(from, filed);
        }
    }

    /// Counts files as under the names that a filing that was cut short is going to give them, or, when it was being
    /// taken back, is going to give back.
    fn take_in_moves(&mut self, disk: &dyn Disk, archive: &Path, operation: &Operation) {
        let moved: Vec<(String, String, String)> = operation
            .rounds
            .iter()
            .flat_map(|round| &round.files)
            .filter_map(|moved| {
                let (from, to) = moved.ends(operation.undoing);
                let own = |path: &str| Some(own_path(&self.folder, path)?.to_owned());
                Some((own(from)?, own(to)?, moved.sha256.clone()))
            })
            .collect();
        for (from, _, _) in &moved {
            self.sizes.remove(&names::folded(from));
        }
        for (from, to, sha256) in moved {
            let folder = archive.join(&self.folder);
            let places = [moves::beside(&folder.join(&to)), folder.join(&to), folder.join(&from)];
            let filed = self.previous.iter().flat_map(|previous| previous.filed.values());
            // Where two files change names, what stands under a name may still be the other.
            let known = filed.into_iter().find(|filed| filed.sha256 == sha256).map(|filed| filed.bytes);
            let is_there = places.iter().find_map(|path| disk::size_of(disk, path));
            if let Some(bytes) = is_there.map(|found| known.unwrap_or(found)) {
                self.sizes.insert(names::folded(&to), bytes);
            }
            if sidecar::is_sidecar(&to) {
                self.sidecars.entry(to).or_default().insert(sha256);
            }
        }
        if let Some(previous) = &mut self.previous {
            cut::follow_moves(&mut previous.filed, &self.folder, operation);
        }
    }

    /// Looks again at what stands in the folder.
    pub(crate) fn look(&mut self, disk: &dyn Disk, archive: &Path) -> Result<(), FilingFault> {
        let path = archive.join(&self.folder);
        match disk::files_below(disk, &path) {
            Ok(files) => {
                let list = path.join(MANIFEST_FILE);
                let list = disk::read_text_if_there(disk, &list).map_err(FilingFault::unusable(&list))?;
                let list = list.unwrap_or_default();
                for (path, sha256) in manifest::from_text(&list) {
                    if sidecar::is_sidecar(&path) {
                        self.sidecars.entry(path).or_default().insert(sha256);
                    }
                }
                self.sizes = files.into_iter().map(|(p, bytes)| (names::folded(&p), bytes)).collect();
                Ok(())
            }
            Err(error) => Err(FilingFault::unusable(&path)(error)),
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

/// Whether a folder of the archive holds anything. What was only begun holds no file yet: the session is written first.
fn is_filled(disk: &dyn Disk, archive: &Path, name: &str, log: &Log) -> bool {
    let path = archive.join(name);
    let begun = log.open().is_some_and(|operation| operation.folder == name);
    let is_begun = begun && disk.about(&path.join(disk::SESSION_FILE)).is_err();
    !is_begun && disk::is_filled_folder(disk, &path)
}

/// A session as text, without what became of the card when it was filed last.
fn but_account(session: &Session) -> String {
    record::session_to_text(&Session { account: None, ..session.clone() })
}

/// Of a folder that this person may not look into.
fn closed_words(folder: &Path) -> String {
    format!(
        "A folder of the archive may not be looked into, so what it holds is not known. Make it readable if it is yours: {}",
        folder.display()
    )
}

/// A free name for a new folder. An empty folder under the name wanted, as a run cut short leaves it, is free.
fn new_folder(
    session: &Session,
    entries: &[(String, bool)],
    unread: &[(String, String)],
    filled: impl Fn(&str) -> bool,
) -> Result<(String, Option<Altered>), FilingFault> {
    let wanted = names::folded(&names::free_folder(session, |_| false).0);
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

//! A filing that was cut short: what of it stands, and bringing that to an end.
//!
//! Goes in: a filing as the journal tells it. Comes out: every file that was read back under its name, nothing of the
//! others, and the lists saying so.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use record::Filed;

use crate::disk::{self, Disk, SESSION_FILE};
use crate::journal::{Copied, Entry, Journal, Operation, time_words};
use crate::lists::{self, Here, in_folder, own_path};
use crate::manifest::MANIFEST_FILE;
use crate::moves::{self, Follower};
use crate::receipt::{self, RECEIPT_FILE};
use crate::sidecar;

/// What a filing copied and read back and is still there, named or about to be: path on the card, and where.
pub(crate) fn standing(disk: &dyn Disk, archive: &Path, operation: &Operation) -> Vec<(String, Filed)> {
    let stands = |(to, copied): (&String, &Copied)| {
        let target = archive.join(to);
        let sizes = [disk::part_path(&target), target].map(|path| disk::size_of(disk, &path));
        let path = own_path(&operation.folder, to)?.to_owned();
        let is_there = disk::is_plain_relative(&path) && sizes.contains(&Some(copied.bytes));
        let sha256 = copied.sha256.clone().filter(|_| is_there)?;
        Some((copied.from.clone(), Filed { path, bytes: copied.bytes, sha256, session: None }))
    };
    operation.copies.iter().filter_map(stands).collect()
}

/// Has records of what is filed in a folder follow what a filing moved there.
pub(crate) fn follow_moves(here: &mut Here, folder: &str, operation: &Operation) {
    let follower = Follower::of(operation);
    for filed in here.values_mut().filter(|filed| filed.session.is_none()) {
        let path = follower.path(&in_folder(folder, &filed.path), &filed.sha256);
        if let Some(path) = own_path(folder, &path) {
            path.clone_into(&mut filed.path);
        }
    }
}

/// Ends moves, gives what was read back its name, and takes away what was not.
///
/// # Errors
/// As the system says; trying again goes on.
pub(crate) fn bring_to_names(disk: &dyn Disk, archive: &Path, journal: &mut Journal<'_>) -> io::Result<()> {
    // As it is now: texts that moved back are no longer told of then.
    let Some(operation) = journal.operation().cloned() else { return Ok(()) };
    moves::finish(disk, archive, journal)?;
    let mut folders: BTreeSet<PathBuf> = BTreeSet::new();
    for (to, copied) in operation.copies.iter().filter(|(to, _)| disk::is_plain_relative(to)) {
        let target = archive.join(to);
        let part = disk::part_path(&target);
        // Also a name that was given may not be lasting yet.
        folders.extend(target.parent().map(Path::to_owned));
        if disk.about(&part).is_err() {
            continue;
        }
        disk::free_reserved(disk, &target)?;
        if copied.sha256.is_none() {
            disk.remove_file(&part)?;
            continue;
        }
        match disk.rename_new(&part, &target) {
            // Another has taken the name: it is copied again, under a name of its own.
            Err(error) if error.kind() == ErrorKind::AlreadyExists => disk.remove_file(&part)?,
            done => done?,
        }
    }
    for path in operation.texts.keys().filter(|path| disk::is_plain_relative(path)) {
        disk::remove_if_there(disk, &disk::part_path(&archive.join(path)))?;
    }
    folders.iter().filter(|f| disk::is_folder(disk, f)).try_for_each(|f| disk.flush_folder(f))
}

/// Sidecars that a filing wrote and that stand there: SHA-256 by path in its folder.
fn sidecars_of(disk: &dyn Disk, archive: &Path, operation: &Operation) -> BTreeMap<String, String> {
    let texts = operation.texts.iter().filter(|(path, _)| sidecar::is_sidecar(path));
    texts
        .filter_map(|(path, replaced)| {
            let own = own_path(&operation.folder, path)?.to_owned();
            let sha256 = disk::hash_bytes(&disk::read_bytes(disk, &archive.join(path)).ok()?);
            replaced.sha256s.contains(&sha256).then_some((own, sha256))
        })
        .collect()
}

/// Ends a filing of another session as it is: what stands is listed and recorded in its folder.
///
/// # Errors
/// As the system says; trying again goes on.
pub(crate) fn close(disk: &dyn Disk, archive: &Path, journal: &mut Journal<'_>) -> io::Result<()> {
    let Some(operation) = journal.operation().cloned() else { return Ok(()) };
    let folder = &operation.folder;
    let moved = lists::moved_away(&operation);
    let text = disk::read_text(disk, &archive.join(in_folder(folder, SESSION_FILE)));
    if let Some(session) = text.ok().and_then(|text| record::session_from_text(&text).ok()) {
        let mut here = session.filed.clone();
        follow_moves(&mut here, folder, &operation);
        let sidecars = sidecars_of(disk, archive, &operation);
        let standing = standing(disk, archive, &operation);
        // What was taken away again is no longer filed.
        here.retain(|_, filed| {
            let to = in_folder(folder, &filed.path);
            filed.session.is_some()
                || !operation.copies.contains_key(&to)
                || disk.about(&archive.join(to)).is_ok()
        });
        here.extend(standing);
        let texts = [
            (MANIFEST_FILE, lists::manifest_text(disk, &archive.join(folder), &here, &sidecars, &moved)?),
            (SESSION_FILE, lists::session_text(&session, &here, None)),
            (RECEIPT_FILE, receipt::unfinished(&session.name)),
        ];
        lists::put_all(disk, archive, journal, folder, texts).map_err(|(error, _)| error)?;
    }
    for path in operation.folders.iter().rev() {
        // Only those that nothing came into.
        disk.remove_folder(&archive.join(path)).ok();
    }
    journal.add(&Entry::End { at: time_words(disk), whole: false });
    journal.flush()
}

//! Endleaf's own texts beside what is filed: the list of checksums and the session.
//!
//! Goes in: what is filed in a session's folder, and the session. Comes out: texts that stand whole, the one or the
//! other, with the journal telling of each beforehand and the text from before the filing kept until the next one is
//! over.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::Path;

use record::{Account, Filed, Session};

use crate::disk::{self, Disk, SESSION_FILE, Text};
use crate::journal::{Entry, Journal, Operation};
use crate::manifest::{self, MANIFEST_FILE};

/// Folder of the archive in which texts from before the last filing are kept.
pub(crate) const BEFORE_FOLDER: &str = "endleaf-before";

/// What is filed in a folder, by path on the card.
pub(crate) type Here = BTreeMap<String, Filed>;

/// Texts that the journal tells of and that are going to be put.
#[derive(Default)]
pub(crate) struct Announced {
    pub(crate) texts: Vec<Text>,
    /// Whether one from before the filing is kept of any.
    keeps: bool,
}

impl Announced {
    /// Has the journal tell of a text that is going to be put at a path of the archive, and keeps the one from before the
    /// filing; not when the text stands there already. A filing must be open in the journal.
    pub(crate) fn add(
        &mut self,
        disk: &dyn Disk,
        archive: &Path,
        journal: &mut Journal<'_>,
        path: &str,
        text: String,
    ) -> io::Result<()> {
        let target = archive.join(path);
        let old = match disk::read_bytes(disk, &target) {
            Ok(old) if old == text.as_bytes() => return Ok(()),
            Ok(old) => Some(old),
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(error),
        };
        let operation = journal.operation().expect("a filing is open");
        let before = match (operation.texts.get(path), old) {
            (Some(replaced), _) => replaced.before.clone(),
            (None, Some(old)) => {
                self.keeps = true;
                Some(keep(disk, archive, operation.n, path, old)?)
            }
            (None, None) => None,
        };
        journal.add(&Entry::Text { path: path.to_owned(), before, sha256: disk::hash_text(&text) });
        self.texts.push(Text { path: target, bytes: text.into_bytes(), changed: None });
        Ok(())
    }

    /// Makes lasting what is kept and what the journal tells: then the texts may be put.
    pub(crate) fn flush(&self, disk: &dyn Disk, archive: &Path, journal: &mut Journal<'_>) -> io::Result<()> {
        if self.keeps {
            disk.flush_folder(&archive.join(BEFORE_FOLDER))?;
        }
        journal.flush()
    }
}

/// Keeps a text as it was before a filing, with its time; gives where. Its name lasts once the folder is flushed.
fn keep(disk: &dyn Disk, archive: &Path, n: u32, path: &str, old: Vec<u8>) -> io::Result<String> {
    disk::make_folder(disk, &archive.join(BEFORE_FOLDER))?;
    // Sidecars in several folders may have one name.
    let (above, name) = path.rsplit_once('/').unwrap_or(("", path));
    let before = if above.contains('/') {
        format!("{BEFORE_FOLDER}/{n}-{}-{name}", &disk::hash_text(above)[..8])
    } else {
        format!("{BEFORE_FOLDER}/{n}-{name}")
    };
    let changed = disk.about(&archive.join(path))?.changed;
    disk::put_texts(disk, &[Text { path: archive.join(&before), bytes: old, changed }])?;
    Ok(before)
}

/// Takes away all that was kept.
pub(crate) fn drop_all(disk: &dyn Disk, archive: &Path) -> io::Result<()> {
    drop_older(disk, archive, u32::MAX)
}

/// Takes away what was kept for filings before this one.
pub(crate) fn drop_older(disk: &dyn Disk, archive: &Path, n: u32) -> io::Result<()> {
    let folder = archive.join(BEFORE_FOLDER);
    let own = format!("{n}-");
    let mut left = 0;
    for (name, _) in disk::entries_of(disk, &folder)? {
        if name.starts_with(&own) {
            left += 1;
        } else {
            disk.remove_file(&folder.join(name))?;
        }
    }
    if left == 0 && disk::is_folder(disk, &folder) {
        disk.remove_folder(&folder)?;
    }
    Ok(())
}

/// The session as it stands filed in a folder.
pub(crate) fn session_text(session: &Session, here: &Here, account: Option<Account>) -> String {
    record::session_to_text(&Session { filed: here.clone(), account, ..session.clone() })
}

/// The list of checksums of a folder, for what is filed there and the sidecars beside it. Of the old list stays what
/// was not `moved` away.
pub(crate) fn manifest_text(
    disk: &dyn Disk,
    folder: &Path,
    here: &Here,
    sidecars: &BTreeMap<String, String>,
    moved: &BTreeSet<String>,
) -> io::Result<String> {
    let old = disk::read_text_if_there(disk, &folder.join(MANIFEST_FILE))?.unwrap_or_default();
    let mut old = manifest::from_text(&old);
    let is_there = |file: &str| disk::size_of(disk, &folder.join(file)).is_some();
    old.retain(|path, _| !moved.contains(path));
    let own = here.values().filter(|filed| filed.session.is_none());
    let mut all = manifest::renewed(old, own, is_there);
    all.extend(sidecars.iter().map(|(path, sha256)| (path.clone(), sha256.clone())));
    Ok(manifest::to_text(&all))
}

/// Paths in its folder that a filing moved files away from. Others may have come there since.
pub(crate) fn moved_away(operation: &Operation) -> BTreeSet<String> {
    let moved = operation.rounds.iter().flat_map(|round| &round.files);
    moved.filter_map(|moved| Some(own_path(&operation.folder, &moved.from)?.to_owned())).collect()
}

/// Path in the archive of a text in a session's folder.
pub(crate) fn in_folder(folder: &str, name: &str) -> String {
    format!("{folder}/{name}")
}

/// Path in a session's folder of what lies at a path in the archive; `None` outside it.
pub(crate) fn own_path<'p>(folder: &str, path: &'p str) -> Option<&'p str> {
    path.strip_prefix(folder)?.strip_prefix('/')
}

/// Puts texts into a session's folder, by their names there.
pub(crate) fn put_all(
    disk: &dyn Disk,
    archive: &Path,
    journal: &mut Journal<'_>,
    folder: &str,
    new: [(&'static str, String); 3],
) -> Result<(), (io::Error, &'static str)> {
    let mut announced = Announced::default();
    for (name, text) in new {
        let added = announced.add(disk, archive, journal, &in_folder(folder, name), text);
        added.map_err(|error| (error, name))?;
    }
    if announced.texts.is_empty() {
        return Ok(());
    }
    let put = announced.flush(disk, archive, journal);
    put.and_then(|()| disk::replace_texts(disk, &announced.texts)).map_err(|error| (error, SESSION_FILE))
}

//! What stands below a folder: every file with its size.
//!
//! Goes in: a folder. Comes out: its files by path, and the folders that cannot be listed. It only looks.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::Path;

use crate::disk::{self, Disk};
use crate::names;

/// What stands below a folder, but for what the system keeps at the root of a disk.
pub(crate) struct Tree {
    /// Sizes of all files, by path.
    pub(crate) files: BTreeMap<String, u64>,
    /// Folders that cannot be listed.
    pub(crate) closed: BTreeSet<String>,
}

impl Tree {
    pub(crate) fn of(disk: &dyn Disk, folder: &Path) -> io::Result<Self> {
        let mut tree = Self { files: BTreeMap::new(), closed: BTreeSet::new() };
        let mut root = disk.entries(folder)?;
        root.retain(|(name, _)| !record::is_the_systems(name));
        let mut open = vec![(String::new(), root)];
        while let Some((above, entries)) = open.pop() {
            for (name, is_folder) in entries {
                let path = if above.is_empty() { name } else { format!("{above}/{name}") };
                let there = folder.join(&path);
                if !is_folder {
                    tree.files.insert(path, disk::size_of(disk, &there).unwrap_or(0));
                } else if let Ok(entries) = disk.entries(&there) {
                    open.push((path, entries));
                } else {
                    tree.closed.insert(path);
                }
            }
        }
        Ok(tree)
    }

    /// Those of these paths that stand there, each with its path as the folder spells it and its size. A disk that knows no
    /// case, or one form of accents, may list a file other than it was named.
    pub(crate) fn standing<'t, 'p>(
        &'t self,
        disk: &dyn Disk,
        folder: &Path,
        paths: impl Iterator<Item = &'p String>,
    ) -> BTreeMap<&'p String, (&'t String, &'t u64)> {
        let spellings: BTreeMap<String, &String> =
            self.files.keys().map(|path| (names::folded(path), path)).collect();
        let listed = |path: &String| {
            let other = || {
                let spelt = spellings.get(&names::folded(path))?;
                disk.about(&folder.join(path)).is_ok().then(|| self.files.get_key_value(*spelt)).flatten()
            };
            self.files.get_key_value(path).or_else(other)
        };
        paths.filter_map(|path| Some((path, listed(path)?))).collect()
    }
}

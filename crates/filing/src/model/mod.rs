//! A disk in memory for tests, of which any operation can fail and which can lose its power.
//!
//! It keeps apart what is so now from what lasts: bytes last when their file was flushed, names when their folder was.
//! Reading gives what is kept in memory until that is forgotten, then what is on the medium.

#![allow(clippy::unwrap_used, reason = "only tests use this")]

mod audit_tests;
mod bag_reading_tests;
mod bag_tests;
pub(crate) mod bench;
mod full_tests;
mod lying_tests;
mod moving_tests;
mod operations;
mod property_tests;
mod tests;
mod two_tests;
mod undo_tests;

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard};
use std::time::{Duration, SystemTime};

/// What a file or folder is known by, whatever its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Node {
    File(usize),
    Folder(usize),
}

#[derive(Debug, Clone)]
struct FileNode {
    now: Vec<u8>,
    /// What lasts; `None` before the first flush.
    lasting: Vec<u8>,
    changed: SystemTime,
    changed_lasting: SystemTime,
    /// Whether memory holds more or other than the medium.
    dirty: bool,
    cached: bool,
}

#[derive(Debug, Clone, Default)]
struct Folder {
    now: BTreeMap<String, Node>,
    lasting: BTreeMap<String, Node>,
}

/// What befalls the disk, by the number of the operation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a way of its own that disks have")]
pub(crate) struct Fate {
    /// From this operation on nothing is done any more.
    pub(crate) ends_at: Option<usize>,
    /// This operation alone fails so.
    pub(crate) fails_at: Option<(usize, ErrorKind)>,
    /// This flush, counted apart, is left out and said to be done.
    pub(crate) skips_flush: Option<usize>,
    /// Bytes that the archive may hold.
    pub(crate) room_bytes: Option<usize>,
    /// Bytes that one write or read moves at most.
    pub(crate) moves_bytes: Option<usize>,
    /// The first part that is flushed is not what was written, on the medium.
    pub(crate) spoils_a_part: bool,
    /// This operation, where it reads a picture outside the card, gives another first byte than there is.
    pub(crate) lies_at: Option<usize>,
    /// Times of last change cannot be set.
    pub(crate) keeps_no_times: bool,
    /// Nothing in a folder of this name can be looked at, as in `lost+found` on a disk of one's own.
    pub(crate) closes: Option<&'static str>,
    /// A file gets a new name in two operations: an empty one takes the name, and is replaced.
    pub(crate) reserves: bool,
    /// Names are the same in whatever case, and keep the one they were made with.
    pub(crate) folds_case: bool,
    /// Operations from this one on find nothing below the archive, as when its disk was pulled out.
    pub(crate) archive_gone_at: Option<usize>,
}

/// What of the time since the last flushes is left after the power went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum After {
    /// Only the program ended: everything.
    Kill,
    /// Nothing that was not flushed.
    Power,
    /// Names but no bytes.
    PowerNamesKept,
    /// Bytes but no names.
    PowerBytesKept,
    /// Names, and half of the bytes added.
    PowerTorn,
    /// Names in the folders of a session's own, no others, and no bytes.
    PowerInnerNamesKept,
}

impl After {
    pub(crate) const ALL: [Self; 6] = [
        Self::Kill,
        Self::Power,
        Self::PowerNamesKept,
        Self::PowerBytesKept,
        Self::PowerTorn,
        Self::PowerInnerNamesKept,
    ];
}

#[derive(Debug, Clone)]
struct State {
    files: Vec<FileNode>,
    folders: Vec<Folder>,
    fate: Fate,
    calls: usize,
    /// What was flushed, in order, each with the number of its operation.
    flushed: Vec<(usize, PathBuf)>,
    ended: bool,
    spoilt: bool,
}

/// The disk.
#[derive(Debug)]
pub(crate) struct ModelDisk(Mutex<State>);

const EPOCH_SECS: u64 = 1_780_000_000;

impl ModelDisk {
    pub(crate) fn new() -> Self {
        Self(Mutex::new(State {
            files: Vec::new(),
            folders: vec![Folder::default()],
            fate: Fate::default(),
            calls: 0,
            flushed: Vec::new(),
            ended: false,
            spoilt: false,
        }))
    }

    /// Puts a file there, lasting, with its folders.
    pub(crate) fn put(&self, path: &Path, bytes: &[u8]) {
        let mut state = self.0.lock().unwrap();
        let mut folder = 0;
        for part in parts(path.parent().unwrap()) {
            if let Some(Node::Folder(id)) = state.folders[folder].now.get(&part) {
                folder = *id;
                continue;
            }
            let id = state.folders.len();
            state.folders.push(Folder::default());
            state.folders[folder].now.insert(part.clone(), Node::Folder(id));
            state.folders[folder].lasting.insert(part, Node::Folder(id));
            folder = id;
        }
        let changed = SystemTime::UNIX_EPOCH + Duration::from_secs(EPOCH_SECS - 5000);
        state.files.push(FileNode {
            now: bytes.to_vec(),
            lasting: bytes.to_vec(),
            changed,
            changed_lasting: changed,
            dirty: false,
            cached: true,
        });
        let node = Node::File(state.files.len() - 1);
        let name = parts(path).pop().unwrap();
        state.folders[folder].now.insert(name.clone(), node);
        state.folders[folder].lasting.insert(name, node);
    }

    /// Takes a file away for good.
    pub(crate) fn take(&self, path: &Path) {
        let mut state = self.0.lock().unwrap();
        let (folder, name) = state.place(path).unwrap();
        state.folders[folder].now.remove(&name).unwrap();
        state.folders[folder].lasting.remove(&name);
    }

    /// The same disk with another fate, counting from the start.
    pub(crate) fn with(&self, fate: Fate) -> Self {
        let mut state = self.0.lock().unwrap().clone();
        (state.fate, state.calls, state.flushed, state.ended) = (fate, 0, Vec::new(), false);
        Self(Mutex::new(state))
    }

    /// Operations so far.
    pub(crate) fn calls(&self) -> usize {
        self.0.lock().unwrap().calls
    }

    /// What was flushed so far, in order, each with the number of its operation.
    pub(crate) fn flushed(&self) -> Vec<(usize, PathBuf)> {
        self.0.lock().unwrap().flushed.clone()
    }

    /// What is left when everything ends here.
    pub(crate) fn after(&self, after: After) -> Self {
        let new = self.with(Fate::default());
        let mut state = new.0.lock().unwrap();
        let inner = state.inner_folders();
        for (id, folder) in state.folders.iter_mut().enumerate() {
            match after {
                After::PowerInnerNamesKept if !inner.contains(&id) => folder.now = folder.lasting.clone(),
                After::Power | After::PowerBytesKept => folder.now = folder.lasting.clone(),
                _ => folder.lasting = folder.now.clone(),
            }
        }
        for file in &mut state.files {
            match after {
                After::Kill | After::PowerBytesKept => {}
                After::PowerTorn if file.now.starts_with(&file.lasting) => {
                    let half = usize::midpoint(file.lasting.len(), file.now.len());
                    file.now.truncate(half);
                }
                _ => file.now = file.lasting.clone(),
            }
            if after != After::Kill {
                if file.dirty {
                    file.changed = file.changed_lasting;
                }
                file.lasting = file.now.clone();
                (file.changed_lasting, file.dirty) = (file.changed, false);
            }
        }
        drop(state);
        new
    }

    /// All files below a folder, with their times.
    pub(crate) fn tree(&self, folder: &Path) -> BTreeMap<String, (Vec<u8>, SystemTime)> {
        let state = self.0.lock().unwrap();
        let mut files = BTreeMap::new();
        let Ok(Node::Folder(id)) = state.find(folder) else { return files };
        let mut open = vec![(String::new(), id)];
        while let Some((path, id)) = open.pop() {
            for (name, node) in &state.folders[id].now {
                let path = if path.is_empty() { name.clone() } else { format!("{path}/{name}") };
                match node {
                    Node::Folder(id) => open.push((path, *id)),
                    Node::File(id) => {
                        let file = &state.files[*id];
                        files.insert(path, (file.now.clone(), file.changed));
                    }
                }
            }
        }
        files
    }

    fn call(&self, path: &Path) -> io::Result<MutexGuard<'_, State>> {
        let mut state = self.0.lock().unwrap();
        state.calls += 1;
        let n = state.calls;
        state.ended |= state.fate.ends_at == Some(n);
        if state.ended {
            return Err(io::Error::other("nothing is done any more"));
        }
        if let Some((_, kind)) = state.fate.fails_at.filter(|(at, _)| *at == n) {
            return Err(kind.into());
        }
        if state.fate.archive_gone_at.is_some_and(|at| n >= at) && path.starts_with("/archive") {
            return Err(io::Error::from(ErrorKind::NotFound));
        }
        if state
            .fate
            .closes
            .is_some_and(|name| path.parent().is_some_and(|p| p.iter().any(|part| part == name)))
        {
            return Err(ErrorKind::PermissionDenied.into());
        }
        Ok(state)
    }
}

fn parts(path: &Path) -> Vec<String> {
    path.iter().map(|p| p.to_str().unwrap().to_owned()).filter(|p| p != "/").collect()
}

impl State {
    fn find(&self, path: &Path) -> io::Result<Node> {
        let mut node = Node::Folder(0);
        for part in parts(path) {
            let Node::Folder(id) = node else { return Err(ErrorKind::NotADirectory.into()) };
            node = *self.folders[id].now.get(&self.stored(id, part)).ok_or(ErrorKind::NotFound)?;
        }
        Ok(node)
    }

    /// The name that a folder has for a name.
    fn stored(&self, folder: usize, name: String) -> String {
        let is_it = |stored: &&String| self.fate.folds_case && stored.to_lowercase() == name.to_lowercase();
        self.folders[folder].now.keys().find(is_it).cloned().unwrap_or(name)
    }

    fn file(&self, path: &Path) -> io::Result<usize> {
        match self.find(path)? {
            Node::File(id) => Ok(id),
            Node::Folder(_) => Err(ErrorKind::IsADirectory.into()),
        }
    }

    /// The folders within those of sessions.
    fn inner_folders(&self) -> BTreeSet<usize> {
        let below = |id: &usize| -> Vec<usize> {
            let folders = |node: &Node| if let Node::Folder(id) = node { Some(*id) } else { None };
            self.folders[*id].now.values().filter_map(folders).collect()
        };
        let Ok(Node::Folder(archive)) = self.find(Path::new("/archive")) else { return BTreeSet::new() };
        below(&archive).iter().flat_map(below).collect()
    }

    /// The folder that holds a path, and the name there.
    fn place(&self, path: &Path) -> io::Result<(usize, String)> {
        match self.find(path.parent().unwrap())? {
            Node::Folder(id) => Ok((id, self.stored(id, parts(path).pop().unwrap()))),
            Node::File(_) => Err(ErrorKind::NotADirectory.into()),
        }
    }

    fn create(&mut self, path: &Path) -> io::Result<usize> {
        let (folder, name) = self.place(path)?;
        let changed = SystemTime::UNIX_EPOCH + Duration::from_secs(EPOCH_SECS);
        self.files.push(FileNode {
            now: Vec::new(),
            lasting: Vec::new(),
            changed,
            changed_lasting: changed,
            dirty: true,
            cached: true,
        });
        let id = self.files.len() - 1;
        self.folders[folder].now.insert(name, Node::File(id));
        Ok(id)
    }

    /// Bytes of all files below the archive.
    fn used(&self) -> usize {
        let Ok(Node::Folder(archive)) = self.find(Path::new("/archive")) else { return 0 };
        let (mut open, mut used) = (vec![archive], 0);
        while let Some(id) = open.pop() {
            for node in self.folders[id].now.values() {
                match node {
                    Node::Folder(id) => open.push(*id),
                    Node::File(id) => used += self.files[*id].now.len(),
                }
            }
        }
        used
    }

    fn skips(&mut self, path: &Path) -> bool {
        self.flushed.push((self.calls, path.to_owned()));
        self.fate.skips_flush == Some(self.flushed.len())
    }
}

//! The operations of the model.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use super::{EPOCH_SECS, Folder, ModelDisk, Node};
use crate::disk::{About, Disk, Handle, Held};

/// A file of the model, open.
struct Open<'d> {
    disk: &'d ModelDisk,
    path: PathBuf,
    id: usize,
    at: usize,
}

impl Disk for ModelDisk {
    fn open(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>> {
        let id = self.call(path)?.file(path)?;
        Ok(Box::new(Open { disk: self, path: path.to_owned(), id, at: 0 }))
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>> {
        let mut state = self.call(path)?;
        if state.find(path).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        let id = state.create(path)?;
        Ok(Box::new(Open { disk: self, path: path.to_owned(), id, at: 0 }))
    }

    fn append(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>> {
        let mut state = self.call(path)?;
        let id = state.file(path).or_else(|_| state.create(path))?;
        let at = state.files[id].now.len();
        Ok(Box::new(Open { disk: self, path: path.to_owned(), id, at }))
    }

    fn about(&self, path: &Path) -> io::Result<About> {
        let state = self.call(path)?;
        Ok(match state.find(path)? {
            Node::Folder(_) => About { bytes: 0, is_file: false, is_folder: true, changed: None },
            Node::File(id) => {
                let file = &state.files[id];
                let bytes = file.now.len() as u64;
                About { bytes, is_file: true, is_folder: false, changed: Some(file.changed) }
            }
        })
    }

    fn entries(&self, folder: &Path) -> io::Result<Vec<(String, bool)>> {
        // Listing looks into the folder.
        let state = self.call(&folder.join("any"))?;
        let Node::Folder(id) = state.find(folder)? else { return Err(ErrorKind::NotADirectory.into()) };
        let entries = state.folders[id].now.iter();
        Ok(entries.map(|(name, node)| (name.clone(), matches!(node, Node::Folder(_)))).collect())
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        let mut state = self.call(path)?;
        if state.find(path).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        let (folder, name) = state.place(path)?;
        state.folders.push(Folder::default());
        let node = Node::Folder(state.folders.len() - 1);
        state.folders[folder].now.insert(name, node);
        Ok(())
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        let mut state = self.call(path)?;
        state.file(path)?;
        let (folder, name) = state.place(path)?;
        state.folders[folder].now.remove(&name);
        Ok(())
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        let mut state = self.call(path)?;
        let Node::Folder(id) = state.find(path)? else { return Err(ErrorKind::NotADirectory.into()) };
        if !state.folders[id].now.is_empty() {
            return Err(ErrorKind::DirectoryNotEmpty.into());
        }
        let (folder, name) = state.place(path)?;
        state.folders[folder].now.remove(&name);
        Ok(())
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        if self.0.lock().unwrap().find(to).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        if self.0.lock().unwrap().fate.reserves {
            self.call(to)?.create(to)?;
            return self.replace(from, to).inspect_err(|_| _ = self.remove_file(to));
        }
        self.replace(from, to)
    }

    fn rename_folder_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        if self.0.lock().unwrap().find(to).is_ok() {
            return Err(ErrorKind::AlreadyExists.into());
        }
        let reserves = self.0.lock().unwrap().fate.reserves;
        if reserves {
            self.create_folder(to)?;
        }
        let rename = || {
            let mut state = self.call(from)?;
            let node = state.find(from)?;
            let ((folder, name), (to_folder, to_name)) = (state.place(from)?, state.place(to)?);
            state.folders[folder].now.remove(&name);
            state.folders[to_folder].now.insert(to_name, node);
            Ok(())
        };
        rename().inspect_err(|_| {
            if reserves {
                self.remove_folder(to).ok();
            }
        })
    }

    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        let mut state = self.call(from)?;
        let node = Node::File(state.file(from)?);
        let ((folder, name), (to_folder, to_name)) = (state.place(from)?, state.place(to)?);
        state.folders[folder].now.remove(&name);
        state.folders[to_folder].now.insert(to_name, node);
        Ok(())
    }

    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        let mut state = self.call(folder)?;
        let Node::Folder(id) = state.find(folder)? else { return Err(ErrorKind::NotADirectory.into()) };
        if !state.skips(folder) {
            state.folders[id].lasting = state.folders[id].now.clone();
        }
        Ok(())
    }

    fn hold(&self, folder: &Path) -> io::Result<Option<Held>> {
        self.call(folder)?.find(folder)?;
        Ok(Some(Box::new(())))
    }

    fn free_bytes(&self, _path: &Path) -> Option<u64> {
        let state = self.0.lock().unwrap();
        Some((state.fate.room_bytes? - state.used().min(state.fate.room_bytes?)) as u64)
    }

    fn true_path(&self, path: &Path) -> io::Result<PathBuf> {
        drop(self.call(path)?);
        Ok(path.to_owned())
    }

    fn now(&self) -> SystemTime {
        SystemTime::UNIX_EPOCH + Duration::from_secs(EPOCH_SECS)
    }
}

impl Handle for Open<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let mut state = self.disk.call(&self.path)?;
        let most = state.fate.moves_bytes.unwrap_or(usize::MAX);
        let file = &mut state.files[self.id];
        if !file.cached {
            file.now = file.lasting.clone();
            file.cached = true;
        }
        let count = into.len().min(most).min(file.now.len().saturating_sub(self.at));
        into[..count].copy_from_slice(&file.now[self.at..self.at + count]);
        self.at += count;
        let is_picture = self.path.to_str().is_some_and(|path| path.contains(".jpg"));
        if state.fate.lies_at == Some(state.calls) && is_picture && !self.path.starts_with("/card") {
            into[..count.min(1)].iter_mut().for_each(|byte| *byte ^= 1);
        }
        Ok(count)
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let mut state = self.disk.call(&self.path)?;
        let room = state.fate.room_bytes.filter(|_| self.path.starts_with("/archive"));
        let room = room.map_or(usize::MAX, |room| room.saturating_sub(state.used()));
        let count = bytes.len().min(state.fate.moves_bytes.unwrap_or(usize::MAX)).min(room);
        if count == 0 && !bytes.is_empty() {
            return Err(ErrorKind::StorageFull.into());
        }
        let file = &mut state.files[self.id];
        file.now.truncate(self.at);
        file.now.extend_from_slice(&bytes[..count]);
        (file.dirty, file.cached) = (true, true);
        self.at += count;
        Ok(count)
    }

    fn set_changed(&mut self, at: SystemTime) -> io::Result<()> {
        let mut state = self.disk.call(&self.path)?;
        if state.fate.keeps_no_times {
            return Err(ErrorKind::Unsupported.into());
        }
        let file = &mut state.files[self.id];
        (file.changed, file.dirty) = (at, true);
        Ok(())
    }

    fn flush(&mut self) -> io::Result<()> {
        let mut state = self.disk.call(&self.path)?;
        if state.skips(&self.path) {
            return Ok(());
        }
        let mut parts = self.path.to_str().unwrap().split(".jpg");
        let is_part = match (parts.next(), parts.next()) {
            (Some(_), Some(".part")) => true,
            (Some(folder), Some("")) => folder.contains(".part/"),
            _ => false,
        };
        let spoils = state.fate.spoils_a_part && is_part && !state.spoilt;
        state.spoilt |= spoils;
        let file = &mut state.files[self.id];
        file.lasting = file.now.clone();
        file.changed_lasting = file.changed;
        file.dirty = false;
        if spoils {
            file.lasting[3] ^= 1;
        }
        Ok(())
    }

    fn forget_cached(&mut self) {
        let Ok(mut state) = self.disk.call(&self.path) else { return };
        let file = &mut state.files[self.id];
        file.cached &= file.dirty;
    }
}

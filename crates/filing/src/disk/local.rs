//! The computer's own disks.

use std::fs::{self, File, FileTimes, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

use super::{About, Disk, Handle, Held};

/// All that the system has mounted.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LocalDisk;

impl Disk for LocalDisk {
    fn open(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>> {
        Ok(Box::new(File::open(path)?))
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>> {
        Ok(Box::new(OpenOptions::new().write(true).create_new(true).open(path)?))
    }

    fn append(&self, path: &Path) -> io::Result<Box<dyn Handle + '_>> {
        Ok(Box::new(OpenOptions::new().append(true).create(true).open(path)?))
    }

    fn about(&self, path: &Path) -> io::Result<About> {
        // A link that leads nowhere has the name all the same.
        let about = fs::metadata(path).or_else(|_| fs::symlink_metadata(path))?;
        Ok(About {
            bytes: about.len(),
            is_file: about.is_file(),
            is_folder: about.is_dir(),
            changed: about.modified().ok(),
        })
    }

    fn entries(&self, folder: &Path) -> io::Result<Vec<(String, bool)>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            names.push((entry.file_name().to_string_lossy().into_owned(), entry.path().is_dir()));
        }
        names.sort();
        Ok(names)
    }

    fn create_folder(&self, path: &Path) -> io::Result<()> {
        fs::create_dir(path)
    }

    fn remove_file(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn remove_folder(&self, path: &Path) -> io::Result<()> {
        fs::remove_dir(path)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        #[cfg(target_os = "linux")]
        {
            use rustix::fs::{CWD, RenameFlags, renameat_with};
            match renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE).map_err(io::Error::from) {
                // Some file systems (several network and FUSE ones) cannot rename so.
                Err(e) if matches!(e.kind(), ErrorKind::Unsupported | ErrorKind::InvalidInput) => {}
                done => return done,
            }
        }
        if from.is_dir() { rename_folder(from, to) } else { rename_to_reserved(from, to) }
    }

    fn replace(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        // Systems that cannot flush folders are left to their own ways.
        if cfg!(not(unix)) {
            return Ok(());
        }
        let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
        match File::open(folder)?.sync_all() {
            Err(e) if matches!(e.kind(), ErrorKind::Unsupported | ErrorKind::InvalidInput) => Ok(()),
            done => done,
        }
    }

    fn hold(&self, folder: &Path) -> io::Result<Option<Held>> {
        let Ok(folder) = File::open(folder) else { return Ok(None) };
        match folder.try_lock() {
            Ok(()) => Ok(Some(Box::new(folder))),
            Err(TryLockError::WouldBlock) => Err(ErrorKind::WouldBlock.into()),
            Err(TryLockError::Error(_)) => Ok(None),
        }
    }

    fn free_bytes(&self, path: &Path) -> Option<u64> {
        let there = path.ancestors().find(|p| p.exists()).unwrap_or(Path::new("."));
        let space = fs4::statvfs(if there.as_os_str().is_empty() { Path::new(".") } else { there }).ok()?;
        // Some network disks say nothing of their size by giving none.
        (space.total_space() > 0).then(|| space.available_space())
    }

    fn true_path(&self, path: &Path) -> io::Result<PathBuf> {
        let path = std::path::absolute(path)?;
        let there = path.ancestors().find(|p| p.exists()).unwrap_or(Path::new("/"));
        let mut real = fs::canonicalize(there)?;
        for component in path.strip_prefix(there).into_iter().flat_map(Path::components) {
            match component {
                Component::Normal(name) => real.push(name),
                Component::ParentDir => _ = real.pop(),
                _ => {}
            }
        }
        Ok(fs::canonicalize(&real).unwrap_or(real))
    }

    fn now(&self) -> SystemTime {
        SystemTime::now()
    }
}

/// Reserves the name with an empty file, which fails when it is taken, and then renames over that.
pub(super) fn rename_to_reserved(from: &Path, to: &Path) -> io::Result<()> {
    OpenOptions::new().write(true).create_new(true).open(to)?;
    fs::rename(from, to).inspect_err(|_| {
        fs::remove_file(to).ok();
    })
}

/// Renames a folder. No system lets one take the place of anything but an empty folder.
pub(super) fn rename_folder(from: &Path, to: &Path) -> io::Result<()> {
    match fs::symlink_metadata(to) {
        Ok(_) => Err(ErrorKind::AlreadyExists.into()),
        Err(_) => fs::rename(from, to),
    }
}

impl Handle for File {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        Read::read(self, into)
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        Write::write(self, bytes)
    }

    fn set_changed(&mut self, at: SystemTime) -> io::Result<()> {
        self.set_times(FileTimes::new().set_modified(at))
    }

    fn flush(&mut self) -> io::Result<()> {
        self.sync_all()
    }

    fn forget_cached(&mut self) {
        #[cfg(target_os = "linux")]
        rustix::fs::fadvise(&*self, 0, None, rustix::fs::Advice::DontNeed).ok();
    }
}

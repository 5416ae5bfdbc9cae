//! An archive that is opened for changing.

use std::io::{self, ErrorKind};
use std::path::Path;

use crate::cut;
use crate::disk::{Disk, Held};
use crate::fault::{FilingFault, io_words};
use crate::journal::{Entry, Journal, Log, time_words};

/// An archive that is looked at, held for this run from when it is there.
pub(crate) struct Opened<'d> {
    pub(crate) disk: &'d dyn Disk,
    pub(crate) archive: &'d Path,
    pub(crate) log: Log,
    held: Option<Held>,
    pub(crate) is_new: bool,
}

impl<'d> Opened<'d> {
    pub(crate) fn of(disk: &'d dyn Disk, archive: &'d Path) -> Result<Self, FilingFault> {
        let mut opened = Self { disk, archive, log: Log::default(), held: None, is_new: true };
        match disk.about(archive) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(opened),
            Err(error) => return Err(opened.unusable(&error)),
            Ok(_) => opened.is_new = false,
        }
        opened.held = disk.hold(archive).map_err(|error| opened.unusable(&error))?;
        opened.log = Log::read(disk, archive)?;
        Ok(opened)
    }

    /// Holds an archive that was not there when it was opened and is now.
    ///
    /// # Errors
    /// [`ErrorKind::WouldBlock`] also when another has been at work in it since.
    pub(crate) fn hold_new(&mut self) -> io::Result<()> {
        self.held = self.disk.hold(self.archive)?;
        match Log::read(self.disk, self.archive) {
            Ok(log) if log == Log::default() => Ok(()),
            _ => Err(ErrorKind::WouldBlock.into()),
        }
    }

    fn unusable(&self, error: &io::Error) -> FilingFault {
        let path = self.archive.to_owned();
        if error.kind() == ErrorKind::WouldBlock {
            FilingFault::Busy { folder: path }
        } else {
            FilingFault::ArchiveUnusable { reason: io_words(error), path }
        }
    }

    /// Brings an earlier filing that was cut short to its names, and to its end when it is not of this folder. One that
    /// was being taken back is open again, with what is left of it.
    pub(crate) fn end_what_was_cut(&mut self, folder: &str) -> Result<(), FilingFault> {
        let Some(operation) = self.log.open().cloned() else { return Ok(()) };
        let opened = Journal::open(self.disk, self.archive, self.log.clone());
        let done = opened.and_then(|mut journal| {
            cut::bring_to_names(self.disk, self.archive, &mut journal)?;
            if operation.undoing {
                journal.add(&Entry::Undone { at: time_words(self.disk), whole: false });
                journal.flush()?;
            }
            if operation.folder == folder {
                return Ok(());
            }
            cut::close(self.disk, self.archive, &mut journal)
        });
        done.map_err(|error| self.unusable(&error))?;
        self.log = Log::read(self.disk, self.archive)?;
        Ok(())
    }
}

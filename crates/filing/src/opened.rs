//! An archive that is opened for changing.

use std::io::{self, ErrorKind};
use std::path::Path;

use crate::cut;
use crate::disk::{Disk, Held};
use crate::fault::{FilingFault, io_words};
use crate::journal::{Journal, Log};

/// An archive that is looked at, held for this run from when it is there.
pub(crate) struct Opened<'d> {
    disk: &'d dyn Disk,
    archive: &'d Path,
    pub(crate) log: Log,
    held: Option<Held>,
    pub(crate) is_new: bool,
}

impl<'d> Opened<'d> {
    pub(crate) fn of(disk: &'d dyn Disk, archive: &'d Path) -> Result<Self, FilingFault> {
        let is_new = disk.about(archive).is_err();
        let mut opened = Self { disk, archive, log: Log::default(), held: None, is_new };
        if !is_new {
            opened.hold().map_err(|error| opened.unusable(&error))?;
            opened.log = Log::read(disk, archive)?;
        }
        Ok(opened)
    }

    pub(crate) fn hold(&mut self) -> io::Result<()> {
        self.held = self.disk.hold(self.archive)?;
        Ok(())
    }

    fn unusable(&self, error: &io::Error) -> FilingFault {
        let path = self.archive.to_owned();
        if error.kind() == ErrorKind::WouldBlock {
            FilingFault::Busy { folder: path }
        } else {
            FilingFault::ArchiveUnusable { reason: io_words(error), path }
        }
    }

    /// Brings an earlier filing that was cut short to its names, and to its end when it is not of this folder.
    pub(crate) fn end_what_was_cut(&mut self, folder: &str) -> Result<(), FilingFault> {
        let Some(operation) = self.log.open() else { return Ok(()) };
        let mut done = cut::bring_to_names(self.disk, self.archive, operation);
        if done.is_ok() && operation.folder != folder {
            done = Journal::open(self.disk, self.archive, self.log.clone())
                .and_then(|mut journal| cut::close(self.disk, self.archive, &mut journal));
            self.log = Log::read(self.disk, self.archive)?;
        }
        done.map_err(|error| self.unusable(&error))
    }
}

//! The beginning of a filing: the journal is told of all of it, then folders are made and marked.

use std::collections::BTreeSet;
use std::io::{self, ErrorKind};

use record::Session;

use crate::disk::{self, SESSION_FILE};
use crate::entry::Moved;
use crate::journal::{self, Entry, Journal, time_words};
use crate::lists::{self, Announced, in_folder};
use crate::opened::Opened;
use crate::receipt::{self, RECEIPT_FILE};
use crate::run::Run;
use crate::{FilingFault, Step, cut, moves, names};

impl<'a> Run<'a> {
    /// Tells the journal of all that will be done, and makes the folders. The session in its folder marks that as this
    /// session's, so that a run that is cut short is found again.
    pub(crate) fn begin(&mut self, opened: &mut Opened<'a>) -> Result<Journal<'a>, FilingFault> {
        let begun = self.begin_writing(opened);
        begun.map_err(|error| {
            self.disk.remove_folder(&self.receipt.folder).ok();
            if opened.is_new {
                self.disk.remove_folder(self.archive).ok();
            }
            let path = self.receipt.folder.clone();
            match error.kind() {
                ErrorKind::WouldBlock => FilingFault::Busy { folder: self.archive.to_owned() },
                _ => FilingFault::unusable(&path)(error),
            }
        })
    }

    fn begin_writing(&mut self, opened: &mut Opened<'a>) -> io::Result<Journal<'a>> {
        let folder = &self.plan.folder;
        disk::make_folder(self.disk, self.archive)?;
        if opened.is_new {
            opened.hold_new()?;
        }
        let mut journal = Journal::open(self.disk, self.archive, std::mem::take(&mut opened.log))?;
        let at = time_words(self.disk);
        let moves = self.moves()?;
        // Moves come first in a filing, so that taking it back can end with them.
        if !moves.is_empty() && journal.operation().is_some() {
            cut::close(self.disk, self.archive, &mut journal)?;
        }
        if journal.operation().is_some() {
            journal.add(&Entry::Again { at });
        } else {
            let source = self.disk.true_path(self.card)?.to_string_lossy().into_owned();
            let n = journal.next_number();
            journal.add(&Entry::Filing { n, at, folder: folder.clone(), source });
        }
        let copies: Vec<(String, &Step)> =
            self.to_copy().map(|step| (format!("{folder}/{}", step.to), step)).collect();
        let texts = in_folder(folder, SESSION_FILE);
        let sidecars: Vec<String> =
            self.plan.sidecars.iter().map(|step| in_folder(folder, &step.to)).collect();
        let paths = copies.iter().map(|(to, _)| to.as_str()).chain([texts.as_str()]);
        let paths =
            paths.chain(sidecars.iter().map(String::as_str)).chain(moves.iter().map(|m| m.to.as_str()));
        let folders = journal::folders_to_make(self.disk, self.archive, paths)?;
        for path in &folders {
            journal.add(&Entry::Folder { path: path.clone() });
        }
        if !moves.is_empty() {
            journal.add(&Entry::Moves { files: moves });
        }
        for (to, step) in copies {
            journal.add(&Entry::Copy { from: step.from.clone(), to, bytes: step.bytes });
        }
        let mut announced = Announced::default();
        self.announce_earlier_session(&mut journal, &mut announced)?;
        let text = lists::session_text(&self.session, &self.here, None);
        announced.add(self.disk, self.archive, &mut journal, &texts, text)?;
        // An earlier receipt must not vouch for what is only begun.
        let (path, text) = (in_folder(folder, RECEIPT_FILE), receipt::unfinished(&self.session.name));
        announced.add(self.disk, self.archive, &mut journal, &path, text)?;
        announced.flush(self.disk, self.archive, &mut journal)?;
        for path in &folders {
            self.disk.create_folder(&self.archive.join(path))?;
        }
        self.disk.flush_folder(self.archive)?;
        // This makes the folders in the session's own lasting as well.
        disk::replace_texts(self.disk, &announced.texts)?;
        if announced.texts.is_empty() && !folders.is_empty() {
            self.disk.flush_folder(&self.receipt.folder)?;
        }
        moves::finish(self.disk, self.archive, &mut journal)?;
        self.record_moves();
        Ok(journal)
    }

    /// Files that get other names, by their paths in the archive. A sidecar moves as it is.
    fn moves(&self) -> io::Result<Vec<Moved>> {
        let in_archive = |path: &str| in_folder(&self.plan.folder, path);
        let mut moves = Vec::new();
        for step in &self.plan.steps {
            if let (Some(from), Some(filed)) = (&step.moved_from, &step.filed) {
                let sha256 = filed.sha256.clone();
                moves.push(Moved { from: in_archive(from), to: in_archive(&step.to), sha256 });
            }
        }
        for step in &self.plan.sidecars {
            let Some(from) = &step.moved_from else { continue };
            let sha256 = disk::hash_bytes(&disk::read_bytes(self.disk, &self.receipt.folder.join(from))?);
            moves.push(Moved { from: in_archive(from), to: in_archive(&step.to), sha256 });
        }
        // Once they are begun they must come to their end.
        let leaving: BTreeSet<&str> = moves.iter().map(|moved| moved.from.as_str()).collect();
        let leaving_folded: BTreeSet<String> = leaving.iter().map(|from| names::folded(from)).collect();
        for moved in moves.iter().filter(|moved| !leaving.contains(moved.to.as_str())) {
            let to = self.archive.join(&moved.to);
            // On a disk without case the file that leaves answers to the new name too; another one is listed under it.
            let may_leave = leaving_folded.contains(&names::folded(&moved.to));
            if disk::is_there(self.disk, &to)? && (!may_leave || disk::is_listed(self.disk, &to)?) {
                return Err(io::Error::other(format!("another file has taken the name {}", moved.to)));
            }
        }
        Ok(moves)
    }

    /// Announces the archive's session under a name of its own, when the new one knows less.
    fn announce_earlier_session(
        &self,
        journal: &mut Journal<'_>,
        announced: &mut Announced,
    ) -> io::Result<()> {
        if !self.keeps_earlier {
            return Ok(());
        }
        let text = disk::read_text(self.disk, &self.receipt.folder.join(SESSION_FILE))?;
        let mut free = "session-before.ron".to_owned();
        let mut n = 2;
        while disk::is_taken(self.disk, &self.receipt.folder.join(&free)) {
            // Kept already by a run that was cut short.
            if disk::read_text(self.disk, &self.receipt.folder.join(&free)).is_ok_and(|kept| kept == text) {
                return Ok(());
            }
            free = format!("session-before-{n}.ron");
            n += 1;
        }
        announced.add(self.disk, self.archive, journal, &in_folder(&self.plan.folder, &free), text)
    }
}

/// Whether the archive's session knows more than the new one and that does not come from it: a card read afresh must not
/// wipe out what was once decided and written. To be asked before anything is recorded.
pub(crate) fn knows_more(earlier: &Session, new: &Session) -> bool {
    let comes_from_it = earlier.filed.keys().any(|path| new.filed.contains_key(path));
    let knows_as_much = earlier.decisions == new.decisions
        && earlier.specimens == new.specimens
        && earlier.overlap(&new.frames) == earlier.frames.len();
    !earlier.filed.is_empty() && !comes_from_it && !knows_as_much
}

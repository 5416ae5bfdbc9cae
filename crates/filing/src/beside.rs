//! The sidecars that are written beside the files of each frame.
//!
//! Goes in: a filing of which the files lie in the archive. Comes out: sidecars that stand whole, the journal telling of
//! each beforehand. One that another has changed since is left alone, and one that came with a frame and cannot be read
//! is filed as it came; both are said.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};

use record::{FrameId, Session};

use crate::disk::{self, Disk};
use crate::fault::io_words;
use crate::journal::Journal;
use crate::lists::{Announced, in_folder};
use crate::plan::SidecarStep;
use crate::run::Run;
use crate::{FilingPlan, sidecar};

/// Sidecars written at a time, with one flush of the journal: they are held in memory for so long.
const AT_A_TIME: usize = 256;

/// A sidecar as it is to stand.
struct Wanted<'a> {
    step: &'a SidecarStep,
    text: String,
    sha256: String,
}

impl<'a> Run<'a> {
    /// Whether all sidecars stand as they are listed and would be written.
    pub(crate) fn sidecars_stand(&mut self) -> bool {
        let places = Places::of(&self.session);
        let plan = self.plan;
        for step in &plan.sidecars {
            let Some(wanted) = self.wanted(step, &places) else { continue };
            let there = self.receipt.folder.join(&step.to);
            let is_listed = self.known(step).any(|known| *known == wanted.sha256);
            if !is_listed || disk::size_of(self.disk, &there) != Some(wanted.text.len() as u64) {
                return false;
            }
            self.sidecars.insert(step.to.clone(), wanted.sha256);
        }
        true
    }

    /// Writes what does not stand yet, and makes the names of all that was copied lasting.
    pub(crate) fn write_sidecars(&mut self, journal: &mut Journal<'_>) -> Result<(), (io::Error, String)> {
        let places = Places::of(&self.session);
        let plan = self.plan;
        let copied = self.to_copy().filter(|step| self.copied.contains(step.from.as_str()));
        let mut folders: BTreeSet<PathBuf> =
            copied.filter_map(|step| Some(self.receipt.folder.join(&step.to).parent()?.to_owned())).collect();
        for steps in plan.sidecars.chunks(AT_A_TIME) {
            let mut announced = Announced::default();
            for step in steps {
                let Some(wanted) = self.wanted(step, &places) else { continue };
                let added = self.announce(wanted, journal, &mut announced);
                added.map_err(|error| (error, step.to.clone()))?;
            }
            if announced.texts.is_empty() {
                continue;
            }
            let first = steps[0].to.clone();
            let told = announced.flush(self.disk, self.archive, journal);
            let put = told.and_then(|()| disk::put_texts(self.disk, &announced.texts));
            folders.extend(put.map_err(|error| (error, first))?.into_iter().map(Path::to_owned));
            self.receipt.sidecars += announced.texts.len();
        }
        let at =
            |folder: &Path| folder.strip_prefix(&self.receipt.folder).unwrap_or(folder).display().to_string();
        let mut folders = folders.iter();
        folders.try_for_each(|folder| self.disk.flush_folder(folder).map_err(|error| (error, at(folder))))
    }

    /// Tells the journal of a sidecar that is to be put in its place.
    fn announce(
        &mut self,
        wanted: Wanted<'_>,
        journal: &mut Journal<'_>,
        announced: &mut Announced,
    ) -> io::Result<()> {
        let Wanted { step, text, sha256 } = wanted;
        let target = self.receipt.folder.join(&step.to);
        let there = match disk::size_of(self.disk, &target) {
            Some(_) => Some(disk::hash_bytes(&disk::read_bytes(self.disk, &target)?)),
            None => None,
        };
        let path = in_folder(&self.plan.folder, &step.to);
        let told = journal.operation().and_then(|operation| operation.texts.get(&path));
        let is_ours = |hash: &String| {
            *hash == sha256
                || self.known(step).any(|known| known == hash)
                || told.is_some_and(|text| text.sha256s.contains(hash))
        };
        if let Some(hash) = there.filter(|hash| !is_ours(hash)) {
            let listed = self.known(step).next().cloned().unwrap_or(hash);
            self.receipt.remarks.push(format!(
                "A sidecar was changed by another since it was written, so it is left as it is: {}",
                target.display()
            ));
            self.sidecars.insert(step.to.clone(), listed);
            return Ok(());
        }
        self.sidecars.insert(step.to.clone(), sha256);
        announced.add(self.disk, self.archive, journal, &path, text)
    }

    /// SHA-256 of what Endleaf wrote before.
    fn known(&self, step: &SidecarStep) -> impl Iterator<Item = &'a String> + use<'a> {
        let place = &self.plan.place;
        let before = step.moved_from.as_ref().unwrap_or(&step.to);
        let also = (*before != step.to).then(|| place.sidecars.get(&step.to)).flatten();
        place.sidecars.get(before).into_iter().chain(also).flatten()
    }

    /// The sidecar of a frame whose first file lies here; it says that file's hash.
    fn wanted<'s>(&mut self, step: &'s SidecarStep, places: &Places) -> Option<Wanted<'s>> {
        let (frame, set) = *places.0.get(&step.frame)?;
        let (frame, set) = (&self.session.frames[frame], set.map(|at| &self.session.sets[at]));
        let own = |path: &str| self.here.get(path).filter(|filed| filed.session.is_none());
        let sha256 = &frame.files.iter().find_map(|file| own(&file.path))?.sha256;
        let mut incoming = Vec::new();
        for file in frame.files.iter().filter(|file| sidecar::is_sidecar(&file.path)) {
            let Some(filed) = own(&file.path) else { continue };
            match incoming_at(self.disk, &self.receipt.folder.join(&filed.path), filed.bytes) {
                Ok(bytes) => incoming.push(bytes),
                Err(reason) => {
                    let words = unread_words(&reason, &file.path);
                    // It may be asked for twice: whether it stands, and to be written.
                    if !self.receipt.remarks.contains(&words) {
                        self.receipt.remarks.push(words);
                    }
                }
            }
        }
        let text = sidecar::text(&self.session, frame, set, sha256, &incoming);
        let sha256 = disk::hash_text(&text);
        Some(Wanted { step, text, sha256 })
    }
}

/// The bytes of a sidecar that came with a frame; else why nothing of it can be taken into Endleaf's own.
fn incoming_at(disk: &dyn Disk, path: &Path, bytes: u64) -> Result<Vec<u8>, String> {
    if bytes > sidecar::LARGEST_BYTES {
        return Err("it is too large for a sidecar".to_owned());
    }
    let read = disk::read_bytes(disk, path).map_err(|error| io_words(&error))?;
    sidecar::fault(&read).map_or(Ok(read), |reason| Err(reason.to_owned()))
}

fn unread_words(reason: &str, from: &str) -> String {
    format!(
        "A sidecar that came with its frame cannot be read: {reason}. It is filed byte for byte, and nothing of it \
         stands in the sidecar that Endleaf writes: {from}"
    )
}

/// What is to be said beforehand of sidecars on the card that are going to be filed.
pub(crate) fn remarks(disk: &dyn Disk, card: &Path, plan: &FilingPlan) -> Vec<String> {
    let steps = plan.steps.iter().filter(|step| !step.done_before && sidecar::is_sidecar(&step.from));
    let unread = steps.filter_map(|step| {
        // One that is not there any more is told of when it is copied.
        let path = disk::on_card(card, &step.from).ok().filter(|path| disk.about(path).is_ok())?;
        let reason = incoming_at(disk, &path, step.bytes).err()?;
        Some(unread_words(&reason, &step.from))
    });
    unread.collect()
}

/// Where each frame and its set stand in a session, by the frame's id.
struct Places(BTreeMap<FrameId, (usize, Option<usize>)>);

impl Places {
    fn of(session: &Session) -> Self {
        let frames = session.frames.iter().zip(0..);
        let mut places: BTreeMap<_, _> = frames.map(|(frame, at)| (frame.id, (at, None))).collect();
        for (set, at) in session.sets.iter().zip(0..) {
            for frame in &set.frames {
                if let Some(place) = places.get_mut(frame) {
                    place.1 = Some(at);
                }
            }
        }
        Self(places)
    }
}

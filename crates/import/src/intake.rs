//! Reads a card: walk, pair, read each exposure, leave copies out, judge the day, put it in order.
//!
//! Exposures are read in parallel, one file at a time each, so memory stays within a few pictures. The result does
//! not depend on which is read first.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use record::{Frame, FrameId, Progress, Stage, Taken};

use crate::exposure::{Card, Read};
use crate::kept::Kept;
use crate::source::Meter;
use crate::{ReadFault, blanks, clocks, copies, pairing, times, walk};

/// What a card held.
#[derive(Debug, Clone, PartialEq)]
pub struct Intake {
    /// Frames in the order of the day, with ids from 0 in that order; blanks judged by the day's own line.
    /// Never empty.
    pub frames: Vec<Frame>,
    /// What is in no frame, and why; in order of path.
    pub skipped: Vec<Skipped>,
    /// Bytes of all files of all frames, and of copies of them.
    pub bytes_on_card: u64,
    /// Bytes that were read of the card to know all this, files without a frame included.
    pub bytes_read: u64,
}

/// A file or folder that is in no frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skipped {
    /// Path relative to the card, with `/`.
    pub path: String,
    /// Why, in words.
    pub reason: String,
    /// The file of a frame that holds the same bytes, when that is why.
    pub same_as: Option<String>,
    /// Whether it could not be looked at, so that it may hold frames.
    pub unseen: bool,
}

impl Skipped {
    pub(crate) fn new(path: String, reason: impl Into<String>) -> Self {
        Self { path, reason: reason.into(), same_as: None, unseen: false }
    }

    /// What could not be looked at.
    pub(crate) fn unseen(path: String, reason: impl Into<String>) -> Self {
        Self { unseen: true, ..Self::new(path, reason) }
    }

    /// A copy of another file.
    pub(crate) fn copy(path: String, same_as: String) -> Self {
        let reason = "holds the same bytes as a file of a frame, so it is no frame of its own".to_owned();
        Self { same_as: Some(same_as), ..Self::new(path, reason) }
    }
}

/// Exposures that are read before those who look on are told again.
const AT_ONCE: usize = 256;

/// What is there of a day while its card is read.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// The frames read so far, in the order of what is there of the day.
    pub frames: Vec<Frame>,
    /// The one that was read last. Those that come next mostly belong behind it, and it need not be the last of the
    /// day: files are read by their names, and numbers of cameras begin again.
    pub read_last: FrameId,
}

/// Gives what was read so far. It costs about a millisecond for each thousand frames, so whoever looks on asks when there
/// is time.
pub type SoFar<'a> = dyn Fn() -> Part + 'a;

/// Reads a card, or any folder of pictures. Writes nothing.
///
/// `progress` counts exposures, then the files that may be copies; when it says stop, no further file is opened.
///
/// # Errors
/// [`ReadFault`] when there is nothing to read, when the card went away, or when it was stopped. Faults of single
/// files stand on their frames.
pub fn read_card(root: &Path, progress: &dyn Progress) -> Result<Intake, ReadFault> {
    read_card_shown(root, progress, &|_| {})
}

/// As [`read_card`]; `look_on` is called now and then with what was read so far. Doubtful blanks were not looked at
/// closer then, and copies are among the frames.
pub fn read_card_shown(
    root: &Path,
    progress: &dyn Progress,
    look_on: &dyn Fn(&SoFar<'_>),
) -> Result<Intake, ReadFault> {
    let card = Card { root, meter: Meter::default() };
    progress.stage(Stage::Looking);
    let walked = walk::walk(root, &card.meter, || progress.stopped())?;
    read_walked(&card, walked, None, progress, look_on)
}

/// Reads what a walk found. What was kept of an earlier reading is not opened again; what was read is kept for the
/// next one, when there is to be one.
pub(crate) fn read_walked(
    card: &Card<'_>,
    walked: walk::Walked,
    mut kept: Option<&mut Kept>,
    progress: &dyn Progress,
    look_on: &dyn Fn(&SoFar<'_>),
) -> Result<Intake, ReadFault> {
    let before = kept.as_deref();
    let root = card.root;
    let mut skipped = walked.skipped;
    let camera_time = |found: &walk::Found| card.reading(&found.path).time.map(|(taken, _)| taken);
    let (exposures, mut alone) = pairing::pair(walked.files, camera_time);
    skipped.append(&mut alone);
    if exposures.is_empty() {
        check_still_there(root)?;
        skipped.sort_by(|a, b| a.path.cmp(&b.path));
        return Err(ReadFault::NoPictures { path: root.into(), skipped });
    }
    let done = AtomicUsize::new(0);
    progress.stage(Stage::Reading);
    progress.at(0, exposures.len());
    let mut read: Vec<Read> = Vec::with_capacity(exposures.len());
    for some in exposures.chunks(AT_ONCE) {
        let some: Option<Vec<Read>> = some
            .par_iter()
            .map(|exposure| {
                if progress.stopped() {
                    return None;
                }
                let read =
                    before.and_then(|kept| kept.read_of(exposure)).unwrap_or_else(|| card.read(exposure));
                progress.at(done.fetch_add(1, Ordering::Relaxed) + 1, exposures.len());
                Some(read)
            })
            .collect();
        read.extend(some.ok_or(ReadFault::Stopped)?);
        if read.len() < exposures.len() {
            look_on(&|| in_order(&read));
        }
    }
    progress.stage(Stage::Checking);
    if read.iter().any(|r| r.unreadable) {
        check_still_there(root)?;
    }
    let mut frames = look_closer(card, &mut read, progress)?;
    let file_times = file_times(&read);
    let mut sums = copies::Sums::default();
    match &mut kept {
        Some(kept) => kept.keep(exposures, read),
        None => drop((exposures, read)),
    }
    let sums = kept.map_or(&mut sums, |kept| &mut kept.sums);
    times::set_file_times(&mut frames, &file_times);
    let (mut frames, mut copies) = copies::unite(card, frames, sums, progress)?;
    skipped.append(&mut copies);
    skipped.sort_by(|a, b| a.path.cmp(&b.path));
    judge_and_order(&mut frames);
    let bytes_on_card = frames.iter().flat_map(Frame::places).map(|f| f.bytes).sum();
    Ok(Intake { frames, skipped, bytes_on_card, bytes_read: card.meter.bytes() })
}

/// How the frames of several bodies interleave is seen by the blanks.
fn judge_and_order(frames: &mut [Frame]) {
    blanks::judge_blanks(frames, None);
    clocks::arrange(frames);
}

/// What was read so far, as frames of a day.
fn in_order(read: &[Read]) -> Part {
    let mut frames: Vec<Frame> = read.iter().map(|r| r.frame.clone()).collect();
    times::set_file_times(&mut frames, &file_times(read));
    judge_and_order(&mut frames);
    let last = read.last().map(|r| r.frame.path());
    let read_last = frames.iter().find(|f| Some(f.path()) == last).map_or(FrameId(0), |f| f.id);
    Part { frames, read_last }
}

fn file_times(read: &[Read]) -> Vec<Option<Taken>> {
    read.iter().map(|r| r.file_time).collect()
}

/// A card that was pulled out leaves no folder, or an empty one where it was mounted.
fn check_still_there(root: &Path) -> Result<(), ReadFault> {
    match std::fs::read_dir(root).map(|mut entries| entries.next().is_some()) {
        Ok(true) => Ok(()),
        _ => Err(ReadFault::CardGone(root.into())),
    }
}

/// Gives the frames, the doubtful ones measured by a better preview: a thumbnail may be coarse, or of another picture.
/// So are those whose thumbnail is that of another frame as well.
fn look_closer(card: &Card<'_>, read: &mut [Read], progress: &dyn Progress) -> Result<Vec<Frame>, ReadFault> {
    let mut frames: Vec<Frame> = read.iter().map(|r| r.frame.clone()).collect();
    blanks::judge_blanks(&mut frames, None);
    let shared = shared_thumbnails(read);
    let doubtful = |f: &Frame| f.blank.as_ref().is_some_and(record::BlankVerdict::is_doubtful);
    let unsure =
        |read: &Read, frame: &Frame| doubtful(frame) || read.shows.is_some_and(|s| shared.contains(&s));
    read.par_iter_mut().zip(&mut frames).filter(|(r, f)| unsure(r, f)).for_each(|(read, frame)| {
        if !progress.stopped() {
            frame.spread = card.look_closer(read).or(frame.spread);
        }
    });
    if progress.stopped() { Err(ReadFault::Stopped) } else { Ok(frames) }
}

/// What is shown, to the last bit, by thumbnails of pictures of different size in bytes. No sensor gives the same picture
/// twice, so something else than the camera put these there. A file copied twice has the same size.
fn shared_thumbnails(read: &[Read]) -> BTreeSet<u64> {
    let mut sizes: BTreeMap<u64, BTreeSet<u64>> = BTreeMap::new();
    for (shows, frame) in read.iter().filter_map(|r| Some((r.shows?, &r.frame))) {
        sizes.entry(shows).or_default().insert(frame.files[0].bytes);
    }
    sizes.into_iter().filter(|(_, sizes)| sizes.len() > 1).map(|(shows, _)| shows).collect()
}

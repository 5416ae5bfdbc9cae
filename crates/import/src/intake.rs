//! Reads a card: walk, pair, read each exposure, judge the day, put it in order.
//!
//! Exposures are read in parallel, one file at a time each, so memory stays within a few pictures. The result does
//! not depend on which is read first.

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use record::{Frame, FrameFile, FrameId, Progress, Spread, Taken, TimeSource};

use crate::metadata::{self, Reading};
use crate::pairing::{self, Exposure};
use crate::preview::{self, Origin};
use crate::{ReadFault, blanks, order, times, walk};

/// What a card held.
#[derive(Debug, Clone, PartialEq)]
pub struct Intake {
    /// Frames in the order of the day, with ids from 0 in that order; blanks judged by the day's own line.
    /// Never empty.
    pub frames: Vec<Frame>,
    /// What is in no frame, and why; in order of path.
    pub skipped: Vec<Skipped>,
    /// Bytes of all files of all frames.
    pub bytes_on_card: u64,
}

/// A file or folder that is in no frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Skipped {
    /// Path relative to the card, with `/`.
    pub path: String,
    /// Why, in words.
    pub reason: String,
}

/// A frame as read, with what is needed later in the same reading only.
struct Read {
    frame: Frame,
    file_time: Option<Taken>,
    /// Whether its measures rest on an embedded thumbnail that the large picture could confirm.
    can_look_closer: bool,
    unreadable: bool,
}

/// Reads a card, or any folder of pictures. Writes nothing.
///
/// `progress` counts exposures; when it says stop, no further file is opened.
///
/// # Errors
/// [`ReadFault`] when there is nothing to read, when the card went away, or when it was stopped. Faults of single
/// files stand on their frames.
pub fn read_card(root: &Path, progress: &dyn Progress) -> Result<Intake, ReadFault> {
    let walked = walk::walk(root, || progress.stopped())?;
    let mut skipped = walked.skipped;
    let camera_time =
        |found: &walk::Found| metadata::read(&root.join(&found.path)).time.map(|(taken, _)| taken);
    let (exposures, mut alone) = pairing::pair(walked.files, camera_time);
    skipped.append(&mut alone);
    skipped.sort_by(|a, b| a.path.cmp(&b.path));
    if exposures.is_empty() {
        check_still_there(root)?;
        return Err(ReadFault::NoPictures { path: root.into(), skipped });
    }
    let done = AtomicUsize::new(0);
    progress.at(0, exposures.len());
    let read: Option<Vec<Read>> = exposures
        .par_iter()
        .map(|exposure| {
            if progress.stopped() {
                return None;
            }
            let read = read_exposure(root, exposure);
            progress.at(done.fetch_add(1, Ordering::Relaxed) + 1, exposures.len());
            Some(read)
        })
        .collect();
    let mut read = read.ok_or(ReadFault::Stopped)?;
    if read.iter().any(|r| r.unreadable) {
        check_still_there(root)?;
    }
    look_closer(root, &mut read, progress)?;
    let file_times: Vec<_> = read.iter().map(|r| r.file_time).collect();
    let mut frames: Vec<Frame> = read.into_iter().map(|r| r.frame).collect();
    times::set_file_times(&mut frames, &file_times);
    order::arrange(&mut frames);
    blanks::judge_blanks(&mut frames, None);
    let bytes_on_card = frames.iter().flat_map(|f| &f.files).map(|f| f.bytes).sum();
    Ok(Intake { frames, skipped, bytes_on_card })
}

/// A card that was pulled out leaves no folder, or an empty one where it was mounted.
fn check_still_there(root: &Path) -> Result<(), ReadFault> {
    match std::fs::read_dir(root).map(|mut entries| entries.next().is_some()) {
        Ok(true) => Ok(()),
        _ => Err(ReadFault::CardGone(root.into())),
    }
}

fn read_exposure(root: &Path, exposure: &Exposure) -> Read {
    let path = root.join(&exposure.files[0].path);
    let reading = metadata::read(&path);
    let file_time = times::file_time(exposure.files[0].modified);
    let mut frame = frame_of(exposure, &reading);
    // The other files of the exposure know the time as well.
    let others = exposure.files.iter().skip(1).filter(|f| f.kind.leads());
    if reading.time.is_none()
        && let Some(other) = others.map(|f| metadata::read(&root.join(&f.path))).find(|r| r.time.is_some())
    {
        take_time(&mut frame, other.time);
        frame.body = other.body;
    }
    if frame.taken.is_none() && file_time.is_some() {
        (frame.taken, frame.time_source) = (file_time, TimeSource::File);
    }
    let origin = measure(&mut frame, root, exposure, &reading);
    Read {
        frame,
        file_time,
        can_look_closer: origin == Some(Origin::Embedded) && !reading.cut && !reading.raw,
        unreadable: reading.unreadable,
    }
}

fn frame_of(exposure: &Exposure, reading: &Reading) -> Frame {
    let file = |f: &walk::Found| FrameFile { path: f.path.clone(), bytes: f.bytes, role: f.kind.role() };
    let mut frame = Frame {
        id: FrameId(0),
        files: exposure.files.iter().map(file).collect(),
        taken: None,
        time_source: TimeSource::Absent,
        body: reading.body.clone(),
        orientation: reading.orientation,
        size_px: reading.size_px,
        spread: None,
        blank: None,
        faults: exposure.remark.iter().chain(&reading.faults).cloned().collect(),
    };
    take_time(&mut frame, reading.time);
    frame
}

fn take_time(frame: &mut Frame, time: Option<(Taken, TimeSource)>) {
    if let Some((taken, source)) = time {
        (frame.taken, frame.time_source) = (Some(taken), source);
    }
}

/// Measures the first file of an exposure that gives a preview, and says where that came from.
fn measure(frame: &mut Frame, root: &Path, exposure: &Exposure, first: &Reading) -> Option<Origin> {
    let mut why_not = None;
    for file in exposure.files.iter().filter(|f| f.kind.leads()) {
        let path = root.join(&file.path);
        let reading = if file == &exposure.files[0] { first } else { &metadata::read(&path) };
        match preview::for_measuring(&path, reading) {
            Ok((luma, origin)) => {
                frame.spread = Some(spread_of(&luma));
                return Some(origin);
            }
            Err(reason) => why_not = why_not.or(Some(reason)),
        }
    }
    // Where a fault says already that this is no picture, there is no more to say.
    if frame.faults.is_empty() || first.cut {
        frame.faults.extend(why_not);
    }
    None
}

fn spread_of(luma: &imaging::Luma) -> Spread {
    let imaging::Measured { level, frame, tile, grain, mean } = imaging::spread(luma);
    Spread { level, frame, tile, grain, mean }
}

/// Measures doubtful frames again, by their large picture: a thumbnail may be coarse, or of another picture.
fn look_closer(root: &Path, read: &mut [Read], progress: &dyn Progress) -> Result<(), ReadFault> {
    let mut frames: Vec<Frame> = read.iter().map(|r| r.frame.clone()).collect();
    blanks::judge_blanks(&mut frames, None);
    let doubtful = |f: &Frame| f.blank.as_ref().is_some_and(record::BlankVerdict::is_doubtful);
    read.par_iter_mut().zip(&frames).filter(|(r, f)| r.can_look_closer && doubtful(f)).for_each(
        |(read, _)| {
            if progress.stopped() {
                return;
            }
            let path = root.join(read.frame.path());
            if let Ok(luma) = preview::from_large(&path, metadata::read(&path).content) {
                read.frame.spread = Some(spread_of(&luma));
            }
        },
    );
    if progress.stopped() { Err(ReadFault::Stopped) } else { Ok(()) }
}

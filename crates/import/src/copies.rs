//! One exposure in several places of a card: copied twice in one dump, on both cards of a body, or its raw apart from its
//! picture.
//!
//! Copies are told in three steps, each only for files that the one before leaves open: length and capture time, which
//! are known by now (without a capture time the name as well); the first kilobytes; the whole file. So nothing is read of
//! a card without copies, and two frames of a burst that agree in length and time stay two. Bytes are compared by their
//! SHA-256 (FIPS 180-4), piece by piece, and counted as read. Files that could not be read whole are copies of nothing.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use record::{FileRole, Frame, FrameFile, Progress, Taken};
use sha2::{Digest, Sha256};

use crate::exposure::Card;
use crate::kept::Stamp;
use crate::source::Source;
use crate::{ReadFault, Skipped, dcf};

/// What is read of two files that may be one before all of them is: camera data with its counters and the thumbnail
/// stand there, so that different exposures nearly always differ in it.
const HEAD_BYTES: u64 = 16 * 1024;
/// Files are read in pieces of this length.
const PIECE_BYTES: usize = 256 * 1024;

type Sum = [u8; 32];

/// Sums of whole files, kept for the next reading of the same folder.
#[derive(Debug, Default)]
pub(crate) struct Sums(BTreeMap<Stamp, Sum>);

/// Makes one frame of all that are one exposure, in no particular order, and gives the files that are copies.
///
/// The frame nearest to DCIM stands, with a name by the DCF rule, first by path; what only the others have, such as a
/// raw or a sound note, joins it. Then a raw that lies apart from its picture joins that: same number or name, same
/// second, same model, and no other frame is so. `progress` counts the files that are compared.
///
/// # Errors
/// [`ReadFault::Stopped`].
pub(crate) fn unite(
    card: &Card<'_>,
    frames: Vec<Frame>,
    sums: &mut Sums,
    progress: &dyn Progress,
) -> Result<(Vec<Frame>, Vec<Skipped>), ReadFault> {
    let candidates = candidates(&frames);
    if candidates.is_empty() {
        sums.0.clear();
        return Ok((raws_to_pictures(frames), vec![]));
    }
    let reader = Reader { card, known: std::mem::take(&mut sums.0), progress };
    let heads = reader.sums(&candidates, HEAD_BYTES)?;
    let whole = reader.sums(&agreeing(candidates, &heads), u64::MAX)?;
    let sum_of: BTreeMap<&str, Sum> = whole.iter().map(|f| (f.candidate.path.as_str(), f.sum)).collect();
    let mut frames: Vec<Option<Frame>> = frames.into_iter().map(Some).collect();
    let mut skipped = Vec::new();
    for mut class in classes(&whole) {
        class.sort_by_cached_key(|at| frames[*at].as_ref().map(standing));
        let mut places = class.iter().filter_map(|at| frames[*at].take());
        let Some(mut frame) = places.next() else { continue };
        places.for_each(|other| skipped.extend(join(&mut frame, other, &sum_of)));
        frame.files.sort_by_key(|f| f.role);
        frames[class[0]] = Some(frame);
    }
    sums.0 = whole.into_iter().map(|file| (file.stamp, file.sum)).collect();
    Ok((raws_to_pictures(frames.into_iter().flatten().collect()), skipped))
}

/// A file that may be a copy.
#[derive(Debug, Clone)]
struct Candidate {
    /// Place of its frame in the list.
    frame: usize,
    /// Whether it is a picture or raw, which makes a frame; others may be alike by chance.
    leads: bool,
    path: String,
    /// The same for all that agree in what is known without reading.
    group: usize,
}

/// What files must share for a first look: length and capture time; without one, length and name.
type QuickKey<'a> = (u64, Option<Taken>, Option<&'a str>);

/// Files that agree with one of another frame in all that is known without reading.
fn candidates(frames: &[Frame]) -> Vec<Candidate> {
    let mut groups: BTreeMap<QuickKey<'_>, Vec<(usize, &FrameFile)>> = BTreeMap::new();
    for (at, frame) in frames.iter().enumerate() {
        let taken = frame.taken.filter(|_| frame.by_camera());
        for file in frame.files.iter().filter(|f| f.bytes > 0) {
            let name = taken.is_none().then(|| file.path.rsplit('/').next().unwrap_or_default());
            groups.entry((file.bytes, taken, name)).or_default().push((at, file));
        }
    }
    let groups = groups.into_values().filter(|g| g.iter().any(|(at, _)| *at != g[0].0));
    let candidate = |frame: usize, file: &FrameFile, group: usize| {
        let leads = matches!(file.role, FileRole::Picture | FileRole::Raw);
        Candidate { frame, leads, path: file.path.clone(), group }
    };
    let of_group = |(group, files): (usize, Vec<(usize, _)>)| {
        files.into_iter().map(move |(frame, file)| candidate(frame, file, group))
    };
    groups.enumerate().flat_map(of_group).collect()
}

/// A candidate that was read, up to some length.
struct Summed {
    candidate: Candidate,
    stamp: Stamp,
    sum: Sum,
}

/// The candidates whose heads agree with that of another frame of their group.
fn agreeing(candidates: Vec<Candidate>, heads: &[Summed]) -> Vec<Candidate> {
    let heads: BTreeMap<&str, Sum> = heads.iter().map(|h| (h.candidate.path.as_str(), h.sum)).collect();
    let head = |c: &Candidate| heads.get(c.path.as_str()).map(|sum| (c.group, *sum));
    let mut frames: BTreeMap<(usize, Sum), BTreeSet<usize>> = BTreeMap::new();
    for candidate in &candidates {
        if let Some(head) = head(candidate) {
            frames.entry(head).or_default().insert(candidate.frame);
        }
    }
    let shared = |c: &Candidate| head(c).is_some_and(|head| frames[&head].len() > 1);
    candidates.into_iter().filter(shared).collect()
}

/// Places of the frames that are one exposure, more than one each: those that have the same bytes, also by way of a
/// third.
fn classes(whole: &[Summed]) -> Vec<Vec<usize>> {
    let mut same: BTreeMap<(usize, Sum), BTreeSet<usize>> = BTreeMap::new();
    for file in whole.iter().filter(|f| f.candidate.leads) {
        same.entry((file.candidate.group, file.sum)).or_default().insert(file.candidate.frame);
    }
    let mut first_of: BTreeMap<usize, usize> = BTreeMap::new();
    for frames in same.values().filter(|frames| frames.len() > 1) {
        let firsts: BTreeSet<usize> = frames.iter().map(|f| root(&first_of, *f)).collect();
        let Some(first) = firsts.first().copied() else { continue };
        first_of.extend(frames.iter().chain(&firsts).map(|f| (*f, first)));
    }
    let mut classes: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for frame in first_of.keys() {
        classes.entry(root(&first_of, *frame)).or_default().push(*frame);
    }
    classes.into_values().collect()
}

/// The first frame of the class that a frame is in by now.
fn root(first_of: &BTreeMap<usize, usize>, frame: usize) -> usize {
    let mut at = frame;
    while let Some(next) = first_of.get(&at).filter(|next| **next != at) {
        at = *next;
    }
    at
}

/// Which of several places stands: the least. A frame with a picture before one with a raw alone; folders between card
/// and DCIM, where there is one; names by the DCF rule before others; path.
fn standing(frame: &Frame) -> (FileRole, usize, bool, String) {
    let folders = frame.path().split('/').position(|part| part.eq_ignore_ascii_case("DCIM"));
    let odd_name = dcf::file_number(frame.stem()).is_none();
    (frame.files[0].role, folders.unwrap_or(usize::MAX), odd_name, frame.path().to_owned())
}

struct Reader<'a> {
    card: &'a Card<'a>,
    known: BTreeMap<Stamp, Sum>,
    progress: &'a dyn Progress,
}

impl Reader<'_> {
    /// Reads files up to a length. Those that could not be read so far, or changed, are left out.
    fn sums(&self, candidates: &[Candidate], most_bytes: u64) -> Result<Vec<Summed>, ReadFault> {
        let done = AtomicUsize::new(0);
        let summed = candidates.par_iter().map(|candidate| {
            let read = self.sum(&candidate.path, most_bytes);
            self.progress.at(done.fetch_add(1, Ordering::Relaxed) + 1, candidates.len());
            read.ok().map(|(stamp, sum)| Summed { candidate: candidate.clone(), stamp, sum })
        });
        let summed: Vec<Option<Summed>> = summed.collect();
        if self.progress.stopped() {
            Err(ReadFault::Stopped)
        } else {
            Ok(summed.into_iter().flatten().collect())
        }
    }

    fn sum(&self, path: &str, most_bytes: u64) -> io::Result<(Stamp, Sum)> {
        let whole = self.card.root.join(path);
        let about = std::fs::metadata(&whole)?;
        let stamp = (path.to_owned(), about.len(), about.modified().ok());
        if let Some(sum) = self.known.get(&stamp).filter(|_| most_bytes >= about.len()) {
            return Ok((stamp, *sum));
        }
        let file = self.card.meter.open(&whole)?;
        let most_bytes = most_bytes.min(file.size_bytes());
        let mut piece = vec![0; PIECE_BYTES.min(usize::try_from(most_bytes).unwrap_or(PIECE_BYTES))];
        let (mut sum, mut at) = (Sha256::new(), 0);
        while at < most_bytes && !self.progress.stopped() {
            let wanted = piece.len().min(usize::try_from(most_bytes - at).unwrap_or(usize::MAX));
            match file.read_at(at, &mut piece[..wanted]) {
                Ok(0) => return Err(io::ErrorKind::UnexpectedEof.into()),
                Ok(come) => {
                    sum.update(&piece[..come]);
                    at += come as u64;
                }
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                Err(e) => return Err(e),
            }
        }
        Ok((stamp, sum.finalize().into()))
    }
}

/// Takes the files of another place of the same exposure into a frame: as copies where it has their bytes, else as
/// files of its own. Gives the copies.
fn join(frame: &mut Frame, other: Frame, sum_of: &BTreeMap<&str, Sum>) -> Vec<Skipped> {
    let mut skipped = Vec::new();
    for file in other.files {
        let sum = sum_of.get(file.path.as_str());
        let is_same = |own: &&FrameFile| sum.is_some() && sum_of.get(own.path.as_str()) == sum;
        if let Some(same) = frame.files.iter().find(is_same) {
            skipped.push(Skipped::copy(file.path.clone(), same.path.clone()));
            frame.copies.push(file);
        } else {
            frame.files.push(file);
        }
    }
    skipped
}

/// What a picture and its raw share when they lie in different folders: number or name, second, model.
type Pair = (String, Option<Taken>, String);

/// Joins raws that lie apart to their pictures, where it is clear which belongs to which.
fn raws_to_pictures(mut frames: Vec<Frame>) -> Vec<Frame> {
    let has = |frame: &Frame, role| frame.files.iter().any(|f| f.role == role);
    if !frames.iter().any(|f| !has(f, FileRole::Picture)) {
        return frames;
    }
    let mut pictures: BTreeMap<Pair, Vec<usize>> = BTreeMap::new();
    let mut raws: BTreeMap<Pair, Vec<usize>> = BTreeMap::new();
    for (at, frame) in frames.iter().enumerate().filter(|(_, f)| f.by_camera()) {
        match (has(frame, FileRole::Picture), has(frame, FileRole::Raw)) {
            (true, false) => pictures.entry(pair(frame)).or_default().push(at),
            (false, true) => raws.entry(pair(frame)).or_default().push(at),
            _ => {}
        }
    }
    let mut joined = BTreeSet::new();
    for (pair, raw) in raws {
        let ([raw], Some([picture])) = (raw.as_slice(), pictures.get(&pair).map(Vec::as_slice)) else {
            continue;
        };
        let (files, copies) =
            (std::mem::take(&mut frames[*raw].files), std::mem::take(&mut frames[*raw].copies));
        frames[*picture].files.extend(files);
        frames[*picture].files.sort_by_key(|f| f.role);
        frames[*picture].copies.extend(copies);
        joined.insert(*raw);
    }
    let mut at = 0..;
    frames.retain(|_| at.next().is_none_or(|at| !joined.contains(&at)));
    frames
}

fn pair(frame: &Frame) -> Pair {
    let stem = frame.stem();
    let name = dcf::file_number(stem).map_or_else(|| stem.to_lowercase(), |number| format!("{number:04}"));
    let second = frame.taken.and_then(|t| {
        let whole = t.local().with().subsec_nanosecond(0).build().ok()?;
        Some(Taken::new(whole, "", None))
    });
    (name, second, frame.body.model.clone())
}

#[cfg(test)]
#[path = "copies_tests.rs"]
mod tests;

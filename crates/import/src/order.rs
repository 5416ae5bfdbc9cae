//! The order of the day.
//!
//! Capture time on the day's common clock first, with its sub-seconds; within one moment by DCF folder and number, with
//! the wrap 9999 → 0001; then by path. Never by the order in which the file system lists. Where the clock of a body
//! falls while its numbers rise, the numbers rule: what was taken after the fall stands after what was taken before.
//! Every frame gets one number on one scale, so the order is total whatever is known of each. A frame without a camera
//! time takes its place by number: right after the frame of its folder and prefix with the number before it. Where
//! there is no such neighbour its file time decides, and without that it comes last.

mod placing;

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::DateTime;
use record::{Frame, Taken};

use crate::dcf;
use placing::Chain;

/// A frame's place on the card, as far as its path is by the DCF rule.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Place {
    /// 0 for a folder whose name is not by the rule.
    folder_number: u16,
    folder: String,
    /// The first four characters, upper case.
    prefix: String,
    number: u16,
}

impl Place {
    /// The folder in which folder numbers are unique.
    fn tree(&self) -> &str {
        if self.folder_number == 0 {
            return &self.folder;
        }
        self.folder.rsplit_once('/').map_or("", |(tree, _)| tree)
    }
}

fn place(frame: &Frame) -> Option<Place> {
    let folder = frame.path().rsplit_once('/').map_or("", |(folder, _)| folder);
    let stem = frame.stem();
    let number = dcf::file_number(stem)?;
    let folder_number = dcf::folder_number(folder.rsplit('/').next().unwrap_or_default()).unwrap_or(0);
    Some(Place { folder_number, folder: folder.to_owned(), prefix: stem[..4].to_uppercase(), number })
}

/// A place where a body's clock falls between one number and the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fall {
    /// Places of the two frames in the list that was looked at.
    pub(crate) before: usize,
    pub(crate) after: usize,
    /// How far, in seconds; positive.
    pub(crate) secs: f64,
}

/// A fall smaller than this is no fall: frames of a burst may be written in another order than taken, and FAT rounds
/// to two seconds.
const FALL_SECS: f64 = 2.0;
/// Numbers further apart than this are not neighbours: their counter was set back, not the clock.
const NEIGHBOURS: u16 = 100;
/// Numbers are believed against the clock when it falls once, or not more often than at one in so many frames: files
/// renamed by hand fall at random.
const FRAMES_A_FALL: usize = 20;
/// Numbers further apart than this, half of all, lie on both sides of the wrap.
const HALF: u16 = 5000;

/// One body's frames of one card in order of their numbers, and where the clock falls.
struct Strip {
    frames: Vec<usize>,
    /// Places in `frames` of the first frame after a fall.
    cuts: Vec<usize>,
}

/// The strips of all bodies. `body_of` gives the body of each frame.
fn strips(frames: &[Frame], body_of: &[usize]) -> Vec<Strip> {
    let mut numbered: BTreeMap<(usize, String), Vec<(Place, usize)>> = BTreeMap::new();
    for (at, frame) in frames.iter().enumerate().filter(|(_, f)| f.by_camera()) {
        if let Some(place) = place(frame) {
            numbered.entry((body_of[at], place.tree().to_owned())).or_default().push((place, at));
        }
    }
    numbered.into_values().map(|places| strip(frames, places)).collect()
}

fn strip(frames: &[Frame], places: Vec<(Place, usize)>) -> Strip {
    let over = running_over(places.iter().map(|(place, _)| place));
    let mut places: Vec<_> = places.into_iter().map(|(place, at)| (over.key(place), at)).collect();
    places.sort_by(|a, b| (&a.0, frames[a.1].when()).cmp(&(&b.0, frames[b.1].when())));
    let falls = |pair: &[(ByNumber, usize)]| {
        let [(a, before), (b, after)] = pair else { return false };
        let folder = (a.0, &a.1, a.2) == (b.0, &b.1, b.2);
        let neighbours = !folder || (1..=NEIGHBOURS).contains(&b.3.abs_diff(a.3));
        neighbours && fall_secs(&frames[*before], &frames[*after]) > FALL_SECS
    };
    let cuts: Vec<usize> = places.windows(2).zip(1..).filter(|(p, _)| falls(p)).map(|(_, at)| at).collect();
    let believed = cuts.len() <= 1.max(places.len() / FRAMES_A_FALL);
    Strip {
        frames: places.into_iter().map(|(_, at)| at).collect(),
        cuts: if believed { cuts } else { vec![] },
    }
}

fn fall_secs(before: &Frame, after: &Frame) -> f64 {
    before.when().zip(after.when()).map_or(0.0, |(a, b)| a.secs_since(&b))
}

/// Where the clocks of bodies fall while their numbers rise, in no particular order.
pub(crate) fn falls(frames: &[Frame], body_of: &[usize]) -> Vec<Fall> {
    let at_cuts = |strip: Strip| {
        let pairs: Vec<_> = strip.cuts.iter().map(|c| (strip.frames[c - 1], strip.frames[*c])).collect();
        pairs.into_iter().map(|(before, after)| {
            let secs = fall_secs(&frames[before], &frames[after]);
            Fall { before, after, secs }
        })
    };
    strips(frames, body_of).into_iter().flat_map(at_cuts).collect()
}

/// Whether the second frame has the number after that of the first: in its folder, or 0001 after 9999.
pub(crate) fn follows(first: &Frame, second: &Frame) -> bool {
    let (Some(a), Some(b)) = (place(first), place(second)) else { return false };
    a.tree() == b.tree()
        && (a.folder == b.folder && a.number + 1 == b.number || (a.number, b.number) == (9999, 1))
}

/// Order of numbers: folder number, folder, whether the counter ran over, number.
type ByNumber = (u16, String, bool, u16);

/// Folders that hold numbers of both ends, with the highest of the low ones: those come after the high ones, for the
/// counter ran over.
struct RunningOver(BTreeMap<String, u16>);

fn running_over<'a>(places: impl Iterator<Item = &'a Place>) -> RunningOver {
    let mut numbers: BTreeMap<&str, BTreeSet<u16>> = BTreeMap::new();
    for place in places {
        numbers.entry(&place.folder).or_default().insert(place.number);
    }
    let low_end = |(folder, numbers): (&str, BTreeSet<u16>)| {
        let hole = numbers.iter().zip(numbers.iter().skip(1)).find(|(low, high)| *high - *low > HALF);
        hole.map(|(low, _)| (folder.to_owned(), *low))
    };
    RunningOver(numbers.into_iter().filter_map(low_end).collect())
}

impl RunningOver {
    fn key(&self, place: Place) -> ByNumber {
        let over = self.0.get(&place.folder).is_some_and(|low_end| place.number <= *low_end);
        (place.folder_number, place.folder, over, place.number)
    }
}

/// The common scale: nanoseconds of local time from the first year of the calendar on.
type Key = i128;

const SECOND: Key = 1_000_000_000;

fn key(taken: Taken) -> Key {
    taken.local().duration_since(DateTime::constant(0, 1, 1, 0, 0, 0, 0)).as_nanos()
}

/// The place of each frame on the common scale; `None` without a camera time.
fn keys(frames: &[Frame], body_of: &[usize]) -> Vec<Option<Key>> {
    let second = |f: &Frame| f.taken.map(|t| key(t).div_euclid(SECOND));
    // Where one frame of a second lacks its fraction, the fractions of its body say nothing against the numbers.
    let whole: BTreeSet<(usize, Option<Key>)> = frames
        .iter()
        .enumerate()
        .filter(|(_, f)| f.by_camera() && f.taken.is_some_and(|t| t.subsec_digits() == 0))
        .map(|(at, f)| (body_of[at], second(f)))
        .collect();
    let own = |(at, frame): (usize, &Frame)| {
        let (taken, when) = (frame.taken?, frame.when()?);
        let fraction =
            if whole.contains(&(body_of[at], second(frame))) { key(taken).rem_euclid(SECOND) } else { 0 };
        frame.by_camera().then(|| key(when) - fraction)
    };
    let mut keys: Vec<Option<Key>> = frames.iter().enumerate().map(own).collect();
    for strip in strips(frames, body_of).iter().filter(|s| !s.cuts.is_empty()) {
        line_up(strip, &mut keys);
    }
    keys
}

/// Moves the stretches between falls so that each follows the one before, about the longest, whose clock is believed.
/// How long the pause at a fall was is not known; a second stands for it.
fn line_up(strip: &Strip, keys: &mut [Option<Key>]) {
    let mut bounds = vec![0];
    bounds.extend(&strip.cuts);
    bounds.push(strip.frames.len());
    let stretches: Vec<&[usize]> = bounds.windows(2).map(|b| &strip.frames[b[0]..b[1]]).collect();
    let longest = (0..stretches.len()).max_by_key(|i| (stretches[*i].len(), usize::MAX - i)).unwrap_or(0);
    let first = |keys: &[Option<Key>], of: &[usize]| of.iter().filter_map(|i| keys[*i]).min();
    let last = |keys: &[Option<Key>], of: &[usize]| of.iter().filter_map(|i| keys[*i]).max();
    let shift = |keys: &mut [Option<Key>], of: &[usize], by: Key| {
        for at in of {
            keys[*at] = keys[*at].map(|k| k + by);
        }
    };
    for i in longest + 1..stretches.len() {
        if let (Some(end), Some(start)) = (last(keys, stretches[i - 1]), first(keys, stretches[i])) {
            shift(keys, stretches[i], end + SECOND - start);
        }
    }
    for i in (0..longest).rev() {
        if let (Some(start), Some(end)) = (first(keys, stretches[i + 1]), last(keys, stretches[i])) {
            shift(keys, stretches[i], start - SECOND - end);
        }
    }
}

/// Puts frames in the order of the day; `body_of` gives the body of each. Ids are not touched.
pub(crate) fn sort(frames: &mut [Frame], body_of: &[usize]) {
    let keys = keys(frames, body_of);
    let (mut timed, mut timeless): (Vec<usize>, Vec<usize>) =
        (0..frames.len()).partition(|at| keys[*at].is_some());
    timed.sort_by(|a, b| (keys[*a], frames[*a].path()).cmp(&(keys[*b], frames[*b].path())));
    for moment in timed.chunk_by_mut(|a, b| keys[*a] == keys[*b]) {
        sort_moment(moment, frames);
    }
    timeless.sort_by_cached_key(|at| {
        let frame = &frames[*at];
        (place(frame), frame.taken, frame.path().to_owned())
    });
    let mut chain = Chain::default();
    for at in &timed {
        chain.push(place(&frames[*at]), keys[*at]);
    }
    for at in &timeless {
        chain.place(place(&frames[*at]), frames[*at].when().map(key));
    }
    let put_in: Vec<usize> = timed.into_iter().chain(timeless).collect();
    let order = chain.order().map(|at| put_in[at]).collect();
    reorder(frames, order);
}

/// Orders frames of one moment: by folder and number, then path.
fn sort_moment(moment: &mut [usize], frames: &[Frame]) {
    if moment.len() < 2 {
        return;
    }
    let places: Vec<_> = moment.iter().filter_map(|at| place(&frames[*at])).collect();
    let over = running_over(places.iter());
    moment.sort_by_cached_key(|at| {
        let by_number = place(&frames[*at]).map(|p| over.key(p));
        (by_number.is_none(), by_number, frames[*at].path().to_owned())
    });
}

/// Puts at each place the frame that stood at `from` of it, in place: a day's frames are large.
fn reorder(frames: &mut [Frame], mut from: Vec<usize>) {
    for start in 0..frames.len() {
        let mut at = start;
        while from[at] != start {
            let next = std::mem::replace(&mut from[at], at);
            frames.swap(at, next);
            at = next;
        }
        from[at] = at;
    }
}

#[cfg(test)]
#[path = "order_tests.rs"]
mod tests;

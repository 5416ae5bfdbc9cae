//! Which files of a folder are whole, and which are still being written.
//!
//! A file is whole when its structure has its end, or else when it has been still for a while. A file taken for whole
//! too early does no harm: it changes again, and is read again.

use std::collections::BTreeMap;
use std::time::{Duration, Instant, SystemTime};

use crate::exposure::Card;
use crate::kind::{Content, Kind};
use crate::walk::Found;

/// How long a file whose structure does not show its end must have kept its size and time. Cables and home networks
/// deliver the pieces of a file some 1–50 ms apart; with the 20 ms before a walk and the reading this stays below the
/// 300 ms in which a finished set is to be shown.
const STILL: Duration = Duration::from_millis(150);
/// The same for a file whose end is seen to be missing, and for a picture under a name that is none: programs write
/// under such names before they give the right one. It is damaged or odd, or its transfer has stalled.
const STILL_UNFINISHED: Duration = Duration::from_millis(1500);
/// A file that lay there when watching began is whole when its time is at least this long ago; FAT keeps times in steps
/// of 2 s.
const LAY_THERE: Duration = Duration::from_secs(4);

/// A file's path, size and time of change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Stamp {
    path: String,
    bytes: u64,
    modified: Option<SystemTime>,
}

impl Stamp {
    pub(super) fn of(found: &Found) -> Self {
        Self { path: found.path.clone(), bytes: found.bytes, modified: found.modified }
    }

    fn same_file(&self, other: &Self) -> bool {
        self.bytes == other.bytes && self.modified.is_some() && self.modified == other.modified
    }
}

/// The files of the last walk.
#[derive(Debug, Default)]
pub(super) struct Growing {
    files: BTreeMap<String, Seen>,
    begun: bool,
}

#[derive(Debug, Clone)]
struct Seen {
    stamp: Stamp,
    /// Since when it has been so.
    since: Instant,
    /// How long that must be for it to be whole.
    still: Duration,
    /// When it was first noticed; `None` when it lay there before.
    arrived: Option<SystemTime>,
}

/// What a walk showed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sifted {
    /// Whether any file came, went or changed since the last one; `false` the first time.
    pub(super) changed: bool,
    /// When a file that is still being written may be whole.
    pub(super) look_again: Option<Instant>,
}

impl Growing {
    /// Leaves only whole files.
    pub(super) fn sift(&mut self, card: &Card<'_>, files: &mut Vec<Found>, now: Instant) -> Sifted {
        let mut before = std::mem::take(&mut self.files);
        let stamps: Vec<Stamp> = files.iter().map(Stamp::of).collect();
        let mut changed = false;
        let mut seen: Vec<Option<Seen>> = stamps.iter().map(|stamp| before.remove(&stamp.path)).collect();
        // What is left of those before went away: deleted or renamed.
        changed |= !before.is_empty();
        for ((stamp, found), seen) in stamps.into_iter().zip(files.iter()).zip(&mut seen) {
            if seen.as_ref().is_some_and(|s| s.stamp == stamp) {
                continue;
            }
            changed = true;
            let arrived = match seen {
                Some(seen) => seen.arrived,
                None => match before.values().find(|old| old.stamp.same_file(&stamp)) {
                    Some(renamed) => renamed.arrived,
                    None => self.begun.then(SystemTime::now),
                },
            };
            let lay_there = !self.begun && is_old(&stamp);
            let still = if lay_there { Duration::ZERO } else { stillness(card, found) };
            *seen = Some(Seen { stamp, since: now, still, arrived });
        }
        changed &= self.begun;
        self.begun = true;
        let whole_at = |seen: &Option<Seen>| seen.as_ref().map(|s| s.since + s.still).filter(|at| *at > now);
        let look_again = seen.iter().filter_map(whole_at).min();
        let mut is_whole = seen.iter().map(|s| whole_at(s).is_none());
        files.retain(|_| is_whole.next().unwrap_or(true));
        self.files = seen.into_iter().flatten().map(|s| (s.stamp.path.clone(), s)).collect();
        Sifted { changed, look_again }
    }

    /// When a file was first noticed; `None` when it lay there before, or is not known.
    pub(super) fn arrived(&self, path: &str) -> Option<SystemTime> {
        self.files.get(path)?.arrived
    }
}

fn is_old(stamp: &Stamp) -> bool {
    let age = stamp.modified.and_then(|at| at.elapsed().ok());
    age.is_some_and(|age| age >= LAY_THERE)
}

/// How long a file must be still to be whole.
fn stillness(card: &Card<'_>, found: &Found) -> Duration {
    if Kind::by_name(found.name()) == Kind::Other {
        return STILL_UNFINISHED;
    }
    if !found.kind.leads() {
        return STILL;
    }
    let reading = card.reading(&found.path);
    match reading.content {
        _ if reading.cut => STILL_UNFINISHED,
        Content::Empty | Content::Unknown => STILL_UNFINISHED,
        Content::Tiff | Content::Raf => STILL,
        _ => Duration::ZERO,
    }
}

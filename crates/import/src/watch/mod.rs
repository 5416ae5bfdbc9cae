//! Watches a folder into which frames arrive, by cable or wireless, and gives its whole state whenever that changed.
//!
//! Works by the system's notifications, and always by a slow walk beside them: network folders send none, and a
//! notification can be lost. A file that is still being written is waited for; one that was renamed, changed or deleted
//! shows in the next state; a folder that went away is waited for. Only new and changed files are read. There is no
//! thread here: [`Watch::next`] works on that of its caller. Nothing is written.

mod alarm;
mod growing;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

use record::{Frame, Progress};

use crate::exposure::Card;
use crate::intake::read_walked;
use crate::kept::Kept;
use crate::source::Meter;
use crate::{Intake, ReadFault, Skipped, walk};
use alarm::Alarm;
use growing::{Growing, Stamp};

/// Pause between two walks without a notification. Together with reading and printing it keeps the delay of a folder
/// that sends none near one second.
const POLL: Duration = Duration::from_secs(1);
/// A walk over a slow network is not begun again at once: this many times as long as it took passes in between.
const REST: u32 = 10;
/// The same for a walk that a notification asks for, so that a long copy into the folder does not keep it walking.
const REST_WHEN_TOLD: u32 = 4;
/// From a notification to the walk: the events of one file come within some milliseconds of each other.
const GATHER: Duration = Duration::from_millis(20);

/// A folder that is being watched.
#[derive(Debug)]
pub struct Watch {
    root: PathBuf,
    alarm: Alarm,
    growing: Growing,
    kept: Kept,
    /// Whole files of the last walk that was read; `None` when that must be done again.
    read: Option<Vec<Stamp>>,
    given: Given,
    /// When to walk next, and whether a notification asked for it.
    walk_at: Instant,
    told: bool,
    /// No notification makes it walk before this.
    rest_until: Instant,
}

/// What the caller knows.
#[derive(Debug, Default)]
struct Given {
    frames: Vec<Frame>,
    skipped: Vec<Skipped>,
    /// Why there is nothing to read, when that was said last.
    nothing: Option<ReadFault>,
}

/// What became of a folder.
#[derive(Debug)]
pub enum News {
    /// It holds these frames now.
    Changed(State),
    /// There is nothing to read: it went away, is empty or holds no picture. It is waited for; what was given before is
    /// not to be taken for deleted.
    Nothing(ReadFault),
}

/// A folder's whole state, and what changed since the last one.
#[derive(Debug)]
pub struct State {
    /// Everything in it that is whole.
    pub intake: Intake,
    /// Frames that came while it was watched; not those that lay there already.
    pub arrived: Vec<Arrived>,
    /// Paths of pictures and raws that were in the last state and are not there any more.
    pub gone: BTreeSet<String>,
}

/// A frame that came while its folder was watched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Arrived {
    /// Path of its picture, as [`Frame::path`].
    pub path: String,
    /// When its file was first noticed. One that was renamed keeps the moment of its old name.
    pub at: SystemTime,
}

impl Watch {
    /// Begins to watch a folder and all below it. It may be empty still. Where the system gives no notifications, the
    /// slow walk alone finds what changed.
    ///
    /// # Errors
    /// [`ReadFault::NotThere`] or [`ReadFault::NotAFolder`].
    pub fn open(folder: &Path) -> Result<Self, ReadFault> {
        Self::with(folder, Alarm::new(folder))
    }

    fn with(folder: &Path, alarm: Alarm) -> Result<Self, ReadFault> {
        match std::fs::metadata(folder) {
            Ok(about) if about.is_dir() => Ok(Self {
                root: folder.to_owned(),
                alarm,
                growing: Growing::default(),
                kept: Kept::default(),
                read: None,
                given: Given::default(),
                walk_at: Instant::now(),
                told: false,
                rest_until: Instant::now(),
            }),
            Ok(_) => Err(ReadFault::NotAFolder(folder.into())),
            Err(_) => Err(ReadFault::NotThere(folder.into())),
        }
    }

    /// Waits until something changed, and gives it; `None` after `timeout` without news, or when `progress` says stop.
    /// The first call gives what lies there already. Reading may take longer than `timeout`; its progress is told.
    pub fn next(&mut self, timeout: Duration, progress: &dyn Progress) -> Option<News> {
        let begun = Instant::now();
        loop {
            if Instant::now() >= self.walk_at
                && let Some(news) = self.look(progress)
            {
                return Some(news);
            }
            let left = timeout.saturating_sub(begun.elapsed());
            if left.is_zero() || progress.stopped() {
                return None;
            }
            if self.alarm.wait(left.min(self.walk_at.saturating_duration_since(Instant::now()))) {
                self.told = true;
                self.walk_at = self.walk_at.min(self.rest_until.max(Instant::now() + GATHER));
            }
        }
    }

    /// Walks the folder and reads it where it changed.
    fn look(&mut self, progress: &dyn Progress) -> Option<News> {
        let begun = Instant::now();
        let told = std::mem::take(&mut self.told);
        let root = self.root.clone();
        let card = Card { root: &root, meter: Meter::default() };
        let mut walked = match walk::walk(&root, &card.meter, || progress.stopped()) {
            Ok(walked) => walked,
            Err(fault) => return self.nothing(fault),
        };
        let sifted = self.growing.sift(&card, &mut walked.files, begun);
        if sifted.changed && !told {
            // Notifications did not tell of it: the folder may be another one by now, or they may not work at all.
            self.alarm.renew(&root);
        }
        let next_walk = begun + POLL.max(begun.elapsed() * REST);
        self.rest_until = begun + begun.elapsed() * (1 + REST_WHEN_TOLD);
        self.walk_at = sifted.look_again.map_or(next_walk, |at| at.min(next_walk));
        let stamps: Vec<Stamp> = walked.files.iter().map(Stamp::of).collect();
        if self.read.as_ref() == Some(&stamps) {
            return None;
        }
        match read_walked(&card, walked, Some(&mut self.kept), progress, &|_| {}) {
            Ok(intake) => {
                // What could not be opened may be opened later.
                self.read = self.kept.is_whole().then_some(stamps);
                self.changed(intake)
            }
            Err(fault) => self.nothing(fault),
        }
    }

    fn changed(&mut self, intake: Intake) -> Option<News> {
        let returned = self.given.nothing.take().is_some();
        if !returned && intake.frames == self.given.frames && intake.skipped == self.given.skipped {
            return None;
        }
        let before = paths(&self.given.frames);
        let now = paths(&intake.frames);
        let arrived = intake
            .frames
            .iter()
            .filter(|f| !f.places().any(|p| before.contains(p.path.as_str())))
            .filter_map(|f| Some(Arrived { path: f.path().to_owned(), at: self.growing.arrived(f.path())? }));
        let arrived = arrived.collect();
        let gone = before.difference(&now).map(|path| (*path).to_owned()).collect();
        self.given.frames.clone_from(&intake.frames);
        self.given.skipped.clone_from(&intake.skipped);
        Some(News::Changed(State { intake, arrived, gone }))
    }

    /// Says once that there is nothing to read.
    fn nothing(&mut self, fault: ReadFault) -> Option<News> {
        if fault == ReadFault::Stopped {
            self.walk_at = Instant::now();
            return None;
        }
        self.read = None;
        let said = self.given.nothing.replace(fault.clone());
        said.is_none_or(|said| kind(&said) != kind(&fault)).then_some(News::Nothing(fault))
    }
}

/// A folder that is empty and one without a picture are told apart in words only.
fn kind(nothing: &ReadFault) -> std::mem::Discriminant<ReadFault> {
    let empty = ReadFault::Empty(PathBuf::new());
    std::mem::discriminant(if matches!(nothing, ReadFault::NoPictures { .. }) { &empty } else { nothing })
}

/// Paths of all pictures and raws, copies included.
fn paths(frames: &[Frame]) -> BTreeSet<&str> {
    let leads = |role| matches!(role, record::FileRole::Picture | record::FileRole::Raw);
    frames.iter().flat_map(Frame::places).filter(|f| leads(f.role)).map(|f| f.path.as_str()).collect()
}

#[cfg(test)]
mod tests;

//! A closer look at a day's frames, apart from the day: what is to be looked at is taken out of it, what was seen is
//! taken in again, so that the day can be edited meanwhile.
//!
//! Those of the retake list come first. It goes part by part, so that each part can be taken in as soon as it was seen.
//! It draws nothing and starts no thread.

use std::collections::BTreeSet;
use std::path::PathBuf;

use import::LookedAt;
use record::{Frame, FrameId, FrameKind, Progress, Session};

use crate::day::Day;

/// Most frames of a part: a few seconds of work, and few enough parts that working out a long day anew after each costs
/// little beside.
const PART: usize = 48;

/// Which frames are being looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Those of animals on the retake list.
    Retakes,
    /// All others.
    Others,
}

/// What is to be looked at.
#[derive(Debug, Clone)]
pub struct Closer {
    card: PathBuf,
    frames: Vec<Frame>,
    blanks: BTreeSet<FrameId>,
    stages: [(Stage, Vec<FrameId>); 2],
}

/// What was seen of some frames.
#[derive(Debug, Clone)]
pub struct Seen {
    /// The frames, with what was seen of them.
    pub frames: Vec<Frame>,
    /// What it came to.
    pub looked: LookedAt,
}

/// The frames that are in use and were not looked at yet. Blanks as well: a thumbnail that shows something else may have
/// misled.
pub fn unseen(session: &Session) -> impl Iterator<Item = &Frame> {
    session.frames.iter().filter(|f| f.looks.is_none() && session.kind(f) != FrameKind::SetAside)
}

impl Closer {
    /// The [`unseen`] frames of a day that are wanted.
    pub fn of(day: &Day, wanted: impl Fn(&Frame) -> bool) -> Self {
        let session = &day.session;
        let retakes = grouping::retake_list(session, &day.grouping);
        let first: BTreeSet<FrameId> =
            retakes.iter().flat_map(|r| session.sets[r.set].frames.iter().copied()).collect();
        let is_blank = |f: &&Frame| session.kind(f) == FrameKind::Blank;
        let blanks = session.frames.iter().filter(is_blank).map(|f| f.id).collect();
        let wanted = unseen(session).filter(|f| wanted(f)).map(|f| f.id);
        let (retakes, others) = wanted.partition(|id| first.contains(id));
        Self {
            card: day.card.clone(),
            frames: session.frames.clone(),
            blanks,
            stages: [(Stage::Retakes, retakes), (Stage::Others, others)],
        }
    }

    /// The frames that are to be looked at.
    pub fn wanted(&self) -> impl Iterator<Item = FrameId> {
        self.stages.iter().flat_map(|(_, frames)| frames.iter().copied())
    }

    /// Looks. `progress` counts the frames of a stage, `stage` hears which it is; `take` gets each part as it was seen.
    /// When `progress` says stop, what was seen until then is given.
    pub fn look(mut self, progress: &dyn Progress, stage: impl Fn(Stage), mut take: impl FnMut(Seen)) {
        for (at, wanted) in &self.stages {
            stage(*at);
            let of = wanted.len();
            for (n, part) in wanted.chunks(PART).enumerate() {
                if progress.stopped() {
                    return;
                }
                let part: BTreeSet<FrameId> = part.iter().copied().collect();
                let within = Within { whole: progress, before: n * PART, of };
                let looked = import::look_closer(
                    &self.card,
                    &mut self.frames,
                    |f| part.contains(&f.id),
                    |f| self.blanks.contains(&f.id),
                    &within,
                );
                let frames = self.frames.iter().filter(|f| part.contains(&f.id)).cloned().collect();
                take(Seen { frames, looked });
            }
        }
    }
}

/// The progress of a part within its stage.
struct Within<'a> {
    whole: &'a dyn Progress,
    before: usize,
    of: usize,
}

impl Progress for Within<'_> {
    fn at(&self, done: usize, _of: usize) {
        self.whole.at(self.before + done, self.of);
    }

    fn stopped(&self) -> bool {
        self.whole.stopped()
    }

    fn held_up(&self) -> bool {
        self.whole.held_up()
    }

    fn wait(&self) {
        self.whole.wait();
    }
}

impl Day {
    /// Takes in what was seen of frames; all else about them stays. Call [`Day::rearrange`] after it.
    pub fn take_seen(&mut self, seen: Vec<Frame>) {
        for seen in seen.into_iter().filter(|f| f.looks.is_some()) {
            let frames = &mut self.session.frames;
            let own = frames.iter_mut().find(|f| f.id == seen.id && f.same_exposure(&seen));
            if let Some(own) = own {
                own.take_closer(seen);
            }
        }
    }

    /// Looks closer at all frames in use that were not looked at yet, those of the retake list first, and works
    /// everything out anew. When `progress` says stop, what was seen until then stands.
    pub fn look_closer(&mut self, progress: &dyn Progress) -> LookedAt {
        let mut all = LookedAt::default();
        Closer::of(self, |_| true).look(
            progress,
            |_| {},
            |seen| {
                all = all + seen.looked;
                self.take_seen(seen.frames);
            },
        );
        self.rearrange();
        all
    }
}

//! The colour of a patch of a picture, worked out beside the window from the full picture and the blank that tells its light.
//!
//! Go in: a frame, a patch of it and a blank. Comes out: what was picked, with the nearest words and every doubt, or why
//! nothing could be. What colours mean is `imaging`'s; nothing is written here.

use std::path::PathBuf;

use crossbeam_channel::{Receiver, bounded};
use egui::Context;
use imaging::colour::Rgb;
use imaging::colour_note::note;
use imaging::{ColourWord, Region};
use import::Full;
use record::{CharacterKey, Frame, FrameId, FrameKind, Patch, Picked, Session, StateKey};

use super::marking::Place;
use super::words::tell;

/// Radius of the circle at first, as a share of the picture's long side; our own choice.
const RADIUS_SHARE: f64 = 0.015;
/// One step of the radius by a key.
const RADIUS_STEP: f64 = 1.25;
/// The radius is at least this, px, and at most this share of the long side.
const RADIUS_LEAST_PX: f64 = 4.0;
const RADIUS_MOST_SHARE: f64 = 0.2;

/// What the hands are at.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct ColourPick {
    /// Where the pointer is over the picture.
    pub(crate) pointer: Option<Place>,
    /// The radius of the circle, px; `None` for that at first.
    radius_px: Option<f64>,
    /// For which region a colour is being worked out.
    pub(crate) waits: Option<CharacterKey>,
    /// What was picked and may be taken.
    pub(crate) offered: Option<Offered>,
    /// Why nothing was picked.
    pub(crate) refused: Option<String>,
}

/// A picked colour that may be taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Offered {
    /// The region it was picked for.
    pub(crate) region: CharacterKey,
    /// The word proposed.
    pub(crate) word: StateKey,
    /// What was picked.
    pub(crate) picked: Picked,
}

impl ColourPick {
    /// The radius of the circle on a picture of this long side, px.
    pub(crate) fn radius(&self, long_px: f64) -> f64 {
        self.radius_px.unwrap_or(RADIUS_SHARE * long_px).clamp(RADIUS_LEAST_PX, RADIUS_MOST_SHARE * long_px)
    }

    /// Lets go of what was picked and is being worked out; the circle stays as large.
    pub(crate) fn forget(&mut self) {
        *self = Self { radius_px: self.radius_px, ..Self::default() };
    }

    /// Makes the circle larger or smaller by so many steps.
    pub(crate) fn step(&mut self, by: i32, long_px: f64) {
        let wanted = self.radius(long_px) * RADIUS_STEP.powi(by);
        self.radius_px = Some(wanted.clamp(RADIUS_LEAST_PX, RADIUS_MOST_SHARE * long_px));
    }
}

/// A colour being worked out.
#[derive(Debug)]
pub(crate) struct Picking {
    receive: Receiver<Result<Offered, String>>,
}

/// What is to be worked out.
pub(crate) struct Asked {
    pub(crate) card: PathBuf,
    pub(crate) region: CharacterKey,
    pub(crate) frame: Frame,
    pub(crate) centre: Place,
    pub(crate) radius_px: f64,
    pub(crate) blank: Option<Frame>,
}

impl Picking {
    /// Begins on a thread of its own.
    pub(crate) fn start(ctx: &Context, asked: Asked) -> Self {
        let (send, receive) = bounded(1);
        let ctx = ctx.clone();
        let work = move || {
            // Nobody listens any more when another was begun.
            send.send(pick(&asked)).ok();
            ctx.request_repaint();
        };
        // Without a thread nothing comes, and the window says so below.
        drop(std::thread::Builder::new().name("colour".to_owned()).spawn(work));
        Self { receive }
    }

    /// What came out, once it did. Without a word from the thread it is no more.
    pub(crate) fn take(&self) -> Option<Result<Offered, String>> {
        match self.receive.try_recv() {
            Ok(done) => Some(done),
            Err(crossbeam_channel::TryRecvError::Empty) => None,
            Err(crossbeam_channel::TryRecvError::Disconnected) => Some(Err(tell!("colour-failed"))),
        }
    }
}

/// The blank that tells the light of a frame: the one that closes its set, else the nearest in time.
pub(crate) fn blank_for(session: &Session, frame: &Frame) -> Option<FrameId> {
    let set = session.set_of(frame.id).and_then(|at| session.sets[at].closed_by);
    let at = |id: FrameId| session.frames.iter().position(|f| f.id == id);
    let own = at(frame.id)?;
    let blanks = session.frames.iter().enumerate();
    let blanks = blanks.filter(|(_, f)| session.kind(f) == FrameKind::Blank && f.can_show());
    // Where no time is known, frames apart stand for it.
    let apart = |(place, other): &(usize, &Frame)| match (other.when(), frame.when()) {
        (Some(one), Some(two)) => (0, one.secs_since(&two).abs()),
        _ => (1, place.abs_diff(own) as f64),
    };
    let nearest = blanks.min_by(|a, b| apart(a).partial_cmp(&apart(b)).unwrap_or(std::cmp::Ordering::Equal));
    set.or(nearest.map(|(_, f)| f.id))
}

fn full(asked: &Asked, frame: &Frame) -> Result<Rgb, String> {
    let Full { width, height, pixels } = import::picture::<[u8; 4]>(&asked.card, frame)?;
    Ok(Rgb { width, height, values: pixels.iter().flat_map(|[r, g, b, _]| [*r, *g, *b]).collect() })
}

fn pick(asked: &Asked) -> Result<Offered, String> {
    let picture = full(asked, &asked.frame)?;
    // A blank that cannot be read is one doubt more, no reason to give nothing.
    let blank = asked.blank.as_ref().and_then(|blank| full(asked, blank).ok());
    let (centre, radius) = (asked.centre, asked.radius_px);
    let region = Region::Circle { centre, radius };
    let found = note(&picture, &region, blank.as_ref()).ok_or_else(|| tell!("colour-nothing"))?;
    let key = |word: ColourWord| StateKey::from(word.word());
    let neutral = asked.blank.as_ref().filter(|_| found.neutral.is_some()).map(|blank| blank.id);
    let picked = Picked {
        frame: asked.frame.id,
        patch: Patch::Circle { centre, radius },
        picture_px: (picture.width as u32, picture.height as u32),
        lab: found.lab,
        spread: found.spread,
        pixels: found.pixels as u64,
        nearest: found.nearest.map(|(word, far)| (key(word), far)),
        neutral,
        doubts: found.doubts.iter().map(|doubt| doubt.words()).collect(),
    };
    Ok(Offered { region: asked.region.clone(), word: key(found.word), picked })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_circle_grows_and_shrinks_by_steps_within_bounds() {
        let mut pick = ColourPick::default();
        assert!((pick.radius(6000.0) - 90.0).abs() < 1e-9);
        pick.step(1, 6000.0);
        assert!((pick.radius(6000.0) - 112.5).abs() < 1e-9);
        for _ in 0..40 {
            pick.step(-1, 6000.0);
        }
        assert!((pick.radius(6000.0) - RADIUS_LEAST_PX).abs() < 1e-9);
        for _ in 0..60 {
            pick.step(1, 6000.0);
        }
        assert!((pick.radius(6000.0) - 1200.0).abs() < 1e-9);
    }

    #[test]
    fn the_light_is_told_by_the_blank_that_closes_the_set_else_by_the_nearest_in_time() {
        let frame = |id: u32, time: &str| {
            let file =
                record::FrameFile { path: format!("{id}.jpg"), bytes: 1, role: record::FileRole::Picture };
            let mut frame = Frame::new(FrameId(id), vec![file]);
            frame.spread = Some(record::Spread { level: 9.0, frame: 9.0, tile: 9.0, grain: 1.0, mean: 90.0 });
            frame.taken = Some(format!("2026-06-14T10:{time}").parse().unwrap());
            frame
        };
        let mut session = Session::new("day", crate::plans::usual());
        // Two blanks, of which the one before lies nearer in time, and the one after nearer in the order.
        session.frames = vec![
            frame(0, "00:00"),
            frame(1, "00:10"),
            frame(2, "00:20"),
            frame(3, "00:25"),
            frame(4, "09:00"),
        ];
        for blank in [0, 4] {
            session.decisions.kinds.insert(FrameId(blank), FrameKind::Blank);
        }
        let of = |session: &Session, id: usize| blank_for(session, &session.frames[id]);
        assert_eq!(of(&session, 3), Some(FrameId(0)));
        session.arrange(vec![(vec![FrameId(1), FrameId(2), FrameId(3)], Some(FrameId(4)))]);
        assert_eq!(of(&session, 3), Some(FrameId(4)), "the one that closes its set");
        session.decisions.kinds.clear();
        session.arrange(vec![(session.frames.iter().map(|f| f.id).collect(), None)]);
        assert_eq!(of(&session, 3), None, "there is none");
    }
}

//! The pictures of a specimen for paper: each view of the plan with its best frame or its gap, then frames of no view.
//!
//! Goes in: a specimen as it is shared and the archive that its pictures are filed in. Come out: copies without metadata
//! ([`crate::picture`]), a large and a small one of each frame, made specimen by specimen, with the scale where one was
//! marked. A picture that cannot be read is a gap that says so.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use grouping::{Grouping, SlotState, coverage};
use imaging::Uncertain;
use imaging::measuring::round_length;
use rayon::prelude::*;
use record::{Frame, FrameId, Session};

use crate::picture::{Opened, PictureFault, within};
use crate::round::{Round, Slot, filed_frame};
use crate::scale::scale_of;
use crate::shown::Shown;

/// Long side of a large copy, px: 100 mm of paper at 300 a inch, which is as much as print shows.
const LARGE_PX: u32 = 1200;
/// Long side of a small copy, px: 25 mm of paper at 300 an inch.
const SMALL_PX: u32 = 300;
/// Bytes of a small copy at most.
const SMALL_BYTES: usize = 8_000;
/// Frames of no view that are shown at most.
const MOST_OTHERS: usize = 6;

/// A copy of a frame.
#[derive(Debug, Clone)]
pub(crate) struct Shot {
    pub(crate) jpeg: Arc<Vec<u8>>,
    /// Its columns and rows.
    pub(crate) px: (u32, u32),
    pub(crate) small: Arc<Vec<u8>>,
    pub(crate) small_px: (u32, u32),
    /// Pixels of the large copy a mm, where a scale was marked.
    pub(crate) px_per_mm: Option<f64>,
    /// The same of the full picture, with its expanded uncertainty (k = 2), in words; empty without one.
    pub(crate) scale: String,
}

/// A sign that tells how a view stands, by its shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sign {
    /// A full disc: there, and nothing is wrong with it.
    Full,
    /// A half disc: there, and not good enough.
    Half,
    /// A dotted disc: nobody has confirmed it.
    Dotted,
    /// A struck circle: missing.
    Struck,
    /// A circle: neither required nor taken.
    Empty,
}

/// A view or frame as it is shown.
#[derive(Debug, Clone)]
pub(crate) struct Cell {
    /// What it is called.
    pub(crate) name: String,
    pub(crate) sign: Sign,
    /// What the sign says.
    pub(crate) word: String,
    /// Its picture; `None` is a gap.
    pub(crate) shot: Option<Shot>,
}

/// What is shown of a specimen.
#[derive(Debug, Clone)]
pub(crate) struct Pictures {
    /// The views of the plan, in shooting order.
    pub(crate) views: Vec<Cell>,
    /// Frames whose view is not confirmed.
    pub(crate) others: Vec<Cell>,
    /// Frames that are not shown.
    pub(crate) more: usize,
}

impl Pictures {
    /// What has a place of its own among large pictures: views that are there or missing, and frames of no view.
    pub(crate) fn placed(&self) -> Vec<&Cell> {
        let views = self.views.iter().filter(|cell| cell.shot.is_some() || cell.sign == Sign::Struck);
        views.chain(&self.others).collect()
    }

    /// Scales of the pictures shown, by their names.
    pub(crate) fn scales(&self) -> Vec<(String, String)> {
        let scale = |cell: &Cell| {
            let shot = cell.shot.as_ref().filter(|shot| !shot.scale.is_empty())?;
            Some((format!("scale, {}", cell.name.to_lowercase()), shot.scale.clone()))
        };
        self.views.iter().chain(&self.others).filter_map(scale).collect()
    }

    /// Names of the views that frames of no view may show; `None` when there are none.
    pub(crate) fn unconfirmed(&self) -> Option<String> {
        let is_open = |cell: &&Cell| cell.shot.is_none() && cell.sign == Sign::Dotted;
        let names: Vec<&str> = self.views.iter().filter(is_open).map(|cell| cell.name.as_str()).collect();
        (!names.is_empty()).then(|| names.join(", "))
    }
}

/// How many frames of a specimen are shown.
pub(crate) fn count(round: &Round<'_>) -> usize {
    round.slots.iter().filter(|slot| slot.best().is_some()).count() + round.frames.len().min(MOST_OTHERS)
}

/// The pictures of a specimen, each large copy of at most so many bytes; made on all cores. Faults are told apart.
pub(crate) fn pictures(
    (archive, folder): (&Path, &str),
    shown: &Shown<'_>,
    round: &Round<'_>,
    grouping: &Grouping,
    at_most_bytes: usize,
) -> (Pictures, Vec<PictureFault>) {
    let session = shown.session;
    let mut faults = Vec::new();
    let best = round.slots.iter().filter_map(Slot::best);
    let wanted: Vec<&Frame> = best.chain(round.frames.iter().take(MOST_OTHERS).copied()).collect();
    let made = wanted.par_iter().with_max_len(1);
    let made = made.map(|frame| (frame.id, shot((archive, folder), session, frame, at_most_bytes)));
    let mut made: BTreeMap<FrameId, Result<Shot, PictureFault>> = made.collect();
    let mut shot = |frame: &Frame| made.remove(&frame.id)?.map_err(|fault| faults.push(fault)).ok();
    let covered = coverage(session, grouping, shown.set);
    let mut views = Vec::new();
    for (slot, covered) in round.slots.iter().zip(&covered.slots) {
        let name = slot.view.name.clone();
        let taken = slot.best().map(&mut shot);
        let (sign, word) = match (&taken, covered.state) {
            (Some(None), _) => (Sign::Struck, "cannot be read"),
            (Some(Some(_)), _) => match &covered.inadequate {
                Some(words) => (Sign::Half, words.as_str()),
                None if slot.best().is_some_and(|frame| frame.looks.is_some()) => (Sign::Full, "good"),
                None => (Sign::Full, "confirmed"),
            },
            (None, SlotState::Missing) => (Sign::Struck, "missing"),
            (None, SlotState::NotAsked) => (Sign::Empty, "not taken"),
            // What is confirmed but of which no picture is filed is a gap as well.
            (None, SlotState::Confirmed) => (Sign::Struck, "no picture filed"),
            (None, SlotState::Proposed | SlotState::Open) if round.frames.is_empty() => {
                (Sign::Struck, "missing")
            }
            (None, SlotState::Proposed | SlotState::Open) => (Sign::Dotted, "not confirmed"),
        };
        views.push(Cell { name, sign, word: word.to_owned(), shot: taken.flatten() });
    }
    let others = round.frames.iter().take(MOST_OTHERS).enumerate().map(|(nth, frame)| {
        let shot = shot(frame);
        let (sign, word) = if shot.is_some() {
            (Sign::Dotted, "view not confirmed")
        } else {
            (Sign::Struck, "cannot be read")
        };
        Cell { name: format!("Frame {}", nth + 1), sign, word: word.to_owned(), shot }
    });
    let others: Vec<Cell> = others.collect();
    let all = round.slots.iter().map(|slot| slot.frames.len()).sum::<usize>() + round.frames.len();
    (Pictures { views, others, more: all - count(round) }, faults)
}

fn shot(
    (archive, folder): (&Path, &str),
    session: &Session,
    frame: &Frame,
    at_most_bytes: usize,
) -> Result<Shot, PictureFault> {
    let opened = Opened::of(archive, &filed_frame(folder, session, frame))?;
    let copy = |long_side_px, at_most_bytes| {
        let mut px_per_px = 1.0;
        let made = within(Some(at_most_bytes), long_side_px, |side| {
            let reduced = opened.reduced(side, None);
            px_per_px = reduced.px_per_px;
            reduced.rgb
        });
        let (jpeg, (width, height)) = made.map_err(|most| opened.too_few(most))?;
        Ok((Arc::new(jpeg), (width as u32, height as u32), px_per_px))
    };
    let (jpeg, px, px_per_px) = copy(LARGE_PX, at_most_bytes)?;
    let (small, small_px, _) = copy(SMALL_PX, SMALL_BYTES)?;
    let (width, height) = opened.size_px();
    // A scale of pixels of another size is none of this picture.
    let scale = scale_of(&session.marks, frame.id);
    let scale = scale.filter(|(_, marked)| *marked == (width as u32, height as u32)).map(|(scale, _)| {
        let value = 1.0 / scale.mm_per_px.value;
        Uncertain { value, standard: value * scale.mm_per_px.relative() }
    });
    let words = scale.map_or(String::new(), |scale| format!("{}\u{a0}px/mm", scale.expanded().words()));
    Ok(Shot {
        jpeg,
        px,
        small,
        small_px,
        px_per_mm: scale.map(|scale| scale.value * px_per_px),
        scale: words,
    })
}

/// A round length of at most `most_mm` and more than a thousandth of a millimetre, and how it is written.
pub(crate) fn bar(most_mm: f64) -> Option<(f64, String)> {
    let mm = round_length(most_mm).filter(|_| most_mm > 1e-3)?;
    Some((mm, format!("{mm}\u{a0}mm")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_bar_has_a_round_length() {
        for (most, expected) in
            [(7.3, "5\u{a0}mm"), (1.0, "1\u{a0}mm"), (0.49, "0.2\u{a0}mm"), (25.0, "20\u{a0}mm")]
        {
            assert_eq!(bar(most).unwrap().1, expected);
        }
        for most in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(bar(most), None);
        }
    }
}

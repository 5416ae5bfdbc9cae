//! The second pass: a closer look at the subjects of some frames, against the blanks shot near them.
//!
//! In go frames in the order of the day, with what is to be looked at and which are blanks; each frame looked at gets
//! its [`Looks`] and the text of a jar card. Only a working preview of some hundred pixels is kept of each picture, so
//! memory stays within one decoded picture a thread. What is good enough, and which view a frame shows, is decided
//! elsewhere.

use std::collections::BTreeMap;
use std::ops::Add;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use imaging::background::Background;
use imaging::colour::Rgb;
use imaging::{alike, descriptor, quality, subject};
use rayon::prelude::*;
use record::{Frame, Looks, Progress, Quality, Spread};

use crate::display::{self, Picture, first_that_works};
use crate::exposure::spread_of;
use crate::jar_card::read_jar_card;
use crate::metadata::Reading;
use crate::pages::Pages;
use crate::preview;
use crate::upright::upright;

/// Long side of the working preview. Detail of two pixels here is a three-hundredth of the frame: an animal that fills a
/// third of it shows its hair.
const WORKING_PX: usize = 640;

/// Most blanks from which the background of a frame is made; their median needs no more.
const MOST_BLANKS: usize = 5;

/// Long side on which a blank serves: its thumbnail will do.
const BLANK_PX: u32 = 160;

/// How far from a frame, in frames, its blanks may lie: beyond some sets the light is another.
const NEAR_FRAMES: usize = 60;

/// What a second pass came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct LookedAt {
    /// Frames that have their looks now.
    pub looked: usize,
    /// Frames of which no picture could be had; they keep what they had.
    pub unseen: usize,
    /// Of those looked at, how many had no usable blank near them, so that their own border stood in for it.
    pub without_blank: usize,
    /// Frames whose embedded thumbnail shows something else than their picture. They were measured anew, and carry a fault
    /// that says so: blanks and sets are to be worked out again.
    pub other_thumbnail: usize,
}

/// Looks closer at the frames that are wanted. `blank` says which frames show nothing, as far as is known.
///
/// Frames are in the order of the day. `progress` counts frames and may have it rest between them; when it says stop, no further picture is opened, and what
/// was found until then stands. The result does not depend on the number of threads.
pub fn look_closer(
    root: &Path,
    frames: &mut [Frame],
    wanted: impl Fn(&Frame) -> bool,
    blank: impl Fn(&Frame) -> bool,
    progress: &dyn Progress,
) -> LookedAt {
    let looked_at: Vec<usize> = (0..frames.len()).filter(|i| wanted(&frames[*i])).collect();
    let is_blank: Vec<bool> = frames.iter().map(blank).collect();
    let near: Vec<Vec<usize>> = looked_at.iter().map(|i| blanks_near(frames, &is_blank, *i)).collect();
    let blanks = blanks_seen(root, frames, &near, progress);
    let done = AtomicUsize::new(0);
    progress.at(0, looked_at.len());
    let seen: Vec<Option<Seen>> = looked_at
        .par_iter()
        .zip(&near)
        .map(|(i, near)| {
            if rests_or_stops(progress) {
                return None;
            }
            let near: Vec<Rgb> = near.iter().filter_map(|b| blanks.get(b).cloned()).collect();
            let seen = look(root, &frames[*i], &near);
            progress.at(done.fetch_add(1, Ordering::Relaxed) + 1, looked_at.len());
            seen
        })
        .collect();
    let mut all = LookedAt::default();
    for (i, seen) in looked_at.into_iter().zip(seen) {
        match seen {
            Some(seen) => all.take(&mut frames[i], seen),
            None => all.unseen += 1,
        }
    }
    all
}

/// What a look at one frame brought.
struct Seen {
    looks: Looks,
    /// Text of a code in the picture.
    jar_card: Option<String>,
    /// What the picture itself measures, when its thumbnail shows something else.
    measured_anew: Option<Spread>,
}

impl Add for LookedAt {
    type Output = Self;

    /// What two passes over different frames came to.
    fn add(self, other: Self) -> Self {
        Self {
            looked: self.looked + other.looked,
            unseen: self.unseen + other.unseen,
            without_blank: self.without_blank + other.without_blank,
            other_thumbnail: self.other_thumbnail + other.other_thumbnail,
        }
    }
}

impl LookedAt {
    fn take(&mut self, frame: &mut Frame, seen: Seen) {
        self.looked += 1;
        self.without_blank += usize::from(seen.looks.without_blank);
        frame.looks = Some(seen.looks);
        frame.jar_card = seen.jar_card;
        if let Some(spread) = seen.measured_anew {
            self.other_thumbnail += 1;
            frame.spread = Some(spread);
            let words = OTHER_THUMBNAIL.to_owned();
            if !frame.faults.contains(&words) {
                frame.faults.push(words);
            }
        }
    }
}

/// The fault of a frame whose thumbnail misleads.
const OTHER_THUMBNAIL: &str =
    "its embedded thumbnail shows something else, so the picture itself was measured";

/// The blanks nearest to a frame, of its body, size and orientation, nearest first.
fn blanks_near(frames: &[Frame], is_blank: &[bool], i: usize) -> Vec<usize> {
    let own = &frames[i];
    let fits = |j: &usize| {
        let other = &frames[*j];
        is_blank[*j]
            && *j != i
            && (&other.body, other.size_px, other.orientation) == (&own.body, own.size_px, own.orientation)
    };
    let reach = i.saturating_sub(NEAR_FRAMES)..(i + NEAR_FRAMES + 1).min(frames.len());
    let mut near: Vec<usize> = reach.filter(fits).collect();
    near.sort_by_key(|j| (j.abs_diff(i), *j));
    near.truncate(MOST_BLANKS);
    near
}

/// Rests between two frames for as long as that is asked for; whether to stop.
fn rests_or_stops(progress: &dyn Progress) -> bool {
    if progress.held_up() {
        progress.wait();
    }
    progress.stopped()
}

/// The blanks that are needed, small and upright; those that cannot be shown are left out.
fn blanks_seen(
    root: &Path,
    frames: &[Frame],
    near: &[Vec<usize>],
    progress: &dyn Progress,
) -> BTreeMap<usize, Rgb> {
    let mut needed: Vec<usize> = near.iter().flatten().copied().collect();
    needed.sort_unstable();
    needed.dedup();
    let seen = |i: usize| {
        if rests_or_stops(progress) {
            return None;
        }
        let blank = display::thumbnail(root, &frames[i], BLANK_PX).ok()?;
        Some((i, rgb(blank.picture)?))
    };
    needed.into_par_iter().filter_map(seen).collect()
}

fn rgb(picture: Picture) -> Option<Rgb> {
    Rgb::new(picture.width, picture.height, picture.rgb)
}

fn look(root: &Path, frame: &Frame, blanks: &[Rgb]) -> Option<Seen> {
    let (working, measured_anew) = first_that_works(root, frame, |pages, reading, orientation| {
        let stored = working_preview(pages, reading)?;
        let thumbnail = preview::embedded(pages, reading, 0).map(|(luma, _)| luma);
        // Thumbnail and picture are compared as they are stored.
        let misled = thumbnail.is_some_and(|t| !alike(&t, &stored.luma()));
        let anew = misled.then(|| spread_of(&stored.luma()));
        let (width, height) = (stored.width as u32, stored.height as u32);
        let image =
            image::RgbImage::from_raw(width, height, stored.values).ok_or(crate::decode::NOT_DECODED)?;
        let working = rgb(upright(image, orientation)).ok_or(crate::decode::NOT_DECODED)?;
        Ok((working, anew))
    })
    .ok()?;
    let background = Background::of_blanks(blanks, (working.width, working.height));
    let found = subject::find(&working, background.as_ref());
    let measured = quality::measure(&working, &found);
    let quality = Quality {
        focus: measured.focus as f32,
        blown_share: measured.blown_share as f32,
        black_share: measured.black_share as f32,
        subject_share: found.share as f32,
        edge_cut: found.edge_cut,
        subject_found: found.bounds.is_some(),
    };
    let descriptor = descriptor::describe(&working, &found, background.as_ref());
    let descriptor = descriptor.map_or(vec![], |d| d.0.to_vec());
    let looks = Looks { descriptor, quality, without_blank: background.is_none() };
    let jar_card = read_jar_card(&working.luma());
    Some(Seen { looks, jar_card, measured_anew })
}

/// The working preview as stored: the smallest embedded picture large enough that shows the whole of the large one, else
/// that one, decoded and reduced.
fn working_preview(pages: &mut Pages<'_>, reading: &Reading) -> Result<Rgb, String> {
    let last_resort = reading.cut || reading.raw;
    let (picture, _room) = match display::embedded(pages, reading, WORKING_PX as u32, last_resort) {
        Some(embedded) => (embedded, None),
        None => display::large(pages, reading).map(|(picture, held)| (picture, Some(held)))?,
    };
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    let whole =
        Rgb::new(width, height, picture.into_raw()).ok_or_else(|| crate::decode::NOT_DECODED.to_owned())?;
    Ok(whole.reduced(WORKING_PX))
}

//! What is shown over a picture on request: where it is sharpest, or where it is blown out and lost in black.
//!
//! Goes in: frames that are looked at. Comes out: a see-through texture the size of the picture's places. Worked out on a
//! thread of its own from the full picture, and only while asked for. Which places are meant is `imaging`'s.

use std::collections::BTreeMap;
use std::path::Path;

use egui::{Color32, ColorImage, Context, TextureHandle, TextureId};
use imaging::colour::Rgb;
use imaging::over::{Places, lost, sharpest};
use import::Full;
use record::{Frame, FrameId};

use super::decode::{Bounds, Decoder, Ready, Sooner};
use super::look::{OVER_BLACK, OVER_BLOWN, OVER_SHARP};
use super::thumbs::smooth;

/// What can be shown over a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Over {
    /// Where it is sharpest.
    Sharp,
    /// Where it is blown out or lost in black.
    Lost,
}

/// Places across which one stripe and one gap of what is lost go.
const STRIPE: usize = 8;

type Key = (FrameId, Over);

/// What lies over the pictures that are looked at.
pub(crate) struct Overs {
    decoder: Decoder<Key>,
    held: BTreeMap<Key, Option<Shown>>,
}

/// What lies over a picture.
struct Shown {
    texture: TextureHandle,
    /// Whether no place is meant.
    nothing: bool,
}

impl Overs {
    /// Begins for a card.
    pub(crate) fn new(ctx: &Context, card: &Path) -> Self {
        let wake = ctx.clone();
        let wake = move || wake.request_repaint();
        let work_out = |card: &Path, frame: &Frame, key: &Key, _: Sooner<'_>| work_out(card, frame, key.1);
        let bounds = Bounds { threads: 1, busy_most: 1 };
        Self { decoder: Decoder::start("overs", bounds, card, work_out, &wake), held: BTreeMap::new() }
    }

    /// Takes in what was worked out, and wants this over these frames; all else is let go.
    pub(crate) fn keep(&mut self, ctx: &Context, over: Option<Over>, frames: &[&Frame]) {
        while let Some(Ready { key, picture, .. }) = self.decoder.take() {
            // The picture itself says why it cannot be shown.
            let load = |image: ColorImage| Shown {
                nothing: image.pixels.iter().all(|pixel| *pixel == Color32::TRANSPARENT),
                texture: ctx.load_texture(format!("over {} {:?}", key.0.0, key.1), image, smooth()),
            };
            self.held.insert(key, picture.ok().map(load));
        }
        let wanted: Vec<(Key, &Frame)> =
            over.iter().flat_map(|over| frames.iter().map(|f| ((f.id, *over), *f))).collect();
        self.held.retain(|key, _| wanted.iter().any(|(k, _)| k == key));
        let missing = wanted.into_iter().filter(|(key, _)| !self.held.contains_key(key));
        self.decoder.want(missing.map(|(key, frame)| (key, frame.clone())).enumerate().collect());
    }

    /// What lies over a frame, once it is there.
    pub(crate) fn get(&self, frame: FrameId, over: Over) -> Option<TextureId> {
        self.held.get(&(frame, over))?.as_ref().map(|shown| shown.texture.id())
    }

    /// Whether no place of a frame is meant.
    pub(crate) fn finds_nothing(&self, frame: FrameId, over: Over) -> bool {
        self.held.get(&(frame, over)).is_some_and(|held| held.as_ref().is_some_and(|shown| shown.nothing))
    }

    /// Whether it still comes.
    pub(crate) fn waits(&self, frame: FrameId, over: Over) -> bool {
        !self.held.contains_key(&(frame, over))
    }

    /// Whether the picture could not be looked at.
    pub(crate) fn is_blind(&self, frame: FrameId, over: Over) -> bool {
        self.held.get(&(frame, over)).is_some_and(Option::is_none)
    }

    /// Tries again what could not be looked at: its file may have come back.
    pub(crate) fn forget_broken(&mut self) {
        self.held.retain(|_, held| held.is_some());
    }
}

fn work_out(card: &Path, frame: &Frame, over: Over) -> Result<ColorImage, String> {
    let Full { width, height, pixels } = import::picture::<[u8; 4]>(card, frame)?;
    let picture =
        Rgb { width, height, values: pixels.iter().flat_map(|[r, g, b, _]| [*r, *g, *b]).collect() };
    drop(pixels);
    Ok(match over {
        Over::Sharp => {
            let places = sharpest(&picture.luma());
            image(&places, |n| if places.meant[n] { OVER_SHARP } else { Color32::TRANSPARENT })
        }
        Over::Lost => {
            let [blown, black] = lost(&picture);
            image(&blown, |n| {
                // Stripes that rise where it is blown out and fall where it is black.
                let (x, y) = (n % blown.width, n / blown.width);
                let (rises, falls) =
                    ((x + y) % STRIPE < STRIPE / 2, (x + STRIPE - y % STRIPE) % STRIPE < STRIPE / 2);
                match (blown.meant[n], black.meant[n]) {
                    (true, _) if rises => OVER_BLOWN,
                    (_, true) if falls => OVER_BLACK,
                    _ => Color32::TRANSPARENT,
                }
            })
        }
    })
}

fn image(places: &Places, color: impl FnMut(usize) -> Color32) -> ColorImage {
    ColorImage::new([places.width, places.height], (0..places.meant.len()).map(color).collect())
}

//! Full-size pictures: the one looked at, the one before and the one after, and no more.
//!
//! Where a picture as large as a screen can be had quickly, embedded or from the cache, it is there first; where it cannot,
//! one is made of the full picture for the next time. A frame of 24 megapixels takes 96 MB, so what lies further away is let
//! go. It draws nothing.

use std::collections::BTreeMap;
use std::path::Path;

use egui::{Color32, ColorImage, Context, TextureHandle};
use import::Full;
use record::{Frame, FrameId};

use super::decode::{Bounds, Decoder, Ready, Sooner};
use super::kept_previews::KeptPreviews;
use super::thumbs::{Shown, shown, smooth};

/// Longest side of a texture, px: what graphics systems take beyond it differs.
const TEXTURE_MOST_PX: usize = 8192;
/// Long side of what is there first, px.
const SCREEN_PX: u32 = 1200;

/// What there is of a frame's full picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Large {
    /// The picture, perhaps still the one as large as a screen.
    pub(crate) shown: Option<Shown>,
    /// Whether that is the full one.
    pub(crate) is_full: bool,
    /// Why there will be no full one.
    pub(crate) refused: Option<String>,
}

/// What is held of a frame.
struct Held {
    texture: Option<TextureHandle>,
    /// How the full picture came out; `None` while it is not there.
    full: Option<Result<(), String>>,
}

/// The full-size pictures around one frame.
pub(crate) struct Pictures {
    decoder: Decoder<FrameId>,
    held: BTreeMap<FrameId, Held>,
    /// Whether something is wanted that is not there.
    waits: bool,
}

impl Pictures {
    /// Begins for a card, with the cache of previews if there is one.
    pub(crate) fn new(ctx: &Context, card: &Path, kept: Option<KeptPreviews>) -> Self {
        let wake = ctx.clone();
        let wake = move || wake.request_repaint();
        let most_px = ctx.input(|i| i.max_texture_side).min(TEXTURE_MOST_PX);
        let decode = move |card: &Path, frame: &Frame, _: &FrameId, sooner: Sooner<'_>| {
            let kept = kept.as_ref();
            let quick = kept.and_then(|kept| kept.get(card, frame, SCREEN_PX));
            let quick = quick.or_else(|| import::embedded_preview(card, frame, SCREEN_PX));
            let is_quick = quick.is_some();
            if let Some(picture) = quick {
                sooner(shown(&picture));
            }
            let full = import::picture(card, frame)?;
            if let Some(kept) = kept.filter(|_| !is_quick && full.width.max(full.height) > SCREEN_PX as usize)
            {
                kept.keep(card, frame, SCREEN_PX, full.reduced(SCREEN_PX as usize));
            }
            Ok(to_image(full, most_px))
        };
        // One at a time: the next is begun when the window has taken the one before.
        let bounds = Bounds { threads: 1, busy_most: 1 };
        let decoder = Decoder::start("pictures", bounds, card, decode, &wake);
        Self { decoder, held: BTreeMap::new(), waits: false }
    }

    /// Takes in what was decoded, and wants these frames, the first most; all others are let go.
    pub(crate) fn keep(&mut self, ctx: &Context, frames: &[&Frame]) {
        while let Some(Ready { key, picture, is_last }) = self.decoder.take() {
            let held = self.held.entry(key).or_insert(Held { texture: None, full: None });
            let load = |picture| ctx.load_texture(format!("picture {}", key.0), picture, smooth());
            let full = picture.map(|picture| held.texture = Some(load(picture)));
            held.full = is_last.then_some(full);
        }
        self.held.retain(|id, _| frames.iter().any(|f| f.id == *id));
        let is_there = |id| self.held.get(&id).is_some_and(|held| held.full.is_some());
        let missing = frames.iter().filter(|f| !is_there(f.id));
        let missing: BTreeMap<_, _> = missing.map(|f| (f.id, (*f).clone())).enumerate().collect();
        self.waits = !missing.is_empty();
        self.decoder.want(missing);
    }

    /// Whether something that is wanted is not there yet.
    pub(crate) fn waits(&self) -> bool {
        self.waits
    }

    /// Tries again what could not be shown: its file may have come back.
    pub(crate) fn forget_broken(&mut self) {
        self.held.retain(|_, held| !matches!(held.full, Some(Err(_))));
    }

    /// The picture of a frame.
    pub(crate) fn get(&self, frame: FrameId) -> Large {
        let Some(held) = self.held.get(&frame) else { return Large::default() };
        Large {
            shown: held.texture.as_ref().map(|t| Shown { texture: t.id(), size_px: t.size_vec2() }),
            is_full: held.full == Some(Ok(())),
            refused: held.full.as_ref().and_then(|full| full.as_ref().err().cloned()),
        }
    }
}

/// Turns a picture into what egui uploads, halved until neither side is longer than this.
fn to_image(picture: Full<Color32>, most_px: usize) -> ColorImage {
    let mut picture = picture;
    while picture.width.max(picture.height) > most_px {
        picture = halved(&picture);
    }
    ColorImage::new([picture.width, picture.height], picture.pixels)
}

/// Half as wide and high, each pixel the mean of four.
fn halved(picture: &Full<Color32>) -> Full<Color32> {
    let (width, height) = (picture.width / 2, picture.height / 2);
    let mut pixels = Vec::with_capacity(width * height);
    for y in 0..height {
        for x in 0..width {
            let at = 2 * y * picture.width + 2 * x;
            let four = [at, at + 1, at + picture.width, at + picture.width + 1].map(|at| picture.pixels[at]);
            let mean =
                |of: fn(&Color32) -> u8| ((four.iter().map(|p| u16::from(of(p))).sum::<u16>() + 2) / 4) as u8;
            pixels.push(Color32::from_rgb(mean(Color32::r), mean(Color32::g), mean(Color32::b)));
        }
    }
    Full { width, height, pixels }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_too_large_for_a_texture_is_halved_by_means() {
        let pixels = [0, 4, 8, 12].map(|red| Color32::from_rgb(red, 10, 20)).to_vec();
        let one = Full { width: 1, height: 1, pixels: vec![Color32::from_rgb(6, 10, 20)] };
        assert_eq!(halved(&Full { width: 2, height: 2, pixels }), one);
        let wide = Full { width: 102, height: 4, pixels: vec![Color32::from_gray(9); 102 * 4] };
        assert_eq!(to_image(wide.clone(), 102).size, [102, 4]);
        assert_eq!(to_image(wide.clone(), 101).size, [51, 2]);
        assert_eq!(to_image(wide, 50).size, [25, 1]);
    }
}

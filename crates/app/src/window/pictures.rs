//! Full-size pictures: the one looked at, the one before and the one after, and no more.
//!
//! A frame of 24 megapixels takes 96 MB, so what lies further away is let go. It draws nothing.

use std::collections::BTreeMap;
use std::path::Path;

use egui::{ColorImage, Context, TextureHandle};
use import::Picture;
use record::{Frame, FrameId};

use super::decode::Decoder;
use super::thumbs::{Shown, Thumb, smooth};

/// Longest side that every graphics system takes as one texture, px.
const TEXTURE_MOST_PX: usize = 8192;

/// The full-size pictures around one frame.
pub(crate) struct Pictures {
    decoder: Decoder<FrameId>,
    held: BTreeMap<FrameId, Result<TextureHandle, String>>,
}

impl Pictures {
    /// Begins for a card.
    pub(crate) fn new(ctx: &Context, card: &Path) -> Self {
        let wake = ctx.clone();
        let wake = move || wake.request_repaint();
        let decode = |card: &Path, frame: &Frame, _: &FrameId| import::picture(card, frame).map(to_image);
        Self { decoder: Decoder::start("pictures", 1, card, decode, &wake), held: BTreeMap::new() }
    }

    /// Takes in what was decoded, and wants these frames, the first most; all others are let go.
    pub(crate) fn keep(&mut self, ctx: &Context, frames: &[&Frame]) {
        while let Some((id, picture)) = self.decoder.take() {
            let picture = picture.map(|p| ctx.load_texture(format!("picture {}", id.0), p, smooth()));
            self.held.insert(id, picture);
        }
        self.held.retain(|id, _| frames.iter().any(|f| f.id == *id));
        let missing = frames.iter().filter(|f| !self.held.contains_key(&f.id));
        self.decoder.want(missing.map(|f| (f.id, (*f).clone())).enumerate().collect());
    }

    /// Tries again what could not be shown: its file may have come back.
    pub(crate) fn forget_broken(&mut self) {
        self.held.retain(|_, picture| picture.is_ok());
    }

    /// The picture of a frame.
    pub(crate) fn get(&self, frame: FrameId) -> Thumb {
        match self.held.get(&frame) {
            Some(Ok(t)) => Thumb::Shown(Shown { texture: t.id(), size_px: t.size_vec2() }),
            Some(Err(why)) => Thumb::Broken(why.clone()),
            None => Thumb::Waiting,
        }
    }
}

/// Turns a picture into what egui uploads, halved until it fits.
fn to_image(picture: Picture) -> ColorImage {
    let mut picture = picture;
    while picture.width.max(picture.height) > TEXTURE_MOST_PX {
        picture = halved(&picture);
    }
    ColorImage::from_rgb([picture.width, picture.height], &picture.rgb)
}

/// Half as wide and high, each pixel the mean of four.
fn halved(picture: &Picture) -> Picture {
    let (width, height) = (picture.width / 2, picture.height / 2);
    let mut rgb = Vec::with_capacity(width * height * 3);
    for y in 0..height {
        for x in 0..width {
            for c in 0..3 {
                let at = |dx: usize, dy: usize| {
                    u16::from(picture.rgb[((2 * y + dy) * picture.width + 2 * x + dx) * 3 + c])
                };
                rgb.push(((at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1) + 2) / 4) as u8);
            }
        }
    }
    Picture { width, height, rgb }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_too_large_for_a_texture_is_halved_by_means() {
        let picture = Picture { width: 2, height: 2, rgb: vec![0, 10, 20, 4, 10, 20, 8, 10, 20, 12, 10, 20] };
        assert_eq!(halved(&picture), Picture { width: 1, height: 1, rgb: vec![6, 10, 20] });
        let wide = Picture { width: TEXTURE_MOST_PX + 2, height: 2, rgb: vec![9; (TEXTURE_MOST_PX + 2) * 6] };
        assert_eq!(to_image(wide).size, [TEXTURE_MOST_PX / 2 + 1, 1]);
    }
}

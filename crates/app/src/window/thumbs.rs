//! Small pictures on screen: decoded elsewhere, uploaded a few at a time, kept up to a number of bytes.
//!
//! Screens ask with [`Thumbs::get`] for what they draw; what is not there yet is decoded, in the order it was
//! asked for. What was drawn last is kept longest. It draws nothing.

use std::collections::BTreeMap;
use std::path::Path;

use egui::{ColorImage, Context, TextureFilter, TextureHandle, TextureOptions, TextureWrapMode, Vec2};
use import::Picture;
use record::{Frame, FrameId};

use super::decode::{Bounds, Decoder, Ready, Sooner};
use super::kept_previews::KeptPreviews;

/// Memory for small pictures: half as much again as the largest that fit on a screen of 1920 x 1080 take. Others are made again
/// in a fraction of a millisecond.
const MOST_BYTES: usize = 24 << 20;
/// Pictures that are decoded or wait for the window.
const BUSY_MOST: usize = 16;
/// Uploads in one frame: each takes a fraction of a millisecond.
const UPLOADS_MOST: usize = 8;
/// Longest sides that are asked for, px: the first is what cameras embed.
const SIDES_PX: [u32; 3] = [160, 400, 1200];

type Key = (FrameId, u32);

/// A picture that can be drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shown {
    /// The texture.
    pub(crate) texture: egui::TextureId,
    /// Its size, px.
    pub(crate) size_px: Vec2,
}

/// What there is of a frame's picture.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Thumb {
    /// A picture, perhaps still a coarse one.
    Shown(Shown),
    /// Nothing yet.
    Waiting,
    /// It cannot be shown, and why.
    Broken(String),
}

enum Held {
    Texture { handle: TextureHandle, bytes: usize, drawn: u64 },
    Broken(String),
}

/// The small pictures of one card.
pub(crate) struct Thumbs {
    decoder: Decoder<Key>,
    held: BTreeMap<Key, Held>,
    bytes: usize,
    wanted: BTreeMap<usize, (Key, Frame)>,
    /// Whether something was wanted when the window was drawn last.
    waits: bool,
    now: u64,
}

/// Drawn smaller than it is without flicker, whatever the size.
pub(super) fn smooth() -> TextureOptions {
    TextureOptions {
        magnification: TextureFilter::Linear,
        minification: TextureFilter::Linear,
        wrap_mode: TextureWrapMode::ClampToEdge,
        mipmap_mode: Some(TextureFilter::Linear),
    }
}

/// Makes a small picture, and keeps it if that was slow.
fn made(
    card: &Path,
    frame: &Frame,
    long_side_px: u32,
    kept: Option<&KeptPreviews>,
) -> Result<Picture, String> {
    let small = import::thumbnail(card, frame, long_side_px)?;
    if let Some(kept) = kept.filter(|_| small.was_slow) {
        kept.keep(card, frame, long_side_px, small.picture.clone());
    }
    Ok(small.picture)
}

/// A small picture as egui takes it.
pub(super) fn shown(picture: &Picture) -> ColorImage {
    ColorImage::from_rgb([picture.width, picture.height], &picture.rgb)
}

impl Thumbs {
    /// Begins for a card. Those that are slow to make are kept in the cache, if there is one.
    pub(crate) fn new(ctx: &Context, card: &Path, kept: Option<KeptPreviews>) -> Self {
        let wake = ctx.clone();
        let wake = move || wake.request_repaint();
        // One core stays for the window.
        let threads = std::thread::available_parallelism().map_or(1, |n| (n.get() - 1).clamp(1, 4));
        let bounds = Bounds { threads, busy_most: BUSY_MOST };
        let decode = move |card: &Path, frame: &Frame, key: &Key, _: Sooner<'_>| {
            let picture = match kept.as_ref().and_then(|kept| kept.get(card, frame, key.1)) {
                Some(picture) => picture,
                None => made(card, frame, key.1, kept.as_ref())?,
            };
            Ok(shown(&picture))
        };
        Self {
            decoder: Decoder::start("thumbnails", bounds, card, decode, &wake),
            held: BTreeMap::new(),
            bytes: 0,
            wanted: BTreeMap::new(),
            waits: false,
            now: 0,
        }
    }

    /// Takes in what was decoded. Call before drawing.
    pub(crate) fn begin(&mut self, ctx: &Context) {
        self.now += 1;
        for _ in 0..UPLOADS_MOST {
            let Some(Ready { key, picture, .. }) = self.decoder.take() else { return };
            let held = match picture {
                Ok(picture) => {
                    let bytes = picture.pixels.len() * 4;
                    self.bytes += bytes;
                    let handle = ctx.load_texture(format!("frame {} {}", key.0.0, key.1), picture, smooth());
                    Held::Texture { handle, bytes, drawn: self.now }
                }
                Err(why) => Held::Broken(why),
            };
            if let Some(Held::Texture { bytes, .. }) = self.held.insert(key, held) {
                self.bytes -= bytes;
            }
        }
        // More may wait.
        ctx.request_repaint();
    }

    /// Whether something that was asked for is not there yet.
    pub(crate) fn waits(&self) -> bool {
        self.waits
    }

    /// Tries again what could not be shown: its file may have come back.
    pub(crate) fn forget_broken(&mut self) {
        self.held.retain(|_, held| !matches!(held, Held::Broken(_)));
    }

    /// The picture of a frame for a place this many pixels long, or the best there is so far.
    pub(crate) fn get(&mut self, frame: &Frame, long_side_px: f32) -> Thumb {
        let level = SIDES_PX.iter().position(|s| *s as f32 >= long_side_px).unwrap_or(SIDES_PX.len() - 1);
        let mut best = Thumb::Waiting;
        for (at, side) in SIDES_PX.iter().enumerate().take(level + 1) {
            match self.held.get_mut(&(frame.id, *side)) {
                Some(Held::Texture { handle, drawn, .. }) => {
                    *drawn = self.now;
                    best = Thumb::Shown(Shown { texture: handle.id(), size_px: handle.size_vec2() });
                }
                Some(Held::Broken(why)) if best == Thumb::Waiting && at == level => {
                    best = Thumb::Broken(why.clone());
                }
                // The coarse one comes first, then the one that fits.
                None if at == 0 || at == level => {
                    let urgency = if at == 0 { 0 } else { 1_000_000 };
                    self.wanted.insert(urgency + self.wanted.len(), ((frame.id, *side), frame.clone()));
                }
                _ => {}
            }
        }
        best
    }

    /// Sends for what was asked for and is not there, and lets go of what was not drawn lately. Call after
    /// drawing.
    pub(crate) fn end(&mut self) {
        self.waits = !self.wanted.is_empty();
        self.decoder.want(std::mem::take(&mut self.wanted));
        while self.bytes > MOST_BYTES {
            let age = |held: &Held| match held {
                Held::Texture { drawn, .. } => *drawn,
                Held::Broken(_) => u64::MAX,
            };
            let oldest = self.held.iter().map(|(k, h)| (age(h), *k)).min();
            let Some((_, key)) = oldest.filter(|(drawn, _)| *drawn < self.now) else { return };
            if let Some(Held::Texture { bytes, .. }) = self.held.remove(&key) {
                self.bytes -= bytes;
            }
        }
    }
}

//! The preview cache as the window uses it: small pictures that were slow to make, kept as JPEGs and shown again.
//!
//! What is kept is encoded and written by a thread of its own, so that nobody waits for it; while that has much to do,
//! pictures are not kept. Where they lie, and how many bytes they may take, is `filing`'s.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crossbeam_channel::{Sender, bounded};
use filing::previews::{Emptied, PreviewKey, Previews};
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, ImageFormat};
use import::Picture;
use record::Frame;

/// Pictures that may wait to be written: up to 3 MB each.
const WAITING_MOST: usize = 8;
/// Quality of the JPEGs: what is lost cannot be seen at their size.
const QUALITY: u8 = 88;

/// The cache; clones share it.
#[derive(Debug, Clone)]
pub(crate) struct KeptPreviews {
    previews: Arc<Previews>,
    keep: Sender<(PreviewKey, Picture)>,
}

impl KeptPreviews {
    /// Opens the cache in a folder.
    pub(crate) fn start(folder: PathBuf) -> Self {
        let previews = Arc::new(Previews::new(folder));
        let (keep, kept) = bounded::<(PreviewKey, Picture)>(WAITING_MOST);
        let inner = Arc::clone(&previews);
        let work = move || {
            for (key, picture) in kept {
                if let Some(jpeg) = encoded(&picture) {
                    inner.put(&key, &jpeg);
                }
            }
        };
        // Without a thread nothing is kept.
        drop(std::thread::Builder::new().name("previews".to_owned()).spawn(work));
        Self { previews, keep }
    }

    /// Where it lies.
    pub(crate) fn folder(&self) -> &Path {
        self.previews.folder()
    }

    /// The picture of a frame with this long side, if it is kept.
    pub(crate) fn get(&self, card: &Path, frame: &Frame, long_side_px: u32) -> Option<Picture> {
        decoded(&self.previews.get(&PreviewKey::of(card, frame, long_side_px)?)?)
    }

    /// Keeps the picture of a frame with this long side, if it can be kept.
    pub(crate) fn keep(&self, card: &Path, frame: &Frame, long_side_px: u32, picture: Picture) {
        if let Some(key) = PreviewKey::of(card, frame, long_side_px) {
            self.keep.try_send((key, picture)).ok();
        }
    }

    /// Takes all of it away.
    pub(crate) fn empty(&self) -> Emptied {
        self.previews.empty()
    }
}

fn encoded(picture: &Picture) -> Option<Vec<u8>> {
    let (width, height) = (u32::try_from(picture.width).ok()?, u32::try_from(picture.height).ok()?);
    let mut jpeg = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut jpeg, QUALITY);
    encoder.encode(&picture.rgb, width, height, ExtendedColorType::Rgb8).ok()?;
    Some(jpeg)
}

fn decoded(jpeg: &[u8]) -> Option<Picture> {
    let picture = image::load_from_memory_with_format(jpeg, ImageFormat::Jpeg).ok()?.into_rgb8();
    let (width, height) = (picture.width() as usize, picture.height() as usize);
    Some(Picture { width, height, rgb: picture.into_raw() })
}

#[cfg(test)]
mod tests {
    use record::{FileRole, FrameFile, FrameId};

    use super::*;

    #[test]
    fn a_picture_is_kept_beside_and_comes_back_as_it_was_to_the_eye() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("a.jpg"), b"a picture").unwrap();
        let file = FrameFile { path: "a.jpg".to_owned(), bytes: 9, role: FileRole::Picture };
        let frame = Frame::new(FrameId(0), vec![file]);
        let kept = KeptPreviews::start(folder.path().join("cache"));
        assert_eq!(kept.get(folder.path(), &frame, 400), None);
        let rgb = (0..40 * 30).flat_map(|n| [(n % 40 * 6) as u8, (n / 40 * 8) as u8, 90]).collect();
        let picture = Picture { width: 40, height: 30, rgb };
        kept.keep(folder.path(), &frame, 400, picture.clone());
        let mut waits = 0;
        let back = loop {
            waits += 1;
            assert!(waits < 2_000, "it is never kept");
            if let Some(back) = kept.get(folder.path(), &frame, 400) {
                break back;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        };
        assert_eq!((back.width, back.height), (40, 30));
        let off = back.rgb.iter().zip(&picture.rgb).map(|(a, b)| a.abs_diff(*b)).max();
        assert!(off <= Some(12), "{off:?}");
        assert_eq!(kept.get(folder.path(), &frame, 160), None, "another size");
        assert!(kept.empty().freed_bytes > 0);
        assert_eq!(kept.get(folder.path(), &frame, 400), None);
    }
}

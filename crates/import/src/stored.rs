//! Pictures as they are stored, at full size: what copies for others are made of.
//!
//! Goes in: a frame and where its files are. Comes out: its colours as coded, with how they are to be turned and what
//! profile they are in. It turns nothing and converts nothing, since both are cheaper once a picture is small.

use std::path::Path;

use record::Frame;

use crate::decode::{self, Held};
use crate::display::{first_that_works, large_as};
use crate::room::Taken;

/// The large picture of a frame as it is stored; of a raw alone, its largest embedded preview.
///
/// While it is held, so is its share of what is decoded at once: other threads wait, and the one that holds it must not
/// ask for another.
#[derive(Debug)]
pub struct Stored {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row-major, 3 bytes a pixel: red, green, blue, in the colours of the profile.
    pub rgb: Vec<u8>,
    /// Exif orientation, 1..=8: how it is to be [turned](crate::turned).
    pub orientation: u8,
    /// The ICC profile embedded; `None` where there is none, or the colours are sRGB already, as those of a HEIF.
    pub profile: Option<Vec<u8>>,
    _room: Taken<'static>,
}

/// The large picture of a frame as it is stored.
///
/// # Errors
/// Says in words without a full stop why there is none.
pub fn stored(root: &Path, frame: &Frame) -> Result<Stored, String> {
    first_that_works(root, frame, |pages, reading, orientation| {
        let decoded = large_as(pages, reading, |bytes, kind| decode::held(bytes, kind, reading.size_px))?;
        let Held { width, height, pixels: rgb, profile, room } = decoded;
        Ok(Stored { width, height, rgb, orientation, profile, _room: room })
    })
}

#[cfg(test)]
mod tests {
    use image::codecs::png::PngEncoder;
    use image::{ExtendedColorType, ImageEncoder as _};
    use record::{Frame, TimeSource};

    use super::*;
    use crate::sample::{Sample, frame};

    fn put(folder: &Path, bytes: &[u8]) -> Frame {
        std::fs::write(folder.join("a.jpg"), bytes).unwrap();
        let mut frame = frame(0, "a.jpg", None, TimeSource::Absent);
        frame.files[0].bytes = bytes.len() as u64;
        frame
    }

    #[test]
    fn what_is_stored_is_told_how_to_be_turned() {
        let folder = tempfile::tempdir().unwrap();
        let mut frame = put(folder.path(), &Sample { subject: true, ..Sample::default() }.jpeg());
        frame.orientation = 6;
        let found = stored(folder.path(), &frame).unwrap();
        assert_eq!((found.width, found.height, found.rgb.len()), (240, 160, 240 * 160 * 3));
        assert_eq!((found.orientation, found.profile.clone()), (6, None));
        drop(found);
        frame.files[0].bytes += 1;
        assert_eq!(stored(folder.path(), &frame).unwrap_err(), "another file lies in its place");
    }

    #[test]
    fn a_profile_comes_with_its_picture() {
        let folder = tempfile::tempdir().unwrap();
        let mut png = Vec::new();
        let mut encoder = PngEncoder::new(&mut png);
        encoder.set_icc_profile(b"a profile".to_vec()).unwrap();
        encoder.write_image(&[9; 12], 2, 2, ExtendedColorType::Rgb8).unwrap();
        let found = stored(folder.path(), &put(folder.path(), &png)).unwrap();
        assert_eq!(found.profile.as_deref(), Some(&b"a profile"[..]));
        assert_eq!(found.rgb, [9; 12]);
    }

    #[test]
    fn as_many_as_there_is_room_for_are_held_and_given_back() {
        let folder = tempfile::tempdir().unwrap();
        let frame = put(folder.path(), &Sample::default().png());
        for _ in 0..5 {
            let (one, other) = (stored(folder.path(), &frame), stored(folder.path(), &frame));
            assert!(one.is_ok() && other.is_ok());
        }
    }
}

//! How good the picture of a subject is, in numbers. Measured on the subject, never on the frame.
//!
//! What is good enough for a view is not decided here: it depends on the other frames of that view on that day.

use crate::colour::Rgb;
use crate::focus;
use crate::subject::Subject;

/// A colour of a pixel at or above this is blown out: 254 and 255 of 8 bits, the highest a JPEG of full range keeps
/// apart from white by rounding alone. The tool's own choice.
const BLOWN_FROM: u8 = 254;

/// A pixel all of whose colours are at or below this is lost in black: 0 and 1 of 8 bits. One colour alone may well be 0 in
/// a yellow hair that is rightly exposed. The tool's own choice.
const BLACK_TO: u8 = 1;

/// Whether a colour of a pixel is blown out.
pub(crate) fn is_blown(pixel: [u8; 3]) -> bool {
    pixel.iter().any(|c| *c >= BLOWN_FROM)
}

/// Whether a pixel is lost in black.
pub(crate) fn is_black(pixel: [u8; 3]) -> bool {
    pixel.iter().all(|c| *c <= BLACK_TO)
}

/// Numbers of one frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quality {
    /// [`focus::of_subject`]: above 0.
    pub focus: f64,
    /// Share of the subject with a colour blown out, 0..=1.
    pub blown_share: f64,
    /// Share of the subject lost in black, 0..=1.
    pub black_share: f64,
}

/// Measures a working preview, reduced by means of boxes: what is blown out over less than a box is not seen. Without a
/// subject the whole frame is measured; an empty picture gives zeros and the least focus.
pub fn measure(preview: &Rgb, subject: &Subject) -> Quality {
    let anywhere = subject.bounds.is_none();
    let (mut all, mut blown, mut black) = (0u32, 0u32, 0u32);
    for (y, row) in preview.values.chunks(3 * preview.width.max(1)).enumerate() {
        let places = &subject.mask[y * subject.height / preview.height.max(1) * subject.width..];
        for (x, colours) in row.as_chunks::<3>().0.iter().enumerate() {
            if anywhere || places[x * subject.width / preview.width] {
                all += 1;
                blown += u32::from(is_blown(*colours));
                black += u32::from(is_black(*colours));
            }
        }
    }
    let share = |n: u32| f64::from(n) / f64::from(all.max(1));
    let focus = focus::of_subject(&preview.luma(), subject);
    Quality { focus, blown_share: share(blown), black_share: share(black) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::subject::find;

    #[test]
    fn shares_are_of_the_subject() {
        // A subject of 320 × 200 px on ground that is itself blown out; a quarter of it white, an eighth black.
        let pixel = |i: usize| {
            let (x, y) = ((i % 640).wrapping_sub(160), (i / 640).wrapping_sub(100));
            match (x, y) {
                (0..80, 0..200) => [255, 250, 120],
                (80..120, 0..200) => [1, 0, 1],
                (120..320, 0..200) => [120, 60, 0],
                _ => [255, 255, 255],
            }
        };
        let preview = Rgb::new(640, 400, (0..640 * 400).flat_map(pixel).collect()).unwrap();
        let quality = measure(&preview, &find(&preview, None));
        assert!((quality.blown_share - 0.25).abs() < 0.03, "{quality:?}");
        assert!((quality.black_share - 0.125).abs() < 0.02, "{quality:?}");
    }

    #[test]
    fn odd_pictures_have_finite_numbers() {
        for (width, height) in [(0, 0), (1, 1), (1, 30), (640, 480)] {
            let white = Rgb::new(width, height, vec![255; 3 * width * height]).unwrap();
            let quality = measure(&white, &find(&white, None));
            assert!((quality.blown_share - f64::from(u8::from(width > 0))).abs() < 1e-9, "{width}×{height}");
            assert!(quality.focus > 0.0 && quality.black_share == 0.0);
        }
    }
}

//! Turns stored pictures upright by their Exif orientation.
//!
//! Goes in: pixels and a number of 1 to 8. Comes out: the same pixels in other places. It decodes nothing.

use image::RgbImage;

use crate::display::Picture;

/// Turns a stored picture upright by its Exif orientation.
pub(crate) fn upright(stored: RgbImage, orientation: u8) -> Picture {
    let (width, height) = (stored.width() as usize, stored.height() as usize);
    if !(2..=8).contains(&orientation) {
        return Picture { width, height, rgb: stored.into_raw() };
    }
    let pixels = stored.pixels().map(|p| p.0).collect();
    let (width, height, pixels) = turned(width, height, pixels, orientation);
    Picture { width, height, rgb: pixels.into_flattened() }
}

/// Pixels in a row and column that are turned together, so that both their places stay in the processor's cache.
const BLOCK_PX: usize = 32;

/// Turns stored pixels, row-major in `w` columns and `h` rows, upright by their Exif orientation, and gives the new number
/// of columns and rows with them; a value outside 2..=8 leaves them as they are.
pub fn turned<P: Copy>(w: usize, h: usize, stored: Vec<P>, orientation: u8) -> (usize, usize, Vec<P>) {
    if !(2..=8).contains(&orientation) || stored.is_empty() {
        return (w, h, stored);
    }
    let (width, height) = if (5..=8).contains(&orientation) { (h, w) } else { (w, h) };
    // Exif 2.32, Orientation: where row 0 and column 0 of what is stored lie in the scene.
    let from = |x: usize, y: usize| match orientation {
        2 => (w - 1 - x, y),
        3 => (w - 1 - x, h - 1 - y),
        4 => (x, h - 1 - y),
        5 => (y, x),
        6 => (y, h - 1 - x),
        7 => (w - 1 - y, h - 1 - x),
        _ => (w - 1 - y, x),
    };
    let mut pixels = stored.clone();
    for top in (0..height).step_by(BLOCK_PX) {
        for left in (0..width).step_by(BLOCK_PX) {
            for y in top..height.min(top + BLOCK_PX) {
                for x in left..width.min(left + BLOCK_PX) {
                    let (from_x, from_y) = from(x, y);
                    pixels[y * width + x] = stored[from_y * w + from_x];
                }
            }
        }
    }
    (width, height, pixels)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_orientation_is_shown_upright() {
        // Stored 2 × 3 as AB/CD/EF; shown by the table of Exif 2.32 (Orientation).
        let stored = RgbImage::from_raw(2, 3, b"ABCDEF".iter().flat_map(|b| [*b; 3]).collect()).unwrap();
        for (orientation, shown) in [
            (1, "AB/CD/EF"),
            (2, "BA/DC/FE"),
            (3, "FE/DC/BA"),
            (4, "EF/CD/AB"),
            (5, "ACE/BDF"),
            (6, "ECA/FDB"),
            (7, "FDB/ECA"),
            (8, "BDF/ACE"),
            (0, "AB/CD/EF"),
        ] {
            let picture = upright(stored.clone(), orientation);
            let letters: Vec<u8> = picture.rgb.iter().step_by(3).copied().collect();
            let rows: Vec<_> = letters.chunks(picture.width).map(|r| String::from_utf8_lossy(r)).collect();
            assert_eq!(rows.join("/"), shown, "orientation {orientation}");
        }
    }

    #[test]
    fn blocks_are_turned_as_a_whole_is() {
        // Wider and higher than a block, and no multiple of it.
        let (w, h) = (BLOCK_PX * 2 + 5, BLOCK_PX + 3);
        let stored: Vec<usize> = (0..w * h).collect();
        let (width, height, once) = turned(w, h, stored.clone(), 6);
        assert_eq!((width, height, once[0], once[width - 1]), (h, w, (h - 1) * w, 0));
        let (width, height, back) = turned(width, height, once, 8);
        assert_eq!((width, height), (w, h));
        assert_eq!(back, stored, "a quarter turn and a quarter turn back");
    }
}

//! The strip under a picture: what it shows, and how large that is.
//!
//! Goes in: a picture, two lines of words, and how long its pixels are. Comes out: the picture with a strip below it. Nothing
//! is drawn on the picture itself.

use imaging::colour::Rgb;
use imaging::measuring::round_length;

use super::letters::Letters;

/// Ground and ink of the window's light sheet.
const GROUND: [u8; 3] = [0xFF, 0xFD, 0xF6];
const INK: [u8; 3] = [0x24, 0x22, 0x1C];

/// Height of letters as a share of the picture's width: some 60 of them fit side by side, as in a line of print.
const LETTERS_OF_WIDTH: f32 = 1.0 / 45.0;

/// The least height of letters that can be read, and the most that are of use, px.
const LETTERS_PX: (f32, f32) = (14.0, 44.0);

/// Distance between lines as a multiple of the letters' height.
const LEADING: f32 = 1.2;

/// A bar of the scale is at most this share of the picture's width, and at least [`SHORTEST_BAR_PX`].
const BAR_OF_WIDTH: f64 = 0.25;

const SHORTEST_BAR_PX: f64 = 20.0;

/// A picture with a strip below it. With the length of its pixels, mm, the strip has a bar of a round length.
pub(super) fn under(picture: Rgb, lines: &[String; 2], mm_per_px: Option<f64>, letters: &Letters) -> Rgb {
    let Rgb { width, height, mut values } = picture;
    let size = (width as f32 * LETTERS_OF_WIDTH).clamp(LETTERS_PX.0, LETTERS_PX.1);
    let (margin, leading) = (size * 0.6, size * LEADING);
    let strip = (2.0 * (margin + leading)).ceil() as usize;
    values.extend(GROUND.repeat(width * strip));
    let mut picture = Rgb { width, height: height + strip, values };
    let baseline = |line: usize| height as f32 + margin + leading * line as f32 + size * 0.85;

    let mut room = width as f32 - 2.0 * margin;
    if let Some((mm, px)) = mm_per_px.and_then(|mm_per_px| bar(mm_per_px, width)) {
        let words = format!("{mm} mm");
        let right = width as f32 - margin;
        let wide = (px as f32).max(letters.width(&words, size));
        room -= wide + 2.0 * margin;
        letters.draw(&mut picture, (right - wide, baseline(0)), size, &words, INK);
        let thick = (size / 5.0).round().max(2.0) as usize;
        let (left, top) = ((right - wide) as usize, baseline(1) as usize - thick);
        fill(&mut picture, [left, top, px, thick]);
    }
    for (line, words) in lines.iter().enumerate() {
        let words = letters.fitted(words, size, room);
        letters.draw(&mut picture, (margin, baseline(line)), size, &words, INK);
    }
    picture
}

/// A round length that fits, mm, and its px; `None` where none is long enough to be of use.
fn bar(mm_per_px: f64, width: usize) -> Option<(f64, usize)> {
    let mm = round_length(width as f64 * BAR_OF_WIDTH * mm_per_px)?;
    let px = (mm / mm_per_px).round();
    (px >= SHORTEST_BAR_PX).then_some((mm, px as usize))
}

fn fill(picture: &mut Rgb, [left, top, wide, high]: [usize; 4]) {
    for row in top..(top + high).min(picture.height) {
        let columns = left..(left + wide).min(picture.width);
        let from = 3 * (row * picture.width + columns.start);
        picture.values[from..from + 3 * columns.len()].copy_from_slice(&INK.repeat(columns.len()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(width: usize, height: usize) -> Rgb {
        Rgb::new(width, height, vec![90; 3 * width * height]).unwrap()
    }

    fn lines(one: &str, other: &str) -> [String; 2] {
        [one.to_owned(), other.to_owned()]
    }

    #[test]
    fn the_picture_stays_as_it_is_above_the_strip() {
        let letters = Letters::new();
        for (width, height) in [(2048, 1365), (300, 900), (40, 30), (1, 1)] {
            let words = lines("bank_003 · Face · 2026-06-14", &"cf. Bombus lucorum ♀ ".repeat(500));
            let whole = under(plain(width, height), &words, Some(0.01), &letters);
            assert_eq!(whole.values[..3 * width * height], plain(width, height).values[..]);
            assert!(whole.height > height && whole.width == width);
            assert_eq!(whole.values.len(), 3 * whole.width * whole.height);
            // Nothing is drawn out to the edge of the strip.
            let edge = |x: usize, y: usize| whole.values[3 * (y * width + x)..][..3] == GROUND;
            assert!((height..whole.height).all(|y| edge(width - 1, y)), "{width}");
        }
        assert!(under(plain(600, 10), &lines("a", ""), None, &letters).pixels().any(|p| p == INK));
    }

    #[test]
    fn a_bar_is_of_a_round_length_and_as_long_as_the_scale_says() {
        let check = |mm_per_px, width, expected| assert_eq!(bar(mm_per_px, width), expected);
        // A quarter of 2,000 px of 0.01 mm is 5 mm.
        check(0.01, 2000, Some((5.0, 500)));
        check(0.0099, 2000, Some((2.0, 202)));
        check(0.001, 1000, Some((0.2, 200)));
        check(0.03, 1000, Some((5.0, 167)));
        check(0.5, 1000, Some((100.0, 200)));
        check(1e-5, 800, Some((0.002, 200)));
        check(0.01, 60, None);
        for odd in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            check(odd, 1000, None);
        }
    }

    #[test]
    fn the_bar_is_drawn_so_long() {
        let letters = Letters::new();
        let whole = under(plain(1000, 10), &lines("", ""), Some(0.01), &letters);
        let longest = (10..whole.height).map(|y| {
            let row = &whole.values[3 * y * 1000..3 * (y + 1) * 1000];
            row.as_chunks::<3>().0.split(|p| *p != INK).map(<[_]>::len).max().unwrap()
        });
        assert_eq!(longest.max(), Some(200), "2 mm of 0.01 mm a pixel");
    }
}

//! Words as pixels, by the two fonts of the window.
//!
//! What the first font lacks the second draws, and what both lack is a replacement mark. Letters stand one after the other from
//! the left in the order they are written, so scripts that run from the right or join their letters are not set as they
//! should be; those stand well in the page beside.

use ab_glyph::{Font as _, FontRef, Glyph, GlyphId, PxScale, ScaleFont as _, point};
use imaging::colour::Rgb;
use unicode_normalization::UnicodeNormalization as _;

use crate::cells::{is_steering, one_line};
use crate::sheets::Face;

/// The fonts, read.
pub(super) struct Letters {
    fonts: [FontRef<'static>; 2],
}

/// What stands for a letter that no font has.
const UNKNOWN: char = '\u{FFFD}';

/// Signs that have no shape here: those that steer, and joiners, since letters are not joined.
pub(super) fn is_shapeless(c: char) -> bool {
    is_steering(c) || matches!(c, '\u{200C}' | '\u{200D}')
}

impl Letters {
    pub(super) fn new() -> Self {
        let read = |bytes| FontRef::try_from_slice(bytes).expect("the fonts built in can be read");
        Self { fonts: [Face::Regular, Face::Rest].map(|face| read(face.bytes())) }
    }

    /// The font and shape of a letter.
    fn shape(&self, letter: char) -> (&FontRef<'static>, GlyphId) {
        let [first, second] = &self.fonts;
        let found =
            |letter| self.fonts.iter().map(|font| (font, font.glyph_id(letter))).find(|(_, id)| id.0 != 0);
        found(letter).or_else(|| found(UNKNOWN)).unwrap_or((second, first.glyph_id(UNKNOWN)))
    }

    fn step(&self, letter: char, size_px: f32) -> f32 {
        let (font, id) = self.shape(letter);
        font.as_scaled(PxScale::from(size_px)).h_advance(id)
    }

    /// How wide words are, px.
    pub(super) fn width(&self, words: &str, size_px: f32) -> f32 {
        words.chars().map(|letter| self.step(letter, size_px)).sum()
    }

    /// Words as one line that can be drawn, cut with an ellipsis where they are wider.
    pub(super) fn fitted(&self, words: &str, size_px: f32, most_px: f32) -> String {
        // More letters than pixels never fit.
        let most_letters = most_px.max(0.0) as usize + 1;
        let plain: String = one_line(words).nfc().filter(|c| !is_shapeless(*c)).take(most_letters).collect();
        if self.width(&plain, size_px) <= most_px {
            return plain;
        }
        let mut room = most_px - self.step('…', size_px);
        let fits = |letter: &char| {
            room -= self.step(*letter, size_px);
            room >= 0.0
        };
        let kept: String = plain.chars().take_while(fits).collect();
        if self.step('…', size_px) > most_px { String::new() } else { format!("{}…", kept.trim_end()) }
    }

    /// Draws words that [`Letters::fitted`] gave, from `left` on and over `baseline`; what lies outside the picture is left
    /// out.
    pub(super) fn draw(
        &self,
        picture: &mut Rgb,
        (left, baseline): (f32, f32),
        size_px: f32,
        words: &str,
        ink: [u8; 3],
    ) {
        let mut x = left;
        for letter in words.chars() {
            let (font, id) = self.shape(letter);
            let glyph: Glyph = id.with_scale_and_position(PxScale::from(size_px), point(x, baseline));
            if let Some(outline) = font.outline_glyph(glyph) {
                let corner = outline.px_bounds().min;
                outline.draw(|column, row, cover| {
                    let (x, y) = (corner.x as i64 + i64::from(column), corner.y as i64 + i64::from(row));
                    blend(picture, (x, y), ink, cover);
                });
            }
            x += self.step(letter, size_px);
        }
    }
}

/// Lays so much of a colour, 0..=1, over a pixel.
fn blend(picture: &mut Rgb, (x, y): (i64, i64), ink: [u8; 3], cover: f32) {
    let (Ok(x), Ok(y)) = (usize::try_from(x), usize::try_from(y)) else { return };
    if x >= picture.width || y >= picture.height {
        return;
    }
    let at = 3 * (y * picture.width + x);
    for (value, ink) in picture.values[at..at + 3].iter_mut().zip(ink) {
        let (under, over) = (f32::from(*value), f32::from(ink));
        *value = (under + (over - under) * cover.clamp(0.0, 1.0)).round() as u8;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_letters_with_marks_are_drawn_and_not_as_unknown() {
        let letters = Letters::new();
        for letter in "aÉéłŁőßøğşžĆαΩжЯ♀♂☿·…–×°µ".chars() {
            let (_, id) = letters.shape(letter);
            assert_ne!(id, letters.shape(UNKNOWN).1, "{letter}");
            let mut picture = Rgb::new(60, 60, vec![255; 3 * 60 * 60]).unwrap();
            letters.draw(&mut picture, (10.0, 40.0), 30.0, &letter.to_string(), [0; 3]);
            assert!(picture.pixels().filter(|p| p[0] < 100).count() > 3, "{letter}");
        }
        // A letter and its mark apart become one.
        assert_eq!(letters.fitted("e\u{301}", 20.0, 100.0), "é");
        assert_eq!(letters.shape('🐝').1, letters.shape(UNKNOWN).1);
    }

    #[test]
    fn words_are_one_line_and_cut_where_they_are_too_wide() {
        let letters = Letters::new();
        let check = |words: &str, most: f32, expected: &str| {
            let got = letters.fitted(words, 20.0, most);
            assert_eq!(got, expected);
            assert!(letters.width(&got, 20.0) <= most);
        };
        check("one\ntwo\u{202E}three\u{200B}", 400.0, "one twothree");
        check("", 400.0, "");
        check("iiii", 1.0, "");
        let long = "wide ".repeat(2000);
        let cut = letters.fitted(&long, 20.0, 400.0);
        assert!(cut.ends_with('…') && letters.width(&cut, 20.0) <= 400.0, "{cut}");
        assert!(letters.width(&cut, 20.0) > 340.0, "{cut}");
    }

    #[test]
    fn what_lies_outside_is_left_out() {
        let letters = Letters::new();
        for (left, baseline) in [(-50.0, 10.0), (15.0, 10.0), (0.0, -20.0), (0.0, 100.0)] {
            let mut picture = Rgb::new(20, 20, vec![255; 1200]).unwrap();
            letters.draw(&mut picture, (left, baseline), 30.0, "Wide", [0; 3]);
        }
    }
}

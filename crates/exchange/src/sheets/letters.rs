//! Letters of the two fonts that are built in: which of them has a sign, and how wide a line is.
//!
//! Goes in: clean text of one line ([`super::wrap`]) and a thickness. Comes out: a [`Line`] of runs, each of one font, with its
//! glyphs placed by the font's own rules. A sign that neither font has is drawn as U+FFFD, so that nothing is dropped
//! silently. Words of scripts that run to the left are each drawn right, but follow one another to the right.

use std::sync::LazyLock;

use harfrust::{FontRef, ShapeOptions, ShaperData, UnicodeBuffer};
use krilla::text::{GlyphId, KrillaGlyph};
use unicode_segmentation::UnicodeSegmentation as _;

/// Thickness of letters, and the font for what the first lacks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Face {
    /// Text.
    Regular,
    /// Words that lead.
    Medium,
    /// Heads and numbers.
    Semibold,
    /// The fall-back: ♀ ♂ ☿, signs, and scripts that the first font lacks.
    Rest,
}

impl Face {
    /// All, in the order of their numbers.
    pub(crate) const ALL: [Self; 4] = [Self::Regular, Self::Medium, Self::Semibold, Self::Rest];

    /// Its file.
    pub(crate) fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => include_bytes!("../../../../assets/fonts/Lato-Regular.ttf"),
            Self::Medium => include_bytes!("../../../../assets/fonts/Lato-Medium.ttf"),
            Self::Semibold => include_bytes!("../../../../assets/fonts/Lato-Semibold.ttf"),
            Self::Rest => include_bytes!("../../../../assets/fonts/DejaVuSans.ttf"),
        }
    }
}

struct Font {
    font: FontRef<'static>,
    data: ShaperData,
}

static FONTS: LazyLock<[Font; 4]> = LazyLock::new(|| {
    Face::ALL.map(|face| {
        let font = FontRef::new(face.bytes()).expect("a font that is built in");
        Font { data: ShaperData::new(&font), font }
    })
});

/// Text of one font, its glyphs in the order they are drawn in.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) face: Face,
    pub(crate) text: String,
    pub(crate) glyphs: Vec<KrillaGlyph>,
    /// Its width at a size of 1.
    pub(crate) width_em: f32,
}

/// A line of text.
#[derive(Debug, Clone, Default)]
pub(crate) struct Line {
    pub(crate) runs: Vec<Run>,
}

impl Line {
    /// Its width at a size of 1.
    pub(crate) fn width_em(&self) -> f32 {
        self.runs.iter().map(|run| run.width_em).sum()
    }

    /// What stands in it.
    pub(crate) fn text(&self) -> String {
        self.runs.iter().map(|run| run.text.as_str()).collect()
    }
}

/// A line of clean text in a thickness.
pub(crate) fn line(text: &str, face: Face) -> Line {
    let mut pieces: Vec<(Face, String)> = Vec::new();
    for cluster in text.graphemes(true) {
        let (own, cluster) = match face_of(cluster, face) {
            Some(own) => (own, cluster),
            None => (Face::Rest, "\u{fffd}"),
        };
        match pieces.last_mut() {
            Some((last, text)) if *last == own => text.push_str(cluster),
            _ => pieces.push((own, cluster.to_owned())),
        }
    }
    Line { runs: pieces.into_iter().map(|(face, text)| run(face, text)).collect() }
}

/// Width of clean text at a size of 1.
pub(crate) fn width_em(text: &str, face: Face) -> f32 {
    line(text, face).width_em()
}

/// The font that has all of a cluster: the wished one before the fall-back.
fn face_of(cluster: &str, wished: Face) -> Option<Face> {
    // Both fonts' files have all of Latin to the end of its first extension; a test holds that.
    if cluster.chars().all(|c| matches!(c, ' '..='~' | '\u{a0}'..='\u{17f}')) {
        return Some(wished);
    }
    [wished, Face::Rest].into_iter().find(|face| run(*face, cluster.to_owned()).glyphs.iter().all(has_glyph))
}

/// The first glyph of a font stands for what it lacks (OpenType, `cmap`).
fn has_glyph(glyph: &KrillaGlyph) -> bool {
    glyph.glyph_id.to_u32() != 0
}

/// Places the glyphs of a run.
fn run(face: Face, text: String) -> Run {
    let font = &FONTS[face as usize];
    let shaper = font.data.shaper(&font.font).build();
    let em = shaper.units_per_em() as f32;
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(&text);
    buffer.guess_segment_properties();
    let drawn = shaper.shape(buffer, ShapeOptions::new());
    let mut begins: Vec<usize> = drawn.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    begins.sort_unstable();
    begins.dedup();
    let placed = drawn.glyph_infos().iter().zip(drawn.glyph_positions());
    let glyphs: Vec<KrillaGlyph> = placed
        .map(|(info, at)| {
            let from = info.cluster as usize;
            let to = begins.get(begins.partition_point(|begin| *begin <= from)).copied();
            let [advance, x, y, down] =
                [at.x_advance, at.x_offset, at.y_offset, at.y_advance].map(|units| units as f32 / em);
            let range = from..to.unwrap_or(text.len());
            KrillaGlyph::new(GlyphId::new(info.glyph_id), advance, x, y, down, range, None)
        })
        .collect();
    let width_em = glyphs.iter().map(|glyph| glyph.x_advance).sum();
    Run { face, text, glyphs, width_em }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &[(Face, &str)]) {
        let line = line(text, Face::Regular);
        let runs: Vec<_> = line.runs.iter().map(|run| (run.face, run.text.as_str())).collect();
        assert_eq!(runs, expected, "{text}");
        assert!(line.runs.iter().flat_map(|run| &run.glyphs).all(has_glyph), "{text}");
    }

    #[test]
    fn each_sign_is_drawn_by_a_font_that_has_it() {
        use Face::{Regular, Rest};
        check("Bombus", &[(Regular, "Bombus")]);
        check("Ærø, Łódź", &[(Regular, "Ærø, Łódź")]);
        check("3 ♀ and ☿", &[(Regular, "3 "), (Rest, "♀"), (Regular, " and "), (Rest, "☿")]);
        check("Μέλισσα, пчела", &[(Regular, "Μέλισσα, пчела")]);
        check("蜂 \u{e123}", &[(Rest, "\u{fffd}"), (Regular, " "), (Rest, "\u{fffd}")]);
        check("نحلة", &[(Rest, "نحلة")]);
    }

    #[test]
    fn the_fonts_have_all_of_latin_that_is_not_looked_up() {
        let all: String = (' '..='~').chain('\u{a0}'..='\u{17f}').collect();
        for face in Face::ALL {
            for c in all.chars() {
                assert!(run(face, c.to_string()).glyphs.iter().all(has_glyph), "{face:?} lacks {c:?}");
            }
        }
    }

    #[test]
    fn marks_stand_on_their_letter_and_take_no_room() {
        let plain = width_em("x", Face::Regular);
        let marked = line("x\u{308}\u{30c}", Face::Regular);
        assert!((marked.width_em() - plain).abs() < 0.2, "{} {plain}", marked.width_em());
        assert_eq!(marked.text(), "x\u{308}\u{30c}");
        assert!(width_em("", Face::Regular).abs() < 1e-6);
    }

    #[test]
    fn words_that_run_to_the_left_keep_what_each_glyph_says() {
        let line = line("שלום", Face::Regular);
        let ranges: Vec<_> = line.runs[0].glyphs.iter().map(|glyph| glyph.text_range.clone()).collect();
        assert_eq!(ranges, [6..8, 4..6, 2..4, 0..2], "drawn from the left, read from the right");
    }
}

//! A page as what is drawn on it, before it is a document: so that it can be looked at by tests, and counted.
//!
//! Places are in points (1/72 inch) to the right and down from the upper left corner. A [`Page`] knows neither PDF nor the
//! record. The tokens of the look stand here; on paper the ground is white and text is ink.

use std::sync::Arc;

use super::letters::{Face, Line};
use super::wrap::{one_line, wrap};

/// Points a millimetre.
pub(crate) const MM: f32 = 72.0 / 25.4;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 210 × 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 × 11 inch (ANSI/ASME Y14.1).
    Letter,
}

impl Paper {
    /// Both.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Width and height in points.
    pub fn size(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0 * MM, 297.0 * MM),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// A colour, sRGB.
pub(crate) type Ink = [u8; 3];

/// Text.
pub(crate) const INK: Ink = [0x24, 0x22, 0x1c];
/// Secondary text.
pub(crate) const SOFT: Ink = [0x66, 0x5f, 0x50];
/// Hairlines that only separate.
pub(crate) const RULE: Ink = [0xd8, 0xcf, 0xba];
/// Outlines that are to be seen.
pub(crate) const EDGE: Ink = [0x85, 0x7c, 0x6a];
/// What is there.
pub(crate) const ACCENT: Ink = [0x1f, 0x6a, 0x63];
/// What is doubtful.
pub(crate) const WARN: Ink = [0x86, 0x53, 0x09];
/// What is missing.
pub(crate) const GONE: Ink = [0xa1, 0x3a, 0x27];
/// Ground of what is missing.
pub(crate) const GONE_GROUND: Ink = [0xf6, 0xde, 0xd6];
/// Behind pictures, and quiet notes.
pub(crate) const WELL: Ink = [0xf3, 0xef, 0xe5];
/// Codes, so that they have all the contrast there is.
pub(crate) const BLACK: Ink = [0, 0, 0];

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    pub(crate) x: f32,
    pub(crate) y: f32,
    pub(crate) width: f32,
    pub(crate) height: f32,
}

impl Area {
    pub(crate) fn new(x: f32, y: f32, width: f32, height: f32) -> Self {
        Self { x, y, width, height }
    }

    pub(crate) fn right(self) -> f32 {
        self.x + self.width
    }

    pub(crate) fn bottom(self) -> f32 {
        self.y + self.height
    }

    /// The largest area within this of so many pixels wide and high, set in its middle.
    pub(crate) fn fit(self, (width, height): (u32, u32)) -> Self {
        let (width, height) = (width.max(1) as f32, height.max(1) as f32);
        let scale = (self.width / width).min(self.height / height);
        let (width, height) = (width * scale, height * scale);
        Self::new(self.x + (self.width - width) / 2.0, self.y + (self.height - height) / 2.0, width, height)
    }
}

/// A piece of an outline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Step {
    To(f32, f32),
    Line(f32, f32),
    Curve([(f32, f32); 3]),
    Close,
}

/// What text is for, as those are told who have it read to them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    /// Head of a page.
    Title,
    /// Head of a part of it.
    Head,
    Text,
    /// Numbers of pages and the like, which are no part of what is said.
    Aside,
}

/// How letters are drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Style {
    pub(crate) face: Face,
    /// Points.
    pub(crate) size: f32,
    pub(crate) ink: Ink,
    pub(crate) role: Role,
}

impl Style {
    pub(crate) const fn new(face: Face, size: f32, ink: Ink, role: Role) -> Self {
        Self { face, size, ink, role }
    }

    /// From one line to the next.
    pub(crate) fn leading(self) -> f32 {
        self.size * 1.3
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pen {
    pub(crate) ink: Ink,
    pub(crate) width: f32,
    /// Length of its dashes, points; 0 for a line without gaps.
    pub(crate) dash: f32,
}

impl Pen {
    pub(crate) const fn plain(ink: Ink, width: f32) -> Self {
        Self { ink, width, dash: 0.0 }
    }
}

/// Something drawn.
#[derive(Debug, Clone)]
pub(crate) enum Item {
    /// Lines of text, the first one's letters standing on `y`.
    Text { x: f32, y: f32, lines: Vec<Line>, style: Style },
    /// An outline, filled, drawn along, or both.
    Shape { steps: Vec<Step>, fill: Option<Ink>, pen: Option<Pen> },
    /// A picture, and what it shows in words.
    Picture { area: Area, jpeg: Arc<Vec<u8>>, alt: String },
}

/// What is drawn on a page, in the order it is read in.
#[derive(Debug, Clone, Default)]
pub(crate) struct Page {
    pub(crate) items: Vec<Item>,
}

/// How far a letter without an accent rises above the line it stands on, as a share of its size; both fonts are a little
/// under it.
const RISE: f32 = 0.75;

impl Page {
    /// Text below `y` in a width, in at most so many lines. Gives where it ends below.
    pub(crate) fn text(
        &mut self,
        (x, y): (f32, f32),
        width: f32,
        most: usize,
        text: &str,
        style: Style,
    ) -> f32 {
        let lines = wrap(text, style.face, width / style.size, most);
        self.lines((x, y), lines, style)
    }

    /// As [`Page::text`], one line, ended at the right of its width.
    pub(crate) fn text_right(&mut self, (x, y): (f32, f32), width: f32, text: &str, style: Style) -> f32 {
        let line = one_line(text, style.face, width / style.size);
        let x = x + width - line.width_em() * style.size;
        self.lines((x, y), vec![line], style)
    }

    /// Lines below `y`.
    pub(crate) fn lines(&mut self, (x, y): (f32, f32), lines: Vec<Line>, style: Style) -> f32 {
        let end = y + style.leading() * lines.len() as f32;
        if !lines.is_empty() {
            let first = y + style.size * RISE + (style.leading() - style.size) / 2.0;
            self.items.push(Item::Text { x, y: first, lines, style });
        }
        end
    }

    /// A line from one point to another.
    pub(crate) fn stroke(&mut self, from: (f32, f32), to: (f32, f32), pen: Pen) {
        let steps = vec![Step::To(from.0, from.1), Step::Line(to.0, to.1)];
        self.items.push(Item::Shape { steps, fill: None, pen: Some(pen) });
    }

    /// A rectangle.
    pub(crate) fn rectangle(&mut self, area: Area, fill: Option<Ink>, pen: Option<Pen>) {
        self.items.push(Item::Shape { steps: rectangle(area).to_vec(), fill, pen });
    }

    /// A disc around a point.
    pub(crate) fn disc(&mut self, middle: (f32, f32), radius: f32, fill: Option<Ink>, pen: Option<Pen>) {
        self.items.push(Item::Shape { steps: disc(middle, radius).to_vec(), fill, pen });
    }
}

/// The outline of a rectangle.
pub(crate) fn rectangle(area: Area) -> [Step; 5] {
    let (right, bottom) = (area.right(), area.bottom());
    [
        Step::To(area.x, area.y),
        Step::Line(right, area.y),
        Step::Line(right, bottom),
        Step::Line(area.x, bottom),
        Step::Close,
    ]
}

/// The outline of a disc, of four curves, each a quarter to within 0.03 % of the radius (the usual 4 (√2 − 1) / 3).
fn disc((x, y): (f32, f32), r: f32) -> [Step; 6] {
    let k = r * 0.552_284_8;
    [
        Step::To(x + r, y),
        Step::Curve([(x + r, y + k), (x + k, y + r), (x, y + r)]),
        Step::Curve([(x - k, y + r), (x - r, y + k), (x - r, y)]),
        Step::Curve([(x - r, y - k), (x - k, y - r), (x, y - r)]),
        Step::Curve([(x + k, y - r), (x + r, y - k), (x + r, y)]),
        Step::Close,
    ]
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    impl Page {
        /// All text, line by line.
        pub(crate) fn texts(&self) -> Vec<String> {
            let lines = self.items.iter().filter_map(|item| match item {
                Item::Text { lines, .. } => Some(lines),
                _ => None,
            });
            lines.flatten().map(Line::text).collect()
        }

        /// Fails if anything lies outside the paper, or nearer to its edge than `margin`.
        pub(crate) fn assert_within(&self, paper: Paper, margin: f32) {
            let (width, height) = paper.size();
            let assert_in = |x: f32, y: f32, what: &dyn std::fmt::Debug| {
                let is_in = x >= margin - 0.1
                    && x <= width - margin + 0.1
                    && y >= margin - 0.1
                    && y <= height - margin + 0.1;
                assert!(is_in, "{what:?} at {x}, {y}");
            };
            for item in &self.items {
                match item {
                    Item::Text { x, y, lines, style } => {
                        for (nth, line) in lines.iter().enumerate() {
                            let y = y + nth as f32 * style.leading();
                            assert_in(*x, y - style.size * RISE, &line.text());
                            assert_in(x + line.width_em() * style.size, y + style.size * 0.2, &line.text());
                        }
                    }
                    Item::Shape { steps, .. } => {
                        for step in steps {
                            match step {
                                Step::To(x, y) | Step::Line(x, y) => assert_in(*x, *y, steps),
                                Step::Curve(points) => {
                                    for (x, y) in points {
                                        assert_in(*x, *y, steps);
                                    }
                                }
                                Step::Close => {}
                            }
                        }
                    }
                    Item::Picture { area, alt, .. } => {
                        assert_in(area.x, area.y, alt);
                        assert_in(area.right(), area.bottom(), alt);
                    }
                }
            }
        }
    }

    #[test]
    fn a_picture_keeps_its_shape_in_its_place() {
        let place = Area::new(10.0, 20.0, 100.0, 50.0);
        assert_eq!(place.fit((200, 200)), Area::new(35.0, 20.0, 50.0, 50.0));
        assert_eq!(place.fit((400, 100)), Area::new(10.0, 32.5, 100.0, 25.0));
        assert_eq!(place.fit((0, 0)), place.fit((1, 1)));
    }
}

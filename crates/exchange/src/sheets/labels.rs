//! Labels for jars and drawers: a grid on paper, each with its words and a QR code, and marks to cut along.
//!
//! Goes in: what stands on each label. Comes out: a PDF. The code of a jar's label is its text as [`import`]'s reader of jar
//! cards takes it; that of a drawer's label is the occurrence's URN. The place on a drawer's label is the shared one.

use std::collections::BTreeSet;

use record::Session;
use uuid::Uuid;

use super::letters::{Face, Line};
use super::page::{Area, EDGE, INK, MM, Page, Paper, Pen, Role, SOFT, Style};
use super::pdf::{self, About};
use super::wrap::{clean, wrap};
use super::{SheetFault, code, day, values};
use crate::{Audience, identity};

/// Longest text of a jar's label, in characters: what the reader of jar cards takes.
const LONGEST_CHARS: usize = 100;

/// A label.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// What its code says.
    code: String,
    /// Its large words.
    head: String,
    /// The rest, line by line.
    lines: Vec<String>,
}

/// Why a text can be no jar's label.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LabelFault {
    /// It says nothing.
    #[error("A label needs a text: write a number or a name for the jar")]
    Empty,
    /// Line breaks and other signs that a label cannot hold.
    #[error("A line break or control sign stands in the label: write it as one line")]
    Control,
    /// It would be taken for the label of a drawer.
    #[error("A label that begins with “urn:” would not be read back as a jar: begin it otherwise")]
    Urn,
    /// It would not be read back.
    #[error("The label is longer than {LONGEST_CHARS} characters and would not be read back: shorten it")]
    Long,
}

impl Label {
    /// The label of a jar. Its code is read back as this text, without space around it.
    ///
    /// # Errors
    /// When the reader of jar cards would not take it for a label.
    pub fn jar(text: &str) -> Result<Self, LabelFault> {
        let text = text.trim();
        if text.is_empty() {
            return Err(LabelFault::Empty);
        }
        if text.chars().any(char::is_control) {
            return Err(LabelFault::Control);
        }
        if text.to_ascii_lowercase().starts_with("urn:") {
            return Err(LabelFault::Urn);
        }
        if text.chars().count() > LONGEST_CHARS || !code::is_possible(text) {
            return Err(LabelFault::Long);
        }
        Ok(Self { code: text.to_owned(), head: text.to_owned(), lines: Vec::new() })
    }
}

/// Labels for a drawer: of each specimen of a session filed in this folder, or of those chosen, its number, name, day and
/// place as the audience may see them. The code is the URN of its occurrence.
pub fn drawer_labels(
    folder: &str,
    session: &Session,
    audience: &Audience,
    chosen: Option<&BTreeSet<Uuid>>,
) -> Vec<Label> {
    let all = values::of_session(folder, session, audience, chosen);
    let label = |values: values::Values| {
        let lines = [values.name, values.date, values.locality, values.place];
        let lines = lines.into_iter().filter(|text| !text.is_empty()).collect();
        Label { code: identity::urn(values.id), head: values.title, lines }
    };
    all.into_iter().map(label).collect()
}

/// How large labels are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LabelSize {
    /// 40 × 20 mm.
    Small,
    /// 60 × 30 mm.
    #[default]
    Medium,
    /// 90 × 45 mm.
    Large,
}

impl LabelSize {
    /// All, from the smallest on.
    pub const ALL: [Self; 3] = [Self::Small, Self::Medium, Self::Large];

    /// Width and height in mm.
    pub fn mm(self) -> (f32, f32) {
        match self {
            Self::Small => (40.0, 20.0),
            Self::Medium => (60.0, 30.0),
            Self::Large => (90.0, 45.0),
        }
    }

    /// How many stand side by side and below each other on a paper.
    fn grid(self, paper: Paper) -> (usize, usize) {
        let (width, height) = self.points();
        let area = pdf::inner(paper);
        ((area.width / width) as usize, (area.height / height) as usize)
    }

    fn points(self) -> (f32, f32) {
        let (width, height) = self.mm();
        (width * MM, height * MM)
    }
}

/// The PDF of labels, row by row. `title` names the document, `language` its words (RFC 5646), `date` its day as
/// `2026-06-14`.
///
/// # Errors
/// [`SheetFault::Document`].
pub fn labels_pdf(
    labels: &[Label],
    paper: Paper,
    size: LabelSize,
    [title, language, date]: [&str; 3],
) -> Result<Vec<u8>, SheetFault> {
    let mut pages = pages(labels, paper, size);
    pdf::number_pages(&mut pages, paper, title);
    let words: Vec<&str> = labels.iter().map(|label| label.code.as_str()).collect();
    let about = About {
        title: title.to_owned(),
        language: language.to_owned(),
        date: day(date),
        id: identity::document(&format!("labels/{title}/{date}/{}", words.join("\n"))),
    };
    pdf::write(&pages, paper, &about, &[])
}

fn pages(labels: &[Label], paper: Paper, size: LabelSize) -> Vec<Page> {
    let (across, down) = size.grid(paper);
    let (width, height) = size.points();
    let area = pdf::inner(paper);
    let left = area.x + (area.width - across as f32 * width) / 2.0;
    let share = |label: &Label| head_share(label, Area::new(0.0, 0.0, width, height));
    // Labels with more words than these look alike, but for those whose large words are longer than others'.
    let own = labels.iter().filter(|label| !label.lines.is_empty()).map(share);
    let alike = own.filter(|share| *share > HEADS[HEADS.len() - 1]).fold(1.0, f32::min);
    let share = |label: &Label| if label.lines.is_empty() { share(label) } else { share(label).min(alike) };
    let mut pages = Vec::new();
    for labels in labels.chunks(across * down) {
        let mut page = Page::default();
        let rows = labels.len().div_ceil(across);
        for (nth, label) in labels.iter().enumerate() {
            let (column, row) = (nth % across, nth / across);
            let at = Area::new(left + column as f32 * width, area.y + row as f32 * height, width, height);
            draw(&mut page, label, at, share(label));
        }
        cut_marks(&mut page, (left, area.y), (across.min(labels.len()), rows), (width, height));
        pages.push(page);
    }
    pages
}

/// A small cross at each corner of the labels, half of it at the edge of the grid.
fn cut_marks(
    page: &mut Page,
    (left, top): (f32, f32),
    (across, down): (usize, usize),
    (width, height): (f32, f32),
) {
    const ARM: f32 = 1.5 * MM;
    let pen = Pen::plain(EDGE, 0.4);
    for column in 0..=across {
        for row in 0..=down {
            let (x, y) = (left + column as f32 * width, top + row as f32 * height);
            page.stroke((x - ARM, y), (x + ARM, y), pen);
            page.stroke((x, y - ARM), (x, y + ARM), pen);
        }
    }
}

/// Sizes of a label's large words, as shares of its height; the largest that has room is taken.
const HEADS: [f32; 7] = [0.46, 0.36, 0.28, 0.22, 0.17, 0.13, 0.1];

/// A label's rest, and the room beside its code.
struct Inside {
    x: f32,
    width: f32,
    rest: Vec<Vec<Line>>,
    style: Style,
    /// Height that the rest leaves to the large words.
    room: f32,
}

impl Inside {
    fn of(label: &Label, at: Area) -> Self {
        // The code brings its own white border.
        let pad = 0.06 * at.height;
        let (x, width) = (at.x + at.height, at.width - at.height - pad);
        let style = Style::new(Face::Regular, (0.1 * at.height).max(5.5), INK, Role::Text);
        let wrapped = |text: &String| wrap(text, style.face, width / style.size, 2);
        let rest: Vec<_> = label.lines.iter().map(wrapped).collect();
        let taken: usize = rest.iter().map(Vec::len).sum();
        Self { x, width, room: at.height - 2.0 * pad - taken as f32 * style.leading(), rest, style }
    }
}

fn head_style(share: f32, at: Area) -> Style {
    Style::new(Face::Semibold, share * at.height, INK, Role::Head)
}

/// The largest share at which a label's large words have room, unbroken but between words; beside other words in one line.
fn head_share(label: &Label, at: Area) -> f32 {
    let inside = Inside::of(label, at);
    let words = clean(&label.head);
    let fits = |share: &f32| {
        let style = head_style(*share, at);
        let lines = wrap(&label.head, style.face, inside.width / style.size, usize::MAX);
        let is_whole = lines.iter().all(|line| words.split(' ').any(|word| line.text().ends_with(word)));
        let is_one = inside.rest.is_empty() || lines.len() == 1;
        is_whole && is_one && lines.len() as f32 * style.leading() <= inside.room
    };
    HEADS.into_iter().find(fits).unwrap_or(HEADS[HEADS.len() - 1])
}

fn draw(page: &mut Page, label: &Label, at: Area, share: f32) {
    code::draw(page, &label.code, (at.x, at.y), at.height);
    let inside = Inside::of(label, at);
    let style = head_style(share, at);
    let most = ((inside.room / style.leading()) as usize).max(1);
    let head = wrap(&label.head, style.face, inside.width / style.size, most);
    let taken: usize = inside.rest.iter().map(Vec::len).sum();
    let high = head.len() as f32 * style.leading() + taken as f32 * inside.style.leading();
    let mut y = page.lines((inside.x, at.y + (at.height - high).max(0.0) / 2.0), head, style);
    for (nth, lines) in inside.rest.into_iter().enumerate() {
        let ink = if nth == 0 { INK } else { SOFT };
        y = page.lines((inside.x, y), lines, Style { ink, ..inside.style });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{FOLDER, session};

    #[test]
    fn a_jar_has_a_label_that_is_read_back() {
        assert_eq!(Label::jar(" 21 ").unwrap().code, "21");
        assert_eq!(Label::jar("  "), Err(LabelFault::Empty));
        assert_eq!(Label::jar("a\nb"), Err(LabelFault::Control));
        assert_eq!(Label::jar(&"ø".repeat(101)), Err(LabelFault::Long));
        assert!(Label::jar(&"ø".repeat(100)).is_ok());
    }

    #[test]
    fn all_labels_stand_on_the_paper_and_say_their_words() {
        let labels: Vec<Label> = [
            "21",
            "Jar 7b, salt marsh",
            "a-label-that-has-no-place-to-be-broken-anywhere-in-it",
            &"w ".repeat(50),
        ]
        .iter()
        .cycle()
        .take(24)
        .map(|text| Label::jar(text).unwrap())
        .collect();
        for paper in Paper::ALL {
            for size in LabelSize::ALL {
                let pages = pages(&labels, paper, size);
                let (across, down) = size.grid(paper);
                assert_eq!(pages.len(), 24_usize.div_ceil(across * down));
                assert!(across >= 2 && down >= 5, "{paper:?} {size:?}");
                for page in &pages {
                    page.assert_within(paper, 8.0 * MM);
                }
                let texts = pages[0].texts().join(" ");
                assert!(texts.contains("Jar 7b, salt marsh") || texts.contains("Jar 7b, salt"), "{texts}");
            }
        }
        assert_eq!(pages(&[], Paper::A4, LabelSize::Small).len(), 0);
    }

    #[test]
    fn a_drawer_label_tells_what_is_shared() {
        let labels = drawer_labels(FOLDER, &session(), &Audience::default(), None);
        let all: Vec<String> =
            labels.iter().map(|l| format!("{}; {}; {}", l.code, l.head, l.lines.join("; "))).collect();
        assert_eq!(all.len(), 3);
        assert!(
            all[0].contains(
                "; Specimen 1; Bombus cf. lucorum; 2026-06-14; Old quarry; 52.20025, 0.12035 ±\u{a0}8\u{a0}m"
            ),
            "{}",
            all[0]
        );
        assert!(all[0].starts_with("urn:uuid:"));
        assert!(all[1].contains("no name yet"), "{}", all[1]);
        let rare = &all[2];
        assert!(rare.contains("Bombus rarus") && rare.contains("52.2, 0.1"), "{rare}");
        for secret in ["Specimen 2", "52.200", "uarry"] {
            assert!(!rare.contains(secret), "{rare} tells {secret}");
        }
        for paper in Paper::ALL {
            let page = &pages(&labels, paper, LabelSize::Medium)[0];
            page.assert_within(paper, 8.0 * MM);
            let texts = page.texts().join("\n");
            assert!(labels.iter().all(|label| texts.contains(&label.head)), "{texts}");
        }
        let chosen = BTreeSet::from([Uuid::parse_str(&labels[1].code[9..]).unwrap()]);
        assert_eq!(drawer_labels(FOLDER, &session(), &Audience::default(), Some(&chosen)), labels[1..2]);
    }
}

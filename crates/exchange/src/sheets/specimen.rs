//! One specimen on one page: its views, its record, the history of its names, and what was measured.
//!
//! Goes in: what is told of it and its pictures. Comes out: a page. Pictures take what room the words leave; words that have
//! none are cut, and what is left out is said.

use super::cells::{BENEATH, large};
use super::letters::Face;
use super::page::{Area, EDGE, INK, Page, Paper, Pen, Role, SOFT, Style, WARN};
use super::pdf;
use super::pictures::{Cell, Pictures};
use super::values::{Measured, Name, Stand, Values};

const TITLE: Style = Style::new(Face::Semibold, 20.0, INK, Role::Title);
const NAME: Style = Style::new(Face::Medium, 13.0, INK, Role::Text);
const ABOUT: Style = Style::new(Face::Regular, 9.0, SOFT, Role::Text);
const HEAD: Style = Style::new(Face::Semibold, 10.5, INK, Role::Head);
const LABEL: Style = Style::new(Face::Regular, 8.5, SOFT, Role::Text);
const TEXT: Style = Style::new(Face::Regular, 8.5, INK, Role::Text);
const LEAD: Style = Style::new(Face::Medium, 9.0, INK, Role::Text);

/// Between columns of words and between pictures, points.
const GAP: f32 = 12.0;
/// Width of the heads of the record, points.
const LABELS: f32 = 82.0;
/// Lines of a value at most.
const MOST_LINES: usize = 7;
/// Share of a page's height that pictures have at least, and at most.
const PICTURES: (f32, f32) = (0.42, 0.74);

/// The page of a specimen; `about` stands at its upper right.
pub(crate) fn page(paper: Paper, values: &Values, pictures: &Pictures, about: &str) -> Page {
    let area = pdf::inner(paper);
    let mut page = Page::default();
    let half = area.width / 2.0;
    page.text_right((area.x + half, area.y + 7.0), half, about, ABOUT);
    let title = if values.jar.is_empty() {
        values.title.clone()
    } else {
        format!("{}, jar {}", values.title, values.jar)
    };
    let mut y = page.text((area.x, area.y), half - GAP, 1, &title, TITLE);
    y = page.text((area.x, y), area.width, 2, &values.name, NAME) + 6.0;

    let rest = area.bottom() - y - beneath(pictures).len() as f32 * ABOUT.leading() - 12.0;
    let words = words(&mut Page::default(), Area { y: 0.0, height: f32::MAX, ..area }, values, pictures);
    // What is kept free for saying what has no room.
    let words = words + 2.0 * TEXT.leading();
    let high = (rest - words - GAP).clamp(PICTURES.0 * area.height, PICTURES.1 * area.height);
    y = grid(&mut page, Area { y, height: high, ..area }, values, pictures) + 4.0;
    for line in beneath(pictures) {
        y = page.text((area.x, y), area.width, 2, &line, ABOUT);
    }
    page.stroke((area.x, y + 2.0), (area.right(), y + 2.0), Pen::plain(EDGE, 0.5));
    y += 8.0;
    self::words(&mut page, Area { y, height: area.bottom() - y, ..area }, values, pictures);
    page
}

/// What is said of pictures that are not there.
pub(crate) fn beneath(pictures: &Pictures) -> Vec<String> {
    let unconfirmed = pictures.unconfirmed().map(|names| format!("Views not confirmed: {names}."));
    let more = (pictures.more > 0).then(|| {
        let more = record::count(pictures.more, "more frame is", "more frames are");
        format!("{more} filed and not shown.")
    });
    unconfirmed.into_iter().chain(more).collect()
}

/// Draws all pictures in so many columns that they are largest. Gives where they end below.
fn grid(page: &mut Page, area: Area, values: &Values, pictures: &Pictures) -> f32 {
    let cells: Vec<&Cell> = pictures.placed();
    if cells.is_empty() {
        return area.y;
    }
    let size = |columns: usize| {
        let rows = cells.len().div_ceil(columns);
        let width = (area.width - (columns - 1) as f32 * GAP) / columns as f32;
        let high = (area.height - (rows - 1) as f32 * GAP / 2.0) / rows as f32 - BENEATH;
        (width, high.min(width / 1.5).max(12.0))
    };
    // Of two that are as high the one with fewer columns.
    let by_height = |one: &usize, other: &usize| size(*one).1.total_cmp(&size(*other).1).then(other.cmp(one));
    let columns = (1..=cells.len().min(6)).max_by(by_height).unwrap_or(1);
    let (width, high) = size(columns);
    let mut end = area.y;
    for (nth, cell) in cells.into_iter().enumerate() {
        let (column, row) = (nth % columns, nth / columns);
        let y = area.y + row as f32 * (high + BENEATH + GAP / 2.0);
        // A place is no wider than pictures commonly are; the last one ends where the page does.
        let wide = width.min(high * 1.5);
        let x = area.x + column as f32 * (area.width - wide) / (columns - 1).max(1) as f32;
        let place = Area::new(x, y, wide, high + BENEATH);
        large(page, cell, place, &format!("{}, {}", values.title, cell.name));
        end = place.bottom();
    }
    end
}

/// Draws the words in two columns into an area. Gives how high they are.
fn words(page: &mut Page, area: Area, values: &Values, pictures: &Pictures) -> f32 {
    let left = Area { width: 0.54 * area.width - GAP / 2.0, ..area };
    let right = Area { x: left.right() + GAP, width: 0.46 * area.width - GAP / 2.0, ..area };
    let mut record = Column { page, area: left, y: area.y, left_out: 0 };
    record.head("Record");
    for (label, text) in &values.fields {
        record.field(label, text);
    }
    record.finish(["more field has", "more fields have"]);
    let end = record.y;
    let mut other = Column { page, area: right, y: area.y, left_out: 0 };
    other.head("Names");
    if values.names.is_empty() {
        other.text("Nobody has named it yet.", LABEL);
    }
    for name in &values.names {
        other.name(name);
    }
    let scales = pictures.scales();
    if !values.measured.is_empty() || !scales.is_empty() {
        other.gap();
        other.head("Measured, with uncertainty at k = 2");
        values.measured.iter().for_each(|measured| other.measured(measured));
        for (label, scale) in &scales {
            other.field(label, scale);
        }
    }
    if !values.scored.is_empty() {
        other.gap();
        other.head("Characters");
        values.scored.iter().for_each(|scored| other.field(&scored.what, &scored.value));
    }
    other.finish(["more entry has", "more entries have"]);
    end.max(other.y) - area.y
}

/// Words one below the other, for as long as there is room.
struct Column<'a> {
    page: &'a mut Page,
    area: Area,
    y: f32,
    left_out: usize,
}

impl Column<'_> {
    /// Lines of a style that have room, what follows them and a last one kept free to say what has none.
    fn room(&self, style: Style) -> usize {
        let room = (self.area.bottom() - self.y - TEXT.leading() - 3.0) / style.leading();
        if room < 0.0 { 0 } else { (room as usize).min(MOST_LINES) }
    }

    fn head(&mut self, text: &str) {
        if self.room(HEAD) < 2 {
            return;
        }
        self.y = self.page.text((self.area.x, self.y), self.area.width, 1, text, HEAD) + 1.0;
    }

    fn gap(&mut self) {
        self.y += 6.0;
    }

    fn text(&mut self, text: &str, style: Style) {
        let most = self.room(style);
        if most > 0 && self.left_out == 0 {
            self.y = self.page.text((self.area.x, self.y), self.area.width, most, text, style);
        } else {
            self.left_out += 1;
        }
    }

    /// A head and what stands under it, side by side.
    fn field(&mut self, label: &str, text: &str) {
        let most = self.room(TEXT);
        if most == 0 || self.left_out > 0 {
            self.left_out += 1;
            return;
        }
        let end = self.page.text((self.area.x, self.y), LABELS - 6.0, most.min(2), label, LABEL);
        let width = self.area.width - LABELS;
        self.y = end.max(self.page.text((self.area.x + LABELS, self.y), width, most, text, TEXT)) + 1.0;
    }

    fn name(&mut self, name: &Name) {
        let ink = match name.stand {
            Stand::Current | Stand::Agrees => INK,
            Stand::Dissents | Stand::Open => WARN,
            Stand::Past => SOFT,
        };
        let words = format!("{}: {}", name.stand.word(), name.words);
        if self.room(LEAD) < 2 || self.left_out > 0 {
            self.left_out += 1;
            return;
        }
        self.text(&words, Style { ink, ..LEAD });
        if !name.about.is_empty() && self.room(LABEL) > 0 {
            self.text(&name.about, LABEL);
        }
        self.y += 2.0;
    }

    fn measured(&mut self, measured: &Measured) {
        if self.room(LEAD) < 2 || self.left_out > 0 {
            self.left_out += 1;
            return;
        }
        self.field(&measured.what, &measured.value);
        if self.room(LABEL) > 0 {
            self.text(&measured.method, LABEL);
        }
        self.y += 2.0;
    }

    /// Says what had no room.
    fn finish(&mut self, [one, many]: [&str; 2]) {
        if self.left_out > 0 {
            let words = format!("… {} no room here.", record::count(self.left_out, one, many));
            self.y = self.page.text((self.area.x, self.y), self.area.width, 1, &words, LABEL);
        }
    }
}

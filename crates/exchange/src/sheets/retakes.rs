//! The retake list to print: a box to tick for each animal, what it lacks, and since when it is held.
//!
//! Words go in as they are to stand there; a PDF comes out. Letters are large enough for arm's length, heads stand on each
//! page, and no row is torn by a page's end.

use super::letters::{Face, Line};
use super::page::{Area, EDGE, INK, Page, Paper, Pen, RULE, Role, SOFT, Style};
use super::pdf::{self, About};
use super::wrap::wrap;
use super::{SheetFault, day};
use crate::identity;

/// A row of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RetakeRow {
    /// Number of the specimen.
    pub number: String,
    /// Label of its jar.
    pub jar: String,
    /// What it lacks, and why.
    pub lacks: String,
    /// Since when it is held, or how long is left.
    pub held: String,
}

/// A retake list in the words that it is printed in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RetakeList {
    /// Its head, and the name of the document.
    pub title: String,
    /// The line below: of which session, and when it was made.
    pub about: String,
    /// Heads of the columns: done, specimen, jar, lacks, held.
    pub heads: [String; 5],
    /// Its rows, most urgent first.
    pub rows: Vec<RetakeRow>,
    /// What stands there when no row does.
    pub none: String,
    /// Code of the language of all this (RFC 5646).
    pub language: String,
    /// The day of the session as `2026-06-14`; empty when not known.
    pub date: String,
}

const TITLE: Style = Style::new(Face::Semibold, 20.0, INK, Role::Title);
const ABOUT: Style = Style::new(Face::Regular, 10.0, SOFT, Role::Text);
const HEAD: Style = Style::new(Face::Medium, 9.0, SOFT, Role::Text);
const NUMBER: Style = Style::new(Face::Semibold, 18.0, INK, Role::Text);
const TEXT: Style = Style::new(Face::Regular, 13.0, INK, Role::Text);

/// Shares of the width that columns take: done, specimen, jar, lacks, held.
const COLUMNS: [f32; 5] = [0.09, 0.13, 0.15, 0.39, 0.24];
/// Between two columns, points.
const GAP: f32 = 8.0;
/// Above and below what stands in a row, points.
const PAD: f32 = 7.0;
/// Lines of a cell at most.
const MOST_LINES: usize = 5;
/// Side of the box to tick, points.
const BOX: f32 = 17.0;

/// The list as a PDF.
///
/// # Errors
/// [`SheetFault::Document`].
pub fn retakes_pdf(list: &RetakeList, paper: Paper) -> Result<Vec<u8>, SheetFault> {
    let mut pages = pages(list, paper);
    pdf::number_pages(&mut pages, paper, &list.title);
    let about = About {
        title: list.title.clone(),
        language: list.language.clone(),
        date: day(&list.date),
        id: identity::document(&format!("retakes/{list:?}")),
    };
    pdf::write(&pages, paper, &about, &[])
}

fn pages(list: &RetakeList, paper: Paper) -> Vec<Page> {
    let area = pdf::inner(paper);
    let mut page = Page::default();
    let y = page.text((area.x, area.y), area.width, 2, &list.title, TITLE);
    let mut y = page.text((area.x, y + 2.0), area.width, 3, &list.about, ABOUT) + 10.0;
    if list.rows.is_empty() {
        page.text((area.x, y), area.width, 3, &list.none, TEXT);
        return vec![page];
    }
    let mut pages = Vec::new();
    y = heads(&mut page, list, area, y);
    for row in &list.rows {
        let cells = [(&row.number, NUMBER), (&row.jar, TEXT), (&row.lacks, TEXT), (&row.held, TEXT)];
        let cells: Vec<(Vec<Line>, Style)> = cells
            .into_iter()
            .zip(&COLUMNS[1..])
            .map(|((text, style), share)| {
                let width = share * area.width - GAP;
                (wrap(text, style.face, width / style.size, MOST_LINES), style)
            })
            .collect();
        let high =
            cells.iter().map(|(lines, style)| lines.len() as f32 * style.leading()).fold(BOX, f32::max);
        if y + high + 2.0 * PAD > area.bottom() {
            pages.push(std::mem::take(&mut page));
            y = heads(&mut page, list, area, area.y);
        }
        draw(&mut page, cells, area, y + PAD);
        y += high + 2.0 * PAD;
        page.stroke((area.x, y), (area.right(), y), Pen::plain(RULE, 0.6));
    }
    pages.push(page);
    pages
}

/// Where columns begin.
fn columns(area: Area) -> [f32; 5] {
    let mut x = area.x;
    COLUMNS.map(|share| {
        let from = x;
        x += share * area.width;
        from
    })
}

fn heads(page: &mut Page, list: &RetakeList, area: Area, y: f32) -> f32 {
    let mut end = y;
    for ((x, share), words) in columns(area).into_iter().zip(COLUMNS).zip(&list.heads) {
        end = end.max(page.text((x, y), share * area.width - GAP, 2, words, HEAD));
    }
    page.stroke((area.x, end + 3.0), (area.right(), end + 3.0), Pen::plain(EDGE, 0.8));
    end + 3.0
}

fn draw(page: &mut Page, cells: Vec<(Vec<Line>, Style)>, area: Area, y: f32) {
    let [first, others @ ..] = columns(area);
    let tick = Area::new(first + 1.0, y + (NUMBER.leading() - BOX) / 2.0, BOX, BOX);
    page.rectangle(tick, None, Some(Pen::plain(INK, 1.2)));
    for ((lines, style), x) in cells.into_iter().zip(others) {
        // All first lines stand on one line, whatever their size.
        let lower = (NUMBER.leading() - style.leading()) / 2.0 + (NUMBER.size - style.size) * 0.2;
        page.lines((x, y + lower.max(0.0)), lines, style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(rows: Vec<RetakeRow>) -> RetakeList {
        RetakeList {
            title: "3 animals to take again".into(),
            about: "Salt-marsh bank, 14 June 2026, made at 11:50".into(),
            heads: ["Done", "Specimen", "Jar", "Lacks", "Held"].map(str::to_owned),
            rows,
            none: "No animal lacks a view.".into(),
            language: "en".into(),
            date: "2026-06-14".into(),
        }
    }

    fn row(number: usize, lacks: &str) -> RetakeRow {
        RetakeRow {
            number: number.to_string(),
            jar: format!("2{number}"),
            lacks: lacks.into(),
            held: "since 11:02".into(),
        }
    }

    #[test]
    fn rows_stand_whole_under_their_heads_on_each_page() {
        let long = "Abdomen tip; best of 4 is soft, ".repeat(400);
        let rows: Vec<_> = (1..60).map(|n| row(n, if n % 7 == 0 { &long } else { "Face" })).collect();
        for paper in Paper::ALL {
            let pages = pages(&list(rows.clone()), paper);
            assert!(pages.len() > 1);
            let mut numbers = Vec::new();
            for page in &pages {
                page.assert_within(paper, pdf::MARGIN);
                let texts = page.texts();
                assert!(texts.contains(&"Lacks".to_owned()), "{texts:?}");
                numbers
                    .extend(texts.iter().filter_map(|text| text.parse::<usize>().ok()).filter(|n| *n < 60));
                assert!(page.texts().iter().all(|text| !text.contains("since") || text == "since 11:02"));
            }
            numbers.retain(|n| *n < 20);
            assert!((1..20).all(|n| numbers.contains(&n)), "{numbers:?}");
            assert!(pages.iter().flat_map(Page::texts).any(|text| text.ends_with(" more")));
        }
    }

    #[test]
    fn an_empty_list_says_so() {
        let pages = pages(&list(Vec::new()), Paper::A4);
        assert_eq!(pages.len(), 1);
        assert!(pages[0].texts().contains(&"No animal lacks a view.".to_owned()));
    }

    #[test]
    fn the_same_list_gives_the_same_bytes() {
        let [one, two] = [0, 1].map(|_| retakes_pdf(&list(vec![row(5, "Face ♀")]), Paper::A4).unwrap());
        assert!(one == two && one.starts_with(b"%PDF-1.7"));
        let other = retakes_pdf(&list(vec![row(6, "Face ♀")]), Paper::A4).unwrap();
        assert!(one != other);
    }
}

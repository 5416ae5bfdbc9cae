//! The day at a glance: a row a specimen, a column a view, with tiny pictures or the holes where there is none.

use super::cells::{picture, state};
use super::letters::Face;
use super::page::{Area, EDGE, INK, Page, Paper, Pen, RULE, Role, SOFT, Style};
use super::pdf;
use super::pictures::Pictures;
use super::values::Values;

const TITLE: Style = Style::new(Face::Semibold, 18.0, INK, Role::Title);
const ABOUT: Style = Style::new(Face::Regular, 9.5, SOFT, Role::Text);
const HEAD: Style = Style::new(Face::Medium, 8.5, SOFT, Role::Text);
const NUMBER: Style = Style::new(Face::Semibold, 11.0, INK, Role::Text);
const NAME: Style = Style::new(Face::Regular, 8.5, INK, Role::Text);
const JAR: Style = Style::new(Face::Regular, 8.0, SOFT, Role::Text);

/// Width of the names of specimens, points.
const LABEL: f32 = 112.0;
/// Between two views, points.
const GAP: f32 = 10.0;
/// Widest picture, points.
const WIDEST: f32 = 100.0;
/// Above and below what stands in a row, points.
const PAD: f32 = 5.0;

/// Pages that show all specimens of a session, under their title and the words about them.
pub(crate) fn pages(
    paper: Paper,
    title: &str,
    about: &str,
    views: &[String],
    all: &[(&Values, &Pictures)],
) -> Vec<Page> {
    let area = pdf::inner(paper);
    let step = ((area.width - LABEL) / views.len().max(1) as f32).min(WIDEST + GAP);
    let mut page = Page::default();
    let y = page.text((area.x, area.y), area.width, 2, title, TITLE);
    let y = page.text((area.x, y + 1.0), area.width, 2, about, ABOUT) + 10.0;
    let mut y = heads(&mut page, area, y, views, step);
    let mut pages = Vec::new();
    for (values, pictures) in all {
        let mut row = Page::default();
        let high = draw(&mut row, area.x, y + PAD, step, values, pictures) - y + PAD;
        if y + high > area.bottom() {
            pages.push(std::mem::take(&mut page));
            y = heads(&mut page, area, area.y, views, step);
            row = Page::default();
            draw(&mut row, area.x, y + PAD, step, values, pictures);
        }
        page.items.append(&mut row.items);
        y += high;
        page.stroke((area.x, y), (area.right(), y), Pen::plain(RULE, 0.5));
    }
    pages.push(page);
    pages
}

fn heads(page: &mut Page, area: Area, y: f32, views: &[String], step: f32) -> f32 {
    let mut end = y;
    for (nth, view) in views.iter().enumerate() {
        let x = area.x + LABEL + nth as f32 * step;
        end = end.max(page.text((x, y), step - GAP, 2, view, HEAD));
    }
    page.stroke((area.x, end + 2.0), (area.right(), end + 2.0), Pen::plain(EDGE, 0.7));
    end + 2.0
}

/// Draws a row below `y`. Gives where it ends below.
fn draw(page: &mut Page, x: f32, y: f32, step: f32, values: &Values, pictures: &Pictures) -> f32 {
    let width = LABEL - GAP;
    let mut end = page.text((x, y), width, 1, &values.title, NUMBER);
    if !values.jar.is_empty() {
        end = page.text((x, end), width, 1, &format!("jar {}", values.jar), JAR);
    }
    end = page.text((x, end), width, 2, &values.name, NAME);
    let more = pictures.others.len() + pictures.more;
    if more > 0 {
        end = page.text(
            (x, end),
            width,
            1,
            &format!("and {}", record::count(more, "more frame", "more frames")),
            JAR,
        );
    }
    for (nth, cell) in pictures.views.iter().enumerate() {
        let place = Area::new(x + LABEL + nth as f32 * step, y, step - GAP, (step - GAP) / 1.5);
        picture(page, cell, place, true, &format!("{}, {}", values.title, cell.name));
        end = end.max(state(page, (place.x, place.bottom() + 1.0), place.width, cell, 7.5));
    }
    end
}

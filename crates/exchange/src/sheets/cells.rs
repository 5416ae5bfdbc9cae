//! A view in its place on a page: its picture or the hole it leaves, and how it stands, by a sign and a word beneath.

use super::letters::Face;
use super::page::{
    ACCENT, Area, EDGE, GONE, GONE_GROUND, INK, Ink, Item, Page, Pen, Role, SOFT, Step, Style, WARN, WELL,
};
use super::pictures::{Cell, Shot, Sign, bar};

impl Sign {
    fn ink(self) -> Ink {
        match self {
            Self::Full => ACCENT,
            Self::Half => WARN,
            Self::Dotted | Self::Empty => SOFT,
            Self::Struck => GONE,
        }
    }
}

/// Draws a picture into an area, or the hole in its place.
pub(crate) fn picture(page: &mut Page, cell: &Cell, area: Area, is_small: bool, alt: &str) {
    match &cell.shot {
        Some(Shot { small, small_px, .. }) if is_small => {
            page.rectangle(area, Some(WELL), None);
            page.items.push(Item::Picture {
                area: area.fit(*small_px),
                jpeg: small.clone(),
                alt: alt.to_owned(),
            });
        }
        Some(Shot { jpeg, px, .. }) => {
            page.rectangle(area, Some(WELL), None);
            page.items.push(Item::Picture { area: area.fit(*px), jpeg: jpeg.clone(), alt: alt.to_owned() });
        }
        None if cell.sign == Sign::Empty => {}
        None => {
            // The pen lies within the area.
            let inside = Area::new(area.x + 0.5, area.y + 0.5, area.width - 1.0, area.height - 1.0);
            let (fill, ink) =
                if cell.sign == Sign::Struck { (Some(GONE_GROUND), GONE) } else { (None, EDGE) };
            page.rectangle(inside, fill, Some(Pen { ink, width: 1.0, dash: 3.0 }));
        }
    }
}

/// The sign and word of a view below `y`, in a width. Gives where they end below.
pub(crate) fn state(page: &mut Page, (x, y): (f32, f32), width: f32, cell: &Cell, size: f32) -> f32 {
    let style = Style::new(Face::Regular, size, cell.sign.ink(), Role::Text);
    let radius = size * 0.32;
    sign(page, (x + radius + 0.3, y + style.leading() / 2.0), radius, cell.sign);
    let indent = 2.0 * radius + 0.45 * size;
    page.text((x + indent, y), width - indent, 2, &cell.word, style)
}

fn sign(page: &mut Page, (x, y): (f32, f32), r: f32, sign: Sign) {
    let ink = sign.ink();
    let pen = Pen::plain(ink, 0.8);
    match sign {
        Sign::Full => page.disc((x, y), r, Some(ink), None),
        Sign::Half => {
            page.disc((x, y), r, None, Some(pen));
            let k = r * 0.552_284_8;
            let steps = vec![
                Step::To(x + r, y),
                Step::Curve([(x + r, y + k), (x + k, y + r), (x, y + r)]),
                Step::Curve([(x - k, y + r), (x - r, y + k), (x - r, y)]),
                Step::Close,
            ];
            page.items.push(Item::Shape { steps, fill: Some(ink), pen: None });
        }
        Sign::Dotted => page.disc((x, y), r, None, Some(Pen { dash: 0.55 * r, ..pen })),
        Sign::Struck => {
            page.disc((x, y), r, None, Some(pen));
            let d = r * 0.7;
            page.stroke((x - d, y + d), (x + d, y - d), pen);
        }
        Sign::Empty => page.disc((x, y), r, None, Some(pen)),
    }
}

/// Room beneath a large picture for its name, its state and a scale bar, points.
pub(crate) const BENEATH: f32 = 27.0;

/// A view with its large picture, its name and how it stands; a scale bar where a scale was marked. Takes up the area, of
/// which [`BENEATH`] lies under the picture.
pub(crate) fn large(page: &mut Page, cell: &Cell, area: Area, alt: &str) {
    const NAME: Style = Style::new(Face::Medium, 9.0, INK, Role::Text);
    let place = Area { height: area.height - BENEATH, ..area };
    picture(page, cell, place, false, alt);
    let mut width = area.width;
    if let Some((shot, px_per_mm)) = cell.shot.as_ref().and_then(|shot| Some((shot, shot.px_per_mm?))) {
        width = 0.6 * area.width;
        scale_bar(page, place, shot, px_per_mm);
    }
    let y = page.text((area.x, place.bottom() + 2.0), width, 1, &cell.name, NAME);
    state(page, (area.x, y), width, cell, 8.0);
}

/// A bar beneath the right of a picture, and the length that it has there.
fn scale_bar(page: &mut Page, place: Area, shot: &Shot, px_per_mm: f64) {
    let drawn = place.fit(shot.px);
    let points_per_mm = f64::from(drawn.width) / f64::from(shot.px.0) * px_per_mm;
    let Some((mm, words)) = bar(0.36 * f64::from(place.width) / points_per_mm) else { return };
    let (right, y) = (place.right(), place.bottom() + 6.0);
    let left = right - (mm * points_per_mm) as f32;
    let pen = Pen::plain(INK, 1.2);
    page.stroke((left, y), (right, y), pen);
    for x in [left, right] {
        page.stroke((x, y - 2.5), (x, y + 2.5), pen);
    }
    let style = Style::new(Face::Regular, 8.0, INK, Role::Text);
    page.text_right((place.x + 0.6 * place.width, y + 3.0), 0.4 * place.width, &words, style);
}

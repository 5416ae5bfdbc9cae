//! Pages become a PDF: text that can be selected, fonts embedded as far as they are used, pictures byte for byte.
//!
//! Goes in: pages as drawn, and what the document is called. Comes out: its bytes, which follow from these alone; date and
//! name of the document are the record's. Each page says its number, and bookmarks lead to those that are named. Heads,
//! text and pictures are tagged, what only separates is not part of what is said (ISO 32000-1, 14.8).

use std::num::NonZeroU16;

use jiff::civil::Date;
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag, Node, Tag, TagGroup, TagKind, TagTree};
use krilla::text::Font;
use krilla::{Data, Document, SerializeSettings};
use uuid::Uuid;

use super::SheetFault;
use super::letters::{Face, Line};
use super::page::{Ink, Item, MM, Page, Paper, Pen, Role, SOFT, Step, Style};

/// What a document is called.
#[derive(Debug, Clone)]
pub(crate) struct About {
    pub(crate) title: String,
    /// Code of its language (RFC 5646).
    pub(crate) language: String,
    /// Its day, when one is known.
    pub(crate) date: Option<Date>,
    pub(crate) id: Uuid,
}

/// From the edge of the paper to what is said: 12 mm, more than common printers need.
pub(crate) const MARGIN: f32 = 12.0 * MM;
/// Height of the foot above the margin.
pub(crate) const FOOT: f32 = 16.0;

/// Where text of a page may stand, above its foot.
pub(crate) fn inner(paper: Paper) -> super::page::Area {
    let (width, height) = paper.size();
    super::page::Area::new(MARGIN, MARGIN, width - 2.0 * MARGIN, height - 2.0 * MARGIN - FOOT)
}

/// Puts the title and the number of each page at its foot.
pub(crate) fn number_pages(pages: &mut [Page], paper: Paper, title: &str) {
    let style = Style::new(Face::Regular, 8.0, SOFT, Role::Aside);
    let area = inner(paper);
    let y = area.bottom() + FOOT - style.leading();
    let of = pages.len();
    for (nth, page) in pages.iter_mut().enumerate() {
        page.lines(
            (area.x, y),
            vec![super::wrap::one_line(title, style.face, (area.width - 80.0) / style.size)],
            style,
        );
        page.text_right((area.x, y), area.width, &format!("{} / {of}", nth + 1), style);
    }
}

/// The document of these pages; `marks` are names of pages by their place.
///
/// # Errors
/// [`SheetFault::Picture`] when a picture is no JPEG, [`SheetFault::Document`] when it cannot be put together otherwise.
pub(crate) fn write(
    pages: &[Page],
    paper: Paper,
    about: &About,
    marks: &[(usize, String)],
) -> Result<Vec<u8>, SheetFault> {
    // The version that krilla writes unless asked for another is PDF 1.7.
    let settings =
        SerializeSettings { enable_tagging: true, xmp_metadata: true, ..SerializeSettings::default() };
    let mut document = Document::new_with(settings);
    let fonts =
        Face::ALL.map(|face| Font::new(Data::from(face.bytes()), 0).expect("a font that is built in"));
    let (width, height) = paper.size();
    let mut tags = TagTree::new();
    for page in pages {
        let settings = PageSettings::from_wh(width, height).expect("paper has a size");
        let mut drawn = document.start_page_with(settings);
        let mut surface = drawn.surface();
        let mut part = TagGroup::new(Tag::Section);
        for item in &page.items {
            part.children.extend(draw(&mut surface, item, &fonts)?);
        }
        surface.finish();
        drawn.finish();
        tags.push(part);
    }
    document.set_tag_tree(tags);
    let mut outline = Outline::new();
    for (page, name) in marks {
        outline
            .push_child(OutlineNode::new(name.clone(), XyzDestination::new(*page, Point::from_xy(0.0, 0.0))));
    }
    document.set_outline(outline);
    document.set_metadata(metadata(about));
    document.finish().map_err(|fault| SheetFault::Document(fault.to_string()))
}

fn metadata(about: &About) -> Metadata {
    let metadata = Metadata::new()
        .title(about.title.clone())
        .language(about.language.clone())
        .creator("Endleaf".to_owned())
        .document_id(about.id.to_string());
    match about.date {
        Some(date) => {
            let [year, month, day] = [date.year(), i16::from(date.month()), i16::from(date.day())];
            let day = DateTime::new(year.unsigned_abs()).month(month as u8).day(day as u8);
            metadata.creation_date(day)
        }
        None => metadata,
    }
}

/// Draws one item. Gives what it adds to the order of reading.
fn draw(surface: &mut Surface<'_>, item: &Item, fonts: &[Font; 4]) -> Result<Option<Node>, SheetFault> {
    let tag: Option<TagKind> = match item {
        Item::Text { style, lines, .. } => {
            let level = |level| NonZeroU16::new(level).expect("levels begin at 1");
            let words = || Some(lines.iter().map(Line::text).collect::<Vec<_>>().join(" "));
            match style.role {
                Role::Title => Some(Tag::Hn(level(1), words()).into()),
                Role::Head => Some(Tag::Hn(level(2), words()).into()),
                Role::Text => Some(Tag::P.into()),
                Role::Aside => None,
            }
        }
        Item::Picture { alt, .. } => Some(Tag::Figure(Some(alt.clone())).into()),
        Item::Shape { .. } => None,
    };
    let content = match &tag {
        Some(_) => ContentTag::Other,
        None => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
    };
    let id = surface.start_tagged(content);
    match item {
        Item::Text { x, y, lines, style } => text(surface, (*x, *y), lines, *style, fonts),
        Item::Shape { steps, fill, pen } => shape(surface, steps, *fill, *pen),
        Item::Picture { area, jpeg, alt } => {
            let image = Image::from_jpeg(Data::from(std::sync::Arc::clone(jpeg)), true)
                .map_err(|reason| SheetFault::Picture { what: alt.clone(), reason })?;
            let size = Size::from_wh(area.width, area.height).ok_or_else(|| SheetFault::Picture {
                what: alt.clone(),
                reason: "it has no size".to_owned(),
            })?;
            surface.push_transform(&Transform::from_translate(area.x, area.y));
            surface.draw_image(image, size);
            surface.pop();
        }
    }
    surface.end_tagged();
    Ok(tag.map(|tag| TagGroup::with_children(tag, vec![id.into()]).into()))
}

fn text(surface: &mut Surface<'_>, (x, y): (f32, f32), lines: &[Line], style: Style, fonts: &[Font; 4]) {
    surface.set_stroke(None);
    surface.set_fill(Some(filled(style.ink)));
    for (nth, line) in lines.iter().enumerate() {
        let mut x = x;
        let y = y + nth as f32 * style.leading();
        for run in &line.runs {
            let font = fonts[run.face as usize].clone();
            surface.draw_glyphs(Point::from_xy(x, y), &run.glyphs, font, &run.text, style.size, false);
            x += run.width_em * style.size;
        }
    }
}

fn shape(surface: &mut Surface<'_>, steps: &[Step], fill: Option<Ink>, pen: Option<Pen>) {
    let Some(path) = path(steps) else { return };
    surface.set_fill(fill.map(filled));
    surface.set_stroke(pen.map(|pen| Stroke {
        paint: colour(pen.ink).into(),
        width: pen.width,
        dash: (pen.dash > 0.0).then(|| StrokeDash { array: vec![pen.dash, 0.7 * pen.dash], offset: 0.0 }),
        ..Stroke::default()
    }));
    surface.draw_path(&path);
}

fn path(steps: &[Step]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in steps {
        match *step {
            Step::To(x, y) => path.move_to(x, y),
            Step::Line(x, y) => path.line_to(x, y),
            Step::Curve([one, other, to]) => path.cubic_to(one.0, one.1, other.0, other.1, to.0, to.1),
            Step::Close => path.close(),
        }
    }
    path.finish()
}

fn colour([red, green, blue]: Ink) -> rgb::Color {
    rgb::Color::new(red, green, blue)
}

fn filled(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

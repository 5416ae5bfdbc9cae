//! Contact sheets as one page for browsers, which needs nothing beside it: pictures stand in it, no address leads out.
//!
//! The same words and copies as in the PDF. Words are escaped by the writer; signs that would turn their direction are dropped.

use std::io;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use quick_xml::events::BytesText;

use super::contact::{ContactSheets, Sheet};
use super::pictures::{Cell, Sign, bar};
use super::specimen::beneath;
use super::values::Measured;
use super::wrap::clean;
use crate::html::{self, Page};

/// How it looks, on a screen by day and night and on paper.
const STYLE: &str = include_str!("../../../../assets/pages/sheets.css");

/// The page, UTF-8.
pub(crate) fn page(sheets: &ContactSheets) -> Vec<u8> {
    html::page(&clean(&sheets.title), STYLE, |page| {
        text(page, "h1", &sheets.title)?;
        text(page, "p", &sheets.about)?;
        overview(page, sheets)?;
        sheets.sheets.iter().try_for_each(|sheet| specimen(page, sheet))
    })
}

fn overview(page: &mut Page, sheets: &ContactSheets) -> io::Result<()> {
    let within = |page: &mut Page| {
        page.create_element("thead").write_inner_content(|page| {
            page.create_element("tr").write_inner_content(|page| {
                text(page, "th", "Specimen")?;
                sheets.views.iter().try_for_each(|view| text(page, "th", view))
            })?;
            Ok(())
        })?;
        page.create_element("tbody").write_inner_content(|page| {
            sheets.sheets.iter().try_for_each(|sheet| {
                page.create_element("tr").write_inner_content(|page| overview_row(page, sheet))?;
                Ok(())
            })
        })?;
        Ok(())
    };
    page.create_element("table").with_attribute(("class", "overview")).write_inner_content(within)?;
    Ok(())
}

fn overview_row(page: &mut Page, sheet: &Sheet) -> io::Result<()> {
    let values = &sheet.values;
    page.create_element("th").with_attribute(("scope", "row")).write_inner_content(|page| {
        let link = format!("#{}", values.id);
        page.create_element("a")
            .with_attribute(("href", link.as_str()))
            .write_text_content(BytesText::new(&clean(&values.title)))?;
        if !values.jar.is_empty() {
            text(page, "small", &format!("jar {}", values.jar))?;
        }
        text(page, "span", &values.name)
    })?;
    sheet.pictures.views.iter().try_for_each(|cell| {
        page.create_element("td").write_inner_content(|page| {
            picture(page, cell, true, &format!("{}, {}", values.title, cell.name))?;
            state(page, cell)
        })?;
        Ok(())
    })
}

fn specimen(page: &mut Page, sheet: &Sheet) -> io::Result<()> {
    let values = &sheet.values;
    let id = values.id.to_string();
    page.create_element("section").with_attribute(("id", id.as_str())).write_inner_content(|page| {
        let jar = if values.jar.is_empty() { String::new() } else { format!(", jar {}", values.jar) };
        text(page, "h2", &format!("{}{jar}", values.title))?;
        page.create_element("p")
            .with_attribute(("class", "name"))
            .write_text_content(BytesText::new(&clean(&values.name)))?;
        page.create_element("div").with_attribute(("class", "views")).write_inner_content(|page| {
            sheet.pictures.placed().into_iter().try_for_each(|cell| {
                page.create_element("figure").write_inner_content(|page| {
                    picture(page, cell, false, &format!("{}, {}", values.title, cell.name))?;
                    page.create_element("figcaption").write_inner_content(|page| {
                        text(page, "b", &cell.name)?;
                        state(page, cell)?;
                        scale_bar(page, cell)
                    })?;
                    Ok(())
                })?;
                Ok(())
            })
        })?;
        beneath(&sheet.pictures).iter().try_for_each(|line| text(page, "p", line))?;
        words(page, sheet)
    })?;
    Ok(())
}

fn words(page: &mut Page, sheet: &Sheet) -> io::Result<()> {
    let values = &sheet.values;
    text(page, "h3", "Record")?;
    pairs(page, values.fields.iter().map(|(label, value)| (*label, value.clone())))?;
    text(page, "h3", "Names")?;
    if values.names.is_empty() {
        text(page, "p", "Nobody has named it yet.")?;
    }
    let told = |name: &super::values::Name| match name.about.as_str() {
        "" => name.words.clone(),
        about => format!("{} ({about})", name.words),
    };
    pairs(page, values.names.iter().map(|name| (name.stand.word(), told(name))))?;
    let entry = |measured: &Measured| match measured.method.as_str() {
        "" => measured.value.clone(),
        method => format!("{}, {method}", measured.value),
    };
    let scales = sheet.pictures.scales();
    if !values.measured.is_empty() || !scales.is_empty() {
        text(page, "h3", "Measured, with uncertainty at k = 2")?;
        pairs(page, values.measured.iter().map(|measured| (measured.what.as_str(), entry(measured))))?;
        pairs(page, scales.iter().map(|(label, scale)| (label.as_str(), scale.clone())))?;
    }
    if !values.scored.is_empty() {
        text(page, "h3", "Characters")?;
        pairs(page, values.scored.iter().map(|scored| (scored.what.as_str(), scored.value.clone())))?;
    }
    Ok(())
}

fn pairs<'a>(page: &mut Page, all: impl Iterator<Item = (&'a str, String)>) -> io::Result<()> {
    let mut all = all.peekable();
    if all.peek().is_none() {
        return Ok(());
    }
    page.create_element("dl").write_inner_content(|page| {
        all.try_for_each(|(term, words)| {
            text(page, "dt", term)?;
            text(page, "dd", &words)
        })
    })?;
    Ok(())
}

fn picture(page: &mut Page, cell: &Cell, is_small: bool, alt: &str) -> io::Result<()> {
    let Some(shot) = &cell.shot else {
        let class = match cell.sign {
            Sign::Struck => "gap missing",
            Sign::Empty => return Ok(()),
            Sign::Full | Sign::Half | Sign::Dotted => "gap",
        };
        page.create_element("div").with_attribute(("class", class)).write_text_content(BytesText::new(""))?;
        return Ok(());
    };
    let (jpeg, px) = if is_small { (&shot.small, shot.small_px) } else { (&shot.jpeg, shot.px) };
    let address = format!("data:image/jpeg;base64,{}", STANDARD.encode(jpeg.as_slice()));
    let (width, height) = (px.0.to_string(), px.1.to_string());
    let alt = clean(alt);
    let attributes = [
        ("src", address.as_str()),
        ("width", &width),
        ("height", &height),
        ("alt", &alt),
        ("loading", "lazy"),
    ];
    page.create_element("img").with_attributes(attributes).write_empty()?;
    Ok(())
}

fn state(page: &mut Page, cell: &Cell) -> io::Result<()> {
    let (class, sign) = match cell.sign {
        Sign::Full => ("good", "●"),
        Sign::Half => ("doubtful", "◒"),
        Sign::Dotted => ("open", "◌"),
        Sign::Struck => ("gone", "⊘"),
        Sign::Empty => ("open", "○"),
    };
    let words = format!("{sign} {}", clean(&cell.word));
    let class = format!("state {class}");
    page.create_element("span")
        .with_attribute(("class", class.as_str()))
        .write_text_content(BytesText::new(&words))?;
    Ok(())
}

/// A bar of a round length, where a scale was marked. Pictures stand whole in places of 3 : 2, as the style says.
fn scale_bar(page: &mut Page, cell: &Cell) -> io::Result<()> {
    let scaled = cell.shot.as_ref().and_then(|shot| Some((shot.px, shot.px_per_mm?)));
    let Some(((width, height), px_per_mm)) = scaled else { return Ok(()) };
    let (width, height) = (f64::from(width), f64::from(height));
    let Some((mm, words)) = bar(0.36 * width / px_per_mm) else { return Ok(()) };
    let share = mm * px_per_mm / width * (width / height / 1.5).min(1.0);
    let style = format!("width:{:.2}%", 100.0 * share);
    let attributes = [("class", "bar"), ("style", style.as_str())];
    page.create_element("span").with_attributes(attributes).write_text_content(BytesText::new(""))?;
    text(page, "small", &words)
}

/// An element with text in it, without signs that would turn its direction, escaped.
fn text(page: &mut Page, element: &str, words: &str) -> io::Result<()> {
    html::text(page, element, &clean(words))
}

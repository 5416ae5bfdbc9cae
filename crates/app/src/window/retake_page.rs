//! The retake list as a page to print: black on white, a box to tick for each animal.
//!
//! Goes in: an open day. Comes out: one HTML page that needs nothing beside it.

use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesText, Event};
use record::Taken;

use super::held_words::told;
use super::open_day::OpenDay;
use super::sheet::{date_words, minute};
use super::words::tell;

/// How it looks on paper: letters of 13 pt, rules between lines, heads repeated on each sheet.
const STYLE: &str = include_str!("../../../../assets/pages/retakes.css");

type Page = Writer<Vec<u8>>;

/// The page, made at this moment.
pub(crate) fn page(open: &OpenDay, now: &Taken) -> String {
    let mut page = Writer::new(Vec::new());
    write(&mut page, open, now).expect("memory can be written to");
    String::from_utf8(page.into_inner()).expect("what is written is text")
}

fn write(page: &mut Page, open: &OpenDay, now: &Taken) -> io::Result<()> {
    page.write_event(Event::DocType(BytesText::from_escaped("html")))?;
    let title = tell!("retakes-count", n = open.held.len());
    let language = tell!("language");
    page.create_element("html").with_attribute(("lang", language.as_str())).write_inner_content(|page| {
        page.create_element("head").write_inner_content(|page| {
            page.create_element("meta").with_attribute(("charset", "utf-8")).write_empty()?;
            text(page, "title", &title)?;
            // Written as it is: it holds nothing to be escaped.
            page.create_element("style").write_text_content(BytesText::from_escaped(STYLE))?;
            Ok(())
        })?;
        page.create_element("body").write_inner_content(|page| {
            text(page, "h1", &title)?;
            let name = &open.day.session.name;
            let date = open.day.session.date().map(|d| date_words(&d)).unwrap_or_default();
            let made = minute(now);
            text(page, "p", &tell!("retake-page-of", name = name, date = date, made = made))?;
            table(page, open)
        })?;
        Ok(())
    })?;
    Ok(())
}

fn table(page: &mut Page, open: &OpenDay) -> io::Result<()> {
    page.create_element("table").write_inner_content(|page| {
        page.create_element("thead").write_inner_content(|page| {
            page.create_element("tr").write_inner_content(|page| {
                for head in [
                    tell!("retake-page-done"),
                    tell!("retake-page-specimen"),
                    tell!("retake-page-jar"),
                    tell!("retake-page-lacks"),
                    tell!("retake-page-held"),
                ] {
                    text(page, "th", &head)?;
                }
                Ok(())
            })?;
            Ok(())
        })?;
        page.create_element("tbody").write_inner_content(|page| {
            for held in &open.held {
                let jar = open.jar_words(held.retake.set);
                let told = told(held, &open.day.session.plan, &jar);
                let why = [vec![told.lacks], told.why].concat().join("; ");
                page.create_element("tr").write_inner_content(|page| {
                    for cell in ["☐".to_owned(), held.retake.number.to_string(), jar, why, told.time] {
                        text(page, "td", &cell)?;
                    }
                    Ok(())
                })?;
            }
            Ok(())
        })?;
        Ok(())
    })?;
    Ok(())
}

/// An element with text in it, escaped.
fn text(page: &mut Page, element: &str, words: &str) -> io::Result<()> {
    page.create_element(element).write_text_content(BytesText::new(words))?;
    Ok(())
}

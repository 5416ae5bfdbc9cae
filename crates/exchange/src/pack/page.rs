//! The page to look through: all specimens with their pictures, in any browser and without a network.
//!
//! Goes in: what is in the pack. Comes out: one HTML page that needs only the pictures beside it. It runs no scripts.

use std::io;

use quick_xml::events::BytesText;

use super::summary::{Packed, preface, readable};
use crate::html::{self, Page, address, text};

/// How it looks, on light and dark screens and on paper.
const STYLE: &str = include_str!("../../../../assets/pages/pack.css");

/// `index.html`.
pub(super) fn page(all: &[Packed<'_>]) -> Vec<u8> {
    let [title, answer, _] = preface(all);
    html::page(&title, STYLE, |page| {
        text(page, "h1", &title)?;
        text(page, "p", &answer)?;
        contents(page, all)?;
        page.create_element("main").write_inner_content(|page| {
            all.iter().zip(1..).try_for_each(|(packed, nth)| section(page, packed, nth))
        })?;
        Ok(())
    })
}

fn contents(page: &mut Page, all: &[Packed<'_>]) -> io::Result<()> {
    page.create_element("nav").with_attribute(("aria-label", "Specimens")).write_inner_content(|page| {
        page.create_element("ol").write_inner_content(|page| {
            for (packed, nth) in all.iter().zip(1..) {
                page.create_element("li").write_inner_content(|page| {
                    let to = format!("#specimen-{nth}");
                    let link = page.create_element("a").with_attribute(("href", to.as_str()));
                    link.write_text_content(BytesText::new(&packed.item.label))?;
                    Ok(())
                })?;
            }
            Ok(())
        })?;
        Ok(())
    })?;
    Ok(())
}

fn section(page: &mut Page, packed: &Packed<'_>, nth: usize) -> io::Result<()> {
    let id = format!("specimen-{nth}");
    page.create_element("section").with_attribute(("id", id.as_str())).write_inner_content(|page| {
        text(page, "h2", &packed.item.label)?;
        page.create_element("dl").write_inner_content(|page| {
            let told =
                packed.item.cells.iter().filter(|cell| cell.column != "specimen" && !cell.text.is_empty());
            for cell in told {
                text(page, "dt", cell.words)?;
                // Direction follows from the words, so that none spill over into what stands beside.
                let value = page.create_element("dd").with_attribute(("dir", "auto"));
                value.write_text_content(BytesText::new(&readable(&cell.text)))?;
            }
            Ok(())
        })?;
        let missing = packed.missing();
        if !missing.is_empty() {
            let gap = page.create_element("p").with_attribute(("class", "gap"));
            gap.write_text_content(BytesText::new(&format!("⊘ No picture: {}", readable(&missing))))?;
        }
        page.create_element("div").with_attribute(("class", "round")).write_inner_content(|page| {
            packed.shown.iter().try_for_each(|put| {
                let (width, height) = (put.size_px.0.to_string(), put.size_px.1.to_string());
                let view = readable(&put.view);
                let words = format!("{view} of {}", packed.item.label);
                let address = address(&put.path);
                page.create_element("figure").write_inner_content(|page| {
                    let link = page.create_element("a").with_attribute(("href", address.as_str()));
                    link.write_inner_content(|page| {
                        let picture = page.create_element("img").with_attributes([
                            ("src", address.as_str()),
                            ("alt", words.as_str()),
                            ("width", width.as_str()),
                            ("height", height.as_str()),
                            ("loading", "lazy"),
                        ]);
                        picture.write_empty()?;
                        Ok(())
                    })?;
                    let under = page.create_element("figcaption").with_attribute(("dir", "auto"));
                    under.write_text_content(BytesText::new(&view))?;
                    Ok(())
                })?;
                Ok(())
            })
        })?;
        Ok(())
    })?;
    Ok(())
}

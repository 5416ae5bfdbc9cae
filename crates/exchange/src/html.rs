//! What the pages that are made for browsers have in common: their frame, escaped words, and relative addresses.
//!
//! A page needs no network and runs no scripts; it looks well by day and night.

use std::fmt::Write as _;
use std::io;

use quick_xml::Writer;
use quick_xml::events::{BytesText, Event};

/// A page that is being written.
pub(crate) type Page = Writer<Vec<u8>>;

/// A page, UTF-8, in English. `body` writes what stands in it.
pub(crate) fn page(title: &str, style: &str, body: impl FnOnce(&mut Page) -> io::Result<()>) -> Vec<u8> {
    let mut page = Writer::new(Vec::new());
    write(&mut page, title, style, body).expect("memory can be written to");
    page.into_inner()
}

fn write(
    page: &mut Page,
    title: &str,
    style: &str,
    body: impl FnOnce(&mut Page) -> io::Result<()>,
) -> io::Result<()> {
    page.write_event(Event::DocType(BytesText::from_escaped("html")))?;
    page.create_element("html").with_attribute(("lang", "en")).write_inner_content(|page| {
        page.create_element("head").write_inner_content(|page| {
            page.create_element("meta").with_attribute(("charset", "utf-8")).write_empty()?;
            for (name, content) in
                [("viewport", "width=device-width, initial-scale=1"), ("color-scheme", "light dark")]
            {
                let meta = page.create_element("meta");
                meta.with_attributes([("name", name), ("content", content)]).write_empty()?;
            }
            text(page, "title", title)?;
            // Written as it is: it holds nothing to be escaped.
            page.create_element("style").write_text_content(BytesText::from_escaped(style))?;
            Ok(())
        })?;
        page.create_element("body").write_inner_content(body)?;
        Ok(())
    })?;
    Ok(())
}

/// An element with text in it, escaped.
pub(crate) fn text(page: &mut Page, element: &str, words: &str) -> io::Result<()> {
    page.create_element(element).write_text_content(BytesText::new(words))?;
    Ok(())
}

/// A path as a relative address: what RFC 3986 does not leave unreserved is percent-encoded, segment by segment.
pub(crate) fn address(path: &str) -> String {
    let mut address = String::new();
    for byte in path.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            address.push(char::from(byte));
        } else {
            write!(address, "%{byte:02X}").expect("a string takes any text");
        }
    }
    address
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Percent-encoding of UTF-8 as in RFC 3986, section 2.
    #[test]
    fn paths_become_addresses() {
        assert_eq!(address("2026 June/Öl#1.JPG"), "2026%20June/%C3%96l%231.JPG");
        assert_eq!(address("a-b_c~1/d.jpg"), "a-b_c~1/d.jpg");
    }
}

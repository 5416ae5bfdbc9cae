//! QR codes as outlines (ISO/IEC 18004), so that they are sharp at any size.

use qrcodegen::{QrCode, QrCodeEcc};

use super::page::{Area, BLACK, Item, Page, Step, rectangle};

/// Modules left white around a code (ISO/IEC 18004, 5.3.8).
pub(crate) const QUIET: usize = 4;

/// Draws the code of a text into a square, its white border included. Nothing for a text that is too long for any code.
pub(crate) fn draw(page: &mut Page, text: &str, (x, y): (f32, f32), width: f32) {
    let Some(code) = of(text) else { return };
    let size = code.size();
    let module = width / (size as f32 + 2.0 * QUIET as f32);
    let mut steps: Vec<Step> = Vec::new();
    for row in 0..size {
        let mut column = 0;
        while column < size {
            let from = column;
            while column < size && code.get_module(column, row) {
                column += 1;
            }
            if column > from {
                let at = |n: i32| (n as f32 + QUIET as f32) * module;
                let dark = Area::new(x + at(from), y + at(row), (column - from) as f32 * module, module);
                steps.extend(rectangle(dark));
            }
            column += 1;
        }
    }
    page.items.push(Item::Shape { steps, fill: Some(BLACK), pen: None });
}

/// The code of a text: a quarter of its letters may be lost (level Q), or less where the text is longer.
fn of(text: &str) -> Option<QrCode> {
    [QrCodeEcc::Quartile, QrCodeEcc::Medium, QrCodeEcc::Low]
        .into_iter()
        .find_map(|level| QrCode::encode_text(text, level).ok())
}

/// Whether a text has a code.
pub(crate) fn is_possible(text: &str) -> bool {
    of(text).is_some()
}

#[cfg(test)]
mod tests {
    use imaging::Luma;

    use super::*;

    /// The page as a picture of `px` pixels a point, drawn by its outlines alone.
    fn pictured(page: &Page, side: usize, px: f32) -> Luma {
        let mut pixels = vec![255; side * side];
        for item in &page.items {
            let Item::Shape { steps, .. } = item else { panic!("a code is an outline") };
            for corners in steps.chunks(5) {
                let [Step::To(left, top), _, Step::Line(right, bottom), ..] = corners else {
                    panic!("{corners:?}")
                };
                let [left, top, right, bottom] =
                    [left, top, right, bottom].map(|at| (at * px).round() as usize);
                for row in pixels[top * side..bottom * side].chunks_mut(side) {
                    row[left..right].fill(0);
                }
            }
        }
        Luma::new(side, side, pixels).unwrap()
    }

    #[test]
    fn the_reader_of_jar_cards_reads_what_is_drawn() {
        let read = |text: &str| {
            let mut page = Page::default();
            draw(&mut page, text, (10.0, 20.0), 80.0);
            import::read_jar_card(&pictured(&page, 600, 6.0))
        };
        for text in ["21", "Jar 7b, salt marsh", "Sæby 3", "uuid:95371597-fd1d-5a01-abe1-88da72d2af50"] {
            assert_eq!(read(text).as_deref(), Some(text));
        }
        // The label of a drawer is no jar.
        assert_eq!(read("urn:uuid:95371597-fd1d-5a01-abe1-88da72d2af50"), None);
        let mut page = Page::default();
        draw(&mut page, &"x".repeat(4000), (0.0, 0.0), 80.0);
        assert!(page.items.is_empty() && !is_possible(&"x".repeat(4000)));
    }
}

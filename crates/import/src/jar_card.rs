//! The QR code on a jar card or note that was photographed.
//!
//! In goes a luma picture of some hundred pixels, large enough to tell the code's modules; out comes its text. What the
//! text means is decided elsewhere.

use imaging::Luma;

/// Pictures are reduced to this before a code is looked for: a code of 33 modules, which holds some fifty letters, is
/// still read where it takes up a seventh of the long side, at four pixels a module.
const LONG_SIDE_PX: usize = 900;
/// Longest text that is taken for a label, in characters; what is longer is something else.
const LONGEST_CHARS: usize = 100;

/// Reads the first QR code of a picture whose text can be a label: one line, not empty, trimmed. `None` when there is
/// none, or it cannot be read.
pub fn read_jar_card(picture: &Luma) -> Option<String> {
    let picture = picture.reduced(LONG_SIDE_PX);
    if picture.pixels.is_empty() {
        return None;
    }
    let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(picture.width, picture.height, |x, y| {
        picture.pixels[y * picture.width + x]
    });
    prepared.detect_grids().iter().filter_map(|grid| grid.decode().ok()).find_map(|(_, text)| {
        let text = text.trim();
        // The label of a drawer names an occurrence by a URN (RFC 8141), which is no jar.
        let is_label = !text.is_empty()
            && text.chars().count() <= LONGEST_CHARS
            && !text.chars().any(char::is_control)
            && !text.to_ascii_lowercase().starts_with("urn:");
        is_label.then(|| text.to_owned())
    })
}

#[cfg(test)]
mod tests {
    use qrcodegen::{QrCode, QrCodeEcc};

    use super::*;

    /// A code of `module_px` a module at an offset on grey paper that is lit unevenly, with grain.
    fn photographed(text: &str, module_px: usize, width: usize, height: usize) -> Luma {
        let code = QrCode::encode_text(text, QrCodeEcc::Medium).unwrap();
        let mut noise = 12345u32;
        let mut pixels = Vec::with_capacity(width * height);
        for y in 0..height {
            for x in 0..width {
                noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                let grain = f64::from(noise >> 28) - 8.0;
                let light = 0.7 + 0.3 * x as f64 / width as f64;
                let module =
                    |v: usize, from: usize| i32::try_from(v.saturating_sub(from) / module_px).unwrap();
                let dark = x >= 60 && y >= 40 && code.get_module(module(x, 60), module(y, 40));
                pixels.push((light * (if dark { 40.0 } else { 205.0 } + grain)).clamp(0.0, 255.0) as u8);
            }
        }
        Luma::new(width, height, pixels).unwrap()
    }

    /// The codes come from another library, after ISO/IEC 18004.
    #[test]
    fn a_code_is_read_from_an_uneven_picture() {
        for text in ["21", "Jar 7b, salt marsh", "Sæby 3"] {
            for module_px in [4, 9] {
                assert_eq!(
                    read_jar_card(&photographed(text, module_px, 600, 400)).as_deref(),
                    Some(text),
                    "{module_px}"
                );
            }
        }
        assert_eq!(read_jar_card(&photographed(" 21\n", 6, 2400, 1600)), None, "too small to be told");
        assert_eq!(read_jar_card(&photographed(" 21 ", 24, 2400, 1600)).as_deref(), Some("21"));
    }

    #[test]
    fn what_is_no_label_is_not_taken_for_one() {
        let urn = "urn:uuid:95371597-fd1d-5a01-abe1-88da72d2af50";
        for text in ["  ", "two\nlines", &"long ".repeat(30), urn] {
            assert_eq!(read_jar_card(&photographed(text, 4, 600, 400)), None, "{text}");
        }
        for (width, height) in [(0, 0), (1, 1), (1, 300), (400, 300)] {
            let noise = (0..width * height).map(|i| (i * 7919 % 251) as u8).collect();
            assert_eq!(read_jar_card(&Luma::new(width, height, noise).unwrap()), None);
            assert_eq!(read_jar_card(&Luma::new(width, height, vec![255; width * height]).unwrap()), None);
        }
    }
}

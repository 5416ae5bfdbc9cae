//! Pixels become a JPEG, of the best quality that is still small enough.

use imaging::colour::Rgb;
use jpeg_encoder::{ChromaSubsamplingMethod, ColorType, Encoder, SamplingFactor};

/// The quality of a copy that may have any size, 1..=100 on the scale of the tables in ITU-T T.81, annex K, as common
/// encoders count it: what it changes in a picture reduced from a larger one is not seen.
pub(crate) const QUALITY: u8 = 90;

/// The least quality before a copy is rather made smaller: below it blocks show.
const LEAST_QUALITY: u8 = 50;

/// The shortest long side that is tried.
const SHORTEST_PX: u32 = 64;

/// A baseline JPEG (ITU-T T.81) with a JFIF header alone; colours at half the resolution either way, each the mean of four.
pub(crate) fn encoded(picture: &Rgb, quality: u8) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, quality);
    encoder.set_sampling_factor(SamplingFactor::F_2_2);
    encoder.set_chroma_subsampling_method(ChromaSubsamplingMethod::Average);
    // Sides come from pictures that were read, which have at most 30 000 px.
    encoder
        .encode(&picture.values, picture.width as u16, picture.height as u16, ColorType::Rgb)
        .expect("memory can be written to, and a picture has three bytes for each of its pixels");
    jpeg
}

/// The JPEG of what is drawn with a long side of `long_side_px`, and its columns and rows: of the usual quality, else of the
/// best that has at most so many bytes; where none has, of what is drawn smaller by quarters.
///
/// # Errors
/// The bytes allowed, when none will do.
pub(crate) fn within(
    at_most_bytes: Option<usize>,
    long_side_px: u32,
    mut draw: impl FnMut(u32) -> Rgb,
) -> Result<(Vec<u8>, (usize, usize)), usize> {
    let Some(most) = at_most_bytes else {
        let drawn = draw(long_side_px);
        return Ok((encoded(&drawn, QUALITY), (drawn.width, drawn.height)));
    };
    let mut side = long_side_px;
    loop {
        let drawn = draw(side);
        if let Some(jpeg) = best(&drawn, most) {
            return Ok((jpeg, (drawn.width, drawn.height)));
        }
        // What was not reduced yet would come out the same again.
        side = side.min(drawn.width.max(drawn.height) as u32) * 3 / 4;
        if side < SHORTEST_PX {
            return Err(most);
        }
    }
}

/// The best JPEG of at most so many bytes; at most eight are made.
fn best(picture: &Rgb, at_most_bytes: usize) -> Option<Vec<u8>> {
    let made = |quality| Some(encoded(picture, quality)).filter(|jpeg| jpeg.len() <= at_most_bytes);
    if let Some(jpeg) = made(QUALITY) {
        return Some(jpeg);
    }
    let mut found = made(LEAST_QUALITY)?;
    let (mut fits, mut too_large) = (LEAST_QUALITY, QUALITY);
    while too_large - fits > 1 {
        let between = u8::midpoint(fits, too_large);
        match made(between) {
            Some(jpeg) => (found, fits) = (jpeg, between),
            None => too_large = between,
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An even ground with a texture that takes bytes.
    fn textured(side: u32) -> Rgb {
        let side = side as usize;
        let value = |i: usize| (i * i / 7 % 200 + 30) as u8;
        Rgb::new(side, side, (0..side * side * 3).map(value).collect()).unwrap()
    }

    /// Marker segments before the scan (ITU-T T.81, B.1.1).
    fn markers(jpeg: &[u8]) -> Vec<u8> {
        let (mut at, mut found) = (2, Vec::new());
        while jpeg[at] == 0xFF {
            found.push(jpeg[at + 1]);
            if jpeg[at + 1] == 0xDA {
                break;
            }
            at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
        }
        found
    }

    #[test]
    fn a_copy_is_baseline_and_has_no_header_but_jfif() {
        let jpeg = encoded(&textured(40), QUALITY);
        let found = markers(&jpeg);
        assert_eq!(&jpeg[6..11], b"JFIF\0");
        // APP0, tables, the frame of a baseline JPEG, the scan: no APP1 (Exif, XMP), APP2, APP13 or comment.
        assert_eq!(found[0], 0xE0);
        assert!(found[1..].iter().all(|m| [0xDB, 0xC0, 0xC4, 0xDA].contains(m)), "{found:02X?}");
        // Luma sampled twice as finely either way (T.81, B.2.2).
        let frame = jpeg.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
        assert_eq!([jpeg[frame + 11], jpeg[frame + 14], jpeg[frame + 17]], [0x22, 0x11, 0x11]);
    }

    #[test]
    fn the_best_quality_that_fits_is_taken_and_else_a_smaller_picture() {
        let sizes: Vec<usize> = (LEAST_QUALITY..=QUALITY).map(|q| encoded(&textured(200), q).len()).collect();
        let check = |most: usize, expected: &[u8]| {
            let (jpeg, size) = within(Some(most), 200, textured).unwrap();
            assert!(jpeg == expected && size == (200, 200), "{} of {most}", jpeg.len());
        };
        let at = |quality: u8| encoded(&textured(200), quality);
        check(usize::MAX, &at(QUALITY));
        check(sizes[40], &at(QUALITY));
        check(sizes[23], &at(73));
        check(sizes[0], &at(LEAST_QUALITY));
        let (jpeg, size) = within(Some(sizes[0] - 1), 200, textured).unwrap();
        assert!(jpeg.len() < sizes[0] && size == (150, 150), "{size:?}");
        assert_eq!(within(Some(100), 200, textured), Err(100));
        // A picture that is small already is not drawn over and over.
        let mut drawn = 0;
        let small = within(Some(100), 100_000, |side| {
            drawn += 1;
            textured(side.min(80))
        });
        assert_eq!((small, drawn), (Err(100), 1));
        assert_eq!(within(None, 200, textured).unwrap().0, at(QUALITY));
    }
}

//! PNG and WebP, both made of chunks: their size and their Exif data.
//!
//! Reads chunk headers only; decodes nothing.

use crate::metadata::Span;
use crate::pages::{Pages, be16, be32, le32};

/// What the chunks say.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Found {
    pub(crate) exif: Option<Span>,
    pub(crate) size_px: Option<(u32, u32)>,
    /// Whether the file ends before it says so.
    pub(crate) cut: bool,
}

/// Most chunks that are looked at. Exif data stand before the picture data or shortly behind them; writers that part
/// those into many chunks put it before.
const MOST_CHUNKS: usize = 64;

/// Reads the chunks of a PNG (PNG 3rd edition, 5.3 and 11).
pub(crate) fn png(pages: &mut Pages<'_>) -> Found {
    let mut found = Found::default();
    let mut at = 8;
    for _ in 0..MOST_CHUNKS {
        let head = pages.get(at, 8).to_vec();
        let (Some(bytes), Some(kind)) = (be32(&head, 0), head.get(4..8)) else {
            found.cut = true;
            break;
        };
        let body = Span { offset: at + 8, bytes: bytes.into() };
        match kind {
            b"IHDR" => {
                let sides = pages.get(body.offset, 8);
                found.size_px = be32(sides, 0).zip(be32(sides, 4)).filter(|(w, h)| *w > 0 && *h > 0);
            }
            b"eXIf" => found.exif = Some(body),
            b"IEND" => break,
            _ => {}
        }
        // A checksum follows.
        at = body.end() + 4;
    }
    found
}

/// Reads the chunks of a WebP (RFC 9649).
pub(crate) fn webp(pages: &mut Pages<'_>) -> Found {
    let mut found = Found::default();
    let riff_bytes = le32(pages.get(0, 12), 4).unwrap_or(0);
    found.cut = u64::from(riff_bytes) + 8 > pages.size_bytes();
    let mut at = 12;
    for _ in 0..MOST_CHUNKS {
        let head = pages.get(at, 8).to_vec();
        let (Some(bytes), Some(kind)) = (le32(&head, 4), head.get(..4)) else { break };
        let body = Span { offset: at + 8, bytes: bytes.into() };
        let start = pages.get(body.offset, 10);
        match kind {
            b"VP8X" | b"VP8 " | b"VP8L" if found.size_px.is_none() => found.size_px = webp_size(kind, start),
            b"EXIF" => {
                // Some writers keep the mark that it has in a JPEG.
                let marked = start.starts_with(b"Exif\0\0");
                found.exif = if marked { body.past(6) } else { Some(body) };
            }
            _ => {}
        }
        // Chunks are padded to even lengths.
        at = body.end() + body.bytes % 2;
    }
    found
}

fn webp_size(kind: &[u8], start: &[u8]) -> Option<(u32, u32)> {
    let le16 = |at| be16(start, at).map(|n| u32::from(n.swap_bytes()));
    let (w, h) = match kind {
        // Sides less one, in 24 bits each, behind four bytes of flags.
        b"VP8X" => ((le32(start, 4)? & 0xFF_FFFF) + 1, (le32(start, 6)? >> 8) + 1),
        // A mark, then sides less one in 14 bits each.
        b"VP8L" => {
            let bits = le32(start, 1).filter(|_| start[0] == 0x2F)?;
            ((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1)
        }
        // A frame tag and a start code of three bytes each (RFC 6386, 9.1), then sides with two bits of scale.
        _ => (le16(6)? & 0x3FFF, le16(8)? & 0x3FFF),
    };
    (w > 0 && h > 0).then_some((w, h))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::Sample;

    #[test]
    fn a_png_tells_its_size_and_where_its_exif_data_lie() {
        let bytes = Sample { width: 30, height: 20, ..Sample::default() }.png_with_exif();
        let found = png(&mut Pages::new(&bytes.as_slice()));
        assert_eq!((found.size_px, found.cut), (Some((30, 20)), false));
        assert!(bytes[found.exif.unwrap().offset as usize..].starts_with(b"II*\0"));
        assert!(png(&mut Pages::new(&&bytes[..bytes.len() - 12])).cut);
    }

    #[test]
    fn a_webp_tells_its_size_in_each_of_its_three_forms() {
        // RFC 9649, 2.5–2.7 and RFC 6386, 9.1: 300 × 200.
        for (kind, start) in [
            (b"VP8X", &[8, 0, 0, 0, 43, 1, 0, 199, 0, 0][..]),
            (b"VP8 ", &[0, 0, 0, 0x9D, 1, 0x2A, 44, 1, 200, 0]),
            (b"VP8L", &[0x2F, 0x2B, 0xC1, 0x31, 0, 0, 0, 0, 0, 0]),
        ] {
            let mut bytes = b"RIFF\x1e\0\0\0WEBP".to_vec();
            bytes.extend(kind);
            bytes.extend(10u32.to_le_bytes());
            bytes.extend(start);
            let found = webp(&mut Pages::new(&bytes.as_slice()));
            assert_eq!(found.size_px, Some((300, 200)), "{}", String::from_utf8_lossy(kind));
            assert!(webp(&mut Pages::new(&&bytes[..20])).cut);
        }
    }
}

//! Boxes of the ISO base media format, in which HEIF and CR3 keep everything (ISO/IEC 14496-12, 4.2).
//!
//! Gives the boxes of a span; opens none of them.

use crate::metadata::Span;
use crate::pages::Pages;

/// A box: its type and what it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Boxed {
    pub(crate) kind: [u8; 4],
    pub(crate) body: Span,
}

/// Most boxes of one span that are looked at.
const MOST_BOXES: usize = 4096;

/// The boxes of a span, up to the first that does not fit into it. The last one may reach behind the file's end.
pub(crate) fn boxes(pages: &mut Pages<'_>, span: Span) -> Vec<Boxed> {
    let mut found = vec![];
    let mut at = span.offset;
    while at + 8 <= span.end() && found.len() < MOST_BOXES {
        let Some(head) = pages.array::<8>(at) else { break };
        let [a, b, c, d, kind @ ..] = head;
        let (header, bytes) = match u32::from_be_bytes([a, b, c, d]) {
            // Up to the end.
            0 => (8, span.end() - at),
            1 => match pages.array(at + 8).map(u64::from_be_bytes) {
                Some(bytes) => (16, bytes),
                None => break,
            },
            bytes => (8, u64::from(bytes)),
        };
        let Some(body) = bytes.checked_sub(header) else { break };
        let body = Span { offset: at + header, bytes: body };
        found.push(Boxed { kind, body });
        if body.end() > span.end() {
            break;
        }
        at = body.end();
    }
    found
}

/// The first box of a type.
pub(crate) fn first(pages: &mut Pages<'_>, span: Span, kind: [u8; 4]) -> Option<Span> {
    boxes(pages, span).iter().find(|b| b.kind == kind).map(|b| b.body)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(bytes: &[u8]) -> Vec<String> {
        let whole = Span { offset: 0, bytes: bytes.len() as u64 };
        let found = boxes(&mut Pages::new(&bytes), whole);
        found.iter().map(|b| format!("{} {}", String::from_utf8_lossy(&b.kind), b.body.bytes)).collect()
    }

    #[test]
    fn sizes_of_all_forms() {
        let mut bytes = b"\0\0\0\x0cftypheic\0\0\0\x01meta\0\0\0\0\0\0\0\x14abcd".to_vec();
        bytes.extend(b"\0\0\0\0mdatrest");
        assert_eq!(kinds(&bytes), ["ftyp 4", "meta 4", "mdat 4"]);
        assert_eq!(kinds(b"\0\0\0\x07ftypheic"), [""; 0], "shorter than its head");
        assert_eq!(kinds(b"\0\0\xff\xffmdatrest"), ["mdat 65527"], "cut off");
        assert_eq!(kinds(b"\0\0\0\x01mdat\xff\xff\xff\xff\xff\xff\xff\xff").len(), 1);
        assert_eq!(kinds(&b"\0\0\0\x08free".repeat(9000)).len(), MOST_BOXES);
    }
}

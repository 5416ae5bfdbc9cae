//! Values as cells of a table: without line breaks for programs, and without formulas for people's spreadsheets.

use std::borrow::Cow;

/// A value as one line: line breaks, tabs and other control signs become spaces, since many readers of data files take a
/// line for a row even within quotes.
pub fn one_line(text: &str) -> Cow<'_, str> {
    let breaks = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}');
    if !text.contains(breaks) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.replace("\r\n", " ").replace(breaks, " "))
}

/// Signs that steer what is around them or stand for nothing, and have no shape: marks and embeddings of direction (Unicode
/// Standard Annex #9), breaks of no width, variation selectors, soft hyphen, byte order mark. Joiners are none: they shape.
pub(crate) fn is_steering(c: char) -> bool {
    matches!(c, '\u{AD}' | '\u{61C}' | '\u{200B}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}' | '\u{E0000}'..='\u{E0FFF}')
}

/// A value that no spreadsheet runs: what begins like a formula gets an apostrophe before it. Plain numbers stay.
///
/// `=`, `+`, `-`, `@`, tab and carriage return begin formulas in common spreadsheets (common practice against formula
/// injection); their full-width forms are taken for the same by some.
pub fn harmless(text: &str) -> Cow<'_, str> {
    let begins = text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    let is_number = || {
        let digits = text.strip_prefix('-').unwrap_or(text);
        digits.starts_with(|c: char| c.is_ascii_digit())
            && digits.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            && text.parse::<f64>().is_ok()
    };
    if begins && !is_number() { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_one_line() {
        assert_eq!(one_line("one\r\ntwo\nthree\tfour\u{2028}five\u{85}"), "one two three four five ");
        assert!(matches!(one_line("Ökologie, “plain”"), Cow::Borrowed(_)));
    }

    #[test]
    fn what_begins_like_a_formula_is_no_formula() {
        for text in ["=1+1", "+cmd", "-1+1", "@SUM(A1)", "\t=1", "\r=1", "-", "--1", "+44", "-1e5", "＝1"] {
            assert_eq!(harmless(text), format!("'{text}"));
        }
        for text in ["-33.868", "-0.1", "12", "", "a=1", "'x", "2026-06-14"] {
            assert_eq!(harmless(text), text);
        }
    }
}

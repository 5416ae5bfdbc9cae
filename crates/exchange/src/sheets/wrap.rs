//! Text of any kind becomes lines of a width; what has no room is left out, and how much that is, is said.
//!
//! Goes in: text as it was typed. Comes out: at most so many lines, each no wider than asked. Letters and marks that make one
//! sign become that one (Unicode form C); signs that would turn the direction or stand for nothing are dropped.

use unicode_normalization::UnicodeNormalization as _;
use unicode_segmentation::UnicodeSegmentation as _;

use super::letters::{Face, Line, line, width_em};
use crate::cells::is_steering;

/// Text whose lines are ended by a line feed, with single spaces and without signs that cannot be drawn.
///
/// Dropped are controls, those that embed or override a direction (UAX #9), variation selectors and the mark of byte order.
pub(crate) fn clean(text: &str) -> String {
    let dropped = |c: &char| is_steering(*c) || (c.is_control() && !c.is_whitespace());
    let text =
        text.replace("\r\n", "\n").replace(['\r', '\u{b}', '\u{c}', '\u{85}', '\u{2028}', '\u{2029}'], "\n");
    // A space that is not to be broken at stays.
    let is_space = |c: char| c.is_whitespace() && !matches!(c, '\u{a0}' | '\u{202f}');
    let lines = text.split('\n').map(|line| {
        let kept: String = line.nfc().filter(|c| !dropped(c)).collect();
        kept.split(is_space).filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
    });
    lines.filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

/// Lines of text, at most `most`, each no wider than `width_em` at a size of 1. Empty for text that says nothing.
pub(crate) fn wrap(text: &str, face: Face, width_em: f32, most: usize) -> Vec<Line> {
    let text = clean(text);
    let mut lines = Vec::new();
    let mut at = 0;
    while at < text.len() && most > 0 {
        let end = line_end(&text, at, face, width_em);
        let is_last = lines.len() + 1 == most && end < text.len();
        if is_last {
            lines.push(line(&cut(&text, at, end, face, width_em), face));
            break;
        }
        lines.push(line(text[at..end].trim_end(), face));
        at = end + text[end..].len() - text[end..].trim_start().len();
    }
    lines
}

/// Text as one line of this width.
pub(crate) fn one_line(text: &str, face: Face, width_em: f32) -> Line {
    let text = clean(text).replace('\n', " ");
    wrap(&text, face, width_em, 1).pop().unwrap_or_default()
}

/// Where the line that begins at `at` ends: after the last word that has room, within a word that has none alone. Always
/// beyond `at`.
fn line_end(text: &str, at: usize, face: Face, width: f32) -> usize {
    let whole = text[at..].find('\n').map_or(text.len(), |end| at + end);
    let mut end = at;
    let mut taken = 0.0;
    for word in text[at..whole].split_inclusive(' ') {
        let bare = width_em(word.trim_end(), face);
        if taken + bare > width {
            break;
        }
        taken += bare + if word.ends_with(' ') { width_em(" ", face) } else { 0.0 };
        end += word.len();
    }
    if end > at {
        return end;
    }
    for sign in text[at..whole].graphemes(true) {
        let wider = width_em(&text[at..end + sign.len()], face);
        if wider > width && end > at {
            break;
        }
        end += sign.len();
    }
    // Addresses and names of records have places to be broken at.
    let piece = text[at..end].rfind(['/', '-']).map_or(0, |last| last + 1);
    if end < whole && piece > (end - at) / 2 { at + piece } else { end }
}

/// The line from `at` to `end` as the last one: shortened until it also says how many signs of the text follow.
fn cut(text: &str, at: usize, end: usize, face: Face, width: f32) -> String {
    let more = text[end..].graphemes(true).count();
    let mut ends: Vec<usize> = text[at..end].grapheme_indices(true).map(|(from, _)| at + from).collect();
    ends.push(end);
    let says = |kept: usize| {
        let words = text[at..ends[kept]].trim_end();
        let more = more + ends.len() - 1 - kept;
        let long = format!("… ({more} more characters)");
        // In a narrow place without saying of what.
        let is_narrow = width_em(&long, face) > width / 2.0;
        if is_narrow { format!("{words}… {more} more") } else { words.to_owned() + &long }
    };
    let fits = |kept: &usize| width_em(&says(*kept), face) <= width;
    // The more is kept, the wider it is, but for a digit less in the number.
    let all: Vec<usize> = (0..ends.len()).collect();
    let widest = all.partition_point(fits);
    all[..widest].last().filter(|kept| fits(kept)).map_or("…".to_owned(), |kept| says(*kept))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn texts(text: &str, width_em: f32, most: usize) -> Vec<String> {
        wrap(text, Face::Regular, width_em, most).iter().map(Line::text).collect()
    }

    #[test]
    fn text_is_clean_before_it_is_drawn() {
        for (text, expected) in [
            ("  one\r\ntwo\tthree \n\n four ", "one\ntwo three\nfour"),
            ("a\u{202e}gpj.b\u{200f}", "agpj.b"),
            ("e\u{301}te\u{301} \u{fe0f}\u{7}", "été"),
            ("\u{feff} \u{85} ", ""),
            ("3\u{a0}m", "3\u{a0}m"),
        ] {
            assert_eq!(clean(text), expected, "{text:?}");
        }
    }

    #[test]
    fn lines_break_at_words_and_within_those_that_are_too_long() {
        assert_eq!(texts("on the bank by the sluice", 6.0, 9), ["on the bank", "by the sluice"]);
        assert_eq!(texts("one\ntwo", 99.0, 9), ["one", "two"]);
        assert_eq!(texts("wwwwwwwwww", 4.0, 9).concat(), "wwwwwwwwww");
        assert!(texts("wwwwwwwwww", 4.0, 9).len() > 1);
        assert_eq!(texts("licenses/by/4.0/legalcode", 9.0, 9), ["licenses/by/4.0/", "legalcode"]);
        assert_eq!(texts("", 4.0, 9).len() + texts("a", 4.0, 0).len(), 0);
        assert_eq!(texts("w", 0.01, 9), ["w"], "a sign has a line though it is wider");
    }

    #[test]
    fn what_has_no_room_is_counted() {
        let long = "word ".repeat(2000);
        let lines = texts(&long, 30.0, 2);
        assert_eq!(lines.len(), 2);
        let kept = lines[0].len() + 1 + lines[1].split('…').next().unwrap().len();
        // Of 9,999 signs, one space that a break or the cut stands for.
        let said: usize = lines[1].split_once("… (").unwrap().1.split(' ').next().unwrap().parse().unwrap();
        assert!((9998..=9999).contains(&(kept + said)), "{kept} and {said}");
        let short = texts("abcdefghijklmnop", 5.0, 1);
        assert!(short[0].ends_with(" more"), "{short:?}: short where there is little room");
        assert_eq!(texts("abcdefghijklmnop", 1.0, 1), ["…"]);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        #[test]
        fn no_line_is_wider_than_its_place(text in "\\PC{0,60}|[a-z \n]{0,200}", width in 2.0_f32..40.0, most in 1_usize..5) {
            let lines = wrap(&text, Face::Semibold, width, most);
            prop_assert!(lines.len() <= most);
            for line in &lines {
                let is_one_sign = line.text().graphemes(true).count() <= 1;
                prop_assert!(line.width_em() <= width + 0.05 || is_one_sign, "{:?} of {width}", line.text());
            }
        }
    }
}

//! Words as they are compared: without case and accents, and with single blanks.

use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

/// Without case and accents; `ß` is `ss`. Everything else stays.
pub(crate) fn folded(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_lowercase();
    }
    let lower = text.nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase);
    let mut folded = String::with_capacity(text.len());
    for c in lower {
        match c {
            'ß' => folded.push_str("ss"),
            'æ' => folded.push_str("ae"),
            'œ' => folded.push_str("oe"),
            'ø' => folded.push('o'),
            'ł' => folded.push('l'),
            c => folded.push(c),
        }
    }
    folded
}

/// Letters and digits in words with one blank between them, [`folded`]; what stands in brackets is left out.
pub(crate) fn words(text: &str) -> String {
    let mut depth = 0_usize;
    let outside: String = text
        .chars()
        .filter(|c| match c {
            '(' | '[' => {
                depth += 1;
                false
            }
            ')' | ']' => {
                depth = depth.saturating_sub(1);
                false
            }
            _ => depth == 0,
        })
        .collect();
    let numbered = outside.replace(['#', '№'], " number ");
    let folded = folded(&numbered);
    folded.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_plain() {
        assert_eq!(words("  Höhe_über NN (m) "), "hohe uber nn");
        assert_eq!(words("Jar#"), "jar number");
        assert_eq!(folded("Große Ærø Straße"), "grosse aero strasse");
    }
}

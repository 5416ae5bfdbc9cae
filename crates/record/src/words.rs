//! Small pieces of wording that all messages share: counts, names that cannot break their line, and lists in one text.

/// `3 frames`, `1 frame`.
pub fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

/// Text with names in it, safe to print: what would break the line or turn its direction is spelled out.
pub fn shown(text: &str) -> String {
    let turns = |c| matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    let spelled =
        |c: char| if c.is_control() || turns(c) { c.escape_default().to_string() } else { c.to_string() };
    text.chars().map(spelled).collect()
}

/// What stands in a list in one text, parted by `|` as Darwin Core recommends for such terms.
pub fn listed(text: &str) -> impl Iterator<Item = &str> {
    text.split('|').map(str::trim).filter(|one| !one.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_or_turn_a_line() {
        assert_eq!(shown("new\nline\u{202e}gpj.jpg"), "new\\nline\\u{202e}gpj.jpg");
        assert_eq!(shown("نحلة 蜂 é.jpg"), "نحلة 蜂 é.jpg");
    }

    #[test]
    fn a_list_holds_what_stands_between_bars() {
        assert_eq!(listed(" A. Example |B. Example|| ").collect::<Vec<_>>(), ["A. Example", "B. Example"]);
        assert_eq!(listed("").next(), None);
    }

    #[test]
    fn one_is_one() {
        let words = [0, 1, 2].map(|n| count(n, "file", "files"));
        assert_eq!(words, ["0 files", "1 file", "2 files"]);
    }
}

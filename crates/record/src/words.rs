//! Small pieces of wording that all messages share: counts, and names that cannot break their line.

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_or_turn_a_line() {
        assert_eq!(shown("new\nline\u{202e}gpj.jpg"), "new\\nline\\u{202e}gpj.jpg");
        assert_eq!(shown("نحلة 蜂 é.jpg"), "نحلة 蜂 é.jpg");
    }

    #[test]
    fn one_is_one() {
        let words = [0, 1, 2].map(|n| count(n, "file", "files"));
        assert_eq!(words, ["0 files", "1 file", "2 files"]);
    }
}

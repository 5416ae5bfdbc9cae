//! The texts of a bag: its declaration, manifests and what is said of it.
//!
//! Go in: values, or texts. Come out: texts, or values and what is amiss with them. It knows no disk.

use std::collections::BTreeMap;

use crate::disk;

/// `bagit.txt` as it is written here (RFC 8493, 2.1.1).
pub(super) const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

/// Longest line of `bag-info.txt`, in characters, where its words allow (RFC 8493, 2.2.2).
const LINE_LENGTH: usize = 79;

/// Version of the standard that a bag says it keeps to: first and second number.
pub(super) type Version = (u32, u32);

/// The first version that has `%` itself encoded and every manifest list all files.
pub(super) const FIRST_STRICT: Version = (1, 0);

/// Reads `bagit.txt`; says what is amiss with it.
pub(super) fn declared(bytes: &[u8]) -> Result<Version, &'static str> {
    let Ok(text) = std::str::from_utf8(bytes) else { return Err("it is not UTF-8") };
    if text.starts_with('\u{feff}') {
        return Err("it begins with a byte order mark");
    }
    let mut lines = text.lines();
    let (first, second) = (lines.next().unwrap_or_default(), lines.next().unwrap_or_default());
    let number = |text: &str| {
        let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| text.parse().ok()).flatten()
    };
    let version = first
        .strip_prefix("BagIt-Version: ")
        .and_then(|version| version.split_once('.'))
        .and_then(|(major, minor)| Some((number(major)?, number(minor)?)))
        .ok_or("its first line is not “BagIt-Version: ” and two numbers")?;
    if version > FIRST_STRICT {
        return Err("it is of a later version than 1.0");
    }
    match second.strip_prefix("Tag-File-Character-Encoding: ") {
        None => Err("its second line is not “Tag-File-Character-Encoding: ” and a name"),
        Some(encoding) if !encoding.eq_ignore_ascii_case("UTF-8") => {
            Err("its texts are in another encoding than UTF-8")
        }
        _ if lines.next().is_some() => Err("it has more than two lines"),
        _ => Ok(version),
    }
}

/// A path as a manifest writes it (RFC 8493, 2.1.3).
fn encoded(path: &str) -> String {
    path.replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

/// The path that a manifest writes so. Versions before 1.0 left `%` itself as it is.
fn decoded(written: &str, version: Version) -> String {
    let mut path = String::with_capacity(written.len());
    let mut rest = written;
    while let Some(at) = rest.find('%') {
        path.push_str(&rest[..at]);
        let code = rest.get(at + 1..at + 3).unwrap_or_default().to_ascii_uppercase();
        let sign = match code.as_str() {
            "0A" => Some('\n'),
            "0D" => Some('\r'),
            "25" if version >= FIRST_STRICT => Some('%'),
            _ => None,
        };
        path.push(sign.unwrap_or('%'));
        rest = &rest[at + if sign.is_some() { 3 } else { 1 }..];
    }
    path + rest
}

/// A manifest: `<checksum>  <path>` a file, sorted by path.
pub(super) fn manifest(sums: &BTreeMap<String, String>) -> String {
    sums.iter()
        .flat_map(|(path, sum)| {
            [
                sum.clone(),
                "  ".to_owned(),
                encoded(path),
                "
"
                .to_owned(),
            ]
        })
        .collect()
}

/// What a manifest lists: checksums, lower case, by path; and what is amiss, with the line, from 1.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Listed {
    pub(super) sums: BTreeMap<String, String>,
    pub(super) amiss: Vec<(usize, &'static str)>,
}

/// Reads a manifest whose checksums have so many hexadecimal digits; with `None`, any number.
pub(super) fn listed(text: &str, digits: Option<usize>, of_tags: bool, version: Version) -> Listed {
    let mut listed = Listed::default();
    // Lines end by a line feed, a carriage return or both.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    for (line, number) in text.lines().zip(1..) {
        let mut amiss = |words| listed.amiss.push((number, words));
        let Some((sum, path)) = line.split_once([' ', '\t']) else {
            amiss("it is no checksum and path");
            continue;
        };
        let fits = digits.is_none_or(|digits| sum.len() == digits);
        if sum.is_empty() || !fits || !sum.bytes().all(|b| b.is_ascii_hexdigit()) {
            amiss("its checksum is not of this kind");
            continue;
        }
        let path = decoded(path.trim_start_matches([' ', '\t']), version);
        // Utilities for checksums mark so that they read bytes.
        let path = path.strip_prefix('*').unwrap_or(&path);
        let is_of_payload = path.starts_with(super::PAYLOAD);
        if !disk::is_plain_relative(path) || is_of_payload == of_tags {
            amiss("its path is not one that this manifest may list");
        } else if listed.sums.insert(path.to_owned(), sum.to_ascii_lowercase()).is_some() {
            amiss("its path stands there before");
        }
    }
    listed
}

/// `bag-info.txt` of labels and values, in this order; long values go on in lines that begin with a blank.
pub(super) fn info(labels: &[(String, String)]) -> String {
    let mut text = String::new();
    for (label, value) in labels {
        let mut length = label.chars().count() + 1;
        text.push_str(label);
        text.push(':');
        for word in value.split(|c: char| c.is_whitespace() || c.is_control()).filter(|word| !word.is_empty())
        {
            let longer = length + 1 + word.chars().count();
            if longer > LINE_LENGTH && length > label.chars().count() + 1 {
                text.push('\n');
                length = 1 + word.chars().count();
            } else {
                length = longer;
            }
            text.push(' ');
            text.push_str(word);
        }
        text.push('\n');
    }
    text
}

/// Reads `bag-info.txt`; gives labels with values, and the first line that is none, from 1.
pub(super) fn labels(text: &str) -> (Vec<(String, String)>, Option<usize>) {
    let (mut labels, mut amiss): (Vec<(String, String)>, _) = (Vec::new(), None);
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    for (line, number) in text.lines().zip(1..) {
        match (line.starts_with([' ', '\t']), labels.last_mut(), line.split_once(':')) {
            (true, Some((_, value)), _) => {
                value.push(' ');
                value.push_str(line.trim());
            }
            (false, _, Some((label, value))) if !label.trim().is_empty() => {
                labels.push((label.trim().to_owned(), value.trim().to_owned()));
            }
            _ if line.trim().is_empty() => {}
            _ => amiss = amiss.or(Some(number)),
        }
    }
    (labels, amiss)
}

/// Octets and number of files as `Payload-Oxum` tells them.
pub(super) fn oxum(value: &str) -> Option<(u64, usize)> {
    let (bytes, files) = value.trim().split_once('.')?;
    Some((bytes.parse().ok()?, files.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn sum(digit: char) -> String {
        digit.to_string().repeat(64)
    }

    #[test]
    fn a_declaration_is_two_lines_and_nothing_else() {
        let check = |text: &str, expected| assert_eq!(declared(text.as_bytes()).ok(), expected, "{text:?}");
        check(DECLARATION, Some((1, 0)));
        // As version 1.9 of a library in wide use writes it.
        check("BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n", Some((0, 97)));
        check("BagIt-Version: 1.0\r\nTag-File-Character-Encoding: utf-8\r\n", Some((1, 0)));
        for text in [
            "",
            "BagIt-Version: 1.0\n",
            "BagIt-version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version:1.0\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version: 1\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version: +1.0\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version: 1.1\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n",
            "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\nmore\n",
            "\u{feff}BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        ] {
            check(text, None);
        }
        assert_eq!(
            declared(b"BagIt-Version: 1.0\nTag-File-Character-Encoding: \xff\n"),
            Err("it is not UTF-8")
        );
    }

    #[test]
    fn only_line_ends_and_percent_signs_are_encoded() {
        // RFC 8493, 2.1.3.
        for (path, written) in [
            ("data/100% face.txt", "data/100%25 face.txt"),
            ("data/a\r\nb", "data/a%0D%0Ab"),
            ("data/%0A", "data/%250A"),
            ("data/é #:", "data/é #:"),
        ] {
            assert_eq!(encoded(path), written);
            assert_eq!(decoded(written, (1, 0)), path);
        }
        assert_eq!(decoded("data/%0d%20%2", (1, 0)), "data/\r%20%2");
        assert_eq!(decoded("data/100%25%0a", (0, 97)), "data/100%25\n");
    }

    proptest! {
        #[test]
        fn any_path_comes_back(path in "[a%é025DA\r\n/ ]{0,12}") {
            prop_assert_eq!(decoded(&encoded(&path), (1, 0)), path);
        }
    }

    #[test]
    fn a_manifest_is_sorted_and_reads_back() {
        let sums =
            [("data/b c", 'b'), ("data/a%", 'a')].map(|(path, digit)| (path.to_owned(), sum(digit))).into();
        let text = manifest(&sums);
        assert_eq!(text, format!("{}  data/a%25\n{}  data/b c\n", sum('a'), sum('b')));
        assert_eq!(listed(&text, Some(64), false, (1, 0)), Listed { sums, amiss: vec![] });
    }

    #[test]
    fn what_a_manifest_may_not_say_is_told_by_line() {
        let check = |line: &str, of_tags, expected: &[usize]| {
            let text =
                format!("{}  {}\n{line}\n", sum('a'), if of_tags { "bagit.txt" } else { "data/first" });
            let found = listed(&text, Some(64), of_tags, (1, 0));
            let lines: Vec<usize> = found.amiss.iter().map(|(line, _)| *line).collect();
            assert_eq!(lines, expected, "{line}");
        };
        let a = sum('a');
        for path in ["data/x", "*data/x", "data/..x", "data/~x"] {
            check(&format!("{a}  {path}"), false, &[]);
        }
        check(&format!("{}\tdata/x", sum('A')), false, &[]);
        for path in ["data/first", "data/../x", "/data/x", "../data/x", "~/x", "x", ""] {
            check(&format!("{a}  {path}"), false, &[2]);
        }
        for line in [&a[..], "", &format!("{}  data/x", &a[1..]), &format!("{}g  data/x", &a[1..])] {
            check(line, false, &[2]);
        }
        check(&format!("{a}  bag-info.txt"), true, &[]);
        check(&format!("{a}  data/x"), true, &[2]);
        check(&format!("{a}  ../x"), true, &[2]);
    }

    #[test]
    fn what_is_said_of_a_bag_folds_and_reads_back() {
        let long = "word ".repeat(40);
        let said = [("Label", "one\nline"), ("External-Description", long.trim_end())]
            .map(|(label, value)| (label.to_owned(), value.to_owned()));
        let text = info(&said);
        assert!(text.starts_with("Label: one line\nExternal-Description: word"), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= LINE_LENGTH) && text.lines().count() > 3);
        let (back, amiss) = labels(&text);
        assert_eq!((back[0].1.as_str(), &back[1], amiss), ("one line", &said[1], None));
        assert_eq!(labels("Fine: x\nno label\n").1, Some(2));
        assert_eq!(labels(" goes on from nothing\n").1, Some(1));
        assert_eq!(info(&[("A".into(), "x".repeat(100))]), format!("A: {}\n", "x".repeat(100)));
    }

    #[test]
    fn an_oxum_is_two_numbers() {
        assert_eq!(oxum("279164409832.1198"), Some((279_164_409_832, 1198)));
        assert_eq!((oxum("12"), oxum("a.1"), oxum("1.2.3")), (None, None, None));
    }
}

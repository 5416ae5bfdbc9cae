//! Names of folders and files in the archive, legal and distinct on Linux, macOS and Windows (FAT, exFAT,
//! NTFS).
//!
//! Goes in: what a person wrote and what was decided. Comes out: single parts of paths, never a separator in
//! them. It looks at no disk: what is taken already is asked of the caller.

use record::{FrameKind, Session};

/// Longest part of a path, in characters. FAT, exFAT and NTFS allow 255 UTF-16 units and ext4 255 bytes; 60
/// characters are at most 240 bytes, which leaves room for the ending of a file still being written, and
/// keep three such parts below the 260 characters that many Windows programs can open.
const LONGEST_PART_CHARS: usize = 60;

/// Room kept at the end of a folder's name for `_2`, `_3` and so on.
const ROOM_FOR_NUMBER_CHARS: usize = 5;

/// Longest ending of a file kept as it was; longer ones are cut.
const LONGEST_EXTENSION_CHARS: usize = 10;

/// Names that Windows keeps for devices, with any ending and in any case (Microsoft, "Naming Files, Paths,
/// and Namespaces"; the raised digits count as digits there).
const DEVICES: [&str; 6] = ["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"];

/// The word for a session without a date.
const UNDATED: &str = "undated";

/// The form in which two names are compared: names equal in it count as the same on a file system that
/// ignores case. Stricter than any of them (`ß` counts as `ss`).
pub(crate) fn folded(name: &str) -> String {
    name.to_uppercase().to_lowercase()
}

/// Makes one part of a name safe: white space and dots become dashes, reserved and control characters too,
/// runs of dashes become one, and what is longer than `longest` characters is cut. Empty when nothing is left.
fn safe_part(text: &str, longest: usize) -> String {
    let mut part = String::new();
    let mut length = 0;
    for c in text.trim().chars().filter(|c| !is_invisible(*c)) {
        let c = if is_reserved(c) { '-' } else { c };
        if c == '-' && (part.is_empty() || part.ends_with('-')) {
            continue;
        }
        if length == longest {
            break;
        }
        part.push(c);
        length += 1;
    }
    let part = part.trim_end_matches('-');
    if is_device(part) { format!("{part}-x") } else { part.to_owned() }
}

/// Characters that Windows reserves, separators, and dots, which are unsafe at either end and pointless
/// between: `/` and NUL on Linux and macOS, `:` in the macOS Finder, the others on Windows.
fn is_reserved(c: char) -> bool {
    c.is_control() || c.is_whitespace() || r#"/\:*?"<>|."#.contains(c)
}

/// Zero-width characters, direction marks and the byte-order mark: two names that differ only in these look
/// the same (Unicode general category Cf, the ones that occur in pasted text).
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
}

fn is_device(part: &str) -> bool {
    let part = part.to_uppercase();
    let numbered = ["COM", "LPT"].iter().filter_map(|port| part.strip_prefix(port));
    DEVICES.contains(&part.as_str())
        || numbered.into_iter().any(|n| n.chars().count() == 1 && n.contains(|c| "0123456789¹²³".contains(c)))
}

/// The date that stands in names: the session's, or `undated`.
pub(crate) fn date(session: &Session) -> String {
    session.date().unwrap_or_else(|| UNDATED.to_owned())
}

/// Name of a session's folder: `<date>_<name>`, with `_2`, `_3` … when `taken` says so. A name with nothing
/// usable in it gives `session`.
pub(crate) fn free_folder(session: &Session, taken: impl Fn(&str) -> bool) -> String {
    let date = date(session);
    let room = LONGEST_PART_CHARS - date.chars().count() - 1 - ROOM_FOR_NUMBER_CHARS;
    let name = Some(safe_part(&session.name, room)).filter(|n| !n.is_empty());
    let base = format!("{date}_{}", name.as_deref().unwrap_or("session"));
    let numbered = (2u32..).map(|n| format!("{base}_{n}"));
    std::iter::once(base.clone()).chain(numbered).find(|name| !taken(name)).expect("numbers do not run out")
}

/// Where the files of a frame go, but for its number and the endings of the files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stem {
    /// Folder within the session's, one part.
    pub(crate) folder: String,
    /// Name up to the number.
    base: String,
    /// Digits of the number, so that names sort.
    digits: usize,
}

impl Stem {
    /// Of a frame of a set: `007/2026-06-14_007_face`. `view` is a confirmed view, or `None` for a frame
    /// without; a view with nothing usable in it counts as none.
    pub(crate) fn in_set(date: &str, number: u32, view: Option<&str>) -> Self {
        let folder = format!("{number:03}");
        // What follows the view: `_`, a number, `-` and a number for a second companion, `.` and the ending.
        let after = 1 + 5 + 3 + 1 + LONGEST_EXTENSION_CHARS;
        let room = LONGEST_PART_CHARS - date.chars().count() - folder.len() - 2 - after;
        let view = view.map(|v| safe_part(v, room)).filter(|v| !v.is_empty());
        let base = format!("{date}_{folder}_{}", view.as_deref().unwrap_or("frame"));
        Self { folder, base, digits: 2 }
    }

    /// Of a frame outside all sets: `blanks/2026-06-14_blank` and the like. A specimen frame that no set
    /// holds goes to `unsorted`. These count through the whole day, so three digits.
    pub(crate) fn outside_sets(date: &str, kind: FrameKind) -> Self {
        let (folder, word) = match kind {
            FrameKind::Blank => ("blanks", "blank"),
            FrameKind::Reference => ("reference", "reference"),
            FrameKind::SetAside => ("set-aside", "set-aside"),
            FrameKind::Specimen => ("unsorted", "frame"),
        };
        Self { folder: folder.to_owned(), base: format!("{date}_{word}"), digits: 3 }
    }

    /// The path without ending that all files of a frame share: `007/2026-06-14_007_face_01`.
    pub(crate) fn numbered(&self, n: u32) -> String {
        format!("{}/{}_{n:0digits$}", self.folder, self.base, digits = self.digits)
    }
}

/// A path without the ending of its last part.
pub(crate) fn stem(path: &str) -> &str {
    let name_at = path.rfind('/').map_or(0, |at| at + 1);
    &path[..path[name_at..].rfind('.').map_or(path.len(), |at| name_at + at)]
}

/// The endings a file may get, first choice first: the one on the card in lower case with its dot, then with
/// `-2`, `-3` … before it, for a frame that has several files with that ending. The first may be empty.
pub(crate) fn endings(path_on_card: &str) -> impl Iterator<Item = String> {
    let extension = extension(path_on_card);
    let numbered = extension.clone();
    std::iter::once(extension).chain((2u32..).map(move |n| format!("-{n}{numbered}")))
}

/// The ending of a file with its dot, lower case, letters and digits only; empty when it has none.
fn extension(path: &str) -> String {
    let name = path.rsplit('/').next().unwrap_or_default();
    let Some((_, extension)) = name.rsplit_once('.').filter(|(stem, _)| !stem.is_empty()) else {
        return String::new();
    };
    let kept: String = extension
        .to_lowercase()
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .take(LONGEST_EXTENSION_CHARS)
        .collect();
    if kept.is_empty() { kept } else { format!(".{kept}") }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use record::Plan;

    fn session(name: &str) -> Session {
        let plan =
            "(key: \"k\", name: \"K\", views: [(key: \"side\", name: \"Side\", letter: 's', required: true,
            subject_part: \"entireOrganism\", subject_orientation: \"lateral\", hint: \"\")])";
        Session::new(name, Plan::from_text(plan).unwrap())
    }

    fn check(name: &str, expected: &str) {
        assert_eq!(free_folder(&session(name), |_| false), expected, "{name:?}");
    }

    #[test]
    fn session_names_become_folders() {
        check("Hay meadow, north", "undated_Hay-meadow,-north");
        check("", "undated_session");
        check("..", "undated_session");
        check(" ../.. /x\\y:z ", "undated_x-y-z");
        check("con", "undated_con-x");
        check("COM7", "undated_COM7-x");
        check("communal", "undated_communal");
        check("Höhe\u{202e} 7\n", "undated_Höhe-7");
        check(&"long ".repeat(30), "undated_long-long-long-long-long-long-long-long-long-lo");
    }

    #[test]
    fn a_taken_name_gets_a_number() {
        let taken = ["undated_day", "undated_day_2"];
        assert_eq!(free_folder(&session("day"), |name| taken.contains(&name)), "undated_day_3");
    }

    #[test]
    fn endings_are_lower_case_and_plain() {
        let ending = |path| endings(path).take(2).collect::<Vec<_>>();
        assert_eq!(ending("DCIM/A.JPG"), [".jpg", "-2.jpg"]);
        assert_eq!(ending("D.C/A"), ["", "-2"]);
        assert_eq!(ending("A.J?G "), [".jg", "-2.jg"]);
        assert_eq!(ending(".hidden"), ["", "-2"]);
    }

    #[test]
    fn numbers_sort() {
        let stem = Stem::in_set("2026-06-14", 7, Some("face"));
        assert_eq!(stem.numbered(2), "007/2026-06-14_007_face_02");
        let stem = Stem::outside_sets("undated", FrameKind::Blank);
        assert_eq!(stem.numbered(12), "blanks/undated_blank_012");
    }

    /// What Linux, macOS and Windows all take as one part of a path, by Microsoft's "Naming Files, Paths, and
    /// Namespaces", which is the strictest.
    fn is_legal(part: &str) -> bool {
        let base = part.split('.').next().unwrap().trim_end().to_ascii_uppercase();
        let numbered = base.strip_prefix("COM").or(base.strip_prefix("LPT"));
        let is_device = ["CON", "PRN", "AUX", "NUL"].contains(&base.as_str())
            || numbered.is_some_and(|n| n.len() == 1 && n.as_bytes()[0].is_ascii_digit());
        !part.is_empty()
            && part.chars().count() <= 60
            && !part.ends_with(['.', ' '])
            && !part.starts_with(' ')
            && !part.chars().any(|c| c.is_control() || r#"/\:*?"<>|"#.contains(c))
            && !is_device
    }

    proptest! {
        #[test]
        fn every_part_is_legal_everywhere(
            name in prop_oneof![
                any::<String>(),
                "[A-Za-z./\\\\:*?\"<>| ~$_-]{0,90}",
                "(con|NUL|com1|LPT¹|aux)[. ]{0,3}[a-z]{0,2}",
            ],
            view in any::<String>(),
            path in "[^\\u{0}]{0,20}\\.[A-Za-z?* .]{0,20}",
            number in any::<u32>(),
            n in 1u32..99_999,
        ) {
            let safe = safe_part(&name, 60);
            prop_assert!(safe.is_empty() || is_legal(&safe), "{safe:?}");
            prop_assert!(!safe.contains("..") && !safe.starts_with('.'));
            for taken in [0, 1, 2000] {
                let tries = std::cell::Cell::new(0);
                let folder = free_folder(&session(&name), |_| tries.replace(tries.get() + 1) < taken);
                prop_assert!(is_legal(&folder), "{folder:?}");
            }
            for ending in endings(&path).take(3) {
                for stem in [
                    Stem::in_set("2026-06-14", number, Some(&view)),
                    Stem::in_set("undated", number, Some(&name)),
                    Stem::outside_sets("2026-06-14", FrameKind::SetAside),
                ] {
                    let path = format!("{}{ending}", stem.numbered(n));
                    prop_assert_eq!(path.split('/').count(), 2);
                    prop_assert!(path.split('/').all(is_legal), "{path:?}");
                }
            }
        }
    }
}

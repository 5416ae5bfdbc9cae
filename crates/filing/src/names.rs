//! Names of folders and files in the archive, legal and distinct on Linux, macOS and Windows (FAT, exFAT,
//! NTFS).
//!
//! Goes in: what a person wrote and what was decided. Comes out: single parts of paths, never a separator in
//! them. It looks at no disk: what is taken already is asked of the caller.

use record::{FrameKind, NameField, NameForm, Session};
use unicode_normalization::UnicodeNormalization;

use crate::{Altered, sidecar};

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
pub(crate) const UNDATED: &str = "undated";

/// The form in which two names are compared: names equal in it count as the same on a file system that
/// ignores case, or whether an accent is a character of its own (Unicode Standard Annex 15). Stricter than any of
/// them (`ß` counts as `ss`).
pub(crate) fn folded(name: &str) -> String {
    if name.is_ascii() {
        return name.to_ascii_lowercase();
    }
    // `ẞ` in lower case is `ß`, and only that is `SS` in upper case.
    name.nfd().collect::<String>().to_lowercase().to_uppercase().to_lowercase().nfd().collect()
}

/// Makes one part of a name safe: accents join their letters where they can, white space and dots become dashes, reserved and control characters too,
/// runs of dashes become one, and what is longer than `longest` characters is cut. Empty when nothing is left.
fn safe_part(text: &str, longest: usize) -> String {
    let mut part = String::new();
    let mut length = 0;
    for c in text.trim().nfc().filter(|c| !is_invisible(*c)) {
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

/// Soft hyphens, zero-width characters, direction marks and the byte-order mark: two names that differ only in these look
/// the same (Unicode general category Cf, the ones that occur in pasted text).
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
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

/// Name of a session's folder: `<date>_<name>`, with `_2`, `_3` … when `taken` says so; and what was done to what a person
/// wrote. A name with nothing usable in it gives `session`.
pub(crate) fn free_folder(session: &Session, taken: impl Fn(&str) -> bool) -> (String, Option<Altered>) {
    let date = date(session);
    let room = LONGEST_PART_CHARS - date.chars().count() - 1 - ROOM_FOR_NUMBER_CHARS;
    let name = safe_part(&session.name, room);
    let base = format!("{date}_{}", if name.is_empty() { "session" } else { &name });
    let folder = free(&base, taken);
    let altered = if folder == base { altered_part(&session.name, &name) } else { Some(Altered::Taken) };
    (folder, altered)
}

/// What was done to what a person wrote, so that this came of it.
fn altered_part(written: &str, part: &str) -> Option<Altered> {
    let whole = safe_part(written, usize::MAX);
    if written.is_empty() {
        None
    } else if whole != part {
        Some(Altered::Long)
    } else {
        (!whole.chars().eq(written.trim().nfc())).then_some(Altered::Letters)
    }
}

/// A name, with `_2`, `_3` … when `taken` says so.
pub(crate) fn free(base: &str, taken: impl Fn(&str) -> bool) -> String {
    let numbered = (2u32..).map(|n| format!("{base}_{n}"));
    std::iter::once(base.to_owned())
        .chain(numbered)
        .find(|name| !taken(name))
        .expect("numbers do not run out")
}

/// What can be said of a frame in a name. What is empty is left out.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Values<'a> {
    pub(crate) date: &'a str,
    /// `102345`
    pub(crate) time: &'a str,
    pub(crate) session: &'a str,
    /// Of a frame in a set.
    pub(crate) specimen: Option<u32>,
    pub(crate) jar: &'a str,
    /// The view, or what the frame is.
    pub(crate) view: &'a str,
    /// Its name on the card without ending.
    pub(crate) original: &'a str,
}

impl Values<'_> {
    fn text(&self, field: NameField, room: usize) -> String {
        match field {
            NameField::Date => self.date.to_owned(),
            NameField::Time => self.time.to_owned(),
            NameField::Specimen => self.specimen.map_or(String::new(), |number| format!("{number:03}")),
            NameField::N => String::new(),
            _ => safe_part(self.written(field), room),
        }
    }

    /// What a person wrote in a field; empty for those that nobody writes.
    fn written(&self, field: NameField) -> &str {
        match field {
            NameField::Session => self.session,
            NameField::Jar => self.jar,
            NameField::View => self.view,
            NameField::Original => self.original,
            NameField::Date | NameField::Time | NameField::Specimen | NameField::N => "",
        }
    }

    /// What was done to what a person wrote.
    fn altered(&self, texts: &[(NameField, String)]) -> Option<Altered> {
        texts.iter().filter_map(|(field, text)| altered_part(self.written(*field), text)).max()
    }

    /// The texts of the fields of a form, in order, that together with what joins them have at most so many characters.
    /// Texts that people wrote share what dates and numbers leave, the short ones first.
    fn texts(&self, form: &NameForm, longest: usize) -> Vec<(NameField, String)> {
        let whole = |field: &NameField| (*field, self.text(*field, LONGEST_PART_CHARS));
        let mut texts: Vec<(NameField, String)> = form.name.iter().map(whole).collect();
        let is_fixed = |field| matches!(field, NameField::Date | NameField::Time | NameField::Specimen);
        let length = |text: &str| text.chars().count();
        let joined = texts.len().saturating_sub(1) * length(&form.joiner);
        let fixed: usize = texts.iter().filter(|(f, _)| is_fixed(*f)).map(|(_, text)| length(text)).sum();
        let mut room = longest.saturating_sub(joined + fixed);
        let mut written: Vec<usize> = (0..texts.len()).filter(|at| !is_fixed(texts[*at].0)).collect();
        written.sort_by_key(|at| length(&texts[*at].1));
        let mut left = written.len();
        for at in written {
            let (field, text) = &mut texts[at];
            *text = self.text(*field, (room / left).min(length(text)));
            room -= length(text).min(room);
            left -= 1;
        }
        texts
    }

    /// The folder of a specimen, one part, and what was done to it; empty when the form says nothing of it.
    pub(crate) fn folder(&self, form: &NameForm) -> (String, Option<Altered>) {
        let texts = self.texts(form, LONGEST_PART_CHARS - ROOM_FOR_NUMBER_CHARS);
        (join(texts.iter().map(|(_, text)| text.as_str()), &form.joiner), self.altered(&texts))
    }

    /// What the files of a frame are called in a folder, but for number and endings. `digits` of the number, so that
    /// names sort.
    pub(crate) fn stem(&self, form: &NameForm, folder: String, digits: usize) -> Stem {
        // What follows: what joins, a number, `-` and a number for a second companion, `.` and the ending.
        let after = 3 + 5 + 3 + 1 + LONGEST_EXTENSION_CHARS;
        let texts = self.texts(form, LONGEST_PART_CHARS - after);
        let n = texts.iter().position(|(field, _)| *field == NameField::N);
        let (before, after) = texts.split_at(n.unwrap_or(texts.len()));
        let joined =
            |part: &[(NameField, String)]| join(part.iter().map(|(_, text)| text.as_str()), &form.joiner);
        Stem {
            folder,
            altered: self.altered(&texts),
            before: joined(before),
            after: joined(after),
            joiner: form.joiner.clone(),
            has_n: n.is_some(),
            digits,
        }
    }
}

/// Joins what is not empty. Several fields together may make the name of a device.
fn join<'t>(texts: impl Iterator<Item = &'t str>, joiner: &str) -> String {
    let name = texts.filter(|text| !text.is_empty()).collect::<Vec<_>>().join(joiner);
    if is_device(&name) { format!("{name}-x") } else { name }
}

/// Where the files of a frame go, but for its number and the endings of the files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stem {
    /// Folder within the session's, one part.
    pub(crate) folder: String,
    /// What was done to what a person wrote.
    pub(crate) altered: Option<Altered>,
    before: String,
    after: String,
    joiner: String,
    /// Whether the number stands between them; else it comes last, and only where it is needed.
    pub(crate) has_n: bool,
    digits: usize,
}

impl Stem {
    /// The path without ending that all files of a frame share: `007/2026-06-14_007_face_01`. Numbers count from 1.
    pub(crate) fn numbered(&self, n: u32) -> String {
        let number = format!("{n:0digits$}", digits = self.digits);
        let name = if self.has_n {
            join([self.before.as_str(), &number, &self.after].into_iter(), &self.joiner)
        } else if n == 1 && !self.before.is_empty() {
            self.before.clone()
        } else {
            let joiner = if self.joiner.is_empty() { "_" } else { &self.joiner };
            join([self.before.as_str(), &n.to_string()].into_iter(), joiner)
        };
        format!("{}/{name}", self.folder)
    }

    /// Whether a path without ending is one of these, with any number.
    pub(crate) fn fits(&self, stem: &str) -> bool {
        // The number is among the digits of the name, wherever it stands.
        let name = stem.rsplit('/').next().unwrap_or(stem);
        let numbers = name.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse().ok());
        std::iter::once(1).chain(numbers.filter(|n| *n > 0)).any(|n: u32| self.numbered(n) == stem)
    }
}

/// The folder for frames outside all sets, and the word that stands for their view. A specimen frame that no set holds
/// goes to `unsorted`.
pub(crate) fn outside_sets(kind: FrameKind) -> (&'static str, &'static str) {
    match kind {
        FrameKind::Blank => ("blanks", "blank"),
        FrameKind::Reference => ("reference", "reference"),
        FrameKind::SetAside => ("set-aside", "set-aside"),
        FrameKind::Specimen => ("unsorted", "frame"),
    }
}

/// A path without the ending of its last part, and without what marks a sidecar that came with its frame.
pub(crate) fn stem(path: &str) -> &str {
    let name_at = path.rfind('/').map_or(0, |at| at + 1);
    let stem = &path[..path[name_at..].rfind('.').map_or(path.len(), |at| name_at + at)];
    match stem.rfind(sidecar::ORIGINAL).filter(|_| sidecar::is_sidecar(path)) {
        Some(at) if at > name_at => &stem[..at],
        _ => stem,
    }
}

/// Whether a path is that of a sidecar that came with its frame, by its name.
pub(crate) fn has_original_mark(path: &str) -> bool {
    let name = path.rsplit('/').next().unwrap_or(path);
    let whole = name.len() - sidecar::ENDING.len().min(name.len());
    stem(name).len() < whole
}

/// The endings a file may get, first choice first: the one on the card in lower case with its dot, then with
/// `-2`, `-3` … before it, for a frame that has several files with that ending. The first may be empty. A sidecar leaves
/// its name to the one that Endleaf writes.
pub(crate) fn endings(path_on_card: &str) -> impl Iterator<Item = String> {
    let mark = if sidecar::is_sidecar(path_on_card) { sidecar::ORIGINAL } else { "" };
    let extension = extension(path_on_card);
    let numbered = extension.clone();
    let first = format!("{mark}{extension}");
    std::iter::once(first).chain((2u32..).map(move |n| format!("{mark}-{n}{numbered}")))
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
#[path = "names_tests.rs"]
mod tests;

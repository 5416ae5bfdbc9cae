//! The table to answer in, and the same as a plain text to read.

use super::contents::Item;
use super::letters::is_shapeless;
use crate::cells::harmless;
use notes::ANSWER_TERMS;
use record::count;

/// The columns to be filled in.
fn asked() -> impl Iterator<Item = &'static str> {
    ANSWER_TERMS.into_iter().skip(1)
}

/// A specimen with what came of its pictures.
pub(super) struct Packed<'a> {
    pub(super) item: &'a Item,
    pub(super) shown: Vec<Put>,
    /// Names of views whose picture could not be copied.
    pub(super) failed: Vec<String>,
}

/// A picture that is in the pack.
pub(super) struct Put {
    /// Its path there, with `/`.
    pub(super) path: String,
    /// Name of its view.
    pub(super) view: String,
    /// Columns and rows, with the strip.
    pub(super) size_px: (usize, usize),
}

impl Packed<'_> {
    /// What is not there, in words; empty when nothing is missing.
    pub(super) fn missing(&self) -> String {
        let failed = self.failed.iter().map(|view| format!("{view} (the picture could not be copied)"));
        self.item.gaps.iter().cloned().chain(failed).collect::<Vec<_>>().join(", ")
    }
}

/// `summary.csv`: begins with the mark that tells a spreadsheet that it is UTF-8 (common practice), lines ended as RFC 4180
/// asks, no cell that runs as a formula.
pub(super) fn csv(all: &[Packed<'_>]) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .flexible(true)
        .from_writer("\u{feff}".as_bytes().to_vec());
    let columns = all.first().into_iter().flat_map(|packed| packed.item.cells.iter().map(|cell| cell.column));
    let head = columns.chain(["pictures", "missingViews"]).chain(asked());
    let mut write = |row: Vec<String>| {
        writer
            .write_record(row.iter().map(|cell| harmless(cell).into_owned()))
            .expect("memory can be written to");
    };
    write(head.map(str::to_owned).collect());
    for packed in all {
        let pictures: Vec<&str> = packed.shown.iter().map(|put| put.path.as_str()).collect();
        let cells = packed.item.cells.iter().map(|cell| cell.text.clone());
        let own = [pictures.join(" | "), packed.missing()];
        write(cells.chain(own).chain(asked().map(|_| String::new())).collect());
    }
    writer.into_inner().expect("memory can be written to")
}

/// Characters of a value that stand in a text or page; all of it stands in the table.
const SHOWN_CHARS: usize = 600;

/// A value to be read: without signs that steer direction, and cut where it is long, with how much is left out.
pub(super) fn readable(text: &str) -> String {
    let plain: Vec<char> = text.chars().filter(|c| !is_shapeless(*c)).collect();
    if plain.len() <= SHOWN_CHARS {
        return plain.into_iter().collect();
    }
    let kept: String = plain[..SHOWN_CHARS].iter().collect();
    format!("{}… ({} characters more in summary.csv)", kept.trim_end(), plain.len() - SHOWN_CHARS)
}

/// What a specialist needs to know first.
pub(super) fn preface(all: &[Packed<'_>]) -> [String; 3] {
    let pictures = all.iter().map(|packed| packed.shown.len()).sum();
    [
        format!(
            "{} to be named, {}.",
            count(all.len(), "specimen", "specimens"),
            count(pictures, "picture", "pictures")
        ),
        format!(
            "Answers go into the last {} columns of summary.csv, from scientificName on; please leave occurrenceID as it is.",
            asked().count()
        ),
        "In summary.csv a value that a spreadsheet would run as a formula begins with an apostrophe."
            .to_owned(),
    ]
}

/// `summary.txt`.
pub(super) fn text(all: &[Packed<'_>]) -> String {
    let mut lines: Vec<String> = preface(all).into();
    for packed in all {
        lines.push(String::new());
        lines.push(packed.item.label.clone());
        for cell in packed.item.cells.iter().filter(|cell| cell.column != "specimen" && !cell.text.is_empty())
        {
            lines.push(format!("  {}: {}", cell.words, readable(&cell.text)));
        }
        lines.extend(packed.shown.iter().map(|put| format!("  {}: {}", readable(&put.view), put.path)));
        let missing = packed.missing();
        if !missing.is_empty() {
            lines.push(format!("  No picture: {}", readable(&missing)));
        }
    }
    lines.push(String::new());
    lines.join("\n")
}

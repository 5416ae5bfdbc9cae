//! All beginnings of words of a list, sorted, so that what is typed is found by bisection.
//!
//! Texts come folded; places in the list go out.

use std::cmp::Ordering;

use crate::checklist::Taxon;
use crate::fold::folded;

/// Longest text that is compared, in bytes; longer than any word or two that are typed.
const COMPARED: usize = 64;

/// Where a word begins.
#[derive(Debug, Clone, Copy)]
struct Start {
    at: usize,
    /// Bytes from there to the end of the name, as far as they are compared.
    length: u8,
    taxon: u32,
    /// Whether it begins the scientific name.
    begins_name: bool,
}

#[derive(Debug, Clone)]
pub(super) struct Index {
    /// Scientific and vernacular name of each taxon, each closed by a line end.
    text: String,
    /// Where each taxon's text begins.
    begins: Vec<usize>,
    starts: Vec<Start>,
}

impl Index {
    pub(super) fn new(taxa: &[Taxon]) -> Self {
        let (mut text, mut begins, mut starts) = (String::new(), Vec::new(), Vec::new());
        for (taxon, number) in taxa.iter().zip(0..) {
            begins.push(text.len());
            for (written, scientific) in [(&taxon.name, true), (&taxon.vernacular, false)] {
                let names = folded(written).split_whitespace().collect::<Vec<_>>().join(" ");
                let begin = text.len();
                let word_starts = starts_of_words(&names);
                starts.extend(word_starts.map(|at| Start {
                    at: begin + at,
                    length: (names.len() - at).min(COMPARED) as u8,
                    taxon: number,
                    begins_name: scientific && at == 0,
                }));
                text.push_str(&names);
                text.push('\n');
            }
        }
        starts.sort_by(|a, b| compared(&text, a).cmp(compared(&text, b)).then(a.taxon.cmp(&b.taxon)));
        Self { text, begins, starts }
    }

    /// Starts whose text begins with what is typed.
    fn range(&self, typed: &str) -> &[Start] {
        let typed = &typed.as_bytes()[..typed.len().min(COMPARED)];
        let order = |start: &Start| {
            let text = compared(&self.text, start);
            if text.starts_with(typed) { Ordering::Equal } else { text.cmp(typed) }
        };
        let from = self.starts.partition_point(|s| order(s) == Ordering::Less);
        let length = self.starts[from..].partition_point(|s| order(s) == Ordering::Equal);
        &self.starts[from..from + length]
    }

    pub(super) fn find(&self, typed: &str, limit: usize) -> Vec<usize> {
        let mut found: Vec<u32> = Vec::new();
        if typed.is_empty() || limit == 0 {
            return Vec::new();
        }
        let add = |found: &mut Vec<u32>, taxon: u32| {
            if found.len() < limit && !found.contains(&taxon) {
                found.push(taxon);
            }
            found.len() < limit
        };
        let phrase = self.range(typed);
        for wanted in [true, false] {
            let mut hits = phrase.iter().filter(|s| s.begins_name == wanted);
            if !hits.all(|start| add(&mut found, start.taxon)) {
                break;
            }
        }
        let parts: Vec<&str> = typed.split(' ').collect();
        let rarest = parts.iter().map(|word| self.range(word)).min_by_key(|range| range.len());
        if parts.len() > 1 && found.len() < limit {
            let mut hits = rarest.unwrap_or_default().iter().filter(|s| self.has_all(s.taxon, &parts));
            hits.all(|start| add(&mut found, start.taxon));
        }
        found.into_iter().map(|taxon| taxon as usize).collect()
    }

    /// Whether each of these begins some word of a taxon's names.
    fn has_all(&self, taxon: u32, parts: &[&str]) -> bool {
        let begin = self.begins[taxon as usize];
        let end = self.begins.get(taxon as usize + 1).copied().unwrap_or(self.text.len());
        let text = &self.text[begin..end];
        parts.iter().all(|part| starts_of_words(text).any(|at| text[at..].starts_with(part)))
    }
}

/// What stands from a start to the end of its name, as far as it is compared.
fn compared<'a>(text: &'a str, start: &Start) -> &'a [u8] {
    &text.as_bytes()[start.at..start.at + usize::from(start.length)]
}

/// Where words begin: letters and digits behind anything else.
fn starts_of_words(text: &str) -> impl Iterator<Item = usize> + '_ {
    let mut before = false;
    text.char_indices().filter_map(move |(at, c)| {
        let begins = c.is_alphanumeric() && !before;
        before = c.is_alphanumeric();
        begins.then_some(at)
    })
}

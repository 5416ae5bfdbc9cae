//! The list of checksums in a session's folder: `manifest-sha256.txt`, one line a file, `<SHA-256>  <path>`,
//! sorted by path; the form that `sha256sum -c` checks.
//!
//! Goes in: texts and hashes. Comes out: texts and hashes. It reads and writes no file.

use std::collections::{BTreeMap, BTreeSet};

use record::Filed;

use crate::disk;

/// Name of the list.
pub(crate) const MANIFEST_FILE: &str = "manifest-sha256.txt";

/// Reads a list: SHA-256 by path. Lines of another form, and paths that leave the folder, are left out.
pub(crate) fn from_text(text: &str) -> BTreeMap<String, String> {
    let entry = |line: &str| {
        let (hash, path) = line.split_once("  ")?;
        let is_hash = hash.len() == 64 && hash.bytes().all(|b| b.is_ascii_hexdigit());
        (is_hash && disk::is_plain_relative(path)).then(|| (path.to_owned(), hash.to_ascii_lowercase()))
    };
    text.lines().filter_map(entry).collect()
}

/// Writes a list.
pub(crate) fn to_text(hashes: &BTreeMap<String, String>) -> String {
    hashes.iter().flat_map(|(path, hash)| [hash, "  ", path, "\n"]).collect()
}

/// The new list: all that stood in the old one and all that is filed. An old line is dropped only when its
/// file is gone and the same bytes are filed under another name.
pub(crate) fn renewed<'a>(
    old: BTreeMap<String, String>,
    filed: impl Iterator<Item = &'a Filed>,
    is_there: impl Fn(&str) -> bool,
) -> BTreeMap<String, String> {
    let filed: BTreeMap<String, String> = filed.map(|f| (f.path.clone(), f.sha256.clone())).collect();
    let hashes: BTreeSet<&String> = filed.values().collect();
    let mut all = old;
    all.retain(|path, hash| filed.contains_key(path) || is_there(path) || !hashes.contains(hash));
    drop(hashes);
    all.extend(filed);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hash(digit: char) -> String {
        digit.to_string().repeat(64)
    }

    fn filed(path: &str, digit: char) -> Filed {
        Filed { path: path.into(), bytes: 1, sha256: hash(digit), session: None }
    }

    #[test]
    fn a_list_is_sorted_and_reads_back() {
        let hashes = BTreeMap::from([("b/é x".to_owned(), hash('b')), ("a/1".to_owned(), hash('a'))]);
        let text = to_text(&hashes);
        assert_eq!(text, format!("{}  a/1\n{}  b/é x\n", hash('a'), hash('b')));
        assert_eq!(from_text(&text), hashes);
    }

    #[test]
    fn what_is_no_line_of_a_list_is_left_out() {
        let text =
            format!("# words\n{}  ../x\n{}  /x\n{} x\n{}  x\n", hash('a'), hash('a'), hash('a'), hash('g'));
        assert_eq!(from_text(&text), BTreeMap::new());
    }

    #[test]
    fn old_lines_go_only_when_their_bytes_are_filed_elsewhere() {
        let old = [("gone", 'a'), ("moved", 'b'), ("there", 'c'), ("anew", 'd')];
        let old = old.map(|(path, digit)| (path.to_owned(), hash(digit))).into();
        let now = [filed("new-name", 'b'), filed("anew", 'e'), filed("copy", 'c')];
        let all = renewed(old, now.iter(), |path| path == "there");
        let expected = [("anew", 'e'), ("copy", 'c'), ("gone", 'a'), ("new-name", 'b'), ("there", 'c')];
        assert_eq!(all, expected.map(|(path, digit)| (path.to_owned(), hash(digit))).into());
    }
}

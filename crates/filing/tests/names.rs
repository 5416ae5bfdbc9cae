//! Names of a whole plan: legal and distinct on every disk, whatever people write and whatever stands there.

#![allow(clippy::unwrap_used, reason = "only tests use this")]

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use common::{Day, StopsAfter, day, tree};
use proptest::prelude::*;
use record::{FrameId, NameField, NameForm, Naming};
use unicode_normalization::UnicodeNormalization;

/// As FAT, exFAT and NTFS compare names: character by character, in upper case (Microsoft, "exFAT file system
/// specification", 7.2 Up-case Table: one character never becomes several).
fn in_capitals(name: &str) -> String {
    let capital = |c: char| {
        let mut upper = c.to_uppercase();
        upper.next().filter(|_| upper.next().is_none()).unwrap_or(c)
    };
    name.chars().map(capital).collect()
}

/// As macOS compares names on a disk without case: accents taken apart, then in lower case (Apple, "Apple File System
/// Reference", names are insensitive to normalization).
fn taken_apart(name: &str) -> String {
    name.nfd().flat_map(char::to_lowercase).nfd().collect()
}

/// What is wrong with one part of a path on Linux, macOS or Windows, by Microsoft's "Naming Files, Paths, and
/// Namespaces", which is the strictest. Room is left for what stands around a name until its file is whole.
fn illegal(part: &str) -> Option<&'static str> {
    let base = part.split('.').next().unwrap().trim_end().to_uppercase();
    let numbered = base.strip_prefix("COM").or(base.strip_prefix("LPT"));
    let is_device = ["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"].contains(&base.as_str())
        || numbered.is_some_and(|n| n.chars().count() == 1 && "0123456789¹²³".contains(n));
    let around = ".".len() + ".moved.part".len();
    let checks = [
        (part.is_empty(), "empty"),
        (part.len() + around > 255, "longer than 255 bytes, which ext4 and APFS allow"),
        (part.encode_utf16().count() + around > 255, "longer than 255 units, which NTFS and FAT allow"),
        (part.ends_with(['.', ' ']) || part.starts_with(' '), "a dot or space at its end"),
        (part.starts_with('.'), "hidden"),
        (part.chars().any(|c| c.is_control() || r#"/\:*?"<>|"#.contains(c)), "a reserved sign"),
        (is_device, "the name of a device"),
    ];
    checks.into_iter().find_map(|(is_so, words)| is_so.then_some(words))
}

/// What people write, and what nobody should.
fn word() -> impl Strategy<Value = String> {
    // Letters that are alike without case or when accents are taken apart, some with other numbers of characters.
    let alike =
        "[aAbB\u{e4}\u{c4}\u{308}\u{df}\u{1e9e}sSkK\u{212a}i\u{131}\u{130}\u{3c3}\u{3c2}\u{3a3}]{0,3}";
    prop_oneof![
        4 => alike,
        3 => "[a-bA-B./\\\\: _-]{0,4}",
        2 => "(con|NUL|com1|LPT\u{b9}|aux|conin\\$)[. ]{0,2}",
        1 => prop::sample::select(vec!["../x", "..", "/etc/x", "C:\\x", "a\u{202e}gpj.", "~", "unsorted", "Blanks"])
            .prop_map(str::to_owned),
        1 => "[\u{1d54f}\u{e4}x]{100,300}",
        1 => any::<String>(),
    ]
}

const FRAMES: &str = "wfww_nfrnf_";

/// A day of which people wrote such words everywhere.
fn written(words: [String; 6], naming: Naming, labels: &[Option<bool>], original: &str) -> Day {
    let mut day = day(FRAMES);
    let [name, first, second, third, one, other] = words;
    (day.session.name, day.session.naming) = (name, naming);
    for (set, jar) in [first, second, third].into_iter().enumerate() {
        if let Some(edit) = day.session.write_jar(set, &jar) {
            day.decide(&edit);
        }
    }
    day.session.plan.views[0].key = one.as_str().into();
    day.session.plan.views[1].key = other.as_str().into();
    for (label, id) in labels.iter().zip(0..) {
        let view = label.map(|first| if first { &*one } else { &*other });
        if let Some(edit) = view.and_then(|view| day.session.label_frame(FrameId(id), Some(view.into()))) {
            day.decide(&edit);
        }
    }
    let original: String = original.chars().filter(|c| !"/\0".contains(*c)).collect();
    for file in &mut day.session.frames[6].files {
        file.path = format!("DCIM/100ABCDE/{original}x.JPG");
    }
    day
}

/// Form of folder and file names of any fields in any order, also one that a text that was tampered with may have.
fn naming() -> impl Strategy<Value = Naming> {
    let of_folder = vec![NameField::Date, NameField::Session, NameField::Specimen, NameField::Jar];
    let folder = prop::sample::subsequence(of_folder, 1..=4).prop_shuffle();
    let file = prop::sample::subsequence(NameField::ALL.to_vec(), 1..=8).prop_shuffle();
    let joiner = prop::sample::select(vec!["_", "-", " ", "", "/../", "."]);
    (folder, file, joiner).prop_map(|(folder, file, joiner)| {
        let form = |name| NameForm { name, joiner: joiner.to_owned() };
        Naming { folder: form(folder), file: form(file) }
    })
}

fn words() -> impl Strategy<Value = [String; 6]> {
    [word(), word(), word(), word(), word(), word()]
}

proptest! {
    #[test]
    fn whatever_people_write_names_are_legal_and_distinct_everywhere(
        words in words(),
        original in word(),
        naming in naming(),
        labels in prop::collection::vec(prop::option::of(any::<bool>()), FRAMES.len()),
    ) {
        let day = written(words, naming, &labels, &original);
        let plan = day.plan().unwrap();
        prop_assert_eq!(illegal(&plan.folder), None, "{:?}", plan.folder);
        let sidecars = plan.sidecars.iter().map(|sidecar| sidecar.to.as_str());
        let all: Vec<&str> = plan.steps.iter().map(|step| step.to.as_str()).chain(sidecars).collect();
        prop_assert_eq!(all.len(), 11 + 6 + 11, "each file, each sidecar");
        for path in &all {
            prop_assert_eq!(path.split('/').count(), 2, "{:?}", path);
            for part in path.split('/') {
                prop_assert_eq!(illegal(part), None, "{:?}", path);
            }
        }
        for compare in [in_capitals, taken_apart] {
            let distinct: BTreeSet<String> = all.iter().map(|path| compare(path)).collect();
            prop_assert_eq!(distinct.len(), all.len(), "{:?}", all);
            // Folders too: two that a disk takes for one hold the files of two animals.
            let folders: BTreeSet<&str> = all.iter().map(|path| path.split('/').next().unwrap()).collect();
            let distinct: BTreeSet<String> = folders.iter().map(|folder| compare(folder)).collect();
            prop_assert_eq!(distinct.len(), folders.len(), "{:?}", folders);
        }
        let mut stems = BTreeSet::new();
        for frame in plan.steps.chunk_by(|a, b| a.frame == b.frame) {
            let of_frame: BTreeSet<&str> = frame.iter().map(|s| s.to.rsplit_once('.').unwrap().0).collect();
            prop_assert_eq!(of_frame.len(), 1, "files of one frame share their name");
            prop_assert!(stems.insert(of_frame), "and no other frame has it");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    /// Files of others under the very names wanted, but for case and accents, stay; no file of the card gets a name that a
    /// disk takes for one of theirs.
    #[test]
    fn what_stands_there_keeps_its_name(
        words in words(),
        naming in naming(),
        theirs in prop::collection::vec(0u8..5, 17),
    ) {
        let mut day = written(words, naming, &[], "y");
        let (from, to) = ("DCIM/100ABCDE/ABCD0007.JPG", "DCIM/100ABCDE/yx.JPG");
        fs::rename(day.card.join(from), day.card.join(to)).unwrap();
        day.file_with(&StopsAfter::asked(0)).unwrap_err();
        let plan = day.plan().unwrap();
        let folder = day.archive.join(&plan.folder);
        let mut put = BTreeMap::new();
        for (step, how) in plan.steps.iter().zip(theirs) {
            let (inner, name) = step.to.split_once('/').unwrap();
            let name = match how {
                0 => name.to_owned(),
                1 => in_capitals(name),
                2 => name.nfd().collect(),
                3 => name.to_lowercase(),
                _ => continue,
            };
            fs::create_dir_all(folder.join(inner)).unwrap();
            // Some have the size of the file wanted.
            let size = if how == 1 { 5 } else { step.bytes as usize };
            fs::write(folder.join(inner).join(&name), vec![how; size]).unwrap();
            put.insert(format!("{inner}/{name}"), vec![how; size]);
        }
        let receipt = day.file().unwrap();
        prop_assert_eq!(receipt.copied, 17);
        let there = tree(&folder);
        for (path, bytes) in &put {
            prop_assert_eq!(Some(bytes), there.get(path).map(|(bytes, _)| bytes), "{}", path);
        }
        for compare in [in_capitals, taken_apart] {
            let theirs: BTreeSet<String> = put.keys().map(|path| compare(path)).collect();
            let clash = day.session.filed.values().find(|filed| theirs.contains(&compare(&filed.path)));
            prop_assert_eq!(clash, None);
        }
    }
}

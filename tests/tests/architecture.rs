//! The house rules that a compiler does not hold: which crate may know which, and what pure crates may use.

#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a helper of a test may stop it, and says what it skips"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use endleaf_tests::project;

/// Rooms from the ground up. A crate may know those of lower rooms only.
const ROOMS: [&[&str]; 5] =
    [&["record", "imaging"], &["import", "grouping", "notes"], &["filing"], &["exchange"], &["app"]];

/// All that the pure crates may depend on besides lower rooms.
const PURE: [(&str, &[&str]); 4] = [
    ("record", &["jiff", "ron", "serde", "thiserror"]),
    ("imaging", &[]),
    ("grouping", &[]),
    (
        "notes",
        &[
            "csv",
            "encoding_rs",
            "geographiclib-rs",
            "jiff",
            "quick-xml",
            "serde",
            "thiserror",
            "unicode-normalization",
        ],
    ),
];

/// Names under `[dependencies]` of a crate's manifest.
fn dependencies(member: &str) -> BTreeSet<String> {
    let path = project().join("crates").join(member).join("Cargo.toml");
    let manifest = fs::read_to_string(path).unwrap();
    let (_, rest) = manifest.split_once("[dependencies]").unwrap_or(("", ""));
    let section = rest.split("\n[").next().unwrap_or_default();
    let names = section.lines().filter(|l| l.contains('=')).map(|l| l.split(['.', ' ', '=']).next().unwrap());
    names.filter(|n| !n.is_empty() && !n.starts_with('#')).map(str::to_owned).collect()
}

#[test]
fn arrows_between_crates_run_one_way() {
    let room: BTreeMap<&str, usize> =
        ROOMS.iter().enumerate().flat_map(|(r, names)| names.iter().map(move |n| (*n, r))).collect();
    let folders = fs::read_dir(project().join("crates")).unwrap();
    for folder in folders.map(|f| f.unwrap().file_name().into_string().unwrap()) {
        let own = room.get(folder.as_str()).unwrap_or_else(|| panic!("{folder} has no room"));
        for known in dependencies(&folder).iter().filter_map(|d| room.get_key_value(d.as_str())) {
            assert!(known.1 < own, "{folder} must not know {}", known.0);
        }
    }
}

#[test]
fn pure_crates_depend_on_little() {
    for (member, allowed) in PURE {
        for dependency in dependencies(member) {
            let lower = ["record", "imaging"].contains(&dependency.as_str());
            assert!(lower || allowed.contains(&dependency.as_str()), "{member} depends on {dependency}");
        }
        let bans = fs::read_to_string(project().join("crates").join(member).join("clippy.toml")).unwrap();
        for banned in ["std::fs::File::open", "SystemTime::now", "Instant::now", "env::var", "thread::spawn"]
        {
            assert!(bans.contains(banned), "{member} does not ban {banned}");
        }
    }
}

#[test]
fn every_member_takes_the_workspace_lints() {
    let manifest = fs::read_to_string(project().join("Cargo.toml")).unwrap();
    let members = manifest.split_once("members = [").unwrap().1.split_once(']').unwrap().0;
    for member in members.split(',').map(|m| m.trim().trim_matches('"')).filter(|m| !m.is_empty()) {
        let own = fs::read_to_string(project().join(member).join("Cargo.toml")).unwrap();
        assert!(own.contains("[lints]\nworkspace = true"), "{member}");
    }
}

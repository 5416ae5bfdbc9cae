//! Every set of invented cards with known truth, found through the clocks and the grouping.
//!
//! The cards are not part of this project: `ENDLEAF_CARDS` names a folder, and each folder within it, at any depth, that
//! holds a `card` and its `truth.json` is read. Left out otherwise. Run with
//! `cargo test -p import --release --test clocks_cards -- --ignored --nocapture`.
#![allow(clippy::print_stderr, reason = "figures for whoever runs this by hand")]
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use import::{ClockSource, read_card, set_clocks};
use record::{Plan, Session, Silent};

fn plan() -> Plan {
    let view = |key: &str| {
        let letter = key.chars().next().unwrap();
        format!(
            "(key: \"{key}\", name: \"{key}\", letter: '{letter}', required: true, subject_part: \"\",
              subject_orientation: \"\", hint: \"\"),"
        )
    };
    let views = ["side", "head", "face", "above", "tip"].map(view).concat();
    Plan::from_text(&format!("(key: \"p\", name: \"P\", views: [{views}])")).unwrap()
}

/// Folders with a `card` and a `truth.json` at or below this one.
fn cards(folder: &Path) -> Vec<PathBuf> {
    if folder.join("truth.json").is_file() {
        return vec![folder.to_owned()];
    }
    let mut inner: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    inner.sort();
    inner.iter().filter(|p| p.is_dir()).flat_map(|p| cards(p)).collect()
}

/// Sets of a card as truth has them, those found just so, and by how much clocks were off and thought to be.
fn sets_exact(folder: &Path) -> (usize, usize, String) {
    let truth: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(folder.join("truth.json")).unwrap()).unwrap();
    let mut session = Session::new("card", plan());
    session.merge(read_card(&folder.join("card"), &Silent).unwrap().frames);
    let clocks = set_clocks(&mut session.frames, &session.decisions, None);
    grouping::regroup(&mut session);
    // Files that are no pictures may stand in a set; truth says nothing of them.
    let known: BTreeSet<&str> =
        truth["frames"].as_array().unwrap().iter().map(|f| f["path"].as_str().unwrap()).collect();
    let path = |id| session.frame(id).unwrap().path().to_owned();
    let paths = |set: &record::Set| {
        set.frames.iter().copied().map(path).filter(|p| known.contains(p.as_str())).collect()
    };
    let found: BTreeSet<BTreeSet<String>> = session.sets.iter().map(paths).collect();
    let of_truth: Vec<BTreeSet<String>> = truth["sets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| s["frames"].as_array().unwrap().iter().map(|f| f.as_str().unwrap().to_owned()).collect())
        .collect();
    let shifts = clocks.bodies.iter().filter(|b| b.source != ClockSource::AsSet);
    let shifts: BTreeMap<String, f64> = shifts.map(|b| (b.body.words(), b.shift_secs)).collect();
    let exact = of_truth.iter().filter(|s| found.contains(*s)).count();
    let kinds: Vec<&str> = clocks.queries.iter().map(|q| q.kind.word()).collect();
    (of_truth.len(), exact, format!("{} {shifts:?} {kinds:?}", truth["clock_error_s"]))
}

#[test]
#[ignore = "needs the cards named by ENDLEAF_CARDS"]
fn sets_of_all_cards() {
    let root = std::env::var_os("ENDLEAF_CARDS").expect("ENDLEAF_CARDS names the folder of cards");
    let mut by_scenario: BTreeMap<String, (usize, usize)> = BTreeMap::new();
    for folder in cards(Path::new(&root)) {
        let (all, exact, clocks) = sets_exact(&folder);
        let name = folder.file_name().unwrap().to_string_lossy();
        let scenario = name.split("_seed").next().unwrap().to_owned();
        let sum = by_scenario.entry(scenario.clone()).or_default();
        *sum = (sum.0 + all, sum.1 + exact);
        if all != exact || scenario == "two_cameras_offset" {
            eprintln!("{}: {exact} of {all} sets exact; clocks {clocks}", folder.display());
        }
    }
    for (scenario, (all, exact)) in &by_scenario {
        eprintln!("{scenario}: {exact} of {all}");
    }
    assert!(!by_scenario.is_empty());
    if let Some((all, exact)) = by_scenario.get("two_cameras_offset") {
        assert_eq!(all, exact, "sets of two bodies whose clocks differ");
    }
}

//! The plans against Audiovisual Core: controlled vocabularies for subject part and orientation (TDWG,
//! 2023-04-26), from the term tables in `tests/data`.

#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a helper of a test may stop it, and says what it skips"
)]

use std::collections::BTreeSet;
use std::fs;

use endleaf::plans::built_in;
use endleaf_tests::project;

/// The first `columns` cells of each row but the head. The cells looked at hold no quotes or commas.
fn table(name: &str, columns: usize) -> BTreeSet<Vec<String>> {
    let text = fs::read_to_string(project().join("tests/data").join(name)).unwrap();
    let rows = text.lines().skip(1).filter(|l| !l.starts_with(' ') && l.contains("http"));
    rows.map(|l| l.split(',').take(columns).map(str::to_owned).collect()).collect()
}

#[test]
fn every_view_names_a_part_and_an_orientation_of_the_standard() {
    let parts = table("ac-subject-part.csv", 1);
    let orientations = table("ac-subject-orientation.csv", 1);
    assert_eq!((parts.len(), orientations.len()), (33, 14), "values in the published tables");
    for plan in built_in() {
        for view in &plan.views {
            assert!(parts.contains(&vec![view.subject_part.clone()]), "{} {}", plan.key, view.key);
            assert!(
                orientations.contains(&vec![view.subject_orientation.clone()]),
                "{} {}",
                plan.key,
                view.key
            );
        }
    }
}

#[test]
fn every_pair_of_part_and_orientation_is_one_the_standard_lists() {
    let pairs = table("ac-part-orientation-pairs.csv", 2);
    assert_eq!(pairs.len(), 89, "pairs in the published table");
    for plan in built_in() {
        for view in &plan.views {
            let pair = vec![view.subject_part.clone(), view.subject_orientation.clone()];
            assert!(pairs.contains(&pair), "{} {}: {pair:?}", plan.key, view.key);
        }
    }
}

/// The five views of a bumble bee as controlled values, worked out from the term definitions (the standard
/// has no value for face, vertex or abdomen tip).
#[test]
fn bumble_bee_views_carry_their_controlled_values() {
    let expected = [
        ("side", "entireOrganism", "lateral"),
        ("head-top", "head", "dorsal"),
        ("face", "head", "anterior"),
        ("above", "entireOrganism", "dorsal"),
        ("tip", "abdomen", "dorsal"),
    ];
    let plan = built_in().swap_remove(0);
    let found: Vec<_> = plan
        .required()
        .map(|v| (v.key.as_str(), v.subject_part.as_str(), v.subject_orientation.as_str()))
        .collect();
    assert_eq!(found, expected);
}

//! The fields of the record against the published list of Darwin Core terms.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::collections::BTreeSet;
use std::path::Path;

use record::Term;

/// Fields that Darwin Core has no one term for, each with why.
const OWN: [(Term, &str); 5] = [
    (Term::Coordinates, "decimalLatitude and decimalLongitude in one text"),
    (Term::Plant, "said as associatedTaxa"),
    (Term::HeldFrom, "about handling, not about the occurrence"),
    (Term::ReleasedAt, "about handling, not about the occurrence"),
    (Term::Sensitivity, "said as dataGeneralizations and informationWithheld once it is shared"),
];

/// Names of Dublin Core (DCMI Metadata Terms, 2020-01-20, from memory), as Darwin Core takes them over.
const DUBLIN_CORE: [&str; 4] = ["creator", "rightsHolder", "license", "language"];

#[test]
#[ignore = "needs the list of terms at ENDLEAF_CORPUS"]
fn every_field_is_a_term_of_the_standard_or_says_why_not_tdwg_2026() {
    let corpus = std::env::var("ENDLEAF_CORPUS").unwrap();
    let list = std::fs::read_to_string(Path::new(&corpus).join("standards/data/dwc-terms.csv")).unwrap();
    let names: BTreeSet<&str> = list
        .lines()
        .flat_map(|line| line.split(','))
        .filter_map(|cell| cell.trim_matches('"').rsplit_once('/'))
        .map(|(_, name)| name)
        .collect();
    assert!(names.len() > 200, "{}", names.len());
    for term in Term::ALL {
        let is_own = OWN.iter().any(|(own, _)| *own == term);
        let is_standard = names.contains(term.name()) || DUBLIN_CORE.contains(&term.name());
        assert_ne!(is_own, is_standard, "{}", term.name());
    }
    for name in
        ["decimalLatitude", "decimalLongitude", "geodeticDatum", "caste", "associatedTaxa", "identifiedBy"]
    {
        assert!(names.contains(name), "{name} stands in sidecars");
    }
}

//! The columns against the standards' own lists of terms.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::collections::BTreeSet;
use std::path::PathBuf;

use exchange::darwin_core::Table;

/// IRIs in the second column of a list of terms.
fn iris(list: &str) -> BTreeSet<String> {
    let corpus = PathBuf::from(std::env::var_os("ENDLEAF_CORPUS").expect("ENDLEAF_CORPUS names the corpus"));
    let mut reader = csv::Reader::from_path(corpus.join("standards/data").join(list)).unwrap();
    let at = reader.headers().unwrap().iter().position(|name| name == "iri").unwrap();
    reader.records().map(|row| row.unwrap()[at].to_owned()).collect()
}

/// Darwin Core, list of terms of 2026-05-26; Audiovisual Core, list of terms of 2026.
#[test]
#[ignore = "reads the lists of terms; set ENDLEAF_CORPUS"]
fn every_column_is_a_term_in_force() {
    let (dwc, ac) = (iris("dwc-terms.csv"), iris("ac-terms.csv"));
    assert!(dwc.len() > 200 && ac.len() > 150, "{} {}", dwc.len(), ac.len());
    for table in Table::ALL {
        for column in table.columns() {
            let iri = column.iri();
            let known = dwc.contains(&iri) || table == Table::Media && ac.contains(&iri);
            assert!(known, "{table:?}: {iri}");
        }
    }
}

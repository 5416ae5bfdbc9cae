//! An archive on a disk becomes a data set in columns: whole, and the same twice.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

mod filed;

use std::fs::{self, File};
use std::path::Path;

use exchange::archive::ExportFault;
use exchange::darwin_core::{Profile, Table, rows};
use exchange::dataset::export_dataset;
use parquet::file::reader::{FileReader, SerializedFileReader};
use record::{Session, Silent, Term};
use tempfile::TempDir;

/// An invented session of one animal, filed in a folder of the archive.
fn file(archive: &Path, folder: &str, sha256: u32, date: &str) -> Session {
    filed::record_of(archive, folder, sha256, "=1+1, “odd” é", &[(Term::EventDate, date)])
}

fn export(archive: &Path, folder: &Path) -> Result<(), ExportFault> {
    export_dataset(archive, &Profile::default(), "2026-11-25", folder, &Silent)
}

fn cells(path: &Path) -> Vec<Vec<String>> {
    let reader = SerializedFileReader::new(File::open(path).unwrap()).unwrap();
    let rows = reader.get_row_iter(None).unwrap().map(Result::unwrap);
    let cell = |field: &parquet::record::Field| match field {
        parquet::record::Field::Str(text) => text.clone(),
        other => panic!("{other}"),
    };
    rows.map(|row| row.get_column_iter().map(|(_, field)| cell(field)).collect()).collect()
}

#[test]
fn a_month_is_a_file_and_cells_are_exact() {
    let dir = TempDir::new().unwrap();
    let archive = dir.path().join("archive");
    let june = file(&archive, "a", 1, "2026-06-14");
    file(&archive, "b", 2, "2026-06-15");
    file(&archive, "c", 3, "2025-11-02");
    let (one, two) = (dir.path().join("one"), dir.path().join("two"));
    export(&archive, &one).unwrap();
    export(&archive, &two).unwrap();
    let expected: Vec<Vec<String>> = rows("a", &june, &Profile::default())
        .into_iter()
        .filter(|row| row.table == Table::Occurrence)
        .map(|row| row.cells)
        .collect();
    let found = cells(&one.join("year=2026/month=6/part-0.parquet"));
    assert_eq!((found.len(), &found[..1]), (2, &expected[..]));
    assert!(found[0].contains(&"=1+1, “odd” é".to_owned()));
    for path in ["year=2026/month=6/part-0.parquet", "year=2025/month=11/part-0.parquet"] {
        assert!(fs::read(one.join(path)).unwrap() == fs::read(two.join(path)).unwrap());
    }

    let words = export(&archive, &one).unwrap_err().to_string();
    assert!(words.contains("has this name already"), "{words}");
    let inside = export(&archive, &archive.join("set")).unwrap_err().to_string();
    assert!(inside.contains("lies in the archive") && !archive.join("set").exists(), "{inside}");
    file(&archive, "d", 1, "2026-06-14");
    assert!(matches!(export(&archive, &dir.path().join("three")), Err(ExportFault::Twice { .. })));
}

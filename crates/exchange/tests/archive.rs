//! An archive on a disk becomes a zip and tables: whole, the same twice, and without what is withheld.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

mod filed;

use std::fs;
use std::io::{Cursor, Read as _};
use std::path::Path;

use exchange::archive::{ExportFault, export_darwin_core, export_tables, survey};
use exchange::darwin_core::Profile;
use record::{Progress, Silent, Term};
use tempfile::TempDir;

const DAY: &str = "2026-11-25";

/// An invented session of one animal at a place, filed in a folder of the archive.
fn file(archive: &Path, folder: &str, sha256: u32, fields: &[(Term, &str)]) {
    filed::record_of(archive, folder, sha256, "=HYPERLINK(\"http://example.org\")", fields);
}

fn export(archive: &Path, zip: &Path) -> Result<(), ExportFault> {
    let profile = Profile { media_base: Some("https://example.org".into()), ..Profile::default() };
    export_darwin_core(archive, &profile, DAY, zip, &Silent)
}

/// The texts in a zip, by name.
fn unzipped(path: &Path) -> Vec<(String, String)> {
    let mut zip = zip::ZipArchive::new(Cursor::new(fs::read(path).unwrap())).unwrap();
    (0..zip.len())
        .map(|at| {
            let mut file = zip.by_index(at).unwrap();
            let mut text = String::new();
            file.read_to_string(&mut text).unwrap();
            assert_eq!(
                file.last_modified(),
                Some(zip::DateTime::default()),
                "the earliest time that a zip can say"
            );
            (file.name().unwrap().into_owned(), text)
        })
        .collect()
}

#[test]
fn two_exports_are_the_same_bytes_and_none_is_written_over() {
    let folder = TempDir::new().unwrap();
    let archive = folder.path().join("archive");
    file(&archive, "a", 1, &[(Term::Coordinates, "52.2, 0.12")]);
    file(&archive, "b", 2, &[]);
    let (one, two) = (folder.path().join("one.zip"), folder.path().join("two.zip"));
    export(&archive, &one).unwrap();
    export(&archive, &two).unwrap();
    assert!(fs::read(&one).unwrap() == fs::read(&two).unwrap());
    let names: Vec<String> = unzipped(&one).into_iter().map(|(name, _)| name).collect();
    assert_eq!(
        names,
        ["meta.xml", "eml.xml", "occurrence.csv", "identification.csv", "media.csv", "measurement.csv"]
    );

    let before = fs::read(&one).unwrap();
    let words = export(&archive, &one).unwrap_err().to_string();
    assert!(words.contains("has this name already"), "{words}");
    assert!(fs::read(&one).unwrap() == before);
    let inside = export(&archive, &archive.join("data.zip")).unwrap_err().to_string();
    assert!(inside.contains("lies in the archive"), "{inside}");
    assert!(!archive.join("data.zip").exists());
}

#[test]
fn formulas_run_in_no_spreadsheet_and_stay_exact_in_the_archive() {
    let folder = TempDir::new().unwrap();
    let archive = folder.path().join("archive");
    file(&archive, "a", 1, &[(Term::Coordinates, "-33.86785, 151.2"), (Term::Behavior, "+1\ttwo")]);
    let (zip, tables) = (folder.path().join("data.zip"), folder.path().join("tables"));
    export(&archive, &zip).unwrap();
    export_tables(&archive, &Profile::default(), DAY, &tables, &Silent).unwrap();
    let cells = |text: &str| {
        let mut reader = csv::Reader::from_reader(text.trim_start_matches('\u{feff}').as_bytes());
        reader.records().next().unwrap().unwrap().iter().map(str::to_owned).collect::<Vec<_>>()
    };
    let text = &unzipped(&zip)[2].1;
    assert!(!text.contains('\r') && !text.starts_with('\u{feff}'));
    let exact = cells(text);
    assert!(exact.contains(&"=HYPERLINK(\"http://example.org\")".to_owned()), "{exact:?}");
    let text = fs::read_to_string(tables.join("occurrence.csv")).unwrap();
    assert!(text.starts_with('\u{feff}') && text.ends_with("\r\n"));
    let guarded = cells(&text);
    assert!(guarded.contains(&"'=HYPERLINK(\"http://example.org\")".to_owned()), "{guarded:?}");
    assert!(guarded.contains(&"-33.86785".to_owned()), "numbers stay");
}

#[test]
fn what_cannot_be_exported_whole_is_not_exported() {
    struct Stopped;
    impl Progress for Stopped {
        fn at(&self, _: usize, _: usize) {}
        fn stopped(&self) -> bool {
            true
        }
    }
    let folder = TempDir::new().unwrap();
    let archive = folder.path().join("archive");
    let zip = folder.path().join("data.zip");
    fs::create_dir(&archive).unwrap();
    assert!(matches!(export(&archive, &zip), Err(ExportFault::NoSession(_))));
    assert!(matches!(export(&folder.path().join("none"), &zip), Err(ExportFault::Archive(_))));
    file(&archive, "a", 1, &[]);
    assert!(matches!(survey(&archive, &Profile::default(), DAY, &Stopped), Err(ExportFault::Stopped)));
    file(&archive, "b", 1, &[]);
    let twice = export(&archive, &zip).unwrap_err().to_string();
    assert!(twice.contains("1 record stands in two sessions"), "{twice}");
    fs::write(archive.join("b/session.ron"), "torn").unwrap();
    assert!(matches!(export(&archive, &zip), Err(ExportFault::Session(_))));
    assert!(!zip.exists());
}

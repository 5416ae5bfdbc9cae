//! Sessions of an archive on a disk become bags, one each.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::Path;
use std::time::{Duration, SystemTime};

use exchange::archive::ExportFault;
use exchange::bags::{SessionBag, SessionBagFault, export_bags};
use filing::{AuditOptions, BagFault, Wrong, audit};
use record::{Plan, Progress, Session, Silent};
use tempfile::TempDir;

const PLAN: &str = r#"(key: "one", name: "One", views: [(key: "side", name: "Side", letter: 's', required: true,
    subject_part: "entireOrganism", subject_orientation: "lateral", hint: "All of it.")])"#;
const DAY: &str = "2026-11-25";

fn taken() -> SystemTime {
    SystemTime::UNIX_EPOCH + Duration::from_secs(1_781_000_000)
}

/// An invented session with one picture, as it lies in an archive.
fn file(archive: &Path, folder: &str) {
    let own = archive.join(folder);
    fs::create_dir_all(own.join("001")).unwrap();
    let session = Session::new(folder, Plan::from_text(PLAN).unwrap());
    fs::write(own.join("session.ron"), record::session_to_text(&session)).unwrap();
    // FIPS 180-4 gives this as the SHA-256 of `abc`.
    let sum = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    fs::write(own.join("manifest-sha256.txt"), format!("{sum}  001/é 1.jpg\n")).unwrap();
    fs::write(own.join("001/é 1.jpg"), "abc").unwrap();
    File::options().write(true).open(own.join("001/é 1.jpg")).unwrap().set_modified(taken()).unwrap();
}

fn pack(archive: &Path, bags: &Path) -> Vec<SessionBag> {
    export_bags(archive, bags, DAY, &Silent).unwrap()
}

/// All files below a folder.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if path.is_dir() {
            files.extend(
                self::files(&path).into_iter().map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)),
            );
        } else {
            files.insert(name, fs::read(&path).unwrap());
        }
    }
    files
}

#[test]
fn each_session_is_a_valid_bag_and_two_runs_give_the_same_bytes() {
    let dir = TempDir::new().unwrap();
    let (archive, one, two) = (dir.path().join("archive"), dir.path().join("one"), dir.path().join("two"));
    for folder in ["a", "b"] {
        file(&archive, folder);
    }
    let before = files(&archive);
    let made = pack(&archive, &one);
    assert_eq!(made.iter().map(|bag| bag.folder.as_str()).collect::<Vec<_>>(), ["a", "b"]);
    for bag in &made {
        assert_eq!(bag.made.as_ref().unwrap().files, 3);
        assert_eq!(bag.path, one.join(&bag.folder));
        let audit = audit(&bag.path, AuditOptions::default(), &Silent).unwrap();
        assert!(audit.is_bag && audit.is_sound() && audit.findings.is_empty(), "{audit:?}");
        let picture = fs::metadata(bag.path.join("data/001/é 1.jpg")).unwrap();
        assert_eq!(picture.modified().unwrap(), taken());
    }
    pack(&archive, &two);
    assert!(files(&one) == files(&two));
    assert!(files(&archive) == before);
    let info = fs::read_to_string(one.join("a/bag-info.txt")).unwrap();
    assert!(
        info.contains("Private: it holds exact places") && info.contains("Bagging-Date: 2026-11-25"),
        "{info}"
    );
}

#[test]
fn a_session_that_has_no_bag_is_told_and_the_others_have_theirs() {
    let dir = TempDir::new().unwrap();
    let (archive, bags) = (dir.path().join("archive"), dir.path().join("bags"));
    for folder in ["a", "b", "c", "d"] {
        file(&archive, folder);
    }
    fs::write(archive.join("a/001/é 1.jpg"), "abd").unwrap();
    fs::write(archive.join("b/session.ron"), "torn").unwrap();
    fs::create_dir_all(bags.join("c")).unwrap();
    fs::write(bags.join("c/theirs.txt"), "theirs").unwrap();
    let made = pack(&archive, &bags);
    match &made[0].made {
        Err(SessionBagFault::Bag(BagFault::NotAsFiled { wrong: Wrong::Changed, path })) => {
            assert_eq!(path, "a/001/é 1.jpg");
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(made[1].made, Err(SessionBagFault::Session(_))), "{:?}", made[1].made);
    assert!(matches!(made[2].made, Err(SessionBagFault::Bag(BagFault::Document(_)))), "{:?}", made[2].made);
    assert!(made[3].made.is_ok());
    let there: Vec<String> = files(&bags).into_keys().filter(|path| !path.starts_with("d/")).collect();
    assert_eq!(there, ["c/theirs.txt"]);
}

#[test]
fn when_stopped_no_more_bags_are_begun() {
    struct Stopped;
    impl Progress for Stopped {
        fn at(&self, _: usize, _: usize) {}
        fn stopped(&self) -> bool {
            true
        }
    }
    let dir = TempDir::new().unwrap();
    let archive = dir.path().join("archive");
    file(&archive, "a");
    file(&archive, "b");
    let made = export_bags(&archive, &dir.path().join("bags"), DAY, &Stopped).unwrap();
    assert!(matches!(made[..], [SessionBag { made: Err(SessionBagFault::Bag(BagFault::Stopped)), .. }]));
    assert!(files(&dir.path().join("bags")).is_empty());
    fs::create_dir(dir.path().join("empty")).unwrap();
    let none = export_bags(&dir.path().join("empty"), &dir.path().join("bags"), DAY, &Silent);
    assert!(matches!(none, Err(ExportFault::NoSession(_))));
    let inside = export_bags(&archive, &archive.join("bags"), DAY, &Silent).unwrap();
    assert!(inside.iter().all(|bag| bag.made.is_err()) && !archive.join("bags").exists());
}

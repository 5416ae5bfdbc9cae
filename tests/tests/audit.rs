//! Auditing an archive and repairing it from a second one, end to end.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "a helper of a test may stop it, and a test moves an archive"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use endleaf_tests::{Bench, tree};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// An archive and a second one filled from one reading of the card.
fn two() -> (Bench, PathBuf, PathBuf) {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    let (main, other) = (bench.archive(), bench.archive().with_file_name("other"));
    let filed = bench.run(&format!("file CARD --into ARCHIVE --and-into {}", other.display()));
    assert_eq!(filed.status, 0, "{}", filed.talk);
    assert_eq!(filed.out.matches("The card may be wiped").count(), 2, "{}", filed.out);
    (bench, main, other)
}

fn pictures(archive: &Path) -> Vec<PathBuf> {
    let all = tree(archive).into_keys().filter(|path| path.contains(".jpg"));
    all.map(|path| archive.join(path)).collect()
}

/// Writes other bytes of the same length, with the time as it was.
fn rot(path: &Path) {
    let changed: SystemTime = path.metadata().unwrap().modified().unwrap();
    let mut bytes = fs::read(path).unwrap();
    bytes[100] ^= 1;
    fs::write(path, bytes).unwrap();
    fs::File::options().write(true).open(path).unwrap().set_modified(changed).unwrap();
}

#[test]
fn both_archives_hold_the_same_and_are_sound_wherever_they_are_moved() {
    let (bench, main, other) = two();
    let same = |path: &str| path.contains(".jpg") || path.contains(".xmp") || path.contains("manifest");
    let held = |archive: &Path| tree(archive).into_iter().filter(|(p, _)| same(p)).collect::<Vec<_>>();
    assert_eq!(held(&main), held(&other));
    let audit = bench.run("audit ARCHIVE --json").json();
    assert_eq!((&audit["sound"], audit["findings"].as_array().unwrap().len()), (&true.into(), 0), "{audit}");
    assert_eq!(audit["files"].as_u64().unwrap() as usize, tree(&main).len() - 1, "all but the journal");
    fs::rename(&other, bench.archive().with_file_name("elsewhere")).unwrap();
    let elsewhere = bench.archive().with_file_name("elsewhere");
    let again = bench.run(&format!("audit {} --json", elsewhere.display())).json();
    assert_eq!((&again["sound"], &again["files"]), (&true.into(), &audit["files"]));
    assert_ne!(again["id"], audit["id"], "each archive is known by its own");
}

#[test]
fn what_is_not_as_it_was_filed_is_said_and_repaired_only_when_told() {
    let (bench, main, other) = two();
    let files = pictures(&main);
    let whole = tree(&main);
    rot(&files[0]);
    fs::remove_file(&files[1]).unwrap();
    fs::write(&files[2], "drawn upon").unwrap();
    fs::write(main.join("mine.txt"), "mine").unwrap();
    let damaged = tree(&main);
    let words = |talk: &str, word: &str| talk.lines().filter(|line| line.starts_with(word)).count();

    let quick = bench.run("audit ARCHIVE --quick");
    assert_eq!(quick.status, 2);
    assert_eq!(
        (words(&quick.out, "missing"), words(&quick.out, "changed"), words(&quick.out, "rotten")),
        (1, 1, 0)
    );
    let beside = format!("--beside {}", other.display());
    let found = bench.run(&format!("audit ARCHIVE {beside}"));
    assert_eq!(found.status, 2);
    for word in ["missing", "changed", "rotten"] {
        assert_eq!(words(&found.out, word), 1, "{}", found.out);
    }
    assert!(words(&found.out, "not listed") >= 1, "{}", found.out);
    assert_eq!(found.out.matches("the second archive holds it").count(), 3, "{}", found.out);
    assert_eq!(tree(&main), damaged, "nothing is repaired unasked");

    let repaired = bench.run(&format!("audit ARCHIVE {beside} --repair"));
    assert_eq!(repaired.status, 0, "{}{}", repaired.out, repaired.talk);
    assert_eq!(words(&repaired.out, "repaired"), 3, "{}", repaired.out);
    let after = tree(&main);
    let as_filed = |path: &String| after.get(path) == whole.get(path) || path == "endleaf-journal.txt";
    assert!(whole.keys().all(as_filed));
    let aside: Vec<_> = after.keys().filter(|path| path.contains(".damaged")).collect();
    assert_eq!(aside.len(), 2, "what stood there is kept: {aside:?}");
    assert!(after.values().any(|bytes| bytes == b"drawn upon"));
    assert_eq!(bench.run("audit ARCHIVE --strict").status, 1, "the file of somebody is still in no list");
    assert_eq!(bench.run("undo ARCHIVE").status, 0, "the filing can be taken back all the same");
    assert!(pictures(&main).iter().all(|path| path.to_str().unwrap().contains(".damaged")));
}

#[test]
fn a_copy_that_is_rotten_in_both_is_not_taken_for_good() {
    let (bench, main, other) = two();
    rot(&pictures(&main)[0]);
    rot(&pictures(&other)[0]);
    let before = tree(&main);
    let found = bench.run(&format!("audit ARCHIVE --beside {} --repair", other.display()));
    assert_eq!(found.status, 2);
    assert!(!found.out.contains("the second archive holds it"), "{}", found.out);
    assert_eq!(tree(&main), before);
}

#[test]
fn two_archives_that_are_one_are_refused_and_no_archive_is_said() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    let refused = bench.run("file CARD --into ARCHIVE --and-into ARCHIVE");
    assert_eq!(refused.status, 2);
    assert!(refused.talk.contains("The two archives are the same folder"), "{}", refused.talk);
    assert!(!bench.archive().exists());
    assert!(bench.run("audit ARCHIVE").talk.contains("there is no such folder"));
    fs::create_dir(bench.archive()).unwrap();
    let empty = bench.run("audit ARCHIVE --json");
    assert_eq!((empty.status, empty.out.as_str()), (2, ""));
    assert!(empty.talk.contains("There is no archive here"), "{}", empty.talk);
}

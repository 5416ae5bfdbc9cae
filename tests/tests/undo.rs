//! Taking the last filing back, end to end.

#![allow(clippy::unwrap_used, reason = "a helper of a test may stop it")]

use std::collections::BTreeMap;
use std::fs;

use endleaf_tests::{Bench, demo_bytes, tree};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// All of the archive but the journal, which gains the undo.
fn archive(bench: &Bench) -> BTreeMap<String, Vec<u8>> {
    let mut tree = tree(&bench.archive());
    assert!(tree.remove("endleaf-journal.txt").is_some());
    tree
}

#[test]
fn the_last_filing_is_taken_back_and_can_be_done_again() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    bench.run("file CARD --into ARCHIVE");
    let once = archive(&bench);
    bench.put_demo(|f| f["set"] == 2);
    bench.run("file CARD --into ARCHIVE");
    let twice = archive(&bench);
    let card = tree(&bench.card());

    let planned = bench.run("undo ARCHIVE --dry-run");
    assert_eq!(planned.status, 0, "{}", planned.talk);
    let is_new = |path: &&String| {
        !once.contains_key(*path) && !path.starts_with("endleaf-before") && !path.contains(".xmp")
    };
    let copied = twice.keys().filter(is_new).count();
    assert!(copied > 3 && planned.out.contains(&format!("{copied} files, ")), "{}", planned.out);
    assert_eq!(planned.out.matches("goes; the card holds").count(), copied, "{}", planned.out);
    assert_eq!(archive(&bench), twice, "a dry run does nothing");

    let undone = bench.run("undo ARCHIVE");
    assert_eq!(undone.status, 0, "{}", undone.talk);
    assert!(undone.out.starts_with("Taken back: the filing of 20"), "{}", undone.out);
    assert_eq!(archive(&bench), once);
    assert_eq!(tree(&bench.card()), card);
    let kept = tree(&bench.home()).into_iter().find(|(path, _)| path.ends_with("session.ron")).unwrap().1;
    let kept = record::session_from_text(&String::from_utf8(kept).unwrap()).unwrap();
    let pictures = once.keys().filter(|path| !path.contains(".xmp")).count();
    assert_eq!(kept.filed.len(), pictures - 3, "the session kept knows it");

    let again = bench.run("undo ARCHIVE");
    assert_eq!(again.status, 2);
    assert!(again.talk.contains("There is nothing to take back"), "{}", again.talk);
    bench.run("file CARD --into ARCHIVE");
    let files = |tree: &BTreeMap<String, Vec<u8>>| {
        let own = |p: &str| {
            p.ends_with("session.ron") || p.ends_with("receipt.txt") || p.starts_with("endleaf-before")
        };
        tree.iter().filter(|(p, _)| !own(p)).map(|(p, b)| (p.clone(), b.clone())).collect::<Vec<_>>()
    };
    assert_eq!(files(&archive(&bench)), files(&twice));
}

#[test]
fn what_only_the_archive_holds_is_not_taken_away() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    bench.run("file CARD --into ARCHIVE");
    let filed = archive(&bench);
    let first = tree(&bench.card()).into_keys().next().unwrap();
    fs::remove_file(bench.card().join(&first)).unwrap();
    for words in ["undo ARCHIVE", "undo ARCHIVE --dry-run"] {
        let refused = bench.run(words);
        assert_eq!(refused.status, 2);
        let reason = format!("the card does not hold {first} any more");
        assert!(refused.talk.contains(&reason) && refused.talk.contains("--card"), "{}", refused.talk);
        assert_eq!(archive(&bench), filed);
    }
    // The card is elsewhere now, and whole.
    let moved = bench.archive().with_file_name("moved");
    for path in tree(&bench.card()).into_keys().chain([first]) {
        let to = moved.join(&path);
        fs::create_dir_all(to.parent().unwrap()).unwrap();
        fs::write(to, demo_bytes(&path)).unwrap();
    }
    let undone = bench.run(&format!("undo ARCHIVE --card {}", moved.display()));
    assert_eq!(undone.status, 0, "{}", undone.talk);
    assert!(archive(&bench).is_empty());
}

#[test]
fn an_archive_without_a_filing_says_so() {
    let bench = Bench::new(PROGRAM);
    let nothing = bench.run("undo ARCHIVE");
    assert_eq!(nothing.status, 2);
    assert!(nothing.talk.contains("There is nothing to take back"), "{}", nothing.talk);
    assert!(!bench.archive().exists());
}

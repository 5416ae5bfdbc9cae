//! A session that another has: what the command line does then.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::path::PathBuf;

use endleaf_tests::{Bench, tree};
use filing::claim::{Claim, Claimed};
use filing::store::Store;

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// The one session kept on a bench, claimed, and its file.
fn claim(bench: &Bench) -> (Claim, PathBuf) {
    let path = tree(&bench.home()).into_keys().find(|path| path.ends_with("session.ron")).unwrap();
    let store = Store::open(&bench.home()).unwrap();
    let key = store.key_named(path.rsplit('/').nth(1).unwrap()).unwrap();
    let Claimed::Mine(claim) = store.claim(&key) else { panic!("nobody has it") };
    (claim, bench.home().join(path))
}

#[test]
fn what_another_has_is_not_filed_nor_told_nor_kept() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    assert_eq!(bench.run("file CARD --into ARCHIVE --dry-run").status, 0);
    assert!(tree(&bench.home()).is_empty(), "a plan leaves nothing behind");
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    let (claim, session) = claim(&bench);
    let kept = std::fs::read(&session).unwrap();
    let archive = tree(&bench.archive());
    bench.put_demo(|f| f["set"] == 2);

    let filed = bench.run("file CARD --into ARCHIVE");
    assert_eq!(filed.status, 2);
    assert!(filed.talk.contains("is open in a window of Endleaf"), "{}", filed.talk);
    assert!(tree(&bench.archive()) == archive, "nothing was filed");
    assert_eq!(bench.run("file CARD --into ARCHIVE --dry-run").status, 0, "a plan changes nothing");

    let watched = bench.run("watch CARD --once-settled 1");
    assert_eq!(watched.status, 0, "{}", watched.talk);
    assert!(watched.talk.contains("nothing is kept"), "{}", watched.talk);

    let undone = bench.run("undo ARCHIVE");
    assert_eq!(undone.status, 0, "{}", undone.talk);
    assert!(undone.talk.contains("so it was not told"), "{}", undone.talk);
    assert!(std::fs::read(&session).unwrap() == kept, "the session is as it was");

    drop(claim);
    let filed = bench.run("file CARD --into ARCHIVE");
    assert_eq!(filed.status, 0, "{}", filed.talk);
    assert!(std::fs::read(&session).unwrap() != kept);
}

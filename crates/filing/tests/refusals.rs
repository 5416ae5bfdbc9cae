//! What filing refuses before anything is done.

#![allow(clippy::unwrap_used, reason = "only tests use this")]

mod common;

use std::fs;
use std::path::PathBuf;

use common::{Day, day, tree};
use filing::{FaultKind, FilingFault};

/// Checks that filing is refused with words that hold all of these, and that nothing was done.
fn refused(mut day: Day, words: &[&str]) {
    let (before, session) = (tree(day.dir.path()), day.session.clone());
    let fault = day.file().expect_err("a refusal");
    assert_eq!(fault.kind(), FaultKind::Refusal, "{fault}");
    assert!(words.iter().all(|w| fault.to_string().contains(w)), "{fault}");
    assert!(tree(day.dir.path()) == before && day.session == session, "nothing was done");
}

#[test]
fn an_archive_on_the_card_is_refused() {
    let words = ["inside one another", "Nothing was done"];
    let on_card = |place: &dyn Fn(&Day) -> PathBuf| {
        let mut day = day("f_");
        day.archive = place(&day);
        refused(day, &words);
    };
    on_card(&|day| day.card.clone());
    on_card(&|day| day.card.join("DCIM/archive"));
    on_card(&|day| day.card.join("new/and/newer"));
    on_card(&|day| day.archive.join("../card/x"));
    on_card(&|day| day.dir.path().join("not/there/../../card/x"));
    #[cfg(unix)]
    on_card(&|day| {
        let link = day.dir.path().join("link");
        std::os::unix::fs::symlink(&day.card, &link).unwrap();
        link.join("archive")
    });
    // The session's own folder may hold the dump that is being filed.
    let mut day = day("f_");
    let inside = day.folder().join("dump");
    fs::create_dir_all(day.folder()).unwrap();
    fs::rename(&day.card, &inside).unwrap();
    fs::write(day.folder().join("session.ron"), record::session_to_text(&day.session)).unwrap();
    day.card = inside;
    refused(day, &words);
}

#[test]
fn a_dump_beside_the_sessions_of_the_archive_is_filed() {
    let mut day = day("f_");
    let dump = day.archive.join("incoming");
    fs::create_dir_all(&day.archive).unwrap();
    fs::rename(&day.card, &dump).unwrap();
    day.card = dump;
    assert_eq!(day.file().unwrap().copied, 2);
}

#[test]
fn an_archive_that_cannot_be_used_is_refused() {
    let mut day_ = day("f_");
    fs::write(&day_.archive, "a file").unwrap();
    refused(day_, &["this is a file", "Choose a folder"]);

    day_ = day("f_");
    fs::write(day_.dir.path().join("file"), "").unwrap();
    day_.archive = day_.dir.path().join("file/archive");
    refused(day_, &["cannot be used: a part of its path is a file", "Choose another folder"]);

    #[cfg(target_os = "linux")]
    {
        // Not even root can make a folder there.
        day_ = day("f_");
        day_.archive = "/proc/archive".into();
        refused(day_, &["cannot be used", "the card was not changed", "/proc/archive"]);
    }
}

#[test]
fn what_cannot_fit_is_refused_with_numbers() {
    let mut day = day("f_");
    day.session.frames[0].files[0].bytes = 4_000_000_000_000_000_000;
    refused(day, &["4000000.0 TB needed", " free. ", "Nothing was done"]);
}

#[test]
fn a_session_without_frames_or_card_is_refused() {
    let mut day_ = day("");
    fs::create_dir_all(&day_.card).unwrap();
    refused(day_, &["There is nothing to file", "“Hay meadow”"]);
    day_ = day("f_");
    fs::remove_dir_all(&day_.card).unwrap();
    refused(day_, &["The card is not there"]);
}

#[test]
fn a_record_that_cannot_be_read_is_not_filed_over() {
    let mut day_ = day("f_");
    day_.file().unwrap();
    let text = day_.folder().join("session.ron");
    let newer = fs::read_to_string(&text).unwrap().replace("schema: 1", "schema: 9");
    fs::write(&text, newer).unwrap();
    refused(day_, &["version 9", "nothing is filed twice", "session.ron"]);

    // A damaged record of another session is only remarked on.
    let mut day_ = day("f_");
    let other = day_.archive.join("2025-07-01_Old");
    fs::create_dir_all(&other).unwrap();
    fs::write(other.join("session.ron"), "(").unwrap();
    let remarks = day_.plan().unwrap().remarks;
    assert!(remarks.len() == 1 && remarks[0].ends_with("2025-07-01_Old/session.ron"), "{remarks:?}");
    assert_eq!(day_.file().unwrap().copied, 2);
}

#[cfg(unix)]
#[test]
fn two_at_once_do_not_get_in_each_others_way() {
    let mut day = day("f_");
    fs::create_dir_all(&day.archive).unwrap();
    let held = fs::File::open(&day.archive).unwrap();
    held.lock().unwrap();
    assert_eq!(day.file().unwrap_err(), FilingFault::Busy { folder: day.archive.clone() });
    drop(held);
    assert_eq!(day.file().unwrap().copied, 2);
}

#[test]
fn a_tampered_session_reads_nothing_off_the_card() {
    let mut day = day("ff_");
    fs::write(day.dir.path().join("secret.jpg"), common::content(1)).unwrap();
    day.session.frames[1].files[0].path = "../secret.jpg".into();
    let Err(FilingFault::SourceTrouble { failed: 1, reason, .. }) = day.file() else { panic!() };
    assert_eq!(reason, "its path leads off the card");
    assert_eq!(day.session.filed.len(), 2);
}

#[test]
fn a_tampered_record_lists_nothing_outside_its_folder() {
    let mut day = day("ff_");
    day.file().unwrap();
    let text = day.folder().join("session.ron");
    let mut tampered = day.session.clone();
    for filed in tampered.filed.values_mut() {
        filed.path = "../../card/DCIM/100ABCDE/ABCD0001.JPG".into();
    }
    tampered.filed.insert("gone.jpg".into(), tampered.filed.values().next().unwrap().clone());
    fs::write(&text, record::session_to_text(&tampered)).unwrap();
    day.session.filed.clear();
    assert_eq!(day.file().unwrap().copied, 0, "what is there is found by its bytes");
    assert!(!fs::read_to_string(day.folder().join("manifest-sha256.txt")).unwrap().contains(".."));
    assert!(!fs::read_to_string(text).unwrap().contains(".."));
}

#[test]
fn two_cards_of_one_day_and_name_planned_at_once_are_not_filed_into_one_folder() {
    let (mut first, mut second) = (day("ff_"), day("f_"));
    second.archive.clone_from(&first.archive);
    for frame in &mut second.session.frames {
        for file in &mut frame.files {
            (file.path, file.bytes) = (file.path.replace("100ABCDE", "200ABCDE"), 15);
            common::write_old(&second.card.join(&file.path), b"of another card");
        }
    }
    let old = second.plan().unwrap();
    first.file().unwrap();
    let before = tree(&first.archive);
    let carry_out = |plan, day: &mut Day| {
        filing::carry_out(plan, &mut day.session, &day.card, &day.archive, &record::Silent)
    };
    let refused = FilingFault::PlanOld { path: first.folder() };
    assert_eq!(carry_out(&old, &mut second).unwrap_err(), refused);
    assert_eq!(tree(&first.archive), before);
    // Planned again each has its folder.
    let receipt = second.file().unwrap();
    assert_eq!((receipt.copied, receipt.folder), (2, first.archive.join("2026-06-14_Hay-meadow_2")));

    // A session known there that another window filed with other words since.
    let old = first.plan().unwrap();
    let text = first.folder().join("session.ron");
    let mut other = first.session.clone();
    other.name = "Other words".into();
    fs::write(&text, record::session_to_text(&other)).unwrap();
    assert_eq!(carry_out(&old, &mut first).unwrap_err(), refused);
    assert_eq!(first.file().unwrap().filed_before, 3);

    // A folder that was free is not any more.
    let mut third = day("f_");
    let old = third.plan().unwrap();
    fs::create_dir_all(third.folder()).unwrap();
    fs::write(third.folder().join("mine.txt"), "mine").unwrap();
    let refused = FilingFault::PlanOld { path: third.folder() };
    assert_eq!(carry_out(&old, &mut third).unwrap_err(), refused);
}

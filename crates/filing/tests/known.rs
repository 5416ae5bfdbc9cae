//! What lies in the archive already is known by its bytes, whatever it is called on the card.

#![allow(clippy::unwrap_used, reason = "only tests use this")]

mod common;

use std::fs;

use common::{Day, StopsAfter, bytes, day, names, tree};
use filing::{FilingFault, carry_out, plan_filing};
use record::{FileRole, FrameFile};

/// The same frames on another card, under other names and times, and as many more.
fn other_card(first: &Day, frames: &str) -> Day {
    let mut other = day(frames);
    other.archive.clone_from(&first.archive);
    other.session.name = "Second card".into();
    let known = first.session.frames.len();
    for (frame, i) in other.session.frames.iter_mut().zip(0u32..) {
        for file in &mut frame.files {
            let old = other.card.join(&file.path);
            file.path = file.path.replace("DCIM/100ABCDE/ABCD", "from a phone/P");
            let new = other.card.join(&file.path);
            fs::create_dir_all(new.parent().unwrap()).unwrap();
            if (i as usize) < known {
                fs::rename(old, new).unwrap();
            } else {
                let content = common::content(900 + i);
                file.bytes = content.len() as u64;
                common::write_old(&new, &content);
                fs::remove_file(old).unwrap();
            }
        }
    }
    other
}

#[test]
fn the_same_pictures_from_another_card_are_filed_once() {
    let mut first = day("wf_f_");
    first.file().unwrap();
    let before = tree(&first.archive);
    let mut other = other_card(&first, "wf_f_ff_");
    let plan = other.plan().unwrap();
    assert_eq!((plan.files_to_copy(), plan.steps.len()), (3, 10));
    let lies: Vec<&str> = plan.steps.iter().filter(|s| s.done_before).map(|s| s.to.as_str()).collect();
    assert_eq!(lies[1], "2026-06-14_Hay-meadow/001/2026-06-14_001_frame_01.nef");
    assert_eq!(lies[6], "2026-06-14_Hay-meadow/blanks/2026-06-14_blank_002.jpg");
    let receipt = other.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (3, 7));
    assert_eq!(receipt.elsewhere, [("2026-06-14_Hay-meadow".to_owned(), 7)].into());
    let after = tree(&other.archive);
    let as_before = |name: &str| after[name] == before[name] || name == "endleaf-journal.txt";
    assert!(before.keys().all(|name| as_before(name)), "the first session is as it was");
    assert_eq!(
        after.len() - before.len(),
        3 + 3 + 3,
        "three files, their sidecars, list, receipt and session"
    );
    assert_eq!(common::listed(&receipt.folder).len(), 3, "only what lies in the folder is listed");

    // The record says where the others lie, so that they are not read again.
    let plan = other.plan().unwrap();
    assert_eq!(plan.files_to_copy(), 0);
    fs::remove_dir_all(&other.card).unwrap();
    assert_eq!(other.plan().unwrap(), plan);
    assert_eq!(other.file().unwrap().copied, 0);
}

#[test]
fn the_same_card_under_other_paths_in_the_same_session_is_filed_once() {
    let mut one = day("wf_");
    one.file().unwrap();
    let before = bytes(&one.archive);
    // Read again as a folder of its own: paths differ, so the frames are new to the session.
    let mut again = other_card(&one, "wf_");
    let frames = again.session.frames.clone();
    assert_eq!(one.session.merge(frames).new, 3);
    common::arrange(&mut one.session);
    for frame in &again.session.frames {
        for file in &frame.files {
            let to = one.card.join(&file.path);
            fs::create_dir_all(to.parent().unwrap()).unwrap();
            fs::rename(again.card.join(&file.path), to).unwrap();
        }
    }
    let receipt = one.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before, receipt.elsewhere.len()), (0, 10, 0));
    // The sets are others by now, so some may be called otherwise; the frames that share a file agree where it lies.
    let pictures = |archive: std::collections::BTreeMap<String, Vec<u8>>| {
        let is_picture = |name: &str| ["jpg", "nef", "wav"].contains(&name.rsplit('.').next().unwrap());
        let all = archive.into_iter().filter(|(name, _)| is_picture(name)).map(|(_, bytes)| bytes);
        all.collect::<std::collections::BTreeSet<_>>()
    };
    assert_eq!(pictures(bytes(&one.archive)), pictures(before));
    assert_eq!(one.session.filed.len(), 10);
    assert!(one.session.filed.values().all(|f| one.folder().join(&f.path).is_file()));
    assert_eq!(one.file().unwrap().moved, 0);
    again.archive = again.dir.path().join("other");
    again.session.filed.clone_from(&one.session.filed);
    assert_eq!(again.plan().unwrap().files_to_copy(), 5, "another archive holds nothing yet");
}

#[test]
fn what_only_looks_the_same_is_filed() {
    let mut first = day("ff_");
    first.file().unwrap();
    let mut other = other_card(&first, "ff_");
    let at = |other: &Day, i: usize| other.card.join(other.session.frames[i].path());
    // The same length and other bytes.
    let mut changed = fs::read(at(&other, 0)).unwrap();
    changed[100] ^= 1;
    common::write_old(&at(&other, 0), &changed);
    // The archive's copy has rotted since, although its list says otherwise.
    let rotten = first.folder().join("001/2026-06-14_001_frame_02.jpg");
    let mut bytes = fs::read(&rotten).unwrap();
    bytes[7] ^= 1;
    fs::write(&rotten, bytes).unwrap();
    let plan = other.plan().unwrap();
    let copied: Vec<bool> = plan.steps.iter().map(|s| !s.done_before).collect();
    assert_eq!(copied, [true, true, false]);
    assert_eq!(other.file().unwrap().copied, 2);
}

#[test]
fn what_travels_with_a_picture_is_known_only_beside_it() {
    let note = |day: &mut Day, i: usize, name: &str, content: &[u8]| {
        let path = format!("{name}.xmp");
        common::write_old(&day.card.join(&path), content);
        let role = FileRole::Sidecar;
        day.session.frames[i].files.push(FrameFile { path, bytes: content.len() as u64, role });
    };
    let mut first = day("ff_");
    // Two sidecars alike, as cameras write them before anything is noted.
    note(&mut first, 0, "a", b"<alike/>");
    note(&mut first, 1, "b", b"<alike/>");
    assert_eq!(first.file().unwrap().copied, 5);
    let mut other = other_card(&first, "ff_f_");
    note(&mut other, 1, "c", b"<alike/>");
    note(&mut other, 3, "d", b"<alike/>");
    let steps = other.plan().unwrap().steps;
    let at = |from: &str| steps.iter().find(|s| s.from == from).unwrap();
    assert!(at("c.xmp").to.ends_with("001/2026-06-14_001_frame_02.original.xmp") && at("c.xmp").done_before);
    assert!(!at("d.xmp").done_before, "its own picture is new");
}

#[test]
fn files_of_no_bytes_are_not_taken_for_one_another() {
    let mut first = day("f_");
    let empty = |day: &mut Day| {
        let path = day.session.frames[0].path().to_owned();
        day.session.frames[0].files[0].bytes = 0;
        common::write_old(&day.card.join(path), b"");
    };
    empty(&mut first);
    first.file().unwrap();
    let mut other = other_card(&first, "f_");
    empty(&mut other);
    assert_eq!(other.plan().unwrap().files_to_copy(), 1);
}

#[test]
fn copies_on_the_card_are_named_and_filed_once() {
    let mut day = day("wf_");
    let copy = |day: &mut Day, i: usize, path: &str| {
        let own = day.session.frames[0].files[i].clone();
        let bytes = fs::read(day.card.join(&own.path)).unwrap();
        common::write_old(&day.card.join(path), &bytes);
        day.session.frames[0].copies.push(FrameFile { path: path.into(), ..own });
    };
    copy(&mut day, 0, "Backup/A.JPG");
    copy(&mut day, 1, "Backup/A.NEF");
    let plan = day.plan().unwrap();
    let copies: Vec<_> = plan.copies.iter().map(|c| (c.path.as_str(), c.of.as_str())).collect();
    assert_eq!(
        copies,
        [("Backup/A.JPG", "DCIM/100ABCDE/ABCD0001.JPG"), ("Backup/A.NEF", "DCIM/100ABCDE/ABCD0001.NEF")]
    );
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.copies), (5, 2));
    assert_eq!(names(&day.folder()).len(), 5 + 3);
}

#[test]
fn a_place_that_went_after_planning_is_copied_after_all() {
    let mut first = day("ff_");
    first.file().unwrap();
    let mut other = other_card(&first, "ff_");
    let plan = other.plan().unwrap();
    assert_eq!(plan.files_to_copy(), 0);
    fs::remove_file(first.folder().join("001/2026-06-14_001_frame_02.jpg")).unwrap();
    let receipt = carry_out(&plan, &mut other.session, &other.card, &other.archive, &record::Silent).unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (1, 2));
    assert_eq!(names(&receipt.folder).len(), 1 + 3);
}

#[test]
fn looking_can_be_stopped() {
    let mut first = day("ff_");
    first.file().unwrap();
    let other = other_card(&first, "ff_");
    let plan = plan_filing(
        &other.session,
        &other.card,
        &other.archive,
        &std::collections::BTreeMap::new(),
        &[],
        &StopsAfter::asked(1),
    );
    assert_eq!(plan.unwrap_err(), FilingFault::PlanStopped);
}

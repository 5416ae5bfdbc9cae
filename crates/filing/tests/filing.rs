//! A whole filing: what lands where, that it is right, and that nothing else changes.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::process::Command;
use std::sync::Mutex;

use common::{StopsAfter, day, names, tree};
use filing::{Altered, plan_filing};
use record::{Edit, FrameId, Label, Left, NameForm, Naming, Progress, SpecimenId, session_from_text};
use sha2::{Digest, Sha256};

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |hex, b| format!("{hex}{b:02x}"))
}

#[test]
fn a_day_is_filed_whole_and_the_card_is_as_before() {
    let mut day = day("wf_far_f");
    day.label(0, "face");
    day.label(1, "side");
    let before = tree(&day.card);
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (10, 0));
    assert_eq!(receipt.folder, day.folder());
    assert_eq!(receipt.copied_bytes, before.values().map(|(b, _)| b.len() as u64).sum::<u64>());
    assert!(tree(&day.card) == before, "bytes and times of the card");
    assert_eq!(
        names(&day.archive),
        [
            "2026-06-14_Hay-meadow/001/2026-06-14_001_face_01.jpg",
            "2026-06-14_Hay-meadow/001/2026-06-14_001_face_01.nef",
            "2026-06-14_Hay-meadow/001/2026-06-14_001_face_01.wav",
            "2026-06-14_Hay-meadow/001/2026-06-14_001_side_01.jpg",
            "2026-06-14_Hay-meadow/002/2026-06-14_002_frame_01.jpg",
            "2026-06-14_Hay-meadow/003/2026-06-14_003_frame_01.jpg",
            "2026-06-14_Hay-meadow/blanks/2026-06-14_blank_001.jpg",
            "2026-06-14_Hay-meadow/blanks/2026-06-14_blank_002.jpg",
            "2026-06-14_Hay-meadow/manifest-sha256.txt",
            "2026-06-14_Hay-meadow/receipt.txt",
            "2026-06-14_Hay-meadow/reference/2026-06-14_reference_001.jpg",
            "2026-06-14_Hay-meadow/session.ron",
            "2026-06-14_Hay-meadow/set-aside/2026-06-14_set-aside_001.jpg",
        ]
    );
}

#[test]
fn every_copy_has_the_bytes_the_time_and_the_hash_of_its_original() {
    let mut day = day("wf_wf_");
    day.file().unwrap();
    let card = tree(&day.card);
    let archive = tree(&day.folder());
    assert_eq!(day.session.filed.len(), card.len());
    for (path, filed) in &day.session.filed {
        assert!(archive[&filed.path] == card[path], "{path}");
        assert_eq!(filed.sha256, sha256(&card[path].0), "{path}");
        assert_eq!(filed.bytes, card[path].0.len() as u64);
    }
    let text = String::from_utf8(archive["session.ron"].0.clone()).unwrap();
    assert!(session_from_text(&text).unwrap() == day.session, "the session lies beside");
}

#[test]
fn hashes_are_those_of_the_standard() {
    // FIPS 180-4; the worked example for SHA-256 of the three bytes "abc" is published by NIST beside it.
    let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    let mut day = day("f");
    fs::write(day.card.join("DCIM/100ABCDE/ABCD0001.JPG"), "abc").unwrap();
    day.session.frames[0].files[0].bytes = 3;
    day.file().unwrap();
    assert_eq!(day.session.filed["DCIM/100ABCDE/ABCD0001.JPG"].sha256, expected);
    assert_eq!(common::listed(&day.folder()), [format!("{expected}  001/2026-06-14_001_frame_01.jpg")]);
}

#[test]
fn sha256sum_agrees_with_the_manifest() {
    let mut day = day("wff_r_wa_");
    day.file().unwrap();
    let check = Command::new("sha256sum")
        .args(["--check", "--strict", "manifest-sha256.txt"])
        .current_dir(day.folder())
        .output();
    let Ok(check) = check else {
        common::skipped("sha256sum is not on this computer");
        return;
    };
    let said = String::from_utf8_lossy(&check.stdout);
    assert!(check.status.success(), "{said}{}", String::from_utf8_lossy(&check.stderr));
    assert_eq!(
        said.lines().filter(|line| line.ends_with(": OK")).count(),
        day.session.filed.len() + 9,
        "nine sidecars"
    );
}

#[test]
fn filing_twice_copies_nothing_and_says_so() {
    let mut day = day("wf_f_");
    day.file().unwrap();
    let (filed, session) = (tree(&day.archive), day.session.clone());
    assert!(day.plan().unwrap().steps.iter().all(|step| step.done_before));
    assert_eq!(day.plan().unwrap().bytes_to_copy(), 0);
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.copied_bytes, receipt.filed_before), (0, 0, 7));
    assert!(tree(&day.archive) == filed && day.session == session);
}

#[test]
fn a_plan_carried_out_again_copies_nothing() {
    let mut day = day("wf_f_");
    let plan = day.plan().unwrap();
    let mut again = || {
        filing::carry_out(&plan, &mut day.session, &day.card, &day.archive, &record::Silent).unwrap().copied
    };
    assert_eq!((again(), again()), (7, 0));
}

#[test]
fn a_card_read_afresh_finds_its_folder_and_wipes_nothing_out() {
    let mut day = day("wf_f_");
    let fresh = day.session.clone();
    day.label(0, "face");
    day.decide(&day.session.write_note(0, "cold, ♀").unwrap());
    day.file().unwrap();
    let noted = fs::read_to_string(day.folder().join("session.ron")).unwrap();
    day.session = fresh;
    day.session.name = "Another name".into();
    let receipt = day.file().unwrap();
    assert_eq!((receipt.folder, receipt.copied, receipt.filed_before), (day.folder(), 0, 7));
    assert_eq!(day.session.filed.len(), 7);
    assert_eq!(fs::read_to_string(day.folder().join("session-before.ron")).unwrap(), noted);
}

#[test]
fn new_frames_of_a_card_join_what_is_filed() {
    let mut day = day("wf_f_f_");
    let all = day.session.clone();
    day.session.frames.truncate(3);
    common::arrange(&mut day.session);
    assert_eq!(day.file().unwrap().copied, 5);
    day.session.merge(all.frames);
    common::arrange(&mut day.session);
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (4, 5));
    assert_eq!(day.session.filed["DCIM/100ABCDE/ABCD0006.JPG"].path, "003/2026-06-14_003_frame_01.jpg");
}

#[test]
fn relabelling_after_filing_files_nothing_twice() {
    let mut day = day("wf_");
    day.file().unwrap();
    day.label(0, "face");
    day.label(1, "face");
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before, receipt.moved), (0, 5, 4));
    let stem = "2026-06-14_001_face_0";
    assert_eq!(
        names(&day.folder().join("001")),
        ["1.jpg", "1.nef", "1.wav", "2.jpg"].map(|end| format!("{stem}{end}"))
    );
    assert_eq!(day.plan().unwrap().steps[0].to, "001/2026-06-14_001_face_01.jpg");
    assert!(!day.folder().join("session-before.ron").exists(), "this session comes from that one");
}

#[test]
fn numbers_are_fixed_by_filing() {
    let mut day = day("f_f_f_");
    day.file().unwrap();
    let numbers: Vec<_> = day.session.specimens.iter().map(|s| s.number).collect();
    assert_eq!(numbers, [Some(1), Some(2), Some(3)]);
    // The first specimen turns out to be nothing; the others keep their numbers.
    day.decide(&Edit::Kind(FrameId(0), Some(record::FrameKind::SetAside)));
    assert_eq!(day.session.sets.iter().map(|s| s.number).collect::<Vec<_>>(), [2, 3]);
    assert_eq!(day.file().unwrap().copied, 0);
}

#[test]
fn only_confirmed_views_stand_in_names_unless_proposals_are_taken() {
    let mut day = day("fff_");
    day.label(0, "face");
    let specimen = SpecimenId(0);
    let label = Label { view: "../x".into(), specimen };
    day.decide(&Edit::Label(FrameId(1), Some(label)));
    let to = |plan: filing::FilingPlan| plan.steps.into_iter().map(|s| s.to).collect::<Vec<_>>();
    assert_eq!(
        to(day.plan().unwrap())[..3],
        [
            "001/2026-06-14_001_face_01.jpg",
            "001/2026-06-14_001_frame_01.jpg",
            "001/2026-06-14_001_frame_02.jpg"
        ]
    );
    let proposed = [(0, "side"), (1, "side"), (2, "side")].map(|(f, v)| (FrameId(f), v.into()));
    let proposed = BTreeMap::from(proposed);
    let plan = plan_filing(&day.session, &day.card, &day.archive, &proposed, &[], &record::Silent).unwrap();
    assert_eq!(
        to(plan)[..3],
        [
            "001/2026-06-14_001_face_01.jpg",
            "001/2026-06-14_001_frame_01.jpg",
            "001/2026-06-14_001_side_01.jpg"
        ]
    );
}

#[test]
fn a_view_key_cannot_lead_out_of_the_archive() {
    let mut day = day("f_");
    // A session text may hold a plan that no one checked.
    day.session.plan.views[0].key = "../../x".into();
    day.label(0, "../../x");
    day.file().unwrap();
    assert_eq!(names(&day.folder().join("001")), ["2026-06-14_001_x_01.jpg"]);
    assert_eq!(fs::read_dir(day.dir.path()).unwrap().count(), 2, "card and archive, nothing else");
}

#[test]
fn companions_with_one_ending_are_told_apart() {
    let mut day = day("f_");
    let more = ["DCIM/100ABCDE/ABCD0001.jpg.XMP", "DCIM/100ABCDE/ABCD0001.xmp", "DCIM/100ABCDE/ABCD0001"];
    for (path, number) in more.into_iter().zip(70..) {
        let content = common::content(number);
        common::write_old(&day.card.join(path), &content);
        let role = record::FileRole::Sidecar;
        let file = record::FrameFile { path: path.into(), bytes: content.len() as u64, role };
        day.session.frames[0].files.push(file);
    }
    day.file().unwrap();
    let stem = "2026-06-14_001_frame_01";
    assert_eq!(
        names(&day.folder().join("001")),
        [
            stem.into(),
            format!("{stem}.jpg"),
            format!("{stem}.original-2.xmp"),
            format!("{stem}.original.xmp"),
        ]
    );
    assert_eq!(day.file().unwrap().copied, 0);
}

#[test]
fn the_plan_says_which_names_were_changed_and_why() {
    let mut day = day("wff_");
    let more = "DCIM/100ABCDE/ABCD0001.wav";
    common::write_old(&day.card.join(more), b"said twice");
    let file = record::FrameFile { path: more.into(), bytes: 10, role: record::FileRole::Sound };
    day.session.frames[0].files.push(file);
    let altered = |day: &common::Day| {
        let plan = day.plan().unwrap();
        let steps = plan.steps.iter().filter_map(|s| Some((s.to.clone(), s.altered_now()?)));
        (plan.folder_altered, steps.collect::<Vec<_>>(), plan.files_altered())
    };
    let second = ("001/2026-06-14_001_frame_01-2.wav".to_owned(), Altered::Taken);
    assert_eq!(altered(&day), (Some(Altered::Letters), vec![second.clone()], 1));
    // A file of another stands where the second frame would go: its number is passed over, and that is said.
    day.file_with(&StopsAfter::asked(0)).unwrap_err();
    fs::create_dir_all(day.folder().join("001")).unwrap();
    fs::write(day.folder().join("001/2026-06-14_001_FRAME_02.jpg"), "mine").unwrap();
    let third = ("001/2026-06-14_001_frame_03.jpg".to_owned(), Altered::Occupied);
    assert_eq!(altered(&day), (None, vec![second, third], 2));
    // What is filed has its name, and no reason is given again.
    day.file().unwrap();
    assert_eq!(altered(&day), (None, vec![], 0));
}

#[test]
fn a_companion_found_later_goes_to_its_frame() {
    let mut day = day("ffw_");
    let all = day.session.frames[2].files.clone();
    day.session.frames[2].files.truncate(1);
    day.file().unwrap();
    day.session.frames[2].files = all;
    day.label(2, "face");
    assert_eq!(day.file().unwrap().copied, 2);
    assert!(day.folder().join("001/2026-06-14_001_face_01.nef").exists());
}

#[test]
fn what_was_taken_out_of_the_archive_is_copied_again() {
    let mut day = day("wf_");
    day.file().unwrap();
    let manifest = fs::read(day.folder().join("manifest-sha256.txt")).unwrap();
    let taken_out = day.folder().join("001/2026-06-14_001_frame_01.nef");
    let stale = day.plan().unwrap();
    fs::remove_file(&taken_out).unwrap();
    let plan = day.plan().unwrap();
    assert_eq!(
        plan.steps.iter().filter(|s| !s.done_before).map(|s| s.from.as_str()).collect::<Vec<_>>(),
        ["DCIM/100ABCDE/ABCD0001.NEF"]
    );
    let mut session = day.session.clone();
    for plan in [stale, plan] {
        let receipt =
            filing::carry_out(&plan, &mut session, &day.card, &day.archive, &record::Silent).unwrap();
        assert_eq!((receipt.copied, receipt.filed_before), (1, 4));
        assert_eq!(fs::read(day.folder().join("manifest-sha256.txt")).unwrap(), manifest);
        fs::remove_file(&taken_out).unwrap();
    }
}

#[test]
fn one_card_filed_into_two_archives_is_whole_in_both() {
    let mut day = day("wf_f_");
    day.file().unwrap();
    let first = std::mem::replace(&mut day.archive, day.dir.path().join("backup"));
    day.label(0, "face");
    day.file_with(&StopsAfter::asked(3)).unwrap_err();
    let text = fs::read_to_string(day.folder().join("session.ron")).unwrap();
    let there = session_from_text(&text).unwrap().filed;
    assert!(there.len() < 7 && there.values().all(|f| day.folder().join(&f.path).exists()), "{there:?}");
    assert_eq!(day.file().unwrap().copied + there.len(), 7);
    assert_eq!(names(&day.archive).len(), 10);
    day.archive = first;
    assert_eq!(day.file().unwrap().copied, 0, "the first archive knows what it holds");
}

#[test]
fn progress_is_told_in_bytes_to_the_end() {
    #[derive(Default)]
    struct Kept(Mutex<Vec<(usize, usize)>>);
    impl Progress for Kept {
        fn at(&self, done: usize, of: usize) {
            self.0.lock().unwrap().push((done, of));
        }
        fn stopped(&self) -> bool {
            false
        }
    }
    let mut day = day("wf_");
    let of = day.plan().unwrap().bytes_to_copy() as usize;
    let kept = Kept::default();
    day.file_with(&kept).unwrap();
    let kept = kept.0.into_inner().unwrap();
    assert_eq!(kept.last(), Some(&(of, of)));
    assert!(kept.is_sorted() && kept.iter().all(|(_, all)| *all == of), "{kept:?}");
}

#[test]
fn names_are_made_of_the_fields_chosen() {
    let mut day = day("wf_f_a");
    day.label(0, "face");
    day.decide(&day.session.write_jar(0, "B 7").unwrap());
    day.decide(&day.session.write_jar(1, "b 7").unwrap());
    let form =
        |words: &str| NameForm { name: NameForm::fields_from_words(words).unwrap(), joiner: "-".into() };
    let naming = Naming { folder: form("jar"), file: form("original view") };
    day.decide(&Edit::Naming(Box::new(naming)));
    day.file().unwrap();
    assert_eq!(
        names(&day.folder()),
        [
            "B-7/ABCD0001-face.jpg",
            "B-7/ABCD0001-face.nef",
            "B-7/ABCD0001-face.wav",
            "B-7/ABCD0002-frame.jpg",
            "b-7_2/ABCD0004-frame.jpg",
            "blanks/ABCD0003-blank.jpg",
            "blanks/ABCD0005-blank.jpg",
            "manifest-sha256.txt",
            "receipt.txt",
            "session.ron",
            "set-aside/ABCD0006-set-aside.jpg",
        ]
    );
    assert_eq!(day.file().unwrap().copied, 0);
    // Other names are for what comes later; what is filed keeps its own.
    day.decide(&Edit::Naming(Box::default()));
    assert_eq!(day.file().unwrap().copied, 0);
}

#[test]
fn the_receipt_accounts_for_every_file_of_the_card() {
    let mut day = day("wf_a");
    let copy = day.session.frames[1].files[0].clone();
    common::write_old(&day.card.join("Backup/B.JPG"), &common::content(10));
    day.session.frames[1].copies.push(record::FrameFile { path: "Backup/B.JPG".into(), ..copy });
    let left = [Left { path: "notes\n.txt".into(), reason: "no picture".into(), of_frame: false }];
    let none = BTreeMap::new();
    let plan = plan_filing(&day.session, &day.card, &day.archive, &none, &left, &record::Silent).unwrap();
    let receipt =
        filing::carry_out(&plan, &mut day.session, &day.card, &day.archive, &record::Silent).unwrap();
    let account = receipt.account;
    assert_eq!((account.filed.files, account.set_aside.files, account.copies.files), (6, 1, 1));
    assert_eq!(account.filed.bytes, receipt.copied_bytes);
    assert!(account.is_whole());
    let text = fs::read_to_string(day.folder().join("receipt.txt")).unwrap();
    assert!(text.contains("The card may be wiped once you have looked at what is left"), "{text}");
    // Each file of the card stands in it once: with its hash and place, as a copy, or with its reason.
    for (path, (bytes, _)) in tree(&day.card) {
        let lines: Vec<&str> = text.lines().filter(|line| line.contains(&path)).collect();
        if path.starts_with("Backup") {
            assert_eq!(lines, ["Backup/B.JPG  DCIM/100ABCDE/ABCD0002.JPG"]);
            continue;
        }
        let place = &day.session.filed[&path].path;
        assert!(
            lines.contains(&format!("{}  {place}  {path}", sha256(&bytes)).as_str()),
            "{path}: {lines:?}"
        );
    }
    assert!(text.contains("\nnotes\\n.txt: no picture\n"), "{text}");
    let session = session_from_text(&fs::read_to_string(day.folder().join("session.ron")).unwrap()).unwrap();
    assert_eq!(session.account, day.session.account);
    assert_eq!(session.account.unwrap().filed, account.filed);
}

#[test]
fn a_filing_that_leaves_a_file_does_not_let_the_card_be_wiped() {
    let mut day = day("ff_");
    fs::write(day.card.join("DCIM/100ABCDE/ABCD0002.JPG"), "short").unwrap();
    day.file().unwrap_err();
    let text = fs::read_to_string(day.folder().join("receipt.txt")).unwrap();
    assert!(text.contains("1 file is left. Do not wipe the card."), "{text}");
    assert!(text.contains("DCIM/100ABCDE/ABCD0002.JPG: it had 670 bytes when read and has 5 now"), "{text}");
    assert!(!day.session.account.as_ref().unwrap().is_whole());
    common::write_old(&day.card.join("DCIM/100ABCDE/ABCD0002.JPG"), &common::content(10));
    assert!(day.file().unwrap().account.is_whole());
    assert!(fs::read_to_string(day.folder().join("receipt.txt")).unwrap().contains("The card may be wiped;"));
    // Stopped between files: what was not reached is left.
    let mut stopped = common::day("ff_");
    stopped.file_with(&StopsAfter::asked(4)).unwrap_err();
    let text = fs::read_to_string(stopped.folder().join("receipt.txt")).unwrap();
    assert!(text.contains("Do not wipe the card.") && text.contains(": filing ended before it"), "{text}");
}

#[test]
fn a_receipt_stands_only_while_its_account_is_that_of_the_card() {
    let mut day = day("wf_");
    day.file().unwrap();
    let path = day.folder().join("receipt.txt");
    let receipt = fs::read_to_string(&path).unwrap();
    // What stands as it would be written is left alone.
    let before = tree(&day.archive);
    day.file().unwrap();
    assert_eq!(tree(&day.archive), before);

    // Words of another, or none, are not what the account says.
    fs::write(&path, "The card may be wiped.").unwrap();
    day.file().unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap().lines().count(), receipt.lines().count());
    fs::remove_file(&path).unwrap();
    day.file().unwrap();
    assert!(path.exists());

    // All is filed, and more lies on the card since.
    let left = [Left { path: "new.jpg".into(), reason: "it could not be read".into(), of_frame: true }];
    let plan =
        plan_filing(&day.session, &day.card, &day.archive, &BTreeMap::new(), &left, &record::Silent).unwrap();
    assert!(plan.is_all_filed());
    filing::carry_out(&plan, &mut day.session, &day.card, &day.archive, &record::Silent).unwrap();
    let text = fs::read_to_string(&path).unwrap();
    assert!(text.contains("1 file is left. Do not wipe the card."), "{text}");
}

#[test]
fn a_plan_older_than_the_session_lets_nothing_be_wiped() {
    let mut later = day("wf_w");
    let frames = later.session.frames.clone();
    later.session.frames.truncate(3);
    common::arrange(&mut later.session);
    let old = later.plan().unwrap();
    later.session.frames = frames;
    common::arrange(&mut later.session);
    let receipt =
        filing::carry_out(&old, &mut later.session, &later.card, &later.archive, &record::Silent).unwrap();
    assert_eq!(receipt.account.left.iter().filter(|left| left.of_frame).count(), 3);
    assert!(!receipt.account.is_whole());
    let text = fs::read_to_string(later.folder().join("receipt.txt")).unwrap();
    assert!(text.contains("3 files are left. Do not wipe the card."), "{text}");
    assert!(text.contains("ABCD0004.WAV: it was read after this filing was worked out"), "{text}");
    assert!(later.file().unwrap().account.is_whole());

    // What went away, or was replaced on the card, is not there to be lost.
    let id = later.session.frames[3].id;
    later.session.gone.insert(id);
    assert!(later.file().unwrap().account.is_whole());
}

#[test]
fn what_changed_on_the_card_at_the_same_length_is_filed_too_before_it_may_be_wiped() {
    let mut day = day("wf_");
    day.file().unwrap();
    let (path, before) = (day.card.join("DCIM/100ABCDE/ABCD0001.WAV"), tree(&day.folder()));
    let spoken_over: Vec<u8> = fs::read(&path).unwrap().iter().map(|byte| !byte).collect();
    common::write_old(&path, &spoken_over);
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (1, 4));
    assert!(receipt.account.is_whole());
    let now = tree(&day.folder());
    let place = &day.session.filed["DCIM/100ABCDE/ABCD0001.WAV"].path;
    assert_eq!(now[place].0, spoken_over);
    let first = before.keys().find(|path| path.ends_with("_01.wav")).unwrap();
    assert_eq!(now[first], before[first], "what was filed stays");
    let is_said =
        receipt.remarks.iter().any(|remark| remark.contains("other bytes") && remark.contains(first));
    assert!(is_said, "{:?}", receipt.remarks);
    assert_eq!(day.file().unwrap().copied, 0, "both are known");

    // A card that was emptied says nothing against what was filed.
    fs::remove_file(&path).unwrap();
    assert_eq!(day.file().unwrap().copied, 0);
}

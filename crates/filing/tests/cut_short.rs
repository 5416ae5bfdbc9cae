//! Filing that is stopped, cut or goes wrong: nothing half, nothing lost, nothing overwritten, and the next
//! run ends as an uncut one does.

#![allow(clippy::unwrap_used, reason = "only tests use this")]

mod common;

use std::fs;
use std::path::Path;
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};

use common::{Day, StopsAfter, arrange, bytes, day, names, timeless, tree};
use filing::{FaultKind, FilingFault};
use proptest::prelude::*;

const FRAMES: &str = "wf_fwa_r_f_";

fn uncut() -> Day {
    let mut day = day(FRAMES);
    day.label(0, "face");
    day.file().unwrap();
    day
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    /// Stopped any number of times at any places, between files and within, and gone on with: the same tree.
    #[test]
    fn stopped_and_resumed_equals_uncut(stops in prop::collection::vec(0usize..60, 1..4)) {
        let whole = uncut();
        let mut day = day(FRAMES);
        day.label(0, "face");
        for asked in stops {
            let (before, session) = (bytes(&day.archive), day.session.clone());
            match day.file_with(&StopsAfter::asked(asked)) {
                Ok(_) => break,
                Err(fault) => prop_assert_eq!(fault.kind(), FaultKind::Stopped),
            }
            prop_assert!(day.session.filed.len() >= session.filed.len());
            let after = bytes(&day.archive);
            let kept = before.keys().filter(|n| ![".ron", "manifest", "receipt"].iter().any(|own| n.contains(own)));
            prop_assert!(kept.clone().all(|n| after.get(n) == before.get(n)));
            prop_assert!(!after.keys().any(|n| n.contains(".part")), "{:?}", after.keys());
        }
        day.file().unwrap();
        prop_assert!(bytes(&day.archive) == bytes(&whole.archive));
        prop_assert!(timeless(&day.session) == timeless(&whole.session));
    }

    /// Power lost after any number of files, so that neither session nor manifest knows of them, with a part
    /// left behind: the next run copies only the rest.
    #[test]
    fn what_no_record_knows_of_is_found_by_its_bytes(done in 0usize..15) {
        let whole = uncut();
        let mut day = day(FRAMES);
        day.label(0, "face");
        let fresh = day.session.clone();
        let steps = day.plan().unwrap().steps;
        day.file_with(&StopsAfter::asked(0)).unwrap_err();
        for step in &steps[..done] {
            let target = day.folder().join(&step.to);
            fs::create_dir_all(target.parent().unwrap()).unwrap();
            fs::write(target, fs::read(day.card.join(&step.from)).unwrap()).unwrap();
        }
        if let Some(step) = steps.get(done) {
            let (folder, name) = step.to.split_once('/').unwrap();
            fs::create_dir_all(day.folder().join(folder)).unwrap();
            fs::write(day.folder().join(folder).join(format!(".{name}.part")), "half").unwrap();
            // The name may be reserved already.
            fs::write(day.folder().join(&step.to), "").unwrap();
        }
        day.session = fresh;
        let receipt = day.file().unwrap();
        prop_assert_eq!((receipt.filed_before, receipt.copied), (done, steps.len() - done));
        prop_assert!(bytes(&day.archive) == bytes(&whole.archive));
    }
}

#[test]
fn power_lost_before_the_folder_was_marked_does_not_make_a_second_folder() {
    let mut day = day("f_");
    fs::create_dir_all(day.folder()).unwrap();
    assert_eq!(day.file().unwrap().folder, day.folder());
}

#[test]
fn a_file_of_another_is_never_touched() {
    let mut day = day("ff_");
    day.file_with(&StopsAfter::asked(0)).unwrap_err();
    let folder = day.folder().join("001");
    fs::create_dir_all(&folder).unwrap();
    // One of another size, and one of the same size with other bytes.
    fs::write(folder.join("2026-06-14_001_frame_01.JPG"), "mine").unwrap();
    let size = day.session.frames[0].files[0].bytes as usize;
    fs::write(folder.join("2026-06-14_001_frame_02.jpg"), vec![7; size]).unwrap();
    let before = tree(&folder);
    let receipt = day.file().unwrap();
    assert_eq!(receipt.copied, 3);
    let said = "A file of another has this name and keeps it, so the next one was taken: 001/2026-06-14_001_frame_02.jpg";
    assert_eq!(receipt.remarks, [said]);
    let after = tree(&folder);
    assert!(before.iter().all(|(name, file)| after[name] == *file));
    assert_eq!(
        names(&folder),
        [
            "2026-06-14_001_frame_01.JPG",
            "2026-06-14_001_frame_02.jpg",
            "2026-06-14_001_frame_03.jpg",
            "2026-06-14_001_frame_04.jpg"
        ]
    );
    assert_eq!(day.file().unwrap().copied, 0);
}

#[test]
fn a_file_of_another_does_not_push_aside_what_an_earlier_run_copied() {
    let mut day = day("ff_");
    let same_size = vec![5; day.session.frames[0].files[0].bytes as usize];
    common::write_old(&day.card.join(day.session.frames[1].path()), &same_size);
    day.session.frames[1].files[0].bytes = same_size.len() as u64;
    day.file_with(&StopsAfter::asked(0)).unwrap_err();
    let folder = day.folder().join("001");
    fs::create_dir_all(&folder).unwrap();
    fs::write(folder.join("2026-06-14_001_frame_01.jpg"), vec![7; same_size.len()]).unwrap();
    fs::write(folder.join("2026-06-14_001_frame_02.jpg"), &same_size).unwrap();
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (2, 1));
    assert_eq!(names(&folder).len(), 3);
}

#[test]
fn a_folder_of_another_session_is_left_alone() {
    let mut one = day("f_");
    one.file().unwrap();
    let mut other = day("ff_");
    other.archive.clone_from(&one.archive);
    for frame in &mut other.session.frames {
        frame.files[0].path = frame.files[0].path.replace("100ABCDE", "101ABCDE");
        let content = common::content(500 + frame.id.0);
        common::write_old(&other.card.join(&frame.files[0].path), &content);
        frame.files[0].bytes = content.len() as u64;
    }
    let before = tree(&one.folder());
    let receipt = other.file().unwrap();
    assert_eq!(receipt.folder, one.archive.join("2026-06-14_Hay-meadow_2"));
    assert!(tree(&one.folder()) == before);
}

#[test]
fn a_file_that_vanished_or_changed_does_not_keep_the_others() {
    let mut day = day("fff_");
    let kept = fs::read(day.card.join("DCIM/100ABCDE/ABCD0001.JPG")).unwrap();
    fs::remove_file(day.card.join("DCIM/100ABCDE/ABCD0001.JPG")).unwrap();
    fs::write(day.card.join("DCIM/100ABCDE/ABCD0002.JPG"), "short").unwrap();
    let fault = day.file().unwrap_err();
    assert_eq!(
        fault.to_string(),
        "2 files could not be copied: it is not there. 2 of 4 files are in the archive, checked and recorded. \
         Put the card in again, or read it again if its files have changed, and file again; only what is \
         left is copied. The first of them: DCIM/100ABCDE/ABCD0001.JPG"
    );
    assert_eq!(fault.kind(), FaultKind::Failure);
    assert_eq!(day.session.filed.len(), 2);
    assert!(day.folder().join("manifest-sha256.txt").exists());
    fs::write(day.card.join("DCIM/100ABCDE/ABCD0001.JPG"), kept).unwrap();
    let Err(FilingFault::SourceTrouble { failed: 1, filed: 3, of: 4, reason, from }) = day.file() else {
        panic!()
    };
    assert_eq!(reason, "it had 670 bytes when read and has 5 now");
    assert_eq!(from, "DCIM/100ABCDE/ABCD0002.JPG");
}

#[test]
fn a_card_pulled_out_is_said_and_what_was_filed_stays() {
    struct Pulls<'a>(&'a Path, StopsAfter);
    impl record::Progress for Pulls<'_> {
        fn at(&self, _done: usize, _of: usize) {}
        fn stopped(&self) -> bool {
            if record::Progress::stopped(&self.1) && self.0.exists() {
                fs::remove_dir_all(self.0).unwrap();
            }
            false
        }
    }
    let mut day = day("ffff_");
    let card = day.card.clone();
    let Err(fault @ FilingFault::CardGone { .. }) = day.file_with(&Pulls(&card, StopsAfter::asked(9))) else {
        panic!("the card is gone")
    };
    let filed = day.session.filed.len();
    assert!((1..5).contains(&filed), "{filed}");
    let words = fault.to_string();
    assert!(words.contains(&format!("{filed} of 5 files are in the archive")), "{words}");
    assert_eq!(common::listed(&day.folder()).len(), filed);
    assert_eq!(day.file().unwrap_err(), FilingFault::CardAbsent { path: card });
}

#[test]
fn a_place_on_the_card_used_again_is_not_taken_for_filed() {
    let mut day = day("ff_");
    day.file().unwrap();
    // The same name and size, another exposure.
    let path = "DCIM/100ABCDE/ABCD0002.JPG";
    let size = day.session.frames[1].files[0].bytes as usize;
    fs::write(day.card.join(path), vec![9; size]).unwrap();
    let mut read = day.session.frames.clone();
    read[1].taken = Some("2026-06-14T19:00:00".parse().unwrap());
    assert_eq!(day.session.merge(read).new, 1);
    arrange(&mut day.session);
    assert_eq!(day.file().unwrap().copied, 1);
    let filed = bytes(&day.folder());
    assert!(filed.values().any(|b| *b == vec![9; size]) && filed.values().any(|b| *b == common::content(10)));
    assert_eq!(common::listed(&day.folder()).len(), 4, "the earlier exposure stays in the list");
    assert_eq!(day.file().unwrap().copied, 0);
}

#[test]
fn a_copy_that_reads_back_otherwise_is_taken_away() {
    /// Spoils the part as a failing disk would, between writing and reading back.
    struct Spoils<'a>(&'a Path, AtomicBool);
    impl record::Progress for Spoils<'_> {
        fn at(&self, _done: usize, _of: usize) {}
        fn stopped(&self) -> bool {
            if let Ok(mut bytes) = fs::read(self.0)
                && bytes.len() == 670
                && !self.1.swap(true, Ordering::SeqCst)
            {
                bytes[333] ^= 1;
                fs::write(self.0, bytes).unwrap();
            }
            false
        }
    }
    let mut day = day("f_");
    assert_eq!(day.session.frames[1].files[0].bytes, 670);
    let part = day.folder().join("blanks/.2026-06-14_blank_001.jpg.part");
    let fault = day.file_with(&Spoils(&part, AtomicBool::new(false))).unwrap_err();
    assert_eq!(fault, FilingFault::CopyDiffers { from: "DCIM/100ABCDE/ABCD0002.JPG".into() });
    assert!(names(&day.folder().join("blanks")).is_empty());
    assert_eq!(day.session.filed.len(), 1);
    assert_eq!(day.file().unwrap().copied, 1);
}

#[test]
fn a_file_that_takes_a_name_while_that_is_copied_is_not_replaced() {
    /// Puts a file under a name once the copy is being written beside it.
    struct Takes<'a>(&'a Path, &'a Path);
    impl record::Progress for Takes<'_> {
        fn at(&self, _done: usize, _of: usize) {}
        fn stopped(&self) -> bool {
            if self.0.exists() && !self.1.exists() {
                fs::write(self.1, "mine").unwrap();
            }
            false
        }
    }
    let mut day = day("ff_");
    let folder = day.folder().join("001");
    let (part, name) = (".2026-06-14_001_frame_01.jpg.part", "2026-06-14_001_frame_01.jpg");
    let fault = day.file_with(&Takes(&folder.join(part), &folder.join(name))).unwrap_err();
    let words = fault.to_string();
    assert!(words.contains("another file has taken its name"), "{words}");
    assert_eq!(fs::read(folder.join(name)).unwrap(), b"mine");
    assert!(day.file().unwrap().account.is_whole());
    assert_eq!(fs::read(folder.join(name)).unwrap(), b"mine");
    assert_eq!(common::listed(&day.folder()).len(), 3, "all of the card is filed beside it");
}

#[test]
fn folders_that_differ_only_in_case_are_not_made() {
    let mut day = day("f_");
    let loud = day.archive.join("2026-06-14_HAY-meadow");
    fs::create_dir_all(&loud).unwrap();
    fs::write(loud.join("mine"), "mine").unwrap();
    assert_eq!(day.file().unwrap().folder, day.archive.join("2026-06-14_Hay-meadow_2"));
    assert_eq!(names(&loud), ["mine"]);
}

/// A small disk of its own, when this person may make one.
#[cfg(target_os = "linux")]
struct SmallDisk<'a>(&'a Path);

#[cfg(target_os = "linux")]
impl<'a> SmallDisk<'a> {
    fn at(place: &'a Path, size: &str) -> Option<Self> {
        fs::create_dir_all(place).unwrap();
        let mut mount = Command::new("mount");
        mount.args(["-t", "tmpfs", "-o", &format!("size={size}"), "tmpfs"]).arg(place);
        mount.output().is_ok_and(|o| o.status.success()).then_some(Self(place))
    }
}

#[cfg(target_os = "linux")]
impl Drop for SmallDisk<'_> {
    fn drop(&mut self) {
        Command::new("umount").arg(self.0).status().ok();
    }
}

/// Fills the disk as another program would while filing runs: the check beforehand cannot know of it.
#[cfg(target_os = "linux")]
struct Fills<'a>(&'a Path, StopsAfter);
#[cfg(target_os = "linux")]
impl record::Progress for Fills<'_> {
    fn at(&self, _done: usize, _of: usize) {}
    fn stopped(&self) -> bool {
        if record::Progress::stopped(&self.1) && !self.0.exists() {
            fs::write(self.0, vec![0; 1 << 20]).ok();
        }
        false
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_fills_up_is_said_and_filing_goes_on_later() {
    let mut day = day("ffffff_");
    let archive = day.archive.clone();
    let Some(_disk) = SmallDisk::at(&archive, "128k") else {
        common::skipped("this person may not mount a small disk");
        return;
    };
    let filler = archive.join("filler");
    let fault = day.file_with(&Fills(&filler, StopsAfter::asked(14))).unwrap_err();
    let words = fault.to_string();
    let filed = day.session.filed.len();
    assert!(matches!(fault, FilingFault::DiskFull { .. }), "{words}");
    assert!(
        words.contains("the disk is full (") && words.contains(" still needed, 0 bytes free)"),
        "{words}"
    );
    assert!((1..7).contains(&filed), "{filed}");
    assert!(!names(&archive).iter().any(|n| n.contains(".part")));
    let refused = day.file().unwrap_err();
    assert!(matches!(refused, FilingFault::NoRoom { free_bytes: 0, .. }), "{refused}");
    fs::remove_file(filler).unwrap();
    let receipt = day.file().unwrap();
    assert_eq!((receipt.filed_before, receipt.copied), (filed, 7 - filed));
}

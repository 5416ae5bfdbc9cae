//! Files that are called otherwise since they were filed: moved within the archive, taken back, never lost.

#![allow(clippy::unwrap_used, reason = "only tests use this")]

mod common;

use std::fs;

use common::{bytes, day, names, tree};
use filing::{FilingFault, undo};
use record::{Edit, FrameId, NameField, Silent};

#[test]
fn two_files_change_names_with_each_other() {
    let mut day = day("ff_");
    day.label(0, "face");
    day.label(1, "side");
    day.file().unwrap();
    let before = tree(&day.archive);
    day.label(0, "side");
    day.label(1, "face");
    let plan = day.plan().unwrap();
    let moves: Vec<_> = plan.moves().map(|(from, to)| (from[15..].to_owned(), to[15..].to_owned())).collect();
    let pair = |from: &str, to: &str| (from.to_owned(), to.to_owned());
    assert_eq!(
        moves,
        [
            pair("001_face_01.jpg", "001_side_01.jpg"),
            pair("001_side_01.jpg", "001_face_01.jpg"),
            pair("001_face_01.xmp", "001_side_01.xmp"),
            pair("001_side_01.xmp", "001_face_01.xmp")
        ]
        .map(|(from, to)| (from, to))
    );
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.moved), (0, 2));
    let after = tree(&day.archive);
    let face = "2026-06-14_Hay-meadow/001/2026-06-14_001_face_01.jpg";
    assert_eq!(after[face].0, common::content(10));
    assert_eq!(before[face].1, after[face].1, "its time is kept");
    assert_eq!(day.plan().unwrap().moves().count(), 0);
    assert_eq!(day.file().unwrap().moved, 0);
    assert!(tree(&day.archive) == after, "nothing is done twice");
    let undone = undo(&day.archive, None, &Silent).unwrap();
    assert_eq!(undone.moves.len(), 4);
    let mut back = tree(&day.archive);
    back.retain(|name, _| name != "endleaf-journal.txt");
    assert!(back.iter().all(|(name, file)| before[name] == *file) && back.len() + 1 == before.len());
}

#[test]
fn a_jar_or_another_naming_moves_the_folders_and_empties_none_but_the_old() {
    let mut day = day("wf_f_");
    day.file().unwrap();
    day.decide(&day.session.write_jar(0, "B 7").unwrap());
    let mut naming = day.session.naming.clone();
    naming.folder.name = vec![NameField::Specimen, NameField::Jar];
    day.decide(&Edit::Naming(Box::new(naming)));
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.moved), (0, 4));
    assert!(!day.folder().join("001").exists() && day.folder().join("002").exists());
    assert_eq!(names(&day.folder().join("001_B-7")).len(), 4);
    assert!(day.session.filed.values().all(|f| day.folder().join(&f.path).is_file()));
    let listed = fs::read_to_string(day.folder().join("manifest-sha256.txt")).unwrap();
    assert!(!listed.contains("  001/"), "{listed}");
    assert_eq!(listed.lines().count(), 7 + 5);
}

#[test]
fn what_fits_keeps_its_name_when_others_come() {
    let mut day = day("ffff_");
    day.label(1, "face");
    day.label(2, "face");
    day.file().unwrap();
    day.label(0, "face");
    let receipt = day.file().unwrap();
    assert_eq!(receipt.moved, 1);
    let to = |frame: usize| day.session.filed[day.session.frames[frame].path()].path.clone();
    assert!(to(0).ends_with("face_03.jpg") && to(1).ends_with("face_01.jpg"), "{} {}", to(0), to(1));
}

#[test]
fn a_name_that_another_has_taken_is_left_to_it() {
    let mut day = day("ff_");
    day.file().unwrap();
    let other = day.folder().join("001/2026-06-14_001_face_01.jpg");
    fs::write(&other, "mine").unwrap();
    day.label(0, "face");
    day.file().unwrap();
    assert_eq!(fs::read(&other).unwrap(), b"mine");
    assert!(day.session.filed[day.session.frames[0].path()].path.ends_with("face_02.jpg"));
}

#[test]
fn what_was_moved_and_changed_since_is_not_moved_back() {
    let mut day = day("ff_");
    day.file().unwrap();
    day.label(0, "face");
    day.file().unwrap();
    let now = day.folder().join("001/2026-06-14_001_face_01.jpg");
    fs::write(&now, "drawn upon").unwrap();
    let before = bytes(&day.archive);
    let Err(FilingFault::UndoRefused { reasons, .. }) = undo(&day.archive, None, &Silent) else { panic!() };
    assert!(reasons[0].contains("face_01.jpg was changed since it was filed"), "{reasons:?}");
    assert!(bytes(&day.archive) == before);
}

#[test]
fn what_was_filed_before_is_read_again_before_the_card_may_be_wiped() {
    let mut day = day("ff_");
    day.file().unwrap();
    let first = day.folder().join("001/2026-06-14_001_frame_01.jpg");
    let mut rotten = fs::read(&first).unwrap();
    rotten[3] ^= 1;
    common::write_old(&first, &rotten);
    let receipt = day.file().unwrap();
    assert_eq!((receipt.copied, receipt.filed_before), (1, 2));
    assert!(receipt.remarks[0].contains("frame_01.jpg"), "{:?}", receipt.remarks);
    assert!(receipt.account.is_whole());
    assert_eq!(fs::read(&first).unwrap(), rotten, "left as it is");
    let anew = day.session.filed[day.session.frames[0].path()].path.clone();
    assert_eq!(fs::read(day.folder().join(anew)).unwrap(), common::content(0));
}

#[test]
fn a_sidecar_that_another_changed_is_left_and_goes_with_its_frame() {
    let mut day = day("ff_");
    day.file().unwrap();
    let at = |name: &str| day.archive.join("2026-06-14_Hay-meadow/001").join(name);
    fs::write(at("2026-06-14_001_frame_01.xmp"), "<mine/>").unwrap();
    let (moved, fresh) = (at("2026-06-14_001_face_01.xmp"), at("2026-06-14_001_frame_02.xmp"));
    day.label(0, "face");
    let receipt = day.file().unwrap();
    assert!(receipt.remarks[0].contains("face_01.xmp"), "{:?}", receipt.remarks);
    assert_eq!(fs::read_to_string(moved).unwrap(), "<mine/>");
    assert!(fs::read_to_string(fresh).unwrap().contains("Specimen 001"));
}

#[test]
fn a_sidecar_that_comes_with_a_frame_is_filed_as_it_is_and_merged() {
    let mut day = day("ff_");
    let text = "<r:RDF xmlns:r='http://www.w3.org/1999/02/22-rdf-syntax-ns#'><r:Description \
        xmlns:d='http://purl.org/dc/elements/1.1/' d:source='notebook'/></r:RDF>";
    common::write_old(&day.card.join("DCIM/100ABCDE/ABCD0001.XMP"), text.as_bytes());
    let role = record::FileRole::Sidecar;
    let path = "DCIM/100ABCDE/ABCD0001.XMP".to_owned();
    day.session.frames[0].files.push(record::FrameFile { path, bytes: text.len() as u64, role });
    day.file().unwrap();
    let at =
        |ending: &str| fs::read_to_string(day.folder().join(format!("001/2026-06-14_001_frame_01{ending}")));
    assert_eq!(at(".original.xmp").unwrap(), text);
    assert!(at(".xmp").unwrap().contains(">notebook</dc:source>"), "{:?}", at(".xmp"));
    let listed = fs::read_to_string(day.folder().join("manifest-sha256.txt")).unwrap();
    assert_eq!(listed.matches("frame_01").count(), 3, "{listed}");
    assert_eq!(day.session.frames[0].id, FrameId(0));
}

#[test]
fn a_sidecar_that_comes_with_a_frame_and_cannot_be_read_is_filed_and_said_in_plan_and_receipt() {
    let mut day = day("ff_");
    let paths = ["DCIM/100ABCDE/ABCD0001.XMP", "DCIM/100ABCDE/ABCD0002.XMP"];
    for (path, (bytes, frame)) in paths.iter().zip([(b"<x".to_vec(), 0), (vec![b' '; (4 << 20) + 1], 1)]) {
        common::write_old(&day.card.join(path), &bytes);
        let file = record::FrameFile {
            path: (*path).to_owned(),
            bytes: bytes.len() as u64,
            role: record::FileRole::Sidecar,
        };
        day.session.frames[frame].files.push(file);
    }
    let said = |remarks: &[String]| {
        assert_eq!(remarks.len(), 2, "{remarks:?}");
        assert!(
            remarks[0].contains("it is not well-formed") && remarks[0].ends_with(paths[0]),
            "{remarks:?}"
        );
        assert!(remarks[1].contains("too large") && remarks[1].ends_with(paths[1]), "{remarks:?}");
    };
    said(&day.plan().unwrap().remarks);
    let receipt = day.file().unwrap();
    said(&receipt.remarks);
    assert_eq!(
        (receipt.copied, receipt.sidecars),
        (5, 3),
        "two pictures, two sidecars, a blank; each its own"
    );
    let original = day.folder().join("001/2026-06-14_001_frame_01.original.xmp");
    assert_eq!(fs::read(original).unwrap(), b"<x");
    let again = day.file().unwrap();
    said(&again.remarks);
    assert_eq!((again.copied, again.sidecars), (0, 0));
}

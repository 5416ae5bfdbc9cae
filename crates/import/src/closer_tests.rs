//! The second pass over small cards made here, among them cards whose thumbnails are not those of their pictures.

use std::path::Path;

use record::{BlankVerdict, Frame, Progress, Silent};

use crate::sample::Sample;
use crate::{LookedAt, look_closer, read_card};

/// A card of these frames: whether each shows an animal, and whether its thumbnail does.
fn card(frames: &[(bool, bool)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (i, (subject, in_thumbnail)) in frames.iter().enumerate() {
        let sample = Sample { width: 720, height: 480, ..Sample::at(i as u8, *subject) };
        let thumbnail = Sample { subject: *in_thumbnail, ..sample.clone() }.thumbnail_jpeg();
        let bytes = sample.jpeg_with_thumbnail(&thumbnail);
        std::fs::write(folder.path().join(format!("A{i:03}.jpg")), bytes).unwrap();
    }
    folder
}

fn is_blank(frame: &Frame) -> bool {
    frame.blank.as_ref().is_some_and(BlankVerdict::is_blank)
}

fn looked(root: &Path, progress: &dyn Progress) -> (Vec<Frame>, LookedAt) {
    let mut frames = read_card(root, &Silent).unwrap().frames;
    let all = look_closer(root, &mut frames, |f| !is_blank(f), is_blank, progress);
    (frames, all)
}

#[test]
fn wanted_frames_get_their_looks() {
    let card = card(&[(true, true), (true, true), (false, false), (true, true)]);
    let (frames, all) = looked(card.path(), &Silent);
    assert_eq!(all, LookedAt { looked: 3, ..LookedAt::default() });
    assert_eq!(frames.iter().map(|f| f.looks.is_some()).collect::<Vec<_>>(), [true, true, false, true]);
    let looks = frames[0].looks.clone().unwrap();
    assert_eq!(looks.descriptor.len(), imaging::descriptor::ENTRIES);
    assert!(!looks.without_blank);
    // A disc of 0.15 of the width: π·0.15²·3/2 of a frame of 3 : 2.
    assert!((looks.quality.subject_share - 0.106).abs() < 0.01, "{:?}", looks.quality);
    assert!(looks.quality.subject_found && !looks.quality.edge_cut && looks.quality.focus > 0.0);
    assert!(frames[0].faults.is_empty(), "{:?}", frames[0].faults);
}

#[test]
fn a_jar_card_is_read_where_there_is_one() {
    let card = card(&[(true, true), (false, false)]);
    let code = qrcodegen::QrCode::encode_text("21", qrcodegen::QrCodeEcc::Medium).unwrap();
    let module = |x: u32, y: u32| code.get_module(x.cast_signed() / 10 - 20, y.cast_signed() / 10 - 10);
    let note = image::GrayImage::from_fn(720, 480, |x, y| image::Luma([if module(x, y) { 30 } else { 220 }]));
    note.save(card.path().join("A002.jpg")).unwrap();
    let (frames, _) = looked(card.path(), &Silent);
    let texts: Vec<Option<&str>> = frames.iter().map(|f| f.jar_card.as_deref()).collect();
    assert_eq!(texts, [None, None, Some("21")]);
}

#[test]
fn without_a_blank_the_border_stands_in() {
    let card = card(&[(true, true), (true, true)]);
    let (frames, all) = looked(card.path(), &Silent);
    assert_eq!((all.looked, all.without_blank), (2, 2));
    assert!(frames[1].looks.as_ref().unwrap().without_blank, "kept with the frame");
    assert!((frames[1].looks.as_ref().unwrap().quality.subject_share - 0.106).abs() < 0.01);
}

#[test]
fn a_thumbnail_of_something_else_is_found_out() {
    // The second frame's thumbnail is that of a blank.
    let card = card(&[(true, true), (true, false), (false, false), (true, true), (false, false)]);
    let mut frames = read_card(card.path(), &Silent).unwrap().frames;
    assert!(is_blank(&frames[1]), "misled by its thumbnail");
    let all = look_closer(card.path(), &mut frames, |_| true, is_blank, &Silent);
    assert_eq!((all.looked, all.other_thumbnail), (5, 1));
    assert!(frames[1].faults[0].contains("thumbnail shows something else"), "{:?}", frames[1].faults);
    crate::judge_blanks(&mut frames, None);
    assert_eq!(frames.iter().map(is_blank).collect::<Vec<_>>(), [false, false, true, false, true]);
}

#[test]
fn thumbnails_that_are_all_the_same_are_not_trusted() {
    let folder = tempfile::tempdir().unwrap();
    let shown = [true, true, false, true, false, true];
    for (i, subject) in shown.into_iter().enumerate() {
        // Pictures of different size, with one thumbnail for all.
        let sample = Sample { width: 720 + 8 * i as u32, height: 480, ..Sample::at(i as u8, subject) };
        let one = Sample { width: 720, ..Sample::at(0, true) }.thumbnail_jpeg();
        std::fs::write(folder.path().join(format!("A{i:03}.jpg")), sample.jpeg_with_thumbnail(&one)).unwrap();
    }
    let frames = read_card(folder.path(), &Silent).unwrap().frames;
    assert_eq!(frames.iter().map(|f| !is_blank(f)).collect::<Vec<_>>(), shown);
}

#[test]
fn a_turned_camera_finds_the_same_subject() {
    let folder = tempfile::tempdir().unwrap();
    for (name, orientation) in [("a.jpg", 1), ("b.jpg", 6)] {
        let sample = Sample { width: 720, height: 480, orientation, ..Sample::at(1, true) };
        std::fs::write(folder.path().join(name), sample.jpeg()).unwrap();
    }
    let (frames, _) = looked(folder.path(), &Silent);
    let share = |i: usize| frames[i].looks.as_ref().unwrap().quality.subject_share;
    assert!((share(0) - share(1)).abs() < 0.005);
}

/// Stops from the start.
struct Stopped;

impl Progress for Stopped {
    fn at(&self, _: usize, _: usize) {}
    fn stopped(&self) -> bool {
        true
    }
}

/// Asks to rest before each frame, and counts how often that was done.
#[derive(Default)]
struct Rests(std::sync::atomic::AtomicUsize);

impl Progress for Rests {
    fn at(&self, _: usize, _: usize) {}
    fn stopped(&self) -> bool {
        false
    }
    fn held_up(&self) -> bool {
        true
    }
    fn wait(&self) {
        self.0.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
    }
}

#[test]
fn it_rests_between_frames_when_asked() {
    let card = card(&[(true, true), (true, true), (false, false)]);
    let rests = Rests::default();
    let (_, all) = looked(card.path(), &rests);
    // Once before the blank, and before each frame looked at.
    assert_eq!((all.looked, rests.0.into_inner()), (2, 3));
}

#[test]
fn what_cannot_be_looked_at_keeps_what_it_had() {
    let card = card(&[(true, true), (false, false)]);
    let (frames, all) = looked(card.path(), &Stopped);
    assert!(all.looked == 0 && all.unseen == 1 && frames[0].looks.is_none());
    let mut frames = read_card(card.path(), &Silent).unwrap().frames;
    std::fs::write(card.path().join("A000.jpg"), b"words").unwrap();
    let all = look_closer(card.path(), &mut frames, |_| true, is_blank, &Silent);
    assert_eq!((all.looked, all.unseen), (1, 1));
    assert_eq!(look_closer(card.path(), &mut [], |_| true, is_blank, &Silent), LookedAt::default());
}

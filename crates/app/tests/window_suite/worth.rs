//! How good the pictures are, on the screen: what is there but not well enough, and why; the best frame of each view.

use crate::desk::Desk;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

const CUT: &str = "cut off by the edge of the frame";

#[test]
fn a_view_that_is_not_well_enough_is_asked_for_again_with_the_reason() {
    let mut desk = Desk::on("fffff_ffcff_");
    desk.key(Key::F6);
    desk.window.get_by_label(&format!("Face of 2: cut, proposed ({CUT})"));
    desk.window.get_by_label("Face of 1: proposed");
    desk.window.get_by_label("Specimen 2: face cut, 5 frames");
    desk.window.get_by_label(&format!("Retake 2: Face again, {CUT}"));
    desk.window.get_by_label("Face again, cut");
    desk.window.get_by_label(CUT);
    desk.window.get_by_label("Day sheet: 2 specimens, 1 incomplete, 1 unchecked");
    // Confirmed, it shows its view and does not cover it.
    desk.ctrl(Key::Enter);
    desk.key(Key::ArrowDown);
    desk.ctrl(Key::Enter);
    desk.window.get_by_label("Face of 1: good");
    desk.window.get_by_label("Specimen 1: complete, 5 frames");
    desk.window.get_by_label(&format!("Face of 2: cut ({CUT})"));
    desk.window.get_by_label("Specimen 2: face cut, 5 frames");
    // The opened specimen says it of the frame as well.
    desk.key(Key::F7);
    desk.window.get_by_label("Frame 9: Face, cut");
    for _ in 0..2 {
        desk.key(Key::ArrowRight);
    }
    desk.window.get_by_label("face, cut");
    desk.window.get_by_label(CUT);
    desk.window.get_by_label(&format!("Short: face again, {CUT}."));
    // At arm's length as well.
    desk.key(Key::F11);
    desk.window.get_by_label("1 retake");
    assert!(desk.says("Face again, cut"));
}

#[test]
fn what_a_closer_look_found_is_remembered_of_the_day() {
    let desk = Desk::on("fffff_ffcff_");
    // The day was not left: a power cut may come any time.
    let kept = std::fs::read_to_string(desk.folder.path().join("home/window.ron")).unwrap();
    assert!(kept.contains("incomplete: 1,") && kept.contains("unchecked: 1,"), "{kept}");
}

#[test]
fn the_measure_proposes_the_best_frame_of_a_view_and_the_choice_of_a_person_stands() {
    let mut desk = Desk::on("cfffff_fffff_");
    desk.key(Key::F7);
    for key in [Key::S, Key::S] {
        desk.key(key);
    }
    desk.key(Key::ArrowLeft);
    desk.window.get_by_label("Side of 1: good");
    desk.window.get_by_label("good, best of 2");
    desk.window.get_by_label("side, good, best of 2");
    desk.key(Key::ArrowLeft);
    desk.window.get_by_label("side, cut, 2 of 2");
    desk.ctrl(Key::G);
    assert_eq!(desk.undo_words(), Some("took frame 1 for the best of its view"));
    desk.window.get_by_label("side, cut, your best of 2");
    desk.key(Key::F6);
    desk.window.get_by_label(&format!("Side of 1: cut ({CUT})"));
    assert!(!desk.says("side cut"), "another frame covers the view");
    // Another choice takes its place; the same again leaves it to the measure.
    desk.key(Key::F7);
    desk.key(Key::ArrowRight);
    desk.ctrl(Key::G);
    desk.window.get_by_label("side, good, your best of 2");
    desk.ctrl(Key::G);
    desk.window.get_by_label("side, good, best of 2");
    for _ in 0..3 {
        desk.ctrl(Key::Z);
    }
    assert!(desk.app().day().is_some_and(|day| day.session.decisions.preferred.is_empty()));
    desk.key(Key::PageDown);
    desk.ctrl(Key::G);
    assert!(!desk.says("your best"), "a view with one frame has no choice");
}

#[test]
fn the_evidence_for_the_frame_in_view_is_shown_on_the_record_and_large() {
    let mut desk = Desk::on("fffff_ffcff_");
    desk.key(Key::F7);
    desk.window.get_by_label("Evidence");
    assert!(desk.says("Taken for specimen: "));
    assert!(desk.says("It is frame 1 of 5 in set 1."));
    desk.key(Key::F12);
    desk.window.get_by_label("Why frame 1 is taken for what it is");
    assert!(desk.says("View: Side "), "the proposal with its probability");
    assert!(desk.says("Quality: good enough."));
    desk.key(Key::Escape);
    desk.key(Key::PageDown);
    for _ in 0..2 {
        desk.key(Key::ArrowRight);
    }
    assert!(desk.says("It is frame 3 of 5 in set 2."));
    // What was decided changes it.
    desk.key(Key::F);
    desk.key(Key::ArrowLeft);
    desk.key(Key::F12);
    assert!(desk.says("View: Face, confirmed by hand.") && desk.says(&format!("Quality: {CUT}.")));
    desk.key(Key::F12);
    desk.key(Key::Backspace);
    desk.key(Key::F12);
    assert!(!desk.says("confirmed by hand"), "worked out anew after a change");
    desk.key(Key::F12);
    // Blanks have theirs on the card step; the arrows go on from frame to frame.
    desk.key(Key::F5);
    desk.key(Key::F12);
    desk.window.get_by_label("Why frame 9 is taken for what it is");
    for _ in 0..3 {
        desk.key(Key::ArrowRight);
    }
    desk.window.get_by_label("Why frame 12 is taken for what it is");
    assert!(desk.says("Taken for blank: "));
    desk.key(Key::F12);
    assert!(!desk.says("is taken for what it is"));
}

#[test]
fn a_frame_looked_at_without_a_blank_says_so() {
    let mut desk = Desk::on("fffff");
    desk.key(Key::F12);
    assert!(desk.says("No usable blank lies near it"));
    desk.window.get_by_label("5 frames have no usable blank near: their own border stood in for one.");
}

#[test]
fn what_was_learned_is_shown_with_the_plans_and_forgotten_after_a_question() {
    let mut desk = Desk::on("fffff_fffff_");
    desk.key(Key::F6);
    desk.ctrl(Key::P);
    assert!(!desk.says("Learned on this computer"));
    desk.key(Key::Escape);
    desk.ctrl(Key::Enter);
    desk.ctrl(Key::P);
    let learned = "Learned on this computer from 1 specimen; frames: Side 1, Top of head 1, Face 1, From above 1, \
                   Abdomen tip 1";
    desk.window.get_by_label(learned);
    desk.key(Key::Escape);
    let forget = Modifiers::COMMAND | Modifiers::SHIFT;
    desk.key_with(forget, Key::Delete);
    desk.window.get_by_label("Forget what the views of bumble bee look like?");
    desk.window.get_by_label(&format!("{learned}."));
    desk.key(Key::Escape);
    let kept = desk.folder.path().join("home/views/bumble-bee.ron");
    let is_kept = || std::fs::read_to_string(&kept).expect("what was learned").contains("\"tip\"");
    assert!(is_kept(), "leaving it changes nothing");
    desk.key_with(forget, Key::Delete);
    desk.key(Key::Enter);
    assert!(!is_kept());
    assert!(desk.says("Forgotten what the views of bumble bee look like."));
    assert_eq!(desk.labels(0), "side head-top face above tip", "labels stand");
}

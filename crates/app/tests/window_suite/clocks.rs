//! The cameras' clocks: told on the card step, corrected in three ways, taken back, asked about.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use crate::desk::{Desk, draw_bodies};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::QueryKind;

/// Two animals by one camera, and a frame of each by another whose clock is an hour fast.
const TWO: &str = "One:f:10:00:00 One:f:10:00:10 Two:f:11:00:20 One:_:10:00:30 \
                   One:f:10:02:00 One:f:10:02:10 Two:f:11:02:20 One:_:10:02:30";

fn two() -> Desk {
    let mut desk = Desk::on_card(|card| draw_bodies(card, TWO));
    assert_eq!(desk.sets(), "2 2 2", "an hour later the other camera stands alone");
    // The last frame of the day is of the other camera.
    for _ in 0..7 {
        desk.key(Key::ArrowRight);
    }
    desk
}

fn corrected(desk: &Desk) -> Vec<f64> {
    desk.app().day().unwrap().session.decisions.clocks.values().copied().collect()
}

#[test]
fn a_correction_is_typed_and_taken_back() {
    let mut desk = two();
    desk.window.get_by_label("Invented Model One, body 00-One-1: 6 frames");
    desk.window.get_by_label("Invented Model Two, body 00-Two-1: 2 frames");
    desk.ctrl(Key::T);
    desk.window.get_by_label("How far off was the clock of Invented Model Two, body 00-Two-1?");
    desk.type_text("an hour");
    desk.key(Key::Enter);
    assert!(desk.says("“an hour” is not hours, minutes and seconds with a sign"));
    assert!(corrected(&desk).is_empty());
    desk.ctrl(Key::A);
    desk.type_text("-1:00:00");
    desk.window.get_by_label("The clock was 1 h fast.");
    let chosen = desk.app().chosen_frame();
    // The next key, before its release is seen, is not lost to the field that is gone.
    for key in [Key::Enter, Key::ArrowLeft] {
        desk.window.key_down(key);
        desk.window.step();
    }
    assert_ne!(desk.app().chosen_frame(), chosen);
    desk.wait();
    desk.key(Key::ArrowRight);
    assert_eq!((desk.sets().as_str(), corrected(&desk)), ("3 3", vec![-3600.0]));
    desk.window.get_by_label("−1:00:00 by hand: it was 1 h fast");
    assert_eq!(desk.undo_words(), Some("clock of Invented Model Two, body 00-Two-1: was 1 h fast"));
    desk.ctrl(Key::Z);
    assert_eq!((desk.sets().as_str(), corrected(&desk)), ("2 2 2", vec![]));
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    desk.ctrl(Key::Delete);
    assert_eq!((desk.sets().as_str(), corrected(&desk)), ("2 2 2", vec![]));
    assert_eq!(desk.undo_words(), Some("cleared the clock of Invented Model Two, body 00-Two-1"));
}

#[test]
fn a_frame_that_shows_the_time_corrects_its_camera() {
    let mut desk = two();
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::T);
    assert!(desk.says("Its camera said 2026-06-14 11:02:20"));
    desk.type_text("half past ten");
    desk.key(Key::Enter);
    assert!(desk.says("Type the time as 10:23:45"));
    desk.ctrl(Key::A);
    desk.type_text("10:02:20");
    desk.window.get_by_label("Its camera’s clock was 1 h fast.");
    desk.key(Key::Enter);
    assert_eq!((desk.sets().as_str(), corrected(&desk)), ("3 3", vec![-3600.0]));
    // The frame says what its time rests on, and how it was corrected.
    desk.key(Key::F7);
    desk.window.get_by_label("2026-06-14 10:02:20");
    desk.window.get_by_label("capture time from the camera");
    desk.window.get_by_label("the camera said 11:02:20; −1:00:00 by hand: it was 1 h fast");
    desk.window.get_by_label("zone not recorded");
}

#[test]
fn two_cameras_are_lined_up_on_one_scene() {
    let mut desk = two();
    desk.key(Key::F5);
    // The second frame of the day and the first of the other camera.
    for _ in 0..7 {
        desk.key(Key::ArrowLeft);
    }
    desk.key(Key::ArrowRight);
    desk.ctrl(Key::L);
    desk.window.get_by_label("Frame 2 marked");
    for _ in 0..5 {
        desk.key(Key::ArrowRight);
    }
    desk.ctrl(Key::L);
    desk.window.get_by_label("Do these frames show the same moment?");
    assert!(desk.says("Then the clock of the second was 1 h 10 s fast"));
    desk.key(Key::Enter);
    assert_eq!((desk.sets().as_str(), corrected(&desk)), ("3 3", vec![-3610.0]));
    assert_eq!(desk.undo_words(), Some("lined up frames 2 and 7"));
    assert!(!desk.says("marked"));
}

#[test]
fn a_frame_of_the_same_camera_only_moves_the_mark() {
    let mut desk = two();
    desk.ctrl(Key::L);
    desk.window.get_by_label("Frame 8 marked");
    desk.key(Key::ArrowLeft);
    desk.ctrl(Key::L);
    desk.window.get_by_label("Frame 7 marked");
    desk.ctrl(Key::L);
    assert!(!desk.says(" marked"), "pressed again it is taken off");
}

#[test]
fn a_clock_ahead_of_the_computer_is_asked_about_once_and_answered_by_key() {
    // The computer stands before the day of these frames.
    let years = 60 * 24 * 366 * 50;
    let mut desk =
        Desk::on_card_at(-years, |card| draw_bodies(card, "One:f:10:00:00 One:f:10:00:09 One:_:10:00:20"));
    let asked = |desk: &Desk| {
        let queries = &desk.app().day().unwrap().grouping.queries;
        queries.iter().filter(|q| q.kind == QueryKind::ClockSuspicious).count()
    };
    assert_eq!(asked(&desk), 1);
    desk.window.get_by_label("Is the clock of Model One 00-One-1 right?");
    let at = desk.app().day().unwrap().grouping.queries.iter();
    let at = at.take_while(|q| q.kind != QueryKind::ClockSuspicious).count();
    for _ in 0..at {
        desk.key(Key::F3);
    }
    desk.key(Key::Y);
    assert_eq!((asked(&desk), corrected(&desk)), (0, vec![0.0]));
    desk.window.get_by_label("left as set, by hand");
}

//! The closer look beside the window: it begins by itself, loses no edit made meanwhile, is stopped and taken up again.

use crate::desk::{Desk, add_frames, draw_card};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;

/// So many animals of five views that a closer look takes several parts.
const ANIMALS: usize = 50;

/// A window that has just read a long day and begins to look closer at it.
fn just_read() -> Desk {
    let mut desk = Desk::empty();
    let card = desk.folder.path().join("heath");
    draw_card(&card, &"fffff_".repeat(ANIMALS));
    desk.type_text(card.to_str().expect("a path of letters"));
    desk.tap(Modifiers::NONE, Key::Enter);
    while desk.app().day().is_none() {
        desk.window.step();
    }
    assert!(desk.app().is_looking(), "it begins by itself");
    desk
}

/// How many frames were looked at, and how many there are.
fn looked(desk: &Desk) -> (usize, usize) {
    let frames = &desk.app().day().expect("a day").session.frames;
    (frames.iter().filter(|f| f.looks.is_some()).count(), frames.len())
}

/// The session as it is kept.
fn kept(desk: &Desk) -> record::Session {
    let sessions = desk.folder.path().join("home/sessions");
    let kept = std::fs::read_dir(sessions).expect("sessions").next().expect("one").expect("one");
    let text = std::fs::read_to_string(kept.path().join("session.ron")).expect("its text");
    record::session_from_text(&text).expect("a session")
}

#[test]
fn it_begins_by_itself_and_edits_made_meanwhile_stand() {
    let mut desk = just_read();
    // A frame takes in one part at most, and there are seven.
    desk.tap(Modifiers::COMMAND, Key::D);
    assert!(desk.app().is_looking() && looked(&desk).0 < looked(&desk).1, "{:?}", looked(&desk));
    desk.press(Modifiers::NONE, Key::F7);
    desk.press(Modifiers::NONE, Key::PageDown);
    desk.press(Modifiers::NONE, Key::F);
    desk.press(Modifiers::NONE, Key::F2);
    desk.window.step();
    desk.window.event(egui::Event::Text("22".to_owned()));
    desk.window.step();
    let chosen = (desk.app().chosen_set(), desk.app().chosen_frame(), desk.app().screen());
    desk.wait();
    assert_eq!((desk.app().chosen_set(), desk.app().chosen_frame(), desk.app().screen()), chosen);
    desk.key(Key::Enter);
    assert_eq!(&desk.sets()[..3], "4 5", "the frame set aside while it looked");
    assert_eq!(desk.labels(1), "face - - - -");
    let session = &desk.app().day().expect("a day").session;
    assert_eq!(session.jar_of(&session.sets[1]), "22", "what was being typed went on");
    // The frame set aside in time was not looked at, or was seen already.
    let (seen, of) = looked(&desk);
    assert!(seen + 1 >= of, "{seen} of {of}");
    for _ in 0..3 {
        desk.ctrl(Key::Z);
    }
    assert_eq!((&desk.sets()[..3], desk.labels(1).as_str()), ("5 5", "- - - - -"));
    assert!(looked(&desk).0 >= seen, "what was seen is no edit");
}

#[test]
fn it_is_stopped_and_taken_up_again_by_one_key() {
    let mut desk = just_read();
    desk.tap(Modifiers::COMMAND, Key::E);
    desk.wait();
    let (before, of) = looked(&desk);
    assert!(before < of, "stopped early: {before} of {of}");
    for _ in 0..20 {
        desk.window.step();
    }
    assert!(!desk.app().is_looking(), "it does not begin again by itself");
    // Nor at what comes after it was stopped.
    desk.key(Key::F9);
    add_frames(&desk.folder.path().join("heath"), of + 1, "fffff_");
    desk.wait_for("another set", |desk| looked(desk).1 == of + 6);
    assert_eq!(looked(&desk).0, before);
    desk.key(Key::F9);
    desk.ctrl(Key::E);
    assert_eq!(looked(&desk), (of + 6, of + 6));
    assert!(kept(&desk).frames.iter().all(|f| f.looks.is_some()), "what was seen is kept");
    desk.press(Modifiers::COMMAND, Key::E);
    assert!(!desk.app().is_looking(), "there is nothing left to look at");
}

#[test]
fn while_watching_each_set_is_looked_at_once_it_is_closed() {
    let mut desk = Desk::empty();
    let folder = desk.folder.path().join("tether");
    draw_card(&folder, "fffff_fff");
    desk.type_text(folder.to_str().expect("a path of letters"));
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Enter);
    desk.wait_for("the first set", |desk| desk.app().day().is_some() && looked(desk) == (6, 9));
    assert_eq!(desk.app().screen(), Screen::DaySheet);
    add_frames(&folder, 10, "ff_");
    desk.wait_for("the second set", |desk| looked(desk) == (12, 12));
}

#[test]
fn a_file_that_cannot_be_seen_is_not_tried_without_end() {
    let mut desk = Desk::on_card(|card| {
        draw_card(card, "fffff_fffff_");
        std::fs::write(card.join("DCIM/100INVNT/INV_0003.PNG"), b"no picture").expect("written");
    });
    assert_eq!(looked(&desk), (11, 12));
    desk.ctrl(Key::E);
    assert_eq!(looked(&desk), (11, 12), "tried again by hand, and left");
    desk.window.get_by_label_contains("Card: 12 frames");
}

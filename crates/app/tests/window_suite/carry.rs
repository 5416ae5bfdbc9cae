//! Frames carried by the pointer, and the menu of what can be done where the pointer is.

use crate::desk::Desk;
use egui::accesskit::Role;
use egui::{Key, Modifiers, PointerButton, Pos2};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;

const DAY: &str = "fffff_ffff_fffff_";

fn middle(desk: &Desk, name: &str) -> Pos2 {
    desk.window.get_by_label(name).rect().center()
}

/// Carries from here to what has this name once something is carried.
fn carry(desk: &mut Desk, from: Pos2, to: &str) {
    desk.window.drag_at(from);
    desk.window.step();
    desk.window.event(egui::Event::PointerMoved(from + egui::vec2(30.0, 12.0)));
    desk.window.step();
    desk.window.step();
    let to = desk.window.get_by_label_contains(to).rect().center();
    desk.window.event(egui::Event::PointerMoved(to));
    desk.window.step();
    desk.window.drop_at(to);
    desk.wait();
}

#[test]
fn a_frame_is_carried_to_the_next_specimen_and_back_by_undo() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    let from = middle(&desk, "Frame 5: Abdomen tip");
    carry(&mut desk, from, "To specimen 2");
    assert_eq!(desk.sets(), "4 5 5");
    assert_eq!(desk.undo_words(), Some("moved frame 5 to 2"));
    assert_eq!((desk.app().screen(), desk.app().chosen_set()), (Screen::Specimen, 0), "the page stays");
    desk.ctrl(Key::Z);
    assert_eq!(desk.sets(), "5 4 5");
}

#[test]
fn a_frame_let_go_over_a_view_shows_it() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    let from = middle(&desk, "Frame 3: Face");
    carry(&mut desk, from, "Side of 1:");
    assert_eq!(desk.labels(0), "- - side - -");
    assert_eq!(desk.undo_words(), Some("labelled frame 3 side"));
}

#[test]
fn on_the_day_sheet_a_row_takes_a_frame_and_nothing_else_does() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    let from = middle(&desk, "Side of 1: proposed");
    carry(&mut desk, from, "Specimen 3:");
    assert_eq!(desk.sets(), "4 4 6");
    desk.ctrl(Key::Z);
    // Let go over its own row, or over no row, it stays where it was.
    let from = middle(&desk, "Side of 1: proposed");
    carry(&mut desk, from, "Specimen 1:");
    assert_eq!(desk.app().notice_words(), None, "its own row is no place for it");
    carry(&mut desk, from, "Help");
    assert_eq!((desk.sets().as_str(), desk.undo_words()), ("5 4 5", None));
}

fn press_second_button(desk: &mut Desk, at: Pos2) {
    for pressed in [true, false] {
        let button = PointerButton::Secondary;
        desk.window.event(egui::Event::PointerMoved(at));
        desk.window.event(egui::Event::PointerButton {
            pos: at,
            button,
            pressed,
            modifiers: Modifiers::NONE,
        });
        desk.window.step();
    }
    desk.wait();
}

#[test]
fn the_menu_opens_where_it_is_asked_for_and_runs_what_is_chosen() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    let at = middle(&desk, "Frame 4: From above");
    press_second_button(&mut desk, at);
    desk.window.get_by_role_and_label(Role::Button, "Set aside, or take back").click();
    desk.wait();
    assert_eq!(
        desk.undo_words(),
        Some("set frame 4 aside"),
        "the frame under the pointer, not the one chosen before"
    );
    // The same by keys alone: the fourth of the day sheet's is to confirm, the fifth notes a release.
    desk.key(Key::F6);
    desk.key(Key::End);
    desk.key_with(Modifiers::SHIFT, Key::F10);
    for _ in 0..4 {
        desk.key(Key::ArrowDown);
    }
    desk.key(Key::Enter);
    assert_eq!(desk.app().chosen_set(), 2, "the arrows moved the menu's line, not the sheet's");
    assert!(desk.undo_words().is_some_and(|w| w.contains('3')), "{:?}", desk.undo_words());
}

#[test]
fn the_menu_closes_without_doing_anything() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.key_with(Modifiers::SHIFT, Key::F10);
    assert!(desk.says("Released"));
    desk.key(Key::Escape);
    assert!(desk.window.query_by_label("Open the specimen").is_none());
    desk.key_with(Modifiers::SHIFT, Key::F10);
    let beside = egui::pos2(1270.0, 790.0);
    desk.window.drag_at(beside);
    desk.window.drop_at(beside);
    desk.wait();
    assert!(desk.window.query_by_label("Open the specimen").is_none());
    assert_eq!((desk.app().screen(), desk.undo_words()), (Screen::DaySheet, None));
}

//! What the mouse does beside the keys, and what is said where something cannot be done.

use egui::accesskit::Role;
use egui::{Key, Modifiers, PointerButton};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use endleaf::window::Screen;

use crate::desk::Desk;

/// Four animals; the third is two views short, the fourth one.
const DAY: &str = "fffff_fffff_fff_ffff_";

const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// Clicks beside the pictures of a specimen's row, with these keys held.
fn click_row(desk: &mut Desk, number: usize, held: Modifiers) {
    let name = format!("Specimen {number}");
    let rows = desk.window.query_all_by_role(Role::ListBoxOption);
    let row = rows.map(|row| (row.accesskit_node().label().expect("a name"), row.rect()));
    let (_, place) = row.into_iter().find(|(label, _)| label.starts_with(&name)).expect("the row");
    let pos = place.left_center() + egui::vec2(30.0, 0.0);
    desk.window.event(egui::Event::PointerMoved(pos));
    for pressed in [true, false] {
        let button = PointerButton::Primary;
        desk.window
            .event_modifiers(egui::Event::PointerButton { pos, button, pressed, modifiers: held }, held);
        desk.window.step();
    }
    desk.wait();
}

#[test]
fn shift_and_a_click_choose_all_rows_between_and_ctrl_one_besides() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    click_row(&mut desk, 1, Modifiers::NONE);
    click_row(&mut desk, 3, Modifiers::SHIFT);
    desk.window.get_by_label("3 rows chosen");
    click_row(&mut desk, 4, Modifiers::NONE);
    assert!(!desk.says("rows chosen"), "a plain click chooses one");
    click_row(&mut desk, 2, Modifiers::COMMAND);
    desk.window.get_by_label("2 rows chosen");
}

#[test]
fn a_click_on_the_head_of_a_view_labels_as_its_letter_does() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    desk.window.get_by_label("Label as side").click();
    desk.wait();
    assert_eq!(desk.labels(0).replace(" -", ""), "side");
    desk.window.get_by_label("Label as top of head").click();
    desk.wait();
    assert_eq!(desk.labels(0).replace(" -", ""), "side head-top", "the next frame had followed");
}

#[test]
fn undo_and_redo_say_what_they_do() {
    let mut desk = Desk::on_display(1.0, [1024.0, 700.0], DAY);
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.key(Key::T);
    desk.window.get_by_label("Undo “labelled frame 2 top of head”");
    desk.ctrl(Key::Z);
    desk.window.get_by_label("Undo “labelled frame 1 side”");
    desk.window.get_by_label("Redo “labelled frame 2 top of head”").click();
    desk.wait();
    assert_eq!(desk.labels(0).replace(" -", ""), "side head-top");
}

#[test]
fn a_digit_begins_the_jar_of_a_row() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.key(Key::Home);
    for (digit, text) in [(Key::Num3, "3"), (Key::Num4, "4")] {
        // A keyboard tells of the key and of the letter it writes.
        desk.window.key_press(digit);
        desk.window.event(egui::Event::Text(text.into()));
        desk.window.step();
        desk.wait();
    }
    desk.key(Key::Enter);
    let session = &desk.app().day().expect("a day").session;
    assert_eq!(session.jar_of(&session.sets[0]), "34");
    desk.key(Key::Escape);
    assert_eq!(desk.app().chosen_set(), 1, "Enter went to the next row");
}

#[test]
fn what_cannot_be_done_says_why_but_going_on_at_an_end_is_silent() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk.key(Key::ArrowUp);
    assert_eq!(desk.app().notice_words(), None);
    desk.ctrl(Key::J);
    assert!(desk.app().notice_words().is_some_and(|w| w.ends_with('.')), "{:?}", desk.app().notice_words());
    desk.key(Key::Escape);
    desk.key_with(CTRL_SHIFT, Key::Z);
    assert!(desk.app().notice_words().is_some(), "there is nothing to do again");
}

#[test]
fn rows_sorted_anew_begin_at_the_first() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk.key_with(CTRL_SHIFT, Key::S);
    desk.key_with(CTRL_SHIFT, Key::S);
    assert_eq!(desk.app().chosen_set(), 2, "the one that lacks most");
}

#[test]
fn after_the_plan_is_chosen_the_path_is_typed_on() {
    let mut desk = Desk::empty();
    desk.ctrl(Key::P);
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    desk.wait();
    desk.type_text("/no/card/here");
    desk.key(Key::Enter);
    assert!(desk.says("/no/card/here"), "{:?}", desk.app().notice_words());
    assert_eq!(desk.app().screen(), Screen::Start);
    assert!(desk.app().notice_words().is_some());
}

#[test]
fn letters_that_are_off_are_not_shown_on_the_views() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    let press = "letters label nothing until you turn them on again";
    assert!(!desk.says(press));
    desk.key_with(CTRL_SHIFT, Key::K);
    desk.key(Key::Escape);
    desk.key(Key::F7);
    assert!(desk.app().notice_words().is_none());
    assert!(desk.says("Letters label nothing until you turn them on again"), "the page says so");
}

//! Rows of the day sheet: found, sorted, filtered, chosen several at once; and animals that left.

#![allow(clippy::unwrap_used, reason = "a test that finds nothing ends")]

use std::path::Path;

use egui::accesskit::{Live, Role};
use egui::{Key, Modifiers};
use egui_kittest::kittest::{AccessKitNode, NodeT as _, Queryable as _};
use endleaf::window::{Outside, Screen};
use record::Way;

use crate::desk::Desk;

/// Four animals; the third is two views short, the fourth one.
const DAY: &str = "fffff_fffff_fff_ffff_";

const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

fn sheet() -> Desk {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk
}

/// Places of the rows on the screen, from the top down, as those hear them who do not see the window.
fn rows(desk: &Desk) -> Vec<(u32, usize, usize)> {
    let options = desk.window.query_all_by_role(Role::ListBoxOption);
    let mut rows: Vec<_> = options
        .map(|row| {
            let node = row.accesskit_node();
            let label = node.label().unwrap();
            let number = label.split([' ', ':', ',']).find_map(|w| w.parse().ok()).expect("a number");
            let (place, of) = (node.position_in_set().unwrap(), node.size_of_set().unwrap());
            (number, place, of)
        })
        .collect();
    rows.sort_by_key(|row| row.1);
    rows
}

fn jars(desk: &Desk) -> Vec<&str> {
    let session = &desk.app().day().unwrap().session;
    session.sets.iter().map(|s| session.jar_of(s)).collect()
}

#[test]
fn rows_are_sorted_and_filtered_and_say_their_place() {
    let mut desk = sheet();
    assert_eq!(rows(&desk), [(1, 1, 4), (2, 2, 4), (3, 3, 4), (4, 4, 4)]);
    desk.key_with(CTRL_SHIFT, Key::S);
    desk.key_with(CTRL_SHIFT, Key::S);
    assert!(desk.says("most lacking first"));
    let numbers = |desk: &Desk| rows(desk).iter().map(|r| r.0).collect::<Vec<_>>();
    assert_eq!(numbers(&desk), [3, 4, 1, 2]);
    desk.key(Key::Home);
    desk.key(Key::ArrowDown);
    assert_eq!(desk.app().chosen_set(), 3, "down goes to the row below, not to the next specimen");
    desk.key_with(CTRL_SHIFT, Key::F);
    assert_eq!(rows(&desk), [(3, 1, 2), (4, 2, 2)], "incomplete only");
    desk.key(Key::End);
    assert_eq!(desk.app().chosen_set(), 3);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.key_with(CTRL_SHIFT, Key::S);
    assert_eq!(numbers(&desk), [1, 2, 3, 4]);
}

#[test]
fn a_run_of_jars_fills_down_and_a_jar_is_found() {
    let mut desk = sheet();
    desk.key(Key::ArrowDown);
    desk.key(Key::F2);
    desk.type_text("098-110");
    desk.key(Key::Enter);
    assert_eq!(jars(&desk), ["", "098", "099", "100"]);
    assert_eq!(desk.undo_words(), Some("wrote the jars 098-110"));
    assert!(desk.app().notice_words().unwrap().contains("13 jars"), "{:?}", desk.app().notice_words());
    desk.key(Key::Escape);
    desk.key(Key::Escape);
    let find = |desk: &mut Desk, text: &str| {
        desk.ctrl(Key::F);
        desk.type_text(text);
        desk.key(Key::Enter);
    };
    find(&mut desk, "099");
    assert_eq!(desk.app().chosen_set(), 2);
    find(&mut desk, "1");
    assert_eq!(desk.app().chosen_set(), 0, "a number comes before the beginning of a jar");
    find(&mut desk, "77");
    assert!(desk.says("No specimen has a jar or number like that."));
    desk.key(Key::Escape);
    desk.ctrl(Key::Z);
    assert_eq!(jars(&desk), ["", "", "", ""], "one step back");
}

#[test]
fn several_rows_are_confirmed_noted_and_joined_as_one() {
    let mut desk = sheet();
    for key in [Key::ArrowDown, Key::ArrowDown] {
        desk.key_with(Modifiers::SHIFT, key);
    }
    assert!(desk.says("3 rows chosen"));
    desk.ctrl(Key::Enter);
    assert_eq!(desk.undo_words(), Some("confirmed the views of 1, 2, 3"));
    let confirmed = |desk: &Desk| {
        (0..4).map(|set| desk.labels(set).split(' ').all(|view| view != "-")).collect::<Vec<_>>()
    };
    assert_eq!(confirmed(&desk)[..2], [true, true]);
    desk.key_with(Modifiers::SHIFT, Key::F2);
    desk.type_text("kept cool");
    desk.key(Key::Enter);
    let notes = |desk: &Desk| -> Vec<String> {
        let session = &desk.app().day().unwrap().session;
        session.sets.iter().map(|s| session.record_of(s).map_or("", |r| &r.note).to_owned()).collect()
    };
    assert_eq!(notes(&desk), ["kept cool", "kept cool", "kept cool", ""]);
    desk.ctrl(Key::Z);
    assert_eq!(notes(&desk), ["", "", "", ""]);
    // Esc leaves one row chosen.
    desk.key(Key::Escape);
    assert!(!desk.says("rows chosen"));
    // A row with another between is no neighbour.
    desk.key(Key::Home);
    desk.ctrl(Key::Space);
    desk.key(Key::End);
    desk.ctrl(Key::J);
    assert_eq!(desk.app().notice_words(), Some("Only rows next to each other can be joined."));
    desk.key(Key::Escape);
    desk.ctrl(Key::A);
    desk.ctrl(Key::J);
    assert_eq!(desk.sets(), "17");
    desk.ctrl(Key::Z);
    assert_eq!(desk.sets(), "5 5 3 4");
}

#[test]
fn an_animal_that_left_is_off_the_retake_list_and_stays_incomplete() {
    let mut desk = sheet();
    let numbers = |desk: &Desk| desk.app().held().iter().map(|h| h.retake.number).collect::<Vec<_>>();
    assert_eq!(numbers(&desk), [3, 4]);
    desk.key(Key::End);
    desk.key_with(CTRL_SHIFT, Key::U);
    assert_eq!(numbers(&desk), [3]);
    let left = |desk: &Desk| {
        let session = &desk.app().day().unwrap().session;
        session.left(&session.sets[3])
    };
    assert_eq!(left(&desk).map(|l| l.way), Some(Way::Flew));
    assert!(left(&desk).unwrap().at.is_some(), "with its time");
    assert!(desk.says("flew"), "the row says why it stays as it is");
    assert!(desk.says("2 incomplete"), "it is not called complete");
    // Released instead; the same again takes it back.
    desk.ctrl(Key::U);
    assert_eq!(left(&desk).map(|l| l.way), Some(Way::Released));
    desk.ctrl(Key::U);
    assert_eq!((left(&desk), numbers(&desk)), (None, vec![3, 4]));
    desk.ctrl(Key::Z);
    assert_eq!(left(&desk).map(|l| l.way), Some(Way::Released));
}

#[test]
fn of_an_animal_that_left_only_its_views_are_still_to_be_confirmed() {
    let mut desk = sheet();
    desk.key(Key::End);
    desk.ctrl(Key::U);
    let visited = |desk: &mut Desk| -> Vec<usize> {
        desk.key(Key::Home);
        let step = |desk: &mut Desk| {
            desk.key(Key::F4);
            desk.app().chosen_set()
        };
        (0..4).map(|_| step(desk)).collect()
    };
    assert!(visited(&mut desk).contains(&3), "its views are not confirmed");
    desk.key(Key::End);
    desk.key(Key::F7);
    for letter in [Key::S, Key::T, Key::F, Key::A] {
        desk.key(letter);
    }
    desk.key(Key::F6);
    assert!(!visited(&mut desk).contains(&3), "what it lacks cannot be had any more");
}

#[test]
fn the_retake_list_is_copied_as_text() {
    let mut desk = sheet();
    desk.tap(CTRL_SHIFT, Key::R);
    let copied = desk.window.output().platform_output.commands.iter().find_map(|command| match command {
        egui::OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    });
    let copied = copied.expect("text on the clipboard");
    let lines: Vec<&str> = copied.lines().collect();
    assert_eq!(lines.len(), 2);
    assert!(lines[0].starts_with("3: Two views short"), "{copied}");
    desk.wait();
    assert!(desk.app().notice_words().unwrap().contains("2 animals"));
}

fn keep_page(page: &Path) -> Result<(), String> {
    let copy = page.with_file_name("opened.pdf");
    std::fs::write(copy, std::fs::read(page).map_err(|e| e.to_string())?).map_err(|e| e.to_string())
}

#[test]
fn the_retake_list_is_printed_from_a_page_of_its_own() {
    let mut desk = Desk::on_with(Outside { open: keep_page, ..Outside::default() }, "fffff_ffff_fff_");
    desk.key(Key::F6);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    desk.wait_for("the page", |desk| desk.says("The retake list was opened"));
    let pages = desk.folder.path().join("home/pages");
    let page = std::fs::read(pages.join("opened.pdf")).expect("a page");
    // ISO 32000-1, 7.5.2: the header.
    assert!(page.starts_with(b"%PDF-"));
    assert_eq!(std::fs::read(pages.join("retake-list.pdf")).expect("a page"), page);
    // An animal that was let go is no longer on it.
    desk.key(Key::End);
    desk.ctrl(Key::U);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    desk.wait_for("another page", |_| {
        std::fs::read(pages.join("opened.pdf")).is_ok_and(|now| now.len() < page.len())
    });
}

#[test]
fn a_page_that_cannot_be_opened_is_named() {
    let refuse = |_: &Path| Err("nothing shows pages".to_owned());
    let mut desk = Desk::on_with(Outside { open: refuse, ..Outside::default() }, "fffff_ffff_");
    desk.key(Key::F6);
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::P);
    desk.wait_for("the reason", |desk| desk.says("nothing shows pages"));
    let page = desk.folder.path().join("home/pages/retake-list.pdf");
    assert!(desk.says(&page.display().to_string()) && page.is_file());
}

#[test]
fn in_a_field_ctrl_a_is_the_field_s() {
    let mut desk = sheet();
    desk.key(Key::F2);
    desk.type_text("21");
    desk.ctrl(Key::A);
    desk.type_text("44");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    let session = &desk.app().day().unwrap().session;
    assert_eq!(session.specimens.iter().map(|s| s.jar.as_str()).collect::<Vec<_>>(), ["44"]);
    desk.key(Key::Home);
    desk.ctrl(Key::U);
    let left = desk.app().day().unwrap().session.specimens.iter().filter(|s| s.left.is_some()).count();
    assert_eq!(left, 1, "no row was chosen besides");
}

/// The name of the row that those are at who hear the window, if any.
fn heard(desk: &Desk) -> Option<String> {
    let options = desk.window.query_all_by_role(Role::ListBoxOption);
    options.map(|row| row.accesskit_node()).find(AccessKitNode::is_focused).and_then(|n| n.label())
}

#[test]
fn rows_lie_in_a_list_with_a_name_and_say_which_are_chosen() {
    let mut desk = sheet();
    desk.key_with(Modifiers::SHIFT, Key::ArrowDown);
    let options = desk.window.query_all_by_role(Role::ListBoxOption);
    let rows: Vec<_> = options.map(|row| row.accesskit_node()).collect();
    assert_eq!(rows.len(), 4);
    for row in &rows {
        let list = row.parent().unwrap();
        assert_eq!((list.role(), list.label().as_deref()), (Role::ListBox, Some("Specimens of the day")));
        assert!(list.is_multiselectable());
    }
    let chosen: Vec<_> = rows.iter().map(|row| row.is_selected().unwrap()).collect();
    assert_eq!(chosen, [true, true, false, false]);
    // What a row shows belongs to it.
    let mut slot = desk.window.get_by_label_contains("Face of 3: ").accesskit_node();
    while slot.role() != Role::ListBoxOption {
        slot = slot.parent().unwrap();
    }
    assert!(slot.label().unwrap().starts_with("Specimen 3: "));
}

#[test]
fn the_chosen_row_is_what_those_are_at_who_hear_the_window() {
    let mut desk = sheet();
    assert!(heard(&desk).unwrap().starts_with("Specimen 1: "));
    desk.key(Key::ArrowDown);
    assert!(heard(&desk).unwrap().starts_with("Specimen 2: "));
    // A panel over the sheet hides it, and a field takes its place.
    desk.key(Key::F1);
    assert_eq!(heard(&desk), None);
    desk.key(Key::Escape);
    desk.key(Key::F2);
    assert_eq!(heard(&desk), None);
    desk.type_text("7");
    desk.key(Key::Enter);
    assert_eq!(jars(&desk), ["", "7", "", ""]);
    // The next row's field has the keyboard: the row itself is told beside it.
    let told = |desk: &Desk| -> Vec<String> {
        let told = desk.window.query_all_by_role(Role::Status).map(|n| n.accesskit_node());
        let told = told.filter(|n| n.live() == Live::Polite).filter_map(|n| n.label());
        told.filter(|words| words.starts_with("Specimen ")).collect()
    };
    assert!(told(&desk)[0].starts_with("Specimen 3: "), "{:?}", told(&desk));
    desk.key(Key::Escape);
    assert!(heard(&desk).unwrap().starts_with("Specimen 3: "));
    assert!(told(&desk).is_empty(), "once is enough");
    // While a button has the keyboard arrows go from row to row as ever, and each row is told.
    desk.key(Key::Tab);
    assert_eq!(heard(&desk), None);
    assert!(told(&desk).is_empty(), "nothing was chosen");
    for (key, row) in [(Key::ArrowUp, "Specimen 2, jar 7: "), (Key::ArrowDown, "Specimen 3: ")] {
        desk.key(key);
        assert!(told(&desk)[0].starts_with(row), "{row} {:?}", told(&desk));
    }
    assert_eq!(desk.app().chosen_set(), 2);
}

#[test]
fn a_row_is_chosen_by_those_who_hear_it_and_opened_by_enter() {
    let mut desk = sheet();
    desk.key(Key::Tab);
    desk.window.get_by_role_and_label(Role::ListBoxOption, &row_name(&desk, 4)).focus();
    desk.wait();
    assert_eq!(desk.app().chosen_set(), 3);
    assert!(heard(&desk).unwrap().starts_with("Specimen 4: "));
    desk.key(Key::Enter);
    assert_eq!(desk.app().screen(), Screen::Specimen);
    assert_eq!(heard(&desk), None, "the sheet is not shown");
}

fn row_name(desk: &Desk, number: u32) -> String {
    let options = desk.window.query_all_by_role(Role::ListBoxOption);
    let start = format!("Specimen {number}: ");
    options.filter_map(|row| row.accesskit_node().label()).find(|label| label.starts_with(&start)).unwrap()
}

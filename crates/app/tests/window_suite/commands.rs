//! Every command can be reached by its key alone, and everything that can be acted on has a name.

use crate::desk::Desk;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::{COMMANDS, Screen};

const DAY: &str = "fffff_fffff_ffff_";

fn modifiers(chord: endleaf::window::Chord) -> Modifiers {
    let mut modifiers = Modifiers::NONE;
    if chord.ctrl {
        modifiers |= Modifiers::COMMAND;
    }
    if chord.shift {
        modifiers |= Modifiers::SHIFT;
    }
    modifiers
}

fn screen_key(screen: Screen) -> Option<Key> {
    match screen {
        Screen::Start => None,
        Screen::Card => Some(Key::F5),
        Screen::DaySheet => Some(Key::F6),
        Screen::Specimen => Some(Key::F7),
        Screen::Filing => Some(Key::F8),
    }
}

/// No key of the table breaks the window on a screen it works on, and each screen is left in order.
#[test]
fn every_key_of_the_table_can_be_pressed() {
    // A folder dialog asks the system, which is no part of this.
    let asks_system = ["Choose a folder", "Choose the archive"];
    let mut desk = Desk::on(DAY);
    for screen in [Screen::Card, Screen::DaySheet, Screen::Specimen, Screen::Filing] {
        let first_here = |on: &[Screen]| on.iter().find(|s| **s != Screen::Start) == Some(&screen);
        let here = COMMANDS.iter().filter(|e| first_here(e.on) && !asks_system.contains(&e.words().as_str()));
        for entry in here {
            if desk.app().screen() != screen {
                desk.press(Modifiers::NONE, screen_key(screen).unwrap());
            }
            assert_eq!(desk.app().screen(), screen, "{:?}", desk.app().notice_words());
            desk.press(modifiers(entry.keys[0]), entry.keys[0].key);
            // Closes what it may have opened, leaves the field it may have gone to, and the page of cards.
            desk.press(Modifiers::NONE, Key::Escape);
            if desk.app().screen() == Screen::Start {
                desk.press(Modifiers::NONE, Key::Escape);
            }
            assert!(desk.app().day().is_some(), "{:?}", entry.command);
        }
        desk.wait();
        assert_eq!(desk.window.unnamed_widgets(), Vec::<String>::new(), "{screen:?}");
    }
}

#[test]
fn the_list_of_commands_finds_and_runs() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F10);
    desk.type_text("table of specimens views");
    desk.key(Key::Enter);
    assert_eq!(desk.app().screen(), Screen::DaySheet);
}

#[test]
fn help_shows_the_keys_and_the_letters_of_the_plan() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F1);
    desk.window.get_by_label("Keys");
    desk.window.get_by_label_contains("Lists what can be done here");
    // What lies further down is drawn once there is room for it.
    desk.window.set_size(egui::vec2(1280.0, 4000.0));
    desk.wait();
    let home = desk.folder.path().join("home").display().to_string();
    desk.window.get_by_label_contains(&home);
    let cache = desk.folder.path().join("cache").display().to_string();
    desk.window.get_by_label_contains(&format!("at most 512 MB, which Ctrl Shift E empties: {cache}"));
    desk.window.get_by_label_contains("A ruler, grey card, clock face or jar card");
    for caution in &endleaf::cautions::cautions().handling {
        desk.window.get_by_label(&caution.text);
    }
    desk.key(Key::F1);
    assert!(desk.window.query_by_label("Keys").is_none());
}

#[test]
fn the_retake_list_fills_the_window_and_leads_to_the_animal() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F11);
    desk.window.get_by_label("1 retake");
    desk.window.get_by_label_contains("Retake 3").click();
    desk.wait();
    assert_eq!((desk.app().screen(), desk.app().chosen_set()), (Screen::Specimen, 2));
}

#[test]
fn another_plan_is_taken_and_undone() {
    let mut desk = Desk::on(DAY);
    let first = desk.app().day().unwrap().session.plan.key.clone();
    desk.ctrl(Key::P);
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    assert_ne!(desk.app().day().unwrap().session.plan.key, first);
    desk.ctrl(Key::Z);
    assert_eq!(desk.app().day().unwrap().session.plan.key, first);
}

#[test]
fn text_fields_keep_their_letters_and_their_undo() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.key_with(Modifiers::SHIFT, Key::F2);
    for key in [Key::T, Key::F] {
        desk.key(key);
    }
    desk.ctrl(Key::Z);
    assert_eq!(desk.labels(0).replace(" -", ""), "side", "letters label nothing while a note is typed");
    desk.type_text("cold");
    desk.key(Key::Enter);
    assert_eq!(desk.app().day().unwrap().session.specimens[0].note, "cold");
    assert_eq!(desk.undo_words(), Some("wrote the note of 1"));
}

#[test]
fn a_key_is_changed_from_the_list_refused_where_it_is_taken_and_given_back() {
    let mut desk = Desk::on(DAY);
    let give = |desk: &mut Desk, modifiers, key| {
        desk.key(Key::F10);
        desk.type_text("blank or specimen");
        desk.key(Key::F2);
        // A real window tells of the modifier too, before the key it goes with.
        desk.tap(modifiers, Key::ControlLeft);
        desk.press(modifiers, key);
    };
    give(&mut desk, Modifiers::COMMAND, Key::D);
    desk.window.get_by_label_contains("Ctrl D is the key of “Set aside, or take back”");
    desk.press(Modifiers::COMMAND, Key::Y);
    desk.key(Key::Escape);
    let blanks = |desk: &Desk| desk.app().day().unwrap().session.decisions.kinds.len();
    desk.ctrl(Key::K);
    assert_eq!(blanks(&desk), 0, "the key of the table does nothing any more");
    desk.ctrl(Key::Y);
    assert_eq!(blanks(&desk), 1);
    assert!(std::fs::read_to_string(desk.folder.path().join("home/window.ron")).unwrap().contains("Ctrl+Y"));

    give(&mut desk, Modifiers::NONE, Key::Delete);
    desk.key(Key::Escape);
    desk.ctrl(Key::Y);
    assert_eq!(blanks(&desk), 1, "turned off");

    give(&mut desk, Modifiers::NONE, Key::Backspace);
    desk.key(Key::Escape);
    desk.ctrl(Key::K);
    assert_eq!(desk.undo_words(), Some("took frame 1 for a specimen"));
}

#[test]
fn letters_can_be_turned_off() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    let ctrl_shift = Modifiers::COMMAND | Modifiers::SHIFT;
    desk.press(ctrl_shift, Key::K);
    desk.key(Key::S);
    assert_eq!(desk.labels(0).replace(" -", "").replace('-', ""), "", "{}", desk.labels(0));
    desk.press(ctrl_shift, Key::K);
    desk.key(Key::S);
    assert_eq!(desk.labels(0).replace(" -", ""), "side");
}

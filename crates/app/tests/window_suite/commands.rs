//! Every command can be reached by its key alone, and everything that can be acted on has a name.

use crate::desk::{Desk, draw_bodies};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::{COMMANDS, Command, Screen};

const DAY: &str = "fffff_fffff_ffff_";

pub(crate) fn modifiers(chord: endleaf::window::Chord) -> Modifiers {
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
        Screen::Start | Screen::Exchange => None,
        Screen::Card => Some(Key::F5),
        Screen::DaySheet => Some(Key::F6),
        Screen::Specimen => Some(Key::F7),
        Screen::Filing => Some(Key::F8),
    }
}

/// Goes to a screen of an open day by its key.
pub(crate) fn go(desk: &mut Desk, screen: Screen) {
    // From the page of cards one first goes back to the day, from a field first out of it.
    while screen != Screen::Start && desk.app().screen() == Screen::Start {
        desk.press(Modifiers::NONE, Key::Escape);
    }
    match screen_key(screen) {
        Some(key) => desk.press(Modifiers::NONE, key),
        None if screen == Screen::Exchange => desk.press(Modifiers::COMMAND, Key::F8),
        None => desk.press(Modifiers::COMMAND, Key::O),
    }
    assert_eq!(desk.app().screen(), screen, "{:?}", desk.app().notice_words());
}

/// A folder dialog is the system's.
pub(crate) fn asks_system(command: Command) -> bool {
    use Command::{ChooseArchive, ChooseFolder, ChooseSecond, ChooseTarget};
    matches!(command, ChooseFolder | ChooseArchive | ChooseSecond | ChooseTarget)
}

/// Closes what a command opened and leaves the field it went to.
pub(crate) fn leave(desk: &mut Desk) {
    for _ in 0..4 {
        if desk.app().floats() || desk.app().notice_words().is_some() || desk.window.ctx.text_edit_focused() {
            desk.press(Modifiers::NONE, Key::Escape);
            desk.window.step();
        }
    }
    assert!(!desk.app().floats(), "{:?} is closed by Esc", desk.app().asked());
}

#[test]
fn every_command_is_reached_by_every_key_of_it_on_every_screen_it_works_on() {
    let mut desk = Desk::on(DAY);
    desk.file();
    let mut reached = 0;
    let screens =
        [Screen::Card, Screen::DaySheet, Screen::Specimen, Screen::Filing, Screen::Exchange, Screen::Start];
    for screen in screens {
        let here = COMMANDS.iter().filter(|e| e.on.contains(&screen) && !asks_system(e.command));
        for (entry, chord) in here.flat_map(|e| e.keys.iter().map(move |chord| (e, *chord))) {
            if desk.app().screen() != screen {
                go(&mut desk, screen);
            }
            leave(&mut desk);
            if screen == Screen::Specimen {
                // On the page of characters some keys are its list's.
                desk.press(Modifiers::SHIFT, Key::F5);
            }
            desk.press(modifiers(chord), chord.key);
            assert_eq!(desk.app().asked(), Some(entry.command), "{screen:?} {chord:?}");
            reached += 1;
            // While a card is read only Esc means something.
            desk.wait();
            leave(&mut desk);
            assert!(desk.app().day().is_some(), "{:?}", entry.command);
        }
        go(&mut desk, screen);
        leave(&mut desk);
        desk.wait();
        assert_eq!(desk.window.unnamed_widgets(), Vec::<String>::new(), "{screen:?}");
    }
    assert!(reached > 200, "{reached} keys");
}

/// What is typed where a command asks.
fn answer(command: Command) -> Option<&'static str> {
    Some(match command {
        Command::MoveFrame => "3",
        Command::TakeAsRetake => "1",
        Command::HoldingLimit => "12",
        Command::SetClock => "-1:00:00",
        Command::ClockShown => "10:30:00",
        Command::EditJar | Command::EditNote => "44",
        _ => return None,
    })
}

#[test]
fn what_a_command_changes_is_taken_back_exactly_and_done_again() {
    let day = (0..3).flat_map(|set| {
        let frames = (0..4).map(move |n| format!("One:f:10:{:02}:{:02}", 2 * set, 10 * n));
        frames.chain([format!("One:_:10:{:02}:50", 2 * set)])
    });
    let day = day.collect::<Vec<_>>().join(" ");
    let mut desk = Desk::on_card(|card| draw_bodies(card, &day));
    // The second animal, two frames of it of one view, the second of these chosen.
    desk.key(Key::F7);
    desk.key(Key::PageDown);
    desk.key(Key::S);
    desk.key(Key::S);
    desk.key(Key::ArrowLeft);
    let text = |desk: &Desk| record::session_to_text(&desk.app().day().unwrap().session);
    let (before, frame) = (text(&desk), desk.app().chosen_frame());
    let first_words = desk.undo_words().map(str::to_owned);
    let not_here = [
        Command::ChooseFolder,
        Command::ChooseArchive,
        Command::Undo,
        Command::Redo,
        Command::ForgetViews,
        Command::Watch,
    ];
    let mut changed = Vec::new();
    for entry in COMMANDS.iter().filter(|e| !not_here.contains(&e.command)) {
        let Some(screen) =
            [Screen::Specimen, Screen::Card, Screen::DaySheet].into_iter().find(|s| entry.on.contains(s))
        else {
            continue;
        };
        // Back to the same place, whatever the last command chose.
        go(&mut desk, Screen::DaySheet);
        desk.key(Key::Home);
        desk.key(Key::ArrowDown);
        go(&mut desk, Screen::Specimen);
        desk.key_with(Modifiers::SHIFT, Key::F5);
        for _ in 0..4 {
            if desk.app().chosen_frame() != frame {
                desk.key(Key::ArrowRight);
            }
        }
        assert_eq!(desk.app().chosen_frame(), frame);
        go(&mut desk, screen);
        desk.key_with(modifiers(entry.keys[0]), entry.keys[0].key);
        if let Some(typed) = answer(entry.command) {
            desk.type_text(typed);
            desk.key(Key::Enter);
        }
        leave(&mut desk);
        desk.wait();
        if desk.undo_words().map(str::to_owned) == first_words {
            assert_eq!(text(&desk), before, "{:?} changes nothing without a word", entry.command);
            continue;
        }
        let after = text(&desk);
        desk.ctrl(Key::Z);
        assert_eq!(text(&desk), before, "{:?} is taken back", entry.command);
        desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
        assert_eq!(text(&desk), after, "{:?} is done again", entry.command);
        desk.ctrl(Key::Z);
        changed.push(entry.command);
    }
    let all = [
        Command::LineUp,
        Command::LineDown,
        Command::SetClock,
        Command::ClockShown,
        Command::HoldingLimit,
        Command::Released,
        Command::Flew,
        Command::EditJar,
        Command::EditNote,
        Command::ClearLabel,
        Command::PreferFrame,
        Command::SplitBefore,
        Command::JoinPrevious,
        Command::JoinNext,
        Command::SetAside,
        Command::TakeForBlank,
        Command::TakeForReference,
        Command::MoveFrame,
        Command::TakeAsRetake,
    ];
    let missing: Vec<_> = all.iter().filter(|command| !changed.contains(command)).collect();
    assert!(missing.is_empty(), "{missing:?} changed nothing");
}

/// Does it, takes it back and does it again, and looks whether the session was each time as it was.
fn back_and_forth(desk: &mut Desk, what: &str, does: impl FnOnce(&mut Desk)) {
    let text = |desk: &Desk| record::session_to_text(&desk.app().day().expect("a day").session);
    let before = text(desk);
    does(desk);
    let after = text(desk);
    assert_ne!(after, before, "{what} changes something");
    desk.ctrl(Key::Z);
    assert_eq!(text(desk), before, "{what} is taken back");
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(text(desk), after, "{what} is done again");
}

#[test]
fn what_is_confirmed_answered_or_lined_up_is_taken_back_exactly_too() {
    let mut desk = Desk::on("fffff_fffff_ffffffffff_ffff_");
    back_and_forth(&mut desk, "an answer", |desk| desk.key(Key::N));
    back_and_forth(&mut desk, "a line by hand", |desk| desk.ctrl(Key::ArrowUp));
    back_and_forth(&mut desk, "the day's own line", |desk| desk.ctrl(Key::Home));
    desk.key(Key::F6);
    back_and_forth(&mut desk, "what was proposed", |desk| desk.ctrl(Key::Enter));
    back_and_forth(&mut desk, "a run of jars", |desk| {
        desk.key(Key::F2);
        desk.type_text("21-24");
        desk.key(Key::Enter);
        desk.key(Key::Escape);
    });

    let two = "One:f:10:00:00 One:f:10:00:10 Two:f:11:00:20 One:_:10:00:30";
    let mut desk = Desk::on_card(|card| draw_bodies(card, two));
    desk.ctrl(Key::L);
    for _ in 0..3 {
        desk.key(Key::ArrowRight);
    }
    desk.ctrl(Key::L);
    back_and_forth(&mut desk, "two clocks lined up", |desk| desk.key(Key::Enter));
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

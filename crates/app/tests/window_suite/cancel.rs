//! Everything that floats is closed by Esc, and what was typed or chosen in it until then changes nothing. Forms alone, whose
//! fields are written as one leaves them, keep what was typed: Esc is how one is done there, and it can be taken back.

use egui::{Key, Modifiers};
use endleaf::window::{COMMANDS, Command, Screen};

use crate::commands::{asks_system, go, leave, modifiers};
use crate::desk::{Desk, draw_bodies};

const DAY: &str = "One:f:10:00:00 One:f:10:00:10 One:f:10:00:20 One:_:10:00:30 One:f:10:02:00 One:f:10:02:10 One:_:10:02:20";

#[test]
fn what_floats_is_closed_by_esc_and_nothing_has_changed() {
    let mut desk = Desk::on_card(|card| draw_bodies(card, DAY));
    desk.file();
    go(&mut desk, Screen::Specimen);
    desk.key(Key::S);
    let kept = |desk: &Desk| record::session_to_text(&desk.app().day().expect("a day").session);
    let mut closed = Vec::new();
    for screen in [Screen::Filing, Screen::Specimen, Screen::DaySheet, Screen::Card] {
        for entry in COMMANDS.iter().filter(|e| e.on.contains(&screen) && !asks_system(e.command)) {
            if closed.contains(&entry.command) {
                continue;
            }
            go(&mut desk, screen);
            leave(&mut desk);
            let (before, chord) = (kept(&desk), entry.keys[0]);
            desk.press(modifiers(chord), chord.key);
            desk.wait();
            if !desk.app().floats() {
                // It works at once, and can be taken back as another test holds; or it went to a field.
                leave(&mut desk);
                desk.ctrl(Key::Z);
                continue;
            }
            desk.type_text("7");
            desk.key(Key::ArrowDown);
            desk.type_text("7");
            for _ in 0..3 {
                desk.press(Modifiers::NONE, Key::Escape);
                desk.wait();
            }
            assert!(!desk.app().floats(), "{:?} is closed", entry.command);
            // The day's first field is its date, which that is not.
            if entry.command == Command::FillIn {
                assert!(kept(&desk).contains("(text: \"77\")"), "what was typed is written");
                desk.ctrl(Key::Z);
            }
            assert!(kept(&desk) == before, "{:?} left by Esc has changed something", entry.command);
            closed.push(entry.command);
        }
    }
    assert!(closed.len() > 12, "{closed:?}");
    for asks in [Command::MoveFrame, Command::HoldingLimit, Command::SetClock, Command::TakeBack] {
        assert!(closed.contains(&asks), "{asks:?} in {closed:?}");
    }
}

//! Keys become commands: all that were pressed are matched together against the table, modifiers exactly.

use egui::{Context, Event, Key};

use super::chord::Chord;
use super::command::Command;
use super::key_map::KeyMap;
use super::state::{Overlay, Screen};

/// What was asked for by keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    /// A command.
    Command(Command),
    /// A view of the plan, by its letter.
    View(char),
    /// What the key means to the list or the mark that has the keyboard.
    Here(Chord),
    /// A digit, with which the jar of a row begins.
    Digit(char),
}

/// What keys mean just now.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Keyboard<'a> {
    /// The open screen.
    pub(crate) screen: Screen,
    /// What floats over it.
    pub(crate) overlay: Option<&'a Overlay>,
    /// Whether a text field has the keyboard.
    pub(crate) typing: bool,
    /// Letters of the plan's views, where they label.
    pub(crate) letters: &'a [char],
    /// The keys as the person has them.
    pub(crate) map: &'a KeyMap,
    /// Which keys a list or a mark that has the keyboard takes before they are commands.
    pub(crate) here: Option<fn(Chord) -> bool>,
}

/// What can be done in the large retake list.
const IN_RETAKES: [Command; 4] = [Command::Released, Command::Flew, Command::Undo, Command::Redo];

/// Takes the keys that mean something out of the input, in the order they were pressed.
pub(crate) fn take(ctx: &Context, keyboard: &Keyboard<'_>) -> Vec<Asked> {
    let focused = ctx.memory(|m| m.focused().is_some());
    let mut asked = Vec::new();
    let mut moved = false;
    ctx.input_mut(|input| {
        input.events.retain(|event| {
            if let Event::Text(text) = event
                && let Some(digit) = keyboard.jar_begins(text)
            {
                asked.push(Asked::Digit(digit));
                return false;
            }
            let Event::Key { key, pressed: true, modifiers, repeat, .. } = event else { return true };
            if modifiers.alt {
                return true;
            }
            let chord = Chord { ctrl: modifiers.command, shift: modifiers.shift, key: *key };
            let Some(meant) = keyboard.meaning(chord, focused) else { return true };
            moved |=
                matches!(key, Key::ArrowUp | Key::ArrowDown | Key::ArrowLeft | Key::ArrowRight | Key::Tab);
            // A key that is held down lets no second animal go.
            let leaves = matches!(meant, Asked::Command(Command::Released | Command::Flew))
                && keyboard.overlay.is_some();
            if !(*repeat && leaves) {
                asked.push(meant);
            }
            false
        });
    });
    if moved {
        // The arrow did its work; it should not also carry the focus elsewhere.
        ctx.memory_mut(|m| m.move_focus(egui::FocusDirection::None));
    }
    asked
}

/// Takes a key out of the input; whether it was pressed.
pub(crate) fn was_pressed(ctx: &Context, chord: Chord) -> bool {
    let mut modifiers = egui::Modifiers::NONE;
    (modifiers.command, modifiers.ctrl, modifiers.shift) = (chord.ctrl, chord.ctrl, chord.shift);
    ctx.input_mut(|input| input.consume_key(modifiers, chord.key))
}

impl Keyboard<'_> {
    /// The digit with which the jar of a row begins, where it was typed for that.
    fn jar_begins(&self, typed: &str) -> Option<char> {
        let free = self.screen == Screen::DaySheet && self.overlay.is_none() && !self.typing;
        typed.chars().next().filter(|c| free && c.is_ascii_digit())
    }

    fn meaning(&self, chord: Chord, focused: bool) -> Option<Asked> {
        let command = self.map.matching(self.screen, chord);
        if matches!(self.overlay, Some(Overlay::Commands { changing: true, .. })) {
            // Whatever is pressed becomes the key of a command.
            return None;
        }
        if matches!(self.overlay, Some(Overlay::Retakes(_))) {
            // The large list is worked in, whatever screen lies beneath it.
            if let Some(command) = self.map.among(&IN_RETAKES, chord) {
                return Some(Asked::Command(command));
            }
        }
        if self.overlay.is_some() {
            // A floating panel keeps all keys but those that open and close panels.
            let opens = [
                Command::Help,
                Command::Commands,
                Command::Menu,
                Command::Back,
                Command::RetakeList,
                Command::Evidence,
            ];
            return command.filter(|c| opens.contains(c)).map(Asked::Command);
        }
        if self.typing && (chord.belongs_to_text() || command == Some(Command::Back)) {
            return None;
        }
        if self.here.is_some_and(|takes| takes(chord)) && !self.typing {
            return Some(Asked::Here(chord));
        }
        // Enter presses the button that has the keyboard.
        if focused && !self.typing && chord == (Chord { ctrl: false, shift: false, key: Key::Enter }) {
            return None;
        }
        if let Some(command) = command {
            return Some(Asked::Command(command));
        }
        let letter = |c: &&char| Key::from_name(&c.to_ascii_uppercase().to_string()) == Some(chord.key);
        let labels = self.screen == Screen::Specimen && !chord.ctrl && !chord.shift && !self.map.letters_off;
        self.letters.iter().find(letter).filter(|_| labels).map(|c| Asked::View(*c))
    }
}

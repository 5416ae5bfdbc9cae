//! The keys as the person has them: those of the table, unless changed or turned off.
//!
//! The map that is in force lies in egui's memory, so that whatever draws a keycap finds it. It is kept as text by the
//! settings; it does not know which keys are pressed.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Context, Id, Key};
use serde::{Deserialize, Serialize};

use super::chord::Chord;
use super::command::{COMMANDS, Command, Entry, Group};
use super::state::Screen;
use super::words::tell;

/// What the person changed about the keys.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct KeyMap {
    /// Keys of the person's own, by the command's name; an empty text turns the command's keys off.
    own: BTreeMap<String, String>,
    /// Whether bare letters label nothing (WCAG 2.2, 2.1.4).
    pub(crate) letters_off: bool,
}

impl KeyMap {
    /// The map in force.
    pub(crate) fn of(ctx: &Context) -> Arc<Self> {
        ctx.data(|d| d.get_temp(Id::NULL)).unwrap_or_default()
    }

    /// Puts this map in force.
    pub(crate) fn install(&self, ctx: &Context) {
        ctx.data_mut(|d| d.insert_temp(Id::NULL, Arc::new(self.clone())));
    }

    /// The keys of a command.
    pub(crate) fn keys(&self, entry: &Entry) -> Vec<Chord> {
        match self.own.get(&name(entry.command)) {
            Some(own) => Chord::parse(own).into_iter().collect(),
            None => entry.keys.to_vec(),
        }
    }

    /// The words on the keycap of a command's first key; empty where it has none.
    pub(crate) fn words(&self, command: Command) -> String {
        self.keys(command.entry()).first().map(|c| c.words()).unwrap_or_default()
    }

    /// The command of a key on a screen.
    pub(crate) fn matching(&self, screen: Screen, chord: Chord) -> Option<Command> {
        let here = COMMANDS.iter().filter(|e| e.on.contains(&screen));
        here.into_iter().find(|e| self.keys(e).contains(&chord)).map(|e| e.command)
    }

    /// The one of these commands that has this key, whatever the screen.
    pub(crate) fn among(&self, commands: &[Command], chord: Chord) -> Option<Command> {
        commands.iter().copied().find(|c| self.keys(c.entry()).contains(&chord))
    }

    /// Gives a command a key of the person's own.
    ///
    /// # Errors
    /// Says which command has the key on one of the same screens, or why the key cannot be had.
    pub(crate) fn set(&mut self, command: Command, chord: Chord) -> Result<(), String> {
        let entry = command.entry();
        let letter = !chord.ctrl && chord.key.name().len() == 1 && entry.group != Group::Queries;
        if letter || chord.key == Key::Tab {
            return Err(tell!("keys-letter"));
        }
        self.is_free(entry, chord)?;
        self.own.insert(name(command), chord.text());
        Ok(())
    }

    /// Says which other command has a key on one of the same screens.
    fn is_free(&self, entry: &Entry, chord: Chord) -> Result<(), String> {
        let shares =
            |other: &&Entry| other.command != entry.command && other.on.iter().any(|s| entry.on.contains(s));
        match COMMANDS.iter().filter(shares).find(|e| self.keys(e).contains(&chord)) {
            Some(other) => Err(tell!("keys-taken", key = chord.words(), command = other.words())),
            None => Ok(()),
        }
    }

    /// Turns the keys of a command off.
    pub(crate) fn turn_off(&mut self, command: Command) {
        self.own.insert(name(command), String::new());
    }

    /// Gives a command the keys of the table again.
    ///
    /// # Errors
    /// Says which command has been given one of them meanwhile.
    pub(crate) fn reset(&mut self, command: Command) -> Result<(), String> {
        let entry = command.entry();
        entry.keys.iter().try_for_each(|chord| self.is_free(entry, *chord))?;
        self.own.remove(&name(command));
        Ok(())
    }
}

/// The name of a command in the settings.
fn name(command: Command) -> String {
    format!("{command:?}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ctrl(key: Key) -> Chord {
        Chord { ctrl: true, shift: false, key }
    }

    #[test]
    fn a_key_is_changed_turned_off_and_given_back() {
        let mut map = KeyMap::default();
        assert_eq!(map.words(Command::SetAside), "Ctrl D");
        map.set(Command::SetAside, ctrl(Key::Y)).unwrap();
        assert_eq!(map.words(Command::SetAside), "Ctrl Y");
        assert_eq!(map.matching(Screen::Card, ctrl(Key::Y)), Some(Command::SetAside));
        assert_eq!(map.matching(Screen::Card, ctrl(Key::D)), None);
        map.turn_off(Command::SetAside);
        assert_eq!(map.words(Command::SetAside), "");
        map.reset(Command::SetAside).unwrap();
        assert_eq!(map, KeyMap::default());
    }

    #[test]
    fn a_key_that_is_taken_where_the_command_works_is_refused_by_name() {
        let mut map = KeyMap::default();
        let refused = map.set(Command::SetAside, ctrl(Key::B)).unwrap_err();
        assert!(refused.contains("Split before this frame"), "{refused}");
        // One of several screens that both work on is enough.
        let f2 = Chord { ctrl: false, shift: false, key: Key::F2 };
        assert!(map.set(Command::SetAside, f2).is_err());
        // The key of a command of another screen alone is free.
        let home = Chord { ctrl: false, shift: false, key: Key::Home };
        map.set(Command::SetAside, home).unwrap();
        let bare = Chord { ctrl: false, shift: false, key: Key::X };
        assert!(map.set(Command::SetAside, bare).is_err(), "bare letters belong to the views");
        // What another command was given meanwhile cannot be taken back from it.
        map.set(Command::SplitBefore, ctrl(Key::D)).unwrap();
        assert!(map.reset(Command::SetAside).is_err());
    }

    #[test]
    fn every_key_of_the_table_is_read_again_from_its_text() {
        for chord in COMMANDS.iter().flat_map(|e| e.keys) {
            assert_eq!(Chord::parse(&chord.text()), Some(*chord));
        }
        assert_eq!(Chord::parse("Ctrl Nothing"), None);
    }
}

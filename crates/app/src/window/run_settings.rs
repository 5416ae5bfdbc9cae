//! Settings: read at the start, put in force, kept when they change.

use record::Term;

use super::app::App;
use super::command::Command;
use super::key_map::KeyMap;
use super::settings::{Recent, Settings};
use super::state::Overlay;
use super::words::tell;

impl App {
    /// Reads the settings and puts them in force.
    pub(super) fn take_settings(&mut self) {
        let Some(store) = &self.store else { return };
        let read = store.settings().map_err(|fault| fault.to_string());
        let read = read.and_then(|text| text.map(|text| Settings::from_text(&text)).transpose());
        match read {
            Ok(settings) => self.settings = settings.unwrap_or_default(),
            Err(why) => self.complain(tell!("settings-unread", why = why)),
        }
        self.settings.keys.install(&self.ctx);
    }

    /// Keeps the settings as they are now.
    pub(super) fn keep_settings(&mut self) {
        self.settings.keys.install(&self.ctx);
        // The window that has the session keeps them for both.
        if self.open.as_ref().is_some_and(super::open_day::OpenDay::is_others) {
            return;
        }
        if let Some(saver) = &self.saver {
            saver.keep_settings(self.settings.to_text());
        }
    }

    /// Remembers the open day, as it stands now, and the values of its fields.
    pub(super) fn remember_day(&mut self) {
        let Some(day) = self.as_it_stands() else { return };
        self.settings.remember(day);
        self.remember_values();
        self.keep_settings();
    }

    /// Remembers how the open day stands, where that changed.
    pub(super) fn remember_stand(&mut self) {
        let day = self.as_it_stands();
        if let Some(day) = day.filter(|day| self.settings.recent.first() != Some(day)) {
            self.settings.remember(day);
            self.keep_settings();
        }
    }

    /// The open day, as it is to be remembered.
    fn as_it_stands(&self) -> Option<Recent> {
        let open = self.open.as_ref()?;
        // A path that is told from where the program was started means nothing another time.
        let card = std::path::absolute(&open.day.card).ok()?;
        let (_, incomplete, unchecked) = open.sheet.tally();
        Some(Recent {
            card,
            key: open.day.key.as_ref().map(|key| key.as_str().to_owned()).unwrap_or_default(),
            name: open.day.session.name.clone(),
            date: open.day.session.date().unwrap_or_default(),
            place: open.day.session.entry(None, Term::Locality).map_or(String::new(), |e| e.text.clone()),
            specimens: open.sheet.rows.len(),
            incomplete,
            unchecked,
            queries: open.day.grouping.queries.len(),
            filed: open.filed(),
        })
    }

    /// Changes the keys; a key that cannot be had is told of in the list of commands.
    pub(super) fn change_keys(&mut self, change: impl FnOnce(&mut KeyMap) -> Result<(), String>) {
        let changed = change(&mut self.settings.keys);
        if let Some(Overlay::Commands { changing, refused, .. }) = &mut self.state.overlay {
            *changing = changed.is_err();
            *refused = changed.as_ref().err().cloned();
        }
        if changed.is_ok() {
            self.keep_settings();
        }
    }

    pub(super) fn letters_on_or_off(&mut self) {
        let off = !self.settings.keys.letters_off;
        self.settings.keys.letters_off = off;
        self.keep_settings();
        let key = self.settings.keys.words(Command::LettersOff);
        self.say(if off { tell!("letters-off", key = key) } else { tell!("letters-on") });
    }
}

//! What the person set once for all sessions: kept as `window.ron` in the data folder.

use std::collections::BTreeMap;
use std::path::PathBuf;

use exchange::Sensitivity;
use notes::Remembered;
use record::Term;
use serde::{Deserialize, Serialize};

use super::key_map::KeyMap;

/// All of it. What an older program did not know stands as it is at first.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Settings {
    /// The keys.
    pub(crate) keys: KeyMap,
    /// Whether a sound tells that a set closed incomplete.
    pub(crate) sound: bool,
    /// The days opened last, the newest first.
    pub(crate) recent: Vec<Recent>,
    /// The archives that were filed into last: the first, and the second or an empty text.
    pub(crate) archives: [String; 2],
    /// What headers of notebooks meant.
    pub(crate) headers: Remembered,
    /// What was noted of sites, by their names: coordinates, how sure, how got, and habitat.
    pub(crate) sites: BTreeMap<String, BTreeMap<Term, String>>,
    /// How sensitive an animal without a name counts, as a word; empty until that was said.
    pub(crate) unnamed: String,
    /// Values of fields that were used before, the last first.
    pub(crate) used: BTreeMap<Term, Vec<String>>,
}

/// Most days that are remembered.
const RECENT_MOST: usize = 4;

/// A day that was open, as it stood when it was left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Recent {
    /// The folder of its card.
    pub(crate) card: PathBuf,
    /// Under which its session is kept; empty when an older program remembered it.
    #[serde(default)]
    pub(crate) key: String,
    /// What the session is called.
    pub(crate) name: String,
    /// Its date, as `2026-06-14`; empty when its frames have no time.
    pub(crate) date: String,
    /// Where it was; empty when nobody said.
    #[serde(default)]
    pub(crate) place: String,
    /// How many specimens it has.
    pub(crate) specimens: usize,
    /// How many of them lack a view.
    pub(crate) incomplete: usize,
    /// How many have views that nobody confirmed.
    pub(crate) unchecked: usize,
    /// How many queries are open.
    #[serde(default)]
    pub(crate) queries: usize,
    /// How many of its files are filed, and how many there are; none of none when an older program remembered it.
    #[serde(default)]
    pub(crate) filed: (usize, usize),
}

impl Settings {
    /// Puts a day first among those remembered.
    pub(crate) fn remember(&mut self, day: Recent) {
        // Many cards come to lie at one place, one after the other: what tells days apart is their session.
        let same = |known: &Recent| {
            if day.key.is_empty() || known.key.is_empty() {
                known.card == day.card
            } else {
                known.key == day.key
            }
        };
        self.recent.retain(|known| !same(known));
        self.recent.insert(0, day);
        self.recent.truncate(RECENT_MOST);
    }

    /// How sensitive an animal without a name counts; `None` until that was said.
    pub(crate) fn unnamed(&self) -> Option<Sensitivity> {
        Sensitivity::of_word(&self.unnamed)
    }

    /// Says how sensitive an animal without a name counts.
    pub(crate) fn set_unnamed(&mut self, category: Sensitivity) {
        category.word().clone_into(&mut self.unnamed);
    }

    /// Reads what [`Settings::to_text`] wrote.
    ///
    /// # Errors
    /// Says what is wrong with the text, and where.
    pub(crate) fn from_text(text: &str) -> Result<Self, String> {
        ron::from_str(text).map_err(|fault| fault.to_string())
    }

    /// As text that a person can read.
    pub(crate) fn to_text(&self) -> String {
        ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())
            .expect("maps of texts can be written")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::window::command::Command;

    #[test]
    fn the_last_days_are_remembered_each_once() {
        let mut settings = Settings::default();
        let day = |name: &str, specimens| Recent {
            card: name.into(),
            key: String::new(),
            name: name.to_owned(),
            date: String::new(),
            place: String::new(),
            specimens,
            incomplete: 0,
            unchecked: 0,
            queries: 0,
            filed: (0, 0),
        };
        for (name, specimens) in [("a", 1), ("b", 2), ("c", 3), ("a", 4), ("d", 5), ("e", 6)] {
            settings.remember(day(name, specimens));
        }
        let known: Vec<_> = settings.recent.iter().map(|r| (r.name.as_str(), r.specimens)).collect();
        assert_eq!(known, [("e", 6), ("d", 5), ("a", 4), ("c", 3)]);
        assert_eq!(Settings::from_text(&settings.to_text()), Ok(settings));
    }

    #[test]
    fn settings_are_read_again_and_what_is_missing_stands_as_at_first() {
        let mut settings = Settings::default();
        settings.keys.turn_off(Command::Undo);
        assert_eq!(Settings::from_text(&settings.to_text()), Ok(settings));
        assert_eq!(Settings::from_text("()"), Ok(Settings::default()));
        assert!(Settings::from_text("(keys: 3)").is_err());
    }
}

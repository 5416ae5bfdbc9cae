//! What the person set once for all sessions: kept as `window.ron` in the data folder.

use serde::{Deserialize, Serialize};

use super::key_map::KeyMap;

/// All of it. What an older program did not know stands as it is at first.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub(crate) struct Settings {
    /// The keys.
    pub(crate) keys: KeyMap,
}

impl Settings {
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
    fn settings_are_read_again_and_what_is_missing_stands_as_at_first() {
        let mut settings = Settings::default();
        settings.keys.turn_off(Command::Undo);
        assert_eq!(Settings::from_text(&settings.to_text()), Ok(settings));
        assert_eq!(Settings::from_text("()"), Ok(Settings::default()));
        assert!(Settings::from_text("(keys: 3)").is_err());
    }
}

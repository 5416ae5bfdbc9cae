//! A key with the keys held beside it: its words on a keycap, its text in the settings.

use egui::Key;

/// A key with its modifiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chord {
    /// Ctrl, or Command on a Mac.
    pub ctrl: bool,
    /// Shift.
    pub shift: bool,
    /// The key.
    pub key: Key,
}

pub(crate) const fn bare(key: Key) -> Chord {
    Chord { ctrl: false, shift: false, key }
}
pub(crate) const fn shift(key: Key) -> Chord {
    Chord { ctrl: false, shift: true, key }
}
pub(crate) const fn ctrl(key: Key) -> Chord {
    Chord { ctrl: true, shift: false, key }
}
pub(crate) const fn ctrl_shift(key: Key) -> Chord {
    Chord { ctrl: true, shift: true, key }
}

impl Chord {
    /// The words on its keycap.
    pub fn words(self) -> String {
        let key = match self.key {
            Key::ArrowLeft => "←",
            Key::ArrowRight => "→",
            Key::ArrowUp => "↑",
            Key::ArrowDown => "↓",
            Key::PageUp => "PgUp",
            Key::PageDown => "PgDn",
            Key::Escape => "Esc",
            Key::Plus => "+",
            Key::Minus => "−",
            Key::Num1 => "1",
            other => other.name(),
        };
        let mut words = String::new();
        if self.ctrl {
            words.push_str("Ctrl ");
        }
        if self.shift {
            words.push_str("Shift ");
        }
        words + key
    }

    /// As it stands in the settings: `Ctrl+Shift+L`.
    pub(crate) fn text(self) -> String {
        let (ctrl, shift) = (if self.ctrl { "Ctrl+" } else { "" }, if self.shift { "Shift+" } else { "" });
        format!("{ctrl}{shift}{}", self.key.name())
    }

    /// Reads what [`Chord::text`] wrote.
    pub(crate) fn parse(text: &str) -> Option<Self> {
        let (ctrl, rest) = text.strip_prefix("Ctrl+").map_or((false, text), |rest| (true, rest));
        let (shift, rest) = rest.strip_prefix("Shift+").map_or((false, rest), |rest| (true, rest));
        Key::from_name(rest).map(|key| Self { ctrl, shift, key })
    }

    /// Whether it is a function key.
    pub(crate) fn is_function(self) -> bool {
        self.key >= Key::F1 && self.key <= Key::F35
    }

    /// Whether a text field being typed in needs this key for itself.
    pub(crate) fn belongs_to_text(self) -> bool {
        let edits = [
            Key::A,
            Key::Z,
            Key::Backspace,
            Key::Delete,
            Key::ArrowLeft,
            Key::ArrowRight,
            Key::ArrowUp,
            Key::ArrowDown,
            Key::Home,
            Key::End,
        ];
        !self.is_function() && self.key != Key::Escape && (!self.ctrl || edits.contains(&self.key))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_fields_keep_what_they_need() {
        for chord in [
            bare(Key::Y),
            ctrl(Key::A),
            ctrl(Key::Home),
            ctrl(Key::Z),
            ctrl_shift(Key::Z),
            bare(Key::Enter),
            bare(Key::ArrowLeft),
        ] {
            assert!(chord.belongs_to_text(), "{chord:?}");
        }
        for chord in [ctrl(Key::D), bare(Key::F2), ctrl(Key::Enter), bare(Key::Escape), ctrl_shift(Key::F)] {
            assert!(!chord.belongs_to_text(), "{chord:?}");
        }
        assert_eq!(ctrl_shift(Key::Z).words(), "Ctrl Shift Z");
        assert_eq!(ctrl(Key::Minus).words(), "Ctrl −");
    }
}

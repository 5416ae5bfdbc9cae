//! The pages of the panel beside a specimen.

use super::command::Command;
use super::words::tell;

/// A page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum SidePage {
    /// Jar, note, views, and what is known of the frame.
    #[default]
    Views,
    /// The fields of the record.
    Record,
    /// The names given to it.
    Names,
    /// Its visible characters.
    Characters,
    /// What is measured on its frames.
    Measures,
}

impl SidePage {
    /// All, in their order.
    pub(crate) const ALL: [Self; 5] =
        [Self::Views, Self::Record, Self::Names, Self::Characters, Self::Measures];

    /// What it is called.
    pub(crate) fn words(self) -> String {
        match self {
            Self::Views => tell!("side-views"),
            Self::Record => tell!("side-record"),
            Self::Names => tell!("side-names"),
            Self::Characters => tell!("side-characters"),
            Self::Measures => tell!("side-measures"),
        }
    }

    /// What opens it.
    pub(crate) fn command(self) -> Command {
        match self {
            Self::Views => Command::PageViews,
            Self::Record => Command::PageRecord,
            Self::Names => Command::PageNames,
            Self::Characters => Command::PageCharacters,
            Self::Measures => Command::PageMeasures,
        }
    }
}

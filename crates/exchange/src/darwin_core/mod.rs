//! Records as a Darwin Core archive (TDWG; list of terms 2026-05-26, text guide 2023-09-13): occurrences as core; pictures
//! (Audiovisual Core), the history of names, and measurements beside them.
//!
//! Go in: filed sessions and a [`Profile`]. Come out: [`rows`] of the four [`Table`]s, [`meta_xml`], [`eml_xml`], and before
//! all that a [`Survey`] of what a data manager would question. Pure: what is written where is [`crate::archive`]'s matter.

mod eml;
mod measurements;
mod media;
mod meta;
mod rows;
mod survey;
mod tables;

use crate::Audience;

pub(crate) use measurements::words as measured_words;

pub use eml::{Credits, eml_xml};
pub(crate) use measurements::METHOD_SCORED;
pub use meta::meta_xml;
pub(crate) use rows::rows_of;
pub use rows::{Row, rows};
pub use survey::{Finding, Question, Survey};
pub use tables::{Column, Table};

/// What counts as the ground of a record (Darwin Core `basisOfRecord`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Basis {
    /// A person saw it.
    HumanObservation,
    /// A camera recorded it; a photograph is the standard's first example.
    #[default]
    MachineObservation,
}

impl Basis {
    /// Both.
    pub const ALL: [Self; 2] = [Self::HumanObservation, Self::MachineObservation];

    /// The value of the term.
    pub fn word(self) -> &'static str {
        match self {
            Self::HumanObservation => "HumanObservation",
            Self::MachineObservation => "MachineObservation",
        }
    }
}

/// How `occurrenceStatus` says that an animal was there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Status {
    /// As the standard says since 2026-05-26.
    #[default]
    Detected,
    /// As it said before, and as vocabularies of registries still list it.
    Present,
}

impl Status {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Detected, Self::Present];

    /// The value of the term.
    pub fn word(self) -> &'static str {
        match self {
            Self::Detected => "detected",
            Self::Present => "present",
        }
    }
}

/// Whether files can be served below an address: it is one of the web, in one piece.
pub fn is_address(text: &str) -> bool {
    let is_web = ["https://", "http://"].iter().any(|way| text.starts_with(way));
    is_web && !text.contains(char::is_whitespace)
}

/// How records are shared.
#[derive(Debug, Clone, Default)]
pub struct Profile {
    /// `basisOfRecord`.
    pub basis: Basis,
    /// Wording of `occurrenceStatus`.
    pub status: Status,
    /// Address below which the archive's files are served; its paths are put after it.
    pub media_base: Option<String>,
    /// What is for others.
    pub audience: Audience,
}

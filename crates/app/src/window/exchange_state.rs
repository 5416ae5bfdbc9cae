//! The exchange step as the person has it: what is to be made, of which records, for whom and where to.
//!
//! Holds choices alone; making is [`super::work_exchange`]'s.

use exchange::Sensitivity;
use exchange::darwin_core::{Basis, Profile, Status};
use exchange::{Audience, sheets::LabelSize, sheets::Paper};

use super::words::tell;
use crate::orders::Neighbours;

/// What can be made.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Document {
    /// Pictures for someone who names the animals.
    #[default]
    Pack,
    /// A page a specimen.
    Sheets,
    /// Labels with a code, for jars and drawers.
    Labels,
    /// A Darwin Core archive.
    DarwinCore,
    /// The same tables for people.
    Tables,
    /// A bag of each session, to be kept.
    Bags,
}

impl Document {
    /// All, in the order of the list.
    pub(crate) const ALL: [Self; 6] =
        [Self::Pack, Self::Sheets, Self::Labels, Self::DarwinCore, Self::Tables, Self::Bags];

    /// What it is called, and what it is good for.
    pub(crate) fn words(self) -> (String, String) {
        match self {
            Self::Pack => (tell!("document-pack"), tell!("document-pack-what")),
            Self::Sheets => (tell!("document-sheets"), tell!("document-sheets-what")),
            Self::Labels => (tell!("document-labels"), tell!("document-labels-what")),
            Self::DarwinCore => (tell!("document-darwin-core"), tell!("document-darwin-core-what")),
            Self::Tables => (tell!("document-tables"), tell!("document-tables-what")),
            Self::Bags => (tell!("document-bags"), tell!("document-bags-what")),
        }
    }

    /// Whether it holds exact places and is for nobody else.
    pub(crate) fn is_private(self) -> bool {
        self == Self::Bags
    }

    /// Of which records it can be made.
    pub(crate) fn scopes(self) -> &'static [Scope] {
        match self {
            Self::Pack | Self::Sheets | Self::Labels => &[Scope::Chosen, Scope::Unnamed, Scope::Day],
            Self::Bags => &[Scope::Day, Scope::Archive],
            Self::DarwinCore | Self::Tables => &[Scope::Archive],
        }
    }

    /// Ending of the name of its file; empty where it is a folder.
    pub(crate) fn ending(self, step: &ExchangeState) -> &'static str {
        match self {
            Self::Pack if step.zipped => ".zip",
            Self::Sheets if step.as_page => ".html",
            Self::Sheets | Self::Labels => ".pdf",
            Self::DarwinCore => ".zip",
            Self::Pack | Self::Tables | Self::Bags => "",
        }
    }
}

/// Of which records something is made.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) enum Scope {
    /// Of the rows chosen on the day sheet.
    #[default]
    Chosen,
    /// Of those of this day without an accepted name.
    Unnamed,
    /// Of this day.
    Day,
    /// Of all sessions of the archive.
    Archive,
}

impl Scope {
    /// In words.
    pub(crate) fn words(self) -> String {
        match self {
            Self::Chosen => tell!("scope-chosen"),
            Self::Unnamed => tell!("scope-unnamed"),
            Self::Day => tell!("scope-day"),
            Self::Archive => tell!("scope-archive"),
        }
    }
}

/// Long sides of pictures in a pack to choose from, px; 0 is as large as they are.
pub(crate) const LONG_SIDES_PX: [u32; 4] = [1024, 2048, 4096, 0];

/// How large pictures in a pack may be to choose from, thousands of bytes; 0 is any size.
pub(crate) const AT_MOST_KB: [usize; 4] = [0, 2000, 500, 150];

/// The exchange step.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "each is a choice of its own")]
pub(crate) struct ExchangeState {
    /// What is to be made.
    pub(crate) document: Document,
    /// The archive, as typed.
    pub(crate) archive: String,
    /// Where to, as typed.
    pub(crate) to: String,
    /// Of which records, where the document leaves that open.
    pub(crate) scope: Scope,
    /// Which field should take the keyboard.
    pub(crate) focus: Option<ExchangeField>,
    /// Whether names of people go out, for the next document alone.
    pub(crate) people: bool,
    /// What becomes of records that give a coarsened place away, once that was said.
    pub(crate) neighbours: Option<Neighbours>,
    /// To whom a pack goes, as typed; empty keeps no sending.
    pub(crate) recipient: String,
    /// Whether all frames go instead of the best of each view.
    pub(crate) all_frames: bool,
    /// Whether pictures are cut to the animal.
    pub(crate) cropped: bool,
    /// Place in [`LONG_SIDES_PX`].
    pub(crate) long_side: usize,
    /// Place in [`AT_MOST_KB`].
    pub(crate) at_most: usize,
    /// Whether a pack is one zip.
    pub(crate) zipped: bool,
    /// Paper of sheets and labels.
    pub(crate) paper: Paper,
    /// Whether contact sheets are a page to look at instead of paper.
    pub(crate) as_page: bool,
    /// Jars that labels are for, as typed: a run or single ones; empty for labels of drawers.
    pub(crate) jars: String,
    /// How large labels are.
    pub(crate) label: LabelSize,
    /// Ground of records.
    pub(crate) basis: Basis,
    /// How records say that the animal was there.
    pub(crate) status: Status,
    /// Address below which pictures are served, as typed.
    pub(crate) media_base: String,
    /// What was made since the window opened, the last first; why not, where it was not.
    pub(crate) made: Vec<Result<String, String>>,
}

/// A field of the exchange step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum ExchangeField {
    /// The archive.
    Archive,
    /// Where to.
    To,
}

impl Default for ExchangeState {
    fn default() -> Self {
        Self {
            document: Document::default(),
            archive: String::new(),
            to: String::new(),
            scope: Scope::default(),
            focus: None,
            people: false,
            neighbours: None,
            recipient: String::new(),
            all_frames: false,
            cropped: false,
            long_side: 1,
            at_most: 0,
            zipped: false,
            paper: Paper::A4,
            as_page: false,
            jars: String::new(),
            label: LabelSize::default(),
            basis: Basis::default(),
            status: Status::default(),
            media_base: String::new(),
            made: Vec::new(),
        }
    }
}

impl ExchangeState {
    /// Of which records the document is made: as chosen, where that can be.
    pub(crate) fn scope(&self) -> Scope {
        let scopes = self.document.scopes();
        if scopes.contains(&self.scope) { self.scope } else { scopes[0] }
    }

    /// How records are shared, before neighbours of coarsened ones are.
    pub(crate) fn profile(&self, unnamed: Sensitivity) -> Profile {
        let base = self.media_base.trim().to_owned();
        Profile {
            basis: self.basis,
            status: self.status,
            media_base: Some(base).filter(|base| !base.is_empty()),
            audience: Audience { unnamed, people: self.people, ..Audience::default() },
        }
    }
}

//! The day that is open: its session, what was done to it, and what the screens show of it.

use filing::{FilingPlan, Receipt};
use record::{Edit, FrameId, FrameKind, History};

use super::sheet::Sheet;
use crate::day::Day;

/// A day, its history and its sheet.
#[derive(Debug)]
pub(crate) struct OpenDay {
    /// The card and its session.
    pub(crate) day: Day,
    /// What was done and can be taken back.
    pub(crate) history: History,
    /// What the screens show.
    pub(crate) sheet: Sheet,
    /// Counts changes, so that what was worked out from an older session is known.
    pub(crate) revision: u64,
    /// What filing would do, and did.
    pub(crate) filing: Filing,
}

/// What filing would do, and did.
#[derive(Debug, Default)]
pub(crate) struct Filing {
    /// The plan, or why there is none, and what it was worked out from.
    pub(crate) plan: Option<(PlannedFor, Result<FilingPlan, String>)>,
    /// What the last filing did.
    pub(crate) receipt: Option<Receipt>,
    /// Why the last filing did not end well.
    pub(crate) fault: Option<String>,
}

/// What a plan of filing was worked out from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PlannedFor {
    /// The archive.
    pub(crate) archive: String,
    /// Whether proposed views stand in names.
    pub(crate) take_proposed: bool,
    /// The session's revision.
    pub(crate) revision: u64,
}

impl OpenDay {
    /// A day just read.
    pub(crate) fn new(day: Day) -> Self {
        let sheet = Sheet::of(&day);
        Self { day, history: History::default(), sheet, revision: 0, filing: Filing::default() }
    }

    /// Makes a change and works everything out anew. `Err` says in words why nothing was changed.
    pub(crate) fn edit(&mut self, words: &str, edit: &Edit) -> Result<(), String> {
        self.history.apply(&mut self.day.session, words, edit).map_err(|refused| refused.to_string())?;
        self.changed();
        Ok(())
    }

    /// Takes the last change back; gives its words.
    pub(crate) fn undo(&mut self) -> Option<String> {
        let words = self.history.undo(&mut self.day.session)?;
        self.changed();
        Some(words)
    }

    /// Does again what was taken back; gives its words.
    pub(crate) fn redo(&mut self) -> Option<String> {
        let words = self.history.redo(&mut self.day.session)?;
        self.changed();
        Some(words)
    }

    /// Works out anew what depends on the session.
    pub(crate) fn changed(&mut self) {
        self.day.rearrange();
        self.sheet = Sheet::of(&self.day);
        self.revision += 1;
    }

    /// What part a frame plays.
    pub(crate) fn kind(&self, id: FrameId) -> FrameKind {
        let frame = self.sheet.frame(&self.day, id);
        frame.map_or(FrameKind::Specimen, |f| self.day.session.kind(f))
    }

    /// The number of a specimen by the place of its set.
    pub(crate) fn set_number(&self, set: usize) -> u32 {
        self.day.session.sets.get(set).map_or(0, |s| s.number)
    }

    /// How far the session is filed: files in the archive, and files in all.
    pub(crate) fn filed(&self) -> (usize, usize) {
        let files = || self.day.session.frames.iter().flat_map(|f| &f.files);
        (files().filter(|f| self.day.session.filed.contains_key(&f.path)).count(), files().count())
    }
}

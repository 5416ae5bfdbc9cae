//! What a notebook or a track would write into a day, to be looked at before it is taken.

use notes::Placed;
use record::{DayTrack, Edit};

/// What a notebook would do.
#[derive(Debug, Clone, PartialEq)]
pub struct NotebookPlan {
    /// Its rows, in their order.
    pub rows: Vec<PlannedRow>,
    /// What is doubtful about the file, in sentences.
    pub told: Vec<String>,
    /// What stands already and stays.
    pub conflicts: Vec<Conflict>,
    /// Sets that no row is about.
    pub open_sets: Vec<usize>,
    /// All of it as one change; `None` when nothing would change.
    pub edit: Option<Edit>,
}

impl NotebookPlan {
    /// Rows that a person has to decide about.
    pub fn questions(&self) -> impl Iterator<Item = &PlannedRow> {
        self.rows.iter().filter(|row| row.is_open)
    }
}

/// A row of a notebook and what it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedRow {
    /// Its place among the rows.
    pub at: usize,
    /// Its line in the file, from 1.
    pub line: u64,
    /// What stands in it.
    pub text: String,
    /// The set it is about, or may be about while it is open.
    pub set: Option<usize>,
    /// Whether a person has to decide; nothing of it is written until then.
    pub is_open: bool,
    /// What that rests on.
    pub why: String,
    /// Sets it could be about, likeliest first.
    pub others: Vec<usize>,
    /// What is wrong with its cells, in sentences.
    pub faults: Vec<String>,
}

/// Something that stands in the session already and differs from the notebook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// Of which set.
    pub set: usize,
    /// The notebook's line.
    pub line: u64,
    /// The field.
    pub what: String,
    /// What stands and stays.
    pub stands: String,
    /// What the notebook says.
    pub wanted: String,
}

/// What a track would do.
#[derive(Debug, Clone, PartialEq)]
pub struct TrackPlan {
    /// Each set with where it was, or why that is not known.
    pub places: Vec<(usize, Result<Placed, String>)>,
    /// Sets that have a place already, which stays.
    pub kept: Vec<usize>,
    /// The way, as it is kept to be drawn.
    pub track: DayTrack,
    /// What is doubtful about the file, in sentences.
    pub told: Vec<String>,
    /// All of it as one change.
    pub edit: Option<Edit>,
}

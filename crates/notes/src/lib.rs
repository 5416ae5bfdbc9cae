//! What was written down in the field, as plain values: tracks of a receiver, notebooks, and which of their
//! rows is about which set, lists of names, and the names that specialists send back.
//!
//! Bytes or text come in, values and whatever is doubtful about them come out. This crate knows no disk, clock or
//! window, and nothing of how sets were found.

mod answers;
mod checklist;
mod fold;
mod geodesic;
mod gpx;
mod header;
mod matching;
mod notebook;
mod order;
mod place;
mod table;
mod told;
mod track;

pub use answers::{ANSWER_TERMS, Answer, AnswerFault, Answers, AnswersFault, read_answers};
pub use checklist::{Checklist, ListColumn, ListDoubt, ListFault, Sensitivity, Taxon, read_checklist};
pub use geodesic::distance_m;
pub use gpx::{GpxFault, read_gpx};
pub use matching::{Candidate, Certainty, Entry, Ground, Match, Matching, TooMany, clock_secs, match_rows};
pub use notebook::{
    Cell, CellFault, Column, DateDoubt, DayOrder, Mapping, Notebook, Reading, Remembered, Value,
    read_notebook,
};
pub use place::{APART_LIMIT_M, GAP_LIMIT_SECS, NoPlace, Placed, RECEIVER_ERROR_M, Uncertainty, place_at};
pub use table::{Dialect, Row, TableDoubt, TableFault};
pub use told::Told;
pub use track::{Point, Segment, TrackDoubt, Tracks, Waypoint};

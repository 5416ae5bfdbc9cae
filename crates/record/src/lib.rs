//! What is known of a day's imaging, as plain values.
//!
//! A [`Session`] holds the [`Frame`]s of one day, the [`Decisions`] a person made about them, the
//! [`Specimen`]s written about, and the [`Set`]s last worked out. Every change is an [`Edit`] with an
//! inverse. A [`Plan`] is the round of views asked of each specimen, [`Characters`] what those views show of it; [`Mark`]s
//! and [`ColourNote`]s keep what was measured on them.
//!
//! This crate knows no disk, clock, screen, thread or random source: text comes in and goes out as
//! strings, times are arguments.

mod account;
mod characters;
mod characters_file;
#[cfg(test)]
mod characters_tests;
mod clock;
mod colour_note;
mod coordinates;
mod day_track;
mod decisions;
mod departure;
mod determination;
mod edit;
mod filed;
mod frame;
mod gone;
mod holding;
mod identity;
mod intents;
mod intents_record;
mod learned;
mod looks;
mod measured;
mod naming;
mod places;
mod plan;
mod progress;
mod query;
mod record_edit;
mod sending;
mod session;
mod set;
mod system_names;
mod taken;
mod term;
mod text;
mod words;

pub use account::{Account, Left, Tally};
pub use characters::{
    Character, CharacterKey, Characters, CharactersFault, Clause, Contradiction, NOT_SEEN, Rule, Score,
    ScoreFault, Scores, State, StateKey, contradictions, rule_fields,
};
pub use clock::{
    CLOCK_LIMIT_SECS, ClockFault, parse_shift, shift_from_pair, shift_from_shown, shift_text, shift_words,
};
pub use colour_note::{ColourNote, Patch, PickFault, Picked};
pub use coordinates::{
    AngleForm, CoordinateFault, Coordinates, Written, degrees_text, parse_coordinate_pair, parse_coordinates,
    precision_uncertainty_m,
};
pub use day_track::{DayTrack, TRACK_POINTS_MOST};
pub use decisions::{Boundary, Decisions, Label};
pub use departure::{Departure, Way};
pub use determination::{
    Agreement, Determination, DeterminationFault, QUALIFIERS, Standing, agreement, current_name,
};
pub use edit::{Edit, History, Refused};
pub use filed::Filed;
pub use frame::{
    BlankVerdict, Body, FileRole, Frame, FrameFile, FrameId, FrameKind, Position, Shot, Spread, TimeSource,
};
pub use holding::{CLOCK_SLACK_SECS, Holding, TOLD_FOR_SECS, seconds_until};
pub use identity::place_specimens;
pub use learned::{LearnedViews, Taught};
pub use looks::{Looks, Quality};
pub use measured::{
    CHEEK_LENGTH, CHEEK_WIDTH, INTERTEGULAR_DISTANCE, KNOWN_MEASURES, KnownLength, Mark, MarkFault, MarkId,
    MarkKind, ScaleUsed, mark_faults,
};
pub use naming::{NameField, NameForm, Naming, NamingFault};
pub use places::Places;
pub use plan::{Plan, PlanFault, View, ViewKey};
pub use progress::{Progress, Silent, Stage};
pub use query::{Answer, Query, QueryKind};
pub use record_edit::RecordEdit;
pub use sending::{Heard, Reply, Sending, SendingFault};
pub use session::{Merged, Session};
pub use set::{Set, Specimen, SpecimenId};
pub use system_names::is_the_systems;
pub use taken::{Taken, TakenFault};
pub use term::{Entry, FieldFault, Fields, Holder, Term, associated_taxa};
pub use text::{SCHEMA, TextFault, session_from_text, session_to_text};
pub use words::{count, listed, shown};

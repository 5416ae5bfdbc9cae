//! Frames become sets.
//!
//! [`group`] takes a session's frames and decisions and gives the sets, a proposed view for each frame and
//! the [`Query`]s a person should answer. [`coverage`] says which views of the plan a set has, and
//! [`retake_list`] which animals lack one; [`held_list`] adds how long each has been held.
//!
//! This crate knows no disk, clock, screen or thread. The same session gives the same answer.

mod align;
mod ask;
mod boundaries;
mod clock_check;
mod coverage;
mod day;
mod group;
mod habit;
mod held;
mod jars;
mod later;
mod looks;
mod pauses;
mod retake;
mod stray;
mod views;
mod whiten;
mod why;
mod worth;

pub use boundaries::{Place, Split, Typical, split_day};
pub use clock_check::{Arrival, check_clocks};
pub use coverage::{Coverage, Slot, SlotState, coverage};
pub use group::{Grouping, group, group_with, regroup, regroup_with};
pub use held::{Held, Moment, being_shot, held_list, holding};
pub use later::retake_queries;
pub use pauses::Pause;
pub use record::{Answer, Query, QueryKind};
pub use retake::{Retake, retake_list, spelled};
pub use views::{PROPOSE_FROM, ViewProposal};
pub use why::why;
pub use worth::flaw_word;

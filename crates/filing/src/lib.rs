//! Sets become folders: naming, verified copying, checksums, and the store of sessions not yet filed.
//!
//! [`plan_filing`] works a whole filing out as data: every source, destination and size. [`carry_out`] does
//! it: each file is copied, read back, compared and only then given its name, and nothing that stands in the
//! archive is ever replaced. [`store`] keeps sessions in the user's data folder until they are filed.
//!
//! All file operations are in one module, `disk`. This crate opens the card for reading only, decides
//! nothing about sets and views, and prints nothing.

mod batch;
mod begin;
mod carry;
mod cut;
mod disk;
mod fault;
mod journal;
mod known;
mod lists;
mod manifest;
#[cfg(test)]
mod model;
mod names;
mod opened;
mod place;
mod plan;
mod receipt;
mod refuse;
mod settle;
mod stems;
pub mod store;
mod undo;

// Tests in here share helpers with those outside, which name this crate.
#[cfg(test)]
extern crate self as filing;

pub use carry::carry_out;
pub use fault::{FaultKind, FilingFault};
pub use plan::{CopyOnCard, FilingPlan, Step, plan_filing};
pub use receipt::Receipt;
pub use undo::{Undo, plan_undo, undo};

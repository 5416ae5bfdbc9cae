//! Sets become folders: naming, verified copying, checksums, and the store of sessions not yet filed.
//!
//! [`plan_filing`] works a whole filing out as data: every source, destination and size. [`carry_out`] does
//! it: each file is copied, read back, compared and only then given its name, and nothing that stands in the
//! archive is ever replaced. [`store`] keeps sessions in the user's data folder until they are filed, [`previews`] small
//! pictures in their cache folder.
//!
//! All file operations are in one module, `disk`. This crate opens the card for reading only, decides
//! nothing about sets and views, and prints nothing.

mod altered;
mod audit;
mod bag;
mod batch;
mod begin;
mod beside;
mod carry;
pub mod claim;
mod cut;
mod disk;
mod documents;
mod entry;
mod fault;
mod history;
mod journal;
mod known;
mod lanes;
mod lists;
mod manifest;
#[cfg(test)]
mod model;
mod moves;
mod name_preview;
mod names;
mod new_folder;
mod opened;
mod place;
mod plan;
pub mod previews;
mod receipt;
mod refuse;
mod repair;
mod run;
mod seats;
mod settle;
mod sidecar;
mod stems;
pub mod store;
mod tree;
mod undo;
mod unfinished;

// Tests in here share helpers with those outside, which name this crate.
#[cfg(test)]
extern crate self as filing;

pub use altered::Altered;
pub use audit::{Audit, AuditOptions, Finding, Wrong, audit};
pub use bag::{BagFault, Bagged, put_bag};
pub use carry::{carry_out, carry_out_both};
pub use documents::{DocumentFault, filed_as, filed_session, filed_sessions, put_document, refuse_document};
pub use fault::{FaultKind, FilingFault};
pub use name_preview::{NamePreview, preview_names};
pub use new_folder::{NewFolder, put_documents};
pub use plan::{CopyOnCard, FilingPlan, SidecarStep, Step, free_bytes, plan_filing};
pub use receipt::Receipt;
pub use repair::repair;
pub use sidecar::{Caption, orientation_iri, part_iri};
pub use undo::{Undo, plan_undo, undo};
pub use unfinished::{Unfinished, unfinished};

//! Records become documents: a Darwin Core archive for others' databases, the same as tables for people, packs for
//! specialists, sheets to print, bags to keep; and names that specialists send back become edits.
//!
//! [`mod@coarsen`] and [`stops`] keep the places of sensitive animals from being given away. All but [`archive`], [`bags`],
//! [`pack`], `dataset` and the reading of pictures is pure: sessions go in, rows, texts and pages come out. It names no animal,
//! decides no sensitivity and changes no record.

pub mod answers;
pub mod archive;
mod audience;
pub mod bags;
pub mod cells;
pub mod coarsen;
pub mod darwin_core;
#[cfg(feature = "parquet")]
pub mod dataset;
mod html;
pub mod identity;
pub mod pack;
mod picture;
mod round;
#[cfg(test)]
mod sample;
mod scale;
pub mod sheets;
mod shown;
pub mod stops;

pub use audience::Audience;
pub use coarsen::{HeldPlace, Sensitivity, SharedPlace, Sharing, coarsen};
pub use shown::occurrences;

//! Records become documents: a Darwin Core archive for others' databases, the same as tables for people, and what is printed.
//!
//! [`mod@coarsen`] and [`stops`] keep the places of sensitive animals from being given away. All but [`archive`] and the
//! reading of pictures is pure: sessions go in, rows, texts and pages come out. It names no animal, decides no sensitivity
//! and changes no record.

pub mod archive;
mod audience;
pub mod cells;
pub mod coarsen;
pub mod darwin_core;
pub mod identity;
#[allow(dead_code, reason = "what is made of these pictures stands beside them")]
mod picture;
#[allow(dead_code, reason = "as of pictures")]
mod round;
#[cfg(test)]
mod sample;
pub mod sheets;
mod shown;
pub mod stops;

pub use audience::Audience;
pub use coarsen::{HeldPlace, Sensitivity, SharedPlace, Sharing, coarsen};

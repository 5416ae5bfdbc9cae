//! Records become documents: a Darwin Core archive for others' databases, the same as tables for people, and packs of pictures
//! for specialists.
//!
//! [`mod@coarsen`] and [`stops`] keep the places of sensitive animals from being given away. Only [`archive`] and [`pack()`]
//! touch the disk, and pictures are read through `import`; all else is pure: sessions go in, rows and texts come out. It names
//! no animal, decides no sensitivity and changes no record.
//!
//! [`pack()`]: pack::pack

pub mod archive;
mod audience;
pub mod cells;
pub mod coarsen;
pub mod darwin_core;
pub mod identity;
pub mod pack;
mod picture;
mod round;
#[cfg(test)]
mod sample;
mod scale;
mod shown;
pub mod stops;

pub use audience::Audience;
pub use coarsen::{HeldPlace, Sensitivity, SharedPlace, Sharing, coarsen};

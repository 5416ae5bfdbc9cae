//! Pixel mathematics: whether a frame is a blank, where its subject is, how good the picture of it is and what it looks
//! like.
//!
//! In goes a [`Luma`] picture of some 160 px; out come [`Measured`] numbers, and for the measures of a whole day the
//! [`blank::Day`] that says where the line lies and how probable each blank is. For a closer look a [`colour::Rgb`]
//! picture of some 640 px goes in, with the [`background::Background`] that blanks give; out come the
//! [`subject::Subject`], its [`quality::Quality`] and its [`descriptor::Descriptor`]. Of a marked [`Region`] a
//! [`colour_note::ColourNote`] tells the colour, and [`measuring`] tells lengths. This crate knows no disk, clock, thread
//! or file format: callers decode pictures and choose threads.

mod alike;
pub mod background;
pub mod bars;
pub mod blank;
pub mod carried;
pub mod cielab;
pub mod colour;
pub mod colour_note;
#[cfg(test)]
mod colour_note_tests;
mod colour_word;
mod delta_e;
pub mod descriptor;
mod field;
pub mod focus;
pub mod grain;
#[cfg(test)]
mod hard_cases_tests;
pub mod intertegular;
mod luma;
pub mod measuring;
pub mod over;
pub mod quality;
mod region;
mod split;
mod spread;
pub mod subject;
mod surface;
mod uncertain;
pub mod variance;
mod windows;

pub use alike::alike;
pub use colour_word::ColourWord;
pub use delta_e::delta_e;
pub use field::Field;
pub use luma::Luma;
pub use region::{Point, Region};
pub use split::{Split, otsu};
pub use spread::{Measured, PREVIEW_LONG_SIDE_PX, spread};
pub use surface::Surface;
pub use uncertain::Uncertain;

//! Reads a memory card, or any folder of pictures, into frames; never writes.
//!
//! [`read_card`] walks the folder, brings the files of one exposure together, reads their camera data and
//! embedded thumbnail (the first tens of kilobytes of each), measures luminance, and gives the frames in the
//! order of the day. [`judge_blanks`] tells blanks by the day's own line. [`thumbnail`] and [`picture`] decode
//! pictures for a screen. A damaged file is a frame with a fault, never the end of a card. What a set is, and
//! where a card's frames go, is decided elsewhere.

mod blanks;
#[cfg(test)]
mod card_tests;
mod dcf;
mod decode;
mod display;
mod fault;
mod intake;
mod jpeg;
mod kind;
mod metadata;
mod order;
mod pairing;
mod preview;
#[cfg(test)]
mod sample;
mod times;
mod walk;

pub use blanks::{BlankLine, judge_blanks};
pub use display::{Picture, picture, thumbnail};
pub use fault::ReadFault;
pub use intake::{Intake, Skipped, read_card};

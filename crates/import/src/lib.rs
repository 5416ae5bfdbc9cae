//! Reads a memory card, or any folder of pictures, into frames; never writes.
//!
//! [`read_card`] walks the folder, brings the files of one exposure together, reads their camera data and
//! embedded thumbnail (the first kilobytes of each), measures luminance, and gives the frames in the order of the day;
//! [`watch`] does so again and again as frames arrive. [`read_source`] reads one file, or bytes that stand for one, and
//! [`measure_source`] its preview.
//! [`look_closer`] is the second pass: the subjects of some frames against the blanks near them.
//! [`judge_blanks`] tells blanks by the day's own line, [`set_clocks`] brings the clocks of several bodies together.
//! [`thumbnail`] and [`picture`] decode pictures for a screen, [`stored`] for copies that are shared. A damaged file is a frame with a fault, never the end of
//! a card. What a set is, and where a card's frames go, is decided elsewhere.

mod blanks;
mod boxes;
#[cfg(test)]
mod card_tests;
mod chunks;
mod clocks;
mod closer;
#[cfg(test)]
mod closer_tests;
mod copies;
mod cr3;
mod dcf;
mod decode;
mod display;
mod exposure;
mod fault;
mod fields;
#[cfg(test)]
mod format_tests;
mod heic;
mod heif;
mod intake;
mod jar_card;
mod jpeg;
mod kept;
mod kind;
mod metadata;
#[cfg(test)]
mod odd_card_tests;
mod order;
mod pages;
mod pairing;
mod preview;
mod raw;
mod room;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod sample_raws;
mod source;
mod stored;
mod tiff;
mod times;
mod upright;
mod walk;
pub mod watch;

pub use blanks::{BlankLine, judge_blanks};
pub use clocks::{BodyClock, ClockSource, Clocks, SURE, set_clocks};
pub use closer::{LookedAt, look_closer};
pub use display::{Full, Picture, Small, embedded_preview, picture, thumbnail};
pub use exposure::measure_source;
pub use fault::ReadFault;
pub use intake::{Intake, Part, Skipped, SoFar, read_card, read_card_shown};
pub use jar_card::read_jar_card;
pub use kind::Content;
pub use metadata::{Reading, Span, read_source};
pub use source::Source;
pub use stored::{Stored, stored};
pub use upright::turned;

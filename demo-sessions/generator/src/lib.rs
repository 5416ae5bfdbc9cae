//! Invented demo sessions: scripts of two days, the result a perfect reader would give, and the pictures, all drawn.
//!
//! [`salt_marsh_bank`] and [`carded_beetles`] give a [`Script`]; [`Script::expected`] and [`Script::write_into`] make
//! everything else from it. Nothing here is photographed, and the same script gives the same bytes on every computer.

mod bee;
mod bee_body;
mod bee_coat;
mod beetle;
mod beetle_body;
mod canvas;
mod card;
mod carded_beetles;
mod dng;
mod exif;
mod expected;
mod hair;
mod maths;
mod paper;
mod picture;
mod random;
mod salt_marsh_bank;
mod scene;
mod script;
mod softness;
mod sound;
mod stand;
mod surface;
mod tiff;

pub use carded_beetles::carded_beetles;
pub use expected::{Expected, ExpectedFrame, ExpectedSet};
pub use picture::STORED_PX;
pub use salt_marsh_bank::salt_marsh_bank;
pub use script::{Animals, Body, Companion, Script, Shot, Subject, Trouble};

//! What screens are drawn with: text at a place, controls, marks of state, pictures, queries.
//!
//! Everything is placed by rectangles, so that columns line up across screens, and everything that is text
//! or can be acted on has an accessible name.

pub(crate) mod chip;
pub(crate) mod control;
pub(crate) mod flow;
pub(crate) mod map;
pub(crate) mod mark;
pub(crate) mod offers;
pub(crate) mod picture;
pub(crate) mod queries;
pub(crate) mod text;

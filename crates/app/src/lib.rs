//! The `endleaf` program: a window and a command line over the crates below it. Nothing here computes.
//!
//! [`cli`] is the command line and [`window`] the window. Both work through [`day`], which holds the steps
//! they share (read a card into its session, arrange it, keep it) and [`closer`], the second look at its frames, take
//! their plans from [`plans`] and show the same [`cautions`].

mod arrange;
pub mod cautions;
pub mod characters;
pub mod cli;
pub mod closer;
pub mod day;
pub mod day_places;
pub mod field_notes;
pub mod first_sets;
pub mod orders;
pub mod plans;
pub mod plans_of_notes;
mod unread;
pub mod window;

/// Each picture needs some hundred kilobytes for a moment. The system's allocator gives them back after every picture, and
/// then both threads wait for the system; this one keeps them for the next.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

//! The window, driven by keys and found by names, without a screen: a day from card to archive, the whole job, and every
//! command of the table; what floats, left by Esc; the filing step with all it asks; the exchange step; the cameras' clocks; a folder into which frames arrive; the
//! closer look beside it; the large retake list; pages that float; pictures and what is kept of them; every screen at the sizes it can have.

mod cancel;
mod carry;
mod characters;
mod clocks;
mod commands;
mod day;
mod desk;
mod exchange;
mod field_notes;
mod filing;
mod floats;
mod kept;
mod looking;
mod measures;
mod mouse;
mod pictures;
mod record;
mod retakes;
mod rows;
mod sizes;
mod trace;
mod views;
mod watching;
mod whole_job;
mod worth;

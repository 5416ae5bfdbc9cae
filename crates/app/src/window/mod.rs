//! The window: the steps of the job from left to right, driven by one table of commands.
//!
//! [`App`] holds the open day, what the window remembers, and the work that runs beside it. Screens are
//! drawn from shared references and ask for changes by actions, which are carried out after the frame is
//! drawn; nothing that takes time happens on the window's thread.

mod act;
mod action;
mod app;
mod bars;
mod chord;
mod clocks;
mod colour_pick;
mod command;
mod day_words;
mod decode;
mod demo;
mod enabled;
mod evidence;
mod exchange_state;
mod far_list;
pub(crate) mod filing_lines;
mod held_words;
mod job;
mod kept_previews;
mod key_map;
mod keys;
mod learned;
mod look;
mod look_line;
mod looking;
mod making;
mod mark_values;
mod marking;
mod name_lists;
mod names_draft;
mod notes_draft;
mod open_day;
mod outside;
mod over;
mod overlays;
mod pictures;
mod places;
mod preview;
mod quiet_line;
mod replies;
mod retake_page;
mod run;
mod run_aside;
mod run_characters;
mod run_clocks;
mod run_colours;
mod run_exchange;
mod run_filing;
mod run_look;
mod run_marks;
mod run_measures;
mod run_previews;
mod run_record;
mod run_rows;
mod run_settings;
mod run_view;
mod saver;
mod scoring;
mod screens;
mod sent_draft;
mod settings;
mod sheet;
mod sheet_order;
mod side_page;
mod state;
mod surveyed;
mod term_words;
mod thumbs;
mod time_left;
mod typed;
mod watch_folder;
mod watch_line;
mod watching;
mod widgets;
mod words;
mod work;
mod work_exchange;
mod work_filing;

use std::path::PathBuf;

use anyhow::anyhow;
use record::{Plan, Taken};

use self::words::tell;

pub use app::App;
pub use chord::Chord;
pub use command::{COMMANDS, Command, Entry, Group};
pub use outside::{HandOver, Outside};
pub use state::Screen;

/// How the window begins.
#[derive(Debug, Clone, Default)]
pub struct Start {
    /// A card to open at once.
    pub card: Option<PathBuf>,
    /// The plan to use; `None` leaves it to the session or the first on the shelf.
    pub plan: Option<Plan>,
    /// A name for the session; `None` leaves it to the session or the folder.
    pub name: Option<String>,
    /// Fixes the dark or the light look; `None` follows the system.
    pub dark: Option<bool>,
    /// The computer's clock; `None` is that of the system.
    pub clock: Option<fn() -> Taken>,
    /// Where sessions and the person's own plans are kept; `None` is the person's data folder.
    pub home: Option<PathBuf>,
    /// Where small pictures that were slow to make are kept; `None` is the person's cache folder.
    pub cache: Option<PathBuf>,
    /// What is asked of the computer.
    pub outside: Outside,
}

/// Least size of the window, px.
const LEAST_PX: [f32; 2] = [1024.0, 700.0];
/// Size at first, px.
const FIRST_PX: [f32; 2] = [1280.0, 800.0];

/// Opens the window and comes back when it is closed.
///
/// # Errors
/// Says so when this computer shows no windows.
pub fn run(start: Start) -> anyhow::Result<()> {
    let viewport = egui::ViewportBuilder::default()
        .with_title("Endleaf")
        .with_app_id("endleaf")
        .with_inner_size(FIRST_PX)
        .with_min_inner_size(LEAST_PX);
    let options = eframe::NativeOptions {
        viewport,
        renderer: eframe::Renderer::Glow,
        ..eframe::NativeOptions::default()
    };
    eframe::run_native("Endleaf", options, Box::new(|cc| Ok(Box::new(App::new(&cc.egui_ctx, start)))))
        .map_err(|reason| anyhow!(tell!("no-window", reason = reason.to_string())))
}

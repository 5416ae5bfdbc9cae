//! A window to test with: its own data folder, a small card drawn on the spot, driven by keys and names.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use endleaf::window::{App, Start};
use image::{GrayImage, Luma};
use tempfile::TempDir;

/// A card of frames as one line of text: `f` a frame with a dark square on it, `_` a blank.
pub(crate) fn draw_card(folder: &Path, day: &str) {
    let dcim = folder.join("DCIM/100INVNT");
    std::fs::create_dir_all(&dcim).unwrap();
    for (n, c) in day.chars().enumerate() {
        let dark = 20 + n as u8 % 40;
        let inside = |x, y| c == 'f' && (30..66).contains(&x) && (16..48).contains(&y);
        let picture = GrayImage::from_fn(96, 64, |x, y| Luma([if inside(x, y) { dark } else { 200 }]));
        picture.save(dcim.join(format!("INV_{:04}.PNG", n + 1))).unwrap();
    }
}

/// A window on a desk of its own.
pub(crate) struct Desk {
    pub(crate) window: Harness<'static, App>,
    pub(crate) folder: TempDir,
}

impl Desk {
    /// Opens the window without a card.
    pub(crate) fn empty() -> Self {
        Self::with(|_| None)
    }

    /// Opens the window on a card of this day and waits until it is read.
    pub(crate) fn on(day: &str) -> Self {
        let mut desk = Self::with(|folder| {
            let card = folder.join("heath");
            draw_card(&card, day);
            Some(card)
        });
        desk.wait();
        assert!(desk.app().day().is_some(), "{:?}", desk.app().notice_words());
        desk
    }

    fn with(card: impl FnOnce(&Path) -> Option<PathBuf>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let start = Start {
            card: card(folder.path()),
            home: Some(folder.path().join("home")),
            dark: Some(false),
            ..Start::default()
        };
        let window = Harness::builder()
            .with_size([1280.0, 800.0])
            .with_max_steps(200)
            .build_eframe(|cc| App::new(&cc.egui_ctx, start));
        let mut desk = Self { window, folder };
        desk.wait();
        desk
    }

    pub(crate) fn app(&self) -> &App {
        self.window.state()
    }

    /// Goes on until nothing runs beside the window any more.
    pub(crate) fn wait(&mut self) {
        for _ in 0..2_000 {
            self.window.step();
            if !self.app().is_busy() {
                self.window.run_steps(1);
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        panic!("work beside the window does not end");
    }

    pub(crate) fn key(&mut self, key: Key) {
        self.key_with(Modifiers::NONE, key);
    }

    pub(crate) fn ctrl(&mut self, key: Key) {
        self.key_with(Modifiers::COMMAND, key);
    }

    pub(crate) fn key_with(&mut self, modifiers: Modifiers, key: Key) {
        self.window.key_press_modifiers(modifiers, key);
        self.wait();
    }

    /// Presses a key and draws once, whatever runs beside the window.
    pub(crate) fn press(&mut self, modifiers: Modifiers, key: Key) {
        self.window.key_press_modifiers(modifiers, key);
        self.window.step();
    }

    pub(crate) fn type_text(&mut self, text: &str) {
        self.window.event(egui::Event::Text(text.to_owned()));
        self.wait();
    }

    /// Sizes of the sets, one after the other.
    pub(crate) fn sets(&self) -> String {
        let mut sizes = String::new();
        for set in &self.app().day().unwrap().session.sets {
            write!(sizes, "{} ", set.frames.len()).unwrap();
        }
        sizes.trim_end().to_owned()
    }

    /// The confirmed views of the frames of a set, `-` where there is none.
    pub(crate) fn labels(&self, set: usize) -> String {
        let session = &self.app().day().unwrap().session;
        let frames = &session.sets[set].frames;
        let label = |f| session.decisions.labels.get(f).map_or("-", |l| l.view.as_str());
        frames.iter().map(label).collect::<Vec<_>>().join(" ")
    }

    pub(crate) fn undo_words(&self) -> Option<&str> {
        self.app().history_words().0
    }
}

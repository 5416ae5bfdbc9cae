//! A window to test with: its own data folder, a small card drawn on the spot, driven by keys and names.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use std::cell::Cell;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use endleaf::window::{App, Outside, Start};
use image::{GrayImage, ImageEncoder as _, Luma};
use record::Taken;
use tempfile::TempDir;

/// A card of frames as one line of text: `f` a frame with a dark square on it, `c` one whose edge cuts the square, `_` a
/// blank.
pub(crate) fn draw_card(folder: &Path, day: &str) {
    add_frames(folder, 1, day);
}

/// Adds frames to a card, the first with this number.
pub(crate) fn add_frames(folder: &Path, from: usize, day: &str) {
    let dcim = folder.join("DCIM/100INVNT");
    std::fs::create_dir_all(&dcim).unwrap();
    for (n, c) in (from..).zip(day.chars()) {
        frame_picture(c).save(dcim.join(format!("INV_{n:04}.PNG"))).unwrap();
    }
}

/// All frames look the same, so that looks tell no view from another.
fn frame_picture(c: char) -> GrayImage {
    let dark = 20;
    let left = if c == 'c' { 0 } else { 30 };
    let inside = |x, y| c != '_' && (left..left + 36).contains(&x) && (16..48).contains(&y);
    GrayImage::from_fn(96, 64, |x, y| Luma([if inside(x, y) { dark } else { 200 }]))
}

/// Draws a photographed jar card with a code of this text in place of a frame.
pub(crate) fn draw_jar_card(folder: &Path, frame: usize, text: &str) {
    let code = qrcodegen::QrCode::encode_text(text, qrcodegen::QrCodeEcc::Medium).unwrap();
    let module = |x: u32, y: u32| code.get_module(x.cast_signed() / 10 - 20, y.cast_signed() / 10 - 10);
    let card = GrayImage::from_fn(720, 480, |x, y| Luma([if module(x, y) { 30 } else { 200 }]));
    card.save(folder.join(format!("DCIM/100INVNT/INV_{frame:04}.PNG"))).unwrap();
}

/// Draws frames of invented cameras, one a word: model, `f` or `_`, and the time by the camera's clock on 14 June
/// 2026, as in `One:f:10:00:00`.
pub(crate) fn draw_bodies(folder: &Path, day: &str) {
    for (n, word) in (1..).zip(day.split_whitespace()) {
        let mut parts = word.splitn(3, ':');
        let (model, c, time) = (parts.next().unwrap(), parts.next().unwrap(), parts.next().unwrap());
        let dcim = folder.join(format!("DCIM/100{:5}", model.to_uppercase()).replace(' ', "X"));
        std::fs::create_dir_all(&dcim).unwrap();
        let mut png = Vec::new();
        let mut encoder = image::codecs::png::PngEncoder::new(&mut png);
        encoder.set_exif_metadata(exif(model, &format!("2026:06:14 {time}"))).unwrap();
        let picture = frame_picture(c.chars().next().unwrap());
        encoder.write_image(&picture, 96, 64, image::ExtendedColorType::L8).unwrap();
        std::fs::write(dcim.join(format!("INV_{n:04}.PNG")), png).unwrap();
    }
}

/// Camera data as a little TIFF (Exif 2.32, 4.6): maker, model, serial and capture time.
fn exif(model: &str, time: &str) -> Vec<u8> {
    let text = |tag: u16, value: &str, room: &mut Vec<u8>, base: usize| {
        let at = base + room.len();
        room.extend(value.bytes().chain([0]));
        // Values of up to four bytes would stand in the entry itself.
        room.extend(vec![0; room.len() % 2]);
        assert!(value.len() >= 4);
        entry(tag, 2, value.len() as u32 + 1, at as u32)
    };
    // Header, a directory of three entries, one of two; texts follow.
    let (first, second) = (8, 8 + 2 + 3 * 12 + 4);
    let base = second + 2 + 2 * 12 + 4;
    let mut room = Vec::new();
    let model_text = format!("Model {model}");
    let directories = [
        vec![
            text(0x010f, "Invented", &mut room, base),
            text(0x0110, &model_text, &mut room, base),
            entry(0x8769, 4, 1, second as u32),
        ],
        vec![text(0x9003, time, &mut room, base), text(0xa431, &format!("00-{model}-1"), &mut room, base)],
    ];
    let mut tiff = b"II*\0".to_vec();
    tiff.extend((first as u32).to_le_bytes());
    for directory in directories {
        tiff.extend((directory.len() as u16).to_le_bytes());
        tiff.extend(directory.concat());
        tiff.extend([0; 4]);
    }
    tiff.extend(room);
    tiff
}

fn entry(tag: u16, kind: u16, count: u32, value: u32) -> Vec<u8> {
    let mut entry = [tag.to_le_bytes(), kind.to_le_bytes()].concat();
    entry.extend([count.to_le_bytes(), value.to_le_bytes()].concat());
    entry
}

thread_local! {
    /// By how many minutes the clock of this test's computer is ahead.
    static AHEAD_MIN: Cell<i32> = const { Cell::new(0) };
}

/// The clock of the computer that the window is tested on.
fn clock() -> Taken {
    endleaf::day::now().shifted(f64::from(AHEAD_MIN.get()) * 60.0).unwrap()
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
        Self::on_card(|card| draw_card(card, day))
    }

    /// Opens the window on a card drawn by this, and waits until it is read.
    pub(crate) fn on_card(draw: impl FnOnce(&Path)) -> Self {
        Self::on_card_at(0, draw)
    }

    /// The same with the computer's clock so many minutes ahead.
    pub(crate) fn on_card_at(ahead_min: i32, draw: impl FnOnce(&Path)) -> Self {
        AHEAD_MIN.set(ahead_min);
        let desk = Self::with(|folder| {
            let card = folder.join("heath");
            draw(&card);
            Some(card)
        });
        assert!(desk.app().day().is_some(), "{:?}", desk.app().notice_words());
        desk
    }

    /// Opens the window without a card, with this in place of what it asks of the computer.
    pub(crate) fn with_outside(outside: Outside) -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self { window: Self::at(folder.path(), None, outside).window, folder }
    }

    /// The same on a card of this day.
    pub(crate) fn on_with(outside: Outside, day: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let card = folder.path().join("heath");
        draw_card(&card, day);
        Self { window: Self::at(folder.path(), Some(card), outside).window, folder }
    }

    /// The same on a display of this many pixels a point, in a window of this size in points.
    pub(crate) fn on_display(scale: f32, size: [f32; 2], day: &str) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let card = folder.path().join("heath");
        draw_card(&card, day);
        let start = Self::start(folder.path(), Some(card));
        let builder = Harness::builder().with_size(size).with_pixels_per_point(scale);
        let window = builder.with_max_steps(200).build_eframe(|cc| App::new(&cc.egui_ctx, start));
        let mut desk = Self { window, folder };
        desk.wait();
        desk
    }

    /// Opens another window on the desk of one opened before, and on a card of it.
    pub(crate) fn again(desk: &Path, card: &Path) -> Self {
        let opened = Self::at(desk, Some(card.to_owned()), Outside::default());
        assert!(opened.app().day().is_some(), "{:?}", opened.app().notice_words());
        opened
    }

    /// The same without a card.
    pub(crate) fn again_empty(desk: &Path) -> Self {
        Self::at(desk, None, Outside::default())
    }

    fn with(card: impl FnOnce(&Path) -> Option<PathBuf>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let card = card(folder.path());
        Self { window: Self::at(folder.path(), card, Outside::default()).window, folder }
    }

    /// Closes the window and opens another on the same desk, on this card of it if any.
    pub(crate) fn open_again(self, card: Option<&str>) -> Self {
        let Self { mut window, folder } = self;
        // The program writes what is to be kept when it ends.
        eframe::App::on_exit(window.state_mut(), None);
        drop(window);
        let card = card.map(|card| folder.path().join(card));
        Self { window: Self::at(folder.path(), card, Outside::default()).window, folder }
    }

    fn start(desk: &Path, card: Option<PathBuf>) -> Start {
        Start {
            card,
            home: Some(desk.join("home")),
            cache: Some(desk.join("cache")),
            dark: Some(false),
            clock: Some(clock),
            ..Start::default()
        }
    }

    fn at(desk: &Path, card: Option<PathBuf>, outside: Outside) -> Self {
        // The desk is another's: this folder is only there to be dropped.
        let folder = tempfile::tempdir().unwrap();
        let start = Start { outside, ..Self::start(desk, card) };
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

    /// Goes on until something holds that work beside the window brings about.
    pub(crate) fn wait_for(&mut self, what: &str, holds: impl Fn(&Self) -> bool) {
        for _ in 0..4_000 {
            self.window.step();
            if holds(self) {
                self.wait();
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        panic!("{what} does not come; {:?}", self.app().notice_words());
    }

    /// Goes on until something holds, whatever still runs beside the window.
    pub(crate) fn wait_until(&mut self, holds: impl Fn(&Self) -> bool) {
        for _ in 0..4_000 {
            self.window.step();
            if holds(self) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        panic!("it does not come; {:?}", self.app().notice_words());
    }

    /// Moves the computer's clock ahead and lets a second of the window pass.
    pub(crate) fn pass_minutes(&mut self, minutes: i32) {
        AHEAD_MIN.set(AHEAD_MIN.get() + minutes);
        let until = self.window.ctx.time() + 1.5;
        while self.window.ctx.time() < until {
            self.window.step();
        }
    }

    /// Files the day into the folder `archive` of the desk, by keys.
    pub(crate) fn file(&mut self) -> PathBuf {
        let archive = self.folder.path().join("archive");
        self.key(Key::F8);
        self.type_text(archive.to_str().unwrap());
        self.key(Key::Enter);
        self.key(Key::Tab);
        self.key_with(Modifiers { shift: true, ..Modifiers::COMMAND }, Key::F);
        assert!(!self.app().day().unwrap().session.filed.is_empty(), "{:?}", self.app().notice_words());
        archive
    }

    /// Whether something with words like these is on the screen.
    pub(crate) fn says(&self, words: &str) -> bool {
        self.window.query_all_by_label_contains(words).next().is_some()
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

    /// Presses several keys and draws one frame.
    pub(crate) fn at_once(&mut self, keys: &[(Modifiers, Key)]) {
        let pressed = keys.iter().map(|(modifiers, key)| egui::Event::Key {
            key: *key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: *modifiers,
        });
        self.window.input_mut().events.extend(pressed);
        self.window.step();
    }

    /// Presses a key and draws no more than one frame.
    pub(crate) fn tap(&mut self, modifiers: Modifiers, key: Key) {
        let down = egui::Event::Key { key, physical_key: None, pressed: true, repeat: false, modifiers };
        self.window.event(down);
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

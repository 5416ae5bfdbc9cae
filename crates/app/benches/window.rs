//! Times passes of the window without a screen: drawing and tessellating, all that the processor does for one picture of
//! it but what a graphics driver does.
//!
//! `cargo bench -p endleaf --bench window` draws a card of 600 specimens of six views, every tenth lacking one, opens it,
//! waits until nothing runs beside the window and all pictures are there, and prints the median, the 99th percentile and
//! the longest of 1,000 passes of the day sheet for each size of the window: standing still, while it is scrolled, and
//! while its rows are gone through by key; then those in which a view is labelled.
//!
//! `cargo bench -p endleaf --bench window -- FOLDER` opens that card instead, twice, and prints how long that takes until
//! every picture of the day sheet is there, with an empty and with a full preview cache; then it goes through the day sheet
//! and through the frames of thirty specimens, and prints what memory the process takes (Linux) without any driver's.
//!
//! `cargo bench -p endleaf --bench window -- FILE` prints how long that picture takes in full, from the file to the pixels
//! that are drawn, the fastest of fifteen times.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "its figures are for whoever runs it")]
#![allow(clippy::disallowed_methods, reason = "the clock is what a benchmark is about")]

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use cpu_time::ThreadTime;
use egui::{Color32, Context, Event, Key, Modifiers, Pos2, RawInput, Rect, Vec2, vec2};
use endleaf::window::{App, Screen, Start};
use image::{GrayImage, Luma};
use record::{FileRole, Frame, FrameFile, FrameId, Plan};

const SPECIMENS: usize = 600;
const VIEWS: usize = 6;
/// Every so many specimens one lacks a view.
const LACKS_EVERY: usize = 10;
const PASSES: usize = 1_000;
/// Time between passes, s.
const STEP_SECS: f64 = 1.0 / 60.0;

fn main() {
    // Cargo says itself that this is a bench.
    match std::env::args_os().skip(1).find(|a| a != "--bench").map(PathBuf::from) {
        None => passes(),
        Some(file) if file.is_file() => decode_in_full(&file),
        Some(card) => open_and_look(&card),
    }
}

/// A window without a screen.
struct Window {
    ctx: Context,
    app: App,
    frame: eframe::Frame,
    size: Vec2,
    now_secs: f64,
    begun: Instant,
}

impl Window {
    fn new(size: Vec2, start: Start) -> Self {
        let begun = Instant::now();
        let ctx = Context::default();
        let app = App::new(&ctx, start);
        Self { ctx, app, frame: eframe::Frame::_new_kittest(), size, now_secs: 0.0, begun }
    }

    /// Draws once, and says how long that took the processor.
    fn pass(&mut self, events: Vec<Event>) -> Duration {
        self.now_secs += STEP_SECS;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.size)),
            time: Some(self.now_secs),
            events,
            focused: true,
            max_texture_side: Some(16_384),
            ..RawInput::default()
        };
        let begun = ThreadTime::now();
        let output = self.ctx.run_ui(input, |ui| {
            let ctx = ui.ctx().clone();
            eframe::App::logic(&mut self.app, &ctx, &mut self.frame);
            eframe::App::ui(&mut self.app, ui, &mut self.frame);
        });
        let meshes = self.ctx.tessellate(output.shapes, output.pixels_per_point);
        let took = begun.elapsed();
        assert!(!meshes.is_empty());
        took
    }

    fn press(&mut self, key: Key) -> Duration {
        self.press_with(Modifiers::NONE, key)
    }

    fn press_with(&mut self, modifiers: Modifiers, key: Key) -> Duration {
        let event = |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
        let took = self.pass(vec![event(true)]);
        self.pass(vec![event(false)]);
        took
    }

    /// Goes on until this holds, and says how long after the window was begun that was.
    fn until(&mut self, holds: impl Fn(&App) -> bool) -> Duration {
        let limit = Instant::now() + Duration::from_mins(10);
        loop {
            self.pass(vec![]);
            if holds(&self.app) {
                return self.begun.elapsed();
            }
            assert!(Instant::now() < limit, "{:?}", self.app.notice_words());
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    fn until_shown(&mut self) -> Duration {
        // What a pass asks for is known after it.
        self.pass(vec![]);
        self.until(|app| !app.waits_for_pictures())
    }
}

fn passes() {
    let folder = tempfile::tempdir().unwrap();
    draw_card(&folder.path().join("card"));
    for size in [vec2(1280.0, 800.0), vec2(1920.0, 1080.0)] {
        let mut window = Window::new(size, start(&folder.path().join("card"), folder.path(), Some(plan())));
        window.until(|app| app.day().is_some());
        window.until(|app| !app.is_busy());
        window.press(Key::F6);
        assert_eq!(window.app.screen(), Screen::DaySheet);
        for _ in 0..SPECIMENS {
            window.press(Key::ArrowDown);
            window.until_shown();
        }
        window.press(Key::Home);
        window.until_shown();
        println!("{} x {}, {} specimens:", size.x, size.y, window.app.day().unwrap().session.sets.len());
        report("standing still", (0..PASSES).map(|_| window.pass(vec![])).collect());
        // The pointer is over the rows, as it is when they are scrolled.
        let over = Event::PointerMoved(Pos2::new(size.x / 3.0, size.y / 2.0));
        window.pass(vec![over]);
        let mut down = true;
        let scroll = |n: usize| {
            down ^= n.is_multiple_of(PASSES / 4);
            let delta = vec2(0.0, if down { 90.0 } else { -90.0 });
            let modifiers = Modifiers::NONE;
            let phase = egui::TouchPhase::Move;
            let (unit, source) = (egui::MouseWheelUnit::Point, egui::MouseWheelSource::Unknown);
            vec![Event::MouseWheel { unit, delta, phase, source, modifiers }]
        };
        let events: Vec<_> = (0..PASSES).map(scroll).collect();
        report("scrolled", events.into_iter().map(|events| window.pass(events)).collect());
        window.press(Key::Home);
        report("rows by key", (0..PASSES / 2).map(|_| window.press(Key::ArrowDown)).collect());
        window.press(Key::Home);
        window.press(Key::F7);
        window.until_shown();
        let letters = [Key::A, Key::B, Key::C, Key::D, Key::E, Key::F];
        report("a view labelled", letters.into_iter().map(|key| window.press(key)).collect());
    }
}

fn report(what: &str, mut times: Vec<Duration>) {
    times.sort();
    let ms = |at: usize| times[at.min(times.len() - 1)].as_secs_f64() * 1e3;
    let (median, most) = (ms(times.len() / 2), ms(times.len() * 99 / 100));
    println!(
        "  {what:16} median {median:.2} ms, 99th percentile {most:.2} ms, longest {:.2} ms",
        ms(times.len())
    );
}

fn start(card: &Path, folder: &Path, plan: Option<Plan>) -> Start {
    Start {
        card: Some(card.to_owned()),
        plan,
        dark: Some(false),
        home: Some(folder.join("home")),
        cache: Some(folder.join("cache")),
        ..Start::default()
    }
}

/// A round of six views with the letters a to f.
fn plan() -> Plan {
    let view = |i: usize| {
        let letter = char::from(b'a' + i as u8);
        format!(
            "(key: \"{letter}\", name: \"View {letter}\", letter: '{letter}', required: true, subject_part: \"\",
              subject_orientation: \"\", hint: \"\"),"
        )
    };
    let views: String = (0..VIEWS).map(view).collect();
    Plan::from_text(&format!("(key: \"six\", name: \"Six views\", views: [{views}])")).unwrap()
}

/// Small pictures of a dark square on paper, a blank after each specimen.
fn draw_card(card: &Path) {
    let picture = |n: usize, blank: bool| {
        let left = 20 + (n % VIEWS) as u32 * 4;
        let inside = |x, y| !blank && (left..left + 36).contains(&x) && (16..48).contains(&y);
        GrayImage::from_fn(96, 64, |x, y| Luma([if inside(x, y) { 20 } else { 200 }]))
    };
    let mut number = 0;
    let dcim = card.join("DCIM/100BENCH");
    std::fs::create_dir_all(&dcim).unwrap();
    for specimen in 0..SPECIMENS {
        let views = VIEWS - usize::from(specimen % LACKS_EVERY == LACKS_EVERY - 1);
        for view in 0..=views {
            number += 1;
            picture(view, view == views).save(dcim.join(format!("BEN_{number:04}.PNG"))).unwrap();
        }
    }
}

fn decode_in_full(path: &Path) {
    let name = path.file_name().unwrap().to_str().unwrap().to_owned();
    let bytes = path.metadata().unwrap().len();
    let file = FrameFile { path: name, bytes, role: FileRole::Picture };
    let (folder, frame) = (path.parent().unwrap(), Frame::new(FrameId(0), vec![file]));
    let fastest = (0..15).map(|_| {
        let begun = Instant::now();
        let picture = import::picture::<Color32>(folder, &frame).unwrap();
        (begun.elapsed(), (picture.width, picture.height))
    });
    let (took, (width, height)) = fastest.min().unwrap();
    println!("{width} x {height}: {:.1} ms", took.as_secs_f64() * 1e3);
}

fn open_and_look(card: &Path) {
    let folder = tempfile::tempdir().unwrap();
    let size = vec2(1280.0, 800.0);
    for cache in ["empty", "full"] {
        let mut window = Window::new(size, start(card, folder.path(), None));
        let read = window.until(|app| app.day().is_some());
        window.press(Key::F6);
        let sheet = window.begun.elapsed();
        let shown = window.until_shown();
        println!(
            "{cache} cache: read after {:.2} s, day sheet after {:.2} s, its pictures after {:.2} s",
            read.as_secs_f64(),
            sheet.as_secs_f64(),
            shown.as_secs_f64()
        );
        if cache == "empty" {
            memory("opened");
            go_through(&mut window);
        }
        window.until(|app| !app.is_busy() || app.is_looking());
    }
}

/// Goes through the day sheet, then opens specimens and looks at each of their frames, at last pixel for pixel.
fn go_through(window: &mut Window) {
    let rows = window.app.day().unwrap().session.sets.len();
    while window.app.chosen_set() + 1 < rows {
        window.press(Key::PageDown);
        window.until_shown();
    }
    memory("after the day sheet");
    window.press(Key::Home);
    window.press(Key::Enter);
    for _ in 0..30 {
        for _ in 0..5 {
            window.until_shown();
            window.press(Key::ArrowRight);
        }
        window.press_with(Modifiers::COMMAND, Key::Num1);
        window.until_shown();
        window.press_with(Modifiers::COMMAND, Key::Num1);
        window.press(Key::PageDown);
    }
    memory("after 30 specimens");
}

/// Prints what the process takes now and took at most, as the system says.
fn memory(when: &str) {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let of = |name: &str| status.lines().find_map(|l| l.strip_prefix(name)).map_or("?", str::trim).to_owned();
    println!("  {when}: {} resident, {} at most", of("VmRSS:"), of("VmHWM:"));
}

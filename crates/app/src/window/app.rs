//! The window's heart: takes what jobs report, matches keys, draws the open screen, carries actions out.

use std::path::PathBuf;

use egui::{Context, Rect, Ui, UiBuilder, pos2};
use filing::previews::Previews;
use filing::store::Store;
use record::Taken;

use super::action::Action;
use super::colour_pick::Picking;
use super::command::Command;
use super::demo::Demo;
use super::kept_previews::KeptPreviews;
use super::key_map::KeyMap;
use super::keys::{Asked, Keyboard};
use super::learned::Learned;
use super::look::{self, BAR_PX, LINE_PX, tokens};
use super::name_lists::NameLists;
use super::notes_draft::is_notes;
use super::open_day::OpenDay;
use super::outside::Outside;
use super::over::Overs;
use super::pictures::Pictures;
use super::saver::Saver;
use super::screens::{self, Tools};
use super::settings::Settings;
use super::sheet_order::chosen;
use super::state::{Notice, Overlay, Screen, UiState};
use super::thumbs::Thumbs;
use super::watching::Watching;
use super::work::Jobs;
use super::{Start, bars, keys, look_line, making, overlays, quiet_line, watch_line};
use crate::plans::{self, PlanShelf};

/// The window.
pub struct App {
    pub(super) ctx: Context,
    pub(super) store: Option<Store>,
    pub(super) saver: Option<Saver>,
    pub(super) shelf: PlanShelf,
    pub(super) demos: Vec<Demo>,
    pub(super) settings: Settings,
    pub(super) name: Option<String>,
    pub(super) open: Option<OpenDay>,
    pub(super) state: UiState,
    pub(super) jobs: Jobs,
    pub(super) watching: Option<Watching>,
    /// What was learned on this computer.
    pub(super) learned: Learned,
    /// Lists of names that the person added.
    pub(super) name_lists: NameLists,
    /// The computer's clock.
    pub(super) clock: fn() -> Taken,
    /// Small pictures of earlier days; `None` where the system names no place for them.
    pub(super) kept_previews: Option<KeptPreviews>,
    /// What is asked of the computer.
    pub(super) outside: Outside,
    pub(super) thumbs: Option<Thumbs>,
    pub(super) pictures: Option<Pictures>,
    pub(super) overs: Option<Overs>,
    /// The colour that is being worked out.
    pub(super) picking: Option<Picking>,
    /// The command asked for last.
    pub(super) asked: Option<Command>,
    /// Seconds since the window opened, as of this frame.
    pub(super) now_secs: f64,
    /// When the clock was looked at last.
    pub(super) looked_secs: f64,
    /// Whether something floated over the screen when the last frame was drawn.
    floated: bool,
    /// Whether a text field had the keyboard when the last frame was drawn.
    typing: bool,
}

impl App {
    /// Prepares the window, and begins to read a card when one was given.
    pub fn new(ctx: &Context, start: Start) -> Self {
        look::install(ctx, start.dark);
        let mut state = UiState::default();
        state.start.focus = true;
        let (store, mut shelf) = match open_home(start.home) {
            Ok((store, shelf)) => (Some(store), shelf),
            Err(words) => {
                state.notice = Some(Notice { words, grave: true });
                (None, PlanShelf { plans: plans::built_in(), refused: Vec::new() })
            }
        };
        if !shelf.refused.is_empty() && state.notice.is_none() {
            state.notice = Some(Notice { words: shelf.refused.join(" "), grave: true });
        }
        if let Some(plan) = start.plan {
            state.start.plan = Some(shelf.plans.iter().position(|p| *p == plan).unwrap_or_else(|| {
                shelf.plans.push(plan);
                shelf.plans.len() - 1
            }));
        }
        let wake = ctx.clone();
        let saver = store.clone().map(|store| Saver::start(store, move || wake.request_repaint()));
        let mut app = Self {
            ctx: ctx.clone(),
            store,
            saver,
            shelf,
            demos: super::demo::find(),
            settings: Settings::default(),
            name: start.name,
            open: None,
            state,
            jobs: Jobs::default(),
            watching: None,
            learned: Learned::default(),
            name_lists: NameLists::default(),
            clock: start.clock.unwrap_or(crate::day::now),
            outside: start.outside,
            looked_secs: 0.0,
            kept_previews: start.cache.or_else(Previews::default_folder).map(KeptPreviews::start),
            thumbs: None,
            pictures: None,
            overs: None,
            picking: None,
            asked: None,
            now_secs: 0.0,
            floated: false,
            typing: false,
        };
        app.take_settings();
        app.read_name_lists();
        if start.card.is_none() {
            app.look_for_unfinished();
        }
        if let Some(card) = start.card {
            app.state.start.path = card.display().to_string();
            app.open_card(card);
        }
        app
    }

    /// Whether anything still runs beside the window: reading, looking closer, filing, saving.
    pub fn is_busy(&self) -> bool {
        self.jobs.any()
            || self.picking.is_some()
            || self.learned.is_read()
            || self.name_lists.are_read()
            || self.open.as_ref().is_some_and(|o| o.look.going.is_some() || o.evidence.are_sought())
            || self.saver.as_ref().is_some_and(|s| !s.is_idle())
    }

    /// Whether pictures that were asked for when the window was drawn last are not there yet.
    pub fn waits_for_pictures(&self) -> bool {
        let large =
            self.state.screen == Screen::Specimen && self.pictures.as_ref().is_some_and(Pictures::waits);
        large || self.thumbs.as_ref().is_some_and(Thumbs::waits)
    }

    /// Width and height of the picture that is there of the chosen frame on the specimen page, px; `None` while there is
    /// no more than a thumbnail.
    pub fn picture_px(&self) -> Option<[f32; 2]> {
        let shown = self.pictures.as_ref()?.get(self.state.frame?).shown?;
        Some(shown.size_px.into())
    }

    /// The open screen.
    pub fn screen(&self) -> Screen {
        self.state.screen
    }

    /// The open day, when a card was read.
    pub fn day(&self) -> Option<&crate::day::Day> {
        self.open.as_ref().map(|o| &o.day)
    }

    /// The animals short of a view, most urgent first, with how long each has been held.
    pub fn held(&self) -> &[grouping::Held] {
        self.open.as_ref().map_or(&[], |o| &o.held)
    }

    /// Whether a folder is being watched.
    pub fn is_watching(&self) -> bool {
        self.watching.is_some()
    }

    /// Whether a closer look goes on.
    pub fn is_looking(&self) -> bool {
        self.open.as_ref().is_some_and(|o| o.look.going.is_some())
    }

    /// The place of the chosen specimen's set.
    pub fn chosen_set(&self) -> usize {
        self.state.set
    }

    /// The chosen frame.
    pub fn chosen_frame(&self) -> Option<record::FrameId> {
        self.state.frame
    }

    /// The part of the day that the trace shows, as shares of its frames.
    pub fn trace_part(&self) -> (f32, f32) {
        (self.state.card.part.from, self.state.card.part.to)
    }

    /// Screen pixels that a pixel of the large picture takes, and which point of it is in the middle.
    pub fn picture_lies(&self) -> (f32, egui::Vec2) {
        (self.state.specimen.lies.zoom, self.state.specimen.middle)
    }

    /// The frame that is held beside the chosen one.
    pub fn held_beside(&self) -> Option<record::FrameId> {
        self.state.specimen.beside
    }

    /// What undo would take back, and redo do again.
    pub fn history_words(&self) -> (Option<&str>, Option<&str>) {
        let history = self.open.as_ref().map(|o| &o.history);
        (history.and_then(record::History::undo_words), history.and_then(record::History::redo_words))
    }

    /// The command asked for last, by a key, a button or the list, whether or not it could be run.
    pub fn asked(&self) -> Option<Command> {
        self.asked
    }

    /// Whether something floats over the screen.
    pub fn floats(&self) -> bool {
        self.state.overlay.is_some()
    }

    /// The message that is shown.
    pub fn notice_words(&self) -> Option<&str> {
        self.state.notice.as_ref().map(|n| n.words.as_str())
    }

    pub(super) fn say(&mut self, words: impl Into<String>) {
        self.state.notice = Some(Notice { words: words.into(), grave: false });
    }

    pub(super) fn complain(&mut self, words: impl Into<String>) {
        self.state.notice = Some(Notice { words: words.into(), grave: true });
    }

    fn run_keys(&mut self, ctx: &Context) {
        if self.jobs.blocks() {
            // Only Esc means something while a card is read or filed, and the key that holds filing up.
            let holds = KeyMap::of(ctx).keys(Command::HoldFiling.entry());
            if holds.iter().any(|chord| keys::was_pressed(ctx, *chord)) {
                self.jobs.filing.hold_or_go_on();
            }
            if ctx.input_mut(|i| i.consume_key(egui::Modifiers::NONE, egui::Key::Escape)) {
                self.jobs.stop();
            }
            return;
        }
        let letters: Vec<char> =
            self.open.iter().flat_map(|o| o.day.session.plan.views.iter().map(|v| v.letter)).collect();
        let keyboard = Keyboard {
            screen: self.state.screen,
            overlay: self.state.overlay.as_ref(),
            typing: self.typing,
            letters: &letters,
            map: &KeyMap::of(ctx),
            here: self.takes_here(ctx),
        };
        for asked in keys::take(ctx, &keyboard) {
            match asked {
                // Filing may have begun by a key before it.
                Asked::Command(Command::HoldFiling) if self.jobs.blocks() => self.jobs.filing.hold_or_go_on(),
                Asked::Command(command) => self.run(command),
                Asked::View(letter) => self.label_by_letter(letter),
                Asked::Here(chord) => self.key_here(chord),
                Asked::Digit(digit) => self.begin_jar(digit),
            }
        }
    }

    fn take_dropped(&mut self, ctx: &Context) {
        let dropped = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_owned()));
        if let Some(path) = dropped.filter(|_| !self.jobs.blocks()) {
            if self.open.is_some() && is_notes(&path) {
                self.act(Action::ReadNotes(path));
                return;
            }
            // A picture dropped stands for its folder.
            let folder =
                if path.is_file() { path.parent().map_or(path.clone(), PathBuf::from) } else { path };
            self.act(Action::Open(folder));
        }
    }

    fn draw(&mut self, ui: &mut Ui) -> Vec<Action> {
        let t = tokens(ui);
        let whole = ui.max_rect();
        ui.painter().rect_filled(whole, 0.0, t.ground);
        let mut actions = Vec::new();
        let bar = Rect::from_min_max(whole.min, pos2(whole.right(), whole.top() + BAR_PX));
        bars::steps(ui, bar, self.open.as_ref(), &self.state, &mut actions);
        let mut top = bar.bottom();
        if self.state.screen != Screen::Start {
            let line = Rect::from_min_max(pos2(whole.left(), top), pos2(whole.right(), top + LINE_PX));
            if let Some(open) = &self.open {
                bars::session_line(ui, line, open, &self.state, &mut actions);
            }
            top = line.bottom();
        }
        let quiet = |top: f32| {
            Rect::from_min_max(pos2(whole.left(), top), pos2(whole.right(), top + quiet_line::HEIGHT_PX))
        };
        let above = top;
        if let Some(watch) = &self.state.watch {
            watch_line::ui(ui, quiet(top), watch, self.open.as_ref(), &mut actions);
            top = quiet(top).bottom();
        }
        let looking = self.open.as_ref().and_then(|o| o.look.going.as_ref());
        let looks = looking.is_some_and(|l| look_line::ui(ui, quiet(top), l, self.now_secs, &mut actions));
        if looks {
            top = quiet(top).bottom();
        }
        if top > above {
            top += 8.0;
        }
        if let Some(notice) = &self.state.notice {
            top = bars::notice(ui, whole, top, notice, &mut actions);
        }
        let room = Rect::from_min_max(pos2(whole.left(), top), whole.max);
        let mut child = ui.new_child(UiBuilder::new().max_rect(room).id_salt("screen"));
        child.shrink_clip_rect(room);
        self.draw_screen(&mut child, room, &mut actions);
        self.draw_overlays(ui, &mut actions);
        actions
    }

    fn draw_screen(&mut self, ui: &mut Ui, room: Rect, actions: &mut Vec<Action>) {
        let page = screens::start::Page {
            plans: &self.shelf.plans,
            demos: &self.demos,
            recent: &self.settings.recent,
            chosen_plan: self.state.start.plan.unwrap_or(0),
            goes_back: self.open.is_some(),
        };
        let (Some(open), Some(thumbs), Some(pictures), Some(overs)) =
            (&self.open, &mut self.thumbs, &mut self.pictures, &mut self.overs)
        else {
            screens::start::ui(ui, room, &page, &mut self.state.start, actions);
            return;
        };
        let known = &self.settings;
        let names = &self.name_lists;
        let mut tools = Tools { thumbs, pictures, overs, known, names, actions };
        match self.state.screen {
            Screen::Start => screens::start::ui(ui, room, &page, &mut self.state.start, tools.actions),
            Screen::Card => screens::card::ui(ui, room, open, &mut self.state, &mut tools),
            Screen::DaySheet => screens::day_sheet::ui(ui, room, open, &mut self.state, &mut tools),
            Screen::Specimen => screens::specimen::ui(ui, room, open, &mut self.state, &mut tools),
            Screen::Filing => {
                screens::filing::ui(ui, room, open, &mut self.state.filing, self.jobs.plans(), tools.actions);
            }
            Screen::Exchange => {
                let page = screens::exchange::Page {
                    open,
                    known,
                    surveys: self.jobs.exchange.surveys(),
                    missing: making::ready(open, &self.state.exchange, known.unnamed()).err(),
                    chosen: chosen(open, &self.state).len(),
                    today: (self.clock)().date(),
                };
                screens::exchange::ui(ui, room, &page, &mut self.state.exchange, tools.actions);
            }
        }
        screens::carry::draw(ui, open, &mut tools);
    }

    fn draw_overlays(&mut self, ui: &mut Ui, actions: &mut Vec<Action>) {
        if let Some(work) = self.jobs.shown(self.now_secs) {
            overlays::progress::ui(ui, &work, actions);
            return;
        }
        // It is taken out while it is drawn, not copied: a notebook or a track in it may be large.
        let mut overlay = self.state.overlay.take();
        let (open, state) = (self.open.as_ref(), &self.state);
        match &mut overlay {
            None => {}
            Some(Overlay::Help) => {
                let home = self.store.as_ref().map(Store::home);
                let cache = self.kept_previews.as_ref().map(KeptPreviews::folder);
                overlays::help::ui(ui, open, [home, cache], actions);
            }
            Some(Overlay::Commands { text, at, changing, refused }) => {
                let list = overlays::commands::List { typed: text, at, changing, refused };
                overlays::commands::ui(ui, list, open, state, actions);
            }
            Some(Overlay::Plans { at }) => {
                overlays::plans::ui(ui, &self.shelf.plans, &self.learned, at, open, actions);
            }
            Some(Overlay::Ask { question, text, refused }) => {
                let asked = overlays::ask::Asked { question, typed: text, refused };
                overlays::ask::ui(ui, open, asked, self.thumbs.as_mut(), actions);
            }
            Some(Overlay::LineUp { stays, moves }) => {
                overlays::line_up::ui(ui, open, [*stays, *moves], self.thumbs.as_mut(), actions);
            }
            Some(Overlay::Fields(owner)) => {
                let (typed, known) = (&mut self.state.typed, &self.settings);
                overlays::fields::ui(ui, open, owner, typed, known, actions);
            }
            Some(Overlay::Sent(draft)) => {
                overlays::sent::ui(ui, open, draft, &(self.clock)().date(), actions);
            }
            Some(Overlay::ReadNotes { path, refused }) => overlays::notes_in::ask(ui, path, refused, actions),
            Some(Overlay::Notebook(draft)) => overlays::notes_in::notebook(ui, open, draft, actions),
            Some(Overlay::Track(draft)) => overlays::notes_in::track(ui, open, draft, actions),
            Some(Overlay::Answers(draft)) => overlays::answers::ui(ui, open, draft, actions),
            Some(Overlay::Map) => overlays::day_map::ui(ui, open, state.set, actions),
            Some(Overlay::Names(draft)) => overlays::names::ui(ui, open, draft, actions),
            Some(Overlay::TakeBack) => overlays::take_back::ui(ui, open, actions),
            Some(Overlay::GoOn) => overlays::go_on::ui(ui, state, actions),
            Some(Overlay::Menu { corner, at }) => {
                overlays::menu::ui(ui, *corner, at, open, state, actions);
            }
            Some(Overlay::Forget) => overlays::forget::ui(ui, open, &self.learned, actions),
            Some(Overlay::Retakes(list)) => overlays::retakes::ui(ui, list, open, state, actions),
            Some(Overlay::Evidence) => {
                overlays::evidence::ui(ui, open, state.frame, self.thumbs.as_mut(), actions);
            }
        }
        self.state.overlay = overlay;
    }
}

/// Opens what is kept in a data folder: the store of sessions, and the plans.
fn open_home(home: Option<PathBuf>) -> Result<(Store, PlanShelf), String> {
    let home = home.map_or_else(Store::default_home, Ok).map_err(|fault| fault.to_string())?;
    let store = Store::open(&home).map_err(|fault| fault.to_string())?;
    Ok((store, plans::shelf(&home)))
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        self.now_secs = ctx.time();
        self.take_reports();
        self.take_dropped(ctx);
        self.run_keys(ctx);
        self.look_at_clock();
        self.seek_evidence();
        let waits = [self.jobs.next_look_secs(), self.next_tick_secs(), self.next_told_secs()];
        let wait_secs = waits.into_iter().flatten();
        if let Some(wait_secs) = wait_secs.reduce(f64::min) {
            ctx.request_repaint_after(std::time::Duration::from_secs_f64(wait_secs));
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        let ctx = ui.ctx().clone();
        if let Some(thumbs) = &mut self.thumbs {
            thumbs.begin(&ctx);
        }
        let actions = self.draw(ui);
        if let Some(thumbs) = &mut self.thumbs {
            thumbs.end();
        }
        self.typing = ctx.text_edit_focused();
        if !actions.is_empty() {
            ctx.request_repaint();
        }
        for action in actions {
            self.act(action);
        }
        self.look_rests();
        let floats = self.state.overlay.is_some();
        if self.floated && !floats {
            // A field went with the panel: the next key is a command again.
            ctx.memory_mut(|m| m.focused().into_iter().for_each(|id| m.surrender_focus(id)));
            self.typing = false;
            self.state.specimen.scoring.focus = true;
            self.state.start.focus = true;
        }
        self.floated = floats;
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        visuals.panel_fill.to_normalized_gamma_f32()
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.commit_typing();
        self.remember_day();
        // Dropping it waits until everything is written.
        self.saver = None;
    }
}

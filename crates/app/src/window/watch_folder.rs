//! What the window does with a folder that is being watched: begins, takes what came, lets the clock go on, stops.

use record::FrameId;

use super::app::App;
use super::open_day::OpenDay;
use super::preview::Preview;
use super::run_aside;
use super::state::{Screen, Typing, WatchState};
use super::watching::{Begin, Came, Watching};
use import::watch::State;
use std::path::PathBuf;

/// How often times of holding are told anew, s.
const TICK_SECS: f64 = 1.0;

impl App {
    /// Begins to watch a folder. Its day is opened with its first frames.
    pub(super) fn watch(&mut self, folder: PathBuf) {
        self.commit_typing();
        let begin = Begin { options: self.open_options(), store: self.store.clone(), clock: self.clock };
        self.begin_watching(folder, Some(begin));
    }

    /// Stops watching, or begins to watch the open folder.
    pub(super) fn watch_or_stop(&mut self) {
        if self.watching.is_some() {
            self.stop_watching();
        } else if let Some(folder) = self.open.as_ref().map(|o| o.day.card.clone()) {
            self.begin_watching(folder, None);
        }
    }

    fn begin_watching(&mut self, folder: PathBuf, begin: Option<Begin>) {
        self.stop_watching();
        self.state.notice = None;
        if let Some(open) = self.open.as_mut().filter(|_| begin.is_none()) {
            open.set_watched(true);
        }
        self.state.watch = Some(WatchState {
            folder: folder.clone(),
            nothing: None,
            came: 0,
            closed: Vec::new(),
            reading: None,
        });
        self.watching = Some(Watching::start(folder, begin, self.now_secs, self.waker()));
    }

    /// Ends watching; what was read stands.
    pub(super) fn stop_watching(&mut self) {
        self.watching = None;
        self.state.watch = None;
        if let Some(open) = &mut self.open {
            open.set_watched(false);
        }
    }

    /// Takes what came, unless something runs that works on the session as it is.
    pub(super) fn take_watched(&mut self) {
        let Some(watching) = self.watching.as_ref().filter(|_| !self.jobs.blocks()) else { return };
        if let Some(watch) = &mut self.state.watch {
            watch.reading = watching.reading();
        }
        match watching.take() {
            Ok(None) => {}
            Ok(Some(came)) => self.take_came(came),
            Err(words) => {
                self.stop_watching();
                self.complain(words);
                self.state.start.focus = self.state.screen == Screen::Start;
            }
        }
    }

    fn take_came(&mut self, came: Came) {
        if let Some(watch) = &mut self.state.watch {
            watch.nothing = None;
            match &came {
                Came::Nothing(why) => watch.nothing = Some(why),
                Came::State(state) => watch.came += state.arrived.len(),
                Came::Day(_) => {}
            }
        }
        match came {
            Came::Nothing(_) => {}
            Came::Day(day) => self.take_day(*day),
            Came::State(state) => self.take_state(state),
        }
    }

    fn take_state(&mut self, state: State) {
        let now = (self.clock)();
        let closed = self.open.as_ref().map(run_aside::closed).unwrap_or_default();
        self.while_kept(|open| {
            open.day.now = Some(now);
            open.take_in(state);
        });
        if let (Some(thumbs), Some(pictures), Some(overs)) =
            (&mut self.thumbs, &mut self.pictures, &mut self.overs)
        {
            thumbs.forget_broken();
            pictures.forget_broken();
            overs.forget_broken();
        }
        self.tell_closed(&closed);
        self.look_by_itself();
    }

    /// Takes something into the open day that work beside the window brought. What is chosen, typed and dragged stays.
    pub(super) fn while_kept(&mut self, change: impl FnOnce(&mut OpenDay)) {
        let query = self.open.as_ref().and_then(|o| o.day.grouping.queries.get(self.state.query)).cloned();
        let places = self.open.as_ref().map(|o| o.day.session.sets.clone()).unwrap_or_default();
        let Some(open) = &mut self.open else { return };
        change(open);
        let session = &open.day.session;
        let place = |typing: &Typing| {
            let frames: &[FrameId] = places.get(typing.set).map_or(&[], |s| &s.frames);
            frames.iter().find_map(|f| session.set_of(*f))
        };
        let (sheet, specimen) = (&mut self.state.sheet, &mut self.state.specimen);
        for typing in [&mut sheet.jar, &mut specimen.jar, &mut specimen.note] {
            // A text belongs to the animal it was typed for, wherever that stands now.
            if let Some((typed, set)) = typing.as_mut().and_then(|t| place(t).map(|set| (t, set))) {
                typed.set = set;
            }
        }
        let same = |asked: &record::Query| {
            query.as_ref().is_some_and(|q| (q.kind, &q.frames) == (asked.kind, &asked.frames))
        };
        let at = open.day.grouping.queries.iter().position(same);
        let level = self.state.card.preview.as_ref().map(|p| p.level);
        let preview = level.map(|level| Preview::of(&open.day, level));
        let reveal = self.state.sheet.reveal;
        self.state.query = at.unwrap_or(self.state.query);
        if self.state.frame.is_none() {
            self.state.frame = open.day.session.frames.first().map(|f| f.id);
        }
        self.settle();
        self.state.card.preview = preview;
        self.state.sheet.reveal = reveal;
    }

    /// Tells times of holding anew, once in a while.
    pub(super) fn look_at_clock(&mut self) {
        let due = self.now_secs - self.looked_secs >= TICK_SECS;
        let now = (self.clock)();
        if let Some(open) = self.open.as_mut().filter(|o| due && o.is_live()) {
            open.at(now);
            self.looked_secs = self.now_secs;
        }
    }

    /// When to look at the clock again; `None` while nothing depends on it.
    pub(super) fn next_tick_secs(&self) -> Option<f64> {
        let live = self.open.as_ref().is_some_and(OpenDay::is_live);
        let reads = self.watching.as_ref().is_some_and(|w| w.reading().is_some());
        let left = (TICK_SECS - (self.now_secs - self.looked_secs)).clamp(0.05, TICK_SECS);
        live.then_some(left).or(reads.then_some(TICK_SECS))
    }
}

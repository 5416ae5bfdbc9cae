//! Jobs of the window: reading a card, asking for a folder, and how running work is shown.
//!
//! Starts them and takes their reports. One job a purpose; a newer one replaces the one before. Watching a folder is
//! in `watch_folder`, filing in `work_filing`.

use std::cell::Cell;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use filing::claim::Claimed;
use filing::previews::Emptied;
use filing::store::SessionKey;
use import::{ReadFault, SoFar};

use super::app::App;
use super::command::Command;
use super::exchange_state::ExchangeField;
use super::job::{Hold, Job, Polled};
use super::open_day::OpenDay;
use super::over::Overs;
use super::pictures::Pictures;
use super::state::{FolderAnswer, FolderFor, Screen};
use super::thumbs::Thumbs;
use super::words::tell;
use super::work_exchange::ExchangeJobs;
use super::work_filing::FilingJobs;
use crate::day::{Day, DayFault, OpenOptions};
use crate::first_sets::FirstSets;
use crate::plans;

/// A folder dialog that answers sooner than this never showed, s.
const DIALOG_LEAST: Duration = Duration::from_millis(400);
/// How often the first sets of a card are worked out while it is read.
const TELL_EVERY: Duration = Duration::from_millis(500);
/// How often running work is looked at, s.
const LOOK_EVERY_SECS: f64 = 1.0 / 30.0;

/// What runs beside the window.
#[derive(Debug, Default)]
pub(crate) struct Jobs {
    reading: Option<Job<Result<Box<Day>, String>>>,
    /// The sets that are known of the card that is being read.
    first_sets: Arc<Mutex<Option<FirstSets>>>,
    dialog: Option<(FolderFor, Job<FolderAnswer>)>,
    pub(super) filing: FilingJobs,
    pub(super) exchange: ExchangeJobs,
    pub(super) emptying: Option<Job<Emptied>>,
    /// Writing a page and having it opened; gives where it lies.
    pub(super) printing: Option<Job<Result<PathBuf, String>>>,
    pub(super) notes: Option<super::notes_draft::Reading>,
    pub(super) playing: Option<Job<Result<(), String>>>,
}

/// How running work is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Shown {
    pub(crate) words: String,
    pub(crate) done: usize,
    pub(crate) of: usize,
    /// What is done of what there is to do.
    pub(crate) counted: String,
    /// How much longer it takes, once that can be told.
    pub(crate) left: Option<String>,
    pub(crate) stopping: bool,
    pub(crate) can_stop: bool,
    /// How it stands with being held up, where it can be.
    pub(crate) held: Option<Held>,
    /// The sets known so far of a card that is being read.
    pub(crate) first_sets: Option<FirstSets>,
}

/// How work that can be held up stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Held {
    pub(crate) hold: Hold,
    pub(crate) files: usize,
    pub(crate) all: usize,
}

impl Shown {
    /// A job, with what is done in words.
    pub(super) fn of<T>(job: &Job<T>, counted: impl Fn(usize, usize) -> String) -> Self {
        let (done, of) = job.progress();
        let (words, counted, stopping) = (job.words.clone(), counted(done, of), job.is_stopping());
        Self { words, done, of, counted, left: None, stopping, can_stop: true, held: None, first_sets: None }
    }
}

impl Jobs {
    /// Whether anything runs.
    pub(crate) fn any(&self) -> bool {
        self.blocks()
            || self.dialog.is_some()
            || self.filing.any()
            || self.exchange.any()
            || self.emptying.is_some()
            || self.notes.is_some()
    }

    /// Whether a job runs during which nothing else can be done.
    pub(crate) fn blocks(&self) -> bool {
        self.reading.is_some() || self.filing.blocks() || self.exchange.blocks()
    }

    /// Whether a filing is being worked out.
    pub(crate) fn plans(&self) -> bool {
        self.filing.planning.is_some()
    }

    /// Asks the job that blocks to stop.
    pub(crate) fn stop(&self) {
        if let Some(job) = &self.reading {
            job.stop();
        }
        self.filing.stop();
        self.exchange.stop();
    }

    /// The job to be shown, once it has run for a while.
    pub(crate) fn shown(&self, now_secs: f64) -> Option<Shown> {
        let frames = |done, of| tell!("progress-frames", done = done, of = of);
        let Some(reading) = self.reading.as_ref().filter(|job| job.shows(now_secs)) else {
            return self.filing.shown(now_secs).or_else(|| self.exchange.shown(now_secs));
        };
        let mut shown = Shown::of(reading, frames);
        if reading.checks() {
            shown.counted = tell!("progress-checking", counted = shown.counted);
        }
        shown.first_sets.clone_from(&self.first_sets.lock().unwrap_or_else(PoisonError::into_inner));
        Some(shown)
    }

    /// When to look again at what runs.
    pub(crate) fn next_look_secs(&self) -> Option<f64> {
        self.blocks().then_some(LOOK_EVERY_SECS)
    }
}

/// A job that ended without an answer.
pub(super) struct Broke;

/// Takes the report of a job that has ended, and the job with it.
pub(super) fn ended<T: Send + 'static>(job: &mut Option<Job<T>>) -> Option<Result<T, Broke>> {
    let answer = match job.as_ref()?.poll() {
        Polled::Running => return None,
        Polled::Done(answer) => Ok(answer),
        Polled::Lost => Err(Broke),
    };
    *job = None;
    Some(answer)
}

impl App {
    pub(super) fn waker(&self) -> impl Fn() + Send + Clone + 'static {
        let ctx = self.ctx.clone();
        move || ctx.request_repaint()
    }

    /// How the next day is opened.
    pub(super) fn open_options(&mut self) -> OpenOptions {
        OpenOptions {
            plan: self.state.start.plan.and_then(|at| self.shelf.plans.get(at).cloned()),
            name: self.name.take(),
            afresh: false,
            now: Some((self.clock)()),
        }
    }

    /// Begins to read a card.
    pub(crate) fn open_card(&mut self, card: PathBuf) {
        self.read(card, None);
    }

    /// Opens a day that was open before: its card where it was, else its session alone.
    pub(crate) fn open_again(&mut self, card: PathBuf, key: &str) {
        let key = self.store.as_ref().and_then(|store| store.key_named(key));
        self.read(card, key);
    }

    fn read(&mut self, card: PathBuf, kept: Option<SessionKey>) {
        self.commit_typing();
        let options = self.open_options();
        let store = self.store.clone();
        let words = tell!("read-card", card = card.display().to_string());
        let plan = options.plan.clone().unwrap_or_else(plans::usual);
        self.state.notice = None;
        self.jobs.first_sets = Arc::default();
        let first_sets = Arc::clone(&self.jobs.first_sets);
        self.jobs.reading =
            Some(Job::start("read card", words, self.now_secs, self.waker(), move |progress| {
                let told = Cell::new(None);
                let look_on = |so_far: &SoFar<'_>| {
                    if told.get().is_none_or(|at: Instant| at.elapsed() >= TELL_EVERY) {
                        let sets = FirstSets::of(so_far(), plan.clone());
                        *first_sets.lock().unwrap_or_else(PoisonError::into_inner) = Some(sets);
                        told.set(Some(Instant::now()));
                    }
                };
                let read = Day::open_shown(&card, &options, store.as_ref(), progress, &look_on);
                // Nothing is there, or the card of another day.
                let away = match &read {
                    Ok(day) => day.key != kept,
                    Err(DayFault::Read(fault)) => !matches!(fault, ReadFault::Stopped),
                    Err(DayFault::Store(_)) => false,
                };
                match (read, store.zip(kept).filter(|_| away)) {
                    (_, Some((store, key))) => Day::without_card(&card, key, options.now, &store)
                        .map(Box::new)
                        .map_err(|fault| fault.to_string()),
                    (read, None) => read.map(Box::new).map_err(|fault| fault.to_string()),
                }
            }));
    }

    /// Asks for a folder by the system's dialog.
    pub(crate) fn ask_folder(&mut self, wanted: FolderFor) {
        if self.jobs.dialog.is_some() {
            return;
        }
        let title = match wanted {
            FolderFor::Card => tell!("folder-card"),
            FolderFor::Archive(0) => tell!("folder-archive"),
            FolderFor::Archive(_) => tell!("folder-second"),
            FolderFor::Exchange => tell!("folder-exchange"),
            FolderFor::Target => tell!("folder-target"),
        };
        let words = title.clone();
        let work = move |_: &dyn record::Progress| {
            let asked = Instant::now();
            match rfd::FileDialog::new().set_title(&title).pick_folder() {
                Some(folder) => FolderAnswer::Chosen(folder),
                None if asked.elapsed() < DIALOG_LEAST => FolderAnswer::NoDialog,
                None => FolderAnswer::Closed,
            }
        };
        let job = Job::start("folder dialog", words, self.now_secs, self.waker(), work);
        self.jobs.dialog = Some((wanted, job));
    }

    /// Takes in what jobs have to say.
    pub(crate) fn take_reports(&mut self) {
        let stopped = self.jobs.reading.as_ref().is_some_and(Job::is_stopping);
        match ended(&mut self.jobs.reading) {
            Some(Ok(Err(words))) if stopped => self.say(words),
            Some(Ok(Ok(day))) => {
                self.stop_watching();
                self.take_day(*day);
            }
            Some(Ok(Err(fault))) => self.refuse_card(fault),
            Some(Err(Broke)) => self.refuse_card(tell!("read-card-broke-off")),
            None => {}
        }
        self.take_folder();
        self.take_filing_reports();
        self.take_exchange_reports();
        self.take_emptied();
        self.take_notes_read();
        self.take_name_lists();
        self.take_aside();
        self.take_watched();
        self.take_looked();
        self.take_picked();
        self.take_learned();
        if let Some(fault) = self.saver.as_ref().and_then(super::saver::Saver::take_fault) {
            self.complain(fault);
        }
    }

    /// Opens a day that was read, or that a watched folder begins with.
    pub(super) fn take_day(&mut self, day: Day) {
        self.thumbs = Some(Thumbs::new(&self.ctx, &day.card, self.kept_previews.clone()));
        self.pictures = Some(Pictures::new(&self.ctx, &day.card, self.kept_previews.clone()));
        self.overs = Some(Overs::new(&self.ctx, &day.card));
        self.state.frame = day.session.frames.first().map(|f| f.id);
        self.state.set = 0;
        self.state.query = 0;
        self.state.sheet.reveal = true;
        let watched = self.watching.is_some();
        // Who watches wants the retake list.
        let on_sheet = watched && !day.session.sets.is_empty();
        self.state.screen = if on_sheet { Screen::DaySheet } else { Screen::Card };
        self.state.overlay = None;
        // The next card begins with its own plan again.
        self.state.start.plan = None;
        // The day before is let go first: it may be of the same session. What is being worked out for it is of no use.
        self.commit_typing();
        self.open = None;
        self.jobs.filing.planning = None;
        self.state.forget_day();
        let claimed = self.store.as_ref().zip(day.key.as_ref()).map(|(store, key)| store.claim(key));
        self.say_of_day(&day, matches!(claimed, Some(Claimed::Others)));
        self.open = Some(OpenDay::new(day, watched, claimed.unwrap_or(Claimed::Unknown)));
        self.save();
        self.remember_day();
        self.look_by_itself();
        if self.state.filing.archives.iter().all(String::is_empty) {
            self.state.filing.archives.clone_from(&self.settings.archives);
        }
        match self.state.opens.take() {
            Some(screen) => self.go(screen),
            None => self.look_for_unfinished(),
        }
    }

    /// Says what a person should know of a day that is opened.
    fn say_of_day(&mut self, day: &Day, others: bool) {
        let plan = &day.session.plan;
        let other_plan = self.shelf.plans.iter().any(|p| p.key == plan.key && p != plan);
        if others {
            self.complain(tell!("day-others"));
        } else if day.card_is_away {
            self.complain(tell!("day-card-away", card = day.card.display().to_string()));
        } else if !day.warnings.is_empty() {
            self.complain(day.warnings.join(" "));
        } else if other_plan {
            let key = self.settings.keys.words(Command::ChoosePlan);
            self.say(tell!("day-other-plan", plan = &plan.name, key = key));
        }
    }

    fn refuse_card(&mut self, words: String) {
        self.state.opens = None;
        self.complain(words);
        self.state.start.focus = self.state.screen == Screen::Start;
    }

    fn take_folder(&mut self) {
        // An answer waits while a card is read or filed: it would open another day under that.
        if self.jobs.blocks() {
            return;
        }
        let Some((wanted, job)) = self.jobs.dialog.take() else { return };
        let mut job = Some(job);
        match ended(&mut job) {
            None => self.jobs.dialog = job.map(|job| (wanted, job)),
            Some(Ok(FolderAnswer::Chosen(folder))) => match wanted {
                FolderFor::Card => self.open_card(folder),
                FolderFor::Archive(which) => {
                    self.state.filing.archives[which] = folder.display().to_string();
                    self.plan_filing();
                }
                FolderFor::Exchange => {
                    self.state.exchange.archive = folder.display().to_string();
                    self.survey_archive();
                }
                FolderFor::Target => self.take_target(&folder),
            },
            Some(Ok(FolderAnswer::Closed)) => {}
            Some(Ok(FolderAnswer::NoDialog) | Err(_)) => {
                self.say(tell!("folder-no-dialog"));
                self.state.start.focus = wanted == FolderFor::Card;
                match wanted {
                    FolderFor::Card => {}
                    FolderFor::Archive(which) => self.state.filing.focus = Some(which),
                    FolderFor::Exchange => self.state.exchange.focus = Some(ExchangeField::Archive),
                    FolderFor::Target => self.state.exchange.focus = Some(ExchangeField::To),
                }
            }
        }
    }

    /// Keeps the session, and how it stands for the list of days opened before.
    pub(crate) fn save(&mut self) {
        let Some(open) = self.open.as_ref().filter(|open| !open.is_others()) else { return };
        if let (Some(saver), Some(key)) = (&self.saver, &open.day.key) {
            saver.save(key, &open.day.session);
        }
        self.remember_stand();
    }
}

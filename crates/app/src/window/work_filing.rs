//! Jobs of the filing step: working a filing out, carrying it out, taking it back, and looking for one that was cut short.
//!
//! Starts them and takes their reports. What is done to archives is all in `filing`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use filing::store::Store;
use filing::{FilingFault, Receipt, Undo, Unfinished};
use record::{Progress, Session};

use super::app::App;
use super::filing_lines::{Lines, OnePlan};
use super::job::{Hold, Job};
use super::open_day::PlannedFor;
use super::sheet::bytes_words;
use super::state::{Overlay, Screen};
use super::time_left::TimeLeft;
use super::words::tell;
use super::work::{Broke, Held, Shown, ended};

type Planned = (PlannedFor, Result<Vec<OnePlan>, String>);
type Filed = (Box<Session>, Vec<Result<Receipt, String>>);
type TakenBack = Vec<(PathBuf, Undo)>;

/// What runs for the filing step.
#[derive(Debug, Default)]
pub(crate) struct FilingJobs {
    pub(super) planning: Option<Job<Planned>>,
    filing: Option<Job<Filed>>,
    left: TimeLeft,
    /// So much is read again before anything is copied, at a rate of its own.
    read_again: usize,
    asking: Option<Job<Result<TakenBack, String>>>,
    taking_back: Option<Job<(TakenBack, Option<String>)>>,
    looking: Option<Job<Option<Unfinished>>>,
}

impl FilingJobs {
    /// Whether anything runs.
    pub(super) fn any(&self) -> bool {
        self.blocks() || self.planning.is_some() || self.looking.is_some()
    }

    /// Whether a job runs during which nothing else can be done.
    pub(super) fn blocks(&self) -> bool {
        self.filing.is_some() || self.asking.is_some() || self.taking_back.is_some()
    }

    pub(super) fn stop(&self) {
        if let Some(job) = &self.filing {
            job.stop();
        }
        if let Some(job) = &self.asking {
            job.stop();
        }
        // What is being taken back comes to its end: that is quick, and half of it helps nobody.
    }

    /// Has filing rest, or go on.
    pub(super) fn hold_or_go_on(&self) {
        if let Some(job) = &self.filing {
            job.hold_or_go_on();
        }
    }

    pub(super) fn shown(&self, now_secs: f64) -> Option<Shown> {
        let asked = self.asking.as_ref().filter(|job| job.shows(now_secs)).map(|job| Shown::of(job, bytes));
        let back = self.taking_back.as_ref().filter(|job| job.shows(now_secs));
        let back = back.map(|job| Shown { can_stop: false, ..Shown::of(job, bytes) });
        let filing = self.filing.as_ref().filter(|job| job.shows(now_secs) || job.hold() != Hold::Off);
        let filing = filing.map(|job| {
            let (files, all) = job.files();
            let counted = |done, of| {
                let (done, of) = (bytes_words(done as u64), bytes_words(of as u64));
                tell!("progress-filing", done = done, of = of, files = files, all = all)
            };
            let hold = job.hold();
            let mut shown = Shown { held: Some(Held { hold, files, all }), ..Shown::of(job, counted) };
            let all_copied = shown.of > 0 && shown.done >= shown.of;
            shown.left = match (hold, self.left.secs(shown.of)) {
                (Hold::Off, _) if all_copied => Some(tell!("progress-lists")),
                (Hold::Off, Some(secs)) => Some(left_words(secs)),
                _ => None,
            };
            shown
        });
        filing.or(asked).or(back)
    }

    /// Sees how fast filing is.
    fn see(&mut self, now_secs: f64) {
        let Some(job) = &self.filing else { return };
        let (done, _) = job.progress();
        if job.hold() == Hold::Off && done >= self.read_again {
            self.left.note(now_secs, done);
        } else {
            self.left.forget();
        }
    }
}

fn bytes(done: usize, of: usize) -> String {
    tell!("progress-bytes", done = bytes_words(done as u64), of = bytes_words(of as u64))
}

/// `about 4 min left`: no finer than it can be known.
fn left_words(secs: f64) -> String {
    let min = (secs / 60.0).ceil() as u64;
    match min {
        0 | 1 => tell!("progress-left-minute"),
        min if min < 90 => tell!("progress-left", min = min),
        min => tell!("progress-left-hours", hours = min.div_ceil(60)),
    }
}

impl App {
    /// Works out what filing into the typed archives would do, unless that is known.
    pub(crate) fn plan_filing(&mut self) {
        let Some(open) = &mut self.open else { return };
        let wanted = PlannedFor::of(open, &self.state.filing);
        if wanted.archives.is_empty() {
            open.filing.plan = None;
            return;
        }
        if open.filing.plan.as_ref().is_some_and(|(known, _)| *known == wanted) {
            return;
        }
        let (session, card, left) = (open.day.session.clone(), open.day.card.clone(), open.day.left());
        let proposals = if wanted.take_proposed { open.day.proposed_views() } else { BTreeMap::default() };
        let work = move |progress: &dyn Progress| {
            let plan = |archive: &String| {
                let archive = PathBuf::from(archive);
                let plan = filing::plan_filing(&session, &card, &archive, &proposals, &left, progress)
                    .map_err(|fault| fault.to_string())?;
                let (lines, free_bytes) = (Lines::of(&plan), filing::free_bytes(&archive));
                Ok(OnePlan { archive, plan, lines, free_bytes })
            };
            let plans = wanted.archives.iter().map(plan).collect();
            (wanted, plans)
        };
        let words = tell!("plan-filing");
        self.jobs.filing.planning = Some(Job::start("plan filing", words, self.now_secs, self.waker(), work));
    }

    /// Begins to carry the planned filing out.
    pub(crate) fn file_now(&mut self) {
        let Some(open) = &mut self.open else { return };
        // A plan worked out for less than there is now would vouch for what it never saw.
        if !open.can_file(&self.state.filing) {
            return;
        }
        let plans = open.filing.plans();
        let files = plans.iter().map(|one| one.plan.files_to_copy()).max().unwrap_or_default();
        let bytes = plans.iter().map(|one| one.plan.bytes_to_copy()).max().unwrap_or_default();
        let words = if files == 0 {
            tell!("file-again")
        } else {
            tell!("file-now", files = files, bytes = bytes_words(bytes))
        };
        let again: u64 = plans.iter().map(|one| one.plan.bytes_to_read_again()).sum();
        self.jobs.filing.read_again = if files > 0 { usize::try_from(again).unwrap_or(0) } else { 0 };
        self.jobs.filing.left.forget();
        let plans: Vec<_> = plans.iter().map(|one| (one.plan.clone(), one.archive.clone())).collect();
        let (mut session, card) = (Box::new(open.day.session.clone()), open.day.card.clone());
        open.filing.done.clear();
        let work = move |progress: &dyn Progress| {
            let done = match &plans[..] {
                [(one, main), (two, second)] => {
                    let archives = [main.as_path(), second];
                    filing::carry_out_both([one, two], &mut session, &card, archives, progress).map(Vec::from)
                }
                plans => {
                    let (plan, archive) = &plans[0];
                    Ok(vec![filing::carry_out(plan, &mut session, &card, archive, progress)])
                }
            };
            let words = |fault: FilingFault| fault.to_string();
            let done = match done {
                Ok(done) => done.into_iter().map(|one| one.map_err(words)).collect(),
                Err(refused) => vec![Err(words(refused))],
            };
            (session, done)
        };
        self.jobs.filing.filing = Some(Job::start("file", words, self.now_secs, self.waker(), work));
        // Known at the next start, also when this one is cut short.
        let archives = self.state.filing.archives.clone().map(|archive| absolute(&archive));
        if self.settings.archives != archives {
            self.settings.archives = archives;
            self.keep_settings();
        }
    }

    /// Works out what taking the last filing back would do, to ask about it.
    pub(super) fn ask_take_back(&mut self) {
        let archives = self.state.filing.archives_typed();
        let Some(open) = &self.open else { return };
        let card = open.day.card.clone();
        let work = move |progress: &dyn Progress| {
            let mut all = Vec::new();
            let mut none = None;
            for archive in archives.iter().map(PathBuf::from) {
                match plan_back(&archive, &card, progress) {
                    Ok(undo) => all.push((archive, undo)),
                    Err(FilingFault::NothingToUndo { path }) => {
                        none.get_or_insert(tell!("take-back-none", archive = path.display().to_string()));
                    }
                    Err(fault) => return Err(refused_words(&fault)),
                }
            }
            match none {
                Some(words) if all.is_empty() => Err(words),
                _ => Ok(all),
            }
        };
        let words = tell!("take-back-look");
        self.jobs.filing.asking = Some(Job::start("ask undo", words, self.now_secs, self.waker(), work));
    }

    /// Takes the last filing back, as was asked.
    pub(super) fn take_filing_back(&mut self) {
        self.state.overlay = None;
        let Some(open) = &mut self.open else { return };
        let wanted = std::mem::take(&mut open.filing.take_back);
        let (frames, store) = (open.day.session.frames.clone(), self.store.clone());
        let session = Session { frames, ..Session::new("", open.day.session.plan.clone()) };
        let work = move |progress: &dyn Progress| {
            let mut done = Vec::new();
            for (archive, planned) in wanted {
                match filing::undo(&archive, Some(&planned.card), progress) {
                    Ok(undo) => {
                        let fault = unfile_other(&undo, &session, store.as_ref());
                        done.push((archive, undo));
                        if fault.is_some() {
                            return (done, fault);
                        }
                    }
                    Err(fault) => return (done, Some(refused_words(&fault))),
                }
            }
            (done, None)
        };
        let words = tell!("take-back-now");
        self.jobs.filing.taking_back = Some(Job::start("undo", words, self.now_secs, self.waker(), work));
    }

    /// Looks for a filing that was cut short in the archives that were filed into last; of the open card, once one is.
    pub(super) fn look_for_unfinished(&mut self) {
        let archives = self.settings.archives.clone().into_iter().filter(|archive| !archive.is_empty());
        let archives: Vec<String> = archives.collect();
        if archives.is_empty() {
            return;
        }
        let card = self.open.as_ref().map(|open| open.day.card.clone());
        let work = move |_: &dyn Progress| {
            let card = card.map(|card| std::fs::canonicalize(&card).unwrap_or(card));
            let found = archives.iter().filter_map(|archive| filing::unfinished(Path::new(archive)).ok()?);
            let mut found = found.filter(|found| card.as_ref().is_none_or(|card| *card == found.card));
            found.next()
        };
        let words = String::new();
        self.jobs.filing.looking = Some(Job::start("look for cut", words, self.now_secs, self.waker(), work));
    }

    /// Opens the card of a filing that was cut short, and its filing step.
    pub(super) fn go_on(&mut self) {
        self.state.overlay = None;
        let Some(found) = self.state.filing.unfinished.clone() else { return };
        self.state.filing.archives.clone_from(&self.settings.archives);
        if self.open.is_some() {
            self.go(Screen::Filing);
        } else {
            self.state.opens = Some(Screen::Filing);
            self.open_card(found.card);
        }
    }

    /// Takes in what the jobs of the filing step have to say.
    pub(super) fn take_filing_reports(&mut self) {
        self.jobs.filing.see(self.now_secs);
        if let Some(planned) = ended(&mut self.jobs.filing.planning) {
            self.take_plan(planned);
        }
        match ended(&mut self.jobs.filing.filing) {
            Some(Ok((session, done))) => self.take_filed(*session, done),
            Some(Err(Broke)) => self.complain(tell!("file-now-broke-off")),
            None => {}
        }
        match ended(&mut self.jobs.filing.asking) {
            Some(Ok(Ok(undos))) => {
                if let Some(open) = &mut self.open {
                    open.filing.take_back = undos;
                    self.state.overlay = Some(Overlay::TakeBack);
                }
            }
            Some(Ok(Err(why))) => self.complain(why),
            Some(Err(Broke)) => self.complain(tell!("take-back-broke-off")),
            None => {}
        }
        match ended(&mut self.jobs.filing.taking_back) {
            Some(Ok((done, fault))) => self.take_taken_back(&done, fault),
            Some(Err(Broke)) => self.complain(tell!("take-back-broke-off")),
            None => {}
        }
        if let Some(Ok(Some(found))) = ended(&mut self.jobs.filing.looking) {
            let is_new = self.state.filing.unfinished.as_ref() != Some(&found);
            self.state.filing.unfinished = Some(found);
            if is_new && self.state.overlay.is_none() {
                self.state.overlay = Some(Overlay::GoOn);
            }
        }
    }

    fn take_plan(&mut self, planned: Result<Planned, Broke>) {
        let Some(open) = &mut self.open else { return };
        match planned {
            // One that is not of what is wanted now is thrown away and worked out anew.
            Ok((known, plans)) => {
                let stale = known != PlannedFor::of(open, &self.state.filing);
                open.filing.plan = Some((known, plans));
                let filing = &mut self.state.filing;
                filing.shown = filing.shown.min(open.filing.plans().len().saturating_sub(1));
                filing.reveal = true;
                if stale {
                    self.plan_filing();
                }
            }
            Err(Broke) => self.complain(tell!("plan-filing-broke-off")),
        }
    }

    fn take_filed(&mut self, session: Session, done: Vec<Result<Receipt, String>>) {
        let Some(open) = &mut self.open else { return };
        open.day.session = session;
        // Numbers are fixed now; what was done before can no longer be taken back from under them.
        open.history = record::History::default();
        open.changed();
        open.filing.done = done;
        self.state.filing.filings += 1;
        self.save();
        self.plan_filing();
    }

    fn take_taken_back(&mut self, done: &[(PathBuf, Undo)], fault: Option<String>) {
        let Some(open) = &mut self.open else { return };
        for (_, undo) in done {
            if shares(undo, &open.day.session) {
                undo.forget_in(&mut open.day.session);
            }
        }
        open.changed();
        open.filing.done.clear();
        self.state.filing.filings += 1;
        self.save();
        self.plan_filing();
        match (fault, done.first()) {
            (Some(fault), _) => self.complain(fault),
            (None, Some((_, undo))) => {
                self.say(tell!("take-back-done", folder = &undo.folder, files = undo.files.len()));
            }
            (None, None) => {}
        }
    }
}

/// Looks for the card where it was when it was filed, else where it is open now.
fn plan_back(archive: &Path, card: &Path, progress: &dyn Progress) -> Result<Undo, FilingFault> {
    match filing::plan_undo(archive, None, progress) {
        Err(FilingFault::UndoRefused { .. }) => filing::plan_undo(archive, Some(card), progress),
        planned => planned,
    }
}

/// Whether what was taken back is the filing of this session.
fn shares(undo: &Undo, session: &Session) -> bool {
    undo.session.as_ref().is_some_and(|filed| session.overlap(&filed.frames) > 0)
}

/// Tells the kept session of another card that its filing was taken back.
fn unfile_other(undo: &Undo, open: &Session, store: Option<&Store>) -> Option<String> {
    let store = store.filter(|_| !shares(undo, open))?;
    store.unfile(undo).err().map(|fault| fault.to_string())
}

/// Why a filing cannot be taken back, as the window can help with it.
fn refused_words(fault: &FilingFault) -> String {
    const SHOWN: usize = 4;
    let FilingFault::UndoRefused { reasons, path } = fault else { return fault.to_string() };
    let first = reasons.iter().take(SHOWN).cloned().collect::<Vec<_>>().join("; ");
    let more = reasons.len().saturating_sub(SHOWN);
    let archive = path.display().to_string();
    if more > 0 {
        tell!("take-back-refused-more", reasons = first, more = more, archive = archive)
    } else {
        tell!("take-back-refused", reasons = first, archive = archive)
    }
}

/// A path that means the same wherever the program is started.
fn absolute(typed: &str) -> String {
    let typed = typed.trim();
    let path = std::path::absolute(typed).ok().filter(|_| !typed.is_empty());
    path.map_or_else(String::new, |path| path.display().to_string())
}

//! One card and its session: the steps that window and command line share.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use filing::store::{SessionKey, Store, StoreFault};
use grouping::{Grouping, Held, Moment, PROPOSE_FROM};
use import::watch::State;
use import::{BlankLine, BodyClock, Intake, ReadFault, Skipped, SoFar};
use record::{Body, Edit, FrameId, LearnedViews, Left, Merged, Plan, Progress, Session, Taken, ViewKey};

use crate::arrange::{arrange, local};
use crate::unread;

/// A card that was read, its session, and how its frames are arranged.
#[derive(Debug, Clone)]
pub struct Day {
    /// Everything known and decided.
    pub session: Session,
    /// Sets, proposals and queries, as last worked out.
    pub grouping: Grouping,
    /// The folder that was read.
    pub card: PathBuf,
    /// What was left out, and why.
    pub skipped: Vec<Skipped>,
    /// Size of all files of all frames.
    pub bytes_on_card: u64,
    /// How much of it was read since it was opened.
    pub bytes_read: u64,
    /// What other sessions taught of the plan's views.
    pub learned: LearnedViews,
    /// Where the line between blanks and specimens lies.
    pub line: BlankLine,
    /// The cameras, and what was done about their clocks.
    pub clocks: Vec<BodyClock>,
    /// The moment that clocks and times of holding are held against; `None` holds them against nothing. Set it before
    /// [`Day::renew`], [`Day::take_in`] or [`Day::rearrange`].
    pub now: Option<Taken>,
    /// Under which the session is kept; `None` for a day that was only looked at.
    pub key: Option<SessionKey>,
    /// What reading brought, when the session was kept from before.
    pub resumed: Option<Merged>,
    /// What a person should know beforehand, in whole sentences.
    pub warnings: Vec<String>,
    /// Whether only the session was opened, its card being away: its frames cannot be shown.
    pub card_is_away: bool,
    /// When frames came while the folder was watched, by path.
    arrivals: BTreeMap<String, SystemTime>,
    /// Cameras whose clocks do not go with the computer's.
    doubted: BTreeSet<Body>,
}

/// The computer's clock: local time, with its zone.
pub fn now() -> Taken {
    local(SystemTime::now()).expect("the clock stands within the calendar")
}

/// Says why there is nothing to read in a watched folder.
pub fn waiting_words(nothing: &ReadFault) -> &'static str {
    match nothing {
        ReadFault::Empty(_) | ReadFault::NoPictures { .. } => "No frame is there yet. They are waited for",
        _ => "The folder cannot be read just now. It is waited for, and what was read stands",
    }
}

/// How a card is opened.
#[derive(Debug, Clone, Default)]
pub struct OpenOptions {
    /// The plan; `None` keeps that of a kept session, else takes the first built in.
    pub plan: Option<Plan>,
    /// The session's name; `None` keeps that of a kept session, else takes the folder's.
    pub name: Option<String>,
    /// Begins a new session even where one is kept of this card.
    pub afresh: bool,
    /// The computer's time, see [`Day::now`].
    pub now: Option<Taken>,
}

/// Why a card could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum DayFault {
    /// The card could not be read.
    #[error(transparent)]
    Read(#[from] ReadFault),
    /// The sessions kept could not be looked at.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl Day {
    /// Reads a card and takes its frames into the session kept of it, or into a new one.
    ///
    /// Without a `store` no kept session is looked for. Nothing is written.
    pub fn open(
        card: &Path,
        options: &OpenOptions,
        store: Option<&Store>,
        progress: &dyn Progress,
    ) -> Result<Self, DayFault> {
        Self::open_shown(card, options, store, progress, &|_| {})
    }

    /// As [`Day::open`]; `look_on` is called now and then with what was read so far.
    pub fn open_shown(
        card: &Path,
        options: &OpenOptions,
        store: Option<&Store>,
        progress: &dyn Progress,
        look_on: &dyn Fn(&SoFar<'_>),
    ) -> Result<Self, DayFault> {
        let intake = import::read_card_shown(card, progress, look_on)?;
        Self::of(card, intake, BTreeMap::new(), options, store)
    }

    /// Takes the first state of a folder that is being watched into the session kept of it, or into a new one. Nothing
    /// is written.
    ///
    /// # Errors
    /// [`DayFault::Store`].
    pub fn watched(
        folder: &Path,
        state: State,
        options: &OpenOptions,
        store: Option<&Store>,
    ) -> Result<Self, DayFault> {
        let arrivals = state.arrived.into_iter().map(|a| (a.path, a.at)).collect();
        Self::of(folder, state.intake, arrivals, options, store)
    }

    /// Takes what was read of a card into the session kept of it, or into a new one. A new one takes over from the
    /// session saved last the person's holding limit, and who works under which terms.
    fn of(
        card: &Path,
        intake: Intake,
        arrivals: BTreeMap<String, SystemTime>,
        options: &OpenOptions,
        store: Option<&Store>,
    ) -> Result<Self, DayFault> {
        let mut warnings = Vec::new();
        let mut kept = None;
        if let Some(store) = store {
            let found = store.find_for_card(&intake.frames)?;
            kept = found.session.filter(|_| !options.afresh);
            warnings.extend(found.unread.iter().map(|unread| unread::words(unread, kept.is_none())));
        }
        let (key, mut session, resumed) = if let Some((key, session)) = kept {
            (Some(key), session, true)
        } else {
            let mut session = new_session(card, options);
            let last = store.map(Store::latest).transpose()?.flatten();
            session.decisions.holding_limit_min = last.as_ref().and_then(|s| s.decisions.holding_limit_min);
            let remembered = last.into_iter().flat_map(|s| s.fields).filter(|(term, _)| term.is_remembered());
            session.fields = remembered.collect();
            (None, session, false)
        };
        let merged = session.merge(intake.frames);
        change(&mut session, options);
        let key = key.or_else(|| Some(store?.new_key(&session)));
        let mut learned = LearnedViews::default();
        if let Some(store) = store {
            match store.learned(&session.plan) {
                Ok(known) => learned = key.iter().fold(known, |known, key| known.without(key.as_str())),
                Err(fault) => warnings.push(fault.to_string()),
            }
        }
        let arranged = arrange(&mut session, &learned, &arrivals, options.now);
        Ok(Self {
            session,
            grouping: arranged.grouping,
            card: card.to_owned(),
            skipped: intake.skipped,
            bytes_on_card: intake.bytes_on_card,
            bytes_read: intake.bytes_read,
            learned,
            line: arranged.line,
            clocks: arranged.clocks,
            now: options.now,
            key,
            resumed: resumed.then_some(merged),
            warnings,
            card_is_away: false,
            arrivals,
            doubted: arranged.doubted,
        })
    }

    /// Opens a kept session whose card is not where it was: its records can be worked on, its pictures are missing.
    ///
    /// # Errors
    /// [`StoreFault`] when the session cannot be read.
    pub fn without_card(
        card: &Path,
        key: SessionKey,
        now: Option<Taken>,
        store: &Store,
    ) -> Result<Self, StoreFault> {
        let mut session = store.load(&key)?;
        let mut warnings = Vec::new();
        let learned = store.learned(&session.plan).unwrap_or_else(|fault| {
            warnings.push(fault.to_string());
            LearnedViews::default()
        });
        let learned = learned.without(key.as_str());
        let arrivals = BTreeMap::new();
        let arranged = arrange(&mut session, &learned, &arrivals, now);
        Ok(Self {
            bytes_on_card: session.frames.iter().flat_map(|f| &f.files).map(|f| f.bytes).sum(),
            session,
            grouping: arranged.grouping,
            card: card.to_owned(),
            skipped: Vec::new(),
            bytes_read: 0,
            learned,
            line: arranged.line,
            clocks: arranged.clocks,
            now,
            key: Some(key),
            resumed: None,
            warnings,
            card_is_away: true,
            arrivals,
            doubted: arranged.doubted,
        })
    }

    /// Takes in the state of a folder that is being watched, after [`Day::take_in`]'s way. Where the kept session was
    /// saved by another than at `saved_at`, the moment of the last saving here, it is read again first, so that what
    /// was edited there stands. Nothing is written.
    ///
    /// # Errors
    /// [`StoreFault`] when it cannot be read; nothing is changed then.
    pub fn renew(
        &mut self,
        state: State,
        store: &Store,
        saved_at: Option<SystemTime>,
    ) -> Result<(), StoreFault> {
        let key = self.key.as_ref();
        if let Some(key) = key.filter(|key| store.saved_at(key).is_some_and(|at| Some(at) != saved_at)) {
            self.session = store.load(key)?;
        }
        self.take_in(state);
        Ok(())
    }

    /// Takes in the state of a folder that is being watched. What was decided stands.
    pub fn take_in(&mut self, state: State) {
        self.card_is_away = false;
        self.arrivals.extend(state.arrived.into_iter().map(|a| (a.path, a.at)));
        self.session.merge_watched(state.intake.frames, &state.gone);
        self.skipped = state.intake.skipped;
        self.bytes_on_card = state.intake.bytes_on_card;
        self.bytes_read += state.intake.bytes_read;
        self.rearrange();
    }

    /// Works everything out anew from frames and decisions. Call after every edit.
    pub fn rearrange(&mut self) {
        let arranged = arrange(&mut self.session, &self.learned, &self.arrivals, self.now);
        self.line = arranged.line;
        self.grouping = arranged.grouping;
        self.clocks = arranged.clocks;
        self.doubted = arranged.doubted;
    }

    /// The moment, with the cameras whose clocks do not go with it; `None` while there is none.
    pub fn moment(&self) -> Option<Moment> {
        self.now.map(|now| Moment { now, doubted: self.doubted.clone() })
    }

    /// The animals short of a view, most urgent first, with how long each has been held by now.
    pub fn held(&self) -> Vec<Held> {
        if let Some(moment) = self.moment() {
            return grouping::held_list(&self.session, &self.grouping, &moment);
        }
        let list = grouping::retake_list(&self.session, &self.grouping);
        list.into_iter().map(|retake| Held { retake, holding: None }).collect()
    }

    /// What speaks for how a frame was taken, a sentence or two each.
    pub fn why(&self, frame: FrameId) -> Vec<String> {
        grouping::why(&self.session, &self.grouping, &self.learned, frame)
    }

    /// Keeps the session, and what its confirmed frames teach. A day that was opened without a store is not kept.
    pub fn save(&self, store: &Store) -> Result<(), StoreFault> {
        let Some(key) = &self.key else { return Ok(()) };
        store.save(key, &self.session)?;
        store.learn(key, &self.session)
    }

    /// Whether something needs a person: a missing view, a query, or a fault.
    pub fn needs_person(&self) -> bool {
        !grouping::retake_list(&self.session, &self.grouping).is_empty()
            || !self.grouping.queries.is_empty()
            || self.session.frames.iter().any(|f| !f.faults.is_empty())
    }

    /// What the card holds besides frames and their copies, for the receipt of filing.
    pub fn left(&self) -> Vec<Left> {
        let others = self.skipped.iter().filter(|skipped| skipped.same_as.is_none());
        let left = |s: &Skipped| Left { path: s.path.clone(), reason: s.reason.clone(), of_frame: s.unseen };
        others.map(left).collect()
    }

    /// The views proposed with enough confidence to be taken when a person asks for it.
    pub fn proposed_views(&self) -> BTreeMap<FrameId, ViewKey> {
        let sure = self.grouping.views.iter().filter(|(_, p)| p.prob >= PROPOSE_FROM);
        sure.map(|(frame, p)| (*frame, p.view.clone())).collect()
    }
}

fn new_session(card: &Path, options: &OpenOptions) -> Session {
    let plan = options.plan.clone().unwrap_or_else(crate::plans::usual);
    Session::new(options.name.clone().unwrap_or_else(|| name_of(card)), plan)
}

/// Takes over a name or plan that was asked for.
fn change(session: &mut Session, options: &OpenOptions) {
    let name = options.name.clone().map(Edit::Name);
    let plan = options.plan.clone().map(|p| Edit::Plan(Box::new(p)));
    for edit in name.into_iter().chain(plan) {
        session.apply(&edit).expect("a name or plan can always be set");
    }
}

/// A name for a session from its folder: the nearest one that says something.
fn name_of(card: &Path) -> String {
    let whole = card.canonicalize().unwrap_or_else(|_| card.to_owned());
    let tells_nothing = |name: &str| {
        let lower = name.to_lowercase();
        let dcf_folder = name.len() == 8 && name[..3].bytes().all(|b| b.is_ascii_digit());
        ["card", "dcim", "no name", "untitled"].contains(&lower.as_str()) || dcf_folder
    };
    whole
        .ancestors()
        .filter_map(|p| p.file_name()?.to_str().map(str::to_owned))
        .find(|name| !tells_nothing(name))
        .unwrap_or_else(|| "session".to_owned())
}

#[cfg(test)]
mod tests {
    use record::QueryKind;

    use super::*;

    #[test]
    fn a_session_is_named_after_the_nearest_telling_folder() {
        for (path, expected) in [
            ("/m/salt-marsh-bank/card", "salt-marsh-bank"),
            ("/m/heath/DCIM/100ABCDE", "heath"),
            ("/m/heath", "heath"),
            ("/", "session"),
        ] {
            assert_eq!(name_of(Path::new(path)), expected);
        }
    }

    /// A demo session opened when the computer says this time; gives what is asked about clocks.
    fn asked_at(demo: &str, now: &str) -> Vec<(QueryKind, String, usize)> {
        let card = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions").join(demo).join("card");
        let options = OpenOptions { now: Some(now.parse().unwrap()), ..OpenOptions::default() };
        let day = Day::open(&card, &options, None, &record::Silent).unwrap();
        let about = [QueryKind::ClockShift, QueryKind::ClockSuspicious, QueryKind::ClockJump];
        let queries = day.grouping.queries.into_iter().filter(|q| about.contains(&q.kind));
        queries.map(|q| (q.kind, q.evidence, q.answers.len())).collect()
    }

    #[test]
    fn a_clock_ahead_of_the_computer_is_asked_about_once() {
        for demo in ["salt-marsh-bank", "carded-beetles"] {
            assert_eq!(asked_at(demo, "2026-11-25T13:30:00+00:00"), [], "{demo}");
            assert_eq!(asked_at(demo, "2027-01-01T00:00:00-08:00"), [], "{demo}");
            let asked = asked_at(demo, "2026-05-01T09:00:00+01:00");
            let [(kind, evidence, answers)] = &asked[..] else { panic!("{demo}: {asked:?}") };
            assert_eq!((*kind, *answers), (QueryKind::ClockSuspicious, 2), "{demo}");
            assert!(evidence.contains("ahead of this computer"), "{evidence}");
        }
    }
}

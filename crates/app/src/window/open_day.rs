//! The day that is open: its session, what was done to it, and what the screens show of it.

use std::collections::BTreeSet;
use std::path::PathBuf;

use filing::claim::Claimed;
use filing::{Receipt, Undo};
use grouping::{Held, Slot, SlotState};
use import::watch::State;
use record::{Characters, Edit, Frame, FrameId, FrameKind, History, Plan, Taken};

use super::evidence::Evidences;
use super::filing_lines::OnePlan;
use super::looking::Looking;
use super::sheet::Sheet;
use super::state::FilingState;
use super::surveyed::{Surveyed, SurveyedFor};
use super::widgets::mark::{Stand, Worth};
use super::words::tell;
use crate::characters::{self, NoCharacters};
use crate::closer::{self, Closer};
use crate::day::Day;

/// A day, its history and its sheet.
#[derive(Debug)]
pub(crate) struct OpenDay {
    /// The card and its session.
    pub(crate) day: Day,
    /// What was done and can be taken back.
    pub(crate) history: History,
    /// What the screens show.
    pub(crate) sheet: Sheet,
    /// The animals short of a view, most urgent first, with how long each has been held; without the one that is being
    /// shot.
    pub(crate) held: Vec<Held>,
    /// Whether its folder is being watched.
    watched: bool,
    /// Holds the session against other windows, as long as the day is open.
    claimed: Claimed,
    /// The holding limit taken over from the session before, until the person sets one.
    offered_limit_min: Option<u16>,
    /// The closer look at its frames.
    pub(crate) look: CloserLook,
    /// What speaks for how the frame in view was taken.
    pub(crate) evidence: Evidences,
    /// Counts changes, so that what was worked out from an older session is known.
    pub(crate) revision: u64,
    /// What filing would do, and did.
    pub(crate) filing: Filing,
    /// What is known of the archive that documents are made of, or why nothing is.
    pub(crate) exchange: Option<(SurveyedFor, Result<Surveyed, String>)>,
    /// The characters of its plan, or why there are none.
    pub(crate) characters: Result<Characters, NoCharacters>,
    /// The plan that they were found for.
    characters_for: Plan,
}

/// How the closer look at the frames of a day stands.
#[derive(Debug, Default)]
pub(crate) struct CloserLook {
    /// The one that goes on.
    pub(crate) going: Option<Looking>,
    /// Whether the person stopped it, so that none begins by itself.
    pub(crate) stopped: bool,
    /// The frames that it was taken at, or tried.
    pub(crate) tried: BTreeSet<FrameId>,
}

/// What filing would do, and did.
#[derive(Debug, Default)]
pub(crate) struct Filing {
    /// The plan for each archive, or why there is none, and what it was worked out from.
    pub(crate) plan: Option<(PlannedFor, Result<Vec<OnePlan>, String>)>,
    /// What the last filing did in each archive, or why it did not end well.
    pub(crate) done: Vec<Result<Receipt, String>>,
    /// What taking the last filing back would do in each archive, while that is asked.
    pub(crate) take_back: Vec<(PathBuf, Undo)>,
}

impl Filing {
    /// The plan for each archive, once they are worked out.
    pub(crate) fn plans(&self) -> &[OnePlan] {
        self.plan.as_ref().and_then(|(_, plans)| plans.as_deref().ok()).unwrap_or_default()
    }
}

/// What a plan of filing was worked out from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PlannedFor {
    /// The archives.
    pub(crate) archives: Vec<String>,
    /// Whether proposed views stand in names.
    pub(crate) take_proposed: bool,
    /// The session's revision.
    pub(crate) revision: u64,
}

impl PlannedFor {
    /// What a plan is wanted for as things are now.
    pub(crate) fn of(open: &OpenDay, state: &FilingState) -> Self {
        let (archives, take_proposed) = (state.archives_typed(), state.take_proposed);
        Self { archives, take_proposed, revision: open.revision }
    }
}

impl OpenDay {
    /// A day just read, of a folder that is being watched or not.
    pub(crate) fn new(day: Day, watched: bool, claimed: Claimed) -> Self {
        let limit = day.session.decisions.holding_limit_min;
        let mut open = Self {
            offered_limit_min: limit.filter(|_| day.resumed.is_none()),
            characters: characters::of(&day.session.plan),
            characters_for: day.session.plan.clone(),
            day,
            history: History::default(),
            sheet: Sheet::default(),
            held: Vec::new(),
            watched,
            claimed,
            look: CloserLook::default(),
            evidence: Evidences::default(),
            revision: 0,
            filing: Filing::default(),
            exchange: None,
        };
        open.show();
        open
    }

    /// Whether there is anything to file, or to look at again, and the plan is of the session as it is now and of what is
    /// typed now.
    pub(crate) fn can_file(&self, state: &FilingState) -> bool {
        let planned =
            self.filing.plan.as_ref().is_some_and(|(known, _)| *known == PlannedFor::of(self, state));
        planned && self.filing.plans().iter().any(|one| !one.plan.steps.is_empty())
    }

    /// Whether another window has the session, so that nothing can be changed here.
    pub(crate) fn is_others(&self) -> bool {
        matches!(self.claimed, Claimed::Others)
    }

    /// Makes a change and works everything out anew. `Err` says in words why nothing was changed.
    pub(crate) fn edit(&mut self, words: &str, edit: &Edit) -> Result<(), String> {
        if self.is_others() {
            return Err(tell!("day-others"));
        }
        self.history.apply(&mut self.day.session, words, edit).map_err(|refused| refused.to_string())?;
        // What the receipt said was said of the session as it was.
        self.filing.done.clear();
        self.changed();
        Ok(())
    }

    /// Takes the last change back; gives its words.
    pub(crate) fn undo(&mut self) -> Option<String> {
        let words = self.history.undo(&mut self.day.session)?;
        self.changed();
        Some(words)
    }

    /// Does again what was taken back; gives its words.
    pub(crate) fn redo(&mut self) -> Option<String> {
        let words = self.history.redo(&mut self.day.session)?;
        self.changed();
        Some(words)
    }

    /// Works out anew what depends on the session.
    pub(crate) fn changed(&mut self) {
        self.day.rearrange();
        self.show();
        self.revision += 1;
    }

    /// Takes in the state of the watched folder.
    pub(crate) fn take_in(&mut self, state: State) {
        self.day.take_in(state);
        self.show();
        self.revision += 1;
        self.filing.done.clear();
    }

    /// Whether some frame in use was not looked at closer.
    pub(crate) fn can_look_closer(&self) -> bool {
        closer::unseen(&self.day.session).next().is_some()
    }

    /// What a closer look is to be taken at, of the frames that are wanted; the set that is being shot waits for its end.
    pub(crate) fn closer(&self, wanted: impl Fn(FrameId) -> bool) -> Closer {
        let open = self.being_shot();
        let waits = |f: &Frame| open.is_some() && self.sheet.set_of.get(&f.id).copied() == open;
        Closer::of(&self.day, |f| wanted(f.id) && !waits(f))
    }

    /// Takes in what a closer look saw.
    pub(crate) fn take_seen(&mut self, seen: Vec<Frame>) {
        self.day.take_seen(seen);
        self.changed();
    }

    /// Says whether its folder is being watched.
    pub(crate) fn set_watched(&mut self, watched: bool) {
        self.watched = watched;
        self.show();
    }

    /// Moves the clock on.
    pub(crate) fn at(&mut self, now: Taken) {
        self.day.now = Some(now);
        self.hold();
    }

    fn show(&mut self) {
        self.sheet = Sheet::of(&self.day, self.being_shot());
        if self.characters_for != self.day.session.plan {
            self.characters_for = self.day.session.plan.clone();
            self.characters = characters::of(&self.characters_for);
        }
        self.hold();
    }

    fn hold(&mut self) {
        self.held = self.day.held();
        let open = self.being_shot();
        self.held.retain(|held| Some(held.retake.set) != open);
    }

    /// The place of the set that is being shot, while frames may still come.
    pub(crate) fn being_shot(&self) -> Option<usize> {
        grouping::being_shot(&self.day.session).filter(|_| self.watched)
    }

    /// The first frame of the set at a place.
    pub(crate) fn first_frame(&self, set: usize) -> Option<FrameId> {
        self.day.session.sets.get(set)?.frames.first().copied()
    }

    /// Whether times change as the clock goes on: a folder is watched, or an animal is held.
    pub(crate) fn is_live(&self) -> bool {
        self.watched || self.held.iter().any(|held| held.holding.is_some())
    }

    /// The person's holding limit in words.
    pub(crate) fn limit_words(&self) -> String {
        let limit = self.day.session.decisions.holding_limit_min;
        match limit {
            None => tell!("limit-none"),
            Some(min) if self.offered_limit_min == limit => tell!("limit-as-last", min = min),
            Some(min) => tell!("limit-is", min = min),
        }
    }

    /// Whether a frame's files went away from its folder.
    pub(crate) fn is_gone(&self, id: FrameId) -> bool {
        self.day.session.gone.contains(&id)
    }

    /// The word for what part a frame plays, also when it is gone.
    pub(crate) fn kind_word(&self, id: FrameId) -> String {
        if self.is_gone(id) { tell!("frame-gone") } else { self.kind(id).word().to_owned() }
    }

    /// What part a frame plays.
    pub(crate) fn kind(&self, id: FrameId) -> FrameKind {
        let frame = self.sheet.frame(&self.day, id);
        frame.map_or(FrameKind::Specimen, |f| self.day.session.kind(f))
    }

    /// How a frame stands of which so much is known.
    pub(crate) fn stand(&self, frame: Option<FrameId>, state: SlotState) -> Stand<'_> {
        let judged = |id| {
            let looks = self.sheet.frame(&self.day, id)?.looks.as_ref()?;
            looks.quality.subject_found.then_some(Worth::Good)
        };
        let flaw = |id| self.day.grouping.flaws.get(&id).map(|why| Worth::Poor(why));
        Stand { state, worth: frame.and_then(|id| flaw(id).or_else(|| judged(id))) }
    }

    /// Which frame of a view one is, where there are several: `best of 3`, `your best of 3`, `2 of 3`.
    pub(crate) fn nth_words(&self, slot: &Slot, frame: FrameId) -> Option<String> {
        let of = slot.frames.len();
        let nth = slot.frames.iter().position(|f| *f == frame).filter(|_| of > 1)? + 1;
        let chosen = self.day.session.decisions.preferred.contains(&frame);
        Some(match self.stand(Some(frame), slot.state).worth {
            _ if chosen => tell!("frame-your-best-of", of = of),
            Some(_) if nth == 1 => tell!("frame-best-of", of = of),
            _ => tell!("frame-nth-of", nth = nth, of = of),
        })
    }

    /// The slot that a frame is in.
    pub(crate) fn slot_of(&self, frame: FrameId) -> Option<&Slot> {
        let row = self.sheet.rows.get(*self.sheet.set_of.get(&frame)?)?;
        row.coverage.slots.iter().find(|s| s.frames.contains(&frame))
    }

    /// The number of a specimen by the place of its set.
    pub(crate) fn set_number(&self, set: usize) -> u32 {
        self.day.session.sets.get(set).map_or(0, |s| s.number)
    }

    /// The jar of a specimen in words: as written, `jar 21`; as read from its jar card alone, `card 21`. Empty without
    /// either.
    pub(crate) fn jar_words(&self, set: usize) -> String {
        let session = &self.day.session;
        let Some(set) = session.sets.get(set) else { return String::new() };
        match (session.jar_of(set), self.jar_is_read(set)) {
            ("", _) => String::new(),
            (jar, true) => tell!("jar-read", jar = jar),
            (jar, false) => tell!("jar-written", jar = jar),
        }
    }

    /// Whether the jar of a set is only read from its jar card.
    pub(crate) fn jar_is_read(&self, set: &record::Set) -> bool {
        set.jar_card.is_some() && self.day.session.record_of(set).is_none_or(|s| s.jar.is_empty())
    }

    /// How far the session is filed: files in the archive, and files in all.
    pub(crate) fn filed(&self) -> (usize, usize) {
        let files = || self.day.session.frames.iter().flat_map(|f| &f.files);
        (files().filter(|f| self.day.session.filed.contains_key(&f.path)).count(), files().count())
    }
}

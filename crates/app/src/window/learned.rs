//! What was learned on this computer of the views of plans: read beside the window, shown with the plans, forgotten on
//! request.
//!
//! It knows how many confirmed frames taught each view, not what they look like. Confirmed labels are not touched.

use std::collections::BTreeMap;

use filing::store::Store;
use record::{LearnedViews, Plan, ViewKey};

use super::app::App;
use super::job::{Job, Polled};
use super::state::Overlay;
use super::words::tell;

/// What was learned of one plan: of how many specimens, and from how many frames of each view.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Taught {
    specimens: usize,
    frames: BTreeMap<ViewKey, usize>,
}

/// What was learned of plans, by their keys, and the work that reads it.
#[derive(Debug, Default)]
pub(crate) struct Learned {
    known: BTreeMap<String, Taught>,
    going: Option<Job<BTreeMap<String, Taught>>>,
}

impl Taught {
    fn of(learned: &LearnedViews) -> Self {
        let mut frames = BTreeMap::new();
        for (view, _) in learned.specimens().flatten() {
            *frames.entry(view.clone()).or_default() += 1;
        }
        Self { specimens: learned.specimens().count(), frames }
    }
}

impl Learned {
    /// What was learned of a plan, in words: `Learned on this computer from 3 specimens; frames: Side 3, Face 2`; `None`
    /// when nothing was.
    pub(crate) fn words(&self, plan: &Plan) -> Option<String> {
        let taught = self.known.get(&plan.key).filter(|taught| taught.specimens > 0)?;
        let of = |view: &record::View| Some(format!("{} {}", view.name, taught.frames.get(&view.key)?));
        let views: Vec<String> = plan.views.iter().filter_map(of).collect();
        Some(tell!("learned-from", specimens = taught.specimens, views = views.join(", ")))
    }

    /// Whether it is being read.
    pub(crate) fn is_read(&self) -> bool {
        self.going.is_some()
    }
}

fn read(store: &Store, plans: &[Plan]) -> BTreeMap<String, Taught> {
    // What cannot be read is begun anew when something is learned, and is nothing until then.
    let of = |plan: &Plan| Taught::of(&store.learned(plan).unwrap_or_default());
    plans.iter().map(|plan| (plan.key.clone(), of(plan))).collect()
}

impl App {
    /// Has read what was learned of all plans.
    pub(super) fn read_learned(&mut self) {
        let Some(store) = self.store.clone() else { return };
        let mut plans = self.shelf.plans.clone();
        plans.extend(self.open.as_ref().map(|open| open.day.session.plan.clone()));
        let words = tell!("learned-read");
        let work = move |_: &dyn record::Progress| read(&store, &plans);
        self.learned.going = Some(Job::start("learned", words, self.now_secs, self.waker(), work));
    }

    /// Takes what was read.
    pub(super) fn take_learned(&mut self) {
        match self.learned.going.as_ref().map(Job::poll) {
            None | Some(Polled::Running) => return,
            Some(Polled::Done(known)) => self.learned.known = known,
            Some(Polled::Lost) => {}
        }
        self.learned.going = None;
    }

    /// Asks whether to forget what was learned of the open day's plan.
    pub(super) fn ask_forget(&mut self) {
        self.read_learned();
        self.state.overlay = Some(Overlay::Forget);
    }

    /// Forgets what was learned of the open day's plan.
    pub(super) fn forget_views(&mut self) {
        self.state.overlay = None;
        let (Some(open), Some(saver)) = (&mut self.open, &self.saver) else { return };
        let plan = open.day.session.plan.clone();
        saver.forget(&plan);
        open.day.learned = LearnedViews::default();
        self.learned.known.remove(&plan.key);
        let words = tell!("learned-forgotten", plan = plan.name.to_lowercase());
        // It is not saved now: that would teach again.
        open.changed();
        self.say(words);
    }
}

//! A card opened to be worked on: its session, claimed as long as the work lasts.

use std::path::Path;

use filing::claim::Claimed;
use filing::store::Store;

use super::DayArgs;
use super::meter::Meter;
use crate::day::{self, Day, OpenOptions};

/// A card's day with its store, and whose its session is.
pub(super) struct Opened {
    pub(super) store: Store,
    pub(super) day: Day,
    /// Keeps others from changing the session as long as it lives.
    pub(super) claimed: Option<Claimed>,
}

impl Opened {
    /// Reads a card into the session kept of it, or into a new one.
    pub(super) fn card(card: &Path, args: &DayArgs, afresh: bool) -> anyhow::Result<Self> {
        let store = Store::open(&Store::default_home()?)?;
        let (plan, name) = (args.find_plan()?, args.name.clone());
        let options = OpenOptions { plan, name, afresh, now: Some(day::now()) };
        let meter = Meter::reading();
        let day = Day::open(card, &options, Some(&store), &meter);
        meter.clear();
        let day = day?;
        let claimed = day.key.as_ref().map(|key| store.claim(key));
        Ok(Self { store, day, claimed })
    }

    /// Whether another window or program has the session.
    pub(super) fn is_others(&self) -> bool {
        matches!(self.claimed, Some(Claimed::Others))
    }
}

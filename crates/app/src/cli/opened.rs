//! A card opened to be worked on: its session, which can be claimed for as long as the work lasts.

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
    /// Once claimed, keeps others from changing the session as long as it lives.
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
        Ok(Self { store, day: day?, claimed: None })
    }

    /// Claims the session; says whether it can be changed, which it cannot while another window or program has it.
    pub(super) fn claim(&mut self) -> bool {
        self.claimed = self.day.key.as_ref().map(|key| self.store.claim(key));
        !matches!(self.claimed, Some(Claimed::Others))
    }
}

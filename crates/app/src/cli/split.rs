//! `endleaf split CARD`: what is on a card, without writing anything.

use std::path::PathBuf;

use clap::Args;

use super::meter::Meter;
use super::{DayArgs, Exit, json, print};
use crate::day::{self, Day, OpenOptions};

#[derive(Args)]
pub(super) struct SplitArgs {
    /// The card, or any folder of pictures
    card: PathBuf,
    /// Prints one JSON object, for programs
    #[arg(long)]
    json: bool,
    /// Exit status 1 when something needs a person: missing views, queries, faults
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    day: DayArgs,
}

pub(super) fn run(args: &SplitArgs) -> anyhow::Result<Exit> {
    let (plan, name) = (args.day.find_plan()?, args.day.name.clone());
    let options = OpenOptions { plan, name, afresh: true, now: Some(day::now()) };
    let meter = Meter::reading();
    let day = Day::open(&args.card, &options, None, &meter);
    meter.clear();
    let day = day?;
    print::result(&if args.json { json::day(&day)? } else { print::day(&day) });
    Ok(strict(args.strict, &day))
}

/// The exit status of work that is done.
pub(super) fn strict(asked: bool, day: &Day) -> Exit {
    if asked && day.needs_person() { Exit::NeedsPerson } else { Exit::Done }
}

//! `endleaf split CARD`: what is on a card, without writing anything.

use std::fmt::Write as _;
use std::path::PathBuf;

use anyhow::bail;
use clap::Args;
use record::Frame;

use super::meter::Meter;
use super::{DayArgs, Exit, json, print};
use crate::day::{Day, OpenOptions};

#[derive(Args)]
pub(super) struct SplitArgs {
    /// The card, or any folder of pictures
    card: PathBuf,
    /// Prints one JSON object, for programs
    #[arg(long)]
    json: bool,
    /// Looks closer at every frame, retake candidates first: sharpness, clipping, and what its view may be
    #[arg(long)]
    quality: bool,
    /// Prints what speaks for how a frame was taken, by its path on the card or its file name
    #[arg(long, value_name = "FRAME")]
    why: Option<String>,
    /// Exit status 1 when something needs a person: missing views, queries, faults
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    day: DayArgs,
}

pub(super) fn run(args: &SplitArgs) -> anyhow::Result<Exit> {
    let options = OpenOptions { plan: args.day.find_plan()?, name: args.day.name.clone(), afresh: true };
    let meter = Meter::reading();
    let day = Day::open(&args.card, &options, None, &meter);
    meter.clear();
    let mut day = day?;
    if args.quality {
        let meter = Meter::looking();
        let looked = day.look_closer(&meter);
        meter.clear();
        if looked.without_blank > 0 {
            print::note(&format!(
                "{} frames were looked at without a usable blank near them, against their own border.",
                looked.without_blank
            ));
        }
    }
    if let Some(frame) = &args.why {
        print::result(&why(&day, frame)?);
        return Ok(strict(args.strict, &day));
    }
    print::result(&if args.json { json::day(&day)? } else { print::day(&day) });
    Ok(strict(args.strict, &day))
}

/// The evidence for the frame of this path, or of this file name.
fn why(day: &Day, wanted: &str) -> anyhow::Result<String> {
    let of_path = |f: &&Frame| f.files.iter().any(|file| file.path == wanted);
    let of_name = |f: &&Frame| f.files.iter().any(|file| file.path.rsplit('/').next() == Some(wanted));
    let frames = &day.session.frames;
    let found = frames.iter().find(of_path).or_else(|| {
        let mut named = frames.iter().filter(of_name);
        named.next().filter(|_| named.next().is_none())
    });
    let Some(frame) = found else {
        bail!("No frame, or more than one, goes by this name; give its path on the card: {wanted}");
    };
    let mut text = format!("{}\n", frame.path());
    for words in day.why(frame.id) {
        writeln!(text, "  {words}").expect("a string takes any text");
    }
    Ok(text)
}

/// The exit status of work that is done.
pub(super) fn strict(asked: bool, day: &Day) -> Exit {
    if asked && day.needs_person() { Exit::NeedsPerson } else { Exit::Done }
}

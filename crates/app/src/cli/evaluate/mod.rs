//! `endleaf evaluate FOLDER`: how often the program is right, on folders whose answers are known.
//!
//! Three kinds of folder are read: labelled blanks and subjects (`labels.csv`), cards with their sets, and cards with the
//! views of their frames (a `card` folder beside `truth.json`, or beside `expected.json` as in the demo sessions; any depth
//! of one). What answers is in [`answer`] and gets the pictures alone; labels are read elsewhere and compared afterwards.

mod answer;
mod blanks;
mod border;
mod focus;
mod sets;
mod truth;
mod views;

use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};
use clap::Args;

use super::{DayArgs, Exit, print};
use truth::Truth;

#[derive(Args)]
pub(super) struct EvaluateArgs {
    /// A folder with labels.csv, or with one or more cards beside their truth.json or expected.json
    folder: PathBuf,
    /// How many specimens count as confirmed by a person before the views of the rest are judged
    #[arg(long, value_name = "N", default_value_t = 5)]
    confirmed: usize,
    #[command(flatten)]
    day: DayArgs,
}

pub(super) fn run(args: &EvaluateArgs) -> anyhow::Result<Exit> {
    let labels = args.folder.join("labels.csv");
    if labels.is_file() {
        print::result(&blanks::report(&args.folder, &labels)?);
        return Ok(Exit::Done);
    }
    let plan = args.day.find_plan()?.unwrap_or_else(crate::plans::usual);
    let cards = cards_in(&args.folder)?;
    let (with_views, with_sets): (Vec<_>, Vec<_>) =
        cards.into_iter().partition(|(_, truth)| truth.has_views());
    if !with_sets.is_empty() {
        print::result(&sets::report(&with_sets, &plan)?);
    }
    if !with_views.is_empty() {
        print::result(&views::report(&with_views, &plan, args.confirmed)?);
    }
    Ok(Exit::Done)
}

/// The labelled cards of a folder, or the one that it is, by name.
fn cards_in(folder: &Path) -> anyhow::Result<Vec<(PathBuf, Truth)>> {
    let mut folders = vec![folder.to_owned()];
    let entries =
        folder.read_dir().with_context(|| format!("The folder cannot be read: {}", folder.display()))?;
    for entry in entries {
        folders.push(entry?.path());
    }
    folders.sort();
    let mut cards = Vec::new();
    for (folder, file) in folders.iter().filter_map(|f| Some((f, Truth::file_in(f)?))) {
        let mut truth = Truth::read(&file)?;
        if truth.scenario.is_empty() {
            truth.scenario = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
        }
        cards.push((folder.join("card"), truth));
    }
    if cards.is_empty() {
        bail!(
            "Nothing here is labelled: neither labels.csv nor truth.json nor expected.json stands in {}",
            folder.display()
        );
    }
    Ok(cards)
}

/// A share in words: `97 of 100, 0.970`; nothing of nothing is a dash.
fn share(part: usize, of: usize) -> String {
    if of == 0 { "-".to_owned() } else { format!("{part} of {of}, {:.3}", part as f64 / of as f64) }
}

//! `endleaf undo ARCHIVE`: takes the last filing back.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use filing::Undo;
use filing::store::Store;
use record::{count, shown};

use super::meter::Meter;
use super::{Exit, print};

#[derive(Args)]
pub(super) struct UndoArgs {
    /// The folder that sessions are filed into
    archive: PathBuf,
    /// Where the card is now, when it is not where it was
    #[arg(long, value_name = "CARD")]
    card: Option<PathBuf>,
    /// Prints what would be taken back, and does nothing
    #[arg(long)]
    dry_run: bool,
}

pub(super) fn run(args: &UndoArgs) -> anyhow::Result<Exit> {
    let meter = Meter::comparing();
    let work = if args.dry_run { filing::plan_undo } else { filing::undo };
    let undo = work(&args.archive, args.card.as_deref(), &meter);
    meter.clear();
    let undo = undo?;
    if args.dry_run {
        print::result(&dry_run(&undo));
        return Ok(Exit::Done);
    }
    // What was taken back is taken back, also where the session kept of the card cannot be told.
    let told =
        Store::default_home().and_then(|home| Store::open(&home)).and_then(|store| store.unfile(&undo));
    if let Err(fault) = told {
        print::note(&fault.to_string());
    }
    let what = format!("{}, {} bytes", count(undo.files.len(), "file", "files"), undo.bytes);
    print::result(&format!("Taken back: {}. {what} are on the card as before.\n", named(&undo)));
    Ok(Exit::Done)
}

/// The filing, in words.
fn named(undo: &Undo) -> String {
    format!("the filing of {} into {}", undo.filed_at, shown(&undo.folder))
}

fn dry_run(undo: &Undo) -> String {
    let mut text = format!("Would be taken back: {}\n", named(undo));
    for (to, from) in &undo.files {
        writeln!(text, "  {}  goes; the card holds  {}", shown(to), shown(from))
            .expect("a string takes any text");
    }
    for (now, before) in &undo.moves {
        writeln!(text, "  {}  moves back to  {}", shown(now), shown(before))
            .expect("a string takes any text");
    }
    for path in &undo.texts {
        writeln!(text, "  {}  is as it was before", shown(path)).expect("a string takes any text");
    }
    text + &format!("{}, {} bytes. Nothing was done.\n", count(undo.files.len(), "file", "files"), undo.bytes)
}

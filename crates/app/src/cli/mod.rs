//! The command line: what was typed, then what it means, then an exit status.
//!
//! Results go to standard output, talk and progress to standard error.

mod audit;
mod evaluate;
mod export;
mod file;
mod forget;
mod json;
mod meter;
mod note;
mod opened;
mod print;
mod split;
mod undo;
mod watch;

use std::ffi::OsString;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use filing::store::Store;
use record::Plan;

use crate::{plans, window};

/// How the program ended, for scripts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Done.
    Done,
    /// Done, but something needs a person; only said with `--strict`.
    NeedsPerson,
    /// Not, or not wholly, done.
    NotDone,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        match exit {
            Exit::Done => Self::SUCCESS,
            Exit::NeedsPerson => Self::from(1),
            Exit::NotDone => Self::from(2),
        }
    }
}

#[derive(Parser)]
#[command(
    name = "endleaf",
    version,
    about = "Turns a day's photographs of field specimens into one complete, documented set per specimen.",
    after_help = "Without a verb the window opens. The card is only ever read. \
                  Exit status: 0 done; 2 not, or not wholly, done; with --strict, 1 when something needs a person.",
    args_conflicts_with_subcommands = true
)]
struct Typed {
    #[command(subcommand)]
    verb: Option<Verb>,
    /// Opens the window on this card or folder
    card: Option<PathBuf>,
    #[command(flatten)]
    day: DayArgs,
}

#[derive(Subcommand)]
enum Verb {
    /// Reads a card and prints sets, queries and the retake list; writes nothing
    Split(split::SplitArgs),
    /// Reads a card and files its frames into specimen folders of an archive
    File(file::FileArgs),
    /// Reads an archive again against its lists and journal, and says what is not as it was filed
    Audit(audit::AuditArgs),
    /// Makes documents of all sessions filed in an archive: a Darwin Core archive, tables for people
    Export(export::ExportArgs),
    /// Takes the last filing into an archive back
    Undo(undo::UndoArgs),
    /// Reads a field notebook and tracks into the session of a card
    Note(note::NoteArgs),
    /// Shows the retake list of a folder as frames arrive in it
    Watch(watch::WatchArgs),
    /// Forgets what confirmed frames taught of the views of a plan
    Forget(forget::ForgetArgs),
    /// Prints how often the program is right, on a folder whose answers are known
    #[command(hide = true)]
    Evaluate(evaluate::EvaluateArgs),
}

/// What concerns a card in any way it is opened.
#[derive(Args)]
struct DayArgs {
    /// The round of views: a plan's name, or a plan file
    #[arg(long, value_name = "NAME or FILE")]
    plan: Option<String>,
    /// Name of the session, for people and folders
    #[arg(long, value_name = "WORDS")]
    name: Option<String>,
}

impl DayArgs {
    /// Finds the plan that was named, and says which plan files were refused.
    fn find_plan(&self) -> anyhow::Result<Option<Plan>> {
        let Some(wanted) = &self.plan else { return Ok(None) };
        let on_hand = plans::shelf(&Store::default_home()?);
        for refused in &on_hand.refused {
            print::note(refused);
        }
        plans::find(&on_hand, wanted).map(Some).map_err(anyhow::Error::msg)
    }
}

/// Runs the program on these arguments, the first being its own name.
pub fn run(args: impl IntoIterator<Item = OsString>) -> Exit {
    let typed = match Typed::try_parse_from(args) {
        Ok(typed) => typed,
        // Help and version are asked for; anything else is a mistake in what was typed.
        Err(said) => {
            let mistake = said.use_stderr();
            return if said.print().is_err() || mistake { Exit::NotDone } else { Exit::Done };
        }
    };
    let done = match typed.verb {
        Some(Verb::Split(args)) => split::run(&args),
        Some(Verb::File(args)) => file::run(&args),
        Some(Verb::Audit(args)) => audit::run(&args),
        Some(Verb::Export(args)) => export::run(&args),
        Some(Verb::Undo(args)) => undo::run(&args),
        Some(Verb::Note(args)) => note::run(&args),
        Some(Verb::Watch(args)) => watch::run(&args),
        Some(Verb::Forget(args)) => forget::run(&args),
        Some(Verb::Evaluate(args)) => evaluate::run(&args),
        None => open_window(typed.card, typed.day),
    };
    done.unwrap_or_else(|fault| {
        print::note(&fault.to_string());
        Exit::NotDone
    })
}

fn open_window(card: Option<PathBuf>, day: DayArgs) -> anyhow::Result<Exit> {
    let plan = day.find_plan()?;
    window::run(window::Start { card, plan, name: day.name, ..window::Start::default() })?;
    Ok(Exit::Done)
}

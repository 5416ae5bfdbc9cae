//! `endleaf file CARD --into ARCHIVE`: the whole main job.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::bail;
use clap::Args;
use filing::store::Store;
use filing::{FilingFault, FilingPlan, Receipt};
use record::{Edit, NameForm, Session, count, shown};

use super::meter::Meter;
use super::opened::Opened;
use super::split::strict;
use super::{DayArgs, Exit, print};
use crate::day::Day;
use crate::window::filing_lines::Lines;

#[derive(Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is a flag of its own on the command line")]
pub(super) struct FileArgs {
    /// The card, or any folder of pictures
    card: PathBuf,
    /// The folder that sessions are filed into
    #[arg(long, value_name = "ARCHIVE")]
    into: PathBuf,
    /// A second archive, filled from the same reading of the card
    #[arg(long, value_name = "ARCHIVE")]
    and_into: Option<PathBuf>,
    /// Prints where everything would go, and does nothing
    #[arg(long)]
    dry_run: bool,
    /// Lets views that are only proposed stand in file names
    #[arg(long)]
    take_proposed: bool,
    /// Begins a new session even where one is kept of this card
    #[arg(long)]
    afresh: bool,
    /// Exit status 1 when something needs a person: missing views, queries, faults
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    names: NameArgs,
    #[command(flatten)]
    day: DayArgs,
}

/// How folders and files are called.
#[derive(Args)]
struct NameArgs {
    /// What file names are made of, in order: words of date, time, session, specimen, jar, view, original, n
    #[arg(long, value_name = "FIELDS")]
    name_files: Option<String>,
    /// What folders of specimens are called by: words of date, session, specimen, jar
    #[arg(long, value_name = "FIELDS")]
    name_folders: Option<String>,
    /// What stands between the fields of a name: such as _ or -
    #[arg(long, value_name = "SIGN", allow_hyphen_values = true)]
    join_names: Option<String>,
}

impl NameArgs {
    /// Changes how a session names what is filed, as far as that was asked for. It is kept in the session.
    fn apply(&self, session: &mut Session) -> anyhow::Result<()> {
        let mut naming = session.naming.clone();
        for (words, form) in [(&self.name_files, &mut naming.file), (&self.name_folders, &mut naming.folder)]
        {
            if let Some(words) = words {
                form.name = NameForm::fields_from_words(words)?;
            }
            if let Some(joiner) = &self.join_names {
                form.joiner.clone_from(joiner);
            }
        }
        if naming != session.naming {
            session.apply(&Edit::Naming(Box::new(naming)))?;
        }
        Ok(())
    }
}

pub(super) fn run(args: &FileArgs) -> anyhow::Result<Exit> {
    let mut opened = Opened::card(&args.card, &args.day, args.afresh)?;
    if !args.dry_run && !opened.claim() {
        bail!(
            "This card's session is open in a window of Endleaf, or is being filed already. Nothing was done. Close it \
             there, or file from there: {}",
            args.card.display()
        );
    }
    // The claim lasts until all is done: a window that is opened meanwhile only looks.
    let Opened { store, mut day, claimed: _claimed } = opened;
    for warning in &day.warnings {
        print::note(warning);
    }
    if let Some(merged) = day.resumed {
        print::note(&format!(
            "A session is kept of this card and goes on: {} frames known, {} new. --afresh begins anew.",
            merged.known, merged.new
        ));
    }
    print::result(&print::day(&day));
    let views = if args.take_proposed { day.proposed_views() } else { BTreeMap::new() };
    args.names.apply(&mut day.session)?;
    let mut plans = Vec::new();
    for archive in std::iter::once(&args.into).chain(&args.and_into) {
        let meter = Meter::comparing();
        let plan = filing::plan_filing(&day.session, &args.card, archive, &views, &day.left(), &meter);
        meter.clear();
        let plan = plan?;
        for remark in &plan.remarks {
            print::note(remark);
        }
        if args.dry_run {
            print::result(&dry_run(&day.session, archive, &plan, args.take_proposed));
        }
        plans.push(plan);
    }
    if args.dry_run {
        return Ok(strict(args.strict, &day));
    }
    let receipts = carry_out(args, &plans, &mut day, &store)?;
    let all_filed = receipts.iter().all(Result::is_ok);
    for receipt in receipts {
        match receipt {
            Ok(receipt) => print::result(&said(&receipt, all_filed)),
            Err(fault) => print::note(&fault.to_string()),
        }
    }
    Ok(if all_filed { strict(args.strict, &day) } else { Exit::NotDone })
}

/// Files, and keeps the session whatever came of it: what was done is recorded there.
fn carry_out(
    args: &FileArgs,
    plans: &[FilingPlan],
    day: &mut Day,
    store: &Store,
) -> anyhow::Result<Vec<Result<Receipt, FilingFault>>> {
    let meter = Meter::filing();
    let session = &mut day.session;
    let receipts = match (plans, &args.and_into) {
        ([main, other], Some(and_into)) => {
            let archives = [args.into.as_path(), and_into];
            filing::carry_out_both([main, other], session, &args.card, archives, &meter).map(Vec::from)
        }
        (plans, _) => Ok(vec![filing::carry_out(&plans[0], session, &args.card, &args.into, &meter)]),
    };
    meter.clear();
    day.save(store)?;
    Ok(receipts?)
}

/// The plan as the window shows it: each line with what becomes of it and why, then the numbers.
fn dry_run(session: &Session, archive: &Path, plan: &FilingPlan, takes_proposed: bool) -> String {
    let mut text = format!("\nWould be filed into {}\n", archive.join(&plan.folder).display());
    let mut line = |words: &str| writeln!(text, "  {words}").expect("a string takes any text");
    if let Some(altered) = plan.folder_altered {
        line(&format!("(the folder) {}", altered.words()));
    }
    for told in Lines::of_the_day(plan) {
        let (from, to) = (shown(told.from), shown(told.to));
        let way = if told.from.is_empty() || told.to.is_empty() { "" } else { "  →  " };
        let bytes = told.bytes.map_or(String::new(), |bytes| format!("{bytes} bytes; "));
        let (fate, why) = (told.fate_words(), told.reason_words(session, takes_proposed));
        line(&format!("{fate}:  {from}{way}{to}  ({bytes}{why})"));
    }
    let (copied, bytes) = (plan.files_to_copy(), plan.bytes_to_copy());
    let (before, moved) = (plan.steps.len() - copied, plan.moves().count());
    let free = filing::free_bytes(archive).map_or(String::new(), |free| format!(" of {free} free"));
    let moved = if moved > 0 { format!(", {moved} to move") } else { String::new() };
    let altered = match plan.files_altered() {
        0 => String::new(),
        n => format!("; {} changed", count(n, "name is", "names are")),
    };
    text + &format!(
        "{} to copy, {bytes} bytes{free}{moved}{altered}; {before} filed before. Nothing was done.\n",
        count(copied, "file", "files")
    )
}

/// What became of a filing; with another archive that is not wholly filed, without a word on wiping the card.
fn said(receipt: &Receipt, all_filed: bool) -> String {
    let bytes = receipt.copied_bytes;
    let mut text = match (receipt.copied, receipt.filed_before) {
        (0, 1) => "Nothing new: the one file was filed before.".to_owned(),
        (0, before) => format!("Nothing new: all {before} files were filed before."),
        (copied, 0) => format!("{} copied and read back, {bytes} bytes.", count(copied, "file", "files")),
        (copied, before) => {
            format!(
                "{} copied and read back, {bytes} bytes; {} filed before.",
                count(copied, "file", "files"),
                count(before, "was", "were")
            )
        }
    };
    for (folder, count) in &receipt.elsewhere {
        write!(text, "\nOf those filed before, {count} lie in {folder}.").expect("a string takes any text");
    }
    if receipt.copies > 0 {
        let copies = count(receipt.copies, "file", "files");
        let words = "copies of these, on the card besides, not filed again";
        write!(text, "\n{copies}: {words}.").expect("a string takes any text");
    }
    if receipt.moved > 0 {
        let moved = count(receipt.moved, "file was", "files were");
        write!(text, "\n{moved} moved in the archive to other names.").expect("a string takes any text");
    }
    if receipt.sidecars > 0 {
        let sidecars = count(receipt.sidecars, "sidecar", "sidecars");
        write!(text, "\n{sidecars} written beside them.").expect("a string takes any text");
    }
    for remark in &receipt.remarks {
        write!(text, "\n{remark}").expect("a string takes any text");
    }
    let verdict = if all_filed {
        receipt.account.words()
    } else {
        "The other archive is not wholly filed: do not wipe the card.".to_owned()
    };
    format!("\nFiled into {}\n{text}\n{verdict}\n", receipt.folder.display())
}

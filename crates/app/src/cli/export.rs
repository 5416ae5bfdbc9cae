//! `endleaf export ARCHIVE`: makes documents of all sessions filed in an archive.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

use anyhow::{bail, ensure};
use clap::Args;
use exchange::archive::{export_darwin_core, export_tables, survey};
use exchange::darwin_core::{Basis, Profile, Question, Status, Survey};
use exchange::{Audience, Sensitivity, stops::Betrayal};
use record::{count, shown};

use super::meter::Meter;
use super::{Exit, print};
use crate::day;

/// Numbers named of each session before the rest is counted.
const NAMED: usize = 12;

#[derive(Args)]
pub(super) struct ExportArgs {
    /// The folder that sessions are filed into
    archive: PathBuf,
    /// Writes a Darwin Core archive: for databases, cells exact
    #[arg(long, value_name = "FILE.zip")]
    darwin_core: Option<PathBuf>,
    /// Writes the same tables as CSV into a new folder: for spreadsheets, no cell runs as a formula
    #[arg(long, value_name = "FOLDER")]
    csv: Option<PathBuf>,
    /// The address below which the archive's pictures are served
    #[arg(long, value_name = "URL")]
    media_base: Option<String>,
    /// What a record rests on: a machine's observation, as of a camera, or a person's
    #[arg(
        long,
        value_name = "MachineObservation or HumanObservation",
        default_value = "MachineObservation",
        value_parser = basis
    )]
    basis: Basis,
    /// How a record says that the animal was there: detected, or present for databases that know only that
    #[arg(long, value_name = "WORD", default_value = "detected", value_parser = status)]
    status: Status,
    /// How sensitive an animal without a name counts: none, low, medium, high or extreme
    #[arg(long, value_name = "WORD", default_value = "none", value_parser = sensitivity)]
    sensitive_default: Sensitivity,
    /// What becomes of records that give a coarsened place away: coarse or exact
    #[arg(long, value_name = "WORD", value_parser = same_stop)]
    same_stop: Option<SameStop>,
    /// Leaves out names of people
    #[arg(long)]
    without_people: bool,
    /// Prints what would be questioned, and writes nothing
    #[arg(long)]
    dry_run: bool,
    /// Exit status 1 when something would be questioned
    #[arg(long)]
    strict: bool,
}

/// What becomes of the neighbours of a coarsened record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SameStop {
    Coarse,
    Exact,
}

fn basis(text: &str) -> Result<Basis, String> {
    one_of(text, &Basis::ALL, Basis::word)
}

fn status(text: &str) -> Result<Status, String> {
    one_of(text, &Status::ALL, Status::word)
}

fn sensitivity(text: &str) -> Result<Sensitivity, String> {
    one_of(text, &Sensitivity::ALL, Sensitivity::word)
}

fn same_stop(text: &str) -> Result<SameStop, String> {
    let word = |stop| if stop == SameStop::Coarse { "coarse" } else { "exact" };
    one_of(text, &[SameStop::Coarse, SameStop::Exact], word)
}

fn one_of<T: Copy>(text: &str, all: &[T], word: impl Fn(T) -> &'static str) -> Result<T, String> {
    let words: Vec<&str> = all.iter().map(|value| word(*value)).collect();
    let found = all.iter().find(|value| word(**value) == text);
    found.copied().ok_or_else(|| format!("write {}", words.join(" or ")))
}

pub(super) fn run(args: &ExportArgs) -> anyhow::Result<Exit> {
    ensure!(
        args.dry_run || args.darwin_core.is_some() || args.csv.is_some(),
        "Nothing is named to be written. Name a file with --darwin-core, a folder with --csv, or look first with --dry-run"
    );
    if let Some(base) = &args.media_base {
        ensure!(
            ["https://", "http://"].iter().any(|way| base.starts_with(way))
                && !base.contains(char::is_whitespace),
            "“{base}” is no address: write one that begins with https://. Nothing was written"
        );
    }
    let mut profile = Profile {
        basis: args.basis,
        status: args.status,
        media_base: args.media_base.clone(),
        audience: Audience {
            unnamed: args.sensitive_default,
            also_coarsened: BTreeMap::new(),
            without_people: args.without_people,
        },
    };
    if let Ok(Some(cut)) = filing::unfinished(&args.archive) {
        print::note(&format!(
            "A filing into this archive is not over, so pictures may be missing. File its card again first: {}",
            shown(&cut.folder)
        ));
    }
    let published = day::now().date();
    let look = |profile: &Profile| {
        let meter = Meter::exporting();
        let found = survey(&args.archive, profile, &published, &meter);
        meter.clear();
        found
    };
    let mut found = look(&profile)?;
    let telling = found.neighbours();
    if args.same_stop == Some(SameStop::Coarse) && !telling.is_empty() {
        profile.audience.also_coarsened = found.with_neighbours();
        found = look(&profile)?;
    }
    print::result(&said(&found, &telling, args.same_stop));
    if args.dry_run {
        print::result("Nothing was written.\n");
        return Ok(exit(args, &found));
    }
    if !telling.is_empty() && args.same_stop.is_none() {
        bail!(
            "Nothing was written: the records named tell where a sensitive animal was. Coarsen them too with --same-stop \
             coarse, or share them as they are with --same-stop exact"
        );
    }
    let meter = Meter::exporting();
    let mut written = Vec::new();
    if let Some(path) = &args.darwin_core {
        export_darwin_core(&args.archive, &profile, &found, path, &meter)?;
        written.push(path);
    }
    if let Some(folder) = &args.csv {
        let done = export_tables(&args.archive, &profile, &found, folder, &meter);
        if let (Err(_), Some(path)) = (&done, &args.darwin_core) {
            print::note(&format!("The Darwin Core archive is written and whole: {}", path.display()));
        }
        done?;
        written.push(folder);
    }
    meter.clear();
    for path in written {
        print::result(&format!("Written: {}\n", path.display()));
    }
    Ok(exit(args, &found))
}

fn exit(args: &ExportArgs, found: &Survey) -> Exit {
    if args.strict && !found.findings.is_empty() { Exit::NeedsPerson } else { Exit::Done }
}

/// Sessions, and the numbers of sets in each.
type Numbers<'a> = BTreeMap<&'a str, Vec<u32>>;

fn said(found: &Survey, telling: &[Betrayal], same_stop: Option<SameStop>) -> String {
    let mut text = format!("{} to be shared", count(found.records(), "record", "records"));
    match found.coarsened() {
        0 => text.push_str(", none with a coarsened place\n"),
        n => writeln!(text, ", {n} of them with a coarsened or withheld place")
            .expect("a string takes any text"),
    }
    let mut questions: BTreeMap<Question, Numbers<'_>> = BTreeMap::new();
    for finding in &found.findings {
        let sessions = questions.entry(finding.question).or_default();
        sessions.entry(&finding.folder).or_default().push(finding.number);
    }
    for (question, sessions) in &questions {
        lines(question.words(), sessions, &mut text);
    }
    let mut neighbours = Numbers::new();
    for (folder, number) in telling.iter().filter_map(|one| found.place_of(one.exact)) {
        neighbours.entry(folder).or_default().push(*number);
    }
    if !neighbours.is_empty() {
        let done = match same_stop {
            Some(SameStop::Coarse) => "of the stop of a sensitive animal, coarsened with it",
            Some(SameStop::Exact) => "of the stop of a sensitive animal, shared as held",
            None => "of the stop of a sensitive animal, which they give away",
        };
        lines(done, &neighbours, &mut text);
    }
    text
}

fn lines(words: &str, sessions: &Numbers<'_>, text: &mut String) {
    let all: usize = sessions.values().map(Vec::len).sum();
    writeln!(text, "  {}: {words}", count(all, "record", "records")).expect("a string takes any text");
    for (folder, numbers) in sessions {
        let mut named: Vec<String> = numbers.iter().take(NAMED).map(u32::to_string).collect();
        if numbers.len() > NAMED {
            named.push(format!("and {} more", numbers.len() - NAMED));
        }
        writeln!(text, "    {}: {}", shown(folder), named.join(", ")).expect("a string takes any text");
    }
}

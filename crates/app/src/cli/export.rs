//! `endleaf export ARCHIVE`: makes documents of the sessions filed in an archive.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail, ensure};
use clap::Args;
use exchange::archive::survey;
use exchange::darwin_core::{Basis, Profile, Status, Survey, is_address};
use exchange::pack::{self, Form, Which};
use exchange::sheets::{self, LabelSize, Paper};
use exchange::{Audience, Sensitivity, stops::Betrayal};
use filing::{filed_session, filed_sessions};
use record::{count, shown};

use super::meter::Meter;
use super::{Exit, print};
use crate::day;
use crate::orders::{self, Labels, Neighbours, Order, Those};

/// Numbers named of each session before the rest is counted.
const NAMED: usize = 12;

#[derive(Args)]
#[expect(clippy::struct_excessive_bools, reason = "each is an option of its own")]
pub(super) struct ExportArgs {
    /// The folder that sessions are filed into
    archive: PathBuf,
    /// Writes a Darwin Core archive: for databases, cells exact
    #[arg(long, value_name = "FILE.zip")]
    darwin_core: Option<PathBuf>,
    /// Writes the same tables as CSV into a new folder: for spreadsheets, no cell runs as a formula
    #[arg(long, value_name = "FOLDER")]
    csv: Option<PathBuf>,
    /// Packs captioned pictures to be named: a new folder, or one zip where the name ends so
    #[arg(long, value_name = "FOLDER or FILE.zip")]
    pack: Option<PathBuf>,
    /// Writes a page for each specimen: a PDF, or a page to look at where the name ends in .html
    #[arg(long, value_name = "FILE.pdf or FILE.html")]
    contact_sheets: Option<PathBuf>,
    /// Writes labels with a code for the drawer
    #[arg(long, value_name = "FILE.pdf")]
    labels: Option<PathBuf>,
    /// Packs each session as a bag (RFC 8493) in this folder: private, with exact places
    #[arg(long, value_name = "FOLDER")]
    bag: Option<PathBuf>,
    /// The session of which sheets, labels or a pack are made, by its folder in the archive
    #[arg(long, value_name = "FOLDER")]
    session: Option<String>,
    /// The specimens of it, as 3,5-9; all without it
    #[arg(long, value_name = "NUMBERS", value_parser = numbers)]
    numbers: Option<Numbered>,
    /// All pictures go into a pack, not the best of each view alone
    #[arg(long)]
    all_pictures: bool,
    /// Pictures in a pack are cut to the animal
    #[arg(long)]
    cut: bool,
    /// Long side of pictures in a pack, px
    #[arg(long, value_name = "PX", default_value_t = 2048, value_parser = clap::value_parser!(u32).range(64..))]
    long_side: u32,
    /// How large a picture in a pack may be, thousands of bytes; any size without it
    #[arg(long, value_name = "KB", value_parser = clap::value_parser!(u32).range(10..))]
    at_most_kb: Option<u32>,
    /// Paper of sheets and labels: a4 or letter
    #[arg(long, value_name = "PAPER", default_value = "a4", value_parser = paper)]
    paper: Paper,
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
    same_stop: Option<Neighbours>,
    /// Lets names of people go out: recorders, determiners, photographers, holders of rights
    #[arg(long)]
    people: bool,
    /// Prints what would be questioned, and writes nothing
    #[arg(long)]
    dry_run: bool,
    /// Exit status 1 when something would be questioned
    #[arg(long)]
    strict: bool,
}

/// Numbers of specimens.
#[derive(Debug, Clone)]
struct Numbered(BTreeSet<u32>);

fn numbers(text: &str) -> Result<Numbered, String> {
    let wrong = || format!("“{text}” are no numbers: write them as 3,5-9");
    let mut all = BTreeSet::new();
    for part in text.split(',') {
        let (first, last) = part.split_once('-').unwrap_or((part, part));
        let number = |text: &str| text.trim().parse::<u32>().map_err(|_amiss| wrong());
        let (first, last) = (number(first)?, number(last)?);
        // More specimens than this no day has.
        if first > last || last - first > 100_000 {
            return Err(wrong());
        }
        all.extend(first..=last);
    }
    Ok(Numbered(all))
}

fn paper(text: &str) -> Result<Paper, String> {
    one_of(text, &Paper::ALL, |paper| if paper == Paper::A4 { "a4" } else { "letter" })
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

fn same_stop(text: &str) -> Result<Neighbours, String> {
    let word = |neighbours| if neighbours == Neighbours::Coarse { "coarse" } else { "exact" };
    one_of(text, &[Neighbours::Coarse, Neighbours::Exact], word)
}

fn one_of<T: Copy>(text: &str, all: &[T], word: impl Fn(T) -> &'static str) -> Result<T, String> {
    let words: Vec<&str> = all.iter().map(|value| word(*value)).collect();
    let found = all.iter().find(|value| word(**value) == text);
    found.copied().ok_or_else(|| format!("write {}", words.join(" or ")))
}

pub(super) fn run(args: &ExportArgs) -> anyhow::Result<Exit> {
    let any = [&args.darwin_core, &args.csv, &args.pack, &args.contact_sheets, &args.labels, &args.bag];
    ensure!(
        args.dry_run || any.iter().any(|path| path.is_some()),
        "Nothing is named to be written. Name it with --pack, --contact-sheets, --labels, --darwin-core, --csv or --bag, or \
         look first with --dry-run"
    );
    if let Some(base) = &args.media_base {
        ensure!(
            is_address(base),
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
            people: args.people,
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
    if args.same_stop == Some(Neighbours::Coarse) && !telling.is_empty() {
        profile.audience.also_coarsened = found.with_neighbours();
        found = look(&profile)?;
    }
    print::result(&said(&found, &telling, args.same_stop));
    if args.dry_run {
        print::result("Nothing was written.\n");
        return Ok(exit(args, &found));
    }
    // A bag is for nobody else.
    let for_others = any[..5].iter().any(|path| path.is_some());
    if for_others && !telling.is_empty() && args.same_stop.is_none() {
        bail!(
            "Nothing was written: the records named tell where a sensitive animal was. Coarsen them too with --same-stop \
             coarse, or share them as they are with --same-stop exact"
        );
    }
    let mut amiss = false;
    for (order, to) in orders(args, &profile, &published)? {
        let whole = orders::absolute(to).map_err(anyhow::Error::msg)?;
        let meter = Meter::exporting();
        let done = order.make(&args.archive, &whole, &meter);
        meter.clear();
        let done = done.map_err(anyhow::Error::msg)?;
        print::result(&format!("Written: {}\n", to.display()));
        for remark in &done.remarks {
            print::note(remark);
            amiss = true;
        }
    }
    Ok(if amiss { Exit::NotDone } else { exit(args, &found) })
}

/// All that is asked for, in the order of the options, and where each goes.
fn orders<'a>(args: &'a ExportArgs, profile: &Profile, day: &str) -> anyhow::Result<Vec<(Order, &'a Path)>> {
    let audience = || profile.audience.clone();
    let mut all = Vec::new();
    if let Some(to) = &args.darwin_core {
        all.push((Order::DarwinCore(profile.clone(), day.to_owned()), to.as_path()));
    }
    if let Some(to) = &args.csv {
        all.push((Order::Tables(profile.clone(), day.to_owned()), to));
    }
    if args.pack.is_some() || args.contact_sheets.is_some() || args.labels.is_some() {
        let folders = filed_sessions(&args.archive)?;
        let chosen = match (&args.session, &folders[..], &args.numbers) {
            (Some(wanted), folders, _) => {
                let named = folders.iter().find(|folder| *folder == wanted);
                let words =
                    || format!("No session is filed in this folder. Nothing was written: {}", shown(wanted));
                Some(named.with_context(words)?)
            }
            (None, [only], _) => Some(only),
            (None, _, None) if args.contact_sheets.is_none() && args.labels.is_none() => None,
            _ => bail!(
                "Several sessions are filed in this archive, and this is made of one. Nothing was written. Name its folder \
                 with --session: {}",
                folders.iter().map(|folder| shown(folder)).collect::<Vec<_>>().join(", ")
            ),
        };
        let those = args.numbers.as_ref().map_or(Those::All, |numbers| Those::Numbers(numbers.0.clone()));
        // Where none are named, a pack takes all there is.
        let ids = match chosen.filter(|_| args.session.is_some() || args.numbers.is_some()) {
            Some(folder) => Some(those.of(&filed_session(&args.archive, folder)?)),
            None => None,
        };
        let folder = chosen.cloned().unwrap_or_default();
        let ends =
            |path: &Path, ending: &str| path.extension().is_some_and(|e| e.eq_ignore_ascii_case(ending));
        if let Some(to) = &args.pack {
            let wanted = pack::Wanted {
                audience: audience(),
                specimens: ids.clone(),
                which: if args.all_pictures { Which::All } else { Which::Best },
                around_subject: args.cut,
                long_side_px: args.long_side,
                at_most_bytes: args.at_most_kb.map(|kb| kb as usize * 1000),
                form: if ends(to, "zip") { Form::Zip } else { Form::Folder },
            };
            all.push((Order::Pack(wanted), to));
        }
        if let Some(to) = &args.contact_sheets {
            let wanted = sheets::Wanted { audience: audience(), chosen: ids.clone() };
            let paper = (!ends(to, "html")).then_some(args.paper);
            all.push((Order::Sheets(folder.clone(), wanted, paper), to));
        }
        if let Some(to) = &args.labels {
            let labels = Labels::Drawer(folder, audience(), ids);
            all.push((Order::Labels(labels, args.paper, LabelSize::default()), to));
        }
    }
    if let Some(to) = &args.bag {
        all.push((Order::Bags(None, day.to_owned()), to));
    }
    Ok(all)
}

fn exit(args: &ExportArgs, found: &Survey) -> Exit {
    if args.strict && !found.findings.is_empty() { Exit::NeedsPerson } else { Exit::Done }
}

/// Sessions, and the numbers of sets in each.
type Numbers<'a> = BTreeMap<&'a str, Vec<u32>>;

fn said(found: &Survey, telling: &[Betrayal], same_stop: Option<Neighbours>) -> String {
    let mut text = format!("{} to be shared", count(found.records(), "record", "records"));
    match found.coarsened() {
        0 => text.push_str(", none with a coarsened place\n"),
        n => writeln!(text, ", {n} of them with a coarsened or withheld place")
            .expect("a string takes any text"),
    }
    for (question, sessions) in found.by_question() {
        lines(question.words(), &sessions, &mut text);
    }
    let mut neighbours = Numbers::new();
    for (folder, number) in telling.iter().filter_map(|one| found.place_of(one.exact)) {
        neighbours.entry(folder).or_default().push(*number);
    }
    if !neighbours.is_empty() {
        let done = match same_stop {
            Some(Neighbours::Coarse) => "of the stop of a sensitive animal, coarsened with it",
            Some(Neighbours::Exact) => "of the stop of a sensitive animal, shared as held",
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

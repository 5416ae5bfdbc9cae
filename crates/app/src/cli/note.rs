//! `endleaf note CARD`: reads a field notebook and tracks into the session of a card.

use std::fmt::Write as _;
use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, anyhow, bail, ensure};
use clap::Args;
use exchange::answers::{AnswersPlan, Outcome, plan_answers};
use notes::{Remembered, Tracks};
use record::{Session, Taken, count, shown};

use super::opened::Opened;
use super::{DayArgs, Exit, print};
use crate::day_places::plan_track;
use crate::field_notes::{Decided, plan_notebook};
use crate::plans_of_notes::{NotebookPlan, TrackPlan};

#[derive(Args)]
pub(super) struct NoteArgs {
    /// The card or folder
    card: PathBuf,
    /// A field notebook as CSV or TSV
    #[arg(long, value_name = "FILE")]
    notebook: Option<PathBuf>,
    /// The track of a receiver as GPX; may be given several times
    #[arg(long, value_name = "FILE")]
    track: Vec<PathBuf>,
    /// Names that a specialist sent back, as a table with a column occurrenceID; none of them is accepted by that
    #[arg(long, value_name = "FILE")]
    answers: Option<PathBuf>,
    /// How far local time is ahead of UTC, where the frames do not say it: +01:00
    #[arg(long, value_name = "OFFSET", allow_hyphen_values = true)]
    zone: Option<String>,
    /// Writes over what stands in the session already
    #[arg(long)]
    replace: bool,
    /// Takes the notebook although some rows are doubtful; those are left out
    #[arg(long)]
    leave_doubtful: bool,
    /// Prints what would be written, and does nothing
    #[arg(long)]
    dry_run: bool,
    #[command(flatten)]
    day: DayArgs,
}

pub(super) fn run(args: &NoteArgs) -> anyhow::Result<Exit> {
    ensure!(
        args.notebook.is_some() || !args.track.is_empty() || args.answers.is_some(),
        "Nothing is given to be read. Name a field notebook with --notebook, a track with --track, names that came back \
         with --answers"
    );
    let zone_min = args.zone.as_deref().map(zone_minutes).transpose()?;
    let mut opened = Opened::card(&args.card, &args.day, false)?;
    if !args.dry_run && !opened.claim() {
        bail!(
            "This card's session is open in a window of Endleaf. Nothing was done. Read the notes in there"
        );
    }
    // The claim lasts until all is done: a window that is opened meanwhile only looks.
    let Opened { store, mut day, claimed: _claimed } = opened;
    for warning in &day.warnings {
        print::note(warning);
    }
    let mut is_open = false;
    if let Some(path) = &args.notebook {
        let bytes = std::fs::read(path).map_err(|fault| unread(&fault, path))?;
        let notebook = notes::read_notebook(&bytes, &Remembered::default())
            .map_err(|fault| anyhow!("{fault}. Nothing was written: {}", path.display()))?;
        let plan = plan_notebook(&day.session, &notebook, &notebook.mapping, &Decided::new(), args.replace)?;
        print::result(&notebook_words(path, &day.session, &notebook, &plan));
        is_open = plan.questions().next().is_some() && !args.leave_doubtful;
        if let Some(edit) = &plan.edit {
            day.session.apply(edit)?;
            day.rearrange();
        }
    }
    if !args.track.is_empty() {
        let (name, tracks) = read_tracks(&args.track)?;
        let plan = plan_track(&day.session, &name, &tracks, zone_min, args.replace);
        print::result(&track_words(&name, &day.session, &plan));
        if let Some(edit) = &plan.edit {
            day.session.apply(edit)?;
        }
    }
    if let Some(path) = &args.answers {
        let bytes = std::fs::read(path).map_err(|fault| unread(&fault, path))?;
        let name = path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
        let answers = notes::read_answers(&bytes, &name, None)
            .map_err(|fault| anyhow!("{fault}. Nothing was written: {}", path.display()))?;
        let plan = plan_answers(&day.session, &answers.rows);
        print::result(&answers_words(path, &day.session, &answers, &plan));
        if let Some(edit) = &plan.edit {
            day.session.apply(edit)?;
        }
    }
    if args.dry_run {
        print::result("Nothing was written.\n");
        return Ok(Exit::Done);
    }
    if is_open {
        print::note(
            "Nothing was written: some rows are doubtful. Write their jars in the notebook or in the session, decide about \
             them in the window, or leave them out with --leave-doubtful.",
        );
        return Ok(Exit::NotDone);
    }
    day.save(&store)?;
    print::result("Written into the session. The files read are as they were.\n");
    Ok(Exit::Done)
}

fn unread(fault: &std::io::Error, path: &Path) -> anyhow::Error {
    anyhow!("This file cannot be read: {fault}. Nothing was written: {}", path.display())
}

/// `+01:00` as minutes.
fn zone_minutes(text: &str) -> anyhow::Result<i16> {
    Taken::offset_from_exif(text.trim())
        .with_context(|| format!("“{text}” is no offset from UTC: write it as +01:00 or -03:30"))
}

/// All tracks together, and what they are called.
fn read_tracks(paths: &[PathBuf]) -> anyhow::Result<(String, Tracks)> {
    let mut all = Tracks::default();
    let mut names = Vec::new();
    for path in paths {
        let file = File::open(path).map_err(|fault| unread(&fault, path))?;
        let read = notes::read_gpx(BufReader::new(file));
        all.add(read.map_err(|fault| anyhow!("{fault}. Nothing was written: {}", path.display()))?);
        names.push(path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned()));
    }
    Ok((names.join(", "), all))
}

/// What each row of names that came back does; those that give none are counted.
fn answers_words(path: &Path, session: &Session, read: &notes::Answers, plan: &AnswersPlan) -> String {
    let mut text =
        format!("{}: {}\n", path.display(), count(plan.added(), "name to be written", "names to be written"));
    let mut line = |words: &str| writeln!(text, "  {words}").expect("a string takes any text");
    for told in &read.told {
        line(&told.to_string());
    }
    if !read.passed_over.is_empty() {
        line(&format!("columns passed over: {}", read.passed_over.join(", ")));
    }
    let of = |id| session.sets.iter().find(|set| set.specimens.contains(&id)).map(|set| set.number);
    for (row, answer) in plan.rows.iter().zip(&read.rows) {
        let number = row.specimen.and_then(of).map_or("-".to_owned(), |number| number.to_string());
        let name = answer.given.as_ref().map_or("", |given| given.name.as_str());
        let words = match &row.outcome {
            Outcome::Adds => "to be written".to_owned(),
            Outcome::Differs => "to be written beside names that differ".to_owned(),
            Outcome::Against(accepted) => format!("to be written against “{accepted}”, which stays accepted"),
            Outcome::Known => "is there already".to_owned(),
            Outcome::NoSpecimen => "no specimen of this session".to_owned(),
            Outcome::Amiss(fault) => format!("left out: {fault}"),
            Outcome::NoName => continue,
        };
        line(&format!("line {}, specimen {number}: {} {words}", row.line, shown(name)));
    }
    text
}

fn number(session: &Session, set: usize) -> u32 {
    session.sets.get(set).map_or(0, |set| set.number)
}

fn notebook_words(path: &Path, session: &Session, notebook: &notes::Notebook, plan: &NotebookPlan) -> String {
    let dialect = &notebook.dialect;
    let parted =
        if dialect.delimiter == '\t' { "tabs".to_owned() } else { format!("“{}”", dialect.delimiter) };
    let mut text = format!("{}: {}, parted by {parted}\n", path.display(), dialect.encoding);
    let mut line = |words: &str| writeln!(text, "  {words}").expect("a string takes any text");
    for (header, column) in notebook.headers.iter().zip(&notebook.mapping.columns) {
        let meaning = match column {
            notes::Column::Jar => "jar",
            notes::Column::Number => "number of the specimen",
            notes::Column::Time => "time caught",
            notes::Column::Date => "date",
            notes::Column::Field(name) => name,
            notes::Column::LeaveOut => "left out",
        };
        line(&format!("column “{}”: {meaning}", shown(header)));
    }
    for told in &plan.told {
        line(told);
    }
    for row in &plan.rows {
        let about = match (row.set, row.is_open) {
            (None, _) => "about no specimen".to_owned(),
            (Some(set), false) => format!("specimen {}, {}", number(session, set), row.why),
            (Some(set), true) => {
                let others: Vec<String> =
                    row.others.iter().skip(1).take(3).map(|set| number(session, *set).to_string()).collect();
                let or =
                    if others.is_empty() { String::new() } else { format!(", or {}", others.join(", ")) };
                format!("doubtful: perhaps specimen {}, {}{or}", number(session, set), row.why)
            }
        };
        line(&format!("line {}: {about}", row.line));
        for fault in &row.faults {
            line(&format!("  {fault}"));
        }
    }
    for conflict in &plan.conflicts {
        line(&format!(
            "line {}: the {} of specimen {} stays “{}”; the notebook says “{}”",
            conflict.line,
            conflict.what,
            number(session, conflict.set),
            shown(&conflict.stands),
            shown(&conflict.wanted)
        ));
    }
    if !plan.open_sets.is_empty() {
        let numbers: Vec<String> =
            plan.open_sets.iter().map(|set| number(session, *set).to_string()).collect();
        line(&format!("no row is about {}", numbers.join(", ")));
    }
    text
}

fn track_words(name: &str, session: &Session, plan: &TrackPlan) -> String {
    let placed = plan.places.iter().filter(|(_, place)| place.is_ok()).count();
    let mut text = format!("{name}: {} placed\n", count(placed, "specimen", "specimens"));
    let mut line = |words: &str| writeln!(text, "  {words}").expect("a string takes any text");
    for told in &plan.told {
        line(told);
    }
    for (set, place) in &plan.places {
        match place {
            Ok(place) => {
                let (lat, lon) = place.decimal_text();
                let metres = place.uncertainty.total_m().ceil();
                line(&format!("specimen {}: {lat}, {lon}, within {metres:.0} m", number(session, *set)));
            }
            Err(why) => line(&format!("specimen {}: no place: {why}", number(session, *set))),
        }
    }
    if !plan.kept.is_empty() {
        line(&format!("{} had a place, which stays", count(plan.kept.len(), "specimen", "specimens")));
    }
    text
}

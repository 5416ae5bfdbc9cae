//! `endleaf watch FOLDER`: the retake list of a folder as frames arrive in it.
//!
//! Results, printed anew for each finished set: the retake list with how long each animal has been held, and new
//! queries. The session is saved after every change, as `file` saves it, so that the watch can end at any moment.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::time::{Duration, Instant, SystemTime};

use clap::Args;
use filing::claim::Claimed;
use filing::store::Store;
use grouping::{Held, being_shot};
use import::watch::{News, State, Watch};
use record::{Edit, FrameId, Plan, Query, Session};

use super::meter::Meter;
use super::split::strict;
use super::{DayArgs, Exit, print};
use crate::cautions::cautions;
use crate::day::{self, Day, OpenOptions};

#[derive(Args)]
pub(super) struct WatchArgs {
    /// The folder into which frames arrive
    folder: PathBuf,
    /// Ends once nothing has changed for this many seconds
    #[arg(long, value_name = "SECONDS")]
    once_settled: Option<u32>,
    /// Your own limit of holding an animal, or your permit's; 0 for none. New sessions take it over
    #[arg(long, value_name = "MINUTES")]
    limit: Option<u16>,
    /// Exit status 1 when something needs a person: missing views, queries, faults
    #[arg(long)]
    strict: bool,
    #[command(flatten)]
    day: DayArgs,
}

/// How often it is looked at whether an animal has come to the limit.
const TICK: Duration = Duration::from_secs(2);

pub(super) fn run(args: &WatchArgs) -> anyhow::Result<Exit> {
    let store = Store::open(&Store::default_home()?)?;
    let (plan, name) = (args.day.find_plan()?, args.day.name.clone());
    let options = OpenOptions { plan, name, afresh: false, now: None };
    let mut watch = Watch::open(&args.folder)?;
    let mut live = Live { args, store, options, day: None, claimed: None, saved_at: None, said: None };
    let quiet = args.once_settled.map(|secs| Duration::from_secs(secs.into()));
    let mut changed = Instant::now();
    loop {
        let left = quiet.map_or(TICK, |quiet| quiet.saturating_sub(changed.elapsed()));
        let meter = Meter::reading();
        let news = watch.next(left.min(TICK), &meter);
        meter.clear();
        match news {
            Some(News::Changed(state)) => {
                live.take(state)?;
                changed = Instant::now();
            }
            Some(News::Nothing(fault)) => {
                print::note(&format!("{}: {}", day::waiting_words(&fault), args.folder.display()));
                changed = Instant::now();
            }
            // An animal may have come to its limit.
            None => live.show(false),
        }
        if quiet.is_some_and(|quiet| changed.elapsed() >= quiet) {
            return Ok(live.end());
        }
    }
}

/// A folder's day as it grows.
struct Live<'a> {
    args: &'a WatchArgs,
    store: Store,
    options: OpenOptions,
    /// `None` until there are frames.
    day: Option<Day>,
    /// Held until the watch ends: a window that is opened meanwhile only looks.
    claimed: Option<Claimed>,
    /// When its session was last saved by this watch.
    saved_at: Option<SystemTime>,
    said: Option<Said>,
}

/// What was printed last.
struct Said {
    /// Blanks that closed sets.
    closed: BTreeSet<FrameId>,
    /// The list without its times.
    list: Vec<String>,
    queries: BTreeSet<String>,
}

impl Live<'_> {
    fn take(&mut self, state: State) -> anyhow::Result<()> {
        self.options.now = Some(day::now());
        match &mut self.day {
            Some(day) => {
                day.now = self.options.now;
                day.renew(state, &self.store, self.saved_at)?;
            }
            None => self.begin(state)?,
        }
        self.show(false);
        if let Some(day) = &self.day {
            if !matches!(self.claimed, Some(Claimed::Others)) {
                day.save(&self.store)?;
            }
            self.saved_at = day.key.as_ref().and_then(|key| self.store.saved_at(key));
        }
        Ok(())
    }

    /// Takes the first frames into their session, and says what a person should know of it.
    fn begin(&mut self, state: State) -> anyhow::Result<()> {
        let mut day = Day::watched(&self.args.folder, state, &self.options, Some(&self.store))?;
        for warning in &day.warnings {
            print::note(warning);
        }
        if let Some(merged) = day.resumed {
            print::note(&format!(
                "A session is kept of this folder and goes on: {} frames known, {} new.",
                merged.known, merged.new
            ));
        }
        self.claimed = day.key.as_ref().map(|key| self.store.claim(key));
        if matches!(self.claimed, Some(Claimed::Others)) {
            print::note(
                "This folder's session is open in a window of Endleaf, or is being filed. What comes is listed here, \
                 and nothing is kept.",
            );
        }
        let before = day.session.decisions.holding_limit_min;
        if let Some(limit) = self.args.limit {
            day.session.apply(&Edit::HoldingLimit(Some(limit).filter(|min| *min > 0)))?;
        } else if let Some(limit) = before {
            print::note(&format!("Your holding limit is {limit} min, as before. --limit changes it."));
        }
        self.day = Some(day);
        Ok(())
    }

    /// Prints the list where it changed or a set was finished; at the end with the set that is still open.
    fn show(&mut self, at_end: bool) {
        let Some(day) = &mut self.day else { return };
        day.now = Some(day::now());
        let session = &day.session;
        let mut list = day.held();
        if !at_end {
            let open = being_shot(session);
            list.retain(|held| Some(held.retake.set) != open);
        }
        let queries = &day.grouping.queries;
        let now_said = Said {
            closed: session.sets.iter().filter_map(|set| set.closed_by).collect(),
            list: list.iter().map(|held| held_line(held, &session.plan, false)).collect(),
            queries: queries.iter().map(|q| q.question.clone()).collect(),
        };
        let said = self.said.as_ref();
        let new_set =
            said.map_or(!now_said.closed.is_empty(), |said| !now_said.closed.is_subset(&said.closed));
        let new_list = said.map_or(at_end || !list.is_empty(), |said| said.list != now_said.list);
        if new_set || new_list {
            let mut text = head(day, at_end);
            list_lines(&mut text, &list, &session.plan);
            let new = |q: &&Query| said.is_none_or(|said| !said.queries.contains(&q.question));
            query_lines(&mut text, queries.iter().filter(new));
            print::result(&text);
            self.said = Some(now_said);
        }
    }

    /// The last word, and the exit status.
    fn end(mut self) -> Exit {
        self.show(true);
        let Some(day) = &self.day else {
            print::note("No frame came.");
            return Exit::NotDone;
        };
        strict(self.args.strict, day)
    }
}

/// Writing to a `String` cannot fail, so a line is simply added.
macro_rules! line {
    ($text:expr, $($words:tt)*) => { writeln!($text, $($words)*).expect("a string takes any text") };
}

fn head(day: &Day, at_end: bool) -> String {
    let session: &Session = &day.session;
    let finished = session.sets.iter().filter(|s| s.closed_by.is_some()).count();
    let plural = |n: usize| if n == 1 { "" } else { "s" };
    let frames = session.frames.len();
    let mut text = format!(
        "\n{}  {frames} frame{}, {finished} set{} finished",
        day.now.map(|now| now.time_of_day()).unwrap_or_default(),
        plural(frames),
        plural(finished)
    );
    match being_shot(session) {
        Some(open) if !at_end => line!(text, ", set {} being shot", session.sets[open].number),
        _ => line!(text, ""),
    }
    text
}

fn list_lines(text: &mut String, list: &[Held], plan: &Plan) {
    line!(text, "Retake list");
    if list.is_empty() {
        line!(text, "      no animal is known to lack a view");
        return;
    }
    for held in list {
        line!(text, "{}", held_line(held, plan, true));
    }
    if let Some(care) = cautions().handling.get(1) {
        line!(text, "      {}", care.text);
    }
}

/// One animal. Past the limit nothing is said of what it lacks: it is to be let go.
fn held_line(held: &Held, plan: &Plan, with_time: bool) -> String {
    let retake = &held.retake;
    let since = retake.since.map_or("no time known".to_owned(), |t| format!("since {}", t.time_of_day()));
    let jar = if retake.jar.is_empty() { String::new() } else { format!(", jar {}", retake.jar) };
    let lacks = if held.is_past() { "release".to_owned() } else { retake.words(plan) };
    let words = match held.holding.filter(|_| with_time) {
        Some(holding) if holding.is_past() => holding.words(),
        Some(holding) => format!("{}  {lacks}", holding.words()),
        None => format!("{since}  {lacks}"),
    };
    format!("{:>4}  {words}{jar}", retake.number)
}

fn query_lines<'a>(text: &mut String, queries: impl Iterator<Item = &'a Query>) {
    for (at, query) in queries.enumerate() {
        if at == 0 {
            line!(text, "Queries");
        }
        line!(text, "      {} {}", query.question, query.evidence);
    }
}

//! `endleaf watch FOLDER`: the retake list of a folder as frames arrive in it.
//!
//! Results, printed anew for each finished set: the retake list with how long each animal has been held, and new
//! queries. The session is saved after every change, as `file` saves it, so that the watch can end at any moment.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

use clap::Args;
use filing::store::Store;
use grouping::{Arrival, Held, Moment, being_shot, check_clocks, held_list};
use import::ReadFault;
use import::watch::{News, State, Watch};
use record::{Edit, FrameId, Plan, Query, QueryKind, Session, Taken};

use super::meter::Meter;
use super::split::strict;
use super::{DayArgs, Exit, print};
use crate::cautions::cautions;
use crate::day::{Day, OpenOptions};

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
    let options = OpenOptions { plan: args.day.find_plan()?, name: args.day.name.clone(), afresh: false };
    let mut watch = Watch::open(&args.folder)?;
    let mut live =
        Live { args, store, options, day: None, saved_at: None, arrivals: BTreeMap::new(), said: None };
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
                print::note(&waiting(&fault, &args.folder));
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

fn waiting(fault: &ReadFault, folder: &Path) -> String {
    let why = match fault {
        ReadFault::Empty(_) | ReadFault::NoPictures { .. } => "No frame is there yet. They are waited for",
        _ => "The folder cannot be read just now. It is waited for, and what was read stands",
    };
    format!("{why}: {}", folder.display())
}

/// A folder's day as it grows.
struct Live<'a> {
    args: &'a WatchArgs,
    store: Store,
    options: OpenOptions,
    /// `None` until there are frames.
    day: Option<Day>,
    /// When its session was last saved by this watch.
    saved_at: Option<SystemTime>,
    /// When frames arrived, by path.
    arrivals: BTreeMap<String, SystemTime>,
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
        self.arrivals.extend(state.arrived.iter().map(|a| (a.path.clone(), a.at)));
        match &mut self.day {
            Some(day) => day.renew(state, &self.store, self.saved_at)?,
            None => self.begin(state)?,
        }
        self.show(false);
        if let Some(day) = &self.day {
            day.save(&self.store)?;
            self.saved_at = day.key.as_ref().and_then(|key| self.store.saved_at(key));
        }
        Ok(())
    }

    /// Takes the first frames into their session, and says what a person should know of it.
    fn begin(&mut self, state: State) -> anyhow::Result<()> {
        let mut day = Day::of(&self.args.folder, state.intake, &self.options, Some(&self.store))?;
        for warning in &day.warnings {
            print::note(warning);
        }
        if let Some(merged) = day.resumed {
            print::note(&format!(
                "A session is kept of this folder and goes on: {} frames known, {} new.",
                merged.known, merged.new
            ));
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
        let Some(day) = &self.day else { return };
        let session = &day.session;
        let (moment, clocks) = check_clocks(session, &arrivals(session, &self.arrivals), now());
        let mut list = held_list(session, &day.grouping, &moment);
        if !at_end {
            let open = being_shot(session);
            list.retain(|held| Some(held.retake.set) != open);
        }
        let queries: Vec<&Query> = clocks.iter().chain(other_queries(day, &moment)).collect();
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
            let mut text = head(session, &moment, at_end);
            list_lines(&mut text, &list, &session.plan);
            let new = |q: &&Query| said.is_none_or(|said| !said.queries.contains(&q.question));
            query_lines(&mut text, queries.into_iter().filter(new));
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

/// The queries of the day but those about clocks that are asked about already.
fn other_queries<'a>(day: &'a Day, moment: &'a Moment) -> impl Iterator<Item = &'a Query> {
    let body = |q: &Query| Some(&day.session.frame(*q.frames.first()?)?.body);
    day.grouping.queries.iter().filter(move |q| {
        q.kind != QueryKind::ClockSuspicious || body(q).is_none_or(|body| !moment.doubted.contains(body))
    })
}

/// Arrivals of the frames that are still there.
fn arrivals(session: &Session, by_path: &BTreeMap<String, SystemTime>) -> Vec<Arrival> {
    let of = |f: &record::Frame| Some(Arrival { frame: f.id, at: local(*by_path.get(f.path())?)? });
    let mut arrivals: Vec<Arrival> = session.frames.iter().filter_map(of).collect();
    arrivals.sort_by_key(|a| a.at);
    arrivals
}

fn now() -> Taken {
    local(SystemTime::now()).expect("the clock stands within the calendar")
}

/// A moment in the computer's zone.
fn local(moment: SystemTime) -> Option<Taken> {
    let moment = jiff::Timestamp::try_from(moment).ok()?;
    let zone = jiff::tz::TimeZone::system();
    let offset_min = i16::try_from(zone.to_offset(moment).seconds() / 60).ok();
    Some(Taken::new(zone.to_datetime(moment), "", offset_min))
}

/// Writing to a `String` cannot fail, so a line is simply added.
macro_rules! line {
    ($text:expr, $($words:tt)*) => { writeln!($text, $($words)*).expect("a string takes any text") };
}

fn head(session: &Session, moment: &Moment, at_end: bool) -> String {
    let finished = session.sets.iter().filter(|s| s.closed_by.is_some()).count();
    let plural = |n: usize| if n == 1 { "" } else { "s" };
    let frames = session.frames.len();
    let mut text = format!(
        "\n{}  {frames} frame{}, {finished} set{} finished",
        moment.now.time_of_day(),
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

//! What the screens show of a day, worked out once after each change and not while drawing.
//!
//! Goes in: a [`Day`]. Comes out: its rows with their coverage and words, and where each frame stands. It changes
//! nothing, and does not know what time it is.

use std::collections::BTreeMap;

use grouping::{Coverage, SlotState, coverage, flaw_word};
use record::{Frame, FrameId, FrameKind, Set, Taken, ViewKey};

use super::words::tell;
use crate::day::Day;

/// How something stands; colour only repeats it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tone {
    /// Nothing to do.
    Quiet,
    /// A person may look.
    Accent,
    /// Something is there, but not well enough.
    Warn,
    /// Something is missing.
    Gone,
}

/// One specimen of the day sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row {
    /// How it stands against the plan.
    pub(crate) coverage: Coverage,
    /// The words in the last column.
    pub(crate) words: String,
    /// How those words stand.
    pub(crate) tone: Tone,
    /// Frames of the set that the row does not show.
    pub(crate) more: usize,
    /// First and last time of its frames, as far as known.
    pub(crate) times: Option<(Taken, Taken)>,
    /// Its frames and those set aside among them, in the order of the day.
    pub(crate) frames: Vec<FrameId>,
    /// How many of those are set aside.
    pub(crate) aside: usize,
    /// How many of those are gone from a watched folder.
    pub(crate) gone: usize,
    /// Whether frames of it may still come.
    pub(crate) being_shot: bool,
    /// Whether its animal flew or was released.
    pub(crate) left: bool,
    /// How many queries are about it.
    pub(crate) queries: usize,
}

/// A day as the screens show it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Sheet {
    /// One row a set, in order.
    pub(crate) rows: Vec<Row>,
    /// Places in the plan of the views that have a column: the required ones, and those optional ones that
    /// some specimen has.
    pub(crate) columns: Vec<usize>,
    /// For each frame its place in the day, from 0.
    pub(crate) places: BTreeMap<FrameId, usize>,
    /// For each frame in a set the place of that set.
    pub(crate) set_of: BTreeMap<FrameId, usize>,
    /// For each frame set aside the place of the set it was taken with.
    aside_of: BTreeMap<FrameId, usize>,
    /// First and last time of the day.
    pub(crate) times: Option<(Taken, Taken)>,
}

impl Sheet {
    /// Works a day out. `open` is the place of the set that is being shot, while frames may still come.
    pub(crate) fn of(day: &Day, open: Option<usize>) -> Self {
        let session = &day.session;
        let places: BTreeMap<FrameId, usize> =
            session.frames.iter().enumerate().map(|(at, f)| (f.id, at)).collect();
        let set_of: BTreeMap<FrameId, usize> = session
            .sets
            .iter()
            .enumerate()
            .flat_map(|(at, set)| set.frames.iter().map(move |f| (*f, at)))
            .collect();
        let mut queries = vec![0; session.sets.len()];
        for query in &day.grouping.queries {
            if let Some(set) = query.frames.iter().find_map(|f| set_of.get(f)) {
                queries[*set] += 1;
            }
        }
        let coverages: Vec<Coverage> =
            session.sets.iter().map(|set| coverage(session, &day.grouping, set)).collect();
        let columns = columns(day, &coverages);
        let rows = session.sets.iter().zip(coverages).zip(queries);
        let mut rows: Vec<Row> =
            rows.map(|((set, coverage), queries)| row(day, &columns, set, coverage, queries)).collect();
        if let Some(row) = open.and_then(|at| rows.get_mut(at)) {
            row.words = tell!("sheet-being-shot");
            row.tone = Tone::Accent;
            row.being_shot = true;
        }
        let aside_of = aside_of(day, &set_of);
        for (frame, set) in &aside_of {
            rows[*set].frames.push(*frame);
            rows[*set].aside += 1;
            rows[*set].gone += usize::from(session.gone.contains(frame));
            rows[*set].frames.sort_by_key(|f| places.get(f));
        }
        Self { rows, columns, times: times(session.frames.iter()), places, set_of, aside_of }
    }

    /// The number of a frame for people: its place in the day, from 1.
    pub(crate) fn number(&self, frame: FrameId) -> usize {
        self.places.get(&frame).map_or(0, |at| at + 1)
    }

    /// The place of the set a frame belongs to, or was taken with before it was set aside.
    pub(crate) fn home(&self, frame: FrameId) -> Option<usize> {
        self.set_of.get(&frame).or_else(|| self.aside_of.get(&frame)).copied()
    }

    /// The frame with this id.
    pub(crate) fn frame<'a>(&self, day: &'a Day, id: FrameId) -> Option<&'a Frame> {
        day.session.frames.get(*self.places.get(&id)?)
    }

    /// How many specimens are complete, known to be short of a view, and neither.
    pub(crate) fn tally(&self) -> (usize, usize, usize) {
        let complete = self.rows.iter().filter(|r| r.coverage.complete()).count();
        let short = self.rows.iter().filter(|r| r.coverage.short > 0 && !r.being_shot).count();
        (complete, short, self.rows.len() - complete - short)
    }
}

/// Frames set aside, each with the set of the specimen frame before it, else after it.
fn aside_of(day: &Day, set_of: &BTreeMap<FrameId, usize>) -> BTreeMap<FrameId, usize> {
    let mut aside = BTreeMap::new();
    let mut home = day.session.frames.iter().find_map(|f| set_of.get(&f.id).copied());
    for frame in &day.session.frames {
        home = set_of.get(&frame.id).copied().or(home);
        if let (FrameKind::SetAside, Some(set)) = (day.session.kind(frame), home) {
            aside.insert(frame.id, set);
        }
    }
    aside
}

fn columns(day: &Day, coverages: &[Coverage]) -> Vec<usize> {
    let views = &day.session.plan.views;
    let has_one = |at: usize| coverages.iter().any(|c| !c.slots[at].frames.is_empty());
    (0..views.len()).filter(|at| views[*at].required || has_one(*at)).collect()
}

fn row(day: &Day, columns: &[usize], set: &Set, coverage: Coverage, queries: usize) -> Row {
    let slots = || columns.iter().map(|at| &coverage.slots[*at]);
    let in_slots = slots().filter(|s| !s.frames.is_empty()).count();
    let open = slots().filter(|s| s.state == SlotState::Open).count();
    let shown = in_slots + coverage.unlabelled.len().min(open);
    let (mut words, tone) = words(day, &coverage);
    if queries > 0 && !coverage.complete() {
        words = tell!("sheet-queries", words = words, n = queries);
    }
    let left = day.session.left(set);
    if let Some(left) = left.filter(|_| !coverage.complete()) {
        words = tell!("sheet-left", words = words, left = left.words());
    }
    let tone = if left.is_some() && tone == Tone::Gone { Tone::Quiet } else { tone };
    let frames = set.frames.iter().filter_map(|id| day.session.frame(*id));
    Row {
        words,
        tone,
        more: set.frames.len().saturating_sub(shown),
        times: times(frames),
        frames: set.frames.clone(),
        aside: 0,
        gone: 0,
        being_shot: false,
        left: left.is_some(),
        queries,
        coverage,
    }
}

/// The state of a specimen in a few words: `no face, abdomen tip soft`.
fn words(day: &Day, coverage: &Coverage) -> (String, Tone) {
    let plan = &day.session.plan;
    let name = |key: &ViewKey| plan.view(key).map_or(key.0.clone(), |v| v.name.to_lowercase());
    let missing = coverage.missing.iter().map(|key| tell!("sheet-no-view", view = name(key)));
    let again = coverage.again(plan);
    let poor =
        again.iter().map(|(key, why)| tell!("sheet-poor-view", view = name(key), flaw = flaw_word(why)));
    let unnamed = coverage.short.saturating_sub(coverage.missing.len() + again.len());
    let unknown = (unnamed > 0).then(|| short_words(unnamed));
    let parts: Vec<String> = missing.chain(unknown).chain(poor).collect();
    let tone = if coverage.short > again.len() { Tone::Gone } else { Tone::Warn };
    if coverage.complete() {
        (tell!("sheet-complete"), Tone::Quiet)
    } else if parts.is_empty() {
        (tell!("sheet-unchecked"), Tone::Quiet)
    } else if parts.len() > 2 && again.is_empty() {
        (tell!("sheet-missing", spelled = grouping::spelled(coverage.short)), tone)
    } else if parts.len() > 2 {
        (tell!("sheet-missing-or-poor", spelled = grouping::spelled(coverage.short)), tone)
    } else {
        (parts.join(", "), tone)
    }
}

/// The first and the last time of frames, in whatever order they come: one that was moved by hand stands last in its set.
fn times<'a>(frames: impl Iterator<Item = &'a Frame>) -> Option<(Taken, Taken)> {
    let mut taken = frames.filter_map(Frame::when);
    let first = taken.next()?;
    Some(taken.fold((first, first), |(first, last), when| (first.min(when), last.max(when))))
}

/// `one view short`, `two views short`, `12 views short`.
fn short_words(n: usize) -> String {
    tell!("sheet-short", n = n, spelled = grouping::spelled(n))
}

/// `14 June 2026` from `2026-06-14`; other text stays.
pub(crate) fn date_words(date: &str) -> String {
    let parts: Vec<Option<usize>> = date.split('-').map(|p| p.parse().ok()).collect();
    match parts[..] {
        [Some(year), Some(month @ 1..=12), Some(day)] => tell!("date", day = day, month = month, year = year),
        _ => date.to_owned(),
    }
}

/// `09:12` of a time.
pub(crate) fn minute(taken: &Taken) -> String {
    taken.time_of_day()[..5].to_owned()
}

/// `4.6 MB` from bytes, in decimal units as on cards.
pub(crate) fn bytes_words(bytes: u64) -> String {
    let amount = |size: u64| {
        let amount = bytes as f64 / size as f64;
        if amount < 10.0 { format!("{amount:.1}") } else { format!("{amount:.0}") }
    };
    match bytes {
        1_000_000_000.. => tell!("size-gigabytes", n = amount(1_000_000_000)),
        1_000_000.. => tell!("size-megabytes", n = amount(1_000_000)),
        1_000.. => tell!("size-kilobytes", n = amount(1_000)),
        _ => tell!("size-bytes", n = bytes),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_the_first_and_the_last_in_any_order() {
        let frame = |minute: u8| Frame {
            taken: Some(format!("2026-06-14T09:{minute:02}:05").parse().expect("a time")),
            ..Frame::new(FrameId(u32::from(minute)), Vec::new())
        };
        let (first, last) = times([frame(15), frame(16), frame(12)].iter()).expect("times");
        assert_eq!((minute(&first).as_str(), minute(&last).as_str()), ("09:12", "09:16"));
        assert_eq!(times([Frame { taken: None, ..frame(1) }].iter()), None);
    }

    #[test]
    fn words_for_people() {
        assert_eq!(date_words("2026-06-14"), "14 June 2026");
        let month = |n: u8| date_words(&format!("2026-{n:02}-01"));
        let all: Vec<String> = (1..=12).map(month).collect();
        assert_eq!((all[0].as_str(), all[11].as_str()), ("1 January 2026", "1 December 2026"));
        assert_eq!(all.iter().collect::<std::collections::BTreeSet<_>>().len(), 12);
        assert_eq!(date_words("undated"), "undated");
        assert_eq!(bytes_words(512_300_000), "512 MB");
        assert_eq!(bytes_words(4_630_000), "4.6 MB");
        assert_eq!(bytes_words(1), "1 byte");
        assert_eq!(bytes_words(999), "999 bytes");
        assert_eq!(bytes_words(1_000), "1.0 kB");
        assert_eq!(bytes_words(12_300_000_000), "12 GB");
        assert_eq!(short_words(1), "one view short");
        assert_eq!(short_words(12), "12 views short");
    }
}

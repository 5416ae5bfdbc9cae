//! A field notebook becomes one change of a day: which row is about which set, and what it writes there.
//!
//! In goes a session with a notebook as read, what its columns mean, and what a person decided of doubtful rows; out comes
//! a plan to be looked at, with the one edit that takes it whole. Nothing is written here.

use std::collections::{BTreeMap, BTreeSet};

use notes::{Candidate, Cell, Certainty, Column, Ground, Mapping, Match, Notebook, Row, TooMany, Value};
use record::{Departure, Determination, Edit, Entry, Session, Term, Way};

use crate::plans_of_notes::{Conflict, NotebookPlan, PlannedRow};

/// Names of notebooks' columns that are a specimen's or a day's field under another name.
const NAMED: [(&str, Term); 3] = [
    ("decimalLatitude", Term::Coordinates),
    ("decimalLongitude", Term::Coordinates),
    ("releasedAt", Term::ReleasedAt),
];

/// Words of people for what Darwin Core says by one word.
const SEXES: [(&str, &str); 6] =
    [("f", "female"), ("♀", "female"), ("w", "female"), ("m", "male"), ("♂", "male"), ("drone", "male")];

/// What a person decided of rows, by their place: the set each is about, or none.
pub type Decided = BTreeMap<usize, Option<usize>>;

/// Works out what a notebook would write. What stands in the session already is written over only when `replaces` says so.
///
/// # Errors
/// [`TooMany`] when rows and sets are too many to be weighed.
pub fn plan_notebook(
    session: &Session,
    notebook: &Notebook,
    mapping: &Mapping,
    decided: &Decided,
    replaces: bool,
) -> Result<NotebookPlan, TooMany> {
    let reading = notebook.reading(mapping);
    let day = session.date().and_then(|date| date.parse().ok());
    let cells: Vec<Vec<Cell<'_>>> = notebook.rows.iter().map(|row| row.values(&reading)).collect();
    let entries: Vec<notes::Entry> =
        cells.iter().enumerate().map(|(at, cells)| notes::Entry::of_row(at, cells, day)).collect();
    let matching = notes::match_rows(&entries, &candidates(session))?;
    let mut matches: BTreeMap<usize, Match> = matching.matches.into_iter().map(|m| (m.row, m)).collect();
    let mut writer = Writer { session: session.clone(), edits: Vec::new(), replaces, conflicts: Vec::new() };
    let mut rows = Vec::new();
    let mut taken: BTreeSet<usize> = decided.values().flatten().copied().collect();
    taken.extend(matches.values().filter(|m| !decided.contains_key(&m.row)).map(|m| m.set));
    for (at, (row, cells)) in notebook.rows.iter().zip(&cells).enumerate() {
        let found = matches.remove(&at);
        let planned = planned_row(at, row, cells, found, decided);
        if let Some(set) = planned.set.filter(|_| !planned.is_open) {
            for cell in cells {
                writer.write(set, row.line, cell);
            }
        }
        rows.push(planned);
    }
    let differ = writer.write_day(&cells);
    let mut told: Vec<String> = notebook.told.iter().map(ToString::to_string).collect();
    told.extend(differ.into_iter().map(|term| {
        format!("Rows differ in {}, which a day has once: nothing of it is written", term.name())
    }));
    told.extend(reading.date_doubts().into_iter().map(|(at, doubt)| {
        format!("Dates under “{}”: {doubt}", notebook.headers.get(at).map_or("", String::as_str))
    }));
    let open_sets = (0..session.sets.len()).filter(|set| !taken.contains(set)).collect();
    let edit = (!writer.edits.is_empty()).then_some(Edit::Many(writer.edits));
    Ok(NotebookPlan { rows, told, conflicts: writer.conflicts, open_sets, edit })
}

/// The sets, as rows are matched with them.
fn candidates(session: &Session) -> Vec<Candidate> {
    let secs = |frame: Option<&record::FrameId>| {
        let taken = session.frame(*frame?)?.when()?;
        Some(notes::clock_secs(taken.local()))
    };
    let of = |(at, set): (usize, &record::Set)| Candidate {
        set: at,
        jar: session.jar_of(set).to_owned(),
        number: Some(set.number),
        first_secs: secs(set.frames.first()),
        last_secs: secs(set.frames.last()),
    };
    session.sets.iter().enumerate().map(of).collect()
}

fn planned_row(
    at: usize,
    row: &Row,
    cells: &[Cell<'_>],
    found: Option<Match>,
    decided: &Decided,
) -> PlannedRow {
    let faults = cells.iter().filter_map(|cell| cell.fault.as_ref()).map(ToString::to_string).collect();
    let texts: Vec<&str> = cells.iter().map(|cell| cell.text).collect();
    let (mut set, mut is_open, mut why, mut others) = (None, false, String::new(), Vec::new());
    if let Some(found) = found {
        is_open = found.certainty == Certainty::Doubtful;
        why = ground_words(found.ground);
        others = found.alternatives;
        others.insert(0, found.set);
        set = Some(found.set);
    }
    if let Some(decided) = decided.get(&at) {
        (set, is_open, why) = (*decided, false, "as you decided".to_owned());
    }
    PlannedRow { at, line: row.line, text: texts.join("  "), set, is_open, why, others, faults }
}

/// What a match rests on, in words.
fn ground_words(ground: Ground) -> String {
    match ground {
        Ground::Jar => "by its jar".to_owned(),
        Ground::DoubledJar => "its jar stands more than once".to_owned(),
        Ground::Time(secs) => format!("by order and time, {} min off", (secs.abs() + 30) / 60),
        Ground::Number => "by order and number".to_owned(),
        Ground::Order => "by order alone".to_owned(),
    }
}

/// Gathers edits on a copy of the session, so that each sees those before it.
struct Writer {
    session: Session,
    edits: Vec<Edit>,
    replaces: bool,
    conflicts: Vec<Conflict>,
}

impl Writer {
    fn take(&mut self, set: usize, edit: Option<Edit>) {
        let Some(edit) = edit else { return };
        apply_next(&mut self.session, set, &edit);
        self.edits.push(edit);
    }

    /// Writes what one cell says of a set.
    fn write(&mut self, set: usize, line: u64, cell: &Cell<'_>) {
        let Some(value) = &cell.value else { return };
        match (cell.means, value) {
            (Column::Jar, Value::Text(jar)) => {
                // A row and a set that both have a label are matched only where that is the same.
                let is_open = self.session.jar_of(&self.session.sets[set]).is_empty();
                self.take(set, is_open.then(|| self.session.write_jar(set, jar)).flatten());
            }
            (Column::Time, Value::Time(time)) => {
                self.fill(set, line, Term::EventTime, &time.strftime("%H:%M").to_string());
            }
            (Column::Time, Value::Moment(at)) => {
                self.fill(set, line, Term::EventTime, &at.strftime("%H:%M").to_string());
            }
            (Column::Field(name), value) => self.write_field(set, line, name, value),
            _ => {}
        }
    }

    fn write_field(&mut self, set: usize, line: u64, name: &str, value: &Value) {
        match (name, value) {
            ("notes", value) => {
                let record = self.session.record_of(&self.session.sets[set]);
                let known = record.map_or(String::new(), |s| s.note.clone());
                let text = words(value);
                if known.is_empty() || self.may_replace(set, line, "note", &known, &text) {
                    self.take(set, self.session.write_note(set, &text));
                }
            }
            ("name", value) => self.determine(set, &words(value)),
            ("releasedAt", Value::Time(time)) => {
                let taken = self.session.date().and_then(|date| format!("{date}T{time}").parse().ok());
                let left = Departure { way: Way::Released, at: taken };
                let known = self.session.left(&self.session.sets[set]);
                if known.is_none() || self.replaces {
                    self.take(set, self.session.note_left(set, Some(left)));
                }
            }
            (name, value) => {
                let named = NAMED.iter().find(|(other, _)| *other == name).map(|(_, term)| *term);
                let term = named.or_else(|| Term::named(name));
                if let Some(term) = term.filter(|term| term.is_of_specimen()) {
                    self.fill(set, line, term, &words(value));
                }
            }
        }
    }

    /// A name as written in the notebook, beside those there are; the same name is not written twice.
    fn determine(&mut self, set: usize, written: &str) {
        let (name, qualifier) = qualified(written);
        let source = "field notebook".to_owned();
        let given = Determination { name, qualifier, source, ..Determination::default() };
        let record = self.session.record_of(&self.session.sets[set]);
        let known = record.is_some_and(|s| s.determinations.iter().any(|d| d.words() == given.words()));
        if given.check().is_ok() && !known {
            self.take(set, self.session.determine(set, given));
        }
    }

    fn fill(&mut self, set: usize, line: u64, term: Term, text: &str) {
        let text = if term == Term::Sex { plain_sex(text) } else { text.to_owned() };
        if text.is_empty() {
            return;
        }
        let record = self.session.record_of(&self.session.sets[set]);
        let known = record.and_then(|s| s.fields.get(&term)).map(|entry| entry.text.clone());
        let entry = Entry::knowingly(term, &text);
        match known {
            Some(known)
                if known != entry.text && !self.may_replace(set, line, term.name(), &known, &text) => {}
            _ => self.take(set, self.session.fill_in(set, term, Some(entry))),
        }
    }

    /// Whether what stands somewhere is written over; where it is not, that is told.
    fn may_replace(&mut self, set: usize, line: u64, what: &str, stands: &str, wanted: &str) -> bool {
        if !self.replaces && stands != wanted {
            let (what, stands, wanted) = (what.to_owned(), stands.to_owned(), wanted.to_owned());
            self.conflicts.push(Conflict { set, line, what, stands, wanted });
        }
        self.replaces
    }

    /// What the day has alone is written where all rows say the same of it and nothing stands there. Gives the fields of which
    /// they say several things.
    fn write_day(&mut self, cells: &[Vec<Cell<'_>>]) -> Vec<Term> {
        let mut differ = Vec::new();
        // The date tells rows of other days.
        for term in Term::ALL.into_iter().filter(|t| !t.is_of_specimen() && *t != Term::EventDate) {
            let is_its = |cell: &&Cell<'_>| matches!(cell.means, Column::Field(name) if name == term.name());
            let said = cells.iter().flatten().filter(is_its).map(|cell| cell.text.trim());
            let said: Vec<&str> =
                said.filter(|text| !text.is_empty()).collect::<BTreeSet<_>>().into_iter().collect();
            if said.len() > 1 {
                differ.push(term);
            }
            let [text] = said[..] else { continue };
            if !self.session.fields.contains_key(&term) || self.replaces {
                let edit = self.session.fill_in_day(term, Some(Entry::knowingly(term, text)));
                self.edits.extend(edit);
            }
        }
        differ
    }
}

/// Applies one of several edits about a set. A record that was begun for it stands in it for those that follow, which is what
/// arranging the whole day anew would find.
pub(crate) fn apply_next(session: &mut Session, set: usize, edit: &Edit) {
    let records = session.specimens.len();
    session.apply(edit).expect("an edit made for this very session");
    if let Some(begun) = session.specimens.get(records) {
        session.sets[set].specimens.push(begun.id);
    }
}

/// A value as a field holds it.
fn words(value: &Value) -> String {
    match value {
        Value::Text(text) => text.clone(),
        Value::Number(number) => format!("{number}"),
        Value::Date(date) => date.to_string(),
        Value::Time(time) => time.strftime("%H:%M").to_string(),
        Value::Moment(at) => at.strftime("%H:%M").to_string(),
        Value::Place(place) => {
            let (lat, lon) = place.decimal_text();
            format!("{lat}, {lon}")
        }
    }
}

fn plain_sex(text: &str) -> String {
    let lower = text.trim().to_lowercase();
    SEXES.iter().find(|(short, _)| *short == lower).map_or(lower, |(_, plain)| (*plain).to_owned())
}

/// A name without its qualifier, and the qualifier.
fn qualified(written: &str) -> (String, String) {
    let (mut name, mut qualifier) = (Vec::new(), String::new());
    for word in written.split_whitespace() {
        match word.trim_end_matches('?') {
            "cf" | "cf." => "cf.".clone_into(&mut qualifier),
            "aff" | "aff." => "aff.".clone_into(&mut qualifier),
            "" => "?".clone_into(&mut qualifier),
            bare => {
                if bare.len() < word.len() {
                    "?".clone_into(&mut qualifier);
                }
                name.push(bare);
            }
        }
    }
    (name.join(" "), qualifier)
}

#[cfg(test)]
#[path = "field_notes_tests.rs"]
mod tests;

//! A notebook, a track or names that came back, as read, as the person looks at it and decides before it is taken.

use std::io::BufReader;
use std::path::{Path, PathBuf};

use exchange::answers::{AnswersPlan, Outcome, PlannedAnswer, plan_answers};
use notes::{Answers, Column, Mapping, Notebook, Remembered, Tracks};
use record::{Session, Term};

use super::app::App;
use super::job::Job;
use super::state::Overlay;
use super::words::tell;
use super::work::ended;
use crate::day_places::plan_track;
use crate::field_notes::{Decided, plan_notebook};
use crate::plans_of_notes::{NotebookPlan, TrackPlan};

/// A file of notes as read.
#[derive(Debug)]
pub(crate) enum NotesRead {
    /// A field notebook.
    Notebook(Notebook),
    /// The track of a receiver.
    Tracks(Tracks),
    /// Names that a specialist sent back.
    Answers(Answers),
}

/// A file that is being read.
pub(super) type Reading = Job<Result<(PathBuf, NotesRead), String>>;

/// A notebook as it would be taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct NotebookDraft {
    /// What its file is called.
    pub(crate) name: String,
    pub(crate) notebook: Notebook,
    pub(crate) mapping: Mapping,
    pub(crate) decided: Decided,
    /// Whether it writes over what stands already.
    pub(crate) replaces: bool,
    /// What it would do; why nothing can be told, when it is too much.
    pub(crate) plan: Result<NotebookPlan, String>,
    /// The chosen line: columns first, then rows.
    pub(crate) at: usize,
}

/// A track as it would be taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TrackDraft {
    pub(crate) name: String,
    pub(crate) tracks: Tracks,
    /// How far local time is ahead of UTC where frames do not say it, minutes; `None` until the person says so.
    pub(crate) zone_min: Option<i16>,
    pub(crate) replaces: bool,
    pub(crate) plan: TrackPlan,
}

/// Names that came back as they would be taken.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AnswersDraft {
    /// What their file is called.
    pub(crate) name: String,
    pub(crate) read: Answers,
    pub(crate) plan: AnswersPlan,
    /// Places of the rows that are shown: those that give a name, or cannot be taken.
    pub(crate) shown: Vec<usize>,
}

/// The meanings a column can have, in the order in which they are gone through.
pub(crate) fn meanings() -> Vec<Column> {
    let fields = Term::ALL.iter().filter(|term| !matches!(term, Term::EventDate | Term::EventTime));
    let own = ["notes", "name", "decimalLatitude", "decimalLongitude"];
    let named = fields.map(|term| term.name()).chain(own).map(|name| Column::Field(name.to_owned()));
    [Column::LeaveOut, Column::Jar, Column::Number, Column::Time, Column::Date]
        .into_iter()
        .chain(named)
        .collect()
}

impl NotebookDraft {
    fn of(name: String, notebook: Notebook, session: &Session) -> Self {
        let (mapping, decided) = (notebook.mapping.clone(), Decided::new());
        let mut draft =
            Self { name, notebook, mapping, decided, replaces: false, plan: Err(String::new()), at: 0 };
        draft.work_out(session);
        draft
    }

    /// Works out anew what it would do.
    pub(crate) fn work_out(&mut self, session: &Session) {
        let plan = plan_notebook(session, &self.notebook, &self.mapping, &self.decided, self.replaces);
        self.plan = plan.map_err(|fault| fault.to_string());
    }

    /// How many lines there are: columns and rows.
    pub(crate) fn lines(&self) -> usize {
        self.mapping.columns.len() + self.plan.as_ref().map_or(0, |plan| plan.rows.len())
    }

    /// Gives the chosen column its next meaning, or the chosen row the next set it could be about, or none.
    pub(crate) fn change(&mut self, forward: bool, session: &Session) {
        if let Some(column) = self.mapping.columns.get_mut(self.at) {
            *column = next_of(&meanings(), column, forward);
        } else if let Ok(plan) = &self.plan {
            let Some(row) = plan.rows.get(self.at - self.mapping.columns.len()) else { return };
            let mut choices: Vec<Option<usize>> = row.others.iter().copied().map(Some).collect();
            let rest =
                (0..session.sets.len()).map(Some).filter(|set| !row.others.contains(&set.unwrap_or(0)));
            choices.extend(rest);
            choices.push(None);
            // What is open is first decided as proposed.
            let chosen = if row.is_open { row.set } else { next_of(&choices, &row.set, forward) };
            self.decided.insert(row.at, chosen);
        }
        self.work_out(session);
    }
}

impl AnswersDraft {
    fn of(name: String, read: Answers, session: &Session) -> Self {
        let plan = plan_answers(session, &read.rows);
        let gives = |(_, row): &(usize, &PlannedAnswer)| row.outcome != Outcome::NoName;
        let shown = plan.rows.iter().enumerate().filter(gives).map(|(at, _)| at).collect();
        Self { name, read, plan, shown }
    }
}

impl TrackDraft {
    fn of(name: String, tracks: Tracks, session: &Session) -> Self {
        let plan = plan_track(session, &name, &tracks, None, false);
        Self { name, tracks, zone_min: None, replaces: false, plan }
    }

    /// Whether some frame does not say its zone.
    pub(crate) fn lacks_zone(session: &Session) -> bool {
        session.frames.iter().filter_map(record::Frame::when).any(|taken| taken.offset_min().is_none())
    }

    /// Works out anew what it would do.
    pub(crate) fn work_out(&mut self, session: &Session) {
        self.plan = plan_track(session, &self.name, &self.tracks, self.zone_min, self.replaces);
    }
}

fn next_of<T: PartialEq + Clone>(all: &[T], now: &T, forward: bool) -> T {
    let at = all.iter().position(|one| one == now);
    let step = if forward { 1 } else { all.len().saturating_sub(1) };
    let next = at.map_or(0, |at| (at + step) % all.len().max(1));
    all.get(next).unwrap_or(now).clone()
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned())
}

/// Reads a file of notes: a track by its ending, names that came back by their columns, else a notebook.
fn read(path: &Path, remembered: &Remembered) -> Result<NotesRead, String> {
    let of = |fault: &dyn std::fmt::Display| {
        tell!("notes-unread", fault = fault.to_string(), path = path.display().to_string())
    };
    if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("gpx")) {
        let file = std::fs::File::open(path).map_err(|fault| of(&fault))?;
        let tracks = notes::read_gpx(BufReader::new(file)).map_err(|fault| of(&fault))?;
        Ok(NotesRead::Tracks(tracks))
    } else {
        let bytes = std::fs::read(path).map_err(|fault| of(&fault))?;
        // What names occurrences comes back from someone; a notebook does not.
        if let Ok(answers) = notes::read_answers(&bytes, &file_name(path), None) {
            return Ok(NotesRead::Answers(answers));
        }
        let notebook = notes::read_notebook(&bytes, remembered).map_err(|fault| of(&fault))?;
        Ok(NotesRead::Notebook(notebook))
    }
}

/// Whether a file dropped on the window is one of notes, by its ending.
pub(super) fn is_notes(path: &Path) -> bool {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    ending.is_some_and(|ending| ["csv", "tsv", "gpx"].contains(&ending.as_str()))
}

impl App {
    /// Asks which file of notes to read.
    pub(super) fn ask_notes(&mut self) {
        self.state.overlay = Some(Overlay::ReadNotes { path: String::new(), refused: None });
    }

    /// Begins to read a file of notes.
    pub(super) fn read_notes(&mut self, path: PathBuf) {
        if self.open.is_none() {
            return;
        }
        let words = tell!("notes-reading", path = path.display().to_string());
        let remembered = self.settings.headers.clone();
        self.jobs.notes = Some(Job::start("read notes", words, self.now_secs, self.waker(), move |_| {
            read(&path, &remembered).map(|read| (path, read))
        }));
    }

    /// Takes what was read, to be looked at.
    pub(super) fn take_notes_read(&mut self) {
        let read = match ended(&mut self.jobs.notes) {
            None => return,
            Some(Ok(read)) => read,
            Some(Err(_)) => Err(tell!("notes-broke-off")),
        };
        let Some(open) = &self.open else { return };
        match read {
            Ok((path, read)) => {
                let name = file_name(&path);
                let session = &open.day.session;
                self.state.overlay = Some(match read {
                    NotesRead::Notebook(notebook) => {
                        Overlay::Notebook(Box::new(NotebookDraft::of(name, notebook, session)))
                    }
                    NotesRead::Answers(answers) => {
                        Overlay::Answers(Box::new(AnswersDraft::of(name, answers, session)))
                    }
                    NotesRead::Tracks(tracks) => {
                        Overlay::Track(Box::new(TrackDraft::of(name, tracks, session)))
                    }
                });
            }
            Err(words) => match &mut self.state.overlay {
                Some(Overlay::ReadNotes { refused, .. }) => *refused = Some(words),
                _ => self.complain(words),
            },
        }
    }

    /// Offers named waypoints as sites from now on; what is known of a site already stays.
    fn keep_waypoints(&mut self, tracks: &Tracks) {
        for point in tracks.waypoints.iter().filter(|point| !point.name.trim().is_empty()) {
            let place =
                [point.latitude, point.longitude].map(|degrees| record::degrees_text(degrees, 5)).join(", ");
            let name = point.name.trim().to_owned();
            self.settings.sites.entry(name).or_insert_with(|| [(Term::Coordinates, place)].into());
        }
        self.keep_settings();
    }

    /// Takes a notebook or a track as it was looked at.
    pub(super) fn take_notes(&mut self) {
        let (words, edit) = match self.state.overlay.take() {
            Some(Overlay::Notebook(draft)) => {
                self.settings.headers.learn(&draft.notebook.headers, &draft.mapping);
                self.keep_settings();
                (tell!("undo-notebook", name = &draft.name), draft.plan.ok().and_then(|plan| plan.edit))
            }
            Some(Overlay::Track(draft)) => {
                self.keep_waypoints(&draft.tracks);
                (tell!("undo-track", name = &draft.name), draft.plan.edit)
            }
            Some(Overlay::Answers(draft)) => (tell!("undo-answers", name = &draft.name), draft.plan.edit),
            other => {
                self.state.overlay = other;
                return;
            }
        };
        if edit.is_none() {
            self.say(tell!("notes-nothing-new"));
        }
        self.edit(&words, edit);
    }
}

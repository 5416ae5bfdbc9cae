//! Edits: what a person did to a session, each with its inverse.

use serde::{Deserialize, Serialize};

use crate::record_edit::check_entry;
use crate::{
    Body, Boundary, CLOCK_LIMIT_SECS, DayTrack, Departure, DeterminationFault, Entry, FieldFault, FrameId,
    FrameKind, Label, Mark, MarkFault, MarkId, Naming, NamingFault, PickFault, Plan, RecordEdit, Sending,
    SendingFault, Session, Specimen, SpecimenId, Term,
};

/// One change to a session. Sets are worked out again after each; see [`Session::arrange`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Edit {
    /// Sets the spread below which a frame is a blank; `None` leaves it to the day.
    BlankLine(Option<f32>),
    /// Decides what part a frame plays; `None` leaves it to its measures.
    Kind(FrameId, Option<FrameKind>),
    /// Decides whether a set starts at a frame; `None` leaves it to the evidence.
    Boundary(FrameId, Option<Boundary>),
    /// Moves the first frame into the set of the second; `None` puts it back in its place.
    Move(FrameId, Option<FrameId>),
    /// Confirms what a frame shows; `None` clears it.
    Label(FrameId, Option<Label>),
    /// Takes a frame for the best of its view; `false` leaves that to the measures.
    Prefer(FrameId, bool),
    /// Corrects the clock of a body by so many seconds, 0 to leave it alone; `None` leaves it to the evidence.
    Clock(Body, Option<f64>),
    /// Says that the set of this frame shows an animal of its own, no retake; `false` leaves it open.
    OwnAnimal(FrameId, bool),
    /// Sets the person's own limit of holding an animal, in minutes; `None` for none.
    HoldingLimit(Option<u16>),
    /// Begins a specimen's record at this place of the list.
    AddSpecimen(usize, Specimen),
    /// Takes a specimen's record out, once no frame is confirmed to show it.
    RemoveSpecimen(SpecimenId),
    /// Writes a jar label.
    Jar(SpecimenId, String),
    /// Writes a note.
    Note(SpecimenId, String),
    /// Says how an animal left; `None` while it is held.
    Left(SpecimenId, Option<Departure>),
    /// Writes something else of a specimen.
    Write(SpecimenId, Box<RecordEdit>),
    /// Fills a field of the day in, or empties it.
    DayField(Term, Option<Entry>),
    /// Notes what was sent under this number, or that nothing was.
    Send(u32, Option<Box<Sending>>),
    /// Marks something under this number on a frame, or takes the mark away.
    Mark(MarkId, Option<Box<Mark>>),
    /// Keeps the way of the day, or none.
    Track(Option<Box<DayTrack>>),
    /// Fixes the number of a specimen, or frees it.
    Number(SpecimenId, Option<u32>),
    /// Renames the session.
    Name(String),
    /// Takes another plan. Labels of views it lacks stay and stand as not asked.
    Plan(Box<Plan>),
    /// Names folders and files in another way when filing.
    Naming(Box<Naming>),
    /// Several changes as one.
    Many(Vec<Edit>),
}

/// Why an edit was not applied; nothing was changed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refused {
    /// It speaks of something that is not there.
    #[error("this change speaks of {0}, which the session does not have; nothing was changed")]
    Unknown(String),
    /// It takes out a record that frames are confirmed to show.
    #[error("frames are confirmed to show specimen record {0}, so it stays; nothing was changed")]
    StillShown(u32),
    /// It fills in a field that is not the day's, or not a specimen's.
    #[error("there is no field {0} here; nothing was changed")]
    NotItsField(&'static str),
    /// What it fills in is not as it should be.
    #[error("{0}; nothing was changed")]
    Field(#[from] FieldFault),
    /// It gives a name in a way that cannot be.
    #[error("{0}; nothing was changed")]
    Determination(#[from] DeterminationFault),
    /// It notes something sent that cannot be.
    #[error("{0}; nothing was changed")]
    Sending(#[from] SendingFault),
    /// It marks something that cannot be.
    #[error("{0} Nothing was changed")]
    Mark(#[from] MarkFault),
    /// It notes a colour that cannot be.
    #[error("{0} Nothing was changed")]
    Colour(#[from] PickFault),
    /// It names files in a way that cannot be.
    #[error("{0}; nothing was changed")]
    Naming(#[from] NamingFault),
    /// It sets a clock further than a clock can be off.
    #[error("a clock cannot be corrected by more than a hundred years; nothing was changed")]
    ClockTooFar,
}

impl Session {
    /// Applies an edit and gives the edit that takes it back.
    ///
    /// # Errors
    /// Refuses an edit about a frame or specimen that is not there, or that would begin a record twice;
    /// the session is then as before, also when a later part of [`Edit::Many`] was at fault.
    pub fn apply(&mut self, edit: &Edit) -> Result<Edit, Refused> {
        Ok(match edit {
            Edit::BlankLine(line) => {
                Edit::BlankLine(std::mem::replace(&mut self.decisions.blank_line, *line))
            }
            Edit::Kind(frame, kind) => {
                self.knows_frame(*frame)?;
                Edit::Kind(*frame, put(&mut self.decisions.kinds, *frame, *kind))
            }
            Edit::Boundary(frame, boundary) => {
                self.knows_frame(*frame)?;
                Edit::Boundary(*frame, put(&mut self.decisions.boundaries, *frame, *boundary))
            }
            Edit::Move(frame, to) => {
                self.knows_frame(*frame)?;
                to.map_or(Ok(()), |f| self.knows_frame(f))?;
                Edit::Move(*frame, put(&mut self.decisions.moves, *frame, *to))
            }
            Edit::Label(frame, label) => {
                self.knows_frame(*frame)?;
                if let Some(label) = label {
                    self.place_of(label.specimen)?;
                }
                Edit::Label(*frame, put(&mut self.decisions.labels, *frame, label.clone()))
            }
            Edit::Clock(body, secs) => {
                self.knows_body(body)?;
                if secs.is_some_and(|s| !s.is_finite() || s.abs() > CLOCK_LIMIT_SECS) {
                    return Err(Refused::ClockTooFar);
                }
                Edit::Clock(body.clone(), put(&mut self.decisions.clocks, body.clone(), *secs))
            }
            Edit::OwnAnimal(frame, own) => {
                self.knows_frame(*frame)?;
                Edit::OwnAnimal(*frame, mark(&mut self.decisions.own_animals, *frame, *own))
            }
            Edit::Prefer(frame, prefer) => {
                self.knows_frame(*frame)?;
                Edit::Prefer(*frame, mark(&mut self.decisions.preferred, *frame, *prefer))
            }
            Edit::HoldingLimit(limit) => {
                Edit::HoldingLimit(std::mem::replace(&mut self.decisions.holding_limit_min, *limit))
            }
            Edit::AddSpecimen(at, specimen) => {
                specimen.anchors.iter().try_for_each(|f| self.knows_frame(*f))?;
                if self.specimen(specimen.id).is_some() || *at > self.specimens.len() {
                    return Err(Refused::Unknown(format!(
                        "a free place for specimen record {}",
                        specimen.id.0
                    )));
                }
                self.specimens.insert(*at, specimen.clone());
                Edit::RemoveSpecimen(specimen.id)
            }
            Edit::RemoveSpecimen(id) => {
                let at = self.place_of(*id)?;
                if self.decisions.labels.values().any(|label| label.specimen == *id) {
                    return Err(Refused::StillShown(id.0));
                }
                Edit::AddSpecimen(at, self.specimens.remove(at))
            }
            Edit::Jar(id, text) => {
                let at = self.place_of(*id)?;
                Edit::Jar(*id, std::mem::replace(&mut self.specimens[at].jar, text.clone()))
            }
            Edit::Note(id, text) => {
                let at = self.place_of(*id)?;
                Edit::Note(*id, std::mem::replace(&mut self.specimens[at].note, text.clone()))
            }
            Edit::Left(id, left) => {
                let at = self.place_of(*id)?;
                Edit::Left(*id, std::mem::replace(&mut self.specimens[at].left, *left))
            }
            Edit::Write(id, written) => {
                let at = self.place_of(*id)?;
                Edit::Write(*id, Box::new(self.specimens[at].write(written)?))
            }
            Edit::DayField(term, entry) => {
                check_entry(*term, term.is_of_day(), entry.as_ref())?;
                Edit::DayField(*term, put(&mut self.fields, *term, entry.clone()))
            }
            Edit::Track(track) => {
                Edit::Track(std::mem::replace(&mut self.track, track.as_deref().cloned()).map(Box::new))
            }
            Edit::Mark(id, mark) => self.mark(*id, mark.as_deref())?,
            Edit::Send(number, sending) => self.send(*number, sending.as_deref())?,
            Edit::Number(id, number) => {
                let at = self.place_of(*id)?;
                Edit::Number(*id, std::mem::replace(&mut self.specimens[at].number, *number))
            }
            Edit::Name(name) => Edit::Name(std::mem::replace(&mut self.name, name.clone())),
            Edit::Plan(plan) => Edit::Plan(Box::new(std::mem::replace(&mut self.plan, (**plan).clone()))),
            Edit::Naming(naming) => {
                naming.check()?;
                Edit::Naming(Box::new(std::mem::replace(&mut self.naming, (**naming).clone())))
            }
            Edit::Many(edits) => self.apply_many(edits)?,
        })
    }

    fn mark(&mut self, id: MarkId, mark: Option<&Mark>) -> Result<Edit, Refused> {
        if let Some(mark) = mark {
            mark.check()?;
            self.knows_frame(mark.frame)?;
            if mark.id != id {
                return Err(MarkFault::SameId.into());
            }
        }
        let before = put(&mut self.marks, id, mark.cloned());
        Ok(Edit::Mark(id, before.map(Box::new)))
    }

    fn send(&mut self, number: u32, sending: Option<&Sending>) -> Result<Edit, Refused> {
        if let Some(sending) = sending {
            sending.check()?;
            sending.specimens.iter().try_for_each(|id| self.place_of(*id).map(|_| ()))?;
            sending.frames.iter().try_for_each(|frame| self.knows_frame(*frame))?;
        }
        let before = put(&mut self.sendings, number, sending.cloned());
        Ok(Edit::Send(number, before.map(Box::new)))
    }

    fn apply_many(&mut self, edits: &[Edit]) -> Result<Edit, Refused> {
        let mut inverses = Vec::with_capacity(edits.len());
        for edit in edits {
            match self.apply(edit) {
                Ok(inverse) => inverses.push(inverse),
                Err(refused) => {
                    for inverse in inverses.iter().rev() {
                        self.apply(inverse).expect("an inverse of what was just applied");
                    }
                    return Err(refused);
                }
            }
        }
        inverses.reverse();
        Ok(Edit::Many(inverses))
    }

    fn knows_frame(&self, id: FrameId) -> Result<(), Refused> {
        self.frame(id).map(|_| ()).ok_or_else(|| Refused::Unknown(format!("frame {}", id.0)))
    }

    fn knows_body(&self, body: &Body) -> Result<(), Refused> {
        let known = self.frames.iter().any(|f| f.body == *body);
        if known { Ok(()) } else { Err(Refused::Unknown(format!("the camera {}", body.words()))) }
    }

    fn place_of(&self, id: SpecimenId) -> Result<usize, Refused> {
        let at = self.specimens.iter().position(|s| s.id == id);
        at.ok_or_else(|| Refused::Unknown(format!("specimen record {}", id.0)))
    }
}

/// Sets or clears an entry and gives what stood there.
fn put<K: Ord, V>(map: &mut std::collections::BTreeMap<K, V>, key: K, value: Option<V>) -> Option<V> {
    match value {
        Some(value) => map.insert(key, value),
        None => map.remove(&key),
    }
}

/// Marks a frame, or takes its mark away; gives whether it was marked before.
fn mark(marked: &mut std::collections::BTreeSet<FrameId>, frame: FrameId, on: bool) -> bool {
    let changed = if on { marked.insert(frame) } else { marked.remove(&frame) };
    on != changed
}

/// Edits done and taken back, newest last, each with words that say what it did.
#[derive(Debug, Clone, Default)]
pub struct History {
    done: Vec<(String, Edit)>,
    undone: Vec<(String, Edit)>,
}

impl History {
    /// Applies an edit and remembers how to take it back. What was undone before is forgotten.
    ///
    /// # Errors
    /// As [`Session::apply`]; nothing is remembered then.
    pub fn apply(&mut self, session: &mut Session, words: &str, edit: &Edit) -> Result<(), Refused> {
        let inverse = session.apply(edit)?;
        self.done.push((words.to_owned(), inverse));
        self.undone.clear();
        Ok(())
    }

    /// What [`History::undo`] would take back.
    pub fn undo_words(&self) -> Option<&str> {
        self.done.last().map(|(words, _)| words.as_str())
    }

    /// What [`History::redo`] would do again.
    pub fn redo_words(&self) -> Option<&str> {
        self.undone.last().map(|(words, _)| words.as_str())
    }

    /// Takes the last edit back and says which it was; `None` when there is none.
    pub fn undo(&mut self, session: &mut Session) -> Option<String> {
        step(&mut self.done, &mut self.undone, session)
    }

    /// Does again what was last taken back; `None` when there is nothing.
    pub fn redo(&mut self, session: &mut Session) -> Option<String> {
        step(&mut self.undone, &mut self.done, session)
    }
}

/// Applies the newest of `from` and puts its inverse on `to`. A record that the card brought anew can
/// not make it fail: edits only name frames and specimens, and those are never taken away.
fn step(
    from: &mut Vec<(String, Edit)>,
    to: &mut Vec<(String, Edit)>,
    session: &mut Session,
) -> Option<String> {
    let (words, edit) = from.pop()?;
    let inverse = session.apply(&edit).ok()?;
    to.push((words.clone(), inverse));
    Some(words)
}

#[cfg(test)]
#[path = "edit_tests.rs"]
pub(crate) mod tests;

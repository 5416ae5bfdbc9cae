//! Edits: what a person did to a session, each with its inverse.

use serde::{Deserialize, Serialize};

use crate::record_edit::check_entry;
use crate::{
    Body, Boundary, CLOCK_LIMIT_SECS, Departure, DeterminationFault, Entry, FieldFault, FrameId, FrameKind,
    Label, Naming, NamingFault, Plan, RecordEdit, Sending, SendingFault, Session, Specimen, SpecimenId, Term,
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
pub(crate) mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::{Body, FileRole, Frame, FrameFile, TimeSource, Way};

    pub(crate) fn frame(id: u32, time: &str) -> Frame {
        let file = FrameFile { path: format!("f{id}.jpg"), bytes: 100, role: FileRole::Picture };
        Frame {
            taken: Some(format!("2026-06-14T{time}").parse().unwrap()),
            time_source: TimeSource::Original,
            size_px: Some((1200, 800)),
            ..Frame::new(FrameId(id), vec![file])
        }
    }

    fn body(model: &str) -> Body {
        Body { model: model.to_owned(), ..Body::default() }
    }

    /// A session of `n` frames, a minute apart from 10:00.
    pub(crate) fn day(n: u32) -> Session {
        let plan =
            "(key: \"k\", name: \"K\", views: [(key: \"side\", name: \"Side\", letter: 's', required: true,
            subject_part: \"entireOrganism\", subject_orientation: \"lateral\", hint: \"\")])";
        let mut session = Session::new("day", Plan::from_text(plan).unwrap());
        session.frames = (0..n).map(|i| frame(i, &format!("10:{i:02}:00"))).collect();
        session
    }

    fn any_edit() -> impl Strategy<Value = Edit> {
        let frame = || (0u32..8).prop_map(FrameId);
        let specimen = || (0u32..4).prop_map(SpecimenId);
        let kind = prop_oneof![Just(FrameKind::Blank), Just(FrameKind::SetAside), Just(FrameKind::Specimen)];
        let one = prop_oneof![
            prop::option::of(0f32..50.0).prop_map(Edit::BlankLine),
            (frame(), prop::option::of(kind)).prop_map(|(f, k)| Edit::Kind(f, k)),
            (frame(), prop::option::of(prop_oneof![Just(Boundary::Split), Just(Boundary::Join)]))
                .prop_map(|(f, b)| Edit::Boundary(f, b)),
            (frame(), prop::option::of(frame())).prop_map(|(f, t)| Edit::Move(f, t)),
            (frame(), prop::option::of(specimen())).prop_map(|(f, s)| {
                Edit::Label(f, s.map(|specimen| Label { view: "side".into(), specimen }))
            }),
            (prop::sample::select(vec!["", "E-1", "none"]), prop::option::of(-1e10..1e10))
                .prop_map(|(model, secs)| Edit::Clock(body(model), secs)),
            (frame(), any::<bool>()).prop_map(|(f, own)| Edit::OwnAnimal(f, own)),
            (frame(), any::<bool>()).prop_map(|(f, prefer)| Edit::Prefer(f, prefer)),
            prop::option::of(1u16..60).prop_map(Edit::HoldingLimit),
            (0usize..3, specimen(), frame()).prop_map(|(at, id, anchor)| {
                let specimen =
                    Specimen { jar: "j".into(), note: "n".into(), ..Specimen::new(id, vec![anchor]) };
                Edit::AddSpecimen(at, specimen)
            }),
            specimen().prop_map(Edit::RemoveSpecimen),
            (specimen(), "[a-z]{0,4}").prop_map(|(s, t)| Edit::Jar(s, t)),
            (specimen(), "[a-z]{0,4}").prop_map(|(s, t)| Edit::Note(s, t)),
            (specimen(), any::<bool>()).prop_map(|(s, left)| {
                Edit::Left(s, left.then_some(Departure { way: Way::Flew, at: None }))
            }),
            (specimen(), prop::option::of(1u32..9)).prop_map(|(s, n)| Edit::Number(s, n)),
            "[a-z]{1,4}".prop_map(Edit::Name),
            prop::sample::select(vec!["_", "-", "/"]).prop_map(|joiner| {
                let mut naming = Naming::default();
                naming.file.joiner = joiner.to_owned();
                Edit::Naming(Box::new(naming))
            }),
        ];
        one.prop_recursive(2, 12, 4, |inner| prop::collection::vec(inner, 0..4).prop_map(Edit::Many))
    }

    proptest! {
        /// Any list of edits, taken back in reverse, leaves the session as it was; refused ones change nothing.
        #[test]
        fn apply_then_inverse_is_identity(edits in prop::collection::vec(any_edit(), 0..25)) {
            let mut session = day(6);
            session.frames[2].body = body("E-1");
            let before = session.clone();
            let mut history = History::default();
            for edit in &edits {
                let untouched = session.clone();
                if history.apply(&mut session, "edit", edit).is_err() {
                    prop_assert_eq!(&session, &untouched);
                }
            }
            let after = session.clone();
            while history.undo(&mut session).is_some() {}
            prop_assert_eq!(&session, &before);
            while history.redo(&mut session).is_some() {}
            prop_assert_eq!(&session, &after);
        }
    }

    #[test]
    fn a_clock_is_corrected_for_a_body_of_the_session_and_kept_in_its_text() {
        let mut session = day(2);
        session.frames[1].body = body("E-1");
        session.frames[1].at = session.frames[1].taken.unwrap().shifted(-60.0);
        session.apply(&Edit::Clock(body("E-1"), Some(-60.0))).unwrap();
        let text = crate::session_to_text(&session);
        assert!(text.contains("at: Some(\"2026-06-14T10:00:00\")"), "{text}");
        assert_eq!(crate::session_from_text(&text).unwrap(), session);
        for (model, secs) in [("E-2", 1.0), ("E-1", f64::NAN), ("E-1", 1e10)] {
            assert!(session.apply(&Edit::Clock(body(model), Some(secs))).is_err(), "{model} {secs}");
        }
        session.apply(&Edit::Clock(body("E-1"), None)).unwrap();
        assert!(session.decisions.clocks.is_empty());
    }

    #[test]
    fn a_record_goes_only_once_no_frame_is_confirmed_to_show_it() {
        let mut session = day(1);
        let id = SpecimenId(2);
        let specimen = Specimen::new(id, vec![FrameId(0)]);
        session.apply(&Edit::AddSpecimen(0, specimen)).unwrap();
        session.apply(&Edit::Label(FrameId(0), Some(Label { view: "side".into(), specimen: id }))).unwrap();
        assert_eq!(session.apply(&Edit::RemoveSpecimen(id)), Err(Refused::StillShown(2)));
        // A later part at fault takes the label back as well, which needs the record.
        let clears = Edit::Many(vec![Edit::Label(FrameId(0), None), Edit::Jar(SpecimenId(9), "x".into())]);
        assert!(session.apply(&clears).is_err());
        session.apply(&Edit::Label(FrameId(0), None)).unwrap();
        assert!(session.apply(&Edit::RemoveSpecimen(id)).is_ok());
    }

    #[test]
    fn a_refused_part_takes_the_whole_edit_back() {
        let mut session = day(2);
        let before = session.clone();
        let edit = Edit::Many(vec![
            Edit::Kind(FrameId(0), Some(FrameKind::Blank)),
            Edit::Jar(SpecimenId(5), "x".into()),
        ]);
        assert!(session.apply(&edit).unwrap_err().to_string().contains("specimen record 5"));
        assert_eq!(session, before);
    }
}

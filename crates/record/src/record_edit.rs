//! What is written of one specimen, each change with its inverse.

use serde::{Deserialize, Serialize};

use crate::{CharacterKey, ColourNote, Determination, Entry, Refused, Score, Specimen, Standing, Term};

/// One change to a specimen's record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum RecordEdit {
    /// Fills a field in, or empties it.
    Field(Term, Option<Entry>),
    /// Sets a name beside those there are.
    Determined(Determination),
    /// Takes the name away that was written last; this is only how [`RecordEdit::Determined`] is taken back.
    Undetermined,
    /// Says how the name at this place stands; one that is accepted takes that from any other.
    Standing(usize, Standing),
    /// Says what a character is; no states when nobody looked.
    Score(CharacterKey, Vec<Score>),
    /// Notes the colour of a part, or takes that away.
    Colour(CharacterKey, Option<ColourNote>),
    /// Says how each name stands; this is only how [`RecordEdit::Standing`] is taken back.
    Standings(Vec<Standing>),
}

impl Specimen {
    /// Applies a change and gives the one that takes it back.
    pub(crate) fn write(&mut self, written: &RecordEdit) -> Result<RecordEdit, Refused> {
        Ok(match written {
            RecordEdit::Field(term, entry) => {
                check_entry(*term, term.is_of_specimen(), entry.as_ref())?;
                let before = match entry {
                    Some(entry) => self.fields.insert(*term, entry.clone()),
                    None => self.fields.remove(term),
                };
                RecordEdit::Field(*term, before)
            }
            RecordEdit::Determined(determination) => {
                determination.check()?;
                self.determinations.push(determination.clone());
                RecordEdit::Undetermined
            }
            RecordEdit::Undetermined => {
                let last = self.determinations.pop();
                RecordEdit::Determined(last.ok_or_else(|| Refused::Unknown("a determination".to_owned()))?)
            }
            RecordEdit::Standing(at, standing) => {
                let unknown = || Refused::Unknown(format!("determination {}", at + 1));
                let mut changed = self.determinations.get(*at).ok_or_else(unknown)?.clone();
                changed.standing = standing.clone();
                changed.check()?;
                let before = self.standings();
                if *standing == Standing::Accepted {
                    for other in self.determinations.iter_mut().filter(|d| d.standing == Standing::Accepted) {
                        other.standing = Standing::Given;
                    }
                }
                self.determinations[*at] = changed;
                RecordEdit::Standings(before)
            }
            RecordEdit::Score(character, scores) => {
                let before = if scores.is_empty() {
                    self.scores.remove(character)
                } else {
                    self.scores.insert(character.clone(), scores.clone())
                };
                RecordEdit::Score(character.clone(), before.unwrap_or_default())
            }
            RecordEdit::Colour(part, note) => {
                if let Some(picked) = note.as_ref().and_then(|note| note.picked.as_ref()) {
                    picked.check()?;
                }
                let before = match note {
                    Some(note) => self.colours.insert(part.clone(), note.clone()),
                    None => self.colours.remove(part),
                };
                RecordEdit::Colour(part.clone(), before)
            }
            RecordEdit::Standings(standings) => {
                if standings.len() != self.determinations.len() {
                    return Err(Refused::Unknown("that many determinations".to_owned()));
                }
                let before = self.standings();
                for (determination, standing) in self.determinations.iter_mut().zip(standings) {
                    determination.standing = standing.clone();
                }
                RecordEdit::Standings(before)
            }
        })
    }

    fn standings(&self) -> Vec<Standing> {
        self.determinations.iter().map(|d| d.standing.clone()).collect()
    }
}

/// Refuses what does not belong in a field, unless it is kept knowingly.
pub(crate) fn check_entry(term: Term, belongs: bool, entry: Option<&Entry>) -> Result<(), Refused> {
    if !belongs {
        return Err(Refused::NotItsField(term.name()));
    }
    match entry {
        Some(entry) if entry.text.is_empty() => Err(Refused::Unknown("an empty entry".to_owned())),
        Some(entry) if !entry.knowingly => Ok(term.check(&entry.text)?),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::day;
    use crate::{Edit, FrameId, Mark, MarkId, MarkKind, ScaleUsed, Sending, Session, SpecimenId};

    const BEE: SpecimenId = SpecimenId(3);

    fn session() -> Session {
        let mut session = day(2);
        session.apply(&Edit::AddSpecimen(0, Specimen::new(BEE, vec![FrameId(0)]))).unwrap();
        session
    }

    fn entry(text: &str) -> Entry {
        Entry { text: text.into(), knowingly: false }
    }

    /// Applies edits one after the other, takes them back, and gives what was in between.
    fn there_and_back(edits: &[Edit]) -> Session {
        let mut session = session();
        let before = session.clone();
        let back: Vec<Edit> = edits.iter().map(|edit| session.apply(edit).unwrap()).collect();
        let after = session.clone();
        assert_eq!(crate::session_from_text(&crate::session_to_text(&after)).unwrap(), after);
        for edit in back.iter().rev() {
            session.apply(edit).unwrap();
        }
        assert_eq!(session, before);
        after
    }

    #[test]
    fn a_specimen_s_own_entry_stands_before_the_day_s() {
        let field = |term, text| Edit::Write(BEE, Box::new(RecordEdit::Field(term, Some(entry(text)))));
        let session = there_and_back(&[
            Edit::DayField(Term::Habitat, Some(entry("ditch"))),
            Edit::DayField(Term::Locality, Some(entry("West bank"))),
            field(Term::Habitat, "garden"),
            field(Term::Sex, "female"),
            field(Term::Sex, "male"),
        ]);
        let text = |specimen, term| session.entry(specimen, term).map(|e| e.text.as_str());
        let bee = session.specimen(BEE);
        assert_eq!(text(bee, Term::Habitat), Some("garden"));
        assert_eq!(text(bee, Term::Locality), Some("West bank"));
        assert_eq!(text(None, Term::Habitat), Some("ditch"));
        assert_eq!(text(bee, Term::Sex), Some("male"));
    }

    #[test]
    fn what_is_not_as_it_should_be_is_kept_only_knowingly() {
        let mut session = session();
        let write = |entry| Edit::Write(BEE, Box::new(RecordEdit::Field(Term::EventTime, entry)));
        let refused = session.apply(&write(Some(entry("noon")))).unwrap_err().to_string();
        assert!(refused.contains("no time of day") && refused.contains("nothing was changed"), "{refused}");
        session.apply(&write(Some(Entry::knowingly(Term::EventTime, "noon")))).unwrap();
        assert!(session.specimens[0].fields[&Term::EventTime].knowingly);
        assert!(session.apply(&Edit::DayField(Term::Sex, Some(entry("male")))).is_err(), "a day has no sex");
        let of_day = RecordEdit::Field(Term::License, Some(entry("https://example.org")));
        assert!(session.apply(&Edit::Write(BEE, Box::new(of_day))).is_err());
        assert!(session.apply(&write(Some(entry("")))).is_err());
    }

    #[test]
    fn names_are_set_beside_each_other_and_one_is_accepted() {
        let name = |name: &str| Determination { name: name.into(), ..Determination::default() };
        let write = |written| Edit::Write(BEE, Box::new(written));
        let session = there_and_back(&[
            write(RecordEdit::Determined(name("Bombus one"))),
            write(RecordEdit::Determined(name("Bombus two"))),
            write(RecordEdit::Standing(0, Standing::Accepted)),
            write(RecordEdit::Standing(1, Standing::Accepted)),
            write(RecordEdit::Standing(0, Standing::Superseded("worn".into()))),
        ]);
        let standings: Vec<_> = session.specimens[0].determinations.iter().map(|d| &d.standing).collect();
        assert_eq!(standings, [&Standing::Superseded("worn".into()), &Standing::Accepted]);
        let mut session = session;
        // Another that is accepted takes that from the one before.
        session.apply(&write(RecordEdit::Determined(name("Bombus three")))).unwrap();
        session.apply(&write(RecordEdit::Standing(2, Standing::Accepted))).unwrap();
        assert_eq!(session.specimens[0].determinations[1].standing, Standing::Given);
        assert!(session.apply(&write(RecordEdit::Standing(3, Standing::Accepted))).is_err());
        assert!(session.apply(&write(RecordEdit::Determined(name("")))).is_err());
    }

    #[test]
    fn scores_colours_and_marks_are_kept_and_taken_back() {
        let write = |written| Edit::Write(BEE, Box::new(written));
        let note = ColourNote { region: "hair-face".into(), word: "black".into(), picked: None };
        let mark = |id: u32, points: [(f64, f64); 2]| {
            let mark = Mark {
                id: MarkId(id),
                frame: FrameId(1),
                picture_px: (1200, 800),
                kind: MarkKind::Line,
                points: points.to_vec(),
                placing_px: 1.0,
                what: "length".into(),
                known: None,
                ratio_to: None,
                scale: ScaleUsed::Unscaled,
                tilt_deg: 0.0,
                depth_share: 0.0,
            };
            Edit::Mark(MarkId(id), Some(Box::new(mark)))
        };
        let session = there_and_back(&[
            write(RecordEdit::Score("sting".into(), vec!["not-seen".into()])),
            write(RecordEdit::Score("sting".into(), vec!["seen".into()])),
            write(RecordEdit::Score("wing-pairs".into(), vec!["2".into()])),
            write(RecordEdit::Score("wing-pairs".into(), vec![])),
            write(RecordEdit::Colour("hair-face".into(), Some(note))),
            mark(4, [(1.0, 2.0), (30.0, 40.0)]),
            mark(5, [(1.0, 2.0), (30.0, 41.0)]),
            Edit::Mark(MarkId(4), None),
        ]);
        let bee = &session.specimens[0];
        assert_eq!(bee.scores, crate::Scores::from([("sting".into(), vec!["seen".into()])]));
        assert_eq!(bee.colours.len(), 1);
        assert_eq!(session.marks.keys().collect::<Vec<_>>(), [&MarkId(5)]);
        let mut session = session;
        assert!(session.apply(&mark(6, [(1.0, 2.0), (1.0, 2.0)])).is_err(), "no length");
        let elsewhere = Edit::Mark(MarkId(9), session.marks.values().next().map(|m| Box::new(m.clone())));
        assert!(session.apply(&elsewhere).is_err(), "a mark has its own number");
    }

    #[test]
    fn what_was_sent_is_kept_and_taken_back() {
        let sending = Sending {
            to: "a museum".into(),
            sent: "2026-06-20".into(),
            specimens: vec![BEE],
            frames: vec![FrameId(0)],
            wanted_by: String::new(),
            heard: None,
        };
        let session = there_and_back(&[Edit::Send(0, Some(Box::new(sending.clone())))]);
        assert_eq!(session.sendings[&0], sending);
        let mut session = session;
        let nobody = Sending { to: String::new(), ..sending.clone() };
        assert!(session.apply(&Edit::Send(1, Some(Box::new(nobody)))).is_err());
        let unknown = Sending { specimens: vec![SpecimenId(9)], ..sending };
        assert!(session.apply(&Edit::Send(1, Some(Box::new(unknown)))).is_err());
    }
}

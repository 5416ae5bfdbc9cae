//! What a person writes of specimens, turned into edits of the session as it stands.

use crate::{
    CharacterKey, ColourNote, Determination, Edit, Entry, RecordEdit, Score, Session, SpecimenId, Standing,
    Term,
};

impl Session {
    /// Fills in a field of the specimen of a set, or empties it; the record is begun where there is none. `None` when that
    /// changes nothing.
    pub fn fill_in(&self, set: usize, term: Term, entry: Option<Entry>) -> Option<Edit> {
        let record = self.record_of(self.sets.get(set)?);
        if record.and_then(|s| s.fields.get(&term)) == entry.as_ref() {
            return None;
        }
        self.write(set, RecordEdit::Field(term, entry))
    }

    /// Fills in a field of the day, or empties it. `None` when that changes nothing.
    pub fn fill_in_day(&self, term: Term, entry: Option<Entry>) -> Option<Edit> {
        (self.fields.get(&term) != entry.as_ref()).then_some(Edit::DayField(term, entry))
    }

    /// Carries over to a set what the one before it says of where and how the animal was found, as far as nothing is
    /// written there yet. `None` when there is nothing to carry.
    pub fn carry_over(&self, set: usize) -> Option<Edit> {
        let from = self.record_of(self.sets.get(set.checked_sub(1)?)?)?;
        let to = self.record_of(self.sets.get(set)?);
        let missing = |term: &Term| to.is_none_or(|s| !s.fields.contains_key(term));
        let carried = from.fields.iter().filter(|(term, _)| term.is_carried() && missing(term));
        let mut carried =
            carried.map(|(term, entry)| RecordEdit::Field(*term, Some(entry.clone()))).peekable();
        carried.peek()?;
        let (specimen, mut edits) = self.record_for(set)?;
        edits.extend(carried.map(|field| Edit::Write(specimen, Box::new(field))));
        Some(Edit::Many(edits))
    }

    /// Sets a name beside those that were given to the specimen of a set.
    pub fn determine(&self, set: usize, determination: Determination) -> Option<Edit> {
        self.write(set, RecordEdit::Determined(determination))
    }

    /// Says how a name of the specimen of a set stands. `None` when there is no such name, or it stands so.
    pub fn set_standing(&self, set: usize, at: usize, standing: Standing) -> Option<Edit> {
        let record = self.record_of(self.sets.get(set)?)?;
        let stands = &record.determinations.get(at)?.standing;
        (*stands != standing).then(|| Edit::Write(record.id, Box::new(RecordEdit::Standing(at, standing))))
    }

    /// Begins the record of a set, if it has none: the edit for that, which may be empty, and whose it is.
    pub fn begin_record(&self, set: usize) -> Option<(Edit, SpecimenId)> {
        let (specimen, edits) = self.record_for(set)?;
        Some((Edit::Many(edits), specimen))
    }

    /// Scores a character of the specimen of a set; without states nobody looked. `None` when that changes nothing.
    pub fn score(&self, set: usize, character: &CharacterKey, scores: Vec<Score>) -> Option<Edit> {
        let record = self.record_of(self.sets.get(set)?);
        let before = record.and_then(|s| s.scores.get(character)).map_or(&[][..], Vec::as_slice);
        if before == scores {
            return None;
        }
        self.write(set, RecordEdit::Score(character.clone(), scores))
    }

    /// Keeps what was picked of the colour of a part of the specimen of a set, or takes it away. `None` when that changes
    /// nothing.
    pub fn note_colour(&self, set: usize, part: &CharacterKey, note: Option<ColourNote>) -> Option<Edit> {
        let record = self.record_of(self.sets.get(set)?);
        if record.and_then(|s| s.colours.get(part)) == note.as_ref() {
            return None;
        }
        self.write(set, RecordEdit::Colour(part.clone(), note))
    }

    /// Scores the colour of a part of the specimen of a set and keeps what was picked of it, as one change.
    pub fn take_colour(&self, set: usize, scores: Vec<Score>, note: ColourNote) -> Option<Edit> {
        let (specimen, mut edits) = self.record_for(set)?;
        let part = note.region.clone();
        let written = [RecordEdit::Score(part.clone(), scores), RecordEdit::Colour(part, Some(note))];
        edits.extend(written.map(|written| Edit::Write(specimen, Box::new(written))));
        Some(Edit::Many(edits))
    }

    /// Writes something of the specimen of a set; the record is begun where there is none.
    pub(crate) fn write(&self, set: usize, written: RecordEdit) -> Option<Edit> {
        let (specimen, mut edits) = self.record_for(set)?;
        edits.push(Edit::Write(specimen, Box::new(written)));
        Some(Edit::Many(edits))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::FrameId;
    use crate::edit::tests::day;

    fn three_sets() -> Session {
        let mut session = day(6);
        let ids = |r: std::ops::Range<u32>| r.map(FrameId).collect::<Vec<_>>();
        session.arrange(vec![(ids(0..2), None), (ids(2..4), None), (ids(4..6), None)]);
        session
    }

    fn arranged(session: &mut Session, edit: &Edit) {
        session.apply(edit).unwrap();
        let sets = session.sets.iter().map(|set| (set.frames.clone(), set.closed_by)).collect();
        session.arrange(sets);
    }

    fn entry(term: Term, text: &str) -> Entry {
        Entry::new(term, text).unwrap()
    }

    #[test]
    fn a_field_begins_a_record_once_and_what_is_so_already_changes_nothing() {
        let mut session = three_sets();
        let fill = |session: &Session, text| session.fill_in(1, Term::Plant, Some(entry(Term::Plant, text)));
        let edit = fill(&session, "red clover").unwrap();
        arranged(&mut session, &edit);
        assert_eq!(fill(&session, "red clover"), None);
        let edit = fill(&session, "vetch").unwrap();
        arranged(&mut session, &edit);
        assert_eq!(session.specimens.len(), 1);
        assert_eq!(session.fill_in(0, Term::Plant, None), None);
        assert_eq!(session.fill_in(9, Term::Plant, None), None);
        assert_eq!(session.fill_in_day(Term::Habitat, None), None);
    }

    #[test]
    fn a_score_and_a_colour_begin_a_record_once_and_what_is_so_already_changes_nothing() {
        let mut session = three_sets();
        let (sting, face) = ("sting".into(), "hair-face".into());
        let note = ColourNote { region: "hair-face".into(), word: "black".into(), picked: None };
        assert_eq!(session.score(1, &sting, vec![]), None);
        assert_eq!(session.note_colour(1, &face, None), None);
        assert_eq!(session.score(9, &sting, vec!["seen".into()]), None);
        for edit in [
            session.score(1, &sting, vec!["seen".into()]).unwrap(),
            session.note_colour(1, &face, Some(note.clone())).unwrap(),
        ] {
            let mut alone = session.clone();
            arranged(&mut alone, &edit);
            assert_eq!(alone.specimens.len(), 1);
        }
        let mut both = session.clone();
        let edit = both.take_colour(1, vec!["black".into()], note.clone()).unwrap();
        arranged(&mut both, &edit);
        let bee = &both.specimens[0];
        assert_eq!((both.specimens.len(), bee.scores.len(), bee.colours.get(&face)), (1, 1, Some(&note)));
        let edit = session.score(1, &sting, vec!["seen".into()]).unwrap();
        arranged(&mut session, &edit);
        let edit = session.note_colour(1, &face, Some(note.clone())).unwrap();
        arranged(&mut session, &edit);
        assert_eq!(session.specimens.len(), 1);
        assert_eq!(session.score(1, &sting, vec!["seen".into()]), None);
        assert_eq!(session.note_colour(1, &face, Some(note)), None);
        let edit = session.score(1, &sting, vec![]).unwrap();
        arranged(&mut session, &edit);
        assert!(session.specimens[0].scores.is_empty());
    }

    #[test]
    fn only_what_is_empty_is_carried_and_never_what_the_animal_is() {
        let mut session = three_sets();
        for (set, term, text) in [
            (0, Term::Plant, "vetch"),
            (0, Term::Locality, "West bank"),
            (0, Term::Sex, "female"),
            (1, Term::Plant, "clover"),
        ] {
            let edit = session.fill_in(set, term, Some(entry(term, text))).unwrap();
            arranged(&mut session, &edit);
        }
        assert_eq!(session.carry_over(0), None, "nothing comes before the first");
        let edit = session.carry_over(1).unwrap();
        arranged(&mut session, &edit);
        let text = |session: &Session, set: usize, term| {
            let record = session.record_of(&session.sets[set]);
            record.and_then(|s| Some(s.fields.get(&term)?.text.clone())).unwrap_or_default()
        };
        assert_eq!(text(&session, 1, Term::Plant), "clover");
        assert_eq!(text(&session, 1, Term::Locality), "West bank");
        assert_eq!(text(&session, 1, Term::Sex), "");
        assert_eq!(session.carry_over(1), None);
        let edit = session.carry_over(2).unwrap();
        arranged(&mut session, &edit);
        assert_eq!(text(&session, 2, Term::Plant), "clover");
    }
}

//! Names that came back from specialists, beside the specimens of a session.
//!
//! Goes in: a session and the rows of a file of answers, as `notes` reads them. Comes out: what each row would do, and the one
//! edit that takes all of them in and is undone in one step. No name is accepted or superseded by this, and none is judged.

use std::collections::BTreeMap;

use notes::{Answer, AnswerFault};
use record::{Determination, Edit, RecordEdit, Session, SpecimenId, Standing};

use crate::shown::WITHHELD;
use crate::shown::occurrences;

/// What a file of answers would do to a session.
#[derive(Debug, Clone, PartialEq)]
pub struct AnswersPlan {
    /// What each row would do, in their order.
    pub rows: Vec<PlannedAnswer>,
    /// All of it as one change; `None` when nothing is new.
    pub edit: Option<Edit>,
}

/// What a row would do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlannedAnswer {
    /// The line it begins at, from 1.
    pub line: u64,
    /// The specimen it is about, where this session has it.
    pub specimen: Option<SpecimenId>,
    /// What becomes of it.
    pub outcome: Outcome,
}

/// What becomes of a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Its name is written beside those there are, none of which differs.
    Adds,
    /// It is written beside names of which some differ; none of them is accepted.
    Differs,
    /// It is written beside an accepted name that differs: this one. That stays accepted.
    Against(String),
    /// The same name by the same person of the same day, on the same ground, is there.
    Known,
    /// It gives no name.
    NoName,
    /// It is about no specimen of this session.
    NoSpecimen,
    /// It cannot be taken.
    Amiss(AnswerFault),
}

impl AnswersPlan {
    /// How many names it would write.
    pub fn added(&self) -> usize {
        let adds = |row: &&PlannedAnswer| {
            matches!(row.outcome, Outcome::Adds | Outcome::Differs | Outcome::Against(_))
        };
        self.rows.iter().filter(adds).count()
    }
}

/// Works out what answers would do. Rows are matched with specimens by [`crate::identity`] alone: by the bytes of the first
/// picture, whatever the specimen is called by now. Rows of other sessions are told, not lost: the same file can be planned
/// for each session.
pub fn plan_answers(session: &Session, answers: &[Answer]) -> AnswersPlan {
    let ids: BTreeMap<String, SpecimenId> =
        occurrences(session).into_iter().map(|(id, occurrence)| (occurrence.to_string(), id)).collect();
    // As they stand once the rows above are taken in.
    let mut names: BTreeMap<SpecimenId, Vec<Determination>> =
        session.specimens.iter().map(|specimen| (specimen.id, specimen.determinations.clone())).collect();
    let mut edits = Vec::new();
    let mut plan = |answer: &Answer| {
        let specimen = ids.get(&answer.occurrence).copied();
        let outcome = match (&answer.fault, &answer.given, specimen) {
            (Some(fault), _, _) => Outcome::Amiss(fault.clone()),
            (None, None, _) => Outcome::NoName,
            (None, Some(_), None) => Outcome::NoSpecimen,
            (None, Some(given), Some(id)) => {
                let there = names.entry(id).or_default();
                let outcome = beside(there, given);
                if outcome != Outcome::Known {
                    let given = written(given);
                    there.push(given.clone());
                    edits.push(Edit::Write(id, Box::new(RecordEdit::Determined(given))));
                }
                outcome
            }
        };
        PlannedAnswer { line: answer.line, specimen, outcome }
    };
    let rows = answers.iter().map(&mut plan).collect();
    AnswersPlan { rows, edit: (!edits.is_empty()).then_some(Edit::Many(edits)) }
}

/// How a name that is given stands to those there are.
fn beside(there: &[Determination], given: &Determination) -> Outcome {
    if there.iter().any(|known| is_same(known, given)) {
        return Outcome::Known;
    }
    let differs = |known: &Determination| known.holds() && !same_name(known, given);
    let accepted = there.iter().rfind(|known| known.standing == Standing::Accepted);
    match accepted {
        Some(accepted) if !same_name(accepted, given) => Outcome::Against(accepted.words()),
        None if there.iter().any(differs) => Outcome::Differs,
        _ => Outcome::Adds,
    }
}

/// Whether it is the same determination, come back. A table that left the remarks out, or withheld something, says nothing
/// against that.
fn is_same(known: &Determination, given: &Determination) -> bool {
    let same = |one: &str, other: &str| one.split_whitespace().eq(other.split_whitespace());
    known.date == given.date
        && (given.by == WITHHELD || same(&known.by, &given.by))
        && ([WITHHELD, ""].contains(&given.ground.as_str()) || same(&known.ground, &given.ground))
        && known.qualifier == given.qualifier
        && same_name(known, given)
}

/// A determination as it is written down: nobody is called by the word that stands for what was withheld.
fn written(given: &Determination) -> Determination {
    let told = |text: &str| if text == WITHHELD { String::new() } else { text.to_owned() };
    Determination { by: told(&given.by), ground: told(&given.ground), ..given.clone() }
}

fn same_name(one: &Determination, other: &Determination) -> bool {
    one.name.split_whitespace().eq(other.name.split_whitespace())
}

#[cfg(test)]
mod tests;

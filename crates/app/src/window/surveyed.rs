//! What is known of an archive before anything of it is made, for the exchange step.
//!
//! Goes in: a survey of it, and the open day as it is filed there. Comes out: what is shown beside the choices.

use std::collections::BTreeMap;

use exchange::Sensitivity;
use exchange::darwin_core::{Question, Survey};
use record::Session;
use uuid::Uuid;

/// What a survey was made for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SurveyedFor {
    /// The archive.
    pub(crate) archive: String,
    /// How sensitive an animal without a name counts.
    pub(crate) unnamed: Sensitivity,
    /// Whether pictures have an address.
    pub(crate) served: bool,
    /// How many filings ended since the window opened: each may change the archive.
    pub(crate) filings: usize,
}

/// What is known of an archive before anything of it is made.
#[derive(Debug)]
pub(crate) struct Surveyed {
    /// How many records would be shared.
    pub(crate) records: usize,
    /// Of how many of them the place is coarsened or withheld.
    pub(crate) coarsened: usize,
    /// What would be questioned, in the order of the questions.
    pub(crate) asked: Vec<Asked>,
    /// How many records give a coarsened place away.
    pub(crate) telling: usize,
    /// What would have to be coarsened too so that none does.
    pub(crate) also_coarsened: BTreeMap<Uuid, Sensitivity>,
    /// Folder of the open day in it, and the day as it was filed there; `None` when it is not.
    pub(crate) filed: Option<(String, Session)>,
    /// Whether the open day was changed since it was filed there.
    pub(crate) is_behind: bool,
}

/// A question and the records it is about.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Asked {
    /// What is the matter.
    pub(crate) question: Question,
    /// Of how many records.
    pub(crate) records: usize,
    /// Folders of sessions, the first numbers of records in each, and how many more there are.
    pub(crate) folders: Vec<(String, Vec<u32>, usize)>,
}

/// Numbers named of a question in a session before the rest is counted.
const NAMED: usize = 10;
/// Sessions named of a question.
const FOLDERS: usize = 6;

/// What a survey found, by question.
fn asked(survey: &Survey) -> Vec<Asked> {
    let by_question = survey.by_question().into_iter();
    let asked = by_question.map(|(question, sessions)| Asked {
        question,
        records: sessions.values().map(Vec::len).sum(),
        folders: sessions
            .into_iter()
            .take(FOLDERS)
            .map(|(folder, mut numbers)| {
                let more = numbers.len().saturating_sub(NAMED);
                numbers.truncate(NAMED);
                (folder.to_owned(), numbers, more)
            })
            .collect(),
    });
    asked.collect()
}

impl Surveyed {
    /// What a survey comes to, with the day as it is filed.
    pub(crate) fn of(survey: &Survey, filed: Option<(String, Session)>) -> Self {
        Self {
            records: survey.records(),
            coarsened: survey.coarsened(),
            asked: asked(survey),
            telling: survey.neighbours().len(),
            also_coarsened: survey.with_neighbours(),
            filed,
            is_behind: false,
        }
    }

    /// Folder of the open day in the archive; `None` when it is not filed there.
    pub(crate) fn folder(&self) -> Option<&String> {
        self.filed.as_ref().map(|(folder, _)| folder)
    }

    /// Sees whether what documents show of the open day was changed since it was filed.
    pub(crate) fn compare(&mut self, now: &Session) {
        let same = |filed: &Session| {
            filed.fields == now.fields
                && filed.specimens == now.specimens
                && filed.marks == now.marks
                && filed.sets == now.sets
                && filed.decisions.labels == now.decisions.labels
                && filed.decisions.preferred == now.decisions.preferred
        };
        self.is_behind = self.filed.as_ref().is_some_and(|(_, filed)| !same(filed));
    }
}

#[cfg(test)]
mod tests {
    use exchange::darwin_core::Finding;

    use super::*;

    #[test]
    fn questions_stand_once_with_the_first_numbers_of_each_session() {
        let mut survey = Survey::default();
        let of = |question, folder: &str, numbers: std::ops::RangeInclusive<u32>| {
            numbers
                .map(move |number| Finding { question, folder: folder.to_owned(), number })
                .collect::<Vec<_>>()
        };
        survey.findings.extend(of(Question::NoName, "a", 1..=12));
        survey.findings.extend(of(Question::NoPlace, "a", 3..=3));
        survey.findings.extend(of(Question::NoName, "b", 5..=6));
        let asked = asked(&survey);
        assert_eq!(
            asked.iter().map(|a| (a.question, a.records)).collect::<Vec<_>>(),
            [(Question::NoPlace, 1), (Question::NoName, 14)]
        );
        let folders = &asked[1].folders;
        assert_eq!(folders[0], ("a".to_owned(), (1..=10).collect(), 2));
        assert_eq!(folders[1], ("b".to_owned(), vec![5, 6], 0));
    }
}

//! What is known of an archive before anything of it is made, for the exchange step.
//!
//! Goes in: a survey of it, and the open day as it is filed there. Comes out: what is shown beside the choices.

use std::collections::BTreeMap;

use exchange::Sensitivity;
use exchange::darwin_core::{Question, Survey};
use exchange::stops::Betrayal;
use record::Session;

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
    /// What would be shared, and what would be questioned.
    pub(crate) survey: Survey,
    /// What would be questioned, in the order of the questions.
    pub(crate) asked: Vec<Asked>,
    /// Records that give a coarsened place away.
    pub(crate) telling: Vec<Betrayal>,
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
    let mut all: BTreeMap<Question, Asked> = BTreeMap::new();
    for finding in &survey.findings {
        let question = finding.question;
        let asked = all.entry(question).or_insert(Asked { question, records: 0, folders: Vec::new() });
        asked.records += 1;
        // Findings come session by session.
        if asked.folders.last().is_none_or(|(folder, ..)| *folder != finding.folder) {
            asked.folders.push((finding.folder.clone(), Vec::new(), 0));
        }
        if let Some((_, numbers, more)) = asked.folders.last_mut() {
            if numbers.len() < NAMED {
                numbers.push(finding.number);
            } else {
                *more += 1;
            }
        }
    }
    let mut all: Vec<Asked> = all.into_values().collect();
    for asked in &mut all {
        asked.folders.truncate(FOLDERS);
    }
    all
}

impl Surveyed {
    /// What a survey comes to, with the day as it is filed.
    pub(crate) fn of(survey: Survey, filed: Option<(String, Session)>) -> Self {
        Self { asked: asked(&survey), telling: survey.neighbours(), filed, is_behind: false, survey }
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

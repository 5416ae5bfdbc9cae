//! Before anything is written: what a data manager would question, and which records give a coarsened place away.
//!
//! Go in: the sessions, one after the other. Come out: [`Question`]s by record, neighbours of coarsened records, and the
//! credits of the whole. It judges form alone: no name or place is looked up.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use record::{Agreement, Session, Term, TimeSource, agreement, listed};
use uuid::Uuid;

use super::{Credits, Profile};
use crate::Sensitivity;
use crate::shown::{Shown, shares};
use crate::stops::{Betrayal, Stop, betraying};

/// What is questionable about a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Question {
    /// Its set has no record or no filed picture, so it is not exported.
    NotExported,
    /// Its set has several records, as when sets were joined; only the first is exported.
    SeveralRecords,
    /// It has no place.
    NoPlace,
    /// Its place has no uncertainty.
    NoUncertainty,
    /// It has no date.
    NoDate,
    /// Its date is after the day of publication.
    DateToCome,
    /// Its date rests on when a file was changed.
    DateOfFile,
    /// A name was given before the animal was caught.
    NamedBeforeCaught,
    /// It has no name.
    NoName,
    /// Names given differ, and none is accepted.
    NamesDiffer,
    /// Its name has no rank.
    NoRank,
    /// It has no licence.
    NoLicence,
    /// Its pictures have no address, since none was given to put before their paths.
    NoAddress,
    /// Something was kept knowingly amiss and is left out.
    LeftOutAmiss,
}

impl Question {
    /// What is the matter, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::NotExported => "not exported: no record or no filed picture; file the session again",
            Self::SeveralRecords => "its set has several records, of which only the first is exported",
            Self::NoPlace => "no coordinates",
            Self::NoUncertainty => "coordinates without uncertainty",
            Self::NoDate => "no date",
            Self::DateToCome => "a date that is still to come",
            Self::DateOfFile => "the date rests on when a file was changed",
            Self::NamedBeforeCaught => "named before it was caught",
            Self::NoName => "no name: scientificName is empty",
            Self::NamesDiffer => "names differ and none is accepted: scientificName is empty",
            Self::NoRank => "a name without rank",
            Self::NoLicence => "no licence",
            Self::NoAddress => "pictures without an address",
            Self::LeftOutAmiss => "a value kept although it is amiss is left out",
        }
    }
}

/// A question about one record.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// What is the matter.
    pub question: Question,
    /// The folder of its session.
    pub folder: String,
    /// The number of its set.
    pub number: u32,
}

/// All that is known before anything is written.
#[derive(Debug, Clone, Default)]
pub struct Survey {
    /// What is questionable, in the order of sessions and sets.
    pub findings: Vec<Finding>,
    /// What is said of the whole.
    pub credits: Credits,
    stops: Vec<Stop>,
    numbers: BTreeMap<Uuid, (String, u32)>,
    sensitivities: BTreeMap<Uuid, Sensitivity>,
    twice: BTreeSet<Uuid>,
}

impl Survey {
    /// A survey of records that are published on this day, as `2026-11-25`.
    pub fn new(published: &str) -> Self {
        let credits = Credits { published: published.to_owned(), ..Credits::default() };
        Self { credits, ..Self::default() }
    }

    /// Takes a session in.
    pub fn add(&mut self, folder: &str, session: &Session, profile: &Profile) {
        let shares = shares(session, &profile.audience);
        let finding = |question, number| Finding { question, folder: folder.to_owned(), number };
        let left_out = shares.left_out.iter().map(|number| finding(Question::NotExported, *number));
        let mut found: Vec<Finding> = left_out.collect();
        for shown in &shares.all {
            let questions = questions(shown, profile, &self.credits.published);
            found.extend(questions.into_iter().map(|question| finding(question, shown.set.number)));
            self.credit(shown, profile);
            self.stops.push(shown.stop());
            self.sensitivities.insert(shown.id, shown.sensitivity);
            if self.numbers.insert(shown.id, (folder.to_owned(), shown.set.number)).is_some() {
                self.twice.insert(shown.id);
            }
        }
        found.sort_by_key(|f| (f.number, f.question));
        self.findings.append(&mut found);
    }

    /// Names the data set by its records; to be called once all sessions are in.
    pub fn finish(&mut self) {
        let all: Vec<Uuid> = self.numbers.keys().copied().collect();
        self.credits.name(all);
    }

    fn credit(&mut self, shown: &Shown<'_>, profile: &Profile) {
        // What is written beside a name may be the place.
        let told = |term| shown.text(term).filter(|text| !shown.is_coarsened() || !shown.may_tell(text));
        if profile.audience.people {
            for term in [Term::Creator, Term::RightsHolder] {
                let names = listed(told(term).unwrap_or_default());
                self.credits.people.extend(names.map(str::to_owned));
            }
        }
        self.credits.licences.extend(told(Term::License).map(str::to_owned));
        if !shown.date.is_empty() {
            let (first, last) = self.credits.days.take().unwrap_or((shown.date.clone(), shown.date.clone()));
            self.credits.days = Some((first.min(shown.date.clone()), last.max(shown.date.clone())));
        }
    }

    /// What is questionable, by question: of each session, by its folder, the numbers of sets.
    pub fn by_question(&self) -> BTreeMap<Question, BTreeMap<&str, Vec<u32>>> {
        let mut all: BTreeMap<Question, BTreeMap<&str, Vec<u32>>> = BTreeMap::new();
        for finding in &self.findings {
            let sessions = all.entry(finding.question).or_default();
            sessions.entry(&finding.folder).or_default().push(finding.number);
        }
        all
    }

    /// Records that will be exported.
    pub fn records(&self) -> usize {
        self.numbers.len()
    }

    /// Those of them whose place is coarsened or withheld.
    pub fn coarsened(&self) -> usize {
        self.sensitivities.values().filter(|category| **category != Sensitivity::None).count()
    }

    /// Records that two sessions hold, as when one was filed into two folders. No archive may have both.
    pub fn twice(&self) -> impl Iterator<Item = &(String, u32)> {
        self.twice.iter().filter_map(|id| self.numbers.get(id))
    }

    /// Folder of the session and number of the set of an occurrence.
    pub fn place_of(&self, occurrence: Uuid) -> Option<&(String, u32)> {
        self.numbers.get(&occurrence)
    }

    /// Records shared exactly that give a coarsened place away: see [`betraying`].
    pub fn neighbours(&self) -> Vec<Betrayal> {
        betraying(&self.stops)
    }

    /// What has to be coarsened so that nothing gives a coarsened place away, each like the strictest whose place it tells;
    /// to be put into [`crate::Audience::also_coarsened`]. What a record so coarsened is given away by is found too.
    pub fn with_neighbours(&self) -> BTreeMap<Uuid, Sensitivity> {
        let mut stops = self.stops.clone();
        let mut categories = self.sensitivities.clone();
        let mut added = BTreeMap::new();
        loop {
            let found = betraying(&stops);
            if found.is_empty() {
                return added;
            }
            for Betrayal { exact, coarsened } in &found {
                let category = categories.get(coarsened).copied().unwrap_or(Sensitivity::Extreme);
                categories.insert(*exact, category);
                added.insert(*exact, category);
            }
            for stop in &mut stops {
                stop.is_coarsened |= added.contains_key(&stop.occurrence);
            }
        }
    }
}

fn questions(shown: &Shown<'_>, profile: &Profile, published: &str) -> BTreeSet<Question> {
    let mut all = BTreeSet::new();
    let mut ask = |when: bool, question| {
        if when {
            all.insert(question);
        }
    };
    ask(shown.set.specimens.len() > 1, Question::SeveralRecords);
    match &shown.held {
        None => ask(true, Question::NoPlace),
        Some(held) => ask(held.uncertainty_m.is_none(), Question::NoUncertainty),
    }
    let date = shown.date.parse::<Date>().ok();
    ask(date.is_none(), Question::NoDate);
    ask(
        date.zip(published.parse().ok()).is_some_and(|(date, published)| date > published),
        Question::DateToCome,
    );
    let by_file = |source| matches!(source, TimeSource::File | TimeSource::Changed);
    let from_frames = shown.text(Term::EventDate).is_none();
    let dated = shown.frames.iter().find(|frame| frame.when().is_some());
    ask(from_frames && dated.is_some_and(|frame| by_file(frame.time_source)), Question::DateOfFile);
    let names = &shown.specimen.determinations;
    // A month or a year before it is before it too; compared as far as both are told.
    let is_before = |given: &str| shown.date.get(..given.len()).is_some_and(|date| given < date);
    ask(names.iter().any(|d| !d.date.is_empty() && is_before(&d.date)), Question::NamedBeforeCaught);
    match shown.name {
        Some(name) => ask(name.rank.is_empty(), Question::NoRank),
        None if agreement(names) == Agreement::Differs => ask(true, Question::NamesDiffer),
        None => ask(true, Question::NoName),
    }
    ask(shown.text(Term::License).is_none(), Question::NoLicence);
    ask(profile.media_base.is_none() && !shown.frames.is_empty(), Question::NoAddress);
    let amiss = |term| shown.session.entry(Some(shown.specimen), term).is_some_and(|entry| entry.knowingly);
    ask(Term::ALL.into_iter().any(amiss), Question::LeftOutAmiss);
    all
}

#[cfg(test)]
mod tests;

//! The characters that can be seen of an animal, as data: their states, the views that show them, and what does not go
//! together.
//!
//! In goes the text of a characters file and the plan whose views it names; out come [`Characters`]. What a person scored
//! is [`Scores`]; [`Characters::score_faults`] says what of them the file does not know, [`contradictions`] what cannot be
//! together. Nothing is corrected, and no species or sex follows from anything here.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::{Fields, Plan, Term, ViewKey};

/// The key of the state that says someone looked and could not tell. Every character has it.
pub const NOT_SEEN: &str = "not-seen";

macro_rules! key {
    ($name:ident, $doc:literal) => {
        #[doc = $doc]
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub String);

        impl $name {
            /// The key as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl From<&str> for $name {
            fn from(key: &str) -> Self {
                Self(key.to_owned())
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

key!(CharacterKey, "Names a character within its file, such as `antenna-segments`.");
key!(StateKey, "Names a state of a character, such as `12` or `not-seen`.");

/// One state of a character.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct State {
    /// Short name in lower case: letters, digits and dashes.
    pub key: StateKey,
    /// Words for people.
    pub name: String,
    /// The ratios it stands for, from and below, where its character is one of two measures.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ratio: Option<(f64, f64)>,
}

/// Something of an animal that a picture shows.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Character {
    /// Short name in lower case: letters, digits and dashes.
    pub key: CharacterKey,
    /// Name for people.
    pub name: String,
    /// The views that can show it, best first. Not empty.
    pub views: Vec<ViewKey>,
    /// What to look for, in a sentence or two.
    pub hint: String,
    /// Where it is from.
    pub source: String,
    /// How many states may be given together.
    #[serde(default = "one")]
    pub most: usize,
    /// The two measures whose ratio it is: what is measured and what that is divided by.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ratio_of: Option<(String, String)>,
    /// What it can be. Not empty; [`NOT_SEEN`] is among them.
    pub states: Vec<State>,
    /// Whether its states are colours, so that a colour may be picked for it. Not written in files.
    #[serde(skip)]
    pub is_colour: bool,
}

/// A part of a rule's condition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Clause {
    /// This field of the record has one of these words, whatever their case.
    Field(String, Vec<String>),
    /// This character was scored with one of these states.
    State(CharacterKey, Vec<StateKey>),
}

/// What does not go together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rule {
    /// It holds when at least one clause of each list holds.
    pub when: Vec<Vec<Clause>>,
    /// What to say then.
    pub words: String,
    /// Where it is from.
    pub source: String,
}

/// The characters of one kind of animal.
#[derive(Debug, Clone, PartialEq)]
pub struct Characters {
    /// Short name of the file.
    pub key: String,
    /// Key of the plan whose views it names.
    pub plan: String,
    /// The characters, in the order they are asked in.
    pub all: Vec<Character>,
    /// Names of the lengths that are usually measured, offered first.
    pub measures: Vec<String>,
    /// What does not go together.
    pub rules: Vec<Rule>,
}

/// A state as scored.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Score {
    /// The state.
    pub state: StateKey,
    /// The share of the part it covers, per cent, where someone said so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub percent: Option<u8>,
}

impl From<&str> for Score {
    fn from(state: &str) -> Self {
        Self { state: state.into(), percent: None }
    }
}

/// What was scored of an animal. A character that is not in it has not been looked at.
pub type Scores = BTreeMap<CharacterKey, Vec<Score>>;

/// What is wrong with scores.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum ScoreFault {
    /// The file has no such character.
    #[error("This character is not known here. What was noted is kept.")]
    UnknownCharacter,
    /// The character has no such state.
    #[error("This state is not known here. What was noted is kept.")]
    UnknownState,
    /// More states than may be given together.
    #[error("More states are noted than can hold together.")]
    TooMany,
    /// A state was given twice.
    #[error("A state is noted twice.")]
    Twice,
    /// Not seen, and yet another state.
    #[error("It is noted as not seen and as something else.")]
    NotSeenAndSeen,
    /// Shares make more than the whole.
    #[error("The shares make more than 100 %.")]
    Shares,
}

/// Something that does not go together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contradiction {
    /// What, in a sentence or two.
    pub words: String,
    /// Where the rule is from.
    pub source: String,
    /// The fields and characters it rests on, in the rule's order.
    pub keys: Vec<String>,
}

impl Character {
    /// The state that a ratio of its two measures stands for.
    pub fn state_of_ratio(&self, ratio: f64) -> Option<&StateKey> {
        let fits = |s: &&State| s.ratio.is_some_and(|(from, below)| from <= ratio && ratio < below);
        self.states.iter().find(fits).map(|s| &s.key)
    }

    /// The state of this key.
    pub fn state(&self, key: &StateKey) -> Option<&State> {
        self.states.iter().find(|s| s.key == *key)
    }
}

impl Characters {
    /// The character of this key.
    pub fn get(&self, key: &CharacterKey) -> Option<&Character> {
        self.all.iter().find(|c| c.key == *key)
    }

    /// The characters that no frame can show, because none of their views has one.
    pub fn without_frame<'a>(
        &'a self,
        has_frame: impl Fn(&ViewKey) -> bool + 'a,
    ) -> impl Iterator<Item = &'a Character> {
        self.all.iter().filter(move |c| !c.views.iter().any(&has_frame))
    }

    /// Of those, the ones that were scored all the same with something seen: noted from life, or from the wrong frame.
    pub fn scored_without_frame<'a>(
        &'a self,
        scores: &'a Scores,
        has_frame: impl Fn(&ViewKey) -> bool + 'a,
    ) -> impl Iterator<Item = &'a Character> {
        let seen = |c: &Character| scores.get(&c.key).is_some_and(|s| s.iter().any(|s| is_seen(&s.state)));
        self.without_frame(has_frame).filter(move |c| seen(c))
    }

    /// What is wrong with scores, the first thing of each character.
    pub fn score_faults(&self, scores: &Scores) -> Vec<(CharacterKey, ScoreFault)> {
        let fault = |(key, scored): (&CharacterKey, &Vec<Score>)| {
            let states: BTreeSet<&StateKey> = scored.iter().map(|s| &s.state).collect();
            let shares = scored.iter().filter_map(|s| s.percent).map(u32::from).sum::<u32>();
            let Some(character) = self.get(key) else { return Some(ScoreFault::UnknownCharacter) };
            if states.iter().any(|state| character.state(state).is_none()) {
                Some(ScoreFault::UnknownState)
            } else if states.len() < scored.len() {
                Some(ScoreFault::Twice)
            } else if states.len() > 1 && !states.iter().all(|s| is_seen(s)) {
                Some(ScoreFault::NotSeenAndSeen)
            } else if states.len() > character.most {
                Some(ScoreFault::TooMany)
            } else {
                (shares > 100).then_some(ScoreFault::Shares)
            }
        };
        scores.iter().filter_map(|scored| Some((scored.0.clone(), fault(scored)?))).collect()
    }
}

/// The fields of a record that rules speak of, by the names that rules have for them; for [`contradictions`].
pub fn rule_fields(fields: &Fields) -> BTreeMap<String, String> {
    let names = [(Term::Sex, "sex"), (Term::Caste, "caste"), (Term::LifeStage, "life stage")];
    let filled = |(term, name): (Term, &str)| Some((name.to_owned(), fields.get(&term)?.text.clone()));
    names.into_iter().filter_map(filled).collect()
}

/// What does not go together of scores and fields of the record, by the rules of the file and in their order. Fields are
/// pairs such as `sex` and `male`; one that is missing or empty speaks against nothing.
pub fn contradictions(
    characters: &Characters,
    scores: &Scores,
    fields: &BTreeMap<String, String>,
) -> Vec<Contradiction> {
    let holds = |clause: &Clause| match clause {
        Clause::Field(field, words) => {
            let said = fields.get(field).map(|said| said.trim().to_lowercase());
            said.is_some_and(|said| words.iter().any(|word| word.to_lowercase() == said))
        }
        Clause::State(character, states) => {
            scores.get(character).is_some_and(|own| own.iter().any(|s| states.contains(&s.state)))
        }
    };
    let name = |clause: &Clause| match clause {
        Clause::Field(field, _) => field.clone(),
        Clause::State(character, _) => character.to_string(),
    };
    let found = characters.rules.iter().filter_map(|rule| {
        let first = |any: &Vec<Clause>| any.iter().find(|clause| holds(clause)).map(name);
        let keys = rule.when.iter().map(first).collect::<Option<Vec<String>>>()?;
        Some(Contradiction { words: rule.words.clone(), source: rule.source.clone(), keys })
    });
    found.collect()
}

fn is_seen(state: &StateKey) -> bool {
    state.as_str() != NOT_SEEN
}

fn one() -> usize {
    1
}

/// What is wrong with a characters file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {reason}")]
pub struct CharactersFault {
    /// Line in the file, from 1.
    pub line: usize,
    /// What is wrong there.
    pub reason: String,
}

impl Characters {
    /// Reads characters from RON text and checks them against the plan whose views they name.
    ///
    /// # Errors
    /// Says the line and reason when the text is not RON of this shape or is for another plan; when a key is malformed or
    /// used twice, a view is not in the plan, a character has no states or not [`NOT_SEEN`], words or a source are empty;
    /// and when a rule has no condition or names a character or state that is not there.
    pub fn from_text(text: &str, plan: &Plan) -> Result<Self, CharactersFault> {
        crate::characters_file::read(text, plan)
    }
}

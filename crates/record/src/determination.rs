//! Names given to a specimen by people, each on a day and on some ground (Darwin Core Identification).
//!
//! A determination is never changed once it was written, only set beside others: one may be accepted, another superseded
//! with its reason. Endleaf itself names no animal.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// A name as someone gave it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Determination {
    /// The scientific name without its authorship and without a qualifier.
    pub name: String,
    /// Who described it, and when.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub authorship: String,
    /// `species`, `genus` and so on; empty when not said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub rank: String,
    /// `cf.`, `aff.`, `?`; empty when the name is given without reserve.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub qualifier: String,
    /// Who gave it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// The day, as `2026-06-14`, a month or a year; empty when not said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub date: String,
    /// On what ground: what was seen, which key.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ground: String,
    /// From where it came: a letter, a pack sent back, the person's own look.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub source: String,
    /// How it stands.
    #[serde(default)]
    pub standing: Standing,
}

/// How a determination stands beside the others.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Standing {
    /// It was given, and nobody has decided.
    #[default]
    Given,
    /// It is the name the record goes by.
    Accepted,
    /// It does not hold any more, for this reason.
    Superseded(String),
}

/// What is wrong with a determination.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DeterminationFault {
    /// There is no name.
    #[error("A determination needs a name")]
    NoName,
    /// The qualifier stands in the name.
    #[error("“{0}” is a qualifier: write it in its own field, so that the name stays whole")]
    QualifierInName(String),
    /// Not one of the qualifiers in use.
    #[error("“{0}” is no qualifier: write cf., aff. or ?")]
    Qualifier(String),
    /// No such day.
    #[error("“{0}” is no date: write 2026-06-14, 2026-06 or 2026")]
    Date(String),
    /// What is superseded says why.
    #[error("Say why it does not hold any more")]
    NoReason,
}

/// Qualifiers in use (Darwin Core `identificationQualifier`; the question mark is common practice).
pub const QUALIFIERS: [&str; 3] = ["cf.", "aff.", "?"];

impl Determination {
    /// Says what is wrong with it; nothing, when it can be kept.
    pub fn check(&self) -> Result<(), DeterminationFault> {
        let mut words = self.name.split_whitespace();
        if words.clone().next().is_none() {
            return Err(DeterminationFault::NoName);
        }
        let qualifies =
            |word: &&str| matches!(*word, "cf." | "cf" | "aff." | "aff" | "?") || word.ends_with('?');
        if let Some(word) = words.find(qualifies) {
            return Err(DeterminationFault::QualifierInName(word.to_owned()));
        }
        if !self.qualifier.is_empty() && !QUALIFIERS.contains(&self.qualifier.as_str()) {
            return Err(DeterminationFault::Qualifier(self.qualifier.clone()));
        }
        if !self.date.is_empty() && !is_date(&self.date) {
            return Err(DeterminationFault::Date(self.date.clone()));
        }
        match &self.standing {
            Standing::Superseded(reason) if reason.trim().is_empty() => Err(DeterminationFault::NoReason),
            _ => Ok(()),
        }
    }

    /// The name as it is written with its reserve: `Genus cf. species`, `Genus species ?`.
    pub fn words(&self) -> String {
        match (self.qualifier.as_str(), self.name.split_once(' ')) {
            ("", _) => self.name.clone(),
            ("?", _) => format!("{} ?", self.name),
            (qualifier, Some((genus, rest))) => format!("{genus} {qualifier} {rest}"),
            (qualifier, None) => format!("{qualifier} {}", self.name),
        }
    }

    /// Whether it counts: it was not superseded.
    pub fn holds(&self) -> bool {
        !matches!(self.standing, Standing::Superseded(_))
    }
}

/// Whether a text is a day, a month or a year.
fn is_date(text: &str) -> bool {
    let whole = match text.len() {
        4 => format!("{text}-01-01"),
        7 => format!("{text}-01"),
        _ => text.to_owned(),
    };
    whole.len() == 10 && whole.parse::<Date>().is_ok()
}

/// How the names of one specimen stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Agreement {
    /// Nobody has named it.
    Unnamed,
    /// All that hold say the same.
    Agreed,
    /// They differ, and one is accepted.
    Decided,
    /// They differ, and none is accepted.
    Differs,
}

/// How determinations stand to each other. Names are the same whatever reserve stands with them.
pub fn agreement(determinations: &[Determination]) -> Agreement {
    let mut holding = determinations.iter().filter(|d| d.holds());
    let Some(first) = holding.next() else { return Agreement::Unnamed };
    if holding.clone().all(|d| same_name(&d.name, &first.name)) {
        Agreement::Agreed
    } else if determinations.iter().any(|d| d.standing == Standing::Accepted) {
        Agreement::Decided
    } else {
        Agreement::Differs
    }
}

fn same_name(one: &str, other: &str) -> bool {
    one.split_whitespace().eq(other.split_whitespace())
}

/// The name a record goes by: the accepted one; else the one all agree on, given last.
pub fn current_name(determinations: &[Determination]) -> Option<&Determination> {
    let accepted = determinations.iter().rfind(|d| d.standing == Standing::Accepted);
    let agreed = || match agreement(determinations) {
        Agreement::Agreed => determinations.iter().rfind(|d| d.holds()),
        Agreement::Unnamed | Agreement::Decided | Agreement::Differs => None,
    };
    accepted.or_else(agreed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(name: &str) -> Determination {
        Determination { name: name.into(), ..Determination::default() }
    }

    #[test]
    fn a_qualifier_is_no_part_of_the_name() {
        let words =
            |name, qualifier: &str| Determination { qualifier: qualifier.into(), ..named(name) }.words();
        assert_eq!(words("Bombus lucorum", "cf."), "Bombus cf. lucorum");
        assert_eq!(words("Bombus lucorum", "?"), "Bombus lucorum ?");
        assert_eq!(words("Bombus", "aff."), "aff. Bombus");
        assert_eq!(words("Bombus lucorum", ""), "Bombus lucorum");
        for name in ["Bombus cf. lucorum", "Bombus aff lucorum", "Bombus lucorum?", "Bombus ?"] {
            assert!(matches!(named(name).check(), Err(DeterminationFault::QualifierInName(_))), "{name}");
        }
    }

    #[test]
    fn what_cannot_be_kept_says_why() {
        let check = |change: &dyn Fn(&mut Determination), expected| {
            let mut changed = named("Bombus lucorum");
            change(&mut changed);
            assert_eq!(changed.check(), expected);
        };
        check(&|_| (), Ok(()));
        check(&|d| d.name = " ".into(), Err(DeterminationFault::NoName));
        check(&|d| d.qualifier = "near".into(), Err(DeterminationFault::Qualifier("near".into())));
        for date in ["2026-06-14", "2026-06", "2026"] {
            check(&|d| d.date = date.into(), Ok(()));
        }
        for date in ["14.6.2026", "2026-13", "26", "2026-06-31"] {
            check(&|d| d.date = date.into(), Err(DeterminationFault::Date(date.into())));
        }
        check(&|d| d.standing = Standing::Superseded(" ".into()), Err(DeterminationFault::NoReason));
    }

    #[test]
    fn agreement_is_told_from_those_that_hold() {
        let superseded =
            |name| Determination { standing: Standing::Superseded("worn".into()), ..named(name) };
        let accepted = |name| Determination { standing: Standing::Accepted, ..named(name) };
        let check = |all: &[Determination], expected, name: Option<&str>| {
            assert_eq!(agreement(all), expected, "{all:?}");
            assert_eq!(current_name(all).map(|d| d.name.as_str()), name, "{all:?}");
        };
        check(&[], Agreement::Unnamed, None);
        check(&[superseded("A a")], Agreement::Unnamed, None);
        check(&[named("A a"), named("A  a")], Agreement::Agreed, Some("A  a"));
        check(&[named("A a"), named("A b")], Agreement::Differs, None);
        check(&[named("A a"), accepted("A b"), named("A a")], Agreement::Decided, Some("A b"));
        check(&[superseded("A a"), named("A b")], Agreement::Agreed, Some("A b"));
    }
}

//! The fields of a day's and a specimen's record, and what may stand in them.
//!
//! A field is called as Darwin Core calls it (TDWG, list of terms, 2026-05-26), where that has a term for it; those without
//! are Endleaf's own and say so. What is typed is checked, never changed; a value that is not as it should be is kept only
//! when the person says so. Which frames or files it concerns is no matter here.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::{CoordinateFault, parse_coordinates};

/// A field of a record. In a session's text it is called by its Darwin Core name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Term {
    /// The day of the round, where the cameras' dates do not say it.
    EventDate,
    /// Who saw the animals; several names are parted by ` | `.
    RecordedBy,
    /// How they were caught.
    SamplingProtocol,
    /// The site by name.
    Locality,
    /// Latitude and longitude, in one text. Darwin Core has a term for each.
    Coordinates,
    /// Radius of the circle that surely holds the place, metres.
    CoordinateUncertaintyInMeters,
    /// How the place was got.
    GeoreferenceSources,
    /// What surrounds the place.
    Habitat,
    /// When the animal was caught.
    EventTime,
    /// The plant or other ground it was taken from. Endleaf's own; Darwin Core says it as an associated taxon.
    Plant,
    /// Female or male.
    Sex,
    /// Queen or worker.
    Caste,
    /// Adult, larva and others.
    LifeStage,
    /// What it did.
    Behavior,
    /// When it was put into the cold. Endleaf's own.
    HeldFrom,
    /// Where it was let go. Endleaf's own.
    ReleasedAt,
    /// How much harm the exact place could do, by the categories of Chapman 2020. Endleaf's own.
    Sensitivity,
    /// Who took the pictures (Dublin Core).
    Creator,
    /// Who holds the rights in them (Dublin Core).
    RightsHolder,
    /// Under which licence they may be used (Dublin Core), the address of its text.
    License,
    /// The language of what is written (Dublin Core), by its code.
    Language,
}

/// Whose field it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holder {
    /// The day's alone.
    Day,
    /// The day's; a specimen may have its own in place of it.
    Both,
    /// A specimen's alone.
    Specimen,
}

/// What stands in a field.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// As typed. Never empty.
    pub text: String,
    /// Whether it is kept although it is not as it should be.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub knowingly: bool,
}

/// The fields that are filled in.
pub type Fields = BTreeMap<Term, Entry>;

/// What is wrong with a text in a field.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FieldFault {
    /// Line breaks and other signs that no field can hold.
    #[error("A line break or control sign stands in it")]
    Control,
    /// No such day.
    #[error("“{0}” is no day: write it as 2026-06-14")]
    Date(String),
    /// No such time.
    #[error("“{0}” is no time of day: write it as 10:23")]
    Time(String),
    /// Not a place.
    #[error(transparent)]
    Coordinates(#[from] CoordinateFault),
    /// Not a length, or none that can be.
    #[error("“{0}” is no distance: write metres above 0, such as 10; leave it empty when it is not known")]
    Metres(String),
    /// Not one of the values there are.
    #[error("“{text}” is none of {}", allowed.join(", "))]
    NotAllowed {
        /// What was typed.
        text: String,
        /// What there is.
        allowed: &'static [&'static str],
    },
    /// A male has none.
    #[error("A male has no caste: leave this empty and write male as its sex")]
    CasteOfMale,
    /// Not the address of a text.
    #[error("“{0}” is no address: write one that begins with https://")]
    Address(String),
    /// Not a code of a language.
    #[error("“{0}” is no code of a language: write it as en, de or pt-BR")]
    Language(String),
}

/// Half the way round the Earth, metres: nothing is further off (WGS 84, equator 40,075 km).
const FARTHEST_M: f64 = 20_037_508.0;

/// Values of `sex`: the first two and the last are examples of the standard, `undetermined` of registries.
const SEXES: &[&str] = &["female", "male", "undetermined", "hermaphrodite"];
/// Values of `caste`: of the standard's examples those a bumble bee can have.
const CASTES: &[&str] = &["queen", "worker"];
/// Values of `lifeStage`: examples of the standard, and `embryo` and `pupa` of registries.
const LIFE_STAGES: &[&str] = &["adult", "juvenile", "pupa", "larva", "embryo", "zygote"];
/// Categories of sensitivity (Chapman AD 2020, GBIF), from none to the first.
const SENSITIVITIES: &[&str] = &["none", "low", "medium", "high", "extreme"];
/// Licences that registries of biodiversity take.
const LICENCES: &[&str] = &[
    "https://creativecommons.org/publicdomain/zero/1.0/legalcode",
    "https://creativecommons.org/licenses/by/4.0/legalcode",
    "https://creativecommons.org/licenses/by-nc/4.0/legalcode",
];

impl Term {
    /// All, in the order in which a person fills them in.
    pub const ALL: [Self; 21] = [
        Self::EventDate,
        Self::RecordedBy,
        Self::SamplingProtocol,
        Self::Locality,
        Self::Coordinates,
        Self::CoordinateUncertaintyInMeters,
        Self::GeoreferenceSources,
        Self::Habitat,
        Self::EventTime,
        Self::Plant,
        Self::Sex,
        Self::Caste,
        Self::LifeStage,
        Self::Behavior,
        Self::HeldFrom,
        Self::ReleasedAt,
        Self::Sensitivity,
        Self::Creator,
        Self::RightsHolder,
        Self::License,
        Self::Language,
    ];

    /// Whose field it is.
    pub fn holder(self) -> Holder {
        match self {
            Self::EventDate
            | Self::RecordedBy
            | Self::SamplingProtocol
            | Self::Creator
            | Self::RightsHolder
            | Self::License
            | Self::Language => Holder::Day,
            Self::Locality
            | Self::Coordinates
            | Self::CoordinateUncertaintyInMeters
            | Self::GeoreferenceSources
            | Self::Habitat => Holder::Both,
            Self::EventTime
            | Self::Plant
            | Self::Sex
            | Self::Caste
            | Self::LifeStage
            | Self::Behavior
            | Self::HeldFrom
            | Self::ReleasedAt
            | Self::Sensitivity => Holder::Specimen,
        }
    }

    /// Whether a day has it.
    pub fn is_of_day(self) -> bool {
        self.holder() != Holder::Specimen
    }

    /// Whether a specimen has it.
    pub fn is_of_specimen(self) -> bool {
        self.holder() != Holder::Day
    }

    /// Whether it stays as it was from one day to the next: who works, and under which terms.
    pub fn is_remembered(self) -> bool {
        matches!(self, Self::RecordedBy | Self::Creator | Self::RightsHolder | Self::License | Self::Language)
    }

    /// Whether it is as a rule the same for the next animal: where and how it was found, not what it is.
    pub fn is_carried(self) -> bool {
        matches!(
            self,
            Self::Locality
                | Self::Coordinates
                | Self::CoordinateUncertaintyInMeters
                | Self::GeoreferenceSources
                | Self::Habitat
                | Self::Plant
                | Self::LifeStage
                | Self::Behavior
                | Self::ReleasedAt
        )
    }

    /// The name it has in a session's text and in tables: Darwin Core's, Dublin Core's, or Endleaf's own.
    pub fn name(self) -> &'static str {
        match self {
            Self::EventDate => "eventDate",
            Self::RecordedBy => "recordedBy",
            Self::SamplingProtocol => "samplingProtocol",
            Self::Locality => "locality",
            Self::Coordinates => "coordinates",
            Self::CoordinateUncertaintyInMeters => "coordinateUncertaintyInMeters",
            Self::GeoreferenceSources => "georeferenceSources",
            Self::Habitat => "habitat",
            Self::EventTime => "eventTime",
            Self::Plant => "plant",
            Self::Sex => "sex",
            Self::Caste => "caste",
            Self::LifeStage => "lifeStage",
            Self::Behavior => "behavior",
            Self::HeldFrom => "heldFrom",
            Self::ReleasedAt => "releasedAt",
            Self::Sensitivity => "sensitivity",
            Self::Creator => "creator",
            Self::RightsHolder => "rightsHolder",
            Self::License => "license",
            Self::Language => "language",
        }
    }

    /// The field of this name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|term| term.name() == name)
    }

    /// The values there are, where the standard or its users know only some; the commonest come first.
    pub fn values(self) -> &'static [&'static str] {
        match self {
            Self::Sex => SEXES,
            Self::Caste => CASTES,
            Self::LifeStage => LIFE_STAGES,
            Self::Sensitivity => SENSITIVITIES,
            Self::License => LICENCES,
            _ => &[],
        }
    }

    /// Says what is wrong with a text in this field; nothing, when it is as it should be.
    pub fn check(self, text: &str) -> Result<(), FieldFault> {
        let text = text.trim();
        if text.chars().any(char::is_control) {
            return Err(FieldFault::Control);
        }
        let typed = || text.to_owned();
        let holds =
            |holds: bool, fault: fn(String) -> FieldFault| if holds { Ok(()) } else { Err(fault(typed())) };
        match self {
            Self::EventDate => holds(text.parse::<Date>().is_ok() && text.len() == 10, FieldFault::Date),
            Self::EventTime | Self::HeldFrom => holds(is_time(text), FieldFault::Time),
            Self::Coordinates => Ok(parse_coordinates(text).map(|_| ())?),
            Self::CoordinateUncertaintyInMeters => {
                let metres = text.parse::<f64>().is_ok_and(|m| m > 0.0 && m <= FARTHEST_M);
                holds(metres, FieldFault::Metres)
            }
            Self::Caste if ["male", "drone"].contains(&text.to_lowercase().as_str()) => {
                Err(FieldFault::CasteOfMale)
            }
            Self::Sex | Self::Caste | Self::LifeStage | Self::Sensitivity
                if !self.values().contains(&text) =>
            {
                Err(FieldFault::NotAllowed { text: typed(), allowed: self.values() })
            }
            Self::License => {
                let is_address = ["https://", "http://"].iter().any(|way| text.starts_with(way));
                holds(is_address && !text.contains(char::is_whitespace), FieldFault::Address)
            }
            Self::Language => holds(is_language(text), FieldFault::Language),
            _ => Ok(()),
        }
    }
}

impl Entry {
    /// What is typed, when it is as it should be; space around it is dropped.
    pub fn new(term: Term, text: &str) -> Result<Self, FieldFault> {
        term.check(text)?;
        Ok(Self { text: text.trim().to_owned(), knowingly: false })
    }

    /// What is typed, whatever it is; it is marked when it is not as it should be.
    pub fn knowingly(term: Term, text: &str) -> Self {
        Self { text: text.trim().to_owned(), knowingly: term.check(text).is_err() }
    }
}

/// What an animal was taken from as Darwin Core's `associatedTaxa` says it: a pair of a relation and a taxon, each in quotation
/// marks, so that those within become apostrophes. Empty for nothing.
pub fn associated_taxa(plant: &str) -> String {
    if plant.is_empty() { String::new() } else { format!("\"taken from\":\"{}\"", plant.replace('"', "'")) }
}

/// `10:23` or `10:23:45`.
fn is_time(text: &str) -> bool {
    let parts: Vec<&str> = text.split(':').collect();
    let fits = |part: &str, below: u8| part.len() == 2 && part.parse::<u8>().is_ok_and(|n| n < below);
    matches!(parts.len(), 2 | 3) && fits(parts[0], 24) && parts[1..].iter().all(|part| fits(part, 60))
}

/// A tag as of RFC 5646: a language of two or three letters, then what it is told apart by.
fn is_language(text: &str) -> bool {
    let mut parts = text.split('-');
    let first = parts.next().unwrap_or_default();
    let letters = matches!(first.len(), 2 | 3) && first.bytes().all(|b| b.is_ascii_alphabetic());
    letters
        && parts.all(|part| (1..=8).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_alphanumeric()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(term: Term, good: &[&str], bad: &[&str]) {
        for text in good {
            assert_eq!(term.check(text), Ok(()), "{term:?} {text:?}");
            assert_eq!(Entry::new(term, &format!(" {text} ")).unwrap().text, *text);
        }
        for text in bad {
            let fault = term.check(text).expect_err(text).to_string();
            assert!(fault.len() > 12, "{term:?} {text:?}: {fault}");
            assert!(Entry::knowingly(term, text).knowingly);
        }
    }

    #[test]
    fn each_field_takes_what_it_should_and_says_what_it_should_not() {
        check(Term::EventDate, &["2026-06-14"], &["14.6.2026", "2026-02-30", "20260614", "June"]);
        check(
            Term::EventTime,
            &["10:23", "00:00", "23:59:59"],
            &["24:00", "9:30", "10.23", "10:23:60", "noon"],
        );
        check(
            Term::Coordinates,
            &["52.2001, 0.1203", "52°12'0.36\" N 0°7'13\" E"],
            &["91, 0.1", "152.2, 0.1203", "52.2"],
        );
        // Zero is invalid by the standard's comment on the term.
        check(
            Term::CoordinateUncertaintyInMeters,
            &["10", "4.9", "30"],
            &["0", "-3", "about 5", "inf", "NaN"],
        );
        check(Term::Sex, &["female", "male"], &["m", "Female", "queen"]);
        check(Term::Caste, &["queen", "worker"], &["male", "Drone", "soldier"]);
        check(Term::LifeStage, &["adult", "pupa"], &["imago"]);
        check(Term::Sensitivity, &["none", "high"], &["2"]);
        check(Term::License, &LICENCES[..1], &["CC BY 4.0", "https://a b"]);
        check(Term::Language, &["en", "pt-BR", "gsw"], &["English", "e", "en_GB"]);
        check(Term::Habitat, &["ditch, mown in May"], &["one\ntwo", "a\u{7}"]);
    }

    #[test]
    fn a_plant_is_one_pair_whatever_stands_in_it() {
        assert_eq!(associated_taxa("thrift \"pink\""), "\"taken from\":\"thrift 'pink'\"");
        assert_eq!(associated_taxa(""), "");
    }

    #[test]
    fn names_are_those_of_the_text_and_lead_back() {
        for term in Term::ALL {
            assert_eq!(Term::named(term.name()), Some(term));
            assert_eq!(ron::to_string(&term).unwrap(), term.name());
            assert!(term.values().iter().all(|value| term.check(value).is_ok()), "{term:?}");
            assert!(term.is_of_day() || term.is_of_specimen());
        }
        assert_eq!(Term::named("wingspan"), None);
    }
}

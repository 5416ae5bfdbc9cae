//! What is told of a specimen on paper, in words: its record, the history of its names, and what was measured.
//!
//! Goes in: a specimen as it is shared. Comes out: words by their heads, none of them empty. They are the cells of the Darwin
//! Core tables ([`crate::darwin_core`]), so that what is kept back there is kept back here; a coarsened specimen is called by
//! the beginning of its occurrence's name, since its number tells the order of the day.

use std::collections::{BTreeMap, BTreeSet};

use record::{Agreement, Filed, FrameId, NOT_SEEN, Session, Standing, Term, agreement};
use uuid::Uuid;

use crate::Audience;
use crate::darwin_core::{METHOD_SCORED, Profile, Row, Table, rows_of};
use crate::shown::{Shown, WITHHELD, shares};

/// How a name stands beside the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stand {
    /// The record goes by it.
    Current,
    /// It says the same as the one the record goes by.
    Agrees,
    /// It holds, and says something else.
    Dissents,
    /// It holds, others say something else, and nobody has decided.
    Open,
    /// It does not hold any more.
    Past,
}

impl Stand {
    /// The word for it.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Current => "accepted",
            Self::Agrees => "agrees",
            Self::Dissents => "dissents",
            Self::Open => "undecided",
            Self::Past => "no longer holds",
        }
    }
}

/// A name given to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Name {
    /// With its reserve and its authorship.
    pub(crate) words: String,
    pub(crate) stand: Stand,
    /// By whom, when, on what ground, from where: whatever is told.
    pub(crate) about: String,
}

/// Something measured or scored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Measured {
    pub(crate) what: String,
    /// With its expanded uncertainty (k = 2) and its unit.
    pub(crate) value: String,
    pub(crate) method: String,
}

/// What is told of a specimen.
#[derive(Debug, Clone)]
pub(crate) struct Values {
    pub(crate) id: Uuid,
    /// What it is called: `Specimen 3`.
    pub(crate) title: String,
    /// Its jar; empty when none is told.
    pub(crate) jar: String,
    /// The name it goes by with its reserve, or that there is none.
    pub(crate) name: String,
    pub(crate) date: String,
    pub(crate) locality: String,
    /// Latitude, longitude and uncertainty as shared.
    pub(crate) place: String,
    /// Its record by heads, in the order it is read in.
    pub(crate) fields: Vec<(&'static str, String)>,
    /// All names, the one it goes by first, then those that hold.
    pub(crate) names: Vec<Name>,
    pub(crate) measured: Vec<Measured>,
    /// Characters and what they were scored as.
    pub(crate) scored: Vec<Measured>,
}

/// What is told of each specimen of a session that is filed in this folder, or of those chosen.
pub(crate) fn of_session(
    folder: &str,
    session: &Session,
    audience: &Audience,
    chosen: Option<&BTreeSet<Uuid>>,
) -> Vec<Values> {
    let profile = Profile { audience: audience.clone(), ..Profile::default() };
    let shares = shares(session, audience);
    let wanted = shares.all.iter().filter(|shown| chosen.is_none_or(|chosen| chosen.contains(&shown.id)));
    wanted.map(|shown| of(folder, shown, &shares.filed, &profile)).collect()
}

/// What is told of a specimen.
pub(crate) fn of(
    folder: &str,
    shown: &Shown<'_>,
    filed: &BTreeMap<FrameId, &Filed>,
    profile: &Profile,
) -> Values {
    let rows = rows_of(folder, shown, filed, profile);
    let of = |table: Table| rows.iter().filter(move |row| row.table == table);
    let row = of(Table::Occurrence).next().expect("a specimen has an occurrence");
    let all = names(shown, of(Table::Identification));
    let name = match all.first().filter(|name| name.stand == Stand::Current) {
        Some(current) => current.words.clone(),
        None if agreement(&shown.specimen.determinations) == Agreement::Differs => "names differ".to_owned(),
        None => "no name yet".to_owned(),
    };
    let (scored, measured) =
        of(Table::Measurement).partition::<Vec<&Row>, _>(|r| r.cell("measurementMethod") == METHOD_SCORED);
    let title = match row.cell("recordNumber") {
        "" => format!("Specimen {}", &shown.id.to_string()[..8]),
        number => format!("Specimen {number}"),
    };
    Values {
        id: shown.id,
        title,
        jar: row.cell("fieldNumber").to_owned(),
        name,
        date: shown.date.clone(),
        locality: row.cell("locality").to_owned(),
        place: place(row),
        fields: fields(shown, row),
        names: all,
        measured: measured.into_iter().map(measurement).collect(),
        scored: scored.into_iter().map(score).collect(),
    }
}

/// `52.20025, 0.12035 ± 8 m`, not to be broken at the uncertainty; empty when none is shared.
fn place(row: &Row) -> String {
    let (latitude, longitude) = (row.cell("decimalLatitude"), row.cell("decimalLongitude"));
    match (latitude, row.cell("coordinateUncertaintyInMeters")) {
        ("", _) => String::new(),
        (_, "") => format!("{latitude}, {longitude}, uncertainty not known"),
        (_, metres) => format!("{latitude}, {longitude} ±\u{a0}{metres}\u{a0}m"),
    }
}

/// The record by heads, without those of which nothing is told.
fn fields(shown: &Shown<'_>, row: &Row) -> Vec<(&'static str, String)> {
    let cell = |name| row.cell(name).to_owned();
    let joined =
        |parts: [&str; 2]| parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ");
    // What no table has, and what would tell the time of day.
    let open = |term| match (shown.is_coarsened(), shown.text(term)) {
        (_, None) => String::new(),
        (true, Some(_)) => WITHHELD.to_owned(),
        (false, Some(text)) => text.to_owned(),
    };
    let sex = joined([&signed(row.cell("sex")), &signed(row.cell("caste"))]);
    // As the table says it, a pair in quotation marks.
    let taxa = row.cell("associatedTaxa");
    let plant =
        taxa.strip_prefix("\"taken from\":\"").and_then(|rest| rest.strip_suffix('"')).unwrap_or(taxa);
    let all = [
        ("Caught", joined([row.cell("eventDate"), row.cell("eventTime")])),
        ("Place", cell("locality")),
        ("Coordinates", place(row)),
        ("Place known by", cell("georeferenceSources")),
        ("Place as shared", cell("dataGeneralizations")),
        ("Habitat", cell("habitat")),
        ("Taken from", plant.to_owned()),
        ("Sex, caste", sex),
        ("Life stage", cell("lifeStage")),
        ("Behaviour", cell("behavior")),
        ("Method", cell("samplingProtocol")),
        ("Held from", open(Term::HeldFrom)),
        ("Released at", open(Term::ReleasedAt)),
        ("Notes", cell("occurrenceRemarks")),
        ("Recorded by", cell("recordedBy").replace(" | ", ", ")),
        ("Rights", joined([row.cell("rightsHolder"), row.cell("license")])),
        ("Kept back", cell("informationWithheld")),
        ("Occurrence", cell("occurrenceID")),
    ];
    all.into_iter().filter(|(_, text)| !text.is_empty()).collect()
}

/// A word for a sex or caste with its sign.
fn signed(word: &str) -> String {
    let sign = match word {
        "female" | "queen" => "♀",
        "male" => "♂",
        "worker" => "☿",
        "hermaphrodite" => "⚥",
        _ => return word.to_owned(),
    };
    format!("{word} {sign}")
}

fn names<'a>(shown: &Shown<'_>, rows: impl Iterator<Item = &'a Row>) -> Vec<Name> {
    let current = shown.name;
    let same = |one: &str, other: &str| one.split_whitespace().eq(other.split_whitespace());
    let mut all: Vec<Name> = shown
        .specimen
        .determinations
        .iter()
        .zip(rows)
        .map(|(given, row)| {
            let stand = match (&given.standing, current) {
                (Standing::Superseded(_), _) => Stand::Past,
                (_, Some(current)) if std::ptr::eq(current, given) => Stand::Current,
                (_, Some(current)) if same(&current.name, &given.name) => Stand::Agrees,
                (_, Some(_)) => Stand::Dissents,
                (_, None) => Stand::Open,
            };
            let words = [row.cell("verbatimIdentification"), row.cell("scientificNameAuthorship")];
            let about =
                ["identifiedBy", "dateIdentified", "identificationRemarks", "identificationReferences"];
            let told = |words: &[&str], between: &str| {
                words.iter().filter(|word| !word.is_empty()).copied().collect::<Vec<_>>().join(between)
            };
            Name { words: told(&words, " "), stand, about: told(&about.map(|name| row.cell(name)), "; ") }
        })
        .collect();
    all.sort_by_key(|name| (name.stand != Stand::Current, name.stand == Stand::Past));
    all
}

fn measurement(row: &Row) -> Measured {
    let cell = |name| row.cell(name);
    let accuracy = match cell("measurementAccuracy") {
        "" => String::new(),
        accuracy => format!(" ±\u{a0}{accuracy}"),
    };
    let value = format!("{}{accuracy}\u{a0}{}", cell("measurementValue"), cell("measurementUnit"));
    Measured {
        what: cell("measurementType").to_owned(),
        value: value.trim_end().to_owned(),
        method: cell("measurementMethod").to_owned(),
    }
}

/// As a measurement, its keys as words.
fn score(row: &Row) -> Measured {
    let scored = measurement(row);
    let value = scored.value.replace(" | ", ", ").replace(NOT_SEEN, "not seen");
    Measured { what: scored.what.replace('-', " "), value, ..scored }
}

#[cfg(test)]
mod tests {
    use record::Determination;

    use super::*;
    use crate::sample::{FOLDER, entry, session};

    #[test]
    fn a_record_is_told_by_its_heads() {
        let mut session = session();
        session.specimens[0].fields.insert(Term::Sex, entry("female"));
        session.specimens[0].fields.insert(Term::Caste, entry("worker"));
        session.specimens[0].fields.insert(Term::Plant, entry("thrift \"pink\""));
        let people = Audience { people: true, ..Audience::default() };
        let all = of_session(FOLDER, &session, &people, None);
        assert_eq!(all[0].title, "Specimen 1");
        let told =
            |head: &str| all[0].fields.iter().find(|(own, _)| *own == head).map(|(_, text)| text.as_str());
        assert_eq!(told("Sex, caste"), Some("female ♀, worker ☿"));
        assert_eq!(told("Taken from"), Some("thrift 'pink'"));
        assert_eq!(told("Coordinates"), Some("52.20025, 0.12035 ±\u{a0}8\u{a0}m"));
        assert_eq!(told("Recorded by"), Some("A. Example, B. Example"));
        assert_eq!(told("Habitat"), None, "nothing is told of what was not written");
        let told = format!("{:?}", of_session(FOLDER, &session, &Audience::default(), None));
        assert!(!told.contains("Example"), "{told}");
    }

    #[test]
    fn what_is_coarsened_tells_neither_place_nor_time_nor_number() {
        let mut session = session();
        session.specimens[1].fields.insert(Term::HeldFrom, entry("08:50"));
        session.specimens[1].fields.insert(Term::ReleasedAt, entry("gate of the quarry"));
        let all = of_session(FOLDER, &session, &Audience::default(), None);
        let told = format!("{:?}", all[2]).to_lowercase();
        assert!(told.contains("rarus") && told.contains("withheld"), "{told}");
        for secret in
            ["52.200", "0.1203", "quarry", "08:", "specimen 2", "\"22\"", "gate", "north face", ".jpg"]
        {
            assert!(!told.contains(secret), "{secret} in {told}");
        }
    }

    #[test]
    fn names_say_how_they_stand() {
        let check = |standings: &[(&str, Standing)], expected: &[(&str, Stand)], name: &str| {
            let mut session = session();
            session.specimens[0].determinations = standings
                .iter()
                .map(|(name, standing)| Determination {
                    name: (*name).into(),
                    standing: standing.clone(),
                    ..Determination::default()
                })
                .collect();
            let all = of_session(FOLDER, &session, &Audience::default(), None);
            let got: Vec<_> = all[0].names.iter().map(|name| (name.words.as_str(), name.stand)).collect();
            assert_eq!(got, expected);
            assert_eq!(all[0].name, name);
        };
        let past = || Standing::Superseded("worn".into());
        check(&[], &[], "no name yet");
        check(
            &[("A a", Standing::Given), ("A b", Standing::Given)],
            &[("A a", Stand::Open), ("A b", Stand::Open)],
            "names differ",
        );
        check(
            &[
                ("A c", past()),
                ("A b", Standing::Given),
                ("A a", Standing::Accepted),
                ("A  a", Standing::Given),
            ],
            &[
                ("A a", Stand::Current),
                ("A b", Stand::Dissents),
                ("A  a", Stand::Agrees),
                ("A c", Stand::Past),
            ],
            "A a",
        );
    }
}

//! The rows that a session adds to the tables of an archive.
//!
//! Goes in: a filed session, the name of its folder, and a profile. Come out: rows, each of one table and whole. What is
//! coarsened stands after the rest in an order of its own, and nothing in its rows tells the held place: words that may,
//! times within the day, numbers that follow the day's order, and addresses of pictures are left out.

use std::collections::BTreeMap;

use record::{Determination, Filed, FrameId, Session, Standing, Term, associated_taxa};

use super::{Profile, Table, measurements, media};
use crate::cells::one_line;
use crate::identity;
use crate::shown::{Shown, WITHHELD, shares};

/// A row of a table; its cells are as many as the table's columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Of which table.
    pub table: Table,
    /// Its cells, in the order of [`Table::columns`]; each is one line.
    pub cells: Vec<String>,
}

impl Row {
    /// A row of these cells, by the names of their columns; the others stay empty.
    pub(super) fn of(table: Table, cells: &[(&str, &str)]) -> Self {
        let mut row = Self { table, cells: vec![String::new(); table.columns().len()] };
        for (name, text) in cells {
            row.cells[table.place(name)] = one_line(text.trim()).into_owned();
        }
        row
    }

    /// What stands in the column of this name.
    ///
    /// # Panics
    /// When its table has no such column.
    pub(crate) fn cell(&self, name: &str) -> &str {
        &self.cells[self.table.place(name)]
    }
}

/// The rows of a session that is filed in this folder of an archive: of each specimen its occurrence, determinations,
/// pictures and measurements. Sets without a record or a filed picture have none; [`super::Survey`] tells of them.
pub fn rows(folder: &str, session: &Session, profile: &Profile) -> Vec<Row> {
    let shares = shares(session, &profile.audience);
    shares.all.iter().flat_map(|shown| rows_of(folder, shown, &shares.filed, profile)).collect()
}

/// The rows of one specimen, its occurrence first; nothing in them tells a place that is not shared.
pub(crate) fn rows_of(
    folder: &str,
    shown: &Shown<'_>,
    filed: &BTreeMap<FrameId, &Filed>,
    profile: &Profile,
) -> Vec<Row> {
    let mut rows = vec![occurrence(folder, shown, profile)];
    let determined = shown.specimen.determinations.iter().enumerate();
    rows.extend(determined.map(|(at, name)| identification(shown, at, name, profile)));
    rows.extend(media::rows(folder, shown, filed, profile));
    rows.extend(measurements::rows(shown));
    veil(shown, &mut rows);
    rows
}

/// Replaces cells in which the held place still stands, whoever wrote it there.
fn veil(shown: &Shown<'_>, rows: &mut [Row]) {
    let secrets = shown.secrets();
    if secrets.is_empty() {
        return;
    }
    for cell in rows.iter_mut().flat_map(|row| &mut row.cells) {
        let folded = cell.to_lowercase();
        // What is a number tells no place by its digits alone, as a length may have those of a latitude.
        let tells =
            cell.parse::<f64>().is_err() && secrets.iter().any(|secret| folded.contains(secret.as_str()));
        if tells && !cell.starts_with("urn:uuid:") {
            WITHHELD.clone_into(cell);
        }
    }
}

fn occurrence(folder: &str, shown: &Shown<'_>, profile: &Profile) -> Row {
    let text = |term| shown.text(term).unwrap_or_default();
    let in_order = |text: String| if shown.is_coarsened() { String::new() } else { text };
    let person = |text: &str| if profile.audience.people { text.to_owned() } else { String::new() };
    let number = shown.set.number;
    let plant = associated_taxa(shown.unless_telling(text(Term::Plant)));
    let older: Vec<&str> =
        shown.specimen.determinations.iter().filter(|d| !d.holds()).map(|d| d.name.as_str()).collect();
    let none = Determination::default();
    let name = shown.name.unwrap_or(&none);
    let datum = if shown.place.latitude.is_empty() { "" } else { "EPSG:4326" };
    Row::of(
        Table::Occurrence,
        &[
            ("occurrenceID", &identity::urn(shown.id)),
            ("basisOfRecord", profile.basis.word()),
            ("occurrenceStatus", profile.status.word()),
            ("individualCount", "1"),
            ("catalogNumber", &in_order(format!("{folder}/{number:03}"))),
            ("recordNumber", &in_order(number.to_string())),
            ("fieldNumber", &in_order(shown.session.jar_of(shown.set).to_owned())),
            ("recordedBy", &person(text(Term::RecordedBy))),
            ("eventDate", &shown.date),
            ("eventTime", &in_order(text(Term::EventTime).to_owned())),
            ("samplingProtocol", shown.unless_telling(text(Term::SamplingProtocol))),
            ("habitat", shown.unless_told(text(Term::Habitat))),
            ("locality", shown.shared_locality()),
            ("decimalLatitude", &shown.place.latitude),
            ("decimalLongitude", &shown.place.longitude),
            ("geodeticDatum", datum),
            ("coordinateUncertaintyInMeters", &shown.place.uncertainty_m),
            ("coordinatePrecision", &shown.place.precision),
            ("georeferenceSources", shown.unless_told(text(Term::GeoreferenceSources))),
            ("dataGeneralizations", &shown.place.generalized),
            ("informationWithheld", &withheld(shown)),
            ("sex", text(Term::Sex)),
            ("caste", text(Term::Caste)),
            ("lifeStage", text(Term::LifeStage)),
            ("behavior", shown.unless_telling(text(Term::Behavior))),
            ("associatedTaxa", &plant),
            ("occurrenceRemarks", shown.unless_told(&shown.specimen.note)),
            ("scientificName", &name.name),
            ("scientificNameAuthorship", &name.authorship),
            ("taxonRank", &name.rank),
            ("identificationQualifier", &qualifier(name)),
            ("identifiedBy", &person(&name.by)),
            ("dateIdentified", &name.date),
            ("previousIdentifications", &older.join(" | ")),
            ("license", text(Term::License)),
            ("rightsHolder", &person(text(Term::RightsHolder))),
            ("language", text(Term::Language)),
        ],
    )
}

/// What is kept back of a coarsened record, in words that are true of it.
fn withheld(shown: &Shown<'_>) -> String {
    if !shown.is_coarsened() {
        return String::new();
    }
    let mut kept = vec!["time of day", "numbers of the day", "addresses of pictures"];
    if shown.held.is_some() {
        kept.insert(0, "exact place");
    }
    let is_written = |term: &Term| shown.text(*term).is_some();
    let is_telling = |term: &Term| shown.text(*term).is_some_and(|text| shown.may_tell(text));
    let words = [Term::Habitat, Term::GeoreferenceSources].iter().any(is_written)
        || [Term::SamplingProtocol, Term::Behavior, Term::Plant].iter().any(is_telling);
    if words || !shown.specimen.note.trim().is_empty() {
        kept.push("words that may tell the place");
    }
    format!("Withheld to protect a sensitive animal: {}. Ask the data holder.", kept.join(", "))
}

/// The qualifier with the part of the name that it belongs to: `cf. lucorum`.
fn qualifier(name: &Determination) -> String {
    match (name.qualifier.as_str(), name.name.split_once(' ')) {
        ("cf." | "aff.", Some((_, rest))) => format!("{} {rest}", name.qualifier),
        (qualifier, _) => qualifier.to_owned(),
    }
}

fn identification(shown: &Shown<'_>, at: usize, name: &Determination, profile: &Profile) -> Row {
    let (standing, reason) = match &name.standing {
        Standing::Given => ("given", ""),
        Standing::Accepted => ("accepted", ""),
        Standing::Superseded(reason) => ("superseded", reason.as_str()),
    };
    let remarks: Vec<&str> =
        [name.ground.as_str(), reason].into_iter().filter(|words| !words.is_empty()).collect();
    let remarks = remarks.join("; ");
    let free = |text: &str| match (shown.is_coarsened(), text.is_empty()) {
        (true, false) => WITHHELD.to_owned(),
        _ => text.to_owned(),
    };
    // Where it came from is as a rule a person's letter.
    let (by, source) = if profile.audience.people {
        (name.by.clone(), free(&name.source))
    } else {
        (String::new(), String::new())
    };
    Row::of(
        Table::Identification,
        &[
            ("occurrenceID", &identity::urn(shown.id)),
            ("identificationID", &identity::urn(identity::identification(shown.id, at))),
            ("scientificName", &name.name),
            ("scientificNameAuthorship", &name.authorship),
            ("taxonRank", &name.rank),
            ("identificationQualifier", &qualifier(name)),
            ("verbatimIdentification", &name.words()),
            ("identifiedBy", &by),
            ("dateIdentified", &name.date),
            ("identificationVerificationStatus", standing),
            ("identificationReferences", &source),
            ("identificationRemarks", &free(&remarks)),
        ],
    )
}

#[cfg(test)]
mod tests;

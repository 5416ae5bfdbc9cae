//! What is said of a specimen, column by column.
//!
//! Goes in: a [`Shown`] specimen. Come out: its cells under names of Darwin Core where that has one. Columns for the answer
//! stand last and empty.

use record::Term;

use crate::cells::one_line;
use crate::darwin_core::measured_words;
use crate::identity;
use crate::shown::{Shown, WITHHELD};

/// A cell: the name of its column, what it is called for people, and what stands in it.
pub(super) struct Cell {
    pub(super) column: &'static str,
    pub(super) words: &'static str,
    pub(super) text: String,
}

/// The cells of a specimen called `label`, those of its pictures excepted. Each is one line; empty where nothing is known.
pub(super) fn cells(shown: &Shown<'_>, label: &str, people: bool) -> Vec<Cell> {
    let text = |term| shown.text(term).unwrap_or_default();
    let person = |text: &str| if people { text.to_owned() } else { String::new() };
    let older: Vec<&str> =
        shown.specimen.determinations.iter().filter(|d| !d.holds()).map(|d| d.name.as_str()).collect();
    let name = shown.name.map(record::Determination::words);
    let names: Vec<&str> = name.as_deref().into_iter().chain(older).collect();
    let measured = measured_words(shown).join(" | ");
    let id = identity::urn(shown.id);
    let secrets = shown.secrets();
    let place = &shown.place;
    let cell = |(column, words, text): (&'static str, &'static str, String)| {
        let folded = text.to_lowercase();
        let tells = secrets.iter().any(|secret| folded.contains(secret.as_str()));
        // A word that somebody wrote elsewhere may be the place; a name given here is not.
        let text = if tells && text != id && text != label && text.parse::<f64>().is_err() {
            WITHHELD
        } else {
            &text
        };
        Cell { column, words, text: one_line(text.trim()).into_owned() }
    };
    [
        ("occurrenceID", "Occurrence", id.clone()),
        ("specimen", "Specimen", label.to_owned()),
        ("date", "Date", shown.date.clone()),
        ("locality", "Locality", shown.shared_locality().to_owned()),
        ("decimalLatitude", "Latitude", place.latitude.clone()),
        ("decimalLongitude", "Longitude", place.longitude.clone()),
        ("coordinateUncertaintyInMeters", "Uncertainty in metres", place.uncertainty_m.clone()),
        ("dataGeneralizations", "Generalised", place.generalized.clone()),
        ("habitat", "Habitat", shown.unless_told(text(Term::Habitat)).to_owned()),
        ("plant", "Plant", shown.unless_telling(text(Term::Plant)).to_owned()),
        ("sex", "Sex", text(Term::Sex).to_owned()),
        ("caste", "Caste", text(Term::Caste).to_owned()),
        ("lifeStage", "Life stage", text(Term::LifeStage).to_owned()),
        ("measurements", "Measured and scored", measured),
        ("occurrenceRemarks", "Remarks", shown.unless_told(&shown.specimen.note).to_owned()),
        ("previousIdentifications", "Named so far", names.join(" | ")),
        ("recordedBy", "Recorded by", person(text(Term::RecordedBy))),
        ("rightsHolder", "Rights holder", person(text(Term::RightsHolder))),
        ("license", "Licence", text(Term::License).to_owned()),
    ]
    .map(cell)
    .into()
}

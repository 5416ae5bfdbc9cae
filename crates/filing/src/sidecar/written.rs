//! What a person wrote of a specimen and of its day, as properties of a sidecar: Darwin Core for the record, Dublin Core and
//! XMP Rights for who made the picture and under which terms.
//!
//! Only what is as it should be stands here: a value kept knowingly amiss stays in the session.

use record::{Entry, Session, Specimen, Term, associated_taxa, current_name, listed, parse_coordinates};

use super::packet::Element;
use super::spaces::{DC, DWC, RDF, XMP_RIGHTS};

/// Fields that are a Darwin Core term of one text.
const PLAIN: [Term; 9] = [
    Term::RecordedBy,
    Term::SamplingProtocol,
    Term::Locality,
    Term::CoordinateUncertaintyInMeters,
    Term::GeoreferenceSources,
    Term::Habitat,
    Term::Sex,
    Term::LifeStage,
    Term::Behavior,
];

/// Adds what is written.
pub(crate) fn add(session: &Session, specimen: Option<&Specimen>, all: &mut Vec<Element>) {
    let entry =
        |term| session.entry(specimen, term).filter(|e: &&Entry| !e.knowingly).map(|e| e.text.as_str());
    for term in PLAIN {
        if let Some(text) = entry(term) {
            all.push(Element::text(DWC, term.name(), text));
        }
    }
    // A caste is said of females alone: a male has none.
    if let Some(caste) = entry(Term::Caste) {
        all.push(Element::text(DWC, "caste", caste));
    }
    if let Some(place) = entry(Term::Coordinates).and_then(|text| parse_coordinates(text).ok()) {
        let (lat, lon) = place.decimal_text();
        all.push(Element::text(DWC, "decimalLatitude", &lat));
        all.push(Element::text(DWC, "decimalLongitude", &lon));
        all.push(Element::text(DWC, "geodeticDatum", "EPSG:4326"));
    }
    if let Some(plant) = entry(Term::Plant) {
        all.push(Element::text(DWC, "associatedTaxa", &associated_taxa(plant)));
    }
    if let Some(name) = specimen.and_then(|s| current_name(&s.determinations)) {
        all.push(Element::text(DWC, "scientificName", &name.name));
        for (local, text) in [
            ("identificationQualifier", &name.qualifier),
            ("identifiedBy", &name.by),
            ("dateIdentified", &name.date),
        ] {
            if !text.is_empty() {
                all.push(Element::text(DWC, local, text));
            }
        }
    }
    if let Some(names) = entry(Term::Creator) {
        let names = listed(names).map(|name| Element::text(RDF, "li", name));
        all.push(Element::items(DC, "creator", "Seq", names));
    }
    if let Some(holder) = entry(Term::RightsHolder) {
        all.push(Element::array(XMP_RIGHTS, "Owner", "Bag", Element::text(RDF, "li", holder)));
    }
    if let Some(licence) = entry(Term::License) {
        all.push(Element::text(XMP_RIGHTS, "WebStatement", licence));
    }
}

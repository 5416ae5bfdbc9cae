//! The four tables of the archive, and the terms of their columns.
//!
//! Terms are those in force in Darwin Core (2026-05-26), Audiovisual Core (2026), Dublin Core, XMP and Exif; an ignored test
//! compares them with the standards' own lists.

/// A table of the archive.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Table {
    /// The core: a row an animal.
    Occurrence,
    /// A row a determination.
    Identification,
    /// A row a picture.
    Media,
    /// A row a measurement or scored character.
    Measurement,
}

/// A column: the namespace of its term, and the term.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    space: &'static str,
    /// The name of the term; heads the column.
    pub name: &'static str,
}

impl Column {
    /// The IRI of its term.
    pub fn iri(self) -> String {
        format!("{}{}", self.space, self.name)
    }
}

const DWC: &str = "http://rs.tdwg.org/dwc/terms/";
const AC: &str = "http://rs.tdwg.org/ac/terms/";
const DC: &str = "http://purl.org/dc/elements/1.1/";
const DCTERMS: &str = "http://purl.org/dc/terms/";
const XMP: &str = "http://ns.adobe.com/xap/1.0/";
const XMP_RIGHTS: &str = "http://ns.adobe.com/xap/1.0/rights/";
const EXIF: &str = "http://ns.adobe.com/exif/1.0/";

macro_rules! columns {
    ($($space:ident $name:literal),* $(,)?) => { &[$(Column { space: $space, name: $name }),*] };
}

const OCCURRENCE: &[Column] = columns![
    DWC "occurrenceID", DWC "basisOfRecord", DWC "occurrenceStatus", DWC "individualCount", DWC "catalogNumber",
    DWC "recordNumber", DWC "fieldNumber", DWC "recordedBy", DWC "eventDate", DWC "eventTime", DWC "samplingProtocol",
    DWC "habitat", DWC "locality", DWC "decimalLatitude", DWC "decimalLongitude", DWC "geodeticDatum",
    DWC "coordinateUncertaintyInMeters", DWC "coordinatePrecision", DWC "georeferenceSources", DWC "dataGeneralizations",
    DWC "informationWithheld", DWC "sex", DWC "caste", DWC "lifeStage", DWC "behavior", DWC "associatedTaxa",
    DWC "occurrenceRemarks", DWC "scientificName", DWC "scientificNameAuthorship", DWC "taxonRank",
    DWC "identificationQualifier", DWC "identifiedBy", DWC "dateIdentified", DWC "previousIdentifications",
    DCTERMS "license", DCTERMS "rightsHolder", DCTERMS "language",
];

const IDENTIFICATION: &[Column] = columns![
    DWC "occurrenceID", DWC "identificationID", DWC "scientificName", DWC "scientificNameAuthorship", DWC "taxonRank",
    DWC "identificationQualifier", DWC "verbatimIdentification", DWC "identifiedBy", DWC "dateIdentified",
    DWC "identificationVerificationStatus", DWC "identificationReferences", DWC "identificationRemarks",
];

const MEDIA: &[Column] = columns![
    AC "associatedObservationReference", DCTERMS "identifier", DCTERMS "type", AC "subtypeLiteral", DCTERMS "title",
    DC "format", AC "accessURI", AC "variantLiteral", AC "providerManagedID", XMP "CreateDate", DC "creator",
    XMP_RIGHTS "Owner", DCTERMS "rights", AC "metadataLanguageLiteral", AC "subjectPart", AC "subjectOrientation",
    AC "captureDevice", EXIF "PixelXDimension", EXIF "PixelYDimension", AC "hashFunction", AC "hashValue",
    DWC "informationWithheld",
];

const MEASUREMENT: &[Column] = columns![
    DWC "occurrenceID", DWC "measurementID", DWC "measurementType", DWC "measurementValue", DWC "measurementUnit",
    DWC "measurementAccuracy", DWC "measurementMethod",
];

impl Table {
    /// All, the core first.
    pub const ALL: [Self; 4] = [Self::Occurrence, Self::Identification, Self::Media, Self::Measurement];

    /// The name of its file, without ending.
    pub fn name(self) -> &'static str {
        match self {
            Self::Occurrence => "occurrence",
            Self::Identification => "identification",
            Self::Media => "media",
            Self::Measurement => "measurement",
        }
    }

    /// The IRI of what a row is.
    pub fn row_type(self) -> &'static str {
        match self {
            Self::Occurrence => "http://rs.tdwg.org/dwc/terms/Occurrence",
            Self::Identification => "http://rs.tdwg.org/dwc/terms/Identification",
            Self::Media => "http://rs.tdwg.org/ac/terms/Multimedia",
            Self::Measurement => "http://rs.tdwg.org/dwc/terms/MeasurementOrFact",
        }
    }

    /// Its columns. The first names the occurrence in every table.
    pub fn columns(self) -> &'static [Column] {
        match self {
            Self::Occurrence => OCCURRENCE,
            Self::Identification => IDENTIFICATION,
            Self::Media => MEDIA,
            Self::Measurement => MEASUREMENT,
        }
    }

    /// Place of a column by the name of its term.
    pub(super) fn place(self, name: &str) -> usize {
        self.columns()
            .iter()
            .position(|column| column.name == name)
            .expect("columns are asked for by names they have")
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn no_term_stands_twice_in_a_table() {
        for table in Table::ALL {
            let terms: BTreeSet<String> = table.columns().iter().map(|column| column.iri()).collect();
            assert_eq!(terms.len(), table.columns().len(), "{table:?}");
        }
    }
}

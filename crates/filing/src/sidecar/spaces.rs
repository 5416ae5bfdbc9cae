//! Names from open standards that stand in sidecars: namespaces and controlled values.
//!
//! Namespaces as in ISO 16684-1, the IPTC Photo Metadata Standard and the term lists of TDWG. Values of Audiovisual Core
//! (TDWG 638, vocabularies for subjectPart and subjectOrientation of 2023-04-26): the place in the list is the number in
//! the IRI.

/// `adobe:ns:meta/`, the optional outermost element of XMP.
pub(crate) const X: &str = "adobe:ns:meta/";
pub(crate) const RDF: &str = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
pub(crate) const XML: &str = "http://www.w3.org/XML/1998/namespace";
pub(crate) const DC: &str = "http://purl.org/dc/elements/1.1/";
pub(crate) const XMP: &str = "http://ns.adobe.com/xap/1.0/";
pub(crate) const EXIF: &str = "http://ns.adobe.com/exif/1.0/";
pub(crate) const PHOTOSHOP: &str = "http://ns.adobe.com/photoshop/1.0/";
pub(crate) const XMP_RIGHTS: &str = "http://ns.adobe.com/xap/1.0/rights/";
pub(crate) const AC: &str = "http://rs.tdwg.org/ac/terms/";
pub(crate) const DWC: &str = "http://rs.tdwg.org/dwc/terms/";

/// The prefix that each namespace usually has.
pub(crate) const USUAL_PREFIXES: [(&str, &str); 14] = [
    ("dc", DC),
    ("xmp", XMP),
    ("exif", EXIF),
    ("photoshop", PHOTOSHOP),
    ("ac", AC),
    ("dwc", DWC),
    ("xmpMM", "http://ns.adobe.com/xap/1.0/mm/"),
    ("xmpRights", XMP_RIGHTS),
    ("stRef", "http://ns.adobe.com/xap/1.0/sType/ResourceRef#"),
    ("stEvt", "http://ns.adobe.com/xap/1.0/sType/ResourceEvent#"),
    ("tiff", "http://ns.adobe.com/tiff/1.0/"),
    ("exifEX", "http://cipa.jp/exif/1.0/"),
    ("Iptc4xmpCore", "http://iptc.org/std/Iptc4xmpCore/1.0/xmlns/"),
    ("Iptc4xmpExt", "http://iptc.org/std/Iptc4xmpExt/2008-02-29/"),
];

const PARTS: [&str; 33] = [
    "unspecifiedPart",
    "entireOrganism",
    "bark",
    "twig",
    "stem",
    "leaf",
    "strobilis",
    "inflorescence",
    "fruit",
    "seed",
    "maleCone",
    "femaleCone",
    "flower",
    "head",
    "thorax",
    "abdomen",
    "leg",
    "wing",
    "antenna",
    "forewing",
    "hindwing",
    "foreleg",
    "midleg",
    "hindleg",
    "eye",
    "shell",
    "genitalia",
    "skull",
    "cranium",
    "mandible",
    "fin",
    "egg",
    "bud",
];

const ORIENTATIONS: [&str; 14] = [
    "unspecifiedOrientation",
    "anterior",
    "posterior",
    "lateral",
    "right",
    "left",
    "dorsal",
    "ventral",
    "upper",
    "lower",
    "apical",
    "basal",
    "oral",
    "aboral",
];

/// The IRI of a subject part; `None` for what is no value of the standard.
pub fn part_iri(value: &str) -> Option<String> {
    let n = PARTS.iter().position(|part| *part == value)?;
    Some(format!("http://rs.tdwg.org/acpart/values/p{n:04}"))
}

/// The IRI of a subject orientation; `None` for what is no value of the standard.
pub fn orientation_iri(value: &str) -> Option<String> {
    let n = ORIENTATIONS.iter().position(|orientation| *orientation == value)?;
    Some(format!("http://rs.tdwg.org/acorient/values/r{n:04}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published term tables, which lie with the end-to-end tests.
    fn check(table: &str, iri: impl Fn(&str) -> Option<String>, count: usize) {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data").join(table);
        let text = std::fs::read_to_string(path).unwrap();
        let rows = text.lines().skip(1).filter(|l| !l.starts_with(' ') && l.contains("http"));
        let mut seen = 0;
        for row in rows {
            let mut cells = row.split(',');
            let (value, expected) = (cells.next().unwrap(), cells.next().unwrap());
            assert_eq!(iri(value).as_deref(), Some(expected), "{value}");
            seen += 1;
        }
        assert_eq!(seen, count);
        assert_eq!(iri("face"), None);
    }

    #[test]
    fn values_have_the_iris_of_audiovisual_core() {
        check("ac-subject-part.csv", part_iri, 33);
        check("ac-subject-orientation.csv", orientation_iri, 14);
    }
}

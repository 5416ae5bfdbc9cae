//! Sidecars by their properties. An independent reader looks at whole archives in `tests/reference/sidecars.py`.

use record::{Determination, Entry, FileRole, FrameFile, FrameId, Position, Session, Term, TimeSource};

use super::packet::{Element, read};
use super::*;
use crate::model::bench::common;

/// A value by the end of its property's namespace and its name.
fn value(text: &str, space: &str, local: &str) -> Option<String> {
    let all = read(text.as_bytes()).unwrap();
    let property = all.into_iter().find(|p| p.name == Name::new(space, local))?;
    Some(text_of(&property))
}

fn text_of(element: &Element) -> String {
    let resource = element.attributes.iter().find(|(name, _)| name.local == "resource");
    let own = resource.map_or(element.text.clone(), |(_, iri)| iri.clone());
    own + &element.children.iter().map(text_of).collect::<Vec<_>>().join("|")
}

fn session() -> Session {
    let mut session = common::day("ff_").session;
    session.frames[0].body.make = "Examplar".into();
    session.frames[0].body.model = "E1".into();
    session.frames[0].taken = Some("2026-06-14T11:27:02.12+01:00".parse().unwrap());
    session.frames[0].at = Some("2026-06-14T10:23:45.12+01:00".parse().unwrap());
    session.frames[0].shot.position =
        Some(Position { latitude_deg: 52.2005, longitude_deg: -0.1207, altitude_m: Some(-1.5) });
    let edit = session.label_frame(FrameId(0), Some("face".into())).unwrap();
    session.apply(&edit).unwrap();
    common::arrange(&mut session);
    let edit = session.write_jar(0, "21 <&\"\u{1}> é").unwrap();
    session.apply(&edit).unwrap();
    common::arrange(&mut session);
    session
}

fn sidecar_of(session: &Session, frame: usize, incoming: &[&str]) -> (String, Vec<&'static str>) {
    let incoming: Vec<Vec<u8>> = incoming.iter().map(|text| text.as_bytes().to_vec()).collect();
    let id = session.frames[frame].id;
    let set = session.set_of(id).map(|at| &session.sets[at]);
    let faults = incoming.iter().filter_map(|bytes| fault(bytes)).collect();
    (text(session, &session.frames[frame], set, "abc", &incoming), faults)
}

#[test]
fn what_is_known_of_a_frame_stands_in_its_sidecar() {
    let session = session();
    let (text, faults) = sidecar_of(&session, 0, &[]);
    assert!(faults.is_empty());
    for (space, local, expected) in [
        (DC, "title", "Specimen 001, face"),
        (DC, "description", "2026-06-14 Hay meadow: specimen 001, face, jar 21 <&\"> é"),
        (XMP, "CreateDate", "2026-06-14T10:23:45.12+01:00"),
        (PHOTOSHOP, "DateCreated", "2026-06-14T10:23:45.12+01:00"),
        (EXIF, "DateTimeOriginal", "2026-06-14T11:27:02.12+01:00"),
        (
            AC,
            "comments",
            "The camera said 2026-06-14T11:27:02.12+01:00; its clock was corrected by -1:03:17.",
        ),
        // 52.2005, 0.1207 → `52,12.030N`, `0,7.242` (ISO 16684-1, coordinates of Exif).
        (EXIF, "GPSLatitude", "52,12.03000N"),
        (EXIF, "GPSLongitude", "0,7.24200W"),
        (EXIF, "GPSAltitude", "150/100"),
        (EXIF, "GPSAltitudeRef", "1"),
        (AC, "subjectPart", "http://rs.tdwg.org/acpart/values/p0013"),
        (AC, "subjectOrientation", "http://rs.tdwg.org/acorient/values/r0003"),
        (AC, "captureDevice", "Examplar E1"),
        (AC, "hashValue", "abc"),
        (DWC, "verbatimLabel", "21 <&\"> é"),
        (AC, "associatedSpecimenReference", "2026-06-14 Hay meadow, specimen 001"),
    ] {
        assert_eq!(value(&text, space, local).as_deref(), Some(expected), "{local} in {text}");
    }
    assert_eq!(sidecar_of(&session, 0, &[]).0, text, "the same bytes each time");
}

#[test]
fn what_is_not_confirmed_or_not_known_is_left_out() {
    let mut session = session();
    session.frames[1].time_source = TimeSource::File;
    let (text, _) = sidecar_of(&session, 1, &[]);
    assert_eq!(value(&text, DC, "title").as_deref(), Some("Specimen 001"));
    for (space, local) in
        [(AC, "subjectPart"), (EXIF, "DateTimeOriginal"), (EXIF, "GPSLatitude"), (DC, "creator")]
    {
        assert_eq!(value(&text, space, local), None, "{local}");
    }
    assert!(value(&text, AC, "comments").unwrap().contains("file time only"));
    let (text, _) = sidecar_of(&session, 2, &[]);
    assert_eq!(value(&text, DC, "title").as_deref(), Some("Blank"));
    assert_eq!(value(&text, AC, "associatedSpecimenReference"), None);
}

/// Invented, with values in each form of ISO 16684-1: attributes, arrays, structures, a namespace of nobody's.
const INCOMING: &str = r#"<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><r:RDF xmlns:r="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<r:Description r:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:Rating="3" xmp:CreateDate="1999-01-01"/>
<r:Description r:about="" xmlns:d="http://purl.org/dc/elements/1.1/" xmlns:dc="http://example.org/own#"
  xmlns:L="http://iptc.org/std/Iptc4xmpExt/2008-02-29/">
 <d:creator><r:Seq><r:li>A. Example</r:li><r:li>B. Example</r:li></r:Seq></d:creator>
 <d:rights><r:Alt><r:li xml:lang="x-default">CC BY 4.0 &amp; more &#233;</r:li></r:Alt></d:rights>
 <d:title><r:Alt><r:li xml:lang="x-default">My title</r:li></r:Alt></d:title>
 <L:LocationCreated><r:Bag><r:li r:parseType="Resource"><L:City>Example</L:City></r:li></r:Bag></L:LocationCreated>
 <dc:thing dc:part="p"> two  words </dc:thing>
</r:Description></r:RDF></x:xmpmeta><?xpacket end="w"?>"#;

#[test]
fn properties_that_came_with_a_frame_are_taken_over() {
    let (text, faults) = sidecar_of(&session(), 0, &[INCOMING]);
    assert!(faults.is_empty());
    let own = "http://example.org/own#";
    for (space, local, expected) in [
        (DC, "creator", "A. Example|B. Example"),
        (DC, "rights", "CC BY 4.0 & more é"),
        (DC, "title", "My title"),
        (XMP, "Rating", "3"),
        (XMP, "CreateDate", "2026-06-14T10:23:45.12+01:00"),
        ("http://iptc.org/std/Iptc4xmpExt/2008-02-29/", "LocationCreated", "Example"),
        (own, "thing", " two  words "),
        (AC, "subjectPart", "http://rs.tdwg.org/acpart/values/p0013"),
    ] {
        assert!(value(&text, space, local).unwrap().contains(expected), "{local} in {text}");
    }
    // Merged once more with what it came to, nothing changes.
    let before = read(text.as_bytes()).unwrap();
    let again = read(sidecar_of(&session(), 0, &[&text]).0.as_bytes()).unwrap();
    assert!(before.iter().all(|p| again.iter().any(|a| a.name == p.name && a.text == p.text)));
    assert_eq!(before.len(), again.len());
}

#[test]
fn what_is_no_sidecar_is_said_and_ours_written() {
    let own = sidecar_of(&session(), 0, &[]).0;
    for bad in [
        "",
        "<x",
        "<x/>",
        "<a>&own;</a>",
        "<!DOCTYPE a [<!ENTITY b \"c\">]><a>&b;</a>",
        "<a></a><b/>",
        "<p:a/>",
    ] {
        let (text, faults) = sidecar_of(&session(), 0, &[bad]);
        assert_eq!((text.as_str(), faults.len()), (own.as_str(), 1), "{bad}");
    }
    let deep = format!("{}{}", "<a>".repeat(70), "</a>".repeat(70));
    assert_eq!(sidecar_of(&session(), 0, &[&deep]).1, ["it is not well-formed"]);
}

#[test]
fn coordinates_never_come_to_sixty_minutes() {
    let mut session = session();
    session.frames[0].shot.position =
        Some(Position { latitude_deg: 59.999_999_999, longitude_deg: 0.0, altitude_m: None });
    let (text, _) = sidecar_of(&session, 0, &[]);
    assert_eq!(value(&text, EXIF, "GPSLatitude").as_deref(), Some("60,0.00000N"));
    assert_eq!(value(&text, EXIF, "GPSAltitude"), None);
}

#[test]
fn sidecars_are_told_by_their_ending() {
    assert!(is_sidecar("a/B.XMP") && is_sidecar("b.jpg.xmp"));
    assert!(!is_sidecar(".xmp") && !is_sidecar("a.jpg"));
    let file = FrameFile { path: "a.xmp".into(), bytes: 1, role: FileRole::Sidecar };
    assert_eq!(
        crate::names::endings(&file.path).take(2).collect::<Vec<_>>(),
        [".original.xmp", ".original-2.xmp"]
    );
    assert_eq!(crate::names::stem("f/x_01.original-2.xmp"), "f/x_01");
}

#[test]
fn what_was_written_of_specimen_and_day_stands_in_it_and_what_is_amiss_does_not() {
    let mut session = session();
    let mut apply = |edit: Option<record::Edit>| {
        session.apply(&edit.unwrap()).unwrap();
        common::arrange(&mut session);
    };
    let day = |term, text| Some(record::Edit::DayField(term, Some(Entry::new(term, text).unwrap())));
    apply(day(Term::Creator, "A. Nobody | B. Invented"));
    apply(day(Term::RightsHolder, "An invented society"));
    apply(day(Term::License, "https://creativecommons.org/licenses/by/4.0/legalcode"));
    apply(day(Term::Locality, "West bank"));
    let own = |session: &Session, entry: Entry, term| session.fill_in(0, term, Some(entry));
    for (term, text) in
        [(Term::Coordinates, "52°12′0″N 0°7′13″E"), (Term::Sex, "male"), (Term::Plant, "vetch")]
    {
        let edit = own(&session, Entry::new(term, text).unwrap(), term);
        session.apply(&edit.unwrap()).unwrap();
        common::arrange(&mut session);
    }
    let edit = own(&session, Entry::knowingly(Term::Caste, "male"), Term::Caste);
    session.apply(&edit.unwrap()).unwrap();
    let name = Determination {
        name: "Bombus lucorum".into(),
        qualifier: "cf.".into(),
        by: "C. Nobody".into(),
        ..Determination::default()
    };
    session.apply(&session.determine(0, name).unwrap()).unwrap();
    common::arrange(&mut session);
    let (text, _) = sidecar_of(&session, 0, &[]);
    for (space, local, expected) in [
        (DC, "creator", Some("A. Nobody|B. Invented")),
        (spaces::XMP_RIGHTS, "Owner", Some("An invented society")),
        (spaces::XMP_RIGHTS, "WebStatement", Some("https://creativecommons.org/licenses/by/4.0/legalcode")),
        (DWC, "locality", Some("West bank")),
        (DWC, "decimalLatitude", Some("52.2000")),
        (DWC, "decimalLongitude", Some("0.1203")),
        (DWC, "geodeticDatum", Some("EPSG:4326")),
        (DWC, "sex", Some("male")),
        (DWC, "caste", None),
        (DWC, "associatedTaxa", Some("\"taken from\":\"vetch\"")),
        (DWC, "scientificName", Some("Bombus lucorum")),
        (DWC, "identificationQualifier", Some("cf.")),
        (DWC, "identifiedBy", Some("C. Nobody")),
    ] {
        assert_eq!(value(&text, space, local).as_deref(), expected, "{local}");
    }
    // Who took a picture is said by what came with it, where that says so.
    let came = r#"<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
        <rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:creator><rdf:Seq><rdf:li>D. Nobody</rdf:li>
        </rdf:Seq></dc:creator></rdf:Description></rdf:RDF></x:xmpmeta>"#;
    let (text, _) = sidecar_of(&session, 0, &[came]);
    assert_eq!(value(&text, DC, "creator").as_deref(), Some("D. Nobody"));
}

use std::collections::BTreeSet;

use record::{Edit, FrameId, KnownLength, Mark, MarkId, MarkKind, RecordEdit, ScaleUsed, SpecimenId};

use super::*;
use crate::Audience;
use crate::Sensitivity;
use crate::darwin_core::{Basis, Status};
use crate::sample::{FOLDER, entry, session, session_from};

fn cell<'a>(row: &'a Row, name: &str) -> &'a str {
    &row.cells[row.table.place(name)]
}

fn of(rows: &[Row], table: Table) -> Vec<&Row> {
    rows.iter().filter(|row| row.table == table).collect()
}

/// The rows of one animal by the name it goes by now; rows of all tables.
fn about<'a>(rows: &'a [Row], name: &str) -> Vec<&'a Row> {
    let core =
        of(rows, Table::Occurrence).into_iter().find(|row| cell(row, "scientificName") == name).unwrap();
    rows.iter().filter(|row| row.cells[0] == core.cells[0]).collect()
}

#[test]
fn a_record_becomes_rows_of_its_terms() {
    let profile = Profile {
        media_base: Some("https://example.org/pictures/".into()),
        audience: Audience { people: true, ..Audience::default() },
        ..Profile::default()
    };
    let rows = rows(FOLDER, &session(), &profile);
    assert!(rows.iter().all(|row| row.cells.len() == row.table.columns().len()));
    let bee = about(&rows, "Bombus lucorum");
    let expected = [
        ("basisOfRecord", "MachineObservation"),
        ("occurrenceStatus", "detected"),
        ("catalogNumber", "2026-06-14_bank/001"),
        ("recordedBy", "A. Example | B. Example"),
        ("eventDate", "2026-06-14"),
        ("locality", "Old quarry"),
        ("decimalLatitude", "52.20025"),
        ("decimalLongitude", "0.12035"),
        ("geodeticDatum", "EPSG:4326"),
        ("coordinateUncertaintyInMeters", "8"),
        ("coordinatePrecision", ""),
        ("dataGeneralizations", ""),
        ("informationWithheld", ""),
        ("identificationQualifier", "cf. lucorum"),
        ("identifiedBy", "C. Example"),
        ("dateIdentified", "2026-07"),
    ];
    for (name, text) in expected {
        assert_eq!(cell(bee[0], name), text, "{name}");
    }
    let named = of(&rows, Table::Identification);
    assert_eq!(cell(named[0], "verbatimIdentification"), "Bombus cf. lucorum");
    let pictures: Vec<_> = bee.into_iter().filter(|row| row.table == Table::Media).collect();
    assert_eq!(pictures.len(), 2);
    // Audiovisual Core, vocabularies of 2023-04-26: head p0013, anterior r0001.
    for (name, text) in [
        ("accessURI", "https://example.org/pictures/2026-06-14_bank/001/0-0%20f.jpg"),
        ("subjectPart", "http://rs.tdwg.org/acpart/values/p0013"),
        ("subjectOrientation", "http://rs.tdwg.org/acorient/values/r0001"),
        ("CreateDate", "2026-06-14T10:00:00+01:00"),
        ("format", "image/jpeg"),
        ("title", "Specimen 001, Face"),
        ("hashValue", &format!("{:064x}", 0)),
        ("PixelXDimension", "600"),
    ] {
        assert_eq!(cell(pictures[0], name), text, "{name}");
    }
    assert_eq!(cell(pictures[1], "subjectPart"), "", "only confirmed views are told");
}

#[test]
fn a_sensitive_place_is_told_nowhere() {
    let session = session();
    let rows = rows(
        FOLDER,
        &session,
        &Profile { media_base: Some("https://example.org".into()), ..Profile::default() },
    );
    let rare = about(&rows, "Bombus rarus");
    for (name, text) in [
        ("decimalLatitude", "52.2"),
        ("decimalLongitude", "0.1"),
        ("coordinatePrecision", "0.1"),
        ("locality", "withheld, within the 0.1 degree cell"),
        ("habitat", "withheld"),
        ("georeferenceSources", "withheld"),
        ("occurrenceRemarks", "withheld"),
        ("behavior", "withheld"),
        ("eventDate", "2026-06-14"),
        ("eventTime", ""),
        ("catalogNumber", ""),
        ("recordNumber", ""),
        ("fieldNumber", ""),
        ("sex", "female"),
        ("associatedTaxa", "\"taken from\":\"thrift 'pink'\""),
        ("previousIdentifications", "Bombus hortorum"),
    ] {
        assert_eq!(cell(rare[0], name), text, "{name}");
    }
    assert!(cell(rare[0], "informationWithheld").contains("exact place"));
    // Published value for 0.1 degree at latitude 52 by the point-radius method is 13 076 m; at 52.2 it is less. 8 m of its own.
    let metres: f64 = cell(rare[0], "coordinateUncertaintyInMeters").parse().unwrap();
    assert!((13_050.0..=13_084.0).contains(&metres), "{metres}");
    for text in rare.iter().flat_map(|row| &row.cells).map(|cell| cell.to_lowercase()) {
        for secret in
            ["quarry", "52.20025", "0.12035", "gate", "north face", "08:43", "10:01", "2026-06-14_bank"]
        {
            assert!(!text.contains(secret), "{secret} in {text}");
        }
    }
    assert!(rare.iter().filter(|row| row.table == Table::Media).all(|row| cell(row, "accessURI").is_empty()));
    // The same search finds it where it is not coarsened.
    let bee = about(&rows, "Bombus lucorum");
    assert!(bee.iter().flat_map(|row| &row.cells).any(|cell| cell.to_lowercase().contains("quarry")));
    assert_eq!(
        of(&rows, Table::Occurrence).last().unwrap().cells[0],
        rare[0].cells[0],
        "coarsened ones come last"
    );
}

#[test]
fn the_unnamed_follow_the_default_and_the_unreadable_the_strictest() {
    let places = |session: &Session, unnamed| {
        let rows = rows(
            FOLDER,
            session,
            &Profile { audience: Audience { unnamed, ..Audience::default() }, ..Profile::default() },
        );
        let mut places: Vec<(String, String)> = of(&rows, Table::Occurrence)
            .into_iter()
            .map(|row| (cell(row, "scientificName").to_owned(), cell(row, "decimalLatitude").to_owned()))
            .collect();
        places.sort();
        places.into_iter().map(|(_, place)| place).collect::<Vec<_>>()
    };
    let mut session = session();
    assert_eq!(places(&session, Sensitivity::None), ["52.20025", "52.20025", "52.2"]);
    assert_eq!(places(&session, Sensitivity::Medium), ["52.20", "52.20025", "52.2"]);
    session.specimens[2].fields.insert(Term::Sensitivity, entry("none"));
    assert_eq!(places(&session, Sensitivity::Medium), ["52.20025", "52.20025", "52.2"]);
    session.specimens[0]
        .fields
        .insert(Term::Sensitivity, record::Entry::knowingly(Term::Sensitivity, "rare!"));
    assert_eq!(places(&session, Sensitivity::Medium), ["52.20025", "", "52.2"]);
}

#[test]
fn people_and_wordings_are_as_chosen() {
    let mut session = session();
    session.specimens[0].determinations[0].source = "letter of C. Example".into();
    let people = Audience { people: true, ..Audience::default() };
    let with = rows(FOLDER, &session, &Profile { audience: people, ..Profile::default() });
    let profile = Profile { basis: Basis::HumanObservation, status: Status::Present, ..Profile::default() };
    let without = rows(FOLDER, &session, &profile);
    let named =
        |rows: &[Row]| rows.iter().flat_map(|row| &row.cells).filter(|cell| cell.contains("Example")).count();
    assert!(named(&with) > 10);
    assert_eq!(named(&without), 0);
    let first = of(&without, Table::Occurrence)[0];
    assert_eq!(
        (cell(first, "basisOfRecord"), cell(first, "occurrenceStatus")),
        ("HumanObservation", "present")
    );
}

#[test]
fn occurrences_keep_their_names() {
    let ids = |session: &Session, folder: &str| {
        let rows = rows(folder, session, &Profile::default());
        of(&rows, Table::Occurrence).into_iter().map(|row| row.cells[0].clone()).collect::<Vec<_>>()
    };
    let before = session();
    let all = ids(&before, FOLDER);
    assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), 3);
    assert!(all.iter().all(|id| id.starts_with("urn:uuid:")));
    let mut after = before.clone();
    let name = Determination { name: "Bombus terrestris".into(), ..Default::default() };
    after.apply(&Edit::Write(SpecimenId(0), Box::new(RecordEdit::Determined(name)))).unwrap();
    after.apply(&Edit::Write(SpecimenId(0), Box::new(RecordEdit::Standing(1, Standing::Accepted)))).unwrap();
    after.specimens[0].jar = "other".into();
    after.name = "Another name".into();
    assert_eq!(ids(&after, "elsewhere"), all);
    // Two records begun with one frame, as after a split, are two animals; a path that two frames had names none.
    let mut split = session_from(0, 2);
    split.specimens[1].anchors = vec![FrameId(0)];
    assert_eq!(ids(&split, FOLDER).into_iter().collect::<BTreeSet<_>>().len(), 2);
    let mut replaced = session_from(0, 2);
    let path = replaced.frames[0].files[0].path.clone();
    replaced.frames[2].files[0].path = path;
    let ids = ids(&replaced, FOLDER);
    assert_eq!(ids.len(), 2);
    assert!(!ids.contains(&all[0]), "whose bytes they are cannot be said");
}

#[test]
fn lengths_ratios_and_scores_become_measurements() {
    let mut session = session_from(0, 1);
    let mark = |id: u32, what: &str, long_px: f64| Mark {
        id: MarkId(id),
        frame: FrameId(0),
        picture_px: (600, 400),
        kind: MarkKind::Line,
        points: vec![(10.0, 10.0), (10.0 + long_px, 10.0)],
        placing_px: 1.0,
        what: what.into(),
        known: None,
        ratio_to: None,
        scale: ScaleUsed::SameFrame,
        tilt_deg: 0.0,
        depth_share: 0.0,
    };
    let ruler = Mark { known: Some(KnownLength { mm: 10.0, standard_mm: 0.0 }), ..mark(0, "", 500.0) };
    let marks = [
        ruler,
        mark(1, "intertegular distance", 200.0),
        Mark { ratio_to: Some(MarkId(1)), ..mark(2, "cheek ratio", 100.0) },
        Mark { scale: ScaleUsed::Unscaled, ..mark(3, "no scale", 90.0) },
        Mark { picture_px: (300, 200), ..mark(4, "another size", 90.0) },
    ];
    session.marks = marks.into_iter().map(|mark| (mark.id, mark)).collect();
    session.specimens[0].scores.insert(
        "sting".into(),
        vec!["seen".into(), record::Score { state: "long".into(), percent: Some(60) }],
    );
    let rows = rows(FOLDER, &session, &Profile::default());
    let got: Vec<Vec<&str>> = of(&rows, Table::Measurement)
        .into_iter()
        .map(|row| {
            ["measurementType", "measurementValue", "measurementUnit", "measurementAccuracy"]
                .map(|n| cell(row, n))
                .to_vec()
        })
        .collect();
    // 200 px of 50 px a mm are 4 mm. Each line's standard uncertainty is √2 px: 4 × √((√2/200)² + (√2/500)²) = 0.0305 mm,
    // 0.06 at k = 2. The ratio's is 0.5 × √((√2/100)² + (√2/200)²) = 0.0079, 0.016 at k = 2.
    assert_eq!(
        got,
        [
            vec!["intertegular distance", "4.00", "mm", "0.06"],
            vec!["cheek ratio", "0.500", "", "0.016"],
            vec!["sting", "seen | long 60 %", "", ""],
        ]
    );
}

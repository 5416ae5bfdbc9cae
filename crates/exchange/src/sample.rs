//! An invented session for tests: three animals of two frames each, filed, one of them sensitive.

use record::{
    Determination, Entry, FileRole, Filed, Frame, FrameFile, FrameId, Label, Plan, Session, Set, Specimen,
    SpecimenId, Term,
};

const PLAN: &str = r#"(key: "two", name: "Two", views: [
    (key: "face", name: "Face", letter: 'f', required: true, subject_part: "head", subject_orientation: "anterior", hint: "Eyes."),
    (key: "above", name: "Above", letter: 'a', required: true, subject_part: "entireOrganism", subject_orientation: "dorsal",
     hint: "All."),
])"#;

/// The place of all three, which the sensitive one's rows must not tell.
pub(crate) const PLACE: &str = "52.20025, 0.12035";

/// The folder it is filed in.
pub(crate) const FOLDER: &str = "2026-06-14_bank";

pub(crate) fn entry(text: &str) -> Entry {
    Entry { text: text.into(), knowingly: false }
}

/// A session that holds the animals from `first` on.
pub(crate) fn session_from(first: u32, animals: u32) -> Session {
    let mut session = Session::new("Bank", Plan::from_text(PLAN).unwrap());
    for (n, id) in (0..animals).zip(first..) {
        for at in 0..2 {
            let path = format!("DCIM/{:04}.JPG", 2 * n + at);
            let file = FrameFile { path: path.clone(), bytes: 10, role: FileRole::Picture };
            let mut frame = Frame::new(FrameId(2 * n + at), vec![file]);
            frame.taken = format!("2026-06-14T10:{n:02}:0{at}+01:00").parse().ok();
            frame.time_source = record::TimeSource::Original;
            frame.size_px = Some((600, 400));
            session.frames.push(frame);
            let sha256 = format!("{:064x}", 2 * id + at);
            let filed =
                Filed { path: format!("{:03}/{n}-{at} f.jpg", n + 1), bytes: 10, sha256, session: None };
            session.filed.insert(path, filed);
        }
        let frames = vec![FrameId(2 * n), FrameId(2 * n + 1)];
        let mut specimen = Specimen::new(SpecimenId(n), frames.clone());
        specimen.number = Some(n + 1);
        session.decisions.labels.insert(frames[0], Label { view: "face".into(), specimen: specimen.id });
        session.specimens.push(specimen);
        session.sets.push(Set {
            number: n + 1,
            frames,
            closed_by: None,
            jar_card: None,
            specimens: vec![SpecimenId(n)],
        });
    }
    for (term, text) in [
        (Term::Locality, "Old quarry"),
        (Term::Coordinates, PLACE),
        (Term::CoordinateUncertaintyInMeters, "8"),
        (Term::RecordedBy, "A. Example | B. Example"),
        (Term::Creator, "A. Example"),
        (Term::RightsHolder, "Example Group"),
        (Term::License, "https://creativecommons.org/licenses/by/4.0/legalcode"),
        (Term::GeoreferenceSources, "receiver at the quarry's gate"),
        (Term::SamplingProtocol, "net"),
    ] {
        session.fields.insert(term, entry(text));
    }
    session
}

/// Three animals: the first named, the second sensitive and named anew, the third without a name.
pub(crate) fn session() -> Session {
    let mut session = session_from(0, 3);
    let name = |name: &str| Determination {
        name: name.into(),
        rank: "species".into(),
        by: "C. Example".into(),
        date: "2026-07".into(),
        ..Determination::default()
    };
    session.specimens[0]
        .determinations
        .push(Determination { qualifier: "cf.".into(), ..name("Bombus lucorum") });
    let rare = &mut session.specimens[1];
    rare.determinations.push(Determination {
        standing: record::Standing::Superseded("worn; seen again at 52.20025".into()),
        ..name("Bombus hortorum")
    });
    let by = "D. Example, Old Quarry".into();
    rare.determinations.push(Determination { by, ..name("Bombus rarus") });
    rare.note = "in the OLD QUARRY,\nbeside the gate".into();
    rare.jar = "22".into();
    for (term, text) in [
        (Term::Sensitivity, "high"),
        (Term::EventTime, "08:43"),
        (Term::Behavior, "resting at the Quarry"),
        (Term::Habitat, "north face"),
        (Term::Plant, "thrift \"pink\""),
        (Term::Sex, "female"),
    ] {
        rare.fields.insert(term, entry(text));
    }
    session
}

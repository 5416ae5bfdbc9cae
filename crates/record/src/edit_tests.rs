//! Edits there and back.

use proptest::prelude::*;

use super::*;
use crate::{Body, FileRole, Frame, FrameFile, TimeSource, Way};

pub(crate) fn frame(id: u32, time: &str) -> Frame {
    let file = FrameFile { path: format!("f{id}.jpg"), bytes: 100, role: FileRole::Picture };
    Frame {
        taken: Some(format!("2026-06-14T{time}").parse().unwrap()),
        time_source: TimeSource::Original,
        size_px: Some((1200, 800)),
        ..Frame::new(FrameId(id), vec![file])
    }
}

fn body(model: &str) -> Body {
    Body { model: model.to_owned(), ..Body::default() }
}

/// A session of `n` frames, a minute apart from 10:00.
pub(crate) fn day(n: u32) -> Session {
    let plan =
        "(key: \"k\", name: \"K\", views: [(key: \"side\", name: \"Side\", letter: 's', required: true,
        subject_part: \"entireOrganism\", subject_orientation: \"lateral\", hint: \"\")])";
    let mut session = Session::new("day", Plan::from_text(plan).unwrap());
    session.frames = (0..n).map(|i| frame(i, &format!("10:{i:02}:00"))).collect();
    session
}

fn any_edit() -> impl Strategy<Value = Edit> {
    let frame = || (0u32..8).prop_map(FrameId);
    let specimen = || (0u32..4).prop_map(SpecimenId);
    let kind = prop_oneof![Just(FrameKind::Blank), Just(FrameKind::SetAside), Just(FrameKind::Specimen)];
    let one = prop_oneof![
        prop::option::of(0f32..50.0).prop_map(Edit::BlankLine),
        (frame(), prop::option::of(kind)).prop_map(|(f, k)| Edit::Kind(f, k)),
        (frame(), prop::option::of(prop_oneof![Just(Boundary::Split), Just(Boundary::Join)]))
            .prop_map(|(f, b)| Edit::Boundary(f, b)),
        (frame(), prop::option::of(frame())).prop_map(|(f, t)| Edit::Move(f, t)),
        (frame(), prop::option::of(specimen()))
            .prop_map(|(f, s)| { Edit::Label(f, s.map(|specimen| Label { view: "side".into(), specimen })) }),
        (prop::sample::select(vec!["", "E-1", "none"]), prop::option::of(-1e10..1e10))
            .prop_map(|(model, secs)| Edit::Clock(body(model), secs)),
        (frame(), any::<bool>()).prop_map(|(f, own)| Edit::OwnAnimal(f, own)),
        (frame(), any::<bool>()).prop_map(|(f, prefer)| Edit::Prefer(f, prefer)),
        prop::option::of(1u16..60).prop_map(Edit::HoldingLimit),
        (0usize..3, specimen(), frame()).prop_map(|(at, id, anchor)| {
            let specimen = Specimen { jar: "j".into(), note: "n".into(), ..Specimen::new(id, vec![anchor]) };
            Edit::AddSpecimen(at, specimen)
        }),
        specimen().prop_map(Edit::RemoveSpecimen),
        (specimen(), "[a-z]{0,4}").prop_map(|(s, t)| Edit::Jar(s, t)),
        (specimen(), "[a-z]{0,4}").prop_map(|(s, t)| Edit::Note(s, t)),
        (specimen(), any::<bool>())
            .prop_map(|(s, left)| { Edit::Left(s, left.then_some(Departure { way: Way::Flew, at: None })) }),
        (specimen(), prop::option::of(1u32..9)).prop_map(|(s, n)| Edit::Number(s, n)),
        "[a-z]{1,4}".prop_map(Edit::Name),
        prop::sample::select(vec!["_", "-", "/"]).prop_map(|joiner| {
            let mut naming = Naming::default();
            naming.file.joiner = joiner.to_owned();
            Edit::Naming(Box::new(naming))
        }),
    ];
    one.prop_recursive(2, 12, 4, |inner| prop::collection::vec(inner, 0..4).prop_map(Edit::Many))
}

proptest! {
    /// Any list of edits, taken back in reverse, leaves the session as it was; refused ones change nothing.
    #[test]
    fn apply_then_inverse_is_identity(edits in prop::collection::vec(any_edit(), 0..25)) {
        let mut session = day(6);
        session.frames[2].body = body("E-1");
        let before = session.clone();
        let mut history = History::default();
        for edit in &edits {
            let untouched = session.clone();
            if history.apply(&mut session, "edit", edit).is_err() {
                prop_assert_eq!(&session, &untouched);
            }
        }
        let after = session.clone();
        while history.undo(&mut session).is_some() {}
        prop_assert_eq!(&session, &before);
        while history.redo(&mut session).is_some() {}
        prop_assert_eq!(&session, &after);
    }
}

#[test]
fn a_clock_is_corrected_for_a_body_of_the_session_and_kept_in_its_text() {
    let mut session = day(2);
    session.frames[1].body = body("E-1");
    session.frames[1].at = session.frames[1].taken.unwrap().shifted(-60.0);
    session.apply(&Edit::Clock(body("E-1"), Some(-60.0))).unwrap();
    let text = crate::session_to_text(&session);
    assert!(text.contains("at: Some(\"2026-06-14T10:00:00\")"), "{text}");
    assert_eq!(crate::session_from_text(&text).unwrap(), session);
    for (model, secs) in [("E-2", 1.0), ("E-1", f64::NAN), ("E-1", 1e10)] {
        assert!(session.apply(&Edit::Clock(body(model), Some(secs))).is_err(), "{model} {secs}");
    }
    session.apply(&Edit::Clock(body("E-1"), None)).unwrap();
    assert!(session.decisions.clocks.is_empty());
}

#[test]
fn a_record_goes_only_once_no_frame_is_confirmed_to_show_it() {
    let mut session = day(1);
    let id = SpecimenId(2);
    let specimen = Specimen::new(id, vec![FrameId(0)]);
    session.apply(&Edit::AddSpecimen(0, specimen)).unwrap();
    session.apply(&Edit::Label(FrameId(0), Some(Label { view: "side".into(), specimen: id }))).unwrap();
    assert_eq!(session.apply(&Edit::RemoveSpecimen(id)), Err(Refused::StillShown(2)));
    // A later part at fault takes the label back as well, which needs the record.
    let clears = Edit::Many(vec![Edit::Label(FrameId(0), None), Edit::Jar(SpecimenId(9), "x".into())]);
    assert!(session.apply(&clears).is_err());
    session.apply(&Edit::Label(FrameId(0), None)).unwrap();
    assert!(session.apply(&Edit::RemoveSpecimen(id)).is_ok());
}

#[test]
fn a_refused_part_takes_the_whole_edit_back() {
    let mut session = day(2);
    let before = session.clone();
    let edit = Edit::Many(vec![
        Edit::Kind(FrameId(0), Some(FrameKind::Blank)),
        Edit::Jar(SpecimenId(5), "x".into()),
    ]);
    assert!(session.apply(&edit).unwrap_err().to_string().contains("specimen record 5"));
    assert_eq!(session, before);
}

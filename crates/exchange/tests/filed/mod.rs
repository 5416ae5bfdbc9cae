//! Invented sessions with real pictures, filed in an archive.
#![allow(dead_code, reason = "each test uses a part of it")]

use std::fs;
use std::path::Path;

use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use record::{
    Entry, FileRole, Filed, Frame, FrameFile, FrameId, Label, Plan, Session, Set, Specimen, SpecimenId, Term,
};

const PLAN: &str = r#"(key: "two", name: "Two", views: [
    (key: "face", name: "Face", letter: 'f', required: true, subject_part: "head", subject_orientation: "anterior", hint: "Eyes."),
    (key: "above", name: "Above", letter: 'a', required: true, subject_part: "entireOrganism", subject_orientation: "dorsal",
     hint: "All."),
])"#;

/// A JPEG of an animal of a size of its own on pale ground, without any metadata.
pub(crate) fn jpeg(seed: u32) -> Vec<u8> {
    let picture = RgbImage::from_fn(480, 320, |x, y| {
        let (dx, dy) = (f64::from(x) - 240.0, f64::from(y) - 160.0);
        let is_on = dx.hypot(dy) < 40.0 + f64::from(seed % 40);
        let shade = (seed * 37 % 90) as u8;
        image::Rgb(if is_on { [60 + shade / 3, 45, 30] } else { [210, 205, 200 - shade / 9] })
    });
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, 92).encode_image(&picture).unwrap();
    bytes
}

pub(crate) fn entry(text: &str) -> Entry {
    Entry { text: text.into(), knowingly: false }
}

/// A session of so many animals of two frames each, of which the first is confirmed to be a face, and its pictures.
pub(crate) fn session(first: u32, animals: u32) -> (Session, Vec<(String, Vec<u8>)>) {
    let mut session = Session::new("Bank", Plan::from_text(PLAN).unwrap());
    let mut files = Vec::new();
    for (n, id) in (0..animals).zip(first..) {
        let frames = [FrameId(2 * n), FrameId(2 * n + 1)];
        for frame in frames {
            let card = format!("DCIM/100EXAMP/EXAM{:04}.JPG", 4700 + frame.0);
            let bytes = jpeg(2 * id + frame.0 % 2);
            add(&mut session, frame, &card, &format!("{:03}/exam{}.jpg", n + 1, 4700 + frame.0), &bytes, id);
            files.push((format!("{:03}/exam{}.jpg", n + 1, 4700 + frame.0), bytes));
        }
        let mut specimen = Specimen::new(SpecimenId(n), frames.to_vec());
        specimen.number = Some(n + 1);
        session.decisions.labels.insert(frames[0], Label { view: "face".into(), specimen: specimen.id });
        session.specimens.push(specimen);
        session.sets.push(Set {
            number: n + 1,
            frames: frames.to_vec(),
            closed_by: None,
            jar_card: None,
            specimens: vec![SpecimenId(n)],
        });
    }
    (session, files)
}

fn add(session: &mut Session, id: FrameId, card: &str, filed: &str, bytes: &[u8], animal: u32) {
    let size = bytes.len() as u64;
    let file = FrameFile { path: card.into(), bytes: size, role: FileRole::Picture };
    let mut frame = Frame::new(id, vec![file]);
    frame.taken = format!("2026-06-14T10:{:02}:{:02}", 23 + id.0 / 60, id.0 % 60).parse().ok();
    frame.time_source = record::TimeSource::Original;
    frame.size_px = Some((480, 320));
    session.frames.push(frame);
    let sha256 = format!("{:064x}", 2 * animal + id.0 % 2);
    session.filed.insert(card.into(), Filed { path: filed.into(), bytes: size, sha256, session: None });
}

/// Puts a session and its pictures into a folder of an archive.
pub(crate) fn file(archive: &Path, folder: &str, session: &mut Session, files: &[(String, Vec<u8>)]) {
    for (path, bytes) in files {
        let path_here = archive.join(folder).join(path);
        fs::create_dir_all(path_here.parent().unwrap()).unwrap();
        fs::write(path_here, bytes).unwrap();
        for filed in session.filed.values_mut().filter(|filed| filed.path == *path) {
            filed.bytes = bytes.len() as u64;
        }
    }
    for frame in &mut session.frames {
        for file in &mut frame.files {
            if let Some(filed) = session.filed.get(&file.path) {
                file.bytes = filed.bytes;
            }
        }
    }
    fs::write(archive.join(folder).join("session.ron"), record::session_to_text(session)).unwrap();
}

/// Fills in a field of a specimen.
pub(crate) fn write(session: &mut Session, specimen: usize, term: Term, text: &str) {
    session.specimens[specimen].fields.insert(term, entry(text));
}

const ONE: &str = r#"(key: "one", name: "One", views: [(key: "side", name: "Side", letter: 's', required: true,
    subject_part: "entireOrganism", subject_orientation: "lateral", hint: "All of it.")])"#;

/// Puts a session of one animal with this note and these fields into a folder of an archive; its picture is not there.
pub(crate) fn record_of(
    archive: &Path,
    folder: &str,
    sha256: u32,
    note: &str,
    fields: &[(Term, &str)],
) -> Session {
    let mut session = Session::new("Bank", Plan::from_text(ONE).unwrap());
    let path = "DCIM/0001.JPG".to_owned();
    let picture = FrameFile { path: path.clone(), bytes: 10, role: FileRole::Picture };
    let mut frame = Frame::new(FrameId(0), vec![picture]);
    frame.taken = "2026-06-14T10:23:45".parse().ok();
    session.frames.push(frame);
    let filed =
        Filed { path: "001/a.jpg".into(), bytes: 10, sha256: format!("{sha256:064x}"), session: None };
    session.filed.insert(path, filed);
    let mut specimen = Specimen::new(SpecimenId(0), vec![FrameId(0)]);
    specimen.fields.extend(fields.iter().map(|(term, text)| (*term, entry(text))));
    specimen.note = note.into();
    session.specimens.push(specimen);
    session.sets.push(Set {
        number: 1,
        frames: vec![FrameId(0)],
        closed_by: None,
        jar_card: None,
        specimens: vec![SpecimenId(0)],
    });
    fs::create_dir_all(archive.join(folder)).unwrap();
    fs::write(archive.join(folder).join("session.ron"), record::session_to_text(&session)).unwrap();
    session
}

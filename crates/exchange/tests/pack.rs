//! An archive on a disk becomes a pack: its folders, table, text and page, what was sent, and what is refused.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

mod filed;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use exchange::Audience;
use exchange::pack::{Form, PackFault, Sent, Wanted, Which, pack};
use notes::ANSWER_TERMS;
use record::{
    Determination, FrameId, KnownLength, Label, Mark, MarkId, MarkKind, Progress, ScaleUsed, Silent,
    SpecimenId, Term,
};
use tempfile::TempDir;
use uuid::Uuid;

fn wanted() -> Wanted {
    Wanted {
        audience: Audience::default(),
        specimens: None,
        which: Which::Best,
        around_subject: false,
        long_side_px: 240,
        at_most_bytes: None,
        form: Form::Folder,
    }
}

/// All files of a folder or zip, by path.
fn files(path: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    if path.is_file() {
        let mut zip = zip::ZipArchive::new(fs::File::open(path).unwrap()).unwrap();
        for at in 0..zip.len() {
            let mut file = zip.by_index(at).unwrap();
            assert_eq!(file.last_modified(), Some(zip::DateTime::default()));
            let (name, mut bytes) = (file.name().unwrap().into_owned(), Vec::new());
            std::io::copy(&mut file, &mut bytes).unwrap();
            all.insert(name, bytes);
        }
        return all;
    }
    for entry in fs::read_dir(path).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if entry.path().is_dir() {
            all.extend(
                files(&entry.path()).into_iter().map(|(inner, bytes)| (format!("{name}/{inner}"), bytes)),
            );
        } else {
            all.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    all
}

/// The table by columns, a map a row.
fn rows(files: &BTreeMap<String, Vec<u8>>) -> Vec<BTreeMap<String, String>> {
    let text =
        std::str::from_utf8(&files["summary.csv"]).unwrap().strip_prefix('\u{feff}').unwrap().to_owned();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

fn text(files: &BTreeMap<String, Vec<u8>>, name: &str) -> String {
    String::from_utf8(files[name].clone()).unwrap()
}

/// An archive of two sessions with one number and day in common.
fn two_sessions(archive: &Path) {
    let (mut session, pictures) = filed::session(0, 2);
    session.fields.insert(Term::RecordedBy, filed::entry("E. Example"));
    session.fields.insert(Term::Creator, filed::entry("F. Example | G. Example"));
    session.fields.insert(Term::RightsHolder, filed::entry("H. Example"));
    session.fields.insert(Term::Locality, filed::entry("Invented bank"));
    filed::write(&mut session, 0, Term::Sex, "female");
    filed::write(&mut session, 0, Term::Plant, "thrift");
    session.specimens[0].note = "=1+1".into();
    let name = Determination {
        name: "Bombus lucorum".into(),
        qualifier: "cf.".into(),
        rank: "species".into(),
        ..Determination::default()
    };
    session.specimens[0].determinations.push(name);
    let label = Label { view: "above".into(), specimen: SpecimenId(0) };
    session.decisions.labels.insert(FrameId(1), label);
    filed::file(archive, "2026-06-14_bank", &mut session, &pictures);
    let (mut other, pictures) = filed::session(10, 1);
    filed::file(archive, "2026-06-14 bank", &mut other, &pictures);
}

fn packed(change: impl FnOnce(&Path, &mut Wanted)) -> (Result<Sent, PackFault>, BTreeMap<String, Vec<u8>>) {
    let folder = TempDir::new().unwrap();
    let archive = folder.path().join("archive");
    two_sessions(&archive);
    let mut wanted = wanted();
    change(&archive, &mut wanted);
    let out = folder.path().join("sent");
    let sent = pack(&archive, &wanted, &out, &Silent);
    let files = if sent.is_ok() { files(&out) } else { BTreeMap::new() };
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1 + usize::from(sent.is_ok()));
    (sent, files)
}

#[test]
fn a_pack_holds_pictures_by_specimen_and_view_and_a_table_to_answer_in() {
    let (sent, files) = packed(|_, wanted| wanted.audience.people = true);
    let names: Vec<&str> = files.keys().map(String::as_str).collect();
    // Two folders that read alike do not come together.
    let expected = [
        "2026-06-14-bank_001/2026-06-14-bank_001_face_1.jpg",
        "2026-06-14-bank_001/2026-06-14-bank_001_frame_1.jpg",
        "2026-06-14_bank_001/2026-06-14_bank_001_above_1.jpg",
        "2026-06-14_bank_001/2026-06-14_bank_001_face_1.jpg",
        "2026-06-14_bank_002/2026-06-14_bank_002_face_1.jpg",
        "2026-06-14_bank_002/2026-06-14_bank_002_frame_1.jpg",
        "index.html",
        "summary.csv",
        "summary.txt",
    ];
    assert_eq!(names, expected);
    let sent = sent.unwrap();
    let told: Vec<_> =
        sent.sessions.iter().map(|s| (s.folder.as_str(), s.specimens.len(), s.frames.len())).collect();
    assert_eq!(told, [("2026-06-14 bank", 1, 2), ("2026-06-14_bank", 2, 4)]);
    assert_eq!(sent.sessions[1].frames, [0, 1, 2, 3].map(FrameId));

    let rows = rows(&files);
    assert_eq!(rows.len(), 3);
    let row = rows.iter().find(|row| row["specimen"] == "2026-06-14_bank_001").unwrap();
    for (column, text) in [
        ("date", "2026-06-14"),
        ("locality", "Invented bank"),
        ("plant", "thrift"),
        ("sex", "female"),
        ("occurrenceRemarks", "'=1+1"),
        ("previousIdentifications", "Bombus cf. lucorum"),
        ("recordedBy", "E. Example"),
        ("missingViews", ""),
    ] {
        assert_eq!(row[column], text, "{column}");
    }
    assert!(row["occurrenceID"].starts_with("urn:uuid:"));
    let pictures: Vec<&str> = row["pictures"].split(" | ").collect();
    assert_eq!(pictures, [expected[3], expected[2]], "in the order of the plan");
    assert!(rows.iter().all(|row| ANSWER_TERMS[1..].iter().all(|column| row[*column].is_empty())));
    let header = text(&files, "summary.csv");
    assert!(header.lines().next().unwrap().ends_with(&ANSWER_TERMS[1..].join(",")));
    let other = rows.iter().find(|row| row["specimen"] == "2026-06-14_bank_002").unwrap();
    assert_eq!(other["missingViews"], "Above");
    assert!(text(&files, "summary.txt").contains("  No picture: Above\n"));
}

#[test]
fn pictures_have_a_strip_and_the_size_asked_for() {
    let size = |files: &BTreeMap<String, Vec<u8>>, name: &str| {
        let picture = image::load_from_memory(&files[name]).unwrap();
        (picture.width(), picture.height())
    };
    let face = "2026-06-14_bank_001/2026-06-14_bank_001_face_1.jpg";
    let (_, files) = packed(|_, _| ());
    let (width, height) = size(&files, face);
    assert!(width == 240 && (190..240).contains(&height), "160 px of picture and a strip: {height}");
    let (_, cropped) = packed(|_, wanted| wanted.around_subject = true);
    let (width, height) = size(&cropped, face);
    assert!(width.abs_diff(104) < 16 && height > width, "an animal of 80 px and its margin: {width}");
    let (_, small) = packed(|_, wanted| wanted.at_most_bytes = Some(4_000));
    assert!(
        small
            .iter()
            .filter(|(_, bytes)| bytes.starts_with(&[0xFF, 0xD8]))
            .all(|(_, bytes)| bytes.len() <= 4_000)
    );
    assert!(small[face].len() < files[face].len());
}

#[test]
fn a_bar_stands_under_a_picture_with_a_scale() {
    let with = |known: Option<f64>, picture_px| {
        let (_, files) = packed(|archive, _| {
            let (mut session, pictures) = filed::session(0, 1);
            let mark = Mark {
                id: MarkId(0),
                frame: FrameId(0),
                picture_px,
                kind: MarkKind::Line,
                points: vec![(100.0, 50.0), (400.0, 50.0)],
                placing_px: 1.0,
                what: String::new(),
                known: known.map(|mm| KnownLength { mm, standard_mm: 0.0 }),
                ratio_to: None,
                scale: ScaleUsed::Unscaled,
                tilt_deg: 0.0,
                depth_share: 0.0,
            };
            session.marks.insert(mark.id, mark);
            filed::file(archive, "2026-06-14_bank", &mut session, &pictures);
        });
        let bytes = &files["2026-06-14_bank_001/2026-06-14_bank_001_face_1.jpg"];
        let picture = image::load_from_memory(bytes).unwrap().into_luma8();
        let is_ink = |x: u32, y: u32| picture.get_pixel(x, y).0[0] < 110;
        let rows = (165..picture.height()).map(|y| {
            let (mut now, mut most) = (0, 0);
            for x in 0..240 {
                now = if is_ink(x, y) { now + 1 } else { 0 };
                most = most.max(now);
            }
            most
        });
        rows.max().unwrap()
    };
    assert!(with(None, (480, 320)) < 15, "letters alone");
    assert!(with(Some(30.0), (481, 320)) < 15, "the mark was made on another picture");
    // 300 px are 24 mm, so 150 px of the copy: a bar of a quarter of 240 px at most is one of 5 mm, 31 px.
    let px: i32 = with(Some(24.0), (480, 320));
    assert!((px - 31).abs() <= 1, "{px}");
}

#[test]
fn the_page_needs_nothing_but_its_pictures() {
    let (_, files) = packed(|_, _| ());
    let page = text(&files, "index.html");
    assert!(!page.contains("http") && !page.contains("<script") && !page.contains("url("), "{page}");
    assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"));
    let mut reader = quick_xml::Reader::from_str(page.strip_prefix("<!DOCTYPE html>").unwrap());
    let (mut pictures, mut ids, mut targets) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
    loop {
        match reader.read_event().unwrap() {
            quick_xml::events::Event::Eof => break,
            quick_xml::events::Event::Start(element) | quick_xml::events::Event::Empty(element) => {
                let value = |name: &str| {
                    let found = element.try_get_attribute(name).unwrap();
                    found.map(|a| String::from_utf8(a.value.into_owned()).unwrap())
                };
                if element.name().as_ref() == b"img" {
                    assert!(!value("alt").unwrap().is_empty());
                    pictures.insert(value("src").unwrap());
                }
                ids.extend(value("id"));
                targets.extend(value("href").and_then(|to| to.strip_prefix('#').map(str::to_owned)));
            }
            _ => {}
        }
    }
    assert!(
        pictures.iter().all(|picture| files.contains_key(picture)) && pictures.len() == 6,
        "{pictures:?}"
    );
    assert_eq!(ids, targets);
}

#[test]
fn people_are_left_out_as_chosen_and_specimens_are_chosen() {
    let (_, all) = packed(|_, _| ());
    let ids: Vec<Uuid> = rows(&all).iter().map(|row| row["occurrenceID"].parse().unwrap()).collect();
    let chosen = BTreeSet::from([ids[2]]);
    let (sent, files) = packed(|_, wanted| {
        wanted.specimens = Some(chosen.clone());
        wanted.which = Which::All;
    });
    assert_eq!(sent.unwrap().sessions.len(), 1);
    let rows = rows(&files);
    assert_eq!((rows.len(), rows[0]["specimen"].as_str()), (1, "2026-06-14_bank_002"));
    let says = |files: &BTreeMap<String, Vec<u8>>, words: &str| {
        files.values().any(|bytes| bytes.windows(words.len()).any(|window| window == words.as_bytes()))
    };
    assert!(!says(&files, ". Example"));
    let (_, with) = packed(|_, wanted| wanted.audience.people = true);
    for person in [
        "E. Example",
        "<rdf:li>F. Example</rdf:li>",
        "<rdf:li>G. Example</rdf:li>",
        "<rdf:li>H. Example</rdf:li>",
    ] {
        assert!(says(&with, person), "{person}");
    }
    let (refused, _) = packed(|_, wanted| wanted.specimens = Some(BTreeSet::from([Uuid::nil()])));
    assert!(matches!(refused, Err(PackFault::NotThere { specimens: 1, .. })));
}

#[test]
fn two_runs_give_the_same_bytes_as_folder_and_as_zip() {
    let (_, once) = packed(|_, _| ());
    let (_, again) = packed(|_, _| ());
    let (_, zipped) = packed(|_, wanted| wanted.form = Form::Zip);
    assert!(once == again && once == zipped);
}

#[test]
fn a_picture_that_is_missing_or_damaged_is_a_gap_that_is_told() {
    let (sent, files) = packed(|archive, _| {
        fs::remove_file(archive.join("2026-06-14_bank/001/exam4700.jpg")).unwrap();
        let damaged = archive.join("2026-06-14_bank/002/exam4702.jpg");
        let length = fs::read(&damaged).unwrap().len();
        fs::write(&damaged, vec![7; length]).unwrap();
    });
    let sent = sent.unwrap();
    assert_eq!(sent.sessions[1].frames, [1, 3].map(FrameId));
    assert_eq!(sent.faults.len(), 2);
    assert!(sent.faults[0].ends_with(": 2026-06-14_bank/001/exam4700.jpg"), "{}", sent.faults[0]);
    assert_eq!(rows(&files)[1]["missingViews"], "Face (the picture could not be copied)");
    assert!(text(&files, "index.html").contains("Face (the picture could not be copied)"));
}

#[test]
fn an_empty_record_and_odd_words_are_no_hindrance() {
    let odd = ["line\nbreak\r\n", "\u{202E}turned\u{2066}", "🐝 \u{0}", &"ő".repeat(10_000)].concat();
    let (sent, files) = packed(|archive, _| {
        let (mut session, pictures) = filed::session(20, 2);
        for frame in &mut session.frames {
            frame.taken = None;
        }
        session.decisions.labels.clear();
        session.specimens[0].note.clone_from(&odd);
        session.specimens[0]
            .determinations
            .push(Determination { name: odd.clone(), ..Determination::default() });
        session.plan.views[0].name.clone_from(&odd);
        filed::file(archive, "2026-06-14_bank", &mut session, &pictures);
    });
    assert_eq!(sent.unwrap().faults, Vec::<String>::new());
    let rows = rows(&files);
    assert!(
        rows[1]["occurrenceRemarks"].chars().count() > 10_000 && !rows[1]["occurrenceRemarks"].contains('\n')
    );
    assert_eq!((rows[2]["date"].as_str(), rows[2]["previousIdentifications"].as_str()), ("", ""));
    assert!(files.contains_key("2026-06-14_bank_002/2026-06-14_bank_002_frame_2.jpg"));
    for name in ["index.html", "summary.txt"] {
        let text = text(&files, name);
        assert!(
            text.len() < 30_000 && text.contains("characters more in summary.csv"),
            "{name}: {}",
            text.len()
        );
        assert!(!text.contains(['\u{202E}', '\u{2066}', '\u{0}']), "{name}: {text}");
    }
}

#[test]
fn what_stands_there_already_and_what_lies_in_the_archive_is_refused() {
    let folder = TempDir::new().unwrap();
    let archive = folder.path().join("archive");
    two_sessions(&archive);
    let refused = pack(&archive, &wanted(), &archive.join("sent"), &Silent);
    assert!(
        matches!(refused, Err(PackFault::Document(filing::DocumentFault::InArchive { .. }))),
        "{refused:?}"
    );
    fs::write(folder.path().join("sent"), "other").unwrap();
    let refused = pack(&archive, &wanted(), &folder.path().join("sent"), &Silent);
    assert!(matches!(refused, Err(PackFault::Document(filing::DocumentFault::Exists { .. }))));
    fs::create_dir(folder.path().join("empty")).unwrap();
    let refused = pack(&folder.path().join("empty"), &wanted(), &folder.path().join("new"), &Silent);
    assert!(matches!(refused, Err(PackFault::Nothing(_))));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
}

/// Stops at a picture.
struct StopsAt(usize, AtomicUsize);

impl Progress for StopsAt {
    fn at(&self, done: usize, of: usize) {
        assert!(done <= of && of == 6);
        self.1.fetch_max(done, Ordering::Relaxed);
    }
    fn stopped(&self) -> bool {
        self.1.load(Ordering::Relaxed) >= self.0
    }
}

#[test]
fn a_pack_that_is_stopped_leaves_nothing() {
    for (at, form) in [(0, Form::Folder), (2, Form::Folder), (2, Form::Zip), (6, Form::Folder)] {
        let folder = TempDir::new().unwrap();
        let archive = folder.path().join("archive");
        two_sessions(&archive);
        let stops = StopsAt(at, AtomicUsize::new(0));
        let stopped = pack(&archive, &Wanted { form, ..wanted() }, &folder.path().join("sent"), &stops);
        assert!(matches!(stopped, Err(PackFault::Stopped)), "{at}: {stopped:?}");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "only the archive is there");
    }
}

#[test]
fn coarsened_specimens_come_last_in_an_order_that_tells_nothing() {
    let (_, files) = packed(|archive, _| {
        for (folder, first) in [("2026-06-14 bank", 30), ("2026-06-14_bank", 40)] {
            let (mut session, pictures) = filed::session(first, 4);
            for animal in [0, 1, 3] {
                filed::write(&mut session, animal, Term::Sensitivity, "high");
            }
            filed::file(archive, folder, &mut session, &pictures);
        }
    });
    let labels: Vec<String> = rows(&files).into_iter().map(|row| row["specimen"].clone()).collect();
    assert_eq!(labels[..2], ["2026-06-14_003", "2026-06-14_003-2"]);
    assert!(
        labels[2..].is_sorted() && labels[2..].iter().all(|label| label.starts_with("specimen_")),
        "{labels:?}"
    );
    assert_eq!(labels.len(), 8);
}

//! A place planted wherever a person, a camera or a program may write it is found in the archive and nowhere in what is for
//! others.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

mod filed;
mod search;

use std::fs;
use std::path::Path;

use exchange::archive::{export_darwin_core, export_tables};
use exchange::darwin_core::Profile;
use exchange::pack::{Form, Wanted, Which, pack};
use exchange::sheets::{self, LabelSize, Paper, contact_sheets, drawer_labels, labels_pdf};
use exchange::{Audience, Sensitivity};
use record::{Determination, Silent, Term};
use search::{Needle, hits, rationals, ways_of_writing};
use tempfile::TempDir;

const LATITUDE: f64 = 47.618_34;
const LONGITUDE: f64 = 8.573_91;
const FOLDER: &str = "2026-06-14_hidden-cliff";

/// Exif data with a place (Exif 2.32: directory 0 points to that of the place), small end first.
fn exif() -> Vec<u8> {
    let mut tiff: Vec<u8> = b"II*\0\x08\0\0\0".to_vec();
    let entry = |tag: u16, kind: u16, count: u32, value: [u8; 4]| {
        [&tag.to_le_bytes()[..], &kind.to_le_bytes(), &count.to_le_bytes(), &value].concat()
    };
    tiff.extend(1u16.to_le_bytes());
    tiff.extend(entry(0x8825, 4, 1, 26u32.to_le_bytes()));
    tiff.extend([0; 4]);
    tiff.extend(4u16.to_le_bytes());
    // Its directory has 4 entries and ends at 26 + 2 + 48 + 4 = 80.
    tiff.extend(entry(1, 2, 2, *b"N\0\0\0"));
    tiff.extend(entry(2, 5, 3, 80u32.to_le_bytes()));
    tiff.extend(entry(3, 2, 2, *b"E\0\0\0"));
    tiff.extend(entry(4, 5, 3, 104u32.to_le_bytes()));
    tiff.extend([0; 4]);
    for degrees in [LATITUDE, LONGITUDE] {
        tiff.extend(rationals(degrees).iter().flat_map(|n| n.to_le_bytes()));
    }
    [&b"Exif\0\0"[..], &tiff].concat()
}

/// A picture with the place in Exif, XMP, IPTC's segment and a comment.
fn planted(seed: u32) -> Vec<u8> {
    let xmp = b"http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x='adobe:ns:meta/'>47,37.100N hidden cliff</x:xmpmeta>";
    let plain = filed::jpeg(seed);
    let mut all = plain[..2].to_vec();
    for (marker, bytes) in [
        (0xE1, exif()),
        (0xE1, xmp.to_vec()),
        (0xED, b"8BIM Hidden Cliff".to_vec()),
        (0xFE, b"47.618 8.574".to_vec()),
    ] {
        all.extend([0xFF, marker]);
        all.extend((bytes.len() as u16 + 2).to_be_bytes());
        all.extend(bytes);
    }
    all.extend(&plain[2..]);
    all
}

/// An archive whose one session has two animals of this sensitivity, with the place wherever it can stand.
fn plant(archive: &Path, sensitivity: &str) {
    let (mut session, mut files) = filed::session(0, 2);
    session.name = "Hidden cliff".into();
    for term in [Term::Creator, Term::RightsHolder] {
        session.fields.insert(term, filed::entry("F. Example, Hidden Cliff"));
    }
    for (seed, (path, bytes)) in (0..).zip(&mut files) {
        let to = path.replace("exam", "hidden-cliff_47.618_");
        for filed in session.filed.values_mut().filter(|filed| filed.path == *path) {
            filed.path.clone_from(&to);
        }
        (*path, *bytes) = (to, planted(seed));
    }
    for animal in 0..2 {
        for (term, text) in [
            (Term::Sensitivity, sensitivity),
            (Term::Coordinates, "47°37′6.024″N 8°34′26.076″E"),
            (Term::CoordinateUncertaintyInMeters, "12"),
            (Term::Locality, "Hidden Cliff"),
            (Term::Habitat, ["foot of the ravine", "wall at 47°37′"][animal]),
            (Term::Behavior, "resting, 47.61834 8.57391"),
            (Term::Plant, "ivy of 47 37 06, Hidden Cliff"),
            (Term::EventTime, "10:23"),
            (Term::RecordedBy, "E. Example of Hidden Cliff"),
        ] {
            filed::write(&mut session, animal, term, text);
        }
        // Some words name what the record names as the locality, others tell of a place besides.
        session.specimens[animal].note =
            ["in the ravine", "seen at 47,61834 N under the Hidden Cliff at 10:23"][animal].into();
        session.specimens[animal].jar = "hidden cliff 7".into();
        session.specimens[animal].determinations.push(Determination {
            name: "Bombus rarus from Hidden Cliff".into(),
            rank: "species".into(),
            ..Determination::default()
        });
    }
    filed::file(archive, FOLDER, &mut session, &files);
}

/// What must not be told: the place in all ways, its names, the numbers of the files and the time of day.
fn secrets() -> Vec<Needle> {
    let names =
        ["hidden cliff", "hidden-cliff", "ravine", "4700", "4702", "exam47", "10:23"].map(Needle::words);
    names.into_iter().chain(ways_of_writing(LATITUDE, LONGITUDE)).collect()
}

/// Names of people may go out as well: the place may be told beside one.
fn with_people() -> Audience {
    Audience { people: true, ..Audience::default() }
}

fn wanted(form: Form) -> Wanted {
    Wanted {
        audience: with_people(),
        specimens: None,
        which: Which::All,
        around_subject: false,
        long_side_px: 300,
        at_most_bytes: None,
        form,
    }
}

/// Everything else that is made for others, in a new folder of it.
fn others(archive: &Path, into: &Path) {
    fs::create_dir(into).unwrap();
    let media_base = Some("https://example.org/pictures".into());
    let profile = Profile { media_base, audience: with_people(), ..Profile::default() };
    export_darwin_core(archive, &profile, "2026-11-25", &into.join("records.zip"), &Silent).unwrap();
    export_tables(archive, &profile, "2026-11-25", &into.join("tables"), &Silent).unwrap();
    let sheets =
        contact_sheets(archive, FOLDER, &sheets::Wanted { audience: with_people(), chosen: None }, &Silent)
            .unwrap();
    fs::write(into.join("sheets.html"), sheets.html()).unwrap();
    fs::write(into.join("sheets.pdf"), sheets.pdf(Paper::A4).unwrap()).unwrap();
    for (nth, jpeg) in sheets.jpegs().enumerate() {
        fs::write(into.join(format!("copy-{nth}.jpg")), jpeg).unwrap();
    }
    let session = filing::filed_session(archive, FOLDER).unwrap();
    let labels = drawer_labels(FOLDER, &session, &with_people(), None);
    let pdf = labels_pdf(&labels, Paper::A4, LabelSize::Large, ["Labels", "en", ""]).unwrap();
    fs::write(into.join("labels.pdf"), pdf).unwrap();
    // Letters in a PDF are numbers of shapes: what they say is searched as it is handed over.
    fs::write(into.join("labels.txt"), format!("{labels:?}")).unwrap();
}

#[test]
fn a_planted_place_is_nowhere_in_what_else_is_for_others() {
    for sensitivity in Sensitivity::ALL {
        let folder = TempDir::new().unwrap();
        let archive = folder.path().join("archive");
        plant(&archive, sensitivity.word());
        let out = folder.path().join("out");
        others(&archive, &out);
        // The lowest category is shared to a thousandth of a degree: that much it may tell.
        let is_shared = |hit: &String| {
            sensitivity == Sensitivity::Low && ["47.618 ", "8.574 "].iter().any(|way| hit.starts_with(way))
        };
        let mut found = hits(&out, &secrets());
        // Where things stand in a PDF is told by numbers of bytes, which may have the digits of a file's number.
        let is_offset = |hit: &String| {
            ["4700 in ", "4702 in "].iter().any(|n| hit.starts_with(n)) && hit.contains(".pdf")
        };
        found.retain(|hit| !is_shared(hit) && !is_offset(hit));
        let in_file = |name: &str| found.iter().any(|hit| hit.contains(name));
        let told = sensitivity == Sensitivity::None;
        for name in ["occurrence.csv", "records.zip", "sheets.html", "labels.txt"] {
            assert_eq!(in_file(name), told, "{sensitivity:?}, {name}: {found:#?}");
        }
        assert!(told || found.is_empty(), "{sensitivity:?}: {found:#?}");
        assert!(!in_file("copy-"), "no copy of a picture says anything: {found:#?}");
    }
}

#[test]
fn a_planted_place_is_found_in_the_archive_and_nowhere_in_a_pack() {
    for (sensitivity, is_told) in [("none", true), ("medium", false), ("high", false), ("extreme", false)] {
        let folder = TempDir::new().unwrap();
        let archive = folder.path().join("archive");
        plant(&archive, sensitivity);
        let in_archive = hits(&archive, &secrets());
        for wanted in [
            "hidden cliff in archive/2026-06-14_hidden-cliff/session.ron",
            "hidden cliff in archive/2026-06-14_hidden-cliff/001/hidden-cliff_47.618_4700.jpg",
            "47.618 in the name archive/2026-06-14_hidden-cliff/001",
            "ravine in archive/2026-06-14_hidden-cliff/session.ron",
            "47,37.100 in archive/2026-06-14_hidden-cliff/001",
            "rationals, small end first in archive/2026-06-14_hidden-cliff/002",
            "47°37′ in archive/2026-06-14_hidden-cliff/session.ron",
            "47,618 in archive/2026-06-14_hidden-cliff/session.ron",
            "10:23 in archive/2026-06-14_hidden-cliff/session.ron",
            "exam47 in archive/2026-06-14_hidden-cliff/session.ron",
            "a segment E1 in archive/2026-06-14_hidden-cliff/001",
            "a segment ED in archive/2026-06-14_hidden-cliff/001",
            "a segment FE in archive/2026-06-14_hidden-cliff/001",
        ] {
            assert!(
                in_archive.iter().any(|hit| hit.starts_with(wanted)),
                "{wanted} is not in {in_archive:#?}"
            );
        }
        for form in [Form::Folder, Form::Zip] {
            let out = folder.path().join(if form == Form::Zip { "sent.zip" } else { "sent" });
            let sent = pack(&archive, &wanted(form), &out, &Silent).unwrap();
            assert_eq!((sent.sessions[0].frames.len(), sent.faults.len()), (4, 0));
            let found = hits(&out, &secrets());
            assert_eq!(!found.is_empty(), is_told, "{sensitivity}: {found:#?}");
            let segments = |hit: &String| hit.starts_with("a segment");
            assert!(!found.iter().any(segments), "of any record: {found:#?}");
        }
        assert!(fs::read_dir(folder.path()).unwrap().count() == 3, "nothing else was left");
    }
}

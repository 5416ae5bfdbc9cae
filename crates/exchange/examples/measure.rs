//! How long a large export takes: 100,000 invented specimens of five frames each in 1,000 filed sessions.
//!
//! `cargo run --release -p exchange --example measure -- SCRATCH [SPECIMENS]`. Prints seconds and bytes; on Linux the peak of
//! memory as well. SCRATCH is made and must not be there.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "figures for whoever runs this by hand")]

use std::fs;
use std::path::Path;
use std::time::Instant;

use exchange::archive::{export_darwin_core, export_tables, survey};
use exchange::darwin_core::Profile;
use record::{
    Determination, Entry, FileRole, Filed, Frame, FrameFile, FrameId, Label, Plan, Session, Set, Silent,
    Specimen, SpecimenId, Term,
};

const SPECIMENS_A_SESSION: u32 = 100;
const FRAMES: u32 = 5;
const PLAN: &str = r#"(key: "one", name: "One", views: [(key: "side", name: "Side", letter: 's', required: true,
    subject_part: "entireOrganism", subject_orientation: "lateral", hint: "All of it.")])"#;

/// The day of publication.
const DAY: &str = "2026-11-25";

fn entry(text: &str) -> Entry {
    Entry { text: text.into(), knowingly: false }
}

/// An invented session; every fiftieth animal is sensitive.
fn session(n: u32) -> Session {
    let mut session = Session::new(format!("Bank {n}"), Plan::from_text(PLAN).unwrap());
    for (term, text) in [
        (Term::Locality, "Invented bank by the invented ditch"),
        (Term::RecordedBy, "A. Example | B. Example"),
        (Term::License, "https://creativecommons.org/licenses/by/4.0/legalcode"),
        (Term::CoordinateUncertaintyInMeters, "8"),
    ] {
        session.fields.insert(term, entry(text));
    }
    for animal in 0..SPECIMENS_A_SESSION {
        let mut frames = Vec::new();
        for at in 0..FRAMES {
            let id = FrameId(animal * FRAMES + at);
            let path = format!("DCIM/100EXAMP/EXAM{:04}.JPG", id.0);
            let picture = FrameFile { path: path.clone(), bytes: 4_000_000, role: FileRole::Picture };
            let mut frame = Frame::new(id, vec![picture]);
            let (minute, second) = (id.0 / 60, id.0 % 60);
            let taken = format!(
                "20{:02}-{:02}-{:02}T10:{minute:02}:{second:02}",
                n / 336,
                1 + n / 28 % 12,
                1 + n % 28
            );
            frame.taken = taken.parse().ok();
            frame.size_px = Some((6000, 4000));
            session.frames.push(frame);
            let sha256 = format!("{:064x}", u64::from(n) << 32 | u64::from(id.0));
            let filed = Filed {
                path: format!("{animal:03}/{}_side_1.jpg", id.0),
                bytes: 4_000_000,
                sha256,
                session: None,
            };
            session.filed.insert(path, filed);
            frames.push(id);
        }
        let id = SpecimenId(animal);
        session.decisions.labels.insert(frames[0], Label { view: "side".into(), specimen: id });
        let mut specimen = Specimen::new(id, frames.clone());
        let place = format!("52.{:05}, 0.{:05}", animal * 900, n * 90);
        specimen.fields.insert(Term::Coordinates, entry(&place));
        if animal % 50 == 7 {
            specimen.fields.insert(Term::Sensitivity, entry("high"));
        }
        specimen.determinations.push(Determination {
            name: format!("Bombus inventus{}", animal % 20),
            rank: "species".into(),
            by: "C. Example".into(),
            ..Determination::default()
        });
        specimen.note = "An invented animal, with \"quotes\", commas, and a remark of usual length.".into();
        session.specimens.push(specimen);
        session.sets.push(Set {
            number: animal + 1,
            frames,
            closed_by: None,
            jar_card: None,
            specimens: vec![id],
        });
    }
    session
}

/// Peak of memory of this program, megabytes; Linux only.
fn peak_mb() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().trim_end_matches(" kB").parse::<f64>().ok()? / 1000.0)
}

fn main() {
    let mut args = std::env::args().skip(1);
    let scratch = args.next().expect("usage: measure SCRATCH [SPECIMENS]");
    let specimens: u32 = args.next().map_or(100_000, |n| n.parse().expect("a number of specimens"));
    let scratch = Path::new(&scratch);
    let archive = scratch.join("archive");
    fs::create_dir_all(scratch.parent().unwrap_or(Path::new("."))).unwrap();
    fs::create_dir(scratch).unwrap();
    let mut bytes = 0;
    for n in 0..specimens.div_ceil(SPECIMENS_A_SESSION) {
        let folder = archive.join(format!("bank-{n:04}"));
        fs::create_dir_all(&folder).unwrap();
        let text = record::session_to_text(&session(n));
        bytes += text.len();
        fs::write(folder.join("session.ron"), text).unwrap();
    }
    println!(
        "{specimens} specimens, sessions of {:.0} MB; peak so far {:?} MB",
        bytes as f64 / 1e6,
        peak_mb()
    );
    let profile = Profile { media_base: Some("https://example.org/pictures".into()), ..Profile::default() };
    let (zip, tables) = (scratch.join("data.zip"), scratch.join("tables"));
    let timed = |what: &str, start: Instant| {
        println!("{what}: {:.1} s, peak {:?} MB", start.elapsed().as_secs_f64(), peak_mb());
    };
    let start = Instant::now();
    let found = survey(&archive, &profile, DAY, &Silent).unwrap();
    timed("surveyed", start);
    println!("{} neighbours, {} questions", found.neighbours().len(), found.findings.len());
    let start = Instant::now();
    export_darwin_core(&archive, &profile, DAY, &zip, &Silent).unwrap();
    timed("Darwin Core archive", start);
    let start = Instant::now();
    export_tables(&archive, &profile, DAY, &tables, &Silent).unwrap();
    timed("tables for people", start);
    println!("zip: {:.1} MB", fs::metadata(&zip).unwrap().len() as f64 / 1e6);
}

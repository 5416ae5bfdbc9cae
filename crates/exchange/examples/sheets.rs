//! Contact sheets, labels and a retake list of an archive's sessions, and the pictures put into them, in a new folder.
//!
//! `cargo run -p exchange --example sheets -- ARCHIVE OUT`. OUT is made and must not be there. Prints faults, seconds, and on
//! Linux the peak of memory.
#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "for whoever runs this by hand")]

use std::fs;
use std::path::Path;
use std::time::Instant;

use exchange::Audience;
use exchange::sheets::{
    Label, LabelSize, Paper, RetakeList, RetakeRow, Wanted, contact_sheets, drawer_labels, labels_pdf,
    retakes_pdf,
};
use record::Silent;

/// Peak of memory of this program, megabytes; Linux only.
fn peak_mb() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    Some(line.trim().trim_end_matches(" kB").parse::<f64>().ok()? / 1000.0)
}

/// Contact sheets of a session on both papers and for browsers, and their pictures.
fn contact(archive: &Path, folder: &str, out: &Path) {
    let start = Instant::now();
    let sheets = contact_sheets(
        archive,
        folder,
        &Wanted { audience: Audience { people: true, ..Audience::default() }, chosen: None },
        &Silent,
    )
    .unwrap();
    println!("{folder}: pictures in {:.1} s", start.elapsed().as_secs_f64());
    for fault in sheets.faults() {
        println!("{fault}");
    }
    for paper in Paper::ALL {
        let pdf = sheets.pdf(paper).unwrap();
        assert!(pdf == sheets.pdf(paper).unwrap(), "two runs give the same bytes");
        fs::write(out.join(format!("{folder}-sheets-{paper:?}.pdf")), pdf).unwrap();
    }
    fs::write(out.join(format!("{folder}-sheets.html")), sheets.html()).unwrap();
    let pictures = out.join(format!("{folder}-pictures"));
    fs::create_dir(&pictures).unwrap();
    for (nth, jpeg) in sheets.jpegs().enumerate() {
        fs::write(pictures.join(format!("{nth:04}.jpg")), jpeg).unwrap();
    }
    println!("{folder}: all in {:.1} s, peak {:?} MB", start.elapsed().as_secs_f64(), peak_mb());
}

fn main() {
    let mut args = std::env::args().skip(1);
    let (archive, out) = args.next().zip(args.next()).expect("usage: sheets ARCHIVE OUT");
    let (archive, out) = (Path::new(&archive), Path::new(&out));
    fs::create_dir(out).unwrap();
    let jars: Vec<Label> = (1..=40).map(|n| Label::jar(&n.to_string()).unwrap()).collect();
    for paper in Paper::ALL {
        for size in LabelSize::ALL {
            let pdf = labels_pdf(&jars, paper, size, ["Labels for jars", "en", "2026-06-14"]).unwrap();
            fs::write(out.join(format!("jars-{paper:?}-{size:?}.pdf")), pdf).unwrap();
        }
    }
    for folder in filing::filed_sessions(archive).unwrap() {
        contact(archive, &folder, out);
        let session = filing::filed_session(archive, &folder).unwrap();
        let date = session.date().unwrap_or_default();
        let labels = drawer_labels(&folder, &session, &Audience::default(), None);
        for paper in Paper::ALL {
            let pdf =
                labels_pdf(&labels, paper, LabelSize::Medium, ["Labels for drawers", "en", &date]).unwrap();
            fs::write(out.join(format!("{folder}-drawer-{paper:?}.pdf")), pdf).unwrap();
            let rows = labels.iter().enumerate().map(|(n, _)| RetakeRow {
                number: (n + 1).to_string(),
                jar: format!("{}", 21 + n),
                lacks: if n % 3 == 0 {
                    "Face; abdomen tip: best of 4 is soft, and the edge of the frame cuts it"
                } else {
                    "One view short, which is not known yet"
                }
                .into(),
                held: "held 12 min, 3 min left of your 15".into(),
            });
            let list = RetakeList {
                title: "Retake list".into(),
                about: format!("{}, {date}, made at 11:50", session.name),
                heads: ["Done", "Specimen", "Jar", "Lacks", "Held"].map(str::to_owned),
                rows: rows.cycle().take(30).collect(),
                none: "No animal lacks a view.".into(),
                language: "en".into(),
                date: date.clone(),
            };
            fs::write(
                out.join(format!("{folder}-retakes-{paper:?}.pdf")),
                retakes_pdf(&list, paper).unwrap(),
            )
            .unwrap();
        }
    }
}

//! `endleaf export` on the demo session, end to end.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::fs;
use std::path::PathBuf;

use endleaf_tests::{Bench, demo_card, tree};
use record::{Entry, Term};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// A bench with the demo card noted and filed.
fn filed() -> Bench {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|_| true);
    let beside = |name: &str| demo_card("salt-marsh-bank").with_file_name(name).to_str().unwrap().to_owned();
    let noted =
        bench.run(&format!("note CARD --notebook {} --track {}", beside("notebook.csv"), beside("walk.gpx")));
    assert_eq!(noted.status, 0, "{}", noted.talk);
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    bench
}

fn session_file(bench: &Bench) -> PathBuf {
    let path = tree(&bench.archive()).into_keys().find(|path| path.ends_with("session.ron")).unwrap();
    bench.archive().join(path)
}

#[test]
fn a_filed_day_becomes_a_data_set_once() {
    let bench = filed();
    let (zip, tables) = (bench.home().with_file_name("data.zip"), bench.home().with_file_name("tables"));
    let archive = tree(&bench.archive());
    let look = bench.run("export ARCHIVE --dry-run");
    assert_eq!(look.status, 0, "{}", look.talk);
    assert!(look.out.contains("14 records to be shared"), "{}", look.out);
    for words in ["14 records: no licence", "14 records: no name", "14 records: pictures without an address"]
    {
        assert!(look.out.contains(words), "{words} in {}", look.out);
    }
    assert_eq!(bench.run("export ARCHIVE --dry-run --strict").status, 1);

    let command = format!("export ARCHIVE --darwin-core {} --csv {}", zip.display(), tables.display());
    let done = bench.run(&command);
    assert_eq!(done.status, 0, "{}", done.talk);
    assert!(done.out.contains(&format!("Written: {}", zip.display())), "{}", done.out);
    let before = fs::read(&zip).unwrap();
    assert_eq!(fs::read_dir(&tables).unwrap().count(), 4);
    assert!(tree(&bench.archive()) == archive, "the archive is only read");

    let again = bench.run(&command);
    assert_eq!(again.status, 2);
    assert!(again.talk.contains("has this name already"), "{}", again.talk);
    assert!(fs::read(&zip).unwrap() == before);
    for (words, said) in [
        ("export ARCHIVE", "Nothing is named"),
        ("export CARD --csv new", "No session is filed"),
        ("export ARCHIVE --csv new --basis guess", "MachineObservation"),
        ("export ARCHIVE --csv new --media-base ftp", "no address"),
    ] {
        let refused = bench.run(words);
        assert_eq!(refused.status, 2, "{words}");
        assert!(refused.talk.contains(said), "{words}: {}", refused.talk);
    }
}

#[test]
fn a_filed_day_is_packed_printed_and_kept_and_names_come_back() {
    let bench = filed();
    let to = |name: &str| bench.home().with_file_name(name);
    let command = format!(
        "export ARCHIVE --pack {} --contact-sheets {} --labels {} --bag {} --numbers 3,5-6",
        to("pack").display(),
        to("sheets.pdf").display(),
        to("labels.pdf").display(),
        to("bags").display()
    );
    let done = bench.run(&command);
    assert_eq!(done.status, 0, "{}", done.talk);
    assert_eq!(done.out.matches("Written: ").count(), 4, "{}", done.out);
    let packed = tree(&to("pack"));
    // Nobody confirmed a view of the demo session.
    let pictures = packed.keys().filter(|path| path.contains(".jpg"));
    assert!(
        pictures.clone().count() > 10 && pictures.clone().all(|path| path.contains("_frame_")),
        "{packed:?}"
    );
    for pdf in ["sheets.pdf", "labels.pdf"] {
        assert!(fs::read(to(pdf)).unwrap().starts_with(b"%PDF-"), "{pdf}");
    }
    let page = bench.run(&format!("export ARCHIVE --contact-sheets {}", to("sheets.html").display()));
    assert_eq!(page.status, 0, "{}", page.talk);
    assert!(fs::read_to_string(to("sheets.html")).unwrap().contains("<html"));
    // A bag is audited by what it says of itself.
    let bag = fs::read_dir(to("bags")).unwrap().next().unwrap().unwrap().path();
    assert_eq!(bench.run(&format!("audit {}", bag.display())).status, 0);
    fs::write(bag.join("data/session.ron"), "other").unwrap();
    let audit = bench.run(&format!("audit {}", bag.display()));
    assert_eq!(audit.status, 2);
    assert!(audit.out.contains("session.ron") || audit.talk.contains("session.ron"), "{}", audit.out);

    // A specialist fills in the table; names are taken once.
    let summary = to("pack").join("summary.csv");
    let text = fs::read_to_string(&summary).unwrap();
    let filled: Vec<String> = text
        .lines()
        .map(|line| match line.strip_suffix(",,,,,,,") {
            Some(row) => format!("{row},Bombus pratorum,,species,,I. Imaginary,2026-07-02,"),
            None => line.to_owned(),
        })
        .collect();
    fs::write(&summary, filled.join("\n")).unwrap();
    for (said, wanted) in [("3 names to be written", 3), ("0 names to be written", 0)] {
        let noted = bench.run(&format!("note CARD --answers {}", summary.display()));
        assert_eq!(noted.status, 0, "{}", noted.talk);
        assert!(noted.out.contains(said), "{}", noted.out);
        assert_eq!(noted.out.matches("Bombus pratorum to be written").count(), wanted, "{}", noted.out);
    }
    for (words, said) in [
        ("export ARCHIVE --pack new --numbers 9-3", "are no numbers"),
        ("export ARCHIVE --pack new --session none", "No session is filed in this folder"),
        ("export ARCHIVE --pack new --numbers 99", "no specimen"),
    ] {
        let refused = bench.run(words);
        assert_eq!(refused.status, 2, "{words}: {}", refused.out);
        assert!(refused.talk.to_lowercase().contains(&said.to_lowercase()), "{words}: {}", refused.talk);
    }
}

#[test]
fn neighbours_of_a_sensitive_animal_are_decided_about_first() {
    let bench = filed();
    let path = session_file(&bench);
    let mut session = record::session_from_text(&fs::read_to_string(&path).unwrap()).unwrap();
    let id = session.sets[4].specimens[0];
    let rare = session.specimens.iter_mut().find(|specimen| specimen.id == id).unwrap();
    rare.fields.insert(Term::Sensitivity, Entry { text: "high".into(), knowingly: false });
    let place = rare.fields[&Term::Coordinates].text.clone();
    fs::write(&path, record::session_to_text(&session)).unwrap();
    let latitude = place.split(',').next().unwrap().to_owned();

    let tables = |name: &str| bench.home().with_file_name(name);
    let refused = bench.run(&format!("export ARCHIVE --csv {}", tables("none").display()));
    assert_eq!(refused.status, 2, "{}", refused.out);
    assert!(refused.talk.contains("--same-stop"), "{}", refused.talk);
    assert!(refused.out.contains("which they give away"), "{}", refused.out);
    assert!(!tables("none").exists());
    for (choice, is_told) in [("exact", true), ("coarse", false)] {
        let done =
            bench.run(&format!("export ARCHIVE --csv {} --same-stop {choice}", tables(choice).display()));
        assert_eq!(done.status, 0, "{}", done.talk);
        let text = fs::read_to_string(tables(choice).join("occurrence.csv")).unwrap();
        // To a hundred metres all were at one table.
        assert_eq!(text.contains(&latitude[..6]), is_told, "{choice}: {latitude}");
    }
}

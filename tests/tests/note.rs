//! A field notebook and a track read into a session, end to end.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::fs;

use endleaf_tests::{Bench, demo_card, tree};
use record::{Session, Term};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// The one session kept on a bench.
fn kept(bench: &Bench) -> Option<Session> {
    let (_, bytes) = tree(&bench.home()).into_iter().find(|(path, _)| path.ends_with("session.ron"))?;
    Some(record::session_from_text(&String::from_utf8(bytes).unwrap()).unwrap())
}

fn text(session: &Session, set: usize, term: Term) -> String {
    session.entry(session.record_of(&session.sets[set]), term).map_or(String::new(), |e| e.text.clone())
}

/// A bench with the demo card, its notebook and its walk.
fn demo() -> Bench {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|_| true);
    for name in ["notebook.csv", "walk.gpx"] {
        let bytes = fs::read(demo_card("salt-marsh-bank").with_file_name(name)).unwrap();
        fs::write(bench.home().with_file_name(name), bytes).unwrap();
    }
    bench
}

#[test]
fn the_demo_notebook_and_walk_are_written_into_the_session() {
    let bench = demo();
    let (book, walk) = (bench.home().with_file_name("notebook.csv"), bench.home().with_file_name("walk.gpx"));
    let (book, walk) = (book.to_str().unwrap(), walk.to_str().unwrap());
    let card = tree(&bench.card());

    let planned = bench.run(&format!("note CARD --notebook {book} --track {walk} --dry-run"));
    assert_eq!(planned.status, 0, "{}", planned.talk);
    assert!(planned.out.contains("column “Caught at”: time caught"), "{}", planned.out);
    assert!(planned.out.contains("14 specimens placed"), "{}", planned.out);
    assert!(kept(&bench).is_none(), "a dry run writes nothing");

    let noted = bench.run(&format!("note CARD --notebook {book} --track {walk}"));
    assert_eq!(noted.status, 0, "{}\n{}", noted.out, noted.talk);
    let session = kept(&bench).unwrap();
    assert_eq!(session.jar_of(&session.sets[0]), "21");
    assert_eq!(session.jar_of(&session.sets[13]), "34");
    assert_eq!(text(&session, 3, Term::Sex), "male");
    assert_eq!(text(&session, 10, Term::Caste), "queen");
    assert_eq!(text(&session, 5, Term::EventTime), "08:55");
    // All were photographed at the table, within some metres of it.
    assert!(
        text(&session, 0, Term::Coordinates).starts_with("53.401"),
        "{}",
        text(&session, 0, Term::Coordinates)
    );
    assert!(session.track.is_some());
    assert!(tree(&bench.card()) == card, "the card is only read");

    let again = bench.run(&format!("note CARD --notebook {book} --track {walk}"));
    assert_eq!(again.status, 0, "{}", again.talk);
    assert!(again.out.contains("14 specimens had a place, which stays"), "{}", again.out);
    assert_eq!(kept(&bench).unwrap(), session, "again it changes nothing");
}

#[test]
fn what_is_doubtful_or_broken_is_taken_not_at_all() {
    let bench = demo();
    let put = |name: &str, text: &str| {
        let path = bench.home().with_file_name(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let doubled = put("doubled.csv", "No,Jar,Plant\n1,21,thrift\n1,21,clover\n");
    let noted = bench.run(&format!("note CARD --notebook {doubled}"));
    assert_eq!(noted.status, 2);
    assert!(noted.out.contains("doubtful"), "{}", noted.out);
    assert!(noted.talk.contains("--leave-doubtful"), "{}", noted.talk);
    assert!(kept(&bench).is_none());

    let book = put("sheet.xlsx", "PK\u{3}\u{4}not a table");
    let noted = bench.run(&format!("note CARD --notebook {book}"));
    assert_eq!(noted.status, 2);
    assert!(noted.talk.contains("Save the sheet as CSV"), "{}", noted.talk);

    let walk = put("bomb.gpx", "<!DOCTYPE x [<!ENTITY a \"aaaa\">]><gpx>&a;");
    let noted = bench.run(&format!("note CARD --track {walk}"));
    assert!(noted.status == 2 || noted.out.contains("no track with times"), "{} {}", noted.out, noted.talk);
    for bad in ["note CARD", "note CARD --track nowhere.gpx", "note CARD --track x --zone east"] {
        assert_eq!(bench.run(bad).status, 2, "{bad}");
    }
}

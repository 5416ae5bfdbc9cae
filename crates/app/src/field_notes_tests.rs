//! Notebooks of an invented day, from their bytes to the edit.

use notes::{Remembered, read_notebook};
use record::{Plan, SpecimenId};

use super::*;
use crate::day::{Day, OpenOptions};

/// The demo session with jars 21, 22 and so on written down its sets.
fn with_jars() -> Session {
    let card =
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/salt-marsh-bank/card");
    let mut session = Day::open(&card, &OpenOptions::default(), None, &record::Silent).unwrap().session;
    for set in 0..4 {
        let edit = session.write_jar(set, &format!("{}", 21 + set)).unwrap();
        apply(&mut session, &edit);
    }
    session
}

fn apply(session: &mut Session, edit: &Edit) -> Edit {
    let back = session.apply(edit).unwrap();
    let sets = session.sets.iter().map(|set| (set.frames.clone(), set.closed_by)).collect();
    session.arrange(sets);
    back
}

fn planned(session: &Session, text: &str, decided: &Decided, replaces: bool) -> NotebookPlan {
    let notebook = read_notebook(text.as_bytes(), &Remembered::default()).unwrap();
    plan_notebook(session, &notebook, &notebook.mapping, decided, replaces).unwrap()
}

fn field(session: &Session, set: usize, term: Term) -> Option<&str> {
    session.record_of(&session.sets[set])?.fields.get(&term).map(|entry| entry.text.as_str())
}

const SHEET: &str = "Jar;Time;Coordinates;Plant;Sex;Notes;Name;Recorder;Habitat\n\
    22;09:31;\"52,2001; 0,1203\";thrift;f;wet;Bombus cf. lucorum;A. Nobody;bank\n\
    21;09:20;\"52°12′0″N 0°7′12″E\";sea lavender;♂;;;A. Nobody;\n\
    024;;;clover;worker;;;A. Nobody;bank\n";

#[test]
fn rows_are_written_by_their_jars_as_one_change_that_is_taken_back_exactly() {
    let mut session = with_jars();
    let before = session.clone();
    let plan = planned(&session, SHEET, &Decided::new(), false);
    let about: Vec<_> = plan.rows.iter().map(|row| (row.line, row.set, row.is_open)).collect();
    assert_eq!(about, [(2, Some(1), false), (3, Some(0), false), (4, Some(3), false)]);
    let back = apply(&mut session, plan.edit.as_ref().unwrap());
    assert_eq!(field(&session, 1, Term::Coordinates), Some("52.2001, 0.1203"));
    assert_eq!(field(&session, 1, Term::EventTime), Some("09:31"));
    assert_eq!(field(&session, 1, Term::Sex), Some("female"));
    assert_eq!(field(&session, 0, Term::Sex), Some("male"));
    assert_eq!(field(&session, 0, Term::Plant), Some("sea lavender"));
    assert_eq!(field(&session, 0, Term::Habitat), None);
    let first = session.record_of(&session.sets[1]).unwrap();
    assert_eq!(first.note, "wet");
    let given = &first.determinations[0];
    assert_eq!((given.words().as_str(), given.source.as_str()), ("Bombus cf. lucorum", "field notebook"));
    assert_eq!(session.fields[&Term::RecordedBy].text, "A. Nobody");
    // What is no word of the field is kept as it is, and says so.
    let third = &session.record_of(&session.sets[3]).unwrap().fields[&Term::Sex];
    assert_eq!((third.text.as_str(), third.knowingly), ("worker", true));
    assert!(planned(&session, SHEET, &Decided::new(), false).edit.is_none(), "again it changes nothing");
    apply(&mut session, &back);
    assert_eq!(session, before);
}

#[test]
fn what_stands_already_stays_unless_it_is_to_be_replaced() {
    let mut session = with_jars();
    let edit = session.fill_in(0, Term::Plant, Some(Entry::new(Term::Plant, "thistle").unwrap())).unwrap();
    apply(&mut session, &edit);
    let plan = planned(&session, SHEET, &Decided::new(), false);
    let [conflict] = &plan.conflicts[..] else { panic!("{:?}", plan.conflicts) };
    assert_eq!((conflict.set, conflict.line, conflict.what.as_str()), (0, 3, "plant"));
    assert_eq!((conflict.stands.as_str(), conflict.wanted.as_str()), ("thistle", "sea lavender"));
    let mut kept = session.clone();
    apply(&mut kept, plan.edit.as_ref().unwrap());
    assert_eq!(field(&kept, 0, Term::Plant), Some("thistle"));
    let plan = planned(&session, SHEET, &Decided::new(), true);
    assert!(plan.conflicts.is_empty());
    apply(&mut session, plan.edit.as_ref().unwrap());
    assert_eq!(field(&session, 0, Term::Plant), Some("sea lavender"));
}

#[test]
fn a_doubtful_row_writes_nothing_until_a_person_decides() {
    let mut session = with_jars();
    let doubled = "Jar;Plant\n21;thrift\n21;clover\n";
    let plan = planned(&session, doubled, &Decided::new(), false);
    let open: Vec<usize> = plan.questions().map(|row| row.at).collect();
    assert!(!open.is_empty());
    assert!(plan.questions().any(|row| row.why.contains("more than once")), "{:?}", plan.rows);
    assert_eq!((open.len(), &plan.edit), (2, &None), "what is open writes nothing");
    let decided = Decided::from([(0, Some(0)), (1, None)]);
    let plan = planned(&session, doubled, &decided, false);
    assert_eq!(plan.questions().count(), 0);
    apply(&mut session, plan.edit.as_ref().unwrap());
    assert_eq!(field(&session, 0, Term::Plant), Some("thrift"));
}

#[test]
fn an_empty_day_takes_nothing() {
    let plan = Plan { key: "k".into(), name: "K".into(), views: vec![] };
    let session = Session::new("none", plan);
    let plan = planned(&session, SHEET, &Decided::new(), false);
    assert!(plan.rows.iter().all(|row| row.set.is_none()));
    assert!(session.specimen(SpecimenId(0)).is_none());
}

#[test]
fn a_qualifier_is_taken_out_of_a_name() {
    let check = |written: &str, name: &str, qualifier: &str| {
        assert_eq!(qualified(written), (name.to_owned(), qualifier.to_owned()), "{written}");
    };
    check("Bombus cf. lucorum", "Bombus lucorum", "cf.");
    check("Bombus aff lucorum", "Bombus lucorum", "aff.");
    check("Bombus lucorum?", "Bombus lucorum", "?");
    check("Bombus lucorum ?", "Bombus lucorum", "?");
    check("Bombus", "Bombus", "");
}

#[test]
fn what_a_day_has_once_is_written_where_all_rows_agree_and_told_where_they_differ() {
    let session = with_jars();
    let text = "jar,photographer,licence,recorder\n21,A. Example,https://example.org/by,B. Example\n\
                22,A. Example,https://example.org/by,C. Example\n";
    let plan = planned(&session, text, &Decided::new(), false);
    let mut written = session.clone();
    apply(&mut written, plan.edit.as_ref().unwrap());
    let of_day = |term: Term| written.fields.get(&term).map(|entry| entry.text.as_str());
    assert_eq!(of_day(Term::Creator), Some("A. Example"));
    assert_eq!(of_day(Term::License), Some("https://example.org/by"));
    assert_eq!(of_day(Term::RecordedBy), None);
    let told: Vec<&String> = plan.told.iter().filter(|told| told.contains("Rows differ")).collect();
    assert_eq!(told, ["Rows differ in recordedBy, which a day has once: nothing of it is written"]);
}

//! Answers beside invented specimens.

use notes::read_answers;
use record::History;

use super::*;
use crate::{identity, sample};

/// The occurrence of an animal of the sample, by its place.
fn urn(animal: u32) -> String {
    identity::urn(identity::occurrence(&format!("{:064x}", 2 * animal), 0))
}

fn answers(rows: &[String]) -> Vec<Answer> {
    let text = format!(
        "occurrenceID,scientificName,identifiedBy,dateIdentified,identificationRemarks\n{}\n",
        rows.join("\n")
    );
    read_answers(text.as_bytes(), "summary sent back", None).unwrap().rows
}

fn row(animal: u32, name: &str, by: &str, date: &str, remarks: &str) -> String {
    format!("{},{name},{by},{date},{remarks}", urn(animal))
}

fn outcomes(plan: &AnswersPlan) -> Vec<Outcome> {
    plan.rows.iter().map(|row| row.outcome.clone()).collect()
}

/// Takes a plan in and gives what the session is then; undoing gives back what it was.
fn taken(session: &Session, plan: &AnswersPlan) -> Session {
    let (mut now, mut history) = (session.clone(), History::default());
    history.apply(&mut now, "answers", plan.edit.as_ref().unwrap()).unwrap();
    let after = now.clone();
    history.undo(&mut now).unwrap();
    assert!(now == *session && history.undo_words().is_none(), "undone in one step");
    after
}

fn names(session: &Session, animal: usize) -> Vec<&str> {
    session.specimens[animal].determinations.iter().map(|d| d.name.as_str()).collect()
}

#[test]
fn answers_are_taken_whole_and_the_same_file_twice_changes_nothing() {
    let session = sample::session();
    let file = answers(&[
        row(2, "Bombus hortorum", "E. Example", "2026-08-01", "long face"),
        row(0, "Bombus lucorum", "E. Example", "2026-08-01", ""),
        row(2, "Bombus hortorum", "E. Example", "2026-08-01", "long face"),
    ]);
    let plan = plan_answers(&session, &file);
    assert_eq!(outcomes(&plan), [Outcome::Adds, Outcome::Adds, Outcome::Known]);
    assert_eq!((plan.added(), plan.rows[0].specimen), (2, Some(SpecimenId(2))));
    let after = taken(&session, &plan);
    assert_eq!((names(&after, 2), names(&after, 0).len()), (vec!["Bombus hortorum"], 2));
    let given = &after.specimens[2].determinations[0];
    assert_eq!((given.source.as_str(), &given.standing), ("summary sent back", &Standing::Given));
    let again = plan_answers(&after, &file);
    assert_eq!((outcomes(&again), again.edit), (vec![Outcome::Known; 3], None));
    // A table that leaves the remarks out brings nothing new; other remarks do.
    let without = answers(&[row(2, "Bombus hortorum", "E. Example", "2026-08-01", "")]);
    assert_eq!(plan_answers(&after, &without).edit, None);
    for changed in [
        row(2, "Bombus hortorum", "E. Example", "2026-08-01", "pale band"),
        row(2, "Bombus hortorum", "E. Example", "2026-08-02", "long face"),
        row(2, "Bombus hortorum", "F. Example", "2026-08-01", "long face"),
        row(2, "Bombus cf. hortorum", "E. Example", "2026-08-01", "long face"),
    ] {
        assert_eq!(plan_answers(&after, &answers(&[changed])).added(), 1);
    }
}

#[test]
fn specialists_who_differ_stand_side_by_side() {
    let session = sample::session();
    let plan = plan_answers(
        &session,
        &answers(&[
            row(2, "Bombus hortorum", "E. Example", "2026-08-01", ""),
            row(2, "Bombus ruderatus", "F. Example", "2026-08-03", ""),
        ]),
    );
    assert_eq!(outcomes(&plan), [Outcome::Adds, Outcome::Differs]);
    let after = taken(&session, &plan);
    assert_eq!(names(&after, 2), ["Bombus hortorum", "Bombus ruderatus"]);
    assert_eq!(record::current_name(&after.specimens[2].determinations), None);
}

#[test]
fn an_accepted_name_stays_accepted_when_another_comes() {
    let mut session = sample::session();
    session.specimens[0].determinations[0].standing = Standing::Accepted;
    let plan = plan_answers(
        &session,
        &answers(&[
            row(0, "Bombus cryptarum", "E. Example", "2026-08-01", ""),
            row(0, "Bombus lucorum", "E. Example", "2026-08-05", "seen again"),
        ]),
    );
    assert_eq!(outcomes(&plan), [Outcome::Against("Bombus cf. lucorum".into()), Outcome::Adds]);
    let after = taken(&session, &plan);
    assert_eq!(record::current_name(&after.specimens[0].determinations).unwrap().name, "Bombus lucorum");
    // A name that does not hold any more is nothing to differ from, and giving it anew is new.
    let revised = answers(&[row(1, "Bombus hortorum", "E. Example", "2026-08-01", "")]);
    let rare = row(1, "Bombus rarus", "E. Example", "2026-08-01", "");
    assert_eq!(outcomes(&plan_answers(&session, &revised)), [Outcome::Differs]);
    assert_eq!(outcomes(&plan_answers(&session, &answers(&[rare]))), [Outcome::Adds]);
}

#[test]
fn rows_of_others_without_a_name_or_amiss_are_told_and_write_nothing() {
    let session = sample::session();
    let plan = plan_answers(
        &session,
        &answers(&[
            row(9, "Bombus hortorum", "E. Example", "2026-08-01", ""),
            row(2, "", "E. Example", "2026-08-01", "too soft"),
            row(2, "Bombus hortorum", "E. Example", "2026-13-01", ""),
            "3,Bombus hortorum,,,".to_owned(),
        ]),
    );
    assert!(matches!(
        outcomes(&plan)[..],
        [Outcome::NoSpecimen, Outcome::NoName, Outcome::Amiss(_), Outcome::Amiss(_)]
    ));
    assert_eq!((plan.added(), &plan.edit), (0, &None));
    let specimens: Vec<_> = plan.rows.iter().map(|row| row.specimen).collect();
    assert_eq!(specimens, [None, Some(SpecimenId(2)), Some(SpecimenId(2)), None]);
    // The other session has the row that is not about this one.
    let other = sample::session_from(7, 3);
    let plan = plan_answers(&other, &answers(&[row(9, "Bombus hortorum", "", "", "")]));
    assert_eq!((outcomes(&plan), plan.rows[0].specimen), (vec![Outcome::Adds], Some(SpecimenId(2))));
}

#[test]
fn what_is_exported_for_people_comes_back_as_it_was() {
    let mut session = sample::session();
    let odd = "=1+1 antennae".to_owned();
    session.specimens[0].determinations[0].by = odd;
    let audience = crate::Audience { people: true, ..crate::Audience::default() };
    let profile = crate::darwin_core::Profile { audience, ..crate::darwin_core::Profile::default() };
    let rows = crate::darwin_core::rows(sample::FOLDER, &session, &profile);
    let table = crate::darwin_core::Table::Occurrence;
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(table.columns().iter().map(|column| column.name)).unwrap();
    for row in rows.iter().filter(|row| row.table == table) {
        writer.write_record(row.cells.iter().map(|cell| crate::cells::harmless(cell).into_owned())).unwrap();
    }
    let read = read_answers(&writer.into_inner().unwrap(), "", None).unwrap();
    assert!(read.passed_over.contains(&"locality".to_owned()));
    let mut found = outcomes(&plan_answers(&session, &read.rows));
    found.sort_by_key(|outcome| *outcome == Outcome::NoName);
    assert_eq!(found, [Outcome::Known, Outcome::Known, Outcome::NoName]);
    // What was withheld is nobody's name.
    let anew = answers(&[row(2, "Bombus hortorum", "withheld", "2026-08-01", "withheld")]);
    let given = taken(&session, &plan_answers(&session, &anew)).specimens[2].determinations[0].clone();
    assert_eq!((given.by, given.ground), (String::new(), String::new()));
}

#[test]
fn ten_thousand_rows_are_planned() {
    let session = sample::session_from(0, 50);
    let rows: Vec<String> = (0..10_000)
        .map(|n| row(n % 50, "Bombus hortorum", &format!("Example {}", n / 50), "2026", ""))
        .collect();
    let plan = plan_answers(&session, &answers(&rows));
    assert_eq!(plan.added(), 10_000);
    let after = taken(&session, &plan);
    assert!(after.specimens.iter().all(|specimen| specimen.determinations.len() == 200));
    assert_eq!(plan_answers(&after, &answers(&rows)).edit, None);
}

use record::{Determination, Entry, Standing};

use super::*;
use crate::Audience;
use crate::sample::{FOLDER, entry, session, session_from};

fn surveyed(session: &Session, profile: &Profile) -> Survey {
    let mut survey = Survey::new("2026-11-25");
    survey.add(FOLDER, session, profile);
    survey.finish();
    survey
}

#[test]
fn what_a_data_manager_would_question_is_asked() {
    let served = Profile { media_base: Some("https://example.org".into()), ..Profile::default() };
    let check = |change: &dyn Fn(&mut Session), expected: &[Question]| {
        let mut session = session_from(0, 1);
        let name = Determination {
            name: "Bombus lucorum".into(),
            rank: "species".into(),
            ..Determination::default()
        };
        session.specimens[0].determinations.push(name);
        change(&mut session);
        let asked: Vec<Question> =
            surveyed(&session, &served).findings.into_iter().map(|f| f.question).collect();
        assert_eq!(asked, expected);
    };
    check(&|_| (), &[]);
    check(&|s| drop(s.fields.remove(&Term::CoordinateUncertaintyInMeters)), &[Question::NoUncertainty]);
    check(&|s| drop(s.fields.remove(&Term::Coordinates)), &[Question::NoPlace]);
    check(&|s| drop(s.fields.remove(&Term::License)), &[Question::NoLicence]);
    check(&|s| s.specimens[0].determinations.clear(), &[Question::NoName]);
    check(&|s| s.specimens[0].determinations[0].rank.clear(), &[Question::NoRank]);
    check(
        &|s| {
            s.specimens[0]
                .determinations
                .push(Determination { name: "Bombus b".into(), ..Determination::default() });
        },
        &[Question::NamesDiffer],
    );
    check(&|s| s.specimens[0].determinations[0].date = "2026-05".into(), &[Question::NamedBeforeCaught]);
    check(&|s| s.specimens[0].determinations[0].date = "2026".into(), &[]);
    check(&|s| s.specimens[0].determinations[0].date = "2026-06-13".into(), &[Question::NamedBeforeCaught]);
    check(&|s| drop(s.fields.insert(Term::EventDate, entry("2027-06-14"))), &[Question::DateToCome]);
    check(&|s| s.frames[0].time_source = TimeSource::File, &[Question::DateOfFile]);
    check(&|s| s.frames.iter_mut().for_each(|f| f.taken = None), &[Question::NoDate]);
    let amiss = Entry::knowingly(Term::CoordinateUncertaintyInMeters, "0");
    check(
        &|s| drop(s.fields.insert(Term::CoordinateUncertaintyInMeters, amiss.clone())),
        &[Question::NoUncertainty, Question::LeftOutAmiss],
    );
    check(&|s| s.sets[0].specimens.clear(), &[Question::NotExported]);
    check(&|s| s.sets[0].specimens.push(record::SpecimenId(7)), &[Question::SeveralRecords]);
    check(&|s| s.filed.clear(), &[Question::NotExported]);
    let unserved = surveyed(&session_from(0, 1), &Profile::default());
    assert!(unserved.findings.iter().any(|f| f.question == Question::NoAddress));
}

#[test]
fn neighbours_of_a_coarsened_record_are_found_and_coarsened_when_asked() {
    let mut session = session();
    // The first animal is 80 m off: within reach of the third's 90 m, not of the coarsened one's 8 m.
    session.specimens[2].fields.insert(Term::CoordinateUncertaintyInMeters, entry("90"));
    let first = &mut session.specimens[0];
    first.fields.insert(Term::Coordinates, entry("52.20097, 0.12035"));
    first.fields.insert(Term::Locality, entry("Lane"));
    let survey = surveyed(&session, &Profile::default());
    assert_eq!((survey.records(), survey.coarsened()), (3, 1));
    let told: Vec<_> = survey.neighbours().iter().map(|b| survey.place_of(b.exact).unwrap().1).collect();
    assert_eq!(told, [3]);
    let also = survey.with_neighbours();
    let numbers: BTreeSet<u32> = also.keys().map(|id| survey.place_of(*id).unwrap().1).collect();
    assert_eq!(numbers, BTreeSet::from([1, 3]), "and what tells the third's place in turn");
    assert!(also.values().all(|category| *category == Sensitivity::High));
    let profile =
        Profile { audience: Audience { also_coarsened: also, ..Audience::default() }, ..Profile::default() };
    let again = surveyed(&session, &profile);
    assert_eq!((again.coarsened(), again.neighbours().len()), (3, 0));
}

#[test]
fn the_whole_is_credited_and_named_by_its_records() {
    let people = Audience { people: true, ..Audience::default() };
    let survey = surveyed(&session(), &Profile { audience: people, ..Profile::default() });
    let eml = crate::darwin_core::eml_xml(&survey.credits);
    for words in [
        "<pubDate>2026-11-25</pubDate>",
        "<surName>A. Example</surName>",
        "<surName>Example Group</surName>",
        "Licensed under <ulink url=\"https://creativecommons.org/licenses/by/4.0/legalcode\">",
        "Photographed specimens, 2026-06-14</title>",
    ] {
        assert!(eml.contains(words), "{words} in {eml}");
    }
    let without = surveyed(&session(), &Profile::default());
    let anonymous = crate::darwin_core::eml_xml(&without.credits);
    assert!(anonymous.contains("Data holder") && !anonymous.contains("A. Example"));
    assert_eq!(without.credits.name, survey.credits.name);
    let mut renamed = session();
    renamed.specimens[2].determinations.push(Determination {
        standing: Standing::Accepted,
        name: "B".into(),
        ..Default::default()
    });
    assert_eq!(surveyed(&renamed, &Profile::default()).credits.name, survey.credits.name);
    let mut twice = Survey::new("2026-11-25");
    for folder in ["one", "two"] {
        twice.add(folder, &session(), &Profile::default());
    }
    assert_eq!(twice.twice().count(), 3);
}

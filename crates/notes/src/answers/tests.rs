//! Answers as specialists send them.

use proptest::prelude::*;

use super::*;

const ONE: &str = "95371597-fd1d-5a01-abe1-88da72d2af50";

fn read(text: &str) -> Answers {
    read_answers(text.as_bytes(), "a letter", None).unwrap()
}

/// What one row gives under all headings: name, authorship, rank, qualifier, who, when, remarks; or its fault.
fn check(cells: &str, expected: Result<[&str; 7], &str>) {
    let answers = read(&format!("{}\n{ONE}|{cells}\n", ANSWER_TERMS.join("|")));
    let row = &answers.rows[0];
    match (&row.given, &row.fault, expected) {
        (Some(d), None, Ok(expected)) => {
            let found = [&d.name, &d.authorship, &d.rank, &d.qualifier, &d.by, &d.date, &d.ground];
            assert_eq!(found, expected, "{cells}");
            assert_eq!((d.source.as_str(), row.occurrence.as_str()), ("a letter", ONE));
        }
        (None, Some(fault), Err(expected)) => {
            assert!(fault.to_string().contains(expected), "{cells}: {fault}");
        }
        other => panic!("{cells}: {other:?}"),
    }
}

#[test]
fn a_row_is_a_determination() {
    check(
        "Bombus lucorum|(Linnaeus, 1761)|Species|cf.|C. Example|2026-07-04|pale collar",
        Ok([
            "Bombus lucorum",
            "(Linnaeus, 1761)",
            "species",
            "cf.",
            "C. Example",
            "2026-07-04",
            "pale collar",
        ]),
    );
    // With its authorship, as Darwin Core has it.
    check(
        "Bombus lucorum (Linnaeus, 1761)|(Linnaeus, 1761)|||||",
        Ok(["Bombus lucorum", "(Linnaeus, 1761)", "", "", "", "", ""]),
    );
    let named = |cells: &str, name, qualifier| check(cells, Ok([name, "", "", qualifier, "", "", ""]));
    named("Bombus cf. lucorum||||||", "Bombus lucorum", "cf.");
    named("Bombus lucorum?||||||", "Bombus lucorum", "?");
    named("Bombus  aff lucorum||||||", "Bombus lucorum", "aff.");
    // As exported, with the part of the name that it belongs to.
    named("Bombus lucorum|||cf. lucorum|||", "Bombus lucorum", "cf.");
    named("Bombus cf. lucorum|||cf.|||", "Bombus lucorum", "cf.");
    check("Bombus cf. lucorum|||aff.|||", Err("the name has “cf.” in it"));
    check("Bombus lucorum|||near|||", Err("“near” is no qualifier"));
    check("Bombus lucorum|||cf. hortorum|||", Err("“cf. hortorum” is no qualifier"));
}

#[test]
fn dates_are_read_as_people_and_spreadsheets_write_them() {
    let dated = |text: &str, date| check(&format!("B b|||||{text}|"), Ok(["B b", "", "", "", "", date, ""]));
    dated("2026", "2026");
    dated("2026-07", "2026-07");
    dated("2026-07-04T10:23", "2026-07-04");
    dated("4.7.2026", "2026-07-04");
    dated("24/07/2026", "2026-07-24");
    check("B b|||||04/07/2026|", Err("can be two dates"));
    check("B b|||||soon|", Err("“soon” is no date"));
    // The whole column tells, or a person does.
    let text = |last: &str| {
        format!("occurrenceID,scientificName,dateIdentified\n{ONE},B b,04/07/2026\n{ONE},B b,{last}\n")
    };
    let first = |answers: Answers| answers.rows[0].given.clone().map(|given| given.date);
    assert_eq!(first(read(&text("24/07/2026"))), Some("2026-07-04".into()));
    assert_eq!(first(read(&text("07/24/2026"))), Some("2026-04-07".into()));
    let told = read_answers(text("").as_bytes(), "", Some(DayOrder::MonthFirst)).unwrap();
    assert_eq!(first(told), Some("2026-04-07".into()));
}

#[test]
fn a_row_says_what_it_is_about_or_what_is_amiss() {
    let check = |row: &str, occurrence: &str, is_given: bool, fault: Option<&str>| {
        let answers = read(&format!("occurrenceID,scientificName\n{row}\n"));
        let found = &answers.rows[0];
        assert_eq!((found.occurrence.as_str(), found.given.is_some()), (occurrence, is_given), "{row}");
        let words = found.fault.as_ref().map(ToString::to_string);
        assert_eq!(
            words.as_deref().map(|words| words.contains(fault.unwrap_or("nothing"))),
            fault.map(|_| true)
        );
    };
    check(&format!("{ONE},B b"), ONE, true, None);
    check(&format!("urn:uuid:{ONE},B b"), ONE, true, None);
    check(&format!("URN:UUID:{},B b", ONE.to_uppercase()), ONE, true, None);
    check(&format!("{ONE},"), ONE, false, None);
    check(",B b", "", false, Some("names no occurrence"));
    for id in ["17", &ONE[1..], &format!("{ONE}0"), &ONE.replace('f', "g"), &ONE.replace('-', "")] {
        check(&format!("{id},B b"), "", false, Some("is no occurrenceID"));
    }
}

#[test]
fn an_apostrophe_before_a_formula_is_taken_away_and_no_other() {
    for (cell, remarks) in [
        ("'=1+1", "=1+1"),
        ("'-", "-"),
        ("'@home", "@home"),
        ("'＝1", "＝1"),
        ("'quoted'", "'quoted'"),
        ("o'clock", "o'clock"),
        ("'", "'"),
        ("=1+1", "=1+1"),
    ] {
        check(&format!("B b||||||{cell}"), Ok(["B b", "", "", "", "", "", remarks]));
    }
}

#[test]
fn columns_are_known_by_their_terms_alone() {
    let text = format!(
        "Filled in by C.\n\nphotographs;dwc:occurrenceID;SCIENTIFICNAME;previous scientificName;scientificName\n3;{ONE};B b;B c;B d\n"
    );
    let answers = read(&text);
    assert_eq!(answers.passed_over, ["photographs", "previous scientificName"]);
    assert_eq!(answers.rows[0].given.as_ref().map(|given| given.name.as_str()), Some("B b"));
    assert_eq!((answers.rows[0].line, answers.dialect.delimiter), (4, ';'));
    assert!(answers.told.iter().any(|told| told.what == TableDoubt::SameColumn));
    let fault = |text: &str| read_answers(text.as_bytes(), "", None).unwrap_err();
    assert_eq!(fault("id,scientificName\n1,B b\n"), AnswersFault::NoColumn("occurrenceID"));
    assert_eq!(fault("occurrenceID,name\n1,B b\n"), AnswersFault::NoColumn("scientificName"));
    assert_eq!(fault(""), AnswersFault::Table(TableFault::Empty));
    assert_eq!(fault("PK\u{3}\u{4}"), AnswersFault::Table(TableFault::Spreadsheet));
}

#[test]
fn encodings_of_spreadsheets_are_read() {
    let text = format!("occurrenceID\tscientificName\tidentifiedBy\r\n{ONE}\tB b\tÅ. Müller\r\n");
    let utf16: Vec<u8> =
        std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(u16::to_le_bytes).collect();
    let latin: Vec<u8> = text.chars().map(|c| c as u8).collect();
    let marked = format!("\u{feff}{text}").into_bytes();
    for (bytes, encoding) in [
        (text.clone().into_bytes(), "UTF-8"),
        (marked, "UTF-8"),
        (utf16, "UTF-16LE"),
        (latin, "windows-1252"),
    ] {
        let answers = read_answers(&bytes, "", None).unwrap();
        assert_eq!(answers.dialect.encoding, encoding);
        assert_eq!(answers.rows[0].given.as_ref().unwrap().by, "Å. Müller");
    }
}

proptest! {
    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let head = b"occurrenceID,scientificName,dateIdentified\n";
        read_answers(&[&head[..], &bytes].concat(), "", None).ok();
    }
}

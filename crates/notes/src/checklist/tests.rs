use proptest::prelude::*;

use super::*;

/// Names of real animals; that some are sensitive, and the vernacular names with accents, are invented.
const LIST: &str = "A list for trying out,,,,
Scientific name,Author,Vernacular name,Rank,Sensitive
Bombus terrestris,\"(Linnaeus, 1758)\",Buff-tailed bumblebee,species,no
Bombus terricola,\"Kirby, 1837\",Yellow-banded bumblebee,species,Category 2
Bombus,\"Latreille, 1802\",bumblebees,genus,
Osmia bicornis,\"(Linnaeus, 1758)\",Érable-Biene,species,yes
,nobody,nothing,,
Bombus  terricola,,,species,1
Andrena fulva,\"(Müller, 1766)\",Tawny mining bee,species,perhaps
";

fn list() -> Checklist {
    read_checklist(LIST.as_bytes(), None).unwrap()
}

fn names(list: &Checklist, typed: &str, limit: usize) -> Vec<String> {
    list.find(typed, limit).into_iter().map(|t| t.name.clone()).collect()
}

#[test]
fn names_are_found_as_one_types() {
    let list = list();
    assert_eq!(names(&list, "bombus terr", 9)[..1], ["Bombus terrestris"]);
    assert_eq!(names(&list, "BOMBUS", 9).len(), 4);
    assert_eq!(names(&list, "bombus", 2).len(), 2);
    assert_eq!(names(&list, "terre", 9), ["Bombus terrestris"]);
    assert_eq!(names(&list, "b  terri", 9), ["Bombus terricola", "Bombus  terricola"]);
    assert_eq!(names(&list, "bumble", 9).len(), 3);
    assert_eq!(names(&list, "éra", 9), ["Osmia bicornis"]);
    assert_eq!(names(&list, "biene", 9), ["Osmia bicornis"]);
    assert_eq!(names(&list, "bee taw", 9), ["Andrena fulva"]);
    // Names that begin so come before words that do.
    assert_eq!(
        names(&list, "b", 5),
        ["Bombus", "Bombus terrestris", "Bombus terricola", "Bombus  terricola", "Andrena fulva"],
        "names that begin so come before words that do"
    );
    let two = b"species,common name\nZabrus,osier beetle\nOsmia,mason bee\n";
    assert_eq!(names(&read_checklist(two, None).unwrap(), "os", 9), ["Osmia", "Zabrus"]);
    for nothing in ["", " ", "ombus", "bombus x", "zzz"] {
        assert!(names(&list, nothing, 9).is_empty(), "{nothing}");
    }
    assert!(list.find("b", 0).is_empty());
}

#[test]
fn sensitive_names_are_told_and_the_stricter_counts() {
    let list = list();
    for (name, expected) in [
        ("Bombus terrestris", Some(Sensitivity::No)),
        ("bombus terrestris (Linnaeus, 1758)", Some(Sensitivity::No)),
        ("Bombus terricola", Some(Sensitivity::Category(1))),
        ("Osmia bicornis", Some(Sensitivity::Yes)),
        ("Andrena fulva (Muller, 1766)", Some(Sensitivity::Yes)),
        ("Osmia", None),
        ("", None),
    ] {
        assert_eq!(list.sensitivity(name), expected, "{name}");
    }
    let order = [4, 3, 2, 1].map(Sensitivity::Category);
    assert!(order.windows(2).all(|w| w[0].stricter(w[1]) == w[1] && w[1].stricter(w[0]) == w[1]));
    assert_eq!(Sensitivity::Yes.stricter(Sensitivity::Category(2)), Sensitivity::Yes);
    assert_eq!(Sensitivity::Yes.stricter(Sensitivity::Category(1)), Sensitivity::Category(1));
    for (text, read) in
        [("kat. 3", Some(Sensitivity::Category(3))), ("Oui", Some(Sensitivity::Yes)), ("5", None)]
    {
        assert_eq!(Sensitivity::read(text), read, "{text}");
    }
}

#[test]
fn what_is_doubtful_is_told() {
    let told: Vec<(ListDoubt, u64)> = list().told.into_iter().map(|t| (t.what, t.line)).collect();
    assert_eq!(
        told,
        [
            (ListDoubt::Table(TableDoubt::TitleRow), 1),
            (ListDoubt::NameMissing, 7),
            (ListDoubt::Sensitivity, 9),
        ]
    );
    assert_eq!(read_checklist(b"rank,author\nx,y\n", None).unwrap_err(), ListFault::NoNames);
    let columns = [ListColumn::LeaveOut, ListColumn::ScientificName];
    let said = read_checklist(b"rank,author\nx,Apis mellifera\n", Some(&columns)).unwrap();
    assert_eq!(said.taxa[0].name, "Apis mellifera");
    assert_eq!(read_checklist(b"", None).unwrap_err(), ListFault::Table(TableFault::Empty));
}

proptest! {
    /// Against looking at every name.
    #[test]
    fn all_that_match_are_found_and_no_others(
        all in proptest::collection::vec("[abé]{1,3}( [abé]{1,3}){0,2}", 1..9),
        typed in "[abe]{1,2}( [abe]{1,2}){0,1}",
    ) {
        let list = read_checklist(format!("species\n{}\n", all.join("\n")).as_bytes(), None).unwrap();
        let matches = |name: &str| {
            let name = folded(name);
            typed.split(' ').all(|part| name.split(' ').any(|word| word.starts_with(part)))
        };
        let mut expected: Vec<&String> = all.iter().filter(|n| matches(n)).collect();
        let mut found: Vec<&String> = list.find(&typed, 99).into_iter().map(|t| &t.name).collect();
        expected.sort();
        found.sort();
        prop_assert_eq!(found, expected);
    }
}

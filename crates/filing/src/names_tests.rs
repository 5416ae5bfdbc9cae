use proptest::prelude::*;

use super::*;
use record::Plan;

fn session(name: &str) -> Session {
    let plan =
        "(key: \"k\", name: \"K\", views: [(key: \"side\", name: \"Side\", letter: 's', required: true,
        subject_part: \"entireOrganism\", subject_orientation: \"lateral\", hint: \"\")])";
    Session::new(name, Plan::from_text(plan).unwrap())
}

fn check(name: &str, expected: &str) {
    assert_eq!(free_folder(&session(name), |_| false).0, expected, "{name:?}");
}

#[test]
fn session_names_become_folders() {
    check("Hay meadow, north", "undated_Hay-meadow,-north");
    check("", "undated_session");
    check("..", "undated_session");
    check(" ../.. /x\\y:z ", "undated_x-y-z");
    check("con", "undated_con-x");
    check("COM7", "undated_COM7-x");
    check("communal", "undated_communal");
    check("Höhe\u{202e} 7\n", "undated_Höhe-7");
    check(&"long ".repeat(30), "undated_long-long-long-long-long-long-long-long-long-lo");
}

#[test]
fn what_was_done_to_a_name_is_told() {
    let altered = |jar: &str, words| Values { jar, ..VALUES }.folder(&form(words, "_")).1;
    assert_eq!(altered("B7", "date jar"), None);
    assert_eq!(altered(" B7 ", "date jar"), None, "space around it is no part of it");
    assert_eq!(altered("B 7", "date jar"), Some(Altered::Letters));
    assert_eq!(altered("../x", "jar specimen"), Some(Altered::Letters));
    assert_eq!(altered("con", "jar specimen"), Some(Altered::Letters));
    let long = "j".repeat(80);
    assert_eq!(altered(&long, "date jar"), Some(Altered::Long));
    assert_eq!(altered("B 7", "date specimen"), None, "the jar is not in it");
    let stem = |view| Values { view, ..VALUES }.stem(&form("date view n", "_"), String::new(), 2).altered;
    assert_eq!((stem("head-top"), stem("head top")), (None, Some(Altered::Letters)));
}

#[test]
fn a_taken_name_gets_a_number() {
    let taken = ["undated_day", "undated_day_2"];
    let (name, altered) = free_folder(&session("day"), |name| taken.contains(&name));
    assert_eq!((name.as_str(), altered), ("undated_day_3", Some(Altered::Taken)));
    let altered = |name: &str| free_folder(&session(name), |_| false).1;
    assert_eq!(altered("Hay-meadow"), None);
    assert_eq!((altered("Hay meadow"), altered("../x")), (Some(Altered::Letters), Some(Altered::Letters)));
    assert_eq!(altered(&"long".repeat(30)), Some(Altered::Long));
}

#[test]
fn endings_are_lower_case_and_plain() {
    let ending = |path| endings(path).take(2).collect::<Vec<_>>();
    assert_eq!(ending("DCIM/A.JPG"), [".jpg", "-2.jpg"]);
    assert_eq!(ending("D.C/A"), ["", "-2"]);
    assert_eq!(ending("A.J?G "), [".jg", "-2.jg"]);
    assert_eq!(ending(".hidden"), ["", "-2"]);
}

/// The form of these words.
fn form(words: &str, joiner: &str) -> NameForm {
    NameForm { name: NameForm::fields_from_words(words).unwrap(), joiner: joiner.to_owned() }
}

const VALUES: Values<'_> = Values {
    date: "2026-06-14",
    time: "102345",
    session: "Hay meadow, north",
    specimen: Some(7),
    jar: "B 7",
    view: "face",
    original: "DSC_0412",
};

#[test]
fn names_follow_their_form() {
    let named =
        |words: &str, joiner: &str, n: u32| VALUES.stem(&form(words, joiner), "007".into(), 2).numbered(n);
    assert_eq!(named("date specimen view n", "_", 2), "007/2026-06-14_007_face_02");
    assert_eq!(named("n jar view", "-", 2), "007/02-B-7-face");
    assert_eq!(named("specimen n view", "", 12), "007/00712face");
    assert_eq!(named("original", "_", 1), "007/DSC_0412");
    assert_eq!(named("original", "_", 2), "007/DSC_0412_2");
    assert_eq!(named("time session", " ", 1), "007/102345 Hay-meadow,-north");
    assert_eq!(VALUES.folder(&form("date jar", "_")).0, "2026-06-14_B-7");
    let nothing = Values { jar: "../", specimen: None, ..VALUES };
    assert_eq!(nothing.stem(&form("jar", "_"), "x".into(), 2).numbered(1), "x/1");
    assert_eq!(nothing.folder(&form("jar specimen", "_")).0, "");
}

#[test]
fn fields_together_may_not_make_a_device() {
    let values = Values { jar: "co", view: "n", ..VALUES };
    assert_eq!(values.folder(&form("jar view", "")).0, "con-x");
    assert_eq!(values.stem(&form("jar view", ""), "1".into(), 2).numbered(1), "1/con-x");
}

#[test]
fn long_texts_share_the_room_and_numbers_stay() {
    let long = "x".repeat(200);
    let values = Values { session: &long, jar: &long, view: "tip", ..VALUES };
    let name = values.stem(&form("date session jar view n", "_"), "1".into(), 3).numbered(41);
    assert!(name.starts_with("1/2026-06-14_xxxx") && name.ends_with("_tip_041"), "{name}");
}

#[test]
fn accents_and_case_do_not_make_names_distinct() {
    // Unicode Standard Annex 15: U+00E9 is canonically equivalent to U+0065 U+0301.
    assert_eq!(folded("caf\u{e9}"), folded("CAFE\u{301}"));
    assert_eq!(safe_part("cafe\u{301}", 60), "caf\u{e9}");
    assert_ne!(folded("cafe"), folded("caf\u{e9}"));
    // Unicode Character Database: U+1E9E in lower case is U+00DF; both fold to `ss` (CaseFolding.txt, from memory).
    assert_eq!(folded("\u{1e9e}"), folded("\u{df}"));
}

proptest! {
    #[test]
    fn no_way_of_writing_the_same_makes_names_distinct(
        name in prop_oneof![
            any::<String>(),
            // Letters whose forms have other numbers of characters, or depend on where they stand.
            "[a\u{e4}\u{308}\u{df}\u{1e9e}k\u{212a}i\u{131}\u{130}\u{307}\u{3c3}\u{3c2}\u{3a3}\u{fb01}.]{1,6}",
        ],
    ) {
        // The iota below a letter is a letter beside it in capitals, and so has another place among accents; no disk does that.
        prop_assume!(!name.nfd().any(|c| c == '\u{345}'));
        let one = folded(&name);
        prop_assert_eq!(&one, &folded(&one));
        for other in [name.to_uppercase(), name.to_lowercase(), name.nfc().collect(), name.nfd().collect()] {
            prop_assert_eq!(&one, &folded(&other), "{:?}", other);
        }
        let capitals: String = name.chars().flat_map(char::to_uppercase).collect();
        let small: String = name.chars().flat_map(char::to_lowercase).collect();
        prop_assert_eq!((&one, &one), (&folded(&capitals), &folded(&small)));
    }
}

/// What Linux, macOS and Windows all take as one part of a path, by Microsoft's "Naming Files, Paths, and
/// Namespaces", which is the strictest.
fn is_legal(part: &str) -> bool {
    let base = part.split('.').next().unwrap().trim_end().to_ascii_uppercase();
    let numbered = base.strip_prefix("COM").or(base.strip_prefix("LPT"));
    let is_device = ["CON", "PRN", "AUX", "NUL"].contains(&base.as_str())
        || numbered.is_some_and(|n| n.len() == 1 && n.as_bytes()[0].is_ascii_digit());
    !part.is_empty()
        && part.chars().count() <= 60
        && !part.ends_with(['.', ' '])
        && !part.starts_with(' ')
        && !part.chars().any(|c| c.is_control() || r#"/\:*?"<>|"#.contains(c))
        && !is_device
}

proptest! {
    #[test]
    fn every_part_is_legal_everywhere(
        name in prop_oneof![
            any::<String>(),
            "[A-Za-z./\\\\:*?\"<>| ~$_-]{0,90}",
            "(con|NUL|com1|LPT¹|aux)[. ]{0,3}[a-z]{0,2}",
        ],
        view in any::<String>(),
        path in "[^\\u{0}]{0,20}\\.[A-Za-z?* .]{0,20}",
        number in 0u32..1_000_000,
        n in 1u32..99_999,
        fields in Just(NameField::ALL.to_vec()).prop_shuffle(),
        count in 1usize..=8,
        joiner in prop::sample::select(vec!["_", "-", " ", "", "- -", "+=+"]),
    ) {
        let any_form = NameForm { name: fields[..count].to_vec(), joiner: joiner.to_owned() };
        let safe = safe_part(&name, 60);
        prop_assert!(safe.is_empty() || is_legal(&safe), "{safe:?}");
        prop_assert!(!safe.contains("..") && !safe.starts_with('.'));
        for taken in [0, 1, 2000] {
            let tries = std::cell::Cell::new(0);
            let (folder, _) = free_folder(&session(&name), |_| tries.replace(tries.get() + 1) < taken);
            prop_assert!(is_legal(&folder), "{folder:?}");
        }
        for ending in endings(&path).take(3) {
            let values = Values { specimen: Some(number), view: &view, jar: &name, session: &name, original: &view, ..VALUES };
            for stem in [
                values.stem(&form("date specimen view n", "_"), "007".into(), 2),
                values.stem(&any_form, values.folder(&form("specimen jar session", " ")).0, 2),
                values.stem(&any_form, "set-aside".into(), 3),
            ] {
                let path = format!("{}{ending}", stem.numbered(n));
                prop_assert_eq!(path.split('/').count(), 2);
                prop_assert!(path.split('/').all(is_legal), "{path:?}");
            }
        }
    }
}

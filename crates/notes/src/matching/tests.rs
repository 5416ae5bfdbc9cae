use proptest::prelude::*;

use super::*;

/// Rows from `jar number time`, `-` for what is not known; times in minutes.
fn rows(text: &str) -> Vec<Entry> {
    let parts =
        |line: &str| line.split_whitespace().map(|p| if p == "-" { "" } else { p }.to_owned()).collect();
    let lines = text.split(';').map(parts).enumerate();
    lines
        .map(|(row, p): (usize, Vec<String>)| Entry {
            row,
            jar: p[0].clone(),
            number: p[1].parse().ok(),
            time_secs: p[2].parse::<i64>().ok().map(|m| m * 60),
        })
        .collect()
}

/// Sets from the same; each lasts two minutes. They are known by 100 and on.
fn sets(text: &str) -> Vec<Candidate> {
    let set = |e: Entry| Candidate {
        set: 100 + e.row,
        jar: e.jar,
        number: e.number,
        first_secs: e.time_secs,
        last_secs: e.time_secs.map(|t| t + 120),
    };
    rows(text).into_iter().map(set).collect()
}

/// Row, set and first letter of the certainty of each match.
fn pairs(of_rows: &str, of_sets: &str) -> Vec<(usize, usize, Certainty)> {
    let matching = match_rows(&rows(of_rows), &sets(of_sets)).unwrap();
    matching.matches.iter().map(|m| (m.row, m.set - 100, m.certainty)).collect()
}

use Certainty::{Doubtful, Likely, Sure};

#[test]
fn labels_go_first_and_are_compared_forgivingly() {
    assert_eq!(label(" Jar-007 "), "jar7");
    assert_eq!((label("A0"), label("a00"), label("10")), ("a0".into(), "a0".into(), "10".into()));
    let got = pairs("a-01 - 900;B2 - 10;- - 20", "b02 - 10;- - 20;A1 - 900");
    assert_eq!(got, [(0, 2, Sure), (1, 0, Sure), (2, 1, Likely)]);
    assert_eq!(pairs("A1 - 0", "A1 - 500"), [(0, 0, Doubtful)], "over eight hours off");
    assert_eq!(pairs("A1 - 10", "A2 - 10"), [], "two labels that differ are two jars");
}

#[test]
fn a_label_that_stands_twice_is_doubtful_and_its_others_are_named() {
    let (rows, sets) = (rows("A1 - 30"), sets("A1 - 10;A1 - 30;A1 - 90"));
    let matching = match_rows(&rows, &sets).unwrap();
    let first = &matching.matches[0];
    assert_eq!((first.set, first.certainty, first.ground), (101, Doubtful, Ground::DoubledJar));
    assert_eq!(first.alternatives, [100, 102]);
    assert_eq!(matching.open_sets, [100, 102]);
    assert_eq!(matching.questions().count(), 1);
    assert_eq!(pairs("A1 - 10;A1 - 90", "A1 - 12"), [(0, 0, Doubtful)]);
}

#[test]
fn order_and_time_match_what_labels_leave() {
    // A row without an animal, and an animal without a row.
    let got = pairs("- - 10;- - 20;- - 200;- - 230", "- - 10;- - 20;- - 60;- - 230");
    assert_eq!(
        got.iter().filter(|m| m.2 == Likely).map(|m| (m.0, m.1)).collect::<Vec<_>>(),
        [(0, 0), (1, 1), (3, 3)]
    );
    // No times: as many rows as sets follow each other; one more is doubtful.
    assert_eq!(pairs("- - -;- - -", "- - -;- - -"), [(0, 0, Likely), (1, 1, Likely)]);
    assert!(pairs("- - -", "- - -;- - -").iter().all(|m| m.2 == Doubtful));
    // The number decides where nothing else does.
    assert_eq!(pairs("- 7 -", "- 6 -;- 7 -"), [(0, 1, Likely)]);
    assert_eq!(pairs("- - 0", "- - 361"), [], "over six hours off");
}

#[test]
fn the_usual_time_from_note_to_picture_is_learned_from_labels() {
    // Netted forty minutes before each is photographed; without labels the times would point elsewhere.
    let got = pairs("A - 0;B - 5;C - 10;- - 15;- - 20;- - 25", "A - 40;B - 45;C - 50;- - 55;- - 60;- - 65");
    assert_eq!(got[3..], [(3, 3, Likely), (4, 4, Likely), (5, 5, Likely)]);
}

#[test]
fn too_many_are_refused() {
    let (rows, sets) = (vec![Entry::default(); 40_000], vec![Candidate::default(); 1_000]);
    let said = match_rows(&rows, &sets).unwrap_err().to_string();
    assert!(said.contains("40000 rows"), "{said}");
    assert_eq!(match_rows(&[], &[]).unwrap(), Matching::default());
}

fn entry() -> impl Strategy<Value = (u8, Option<u32>, Option<i64>)> {
    (0_u8..6, proptest::option::of(0_u32..6), proptest::option::of(0_i64..40_000))
}

proptest! {
    #[test]
    fn what_holds_of_any_lists(
        of_rows in proptest::collection::vec(entry(), 0..9),
        of_sets in proptest::collection::vec(entry(), 0..9),
    ) {
        let jar = |n: u8| if n < 2 { String::new() } else { format!("J{n}") };
        let rows: Vec<Entry> = of_rows.iter().enumerate()
            .map(|(row, (j, number, time_secs))| Entry { row, jar: jar(*j), number: *number, time_secs: *time_secs })
            .collect();
        let sets: Vec<Candidate> = of_sets.iter().enumerate()
            .map(|(set, (j, number, t))| Candidate { set, jar: jar(*j), number: *number, first_secs: *t, last_secs: t.map(|t| t + 60) })
            .collect();
        let got = match_rows(&rows, &sets).unwrap();
        prop_assert_eq!(&got, &match_rows(&rows, &sets).unwrap());
        // Each row and each set stands once, matched or open.
        let mut all_rows: Vec<usize> = got.matches.iter().map(|m| m.row).chain(got.open_rows.iter().copied()).collect();
        let mut all_sets: Vec<usize> = got.matches.iter().map(|m| m.set).chain(got.open_sets.iter().copied()).collect();
        all_rows.sort_unstable();
        all_sets.sort_unstable();
        prop_assert_eq!(all_rows, (0..rows.len()).collect::<Vec<_>>());
        prop_assert_eq!(all_sets, (0..sets.len()).collect::<Vec<_>>());
        // A label that each side has once is matched.
        for row in rows.iter().filter(|r| !r.jar.is_empty()) {
            let same: Vec<&Candidate> = sets.iter().filter(|s| s.jar == row.jar).collect();
            if same.len() == 1 && rows.iter().filter(|r| r.jar == row.jar).count() == 1 {
                prop_assert!(got.matches.iter().any(|m| (m.row, m.set) == (row.row, same[0].set) && m.ground == Ground::Jar));
            }
        }
        // What does not rest on labels keeps both orders; no two labels are mixed.
        let by_order: Vec<&Match> = got.matches.iter().filter(|m| !matches!(m.ground, Ground::Jar | Ground::DoubledJar)).collect();
        prop_assert!(by_order.windows(2).all(|w| w[0].row < w[1].row && w[0].set < w[1].set));
        for m in &got.matches {
            let (a, b) = (&rows[m.row].jar, &sets[m.set].jar);
            prop_assert!(a.is_empty() || b.is_empty() || a == b);
        }
    }
}

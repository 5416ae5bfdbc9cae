//! The closer look and its evidence on the command line, on the demo session whose script says what is soft and cut.

#![allow(clippy::unwrap_used, reason = "a helper of a test may stop it")]

use std::path::Path;

use endleaf_tests::{Bench, demo_expected};
use serde_json::Value;

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");
const CARD: &str = "demo-sessions/salt-marsh-bank/card";

fn run(words: &str) -> String {
    let outcome = Bench::new(PROGRAM).run(words);
    assert_eq!(outcome.status, 0, "{}", outcome.talk);
    outcome.out
}

#[test]
fn quality_is_null_until_it_was_looked_at() {
    let inadequate = |words: &str| -> Vec<Value> {
        let said: Value = serde_json::from_str(&run(words)).unwrap();
        said["sets"].as_array().unwrap().iter().map(|set| set["inadequate"].clone()).collect()
    };
    let sets = demo_expected("salt-marsh-bank")["sets"].as_array().unwrap().len();
    assert_eq!(inadequate(&format!("split {CARD} --json")), vec![Value::Null; sets]);
    let looked = inadequate(&format!("split {CARD} --json --quality"));
    assert!(looked.len() == sets && looked.iter().all(Value::is_array), "{looked:?}");
    for reason in looked.iter().flat_map(|set| set.as_array().unwrap()) {
        assert!(
            !reason["view"].as_str().unwrap().is_empty() && !reason["reason"].as_str().unwrap().is_empty()
        );
    }
}

#[test]
fn evidence_names_the_kind_the_line_and_the_set_of_a_frame() {
    let expected = demo_expected("salt-marsh-bank");
    let frames = expected["frames"].as_array().unwrap();
    let path = |blank: bool| frames.iter().find(|f| f["blank"] == blank).unwrap()["path"].as_str().unwrap();
    let blank = run(&format!("split {CARD} --why {}", path(true)));
    assert!(
        blank.contains("Taken for blank: even all over: spread ") && blank.contains(", line "),
        "{blank}"
    );
    let subject = run(&format!("split {CARD} --why {}", path(false)));
    assert!(subject.contains("Taken for specimen: something stands out: spread "), "{subject}");
    assert!(subject.contains("Chance of a blank: 0 %."), "{subject}");
    let none = Bench::new(PROGRAM).run(&format!("split {CARD} --why NOWHERE.JPG"));
    assert_eq!((none.status, none.out.as_str()), (2, ""));
    assert!(none.talk.contains("NOWHERE.JPG"), "{}", none.talk);
}

#[test]
fn what_was_learned_of_a_plan_goes_and_nothing_else() {
    let bench = Bench::new(PROGRAM);
    let [bee, beetle] = ["bumble-bee", "beetle"].map(|plan| bench.home().join(format!("views/{plan}.ron")));
    let forget = |plan: &str, path: &Path| {
        let outcome = bench.run(&format!("forget {plan}"));
        assert_eq!(outcome.status, 0, "{}", outcome.talk);
        assert!(outcome.out.contains("every confirmed label stands"), "{}", outcome.out);
        assert!(outcome.out.contains(path.to_str().unwrap()), "{}", outcome.out);
        std::fs::read_to_string(path).unwrap()
    };
    let empty = forget("bumble-bee", &bee);
    for path in [&bee, &beetle] {
        std::fs::write(path, "something learned").unwrap();
    }
    assert_eq!(forget("bumble-bee", &bee), empty);
    assert_eq!(std::fs::read_to_string(beetle).unwrap(), "something learned");
    assert_eq!(bench.run("forget unicorn").status, 2);
}

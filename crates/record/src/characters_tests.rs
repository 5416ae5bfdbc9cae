//! The characters of bumble bees as built in: each rule fires on its case and none on animals that are as they should be;
//! and what a broken file is told.

use std::collections::{BTreeMap, BTreeSet};

use crate::characters::{Characters, NOT_SEEN, ScoreFault, Scores, contradictions};
use crate::{Plan, Score, ViewKey};

fn plan() -> Plan {
    Plan::from_text(include_str!("../../../assets/plans/bumble-bee.ron")).unwrap()
}

fn bumble_bee() -> Characters {
    Characters::from_text(include_str!("../../../assets/characters/bumble-bee.ron"), &plan()).unwrap()
}

/// Scores from `antenna-segments 12, hair-t2 yellow+black`.
fn scores(text: &str) -> Scores {
    let pairs = text.split(", ").filter_map(|pair| pair.split_once(' '));
    pairs.map(|(key, states)| (key.into(), states.split('+').map(Score::from).collect())).collect()
}

/// Fields from `sex male, caste worker`; a space within a name is a dash.
fn fields(text: &str) -> BTreeMap<String, String> {
    let pairs = text.split(", ").filter_map(|pair| pair.split_once(' '));
    pairs.map(|(key, word)| (key.replace('-', " "), word.to_owned())).collect()
}

/// What the contradictions rest on.
fn check(record: &str, scored: &str, expected: &[&[&str]]) {
    let characters = bumble_bee();
    assert_eq!(characters.score_faults(&scores(scored)), []);
    let found = contradictions(&characters, &scores(scored), &fields(record));
    let keys: Vec<_> = found.iter().map(|c| c.keys.iter().map(String::as_str).collect::<Vec<_>>()).collect();
    assert_eq!(keys, expected, "{record}; {scored}");
    assert!(found.iter().all(|c| c.words.ends_with('.') && !c.source.is_empty()));
}

#[test]
fn each_rule_fires_on_its_case() {
    check("sex male", "visible-terga 6", &[&["sex", "visible-terga"]]);
    check("caste drone", "visible-terga 6", &[&["caste", "visible-terga"]]);
    check("sex female", "visible-terga 7", &[&["sex", "visible-terga"]]);
    check("caste queen", "antenna-segments 13", &[&["caste", "antenna-segments"]]);
    check("sex female, caste worker", "antenna-segments 13", &[&["sex", "antenna-segments"]]);
    check("sex male", "antenna-segments 12", &[&["sex", "antenna-segments"]]);
    check("", "antenna-segments 12, visible-terga 7", &[&["antenna-segments", "visible-terga"]]);
    check("", "antenna-segments 13, visible-terga 6", &[&["antenna-segments", "visible-terga"]]);
    check("caste worker", "hind-tibia hairy-convex", &[&["caste", "hind-tibia"]]);
    check("sex male", "pollen-load present", &[&["sex", "pollen-load"]]);
    check("sex male", "hind-tibia bare-shiny", &[&["sex", "hind-tibia"]]);
    check("", "hind-tibia hairy-convex, pollen-load present", &[&["hind-tibia", "pollen-load"]]);
    check("sex male", "sting seen", &[&["sex", "sting"]]);
    check("", "sting seen, visible-terga 7", &[&["sting", "visible-terga"]]);
    check("sex female", "hair-t7 black+white", &[&["sex", "hair-t7"]]);
    check("sex male, caste worker", "", &[&["sex", "caste"]]);
    check("", "wing-pairs 1", &[&["wing-pairs"]]);
    check("life-stage larva", "wing-pairs 2", &[&["life stage", "wing-pairs"]]);
    check(
        "sex  MALE ",
        "visible-terga 6, pollen-load present",
        &[&["sex", "visible-terga"], &["sex", "pollen-load"]],
    );
}

#[test]
fn animals_that_are_as_they_should_be_are_left_alone() {
    let hair =
        "hair-face black, hair-thorax-front yellow, hair-t2 yellow+black, hair-t4 white, hair-t5 white";
    let female = "antenna-segments 12, visible-terga 6, wing-pairs 2, sting seen, cheek-length square";
    check(
        "sex female, caste queen, life-stage adult",
        &format!("{female}, hind-tibia bare-shiny, pollen-load absent, {hair}"),
        &[],
    );
    check(
        "sex female, caste worker, life-stage adult",
        &format!("{female}, hind-tibia bare-shiny, pollen-load present, {hair}"),
        &[],
    );
    check("sex female, life-stage adult", &format!("{female}, hind-tibia hairy-convex, {hair}"), &[]);
    let male = "antenna-segments 13, visible-terga 7, wing-pairs 2, sting not-seen, pollen-load absent";
    let male = format!("{male}, hind-tibia hairy-convex, {hair}, hair-t7 black");
    check("sex male, life-stage adult", &male, &[]);
    check("sex male, caste drone", &male, &[]);
    check("sex female", "hair-t7 not-seen", &[]);
    check("sex, caste ", "visible-terga 6, antenna-segments not-seen", &[]);
}

#[test]
fn rules_know_the_fields_of_a_record_by_the_names_in_the_file() {
    let entry = |term, text: &str| (term, crate::Entry::knowingly(term, text));
    let filled = crate::Fields::from([
        entry(crate::Term::Sex, "male"),
        entry(crate::Term::Caste, "drone"),
        entry(crate::Term::LifeStage, "larva"),
        entry(crate::Term::Plant, "vetch"),
    ]);
    let named = crate::rule_fields(&filled);
    assert_eq!(named, fields("sex male, caste drone, life-stage larva"));
    let used = bumble_bee().rules.into_iter().flat_map(|rule| rule.when).flatten();
    for clause in used {
        if let crate::Clause::Field(field, _) = clause {
            assert!(named.contains_key(&field), "{field}");
        }
    }
}

#[test]
fn every_rule_is_tried_by_these_tests() {
    // Each rule alone, by the first clause of each of its lists.
    let characters = bumble_bee();
    for rule in &characters.rules {
        let (mut fields, mut scores) = (BTreeMap::new(), Scores::new());
        for clause in rule.when.iter().map(|any| &any[0]) {
            match clause {
                crate::Clause::Field(field, words) => {
                    fields.insert(field.clone(), words[0].clone());
                }
                crate::Clause::State(key, states) => {
                    scores.insert(key.clone(), vec![Score::from(states[0].as_str())]);
                }
            }
        }
        let found = contradictions(&characters, &scores, &fields);
        assert!(found.iter().any(|c| c.words == rule.words), "{}", rule.words);
    }
}

#[test]
fn the_built_in_file_holds_what_a_round_shows() {
    let characters = bumble_bee();
    assert_eq!(characters.all.iter().filter(|c| c.is_colour).count(), 15);
    for character in &characters.all {
        assert!(character.state(&NOT_SEEN.into()).is_some(), "{}", character.key);
    }
    let cheek = characters.get(&"cheek-length".into()).unwrap();
    // 0.82 mm over 0.71 mm is 1.15: long.
    for (ratio, state) in [(0.82 / 0.71, "long"), (1.0, "square"), (0.8, "short")] {
        assert_eq!(cheek.state_of_ratio(ratio).unwrap().as_str(), state);
    }
    assert_eq!(cheek.state_of_ratio(f64::NAN), None);
    // The measures it is a ratio of are offered, and so is what the program goes on with.
    let (one, other) = cheek.ratio_of.as_ref().unwrap();
    assert!(characters.measures.contains(one) && characters.measures.contains(other));
    assert_eq!(characters.measures, crate::KNOWN_MEASURES);
}

#[test]
fn characters_whose_views_have_no_frame_are_told() {
    let characters = bumble_bee();
    let has = |views: &[&str]| {
        let views: BTreeSet<ViewKey> = views.iter().map(|v| ViewKey::from(*v)).collect();
        move |view: &ViewKey| views.contains(view)
    };
    let all = ["side", "head-top", "face", "above", "tip", "hind-leg", "wing", "underside"];
    assert_eq!(characters.without_frame(has(&all)).count(), 0);
    let keys: Vec<&str> =
        characters.without_frame(has(&["side", "above", "tip"])).map(|c| c.key.as_str()).collect();
    assert_eq!(keys, ["hair-face", "hair-vertex"]);
    let scored = scores("hair-face black, hair-vertex not-seen, hair-t1 yellow");
    let keys: Vec<&str> = characters
        .scored_without_frame(&scored, has(&["side", "above", "tip"]))
        .map(|c| c.key.as_str())
        .collect();
    assert_eq!(keys, ["hair-face"]);
}

#[test]
fn scores_that_cannot_be_are_told_and_kept() {
    let fault = |text: &str, expected: ScoreFault| {
        let found = bumble_bee().score_faults(&scores(text));
        assert_eq!(found.iter().map(|f| f.1).collect::<Vec<_>>(), [expected], "{text}");
    };
    fault("elytra 2", ScoreFault::UnknownCharacter);
    fault("wing-pairs 3", ScoreFault::UnknownState);
    fault("wing-pairs 2+1", ScoreFault::TooMany);
    fault("hair-t1 black+black", ScoreFault::Twice);
    fault("hair-t1 black+not-seen", ScoreFault::NotSeenAndSeen);
    fault("hair-t1 black+white+red", ScoreFault::TooMany);
    let mut shared = scores("hair-t1 black+white");
    let mut share = |percents: [u8; 2]| {
        for (score, percent) in shared.values_mut().flatten().zip(percents) {
            score.percent = Some(percent);
        }
        assert_eq!(ron::from_str::<Scores>(&ron::to_string(&shared).unwrap()).unwrap(), shared);
        bumble_bee().score_faults(&shared).len()
    };
    assert_eq!((share([70, 30]), share([70, 31])), (0, 1));
}

/// A file of this plan with these characters and rules.
fn broken(characters: &str, rules: &str, expected: (usize, &str)) {
    let text = format!(
        "(key: \"k\", plan: \"bumble-bee\", characters: [\n{characters}],\ncolours: [(key: \"black\", name: \"b\")], \
         rules: [\n{rules}])"
    );
    let fault = Characters::from_text(&text, &plan()).unwrap_err();
    assert_eq!(fault.line, expected.0, "{fault}");
    assert!(fault.reason.contains(expected.1), "{fault}");
}

#[test]
fn broken_files_say_line_and_reason() {
    let character = |key: &str, view: &str, states: &str| {
        format!(
            "(key: \"{key}\", name: \"N\", hint: \"H\", source: \"S\", views: [{view}],\nstates: [{states}]),\n"
        )
    };
    let states = "(key: \"a\", name: \"A\"), (key: \"not-seen\", name: \"not seen\")";
    let good = character("one", "\"side\"", states);
    broken(&character("A b", "\"side\"", states), "", (2, "lower-case"));
    broken(&(good.clone() + &good), "", (4, "Two characters"));
    broken(&character("one", "\"back\"", states), "", (2, "the view “back”"));
    broken(&character("one", "", states), "", (2, "no view"));
    broken(&character("one", "\"side\"", ""), "", (2, "no states"));
    broken(&character("one", "\"side\"", "(key: \"not-seen\", name: \"n\")"), "", (2, "no states"));
    broken(&character("one", "\"side\"", "(key: \"a\", name: \"A\")"), "", (2, "lacks the state"));
    broken(&character("one", "\"side\"", &format!("{states}, {states}")), "", (2, "twice"));
    let ranged = states.replace("\"A\"", "\"A\", ratio: Some((0.0, 1.0))");
    broken(&character("one", "\"side\"", &ranged), "", (2, "both or neither"));
    broken(&good.replace("\"S\"", "\" \""), "", (2, "lacks its name"));
    broken(&good.replace("hint", "hnt"), "", (2, ""));

    let rule = |when: &str| format!("(when: [{when}], words: \"W.\", source: \"S\"),");
    broken(&good, &rule(""), (6, "no condition"));
    broken(&good, &rule("[Field(\"sex\", [\"male\"])], []"), (6, "no condition"));
    broken(&good, &rule("[Field(\"sex\", [])]"), (6, "no word"));
    broken(&good, &rule("[State(\"two\", [\"a\"])]"), (6, "the character “two”"));
    broken(&good, &rule("[State(\"one\", [\"b\"])]"), (6, "the state “b”"));
    broken(&good, &rule("[State(\"one\", [])]"), (6, "names no state"));
    let other = Plan { key: "moth".into(), ..plan() };
    let fault = Characters::from_text(include_str!("../../../assets/characters/bumble-bee.ron"), &other);
    assert!(fault.unwrap_err().reason.contains("this is “moth”"));
}

//! The main job on the demo sessions, against the expected result that their script of events gives.

#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a helper of a test may stop it, and says what it skips"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use endleaf_tests::{Bench, demo_bytes, demo_card, demo_expected, tree};
use serde_json::Value;

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");
const DEMOS: [(&str, &str); 2] = [("salt-marsh-bank", "bumble-bee"), ("carded-beetles", "beetle")];

fn split(card: &str, plan: &str) -> Value {
    let outcome = Bench::new(PROGRAM).run(&format!("split {card} --json --plan {plan}"));
    assert_eq!(outcome.status, 0, "{}", outcome.talk);
    outcome.json()
}

fn demo(name: &str) -> String {
    demo_card(name).to_str().unwrap().to_owned()
}

/// The first difference between what was found and what was expected, in words.
fn difference(found: &Value, expected: &Value) -> Option<String> {
    let of = |whole: &Value, list: &str, fields: &[&str]| -> Vec<Vec<Value>> {
        let entries = whole[list].as_array().unwrap();
        entries.iter().map(|e| fields.iter().map(|f| e[*f].clone()).collect()).collect()
    };
    for (list, fields) in
        [("frames", &["path", "files", "taken", "blank", "set"][..]), ("sets", &["number", "frames"][..])]
    {
        let (found, expected) = (of(found, list, fields), of(expected, list, fields));
        if let Some((f, e)) = found.iter().zip(&expected).find(|(f, e)| f != e) {
            return Some(format!("{list}: {f:?} is not {e:?}"));
        }
        if found.len() != expected.len() {
            return Some(format!("{list}: {} instead of {}", found.len(), expected.len()));
        }
    }
    None
}

#[test]
fn frames_times_order_blanks_and_sets_are_as_the_script_says() {
    for (name, plan) in DEMOS {
        assert_eq!(difference(&split(&demo(name), plan), &demo_expected(name)), None, "{name}");
    }
}

#[test]
fn dropping_one_frame_makes_the_result_differ() {
    let expected = demo_expected("carded-beetles");
    let frames = expected["frames"].as_array().unwrap();
    for dropped in [0, frames.len() / 2, frames.len() - 1] {
        let bench = Bench::new(PROGRAM);
        for (_, frame) in frames.iter().enumerate().filter(|(i, _)| *i != dropped) {
            for file in frame["files"].as_array().unwrap() {
                let file = file.as_str().unwrap();
                let bytes = std::fs::read(demo_card("carded-beetles").join(file)).unwrap();
                bench.put(file, &bytes).unwrap();
            }
        }
        let found = split(bench.card().to_str().unwrap(), "beetle");
        assert!(difference(&found, &expected).is_some(), "frame {dropped} was not missed");
    }
}

#[test]
fn short_sets_are_one_view_short_and_not_known_while_nothing_is_confirmed() {
    for (name, plan) in DEMOS {
        let found = split(&demo(name), plan);
        for (set, expected) in
            found["sets"].as_array().unwrap().iter().zip(demo_expected(name)["sets"].as_array().unwrap())
        {
            let short = expected["missing"].as_array().unwrap().len();
            assert_eq!(set["short"], short, "{name} {}", set["number"]);
            assert_eq!(set["missing"], serde_json::json!([]), "{name} {}", set["number"]);
            assert_eq!(set["checked"], false);
            assert_eq!(set["inadequate"], Value::Null);
        }
    }
}

#[test]
fn proposed_views_of_whole_rounds_are_those_shot() {
    for (name, plan) in DEMOS {
        let found = split(&demo(name), plan);
        let expected = demo_expected(name);
        let mut proposed = 0;
        for (frame, script) in
            found["frames"].as_array().unwrap().iter().zip(expected["frames"].as_array().unwrap())
        {
            if frame["view"].is_string() {
                proposed += 1;
                assert_eq!(frame["view"], script["view"], "{name} {}", frame["path"]);
            }
        }
        let shown = expected["frames"].as_array().unwrap().iter().filter(|f| f["blank"] == false).count();
        assert!(proposed * 3 >= shown * 2, "{name}: {proposed} of {shown} proposed");
    }
}

#[test]
fn faults_name_the_damaged_file_and_stray_files_are_left_alone() {
    let found = split(&demo("salt-marsh-bank"), "bumble-bee");
    let expected = demo_expected("salt-marsh-bank");
    for (frame, script) in
        found["frames"].as_array().unwrap().iter().zip(expected["frames"].as_array().unwrap())
    {
        let faulty = !frame["faults"].as_array().unwrap().is_empty();
        assert_eq!(faulty, script["damaged"] == true, "{frame}");
    }
    let outcome = Bench::new(PROGRAM).run(&format!("split {}", demo("salt-marsh-bank")));
    for stray in expected["stray"].as_array().unwrap() {
        assert!(outcome.out.contains(stray.as_str().unwrap()), "{}", outcome.out);
    }
}

#[test]
fn filing_puts_every_frame_in_its_place_with_its_bytes() {
    let bench = Bench::new(PROGRAM);
    let card = demo_card("salt-marsh-bank");
    let before = tree(&card);
    let outcome = bench.run(&format!("file {} --into ARCHIVE", card.display()));
    assert_eq!(outcome.status, 0, "{}", outcome.talk);
    assert_eq!(tree(&card), before, "the card is as it was");
    assert!(outcome.out.contains("2026-06-14_salt-marsh-bank"), "{}", outcome.out);
    assert!(
        outcome.out.contains("The card may be wiped once you have looked at what is left"),
        "{}",
        outcome.out
    );

    let filed = tree(&bench.archive().join("2026-06-14_salt-marsh-bank"));
    let expected = demo_expected("salt-marsh-bank");
    for frame in expected["frames"].as_array().unwrap() {
        let folder = match frame["set"].as_u64() {
            Some(set) => format!("{set:03}/2026-06-14_{set:03}_frame_"),
            None => "blanks/2026-06-14_blank_".to_owned(),
        };
        for file in frame["files"].as_array().unwrap() {
            let bytes = demo_bytes(file.as_str().unwrap());
            let places: Vec<&String> = filed.iter().filter(|(_, b)| **b == bytes).map(|(p, _)| p).collect();
            assert!(places.iter().any(|p| p.starts_with(&folder)), "{file} is at {places:?}");
        }
    }
    let expected_count: usize =
        expected["frames"].as_array().unwrap().iter().map(|f| f["files"].as_array().unwrap().len()).sum();
    assert_eq!(
        filed.len(),
        expected_count + expected["frames"].as_array().unwrap().len() + 3,
        "the frames' files, a sidecar each, the manifest, the receipt and the session, and nothing else"
    );
}

/// Outside check: the manifest by `sha256sum` of GNU coreutils.
#[test]
fn manifest_agrees_with_sha256sum() {
    let bench = Bench::new(PROGRAM);
    bench.run(&format!("file {} --into ARCHIVE --plan beetle", demo("carded-beetles")));
    let folder = bench.archive().join("2026-07-02_carded-beetles");
    let check = Command::new("sha256sum")
        .args(["--check", "--strict", "--quiet", "manifest-sha256.txt"])
        .current_dir(&folder)
        .output();
    match check {
        Ok(check) => assert!(check.status.success(), "{}", String::from_utf8_lossy(&check.stdout)),
        Err(e) => eprintln!("skipped: no sha256sum here ({e})"),
    }
    let manifest = std::fs::read_to_string(folder.join("manifest-sha256.txt")).unwrap();
    let listed: BTreeSet<&str> = manifest.lines().map(|l| &l[66..]).collect();
    let mut present = tree(&folder);
    present.remove("manifest-sha256.txt");
    present.remove("session.ron");
    present.remove("receipt.txt");
    assert_eq!(listed, present.keys().map(String::as_str).collect());
}

#[test]
fn filing_the_same_card_again_files_nothing_twice_and_says_so() {
    let bench = Bench::new(PROGRAM);
    let words = format!("file {} --into ARCHIVE", demo("salt-marsh-bank"));
    bench.run(&words);
    let once = tree(&bench.archive());
    for words in [words.clone(), format!("{words} --afresh")] {
        let again = bench.run(&words);
        assert_eq!(again.status, 0, "{}", again.talk);
        assert!(again.out.contains("Nothing new"), "{}", again.out);
        let keep = |t: BTreeMap<String, Vec<u8>>| -> BTreeMap<String, Vec<u8>> {
            let own = |p: &str| {
                p.ends_with("session.ron") || p.ends_with("receipt.txt") || p == "endleaf-journal.txt"
            };
            t.into_iter().filter(|(p, _)| !own(p)).collect()
        };
        assert_eq!(keep(tree(&bench.archive())), keep(once.clone()));
    }
    assert!(bench.run(&words).talk.contains("A session is kept of this card"));
}

#[test]
fn exit_status_is_1_with_strict_only() {
    let bench = Bench::new(PROGRAM);
    let card = demo("salt-marsh-bank");
    assert_eq!(bench.run(&format!("split {card} --strict")).status, 1);
    assert_eq!(bench.run(&format!("split {card}")).status, 0);
    assert_eq!(bench.run(&format!("file {card} --into ARCHIVE --strict --dry-run")).status, 1);
    assert!(!bench.archive().exists(), "a dry run writes nothing");
    assert_eq!(bench.run(&format!("file {card} --into ARCHIVE --strict")).status, 1);
}

#[test]
fn proposed_views_enter_names_only_when_asked() {
    let bench = Bench::new(PROGRAM);
    let outcome = bench.run(&format!("file {} --into ARCHIVE --take-proposed", demo("salt-marsh-bank")));
    assert_eq!(outcome.status, 0, "{}", outcome.talk);
    let filed = tree(&bench.archive().join("2026-06-14_salt-marsh-bank"));
    for view in ["side", "head-top", "face", "above", "tip"] {
        let name = format!("001/2026-06-14_001_{view}_01.jpg");
        assert!(filed.contains_key(&name), "{name} is not among {:?}", filed.keys().take(12));
    }
}

#[test]
fn the_missing_view_is_named_once_the_other_frames_are_confirmed() {
    let options = endleaf::day::OpenOptions::default();
    let mut day =
        endleaf::day::Day::open(&demo_card("salt-marsh-bank"), &options, None, &record::Silent).unwrap();
    let expected = demo_expected("salt-marsh-bank");
    for frame in expected["frames"].as_array().unwrap() {
        let short = [6, 10].contains(&frame["set"].as_u64().unwrap_or_default());
        let Some(view) = frame["view"].as_str().filter(|_| short) else { continue };
        let path = frame["path"].as_str().unwrap();
        let id = day.session.frames.iter().find(|f| f.path() == path).unwrap().id;
        day.session.apply(&day.session.label_frame(id, Some(view.into())).unwrap()).unwrap();
        day.rearrange();
    }
    let list = grouping::retake_list(&day.session, &day.grouping);
    let words: Vec<(u32, String)> = list.iter().map(|r| (r.number, r.words(&day.session.plan))).collect();
    assert_eq!(words, [(6, "Face".to_owned()), (10, "Abdomen tip".to_owned())]);

    // Only confirmed views stand in names.
    let nowhere = std::env::temp_dir().join("nowhere");
    let plan = filing::plan_filing(&day.session, &day.card, &nowhere, &BTreeMap::new(), &[], &record::Silent);
    let names: Vec<String> = plan.unwrap().steps.into_iter().map(|s| s.to).collect();
    assert!(names.contains(&"006/2026-06-14_006_side_01.jpg".to_owned()), "{names:?}");
    assert!(names.contains(&"007/2026-06-14_007_frame_01.jpg".to_owned()), "{names:?}");
}

#[test]
fn the_same_pictures_under_other_names_on_another_card_are_not_filed_twice() {
    let first = Bench::new(PROGRAM);
    first.put_demo(|f| f["set"].as_u64().is_some_and(|set| set <= 2));
    assert_eq!(first.run("file CARD --into ARCHIVE").status, 0);
    let before = tree(&first.archive());

    // A second card holds the same two animals, copied by hand under other names, and a third animal.
    let other = Bench::new(PROGRAM);
    for (n, (path, bytes)) in tree(&first.card()).into_iter().enumerate() {
        let ending = path.rsplit_once('.').unwrap().1;
        other.put(&format!("emptied phone/bee {n:03}.{ending}"), &bytes).unwrap();
    }
    let same = tree(&other.card()).len();
    other.put_demo(|f| f["set"] == 3);
    let new = tree(&other.card()).len() - same;
    assert!(new > 3, "{new}");

    let archive = first.archive();
    let words = format!("file CARD --into {} --name Second", archive.display());
    let planned = other.run(&format!("{words} --dry-run")).out;
    let lies = |line: &&str| {
        line.starts_with("  in another session:  emptied phone/") && line.contains("  →  2026-06-14_")
    };
    assert_eq!(planned.lines().filter(lies).count(), same, "{planned}");
    let is_to_copy =
        |line: &&str| line.starts_with("  to copy:  DCIM/") && line.contains(" bytes; no view of it is");
    assert_eq!(planned.lines().filter(is_to_copy).count(), new, "{planned}");
    assert!(planned.contains(&format!("{new} files to copy, ")), "{planned}");
    assert!(planned.contains(&format!("; {same} filed before.")), "{planned}");
    assert_eq!(tree(&archive), before, "a dry run writes nothing");

    let filed = other.run(&words);
    assert_eq!(filed.status, 0, "{}", filed.talk);
    assert!(
        filed.out.contains(&format!("Of those filed before, {same} lie in 2026-06-14_")),
        "{}",
        filed.out
    );
    let after = tree(&archive);
    let as_before = |path: &str| after.get(path) == before.get(path) || path == "endleaf-journal.txt";
    assert!(before.keys().all(|path| as_before(path)));
    let added: Vec<&Vec<u8>> =
        after.iter().filter(|(path, _)| !before.contains_key(*path)).map(|(_, b)| b).collect();
    let known: BTreeSet<&Vec<u8>> = before.values().collect();
    let sidecars = after.keys().filter(|path| !before.contains_key(*path) && path.contains(".xmp")).count();
    assert_eq!(added.len(), new + sidecars + 3, "the new files, their sidecars, list, receipt and session");
    assert!(added.iter().all(|bytes| !known.contains(bytes)));
    let again = other.run(&words);
    assert!(again.out.contains("Nothing new"), "{}", again.out);
}

#[test]
fn copies_on_the_card_are_in_the_plan_and_filed_once() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    let once = tree(&bench.card());
    for (path, bytes) in &once {
        bench.put(&format!("Backup/{}", path.rsplit('/').next().unwrap()), bytes).unwrap();
    }
    let planned = bench.run("file CARD --into ARCHIVE --dry-run").out;
    for path in once.keys() {
        let copy = format!("same as another:  Backup/{}  →  {path}  (", path.rsplit('/').next().unwrap());
        assert!(planned.contains(&copy), "{copy} is not in {planned}");
    }
    let filed = bench.run("file CARD --into ARCHIVE").out;
    let said = ["files copied", "files: copies of these"].map(|words| format!("{} {words}", once.len()));
    assert!(said.iter().all(|words| filed.contains(words)), "{filed}");
}

#[test]
fn names_are_chosen_by_fields_and_stay_chosen() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    let words = "file CARD --into ARCHIVE --name Bank --name-files original,view --name-folders date,specimen --join-names -";
    let refused = bench.run(&words.replace("original", "place"));
    assert_eq!(refused.status, 2);
    assert!(
        refused.talk.contains("“place” is no field of a name; the fields are: date, "),
        "{}",
        refused.talk
    );
    assert!(!bench.archive().exists());
    assert_eq!(bench.run(words).status, 0);
    let folder = bench.archive().join("2026-06-14_Bank/2026-06-14-001");
    assert!(folder.join("MRS_9971-frame.jpg").exists(), "{:?}", tree(&bench.archive()).keys());
    bench.put_demo(|f| f["set"] == 2);
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    let filed = tree(&bench.archive());
    assert!(
        filed
            .keys()
            .all(|path| path.matches('/').count() < 2 || path.contains("/MRS_") || path.contains("/blanks/"))
    );
}

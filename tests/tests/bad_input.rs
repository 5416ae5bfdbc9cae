//! Bad input, end to end: each gets a clear message and the documented exit status; nothing is lost and
//! nothing half-written looks whole.

#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a helper of a test may stop it, and says what it skips"
)]

use std::fs;
use std::path::Path;

use endleaf_tests::{Bench, demo_bytes, tree, without_exif};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");
const FIRST: &str = "DCIM/100MARSH/MRS_9971.JPG";
const SECOND: &str = "DCIM/100MARSH/MRS_9972.JPG";

/// Files the bench's card; checks exit status and a part of what is said.
fn check_refused(bench: &Bench, words: &str, said: &str) {
    let outcome = bench.run(words);
    assert_eq!(outcome.status, 2, "{words}: {} {}", outcome.out, outcome.talk);
    assert!(outcome.talk.contains(said), "{words}: {}", outcome.talk);
}

#[test]
fn a_folder_that_is_not_there() {
    let bench = Bench::new(PROGRAM);
    check_refused(&bench, "split no-such-folder", "There is no such folder");
    check_refused(&bench, "file README.md --into ARCHIVE", "This is a file");
}

#[test]
fn an_empty_folder() {
    let bench = Bench::new(PROGRAM);
    check_refused(&bench, "split CARD", "The folder is empty");
    check_refused(&bench, "file CARD --into ARCHIVE", "The folder is empty");
    assert!(!bench.archive().exists());
}

#[test]
fn a_folder_without_pictures() {
    let bench = Bench::new(PROGRAM);
    bench.put("notes.txt", b"day one").unwrap();
    check_refused(&bench, "split CARD --json", "No pictures were found");
}

#[test]
fn a_truncated_picture_keeps_its_time_and_its_place() {
    let bench = Bench::new(PROGRAM);
    let whole = demo_bytes(FIRST);
    bench.put(FIRST, &whole[..whole.len() / 2]).unwrap();
    bench.put(SECOND, &demo_bytes(SECOND)).unwrap();
    let frames = bench.run("split CARD --json").json()["frames"].clone();
    assert_eq!(frames[0]["path"], FIRST);
    assert_eq!(frames[0]["taken"], "2026-06-14T09:12:05.37+01:00");
    assert_eq!(frames[0]["set"], 1);
    assert_ne!(frames[0]["faults"], serde_json::json!([]));
    assert_eq!(frames[1]["faults"], serde_json::json!([]));
}

#[test]
fn zero_bytes_and_text_named_jpg_are_frames_with_a_fault_and_are_filed() {
    let bench = Bench::new(PROGRAM);
    bench.put(FIRST, &demo_bytes(FIRST)).unwrap();
    bench.put("DCIM/100MARSH/MRS_9972.JPG", b"").unwrap();
    bench.put("DCIM/100MARSH/MRS_9973.JPG", b"a text, not a picture").unwrap();
    let frames = bench.run("split CARD --json").json()["frames"].clone();
    assert_eq!(frames.as_array().unwrap().len(), 3);
    for n in [1, 2] {
        assert_ne!(frames[n]["faults"], serde_json::json!([]), "{}", frames[n]);
        assert_eq!((&frames[n]["set"], &frames[n]["blank"]), (&1.into(), &false.into()));
    }
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    let filed: Vec<Vec<u8>> = tree(&bench.archive()).into_values().collect();
    assert!(tree(&bench.card()).values().all(|bytes| filed.contains(bytes)), "every file is in the archive");
}

#[test]
fn a_file_that_cannot_be_read_is_a_fault_and_the_rest_goes_on() {
    let bench = Bench::new(PROGRAM);
    bench.put(FIRST, &demo_bytes(FIRST)).unwrap();
    // A folder that ends in .JPG stands for it: permissions do not bind a superuser.
    fs::create_dir(bench.card().join("DCIM/100MARSH/MRS_9973.JPG")).unwrap();
    let json = bench.run("split CARD --json").json();
    assert_eq!(json["frames"].as_array().unwrap().len(), 1);
}

#[test]
fn no_capture_time_anywhere_is_said_and_numbers_give_the_order() {
    let bench = Bench::new(PROGRAM);
    for (from, to) in [(SECOND, "MRS_0002.JPG"), (FIRST, "MRS_0001.JPG")] {
        bench.put(&format!("DCIM/100MARSH/{to}"), &without_exif(&demo_bytes(from))).unwrap();
    }
    let outcome = bench.run("split CARD");
    assert_eq!(outcome.status, 0);
    assert!(outcome.out.contains("no capture time"), "{}", outcome.out);
    let frames = bench.run("split CARD --json").json()["frames"].clone();
    assert_eq!(frames[0]["path"], "DCIM/100MARSH/MRS_0001.JPG");
}

#[test]
fn all_frames_blank_gives_no_set_and_files_them_all() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["blank"] == true);
    let json = bench.run("split CARD --json").json();
    assert_eq!(json["sets"], serde_json::json!([]));
    assert!(json["frames"].as_array().unwrap().iter().all(|f| f["blank"] == true));
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    let blanks =
        tree(&bench.archive()).keys().filter(|p| p.contains("/blanks/") && p.contains(".jpg")).count();
    assert_eq!(blanks, 14);
}

#[test]
fn no_blank_at_all_is_one_set_and_a_query() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["blank"] == false);
    let json = bench.run("split CARD --json").json();
    assert_eq!(json["sets"].as_array().unwrap().len(), 1);
    assert!(
        json["queries"].as_array().unwrap().iter().any(|q| q["kind"] == "no-blank"),
        "{}",
        json["queries"]
    );
    assert_eq!(bench.run("split CARD --strict").status, 1);
}

#[test]
fn an_archive_inside_the_card_is_refused_and_the_card_is_untouched() {
    let bench = Bench::new(PROGRAM);
    bench.put(FIRST, &demo_bytes(FIRST)).unwrap();
    let before = tree(&bench.card());
    for inside in [bench.card(), bench.card().join("filed"), bench.card().join("DCIM/../deep/er")] {
        check_refused(&bench, &format!("file CARD --into {}", inside.display()), "inside one another");
    }
    assert_eq!(tree(&bench.card()), before);
}

#[test]
fn an_archive_that_cannot_be_written_is_refused() {
    let bench = Bench::new(PROGRAM);
    bench.put(FIRST, &demo_bytes(FIRST)).unwrap();
    fs::write(bench.archive(), b"a file").unwrap();
    check_refused(&bench, "file CARD --into ARCHIVE", "this is a file");
    if Path::new("/proc").exists() {
        check_refused(&bench, "file CARD --into /proc/endleaf", "Nothing was filed");
    }
}

#[test]
fn a_full_disk_leaves_nothing_that_looks_whole() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    // A memory disk of 300 kB: room for one or two of the set's frames.
    fs::create_dir(bench.archive()).unwrap();
    let archive = bench.archive();
    let mount = |args: &[&str]| std::process::Command::new("mount").args(args).arg(&archive).output();
    match mount(&["-t", "tmpfs", "-o", "size=300k", "tmpfs"]) {
        Ok(done) if done.status.success() => {}
        _ => return eprintln!("skipped: a memory disk cannot be mounted here"),
    }
    let outcome = bench.run("file CARD --into ARCHIVE");
    let left = tree(&archive);
    std::process::Command::new("umount").arg(&archive).status().unwrap();
    assert_eq!(outcome.status, 2, "{}", outcome.out);
    assert!(outcome.talk.contains("room") || outcome.talk.contains("full"), "{}", outcome.talk);
    let originals: Vec<Vec<u8>> = tree(&bench.card()).into_values().collect();
    for (path, bytes) in left.iter().filter(|(p, _)| !p.contains(".part") && p.contains("/001/")) {
        assert!(originals.contains(bytes), "{path} is not whole");
    }
}

#[test]
fn a_plan_that_is_not_there_or_broken_is_refused() {
    let bench = Bench::new(PROGRAM);
    bench.put(FIRST, &demo_bytes(FIRST)).unwrap();
    check_refused(&bench, "split CARD --plan newt", "There is no plan");
    let plan = bench.card().join("p.ron");
    fs::write(&plan, "(key: \"p\",\n name: \"P\",\n views: [(key: 7)])").unwrap();
    check_refused(&bench, &format!("split CARD --plan {}", plan.display()), "line 3");
}

#[test]
fn a_kept_session_of_a_newer_version_is_left_alone_and_said() {
    let bench = Bench::new(PROGRAM);
    bench.put(FIRST, &demo_bytes(FIRST)).unwrap();
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    let sessions = bench.home().join("sessions");
    let key = fs::read_dir(&sessions).unwrap().next().unwrap().unwrap().path();
    let file = key.join("session.ron");
    let newer = fs::read_to_string(&file).unwrap().replace("schema: 1", "schema: 9");
    fs::write(&file, &newer).unwrap();
    let outcome = bench.run("file CARD --into ARCHIVE");
    for words in ["written by a newer Endleaf", "left as it is", "A new one was begun beside it"] {
        assert!(outcome.talk.contains(words), "{words} is not in {}", outcome.talk);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), newer);
}

//! Cards as they are found: links, pipes, odd names, read-only, copied twice, read again at noon. End to end.

#![cfg(unix)]
#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a helper of a test may stop it, and says what it skips"
)]

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::symlink;
use std::os::unix::net::UnixListener;
use std::process::Command;

use endleaf_tests::{Bench, demo_bytes, demo_expected, tree};
use serde_json::Value;

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// The path of a frame of the demo bank by its number.
fn demo(number: u16) -> String {
    format!("DCIM/100MARSH/MRS_{number}.JPG")
}

fn paths(list: &Value) -> Vec<&str> {
    list.as_array().unwrap().iter().map(|entry| entry["path"].as_str().unwrap()).collect()
}

/// Why a path is in no frame.
fn reason<'a>(json: &'a Value, path: &str) -> &'a str {
    let entry = json["skipped"].as_array().unwrap().iter().find(|s| s["path"] == path);
    entry.unwrap_or_else(|| panic!("{path} is not in {}", json["skipped"]))["reason"].as_str().unwrap()
}

#[test]
fn what_is_no_file_is_passed_over_and_nothing_waits_for_it() {
    let bench = Bench::new(PROGRAM);
    bench.put(&demo(9971), &demo_bytes(&demo(9971))).unwrap();
    let card = bench.card();
    let pipe = card.join("DCIM/100MARSH/MRS_9972.JPG");
    if !Command::new("mkfifo").arg(&pipe).status().is_ok_and(|s| s.success()) {
        return eprintln!("skipped: no mkfifo here");
    }
    let _socket = UnixListener::bind(card.join("DCIM/100MARSH/MRS_9973.JPG")).unwrap();
    symlink("/dev/zero", card.join("DCIM/100MARSH/MRS_9974.JPG")).unwrap();
    symlink("MRS_9976.JPG", card.join("DCIM/100MARSH/MRS_9976.JPG")).unwrap();
    symlink("nowhere", card.join("DCIM/100MARSH/MRS_9977.JPG")).unwrap();
    symlink("..", card.join("DCIM/100MARSH/up")).unwrap();
    symlink("/proc/self/mem", card.join("DCIM/100MARSH/MRS_9978.JPG")).unwrap();
    let json = bench.run("split CARD --json").json();
    assert_eq!(paths(&json["frames"]), [demo(9971)]);
    for number in [9972, 9973] {
        assert_eq!(reason(&json, &demo(number)), "neither a file nor a folder");
    }
    for path in [demo(9974), demo(9976), demo(9977), demo(9978), "DCIM/100MARSH/up".to_owned()] {
        assert_eq!(reason(&json, &path), "a link; links are not followed");
    }
    let filed = bench.run("file CARD --into ARCHIVE");
    assert_eq!(filed.status, 0, "{}", filed.talk);
    assert!(filed.out.len() < 10_000);
}

#[test]
fn a_file_that_gives_read_errors_is_a_frame_with_a_fault() {
    // `mem` of a process gives a read error even to a superuser: nothing is mapped at its start.
    let bench = Bench::new(PROGRAM);
    bench.put(&demo(9971), &demo_bytes(&demo(9971))).unwrap();
    let locked = bench.card().join("DCIM/100MARSH/MRS_9972.JPG");
    fs::write(&locked, b"").unwrap();
    let bind = Command::new("mount").args(["--bind", "/proc/self/mem"]).arg(&locked).output();
    if !bind.is_ok_and(|done| done.status.success()) {
        return eprintln!("skipped: nothing can be mounted here");
    }
    let outcome = bench.run("split CARD --json");
    Command::new("umount").arg(&locked).status().unwrap();
    let json = outcome.json();
    assert_eq!(paths(&json["frames"]).len(), 2, "{}", outcome.out);
    let faults: Vec<&Value> =
        json["frames"].as_array().unwrap().iter().flat_map(|f| f["faults"].as_array().unwrap()).collect();
    assert_eq!(faults.len(), 1, "{faults:?}");
}

#[test]
fn names_of_any_kind_are_read_printed_and_filed_or_said() {
    let bench = Bench::new(PROGRAM);
    let long = format!("{}.jpg", "n".repeat(251));
    let names =
        ["نحلة.jpg", "bee\u{202e}gpj.jpg", "new\nline.jpg", "  two  spaces .jpg", &long, "a\"b\\c'.jpg"];
    for (name, number) in names.iter().zip(9971..) {
        bench.put(name, &demo_bytes(&demo(number))).unwrap();
    }
    let odd = bench.card().join(OsStr::from_bytes(b"b\xff\xfee.jpg"));
    fs::write(&odd, demo_bytes(&demo(9978))).unwrap();
    let json = bench.run("split CARD --json").json();
    assert_eq!(paths(&json["frames"]), names, "in the order of their times, whole in JSON");
    let said = reason(&json, "b\u{fffd}\u{fffd}e.jpg");
    assert_eq!(said, "its name holds bytes that are not text; rename it to have it read");
    let printed = bench.run("split CARD").out;
    assert!(!printed.contains("new\nline"), "{printed}");
    assert!(!printed.contains('\u{202e}'), "{printed}");
    let outcome = bench.run("file CARD --into ARCHIVE");
    assert_eq!(outcome.status, 0);
    // A name that is not text may be a picture's, and that one is not filed.
    assert!(outcome.out.contains("1 file is left. Do not wipe the card."), "{}", outcome.out);
    let filed: BTreeSet<Vec<u8>> = tree(&bench.archive()).into_values().collect();
    for number in (9971..).take(names.len()) {
        assert!(filed.contains(&demo_bytes(&demo(number))), "{number}");
    }
}

#[test]
fn a_card_on_a_read_only_mount_is_read_and_filed() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|f| f["set"] == 1);
    let card = bench.card();
    let mount = |args: &[&str]| Command::new("mount").args(args).arg(&card).output();
    let bind = Command::new("mount").arg("--bind").args([&card, &card]).output();
    if !bind.is_ok_and(|done| done.status.success()) {
        return eprintln!("skipped: nothing can be mounted here");
    }
    let bound = mount(&["-o", "remount,bind,ro"]).is_ok_and(|done| done.status.success());
    let refused = fs::write(card.join("x"), b"x").is_err();
    let (split, filed) = (bench.run("split CARD --json"), bench.run("file CARD --into ARCHIVE"));
    Command::new("umount").arg(&card).status().unwrap();
    assert!(bound && refused, "the card was not read-only");
    assert_eq!((split.status, filed.status), (0, 0), "{} {}", split.talk, filed.talk);
    let archive: BTreeSet<Vec<u8>> = tree(&bench.archive()).into_values().collect();
    assert!(tree(&card).values().all(|bytes| archive.contains(bytes)));
}

#[test]
fn a_dump_that_holds_every_frame_twice_gives_every_frame_once() {
    let bench = Bench::new(PROGRAM);
    bench.put_demo(|_| true);
    let once = bench.run("split CARD --json").json();
    for (path, bytes) in tree(&bench.card()) {
        // Half of them under the same name, half renamed; a raw and its picture stay together.
        let name = path.rsplit('/').next().unwrap();
        bench.put(&format!("Backup/{name}"), &bytes).unwrap();
    }
    for (path, number) in [(demo(9971), 1), (demo(9973), 2)] {
        bench.put(&format!("a bee ({number}).jpg"), &demo_bytes(&path)).unwrap();
    }
    let twice = bench.run("split CARD --json").json();
    assert_eq!(twice["frames"], once["frames"]);
    assert_eq!(twice["sets"], once["sets"]);
    let copies: Vec<&Value> =
        twice["skipped"].as_array().unwrap().iter().filter(|s| s["same_as"].is_string()).collect();
    assert!(copies.iter().all(|s| {
        let read = |path: &Value| fs::read(bench.card().join(path.as_str().unwrap())).unwrap();
        read(&s["path"]) == read(&s["same_as"])
    }));
    let files: usize =
        once["frames"].as_array().unwrap().iter().map(|f| f["files"].as_array().unwrap().len()).sum();
    let all: BTreeSet<String> = tree(&bench.card()).into_keys().collect();
    assert_eq!(
        files + twice["skipped"].as_array().unwrap().len(),
        all.len(),
        "every file is accounted for once"
    );
    assert!(bench.run("split CARD").out.contains("copies, which are no frames of their own"));
    assert_eq!(bench.run("file CARD --into ARCHIVE").status, 0);
    let is_jpeg = |path: &str| path.to_lowercase().ends_with(".jpg");
    let in_archive = tree(&bench.archive()).keys().filter(|p| is_jpeg(p)).count();
    let on_card = once["frames"].as_array().unwrap().iter().flat_map(|f| f["files"].as_array().unwrap());
    let on_card = on_card.filter(|f| is_jpeg(f.as_str().unwrap())).count();
    assert_eq!(in_archive, on_card, "nothing is filed twice");
}

#[test]
fn a_card_read_again_at_noon_adds_only_its_new_frames_and_edits_stand() {
    let bench = Bench::new(PROGRAM);
    let expected = demo_expected("salt-marsh-bank");
    let begins = |set: u64| {
        let first = expected["frames"].as_array().unwrap().iter().find(|f| f["set"] == set).unwrap();
        first["taken"].as_str().unwrap()
    };
    let before = |f: &Value, time: &str| f["taken"].as_str().is_some_and(|taken| taken < time);
    bench.put_demo(|f| before(f, begins(4)));
    let options = endleaf::day::OpenOptions::default();
    let open = || endleaf::day::Day::open(&bench.card(), &options, None, &record::Silent).unwrap();
    let mut day = open();
    let jar = day.session.write_jar(1, "B 7").unwrap();
    day.session.apply(&jar).unwrap();
    let aside = day.session.sets[0].frames[1];
    day.session.apply(&day.session.decide_kind(&[aside], record::FrameKind::SetAside)).unwrap();
    day.rearrange();
    let known = day.session.frames.len();
    let second: Vec<_> = day.session.sets[1].frames.clone();

    // By noon the card holds more, the morning's frames lie on it a second time, and one of them in DCIM is gone.
    bench.put_demo(|f| before(f, begins(6)));
    for (path, bytes) in tree(&bench.card()) {
        bench.put(&format!("Backup/{}", path.rsplit('/').next().unwrap()), &bytes).unwrap();
    }
    let moved = day.session.frame(second[0]).unwrap().path().to_owned();
    let noon = open().session.frames;
    assert_eq!(day.session.overlap(&noon), known);
    let merged = day.session.merge(noon);
    assert_eq!(merged.known, known);
    fs::remove_file(bench.card().join(&moved)).unwrap();
    // Now a copy stands for it: it is the same frame all the same.
    let merged = day.session.merge(open().session.frames);
    assert_eq!((merged.new, merged.known), (0, day.session.frames.len()));
    day.rearrange();
    assert!(day.session.frame(second[0]).unwrap().path().starts_with("Backup/"));
    let set = day.session.sets.iter().find(|set| set.frames == second).unwrap();
    assert_eq!(day.session.record_of(set).unwrap().jar, "B 7");
    assert_eq!(day.session.kind(day.session.frame(aside).unwrap()), record::FrameKind::SetAside);
}

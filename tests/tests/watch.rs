//! `endleaf watch` while frames arrive: the list it prints, how soon, and what is kept of it.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::fs::File;
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

use endleaf_tests::{Bench, Outcome, demo_bytes, tree, without_exif};
use filing::store::Store;
use record::{Session, ViewKey};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// A picture of the demo bank; number 6 is a blank, the ones before it are a whole round.
fn demo(number: u32) -> Vec<u8> {
    demo_bytes(&format!("DCIM/100MARSH/MRS_{}.JPG", 9970 + number))
}

/// A round of pictures without a time of their own, which are then as old as their files: `f` shows an animal, `_` none.
/// They are numbered from `first` on.
fn put(bench: &Bench, first: u32, round: &str, age_min: u64) {
    put_aged(bench, first, round, age_min * 60 + 5);
}

fn put_aged(bench: &Bench, first: u32, round: &str, age_secs: u64) {
    for (number, c) in (first..).zip(round.chars()) {
        let name = format!("FIG_{number:04}.JPG");
        bench.put(&name, &without_exif(&demo(if c == '_' { 6 } else { 1 + number % 5 }))).unwrap();
        let file = File::options().append(true).open(bench.card().join(name)).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_secs(age_secs)).unwrap();
    }
}

/// A watch that runs beside the test.
struct Running {
    child: Child,
    out: BufReader<std::process::ChildStdout>,
}

impl Running {
    fn start(bench: &Bench, more: &[&str]) -> Self {
        let mut child = Command::new(PROGRAM)
            .arg("watch")
            .arg(bench.card())
            .args(more)
            .env_clear()
            .env("ENDLEAF_HOME", bench.home())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        Self { child, out }
    }

    /// Reads on until a line holds these words.
    fn until(&mut self, words: &str) -> String {
        let mut all = String::new();
        let mut line = String::new();
        while self.out.read_line(&mut line).unwrap() > 0 {
            all.push_str(&line);
            if line.contains(words) {
                return line;
            }
            line.clear();
        }
        panic!("“{words}” never came, but: {all}");
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        // A watch has no end of its own.
        drop(self.child.kill());
        drop(self.child.wait());
    }
}

fn kept(bench: &Bench) -> Session {
    Store::open(&bench.home()).unwrap().latest().unwrap().unwrap()
}

fn settled(bench: &Bench, more: &str) -> Outcome {
    bench.run(&format!("watch CARD --once-settled 1{more}"))
}

#[test]
#[expect(clippy::print_stderr, reason = "the delays are for whoever reads the test run")]
fn each_finished_set_prints_the_list_soon_and_filing_goes_on_from_there() {
    let bench = Bench::new(PROGRAM);
    put(&bench, 1, "fffff_", 9);
    let mut watch = Running::start(&bench, &[]);
    watch.until("no animal is known to lack a view");
    let mut delays = Vec::new();
    for set in 2..=4 {
        put(&bench, 10 * set, "fff", 1);
        put(&bench, 10 * set + 3, "_", 0);
        let whole = Instant::now();
        let line = watch.until(&format!("   {set}  "));
        delays.push(whole.elapsed());
        assert!(line.contains("min since first frame  Two views short, which is not known yet"), "{line}");
    }
    eprintln!("from the blank to the list: {delays:?}");
    assert!(delays.iter().all(|d| *d < Duration::from_secs(2)), "{delays:?}");
    // The list is printed before the session is saved.
    let begun = Instant::now();
    while kept(&bench).frames.len() < 18 {
        assert!(begun.elapsed() < Duration::from_secs(5));
    }
    drop(watch);
    let filed = bench.run("file CARD --into ARCHIVE");
    assert_eq!(filed.status, 0, "{}", filed.talk);
    assert!(
        filed.talk.contains("A session is kept of this card and goes on: 18 frames known, 0 new"),
        "{}",
        filed.talk
    );
    assert_eq!(kept(&bench).sets.len(), 4);
}

#[test]
fn the_limit_is_told_kept_and_taken_over_and_past_it_the_word_is_release() {
    let bench = Bench::new(PROGRAM);
    put(&bench, 1, "ffff_", 21);
    put(&bench, 11, "ffff_", 7);
    let outcome = settled(&bench, " --limit 15 --strict");
    assert_eq!(outcome.status, 1, "{}", outcome.talk);
    let lines: Vec<&str> = outcome.out.lines().filter(|l| l.contains("since first frame")).collect();
    assert_eq!(
        lines[..2],
        [
            "   2  7 min since first frame, 7 min left of your 15  One view short, which is not known yet",
            "   1  21 min since first frame, past your 15: release"
        ]
    );
    assert_eq!(kept(&bench).decisions.holding_limit_min, Some(15));

    let next = settled(&bench, "");
    assert!(next.talk.contains("Your holding limit is 15 min, as before"), "{}", next.talk);
    for (path, _) in tree(&bench.card()) {
        std::fs::remove_file(bench.card().join(path)).unwrap();
    }
    put(&bench, 31, "ffffff_", 3);
    let another_day = settled(&bench, "");
    assert!(another_day.talk.contains("Your holding limit is 15 min, as before"), "{}", another_day.talk);
    assert_eq!(settled(&bench, " --limit 0").status, 0);
    assert_eq!(kept(&bench).decisions.holding_limit_min, None);
}

#[test]
fn an_animal_that_comes_to_its_limit_is_told_of_without_a_new_frame() {
    let bench = Bench::new(PROGRAM);
    put_aged(&bench, 1, "ffff_", 55);
    let mut watch = Running::start(&bench, &["--limit", "1"]);
    let line = watch.until("   1  ");
    assert!(line.contains("under 1 min left of your 1  One view short"), "{line}");
    let line = watch.until("   1  ");
    assert!(line.ends_with("1 min since first frame, past your 1: release\n"), "{line}");
}

#[test]
fn a_camera_whose_clock_is_off_is_asked_about_instead_of_told_from() {
    let bench = Bench::new(PROGRAM);
    put(&bench, 1, "fffff_", 9);
    let mut watch = Running::start(&bench, &[]);
    watch.until("no animal is known to lack a view");
    for number in [1, 2, 6] {
        bench.put(&format!("MRS_{number:04}.JPG"), &demo(number)).unwrap();
    }
    let line = watch.until("Is the clock of Field One IO1-004417 right?");
    assert!(line.contains("says 2026-06-14 09:12:") && line.contains("behind it"), "{line}");
}

#[test]
fn a_later_short_set_is_asked_about_as_a_retake() {
    let bench = Bench::new(PROGRAM);
    put(&bench, 1, "ffff_", 12);
    put(&bench, 11, "fffff_", 9);
    put(&bench, 21, "f_", 5);
    let outcome = settled(&bench, "");
    assert!(
        outcome.out.contains("Is set 3 a retake of specimen 1? It has only one frame."),
        "{}",
        outcome.out
    );
}

#[test]
fn edits_made_meanwhile_stand_and_deleted_frames_no_longer_count() {
    let bench = Bench::new(PROGRAM);
    put(&bench, 1, "fffff_", 9);
    let mut watch = Running::start(&bench, &[]);
    watch.until("no animal is known to lack a view");
    let store = Store::open(&bench.home()).unwrap();
    let begun = Instant::now();
    let (key, mut session) = loop {
        // The list is printed before the session is saved.
        let latest = store.latest().unwrap();
        if let Some(found) = latest.and_then(|s| store.find_for_card(&s.frames).unwrap().session) {
            break found;
        }
        assert!(begun.elapsed() < Duration::from_secs(5));
    };
    let label = session.label_frame(session.frames[0].id, Some(ViewKey::from("side"))).unwrap();
    session.apply(&label).unwrap();
    store.save(&key, &session).unwrap();
    std::fs::remove_file(bench.card().join("FIG_0003.JPG")).unwrap();
    let line = watch.until("   1  ");
    assert!(line.contains("One view short"), "{line}");
    put(&bench, 11, "ffff_", 1);
    watch.until("   2  ");
    put(&bench, 21, "ffff_", 0);
    watch.until("   3  ");
    let session = store.load(&key).unwrap();
    assert_eq!(session.decisions.labels.len(), 1);
    let gone: Vec<&str> = session.gone.iter().map(|id| session.frame(*id).unwrap().path()).collect();
    assert_eq!(gone, ["FIG_0003.JPG"]);
    drop(watch);
    let filed = bench.run("file CARD --into ARCHIVE");
    assert_eq!(filed.status, 0, "{}", filed.talk);
    assert!(filed.talk.contains("there is nothing to copy: FIG_0003.JPG"), "{}", filed.talk);
}

#[test]
fn two_watches_of_one_folder_keep_one_session() {
    let bench = Bench::new(PROGRAM);
    put(&bench, 1, "fffff_", 9);
    let mut first = Running::start(&bench, &[]);
    first.until("no animal is known to lack a view");
    let second = thread::scope(|scope| {
        let run = scope.spawn(|| settled(&bench, ""));
        thread::sleep(Duration::from_millis(500));
        put(&bench, 11, "ffff_", 1);
        run.join().unwrap()
    });
    first.until("   2  ");
    assert!(second.out.contains("   2  "), "{}", second.out);
    assert_eq!(tree(&bench.home()).keys().filter(|path| path.ends_with("session.ron")).count(), 1);
    assert_eq!(kept(&bench).frames.len(), 11);
}

#[test]
fn without_a_frame_or_a_folder_it_is_not_done() {
    let bench = Bench::new(PROGRAM);
    let outcome = settled(&bench, "");
    assert_eq!(outcome.status, 2);
    assert!(outcome.talk.contains("No frame is there yet") && outcome.talk.contains("No frame came."));
    assert_eq!(outcome.out, "");
    let outcome = bench.run("watch none --once-settled 1");
    assert_eq!(outcome.status, 2);
    assert!(outcome.talk.contains("There is no such folder"), "{}", outcome.talk);
    assert_eq!(bench.run("watch CARD --limit -1").status, 2);
}

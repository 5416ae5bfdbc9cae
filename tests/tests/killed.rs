//! The program itself, killed at each step of the journal and at odd moments: filing again ends as an uncut run does,
//! taking back gives what was before, and the card is as it was, bit for bit.
//!
//! `ENDLEAF_KILLS` says how many times; a small number by default.

#![allow(
    clippy::unwrap_used,
    clippy::print_stderr,
    reason = "a helper of a test may stop it, and says what it did"
)]

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant, SystemTime};

use endleaf_tests::{Bench, project, tree};

const PROGRAM: &str = env!("CARGO_BIN_EXE_endleaf-under-test");

/// A kill for each way of filing and each step, by default; hundreds make it a long test.
const KILLS: usize = 30;

type Look = BTreeMap<PathBuf, (Vec<u8>, SystemTime, u32)>;

/// Everything of every file and folder: bytes, time, permissions. A file that came and went changes the time of its folder.
fn look(folder: &Path) -> Look {
    let mut look = Look::new();
    let mut open = vec![folder.to_owned()];
    while let Some(path) = open.pop() {
        let about = path.metadata().unwrap();
        let (changed, mode) = (about.modified().unwrap(), about.permissions().mode());
        let bytes = if about.is_dir() {
            open.extend(fs::read_dir(&path).unwrap().map(|entry| entry.unwrap().path()));
            Vec::new()
        } else {
            fs::read(&path).unwrap()
        };
        look.insert(path, (bytes, changed, mode));
    }
    look
}

/// What must be equal after any cut: all but the journal, what is kept for taking back, and the time of the filing.
fn lasting(archive: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut tree = if archive.exists() { tree(archive) } else { BTreeMap::new() };
    tree.retain(|path, _| path != "endleaf-journal.txt" && !path.starts_with("endleaf-before/"));
    for (path, bytes) in &mut tree {
        if path.ends_with("session.ron") || path.ends_with("receipt.txt") {
            let text = String::from_utf8(std::mem::take(bytes)).unwrap();
            let is_time =
                |line: &&str| line.starts_with("At 20") || line.trim_start().starts_with("at: \"20");
            *bytes = text.lines().filter(|line| !is_time(line)).collect::<Vec<_>>().join("\n").into_bytes();
        }
    }
    tree
}

fn copy(from: &Path, to: &Path) {
    fs::remove_dir_all(to).ok();
    if from.exists() {
        let copied = Command::new("cp").arg("-a").arg(from).arg(to).status().unwrap();
        assert!(copied.success());
    }
}

/// When the program is killed.
enum Moment {
    /// Once the journal has this many lines more than before.
    Lines(usize),
    /// After this long.
    After(Duration),
}

struct Scene {
    bench: Bench,
    /// What is run and killed.
    words: String,
    archives: Vec<PathBuf>,
    before: Vec<PathBuf>,
    home_before: PathBuf,
    uncut: Vec<BTreeMap<String, Vec<u8>>>,
    took: Duration,
    lines: usize,
}

impl Scene {
    /// A card, what is done before, and what is killed.
    fn new(first: &[&str], then: &str) -> Self {
        let bench = Bench::new(PROGRAM);
        let near = |name: &str| bench.archive().with_file_name(name);
        let archives = vec![bench.archive(), near("other")];
        bench.put_demo(|f| f["set"] == 1 || f["set"] == 2);
        let in_full = |words: &str| words.replace("OTHER", near("other").to_str().unwrap());
        for words in first {
            if *words == "MORE" {
                bench.put_demo(|f| f["set"] == 3);
                continue;
            }
            assert_eq!(bench.run(&in_full(words)).status, 0, "{words}");
        }
        let (before, home_before) = (vec![near("before-1"), near("before-2")], near("home-before"));
        for (archive, before) in archives.iter().zip(&before) {
            copy(archive, before);
        }
        copy(&bench.home(), &home_before);
        let words = in_full(then);
        let mut scene = Self {
            bench,
            words,
            archives,
            before,
            home_before,
            uncut: vec![],
            took: Duration::ZERO,
            lines: 0,
        };
        let (begun, lines) = (Instant::now(), scene.journal_lines());
        assert_eq!(scene.bench.run(&scene.words).status, 0, "{then}");
        scene.took = begun.elapsed();
        scene.lines = scene.journal_lines() - lines;
        scene.uncut = scene.archives.iter().map(|archive| lasting(archive)).collect();
        scene
    }

    fn journal_lines(&self) -> usize {
        let journal = fs::read(self.archives[0].join("endleaf-journal.txt")).unwrap_or_default();
        journal.split(|byte| *byte == b'\n').count() - 1
    }

    fn reset(&self) {
        for (archive, before) in self.archives.iter().zip(&self.before) {
            copy(before, archive);
        }
        copy(&self.home_before, &self.bench.home());
    }

    /// Runs the program and kills it; says whether it was still at work.
    fn run_killed(&self, moment: &Moment) -> bool {
        let lines = self.journal_lines();
        let args = self.words.split(' ').map(|word| match word {
            "CARD" => self.bench.card().into_os_string(),
            "ARCHIVE" => self.bench.archive().into_os_string(),
            word => word.into(),
        });
        let mut child = Command::new(PROGRAM)
            .args(args)
            .env_clear()
            .env("ENDLEAF_HOME", self.bench.home())
            .current_dir(project())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let begun = Instant::now();
        while child.try_wait().unwrap().is_none() {
            let is_now = match moment {
                Moment::Lines(more) => self.journal_lines() >= lines + more,
                Moment::After(time) => begun.elapsed() >= *time,
            };
            if is_now {
                // SIGKILL on Unix.
                child.kill().unwrap();
                return child.wait().unwrap().code().is_none();
            }
        }
        false
    }

    fn check(&self, moment: &Moment, label: &str) -> bool {
        self.reset();
        let card = look(&self.bench.card());
        let killed = self.run_killed(moment);
        assert!(look(&self.bench.card()) == card, "the card: {label}");
        let is_undo = self.words.starts_with("undo");
        let again = self.bench.run(&self.words);
        assert!(
            again.status == 0 || (is_undo && again.talk.contains("nothing to take back")),
            "{label}: {}",
            again.talk
        );
        for (archive, uncut) in self.archives.iter().zip(&self.uncut) {
            let now = lasting(archive);
            let differs: Vec<_> =
                now.keys().chain(uncut.keys()).filter(|p| now.get(*p) != uncut.get(*p)).collect();
            assert!(differs.is_empty(), "{label}: {differs:?} differ from an uncut run");
        }
        if !is_undo {
            for (archive, before) in
                self.archives.iter().zip(&self.before).filter(|(archive, _)| archive.exists())
            {
                let is_other = *archive != self.bench.archive();
                if is_other && !self.words.contains("--and-into") {
                    continue;
                }
                let undone = self.bench.run(&format!("undo {}", archive.display()));
                assert_eq!(undone.status, 0, "{label}: {}", undone.talk);
                assert!(lasting(archive) == lasting(before), "{label}: taken back it is not as before");
            }
        }
        assert!(look(&self.bench.card()) == card, "the card: {label}");
        killed
    }
}

#[test]
fn killed_at_any_moment_it_goes_on_and_can_be_taken_back() {
    let kills = std::env::var("ENDLEAF_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(KILLS);
    let file = "file CARD --into ARCHIVE";
    let scenes = [
        ("first", Scene::new(&[], file)),
        ("more", Scene::new(&[file, "MORE"], file)),
        (
            "names",
            Scene::new(
                &[file],
                "file CARD --into ARCHIVE --name-files specimen,time,n --name-folders date,specimen",
            ),
        ),
        ("two", Scene::new(&[file, "MORE"], "file CARD --into ARCHIVE --and-into OTHER")),
        ("undo", Scene::new(&[file, "MORE", file], "undo ARCHIVE")),
    ];
    // A plain generator, so that a failure can be had again.
    let mut seed = 0x2545_F491_4F6C_DD1D_u64;
    let mut at_work = 0;
    for n in 0..kills {
        let (name, scene) = &scenes[n % scenes.len()];
        let step = n / scenes.len();
        let moment = if step.is_multiple_of(2) {
            Moment::Lines(1 + step / 2 % scene.lines)
        } else {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            Moment::After(scene.took.mul_f64((seed % 1000) as f64 / 1000.0))
        };
        at_work += usize::from(scene.check(&moment, &format!("{name}, kill {n}")));
    }
    eprintln!("{kills} kills, {at_work} of them at work; all went on, all taken back");
    assert!(at_work * 4 > kills, "only {at_work} of {kills} kills met the program at work");
}

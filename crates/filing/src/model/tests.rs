//! Every way in which a disk can fail, at every operation: nothing half, nothing lost, and the next run ends as an uncut
//! one does.

#[path = "../../tests/common/mod.rs"]
mod common;

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use record::{Session, Silent};

use super::{After, Fate, ModelDisk};
use crate::carry::carry_out_on;
use crate::journal::{JOURNAL_FILE, Log};
use crate::lists::BEFORE_FOLDER;
use crate::plan::plan_filing_on;
use crate::{FaultKind, FilingFault, Receipt};

pub(super) type Tree = BTreeMap<String, (Vec<u8>, SystemTime)>;

/// A card on a model disk, an archive that holds something already, and the session of the card.
pub(super) struct Bench {
    pub(super) disk: ModelDisk,
    pub(super) session: Session,
    pub(super) uncut: ModelDisk,
}

pub(super) fn card() -> PathBuf {
    "/card".into()
}

pub(super) fn archive() -> PathBuf {
    "/archive".into()
}

pub(super) fn file(disk: &ModelDisk, session: &mut Session) -> Result<Receipt, FilingFault> {
    let none = BTreeMap::new();
    let plan = plan_filing_on(disk, session, &card(), &archive(), &none, &Silent)?;
    carry_out_on(disk, &plan, session, &card(), &archive(), &Silent)
}

impl Bench {
    pub(super) fn new(frames: &str) -> Self {
        let day = common::day(frames);
        let disk = ModelDisk::new();
        for (path, (bytes, _)) in common::tree(&day.card) {
            disk.put(&card().join(path), &bytes);
        }
        disk.put(&archive().join("mine.txt"), b"mine");
        let uncut = disk.with(Fate::default());
        file(&uncut, &mut day.session.clone()).unwrap();
        Self { disk, session: day.session, uncut }
    }

    /// Operations of an uncut run.
    fn calls(&self) -> usize {
        self.uncut.calls()
    }

    /// Files that an uncut run copies.
    fn files(&self) -> usize {
        let before = self.disk.tree(&archive());
        let filed = before.keys().filter(|path| ["jpg", "nef", "wav"].contains(&ending(path))).count();
        self.session.frames.iter().map(|f| f.files.len()).sum::<usize>() - filed
    }

    /// What is wrong right after a run ended somehow.
    pub(super) fn wrong_now(&self, disk: &ModelDisk) -> Option<String> {
        if disk.tree(&card()) != self.disk.tree(&card()) {
            return Some("the card was changed".into());
        }
        let on_card: Vec<Vec<u8>> = self.disk.tree(&card()).into_values().map(|(bytes, _)| bytes).collect();
        let before = self.disk.tree(&archive());
        for (path, file) in disk.tree(&archive()) {
            let is_part = ending(&path) == "part";
            let whole = match ending(&path) {
                "jpg" | "nef" | "wav" => on_card.contains(&file.0),
                "ron" => record::session_from_text(&String::from_utf8_lossy(&file.0)).is_ok(),
                _ => path != "mine.txt" || file.0 == b"mine",
            };
            if !is_part && !whole {
                return Some(format!("{path} looks whole and is not"));
            }
            let is_old = path == JOURNAL_FILE || before.get(&path).is_some_and(|old| old.0 == file.0);
            if !is_part && !is_old && !told(disk, &path, &file.0) {
                return Some(format!("the journal does not tell of {path}"));
            }
        }
        None
    }

    /// What is wrong when filing is done again after this; the session of the run before is lost.
    fn wrong_after_resuming(&self, disk: &ModelDisk) -> Option<String> {
        let log = Log::read(disk, &archive());
        let Ok(log) = log else { return Some(format!("the journal cannot be read: {log:?}")) };
        let old = Log::read(&self.disk, &archive()).unwrap().last.map_or(0, |last| last.n);
        let last = log.last.iter().filter(|last| last.n > old);
        let verified = last.flat_map(|l| l.copies.values()).filter(|c| c.sha256.is_some()).count();
        let mut session = self.session.clone();
        match file(disk, &mut session) {
            Err(fault) => return Some(format!("filing does not go on: {fault}")),
            Ok(receipt) if receipt.copied != self.files() - verified => {
                let copied = receipt.copied;
                return Some(format!("{verified} were copied and read back, and {copied} were copied again"));
            }
            Ok(_) => {}
        }
        (but_kept(disk) != but_kept(&self.uncut)).then(|| {
            let names = |disk| pictures(disk).into_keys().collect::<Vec<_>>();
            format!("the archive differs: {:?}, not {:?}", names(disk), names(&self.uncut))
        })
    }

    fn wrong(&self, disk: &ModelDisk) -> Option<String> {
        self.wrong_now(disk).or_else(|| self.wrong_after_resuming(disk))
    }
}

fn ending(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or_default()
}

/// Whether the journal tells of a file as it is.
fn told(disk: &ModelDisk, path: &str, bytes: &[u8]) -> bool {
    let Ok(Log { last: Some(last), .. }) = Log::read(disk, &archive()) else { return false };
    let sha256 = crate::disk::hash_text(&String::from_utf8_lossy(bytes));
    let text = last.texts.get(path).is_some_and(|text| text.sha256s.contains(&sha256));
    text || path.starts_with(BEFORE_FOLDER)
        || last.copies.get(path).is_some_and(|copied| copied.sha256.is_some())
}

/// What is there apart from journal and texts kept for undoing.
pub(super) fn but_kept(disk: &ModelDisk) -> Tree {
    let mut tree = pictures(disk);
    tree.retain(|path, _| !path.starts_with(BEFORE_FOLDER));
    tree
}

/// A card of which some was filed before, so that lists are replaced and numbers kept.
pub(super) fn filed_twice() -> Bench {
    let mut bench = Bench::new("wf_f_");
    let mut first = bench.session.clone();
    first.frames.truncate(3);
    first.sets.truncate(1);
    file(&bench.disk, &mut first).unwrap();
    bench.uncut = bench.disk.with(Fate::default());
    file(&bench.uncut, &mut bench.session.clone()).unwrap();
    bench
}

/// All of an archive but the journal, and the times of Endleaf's own texts.
pub(super) fn pictures(disk: &ModelDisk) -> Tree {
    let mut tree = disk.tree(&archive());
    tree.remove(JOURNAL_FILE);
    for (path, file) in &mut tree {
        if ["ron", "txt"].contains(&ending(path)) {
            file.1 = SystemTime::UNIX_EPOCH;
        }
    }
    tree
}

#[test]
fn the_model_files_as_a_real_disk_does() {
    let mut day = common::day("wf_a");
    day.file().unwrap();
    let bench = Bench::new("wf_a");
    let mut names: Vec<String> = pictures(&bench.uncut).into_keys().collect();
    names.retain(|name| name != "mine.txt");
    assert_eq!(names, common::names(&day.archive));
    assert_eq!(bench.wrong(&bench.uncut), None);
}

#[test]
fn cut_at_any_operation_it_goes_on_and_ends_as_an_uncut_run() {
    let bench = Bench::new("wf_");
    for n in 1..=bench.calls() + 1 {
        let disk = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        file(&disk, &mut bench.session.clone()).ok();
        for after in After::ALL {
            assert_eq!(bench.wrong(&disk.after(after)), None, "cut at {n}, {after:?}");
        }
    }
}

#[test]
fn cut_again_while_going_on_it_still_ends_as_an_uncut_run() {
    let bench = Bench::new("f_");
    for n in (1..=bench.calls()).step_by(5) {
        let first = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        file(&first, &mut bench.session.clone()).ok();
        for after in [After::Power, After::PowerTorn] {
            let first = first.after(after);
            for again in (1..=bench.calls()).step_by(9) {
                let second = first.with(Fate { ends_at: Some(again), ..Fate::default() });
                file(&second, &mut bench.session.clone()).ok();
                let second = second.after(after);
                assert_eq!(bench.wrong(&second), None, "cut at {n} and {again}, {after:?}");
            }
        }
    }
}

#[test]
fn every_flush_is_needed() {
    let bench = Bench::new("f_");
    let mut idle = Vec::new();
    for (flush, (call, path)) in (1..).zip(bench.uncut.flushed()) {
        // Before the flush is left out the disk is as it would be anyway.
        let is_missed = (call + 1..=bench.calls() + 1).any(|n| {
            let fate = Fate { ends_at: Some(n), skips_flush: Some(flush), ..Fate::default() };
            let disk = bench.disk.with(fate);
            let whole = file(&disk, &mut bench.session.clone()).is_ok();
            After::ALL.iter().any(|after| {
                let left = disk.after(*after);
                let ended = Log::read(&left, &archive()).is_ok_and(|l| l.last.is_some_and(|l| l.ended));
                let lost = whole && (pictures(&left) != pictures(&bench.uncut) || !ended);
                lost || bench.wrong(&left).is_some()
            })
        });
        if !is_missed {
            idle.push((flush, path));
        }
    }
    assert_eq!(idle, [], "these can be left out");
}

#[test]
fn any_operation_may_fail_once() {
    for bench in [Bench::new("wf_"), filed_twice()] {
        any_may_fail(&bench);
    }
}

fn any_may_fail(bench: &Bench) {
    for kind in [ErrorKind::Other, ErrorKind::PermissionDenied] {
        for n in 1..=bench.calls() {
            let disk = bench.disk.with(Fate { fails_at: Some((n, kind)), ..Fate::default() });
            let mut session = bench.session.clone();
            let ended = file(&disk, &mut session);
            if let Err(fault) = &ended {
                let words = fault.to_string();
                assert!(words.contains(". ") && !words.contains("os error"), "{words}");
                if fault.kind() == FaultKind::Refusal {
                    assert!(session == bench.session, "a refusal leaves the session as it was");
                }
            }
            // A time that cannot be kept does not keep a file from being filed.
            let left = disk.with(Fate::default());
            let (now, uncut) = (pictures(&left), pictures(&bench.uncut));
            if ended.is_ok()
                && now.keys().eq(uncut.keys())
                && now.values().zip(uncut.values()).all(|(a, b)| a.0 == b.0)
            {
                continue;
            }
            assert_eq!(bench.wrong(&left), None, "operation {n} failed ({kind:?}), then {ended:?}");
        }
    }
}

#[test]
fn a_disk_that_is_full_at_any_byte_is_said_and_filing_goes_on_when_there_is_room() {
    let bench = Bench::new("f_");
    let used = pictures(&bench.uncut).values().map(|(bytes, _)| bytes.len()).sum::<usize>();
    let mut full = 0;
    for room in (4..used + 4000).step_by(41) {
        let disk = bench.disk.with(Fate { room_bytes: Some(room), ..Fate::default() });
        match file(&disk, &mut bench.session.clone()) {
            Ok(_) => {}
            Err(fault) => {
                full += 1;
                let words = fault.to_string();
                assert!(words.contains("full") || words.contains("too little room"), "{words}");
            }
        }
        assert_eq!(bench.wrong(&disk.with(Fate::default())), None, "room for {room}");
    }
    assert!(full > 50, "{full}");
}

#[test]
fn short_reads_and_writes_are_gone_on_with() {
    let bench = Bench::new("wf_");
    for most in [1, 7, 400] {
        let disk = bench.disk.with(Fate { moves_bytes: Some(most), ..Fate::default() });
        file(&disk, &mut bench.session.clone()).unwrap();
        assert_eq!(pictures(&disk), pictures(&bench.uncut));
    }
}

#[test]
fn a_disk_without_times_keeps_the_bytes() {
    let bench = Bench::new("wf_");
    let disk = bench.disk.with(Fate { keeps_no_times: true, ..Fate::default() });
    assert_eq!(file(&disk, &mut bench.session.clone()).unwrap().copied, 5);
}

#[test]
fn a_copy_that_is_not_what_was_written_is_not_kept() {
    let bench = Bench::new("ff_");
    let disk = bench.disk.with(Fate { spoils_a_part: true, ..Fate::default() });
    let mut session = bench.session.clone();
    let fault = file(&disk, &mut session).unwrap_err();
    assert!(matches!(fault, FilingFault::CopyDiffers { .. }), "{fault}");
    assert_eq!(session.filed.len(), 2, "the others are filed");
    assert_eq!(bench.wrong(&disk.with(Fate::default())), None);
}

#[test]
fn an_archive_pulled_out_at_any_operation_is_said_and_filing_goes_on_when_it_is_back() {
    let bench = Bench::new("f_");
    for n in 1..=bench.calls() {
        let disk = bench.disk.with(Fate { archive_gone_at: Some(n), ..Fate::default() });
        let ended = file(&disk, &mut bench.session.clone());
        for after in [After::Kill, After::Power] {
            assert_eq!(bench.wrong(&disk.after(after)), None, "gone at {n}, then {ended:?}");
        }
    }
}

#[test]
fn another_session_filed_after_a_cut_ends_the_first_as_it_is() {
    let bench = Bench::new("wf_");
    let other = Bench::new("ff_");
    let mut others = other.session.clone();
    others.name = "Another".into();
    for (frame, i) in others.frames.iter_mut().zip(0u8..) {
        frame.files[0].path = format!("other/{i}.jpg");
        frame.files[0].bytes = 90;
        bench.disk.put(&card().join(&frame.files[0].path), &[i; 90]);
    }
    let bench = Bench { uncut: bench.disk.with(Fate::default()), ..bench };
    file(&bench.uncut, &mut bench.session.clone()).unwrap();
    for n in (1..=bench.calls()).step_by(2) {
        let disk = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        file(&disk, &mut bench.session.clone()).ok();
        let disk = disk.after(After::Power);
        let receipt = file(&disk, &mut others.clone()).unwrap();
        assert_eq!((receipt.copied, receipt.filed_before), (3, 0), "cut at {n}");
        // What the list of the first names is there, and everything there is listed.
        let tree = disk.tree(Path::new("/archive/2026-06-14_Hay-meadow"));
        let listed =
            tree.get("manifest-sha256.txt").map_or(String::new(), |(b, _)| String::from_utf8_lossy(b).into());
        let there = tree.keys().filter(|p| p.contains('/')).count();
        assert_eq!(listed.lines().count(), there, "cut at {n}: {tree:?}");
        let again = file(&disk, &mut bench.session.clone()).unwrap();
        assert_eq!((again.copied, again.filed_before), (5 - there, there), "cut at {n}");
    }
}

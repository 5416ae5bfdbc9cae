//! Taking back, with every operation failing and after every cut.

use std::io::ErrorKind;
use std::path::Path;

use record::{Session, Silent};

use super::bench::{Bench, archive, but_journal, but_kept, card, file, filed_twice, idle_flushes, pictures};
use super::{After, Fate, ModelDisk};
use crate::FilingFault;
use crate::journal::Log;
use crate::undo::{Undo, undo_on};

fn undo(disk: &ModelDisk) -> Result<Undo, FilingFault> {
    undo_on(disk, &archive(), None, &Silent)
}

pub(super) fn taken_back(bench: Bench) -> Bench {
    Bench { taken_back: true, ..bench }
}

fn is_undone(disk: &ModelDisk, before: &ModelDisk) -> bool {
    // With the times: lists are put back as they were.
    but_journal(disk) == but_journal(before)
}

#[test]
fn the_last_filing_is_taken_back_exactly() {
    for bench in [Bench::new("wf_"), filed_twice()] {
        let disk = bench.uncut.with(Fate::default());
        let undone = undo(&disk).unwrap();
        assert!(is_undone(&disk, &bench.disk));
        assert_eq!(pictures(&disk), pictures(&bench.disk), "nothing kept is left behind");
        assert_eq!(undone.folder, "2026-06-14_Hay-meadow");
        assert!(matches!(undo(&disk), Err(FilingFault::NothingToUndo { .. })));
        // Filed again it is as if nothing had been.
        file(&disk, &mut bench.session.clone()).unwrap();
        assert_eq!(but_kept(&disk), but_kept(&bench.uncut));
    }
}

#[test]
fn a_filing_cut_at_any_operation_can_be_taken_back() {
    for bench in [Bench::new("wf_"), filed_twice()] {
        for n in 1..=bench.uncut.calls() {
            let disk = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
            file(&disk, &mut bench.session.clone()).ok();
            for after in [After::Kill, After::Power, After::PowerTorn] {
                let disk = disk.after(after);
                let begun =
                    Log::read(&disk, &archive()).unwrap() != Log::read(&bench.disk, &archive()).unwrap();
                if begun && Log::read(&disk, &archive()).unwrap().last.is_some() {
                    undo(&disk).unwrap();
                }
                assert!(is_undone(&disk, &bench.disk), "cut at {n}, {after:?}");
            }
        }
    }
}

/// What is wrong after taking back was cut and asked for again, or filing was.
pub(super) fn wrong(bench: &Bench, disk: &ModelDisk) -> Option<String> {
    if let Some(wrong) = bench.wrong_now(disk) {
        return Some(wrong);
    }
    let Ok(log) = Log::read(disk, &archive()) else { return Some("the journal cannot be read".into()) };
    let last = log.last.unwrap();
    let is_there = |to: &String| disk.tree(&archive()).contains_key(to);
    if last.ended && !last.undoing && !last.undone && !last.copies.keys().all(is_there) {
        return Some("files are gone that the journal says are filed".into());
    }
    let filed = disk.with(Fate::default());
    if let Err(fault) = file(&filed, &mut bench.session.clone()) {
        return Some(format!("filing instead does not go on: {fault}"));
    }
    if but_kept(&filed) != but_kept(&bench.uncut) {
        let (a, b) = (but_kept(&filed), but_kept(&bench.uncut));
        let differs: Vec<_> = a.keys().chain(b.keys()).filter(|path| a.get(*path) != b.get(*path)).collect();
        return Some(format!("filing instead differs in {differs:?}"));
    }
    match undo(disk) {
        Ok(_) | Err(FilingFault::NothingToUndo { .. }) => {}
        Err(fault) => return Some(format!("taking back does not go on: {fault}")),
    }
    (!is_undone(disk, &bench.disk)).then(|| "it differs from before".into())
}

#[test]
fn taking_back_cut_at_any_operation_goes_on_or_is_filed_again() {
    for bench in [Bench::new("wf_"), filed_twice()].map(taken_back) {
        let whole = bench.uncut.with(Fate::default());
        undo(&whole).unwrap();
        for n in 1..=whole.calls() + 1 {
            let disk = bench.uncut.with(Fate { ends_at: Some(n), ..Fate::default() });
            undo(&disk).ok();
            for after in [After::Kill, After::Power, After::PowerInnerNamesKept] {
                assert_eq!(wrong(&bench, &disk.after(after)), None, "cut at {n}, {after:?}");
            }
        }
    }
}

#[test]
fn every_flush_of_taking_back_is_needed() {
    for bench in [Bench::new("f_"), filed_twice()].map(taken_back) {
        let whole = bench.uncut.with(Fate::default());
        undo(&whole).unwrap();
        let run = |fate| {
            let disk = bench.uncut.with(fate);
            let ended = undo(&disk).is_ok();
            (disk, ended)
        };
        let is_missed = |left: &ModelDisk, ended: bool| {
            let log = Log::read(left, &archive());
            let is_told = log.is_ok_and(|log| log.last.is_some_and(|last| last.undone));
            let is_lost = is_told && !is_undone(left, &bench.disk);
            is_lost || (ended && !is_told) || wrong(&bench, left).is_some()
        };
        assert_eq!(idle_flushes(&whole, &run, &is_missed), [], "these can be left out");
    }
}

#[test]
fn any_operation_of_taking_back_may_fail_once() {
    let bench = taken_back(filed_twice());
    let whole = bench.uncut.with(Fate::default());
    undo(&whole).unwrap();
    for kind in [ErrorKind::Other] {
        for n in 1..=whole.calls() {
            let disk = bench.uncut.with(Fate { fails_at: Some((n, kind)), ..Fate::default() });
            let ended = undo(&disk);
            if let Err(fault) = &ended {
                assert!(fault.to_string().contains("/archive"), "{fault}");
            }
            let left = disk.with(Fate::default());
            assert_eq!(wrong(&bench, &left), None, "operation {n} failed ({kind:?}), then {ended:?}");
        }
    }
}

fn refused(disk: &ModelDisk, words: &str) {
    let before = disk.tree(&archive());
    match undo(disk) {
        Err(FilingFault::UndoRefused { reasons, .. }) => {
            assert_eq!(reasons.len(), 1, "{reasons:?}");
            assert!(reasons[0].contains(words), "{reasons:?}");
        }
        other => panic!("{other:?} instead of {words}"),
    }
    assert_eq!(disk.tree(&archive()), before, "nothing was done");
}

#[test]
fn what_was_changed_since_or_is_on_no_card_is_not_taken_away() {
    let bench = filed_twice();
    let first = "2026-06-14_Hay-meadow/002/2026-06-14_002_frame_01.jpg";
    let with = |path: &Path, bytes: &[u8]| {
        let disk = bench.uncut.with(Fate::default());
        disk.put(path, bytes);
        disk
    };
    let mut changed = bench.uncut.tree(&archive())[first].0.clone();
    changed[5] ^= 1;
    refused(&with(&archive().join(first), &changed), "002_frame_01.jpg was changed since it was filed");
    let session = "2026-06-14_Hay-meadow/session.ron";
    refused(&with(&archive().join(session), b"mine"), "session.ron was changed since");
    let on_card = "DCIM/100ABCDE/ABCD0004.JPG";
    refused(&with(&card().join(on_card), &changed), "ABCD0004.JPG on the card is not the same any more");
    let gone = bench.uncut.with(Fate::default());
    gone.take(&card().join(on_card));
    refused(&gone, "the card does not hold DCIM/100ABCDE/ABCD0004.JPG any more");
    let kept = bench.uncut.with(Fate::default());
    kept.take(&archive().join("endleaf-before/2-session.ron"));
    refused(&kept, "endleaf-before/2-session.ron, which is to be put back, is not there any more");
    // What a person moved away is no reason.
    let moved = bench.uncut.with(Fate::default());
    moved.take(&archive().join(first));
    undo(&moved).unwrap();
    assert!(is_undone(&moved, &bench.disk));
}

#[test]
fn taking_back_that_goes_on_looks_again_for_changed_files() {
    let bench = Bench::new("ff_");
    let whole = bench.uncut.with(Fate::default());
    undo(&whole).unwrap();
    let last = "2026-06-14_Hay-meadow/blanks/2026-06-14_blank_001.jpg";
    let mut looked = 0;
    for n in 1..=whole.calls() {
        let disk = bench.uncut.with(Fate { ends_at: Some(n), ..Fate::default() });
        undo(&disk).ok();
        let disk = disk.after(After::Kill);
        let undoing = Log::read(&disk, &archive()).unwrap().last.is_some_and(|last| last.undoing);
        if undoing && disk.tree(&archive()).contains_key(last) {
            looked += 1;
            disk.put(&archive().join(last), b"drawn upon");
            refused(&disk, "blank_001.jpg was changed since it was filed");
        }
    }
    assert!(looked > 0);
}

#[test]
fn the_session_as_filed_is_given_beside() {
    let bench = Bench::new("ff_");
    let session: Session = undo(&bench.uncut.with(Fate::default())).unwrap().session.unwrap();
    assert_eq!((session.frames.len(), session.filed.len()), (3, 3));
}

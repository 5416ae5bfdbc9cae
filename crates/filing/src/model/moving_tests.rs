//! Moving within the archive, and taking that back, with every operation failing and after every cut.

use std::io::ErrorKind;

use record::{FrameId, Session, Silent};

use super::bench::{Bench, archive, but_journal, but_kept, card, common, file, idle_flushes, is_picture};
use super::{After, Fate, ModelDisk};
use crate::FilingFault;
use crate::journal::{JOURNAL_FILE, Log};
use crate::undo::undo_on;

fn label(session: &mut Session, frame: u32, view: &str) {
    let edit = session.label_frame(FrameId(frame), Some(view.into())).unwrap();
    session.apply(&edit).unwrap();
    common::arrange(session);
}

/// An archive in which two frames have each other's names, one goes to another folder, and one is new.
pub(super) fn relabelled() -> Bench {
    let mut bench = Bench::new("ff_ff_");
    let mut session = bench.session.clone();
    label(&mut session, 0, "face");
    label(&mut session, 1, "side");
    let mut first = session.clone();
    first.frames.truncate(5);
    common::arrange(&mut first);
    file(&bench.disk, &mut first).unwrap();
    // Kept of the card, as the program keeps it, without what is filed.
    bench.session = first;
    bench.session.merge(session.frames);
    common::arrange(&mut bench.session);
    label(&mut bench.session, 0, "side");
    label(&mut bench.session, 1, "face");
    let edit = bench.session.write_jar(1, "B").unwrap();
    bench.session.apply(&edit).unwrap();
    bench.session.naming.folder.name.push(record::NameField::Jar);
    common::arrange(&mut bench.session);
    bench.uncut = bench.disk.with(Fate::default());
    let receipt = file(&bench.uncut, &mut bench.session.clone()).unwrap();
    assert_eq!((receipt.copied, receipt.moved), (1, 4));
    bench
}

/// What is wrong after moving was cut or failed.
pub(super) fn wrong(bench: &Bench, disk: &ModelDisk) -> Option<String> {
    if disk.tree(&card()) != bench.disk.tree(&card()) {
        return Some("the card was changed".into());
    }
    let now = disk.tree(&archive());
    for (path, file) in bench.disk.tree(&archive()).iter().filter(|(path, _)| is_picture(path)) {
        if !now.values().any(|there| there == file) {
            return Some(format!("{path} is lost"));
        }
    }
    let Ok(log) = Log::read(disk, &archive()) else { return Some("the journal cannot be read".into()) };
    let begun = log != Log::read(&bench.disk, &archive()).unwrap();
    let undone = disk.with(Fate::default());
    if begun && log.last.is_some_and(|last| last.n > 1) {
        if let Err(fault) = undo_on(&undone, &archive(), None, &Silent) {
            return Some(format!("it cannot be taken back: {fault}"));
        }
        if but_journal(&undone) != but_journal(&bench.disk) {
            let names: Vec<_> = but_journal(&undone).into_keys().collect();
            return Some(format!("taken back it is not as before: {names:?}"));
        }
    }
    // The session kept knows nothing of it.
    if let Err(fault) = file(disk, &mut bench.session.clone()) {
        return Some(format!("filing does not go on: {fault}"));
    }
    (but_kept(disk) != but_kept(&bench.uncut)).then(|| {
        let (a, b) = (but_kept(disk), but_kept(&bench.uncut));
        let differ: Vec<_> = a.keys().chain(b.keys()).filter(|p| a.get(*p) != b.get(*p)).collect();
        format!("the archive differs from an uncut run: {differ:?}")
    })
}

#[test]
fn moving_cut_at_any_operation_goes_on_or_is_taken_back() {
    let bench = relabelled();
    for n in 1..=bench.calls() + 1 {
        let disk = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        file(&disk, &mut bench.session.clone()).ok();
        for after in After::ALL {
            assert_eq!(wrong(&bench, &disk.after(after)), None, "cut at {n}, {after:?}");
        }
    }
}

#[test]
fn moving_cut_where_names_are_reserved_goes_on_or_is_taken_back() {
    let reserves = Fate { reserves: true, ..Fate::default() };
    let mut bench = relabelled();
    bench.uncut = bench.disk.with(reserves);
    file(&bench.uncut, &mut bench.session.clone()).unwrap();
    for n in 1..=bench.calls() + 1 {
        let disk = bench.disk.with(Fate { ends_at: Some(n), ..reserves });
        file(&disk, &mut bench.session.clone()).ok();
        for after in [After::Kill, After::PowerNamesKept] {
            assert_eq!(wrong(&bench, &disk.after(after)), None, "cut at {n}, {after:?}");
        }
    }
    // And when it is cut while it is taken back.
    for n in 1..=bench.calls() {
        let disk = bench.uncut.with(Fate { ends_at: Some(n), ..reserves });
        undo_on(&disk, &archive(), None, &Silent).ok();
        let disk = disk.after(After::Kill);
        let again = undo_on(&disk, &archive(), None, &Silent);
        let undone = matches!(again, Ok(_) | Err(FilingFault::NothingToUndo { .. }));
        assert!(undone, "cut at {n}, then {again:?}");
        assert_eq!(but_journal(&disk), but_journal(&bench.disk), "cut at {n}");
    }
}

#[test]
fn any_operation_of_moving_may_fail_once() {
    let bench = relabelled();
    for n in 1..=bench.calls() {
        let disk = bench.disk.with(Fate { fails_at: Some((n, ErrorKind::Other)), ..Fate::default() });
        let ended = file(&disk, &mut bench.session.clone());
        if let Err(fault) = &ended {
            assert!(fault.to_string().contains(". "), "{fault}");
        }
        let left = disk.with(Fate::default());
        if ended.is_ok() && but_kept(&left).keys().eq(but_kept(&bench.uncut).keys()) {
            continue;
        }
        assert_eq!(wrong(&bench, &left), None, "operation {n} failed, then {ended:?}");
    }
}

/// Of these, files have other names because others are chosen, and nothing else is new: no sidecar says otherwise.
fn renamed() -> Bench {
    let mut bench = Bench::new("f_");
    file(&bench.disk, &mut bench.session).unwrap();
    bench.session.naming.folder.name.push(record::NameField::Date);
    bench.uncut = bench.disk.with(Fate::default());
    let receipt = file(&bench.uncut, &mut bench.session.clone()).unwrap();
    assert_eq!((receipt.copied, receipt.moved, receipt.sidecars), (0, 1, 0));
    bench
}

/// The names of what was flushed and need not have been.
fn idle_paths(
    uncut: &ModelDisk,
    run: &dyn Fn(Fate) -> (ModelDisk, bool),
    is_missed: &dyn Fn(&ModelDisk, bool) -> bool,
) -> Vec<String> {
    let idle = idle_flushes(uncut, run, is_missed);
    idle.into_iter().map(|(_, path)| path.file_name().unwrap().to_str().unwrap().to_owned()).collect()
}

#[test]
fn every_flush_of_moving_is_needed() {
    let idle = |bench: &Bench| {
        let run = |fate| {
            let disk = bench.disk.with(fate);
            let ended = file(&disk, &mut bench.session.clone()).is_ok();
            (disk, ended)
        };
        let is_missed = |left: &ModelDisk, ended: bool| {
            let log = Log::read(left, &archive()).unwrap_or_default();
            let is_told = log.last.is_some_and(|last| last.ended);
            let is_lost = ended && (!is_told || but_kept(left) != but_kept(&bench.uncut));
            is_lost || wrong(bench, left).is_some()
        };
        idle_paths(&bench.uncut, &run, &is_missed)
    };
    // The archive's names are from before and last; one file alone lies where it lies, also if not all were gathered.
    assert_eq!(idle(&renamed()), ["archive", JOURNAL_FILE]);
    // Where two change names with each other the journal must say so. Folders in which sidecars are put anew are flushed
    // again for those.
    assert_eq!(idle(&relabelled()), ["archive", "001", "002_B", "blanks"]);
}

#[test]
fn every_flush_of_taking_moves_back_is_needed() {
    let bench = relabelled();
    let whole = bench.uncut.with(Fate::default());
    undo_on(&whole, &archive(), None, &Silent).unwrap();
    let run = |fate| {
        let disk = bench.uncut.with(fate);
        let ended = undo_on(&disk, &archive(), None, &Silent).is_ok();
        (disk, ended)
    };
    let is_missed = |left: &ModelDisk, ended: bool| {
        let told = Log::read(left, &archive()).is_ok_and(|log| log.last.is_some_and(|last| last.undone));
        let is_lost = (ended || told) && but_journal(left) != but_journal(&bench.disk);
        is_lost || (ended && !told) || wrong_taken_back(&bench, left).is_some()
    };
    // Moves that came to their end are flushed again, as one that was cut needs it; the session's folder also for a folder
    // made in it; and that an empty folder is left, or the receipt is there for longer, is looked at elsewhere.
    let folder = "2026-06-14_Hay-meadow";
    assert_eq!(idle_paths(&whole, &run, &is_missed), ["001", "002_B", folder, folder, "001", folder]);
}

/// A frame leaves a folder with nothing else in it, and another comes there.
#[test]
fn a_folder_that_all_files_leave_is_there_for_those_that_come() {
    let mut bench = Bench::new("rf_r");
    let all = bench.session.clone();
    bench.session.frames.truncate(3);
    common::arrange(&mut bench.session);
    file(&bench.disk, &mut bench.session).unwrap();
    bench.session.merge(all.frames);
    bench.session.decisions.kinds.insert(FrameId(0), record::FrameKind::Specimen);
    common::arrange(&mut bench.session);
    bench.uncut = bench.disk.with(Fate::default());
    let receipt = file(&bench.uncut, &mut bench.session.clone()).unwrap();
    assert_eq!((receipt.copied, receipt.moved), (1, 1));
    for n in (1..=bench.calls()).step_by(3) {
        let disk = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        file(&disk, &mut bench.session.clone()).ok();
        assert_eq!(wrong(&bench, &disk.after(After::Power)), None, "cut at {n}");
    }
}

/// What is wrong after taking moves back was cut and asked for again, or filing was.
pub(super) fn wrong_taken_back(bench: &Bench, disk: &ModelDisk) -> Option<String> {
    let instead = disk.with(Fate::default());
    match undo_on(disk, &archive(), None, &Silent) {
        Ok(_) | Err(FilingFault::NothingToUndo { .. }) => {}
        Err(fault) => return Some(format!("it does not go on: {fault}")),
    }
    if but_journal(disk) != but_journal(&bench.disk) {
        return Some("taken back it is not as before".into());
    }
    if let Err(fault) = file(&instead, &mut bench.session.clone()) {
        return Some(format!("filing instead does not go on: {fault}"));
    }
    let (a, b) = (but_kept(&instead), but_kept(&bench.uncut));
    let differ: Vec<_> = a.keys().chain(b.keys()).filter(|p| a.get(*p) != b.get(*p)).collect();
    (!differ.is_empty()).then(|| format!("filed instead it differs: {differ:?}"))
}

#[test]
fn taking_moves_back_cut_at_any_operation_goes_on() {
    let bench = relabelled();
    let whole = bench.uncut.with(Fate::default());
    undo_on(&whole, &archive(), None, &Silent).unwrap();
    for n in 1..=whole.calls() + 1 {
        let disk = bench.uncut.with(Fate { ends_at: Some(n), ..Fate::default() });
        undo_on(&disk, &archive(), None, &Silent).ok();
        for after in After::ALL {
            assert_eq!(wrong_taken_back(&bench, &disk.after(after)), None, "cut at {n}, {after:?}");
        }
    }
}

//! Moving within the archive, two archives at once, and repair, with every operation failing and after every cut.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use record::{FrameId, Session, Silent};

use super::bench::{Bench, Tree, archive, but_kept, card, common, file, is_picture};
use super::{After, Fate, ModelDisk};
use crate::FilingFault;
use crate::audit::{AuditOptions, audit_on};
use crate::carry::carry_out_both_on;
use crate::entry::Entry;
use crate::journal::{JOURNAL_FILE, Log};
use crate::lists::BEFORE_FOLDER;
use crate::plan::plan_filing_on;
use crate::repair::repair_on;
use crate::undo::undo_on;

fn label(session: &mut Session, frame: u32, view: &str) {
    let edit = session.label_frame(FrameId(frame), Some(view.into())).unwrap();
    session.apply(&edit).unwrap();
    common::arrange(session);
}

/// An archive in which two frames have each other's names, one goes to another folder, and one is new.
fn relabelled() -> Bench {
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

fn but_journal(disk: &ModelDisk) -> Tree {
    let mut tree = disk.tree(&archive());
    tree.retain(|path, _| path != JOURNAL_FILE && !path.starts_with(BEFORE_FOLDER));
    tree
}

/// What is wrong after moving was cut or failed.
fn wrong(bench: &Bench, disk: &ModelDisk) -> Option<String> {
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

#[test]
fn the_flushes_of_moving_are_needed() {
    let bench = relabelled();
    let flushed = bench.uncut.flushed();
    let first = |end: &str| flushed.iter().position(|(_, path)| path.ends_with(end)).unwrap();
    let (new, old) = (first("002_B"), first("002"));
    // The folder with the new names, the one with the old, and the journal, which says that all may be named.
    assert!(new < old && flushed[old + 1].1.ends_with(JOURNAL_FILE), "{flushed:?}");
    for at in [new, old, old + 1] {
        let is_missed = (flushed[at].0 + 1..=bench.calls() + 1).any(|n| {
            let fate = Fate { ends_at: Some(n), skips_flush: Some(at + 1), ..Fate::default() };
            let disk = bench.disk.with(fate);
            file(&disk, &mut bench.session.clone()).ok();
            After::ALL.iter().any(|after| wrong(&bench, &disk.after(*after)).is_some())
        });
        assert!(is_missed, "{:?} can be left out", flushed[at]);
    }
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
            let disk = disk.after(after);
            let instead = disk.with(Fate::default());
            match undo_on(&disk, &archive(), None, &Silent) {
                Ok(_) | Err(FilingFault::NothingToUndo { .. }) => {}
                Err(fault) => panic!("cut at {n}, {after:?}: {fault}"),
            }
            assert!(but_journal(&disk) == but_journal(&bench.disk), "cut at {n}, {after:?}");
            let names: Vec<_> = instead.tree(&archive()).into_keys().filter(|p| p.contains("xmp")).collect();
            let filed = file(&instead, &mut bench.session.clone());
            assert!(filed.is_ok(), "filed instead, cut at {n}, {after:?}: {filed:?} {names:?}");
            let (a, b) = (but_kept(&instead), but_kept(&bench.uncut));
            let differ: Vec<_> = a.keys().chain(b.keys()).filter(|p| a.get(*p) != b.get(*p)).collect();
            assert!(differ.is_empty(), "filed instead, cut at {n}, {after:?}: {differ:?}");
        }
    }
}

fn backup() -> PathBuf {
    "/backup".into()
}

/// Files into two archives at once.
fn file_both(disk: &ModelDisk, session: &mut Session) -> Result<[bool; 2], FilingFault> {
    let none = BTreeMap::new();
    let plan = |archive: &Path| plan_filing_on(disk, session, &card(), archive, &none, &Silent);
    let (main, other) = (plan(&archive())?, plan(&backup())?);
    let targets = [(&main, &*archive()), (&other, &*backup())].map(|(plan, path)| (plan, path.to_owned()));
    let targets = [(targets[0].0, targets[0].1.as_path()), (targets[1].0, targets[1].1.as_path())];
    let receipts = carry_out_both_on(disk, targets, session, &card(), &Silent)?;
    Ok(receipts.map(|receipt| receipt.is_ok()))
}

fn both(disk: &ModelDisk) -> [Tree; 2] {
    [archive(), backup()].map(|archive| {
        let mut tree = disk.tree(&archive);
        tree.retain(|path, _| is_picture(path) || path.contains("manifest") || path.contains(".xmp"));
        for file in tree.values_mut() {
            file.1 = std::time::UNIX_EPOCH;
        }
        tree
    })
}

#[test]
fn two_archives_cut_or_failing_at_any_operation_are_both_whole_in_the_end() {
    let bench = Bench::new("wf_");
    let uncut = bench.disk.with(Fate::default());
    assert_eq!(file_both(&uncut, &mut bench.session.clone()).unwrap(), [true, true]);
    let whole = both(&uncut);
    assert!(whole[0] == whole[1] && whole[0].len() == 5 + 3 + 1);
    for n in 1..=uncut.calls() + 1 {
        for fails in [false, true] {
            let fate = if fails {
                Fate { fails_at: Some((n, ErrorKind::StorageFull)), ..Fate::default() }
            } else {
                Fate { ends_at: Some(n), ..Fate::default() }
            };
            let disk = bench.disk.with(fate);
            file_both(&disk, &mut bench.session.clone()).ok();
            let ways: &[After] = if fails { &[After::Kill] } else { &After::ALL };
            for after in ways {
                let disk = disk.after(*after);
                assert_eq!(bench.wrong_now(&disk), None, "{n}, {after:?}");
                let again = file_both(&disk, &mut bench.session.clone());
                assert_eq!(again.unwrap(), [true, true], "{n}, {after:?}");
                assert!(both(&disk) == whole, "{n}, {after:?}, {fails}");
            }
        }
    }
}

#[test]
fn one_archive_that_cannot_be_written_to_does_not_keep_the_other() {
    let bench = Bench::new("wf_");
    let uncut = bench.disk.with(Fate::default());
    file_both(&uncut, &mut bench.session.clone()).unwrap();
    let mut one_alone = 0;
    for n in 1..=uncut.calls() {
        let disk = bench.disk.with(Fate { fails_at: Some((n, ErrorKind::Other)), ..Fate::default() });
        match file_both(&disk, &mut bench.session.clone()) {
            Ok([true, false]) => {
                one_alone += 1;
                assert!(both(&disk)[0] == both(&uncut)[0], "{n}");
            }
            Ok([false, true]) => {
                one_alone += 1;
                assert!(both(&disk)[1] == both(&uncut)[1], "{n}");
            }
            Ok(_) | Err(_) => {}
        }
    }
    assert!(one_alone > 20, "{one_alone}");
}

#[test]
fn repair_cut_or_failing_at_any_operation_goes_on_and_loses_nothing() {
    let bench = Bench::new("ff_");
    let disk = bench.disk.with(Fate::default());
    file_both(&disk, &mut bench.session.clone()).unwrap();
    let whole = disk.tree(&archive());
    let pictures: Vec<String> = whole.keys().filter(|path| is_picture(path)).cloned().collect();
    disk.take(&archive().join(&pictures[0]));
    let damaged = b"drawn upon".to_vec();
    disk.put(&archive().join(&pictures[2]), &damaged);
    let repaired = |disk: &ModelDisk| {
        let options = AuditOptions { quick: false, beside: Some(Path::new("/backup")) };
        let audit = audit_on(disk, &archive(), options, &Silent)?;
        repair_on(disk, &archive(), &backup(), &audit, &Silent)
    };
    let uncut = disk.with(Fate::default());
    assert_eq!(repaired(&uncut).unwrap().len(), 2);
    for n in 1..=uncut.calls() + 1 {
        for fails in [false, true] {
            let fate = if fails {
                Fate { fails_at: Some((n, ErrorKind::Other)), ..Fate::default() }
            } else {
                Fate { ends_at: Some(n), ..Fate::default() }
            };
            let cut = disk.with(fate);
            repaired(&cut).ok();
            let ways: &[After] = if fails { &[After::Kill] } else { &After::ALL };
            for after in ways {
                let left = cut.after(*after);
                repaired(&left).unwrap();
                let now = left.tree(&archive());
                for path in &pictures {
                    // A time that cannot be kept does not keep a file from being repaired.
                    let same = now[path] == whole[path] || fails && now[path].0 == whole[path].0;
                    assert!(same, "{path}, {n}, {after:?}");
                }
                assert!(
                    now.values().any(|file| file.0 == damaged),
                    "what stood there is kept: {n}, {after:?}"
                );
            }
        }
    }
    let mut idle = Vec::new();
    for (flush, (call, path)) in (1..).zip(uncut.flushed()) {
        let is_missed = (call + 1..=uncut.calls() + 1).any(|n| {
            let cut = disk.with(Fate { ends_at: Some(n), skips_flush: Some(flush), ..Fate::default() });
            let ended = repaired(&cut).is_ok();
            After::ALL.iter().any(|after| {
                let left = cut.after(*after);
                let now = left.tree(&archive());
                let lost = !now.values().any(|file| file.0 == damaged);
                let undone = ended && !pictures.iter().all(|path| now.get(path) == whole.get(path));
                let looks_whole = now.get(&pictures[0]).is_some_and(|file| file.0 != whole[&pictures[0]].0);
                let entries = Log::entries(&left, &archive()).unwrap_or_default();
                let is_told = |wanted: &String| {
                    entries.iter().any(|entry| matches!(entry, Entry::Repair { path, .. } if path == wanted))
                };
                let told = [&pictures[0], &pictures[2]]
                    .into_iter()
                    .all(|path| now.get(path) != whole.get(path) || is_told(path));
                lost || undone || looks_whole || !told || repaired(&left).is_err()
            })
        });
        if !is_missed {
            idle.push((flush, path));
        }
    }
    assert_eq!(idle, [], "these can be left out");
}

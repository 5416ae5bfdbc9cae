//! Two archives at once, and repair from the second, with every operation failing and after every cut.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use record::{Session, Silent};

use super::bench::{Bench, Tree, archive, card, idle_flushes, is_picture};
use super::{After, Fate, ModelDisk};
use crate::FilingFault;
use crate::audit::{AuditOptions, audit_on};
use crate::carry::carry_out_both_on;
use crate::disk;
use crate::entry::Entry;
use crate::journal::Log;
use crate::plan::plan_filing_on;
use crate::repair::repair_on;

fn backup() -> PathBuf {
    "/backup".into()
}

/// Files into two archives at once.
pub(super) fn file_both(disk: &ModelDisk, session: &mut Session) -> Result<[bool; 2], FilingFault> {
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
fn one_archive_pulled_out_does_not_keep_the_other() {
    let bench = Bench::new("wf_");
    let uncut = bench.disk.with(Fate::default());
    file_both(&uncut, &mut bench.session.clone()).unwrap();
    let whole = both(&uncut);
    let mut other_whole = 0;
    for n in 1..=uncut.calls() {
        let disk = bench.disk.with(Fate { archive_gone_at: Some(n), ..Fate::default() });
        let ended = file_both(&disk, &mut bench.session.clone());
        if ended == Ok([false, true]) {
            other_whole += 1;
            assert!(both(&disk)[1] == whole[1], "gone at {n}");
        }
        let back = disk.with(Fate::default());
        assert_eq!(bench.wrong_now(&back), None, "gone at {n}, then {ended:?}");
        assert_eq!(file_both(&back, &mut bench.session.clone()), Ok([true, true]), "gone at {n}");
        assert!(both(&back) == whole, "gone at {n}");
    }
    assert!(other_whole > 20, "{other_whole}");
}

/// Of two archives, the first with a picture missing and another drawn upon.
pub(super) struct Damaged {
    pub(super) disk: ModelDisk,
    whole: Tree,
    pictures: Vec<String>,
}

/// The bytes that stand in place of a picture.
const DRAWN_UPON: &[u8] = b"drawn upon";

/// Audits the first archive beside the second, and repairs it.
pub(super) fn repaired(disk: &ModelDisk) -> Result<Vec<String>, FilingFault> {
    let options = AuditOptions { quick: false, beside: Some(Path::new("/backup")) };
    let audit = audit_on(disk, &archive(), options, &Silent)?;
    repair_on(disk, &archive(), &backup(), &audit, &Silent)
}

impl Damaged {
    pub(super) fn new() -> Self {
        let bench = Bench::new("ff_");
        let disk = bench.disk.with(Fate::default());
        file_both(&disk, &mut bench.session.clone()).unwrap();
        let whole = disk.tree(&archive());
        let pictures: Vec<String> = whole.keys().filter(|path| is_picture(path)).cloned().collect();
        disk.take(&archive().join(&pictures[0]));
        disk.put(&archive().join(&pictures[2]), DRAWN_UPON);
        Self { disk, whole, pictures }
    }

    /// What is wrong when repair is asked for again.
    pub(super) fn wrong(&self, left: &ModelDisk, with_times: bool) -> Option<String> {
        if let Err(fault) = repaired(left) {
            return Some(format!("repair does not go on: {fault}"));
        }
        let now = left.tree(&archive());
        // A time that cannot be kept does not keep a file from being repaired.
        let is_same = |path: &&String| {
            let (there, filed) = (now.get(*path), &self.whole[*path]);
            there == Some(filed) || !with_times && there.is_some_and(|there| there.0 == filed.0)
        };
        if let Some(path) = self.pictures.iter().find(|path| !is_same(path)) {
            return Some(format!("{path} is not as it was filed"));
        }
        (!keeps_what_stood_there(&now)).then(|| "what stood there is lost".into())
    }
}

fn keeps_what_stood_there(now: &Tree) -> bool {
    now.values().any(|file| file.0 == DRAWN_UPON)
}

#[test]
fn repair_cut_or_failing_at_any_operation_goes_on_and_loses_nothing() {
    let damaged = Damaged::new();
    let uncut = damaged.disk.with(Fate::default());
    assert_eq!(repaired(&uncut).unwrap().len(), 2);
    let aside = archive().join(format!("{}.damaged", damaged.pictures[2]));
    assert_eq!(disk::read_bytes(&uncut, &aside).unwrap(), DRAWN_UPON, "put aside, not thrown away");
    for n in 1..=uncut.calls() + 1 {
        let cut = damaged.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        repaired(&cut).ok();
        for after in After::ALL {
            assert_eq!(damaged.wrong(&cut.after(after), true), None, "cut at {n}, {after:?}");
        }
        for kind in [ErrorKind::Other, ErrorKind::StorageFull] {
            let failed = damaged.disk.with(Fate { fails_at: Some((n, kind)), ..Fate::default() });
            repaired(&failed).ok();
            let wrong = damaged.wrong(&failed.after(After::Kill), false);
            assert_eq!(wrong, None, "operation {n} failed ({kind:?})");
        }
    }
}

#[test]
fn every_flush_of_repair_is_needed() {
    let damaged = Damaged::new();
    let uncut = damaged.disk.with(Fate::default());
    repaired(&uncut).unwrap();
    let (pictures, whole) = (&damaged.pictures, &damaged.whole);
    let run = |fate| {
        let cut = damaged.disk.with(fate);
        let ended = repaired(&cut).is_ok();
        (cut, ended)
    };
    let is_missed = |left: &ModelDisk, ended: bool| {
        let now = left.tree(&archive());
        let is_undone = ended && !pictures.iter().all(|path| now.get(path) == whole.get(path));
        let looks_whole = now.get(&pictures[0]).is_some_and(|file| file.0 != whole[&pictures[0]].0);
        let entries = Log::entries(left, &archive()).unwrap_or_default();
        let is_told = |wanted: &String| {
            entries.iter().any(|entry| matches!(entry, Entry::Repair { path, .. } if path == wanted))
        };
        let told = [&pictures[0], &pictures[2]]
            .into_iter()
            .all(|path| now.get(path) != whole.get(path) || is_told(path));
        let is_lost = !keeps_what_stood_there(&now);
        is_lost || is_undone || looks_whole || !told || repaired(left).is_err()
    };
    assert_eq!(idle_flushes(&uncut, &run, &is_missed), [], "these can be left out");
}

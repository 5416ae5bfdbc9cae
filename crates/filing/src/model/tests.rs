//! Every way in which a disk can fail, at every operation: nothing half, nothing lost, and the next run ends as an uncut
//! one does.

use std::io::ErrorKind;
use std::path::Path;

use record::Silent;

use super::bench::{
    Bench, archive, but_journal, card, common, file, filed_twice, idle_flushes, is_picture, pictures,
};
use super::{After, Fate, ModelDisk};
use crate::disk::Disk;
use crate::journal::Log;
use crate::undo::undo_on;
use crate::{FaultKind, FilingFault};

#[test]
fn the_model_files_as_a_real_disk_does() {
    let mut day = common::day("wf_a");
    day.file().unwrap();
    let bench = Bench::new("wf_a");
    let mut names: Vec<String> = pictures(&bench.uncut).into_keys().collect();
    names.retain(|name| name != "mine.txt" && !name.contains(".xmp"));
    assert_eq!(names, common::names(&day.archive));
    assert_eq!(bench.wrong(&bench.uncut), None);
}

#[test]
fn cut_at_any_operation_it_goes_on_and_ends_as_an_uncut_run() {
    for (bench, step) in [(Bench::new("wf_"), 1), (filed_twice(), 3)] {
        for n in (1..=bench.calls() + 1).step_by(step) {
            let disk = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
            file(&disk, &mut bench.session.clone()).ok();
            for after in After::ALL {
                assert_eq!(bench.wrong(&disk.after(after)), None, "cut at {n}, {after:?}");
            }
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
    for (bench, idle) in [
        (Bench::new("f_"), vec![]),
        (Bench::new("wf_"), vec![]),
        // The session's folder and the journal have their names from before, and those last.
        (filed_twice(), vec![archive()]),
    ] {
        let run = |fate| {
            let disk = bench.disk.with(fate);
            let ended = file(&disk, &mut bench.session.clone()).is_ok();
            (disk, ended)
        };
        let is_missed = |left: &ModelDisk, ended: bool| {
            let log = Log::read(left, &archive()).unwrap_or_default();
            let begun = log != Log::read(&bench.disk, &archive()).unwrap();
            let is_told = log.last.is_some_and(|last| last.ended);
            let is_lost = ended && (pictures(left) != pictures(&bench.uncut) || !is_told);
            let undone = left.with(Fate::default());
            let stays = || {
                let done = undo_on(&undone, &archive(), None, &Silent);
                done.is_err() || but_journal(&undone) != but_journal(&bench.disk)
            };
            is_lost || (begun && stays()) || bench.wrong(left).is_some()
        };
        let found = idle_flushes(&bench.uncut, &run, &is_missed);
        assert_eq!(found.into_iter().map(|(_, path)| path).collect::<Vec<_>>(), idle, "can be left out");
    }
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
fn a_folder_that_somebody_took_away_after_a_cut_is_made_again_and_lasts() {
    let bench = Bench::new("f_");
    let folder = archive().join("2026-06-14_Hay-meadow");
    let mut tried = 0;
    for n in 1..=bench.calls() {
        let cut = bench.disk.with(Fate { ends_at: Some(n), ..Fate::default() });
        file(&cut, &mut bench.session.clone()).ok();
        let cut = cut.after(After::Power);
        let is_begun = cut.tree(&folder).contains_key("receipt.txt");
        if !is_begun || cut.remove_folder(&folder.join("001")).is_err() {
            continue;
        }
        cut.flush_folder(&folder).unwrap();
        tried += 1;
        for again in (1..=bench.calls()).step_by(3) {
            let disk = cut.with(Fate { ends_at: Some(again), ..Fate::default() });
            file(&disk, &mut bench.session.clone()).ok();
            assert_eq!(bench.wrong(&disk.after(After::Power)), None, "cut at {n} and {again}");
        }
    }
    assert!(tried > 0);
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
        // All of it lasts, as a filing of its own.
        let disk = disk.after(After::Power);
        let last = Log::read(&disk, &archive()).unwrap().last.unwrap();
        assert!(
            last.ended && last.folder.ends_with("Another") && last.texts.len() == 6,
            "cut at {n}: {last:?}"
        );
        let undone = disk.with(Fate::default());
        undo_on(&undone, &archive(), None, &Silent).unwrap();
        let mut first = but_journal(&disk);
        first.retain(|path, _| !path.contains("Another"));
        assert_eq!(but_journal(&undone), first, "cut at {n}");
        // What the list of the first names is there, and everything there is listed.
        let tree = disk.tree(Path::new("/archive/2026-06-14_Hay-meadow"));
        let listed =
            tree.get("manifest-sha256.txt").map_or(String::new(), |(b, _)| String::from_utf8_lossy(b).into());
        assert_eq!(
            listed.lines().count(),
            tree.keys().filter(|p| p.contains('/')).count(),
            "cut at {n}: {tree:?}"
        );
        let there = tree.keys().filter(|path| is_picture(path)).count();
        let again = file(&disk, &mut bench.session.clone()).unwrap();
        assert_eq!((again.copied, again.filed_before), (5 - there, there), "cut at {n}");
    }
}

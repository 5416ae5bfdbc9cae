//! A disk that is full at any byte, for all that is done in an archive.

use record::Silent;

use super::bench::{Bench, archive, file, filed_twice};
use super::moving_tests::relabelled;
use super::two_tests::{Damaged, file_both, repaired};
use super::{Fate, ModelDisk, moving_tests, undo_tests};
use crate::FilingFault;
use crate::undo::undo_on;

/// Runs with room for every number of bytes, by `step`, from what the archive holds already until there is enough. Each
/// time it must be said that the disk is full, and nothing be wrong once there is room again.
fn full_at_any_byte(
    start: &ModelDisk,
    step: usize,
    run: &dyn Fn(&ModelDisk) -> Result<(), FilingFault>,
    wrong: &dyn Fn(&ModelDisk) -> Option<String>,
) {
    let held: usize = start.tree(&archive()).values().map(|(bytes, _)| bytes.len()).sum();
    let mut full = 0;
    for room in (held..).step_by(step) {
        let disk = start.with(Fate { room_bytes: Some(room), ..Fate::default() });
        let ended = run(&disk);
        if let Err(fault) = &ended {
            full += 1;
            let words = fault.to_string();
            assert!(words.contains("full") || words.contains("too little room"), "{words}");
        }
        assert_eq!(wrong(&disk.with(Fate::default())), None, "room for {room}, then {ended:?}");
        if ended.is_ok() {
            break;
        }
    }
    assert!(full * step > 500, "{full}");
}

#[test]
fn filing() {
    let bench = Bench::new("f_");
    let run = |disk: &ModelDisk| file(disk, &mut bench.session.clone()).map(drop);
    full_at_any_byte(&bench.disk, 1, &run, &|left| bench.wrong(left));
    let bench = filed_twice();
    let run = |disk: &ModelDisk| file(disk, &mut bench.session.clone()).map(drop);
    full_at_any_byte(&bench.disk, 7, &run, &|left| bench.wrong(left));
}

#[test]
fn filing_into_two_archives() {
    let bench = Bench::new("f_");
    let run = |disk: &ModelDisk| match file_both(disk, &mut bench.session.clone())? {
        [true, true] => Ok(()),
        // Room is that of the first alone.
        done => {
            assert_eq!(done, [false, true]);
            Err(FilingFault::NoRoom { needed_bytes: 0, free_bytes: 0, path: archive() })
        }
    };
    let wrong = |left: &ModelDisk| match file_both(left, &mut bench.session.clone()) {
        Ok([true, true]) => bench.wrong_now(left),
        ended => Some(format!("it does not go on: {ended:?}")),
    };
    full_at_any_byte(&bench.disk, 11, &run, &wrong);
}

#[test]
fn moving() {
    let bench = relabelled();
    let run = |disk: &ModelDisk| file(disk, &mut bench.session.clone()).map(drop);
    full_at_any_byte(&bench.disk, 7, &run, &|left| moving_tests::wrong(&bench, left));
}

#[test]
fn taking_back() {
    let run = |disk: &ModelDisk| undo_on(disk, &archive(), None, &Silent).map(drop);
    let bench = undo_tests::taken_back(filed_twice());
    full_at_any_byte(&bench.uncut, 3, &run, &|left| undo_tests::wrong(&bench, left));
    let bench = relabelled();
    full_at_any_byte(&bench.uncut, 3, &run, &|left| moving_tests::wrong_taken_back(&bench, left));
}

#[test]
fn repairing() {
    let damaged = Damaged::new();
    let run = |disk: &ModelDisk| repaired(disk).map(drop);
    full_at_any_byte(&damaged.disk, 1, &run, &|left| damaged.wrong(left, true));
}

//! A disk that lies once, on whichever reading of a picture: it gives other bytes than it holds.

use record::Silent;

use super::bench::{Bench, archive, but_journal, card, file, filed_twice, is_picture, pictures};
use super::two_tests::{Damaged, repaired};
use super::{Fate, undo_tests};
use crate::FilingFault;
use crate::undo::undo_on;

fn lies_at(n: usize) -> Fate {
    Fate { lies_at: Some(n), ..Fate::default() }
}

#[test]
fn on_reading_a_copy_back_it_is_said_and_the_copy_is_made_again() {
    for bench in [Bench::new("ff_"), Bench::new("wf_")] {
        let mut lied = 0;
        for n in 1..=bench.calls() {
            let disk = bench.disk.with(lies_at(n));
            let ended = file(&disk, &mut bench.session.clone());
            match &ended {
                Ok(_) => assert_eq!(pictures(&disk), pictures(&bench.uncut), "operation {n}"),
                Err(FilingFault::CopyDiffers { .. }) => lied += 1,
                Err(fault) => panic!("operation {n} lied, and it is said: {fault}"),
            }
            assert_eq!(bench.wrong(&disk.with(Fate::default())), None, "operation {n}, then {ended:?}");
        }
        assert!(lied >= 3, "each copy was read back: {lied}");
    }
}

#[test]
fn on_reading_again_what_was_filed_before_nothing_is_lost() {
    let bench = filed_twice();
    let mut lied = 0;
    for n in 1..=bench.calls() {
        let disk = bench.disk.with(lies_at(n));
        let ended = file(&disk, &mut bench.session.clone());
        let now = disk.tree(&archive());
        let (on_card, before) = (disk.tree(&card()), bench.disk.tree(&archive()));
        let is_kept =
            |(path, file): (&String, &(Vec<u8>, _))| !is_picture(path) || now.get(path) == Some(file);
        assert!(before.iter().all(is_kept), "operation {n}");
        if ended.is_ok() {
            let is_there = |bytes: &Vec<u8>| now.values().any(|(there, _)| there == bytes);
            assert!(on_card.values().all(|(bytes, _)| is_there(bytes)), "operation {n}");
        }
        lied += usize::from(pictures(&disk) != pictures(&bench.uncut));
        let again = file(&disk.with(Fate::default()), &mut bench.session.clone());
        assert!(again.is_ok_and(|receipt| receipt.account.is_whole()), "operation {n}, then {ended:?}");
    }
    assert!(lied >= 3, "{lied}");
}

#[test]
fn on_looking_before_taking_back_it_is_refused_and_nothing_is_done() {
    let bench = undo_tests::taken_back(filed_twice());
    let whole = bench.uncut.with(Fate::default());
    undo_on(&whole, &archive(), None, &Silent).unwrap();
    let mut refused = 0;
    for n in 1..=whole.calls() {
        let disk = bench.uncut.with(lies_at(n));
        if let Err(fault) = undo_on(&disk, &archive(), None, &Silent) {
            assert!(matches!(fault, FilingFault::UndoRefused { .. }), "operation {n}: {fault}");
            assert_eq!(disk.tree(&archive()), bench.uncut.tree(&archive()), "operation {n}");
            refused += 1;
            undo_on(&disk, &archive(), None, &Silent).unwrap();
        }
        assert_eq!(but_journal(&disk), but_journal(&bench.disk), "operation {n}");
    }
    assert!(refused >= 2, "each of the two copies was looked at: {refused}");
}

#[test]
fn on_reading_what_repairs_nothing_wrong_gets_the_name() {
    let damaged = Damaged::new();
    let uncut = damaged.disk.with(Fate::default());
    repaired(&uncut).unwrap();
    let mut lied = 0;
    for n in 1..=uncut.calls() {
        let disk = damaged.disk.with(lies_at(n));
        let ended = repaired(&disk);
        lied += usize::from(matches!(ended, Err(FilingFault::CopyDiffers { .. })));
        assert_eq!(damaged.wrong(&disk.with(Fate::default()), true), None, "operation {n}, then {ended:?}");
    }
    // Of each of the two files the good copy and what was made of it.
    assert!(lied >= 4, "{lied}");
}

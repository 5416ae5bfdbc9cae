//! Making bags on a disk that fails.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use record::{Progress, Silent};
use sha2::{Digest, Sha512};

use super::bench::{Bench, archive};
use super::{After, Fate, ModelDisk};
use crate::DocumentFault;
use crate::audit::{Audit, AuditOptions, Wrong, audit_on};
use crate::bag::{BagFault, Bagged, put_bag_on};
use crate::disk::{Disk, hash_bytes, hex};
use crate::journal::JOURNAL_FILE;
use crate::manifest::MANIFEST_FILE;

const FOLDER: &str = "2026-06-14_Hay-meadow";

fn bags() -> PathBuf {
    "/shelf/bags".into()
}

pub(super) fn bag() -> PathBuf {
    bags().join(FOLDER)
}

fn make(disk: &ModelDisk) -> Result<Bagged, BagFault> {
    let info = [("Bagging-Date".to_owned(), "2026-11-25".to_owned())];
    put_bag_on(disk, &archive(), FOLDER, &info, &bag(), &Silent)
}

pub(super) fn look(disk: &ModelDisk, quick: bool) -> Audit {
    audit_on(disk, &bag(), AuditOptions { quick, ..AuditOptions::default() }, &Silent).unwrap()
}

pub(super) fn found(audit: &Audit) -> Vec<(&str, Wrong)> {
    audit.findings.iter().map(|finding| (finding.path.as_str(), finding.wrong)).collect()
}

/// A disk with an archive that one session is filed in.
fn filed() -> ModelDisk {
    Bench::new("wf_").uncut
}

pub(super) fn made() -> ModelDisk {
    let disk = filed();
    make(&disk).unwrap();
    disk
}

/// The files of the bag by path, without their times.
pub(super) fn files(disk: &ModelDisk) -> BTreeMap<String, Vec<u8>> {
    disk.tree(&bag()).into_iter().map(|(path, (bytes, _))| (path, bytes)).collect()
}

/// What the session's folder of the archive holds, with its times.
fn source(disk: &ModelDisk) -> BTreeMap<String, (Vec<u8>, std::time::SystemTime)> {
    disk.tree(&archive().join(FOLDER))
}

#[test]
fn a_bag_holds_what_was_filed_with_its_times_and_is_valid() {
    let disk = filed();
    disk.put(&archive().join(FOLDER).join("001/mine.txt"), b"mine");
    let before = disk.tree(&archive());
    let bagged = make(&disk).unwrap();
    assert_eq!(bagged.left_out, ["001/mine.txt"]);
    assert_eq!(disk.tree(&archive()), before);
    let mut expected = source(&disk);
    expected.remove("001/mine.txt");
    assert_eq!(disk.tree(&bag().join("data")), expected);
    assert_eq!(
        (bagged.files, bagged.bytes),
        (expected.len(), expected.values().map(|f| f.0.len() as u64).sum())
    );

    let files = files(&disk);
    assert_eq!(files["bagit.txt"], b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");
    let info = String::from_utf8_lossy(&files["bag-info.txt"]).into_owned();
    assert_eq!(info, format!("Bagging-Date: 2026-11-25\nPayload-Oxum: {}.{}\n", bagged.bytes, bagged.files));
    let sums = |of: &[&str], sum: &dyn Fn(&[u8]) -> String| -> String {
        let listed = files.iter().filter(|(path, _)| of.iter().any(|start| path.starts_with(start)));
        listed.flat_map(|(path, bytes)| [sum(bytes), format!("  {path}\n")]).collect()
    };
    let sha512 = |bytes: &[u8]| hex(&Sha512::digest(bytes));
    for (kind, sum) in [("sha256", &hash_bytes as &dyn Fn(&[u8]) -> String), ("sha512", &sha512)] {
        assert_eq!(files[&format!("manifest-{kind}.txt")], sums(&["data/"], sum).as_bytes());
        assert_eq!(files[&format!("tagmanifest-{kind}.txt")], sums(&["bag", "manifest-"], sum).as_bytes());
    }
    for quick in [false, true] {
        let audit = look(&disk, quick);
        assert_eq!(
            (found(&audit), audit.is_bag, audit.is_sound()),
            (vec![], true, true),
            "{:?}",
            audit.remarks
        );
        assert_eq!(audit.files, bagged.files + 4);
    }
}

/// Every operation cut, every one failed: after any loss of power nothing or a whole bag has the name, and it can be made again.
#[test]
fn cut_anywhere_a_bag_is_whole_or_absent() {
    let filed = filed();
    let try_with = |fate| {
        let disk = filed.with(fate);
        let done = make(&disk);
        (disk, done)
    };
    let (whole, done) = try_with(Fate::default());
    done.unwrap();
    let expected = files(&whole);
    for n in 1..=whole.calls() {
        let (cut, done) = try_with(Fate { ends_at: Some(n), ..Fate::default() });
        done.unwrap_err();
        for after in After::ALL {
            let disk = cut.after(after);
            let there = files(&disk);
            assert!(there.is_empty() || there == expected, "cut at {n}, {after:?}");
            assert_eq!(source(&disk), source(&filed), "cut at {n}, {after:?}");
            if there.is_empty() {
                make(&disk).unwrap();
                assert_eq!(files(&disk), expected, "cut at {n}, {after:?}");
            }
        }
        let (troubled, done) =
            try_with(Fate { fails_at: Some((n, ErrorKind::StorageFull)), ..Fate::default() });
        let there = files(&troubled);
        assert!(there.is_empty() || there == expected, "failed at {n}");
        assert!(done.is_err() || !there.is_empty(), "failed at {n}: said to be done");
        let parts = troubled.entries(&bags()).unwrap_or_default();
        assert!(parts.iter().all(|(name, _)| name == FOLDER), "failed at {n}: {parts:?}");
    }
}

/// Every flush is one that a loss of power would tell.
#[test]
fn no_flush_of_a_bag_can_be_left_out() {
    let filed = filed();
    let whole = filed.with(Fate::default());
    make(&whole).unwrap();
    let expected = files(&whole);
    let flushed = whole.flushed();
    for (n, (_, path)) in (1..).zip(&flushed) {
        let disk = filed.with(Fate { skips_flush: Some(n), ..Fate::default() });
        make(&disk).unwrap();
        assert!(After::ALL.iter().any(|after| files(&disk.after(*after)) != expected), "{}", path.display());
    }
    for after in After::ALL {
        assert_eq!(files(&whole.after(after)), expected, "{after:?}");
    }
}

#[test]
fn a_copy_that_does_not_read_back_is_no_bag() {
    let disk = filed().with(Fate { spoils_a_part: true, ..Fate::default() });
    assert!(matches!(make(&disk), Err(BagFault::CopyDiffers { .. })));
    assert_eq!(disk.entries(&bags()).unwrap(), []);
}

#[test]
fn what_is_not_as_filed_is_not_packed() {
    let filed = filed();
    for (path, (bytes, _)) in source(&filed) {
        let whole = archive().join(FOLDER).join(&path);
        let other = [&bytes[..bytes.len() - 1], &[bytes[bytes.len() - 1] ^ 1]].concat();
        for (wrong, change) in [
            (Wrong::Missing, None),
            (Wrong::Changed, Some(other)),
            (Wrong::Changed, Some([&bytes[..], b"more"].concat())),
        ] {
            let disk = filed.with(Fate::default());
            match change {
                Some(bytes) => disk.put(&whole, &bytes),
                None => disk.take(&whole),
            }
            match make(&disk) {
                // What a list says that was changed itself may be another file than there is.
                Err(BagFault::NotAsFiled { .. }) if path == MANIFEST_FILE => {}
                Err(BagFault::NotAsFiled { wrong: found, path: at }) => {
                    assert_eq!((found, at), (wrong, format!("{FOLDER}/{path}")));
                }
                other => panic!("{path}, {wrong:?}: {other:?}"),
            }
            assert!(disk.tree(Path::new("/shelf")).is_empty(), "{path}, {wrong:?}");
        }
    }
}

#[test]
fn a_bag_is_refused_where_something_stands_or_is_not_over() {
    let disk = made();
    assert!(matches!(make(&disk), Err(BagFault::Document(DocumentFault::Exists { .. }))));
    let put =
        |disk: &ModelDisk, folder: &str, to: &Path| put_bag_on(disk, &archive(), folder, &[], to, &Silent);
    let inside = put(&disk, FOLDER, &archive().join("bag"));
    assert!(matches!(inside, Err(BagFault::Document(DocumentFault::InArchive { .. }))));
    for folder in ["none", "..", "mine.txt", ""] {
        let none = put(&disk, folder, Path::new("/shelf/other"));
        assert!(matches!(none, Err(BagFault::NoSession { .. })), "{folder}: {none:?}");
    }

    let full = made().with(Fate { room_bytes: Some(1), ..Fate::default() });
    assert!(matches!(put(&full, FOLDER, Path::new("/shelf/b")), Err(BagFault::NoRoom { .. })));

    let bench = Bench::new("wf_");
    let cut = bench.disk.with(Fate { ends_at: Some(bench.calls() - 20), ..Fate::default() });
    super::bench::file(&cut, &mut bench.session.clone()).unwrap_err();
    assert!(matches!(make(&cut.after(After::Kill)), Err(BagFault::Unfinished { .. })));
}

#[test]
fn an_archive_without_a_journal_gives_a_bag_with_its_record() {
    let disk = filed();
    disk.take(&archive().join(JOURNAL_FILE));
    make(&disk).unwrap();
    assert!(files(&disk).contains_key("data/session.ron") && look(&disk, false).is_sound());
}

#[test]
fn a_bag_that_is_stopped_leaves_nothing() {
    struct After(std::sync::atomic::AtomicUsize);
    impl Progress for After {
        fn at(&self, _: usize, _: usize) {}
        fn stopped(&self) -> bool {
            self.0.fetch_sub(1, std::sync::atomic::Ordering::Relaxed) == 1
        }
    }
    let filed = filed();
    for n in 1..20 {
        let disk = filed.with(Fate::default());
        let made = put_bag_on(&disk, &archive(), FOLDER, &[], &bag(), &After(n.into()));
        assert!(matches!(made, Err(BagFault::Stopped)), "{n}: {made:?}");
        assert_eq!(disk.entries(&bags()).unwrap(), []);
    }
    let stopped = audit_on(&made(), &bag(), AuditOptions::default(), &After(3.into()));
    assert_eq!(stopped, Err(crate::FilingFault::PlanStopped));
}

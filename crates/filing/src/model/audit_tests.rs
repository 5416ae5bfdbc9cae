//! Auditing on disks that are not all Endleaf's.

use record::{NameField, Silent};

use super::bench::{Bench, archive, common, file, is_picture};
use super::{Fate, ModelDisk};
use crate::FilingFault;
use crate::audit::{Audit, AuditOptions, Wrong, audit_on};
use crate::journal::JOURNAL_FILE;

fn audit(disk: &ModelDisk) -> Result<Audit, FilingFault> {
    audit_on(disk, &archive(), AuditOptions::default(), &Silent)
}

fn found(audit: &Audit) -> Vec<(&str, Wrong)> {
    audit.findings.iter().map(|finding| (finding.path.as_str(), finding.wrong)).collect()
}

#[test]
fn the_root_of_a_disk_is_filed_into_and_audited_past_what_the_system_keeps_there() {
    // Made by mkfs.ext4 for root alone, and by Windows for itself alone, on every disk.
    for name in ["lost+found", "System Volume Information"] {
        let bench = Bench::new("wf_");
        bench.disk.put(&archive().join(name).join("x"), b"");
        let disk = bench.disk.with(Fate { closes: Some(name), ..Fate::default() });
        assert_eq!(file(&disk, &mut bench.session.clone()).unwrap().remarks, [""; 0]);
        assert_eq!(found(&audit(&disk).unwrap()), [("mine.txt", Wrong::Unlisted)], "{name}");
    }
}

#[test]
fn a_folder_that_may_not_be_looked_into_is_said_and_ends_nothing() {
    let bench = Bench::new("wf_");
    bench.disk.put(&archive().join("hers/x"), b"");
    let closed = Fate { closes: Some("hers"), ..Fate::default() };
    let disk = bench.disk.with(closed);
    let plan = file(&disk, &mut bench.session.clone()).map(|_| ());
    assert_eq!(plan, Ok(()));
    let audited = audit(&disk).unwrap();
    assert_eq!(found(&audited), [("hers", Wrong::Unreadable), ("mine.txt", Wrong::Unlisted)]);
    assert!(!audited.is_sound());

    // What is listed in it may be there.
    let disk = disk.with(Fate { closes: Some("001"), ..Fate::default() });
    let folder = "2026-06-14_Hay-meadow/001";
    let audited = audit(&disk).unwrap();
    assert_eq!(found(&audited)[0], (folder, Wrong::Unreadable));
    let inside = audited.findings.iter().filter(|f| f.path.starts_with(&format!("{folder}/")));
    assert!(
        inside.clone().any(|f| is_picture(&f.path)) && inside.clone().all(|f| f.wrong == Wrong::Unreadable)
    );

    // A root that cannot be looked into is no empty archive.
    let shut = bench.disk.with(Fate { closes: Some("archive"), ..Fate::default() });
    assert!(matches!(file(&shut, &mut bench.session.clone()), Err(FilingFault::ArchiveUnusable { .. })));
}

#[test]
fn a_folder_that_nothing_was_filed_into_is_no_sound_archive() {
    let bench = Bench::new("f_");
    let no_archive = FilingFault::NoArchive { path: archive() };
    assert_eq!(audit(&bench.disk), Err(no_archive));

    // Lists without a journal: something is missing, and what is listed is compared all the same.
    let disk = bench.uncut.with(Fate::default());
    let files = audit(&disk).unwrap().files;
    disk.take(&archive().join(JOURNAL_FILE));
    let audited = audit(&disk).unwrap();
    assert!(found(&audited).contains(&(JOURNAL_FILE, Wrong::Missing)) && !audited.is_sound());
    assert!(audited.files > 0 && audited.files < files, "{audited:?}");

    // An archive of which all was taken back holds nothing, and that is as filed.
    let disk = bench.uncut.with(Fate::default());
    crate::undo::undo_on(&disk, &archive(), None, &Silent).unwrap();
    assert_eq!(found(&audit(&disk).unwrap()), [("mine.txt", Wrong::Unlisted)]);
}

#[test]
fn a_name_changes_in_case_alone_where_disks_know_no_case_and_where_they_do() {
    for folds_case in [true, false] {
        let fate = Fate { folds_case, ..Fate::default() };
        let mut bench = Bench::new("wf_");
        bench.session.naming.folder.name.push(NameField::Jar);
        bench.session.naming.file.name.push(NameField::Jar);
        let mut session = bench.session.clone();
        let mut call = |jar: &str, disk: &ModelDisk| {
            let edit = session.write_jar(0, jar).unwrap();
            session.apply(&edit).unwrap();
            common::arrange(&mut session);
            file(disk, &mut session)
        };
        let disk = bench.disk.with(fate);
        call("ab", &disk).unwrap();
        let before = disk.with(fate);
        assert_eq!(call("AB", &disk).map(|receipt| receipt.moved), Ok(4), "{folds_case}");
        let tree = disk.tree(&archive());
        assert!(tree.keys().any(|path| path.ends_with("_AB.nef")), "{:?}", tree.keys());
        assert!(!tree.keys().any(|path| path.contains("_ab.")), "{:?}", tree.keys());
        // Folders keep the case they were made with; what is in them is as filed all the same.
        assert_eq!(found(&audit(&disk).unwrap()), [("mine.txt", Wrong::Unlisted)], "{folds_case}");
        crate::undo::undo_on(&disk, &archive(), None, &Silent).unwrap();
        assert_eq!(found(&audit(&disk).unwrap()), [("mine.txt", Wrong::Unlisted)], "{folds_case}");
        assert!(disk.tree(&archive()).keys().any(|path| path.ends_with("_ab.nef")));

        // Another file under the new name, where there can be one, is no reason to begin what cannot be ended.
        if !folds_case {
            let theirs = tree.keys().find(|path| path.ends_with("_AB.nef")).unwrap();
            before.put(&archive().join(theirs), b"theirs");
            let held = before.tree(&archive());
            let refused = call("AB", &before);
            assert!(refused.is_err() || before.tree(&archive()).contains_key(theirs), "{refused:?}");
            assert!(held.values().all(|file| before.tree(&archive()).values().any(|there| there == file)));
        }
    }
}

#[test]
fn a_quick_audit_sees_damage_to_texts_and_opens_no_picture() {
    let bench = Bench::new("wf_");
    let quick = AuditOptions { quick: true, ..AuditOptions::default() };
    let look = |disk: &ModelDisk| audit_on(disk, &archive(), quick, &Silent).unwrap();
    let folder = "2026-06-14_Hay-meadow";
    let all = bench.uncut.tree(&archive());
    let own = all.keys().filter(|path| path.starts_with(folder));
    for path in own {
        let mut bytes = all[path].0.clone();
        let at = bytes.len() / 2;
        bytes[at] ^= 1;
        let disk = bench.uncut.with(Fate::default());
        disk.put(&archive().join(path), &bytes);
        let seen = look(&disk).findings.iter().any(|finding| finding.path == *path);
        // The time of the picture is as it was.
        assert_eq!(seen, !is_picture(path), "{path}");
    }
    assert!(look(&bench.uncut).is_sound());
}

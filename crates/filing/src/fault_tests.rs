use super::*;

/// All wordings together, to be read through as a whole. The numbers of the system's errors are those of
/// POSIX systems.
#[cfg(unix)]
#[test]
fn messages_say_what_happened_what_is_safe_and_what_to_do() {
    let path = || PathBuf::from("/a");
    let text = |s: &str| s.to_owned();
    let (filed, of) = (3, 9);
    let check = |fault: FilingFault, expected: &str| assert_eq!(fault.to_string(), expected);
    check(
        FilingFault::ArchiveOnCard { path: path() },
        "The archive and the card lie inside one another, so filing would change the card. Nothing was \
         done. Choose an archive outside the card: /a",
    );
    check(
        FilingFault::ArchiveIsFile { path: path() },
        "The archive must be a folder, and this is a file. Nothing was done. Choose a folder: /a",
    );
    check(
        FilingFault::ArchiveUnusable { reason: io_words(&io::Error::from_raw_os_error(13)), path: path() },
        "The archive cannot be used: the permission for it is missing. Nothing was filed and the card was \
         not changed. Choose another folder, or make this one writable, and file again: /a",
    );
    check(
        FilingFault::SessionUnreadable { reason: text("This is not a session: /a/session.ron") },
        "A folder of the archive may hold this session already, but its record cannot be read. Nothing \
         was done, so that nothing is filed twice. This is not a session: /a/session.ron",
    );
    check(
        FilingFault::NoRoom { needed_bytes: 1_234_567_890, free_bytes: 300_000, path: path() },
        "There is too little room in the archive: 1.2 GB needed, 300.0 kB free. Nothing was done. Free \
         some space, or choose another disk, and file again: /a",
    );
    check(
        FilingFault::Busy { folder: path() },
        "Another Endleaf is at work in this archive at the moment. Nothing was done. Wait until it has \
         finished and file again: /a",
    );
    check(
        FilingFault::Stopped { filed, of, folder: path() },
        "Filing was stopped as asked: 3 of 9 files are in the archive, checked and recorded; the card was \
         not changed. File again to go on from here: /a",
    );
    check(
        FilingFault::CardGone { filed, of, card: path() },
        "The card can no longer be read: 3 of 9 files are in the archive, checked and recorded. Put the \
         card in again and file again; copying goes on from here: /a",
    );
    check(
        FilingFault::SourceTrouble { failed: 1, filed, of, reason: text("it is gone"), from: text("b") },
        "1 file could not be copied: it is gone. 3 of 9 files are in the archive, checked and recorded. \
         Put the card in again, or read it again if its files have changed, and file again; only what is \
         left is copied: b",
    );
    check(
        FilingFault::DiskFull { needed_bytes: 1_000_000, free_bytes: 1, from: text("b") },
        "Could not copy to the archive: the disk is full (1.0 MB still needed, 1 byte free). Nothing on \
         the card was changed, and what was filed so far is recorded. Free some space and file again; \
         copying goes on from here: b",
    );
    check(
        FilingFault::CopyDiffers { from: text("b") },
        "A copy did not read back as it was written, so it was taken away again. Nothing on the card was \
         changed, and what was filed before it is recorded. Check the archive's disk and its cable, keep \
         the card as it is, and file again: b",
    );
    // EIO has no words of ours; the system's stand without their code.
    check(
        FilingFault::ArchiveTrouble { reason: io_words(&io::Error::from_raw_os_error(5)), path: path() },
        "Could not write to the archive: Input/output error. Nothing on the card was changed, and what \
         was filed before is recorded. Put the archive right and file again; copying goes on from here: /a",
    );
    check(
        FilingFault::ListTrouble { reason: text("the disk is full"), path: path() },
        "The files are copied and checked, but the list of them could not be written: the disk is full. \
         Nothing on the card was changed. Put this right and file again; nothing is copied twice: /a",
    );
    check(
        FilingFault::NothingToUndo { path: path() },
        "There is nothing to take back: the last filing was taken back already, or none was done: /a",
    );
    let reasons = (1..=7).map(|n| format!("{n}.jpg was changed since it was filed")).collect();
    check(
        FilingFault::UndoRefused { reasons, path: path() },
        "The last filing cannot be taken back without losing something; nothing was taken away. 1.jpg was changed \
         since it was filed; 2.jpg was changed since it was filed; 3.jpg was changed since it was filed; 4.jpg was \
         changed since it was filed; 5.jpg was changed since it was filed; and 2 more. Put the card in, or say with \
         --card where it is now; a file that you changed on purpose, move out of the archive's folders: /a",
    );
    check(
        FilingFault::UndoTrouble { reason: text("the disk is write-protected"), path: path() },
        "The last filing could not be taken back wholly: the disk is write-protected. Nothing on the card was \
         changed. Put this right and take it back again; it goes on from here: /a",
    );
    check(
        FilingFault::JournalDamaged { line: 7, path: path() },
        "The archive's journal is damaged from line 7 on, so it cannot be said what was done last. Nothing was done. \
         Put the journal back from a backup, or move it out of the archive to begin a new one; what lies in the \
         archive is known without it, but can no longer be taken back: /a",
    );
}

#[test]
fn what_is_no_archive_and_a_plan_that_is_old_are_said() {
    let path = || PathBuf::from("/a");
    assert_eq!(
        FilingFault::NoArchive { path: path() }.to_string(),
        "There is no archive here: the folder holds neither Endleaf's journal nor a list of checksums, so \
         nothing was compared. Choose the folder that sessions are filed into, and not a folder in it: /a",
    );
    assert_eq!(
        FilingFault::PlanOld { path: path() }.to_string(),
        "Something else was filed into this session's folder after this filing was worked out. Nothing was \
         done, so that two cards are not mixed. Plan again, and file: /a",
    );
}

//! The count of bytes read is what the system counts. Alone in its program, so that nothing else reads meanwhile.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::path::Path;

use import::read_card;
use record::Silent;

/// Bytes that this process has read so far (`rchar` of proc(5)).
fn rchar() -> u64 {
    let io = std::fs::read_to_string("/proc/self/io").unwrap();
    io.lines().find_map(|line| line.strip_prefix("rchar: ")).unwrap().trim().parse().unwrap()
}

/// Files of every kind of name and content, each of 300 000 bytes, and some that are read whole.
fn fill(card: &Path) {
    let folder = card.join("DCIM/100ABCDE");
    std::fs::create_dir_all(&folder).unwrap();
    let demo =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/carded-beetles/card/DCIM/104CARDS");
    let mut pictures: Vec<_> = std::fs::read_dir(demo).unwrap().map(|e| e.unwrap().path()).collect();
    pictures.sort();
    for (picture, number) in pictures.iter().zip(1..) {
        let bytes = std::fs::read(picture).unwrap();
        std::fs::write(folder.join(format!("DSC_{number:04}.JPG")), bytes).unwrap();
    }
    // Copies of two of them are read whole, and so are those two.
    for (from, to) in [("DSC_0001.JPG", "Backup/DSC_0001.JPG"), ("DSC_0002.JPG", "Backup/a bee.jpg")] {
        let bytes = std::fs::read(folder.join(from)).unwrap();
        std::fs::create_dir_all(card.join("Backup")).unwrap();
        std::fs::write(card.join(to), bytes).unwrap();
    }
    for (name, head) in [
        ("DSC_0101.NEF", &b"II*\0\x08\0\0\0\0\0"[..]),
        ("DSC_0102.RAF", b"FUJIFILMCCD-RAW 0201"),
        ("DSC_0103.CR3", b"\0\0\0\x18ftypcrx \0\0\0\0crx isom\0\0\0\0mdat"),
        ("DSC_0104.HEIC", b"\0\0\0\x18ftypheic\0\0\0\0heicmif1\0\0\0\0mdat"),
        ("DSC_0105.JPG", b"\xFF\xD8\xFF\xE0\0\x10JFIF\0"),
        ("notes", b"day one"),
    ] {
        let mut bytes = head.to_vec();
        bytes.resize(300_000, 7);
        std::fs::write(folder.join(name), bytes).unwrap();
    }
}

#[test]
fn the_count_agrees_with_the_systems_own() {
    let card = tempfile::tempdir().unwrap();
    fill(card.path());
    // The first reading starts threads, which look at the system's own files.
    read_card(card.path(), &Silent).unwrap();
    let own_share = {
        let before = rchar();
        rchar() - before
    };
    let before = rchar();
    let intake = read_card(card.path(), &Silent).unwrap();
    let by_system = rchar() - before - own_share;
    assert!(intake.bytes_read > 100_000, "{}", intake.bytes_read);
    assert_eq!(intake.frames.iter().map(|f| f.copies.len()).sum::<usize>(), 2);
    let apart = intake.bytes_read.abs_diff(by_system);
    assert!(apart * 20 <= by_system, "{} counted, {by_system} by the system", intake.bytes_read);
    assert!(intake.bytes_read < intake.bytes_on_card, "not all of the card");
}

//! Cards with odd names, links, and files that change while they are read.

use std::cell::Cell;
use std::io;
use std::path::Path;

use record::Silent;

use crate::sample::Sample;
use crate::{ReadFault, Source, read_card, read_source};

fn put(root: &Path, path: &str, bytes: &[u8]) {
    let path = root.join(path);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, bytes).unwrap();
}

#[test]
fn names_of_any_script_and_length_are_read() {
    let card = tempfile::tempdir().unwrap();
    let long = format!("{}.jpg", "n".repeat(251));
    let names =
        ["نحلة.jpg", "דבורה 1.jpg", "蜂.jpg", "bee\u{202E}gpj.jpg", "  two  spaces .jpg", long.as_str()];
    for (name, second) in names.iter().zip(0..) {
        put(card.path(), name, &Sample::at(second, true).jpeg());
    }
    let intake = read_card(card.path(), &Silent).unwrap();
    let mut read: Vec<_> = intake.frames.iter().map(|f| f.path().to_owned()).collect();
    read.sort();
    let mut expected = names.map(str::to_owned);
    expected.sort();
    assert_eq!(read, expected);
    assert!(intake.frames.iter().all(|f| f.faults.is_empty() && f.spread.is_some()));
}

#[cfg(unix)]
#[test]
fn names_that_other_systems_forbid_are_read_or_said() {
    use std::os::unix::ffi::OsStrExt;
    let card = tempfile::tempdir().unwrap();
    put(card.path(), "new\nline.jpg", &Sample::at(2, true).jpeg());
    put(card.path(), "a:b*?.jpg", &Sample::at(1, true).jpeg());
    let odd = card.path().join(std::ffi::OsStr::from_bytes(b"b\xFF\xFEe.jpg"));
    std::fs::write(odd, Sample::default().jpeg()).unwrap();
    let folder = card.path().join(std::ffi::OsStr::from_bytes(b"d\xFF"));
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("in.jpg"), Sample::default().jpeg()).unwrap();
    let intake = read_card(card.path(), &Silent).unwrap();
    let read: Vec<_> = intake.frames.iter().map(record::Frame::path).collect();
    assert_eq!(read, ["a:b*?.jpg", "new\nline.jpg"]);
    let skipped: Vec<_> = intake.skipped.iter().map(|s| s.path.as_str()).collect();
    assert_eq!(skipped, ["b\u{FFFD}\u{FFFD}e.jpg", "d\u{FFFD}"]);
    assert!(intake.skipped.iter().all(|s| s.reason.contains("not text")));
}

#[cfg(unix)]
#[test]
fn circles_of_links_end() {
    use std::os::unix::fs::symlink;
    let card = tempfile::tempdir().unwrap();
    put(card.path(), "d/a.jpg", &Sample::default().jpeg());
    symlink(card.path(), card.path().join("d/up")).unwrap();
    symlink("self", card.path().join("d/self")).unwrap();
    let intake = read_card(card.path(), &Silent).unwrap();
    assert_eq!((intake.frames.len(), intake.skipped.len()), (1, 2));
    // A card reached by a link is a card.
    let link = card.path().join("d/up");
    assert_eq!(read_card(&link, &Silent).unwrap().frames.len(), 1);
    let none = card.path().join("d/self");
    let fault = read_card(&none, &Silent).unwrap_err();
    assert!(matches!(fault, ReadFault::Unreadable { .. }), "{fault}");
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_opened_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let card = tempfile::tempdir().unwrap();
    put(card.path(), "a.jpg", &Sample::default().jpeg());
    put(card.path(), "shut/b.jpg", &Sample::default().jpeg());
    let shut = card.path().join("shut");
    std::fs::set_permissions(&shut, std::fs::Permissions::from_mode(0o000)).unwrap();
    let may_all_the_same = std::fs::read_dir(&shut).is_ok();
    let intake = read_card(card.path(), &Silent).unwrap();
    std::fs::set_permissions(&shut, std::fs::Permissions::from_mode(0o755)).unwrap();
    if !may_all_the_same {
        assert_eq!(intake.frames.len(), 1);
        assert_eq!(intake.skipped[0].reason, "could not be opened: you may not read it");
    }
}

/// A file of which less is there at each read.
struct Shrinking {
    bytes: Vec<u8>,
    left: Cell<usize>,
    by: usize,
}

impl Source for Shrinking {
    fn size_bytes(&self) -> u64 {
        self.bytes.len() as u64
    }
    fn read_at(&self, offset: u64, into: &mut [u8]) -> io::Result<usize> {
        let come = (&self.bytes[..self.left.get()]).read_at(offset, into);
        self.left.set(self.left.get().saturating_sub(self.by));
        come
    }
}

#[test]
fn a_file_that_shrinks_while_it_is_read_is_cut_and_says_so() {
    let bytes = Sample { thumbnail: true, width: 2400, height: 1600, ..Sample::default() }.jpeg();
    assert!(bytes.len() > 20_000);
    for by in [100, 5000, 40_000] {
        let left = Cell::new(bytes.len() - 1);
        let reading = read_source(&Shrinking { bytes: bytes.clone(), left, by }, "a.jpg");
        assert!(reading.cut, "by {by}");
        let words = "the file became shorter while it was read; still read: capture time, camera";
        assert!(reading.faults.iter().any(|f| f.starts_with(words)), "by {by}: {:?}", reading.faults);
        assert!(reading.time.is_some(), "by {by}");
    }
}

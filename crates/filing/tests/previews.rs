//! The small pictures kept in the user's cache folder.

#![allow(clippy::unwrap_used, reason = "a helper of a test may stop it")]

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, SystemTime};

use filing::previews::{PreviewKey, Previews};
use record::{FileRole, Frame, FrameFile, FrameId};
use tempfile::TempDir;

/// A card of frames `a.jpg`, `b.jpg` …, and a cache folder beside it.
struct Desk {
    folder: TempDir,
}

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("card")).unwrap();
        Self { folder }
    }

    fn card(&self) -> PathBuf {
        self.folder.path().join("card")
    }

    fn cache(&self) -> PathBuf {
        self.folder.path().join("cache/endleaf/previews")
    }

    fn frame(&self, name: &str) -> Frame {
        fs::write(self.card().join(name), b"a picture").unwrap();
        let file = FrameFile { path: name.to_owned(), bytes: 9, role: FileRole::Picture };
        Frame::new(FrameId(0), vec![file])
    }

    fn key(&self, name: &str) -> PreviewKey {
        PreviewKey::of(&self.card(), &self.frame(name), 400).unwrap()
    }

    /// Files of the cache folder with their lengths.
    fn kept(&self) -> Vec<(String, u64)> {
        let Ok(entries) = fs::read_dir(self.cache()) else { return Vec::new() };
        let entries = entries.map(|e| e.unwrap());
        entries.map(|e| (e.file_name().into_string().unwrap(), e.metadata().unwrap().len())).collect()
    }

    /// Makes what is kept look as if it had been used so many hours ago.
    fn age(&self, hours: u64) {
        let then = SystemTime::now() - Duration::from_secs(hours * 3600);
        for (name, _) in self.kept() {
            File::options().append(true).open(self.cache().join(name)).unwrap().set_modified(then).unwrap();
        }
    }
}

#[test]
fn what_is_kept_comes_back_and_belongs_to_the_file_as_it_was() {
    let desk = Desk::new();
    let previews = Previews::new(desk.cache());
    let frame = desk.frame("a.jpg");
    let key = |card: &Path, frame: &Frame, side| PreviewKey::of(card, frame, side).unwrap();
    let first = key(&desk.card(), &frame, 400);
    assert_eq!(previews.get(&first), None);
    previews.put(&first, b"small");
    assert_eq!(previews.get(&first).as_deref(), Some(&b"small"[..]));
    // Another window on the same folder has it as well.
    assert_eq!(Previews::new(desk.cache()).get(&first).as_deref(), Some(&b"small"[..]));

    // Another size, another turn, another file or another card's frame of this name is another picture.
    let mut turned = frame.clone();
    turned.orientation = 6;
    let mut later = frame.clone();
    later.taken = Some("2026-06-14T10:23:45".parse().unwrap());
    let others =
        [key(&desk.card(), &frame, 160), key(&desk.card(), &turned, 400), key(&desk.card(), &later, 400)];
    assert!(others.iter().all(|other| *other != first && previews.get(other).is_none()));
    let moved = desk.folder.path().join("moved");
    fs::rename(desk.card(), &moved).unwrap();
    assert_eq!(key(&moved, &frame, 400), first, "a card that moved keeps its previews");
    let file = File::options().append(true).open(moved.join("a.jpg")).unwrap();
    file.set_modified(SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000)).unwrap();
    assert_ne!(key(&moved, &frame, 400), first, "changed at another time");
    fs::remove_file(moved.join("a.jpg")).unwrap();
    assert_eq!(PreviewKey::of(&moved, &frame, 400), None);
}

#[test]
fn an_entry_that_was_damaged_or_cut_is_passed_over_and_taken_away() {
    let desk = Desk::new();
    let (previews, key) = (Previews::new(desk.cache()), desk.key("a.jpg"));
    for damage in [|b: &mut Vec<u8>| b[2] ^= 1, |b: &mut Vec<u8>| b.truncate(20), Vec::clear] {
        previews.put(&key, b"a small picture");
        let path = desk.cache().join(&desk.kept()[0].0);
        let mut bytes = fs::read(&path).unwrap();
        damage(&mut bytes);
        fs::write(&path, bytes).unwrap();
        assert_eq!(previews.get(&key), None);
        assert!(desk.kept().is_empty());
    }
    previews.put(&key, b"a small picture");
    assert_eq!(previews.get(&key).as_deref(), Some(&b"a small picture"[..]), "made anew");
}

#[test]
fn it_stays_within_its_bound_and_what_was_used_least_lately_goes_first() {
    let desk = Desk::new();
    let previews = Previews::bounded(desk.cache(), 16_000);
    let keys: Vec<PreviewKey> = (0..40).map(|n| desk.key(&format!("{n}.jpg"))).collect();
    for key in &keys[..10] {
        previews.put(key, &[7; 1000]);
    }
    desk.age(48);
    // The first is looked at again, and so is younger than the others.
    assert!(previews.get(&keys[0]).is_some());
    for key in &keys[10..20] {
        previews.put(key, &[7; 1000]);
        let bytes: u64 = desk.kept().iter().map(|(_, bytes)| bytes).sum();
        assert!(bytes <= 16_000, "{bytes}");
    }
    let kept = |n: usize| previews.get(&keys[n]).is_some();
    assert!(kept(0) && (10..20).all(kept), "used lately");
    assert!((1..10).filter(|n| kept(*n)).count() < 9, "some of the others went");
    // A second window counts what the first wrote.
    let second = Previews::bounded(desk.cache(), 16_000);
    for key in &keys[20..] {
        second.put(key, &[7; 1000]);
    }
    let bytes: u64 = desk.kept().iter().map(|(_, bytes)| bytes).sum();
    assert!(bytes > 8_000 && bytes <= 16_000, "{bytes}");
}

#[test]
fn emptying_frees_all_that_was_kept_and_nothing_else() {
    let desk = Desk::new();
    let previews = Previews::new(desk.cache());
    assert_eq!(previews.empty().freed_bytes, 0, "no folder yet");
    previews.put(&desk.key("a.jpg"), &[1; 100]);
    previews.put(&desk.key("b.jpg"), &[2; 50]);
    let whole = desk.kept()[0].0.clone();
    let part = format!(".{}-1-0.part", whole.trim_end_matches(".jpg"));
    fs::write(desk.cache().join(part), [3; 10]).unwrap();
    for strange in ["notes.txt", "holiday.jpg", ".x-1-0.part"] {
        fs::write(desk.cache().join(strange), b"another's").unwrap();
    }
    let bytes: u64 = desk.kept().iter().map(|(_, bytes)| bytes).sum();
    let emptied = previews.empty();
    assert_eq!((emptied.freed_bytes, emptied.left_bytes), (bytes - 3 * 9, 0));
    let mut left: Vec<String> = desk.kept().into_iter().map(|(name, _)| name).collect();
    left.sort();
    assert_eq!(left, [".x-1-0.part", "holiday.jpg", "notes.txt"]);
}

#[test]
fn where_nothing_can_be_written_nothing_is_kept_and_nothing_is_lost() {
    let desk = Desk::new();
    fs::write(desk.folder.path().join("cache"), b"a file where the folder would be").unwrap();
    let (previews, key) = (Previews::new(desk.cache()), desk.key("a.jpg"));
    previews.put(&key, b"small");
    assert_eq!(previews.get(&key), None);
    assert_eq!((previews.empty().freed_bytes, previews.empty().left_bytes), (0, 0));
    assert_eq!(fs::read(desk.folder.path().join("cache")).unwrap(), b"a file where the folder would be");
}

#[test]
fn two_windows_writing_at_once_keep_whole_pictures() {
    let desk = Desk::new();
    let keys: Vec<PreviewKey> = (0..20).map(|n| desk.key(&format!("{n}.jpg"))).collect();
    std::thread::scope(|scope| {
        for _ in 0..4 {
            scope.spawn(|| {
                let previews = Previews::new(desk.cache());
                for (n, key) in keys.iter().enumerate() {
                    previews.put(key, &vec![n as u8; 5000]);
                    assert_eq!(previews.get(key), Some(vec![n as u8; 5000]));
                }
            });
        }
    });
    assert_eq!(desk.kept().len(), 20, "no parts are left");
}

/// Runs this test again as a program of its own, since an environment cannot be changed safely from within.
#[cfg(target_os = "linux")]
#[test]
fn it_lies_where_the_system_keeps_caches() {
    let child = "ENDLEAF_TEST_EXPECTS";
    if let Some(expected) = std::env::var_os(child) {
        assert_eq!(Previews::default_folder(), Some(PathBuf::from(expected)));
        return;
    }
    // XDG Base Directory Specification: XDG_CACHE_HOME, else .cache in the home folder.
    for (set, expected) in [("/c", "/c/endleaf/previews"), ("", "/h/person/.cache/endleaf/previews")] {
        let run = Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "it_lies_where_the_system_keeps_caches"])
            .env("HOME", "/h/person")
            .env("XDG_CACHE_HOME", set)
            .env(child, expected)
            .output()
            .unwrap();
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stdout));
    }
}

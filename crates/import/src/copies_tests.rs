//! Cards with the same frame in several places, and with frames that merely look alike.

use std::fs::File;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use record::{Frame, Progress, Silent};
use tempfile::TempDir;

use crate::sample::Sample;
use crate::{Intake, ReadFault, read_card};

/// A picture with its camera data, taken at this second of 10:23, and some bytes behind it that no reader looks at.
fn picture(second: u8, behind: &[u8]) -> Vec<u8> {
    [Sample::at(second, true).jpeg(), behind.to_vec()].concat()
}

fn raw(second: u8) -> Vec<u8> {
    let mut bytes = Sample::at(second, true).tiff_stream();
    bytes.resize(40_000, second);
    bytes
}

fn card(files: &[(&str, Vec<u8>)]) -> TempDir {
    let card = tempfile::tempdir().unwrap();
    for (path, bytes) in files {
        put(card.path(), path, bytes);
    }
    card
}

fn put(card: &Path, path: &str, bytes: &[u8]) {
    let path = card.join(path);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, bytes).unwrap();
}

/// One line a frame, its files parted by `+`; and the copies, each with what it is a copy of.
fn found(intake: &Intake) -> (Vec<String>, Vec<String>) {
    let files = |f: &Frame| f.files.iter().map(|file| file.path.as_str()).collect::<Vec<_>>().join("+");
    let copies = intake.skipped.iter().filter_map(|s| Some(format!("{} = {}", s.path, s.same_as.as_ref()?)));
    (intake.frames.iter().map(files).collect(), copies.collect())
}

fn check(files: &[(&str, Vec<u8>)], frames: &[&str], copies: &[&str]) {
    let card = card(files);
    let intake = read_card(card.path(), &Silent).unwrap();
    assert_eq!(
        found(&intake),
        (frames.iter().map(ToString::to_string).collect(), copies.iter().map(ToString::to_string).collect())
    );
    // Every file of the card is accounted for, once.
    let mut accounted: Vec<&str> =
        intake.frames.iter().flat_map(Frame::places).map(|f| f.path.as_str()).collect();
    accounted.extend(intake.skipped.iter().filter(|s| s.same_as.is_none()).map(|s| s.path.as_str()));
    accounted.sort_unstable();
    let mut all: Vec<&str> = files.iter().map(|(path, _)| *path).collect();
    all.sort_unstable();
    assert_eq!(accounted, all);
    let bytes: u64 = files.iter().map(|(_, bytes)| bytes.len() as u64).sum();
    assert_eq!(intake.bytes_on_card, bytes);
}

#[test]
fn a_frame_copied_within_a_dump_or_onto_another_card_is_one() {
    let (one, two) = (picture(1, b""), picture(2, b""));
    check(
        &[
            ("Backup/IMG_0001.JPG", one.clone()),
            ("DCIM/100ABCDE/IMG_0001.JPG", one.clone()),
            ("DCIM/100ABCDE/IMG_0002.JPG", two.clone()),
            ("DCIM/100ABCDE/IMG_0001 (1).JPG", one.clone()),
            ("Backup/DCIM/100ABCDE/IMG_0002.JPG", two.clone()),
            ("a bee.jpg", two.clone()),
        ],
        &["DCIM/100ABCDE/IMG_0001.JPG", "DCIM/100ABCDE/IMG_0002.JPG"],
        &[
            "Backup/DCIM/100ABCDE/IMG_0002.JPG = DCIM/100ABCDE/IMG_0002.JPG",
            "Backup/IMG_0001.JPG = DCIM/100ABCDE/IMG_0001.JPG",
            "DCIM/100ABCDE/IMG_0001 (1).JPG = DCIM/100ABCDE/IMG_0001.JPG",
            "a bee.jpg = DCIM/100ABCDE/IMG_0002.JPG",
        ],
    );
    check(
        &[("two/DCIM/100ABCDE/IMG_0001.JPG", one.clone()), ("one/DCIM/100ABCDE/IMG_0001.JPG", one)],
        &["one/DCIM/100ABCDE/IMG_0001.JPG"],
        &["two/DCIM/100ABCDE/IMG_0001.JPG = one/DCIM/100ABCDE/IMG_0001.JPG"],
    );
}

#[test]
fn frames_that_only_look_alike_stay() {
    // A burst: one second, one length, and only the last byte, far behind the camera data, tells them apart.
    let behind = |last: u8| [vec![0; 60_000], vec![last]].concat();
    check(
        &[
            ("D/IMG_0001.JPG", picture(1, &behind(1))),
            ("D/IMG_0002.JPG", picture(1, &behind(2))),
            ("E/IMG_0003.JPG", picture(1, &behind(1))),
        ],
        &["D/IMG_0001.JPG", "D/IMG_0002.JPG"],
        &["E/IMG_0003.JPG = D/IMG_0001.JPG"],
    );
    // Without a capture time pictures that are drawn alike, such as two blanks, are told by their names.
    let blank = Sample::default().png();
    check(
        &[("D/a.png", blank.clone()), ("D/b.png", blank.clone()), ("E/a.png", blank)],
        &["D/a.png", "D/b.png"],
        &["E/a.png = D/a.png"],
    );
    // Files in which nothing is may be any frames.
    check(&[("D/a.jpg", vec![]), ("E/a.jpg", vec![])], &["D/a.jpg", "E/a.jpg"], &[]);
}

#[test]
fn a_raw_and_its_picture_copied_twice_are_one_frame() {
    let (jpeg, raw, note) = (picture(1, b""), raw(1), b"RIFF note".to_vec());
    check(
        &[
            ("DCIM/100ABCDE/IMG_0001.JPG", jpeg.clone()),
            ("DCIM/100ABCDE/IMG_0001.NEF", raw.clone()),
            ("DCIM/100ABCDE/IMG_0001.WAV", note.clone()),
            ("Backup/IMG_0001.JPG", jpeg.clone()),
            ("Backup/IMG_0001.NEF", raw.clone()),
            ("Backup/IMG_0001.WAV", note.clone()),
        ],
        &["DCIM/100ABCDE/IMG_0001.JPG+DCIM/100ABCDE/IMG_0001.NEF+DCIM/100ABCDE/IMG_0001.WAV"],
        &[
            "Backup/IMG_0001.JPG = DCIM/100ABCDE/IMG_0001.JPG",
            "Backup/IMG_0001.NEF = DCIM/100ABCDE/IMG_0001.NEF",
            "Backup/IMG_0001.WAV = DCIM/100ABCDE/IMG_0001.WAV",
        ],
    );
    // What only one place has travels with the frame; the raw alone is told by its bytes.
    check(
        &[
            ("DCIM/100ABCDE/IMG_0001.JPG", jpeg.clone()),
            ("B/IMG_0001.JPG", jpeg),
            ("B/IMG_0001.NEF", raw.clone()),
            ("C/IMG_0001.NEF", raw),
            ("B/IMG_0001.WAV", note),
        ],
        &["DCIM/100ABCDE/IMG_0001.JPG+B/IMG_0001.NEF+B/IMG_0001.WAV"],
        &["B/IMG_0001.JPG = DCIM/100ABCDE/IMG_0001.JPG", "C/IMG_0001.NEF = B/IMG_0001.NEF"],
    );
}

#[test]
fn a_raw_apart_from_its_picture_joins_it_where_that_is_clear() {
    check(
        &[("one/DCIM/100ABCDE/IMG_0001.JPG", picture(1, b"")), ("two/DCIM/100ABCDE/IMG_0001.NEF", raw(1))],
        &["one/DCIM/100ABCDE/IMG_0001.JPG+two/DCIM/100ABCDE/IMG_0001.NEF"],
        &[],
    );
    // Another second, another number, or two that it could be.
    check(
        &[("J/IMG_0001.JPG", picture(1, b"")), ("R/IMG_0001.NEF", raw(2)), ("S/IMG_0002.NEF", raw(1))],
        &["J/IMG_0001.JPG", "S/IMG_0002.NEF", "R/IMG_0001.NEF"],
        &[],
    );
    check(
        &[
            ("J/IMG_0001.JPG", picture(1, b"")),
            ("K/IMG_0001.JPG", picture(1, b"k")),
            ("R/IMG_0001.NEF", raw(1)),
        ],
        &["J/IMG_0001.JPG", "K/IMG_0001.JPG", "R/IMG_0001.NEF"],
        &[],
    );
}

#[test]
fn only_files_that_may_be_copies_are_read_whole_and_the_reading_is_counted() {
    let behind = vec![0; 400_000];
    let files = [("D/IMG_0001.JPG", picture(1, &behind)), ("D/IMG_0002.JPG", picture(2, &behind))];
    let here = card(&files);
    let alone = read_card(here.path(), &Silent).unwrap().bytes_read;
    assert!(alone < 200_000, "{alone}");
    put(here.path(), "E/IMG_0001.JPG", &files[0].1);
    let copied = read_card(here.path(), &Silent).unwrap().bytes_read;
    let twice = 2 * files[0].1.len() as u64;
    assert!((twice + alone..twice + 2 * alone).contains(&copied), "{copied}");
}

/// Cuts a file short when both exposures of a card were read, before they are compared.
struct Cutting<'a>(&'a Path);

impl Progress for Cutting<'_> {
    fn at(&self, done: usize, of: usize) {
        if (done, of) == (2, 2) {
            File::options().write(true).open(self.0).unwrap().set_len(40_000).unwrap();
        }
    }
    fn stopped(&self) -> bool {
        false
    }
}

#[test]
fn a_file_that_shrank_is_a_copy_of_nothing() {
    let bytes = picture(1, &vec![0; 60_000]);
    let here = card(&[("D/IMG_0001.JPG", bytes.clone()), ("E/IMG_0001.JPG", bytes)]);
    let cut = here.path().join("E/IMG_0001.JPG");
    let intake = read_card(here.path(), &Cutting(&cut)).unwrap();
    assert_eq!(found(&intake), (vec!["D/IMG_0001.JPG".into(), "E/IMG_0001.JPG".into()], vec![]));
}

/// Says stop as soon as one of two files was compared.
struct Late(AtomicBool);

impl Progress for Late {
    fn at(&self, done: usize, of: usize) {
        if (done, of) == (1, 2) {
            self.0.store(true, Ordering::Relaxed);
        }
    }
    fn stopped(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

#[test]
fn comparing_can_be_stopped() {
    let bytes = picture(1, b"");
    // Three exposures are read; two files are compared.
    let two = picture(2, b"");
    let here = card(&[("D/IMG_0001.JPG", bytes.clone()), ("E/IMG_0001.JPG", bytes), ("D/IMG_0002.JPG", two)]);
    assert_eq!(read_card(here.path(), &Late(AtomicBool::new(false))), Err(ReadFault::Stopped));
}

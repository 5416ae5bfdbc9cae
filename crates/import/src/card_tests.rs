//! Whole cards, good and bad, made small by hand.

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use record::{FileRole, Frame, Progress, Silent, TimeSource};
use tempfile::TempDir;

use crate::sample::Sample;
use crate::{Intake, ReadFault, read_card, read_card_shown};

fn card(files: &[(&str, Vec<u8>)]) -> TempDir {
    let card = tempfile::tempdir().unwrap();
    for (path, bytes) in files {
        let path = card.path().join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    card
}

fn read(files: &[(&str, Vec<u8>)]) -> Intake {
    read_card(card(files).path(), &Silent).unwrap()
}

/// One word a frame: its number, and `_` for a blank, `?` for what could not be judged.
fn line(intake: &Intake) -> String {
    let word = |f: &Frame| {
        let mark = match &f.blank {
            Some(verdict) if verdict.is_blank() => "_",
            Some(_) => "",
            None => "?",
        };
        let number = f.file_name().trim_start_matches("DSC_").split('.').next().unwrap_or_default();
        format!("{mark}{}", number.trim_start_matches('0'))
    };
    intake.frames.iter().map(word).collect::<Vec<_>>().join(" ")
}

fn dsc(number: u16) -> String {
    format!("DCIM/100ABCDE/DSC_{number:04}.JPG")
}

/// Frames 1–3 with an animal, 4 blank, 5 and 6 with an animal, 7 blank.
fn day() -> Vec<(String, Vec<u8>)> {
    (1..=7).map(|n| (dsc(n), Sample::at(n as u8, n != 4 && n != 7).jpeg())).collect()
}

fn with<'a>(day: &'a [(String, Vec<u8>)], more: &[(&'a str, Vec<u8>)]) -> Vec<(&'a str, Vec<u8>)> {
    let mut files: Vec<_> = day.iter().map(|(path, bytes)| (path.as_str(), bytes.clone())).collect();
    for (path, bytes) in more {
        files.retain(|(p, _)| p != path);
        files.push((path, bytes.clone()));
    }
    files
}

#[test]
fn a_plain_day() {
    let day = day();
    let intake = read(&with(&day, &[]));
    assert_eq!(line(&intake), "1 2 3 _4 5 6 _7");
    let first = &intake.frames[0];
    assert_eq!(first.taken.unwrap().to_string(), "2026-06-14T10:23:01+01:00");
    assert_eq!((first.time_source, first.body.model.as_str()), (TimeSource::Original, "E-1"));
    assert_eq!(first.size_px, Some((240, 160)));
    assert!(intake.frames.iter().all(|f| f.faults.is_empty()), "{:?}", intake.frames);
    assert_eq!(intake.bytes_on_card, day.iter().map(|(_, bytes)| bytes.len() as u64).sum::<u64>());
    assert_eq!(intake.skipped, []);
}

#[test]
fn damaged_files_are_frames_with_faults_in_their_place() {
    let day = day();
    let cut = day[1].1[..day[1].1.len() - 300].to_vec();
    let (two, three, five, six) = (dsc(2), dsc(3), dsc(5), dsc(6));
    let intake = read(&with(
        &day,
        &[
            (&two, cut),
            (&three, vec![]),
            (&five, Sample { subject: true, ..Sample::default() }.png()),
            (&six, b"day one\n".to_vec()),
        ],
    ));
    assert_eq!(line(&intake), "1 2 ?3 _4 5 ?6 _7");
    let faults: Vec<_> = intake.frames.iter().map(|f| f.faults.join("; ")).collect();
    assert_eq!(
        faults,
        [
            "",
            "the file ends early: the large picture is cut off; still read: capture time, camera, size, embedded \
             preview",
            "the file is empty",
            "",
            "named .jpg but is a PNG picture",
            "this is not a picture although its name says so",
            "",
        ]
    );
    assert_eq!(intake.frames[1].time_source, TimeSource::Original);
    assert_eq!(intake.frames[2].time_source, TimeSource::File);
    assert!(intake.frames[2].spread.is_none());
}

#[test]
fn a_raw_without_a_preview_is_a_frame_with_its_time() {
    let day = day();
    let raw = Sample { thumbnail: false, ..Sample::at(9, true) }.tiff_stream();
    let intake = read(&with(&day, &[("DCIM/100ABCDE/DSC_0009.NEF", raw)]));
    assert_eq!(line(&intake), "1 2 3 _4 5 6 _7 ?9");
    let words = "this raw file holds no preview that can be read, so it cannot be told whether it is a blank";
    assert_eq!(
        (intake.frames[7].faults.as_slice(), intake.frames[7].time_source),
        (&[words.to_owned()][..], TimeSource::Original)
    );
}

#[test]
fn companions_travel_with_their_frame() {
    let day = day();
    let raw = Sample { thumbnail: true, subject: true, ..Sample::at(9, true) }.tiff_stream();
    let intake = read(&with(
        &day,
        &[
            ("DCIM/100ABCDE/DSC_0001.NEF", raw.clone()),
            ("DCIM/100ABCDE/SND_0002.WAV", b"RIFF".to_vec()),
            ("DCIM/100ABCDE/DSC_0003.xmp", b"<x/>".to_vec()),
            ("DCIM/100ABCDE/DSC_0090.WAV", b"RIFF".to_vec()),
            ("DCIM/100ABCDE/DSC_0009.NEF", raw),
            ("notes.txt", b"day one".to_vec()),
        ],
    ));
    assert_eq!(line(&intake), "1 2 3 _4 5 6 _7 9", "a raw alone is a frame");
    let roles: Vec<Vec<FileRole>> =
        intake.frames.iter().map(|f| f.files.iter().map(|f| f.role).collect()).collect();
    assert_eq!(roles[0], [FileRole::Picture, FileRole::Raw]);
    assert_eq!(roles[1], [FileRole::Picture, FileRole::Sound]);
    assert_eq!(roles[2], [FileRole::Picture, FileRole::Sidecar]);
    assert_eq!(roles[7], [FileRole::Raw]);
    let skipped: Vec<_> = intake.skipped.iter().map(|s| format!("{}: {}", s.path, s.reason)).collect();
    assert_eq!(
        skipped,
        ["DCIM/100ABCDE/DSC_0090.WAV: a sound note without its picture", "notes.txt: not a picture"]
    );
}

#[test]
fn a_folder_of_pictures_without_camera_data_is_read() {
    let png = |subject| Sample { subject, ..Sample::default() }.png();
    let intake = read(&[("b é.png", png(true)), ("a'1.png", png(true)), ("c (2).png", png(false))]);
    assert_eq!(intake.frames.len(), 3);
    assert!(intake.frames.iter().all(|f| f.time_source == TimeSource::File && f.faults.is_empty()));
    let blanks: Vec<_> = intake.frames.iter().filter(|f| f.blank.as_ref().unwrap().is_blank()).collect();
    assert_eq!(blanks.len(), 1);
    assert_eq!(blanks[0].path(), "c (2).png");
}

#[test]
fn a_thumbnail_of_another_shape_is_not_trusted() {
    // The thumbnail was made of a 3 : 2 picture with an animal; the picture was cut to a blank square since.
    let mut sample = Sample { thumbnail: true, subject: true, ..Sample::default() };
    let stream_of_animal = sample.tiff_stream();
    sample = Sample { subject: false, thumbnail: false, original: None, width: 160, ..sample };
    let plain = sample.jpeg();
    let end_of_exif = 4 + usize::from(u16::from_be_bytes([plain[4], plain[5]]));
    let mut bytes = vec![0xFF, 0xD8, 0xFF, 0xE1];
    bytes.extend(u16::try_from(stream_of_animal.len() + 8).unwrap().to_be_bytes());
    bytes.extend(b"Exif\0\0");
    bytes.extend(&stream_of_animal);
    bytes.extend(&plain[end_of_exif..]);
    let day = day();
    let intake = read(&with(&day, &[(&dsc(8), bytes)]));
    assert_eq!(line(&intake), "1 2 3 _4 5 6 _7 _8");
}

#[test]
fn cards_that_cannot_be_read_say_why() {
    let fault = |files: &[(&str, Vec<u8>)]| read_card(card(files).path(), &Silent).unwrap_err();
    assert!(matches!(fault(&[]), ReadFault::Empty(_)));
    let none = fault(&[("a/notes.txt", vec![1]), (".hidden.jpg", vec![1])]);
    let words = none.to_string();
    assert!(
        words.contains("No pictures were found. 2 entries were left out, such as .hidden.jpg (hidden)"),
        "{words}"
    );
    let nowhere = read_card(Path::new("/nowhere at all"), &Silent).unwrap_err().to_string();
    assert_eq!(
        nowhere,
        "There is no such folder. Check the path, and that the card is in its reader: /nowhere at all"
    );
}

/// Does something once the first exposure is read.
struct After<F: Fn() + Sync>(F, bool);

impl<F: Fn() + Sync> Progress for After<F> {
    fn at(&self, done: usize, _of: usize) {
        if done == 0 {
            (self.0)();
        }
    }
    fn stopped(&self) -> bool {
        self.1
    }
}

#[test]
fn a_card_that_goes_away_or_is_stopped() {
    let day = day();
    let here = card(&with(&day, &[]));
    let gone = read_card(here.path(), &After(|| std::fs::remove_dir_all(here.path()).unwrap(), false));
    assert_eq!(gone, Err(ReadFault::CardGone(here.path().into())));
    let emptied = card(&with(&day, &[]));
    let pulled = After(|| std::fs::remove_dir_all(emptied.path().join("DCIM")).unwrap(), false);
    assert_eq!(read_card(emptied.path(), &pulled), Err(ReadFault::CardGone(emptied.path().into())));
    let stopped = card(&with(&day, &[]));
    assert_eq!(read_card(stopped.path(), &After(|| {}, true)), Err(ReadFault::Stopped));
}

/// Says stop after so many exposures.
struct StopAfter(usize, AtomicUsize);

impl Progress for StopAfter {
    fn at(&self, done: usize, _of: usize) {
        self.1.fetch_max(done, Ordering::Relaxed);
    }
    fn stopped(&self) -> bool {
        self.1.load(Ordering::Relaxed) >= self.0
    }
}

#[test]
fn wherever_it_is_stopped_nothing_is_left_behind() {
    let day = day();
    let here = card(&with(&day, &[]));
    let listed = || -> Vec<_> {
        let entries = std::fs::read_dir(here.path().join("DCIM/100ABCDE")).unwrap().map(|e| e.unwrap());
        let about = entries
            .map(|e| (e.file_name(), e.metadata().unwrap().modified().unwrap(), e.metadata().unwrap().len()));
        let mut all: Vec<_> = about.collect();
        all.sort();
        all
    };
    let before = listed();
    for after in 0..=7 {
        let stop = StopAfter(after, AtomicUsize::new(0));
        assert_eq!(read_card(here.path(), &stop), Err(ReadFault::Stopped), "after {after}");
    }
    assert_eq!(std::fs::read_dir(here.path()).unwrap().count(), 1);
    assert_eq!(listed(), before);
    assert_eq!(line(&read_card(here.path(), &Silent).unwrap()), "1 2 3 _4 5 6 _7");
}

#[test]
fn a_file_that_goes_away_alone_is_a_frame_with_a_fault() {
    let day = day();
    let here = card(&with(&day, &[]));
    let one = here.path().join(dsc(3));
    let intake = read_card(here.path(), &After(|| std::fs::remove_file(&one).unwrap(), false)).unwrap();
    assert_eq!(line(&intake), "1 2 ?3 _4 5 6 _7");
    assert_eq!(intake.frames[2].faults, ["the file could not be read: it is not there any more"]);
}

#[test]
fn reading_twice_gives_the_same() {
    let day = day();
    let here = card(&with(&day, &[]));
    assert_eq!(read_card(here.path(), &Silent), read_card(here.path(), &Silent));
}

#[test]
fn a_long_card_is_shown_while_it_is_read() {
    // Each of a length of its own, so that none is another's copy.
    let file =
        |n: u16| [Sample::at((n / 6) as u8, !n.is_multiple_of(7)).jpeg(), vec![0; usize::from(n)]].concat();
    let files: Vec<(String, Vec<u8>)> = (1..=300).map(|n| (dsc(n), file(n))).collect();
    let card = card(&with(&files, &[]));
    let shown = std::cell::RefCell::new(Vec::new());
    let whole = read_card_shown(card.path(), &Silent, &|so_far| shown.borrow_mut().push(so_far())).unwrap();
    let [part] = &shown.into_inner()[..] else { panic!("not shown once") };
    assert_eq!((part.frames.len(), whole.frames.len()), (256, 300));
    assert_eq!(part.read_last.0, 255);
    let ids: Vec<u32> = part.frames.iter().map(|f| f.id.0).collect();
    assert_eq!(ids, (0..256).collect::<Vec<_>>());
    let blanks = |frames: &[Frame]| -> Vec<String> {
        let blanks = frames.iter().filter(|f| f.blank.as_ref().is_some_and(record::BlankVerdict::is_blank));
        blanks.map(|f| f.path().to_owned()).collect()
    };
    let of_whole = blanks(&whole.frames);
    assert_eq!(blanks(&part.frames), of_whole[..of_whole.iter().filter(|b| **b <= dsc(256)).count()]);
    assert_eq!(of_whole.len(), 42);
}

#[test]
fn where_numbers_began_again_the_frame_read_last_is_within_the_day() {
    // 9800 to 9999, then 1 to 100: DCF numbers run from 0001 to 9999 (JEITA CP-3461, from memory). Read by name, the first
    // 256 are 1 to 100 and 9800 to 9955.
    let number = |n: u16| if n < 200 { 9800 + n } else { n - 199 };
    let file = |n: u16| [Sample::at((n / 6) as u8, true).jpeg(), vec![0; usize::from(n)]].concat();
    let files: Vec<(String, Vec<u8>)> = (0..300).map(|n| (dsc(number(n)), file(n))).collect();
    let card = card(&with(&files, &[]));
    let shown = std::cell::RefCell::new(Vec::new());
    read_card_shown(card.path(), &Silent, &|so_far| shown.borrow_mut().push(so_far())).unwrap();
    let [part] = &shown.into_inner()[..] else { panic!("not shown once") };
    let last = part.frames.iter().position(|f| f.id == part.read_last).unwrap();
    assert_eq!((part.frames[last].path(), last), (dsc(9955).as_str(), 155));
}

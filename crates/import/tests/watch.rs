//! A folder that is being watched while files are written, renamed and deleted in it.
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use import::ReadFault;
use import::watch::{News, State, Watch};
use record::Silent;
use tempfile::TempDir;

/// Longest wait for something that must come. Far above what is usual, for a busy computer.
const SOON: Duration = Duration::from_secs(5);
/// A wait for something that must not come.
const QUIET: Duration = Duration::from_millis(300);

/// A picture of the demo card, by its number.
fn demo(number: u16) -> Vec<u8> {
    let card = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/salt-marsh-bank/card");
    fs::read(card.join(format!("DCIM/100MARSH/MRS_{}.JPG", 9970 + number))).unwrap()
}

struct Bench {
    folder: TempDir,
    watch: Watch,
}

impl Bench {
    /// A watch on a folder that holds these frames, whose first state was taken.
    fn with(numbers: &[u16]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for number in numbers {
            fs::write(folder.path().join(name(*number)), demo(*number)).unwrap();
        }
        let mut watch = Watch::open(folder.path()).unwrap();
        match watch.next(SOON, &Silent) {
            Some(News::Changed(state)) => assert_eq!(state.arrived, [], "what lay there did not arrive"),
            Some(News::Nothing(fault)) => assert!(numbers.is_empty(), "{fault}"),
            None => panic!("no first state"),
        }
        Self { folder, watch }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn state(&mut self) -> State {
        match self.watch.next(SOON, &Silent) {
            Some(News::Changed(state)) => state,
            other => panic!("not a state: {other:?}"),
        }
    }

    /// Takes states until one holds these frames, in order of path.
    fn until(&mut self, expected: &[&str]) -> State {
        let begun = Instant::now();
        loop {
            let state = self.state();
            let mut found: Vec<&str> = state.intake.frames.iter().map(record::Frame::path).collect();
            found.sort_unstable();
            if found == expected {
                return state;
            }
            assert!(begun.elapsed() < SOON, "{found:?}");
        }
    }

    fn quiet(&mut self) {
        let news = self.watch.next(QUIET, &Silent);
        assert!(news.is_none(), "{news:?}");
    }
}

fn name(number: u16) -> String {
    format!("DSCF{number:04}.JPG")
}

#[test]
fn frames_arrive_and_only_they_are_read() {
    let mut bench = Bench::with(&[1, 2, 3]);
    bench.quiet();
    let bytes = demo(4);
    fs::write(bench.path("DSCF0004.JPG"), &bytes).unwrap();
    let state = bench.state();
    assert_eq!(state.intake.frames.len(), 4);
    assert_eq!(state.arrived.iter().map(|a| a.path.as_str()).collect::<Vec<_>>(), ["DSCF0004.JPG"]);
    assert!(state.arrived[0].at.elapsed().unwrap() < SOON);
    assert!(state.intake.bytes_read < 2 * bytes.len() as u64, "{} bytes", state.intake.bytes_read);
    assert_eq!(state.intake.frames, import::read_card(bench.folder.path(), &Silent).unwrap().frames);
}

#[test]
fn a_file_written_in_pieces_is_waited_for() {
    let mut bench = Bench::with(&[1, 2]);
    let bytes = demo(3);
    let mut file = File::create(bench.path("DSCF0003.JPG")).unwrap();
    for piece in bytes.chunks(bytes.len() / 4 + 1) {
        bench.quiet();
        file.write_all(piece).unwrap();
    }
    let whole = Instant::now();
    let state = bench.state();
    assert!(whole.elapsed() < Duration::from_secs(2), "{:?}", whole.elapsed());
    assert_eq!(state.intake.frames.len(), 3);
    assert_eq!(state.intake.frames[2].faults, [""; 0]);
}

#[test]
fn a_file_that_stays_unfinished_is_a_frame_with_a_fault_and_heals() {
    let mut bench = Bench::with(&[1]);
    let bytes = demo(2);
    let mut file = File::create(bench.path("DSCF0002.JPG")).unwrap();
    file.write_all(&bytes[..bytes.len() / 2]).unwrap();
    let cut = bench.state();
    assert_eq!(cut.intake.frames.len(), 2);
    assert!(cut.intake.frames[1].faults[0].contains("ends early"), "{:?}", cut.intake.frames[1].faults);
    file.write_all(&bytes[bytes.len() / 2..]).unwrap();
    // It is out of the state while it grows.
    let whole = bench.until(&["DSCF0001.JPG", "DSCF0002.JPG"]);
    assert_eq!(whole.intake.frames[1].faults, [""; 0]);
}

#[test]
fn a_picture_under_a_name_of_passage_never_shows() {
    let mut bench = Bench::with(&[1]);
    fs::write(bench.path("DSCF0002.JPG.part"), demo(2)).unwrap();
    bench.quiet();
    move_file(&bench.path("DSCF0002.JPG.part"), &bench.path("DSCF0002.JPG"));
    let state = bench.state();
    assert_eq!(state.intake.frames[1].path(), "DSCF0002.JPG");
    assert_eq!((state.arrived.len(), state.gone.len()), (1, 0));
}

#[test]
fn renamed_and_deleted_pictures_are_gone() {
    let mut bench = Bench::with(&[1, 2, 3]);
    move_file(&bench.path("DSCF0002.JPG"), &bench.path("bee.jpg"));
    let state = bench.until(&["DSCF0001.JPG", "DSCF0003.JPG", "bee.jpg"]);
    assert_eq!(state.gone, ["DSCF0002.JPG".to_owned()].into());
    assert_eq!(state.arrived, [], "a new name is no arrival");
    fs::remove_file(bench.path("DSCF0003.JPG")).unwrap();
    assert_eq!(bench.state().gone, ["DSCF0003.JPG".to_owned()].into());
}

#[test]
fn a_folder_that_goes_and_comes_back_is_waited_for() {
    let mut bench = Bench::with(&[1, 2]);
    let away = bench.folder.path().with_extension("away");
    move_file(bench.folder.path(), &away);
    assert!(matches!(bench.watch.next(SOON, &Silent), Some(News::Nothing(ReadFault::NotThere(_)))));
    bench.quiet();
    fs::create_dir(bench.folder.path()).unwrap();
    assert!(matches!(bench.watch.next(SOON, &Silent), Some(News::Nothing(ReadFault::Empty(_)))));
    fs::write(bench.path("DSCF0001.JPG"), demo(1)).unwrap();
    let state = bench.until(&["DSCF0001.JPG"]);
    assert_eq!(state.gone, ["DSCF0002.JPG".to_owned()].into());
    // Notifications work again.
    thread::sleep(Duration::from_millis(50));
    let written = Instant::now();
    fs::write(bench.path("DSCF0003.JPG"), demo(3)).unwrap();
    bench.until(&["DSCF0001.JPG", "DSCF0003.JPG"]);
    assert!(written.elapsed() < Duration::from_secs(2), "{:?}", written.elapsed());
    fs::remove_dir_all(away).unwrap();
}

#[test]
fn a_burst_comes_whole_to_two_watches() {
    let mut bench = Bench::with(&[]);
    let mut other = Watch::open(bench.folder.path()).unwrap();
    let folder = bench.folder.path().to_owned();
    let names: Vec<String> = (0..60).map(|n| format!("100ABCDE/DSCF{n:04}.JPG")).collect();
    let writer = thread::Builder::new().name("writer".into());
    let to_write = names.clone();
    let writer = writer
        .spawn(move || {
            fs::create_dir(folder.join("100ABCDE")).unwrap();
            let mut bytes = demo(1);
            for (name, n) in to_write.iter().zip(0..) {
                // Frames differ; copies of one would be one.
                let last = bytes.len() - 3;
                bytes[last] = n;
                fs::write(folder.join(name), &bytes).unwrap();
            }
        })
        .unwrap();
    let expected: Vec<&str> = names.iter().map(String::as_str).collect();
    bench.until(&expected);
    writer.join().unwrap();
    let begun = Instant::now();
    while !matches!(other.next(SOON, &Silent), Some(News::Changed(s)) if s.intake.frames.len() == 60) {
        assert!(begun.elapsed() < SOON);
    }
    bench.quiet();
}

#[test]
fn only_a_folder_can_be_watched() {
    let bench = Bench::with(&[1]);
    let fault = |path: PathBuf| Watch::open(&path).unwrap_err();
    assert!(matches!(fault(bench.path("none")), ReadFault::NotThere(_)));
    assert!(matches!(fault(bench.path("DSCF0001.JPG")), ReadFault::NotAFolder(_)));
}

/// The delay that decides how useful the retake list is: from a picture's last byte to the state that holds it.
#[test]
#[expect(clippy::print_stderr, reason = "the delays are for whoever reads the test run")]
fn delay_from_the_last_byte_to_the_state() {
    let mut bench = Bench::with(&[1]);
    let mut delays: Vec<Duration> = (2..=9)
        .map(|number| {
            fs::write(bench.path(&name(number)), demo(number)).unwrap();
            let whole = Instant::now();
            assert_eq!(bench.state().intake.frames.len(), usize::from(number));
            whole.elapsed()
        })
        .collect();
    delays.sort_unstable();
    eprintln!("by notification: {:?} to {:?}, median {:?}", delays[0], delays[7], delays[4]);
    assert!(delays[4] < Duration::from_secs(2), "{delays:?}");
}

#[expect(clippy::disallowed_methods, reason = "the test stands for another program that renames")]
fn move_file(from: &Path, to: &Path) {
    fs::rename(from, to).unwrap();
}

//! A filing that is held up, one that is not over, and names to choose from.

use std::collections::BTreeMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use common::day;
use filing::{Altered, FilingFault, plan_filing, preview_names, unfinished};
use record::NameField::{self, Date, N, Session, Specimen, View};
use record::{FrameId, NameForm, Naming, NamingFault, Progress, Silent};

mod common;

/// Holds the work up once so many bytes are done, looks at the archive, and stops or goes on.
struct Holds<'a> {
    from_bytes: usize,
    bytes: AtomicUsize,
    stops: bool,
    waited: AtomicBool,
    files: Mutex<Vec<(usize, usize)>>,
    look: &'a (dyn Fn() + Sync),
}

impl Progress for Holds<'_> {
    fn at(&self, done: usize, _of: usize) {
        self.bytes.store(done, Ordering::SeqCst);
    }
    fn stopped(&self) -> bool {
        self.stops && self.waited.load(Ordering::SeqCst)
    }
    fn files(&self, done: usize, of: usize) {
        self.files.lock().expect("no test broke off with it").push((done, of));
    }
    fn held_up(&self) -> bool {
        self.bytes.load(Ordering::SeqCst) >= self.from_bytes && !self.waited.load(Ordering::SeqCst)
    }
    fn wait(&self) {
        (self.look)();
        self.waited.store(true, Ordering::SeqCst);
    }
}

fn holds(from_bytes: usize, stops: bool, look: &(dyn Fn() + Sync)) -> Holds<'_> {
    let (bytes, waited, files) = (AtomicUsize::new(0), AtomicBool::new(false), Mutex::new(Vec::new()));
    Holds { from_bytes, bytes, stops, waited, files, look }
}

#[test]
fn what_is_held_up_rests_with_every_file_under_its_name_and_no_card_needed() {
    let mut day = day("fff_");
    let (folder, card) = (day.folder(), day.card.clone());
    let away = card.with_extension("out");
    let look = || {
        let names = common::names(&folder);
        let pictures: Vec<_> = names.iter().filter(|name| name.contains(".jpg")).collect();
        assert_eq!(
            pictures,
            ["001/2026-06-14_001_frame_01.jpg", "001/2026-06-14_001_frame_02.jpg"],
            "{names:?}"
        );
        assert!(!names.iter().any(|name| name.contains(".part")), "{names:?}");
        // The card is taken out and put in again.
        std::fs::rename(&card, &away).unwrap();
        std::fs::rename(&away, &card).unwrap();
    };
    let first_two = day.session.frames[..2].iter().map(|f| f.files[0].bytes as usize).sum();
    let progress = holds(first_two, false, &look);
    let receipt = day.file_with(&progress).unwrap();
    assert!(progress.waited.load(Ordering::SeqCst));
    assert_eq!(receipt.copied, 4);
    assert!(receipt.account.is_whole());
    let files = progress.files.into_inner().unwrap();
    assert_eq!((files.first().unwrap().1, files.last()), (4, Some(&(4, 4))));
    assert!(files.windows(2).all(|pair| pair[0] <= pair[1]), "{files:?}");
}

#[test]
fn what_was_filed_before_is_read_again_and_can_be_held_up_too() {
    let mut day = day("ff_");
    day.file().unwrap();
    let progress = holds(0, true, &|| ());
    let fault = day.file_with(&progress).unwrap_err();
    assert!(matches!(fault, FilingFault::Stopped { .. }), "{fault}");
}

#[test]
fn a_filing_that_was_stopped_is_found_until_it_is_over() {
    let mut day = day("fff_");
    assert_eq!(unfinished(&day.archive).unwrap(), None, "no archive yet");
    let progress = holds(1, true, &|| ());
    day.file_with(&progress).unwrap_err();
    let found = unfinished(&day.archive).unwrap().unwrap();
    assert_eq!((found.folder.as_str(), found.filed, found.of), ("2026-06-14_Hay-meadow", 1, 4));
    assert_eq!(found.card, std::fs::canonicalize(&day.card).unwrap());
    assert!(!found.undoing);
    day.file().unwrap();
    assert_eq!(unfinished(&day.archive).unwrap(), None);
}

#[test]
fn names_are_shown_before_they_are_chosen() {
    let mut day = day("ff_f_");
    day.label(0, "face");
    let form = |name: &[NameField]| NameForm { name: name.to_vec(), joiner: "-".into() };
    let preview = |folder: &[NameField], file: &[NameField]| {
        let naming = Naming { folder: form(folder), file: form(file) };
        preview_names(&day.session, &naming, &BTreeMap::new(), FrameId(0))
    };
    let found = preview(&[Session, Specimen], &[View, N]).unwrap().unwrap();
    assert_eq!(found.path, "Hay-meadow-001/face-01");
    assert_eq!((found.folders_alike, found.frames_alike), (0, 0));
    // Both specimens lie in folders of one name, and the blanks are called alike.
    let found = preview(&[Date], &[View]).unwrap().unwrap();
    assert_eq!(found.path, "2026-06-14/face");
    assert_eq!((found.folders_alike, found.frames_alike), (1, 1));
    assert_eq!(preview(&[View], &[N]), Err(NamingFault::NotOfFolder(View)));
    // The plan says which names were altered, and why.
    day.session.naming = Naming { folder: form(&[Date]), file: form(&[View]) };
    let plan = plan_filing(&day.session, &day.card, &day.archive, &BTreeMap::new(), &[], &Silent).unwrap();
    let altered: Vec<_> = plan.steps.iter().map(|s| (s.to.as_str(), s.altered_now())).collect();
    assert_eq!(altered[0], ("2026-06-14/face.jpg", None));
    assert_eq!(altered[3], ("2026-06-14_2/frame.jpg", Some(Altered::Taken)));
    assert_eq!(altered[4], ("blanks/blank-2.jpg", Some(Altered::Taken)));
    // Filing gives the names that were shown.
    day.session.naming = Naming { folder: form(&[Session, Specimen]), file: form(&[View, N]) };
    day.file().unwrap();
    assert!(day.folder().join("Hay-meadow-001/face-01.jpg").is_file());
}

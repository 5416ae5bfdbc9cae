//! A card on a model disk, and what must hold of its archive whatever happened.

#[path = "../../tests/common/mod.rs"]
pub(crate) mod common;

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::time::SystemTime;

use record::{Session, Silent};

use super::{After, Fate, ModelDisk};
use crate::carry::carry_out_on;
use crate::journal::{JOURNAL_FILE, Log};
use crate::lists::BEFORE_FOLDER;
use crate::plan::plan_filing_on;

use crate::{FilingFault, Receipt};

pub(super) type Tree = BTreeMap<String, (Vec<u8>, SystemTime)>;

/// A card on a model disk, an archive that holds something already, and the session of the card.
pub(super) struct Bench {
    pub(super) disk: ModelDisk,
    pub(super) session: Session,
    pub(super) uncut: ModelDisk,
    /// Whether what is tried is taking back, where the earlier receipt comes back before the copies go.
    pub(super) taken_back: bool,
}

pub(super) fn card() -> PathBuf {
    "/card".into()
}

pub(super) fn archive() -> PathBuf {
    "/archive".into()
}

pub(super) fn file(disk: &ModelDisk, session: &mut Session) -> Result<Receipt, FilingFault> {
    let none = BTreeMap::new();
    let plan = plan_filing_on(disk, session, &card(), &archive(), &none, &Silent)?;
    carry_out_on(disk, &plan, session, &card(), &archive(), &Silent)
}

impl Bench {
    pub(super) fn new(frames: &str) -> Self {
        let day = common::day(frames);
        let disk = ModelDisk::new();
        for (path, (bytes, _)) in common::tree(&day.card) {
            disk.put(&card().join(path), &bytes);
        }
        disk.put(&archive().join("mine.txt"), b"mine");
        let uncut = disk.with(Fate::default());
        file(&uncut, &mut day.session.clone()).unwrap();
        Self { disk, session: day.session, uncut, taken_back: false }
    }

    /// Operations of an uncut run.
    pub(super) fn calls(&self) -> usize {
        self.uncut.calls()
    }

    /// Files that an uncut run copies.
    pub(super) fn files(&self) -> usize {
        let before = self.disk.tree(&archive());
        let filed = before.keys().filter(|path| is_picture(path)).count();
        self.session.frames.iter().map(|f| f.files.len()).sum::<usize>() - filed
    }

    /// What is wrong right after a run ended somehow.
    pub(super) fn wrong_now(&self, disk: &ModelDisk) -> Option<String> {
        if disk.tree(&card()) != self.disk.tree(&card()) {
            return Some("the card was changed".into());
        }
        let on_card: Vec<Vec<u8>> = self.disk.tree(&card()).into_values().map(|(bytes, _)| bytes).collect();
        let before = self.disk.tree(&archive());
        for (path, file) in disk.tree(&archive()) {
            let is_part = ending(&path) == "part";
            let whole = match ending(&path) {
                "jpg" | "nef" | "wav" => on_card.contains(&file.0),
                "ron" => record::session_from_text(&String::from_utf8_lossy(&file.0)).is_ok(),
                _ => path != "mine.txt" || file.0 == b"mine",
            };
            if !is_part && !whole {
                return Some(format!("{path} looks whole and is not"));
            }
            let is_old = path == JOURNAL_FILE || before.get(&path).is_some_and(|old| old.0 == file.0);
            if path.ends_with("/receipt.txt") && !is_part && self.vouches_wrongly(disk, &path, &file.0) {
                return Some("the receipt says more than is filed".into());
            }
            if !is_part && !is_old && !told(disk, &path, &file.0) {
                return Some(format!("the journal does not tell of {path}"));
            }
        }
        None
    }

    /// Whether a receipt says that the card may be wiped while a file of the card is not in the archive. An earlier
    /// receipt, for what the card held then, is well until more is copied.
    fn vouches_wrongly(&self, disk: &ModelDisk, path: &str, bytes: &[u8]) -> bool {
        let (before, mut now) = (self.disk.tree(&archive()), disk.tree(&archive()));
        now.retain(|path, _| ending(path) != "part");
        let is_earlier = before.get(path).is_some_and(|old| old.0 == bytes);
        let more_is_copied = now.keys().any(|path| is_picture(path) && !before.contains_key(path));
        let card = disk.tree(&card());
        let mut on_card = card.values().map(|(bytes, _)| bytes);
        String::from_utf8_lossy(bytes).contains("The card may be wiped")
            && !(is_earlier && (self.taken_back || !more_is_copied))
            && !on_card.all(|bytes| now.values().any(|(there, _)| there == bytes))
    }

    /// What is wrong when filing is done again after this; the session of the run before is lost.
    fn wrong_after_resuming(&self, disk: &ModelDisk) -> Option<String> {
        let log = Log::read(disk, &archive());
        let Ok(log) = log else { return Some(format!("the journal cannot be read: {log:?}")) };
        let old = Log::read(&self.disk, &archive()).unwrap().last.map_or(0, |last| last.n);
        let last = log.last.iter().filter(|last| last.n > old);
        let verified = last.flat_map(|l| l.copies.values()).filter(|c| c.sha256.is_some()).count();
        let mut session = self.session.clone();
        match file(disk, &mut session) {
            Err(fault) => return Some(format!("filing does not go on: {fault}")),
            Ok(receipt) if receipt.copied != self.files() - verified => {
                let copied = receipt.copied;
                return Some(format!("{verified} were copied and read back, and {copied} were copied again"));
            }
            Ok(_) => {}
        }
        (but_kept(disk) != but_kept(&self.uncut)).then(|| {
            let names = |disk| pictures(disk).into_keys().collect::<Vec<_>>();
            format!("the archive differs: {:?}, not {:?}", names(disk), names(&self.uncut))
        })
    }

    pub(super) fn wrong(&self, disk: &ModelDisk) -> Option<String> {
        self.wrong_now(disk).or_else(|| self.wrong_after_resuming(disk))
    }
}

pub(super) fn is_picture(path: &str) -> bool {
    ["jpg", "nef", "wav"].contains(&ending(path))
}

fn ending(path: &str) -> &str {
    path.rsplit('.').next().unwrap_or_default()
}

/// Whether the journal tells of a file as it is.
fn told(disk: &ModelDisk, path: &str, bytes: &[u8]) -> bool {
    let Ok(Log { last: Some(last), .. }) = Log::read(disk, &archive()) else { return false };
    let sha256 = crate::disk::hash_text(&String::from_utf8_lossy(bytes));
    let text = last.texts.get(path).is_some_and(|text| text.sha256s.contains(&sha256));
    text || path.starts_with(BEFORE_FOLDER)
        || last.copies.get(path).is_some_and(|copied| copied.sha256.is_some())
}

/// What is there apart from journal and texts kept for undoing.
pub(super) fn but_kept(disk: &ModelDisk) -> Tree {
    let mut tree = pictures(disk);
    tree.retain(|path, _| !path.starts_with(BEFORE_FOLDER));
    tree
}

/// All of an archive but the journal and what is kept for taking back, with all times.
pub(super) fn but_journal(disk: &ModelDisk) -> Tree {
    let mut tree = disk.tree(&archive());
    tree.retain(|path, _| path != JOURNAL_FILE && !path.starts_with(BEFORE_FOLDER));
    tree
}

/// A card of which some was filed before, so that lists are replaced and numbers kept.
pub(super) fn filed_twice() -> Bench {
    let mut bench = Bench::new("wf_f_");
    let mut first = bench.session.clone();
    first.frames.truncate(3);
    first.sets.truncate(1);
    file(&bench.disk, &mut first).unwrap();
    bench.uncut = bench.disk.with(Fate::default());
    file(&bench.uncut, &mut bench.session.clone()).unwrap();
    bench
}

/// All of an archive but the journal, and the times of Endleaf's own texts.
pub(super) fn pictures(disk: &ModelDisk) -> Tree {
    let mut tree = disk.tree(&archive());
    tree.remove(JOURNAL_FILE);
    for (path, file) in &mut tree {
        if ["ron", "txt"].contains(&ending(path)) {
            file.1 = SystemTime::UNIX_EPOCH;
        }
    }
    tree
}

/// Flushes that nothing would miss, of a run that makes those of `uncut`. Each in turn is left out and said to be done, the
/// run is cut at any operation after it, and power is lost in every way. `run` also says whether it came to its end.
pub(super) fn idle_flushes(
    uncut: &ModelDisk,
    run: &dyn Fn(Fate) -> (ModelDisk, bool),
    is_missed: &dyn Fn(&ModelDisk, bool) -> bool,
) -> Vec<(usize, PathBuf)> {
    let is_idle = |flush: usize, call: usize| {
        // Before the flush is left out the disk is as it would be anyway.
        !(call + 1..=uncut.calls() + 1).any(|n| {
            let fate = Fate { ends_at: Some(n), skips_flush: Some(flush), ..Fate::default() };
            let (disk, ended) = run(fate);
            After::ALL.iter().any(|after| is_missed(&disk.after(*after), ended))
        })
    };
    // With all of them nothing is amiss: else one of those that are needed is not there.
    for n in 1..=uncut.calls() + 1 {
        let (disk, ended) = run(Fate { ends_at: Some(n), ..Fate::default() });
        let missed = After::ALL.into_iter().find(|after| is_missed(&disk.after(*after), ended));
        assert_eq!(missed, None, "cut at {n}");
    }
    let flushed = uncut.flushed();
    let counted = (1..).zip(flushed);
    counted
        .filter(|(flush, (call, _))| is_idle(*flush, *call))
        .map(|(flush, (_, path))| (flush, path))
        .collect()
}

//! An invented card with its session, for the tests of this crate. Its contents are made up: bytes that
//! follow from a number, under names as cameras give them.

#![allow(dead_code, reason = "each test file uses its own part of this")]
#![allow(clippy::unwrap_used, reason = "only tests use this")]

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, SystemTime};

use filing::{FilingFault, FilingPlan, Receipt, carry_out, plan_filing};
use record::{
    Edit, FileRole, Frame, FrameFile, FrameId, FrameKind, Plan, Progress, Session, Silent, TimeSource,
};

/// A card, an archive that is not there yet, and the session of the card.
pub(crate) struct Day {
    pub(crate) dir: tempfile::TempDir,
    pub(crate) card: PathBuf,
    pub(crate) archive: PathBuf,
    pub(crate) session: Session,
}

/// One frame a letter, in sets between blanks: `f` a picture, `w` a picture with raw file and sound note, `n`
/// a raw file alone, `_` a blank, `r` a reference frame, `a` a frame set aside.
pub(crate) fn day(frames: &str) -> Day {
    let dir = tempfile::tempdir().unwrap();
    let card = dir.path().join("card");
    let mut session = Session::new("Hay meadow", plan());
    for (letter, id) in frames.chars().zip(0..) {
        let extensions: &[&str] = match letter {
            'w' => &["JPG", "NEF", "WAV"],
            'n' => &["NEF"],
            _ => &["JPG"],
        };
        let files = extensions.iter().zip(0..).map(|(extension, i)| {
            let path = format!("DCIM/100ABCDE/ABCD{:04}.{extension}", id + 1);
            let bytes = content(id * 10 + i);
            write_old(&card.join(&path), &bytes);
            let role = if i == 0 { FileRole::Picture } else { FileRole::Raw };
            FrameFile { path, bytes: bytes.len() as u64, role }
        });
        session.frames.push(frame(id, files.collect()));
        let kind = match letter {
            '_' => FrameKind::Blank,
            'r' => FrameKind::Reference,
            'a' => FrameKind::SetAside,
            _ => FrameKind::Specimen,
        };
        session.decisions.kinds.insert(FrameId(id), kind);
    }
    arrange(&mut session);
    Day { archive: dir.path().join("archive"), card, dir, session }
}

/// Works the sets out anew: a blank closes one.
pub(crate) fn arrange(session: &mut Session) {
    let mut sets: Vec<(Vec<FrameId>, Option<FrameId>)> = vec![];
    let mut open: Vec<FrameId> = vec![];
    for frame in &session.frames {
        match session.kind(frame) {
            FrameKind::Specimen => open.push(frame.id),
            FrameKind::Blank if !open.is_empty() => sets.push((std::mem::take(&mut open), Some(frame.id))),
            _ => {}
        }
    }
    if !open.is_empty() {
        sets.push((open, None));
    }
    session.arrange(sets);
}

pub(crate) fn plan() -> Plan {
    let view = |key: &str, letter: char| {
        format!(
            "(key: \"{key}\", name: \"{key}\", letter: '{letter}', required: true,
            subject_part: \"head\", subject_orientation: \"lateral\", hint: \"\")"
        )
    };
    let views = [view("side", 's'), view("face", 'f')].join(",");
    Plan::from_text(&format!("(key: \"p\", name: \"P\", views: [{views}])")).unwrap()
}

/// A frame taken `id` times twenty seconds after ten.
pub(crate) fn frame(id: u32, files: Vec<FrameFile>) -> Frame {
    Frame {
        taken: Some(
            format!("2026-06-14T{:02}:{:02}:{:02}", 10 + id / 180, id / 3 % 60, id % 3 * 20).parse().unwrap(),
        ),
        time_source: TimeSource::Original,
        ..Frame::new(FrameId(id), files)
    }
}

/// Bytes that differ from number to number, some hundreds to thousands.
pub(crate) fn content(number: u32) -> Vec<u8> {
    let length = 300 + (number * 37) % 2000;
    (0..length)
        .map(|i| (i.wrapping_mul(31) ^ (number + 1).wrapping_mul(2_654_435_761) >> (i % 13)) as u8)
        .collect()
}

/// Writes a file that was last changed long ago, on an even second as FAT keeps it.
pub(crate) fn write_old(path: &Path, bytes: &[u8]) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, bytes).unwrap();
    let changed = SystemTime::UNIX_EPOCH + Duration::from_secs(1_780_000_000);
    File::options().write(true).open(path).unwrap().set_modified(changed).unwrap();
}

impl Day {
    pub(crate) fn plan(&self) -> Result<FilingPlan, FilingFault> {
        plan_filing(&self.session, &self.card, &self.archive, &BTreeMap::new(), &[], &Silent)
    }

    pub(crate) fn file(&mut self) -> Result<Receipt, FilingFault> {
        self.file_with(&Silent)
    }

    pub(crate) fn file_with(&mut self, progress: &dyn Progress) -> Result<Receipt, FilingFault> {
        let plan = self.plan()?;
        carry_out(&plan, &mut self.session, &self.card, &self.archive, progress)
    }

    pub(crate) fn label(&mut self, frame: u32, view: &str) {
        let edit = self.session.label_frame(FrameId(frame), Some(view.into())).unwrap();
        self.session.apply(&edit).unwrap();
        arrange(&mut self.session);
    }

    pub(crate) fn decide(&mut self, edit: &Edit) {
        self.session.apply(edit).unwrap();
        arrange(&mut self.session);
    }

    /// The session's folder in the archive, once there.
    pub(crate) fn folder(&self) -> PathBuf {
        self.archive.join("2026-06-14_Hay-meadow")
    }
}

/// All files below a folder: bytes and time of last change, by path.
pub(crate) fn tree(folder: &Path) -> BTreeMap<String, (Vec<u8>, SystemTime)> {
    let mut files = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(at) = open.pop() {
        for entry in fs::read_dir(&at).into_iter().flatten().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
                let changed = path.metadata().unwrap().modified().unwrap();
                files.insert(name, (fs::read(&path).unwrap(), changed));
            }
        }
    }
    files
}

/// Names of all files below a folder but the journal and the sidecars that Endleaf writes.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    bytes(folder).into_keys().filter(|name| !is_own_sidecar(name)).collect()
}

/// Lines of a list of checksums but those of the sidecars that Endleaf writes.
pub(crate) fn listed(folder: &Path) -> Vec<String> {
    let text = fs::read_to_string(folder.join("manifest-sha256.txt")).unwrap();
    text.lines().filter(|line| !is_own_sidecar(line)).map(str::to_owned).collect()
}

fn is_own_sidecar(name: &str) -> bool {
    name.rsplit('.').next() == Some("xmp") && !name.contains(".original")
}

/// Bytes of all files below a folder but the journal; texts without the time of the receipt.
pub(crate) fn bytes(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let files = tree(folder).into_iter().filter(|(name, _)| name != "endleaf-journal.txt");
    let timeless = |name: &str, bytes: Vec<u8>| {
        if !["session.ron", "session-before.ron", "receipt.txt"].iter().any(|own| name.ends_with(own)) {
            return bytes;
        }
        let text = String::from_utf8(bytes).unwrap();
        let lines =
            text.lines().filter(|l| !l.starts_with("At 20") && !l.trim_start().starts_with("at: \"20"));
        lines.collect::<Vec<_>>().join("\n").into_bytes()
    };
    files
        .map(|(name, (bytes, _))| (timeless(&name, bytes), name))
        .map(|(bytes, name)| (name, bytes))
        .collect()
}

/// A session without the time of its account.
pub(crate) fn timeless(session: &Session) -> Session {
    let mut session = session.clone();
    if let Some(account) = &mut session.account {
        account.at.clear();
    }
    session
}

/// Stops when it has been asked this many times.
pub(crate) struct StopsAfter(AtomicUsize);

impl StopsAfter {
    pub(crate) fn asked(times: usize) -> Self {
        Self(AtomicUsize::new(times))
    }
}

impl Progress for StopsAfter {
    fn at(&self, _done: usize, _of: usize) {}
    fn stopped(&self) -> bool {
        self.0.fetch_update(Ordering::SeqCst, Ordering::SeqCst, |left| left.checked_sub(1)).is_err()
    }
}

/// Says that a check was left out, past the capture of what tests print.
pub(crate) fn skipped(why: &str) {
    use std::io::Write;
    std::io::stderr().write_all(format!("SKIPPED: {why}\n").as_bytes()).unwrap();
}

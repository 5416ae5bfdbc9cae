//! From an archive to a pack on a disk: the one file of packs that touches it.
//!
//! Pictures are made on all cores, some dozens at a time, and written in their order meanwhile. The pack appears under its name
//! once it is whole; when it is stopped or fails, nothing is left.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::{Read, Seek as _, SeekFrom, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, sync_channel};
use std::thread;

use filing::{NewFolder, filed_session, filed_sessions, put_document, refuse_document};
use rayon::prelude::*;
use record::Progress;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use super::contents::{Item, Planned, items};
use super::letters::Letters;
use super::summary::{self, Packed, Put};
use super::{Form, PackFault, Sent, SentFrom, Wanted, page, strip};
use crate::picture::{Opened, PictureFault, within};

/// Pictures made before they are handed on, for each core: so many that hardly any core waits for the last of them.
const AT_ONCE: usize = 8;

/// Makes a pack under a new name. Progress is told in pictures. A specimen that stands in two sessions goes once, from the
/// first.
///
/// # Errors
/// When the name is taken or lies in the archive, there is nothing to send, a session cannot be read, or the pack not be
/// written. A picture that cannot be copied is no error: the pack says so, and so does [`Sent::faults`].
pub fn pack(
    archive: &Path,
    wanted: &Wanted,
    path: &Path,
    progress: &dyn Progress,
) -> Result<Sent, PackFault> {
    refuse_document(archive, path)?;
    let items = gathered(archive, wanted, progress)?;
    let mut out = Out::begin(path, wanted.form)?;
    let made = thread::scope(|scope| {
        let (sender, receiver) = sync_channel(1);
        let writer = thread::Builder::new().name("pack".into());
        let out = &mut out;
        let writing =
            writer.spawn_scoped(scope, move || write_all(out, &receiver)).map_err(PackFault::Temporary)?;
        let made = make_all(archive, &items, wanted, progress, |made| sender.send(made).is_ok());
        drop(sender);
        // A fault of writing comes first: it is why making ended.
        writing.join().expect("writing does not panic")?;
        made
    })?;
    let (packed, sent) = told(&items, made);
    out.put("summary.csv", &summary::csv(&packed))?;
    out.put("summary.txt", summary::text(&packed).as_bytes())?;
    out.put("index.html", &page::page(&packed))?;
    if progress.stopped() {
        return Err(PackFault::Stopped);
    }
    out.finish()?;
    Ok(sent)
}

/// The specimens wanted of all sessions, coarsened ones last and in an order of their own.
fn gathered(archive: &Path, wanted: &Wanted, progress: &dyn Progress) -> Result<Vec<Item>, PackFault> {
    let (mut all, mut names, mut seen) = (Vec::new(), BTreeMap::new(), BTreeSet::new());
    for folder in filed_sessions(archive)? {
        if progress.stopped() {
            return Err(PackFault::Stopped);
        }
        let session = filed_session(archive, &folder)?;
        all.extend(items(&folder, &session, wanted, &mut names).into_iter().filter(|i| seen.insert(i.id)));
    }
    let missing = wanted.specimens.iter().flatten().filter(|id| !seen.contains(*id)).count();
    if missing > 0 {
        return Err(PackFault::NotThere { specimens: missing, archive: archive.to_owned() });
    }
    if all.is_empty() {
        return Err(PackFault::Nothing(archive.to_owned()));
    }
    all.sort_by_key(|item| item.is_coarsened.then_some(item.id));
    Ok(all)
}

/// A picture as a file: its path in the pack, its bytes, and its columns and rows.
struct Made {
    path: String,
    jpeg: Vec<u8>,
    size_px: (usize, usize),
}

/// What came of each picture, in order: its columns and rows.
type Outcome = Result<(usize, usize), PictureFault>;

/// Makes all pictures and hands them on in order, until they are no longer wanted.
fn make_all(
    archive: &Path,
    items: &[Item],
    wanted: &Wanted,
    progress: &dyn Progress,
    mut hand_on: impl FnMut(Vec<Made>) -> bool,
) -> Result<Vec<Outcome>, PackFault> {
    let jobs: Vec<(&Item, &Planned)> =
        items.iter().flat_map(|item| item.pictures.iter().map(move |picture| (item, picture))).collect();
    let letters = Letters::new();
    let done = AtomicUsize::new(0);
    let mut outcomes = Vec::with_capacity(jobs.len());
    for some in jobs.chunks(AT_ONCE * rayon::current_num_threads()) {
        let work = |(item, picture): &(&Item, &Planned)| {
            if progress.stopped() {
                return Err(PackFault::Stopped);
            }
            let made = made(archive, item, picture, wanted, &letters);
            progress.at(done.fetch_add(1, Ordering::Relaxed) + 1, jobs.len());
            Ok(made)
        };
        let all: Result<Vec<_>, PackFault> = some.par_iter().with_max_len(1).map(work).collect();
        let mut pictures = Vec::new();
        for made in all? {
            outcomes.push(made.as_ref().map(|made| made.size_px).map_err(Clone::clone));
            pictures.extend(made);
        }
        if !hand_on(pictures) {
            break;
        }
    }
    Ok(outcomes)
}

fn made(
    archive: &Path,
    item: &Item,
    picture: &Planned,
    wanted: &Wanted,
    letters: &Letters,
) -> Result<Made, PictureFault> {
    let opened = Opened::of(archive, &picture.frame)?;
    let crop = if wanted.around_subject { opened.around_subject() } else { None };
    let (width, height) = opened.size_px();
    // Marks were made on a picture of this size, or they tell nothing of this one.
    let scale = picture.scale.filter(|(_, size)| (size.0 as usize, size.1 as usize) == (width, height));
    let caption = segment(&picture.packet);
    let at_most_bytes = wanted.at_most_bytes.map(|most| most.saturating_sub(caption.len()));
    let drawn = within(at_most_bytes, wanted.long_side_px, |side| {
        let reduced = opened.reduced(side, crop);
        let mm_per_px = scale.map(|(scale, _)| scale.mm_per_px.value / reduced.px_per_px);
        strip::under(reduced.rgb, &picture.lines, mm_per_px, letters)
    });
    let (jpeg, size_px) = drawn.map_err(|bytes| opened.too_few(bytes))?;
    Ok(Made { path: item.path(picture), jpeg: with_segment(&jpeg, &caption), size_px })
}

/// What tells the segment of an XMP packet (ISO 16684-3, 1.1.3).
const XMP_SEGMENT: &[u8] = b"http://ns.adobe.com/xap/1.0/\0";

/// An XMP packet as a segment of a JPEG (APP1): marker, length of what follows, name, packet.
fn segment(packet: &str) -> Vec<u8> {
    let bytes = XMP_SEGMENT.len() + packet.len() + 2;
    let length = u16::try_from(bytes).expect("captions are cut to fit into a segment");
    [&[0xFF, 0xE1][..], &length.to_be_bytes(), XMP_SEGMENT, packet.as_bytes()].concat()
}

/// A JPEG with a segment behind its JFIF header, which comes first (ITU-T T.871, 10.1).
fn with_segment(jpeg: &[u8], segment: &[u8]) -> Vec<u8> {
    let header = 4 + usize::from(u16::from_be_bytes([jpeg[4], jpeg[5]]));
    [&jpeg[..header], segment, &jpeg[header..]].concat()
}

fn write_all(out: &mut Out, from: &Receiver<Vec<Made>>) -> Result<(), PackFault> {
    from.iter().flatten().try_for_each(|made| out.put(&made.path, &made.jpeg))
}

/// What the pack says of each specimen, and what went out.
fn told(items: &[Item], outcomes: Vec<Outcome>) -> (Vec<Packed<'_>>, Sent) {
    let mut outcomes = outcomes.into_iter();
    let (mut all, mut sent) = (Vec::new(), Sent::default());
    let mut sessions: BTreeMap<&str, SentFrom> = BTreeMap::new();
    for item in items {
        let from = sessions.entry(&item.session).or_insert_with(|| SentFrom {
            folder: item.session.clone(),
            specimens: Vec::new(),
            frames: Vec::new(),
        });
        from.specimens.push(item.specimen);
        let mut packed = Packed { item, shown: Vec::new(), failed: Vec::new() };
        for (picture, outcome) in item.pictures.iter().zip(&mut outcomes) {
            match outcome {
                Ok(size_px) => {
                    from.frames.push(picture.frame.id);
                    packed.shown.push(Put { path: item.path(picture), view: picture.view.clone(), size_px });
                }
                Err(fault) => {
                    sent.faults.push(fault.to_string());
                    packed.failed.push(picture.view.clone());
                }
            }
        }
        all.push(packed);
    }
    for mut from in sessions.into_values() {
        from.specimens.sort_unstable();
        from.frames.sort_unstable();
        sent.sessions.push(from);
    }
    (all, sent)
}

/// What a pack is written into.
enum Out {
    Folder(NewFolder<'static>),
    /// The zip is made in a temporary file without a name.
    Zip(Box<ZipWriter<File>>, PathBuf),
}

impl Out {
    fn begin(path: &Path, form: Form) -> Result<Self, PackFault> {
        Ok(match form {
            Form::Folder => Self::Folder(NewFolder::begin(path)?),
            Form::Zip => {
                let file = tempfile::tempfile().map_err(PackFault::Temporary)?;
                Self::Zip(Box::new(ZipWriter::new(file)), path.to_owned())
            }
        })
    }

    fn put(&mut self, name: &str, mut bytes: &[u8]) -> Result<(), PackFault> {
        match self {
            Self::Folder(folder) => Ok(folder.put(name, &mut bytes as &mut dyn Read)?),
            Self::Zip(zip, _) => {
                // A JPEG hardly gets smaller. The earliest time that a zip can say: bytes follow from the records alone.
                let method =
                    if is_picture(name) { CompressionMethod::Stored } else { CompressionMethod::Deflated };
                let options = SimpleFileOptions::default()
                    .compression_method(method)
                    .last_modified_time(DateTime::default())
                    .unix_permissions(0o644);
                let begun = zip.start_file(name, options).map_err(std::io::Error::from);
                begun.and_then(|()| zip.write_all(bytes)).map_err(PackFault::Temporary)
            }
        }
    }

    fn finish(self) -> Result<(), PackFault> {
        match self {
            Self::Folder(folder) => Ok(folder.finish()?),
            Self::Zip(zip, path) => {
                let mut file = zip.finish().map_err(|e| PackFault::Temporary(e.into()))?;
                file.seek(SeekFrom::Start(0)).map_err(PackFault::Temporary)?;
                Ok(put_document(&path, &mut file)?)
            }
        }
    }
}

fn is_picture(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|ending| ending == "jpg")
}

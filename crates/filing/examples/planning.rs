//! Measures how long a filing of many frames takes to be worked out: `planning FRAMES SCRATCH`.
//!
//! Into an archive that is not there yet, then into one whose journal has a line for each of as many earlier copies. The
//! frames are invented and their files are not there, so nothing is read but the archive. Prints seconds and the machine's
//! load.

use std::collections::BTreeMap;
use std::error::Error;
use std::path::Path;
use std::time::Instant;

use filing::plan_filing;
use record::{FileRole, Frame, FrameFile, FrameId, FrameKind, Plan, Session, Silent};

fn session(frames: u32) -> Result<Session, Box<dyn Error>> {
    let view = "(key: \"face\", name: \"Face\", letter: 'f', required: true, subject_part: \"head\", \
        subject_orientation: \"frontal\", hint: \"\")";
    let mut session =
        Session::new("Invented", Plan::from_text(&format!("(key: \"p\", name: \"P\", views: [{view}])"))?);
    let mut open = Vec::new();
    let mut sets = Vec::new();
    for id in 0..frames {
        let path = format!("DCIM/{:03}INVNT/INV_{:04}.JPG", 100 + id / 9999, id % 9999 + 1);
        let file = FrameFile { path, bytes: 8_000_000, role: FileRole::Picture };
        session.frames.push(Frame::new(FrameId(id), vec![file]));
        let is_blank = id % 8 == 7;
        let kind = if is_blank { FrameKind::Blank } else { FrameKind::Specimen };
        session.decisions.kinds.insert(FrameId(id), kind);
        if is_blank {
            sets.push((std::mem::take(&mut open), Some(FrameId(id))));
        } else {
            open.push(FrameId(id));
        }
    }
    session.arrange(sets);
    Ok(session)
}

fn timed(words: &str, session: &Session, archive: &Path) -> Result<(), Box<dyn Error>> {
    let begun = Instant::now();
    let plan = plan_filing(session, Path::new("no card"), archive, &BTreeMap::new(), &[], &Silent)?;
    let secs = begun.elapsed().as_secs_f64();
    print(&format!("{words}: {} files planned in {secs:.2} s", plan.steps.len()));
    Ok(())
}

#[expect(clippy::print_stdout, reason = "a measure is printed")]
fn print(line: &str) {
    println!("{line}");
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let frames = arguments.next().ok_or("say how many frames")?.parse()?;
    let scratch = arguments.next().ok_or("say where there is room")?;
    let archive = Path::new(&scratch).join("planned-archive");
    let session = session(frames)?;
    timed("new archive", &session, &archive)?;
    // A card of as many small files, filed for its journal.
    let (card, lines) = (Path::new(&scratch).join("planned-card"), frames / 10);
    let mut small = session.clone();
    "Earlier".clone_into(&mut small.name);
    small.frames.truncate(usize::try_from(lines)?);
    small.sets.retain(|set| set.frames.iter().all(|f| f.0 < lines));
    for frame in &mut small.frames {
        let file = &mut frame.files[0];
        file.path = format!("EARLIER/{}", file.path);
        file.bytes = 4;
        let path = card.join(&file.path);
        std::fs::create_dir_all(path.parent().ok_or("no folder")?)?;
        std::fs::write(path, frame.id.0.to_le_bytes())?;
    }
    let plan = plan_filing(&small, &card, &archive, &BTreeMap::new(), &[], &Silent)?;
    filing::carry_out(&plan, &mut small, &card, &archive, &Silent)?;
    let journal = std::fs::read_to_string(archive.join("endleaf-journal.txt"))?;
    timed(&format!("archive with a journal of {} lines", journal.lines().count()), &session, &archive)?;
    std::fs::remove_dir_all(&archive)?;
    std::fs::remove_dir_all(&card)?;
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    print(&format!("load {}", load.trim()));
    Ok(())
}

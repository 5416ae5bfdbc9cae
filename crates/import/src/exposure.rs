//! One exposure becomes a frame: camera data, time, faults, and the measures of its preview.
//!
//! Opens each file once. The first file is read; the others of the exposure only where that one leaves something
//! open, so a raw beside a JPEG is not touched.

use std::hash::{BuildHasher, BuildHasherDefault, DefaultHasher};
use std::path::Path;

use record::{Frame, FrameFile, FrameId, Spread, Taken, TimeSource};

use crate::metadata::{self, Reading};
use crate::pages::Pages;
use crate::pairing::Exposure;
use crate::preview::{self, Origin};
use crate::source::{Meter, Source};
use crate::{times, walk};

/// A card that is being read.
pub(crate) struct Card<'a> {
    pub(crate) root: &'a Path,
    pub(crate) meter: Meter,
}

/// A frame as read, with what is needed beside it to know the day.
#[derive(Debug, Clone)]
pub(crate) struct Read {
    pub(crate) frame: Frame,
    pub(crate) file_time: Option<Taken>,
    /// Whether no file of it could be opened.
    pub(crate) unreadable: bool,
    /// The file that was measured and the size of the embedded picture that this rests on, when a better one may
    /// be had.
    measured_by: Option<(String, usize)>,
    /// What a better preview gave, once that was looked at.
    closer: Option<Spread>,
    /// Stands for what the embedded picture shows that was measured; `None` when it shows nothing or there is none.
    pub(crate) shows: Option<u64>,
}

impl Card<'_> {
    /// Opens a file, reads its camera data and does something with both.
    fn open<T>(&self, path: &str, then: impl FnOnce(Option<&mut Pages<'_>>, Reading) -> T) -> T {
        match self.meter.open(&self.root.join(path)) {
            Ok(file) => {
                let mut pages = Pages::new(&file);
                let reading = metadata::read(&mut pages, path);
                then(Some(&mut pages), reading)
            }
            Err(e) => then(None, Reading::unreadable(&e)),
        }
    }

    /// The camera data of a file.
    pub(crate) fn reading(&self, path: &str) -> Reading {
        self.open(path, |_, reading| reading)
    }

    /// Reads an exposure.
    pub(crate) fn read(&self, exposure: &Exposure) -> Read {
        let first = &exposure.files[0];
        let file_time = times::file_time(first.modified);
        let (mut read, mut why_not) = self.open(&first.path, |pages, reading| {
            let mut read = Read {
                frame: frame_of(exposure, &reading),
                file_time,
                unreadable: reading.unreadable,
                measured_by: None,
                closer: None,
                shows: None,
            };
            let why_not = pages.and_then(|pages| read.measure(pages, &reading, &first.path).err());
            // Where a fault says already that this is no picture, there is no more to say.
            (read, why_not.filter(|_| reading.faults.is_empty() || reading.cut))
        });
        for other in exposure.files.iter().skip(1).filter(|f| f.kind.leads()) {
            // The other files of the exposure may know the time, and show the picture, as well.
            if read.frame.taken.is_some() && read.frame.spread.is_some() {
                break;
            }
            self.open(&other.path, |pages, reading| {
                if read.frame.taken.is_none() && reading.time.is_some() {
                    take_time(&mut read.frame, reading.time);
                    read.frame.body = reading.body.clone();
                    read.frame.shot = reading.shot.clone();
                }
                if let Some(pages) = pages.filter(|_| read.frame.spread.is_none())
                    && read.measure(pages, &reading, &other.path).is_ok()
                {
                    why_not = None;
                }
            });
        }
        read.frame.faults.extend(why_not);
        if read.frame.taken.is_none() && file_time.is_some() {
            (read.frame.taken, read.frame.time_source) = (file_time, TimeSource::File);
        }
        read
    }

    /// Measures a frame by a better preview than an embedded thumbnail, where there is one. Looks once.
    pub(crate) fn look_closer(&self, read: &mut Read) -> Option<Spread> {
        if let Some((path, long_px)) = read.measured_by.take() {
            let better = self.open(&path, |pages, reading| preview::closer(pages?, &reading, long_px));
            read.closer = better.as_ref().map(spread_of);
        }
        read.closer
    }
}

impl Read {
    /// Measures a file.
    fn measure(&mut self, pages: &mut Pages<'_>, reading: &Reading, path: &str) -> Result<(), String> {
        let (luma, origin) = preview::for_measuring(pages, reading)?;
        self.frame.spread = Some(spread_of(&luma));
        if let Origin::Embedded(long_px) = origin {
            self.measured_by = Some((path.to_owned(), long_px));
            let even = luma.pixels.windows(2).all(|p| p[0] == p[1]);
            self.shows =
                (!even).then(|| BuildHasherDefault::<DefaultHasher>::default().hash_one(&luma.pixels));
        }
        Ok(())
    }
}

/// Measures the preview by which a file called `name` would be judged.
///
/// # Errors
/// Says in words why there is none.
pub fn measure_source(source: &dyn Source, name: &str) -> Result<Spread, String> {
    let mut pages = Pages::new(source);
    let reading = metadata::read(&mut pages, name);
    preview::for_measuring(&mut pages, &reading).map(|(luma, _)| spread_of(&luma))
}

pub(crate) fn spread_of(luma: &imaging::Luma) -> Spread {
    let imaging::Measured { level, frame, tile, grain, mean } = imaging::spread(luma);
    Spread { level, frame, tile, grain, mean }
}

fn frame_of(exposure: &Exposure, reading: &Reading) -> Frame {
    let file = |f: &walk::Found| FrameFile { path: f.path.clone(), bytes: f.bytes, role: f.kind.role() };
    let mut frame = Frame {
        body: reading.body.clone(),
        orientation: reading.orientation,
        size_px: reading.size_px,
        shot: reading.shot.clone(),
        faults: exposure.remark.iter().chain(&reading.faults).cloned().collect(),
        ..Frame::new(FrameId(0), exposure.files.iter().map(file).collect())
    };
    take_time(&mut frame, reading.time);
    frame
}

fn take_time(frame: &mut Frame, time: Option<(Taken, TimeSource)>) {
    if let Some((taken, source)) = time {
        (frame.taken, frame.time_source) = (Some(taken), source);
    }
}

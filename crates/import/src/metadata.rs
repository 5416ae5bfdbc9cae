//! What the camera wrote into a file: time, body, orientation, size, exposure, place, and where previews are embedded.
//!
//! Reads the structures of the file only, a few kilobytes of it. Anything missing or damaged is a fault in words and
//! the rest goes on. Decodes no picture.

use record::{Body, Shot, Taken, TimeSource};

use crate::fault::io_words;
use crate::jpeg::{self, Outline};
use crate::kind::{Content, Kind, SNIFFED_BYTES};
use crate::pages::Pages;
use crate::source::Source;
use crate::tiff::{self, Walk};
use crate::{chunks, cr3, fields, heif, raw, times};

/// A part of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// Where it starts, in bytes from the start of the file.
    pub offset: u64,
    /// Its length in bytes.
    pub bytes: u64,
}

impl Span {
    /// Where it ends, as far as that can be counted.
    pub(crate) fn end(self) -> u64 {
        self.offset.saturating_add(self.bytes)
    }

    /// The same without its first bytes; `None` when it is shorter.
    pub(crate) fn past(self, bytes: u64) -> Option<Self> {
        Some(Self { offset: self.offset.checked_add(bytes)?, bytes: self.bytes.checked_sub(bytes)? })
    }
}

/// What was read of one file.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own about a file")]
pub struct Reading {
    /// What its first bytes say it is.
    pub content: Content,
    /// Whether it is a maker's raw, of which only embedded previews can be decoded.
    pub raw: bool,
    /// When it was taken and what that rests on; `None` without a date that can be.
    pub time: Option<(Taken, TimeSource)>,
    /// The camera.
    pub body: Body,
    /// Exif orientation, 1..=8; 1 when not recorded.
    pub orientation: u8,
    /// Width and height; of HEIC upright, else as stored.
    pub size_px: Option<(u32, u32)>,
    /// How and where it was taken.
    pub shot: Shot,
    /// Embedded JPEGs that may show the same picture, in the order of their offsets; none when the picture was resized
    /// after the camera wrote them. Whether their shapes agree is for those to see who decode them.
    pub previews: Vec<Span>,
    /// Whether the large picture is cut off.
    pub cut: bool,
    /// Whether camera data is damaged.
    pub damaged: bool,
    /// Whether the file could not be read at all.
    pub unreadable: bool,
    /// What is wrong, in words; what else stands here was read all the same.
    pub faults: Vec<String>,
}

impl Reading {
    /// Of a file of which nothing is known yet.
    fn empty() -> Self {
        Self {
            content: Content::Unknown,
            raw: false,
            time: None,
            body: Body::default(),
            orientation: 1,
            size_px: None,
            shot: Shot::default(),
            previews: Vec::new(),
            cut: false,
            damaged: false,
            unreadable: false,
            faults: Vec::new(),
        }
    }

    /// Of a file that could not be opened.
    pub(crate) fn unreadable(error: &std::io::Error) -> Self {
        let faults = vec![format!("the file could not be read: {}", io_words(error))];
        Self { unreadable: true, faults, ..Self::empty() }
    }
}

/// Reads what the camera wrote into a file called `name`. Never fails: what could not be read stands among the faults.
pub fn read_source(source: &dyn Source, name: &str) -> Reading {
    read(&mut Pages::new(source), name)
}

pub(crate) fn read(pages: &mut Pages<'_>, name: &str) -> Reading {
    let mut reading = Reading::empty();
    reading.content = Content::of(pages.get(0, SNIFFED_BYTES));
    if let Some(e) = &pages.trouble {
        return Reading::unreadable(e);
    }
    reading.raw = matches!(reading.content, Content::Raf | Content::Boxed)
        || (Kind::by_name(name) == Kind::Raw && reading.content == Content::Tiff);
    reading.faults.extend(reading.content.mismatch(name));
    reading.fill(pages);
    if let Some(e) = &pages.trouble {
        reading.faults.push(format!("part of the file could not be read: {}", io_words(e)));
    }
    if pages.shrunk {
        reading.cut = true;
        reading.faults.push("the file became shorter while it was read".to_owned());
    }
    reading.say_what_was_read();
    reading
}

impl Reading {
    fn fill(&mut self, pages: &mut Pages<'_>) {
        match self.content {
            Content::Jpeg => self.fill_from_jpeg(pages),
            Content::Tiff => self.fill_from_tiff(pages),
            Content::Raf => self.fill_from_raf(pages),
            Content::Boxed => {
                let found = cr3::find(pages);
                self.size_px = found.camera.as_ref().and_then(|c| raw::largest_picture(pages, c));
                self.say_cut(found.cut);
                self.take_walk(pages, found.camera);
                self.previews.extend(found.previews);
            }
            Content::Heif => {
                let items = heif::items(pages);
                self.size_px = items.size_px;
                self.say_cut(items.cut);
                self.take_stream(pages, items.exif);
                self.previews.clear();
            }
            Content::Png => {
                let found = chunks::png(pages);
                self.take_chunks(pages, &found);
            }
            Content::WebP => {
                let found = chunks::webp(pages);
                self.take_chunks(pages, &found);
            }
            Content::Empty | Content::Unknown => {}
        }
    }

    /// Adds to the last fault of a damaged file what was read all the same.
    fn say_what_was_read(&mut self) {
        let Some(fault) = self.faults.last_mut().filter(|_| self.cut || self.damaged) else { return };
        let time = match self.time {
            Some((_, TimeSource::Original)) => "capture time",
            _ => "a time",
        };
        let known = [
            (self.time.is_some(), time),
            (self.body != Body::default(), "camera"),
            (self.size_px.is_some(), "size"),
            (!self.previews.is_empty(), "embedded preview"),
        ];
        let read: Vec<&str> = known.iter().filter(|(is_known, _)| *is_known).map(|(_, what)| *what).collect();
        *fault = if read.is_empty() {
            format!("{fault}; nothing else could be read of it")
        } else {
            format!("{fault}; still read: {}", read.join(", "))
        };
    }

    fn say_cut(&mut self, cut: bool) {
        self.cut = cut;
        if cut {
            self.faults.push("the file ends early: the large picture is cut off".to_owned());
        }
    }

    fn take_chunks(&mut self, pages: &mut Pages<'_>, found: &chunks::Found) {
        self.size_px = found.size_px;
        self.say_cut(found.cut);
        self.take_stream(pages, found.exif);
    }

    fn fill_from_jpeg(&mut self, pages: &mut Pages<'_>) {
        let outline = jpeg::outline(pages, 0);
        self.size_px = outline.size_px;
        let pictures = outline.pictures(pages);
        let own = pictures.iter().find(|(_, span)| span.offset == 0).map(|(_, span)| span.bytes);
        self.say_cut(!outline.scan_at.is_some_and(|scan_at| jpeg::ends_properly(pages, scan_at, own)));
        self.take_stream(pages, outline.exif);
        // 01: large thumbnails. The resized picture of an editor keeps no index, so they need no other check.
        self.previews.extend(pictures.iter().filter(|(kind, _)| *kind == 1).map(|(_, span)| *span));
    }

    fn fill_from_tiff(&mut self, pages: &mut Pages<'_>) {
        let Some(walk) = tiff::walk(pages, 0, u64::MAX) else {
            self.cut = true;
            self.faults.push("the file ends early, within its first directory".to_owned());
            return;
        };
        if self.raw {
            self.size_px = raw::largest_picture(pages, &walk);
        } else if let Some(first) = walk.chain.first() {
            let sides = first.number(pages, 0x0100).zip(first.number(pages, 0x0101));
            self.size_px = sides.filter(|(w, h)| *w > 0 && *h > 0);
        }
        let first_is_empty = walk.chain.is_empty();
        self.take_walk(pages, Some(walk));
        if first_is_empty {
            self.say_cut(true);
        }
        if self.raw {
            self.take_from_preview(pages);
        }
    }

    fn fill_from_raf(&mut self, pages: &mut Pages<'_>) {
        let found = raw::raf(pages);
        self.size_px = found.size_px;
        let Some(jpeg) = found.jpeg else {
            self.say_cut(true);
            return;
        };
        self.previews.push(jpeg);
        self.take_from_preview(pages);
    }

    /// Some raws keep their camera data in the largest preview, which is a whole JPEG.
    fn take_from_preview(&mut self, pages: &mut Pages<'_>) {
        let Some(largest) =
            self.previews.iter().max_by_key(|s| s.bytes).copied().filter(|_| self.time.is_none())
        else {
            return;
        };
        let Outline { exif: Some(exif), size_px, .. } = jpeg::outline(pages, largest.offset) else { return };
        let mut inner = Self { content: Content::Jpeg, raw: true, ..Self::empty() };
        inner.take_stream(pages, Some(exif));
        self.time = inner.time;
        if self.body == Body::default() {
            self.body = inner.body;
        }
        if self.orientation == 1 {
            self.orientation = inner.orientation;
        }
        if self.shot == Shot::default() {
            self.shot = inner.shot;
        }
        self.size_px = self.size_px.or(inner.size_px).or(size_px);
        self.previews.extend(inner.previews);
        self.damaged |= inner.damaged;
        self.faults.extend(inner.faults);
    }

    fn take_stream(&mut self, pages: &mut Pages<'_>, exif: Option<Span>) {
        let Some(span) = exif else { return };
        let walk = tiff::walk(pages, span.offset, span.end());
        if walk.is_none() {
            self.damaged = true;
            self.faults.push("the camera data (Exif) is damaged and could not be read".to_owned());
        }
        self.take_walk(pages, walk);
    }

    fn take_walk(&mut self, pages: &mut Pages<'_>, walk: Option<Walk>) {
        let Some(walk) = walk else { return };
        if walk.damaged {
            self.damaged = true;
            self.faults.push("part of the camera data (Exif) is damaged and was passed over".to_owned());
        }
        self.time = times::camera_time(pages, &walk, &mut self.faults);
        self.body = fields::body(pages, &walk);
        self.orientation = fields::orientation(pages, &walk, &mut self.faults).unwrap_or(1);
        self.shot = fields::shot(pages, &walk, &mut self.faults);
        // Exif's pixel dimensions.
        let stated = walk.number(pages, 0xA002).zip(walk.number(pages, 0xA003));
        let stated = stated.filter(|(w, h)| *w > 0 && *h > 0);
        let resized = self.size_px.zip(stated).is_some_and(|((w, h), s)| s != (w, h) && s != (h, w));
        if self.raw {
            // A raw's own sizes include borders that no one is shown.
            self.size_px = stated.or(self.size_px);
        } else {
            self.size_px = self.size_px.or(stated);
        }
        if self.raw || !resized {
            self.previews = raw::previews(pages, &walk);
        }
    }
}

#[cfg(test)]
#[path = "metadata_tests.rs"]
mod tests;

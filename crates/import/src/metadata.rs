//! What the camera wrote into a file: time, body, orientation, size, and where a thumbnail is embedded.
//!
//! Reads the head of the file only. Anything missing or damaged is a fault in words and the rest goes on.
//! Decodes no picture.

use std::fs::File;
use std::io::{self, BufReader, Cursor, Read, Seek, SeekFrom};
use std::path::Path;

use exif::{Context, Exif, In, Reader, Tag};
use record::{Body, Taken, TimeSource};

use crate::fault::io_words;
use crate::jpeg::{self, Outline};
use crate::kind::{Content, Kind, SNIFFED_BYTES};
use crate::times;

/// A picture embedded in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Embedded {
    /// Its bytes, read along with the camera data.
    Held(Vec<u8>),
    /// Where it lies in the file.
    At { offset: u64, bytes: u64 },
}

/// What was read of one file.
#[derive(Debug, Clone)]
pub(crate) struct Reading {
    pub(crate) content: Content,
    /// Whether it is a maker's raw, of which only an embedded preview can be decoded.
    pub(crate) raw: bool,
    pub(crate) time: Option<(Taken, TimeSource)>,
    pub(crate) body: Body,
    /// 1..=8; 1 when not recorded.
    pub(crate) orientation: u8,
    pub(crate) size_px: Option<(u32, u32)>,
    /// A thumbnail or preview; none when the picture was resized after the camera wrote both. Whether their
    /// shapes agree is for those to see who decode it.
    pub(crate) embedded: Option<Embedded>,
    /// Whether the large picture is cut off.
    pub(crate) cut: bool,
    /// Whether the file could not be read at all.
    pub(crate) unreadable: bool,
    pub(crate) faults: Vec<String>,
}

/// Bytes read of the head of files that are not JPEG: makers put directories and Exif data there, well
/// before the picture data.
const HEAD_BYTES: u64 = 256 * 1024;

/// Largest TIFF that is read whole because its directories are at its end.
const MOST_TIFF_BYTES: u64 = 512 * 1024 * 1024;

/// `CameraSerialNumber` of DNG (Adobe, DNG 1.4), for bodies without Exif's `BodySerialNumber`.
const DNG_SERIAL: Tag = Tag(Context::Tiff, 0xC62F);

/// Reads what the camera wrote into a file. Never fails: what could not be read stands among the faults.
pub(crate) fn read(path: &Path) -> Reading {
    let mut reading = Reading {
        content: Content::Unknown,
        raw: false,
        time: None,
        body: Body::default(),
        orientation: 1,
        size_px: None,
        embedded: None,
        cut: false,
        unreadable: false,
        faults: Vec::new(),
    };
    if let Err(e) = reading.fill(path) {
        reading.unreadable = true;
        reading.faults.push(format!("the file could not be read: {}", io_words(&e)));
    }
    reading
}

impl Reading {
    fn fill(&mut self, path: &Path) -> io::Result<()> {
        let file = File::open(path)?;
        let bytes = file.metadata()?.len();
        // One read brings all that most files need: a JPEG segment holds at most 64 KiB.
        let mut reader = BufReader::with_capacity(64 * 1024, file);
        let mut head = Vec::new();
        reader.by_ref().take(SNIFFED_BYTES as u64).read_to_end(&mut head)?;
        self.content = Content::of(&head);
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let named_raw = Kind::by_name(&name) == Kind::Raw;
        self.raw = matches!(self.content, Content::Raf | Content::Boxed)
            || (named_raw && self.content == Content::Tiff);
        self.faults.extend(self.content.mismatch(&name));
        match self.content {
            Content::Jpeg => self.fill_from_jpeg(&mut reader, bytes)?,
            Content::Tiff => self.fill_from_tiff(&mut reader, bytes)?,
            Content::Raf => self.fill_from_raf(&mut reader)?,
            Content::Png => {
                // Width and height open the first chunk (PNG 1.2, 11.2.2).
                self.size_px = be32(&head, 16).zip(be32(&head, 20)).filter(|(w, h)| *w > 0 && *h > 0);
                let head = first_bytes(&mut reader, HEAD_BYTES)?;
                self.take_exif(
                    Reader::new().continue_on_error(true).read_from_container(&mut Cursor::new(head)),
                );
            }
            Content::Heif => {
                reader.rewind()?;
                self.take_exif(Reader::new().continue_on_error(true).read_from_container(&mut reader));
                self.faults.push("pictures of this kind (HEIC) are not shown or judged yet".to_owned());
            }
            Content::Boxed => {
                self.faults.push("time and preview of this kind of raw file are not read yet".to_owned());
            }
            Content::Empty | Content::Unknown => {}
        }
        Ok(())
    }

    fn fill_from_jpeg(&mut self, reader: &mut BufReader<File>, bytes: u64) -> io::Result<()> {
        let outline = jpeg::outline(reader, 0)?;
        let scan_at = outline.scan_at;
        self.take_outline(outline);
        self.cut = match scan_at {
            Some(scan_at) => !jpeg::ends_properly(reader, scan_at, bytes)?,
            None => true,
        };
        if self.cut {
            self.faults.push("the file ends early: the large picture is cut off".to_owned());
        }
        Ok(())
    }

    /// A RAF holds a whole JPEG whose offset and length stand, big-endian, at bytes 84 and 88.
    fn fill_from_raf(&mut self, reader: &mut BufReader<File>) -> io::Result<()> {
        let head = first_bytes(reader, 92)?;
        let (Some(offset), Some(bytes)) = (be32(&head, 84), be32(&head, 88)) else {
            self.faults.push("the file ends early: nothing of it can be read".to_owned());
            return Ok(());
        };
        let outline = jpeg::outline(reader, u64::from(offset))?;
        self.take_outline(Outline { size_px: None, ..outline });
        self.embedded = Some(Embedded::At { offset: offset.into(), bytes: bytes.into() });
        Ok(())
    }

    fn fill_from_tiff(&mut self, reader: &mut BufReader<File>, bytes: u64) -> io::Result<()> {
        let mut head = first_bytes(reader, HEAD_BYTES)?;
        let first_ifd = if head.starts_with(b"II") { le32(&head, 4) } else { be32(&head, 4) };
        if u64::from(first_ifd.unwrap_or(0)) >= head.len() as u64 && bytes <= MOST_TIFF_BYTES {
            head = first_bytes(reader, bytes)?;
        }
        // Raws of some makers differ from TIFF in this mark alone.
        if head.starts_with(b"II") {
            head[2..4].copy_from_slice(b"*\0");
        } else {
            head[2..4].copy_from_slice(b"\0*");
        }
        self.take_exif(Reader::new().continue_on_error(true).read_raw(head));
        Ok(())
    }

    fn take_outline(&mut self, outline: Outline) {
        self.size_px = outline.size_px;
        if let Some(stream) = outline.exif {
            self.take_exif(Reader::new().continue_on_error(true).read_raw(stream));
        }
    }

    fn take_exif(&mut self, read: Result<Exif, exif::Error>) {
        let mut damaged = false;
        let read = read.or_else(|e| {
            e.distill_partial_result(|errors| {
                // A pointer to a directory after the last one is common and does no harm.
                damaged = errors.iter().any(|e| !e.to_string().contains("Unexpected next IFD"));
            })
        });
        match read {
            Ok(exif) => {
                if damaged {
                    self.faults.push("some of the camera data is damaged and was passed over".to_owned());
                }
                self.take_fields(&exif);
            }
            Err(exif::Error::NotFound(_)) => {}
            // Only the head of a PNG was read: nothing was found in it.
            Err(exif::Error::InvalidFormat(_) | exif::Error::Io(_)) if self.content == Content::Png => {}
            Err(_) => self.faults.push("the camera data is damaged and could not be read".to_owned()),
        }
    }

    fn take_fields(&mut self, exif: &Exif) {
        self.time = times::camera_time(exif, &mut self.faults);
        let text = |tag| times::text_of(exif, tag).unwrap_or_default();
        let serial = text(Tag::BodySerialNumber);
        self.body = Body {
            make: text(Tag::Make),
            model: text(Tag::Model),
            serial: if serial.is_empty() { text(DNG_SERIAL) } else { serial },
        };
        self.orientation = match number(exif, Tag::Orientation, In::PRIMARY) {
            None | Some(0) => 1,
            Some(turned @ 1..=8) => turned as u8,
            Some(other) => {
                self.faults.push(format!("the camera data says orientation {other}, which means nothing"));
                1
            }
        };
        let sizes = |w, h| {
            number(exif, w, In::PRIMARY).zip(number(exif, h, In::PRIMARY)).filter(|(w, h)| *w > 0 && *h > 0)
        };
        let stated = sizes(Tag::PixelXDimension, Tag::PixelYDimension);
        let resized = self.size_px.zip(stated).is_some_and(|((w, h), s)| s != (w, h) && s != (h, w));
        if self.content == Content::Tiff {
            // A raw's first directory often describes its thumbnail; then the Exif size is the picture's.
            self.size_px = stated.or_else(|| sizes(Tag::ImageWidth, Tag::ImageLength));
        }
        if !resized {
            self.embedded = self.find_embedded(exif);
        }
    }

    /// Looks in the thumbnail's directory, then in the first, where raws keep a preview.
    fn find_embedded(&self, exif: &Exif) -> Option<Embedded> {
        [In::THUMBNAIL, In::PRIMARY].into_iter().find_map(|ifd| {
            let offset = number(exif, Tag::JPEGInterchangeFormat, ifd)?;
            let bytes = number(exif, Tag::JPEGInterchangeFormatLength, ifd).filter(|n| *n > 0)?;
            if self.content == Content::Tiff {
                // Here offsets count from the start of the file, and the preview may lie far behind the head.
                return Some(Embedded::At { offset: offset.into(), bytes: bytes.into() });
            }
            let start = offset as usize;
            exif.buf().get(start..start.checked_add(bytes as usize)?).map(|b| Embedded::Held(b.to_vec()))
        })
    }

    /// The bytes of the embedded picture; `None` when there is none or it cannot be read.
    pub(crate) fn embedded_bytes(&self, path: &Path) -> Option<Vec<u8>> {
        match self.embedded.as_ref()? {
            Embedded::Held(bytes) => Some(bytes.clone()),
            Embedded::At { offset, bytes } => {
                let mut file = File::open(path).ok()?;
                file.seek(SeekFrom::Start(*offset)).ok()?;
                let mut held = Vec::new();
                file.take(*bytes).read_to_end(&mut held).ok()?;
                Some(held)
            }
        }
    }
}

/// First value of a field of whole numbers.
fn number(exif: &Exif, tag: Tag, ifd: In) -> Option<u32> {
    exif.get_field(tag, ifd)?.value.get_uint(0)
}

fn first_bytes(reader: &mut BufReader<File>, most: u64) -> io::Result<Vec<u8>> {
    reader.rewind()?;
    let mut head = Vec::new();
    reader.take(most).read_to_end(&mut head)?;
    Ok(head)
}

fn be32(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|b| u32::from_be_bytes(*b))
}

fn le32(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().map(|b| u32::from_le_bytes(*b))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::Sample;

    fn read_bytes(name: &str, bytes: &[u8]) -> Reading {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        read(&path)
    }

    #[test]
    fn all_that_a_camera_writes_is_read() {
        let sample = Sample { orientation: 6, thumbnail: true, width: 96, height: 64, ..Sample::default() };
        let reading = read_bytes("a.jpg", &sample.jpeg());
        assert_eq!(reading.faults, [""; 0]);
        assert_eq!(reading.size_px, Some((96, 64)));
        assert_eq!(reading.orientation, 6);
        assert_eq!((reading.body.make.as_str(), reading.body.serial.as_str()), ("Examplecam", "X123"));
        assert!(matches!(&reading.embedded, Some(Embedded::Held(b)) if b.starts_with(&[0xFF, 0xD8])));
        assert!(!reading.cut);
    }

    #[test]
    fn a_cut_file_keeps_its_time_and_thumbnail() {
        let sample = Sample { thumbnail: true, width: 96, height: 64, ..Sample::default() };
        let whole = sample.jpeg();
        let reading = read_bytes("a.jpg", &whole[..whole.len() - whole.len() / 8]);
        assert!(reading.cut && reading.time.is_some() && reading.embedded.is_some());
        assert_eq!(reading.faults, ["the file ends early: the large picture is cut off"]);
    }

    #[test]
    fn a_picture_resized_after_the_camera_does_not_trust_its_thumbnail() {
        let sample = Sample { thumbnail: true, stated_size: Some((6000, 4000)), ..Sample::default() };
        assert_eq!(read_bytes("a.jpg", &sample.jpeg()).embedded, None);
    }

    #[test]
    fn a_raw_of_the_tiff_family_gives_time_and_preview() {
        let sample = Sample { thumbnail: true, ..Sample::default() };
        let mut raw = sample.tiff_stream();
        raw.extend([0; 5000]);
        for mark in [b"*\0", b"RO", b"U\0"] {
            raw[2..4].copy_from_slice(mark);
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("a.orf");
            std::fs::write(&path, &raw).unwrap();
            let reading = read(&path);
            assert_eq!(reading.time.unwrap().0.to_string(), "2026-06-14T10:23:45.12+01:00");
            assert!(reading.embedded_bytes(&path).unwrap().starts_with(&[0xFF, 0xD8, 0xFF]));
            assert_eq!(reading.faults, [""; 0]);
        }
    }

    #[test]
    fn a_raw_that_holds_a_jpeg_gives_what_that_says() {
        let jpeg = Sample::default().jpeg();
        let mut raw = b"FUJIFILMCCD-RAW".to_vec();
        raw.resize(84, 0);
        raw.extend(100u32.to_be_bytes());
        raw.extend((jpeg.len() as u32).to_be_bytes());
        raw.resize(100, 0);
        raw.extend(&jpeg);
        let reading = read_bytes("a.raf", &raw);
        assert_eq!(reading.time.unwrap().1, TimeSource::Original);
        assert_eq!(reading.embedded, Some(Embedded::At { offset: 100, bytes: jpeg.len() as u64 }));
        assert!(read_bytes("a.raf", &raw[..50]).faults[0].contains("ends early"));
    }

    #[test]
    fn damaged_camera_data_is_a_fault() {
        let mut bytes = Sample::default().jpeg();
        let exif_at = bytes.windows(6).position(|w| w == b"Exif\0\0").unwrap();
        bytes[exif_at + 6..exif_at + 14].fill(0x55);
        let reading = read_bytes("a.jpg", &bytes);
        assert_eq!(reading.faults, ["the camera data is damaged and could not be read"]);
        assert_eq!(reading.time, None);
    }

    #[test]
    fn what_is_no_picture_is_said() {
        let faults = |name, bytes: &[u8]| read_bytes(name, bytes).faults;
        assert_eq!(faults("a.jpg", b""), ["the file is empty"]);
        assert_eq!(faults("a.jpg", b"day one\n"), ["this is not a picture although its name says so"]);
        assert!(faults("a.heic", b"\0\0\0\x18ftypheic\0\0\0\0")[0].contains("camera data"));
        assert!(faults("a.cr3", b"\0\0\0\x18ftypcrx \0\0\0\0")[0].contains("not read yet"));
        let gone = read(Path::new("nowhere/a.jpg"));
        assert!(gone.unreadable);
        assert_eq!(gone.faults, ["the file could not be read: it is not there any more"]);
    }
}

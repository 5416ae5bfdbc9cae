//! Small pictures with camera data, written by hand for tests.

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, GrayImage, Luma};
use record::{FileRole, Frame, FrameFile, FrameId, TimeSource};

/// Degrees, minutes and seconds, each a fraction.
type Latitude = [(u32, u32); 3];

/// A picture to be made. The default has every field a camera writes and no thumbnail.
#[derive(Clone)]
pub(crate) struct Sample {
    pub(crate) width: u32,
    pub(crate) height: u32,
    /// A dark disc on pale ground instead of the ground alone.
    pub(crate) subject: bool,
    pub(crate) original: Option<&'static str>,
    pub(crate) digitized: Option<&'static str>,
    pub(crate) changed: Option<&'static str>,
    pub(crate) subsec: Option<&'static str>,
    pub(crate) offset: Option<&'static str>,
    pub(crate) orientation: u16,
    /// Exif's pixel dimensions; the picture's own when `None`.
    pub(crate) stated_size: Option<(u32, u32)>,
    pub(crate) thumbnail: bool,
    /// The latitude, and both hemispheres. The longitude is 0° 30′ 0″, the
    /// altitude 3.5 m below the sea.
    pub(crate) gps: Option<(Latitude, [&'static str; 2])>,
    /// Distance focused at, metres as a fraction.
    pub(crate) focus: (u32, u32),
}

impl Default for Sample {
    fn default() -> Self {
        Self {
            width: 240,
            height: 160,
            subject: false,
            original: Some("2026:06:14 10:23:45"),
            digitized: None,
            changed: None,
            subsec: Some("12"),
            offset: Some("+01:00"),
            orientation: 1,
            stated_size: None,
            thumbnail: false,
            gps: None,
            focus: (252, 1000),
        }
    }
}

/// An entry of a directory: tag and value.
#[derive(Clone)]
pub(crate) enum Entry {
    Text(u16, String),
    Byte(u16, u8),
    Short(u16, u16),
    Long(u16, u32),
    Fractions(u16, Vec<(u32, u32)>),
    /// Type 7, undefined.
    Bytes(u16, Vec<u8>),
}

impl Sample {
    /// One that shows an animal, taken at this second of 10:23.
    pub(crate) fn at(second: u8, subject: bool) -> Self {
        let text = format!("2026:06:14 10:23:{second:02}");
        Self { original: Some(text.leak()), subsec: None, subject, thumbnail: true, ..Self::default() }
    }

    fn pixels(&self, width: u32, height: u32) -> GrayImage {
        GrayImage::from_fn(width, height, |x, y| {
            let from_middle = (f64::from(x) / f64::from(width) - 0.5)
                .hypot((f64::from(y) / f64::from(height) - 0.5) * f64::from(height) / f64::from(width));
            Luma([if self.subject && from_middle < 0.15 { 60 } else { 200 }])
        })
    }

    fn plain_jpeg(&self, width: u32, height: u32) -> Vec<u8> {
        let mut out = Vec::new();
        let picture = self.pixels(width, height);
        JpegEncoder::new_with_quality(&mut out, 90)
            .encode(&picture, width, height, ExtendedColorType::L8)
            .unwrap();
        out
    }

    /// The picture as PNG, without camera data.
    pub(crate) fn png(&self) -> Vec<u8> {
        let mut out = std::io::Cursor::new(Vec::new());
        self.pixels(self.width, self.height).write_to(&mut out, image::ImageFormat::Png).unwrap();
        out.into_inner()
    }

    /// The picture as JPEG with its camera data.
    pub(crate) fn jpeg(&self) -> Vec<u8> {
        self.jpeg_with_thumbnail(&self.thumbnail_jpeg())
    }

    /// The same with this picture as its thumbnail, if it has one at all.
    pub(crate) fn jpeg_with_thumbnail(&self, thumbnail: &[u8]) -> Vec<u8> {
        let stream = self.stream_with(thumbnail);
        let mut out = vec![0xFF, 0xD8, 0xFF, 0xE1];
        out.extend(u16::try_from(stream.len() + 8).unwrap().to_be_bytes());
        out.extend(b"Exif\0\0");
        out.extend(stream);
        out.extend(&self.plain_jpeg(self.width, self.height)[2..]);
        out
    }

    /// The embedded thumbnail.
    pub(crate) fn thumbnail_jpeg(&self) -> Vec<u8> {
        self.plain_jpeg(160, 160 * self.height / self.width)
    }

    /// The picture as PNG with its camera data in an `eXIf` chunk.
    pub(crate) fn png_with_exif(&self) -> Vec<u8> {
        let mut out = self.png();
        let stream = self.tiff_stream();
        let mut chunk = (stream.len() as u32).to_be_bytes().to_vec();
        chunk.extend(b"eXIf");
        chunk.extend(stream);
        // Its checksum, which readers of the data alone do not look at.
        chunk.extend([0; 4]);
        // The first chunk ends at 33.
        out.splice(33..33, chunk);
        out
    }

    /// The picture as JPEG with an index that names another JPEG behind it as its large thumbnail (CIPA DC-007).
    pub(crate) fn with_picture_behind(&self, other: &[u8]) -> Vec<u8> {
        let plain = self.jpeg();
        let segment_bytes = 2 + 2 + 4 + 8 + 2 + 12 + 4 + 32;
        let own = (plain.len() + segment_bytes) as u32;
        let exif_end = 4 + usize::from(u16::from_be_bytes([plain[4], plain[5]]));
        let index_at = (exif_end + 8) as u32;
        let mut index = b"MM\0*\0\0\0\x08\0\x01\xB0\x02\0\x07\0\0\0\x20\0\0\0\x1A\0\0\0\0".to_vec();
        for (attribute, size, offset) in
            [(0x2003_0000u32, own, 0), (0x0001_0001, other.len() as u32, own - index_at)]
        {
            for number in [attribute, size, offset, 0] {
                index.extend(number.to_be_bytes());
            }
        }
        let mut out = plain[..exif_end].to_vec();
        out.extend([0xFF, 0xE2]);
        out.extend((segment_bytes as u16 - 2).to_be_bytes());
        out.extend(b"MPF\0");
        out.extend(index);
        out.extend(&plain[exif_end..]);
        out.extend(other);
        out
    }

    /// Entries of the first directory, without its pointers.
    pub(crate) fn main_entries(&self) -> Vec<Entry> {
        let mut main = vec![
            Entry::Text(0x010F, "Examplecam".into()),
            Entry::Text(0x0110, "E-1".into()),
            Entry::Short(0x0112, self.orientation),
        ];
        main.extend(self.changed.map(|t| Entry::Text(0x0132, t.to_owned())));
        main
    }

    /// Entries of the Exif directory.
    pub(crate) fn exif_entries(&self) -> Vec<Entry> {
        let (width, height) = self.stated_size.unwrap_or((self.width, self.height));
        let mut exif = vec![
            Entry::Long(0xA002, width),
            Entry::Long(0xA003, height),
            Entry::Text(0xA431, "X123".into()),
            Entry::Fractions(0x829A, vec![(1, 125)]),
            Entry::Fractions(0x829D, vec![(56, 10)]),
            Entry::Short(0x8827, 400),
            Entry::Fractions(0x920A, vec![(60, 1)]),
            Entry::Fractions(0x9206, vec![self.focus]),
            Entry::Text(0xA434, "Examplelens 60".into()),
            Entry::Text(0xA435, "L77".into()),
        ];
        for (tag, text) in
            [(0x9003, self.original), (0x9004, self.digitized), (0x9291, self.subsec), (0x9011, self.offset)]
        {
            exif.extend(text.map(|t| Entry::Text(tag, t.to_owned())));
        }
        exif
    }

    /// Entries of the GPS directory.
    pub(crate) fn gps_entries(&self) -> Vec<Entry> {
        let Some((latitude, hemispheres)) = self.gps else { return vec![] };
        vec![
            Entry::Text(1, hemispheres[0].into()),
            Entry::Fractions(2, latitude.to_vec()),
            Entry::Text(3, hemispheres[1].into()),
            Entry::Fractions(4, vec![(0, 1), (30, 1), (0, 1)]),
            Entry::Byte(5, 1),
            Entry::Fractions(6, vec![(35, 10)]),
        ]
    }

    /// The camera data as a little-endian TIFF stream: IFD0, Exif and GPS IFD and, with a thumbnail, IFD1.
    pub(crate) fn tiff_stream(&self) -> Vec<u8> {
        self.stream_with(&self.thumbnail_jpeg())
    }

    fn stream_with(&self, thumbnail: &[u8]) -> Vec<u8> {
        let mut stream = Stream::new();
        let mut main = self.main_entries();
        let mut exif = self.exif_entries();
        main.push(Entry::Long(0x8769, stream.put(&mut exif, 0)));
        if self.gps.is_some() {
            main.push(Entry::Long(0x8825, stream.put(&mut self.gps_entries(), 0)));
        }
        let mut next = 0;
        if self.thumbnail {
            let at = stream.bytes(thumbnail);
            next = stream.put(&mut [Entry::Long(0x0201, at), Entry::Long(0x0202, thumbnail.len() as u32)], 0);
        }
        stream.finish(&mut main, next)
    }
}

/// A little-endian TIFF stream that is being written, its first directory last.
pub(crate) struct Stream(Vec<u8>);

impl Stream {
    pub(crate) fn new() -> Self {
        Self(b"II*\0\0\0\0\0".to_vec())
    }

    /// Adds bytes and gives their offset.
    pub(crate) fn bytes(&mut self, bytes: &[u8]) -> u32 {
        let at = self.0.len() as u32;
        self.0.extend(bytes);
        at
    }

    /// Adds a directory and gives its offset.
    pub(crate) fn put(&mut self, entries: &mut [Entry], next: u32) -> u32 {
        let at = self.0.len();
        let directory = directory(entries, at, next);
        self.bytes(&directory)
    }

    /// Adds the first directory and gives the stream.
    pub(crate) fn finish(mut self, entries: &mut [Entry], next: u32) -> Vec<u8> {
        let at = self.put(entries, next);
        self.0[4..8].copy_from_slice(&at.to_le_bytes());
        self.0
    }
}

/// A TIFF directory that starts at `at`, with its longer values behind it.
pub(crate) fn directory(entries: &mut [Entry], at: usize, next: u32) -> Vec<u8> {
    let parts = |entry: &Entry| -> (u16, u16, usize, Vec<u8>) {
        match entry {
            Entry::Byte(tag, value) => (*tag, 1, 1, vec![*value]),
            Entry::Short(tag, value) => (*tag, 3, 1, value.to_le_bytes().to_vec()),
            Entry::Long(tag, value) => (*tag, 4, 1, value.to_le_bytes().to_vec()),
            Entry::Text(tag, text) => (*tag, 2, text.len() + 1, [text.as_bytes(), &[0]].concat()),
            Entry::Bytes(tag, bytes) => (*tag, 7, bytes.len(), bytes.clone()),
            Entry::Fractions(tag, all) => {
                let bytes = all.iter().flat_map(|(n, d)| [n.to_le_bytes(), d.to_le_bytes()]).flatten();
                (*tag, 5, all.len(), bytes.collect())
            }
        }
    };
    entries.sort_by_key(|e| parts(e).0);
    let mut out = u16::try_from(entries.len()).unwrap().to_le_bytes().to_vec();
    let mut values: Vec<u8> = vec![];
    let values_at = at + 2 + 12 * entries.len() + 4;
    for (tag, kind, count, mut value) in entries.iter().map(parts) {
        if value.len() <= 4 {
            value.resize(4, 0);
        } else {
            let place = ((values_at + values.len()) as u32).to_le_bytes();
            values.extend(std::mem::replace(&mut value, place.to_vec()));
        }
        out.extend(tag.to_le_bytes());
        out.extend(kind.to_le_bytes());
        out.extend((count as u32).to_le_bytes());
        out.extend(value);
    }
    out.extend(next.to_le_bytes());
    out.extend(values);
    out
}

/// A frame with nothing but a path and a time.
pub(crate) fn frame(id: u32, path: &str, taken: Option<&str>, time_source: TimeSource) -> Frame {
    let file = FrameFile { path: path.to_owned(), bytes: 1, role: FileRole::Picture };
    let taken = taken.map(|t| t.parse().unwrap());
    Frame { taken, time_source, ..Frame::new(FrameId(id), vec![file]) }
}

//! Small pictures with camera data, written by hand for tests.

use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, GrayImage, Luma};
use record::{Body, FileRole, Frame, FrameFile, FrameId, TimeSource};

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
        }
    }
}

enum Entry {
    Text(u16, String),
    Short(u16, u16),
    Long(u16, u32),
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
        let stream = self.tiff_stream();
        let mut out = vec![0xFF, 0xD8, 0xFF, 0xE1];
        out.extend(u16::try_from(stream.len() + 8).unwrap().to_be_bytes());
        out.extend(b"Exif\0\0");
        out.extend(stream);
        out.extend(&self.plain_jpeg(self.width, self.height)[2..]);
        out
    }

    /// The camera data as a little-endian TIFF stream: IFD0, Exif IFD and, with a thumbnail, IFD1.
    pub(crate) fn tiff_stream(&self) -> Vec<u8> {
        let (width, height) = self.stated_size.unwrap_or((self.width, self.height));
        let mut exif = vec![Entry::Long(0xA002, width), Entry::Long(0xA003, height)];
        exif.push(Entry::Text(0xA431, "X123".into()));
        for (tag, text) in
            [(0x9003, self.original), (0x9004, self.digitized), (0x9291, self.subsec), (0x9011, self.offset)]
        {
            exif.extend(text.map(|t| Entry::Text(tag, t.to_owned())));
        }
        let thumbnail =
            if self.thumbnail { self.plain_jpeg(160, 160 * self.height / self.width) } else { vec![] };
        let main = |exif_at| {
            let mut main = vec![
                Entry::Text(0x010F, "Examplecam".into()),
                Entry::Text(0x0110, "E-1".into()),
                Entry::Short(0x0112, self.orientation),
                Entry::Long(0x8769, exif_at),
            ];
            main.extend(self.changed.map(|t| Entry::Text(0x0132, t.to_owned())));
            main
        };
        let small = |at| vec![Entry::Long(0x0201, at), Entry::Long(0x0202, thumbnail.len() as u32)];
        let exif_at = 8 + directory(main(0), 8, 0).len();
        let small_at = exif_at + directory_ref(&mut exif, exif_at).len();
        let next = if self.thumbnail { small_at as u32 } else { 0 };
        let mut out = b"II*\0\x08\0\0\0".to_vec();
        out.extend(directory(main(exif_at as u32), 8, next));
        out.extend(directory_ref(&mut exif, exif_at));
        if self.thumbnail {
            let at = small_at + directory(small(0), small_at, 0).len();
            out.extend(directory(small(at as u32), small_at, 0));
            out.extend(&thumbnail);
        }
        out
    }
}

fn directory(mut entries: Vec<Entry>, at: usize, next: u32) -> Vec<u8> {
    let mut out = directory_ref(&mut entries, at);
    let pointer = 2 + 12 * entries.len();
    out[pointer..pointer + 4].copy_from_slice(&next.to_le_bytes());
    out
}

/// A TIFF directory that starts at `at`, with its texts behind it and no next one.
fn directory_ref(entries: &mut [Entry], at: usize) -> Vec<u8> {
    entries.sort_by_key(|e| match e {
        Entry::Text(tag, _) | Entry::Short(tag, _) | Entry::Long(tag, _) => *tag,
    });
    let mut out = u16::try_from(entries.len()).unwrap().to_le_bytes().to_vec();
    let mut texts: Vec<u8> = vec![];
    let texts_at = at + 2 + 12 * entries.len() + 4;
    let mut put = |tag: u16, kind: u16, count: usize, value: [u8; 4]| {
        out.extend(tag.to_le_bytes());
        out.extend(kind.to_le_bytes());
        out.extend((count as u32).to_le_bytes());
        out.extend(value);
    };
    for entry in entries.iter() {
        match entry {
            Entry::Short(tag, value) => put(*tag, 3, 1, u32::from(*value).to_le_bytes()),
            Entry::Long(tag, value) => put(*tag, 4, 1, value.to_le_bytes()),
            Entry::Text(tag, text) => {
                let mut bytes = text.clone().into_bytes();
                bytes.push(0);
                let count = bytes.len();
                if count <= 4 {
                    bytes.resize(4, 0);
                    put(*tag, 2, count, [bytes[0], bytes[1], bytes[2], bytes[3]]);
                } else {
                    put(*tag, 2, count, ((texts_at + texts.len()) as u32).to_le_bytes());
                    texts.extend(bytes);
                }
            }
        }
    }
    out.extend([0; 4]);
    out.extend(texts);
    out
}

/// A frame with nothing but a path and a time.
pub(crate) fn frame(id: u32, path: &str, taken: Option<&str>, time_source: TimeSource) -> Frame {
    Frame {
        id: FrameId(id),
        files: vec![FrameFile { path: path.to_owned(), bytes: 1, role: FileRole::Picture }],
        taken: taken.map(|t| t.parse().unwrap()),
        time_source,
        body: Body::default(),
        orientation: 1,
        size_px: None,
        spread: None,
        blank: None,
        faults: vec![],
    }
}

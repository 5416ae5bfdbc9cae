//! Looks for words and bytes in all that was written, however it is wrapped.
//!
//! Goes in: a file or folder, and what is looked for. Come out: the places where it stands: in names of files, in their bytes
//! (UTF-8 and UTF-16, whatever the case), in the members of zips, in inflated streams of PDFs, and in segments of JPEGs that
//! may say anything.
#![allow(dead_code, reason = "each test uses a part of it")]

use std::fs;
use std::io::{Cursor, Read as _};
use std::path::Path;

/// Something looked for.
#[derive(Debug, Clone)]
pub(crate) enum Needle {
    /// Words, whatever their case.
    Words(String),
    /// Bytes, with a name for them.
    Bytes(&'static str, Vec<u8>),
}

impl Needle {
    pub(crate) fn words(words: &str) -> Self {
        Self::Words(words.to_owned())
    }

    pub(crate) fn name(&self) -> &str {
        match self {
            Self::Words(words) => words,
            Self::Bytes(name, _) => name,
        }
    }

    /// All the byte strings that it may stand as, in small letters.
    fn forms(&self) -> Vec<Vec<u8>> {
        match self {
            Self::Bytes(_, bytes) => vec![bytes.to_ascii_lowercase()],
            Self::Words(words) => {
                let small = words.to_lowercase();
                let wide = |bytes: fn(u16) -> [u8; 2]| small.encode_utf16().flat_map(bytes).collect();
                vec![small.clone().into_bytes(), wide(u16::to_le_bytes), wide(u16::to_be_bytes)]
            }
        }
    }
}

/// A latitude and longitude in the ways that people and programs write them: with point and comma, in full and to fewer
/// digits, in degrees, minutes and seconds, as XMP has them, and as the rational numbers of Exif.
pub(crate) fn ways_of_writing(latitude: f64, longitude: f64) -> Vec<Needle> {
    let mut ways = Vec::new();
    for degrees in [latitude, longitude] {
        for digits in 3..=5 {
            let text = format!("{degrees:.digits$}");
            // Cut as well as rounded.
            let cut = format!("{degrees:.7}")[..text.len()].to_owned();
            ways.extend([text.replace('.', ","), cut.replace('.', ","), cut, text]);
        }
        let minutes = degrees.fract() * 60.0;
        let (whole, seconds) = (minutes.trunc(), minutes.fract() * 60.0);
        ways.extend([
            format!("{:.0}°{whole:.0}′", degrees.trunc()),
            format!("{:.0}°{whole:.0}'", degrees.trunc()),
            format!("{:.0}° {whole:.0}", degrees.trunc()),
            format!("{whole:.0}′{seconds:.1}"),
            format!("{:.0},{minutes:.3}", degrees.trunc()),
        ]);
    }
    ways.sort();
    ways.dedup();
    let mut ways: Vec<Needle> = ways.into_iter().map(Needle::Words).collect();
    let whole = rationals(latitude);
    ways.push(Needle::Bytes(
        "rationals, small end first",
        whole.iter().flat_map(|n| n.to_le_bytes()).collect(),
    ));
    ways.push(Needle::Bytes(
        "rationals, big end first",
        whole.iter().flat_map(|n| n.to_be_bytes()).collect(),
    ));
    ways
}

/// Degrees, minutes and hundredths of seconds as Exif's three fractions (Exif 2.32, `GPSLatitude`).
pub(crate) fn rationals(degrees: f64) -> [u32; 6] {
    let minutes = degrees.fract() * 60.0;
    let seconds = (minutes.fract() * 6000.0).round() as u32;
    [degrees.trunc() as u32, 1, minutes.trunc() as u32, 1, seconds, 100]
}

/// Where any of this stands below a path, as `what in which file`.
pub(crate) fn hits(path: &Path, needles: &[Needle]) -> Vec<String> {
    let mut found = Vec::new();
    search(path, &path.file_name().unwrap().to_string_lossy(), needles, &mut found);
    found
}

fn search(path: &Path, name: &str, needles: &[Needle], found: &mut Vec<String>) {
    if path.is_dir() {
        let mut entries: Vec<_> = fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path()).collect();
        entries.sort();
        for entry in entries {
            let own = entry.file_name().unwrap().to_string_lossy().into_owned();
            in_bytes(own.as_bytes(), &format!("the name {name}/{own}"), needles, found);
            search(&entry, &format!("{name}/{own}"), needles, found);
        }
        return;
    }
    in_file(&fs::read(path).unwrap(), name, needles, found);
}

fn in_file(bytes: &[u8], name: &str, needles: &[Needle], found: &mut Vec<String>) {
    in_bytes(bytes, name, needles, found);
    if bytes.starts_with(b"PK") {
        let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        for at in 0..zip.len() {
            let mut member = zip.by_index(at).unwrap();
            let own = member.name().unwrap().into_owned();
            let mut inner = Vec::new();
            member.read_to_end(&mut inner).unwrap();
            in_bytes(own.as_bytes(), &format!("the name {name}!{own}"), needles, found);
            in_file(&inner, &format!("{name}!{own}"), needles, found);
        }
    } else if bytes.starts_with(b"%PDF") {
        for (nth, stream) in inflated(bytes).into_iter().enumerate() {
            in_bytes(&stream, &format!("{name}, stream {nth}"), needles, found);
        }
    } else if bytes.starts_with(&[0xFF, 0xD8]) {
        // A packet of Endleaf's own is searched as bytes with the rest; it is the only segment that may be there.
        let own = b"http://ns.adobe.com/xap/1.0/\0<?xpacket";
        let mut markers = segments(bytes);
        if bytes.windows(own.len()).any(|window| window == own) {
            let at = markers.iter().position(|marker| *marker == 0xE1).unwrap();
            markers.remove(at);
        }
        for marker in markers.into_iter().filter(|m| (0xE1..=0xEF).contains(m) || *m == 0xFE) {
            found.push(format!("a segment {marker:X} in {name}"));
        }
    }
}

fn in_bytes(bytes: &[u8], name: &str, needles: &[Needle], found: &mut Vec<String>) {
    let (small, text) = (bytes.to_ascii_lowercase(), String::from_utf8_lossy(bytes).to_lowercase());
    for needle in needles {
        let stands = |form: &Vec<u8>| small.windows(form.len()).any(|window| window == *form);
        let in_text = matches!(needle, Needle::Words(words) if text.contains(&words.to_lowercase()));
        if in_text || needle.forms().iter().any(stands) {
            found.push(format!("{} in {name}", needle.name()));
        }
    }
}

/// The streams of a PDF that can be inflated (ISO 32000-1, 7.3.8 and 7.4.4).
fn inflated(pdf: &[u8]) -> Vec<Vec<u8>> {
    let mut streams = Vec::new();
    let starts = pdf.windows(6).enumerate().filter(|(_, window)| *window == b"stream").map(|(at, _)| at);
    for at in starts.filter(|at| !pdf[..*at].ends_with(b"end")) {
        let from = at + 6 + pdf[at + 6..].iter().take(2).take_while(|b| b"\r\n".contains(b)).count();
        let mut stream = Vec::new();
        if flate2::read::ZlibDecoder::new(&pdf[from..]).read_to_end(&mut stream).is_ok() {
            streams.push(stream);
        }
    }
    streams
}

/// Markers of the segments of a JPEG before its scan (ITU-T T.81, B.1.1).
pub(crate) fn segments(jpeg: &[u8]) -> Vec<u8> {
    let (mut at, mut found) = (2, Vec::new());
    while at + 4 <= jpeg.len() && jpeg[at] == 0xFF && jpeg[at + 1] != 0xDA {
        found.push(jpeg[at + 1]);
        at += 2 + usize::from(u16::from_be_bytes([jpeg[at + 2], jpeg[at + 3]]));
    }
    found
}

#[test]
fn the_search_finds_what_is_wrapped() {
    use std::io::Write as _;

    let folder = tempfile::TempDir::new().unwrap();
    let needles = [Needle::words("Old Quärry")];
    let found = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        fs::write(&path, bytes).unwrap();
        hits(&path, &needles).len()
    };
    assert_eq!(found("a.txt", "the old quärry".as_bytes()), 1);
    assert_eq!(found("b.txt", "the new quärry".as_bytes()), 0);
    let wide: Vec<u8> = "OLD QUÄRRY".to_lowercase().encode_utf16().flat_map(u16::to_be_bytes).collect();
    assert_eq!(found("c.txt", &wide), 1);
    assert_eq!(found("capital.txt", "OLD QUÄRRY".as_bytes()), 1);
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    zip.start_file("old quärry.txt", zip::write::SimpleFileOptions::default()).unwrap();
    zip.write_all("the old quärry, ".repeat(50).as_bytes()).unwrap();
    // The name of a member stands in the zip twice, and the member's own text within.
    assert!(found("d.zip", &zip.finish().unwrap().into_inner()) >= 2);
    let mut deflated = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::default());
    deflated.write_all("the old quärry, ".repeat(50).as_bytes()).unwrap();
    let stream = deflated.finish().unwrap();
    let pdf = [&b"%PDF-1.7\n1 0 obj <<>> stream\r\n"[..], &stream, b"\nendstream endobj"].concat();
    assert_eq!(found("e.pdf", &pdf), 1);
    assert_eq!(found("f.jpg", b"\xFF\xD8\xFF\xE1\0\x04ab\xFF\xDA"), 1);
}

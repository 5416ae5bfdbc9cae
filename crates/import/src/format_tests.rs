//! One picture in every format: it becomes a frame with its time, is measured and is shown.

use std::path::Path;

use image::{ImageFormat, RgbImage};
use record::{FileRole, Frame, Silent, TimeSource};

use crate::sample::Sample;
use crate::{Picture, picture, read_card, thumbnail};

fn sample() -> Sample {
    Sample { subject: true, thumbnail: true, width: 480, height: 320, ..Sample::default() }
}

/// A sample's pixels in colour.
fn pixels(sample: &Sample) -> RgbImage {
    image::load_from_memory(&sample.png()).unwrap().into_rgb8()
}

fn encoded(format: ImageFormat) -> Vec<u8> {
    let mut out = std::io::Cursor::new(Vec::new());
    pixels(&sample()).write_to(&mut out, format).unwrap();
    out.into_inner()
}

/// A sample as HEIC with its camera data; above 512 px its encoder adds a thumbnail.
fn heic(sample: &Sample) -> Vec<u8> {
    let shown = pixels(sample);
    let rgba = image::DynamicImage::ImageRgb8(shown.clone()).into_rgba8();
    let mut picture = heifer::Image::filled(shown.width(), shown.height(), 8, [0; 4]);
    picture.data = rgba.as_raw().iter().map(|v| u16::from(*v)).collect();
    let metadata = heifer::Metadata { exif: Some(sample.tiff_stream()), ..heifer::Metadata::default() };
    heifer::encode_with_metadata(&picture, &metadata, &heifer::EncodeOptions::default()).unwrap()
}

fn read_one(name: &str, bytes: &[u8]) -> (tempfile::TempDir, Frame, u64) {
    let card = tempfile::tempdir().unwrap();
    std::fs::write(card.path().join(name), bytes).unwrap();
    let mut intake = read_card(card.path(), &Silent).unwrap();
    assert_eq!(intake.frames.len(), 1, "{name}");
    (card, intake.frames.remove(0), intake.bytes_read)
}

fn size(shown: &Picture) -> (usize, usize) {
    (shown.width, shown.height)
}

/// Dark in the middle, pale at the side, as the sample is.
fn shows_the_subject(shown: &Picture) -> bool {
    let green = |x: usize, y: usize| shown.rgb[3 * (y * shown.width + x) + 1];
    green(shown.width / 2, shown.height / 2) < 90 && green(2, shown.height / 2) > 170
}

fn check(name: &str, bytes: &[u8], source: TimeSource, shown_px: (usize, usize)) -> Frame {
    let (card, frame, _) = read_one(name, bytes);
    assert_eq!(frame.faults, [""; 0], "{name}");
    assert_eq!(frame.time_source, source, "{name}");
    assert!(frame.spread.is_some_and(|s| s.level > 5.0), "{name}: {:?}", frame.spread);
    let shown = picture::<[u8; 4]>(card.path(), &frame).unwrap().reduced(usize::MAX);
    assert_eq!(size(&shown), shown_px, "{name}");
    assert!(shows_the_subject(&shown), "{name}");
    let small = thumbnail(card.path(), &frame, 96).unwrap().picture;
    assert!(small.width == 96 && shows_the_subject(&small), "{name} {}", small.width);
    frame
}

#[test]
fn pictures() {
    let size = (480, 320);
    check("a.jpg", &sample().jpeg(), TimeSource::Original, size);
    check("a.png", &sample().png_with_exif(), TimeSource::Original, size);
    check("a.tif", &encoded(ImageFormat::Tiff), TimeSource::File, size);
    check("a.webp", &encoded(ImageFormat::WebP), TimeSource::File, size);
    let frame = check("a.heic", &heic(&sample()), TimeSource::Original, size);
    assert_eq!(frame.files[0].role, FileRole::Picture);
    assert_eq!(frame.size_px, Some((480, 320)));
}

#[test]
fn jpegs_of_other_codings() {
    // Written by an imaging library: progressive, and in four inks.
    check("a.jpg", include_bytes!("../tests/data/progressive.jpg"), TimeSource::File, (96, 64));
    check("a.jpg", include_bytes!("../tests/data/cmyk.jpg"), TimeSource::File, (96, 64));
}

#[test]
fn raws_are_shown_by_their_largest_preview_and_measured_by_the_smallest_that_will_do() {
    let large = Sample { thumbnail: false, width: 960, height: 640, ..sample() }.jpeg();
    let mut raw = sample().raw_with_previews(&large, 1200, 800);
    raw.resize(400_000, 9);
    check("a.dng", &raw, TimeSource::Original, (960, 640));
    let small = sample().thumbnail_jpeg();
    let mut boxed = sample().cr3(&small, &large);
    boxed.resize(400_000, 0);
    // The padding makes one more box, which reaches to the end.
    check("a.cr3", &boxed, TimeSource::Original, (960, 640));
    let (_card, _, bytes_read) = read_one("a.dng", &raw);
    assert!(bytes_read < 40_000, "{bytes_read} bytes read");
}

#[test]
fn of_a_large_jpeg_with_a_thumbnail_only_head_and_tail_are_read() {
    let bytes = Sample { width: 3600, height: 2400, ..sample() }.jpeg();
    assert!(bytes.len() > 60_000, "{}", bytes.len());
    let (_card, frame, bytes_read) = read_one("a.jpg", &bytes);
    assert!(frame.spread.is_some());
    // 16 KiB of its head and 32 bytes of its end.
    assert_eq!(bytes_read, 16 * 1024 + 32);
}

#[test]
fn a_raw_beside_a_jpeg_is_not_read() {
    let card = tempfile::tempdir().unwrap();
    let put = |name: &str, bytes: &[u8]| std::fs::write(card.path().join(name), bytes).unwrap();
    put("DSC_0001.JPG", &sample().jpeg());
    let alone = read_card(card.path(), &Silent).unwrap();
    put("DSC_0001.NEF", &vec![0; 100_000]);
    let both = read_card(card.path(), &Silent).unwrap();
    assert_eq!(both.bytes_read, alone.bytes_read);
    assert_eq!((both.frames.len(), both.frames[0].files.len()), (1, 2));
    assert_eq!(both.frames[0].spread, alone.frames[0].spread);
}

#[test]
fn a_heic_is_measured_by_its_thumbnail_alone() {
    let mut bytes = heic(&Sample { width: 720, height: 480, ..sample() });
    let whole = crate::read_source(&bytes.as_slice(), "a.heic");
    assert_eq!(whole.time.unwrap().0.to_string(), "2026-06-14T10:23:45.12+01:00");
    assert_eq!(whole.shot.iso, Some(400));
    // Behind it, a box of a megabyte that nobody asks for.
    bytes.extend([0, 0x10, 0, 0]);
    bytes.extend(b"free");
    bytes.resize(bytes.len() + 0x10_0000 - 8, 0);
    let (_card, frame, bytes_read) = read_one("a.heic", &bytes);
    assert!(frame.spread.is_some());
    assert!(bytes_read < 100_000, "{bytes_read} bytes read");
}

#[test]
fn a_heic_cut_or_torn_is_a_frame_with_a_fault() {
    let whole = heic(&sample());
    for end in [16, 60, 300, whole.len() / 2, whole.len() - 1] {
        let (card, frame, _) = read_one("a.heic", &whole[..end]);
        assert_eq!(frame.faults.len().min(1), 1, "cut at {end}");
        assert!(frame.faults[0].contains("ends early"), "cut at {end}: {:?}", frame.faults);
        assert!(picture::<[u8; 4]>(card.path(), &frame).is_err());
    }
    let mut state = 3u32;
    for _ in 0..60 {
        let mut torn = whole.clone();
        for _ in 0..6 {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let at = (state >> 8) as usize % torn.len();
            torn[at] = (state >> 24) as u8;
        }
        let (card, frame, _) = read_one("a.heic", &torn);
        let shown = picture::<[u8; 4]>(card.path(), &frame);
        assert!(shown.is_ok() || shown.is_err_and(|words| words.ends_with(": a.heic")));
    }
}

#[test]
fn the_large_thumbnail_of_an_index_is_taken_before_the_picture_is_decoded() {
    let animal =
        Sample { subject: true, thumbnail: false, width: 640, height: 426, ..Sample::default() }.jpeg();
    // The picture itself is of paper alone, so only the large thumbnail can have shown an animal.
    let bytes = Sample { width: 1200, height: 800, ..Sample::default() }.with_picture_behind(&animal);
    let (_card, frame, _) = read_one("a.jpg", &bytes);
    assert!(frame.spread.unwrap().level > 5.0, "no thumbnail but that one: {:?}", frame.spread);
}

#[test]
fn a_size_that_no_file_holds_is_refused() {
    for (name, head) in [
        ("a.webp", &b"RIFF\x16\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\xFF\xFF\xFF\xFF\xFF\xFF"[..]),
        ("a.tif", b"II*\0\x08\0\0\0\x02\0\0\x01\x04\0\x01\0\0\0\xFF\xFF\0\0\x01\x01\x04\0\x01\0\0\0\xFF\xFF\0\0\0\0\0\0"),
    ] {
        let (card, frame, _) = read_one(name, head);
        assert!(frame.spread.is_none() && !frame.faults.is_empty(), "{name}: {:?}", frame.faults);
        assert!(picture::<[u8; 4]>(Path::new(card.path()), &frame).is_err());
    }
}

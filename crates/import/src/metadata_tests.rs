//! Readings of files made by hand, whole, damaged and cut.

use super::*;
use crate::sample::Sample;

fn read_bytes(name: &str, bytes: &[u8]) -> Reading {
    read_source(&bytes, name)
}

#[test]
fn all_that_a_camera_writes_is_read() {
    let sample = Sample { orientation: 6, thumbnail: true, width: 96, height: 64, ..Sample::default() };
    let bytes = sample.jpeg();
    let reading = read_bytes("a.jpg", &bytes);
    assert_eq!(reading.faults, [""; 0]);
    assert_eq!(reading.size_px, Some((96, 64)));
    assert_eq!(reading.orientation, 6);
    assert_eq!((reading.body.make.as_str(), reading.body.serial.as_str()), ("Examplecam", "X123"));
    let shot = &reading.shot;
    assert_eq!((shot.exposure_secs, shot.f_number, shot.iso), (Some(0.008), Some(5.6), Some(400)));
    assert_eq!((shot.focal_length_mm, shot.lens.as_str()), (Some(60.0), "Examplelens 60 L77"));
    // CIPA DC-008, SubjectDistance: 0 is unknown, all bits of the numerator infinity.
    for (focus, expected) in [((252, 1000), Some(0.252)), ((0, 1), None), ((u32::MAX, 1), None)] {
        let sample = Sample { focus, ..Sample::default() };
        assert_eq!(read_bytes("a.jpg", &sample.jpeg()).shot.focus_distance_m, expected, "{focus:?}");
    }
    let [thumbnail] = reading.previews[..] else { panic!("{:?}", reading.previews) };
    assert!(bytes[thumbnail.offset as usize..].starts_with(&[0xFF, 0xD8]));
    assert!(!reading.cut);
}

#[test]
fn places_by_satellite() {
    let place = |lat: [(u32, u32); 3], refs: [&'static str; 2]| {
        let sample = Sample { gps: Some((lat, refs)), ..Sample::default() };
        read_bytes("a.jpg", &sample.jpeg()).shot.position
    };
    // CIPA DC-008: degrees, minutes and seconds; 52 + 12/60 + 1.8/3600 = 52.2005.
    let north = place([(52, 1), (12, 1), (180, 100)], ["N", "W"]).unwrap();
    assert!((north.latitude_deg - 52.2005).abs() < 1e-9 && north.longitude_deg < 0.0);
    assert_eq!(north.altitude_m, Some(-3.5), "below the sea");
    // The same place with decimal minutes and no seconds.
    let same = place([(52, 1), (1203, 100), (0, 0)], ["S", "E"]).unwrap();
    assert!((same.latitude_deg + 52.2005).abs() < 1e-9 && same.longitude_deg > 0.0);
    assert_eq!(place([(52, 0), (12, 1), (1, 1)], ["N", "W"]), None, "denominator 0 is absent");
    assert_eq!(place([(52, 1), (12, 0), (1, 1)], ["N", "W"]), None);
    assert_eq!(place([(92, 1), (12, 1), (1, 1)], ["N", "W"]), None, "beyond the pole");
    assert_eq!(place([(52, 1), (12, 1), (1, 1)], ["X", "W"]), None);
}

#[test]
fn exif_data_behind_other_segments_is_found() {
    let bytes = Sample { thumbnail: true, ..Sample::default() }.jpeg();
    let mut later = vec![0xFF, 0xD8];
    // JFIF, then 40 KiB of a colour profile, then Exif.
    later.extend(b"\xFF\xE0\x00\x10JFIF\0\x01\x01\0\0\x01\0\x01\0\0");
    later.extend(b"\xFF\xE2\xA0\x00ICC_PROFILE\0");
    later.resize(2 + 18 + 2 + 0xA000, 7);
    later.extend(&bytes[2..]);
    let reading = read_bytes("a.jpg", &later);
    assert_eq!((reading.time.is_some(), reading.previews.len(), reading.faults.len()), (true, 1, 0));
}

#[test]
fn a_cut_file_keeps_its_time_and_thumbnail() {
    let whole = Sample { thumbnail: true, width: 96, height: 64, ..Sample::default() }.jpeg();
    let reading = read_bytes("a.jpg", &whole[..whole.len() - whole.len() / 8]);
    assert!(reading.cut && reading.time.is_some() && reading.previews.len() == 1);
    let read = "still read: capture time, camera, size, embedded preview";
    assert_eq!(reading.faults, [format!("the file ends early: the large picture is cut off; {read}")]);
    // Only the thumbnail is there, and not even the frame header of the large picture.
    let header = whole.windows(2).rposition(|w| w == [0xFF, 0xC0]).unwrap();
    let reading = read_bytes("a.jpg", &whole[..header]);
    let read = "still read: capture time, camera, size, embedded preview";
    assert_eq!(reading.faults, [format!("the file ends early: the large picture is cut off; {read}")]);
    let nothing = read_bytes("a.jpg", &whole[..20]);
    assert_eq!(nothing.faults[0], "the file ends early: the large picture is cut off");
    let words =
        "part of the camera data (Exif) is damaged and was passed over; nothing else could be read of it";
    assert_eq!(nothing.faults[1..], [words]);
}

#[test]
fn a_picture_resized_after_the_camera_does_not_trust_its_thumbnail() {
    let sample = Sample { thumbnail: true, stated_size: Some((6000, 4000)), ..Sample::default() };
    assert_eq!(read_bytes("a.jpg", &sample.jpeg()).previews, []);
}

#[test]
fn exif_data_of_a_png_is_read() {
    let reading = read_bytes("a.png", &Sample::default().png_with_exif());
    assert_eq!(reading.time.unwrap().0.to_string(), "2026-06-14T10:23:45.12+01:00");
    assert_eq!((reading.size_px, reading.faults.len()), (Some((240, 160)), 0));
}

#[test]
fn damaged_camera_data_is_a_fault() {
    let mut bytes = Sample::default().jpeg();
    let exif_at = bytes.windows(6).position(|w| w == b"Exif\0\0").unwrap();
    bytes[exif_at + 6..exif_at + 14].fill(0x55);
    let reading = read_bytes("a.jpg", &bytes);
    let words = "the camera data (Exif) is damaged and could not be read; still read: size";
    assert_eq!(reading.faults, [words]);
    assert_eq!((reading.time, reading.size_px), (None, Some((240, 160))));
}

#[test]
fn what_is_no_picture_is_said() {
    let faults = |name, bytes: &[u8]| read_bytes(name, bytes).faults;
    assert_eq!(faults("a.jpg", b""), ["the file is empty"]);
    assert_eq!(faults("a.jpg", b"day one\n"), ["this is not a picture although its name says so"]);
    for (name, start) in [
        ("a.heic", &b"\0\0\0\x18ftypheic\0\0\0\0"[..]),
        ("a.cr3", b"\0\0\0\x18ftypcrx \0\0\0\0"),
        ("a.raf", b"FUJIFILMCCD-RAW 0201"),
        ("a.png", b"\x89PNG\r\n\x1a\n"),
        ("a.webp", b"RIFF\xff\xff\0\0WEBPVP8 "),
    ] {
        let words = "the file ends early: the large picture is cut off; nothing else could be read of it";
        assert_eq!(faults(name, start), [words], "{name}");
    }
    assert_eq!(
        faults("a.tif", b"II*\0\x08\0\0\0\x02").last().map(String::as_str),
        Some("the file ends early: the large picture is cut off; nothing else could be read of it")
    );
    let gone = Reading::unreadable(&std::io::ErrorKind::NotFound.into());
    assert!(gone.unreadable);
    assert_eq!(gone.faults, ["the file could not be read: it is not there any more"]);
}

/// Makers' raws, in the layout each is known by, around a JPEG with its own camera data.
mod raws {
    use super::*;

    const TIME: &str = "2026-06-14T10:23:45.12+01:00";

    fn check(name: &str, bytes: &[u8], previews: &[usize]) -> Reading {
        let reading = read_bytes(name, bytes);
        assert_eq!(reading.faults, [""; 0], "{name}");
        assert!(reading.raw, "{name}");
        assert_eq!(reading.time.unwrap().0.to_string(), TIME, "{name}");
        assert_eq!(reading.body.make, "Examplecam", "{name}");
        let lengths: Vec<_> = reading.previews.iter().map(|s| s.bytes as usize).collect();
        assert_eq!(lengths, previews, "{name}");
        for span in &reading.previews {
            assert!(bytes[span.offset as usize..].starts_with(&[0xFF, 0xD8, 0xFF]), "{name}");
        }
        // Wherever it is cut, what stands before is read and nothing else happens.
        for end in (0..bytes.len()).step_by(97) {
            let cut = read_bytes(name, &bytes[..end]);
            assert!(cut.time.is_none_or(|(t, _)| t.to_string()[..19] == TIME[..19]), "{name} cut at {end}");
            assert!(cut.previews.iter().all(|s| s.end() <= end as u64), "{name} cut at {end}");
        }
        reading
    }

    #[test]
    fn of_the_tiff_family() {
        let sample = Sample { thumbnail: true, ..Sample::default() };
        let mut bytes = sample.tiff_stream();
        let thumbnail = sample.thumbnail_jpeg().len();
        bytes.extend([0; 5000]);
        for (mark, name) in [(b"*\0", "a.nef"), (b"*\0", "a.pef"), (b"RO", "a.orf"), (b"U\0", "a.rw2")] {
            bytes[2..4].copy_from_slice(mark);
            check(name, &bytes, &[thumbnail]);
        }
    }

    #[test]
    fn previews_in_sub_directories_and_strips() {
        let sample = Sample { thumbnail: true, ..Sample::default() };
        let small = sample.thumbnail_jpeg();
        let large = Sample { width: 640, height: 430, ..Sample::default() }.jpeg();
        let bytes = sample.raw_with_previews(&large, 1200, 800);
        let reading = check("a.dng", &bytes, &[large.len(), large.len(), small.len()]);
        assert_eq!(reading.size_px, Some((240, 160)), "as Exif states it, without borders");
    }

    #[test]
    fn with_everything_in_an_embedded_jpeg() {
        let sample = Sample { thumbnail: true, ..Sample::default() };
        let (jpeg, thumbnail) = (sample.jpeg(), sample.thumbnail_jpeg());
        let mut raf = b"FUJIFILMCCD-RAW".to_vec();
        raf.resize(84, 0);
        raf.extend(160u32.to_be_bytes());
        raf.extend((jpeg.len() as u32).to_be_bytes());
        raf.extend(116u32.to_be_bytes());
        raf.resize(116, 0);
        // A directory of one record: 0111, four bytes, height and width.
        raf.extend([0, 0, 0, 1, 0x01, 0x11, 0, 4, 0x0D, 0x70, 0x14, 0x20]);
        raf.resize(160, 0);
        raf.extend(&jpeg);
        let reading = check("a.raf", &raf, &[jpeg.len(), thumbnail.len()]);
        assert_eq!(reading.size_px, Some((5152, 3440)));
        // RW2: one entry, 002E, with the JPEG as its value.
        let mut rw2 = b"IIU\0\x08\0\0\0\x01\0\x2E\0\x07\0".to_vec();
        rw2.extend((jpeg.len() as u32).to_le_bytes());
        rw2.extend(64u32.to_le_bytes());
        rw2.resize(64, 0);
        rw2.extend(&jpeg);
        let reading = check("a.rw2", &rw2, &[jpeg.len(), thumbnail.len()]);
        assert_eq!((reading.size_px, reading.shot.iso), (Some((240, 160)), Some(400)));
    }

    #[test]
    fn with_a_preview_named_in_the_makers_note() {
        let jpeg = Sample::default().jpeg();
        for (mark, from_note) in [(&b"OLYMPUS\0II\x03\0"[..], true), (b"OM SYSTEM\0\0\0II\x04\0", true)] {
            let bytes = Sample::default().orf(&jpeg, mark, from_note);
            check("a.orf", &bytes, &[jpeg.len()]);
        }
        check("a.orf", &Sample::default().orf(&jpeg, b"OLYMP\0\x01\0", false), &[jpeg.len()]);
    }

    #[test]
    fn in_boxes() {
        let sample = Sample {
            thumbnail: true,
            gps: Some(([(52, 1), (12, 1), (0, 1)], ["N", "E"])),
            ..Sample::default()
        };
        let (small, large) = (sample.thumbnail_jpeg(), Sample { width: 640, ..Sample::default() }.jpeg());
        let bytes = sample.cr3(&small, &large);
        let reading = check("a.cr3", &bytes, &[small.len(), large.len()]);
        assert!((reading.shot.position.unwrap().latitude_deg - 52.2).abs() < 1e-9);
        assert_eq!(reading.size_px, Some((240, 160)));
    }
}

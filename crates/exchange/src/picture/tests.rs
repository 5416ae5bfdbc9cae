use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, ImageEncoder as _, RgbImage};
use record::{FileRole, FrameFile, FrameId};
use tempfile::TempDir;

use super::*;

/// A frame whose one file holds these bytes.
fn put(folder: &TempDir, name: &str, bytes: &[u8]) -> Frame {
    std::fs::write(folder.path().join(name), bytes).unwrap();
    let file = FrameFile { path: name.into(), bytes: bytes.len() as u64, role: FileRole::Picture };
    Frame::new(FrameId(0), vec![file])
}

/// Pale ground, a dark block at columns 100 to 139 and rows 60 to 79, and one red corner.
fn drawn() -> RgbImage {
    RgbImage::from_fn(300, 200, |x, y| {
        let on_block = (100..140).contains(&x) && (60..80).contains(&y);
        let in_corner = x < 30 && y < 20;
        image::Rgb(if in_corner {
            [220, 20, 20]
        } else if on_block {
            [40, 35, 30]
        } else {
            [210, 205, 200]
        })
    })
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, image::ImageFormat::Png).unwrap();
    bytes.into_inner()
}

fn wanted(long_side_px: u32) -> Wanted {
    Wanted { long_side_px, crop: None, at_most_bytes: None }
}

fn decoded(copy: &Copy) -> RgbImage {
    let picture = image::load_from_memory(&copy.jpeg).unwrap().into_rgb8();
    assert_eq!((picture.width() as usize, picture.height() as usize), (copy.width, copy.height));
    picture
}

fn near(got: image::Rgb<u8>, expected: [u8; 3]) -> bool {
    got.0.iter().zip(expected).all(|(a, b)| a.abs_diff(b) < 12)
}

#[test]
fn a_copy_has_the_long_side_asked_for_and_is_never_enlarged() {
    let folder = TempDir::new().unwrap();
    let frame = put(&folder, "a.png", &png(&drawn()));
    for (side, expected, px_per_px) in
        [(150, (150, 100), 0.5), (100, (100, 67), 1.0 / 3.0), (300, (300, 200), 1.0), (5000, (300, 200), 1.0)]
    {
        let copy = copy_of(folder.path(), &frame, &wanted(side)).unwrap();
        assert_eq!((copy.width, copy.height), expected);
        assert!((copy.px_per_px - px_per_px).abs() < 1e-12);
        decoded(&copy);
    }
}

#[test]
fn pictures_of_one_row_or_column_are_reduced_too() {
    let folder = TempDir::new().unwrap();
    for (width, height, expected) in
        [(900, 1, (100, 1)), (1, 900, (1, 100)), (900, 2, (100, 1)), (3, 3, (3, 3))]
    {
        let even = RgbImage::from_pixel(width, height, image::Rgb([90, 80, 70]));
        let copy = copy_of(folder.path(), &put(&folder, "a.png", &png(&even)), &wanted(100)).unwrap();
        assert_eq!((copy.width, copy.height), expected);
        assert!(near(*decoded(&copy).get_pixel(0, 0), [90, 80, 70]));
    }
}

/// By the table of Exif 2.32 (Orientation): where the corner that is stored first is shown.
#[test]
fn a_copy_and_a_part_of_it_are_upright() {
    let folder = TempDir::new().unwrap();
    let mut frame = put(&folder, "a.png", &png(&drawn()));
    let red = [220, 20, 20];
    for (orientation, right, bottom) in [
        (1, false, false),
        (2, true, false),
        (3, true, true),
        (4, false, true),
        (5, false, false),
        (6, true, false),
        (7, true, true),
        (8, false, true),
    ] {
        frame.orientation = orientation;
        let opened = Opened::of(folder.path(), &frame).unwrap();
        let size = if orientation > 4 { (200, 300) } else { (300, 200) };
        assert_eq!(opened.size_px(), size);
        let all = opened.reduced(3000, None).rgb;
        assert_eq!((all.width, all.height), size);
        let pixel = |picture: &Rgb, right: bool, bottom: bool| {
            let x = if right { picture.width - 3 } else { 2 };
            let y = if bottom { picture.height - 3 } else { 2 };
            picture.pixels().nth(y * picture.width + x).unwrap()
        };
        assert_eq!(pixel(&all, right, bottom), red, "{orientation}");
        assert_ne!(pixel(&all, !right, !bottom), red, "{orientation}");
        // The quarter that holds the red corner, and the one across.
        let quarter = |right: bool, bottom: bool| {
            let at = |far: bool| if far { 0.5 } else { 0.0 };
            let crop = Crop { at: (at(right), at(bottom)), size: (0.5, 0.5) };
            opened.reduced(3000, Some(crop)).rgb
        };
        let part = quarter(right, bottom);
        assert_eq!((part.width, part.height), (size.0 / 2, size.1 / 2));
        assert_eq!(pixel(&part, right, bottom), red, "{orientation}");
        assert!(quarter(!right, !bottom).pixels().all(|p| p != red), "{orientation}");
    }
}

#[test]
fn a_subject_is_cut_out_with_a_margin() {
    let folder = TempDir::new().unwrap();
    let plain = RgbImage::from_fn(300, 200, |x, y| {
        let on_block = (100..140).contains(&x) && (60..80).contains(&y);
        image::Rgb(if on_block { [40, 35, 30] } else { [210, 205, 200] })
    });
    let opened = Opened::of(folder.path(), &put(&folder, "a.png", &png(&plain))).unwrap();
    let crop = opened.around_subject().unwrap();
    let part = opened.reduced(3000, Some(crop)).rgb;
    // 40 × 20 px and 0.15 × 40 px on each side, to within two places of the mask, which are 2 px each.
    assert!(part.width.abs_diff(52) <= 6 && part.height.abs_diff(32) <= 6, "{} {}", part.width, part.height);
    let dark = part.pixels().filter(|p| p[0] < 100).count();
    assert_eq!(dark, 800, "all of it");
    let even = RgbImage::from_pixel(300, 200, image::Rgb([200, 200, 200]));
    let opened = Opened::of(folder.path(), &put(&folder, "b.png", &png(&even))).unwrap();
    assert_eq!(opened.around_subject(), None);
}

#[test]
fn parts_beyond_the_picture_are_cut_to_it() {
    let folder = TempDir::new().unwrap();
    let opened = Opened::of(folder.path(), &put(&folder, "a.png", &png(&drawn()))).unwrap();
    for (at, size, expected) in [
        ((0.9, 0.9), (0.5, 0.5), (30, 20)),
        ((-0.5, -0.5), (0.6, 0.6), (30, 20)),
        ((2.0, 2.0), (1.0, 1.0), (1, 1)),
        ((0.0, 0.0), (0.0, 0.0), (1, 1)),
    ] {
        let part = opened.reduced(3000, Some(Crop { at, size })).rgb;
        assert_eq!((part.width, part.height), expected, "{at:?} {size:?}");
    }
}

#[test]
fn nothing_of_the_original_but_its_picture_is_in_a_copy() {
    let folder = TempDir::new().unwrap();
    let picture = DynamicImage::from(drawn());
    let mut jpeg = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut jpeg, 95);
    encoder.set_exif_metadata(b"II*\0\x08\0\0\0planted words".to_vec()).unwrap();
    encoder.encode_image(&picture).unwrap();
    let has = |bytes: &[u8]| bytes.windows(7).any(|w| w == b"planted");
    assert!(has(&jpeg));
    let copy = copy_of(folder.path(), &put(&folder, "a.jpg", &jpeg), &wanted(300)).unwrap();
    assert!(!has(&copy.jpeg));
    let (copied, original) = (decoded(&copy), drawn());
    for (x, y) in [(5, 5), (120, 70), (250, 150)] {
        assert!(near(*copied.get_pixel(x, y), original.get_pixel(x, y).0), "{x} {y}");
    }
    let again = copy_of(folder.path(), &put(&folder, "a.jpg", &jpeg), &wanted(300)).unwrap();
    assert_eq!(again, copy);
}

#[test]
fn colours_of_a_profile_are_brought_to_srgb() {
    let folder = TempDir::new().unwrap();
    let mut png = Vec::new();
    let mut encoder = image::codecs::png::PngEncoder::new(&mut png);
    encoder.set_icc_profile(moxcms::ColorProfile::new_display_p3().encode().unwrap()).unwrap();
    let even = RgbImage::from_pixel(64, 64, image::Rgb([200, 100, 50]));
    encoder.write_image(even.as_raw(), 64, 64, image::ExtendedColorType::Rgb8).unwrap();
    let copy = copy_of(folder.path(), &put(&folder, "a.png", &png), &wanted(64)).unwrap();
    assert!(near(*decoded(&copy).get_pixel(30, 30), [215, 93, 31]));
}

#[test]
fn what_is_no_picture_is_told_with_its_path() {
    let folder = TempDir::new().unwrap();
    let words = |frame: &Frame| copy_of(folder.path(), frame, &wanted(300)).unwrap_err().to_string();
    let told = words(&put(&folder, "a.jpg", b"\xFF\xD8\xFF\xE0 and no more"));
    assert!(told.starts_with("This picture cannot be copied: ") && told.ends_with(": a.jpg"), "{told}");
    let mut frame = put(&folder, "b.png", &png(&drawn()));
    frame.files[0].bytes += 1;
    assert!(words(&frame).contains("another file lies in its place"));
    frame.files[0].path = "c.png".into();
    assert!(words(&frame).contains("it is not there any more"), "{}", words(&frame));
    let few = Wanted { at_most_bytes: Some(100), ..wanted(300) };
    let told = copy_of(folder.path(), &put(&folder, "b.png", &png(&drawn())), &few).unwrap_err().to_string();
    assert!(told.contains("within 100 bytes") && told.ends_with(": b.png"), "{told}");
}

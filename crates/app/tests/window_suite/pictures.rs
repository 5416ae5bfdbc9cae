//! Pictures on the screen: what is there first, what is kept for the next time, and what is said where there is none.

#![allow(clippy::unwrap_used, reason = "a helper of a test may stop it")]

use std::path::{Path, PathBuf};

use crate::desk::{Desk, draw_card};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;
use image::codecs::jpeg::JpegEncoder;
use image::{GrayImage, Luma};

/// Size of a picture that takes long enough to decode to be kept small, px.
const LARGE_PX: [u32; 2] = [1920, 1280];

/// Makes all frames of a card large, each of the same picture as before.
fn enlarge(card: &Path) {
    for path in frames(card) {
        let small = image::open(&path).unwrap().into_luma8();
        let [w, h] = LARGE_PX;
        let large =
            GrayImage::from_fn(w, h, |x, y| *small.get_pixel(x * small.width() / w, y * small.height() / h));
        large.save(path).unwrap();
    }
}

/// Paths of a card's frames, in order.
fn frames(card: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(card.join("DCIM/100INVNT")).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).collect();
    paths.sort();
    paths
}

/// Names of the small pictures that are kept.
fn kept(desk: &Desk) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(desk.folder.path().join("cache")) else { return Vec::new() };
    let paths = entries.map(|e| e.unwrap().path());
    paths.filter(|p| p.extension().is_some_and(|e| e == "jpg")).map(|p| p.display().to_string()).collect()
}

fn shown(desk: &mut Desk) {
    desk.wait_for("the pictures", |desk| !desk.app().waits_for_pictures());
}

#[test]
fn what_was_slow_to_make_is_kept_shown_again_and_thrown_away_by_a_key() {
    let mut desk = Desk::on_card(|card| {
        draw_card(card, "fff_");
        enlarge(card);
    });
    desk.press(Modifiers::NONE, Key::F6);
    desk.press(Modifiers::NONE, Key::Enter);
    assert_eq!(desk.app().screen(), Screen::Specimen);
    // The thumbnails of three frames, and the pictures as large as a screen of the first and second.
    desk.wait_for("what is kept", |desk| kept(desk).len() >= 5);
    shown(&mut desk);
    assert_eq!(desk.app().picture_px(), Some(LARGE_PX.map(|px| px as f32)));

    // The pictures are lost without a trace in size and time, yet what is kept is shown when the card is read again.
    let card = desk.folder.path().join("heath");
    let first = &frames(&card)[0];
    let (about, changed) = (first.metadata().unwrap(), first.metadata().unwrap().modified().unwrap());
    std::fs::write(first, vec![0; about.len() as usize]).unwrap();
    std::fs::File::options().append(true).open(first).unwrap().set_modified(changed).unwrap();
    desk.ctrl(Key::O);
    desk.ctrl(Key::A);
    desk.type_text(card.to_str().unwrap());
    desk.key(Key::Enter);
    desk.press(Modifiers::NONE, Key::F7);
    shown(&mut desk);
    assert_eq!(desk.app().picture_px(), Some([960.0, 640.0]), "half as large, from the cache");
    desk.window
        .get_by_label_contains("Only a preview can be shown. This frame cannot be shown pixel for pixel");

    desk.press(Modifiers::COMMAND | Modifiers::SHIFT, Key::E);
    desk.wait_for("the end", |desk| desk.says("The preview cache is empty: "));
    assert_eq!(kept(&desk), Vec::<String>::new());
    assert!(!desk.says("empty: 0 bytes"), "it says how much was freed");
}

#[test]
fn where_a_picture_as_large_as_a_screen_is_at_hand_it_is_there_before_the_full_one() {
    // The first specimen's frames are kept by the first look at them.
    let large = |card: &Path| {
        draw_card(card, "fff_");
        enlarge(card);
    };
    let mut desk = Desk::on_card(large);
    desk.press(Modifiers::NONE, Key::F7);
    desk.wait_for("what is kept", |desk| kept(desk).len() >= 5);
    shown(&mut desk);
    let card = desk.folder.path().join("heath");
    desk.ctrl(Key::O);
    desk.ctrl(Key::A);
    desk.type_text(card.to_str().unwrap());
    desk.key(Key::Enter);
    desk.press(Modifiers::NONE, Key::F7);
    // One pass takes in one picture, and a second waits no further than behind it.
    let mut sizes = Vec::new();
    for _ in 0..2_000 {
        desk.window.step();
        let size = desk.app().picture_px();
        if sizes.last() != Some(&size) {
            sizes.push(size);
        }
        if !desk.app().waits_for_pictures() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    let full = Some(LARGE_PX.map(|px| px as f32));
    assert_eq!(sizes.iter().flatten().next(), Some(&[960.0, 640.0]), "{sizes:?}");
    assert_eq!(sizes.last(), Some(&full), "{sizes:?}");
}

#[test]
fn a_key_labels_the_frame_and_shows_the_next_in_one_pass() {
    let mut desk = Desk::on("fffff_fffff_");
    desk.key(Key::F7);
    shown(&mut desk);
    let first = desk.app().chosen_frame();
    desk.tap(Modifiers::NONE, Key::F);
    assert_eq!(desk.labels(0), "face - - - -");
    assert_ne!(desk.app().chosen_frame(), first);
    desk.window.get_by_label("Frame 1: Face");
    assert_eq!(desk.app().picture_px(), Some([96.0, 64.0]), "the next frame, in full");
    desk.window.get_by_label("INV_0002.PNG");
}

/// A JPEG that says it is of 25,000 × 20,000 pixels (ITU-T T.81, B.2.2: height and width in the frame header).
fn of_500_megapixels() -> Vec<u8> {
    let mut jpeg = Vec::new();
    JpegEncoder::new(&mut jpeg).encode_image(&GrayImage::from_pixel(96, 64, Luma([90]))).unwrap();
    let header = jpeg.windows(2).position(|w| w == [0xFF, 0xC0]).unwrap();
    jpeg[header + 5..header + 7].copy_from_slice(&20_000u16.to_be_bytes());
    jpeg[header + 7..header + 9].copy_from_slice(&25_000u16.to_be_bytes());
    jpeg
}

#[test]
fn a_picture_of_500_megapixels_stops_nothing_and_is_told_of() {
    let mut desk = Desk::on_card(|card| {
        draw_card(card, "fff_fff_");
        std::fs::write(card.join("DCIM/100INVNT/INV_0002.JPG"), of_500_megapixels()).unwrap();
        std::fs::remove_file(card.join("DCIM/100INVNT/INV_0002.PNG")).unwrap();
    });
    assert_eq!(desk.sets(), "3 3");
    desk.key(Key::F7);
    desk.key(Key::ArrowRight);
    shown(&mut desk);
    assert!(desk.says(
        "This frame cannot be shown: the picture says it is 25000 × 20000 px, which is too large to open"
    ));
    desk.key(Key::ArrowRight);
    shown(&mut desk);
    assert_eq!(desk.app().picture_px(), Some([96.0, 64.0]), "the others are shown");
}

#[test]
fn a_file_that_goes_while_the_window_is_open_is_named() {
    let mut desk = Desk::on("fff_");
    let third = frames(&desk.folder.path().join("heath"))[2].clone();
    std::fs::remove_file(third).unwrap();
    desk.key(Key::F7);
    for _ in 0..2 {
        desk.key(Key::ArrowRight);
    }
    shown(&mut desk);
    assert!(desk.says("it is not there any more") && desk.says(": DCIM/100INVNT/INV_0003.PNG"));
}

//! The whole job on one card: dropped on the window, looked through, labelled, given jars and filed, by keys alone.

#![allow(clippy::unwrap_used, reason = "an archive that cannot be looked at ends its test")]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;

use crate::desk::{Desk, draw_card};

/// A card let go over the window.
#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        Err("a folder has none".into())
    }
}

const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

#[test]
fn a_dropped_card_is_filed_under_views_and_jars_by_keys_alone() {
    let mut desk = Desk::empty();
    let card = desk.folder.path().join("heath");
    draw_card(&card, "fffff_fffff_ffff_");
    desk.window.input_mut().dropped_files.push(Arc::new(Dropped(card)));
    desk.wait();
    assert_eq!((desk.app().screen(), desk.sets().as_str()), (Screen::Card, "5 5 4"));

    // Three jars down the sheet, the two whole animals confirmed as proposed.
    desk.key(Key::Enter);
    desk.key(Key::F2);
    desk.type_text("21-23");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.key(Key::Home);
    desk.ctrl(Key::Enter);
    desk.key(Key::ArrowDown);
    desk.ctrl(Key::Enter);
    // The third lacks one, which its letters tell.
    desk.key(Key::F4);
    desk.key(Key::Enter);
    assert_eq!(desk.app().chosen_set(), 2);
    for letter in [Key::S, Key::T, Key::A, Key::E] {
        desk.key(letter);
    }
    desk.key(Key::F6);
    desk.window.get_by_label_contains("Retake 3: Face");

    desk.key(Key::F8);
    let archive = desk.folder.path().join("archive");
    desk.type_text(archive.to_str().unwrap());
    desk.key(Key::Enter);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.window.get_by_label_contains("The card may be wiped");

    let folder =
        std::fs::read_dir(&archive).unwrap().map(|e| e.unwrap().path()).find(|p| p.is_dir()).unwrap();
    let manifest = std::fs::read_to_string(folder.join("manifest-sha256.txt")).unwrap();
    // Each picture and its sidecar.
    assert_eq!(manifest.lines().count(), 2 * 17);
    for view in ["001_side_01.png", "002_head-top_01.png", "003_tip_01.png", "001_face_01.png"] {
        assert!(manifest.contains(view), "{view} in {manifest}");
    }
    assert!(!manifest.contains("003_face"), "{manifest}");
    let session = std::fs::read_to_string(folder.join("session.ron")).unwrap();
    let session = record::session_from_text(&session).unwrap();
    let jars: Vec<&str> = session.sets.iter().map(|set| session.jar_of(set)).collect();
    assert_eq!(jars, ["21", "22", "23"]);
    let receipt = std::fs::read_to_string(folder.join("receipt.txt")).unwrap();
    assert!(receipt.contains("17"), "{receipt}");
}

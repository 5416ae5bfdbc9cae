//! A folder into which frames arrive, in the window: what is chosen stays, edits stand, times of holding go on.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::desk::{Desk, add_frames, draw_bodies, draw_card};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use endleaf::window::{Outside, Screen};

/// A window that watches a folder in which these frames lie already.
fn watching(day: &str) -> (Desk, PathBuf) {
    let mut desk = Desk::empty();
    let folder = desk.folder.path().join("tether");
    std::fs::create_dir(&folder).unwrap();
    draw_card(&folder, day);
    watch_typed(&mut desk, &folder);
    desk.wait_for("the first frames", |desk| desk.app().day().is_some());
    (desk, folder)
}

fn watch_typed(desk: &mut Desk, folder: &Path) {
    desk.type_text(folder.to_str().unwrap());
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Enter);
    assert!(desk.app().is_watching(), "{:?}", desk.app().notice_words());
}

fn frames(desk: &Desk) -> usize {
    desk.app().day().map_or(0, |day| day.session.frames.len())
}

#[test]
fn an_empty_folder_is_waited_for_and_frames_appear() {
    let mut desk = Desk::empty();
    let folder = desk.folder.path().join("tether");
    std::fs::create_dir(&folder).unwrap();
    watch_typed(&mut desk, &folder);
    desk.wait_for("word that it is empty", |desk| desk.says("No frame is there yet. They are waited for"));
    assert_eq!(desk.app().screen(), Screen::Start);
    draw_card(&folder, "fffff_ff");
    desk.wait_for("the frames", |desk| frames(desk) == 8);
    assert_eq!((desk.app().screen(), desk.sets().as_str()), (Screen::DaySheet, "5 2"));
    assert!(desk.says("specimen 2 is being shot"));
    desk.window.get_by_label("Specimen 2: being shot, 2 frames");
    assert_eq!(desk.app().held().len(), 0, "an animal that is being shot is not short of a view yet");

    add_frames(&folder, 9, "ff_");
    desk.wait_for("its blank", |desk| frames(desk) == 11);
    assert_eq!(desk.sets(), "5 4");
    assert!(!desk.says("is being shot"));
    desk.window.get_by_label("Retake 2: One view short, which is not known yet");
}

#[test]
fn what_is_chosen_typed_and_done_stays_while_frames_come() {
    let (mut desk, folder) = watching("fffff_fffff_");
    desk.key(Key::ArrowDown);
    desk.ctrl(Key::Enter);
    let chosen = desk.app().chosen_frame();
    desk.key(Key::F2);
    desk.type_text("22");
    add_frames(&folder, 13, "fff_");
    desk.wait_for("the third animal", |desk| frames(desk) == 16);
    assert_eq!((desk.app().chosen_set(), desk.app().chosen_frame()), (1, chosen));
    desk.key(Key::Enter);
    let jar = |desk: &Desk| desk.app().day().unwrap().session.specimens[0].jar.clone();
    assert_eq!(jar(&desk), "22");
    assert_eq!(desk.labels(1), "side head-top face above tip");
    desk.key(Key::Escape);
    desk.ctrl(Key::Z);
    assert_eq!(jar(&desk), "");
    desk.ctrl(Key::Z);
    assert_eq!(desk.labels(1), "- - - - -");
    assert_eq!((frames(&desk), desk.sets().as_str()), (16, "5 5 3"));
    // All of it is kept.
    let sessions = desk.folder.path().join("home/sessions");
    let kept = std::fs::read_dir(sessions).unwrap().next().unwrap().unwrap().path().join("session.ron");
    let kept = record::session_from_text(&std::fs::read_to_string(kept).unwrap()).unwrap();
    assert_eq!(kept.frames.len(), 16);
}

#[test]
#[expect(clippy::disallowed_methods, reason = "the folder goes away as a whole; nothing is overwritten")]
fn a_folder_that_vanishes_is_waited_for_and_gone_frames_say_so() {
    let (mut desk, folder) = watching("fffff_ff_");
    let away = desk.folder.path().join("away");
    std::fs::rename(&folder, &away).unwrap();
    desk.wait_for("word of it", |desk| desk.says("The folder cannot be read just now. It is waited for"));
    assert_eq!(desk.sets(), "5 2", "what was read stands");
    std::fs::remove_file(away.join("DCIM/100INVNT/INV_0008.PNG")).unwrap();
    std::fs::rename(&away, &folder).unwrap();
    desk.wait_for("the folder", |desk| !desk.says("cannot be read just now"));
    assert_eq!((desk.sets().as_str(), frames(&desk)), ("5 1", 9));
    desk.key(Key::F5);
    desk.window.get_by_label("INV_0008.PNG: gone from the folder");
    desk.window.get_by_label("Frame 8 gone");
}

#[test]
fn the_open_folder_is_watched_and_left_by_one_key() {
    let mut desk = Desk::on("fffff_");
    let folder = desk.folder.path().join("heath");
    desk.key(Key::F9);
    assert!(desk.app().is_watching() && desk.says("Watching"));
    add_frames(&folder, 7, "fffff_");
    desk.wait_for("new frames", |desk| frames(desk) == 12);
    assert_eq!(desk.app().screen(), Screen::Card, "the page stays");
    assert!(desk.says("6 frames came"));
    desk.key(Key::F9);
    assert!(!desk.app().is_watching() && !desk.says("Watching"));
}

#[test]
fn another_card_ends_watching_and_a_wrong_folder_says_so() {
    let (mut desk, _) = watching("fffff_");
    desk.ctrl(Key::O);
    desk.ctrl(Key::A);
    let other = desk.folder.path().join("other");
    draw_bodies(
        &other,
        "One:f:10:00:00 One:f:10:00:10 One:_:10:00:20 One:f:10:02:00 One:f:10:02:10 One:_:10:02:20",
    );
    desk.type_text(other.to_str().unwrap());
    desk.key(Key::Enter);
    assert_eq!((desk.sets().as_str(), desk.app().is_watching()), ("2 2", false));
    desk.ctrl(Key::O);
    desk.ctrl(Key::A);
    desk.type_text("/nowhere/at/all");
    desk.press(Modifiers::COMMAND | Modifiers::SHIFT, Key::Enter);
    desk.wait_for("word of it", |desk| !desk.app().is_watching());
    let said = desk.app().notice_words().unwrap();
    assert!(said.contains("There is no such folder") && said.contains("/nowhere/at/all"), "{said}");
}

#[test]
fn times_of_holding_go_on_until_the_limit_says_release() {
    let (mut desk, folder) = watching("fff_");
    desk.window.get_by_label("No holding limit set");
    desk.window.get_by_label("under 1 min since first frame");
    desk.ctrl(Key::H);
    desk.type_text("soon");
    desk.key(Key::Enter);
    assert!(desk.says("Type whole minutes, such as 15"));
    desk.ctrl(Key::A);
    desk.type_text("15");
    desk.key(Key::Enter);
    assert_eq!(desk.undo_words(), Some("set the holding limit to 15 min"));
    desk.window.get_by_label("Your limit: 15 min");
    desk.pass_minutes(7);
    assert!(desk.says("min left of your 15") && !desk.says("14 min left"));
    desk.window.get_by_label("Retake 1: Two views short, which is not known yet");
    desk.pass_minutes(10);
    desk.window.get_by_label("Retake 1: Release");
    assert!(desk.says("past your 15"));
    assert!(!desk.says("views short, which"), "what it lacks is not said any more");
    desk.key(Key::F11);
    desk.window.get_by_label("1 retake");
    desk.key(Key::F11);
    // Half a day later it is no animal in a jar.
    desk.pass_minutes(12 * 60);
    assert!(!desk.says("since first frame"));

    // The next session offers the limit of the last, and says so.
    desk.pass_minutes(-(12 * 60 + 17));
    desk.key(Key::F9);
    desk.ctrl(Key::O);
    draw_bodies(&folder.with_file_name("next"), "One:f:10:00:00 One:f:10:00:10 One:_:10:00:20");
    desk.ctrl(Key::A);
    desk.type_text(folder.with_file_name("next").to_str().unwrap());
    desk.key(Key::Enter);
    desk.key(Key::F6);
    desk.window.get_by_label("Your limit: 15 min, as last time");
}

/// Sounds that were asked for. Only the tests here ask for any.
static SOUNDS: AtomicUsize = AtomicUsize::new(0);

fn count_sound(sound: &Path) -> Result<(), String> {
    // RIFF WAVE: Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0 (1991).
    let bytes = std::fs::read(sound).map_err(|e| e.to_string())?;
    assert_eq!((&bytes[..4], &bytes[8..12]), (&b"RIFF"[..], &b"WAVE"[..]));
    SOUNDS.fetch_add(1, Ordering::Relaxed);
    Ok(())
}

#[test]
fn that_a_set_closed_is_told_and_heard_when_a_view_is_missing() {
    let mut desk = Desk::with_outside(Outside { play: count_sound, ..Outside::default() });
    let folder = desk.folder.path().join("tether");
    draw_card(&folder, "fffff_fff");
    desk.type_text(folder.to_str().expect("a path of letters"));
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Enter);
    desk.wait_for("the day", |desk| desk.app().day().is_some());
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    desk.wait_for("the sound of switching it on", |_| SOUNDS.load(Ordering::Relaxed) == 1);
    desk.key(Key::Escape);
    let told = |desk: &Desk| {
        let status = desk.window.query_all_by_role(Role::Status).next();
        status.and_then(|node| node.accesskit_node().label())
    };
    add_frames(&folder, 10, "_fffff");
    desk.wait_for("the end of the second set", |desk| told(desk).is_some());
    assert_eq!(told(&desk).as_deref(), Some("Specimen 2 closed: Two views short, which is not known yet"));
    desk.wait_for("its sound", |_| SOUNDS.load(Ordering::Relaxed) == 2);
    add_frames(&folder, 16, "_f");
    desk.wait_for("the end of the third", |desk| {
        told(desk).as_deref() == Some("Specimen 3 closed, complete")
    });
    assert_eq!(SOUNDS.load(Ordering::Relaxed), 2, "no sound for what is complete");
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::N);
    add_frames(&folder, 18, "_f");
    desk.wait_for("the end of the fourth", |desk| {
        told(desk).is_some_and(|words| words.starts_with("Specimen 4"))
    });
    assert_eq!(SOUNDS.load(Ordering::Relaxed), 2, "switched off");
    // One that comes whole, blank and all, is told as well.
    add_frames(&folder, 20, "_fff_");
    desk.wait_for("the end of the sixth", |desk| {
        told(desk).is_some_and(|words| words.contains("Specimen 6"))
    });
}

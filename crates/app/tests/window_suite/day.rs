//! A day on the window, driven by keys alone: reading, looking, labelling, correcting, filing.

use crate::desk::{Desk, draw_bodies, draw_card, draw_jar_card};
use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use endleaf::window::Screen;

/// Three animals of five views, each closed by a blank, and one that lacks a view.
const DAY: &str = "fffff_fffff_ffff_fffff_";
/// The same with too few whole rounds for the day to teach itself what views look like: order alone proposes.
const BY_ORDER: &str = "fffff_fffff_ffff_";

#[test]
fn a_typed_path_opens_a_card_and_a_wrong_one_says_so() {
    let mut desk = Desk::empty();
    desk.window.get_by_label("Path of the card");
    desk.type_text("/nowhere/at/all");
    desk.key(Key::Enter);
    let said = desk.app().notice_words().unwrap().to_owned();
    assert!(said.contains("no such folder") && said.contains("/nowhere/at/all"), "{said}");
    assert_eq!(desk.app().screen(), Screen::Start);

    let card = desk.folder.path().join("heath");
    draw_card(&card, DAY);
    desk.ctrl(Key::A);
    desk.type_text(card.to_str().unwrap());
    desk.key(Key::Enter);
    assert_eq!(desk.app().screen(), Screen::Card);
    assert_eq!(desk.sets(), "5 5 4 5");
    assert_eq!(desk.app().notice_words(), None);
}

#[test]
fn the_day_sheet_names_every_specimen_and_what_it_lacks() {
    let mut desk = Desk::on(BY_ORDER);
    desk.window.get_by_label("Day sheet: 3 specimens, 1 incomplete, 2 unchecked");
    desk.key(Key::Enter);
    assert_eq!(desk.app().screen(), Screen::DaySheet);
    desk.window.get_by_label_contains("Specimen 1: unchecked, 5 frames");
    desk.window.get_by_label_contains("Specimen 3: one view short, 4 frames");
    desk.window.get_by_label("Retake 3: One view short, which is not known yet");
    desk.window.get_by_label("Face of 1: proposed");
    desk.window.get_by_label("Face of 3: not known yet");
}

#[test]
fn of_one_frame_nobody_knows_which_views_are_missing() {
    let mut desk = Desk::on("f");
    desk.key(Key::F6);
    desk.window.get_by_label("Retake 1: Four views short, which is not known yet");
    desk.window.get_by_label_contains("Specimen 1: four views short, 1 frame");
    desk.window.get_by_label("Face of 1: not known yet");
    // Once it is known which one is there, the others are named.
    desk.key(Key::F7);
    desk.key(Key::F);
    desk.window.get_by_label("Side of 1: missing");
}

#[test]
fn a_set_runs_from_its_first_time_to_its_last_also_with_an_earlier_frame_moved_into_it() {
    let mut desk = Desk::on_card(|card| {
        let frames = ["10:00:05", "10:00:15", "10:00:25", "10:01:05", "10:01:15", "10:01:25"];
        let day: Vec<String> =
            frames.iter().zip("ff_ff_".chars()).map(|(time, c)| format!("One:{c}:{time}")).collect();
        draw_bodies(card, &day.join(" "));
    });
    assert_eq!(desk.sets(), "2 2");
    desk.key(Key::F7);
    desk.ctrl(Key::M);
    desk.type_text("2");
    desk.key(Key::Enter);
    assert_eq!(desk.sets(), "1 3", "{:?}", desk.app().notice_words());
    desk.window.get_by_label("3 frames, 10:00:05 to 10:01:15");
}

#[test]
fn how_a_day_stands_is_kept_with_each_change_of_it() {
    let mut desk = Desk::on("fffff_ffff_");
    let kept = |desk: &Desk| {
        let text = std::fs::read_to_string(desk.folder.path().join("home/window.ron")).unwrap();
        let number = |name: &str| {
            let (_, rest) = text.split_once(&format!("{name}: ")).unwrap();
            rest.split(',').next().unwrap().to_owned()
        };
        ["specimens", "incomplete", "unchecked"].map(number).join(" ")
    };
    assert_eq!(kept(&desk), "2 1 1");
    // Without leaving the day: a power cut may come any time.
    desk.key(Key::F6);
    desk.ctrl(Key::Enter);
    assert_eq!(kept(&desk), "2 1 0");
    desk.ctrl(Key::Z);
    assert_eq!(kept(&desk), "2 1 1");
}

#[test]
fn letters_label_frames_and_missing_views_get_their_names() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    for _ in 0..2 {
        desk.key(Key::ArrowDown);
    }
    desk.key(Key::Enter);
    assert_eq!((desk.app().screen(), desk.app().chosen_set()), (Screen::Specimen, 2));
    for key in [Key::S, Key::T, Key::A, Key::E] {
        desk.key(key);
    }
    assert_eq!(desk.labels(2), "side head-top above tip");
    desk.window.get_by_label("Face of 3: missing");
    assert_eq!(desk.undo_words(), Some("labelled frame 16 abdomen tip"));
    // The last frame stays chosen; its label can be cleared and brought back.
    desk.key(Key::Backspace);
    assert_eq!(desk.labels(2), "side head-top above -");
    desk.ctrl(Key::Z);
    assert_eq!(desk.labels(2), "side head-top above tip");
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(desk.labels(2), "side head-top above -");
}

#[test]
fn proposed_views_are_confirmed_at_once() {
    let mut desk = Desk::on(BY_ORDER);
    desk.key(Key::F6);
    desk.ctrl(Key::Enter);
    assert_eq!(desk.labels(0), "side head-top face above tip");
    desk.window.get_by_label_contains("Specimen 1: complete");
    desk.key(Key::F4);
    assert_eq!(desk.app().chosen_set(), 1, "the next incomplete one");
}

#[test]
fn sets_are_split_joined_and_frames_set_aside_and_moved() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    for _ in 0..2 {
        desk.key(Key::ArrowRight);
    }
    desk.ctrl(Key::B);
    assert_eq!(desk.sets(), "2 3 5 4 5");
    assert_eq!(desk.undo_words(), Some("split before frame 3"));
    assert_eq!(desk.app().chosen_set(), 1, "the chosen frame goes along");
    desk.ctrl(Key::J);
    assert_eq!(desk.sets(), "5 5 4 5");
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::J);
    assert_eq!(desk.sets(), "10 4 5");
    desk.ctrl(Key::Z);
    desk.ctrl(Key::D);
    assert_eq!(desk.sets(), "4 5 4 5");
    desk.window.get_by_label("Frame 3: set aside");
    desk.key(Key::ArrowLeft);
    desk.ctrl(Key::D);
    assert_eq!(desk.sets(), "5 5 4 5", "taken back");
    desk.ctrl(Key::M);
    desk.type_text("9");
    desk.key(Key::Enter);
    desk.window.get_by_label("There is no specimen of this number.");
    desk.key(Key::Backspace);
    desk.type_text("2");
    desk.key(Key::Enter);
    assert_eq!(desk.sets(), "4 6 4 5");
}

#[test]
fn jars_are_typed_down_the_rows() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.key(Key::F2);
    for jar in ["21", "22"] {
        desk.type_text(jar);
        desk.key(Key::Enter);
    }
    desk.type_text("not this");
    desk.key(Key::Escape);
    let session = &desk.app().day().unwrap().session;
    let jars: Vec<&str> = session.specimens.iter().map(|s| s.jar.as_str()).collect();
    assert_eq!(jars, ["21", "22"]);
    assert_eq!(desk.app().screen(), Screen::DaySheet, "Esc only left the field");
    desk.window.get_by_label_contains("Specimen 2, jar 22");
}

#[test]
fn a_query_is_answered_by_key() {
    // No blank between ten frames, among sets of five: one animal or two?
    let mut desk = Desk::on("fffff_fffff_ffffffffff_fffff_");
    let queries = |desk: &Desk| desk.app().day().unwrap().grouping.queries.len();
    let (asked, before) = (queries(&desk), desk.sets());
    assert!(asked > 0);
    desk.key(Key::N);
    assert!(queries(&desk) < asked);
    assert_ne!(desk.sets(), before, "the second answer is the other reading");
    assert!(desk.undo_words().unwrap().contains(" at frame "), "{:?}", desk.undo_words());
}

#[test]
fn one_nudge_of_the_line_is_one_change() {
    let mut desk = Desk::on(DAY);
    let level = desk.app().day().unwrap().line.level;
    desk.ctrl(Key::ArrowUp);
    let line = desk.app().day().unwrap().line;
    assert!(line.by_hand && (line.level / level - 1.05).abs() < 1e-3, "{line:?} from {level}");
    desk.ctrl(Key::Z);
    assert_eq!((desk.app().day().unwrap().line.level, desk.undo_words()), (level, None));
}

#[test]
fn dragging_the_line_is_one_change() {
    let mut desk = Desk::on(DAY);
    let level = desk.app().day().unwrap().line.level;
    let from = desk.window.get_by_label("Line below which a frame is a blank").rect().center();
    desk.window.drag_at(from);
    desk.window.step();
    for dy in [-5.0, -15.0, -30.0] {
        desk.window.hover_at(from + egui::vec2(0.0, dy));
        desk.window.step();
    }
    assert_eq!(desk.undo_words(), None, "nothing is changed while it moves");
    desk.window.drop_at(from + egui::vec2(0.0, -30.0));
    desk.wait();
    assert!(desk.app().day().unwrap().line.level > level);
    desk.ctrl(Key::Z);
    assert_eq!((desk.app().day().unwrap().line.level, desk.undo_words()), (level, None));
}

#[test]
fn a_day_is_filed_and_the_session_is_kept() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F8);
    assert_eq!(desk.app().screen(), Screen::Filing);
    let archive = desk.folder.path().join("archive");
    desk.type_text(archive.to_str().unwrap());
    desk.key(Key::Enter);
    assert!(desk.says("_001_frame_01.png"));
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::F);
    desk.window.get_by_label("Filing: filed");
    desk.window.get_by_label_contains("23 files copied and read back");
    desk.window.get_by_label_contains("The card may be wiped");
    let folders =
        std::fs::read_dir(&archive).unwrap().filter(|entry| entry.as_ref().unwrap().path().is_dir());
    assert_eq!(folders.count(), 1);
    assert_eq!(desk.undo_words(), None, "numbers are fixed now");

    let saved = desk.folder.path().join("home/sessions");
    assert_eq!(std::fs::read_dir(saved).unwrap().count(), 1);
}

#[test]
fn a_set_is_taken_for_a_retake_of_an_earlier_specimen() {
    let mut desk = Desk::on("ffff_fffff_fffff_f_");
    desk.key(Key::F6);
    desk.key(Key::End);
    let retake = Modifiers::COMMAND | Modifiers::SHIFT;
    desk.key_with(retake, Key::M);
    desk.window.get_by_label("Specimen 4 is a retake of which one?");
    for (number, refused) in [("9", "There is no specimen"), ("4", "A retake comes after its specimen")] {
        desk.type_text(number);
        desk.key(Key::Enter);
        assert!(desk.says(refused), "{number}");
        desk.key(Key::Backspace);
    }
    desk.type_text("1");
    desk.key(Key::Enter);
    assert_eq!(desk.sets(), "5 5 5");
    assert_eq!(desk.undo_words(), Some("took 4 for a retake of 1"));
    desk.ctrl(Key::Z);
    assert_eq!(desk.sets(), "4 5 5 1");
    desk.key(Key::Home);
    desk.key_with(retake, Key::M);
    assert!(!desk.says("is a retake of which one"), "nothing comes before the first");
}

#[test]
fn a_jar_read_from_its_card_is_shown_as_such_until_one_is_written() {
    let mut desk = Desk::on_card(|card| {
        draw_card(card, "fffff_fffff_");
        draw_jar_card(card, 1, "21");
    });
    desk.key(Key::F6);
    desk.window.get_by_label_contains("Specimen 1, card 21: ");
    desk.window.get_by_label("card 21");
    desk.window.get_by_label("Retake 1: One view short, which is not known yet");
    desk.window.get_by_label("card 21, which is not known yet");
    desk.key(Key::F2);
    desk.type_text("21b");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.window.get_by_label_contains("Specimen 1, jar 21b: ");
    // The card itself is a reference frame; it can be made a frame of the animal, and back.
    desk.key(Key::F5);
    desk.key(Key::ArrowLeft);
    for _ in 0..12 {
        desk.key(Key::ArrowLeft);
    }
    desk.window.get_by_label("Frame 1 reference");
    desk.ctrl(Key::R);
    desk.window.get_by_label("Frame 1");
    assert_eq!(desk.sets(), "5 5");
    desk.ctrl(Key::R);
    assert_eq!(desk.sets(), "4 5");
}

#[test]
fn a_day_opened_before_is_offered_with_what_is_open_and_opened_again() {
    let mut desk = Desk::on("fffff_ffff_");
    desk.ctrl(Key::O);
    let date = desk.app().day().unwrap().session.date().unwrap();
    let day = date[8..].trim_start_matches('0').to_owned();
    let labels = |desk: &Desk| -> Vec<String> {
        let buttons = desk.window.query_all_by_role(Role::Button);
        buttons.filter_map(|b| b.accesskit_node().label()).collect()
    };
    let name = labels(&desk).into_iter().find(|l| l.starts_with("Open heath")).unwrap();
    assert!(name.starts_with(&format!("Open heath, {day} ")), "{name}");
    assert!(name.ends_with(": 2 specimens, 1 incomplete, 1 unchecked, not filed"), "{name}");
    desk.window.get_by_role_and_label(Role::Button, &name).click();
    desk.wait();
    assert_eq!(desk.app().screen(), Screen::Card);
    let kept = std::fs::read_to_string(desk.folder.path().join("home/window.ron")).unwrap();
    assert_eq!(kept.matches("card:").count(), 1, "each day once: {kept}");
}

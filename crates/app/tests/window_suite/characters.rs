//! The characters of a specimen: scored by keys, emptied, taken back; not seen and nobody looked told apart; what does not go
//! together pointed out; the frame that shows a character best.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;

use crate::desk::Desk;

const DAY: &str = "fffff_fffff_ffff_";
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// The list of characters of the first specimen, with the keyboard in it.
fn on_list() -> Desk {
    let mut desk = Desk::on(DAY);
    desk.key_with(Modifiers::SHIFT, Key::F7);
    assert_eq!(desk.app().screen(), Screen::Specimen);
    desk
}

/// What is scored of the specimen of a set: `sting seen, hair-t2 yellow+black`.
pub(crate) fn scores(desk: &Desk, set: usize) -> String {
    let session = &desk.app().day().unwrap().session;
    let Some(record) = session.record_of(&session.sets[set]) else { return String::new() };
    let one = |(key, scores): (&record::CharacterKey, &Vec<record::Score>)| {
        let states: Vec<&str> = scores.iter().map(|s| s.state.as_str()).collect();
        format!("{key} {}", states.join("+"))
    };
    record.scores.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Goes down the list from its top.
pub(crate) fn go_down(desk: &mut Desk, characters: usize) {
    desk.key(Key::Home);
    for _ in 0..characters {
        desk.key(Key::ArrowDown);
    }
}

#[test]
fn characters_are_scored_emptied_and_taken_back_by_keys() {
    let mut desk = on_list();
    // The first is scored by its digit, the second by going beside, the third emptied again.
    desk.key(Key::Num2);
    assert_eq!(scores(&desk, 0), "antenna-segments 13");
    assert_eq!(desk.undo_words(), Some("scored antenna segments of 1"));
    desk.key(Key::ArrowDown);
    desk.key(Key::ArrowRight);
    desk.key(Key::ArrowRight);
    assert_eq!(scores(&desk, 0), "antenna-segments 13, visible-terga 7");
    desk.key(Key::ArrowLeft);
    assert_eq!(scores(&desk, 0), "antenna-segments 13, visible-terga 6");
    desk.key(Key::ArrowDown);
    desk.key(Key::Num3);
    assert!(scores(&desk, 0).contains("hind-tibia not-seen"));
    desk.key(Key::Backspace);
    assert_eq!(scores(&desk, 0), "antenna-segments 13, visible-terga 6");
    assert_eq!(desk.undo_words(), Some("emptied outer face of the hind tibia of 1"));
    // Backspace took no view away, and arrows left the frame where it is.
    let frames = &desk.app().day().unwrap().session.sets[0].frames;
    assert_eq!(desk.app().chosen_frame(), Some(frames[0]));
    for _ in 0..6 {
        desk.ctrl(Key::Z);
    }
    assert!(
        desk.app().day().unwrap().session.specimens.is_empty(),
        "the record was begun by the first score"
    );
}

#[test]
fn letters_go_on_labelling_while_the_list_has_the_keyboard() {
    let mut desk = on_list();
    desk.key(Key::S);
    assert_eq!(desk.labels(0).replace(" -", ""), "side");
    desk.key(Key::Num1);
    assert_eq!(scores(&desk, 0), "antenna-segments 12", "it has the keyboard still");
    // Elsewhere the arrows are those of frames again.
    desk.key_with(Modifiers::SHIFT, Key::F5);
    let before = desk.app().chosen_frame();
    desk.key(Key::ArrowRight);
    assert_ne!(desk.app().chosen_frame(), before);
}

#[test]
fn not_seen_is_told_from_nobody_looked() {
    let mut desk = on_list();
    desk.window.get_by_role_and_label(Role::ListItem, "Sting: –");
    go_down(&mut desk, 3);
    desk.key(Key::Num2);
    desk.window.get_by_role_and_label(Role::ListItem, "Sting: not seen");
    assert_eq!(scores(&desk, 0), "sting not-seen");
    desk.window.get_by_label("1 of 8 looked at");
    // The caution stands there while the keyboard does.
    assert!(desk.says("Never touch or press an animal to see its sting"));
    desk.key(Key::ArrowDown);
    assert!(!desk.says("Never touch or press an animal to see its sting"));
}

#[test]
fn a_region_takes_two_colours_and_the_oldest_gives_way() {
    let mut desk = on_list();
    // The second region of colour is the tenth character: the top of the head.
    go_down(&mut desk, 9);
    desk.window.get_by_role_and_label(Role::CheckBox, "Hair: top of head: yellow");
    desk.key(Key::ArrowRight);
    desk.key(Key::Space);
    desk.key(Key::Num1);
    assert_eq!(scores(&desk, 0), "hair-vertex yellow+black");
    desk.key(Key::Num3);
    assert_eq!(scores(&desk, 0), "hair-vertex black+white");
    // How much of it each covers, by tens; what it was is gone with another colour.
    desk.key(Key::Plus);
    desk.key(Key::Plus);
    assert!(desk.says("black 70 % + white 30 %"));
    desk.key(Key::Minus);
    assert!(desk.says("black 60 % + white 40 %"));
    desk.ctrl(Key::Z);
    assert!(desk.says("black 70 % + white 30 %"));
    desk.key(Key::Num9);
    assert_eq!(scores(&desk, 0), "hair-vertex not-seen");
    desk.window.get_by_role_and_label(Role::CheckBox, "Hair: top of head: grey").click();
    desk.wait();
    assert_eq!(scores(&desk, 0), "hair-vertex grey");
}

#[test]
fn what_does_not_go_together_is_said_with_its_source_and_nothing_is_corrected() {
    let mut desk = on_list();
    // University of Utah / Evergreen guide 1997 and Watson & Dallwitz: 12 segments are a female's, seven of the abdomen a
    // male's.
    desk.key(Key::Num1);
    desk.key(Key::ArrowDown);
    desk.key(Key::Num2);
    desk.window.get_by_label("What does not go together");
    assert!(desk.says("12 segments of the antenna are a female's"));
    assert!(desk.says("Source: University of Utah / Evergreen guide 1997"));
    assert_eq!(scores(&desk, 0), "antenna-segments 12, visible-terga 7");
    // A field of the record counts as well.
    desk.key(Key::Num1);
    assert!(!desk.says("12 segments of the antenna are a female's"));
    desk.key_with(Modifiers::SHIFT, Key::F6);
    desk.window.get_by_role_and_label(Role::TextInput, "Sex").focus();
    desk.wait();
    desk.type_text("male");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.key_with(Modifiers::SHIFT, Key::F7);
    assert!(desk.says("Noted as a male, but 12 segments of the antenna are counted"));
    assert!(desk.says("Noted as a male, but six segments of the abdomen are counted"));
}

#[test]
fn the_best_frame_of_a_view_that_shows_it_is_one_key_away() {
    let mut desk = Desk::on("fffff_fffff_fff_");
    // The third animal has side and the top of the head alone; its face, above and tip do not exist.
    desk.key(Key::F7);
    for _ in 0..2 {
        desk.key(Key::PageDown);
    }
    desk.key(Key::S);
    desk.key(Key::T);
    desk.key(Key::D);
    let frames = desk.app().day().unwrap().session.sets[2].frames.clone();
    desk.key_with(Modifiers::SHIFT, Key::F7);
    go_down(&mut desk, 8);
    // The hair of the face is shown by the face alone.
    let labelled = desk.labels(2);
    assert!(!labelled.contains("face"), "{labelled}");
    assert!(desk.says("No frame of face yet: nothing here can show it."));
    desk.key_with(CTRL_SHIFT, Key::G);
    assert!(desk.app().notice_words().unwrap().contains("No frame of face"));
    desk.key(Key::Escape);
    desk.key(Key::Num1);
    desk.key(Key::Home);
    assert!(desk.says("Noted although no frame shows it: hair: face"));
    // The first segment of the abdomen is shown by the side, which is the first frame.
    go_down(&mut desk, 14);
    let side = frames[labelled.split(' ').position(|view| view == "side").unwrap()];
    assert!(desk.says("Show frame 13, side"));
    desk.key_with(CTRL_SHIFT, Key::G);
    assert_eq!(desk.app().chosen_frame(), Some(side));
}

#[test]
fn a_plan_without_characters_says_so_and_what_to_do() {
    let mut desk = on_list();
    desk.ctrl(Key::P);
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    assert!(desk.says("No characters are written for this round of views"));
    desk.key(Key::Num1);
    assert_eq!(scores(&desk, 0), "");
    desk.ctrl(Key::Z);
    desk.window.get_by_role_and_label(Role::ListItem, "Sting: –");
}

/// Draws a card of two dark animals with a plainly yellow patch in their middle, on grey, and two blanks, the second warm.
fn draw_yellow(folder: &std::path::Path) {
    let dcim = folder.join("DCIM/100INVNT");
    std::fs::create_dir_all(&dcim).unwrap();
    for (n, c) in (1..).zip("ff_f~".chars()) {
        let near = |x: u32, y: u32, far: u32| x.abs_diff(300) < far && y.abs_diff(200) < far;
        let picture = image::RgbImage::from_fn(600, 400, |x, y| match c {
            'f' if near(x, y, 60) => image::Rgb([232, 196, 64]),
            'f' if near(x, y, 120) => image::Rgb([20, 20, 20]),
            '~' => image::Rgb([220, 200, 160]),
            _ => image::Rgb([200, 200, 200]),
        });
        picture.save(dcim.join(format!("INV_{n:04}.PNG"))).unwrap();
    }
}

#[test]
fn a_colour_is_picked_against_the_blank_and_its_word_taken_by_one_key() {
    let mut desk = Desk::on_card(draw_yellow);
    desk.key_with(Modifiers::SHIFT, Key::F7);
    desk.window.set_size(egui::vec2(1280.0, 1400.0));
    desk.wait_for("the full picture", |desk| desk.app().picture_px() == Some([600.0, 400.0]));
    desk.key_with(CTRL_SHIFT, Key::H);
    assert!(desk.undo_words().is_none(), "no region of colour is open");
    go_down(&mut desk, 8);
    assert!(desk.says("Click to pick a colour for the open region: a circle of 9 px"));
    // Larger by three steps of a quarter.
    for _ in 0..3 {
        desk.ctrl(Key::ArrowUp);
    }
    assert!(desk.says("a circle of 18 px"));
    desk.key_with(CTRL_SHIFT, Key::H);
    desk.wait_for("the colour", |desk| desk.says("Take yellow"));
    // A grey blank changes nothing. By IEC 61966-2-1 and ISO/CIE 11664-4 with D65, sRGB 232, 196, 64 is worked by hand to
    // L* 80.2, a* −0.6, b* 67.3.
    assert!(desk.says("L* 80 ± 0, a* -1 ± 0, b* 67 ± 0"));
    assert!(desk.says("nearest to yellow (ΔE00 0)"));
    assert_eq!(scores(&desk, 0), "", "it is proposed only");
    desk.key_with(CTRL_SHIFT, Key::Enter);
    assert_eq!(scores(&desk, 0), "hair-face yellow");
    assert_eq!(desk.undo_words(), Some("took yellow for hair: face of 1"));
    let session = &desk.app().day().unwrap().session;
    let picked = session.specimens[0].colours[&"hair-face".into()].picked.clone().unwrap();
    assert_eq!(picked.neutral, session.sets[0].closed_by, "the blank that closes the set");
    assert_eq!(picked.frame, session.sets[0].frames[0]);
    let near = picked.lab.iter().zip([80.2, -0.6, 67.3]).all(|(got, by_hand)| (got - by_hand).abs() < 0.05);
    assert!(near, "{:?}", picked.lab);
    // Emptying the region takes what was picked along, and undo brings both back exactly.
    let before = record::session_to_text(session);
    desk.key(Key::Backspace);
    let session = &desk.app().day().unwrap().session;
    assert!(session.specimens[0].colours.is_empty() && session.specimens[0].scores.is_empty());
    desk.ctrl(Key::Z);
    assert_eq!(record::session_to_text(&desk.app().day().unwrap().session), before);
    desk.ctrl(Key::Z);
    assert!(desk.app().day().unwrap().session.specimens.is_empty());
}

#[test]
fn what_makes_a_picked_colour_unsafe_is_said() {
    let mut desk = Desk::on_card(draw_yellow);
    desk.key_with(Modifiers::SHIFT, Key::F7);
    desk.window.set_size(egui::vec2(1280.0, 1400.0));
    // The second animal is closed by a blank that is not grey.
    desk.key(Key::PageDown);
    desk.wait_for("the full picture", |desk| desk.app().picture_px() == Some([600.0, 400.0]));
    go_down(&mut desk, 8);
    desk.key_with(CTRL_SHIFT, Key::H);
    desk.wait_for("the colour", |desk| desk.says("Doubtful: the blank is not grey"));
    // So large a circle takes more than the hair.
    for _ in 0..12 {
        desk.ctrl(Key::ArrowUp);
    }
    desk.key_with(CTRL_SHIFT, Key::H);
    desk.wait_for("another colour", |desk| desk.says("Doubtful: the patch has several colours"));
    assert!(desk.says("Take mixed"));
}

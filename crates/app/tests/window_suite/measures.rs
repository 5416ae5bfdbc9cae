//! Marks on pictures: placed, moved, named and deleted by keys; lengths by a known one with the uncertainty of the guide; a scale
//! carried from another frame; ratios and what they stand for; all of it kept and taken back.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use std::path::Path;

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use image::{GrayImage, Luma};
use imaging::Uncertain;
use record::{Mark, MarkKind, ScaleUsed};

use crate::characters::scores;
use crate::desk::Desk;

const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// Draws a card of frames of 1200 × 800 px: two animals of two frames each.
fn draw_large(folder: &Path) {
    let dcim = folder.join("DCIM/100INVNT");
    std::fs::create_dir_all(&dcim).unwrap();
    for (n, c) in (1..).zip("ff_ff_".chars()) {
        let inside = |x: u32, y: u32| c == 'f' && (300..900).contains(&x) && (250..550).contains(&y);
        let picture = GrayImage::from_fn(1200, 800, |x, y| Luma([if inside(x, y) { 20 } else { 200 }]));
        picture.save(dcim.join(format!("INV_{n:04}.PNG"))).unwrap();
    }
}

/// The first frame of the first animal, its full picture shown beside the page of measures.
fn on_measures() -> Desk {
    let mut desk = Desk::on_card(draw_large);
    desk.key_with(Modifiers::SHIFT, Key::F9);
    shown(&mut desk);
    desk
}

/// Makes room for all that is said beside the picture.
fn tall(desk: &mut Desk) {
    desk.window.set_size(egui::vec2(1280.0, 1700.0));
    desk.wait();
}

fn shown(desk: &mut Desk) {
    desk.wait_for("the full picture", |desk| desk.app().picture_px() == Some([1200.0, 800.0]));
}

fn times(desk: &mut Desk, modifiers: Modifiers, key: Key, n: usize) {
    for _ in 0..n {
        desk.press(modifiers, key);
    }
    desk.wait();
}

/// Places a line by keys from 100 px left of the middle of the picture, or as many hundreds more, of so many hundreds of px.
fn place_line(desk: &mut Desk, from: usize, long: usize) {
    times(desk, Modifiers::COMMAND, Key::ArrowLeft, from);
    desk.key(Key::Space);
    times(desk, Modifiers::COMMAND, Key::ArrowRight, long);
    desk.key(Key::Space);
}

/// Marks 10 ± 0.02 mm over 1000 px.
fn mark_known(desk: &mut Desk) {
    desk.key_with(CTRL_SHIFT, Key::S);
    place_line(desk, 5, 10);
    desk.key(Key::Enter);
    desk.type_text("10");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
}

fn marks(desk: &Desk) -> Vec<Mark> {
    desk.app().day().unwrap().session.marks.values().cloned().collect()
}

#[test]
fn a_line_is_measured_by_a_known_length_with_the_uncertainty_of_the_guide() {
    let mut desk = on_measures();
    assert!(desk.says("No scale yet. Mark a length you know"));
    mark_known(&mut desk);
    let known = marks(&desk)[0].clone();
    assert_eq!(known.points, [(100.0, 400.0), (1100.0, 400.0)]);
    assert_eq!(known.known, Some(record::KnownLength { mm: 10.0, standard_mm: 0.02 }));
    assert_eq!(desk.undo_words(), Some("gave 10 mm to the known length on frame 1"));
    assert!(desk.says("known length: 10.00 mm, known"));

    desk.ctrl(Key::F9);
    place_line(&mut desk, 0, 4);
    assert_eq!(desk.undo_words(), Some("marked a line on frame 1"));
    let line = marks(&desk)[1].clone();
    assert_eq!((line.kind, line.scale), (MarkKind::Line, ScaleUsed::SameFrame));
    // A point is placed within one pixel of the screen, so within so many of the picture.
    let zoom = f64::from(desk.app().picture_lies().0);
    assert!((line.placing_px - 1.0 / zoom).abs() < 1e-3, "{} at {zoom}", line.placing_px);
    // 10 mm over 1000 px, 400 px: 4.000 mm. By JCGM 100:2008 the relative variances of both spans, two ends each, and of the
    // known length add up.
    let ends = 2f64.sqrt() * line.placing_px;
    let relative = ((ends / 400.0).powi(2) + (ends / 1000.0).powi(2) + (0.02_f64 / 10.0).powi(2)).sqrt();
    let words = Uncertain { value: 4.0, standard: 4.0 * relative }.words();
    assert!(desk.says(&format!("line: {words} mm")), "{words}");

    // What is measured is begun to be typed; the session holds all of it.
    desk.key(Key::Enter);
    tall(&mut desk);
    desk.type_text("int");
    desk.key(Key::Enter);
    assert_eq!(desk.undo_words(), Some("named line on frame 1 intertegular distance"));
    assert!(desk.says("Dry mass, estimated") && desk.says("never the weight of this animal"));
    // Cane 1987 by hand: 4 mm makes 58.45 mg; the refit of Kendall et al. 2019 57.9.
    assert!(desk.says("58 ± ") || desk.says("58.5 ± ") || desk.says("58.4 ± "));
    assert!(desk.says("Kendall et al. 2019") && desk.says("Cane 1987"));
    let before = marks(&desk);
    let desk = desk.open_again(Some("heath"));
    assert_eq!(marks(&desk), before);
}

#[test]
fn points_are_moved_by_keys_kept_under_one_undo_and_marks_deleted() {
    let mut desk = on_measures();
    mark_known(&mut desk);
    desk.ctrl(Key::F9);
    place_line(&mut desk, 0, 4);
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    // Out of the field first; the chosen mark is opened again.
    desk.ctrl(Key::ArrowLeft);
    desk.key(Key::ArrowLeft);
    desk.key_with(Modifiers::SHIFT, Key::ArrowUp);
    desk.key(Key::Tab);
    desk.key(Key::ArrowRight);
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    assert_eq!(marks(&desk)[1].points, [(599.0, 390.0), (1001.0, 400.0)]);
    assert_eq!(desk.undo_words(), Some("moved a point of line on frame 1"));
    desk.ctrl(Key::Z);
    assert_eq!(marks(&desk)[1].points, [(599.0, 390.0), (1000.0, 400.0)], "one undo a point");
    desk.ctrl(Key::Z);
    assert_eq!(marks(&desk)[1].points, [(600.0, 400.0), (1000.0, 400.0)]);
    desk.key_with(CTRL_SHIFT, Key::Z);
    assert_eq!(marks(&desk)[1].points, [(599.0, 390.0), (1000.0, 400.0)]);
    // Esc leaves what was nudged as it was.
    desk.ctrl(Key::ArrowLeft);
    desk.key(Key::ArrowDown);
    desk.key(Key::Escape);
    assert_eq!(marks(&desk)[1].points, [(599.0, 390.0), (1000.0, 400.0)]);
    // Without its known length nothing has a scale.
    desk.ctrl(Key::ArrowRight);
    desk.ctrl(Key::ArrowRight);
    desk.key(Key::Delete);
    assert_eq!(desk.undo_words(), Some("deleted known length on frame 1"));
    let left = marks(&desk);
    assert_eq!((left.len(), left[0].scale), (1, ScaleUsed::Unscaled));
    assert!(desk.says(" px"));
    desk.ctrl(Key::Z);
    assert_eq!(marks(&desk)[1].scale, ScaleUsed::SameFrame);
}

#[test]
fn placing_is_cancelled_by_esc_and_a_polyline_ended_by_enter() {
    let mut desk = on_measures();
    desk.ctrl(Key::F9);
    desk.key(Key::Space);
    assert!(desk.says("Point 2 of 2: click, or move the cross"));
    desk.key(Key::Escape);
    assert_eq!((marks(&desk).len(), desk.undo_words()), (0, None));
    desk.key_with(CTRL_SHIFT, Key::F9);
    for (key, n) in [(Key::ArrowRight, 1), (Key::ArrowDown, 2), (Key::ArrowLeft, 1)] {
        times(&mut desk, Modifiers::COMMAND, key, n);
        desk.key(Key::Space);
    }
    desk.key(Key::Backspace);
    times(&mut desk, Modifiers::SHIFT, Key::ArrowUp, 2);
    desk.key(Key::Space);
    desk.key(Key::Enter);
    let mark = marks(&desk)[0].clone();
    assert_eq!(mark.kind, MarkKind::Polyline);
    assert_eq!(mark.points, [(700.0, 400.0), (700.0, 600.0), (600.0, 580.0)]);
    // 200 and √(100² + 20²) px.
    assert!(desk.says("polyline: 302 ± ") || desk.says("polyline: 302.0 ± "));
    // A point goes before the last, where it is moved at once, and away again.
    desk.key(Key::Insert);
    desk.key(Key::ArrowRight);
    desk.key(Key::Tab);
    let points = [(700.0, 400.0), (700.0, 600.0), (651.0, 590.0), (600.0, 580.0)];
    assert_eq!(marks(&desk)[0].points, points);
    desk.ctrl(Key::Z);
    assert_eq!(desk.undo_words(), Some("added a point to polyline on frame 1"));
    desk.key_with(Modifiers::SHIFT, Key::Tab);
    desk.key(Key::Backspace);
    assert_eq!(marks(&desk)[0].points, mark.points);
    assert_eq!(desk.undo_words(), Some("took a point from polyline on frame 1"));
    // The square between two points does the same by the pointer.
    desk.window.get_by_label("Between points 1 and 2 of polyline").click();
    desk.wait();
    assert_eq!(marks(&desk)[0].points[1], (700.0, 500.0));
    desk.ctrl(Key::Z);
    // Letters go on labelling, and arrows are those of frames once no mark is open.
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.key(Key::S);
    assert!(desk.labels(0).starts_with("side"));
}

#[test]
fn a_scale_is_carried_with_what_speaks_against_it() {
    let mut desk = on_measures();
    mark_known(&mut desk);
    desk.key(Key::ArrowRight);
    shown(&mut desk);
    desk.ctrl(Key::F9);
    place_line(&mut desk, 0, 4);
    assert_eq!(marks(&desk)[1].scale, ScaleUsed::Unscaled);
    desk.window.get_by_role_and_label(Role::CheckBox, "frame 1").click();
    desk.wait();
    let first = marks(&desk)[0].frame;
    assert_eq!(marks(&desk)[1].scale, ScaleUsed::Carried(first));
    assert_eq!(desk.undo_words(), Some("measured line on frame 2 by the scale of frame 1"));
    assert!(desk.says("line: 4.00"));
    assert!(desk.says("Not recorded, so not checked: camera body, lens, focal length, focus distance."));
    desk.ctrl(Key::Z);
    assert_eq!(marks(&desk)[1].scale, ScaleUsed::Unscaled);
}

#[test]
fn tilt_and_depth_count_in_the_uncertainty() {
    let mut desk = on_measures();
    tall(&mut desk);
    mark_known(&mut desk);
    desk.ctrl(Key::F9);
    place_line(&mut desk, 0, 4);
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    let of_plane = |desk: &mut Desk, name: &str, typed: &str| {
        desk.window.get_by_role_and_label(Role::TextInput, name).focus();
        desk.wait();
        desk.ctrl(Key::A);
        desk.key(Key::Backspace);
        desk.type_text(typed);
        desk.key(Key::Enter);
    };
    of_plane(&mut desk, "Tilt, up to", "20");
    of_plane(&mut desk, "Depth, up to", "2,5");
    let line = marks(&desk)[1].clone();
    assert_eq!((line.tilt_deg, line.depth_share), (20.0, 0.025));
    assert_eq!(desk.undo_words(), Some("said how line on frame 1 may lie out of the plane"));
    // JCGM 100:2008, 4.3.7: the largest error over √3. 1 − cos 20° is 6.03 %, so 3.48 %; 2.5 % makes 1.44 %.
    assert!(desk.says("tilt 3.48 %, depth 1.44 %"));
    of_plane(&mut desk, "Tilt, up to", "90");
    assert!(desk.says("a tilt is a number from 0 to below 90"));
    assert_eq!(marks(&desk)[1], line);
    of_plane(&mut desk, "Tilt, up to", "");
    assert_eq!(marks(&desk)[1], Mark { tilt_deg: 0.0, ..line }, "empty is none");
    // A second known length is told, and counts.
    desk.key_with(CTRL_SHIFT, Key::S);
    place_line(&mut desk, 5, 5);
    desk.key(Key::Enter);
    desk.type_text("10");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.ctrl(Key::ArrowLeft);
    desk.ctrl(Key::ArrowLeft);
    assert!(desk.says("the one marked last counts"));
    assert!(desk.says("line: 8.0"));
}

#[test]
fn a_ratio_offers_the_state_it_stands_for() {
    let mut desk = on_measures();
    tall(&mut desk);
    for (long, name) in [(4, "cheek width"), (5, "cheek length")] {
        desk.ctrl(Key::F9);
        place_line(&mut desk, 1, long);
        desk.key(Key::Enter);
        desk.type_text(name);
        desk.key(Key::Enter);
    }
    let both = marks(&desk);
    assert_eq!(both[1].ratio_to, Some(both[0].id), "length is divided by width");
    assert!(desk.says("Ratio 1.25"));
    assert!(desk.says("Take cheek length: long"));
    assert_eq!(scores(&desk, 0), "");
    desk.key_with(CTRL_SHIFT, Key::Enter);
    assert_eq!(scores(&desk, 0), "cheek-length long");
    assert_eq!(desk.undo_words(), Some("scored cheek length of 1"));
    desk.ctrl(Key::Z);
    assert_eq!(scores(&desk, 0), "");
}

#[test]
fn what_cannot_be_a_length_is_not_written() {
    let mut desk = on_measures();
    desk.key_with(CTRL_SHIFT, Key::S);
    place_line(&mut desk, 5, 10);
    desk.key(Key::Enter);
    desk.type_text("ten");
    desk.key(Key::Enter);
    assert!(desk.says("write the length as a number above 0"));
    assert_eq!(marks(&desk)[0].known, None);
    desk.window.get_by_role_and_label(Role::TextInput, "Length").focus();
    desk.wait();
    desk.ctrl(Key::A);
    desk.type_text("10,5");
    desk.key(Key::Enter);
    assert_eq!(marks(&desk)[0].known, Some(record::KnownLength { mm: 10.5, standard_mm: 0.02 }));
}

#[test]
fn what_is_typed_is_written_and_what_is_placed_let_go_when_one_goes_elsewhere() {
    let mut desk = on_measures();
    desk.key_with(CTRL_SHIFT, Key::S);
    place_line(&mut desk, 5, 10);
    desk.key(Key::Enter);
    desk.type_text("8");
    desk.key(Key::F6);
    assert_eq!(marks(&desk)[0].known, Some(record::KnownLength { mm: 8.0, standard_mm: 0.02 }));
    desk.key_with(Modifiers::SHIFT, Key::F9);
    shown(&mut desk);
    desk.ctrl(Key::F9);
    desk.key(Key::Space);
    // On another page arrows are those of frames, and Delete takes no mark away that is not seen.
    desk.key_with(Modifiers::SHIFT, Key::F5);
    let before = desk.app().chosen_frame();
    desk.key(Key::Delete);
    desk.key(Key::ArrowRight);
    assert_ne!(desk.app().chosen_frame(), before);
    assert_eq!(marks(&desk).len(), 1);
}

#[test]
fn marks_are_placed_moved_and_chosen_by_the_pointer() {
    let mut desk = on_measures();
    desk.ctrl(Key::F9);
    let picture = desk.window.get_by_label("Picture of the chosen frame").rect().center();
    for x in [-100.0, 100.0] {
        let at = picture + egui::vec2(x, 0.0);
        desk.window.hover_at(at);
        desk.window.step();
        for pressed in [true, false] {
            desk.window.event(egui::Event::PointerButton {
                pos: at,
                button: egui::PointerButton::Primary,
                pressed,
                modifiers: Modifiers::NONE,
            });
            desk.window.step();
        }
    }
    desk.wait();
    let zoom = f64::from(desk.app().picture_lies().0);
    let mark = marks(&desk)[0].clone();
    let long = mark.points[1].0 - mark.points[0].0;
    assert!((long - 200.0 / zoom).abs() < 0.5, "{long} at {zoom}");
    desk.key(Key::Enter);
    // Its second point is dragged down.
    let from = picture + egui::vec2(100.0, 0.0);
    desk.window.drag_at(from);
    desk.window.step();
    for y in [10.0, 30.0, 50.0] {
        desk.window.hover_at(from + egui::vec2(0.0, y));
        desk.window.step();
    }
    desk.window.drop_at(from + egui::vec2(0.0, 50.0));
    desk.wait();
    let moved = marks(&desk)[0].points[1];
    assert!((moved.1 - mark.points[1].1 - 50.0 / zoom).abs() < 1.0, "{moved:?}");
    assert_eq!(marks(&desk)[0].points[0], mark.points[0]);
    assert_eq!(desk.undo_words(), Some("moved a point of line on frame 1"));
}

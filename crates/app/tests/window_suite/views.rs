//! Looking: zoom and pan of picture and trace by keys and wheel, a frame held beside another, marks over the picture.

use crate::desk::{Desk, draw_card};
use egui::{Key, Modifiers, MouseWheelSource, MouseWheelUnit, TouchPhase, vec2};
use egui_kittest::kittest::Queryable as _;
use image::{GrayImage, Luma};

const DAY: &str = "fffff_fffff_fffff_fffff_";

fn wheel(desk: &mut Desk, name: &str, lines: f32) {
    let at = desk.window.get_by_label_contains(name).rect().center();
    desk.window.event(egui::Event::PointerMoved(at));
    desk.window.event(egui::Event::MouseWheel {
        unit: MouseWheelUnit::Line,
        delta: vec2(0.0, lines),
        phase: TouchPhase::Move,
        source: MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    desk.wait();
    desk.window.run_steps(30);
}

#[test]
fn the_trace_is_zoomed_by_keys_and_wheel_panned_and_shown_whole() {
    let mut desk = Desk::on(DAY);
    let whole = desk.app().trace_part();
    assert_eq!(whole, (0.0, 1.0));
    desk.ctrl(Key::Plus);
    let (from, to) = desk.app().trace_part();
    assert!(from < 0.01 && (to - from - 0.8).abs() < 1e-3, "about the chosen frame, the first: {from} {to}");
    desk.key_with(Modifiers::SHIFT, Key::ArrowRight);
    assert!((desk.app().trace_part().0 - from - 0.16).abs() < 1e-3);
    desk.key_with(Modifiers::SHIFT, Key::ArrowLeft);
    assert!(desk.app().trace_part().0 < 0.01);
    // The chosen frame stays in sight.
    for _ in 0..21 {
        desk.key(Key::ArrowRight);
    }
    let (from, to) = desk.app().trace_part();
    assert!(from > 0.05 && to > 21.0 / 24.0, "{from} {to}");
    desk.ctrl(Key::Minus);
    desk.ctrl(Key::Num0);
    assert_eq!(desk.app().trace_part(), whole);
    wheel(&mut desk, "The arrow keys go from frame to frame", 3.0);
    let (from, to) = desk.app().trace_part();
    assert!(from > 0.0 && to < 1.0 && to - from < 0.95, "about the pointer: {from} {to}");
    for _ in 0..40 {
        desk.ctrl(Key::Plus);
    }
    let (from, to) = desk.app().trace_part();
    assert!((to - from - 0.5).abs() < 1e-3, "twelve of 24 frames at least");
}

#[test]
fn a_drag_pans_the_trace_and_a_click_still_chooses() {
    let mut desk = Desk::on(DAY);
    desk.ctrl(Key::Plus);
    desk.ctrl(Key::Plus);
    let chosen = desk.app().chosen_frame();
    let trace = desk.window.get_by_label_contains("The arrow keys go from frame to frame").rect();
    let (start, end) = (trace.center() + vec2(0.0, 60.0), trace.center() + vec2(-100.0, 60.0));
    desk.window.drag_at(start);
    desk.window.step();
    desk.window.event(egui::Event::PointerMoved(end));
    desk.window.step();
    desk.window.drop_at(end);
    desk.wait();
    assert!(desk.app().trace_part().0 > 0.05, "{:?}", desk.app().trace_part());
    assert_eq!(desk.app().chosen_frame(), chosen, "a drag chooses nothing");
    desk.window.get_by_label_contains("The arrow keys go from frame to frame").click();
    desk.wait();
    assert_ne!(desk.app().chosen_frame(), chosen, "a click does");
}

/// A day whose first frame is large enough to be panned.
fn on_a_large_frame() -> Desk {
    let desk = Desk::on_card(|card| {
        draw_card(card, DAY);
        let dark = |x, y| (225..495).contains(&x) && (120..360).contains(&y);
        let large = GrayImage::from_fn(720, 480, |x, y| Luma([if dark(x, y) { 20 } else { 200 }]));
        large.save(card.join("DCIM/100INVNT/INV_0001.PNG")).expect("a picture");
    });
    let first = desk.app().day().and_then(|d| d.session.frames.first()).map(|f| f.size_px);
    assert_eq!(first, Some(Some((720, 480))));
    desk
}

#[test]
fn the_picture_is_zoomed_and_panned_by_keys_alone() {
    let mut desk = on_a_large_frame();
    desk.key(Key::F7);
    let fitted = desk.app().picture_lies();
    desk.ctrl(Key::Plus);
    desk.ctrl(Key::Minus);
    assert_eq!(desk.app().picture_lies(), fitted, "there and back");
    for _ in 0..4 {
        desk.ctrl(Key::Plus);
    }
    let near = desk.app().picture_lies();
    assert!((near.0 / fitted.0 - 1.25_f32.powi(4)).abs() < 1e-3, "{near:?} {fitted:?}");
    desk.key_with(Modifiers::SHIFT, Key::ArrowRight);
    desk.key_with(Modifiers::SHIFT, Key::ArrowDown);
    let panned = desk.app().picture_lies();
    assert!(panned.1.x > near.1.x && panned.1.y > near.1.y, "{panned:?}");
    for _ in 0..10 {
        desk.key_with(Modifiers::SHIFT, Key::ArrowLeft);
        desk.key_with(Modifiers::SHIFT, Key::ArrowUp);
    }
    let corner = desk.app().picture_lies().1;
    assert!(
        corner.x < near.1.x && corner.y < near.1.y && corner.x > 0.1,
        "no further than its edge: {corner:?}"
    );
    for _ in 0..20 {
        desk.ctrl(Key::Plus);
    }
    assert!((desk.app().picture_lies().0 - 8.0).abs() < 1e-4, "no nearer than eight times");
    desk.ctrl(Key::Num0);
    assert_eq!(desk.app().picture_lies(), fitted);
    desk.ctrl(Key::Num1);
    assert!((desk.app().picture_lies().0 - 1.0).abs() < 1e-4);
    desk.ctrl(Key::Num0);
    assert_eq!(desk.app().picture_lies(), fitted);
}

#[test]
fn a_frame_is_held_beside_those_gone_on_to_at_one_place_and_scale() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    let first = desk.app().chosen_frame();
    let ctrl_shift = Modifiers::COMMAND | Modifiers::SHIFT;
    desk.key_with(ctrl_shift, Key::B);
    assert_eq!(desk.window.query_all_by_label("Picture of the chosen frame").count(), 1);
    desk.window.get_by_label("Picture of the frame held beside");
    desk.key(Key::ArrowRight);
    desk.ctrl(Key::Plus);
    desk.key_with(Modifiers::SHIFT, Key::ArrowRight);
    let lies = desk.app().picture_lies();
    desk.key(Key::ArrowRight);
    assert_eq!(desk.app().chosen_frame().map(|f| f.0), first.map(|f| f.0 + 2));
    assert_eq!(desk.app().picture_lies(), lies, "the next is looked at where this one was");
    assert_eq!(desk.app().held_beside(), first);
    desk.key_with(ctrl_shift, Key::B);
    assert_eq!(desk.app().held_beside(), None);
    assert!(desk.window.query_by_label("Picture of the frame held beside").is_none());
}

#[test]
fn what_is_sharp_or_lost_is_shown_and_said() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F7);
    desk.ctrl(Key::I);
    desk.wait_for("what is sharp", |desk| desk.says("Tinted where sharpest"));
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::I);
    desk.wait_for("what is lost", |desk| desk.says("Nothing blown out or black"));
    assert!(!desk.says("Tinted"), "one at a time");
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::I);
    assert!(!desk.says("Nothing blown out or black"));
}

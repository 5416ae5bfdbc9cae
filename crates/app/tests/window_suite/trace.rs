//! The trace: what it marks besides frames and sets, and the line that tells blanks under pointer, keys and screen reader.

#![allow(clippy::unwrap_used, reason = "a test that finds nothing ends")]

use std::path::Path;

use crate::desk::{Desk, draw_bodies, draw_card};
use egui::accesskit::{Action, ActionRequest, Role, Toggled};
use egui::{Event, Key, Rect, pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use image::{GrayImage, Luma};
use record::{FrameId, QueryKind};

const DAY: &str = "fffff_fffff_ffff_fffff_";
const LINE: &str = "Line below which a frame is a blank";

/// Five animals of one camera, frames 10 s apart and sets 40 s; after the third animal's blank so much longer.
fn with_pause(pause_secs: u32) -> String {
    let mut secs = 0;
    let mut words = Vec::new();
    for set in 0..5 {
        for c in "fff_".chars() {
            words.push(format!("One:{c}:10:{:02}:{:02}", secs / 60, secs % 60));
            secs += if c == '_' { 40 } else { 10 };
        }
        secs += if set == 2 { pause_secs } else { 0 };
    }
    words.join(" ")
}

fn on_bodies(day: &str) -> Desk {
    Desk::on_card(|card| draw_bodies(card, day))
}

fn trace(desk: &Desk) -> Rect {
    desk.window.get_by_label_contains("The arrow keys go from frame to frame").rect()
}

/// Where a frame of the whole day stands, by its place.
fn x_of(desk: &Desk, place: usize) -> f32 {
    let (plot, frames) = (trace(desk), desk.app().day().unwrap().session.frames.len());
    plot.left() + plot.width() * (place as f32 + 0.5) / frames as f32
}

fn level(desk: &Desk) -> f32 {
    desk.app().day().unwrap().line.level
}

#[test]
fn only_a_pause_longer_than_is_usual_is_told_on_the_time_axis() {
    let desk = on_bodies(&with_pause(0));
    assert_eq!(desk.sets(), "3 3 3 3 3");
    assert!(!desk.says(" min"), "an ordinary rhythm");
    let desk = on_bodies(&with_pause(200));
    let words = desk.window.get_by_label("4 min").rect();
    let between = f32::midpoint(x_of(&desk, 11), x_of(&desk, 12));
    assert!((words.center().x - between).abs() < 2.0, "before the frame that follows: {words:?}");
    assert!(words.top() >= trace(&desk).bottom(), "on the axis, below the points");
    // What lies outside of the part that is seen is not told.
    let mut desk = desk;
    for _ in 0..4 {
        desk.ctrl(Key::Plus);
    }
    assert!(!desk.says("4 min"));
}

#[test]
fn a_frame_with_a_fault_that_was_read_is_marked_and_says_it_under_the_pointer() {
    let mut desk = Desk::on_card(|card| {
        draw_card(card, DAY);
        let frame = |name: &str| card.join("DCIM/100INVNT").join(name);
        let png = std::fs::read(frame("INV_0003.PNG")).unwrap();
        std::fs::write(frame("INV_0003.JPG"), png).unwrap();
        std::fs::remove_file(frame("INV_0003.PNG")).unwrap();
    });
    let session = &desk.app().day().unwrap().session;
    let fault = session.frames[2].faults.first().unwrap().clone();
    assert!(session.frames[2].spread.is_some(), "it was read all the same");
    let marks: Vec<Rect> =
        desk.window.query_all_by_label_contains("Fault of frame").map(|n| n.rect()).collect();
    assert_eq!(marks.len(), 1, "no other frame has one");
    let at = pos2(x_of(&desk, 2), trace(&desk).center().y);
    assert!((marks[0].center().x - at.x).abs() < 2.0, "{marks:?}");
    desk.window.get_by_label("Fault of frame 3");
    let told = |desk: &Desk| desk.window.query_all_by_label_contains(&fault).count();
    let before = told(&desk);
    desk.window.hover_at(at);
    desk.window.run_steps(3);
    assert!(desk.says("Frame 3, specimen"));
    assert_eq!(told(&desk), before + 1, "{fault}");
}

/// The places among all queries of those that are marked, and of the one that is marked as focused.
fn marked(desk: &Desk) -> (Vec<usize>, Vec<usize>) {
    let nth = |label: String| label.split(' ').nth(1).unwrap().parse::<usize>().unwrap() - 1;
    let marks = desk.window.query_all_by_label_contains("about frame").map(|n| n.accesskit_node());
    let marks: Vec<_> = marks.map(|n| (nth(n.label().unwrap()), n.toggled())).collect();
    let focused = marks.iter().filter(|m| m.1 == Some(Toggled::True)).map(|m| m.0).collect();
    let mut all: Vec<usize> = marks.iter().map(|m| m.0).collect();
    all.sort_unstable();
    (all, focused)
}

#[test]
fn every_query_with_frames_is_marked_and_a_click_on_its_mark_focuses_it() {
    // A set long enough for two animals, a short one that may be a retake, and a clock that falls by two hours.
    let mut words = Vec::new();
    for (n, c) in "fffff_ffff_fffff_ffffffffff_fffff_f_fffff_".chars().enumerate() {
        let hour = if n < 30 { 12 } else { 10 };
        words.push(format!("One:{c}:{hour}:{:02}:{:02}", n / 6, n % 6 * 10));
    }
    let mut desk = on_bodies(&words.join(" "));
    let queries = desk.app().day().unwrap().grouping.queries.clone();
    let kinds: Vec<QueryKind> = queries.iter().map(|q| q.kind).collect();
    for kind in [QueryKind::WhereToSplit, QueryKind::Retake, QueryKind::ClockJump] {
        assert!(kinds.contains(&kind), "{kind:?} not in {kinds:?}");
    }
    let with_frames: Vec<usize> = (0..queries.len()).filter(|at| !queries[*at].frames.is_empty()).collect();
    assert_eq!(marked(&desk).0, with_frames);
    for at in with_frames.into_iter().rev() {
        let name = format!("Query {} of {}, about frame", at + 1, queries.len());
        desk.window.get_by_label_contains(&name).click();
        desk.wait();
        assert_eq!(marked(&desk).1, [at]);
        assert_eq!(desk.app().chosen_frame(), queries[at].frames.last().copied());
    }
}

/// A day with a frame on which little is seen.
fn with_faint_frame(card: &Path) {
    draw_card(card, DAY);
    let inside = |x, y| (30..66).contains(&x) && (16..48).contains(&y);
    let faint = GrayImage::from_fn(96, 64, |x, y| Luma([if inside(x, y) { 188 } else { 200 }]));
    faint.save(card.join("DCIM/100INVNT/INV_0008.PNG")).unwrap();
}

#[test]
fn the_chance_of_a_blank_is_told_in_per_cent_clear_of_points_and_line() {
    let mut desk = Desk::on_card(with_faint_frame);
    let asked = |desk: &Desk| {
        let session = &desk.app().day().unwrap().session;
        let queries = &desk.app().day().unwrap().grouping.queries;
        let query = queries.iter().find(|q| q.kind == QueryKind::BlankOrSpecimen)?;
        session.frame(query.frames[0])?.blank.as_ref().map(|b| (query.frames[0], b.prob))
    };
    // The line is moved towards it until it is doubtful.
    for _ in 0..80 {
        if asked(&desk).is_some() {
            break;
        }
        desk.ctrl(if level(&desk) < 10.0 { Key::ArrowUp } else { Key::ArrowDown });
    }
    let (frame, prob) = asked(&desk).unwrap();
    assert_eq!(frame, FrameId(7));
    let words = desk.window.get_by_label(&format!("blank? {:.0} %", 100.0 * prob)).rect();
    assert!(words.bottom() < trace(&desk).top() + 42.0, "above the highest points: {words:?}");
    assert!(!words.intersects(desk.window.get_by_label(LINE).rect()));
}

#[test]
fn the_line_is_dragged_anywhere_along_it_and_does_not_pan() {
    let mut desk = Desk::on(DAY);
    desk.ctrl(Key::Plus);
    desk.ctrl(Key::Plus);
    let (part, before) = (desk.app().trace_part(), level(&desk));
    let pill = desk.window.get_by_label(LINE).rect();
    let from = pos2(trace(&desk).left() + 120.0, pill.center().y + 5.0);
    assert!(pill.left() - from.x > 300.0, "far from the pill");
    desk.window.hover_at(from);
    desk.window.step();
    assert_eq!(desk.window.output().platform_output.cursor_icon, egui::CursorIcon::ResizeVertical);
    desk.window.drag_at(from);
    desk.window.step();
    for dy in [-5.0, -15.0, -30.0] {
        desk.window.hover_at(from + vec2(2.0 * dy, dy));
        desk.window.step();
    }
    assert_eq!(desk.undo_words(), None, "nothing is changed while it moves");
    desk.window.drop_at(from + vec2(-60.0, -30.0));
    desk.wait();
    assert!(level(&desk) > before);
    assert_eq!(desk.app().trace_part(), part, "it does not pan besides");
    desk.ctrl(Key::Z);
    assert_eq!((level(&desk), desk.undo_words()), (before, None), "one change");
}

#[test]
fn a_click_on_the_line_only_chooses_the_frame() {
    let mut desk = Desk::on(DAY);
    let before = level(&desk);
    let at = pos2(x_of(&desk, 9), desk.window.get_by_label(LINE).rect().center().y + 2.0);
    desk.window.drag_at(at);
    desk.window.drop_at(at);
    desk.wait();
    assert_eq!(desk.app().chosen_frame(), Some(FrameId(9)));
    assert_eq!((level(&desk), desk.undo_words()), (before, None));
}

#[test]
fn the_line_is_moved_by_those_who_hear_it_and_by_arrows_while_it_has_the_keyboard() {
    let mut desk = Desk::on(DAY);
    let before = level(&desk);
    let ask = |desk: &mut Desk, action: Action| {
        let slider = desk.window.get_by_role_and_label(Role::Slider, LINE);
        let (target_node, target_tree) = slider.accesskit_node().locate();
        assert!(slider.accesskit_node().data().supports_action(action), "{action:?}");
        let request = ActionRequest { action, target_tree, target_node, data: None };
        desk.window.event(Event::AccessKitActionRequest(request));
        desk.wait();
    };
    ask(&mut desk, Action::Increment);
    assert!((level(&desk) / before - 1.05).abs() < 1e-3);
    ask(&mut desk, Action::Decrement);
    assert!((level(&desk) / before - 1.0).abs() < 1e-3);
    // Without the keyboard the bare arrows mean nothing to it.
    desk.key(Key::ArrowUp);
    assert!((level(&desk) / before - 1.0).abs() < 1e-3);
    desk.window.get_by_role_and_label(Role::Slider, LINE).focus();
    desk.wait();
    for _ in 0..2 {
        desk.key(Key::ArrowDown);
    }
    assert!((level(&desk) * 1.05 * 1.05 / before - 1.0).abs() < 1e-3, "it keeps the keyboard");
    desk.key(Key::ArrowUp);
    assert!((level(&desk) * 1.05 / before - 1.0).abs() < 1e-3);
    let slider = desk.window.get_by_role_and_label(Role::Slider, LINE);
    assert!(slider.accesskit_node().is_focused());
}

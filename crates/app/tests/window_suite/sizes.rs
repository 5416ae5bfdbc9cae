//! Every screen at the scales of common displays and in the smallest window: nothing reaches over the edge, no control lies
//! over another.

use crate::desk::Desk;
use egui::{Key, Modifiers, Rect, accesskit::Role, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use endleaf::window::{Command, Screen};

const DAY: &str = "fffff_fffff_fff_ffff_ccccc_fffff_fffff_";

/// Pixels a point, and the size of the window in points: the least it can have, the first it has, and a wide one.
const SIZES: [(f32, [f32; 2]); 5] = [
    (1.0, [1024.0, 700.0]),
    (1.5, [1024.0, 700.0]),
    (2.0, [1024.0, 700.0]),
    (1.0, [1280.0, 800.0]),
    (1.0, [1920.0, 1080.0]),
];

/// The panel at the side is at least so wide, in points.
const SIDE_PX: f32 = 280.0;

const CONTROLS: [Role; 5] = [Role::Button, Role::Tab, Role::TextInput, Role::CheckBox, Role::Slider];

/// Names and places of all that has one of these roles.
fn of_role(desk: &Desk, roles: &[Role]) -> Vec<(String, Rect)> {
    let all = roles.iter().flat_map(|role| desk.window.query_all_by_role(*role));
    let named = |node: &egui_kittest::Node<'_>| {
        let node = node.accesskit_node();
        node.label().or_else(|| node.value()).unwrap_or_default()
    };
    all.map(|node| (named(&node), node.rect())).collect()
}

/// What is wrong with how a screen is laid out.
fn faults(desk: &Desk, whole: Rect, floats: bool) -> Vec<String> {
    let controls = of_role(desk, &CONTROLS);
    let mut faults = Vec::new();
    for (name, rect) in controls.iter().chain(&of_role(desk, &[Role::Label])) {
        if rect.left() < whole.left() - 0.5 || rect.right() > whole.right() + 0.5 || rect.top() < -0.5 {
            faults.push(format!("over the edge: {name} {rect:?}"));
        }
    }
    // What is in a list or in the panel at the side may be scrolled out below; a button elsewhere must be there.
    let scrolls =
        |rect: &Rect| rect.left() > whole.right() - SIDE_PX || desk.app().asked() == Some(Command::Commands);
    for (name, rect) in of_role(desk, &[Role::Button, Role::Tab]) {
        if rect.bottom() > whole.bottom() + 0.5 && !scrolls(&rect) {
            faults.push(format!("over the edge: {name} {rect:?}"));
        }
    }
    // A panel lies over the screen: that is what it is for.
    let side_by_side = if floats { &[][..] } else { &controls[..] };
    for (n, (name, rect)) in side_by_side.iter().enumerate() {
        for (other, place) in &controls[..n] {
            let over = rect.intersect(*place);
            let holds = rect.contains_rect(*place) || place.contains_rect(*rect);
            if over.is_positive() && over.width().min(over.height()) > 1.0 && !holds {
                faults.push(format!("{name} {rect:?} over {other} {place:?}"));
            }
        }
    }
    faults
}

#[test]
fn nothing_reaches_over_the_edge_or_over_another_at_any_size() {
    let mut wrong = Vec::new();
    for (scale, [width, height]) in SIZES {
        let mut desk = Desk::on_display(scale, [width, height], DAY);
        let whole = desk.window.ctx.content_rect();
        assert_eq!((desk.window.ctx.pixels_per_point(), whole.size()), (scale, vec2(width, height)));
        for key in [Key::F5, Key::F6, Key::F7, Key::F8, Key::F11, Key::F1, Key::F10] {
            desk.press(Modifiers::NONE, key);
            desk.wait();
            assert!(!of_role(&desk, &CONTROLS).is_empty(), "{key:?} shows something");
            let floats = matches!(key, Key::F1 | Key::F10 | Key::F11);
            let found = faults(&desk, whole, floats);
            wrong.extend(found.into_iter().map(|f| format!("{scale} {width} {key:?}: {f}")));
            if floats {
                desk.press(Modifiers::NONE, Key::Escape);
            }
        }
        // The pages beside a specimen.
        for key in [Key::F6, Key::F8, Key::F7, Key::F9] {
            desk.key_with(Modifiers::SHIFT, key);
            desk.key(Key::Tab);
            let found = faults(&desk, whole, false);
            wrong.extend(found.into_iter().map(|f| format!("{scale} {width} page {key:?}: {f}")));
        }
        desk.press(Modifiers::COMMAND, Key::O);
        desk.wait();
        let found = faults(&desk, whole, false);
        wrong.extend(found.into_iter().map(|f| format!("{scale} {width} start: {f}")));
        while desk.app().screen() == Screen::Start {
            desk.press(Modifiers::NONE, Key::Escape);
        }
        // What floats over the filing step, and over the specimen.
        desk.key(Key::F8);
        let archive = desk.folder.path().join("archive");
        desk.type_text(&archive.display().to_string());
        desk.key(Key::Enter);
        let ctrl_shift = Modifiers::COMMAND | Modifiers::SHIFT;
        for (step, modifiers, key) in [
            (Key::F8, ctrl_shift, Key::N),
            (Key::F8, ctrl_shift, Key::U),
            (Key::F7, Modifiers::SHIFT, Key::F10),
            (Key::F7, Modifiers::NONE, Key::F12),
            (Key::F7, Modifiers::COMMAND, Key::P),
        ] {
            if (key, modifiers) == (Key::U, ctrl_shift) {
                desk.key_with(ctrl_shift, Key::F);
            }
            desk.key(step);
            // Out of the field that has the keyboard at first.
            desk.key(Key::Tab);
            desk.key_with(modifiers, key);
            assert!(
                desk.app().floats(),
                "{key:?} on {:?}: {:?}",
                desk.app().screen(),
                desk.app().notice_words()
            );
            let found = faults(&desk, whole, true);
            wrong.extend(found.into_iter().map(|f| format!("{scale} {width} {key:?}: {f}")));
            desk.key(Key::Escape);
        }
        // What is filed can be made something of.
        desk.key_with(Modifiers::COMMAND, Key::F8);
        assert_eq!(desk.app().screen(), Screen::Exchange);
        for nth in 0..6 {
            let found = faults(&desk, whole, false);
            wrong.extend(found.into_iter().map(|f| format!("{scale} {width} document {nth}: {f}")));
            desk.key(Key::ArrowDown);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

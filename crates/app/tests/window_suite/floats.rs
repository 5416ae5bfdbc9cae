//! Pages that float and are longer than their place: keys scroll them.

use egui::accesskit::Role;
use egui::{Key, Modifiers, Rect};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use crate::desk::Desk;

/// The places of all labels with these words.
pub(crate) fn places(desk: &Desk, words: &str) -> Vec<Rect> {
    let labels = desk.window.query_all_by_role(Role::Label);
    let told = |node: &egui_kittest::Node<'_>| {
        let node = node.accesskit_node();
        node.label().or_else(|| node.value()).is_some_and(|label| label.contains(words))
    };
    labels.filter(told).map(|node| node.rect()).collect()
}

#[test]
fn pages_that_float_are_scrolled_by_keys() {
    let mut desk = Desk::on("fffff_");
    let whole = desk.window.ctx.content_rect();
    let home = desk.folder.path().join("home").display().to_string();
    let seen = |desk: &Desk, words: &str| places(desk, words).iter().any(|place| whole.intersects(*place));
    desk.key(Key::F1);
    let first = "Lists what can be done here";
    assert!(seen(&desk, first) && !seen(&desk, &home));
    desk.key(Key::End);
    assert!(!seen(&desk, first) && seen(&desk, &home));
    desk.key(Key::Home);
    assert!(seen(&desk, first) && !seen(&desk, &home));
    for (down, up) in [(Key::PageDown, Key::PageUp), (Key::ArrowDown, Key::ArrowUp)] {
        let before = places(&desk, first)[0];
        desk.key(down);
        assert!(places(&desk, first).first().is_none_or(|place| place.top() < before.top()), "{down:?}");
        desk.key(up);
        assert_eq!(places(&desk, first)[0], before, "{up:?}");
    }
    desk.key(Key::Space);
    assert!(!seen(&desk, first));
    desk.key(Key::Escape);
    // While a field is typed in, the Page keys scroll and the others are the field's.
    desk.key_with(Modifiers::COMMAND | Modifiers::SHIFT, Key::D);
    let fields = |desk: &Desk| {
        let all = desk.window.query_all_by_role(Role::TextInput);
        all.map(|node| node.rect().top()).fold(f32::INFINITY, f32::min)
    };
    let top = fields(&desk);
    desk.key(Key::PageDown);
    assert!(fields(&desk) < top, "{} after {top}", fields(&desk));
}

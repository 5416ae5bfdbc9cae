//! The large retake list: read and worked at arm's length, by keys and by fingers, without leaving it.

use std::collections::BTreeSet;

use egui::accesskit::{Role, Toggled};
use egui::{Key, Modifiers, Rect};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use endleaf::window::Screen;
use record::Way;

use crate::desk::{Desk, add_frames, draw_card};
use crate::floats::places;

const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// What is pressed is at least so wide and high, px.
const TARGET_PX: f32 = 44.0;
/// Letters to be read at arm's length, px.
const LETTERS_PX: f32 = 32.0;

/// The chosen line of the list, by its name.
fn chosen(desk: &Desk) -> String {
    let buttons = desk.window.query_all_by_role(Role::Button);
    let on = |node: &egui_kittest::Node<'_>| node.accesskit_node().toggled() == Some(Toggled::True);
    let names = buttons.filter(on).filter_map(|node| node.accesskit_node().label());
    let names: Vec<String> = names.filter(|name| name.starts_with("Retake ")).collect();
    assert_eq!(names.len(), 1, "one line is chosen: {names:?}");
    names[0].clone()
}

/// Numbers of the animals on the list.
fn held(desk: &Desk) -> Vec<u32> {
    desk.app().held().iter().map(|held| held.retake.number).collect()
}

fn left(desk: &Desk, set: usize) -> Option<Way> {
    let session = &desk.app().day().expect("a day").session;
    session.left(&session.sets[set]).map(|left| left.way)
}

/// What has the keyboard, by its name.
fn focused(desk: &Desk) -> Option<String> {
    let controls = [Role::Button, Role::Tab, Role::TextInput, Role::CheckBox, Role::Slider, Role::Row];
    let mut all = controls.iter().flat_map(|role| desk.window.query_all_by_role(*role));
    let node = all.find(|node| node.accesskit_node().is_focused())?;
    node.accesskit_node().label()
}

#[test]
fn the_keys_for_leaving_mean_the_chosen_line_and_stay_in_the_list() {
    let mut desk = Desk::on("fff_ffff_ff_fffff_");
    desk.key(Key::F11);
    assert_eq!(held(&desk), [1, 2, 3]);
    assert!(chosen(&desk).starts_with("Retake 1:"));
    desk.key(Key::ArrowDown);
    assert!(chosen(&desk).starts_with("Retake 2:"));
    desk.ctrl(Key::U);
    assert_eq!((held(&desk), left(&desk, 1)), (vec![1, 3], Some(Way::Released)));
    assert_eq!((desk.app().floats(), desk.app().screen()), (true, Screen::Card));
    assert!(chosen(&desk).starts_with("Retake 3:"), "the next one");
    // Taken back, it is the chosen one again.
    desk.ctrl(Key::Z);
    assert_eq!(held(&desk), [1, 2, 3]);
    assert!(chosen(&desk).starts_with("Retake 2:"));
    desk.key_with(CTRL_SHIFT, Key::U);
    assert_eq!((held(&desk), left(&desk, 1)), (vec![1, 3], Some(Way::Flew)));
    desk.ctrl(Key::Z);
    // A key that is held down lets one animal go, not all.
    for _ in 0..3 {
        desk.tap(Modifiers::COMMAND, Key::U);
    }
    assert_eq!(held(&desk), [1, 3]);
    let (key, modifiers) = (Key::U, Modifiers::NONE);
    desk.window.event(egui::Event::Key { key, physical_key: None, pressed: false, repeat: false, modifiers });
    desk.ctrl(Key::Z);
    for (key, expected) in [
        (Key::End, "Retake 3:"),
        (Key::Home, "Retake 1:"),
        (Key::PageDown, "Retake 3:"),
        (Key::ArrowUp, "Retake 2:"),
        (Key::PageUp, "Retake 1:"),
    ] {
        desk.key(key);
        assert!(chosen(&desk).starts_with(expected), "{key:?}: {}", chosen(&desk));
    }
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    assert_eq!((desk.app().screen(), desk.app().chosen_set()), (Screen::Specimen, 1));
    assert!(!desk.app().floats());

    // Over the filing step its keys mean the animal too, not what they mean there.
    desk.key(Key::F8);
    desk.key(Key::Tab);
    desk.key(Key::F11);
    desk.key_with(CTRL_SHIFT, Key::U);
    assert_eq!((held(&desk), left(&desk, 0)), (vec![2, 3], Some(Way::Flew)));
    assert!(desk.says("retakes") && desk.app().floats());
}

#[test]
fn each_line_has_its_buttons_large_enough_and_so_have_all_others() {
    let mut desk = Desk::on("fff_ffff_ff_fffff_");
    desk.key(Key::F11);
    desk.window.get_by_label("Specimen 2 flew").click();
    desk.wait();
    assert_eq!((held(&desk), left(&desk, 1)), (vec![1, 3], Some(Way::Flew)));
    desk.window.get_by_label("Specimen 3 was released").click();
    desk.wait();
    assert_eq!((held(&desk), left(&desk, 2)), (vec![1], Some(Way::Released)));
    assert!(desk.app().floats());
    for name in ["Specimen 1 was released", "Specimen 1 flew", "Close the retake list", "Undo “noted that 3"]
    {
        let buttons = desk.window.query_all_by_role(Role::Button);
        let named = |node: &egui_kittest::Node<'_>| {
            node.accesskit_node().label().is_some_and(|label| label.starts_with(name))
        };
        let rects: Vec<Rect> = buttons.filter(named).map(|node| node.rect()).collect();
        // The bar beneath has an undo as well.
        let high = rects.iter().any(|rect| rect.height() >= TARGET_PX && rect.width() >= TARGET_PX);
        assert!(high, "{name}: {rects:?}");
    }
    desk.window.get_by_label("Retake 1: Two views short, which is not known yet").click();
    desk.wait();
    assert_eq!((desk.app().screen(), desk.app().chosen_set()), (Screen::Specimen, 0));
}

#[test]
fn the_keyboard_stays_in_the_list() {
    let mut desk = Desk::on("fff_ffff_fffff_");
    desk.key(Key::F6);
    desk.key(Key::F11);
    let mut met = BTreeSet::new();
    for _ in 0..16 {
        desk.key(Key::Tab);
        met.insert(focused(&desk).expect("something has the keyboard"));
    }
    let retake = |n: u32, lacks: &str| format!("Retake {n}: {lacks} short, which is not known yet");
    let mut expected = BTreeSet::from([retake(1, "Two views"), retake(2, "One view")]);
    expected.insert("Close the retake list".to_owned());
    for n in 1..=2 {
        expected.extend([format!("Specimen {n} was released"), format!("Specimen {n} flew")]);
    }
    assert_eq!(met, expected);
    // A button that was gone to is pressed, and no other; its line is the chosen one.
    while focused(&desk).as_deref() != Some("Specimen 2 flew") {
        desk.key(Key::Tab);
    }
    assert!(chosen(&desk).starts_with("Retake 2:"));
    desk.key(Key::Enter);
    assert_eq!((held(&desk), left(&desk, 1)), (vec![1], Some(Way::Flew)));
    assert_eq!((desk.app().screen(), desk.app().floats()), (Screen::DaySheet, true));

    // Where nothing is on the list the way out is all there is.
    let mut desk = Desk::on("fffff_");
    desk.key(Key::F6);
    desk.key(Key::F11);
    for _ in 0..3 {
        desk.key(Key::Tab);
        assert_eq!(focused(&desk).as_deref(), Some("Close the retake list"));
    }
    desk.key(Key::Enter);
    assert_eq!((desk.app().screen(), desk.app().floats()), (Screen::DaySheet, false));
}

#[test]
fn watching_is_told_in_large_letters_and_past_the_limit_only_release() {
    let mut desk = Desk::empty();
    let folder = desk.folder.path().join("tether");
    draw_card(&folder, "fffff_fff");
    desk.type_text(folder.to_str().expect("a path of letters"));
    desk.key_with(CTRL_SHIFT, Key::Enter);
    desk.wait_for("the day", |desk| desk.app().day().is_some());
    desk.ctrl(Key::H);
    desk.type_text("15");
    desk.key(Key::Enter);
    desk.key(Key::F11);
    let large = |desk: &Desk, words: &str| places(desk, words).iter().any(|rect| rect.height() > LETTERS_PX);
    assert!(large(&desk, "specimen 2 is being shot"));
    add_frames(&folder, 10, "_");
    let closed = "Specimen 2 closed: Two views short, which is not known yet. Watching: 1 frame came";
    desk.wait_for("its end", |desk| large(desk, closed));
    assert!(chosen(&desk).starts_with("Retake 2: Two views short"));
    assert!(desk.app().floats());
    desk.pass_minutes(17);
    assert!(chosen(&desk).starts_with("Retake 2: Release"));
    assert!(large(&desk, "Specimen 2 closed: Release. Watching"));
    assert!(!desk.says("views short, which"), "what it lacks is not said any more");
}

#[test]
fn the_jar_leads_and_long_words_are_broken_into_rows() {
    let mut desk = Desk::on_display(1.0, [1024.0, 700.0], "f_fff_fffff_");
    // A name is given to what is missing once what is there is known.
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk.key(Key::F2);
    desk.type_text("26");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.key(Key::F5);
    desk.key(Key::F11);
    let lacks = "Top of head, Face, From above and Abdomen tip";
    desk.window.get_by_label(&format!("Retake 1, jar 26: {lacks}"));
    let one = |words: &str| {
        let found = places(&desk, words);
        assert_eq!(found.len(), 1, "{words}: {found:?}");
        found[0]
    };
    let (jar, number, words) = (one("jar 26"), one("specimen 1"), one(lacks));
    let aligned = (jar.left() - number.left()).abs() < 1.0;
    assert!(jar.bottom() <= number.top() && aligned, "{jar:?} over {number:?}");
    assert!(words.height() > 2.0 * LETTERS_PX, "two rows: {words:?}");
    assert!(words.left() > jar.right() && words.left() > number.right());
    let flew = desk.window.get_by_label("Specimen 1 flew").rect();
    assert!(words.right() <= flew.left(), "{words:?} beside {flew:?}");
    // Nothing of it lies over the next line, which the number leads.
    let next = desk.window.get_by_label_contains("Retake 2:").rect();
    assert!(places(&desk, "2").iter().any(|place| next.contains_rect(*place)));
    assert!(words.bottom() <= next.top() && number.bottom() <= next.top());
}

#[test]
fn many_lines_are_scrolled_to_by_keys() {
    let mut desk = Desk::on(&"ff_".repeat(14));
    desk.key(Key::F11);
    let whole = desk.window.ctx.content_rect();
    let in_view = |desk: &Desk, name: &str| {
        let all = desk.window.query_all_by_role(Role::Button);
        let named = |node: &egui_kittest::Node<'_>| {
            node.accesskit_node().label().is_some_and(|label| label.starts_with(name))
        };
        all.filter(named).any(|node| whole.contains_rect(node.rect()))
    };
    assert!(in_view(&desk, "Retake 1:") && !in_view(&desk, "Retake 14:"));
    desk.key(Key::End);
    assert!(in_view(&desk, "Retake 14:") && !in_view(&desk, "Retake 1:"));
    assert!(chosen(&desk).starts_with("Retake 14:"));
    desk.key(Key::PageUp);
    assert!(!chosen(&desk).starts_with("Retake 14:") && !chosen(&desk).starts_with("Retake 13:"));
    let at = chosen(&desk);
    assert!(in_view(&desk, &at));
}

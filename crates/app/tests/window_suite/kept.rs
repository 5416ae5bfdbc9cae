//! Sessions that are kept: opened while another window has them, without their card, under a plan that has changed, or when
//! they cannot be saved.

use std::path::Path;

use crate::desk::{Desk, add_frames, draw_card};
use egui::Key;
use egui_kittest::kittest::Queryable as _;

const DAY: &str = "fffff_ffff_fffff_";

/// The text of the one session kept in a data folder.
fn kept_text(home: &Path) -> String {
    let kept = std::fs::read_dir(home.join("sessions")).expect("sessions").next().expect("one").expect("one");
    std::fs::read_to_string(kept.path().join("session.ron")).expect("its text")
}

#[test]
fn a_second_window_on_a_session_only_looks() {
    let mut first = Desk::on(DAY);
    let folder = first.folder.path().to_owned();
    let mut second = Desk::again(&folder, &folder.join("heath"));
    second.window.get_by_label_contains("open in another window");
    second.window.get_by_label("Read only");
    second.key(Key::Escape);
    first.key(Key::F7);
    first.key(Key::S);
    let kept = kept_text(&folder.join("home"));
    second.key(Key::F6);
    second.key(Key::F2);
    assert!(!second.window.ctx.text_edit_focused(), "no field opens in vain");
    assert!(second.says("Another window has this session"), "{:?}", second.app().notice_words());
    second.key(Key::F7);
    second.key(Key::F);
    assert_eq!(second.labels(0).replace(" -", ""), "-", "nothing is changed");
    assert!(second.says("open in another window"), "and it says why");
    assert_eq!(kept_text(&folder.join("home")), kept, "nor saved");
    drop(second);
    // The first lets it go: then it can be changed again.
    drop(first.window);
    let mut third = Desk::again(&folder, &folder.join("heath"));
    assert!(third.window.query_by_label("Read only").is_none());
    third.key(Key::F7);
    assert_eq!(third.labels(0).replace(" -", ""), "side");
    third.key(Key::T);
    assert!(third.undo_words().is_some());
}

#[test]
fn the_same_card_opened_again_in_one_window_stays_its_own() {
    let mut desk = Desk::on(DAY);
    let card = desk.folder.path().join("heath");
    desk.ctrl(Key::O);
    desk.type_text(card.to_str().expect("a path of letters"));
    desk.key(Key::Enter);
    assert!(desk.window.query_by_label("Read only").is_none(), "{:?}", desk.app().notice_words());
}

#[test]
fn without_its_card_a_day_keeps_its_records_and_is_pointed_to_the_new_place() {
    let mut first = Desk::on(DAY);
    first.key(Key::F7);
    first.key(Key::S);
    let folder = first.folder.path().to_owned();
    drop(first.window);
    let (card, moved) = (folder.join("heath"), folder.join("drawer"));
    draw_card(&moved, DAY);
    std::fs::remove_dir_all(&card).expect("a folder");
    let mut desk = Desk::again_empty(&folder);
    desk.window.get_by_label_contains("Open heath").click();
    desk.wait_for("the day", |desk| desk.app().day().is_some());
    desk.window.get_by_label_contains(&card.display().to_string());
    desk.window.get_by_label("Card away");
    desk.window.get_by_label("Choose its folder…");
    assert_eq!((desk.sets().as_str(), desk.labels(0).as_str()), ("5 4 5", "side - - - -"));
    // The records can be worked on.
    desk.key(Key::Escape);
    desk.key(Key::F7);
    desk.key(Key::ArrowRight);
    desk.key(Key::T);
    assert_eq!(desk.labels(0), "side head-top - - -");
    // Opened at its new place it is the same session, with pictures.
    desk.ctrl(Key::O);
    desk.type_text(moved.to_str().expect("a path of letters"));
    desk.key(Key::Enter);
    assert!(desk.window.query_by_label("Card away").is_none());
    assert_eq!(desk.labels(0), "side head-top - - -");
    assert_eq!(std::fs::read_dir(folder.join("home/sessions")).expect("sessions").count(), 1);
}

#[test]
fn a_plan_that_changed_since_is_told_of_and_the_session_keeps_its_own() {
    let folder = tempfile::tempdir().expect("a folder");
    let plans = folder.path().join("home/plans");
    std::fs::create_dir_all(&plans).expect("a folder");
    let built_in = include_str!("../../../../assets/plans/bumble-bee.ron");
    let first = built_in.replace("\"bumble-bee\"", "\"moths\"").replace("\"Bumble bee\"", "\"Moths\"");
    let changed = first.replace("\"Side\"", "\"Profile\"");
    assert_ne!(first, changed);
    std::fs::write(plans.join("moths.ron"), first).expect("a file");
    let card = folder.path().join("heath");
    draw_card(&card, DAY);
    let mut desk = Desk::again_empty(folder.path());
    desk.type_text(card.to_str().expect("a path of letters"));
    desk.ctrl(Key::P);
    for _ in 0..20 {
        desk.key(Key::ArrowDown);
    }
    desk.key(Key::Enter);
    desk.ctrl(Key::Enter);
    assert_eq!(desk.app().day().expect("a day").session.plan.key, "moths");
    drop(desk);
    std::fs::write(plans.join("moths.ron"), changed).expect("a file");
    let desk = Desk::again(folder.path(), &card);
    desk.window.get_by_label_contains("The plan “Moths” has changed since");
    assert_eq!(desk.app().day().expect("a day").session.plan.views[0].name, "Side");
}

#[test]
fn a_session_that_cannot_be_saved_says_so_and_stays_open() {
    let mut desk = Desk::on(DAY);
    let sessions = desk.folder.path().join("home/sessions");
    let kept = std::fs::read_dir(&sessions).expect("sessions").next().expect("one").expect("one").path();
    // A folder where the text would go fails as a full disk does, whoever runs this.
    std::fs::remove_file(kept.join("session.ron")).expect("a file");
    std::fs::create_dir(kept.join("session.ron")).expect("a folder");
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.wait_for("the fault", |desk| desk.says("The session could not be saved"));
    assert_eq!(desk.labels(0).replace(" -", ""), "side", "what was done stands");
    std::fs::remove_dir(kept.join("session.ron")).expect("a folder");
    desk.key(Key::T);
    desk.wait();
    let text = kept_text(&desk.folder.path().join("home"));
    assert!(text.contains("\"side\"") && text.contains("\"head-top\""), "the next change saves all");
}

#[test]
fn a_session_that_is_damaged_or_newer_is_named_and_left_as_it_is() {
    let first = Desk::on(DAY);
    let folder = first.folder.path().to_owned();
    let sessions = folder.join("home/sessions");
    let session = std::fs::read_dir(&sessions).expect("sessions").next().expect("one").expect("one").path();
    let (session, whole) = (session.join("session.ron"), kept_text(&folder.join("home")));
    // The window lets go of what it has before another opens.
    let Desk { window, folder: _held } = first;
    drop(window);
    let newer = whole.replacen("schema: 1", "schema: 9", 1);
    for (text, says) in [
        (&whole[..whole.len() / 2], "The session kept of this day is damaged"),
        (newer.as_str(), "The session kept of this day was written by a newer Endleaf"),
    ] {
        std::fs::write(&session, text).expect("a file");
        let mut desk = Desk::again(&folder, &folder.join("heath"));
        assert!(desk.says(says), "{:?}", desk.app().notice_words());
        let said = desk.app().notice_words().expect("a message").to_owned();
        assert!(
            said.contains("A new one was begun beside it, and what you change now is kept there"),
            "{said}"
        );
        assert!(said.ends_with(&session.display().to_string()), "{said}");
        assert!(!said.contains("RON") && !said.contains("line "), "{said}");
        assert_eq!(desk.sets(), "5 4 5", "the card is read all the same");
        desk.key(Key::F7);
        desk.key(Key::S);
        assert_eq!(std::fs::read_to_string(&session).expect("its text"), text, "left as it is");
        drop(desk);
        // Beside it lies the new one, with the change, under a name that differs in more than case.
        let others = std::fs::read_dir(&sessions).expect("sessions").map(|e| e.expect("one").path());
        let others: Vec<_> = others.filter(|path| !session.starts_with(path)).collect();
        let [new] = &others[..] else { panic!("{others:?}") };
        assert!(new.to_string_lossy().ends_with("_heath_2"), "{new:?}");
        let kept = std::fs::read_to_string(new.join("session.ron")).expect("its text");
        assert!(kept.contains("\"side\""), "{kept}");
        std::fs::remove_dir_all(new).expect("a folder");
    }
}

#[test]
fn nothing_of_one_day_is_left_in_the_next() {
    let mut desk = Desk::on(DAY);
    let next = desk.folder.path().join("fen");
    add_frames(&next, 501, "fffff_fffff_");
    desk.key(Key::F6);
    desk.ctrl(Key::A);
    desk.key(Key::F2);
    desk.type_text("21");
    desk.ctrl(Key::O);
    desk.ctrl(Key::A);
    desk.type_text(next.to_str().expect("a path of letters"));
    desk.key(Key::Enter);
    assert_eq!(desk.app().day().expect("a day").session.name, "fen");
    desk.key(Key::F6);
    desk.ctrl(Key::U);
    let session = &desk.app().day().expect("a day").session;
    assert!(session.specimens.iter().all(|s| s.jar.is_empty()), "the jar was typed for another day");
    assert_eq!(
        session.specimens.len(),
        1,
        "one animal was released, not all that were chosen on another day"
    );
}

#[test]
fn a_day_whose_card_gave_place_to_another_opens_without_it() {
    let first = Desk::on(DAY);
    let folder = first.folder.path().to_owned();
    drop(first.window);
    let card = folder.join("heath");
    std::fs::remove_dir_all(&card).expect("a folder");
    // Another card in the same reader, whose camera counts from the start again: other frames by size, and one set.
    let large = image::GrayImage::from_pixel(120, 80, image::Luma([90]));
    std::fs::create_dir_all(card.join("DCIM/100INVNT")).expect("a folder");
    large.save(card.join("DCIM/100INVNT/INV_0001.PNG")).expect("a picture");
    let mut desk = Desk::again_empty(&folder);
    desk.window.get_by_label_contains("Open heath").click();
    desk.wait_for("the day", |desk| desk.app().day().is_some());
    assert_eq!(desk.sets(), "5 4 5");
    desk.window.get_by_label("Card away");
    // The picture of the other card is not shown for this day's.
    desk.key(Key::Escape);
    desk.key(Key::F7);
    desk.wait_for("why there is no picture", |desk| desk.says("another file lies in its place"));
}

#[test]
fn once_its_frames_come_again_the_card_is_no_longer_away() {
    let first = Desk::on(DAY);
    let folder = first.folder.path().to_owned();
    drop(first.window);
    let card = folder.join("heath");
    std::fs::remove_dir_all(&card).expect("a folder");
    let mut desk = Desk::again_empty(&folder);
    desk.window.get_by_label_contains("Open heath").click();
    desk.wait_for("the day", |desk| desk.app().day().is_some());
    desk.window.get_by_label("Card away");
    draw_card(&card, DAY);
    desk.key(Key::Escape);
    desk.key(Key::F9);
    desk.wait_for("its frames", |desk| !desk.says("Card away"));
    assert_eq!(desk.sets(), "5 4 5");
}

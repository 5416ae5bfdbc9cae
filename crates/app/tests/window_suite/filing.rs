//! The filing step, by keys and names: two archives, the plan and its order, names, resting, the receipt, taking it back,
//! and going on with what was cut.

#![allow(clippy::unwrap_used, reason = "an archive that cannot be looked at ends its test")]

use std::path::{Path, PathBuf};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use endleaf::window::Screen;

use crate::desk::Desk;

const DAY: &str = "fff_ff_";
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// A desk at the filing step, with the first archive typed.
fn at_filing() -> (Desk, PathBuf) {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F8);
    let archive = desk.folder.path().join("archive");
    desk.type_text(archive.to_str().unwrap());
    desk.key(Key::Enter);
    (desk, archive)
}

/// A desk at which a filing was cut before its end: the journal lacks its last line.
fn cut_short() -> Desk {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    let journal = archive.join("endleaf-journal.txt");
    let text = std::fs::read_to_string(&journal).unwrap();
    let cut = text.trim_end().rfind('\n').unwrap() + 1;
    std::fs::write(&journal, &text[..cut]).unwrap();
    desk
}

/// Names of the lines of the plan that are drawn, from the top.
fn lines(desk: &Desk) -> Vec<String> {
    let mut rows: Vec<(f32, String)> = desk
        .window
        .query_all_by_role(Role::Row)
        .map(|row| (row.rect().top(), row.accesskit_node().label().unwrap_or_default()))
        .filter(|(_, name)| name.contains(" → "))
        .collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    rows.into_iter().map(|(_, name)| name).collect()
}

fn pictures(archive: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![archive.to_owned()];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).into_iter().flatten().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|e| e == "png") {
                found.push(path.file_name().unwrap().to_string_lossy().into_owned());
            }
        }
    }
    found.sort();
    found
}

#[test]
fn the_plan_is_sorted_by_heads_and_keys_and_read_by_keys() {
    let (mut desk, _) = at_filing();
    desk.key(Key::Tab);
    let by_day = lines(&desk);
    assert!(by_day[0].starts_with("to copy: DCIM/100INVNT/INV_0001.PNG → 001/"), "{by_day:?}");
    assert!(by_day[1].starts_with("sidecar: "), "each frame with its sidecar: {by_day:?}");
    assert_eq!(by_day.len(), 14);
    desk.window.get_by_role_and_label(Role::ColumnHeader, "Sort by In the archive").click();
    desk.wait();
    let by_name = lines(&desk);
    let target = |name: &String| name.split(" → ").nth(1).unwrap().to_owned();
    assert!(by_name.windows(2).all(|pair| target(&pair[0]) <= target(&pair[1])), "{by_name:?}");
    desk.window.get_by_role_and_label(Role::ColumnHeader, "In the archive, sorted").click();
    desk.wait();
    let back = lines(&desk);
    assert!(back.windows(2).all(|pair| target(&pair[0]) >= target(&pair[1])), "{back:?}");
    // By keys: on to size, state, and the day again, and the other way round.
    desk.ctrl(Key::R);
    desk.key_with(CTRL_SHIFT, Key::S);
    desk.window.get_by_role_and_label(Role::ColumnHeader, "Size, sorted");
    desk.key_with(CTRL_SHIFT, Key::S);
    let by_state = lines(&desk);
    assert!(by_state[..7].iter().all(|name| name.starts_with("to copy")), "{by_state:?}");
    desk.key_with(CTRL_SHIFT, Key::S);
    assert_eq!(lines(&desk), by_day);
    // The chosen line is told in full, with its reason.
    assert!(desk.says("to copy: no view of it is confirmed"));
    desk.key(Key::ArrowDown);
    assert!(desk.says("sidecar: written from what is known"));
    desk.key(Key::End);
    let is_chosen = Some(egui::accesskit::Toggled::True);
    let last = desk.window.query_all_by_role(Role::Row).filter(|r| r.accesskit_node().toggled() == is_chosen);
    let last: Vec<_> = last.filter_map(|row| row.accesskit_node().label()).collect();
    assert_eq!(last, [by_day.last().unwrap().clone()]);
}

#[test]
fn a_long_plan_is_scrolled_by_keys() {
    let mut desk = Desk::on(&"fffff_".repeat(8));
    desk.key(Key::F8);
    let archive = desk.folder.path().join("archive");
    desk.type_text(archive.to_str().unwrap());
    desk.key(Key::Enter);
    desk.key(Key::Tab);
    let first = lines(&desk);
    desk.key(Key::PageDown);
    desk.key(Key::PageDown);
    assert_ne!(lines(&desk)[0], first[0]);
    desk.key(Key::End);
    assert!(lines(&desk).last().unwrap().contains("blanks/"), "{:?}", lines(&desk));
    desk.key(Key::Home);
    assert_eq!(lines(&desk), first);
}

#[test]
fn two_archives_are_filled_at_once_and_both_are_accounted_for() {
    let (mut desk, archive) = at_filing();
    let second = desk.folder.path().join("backup");
    desk.key_with(Modifiers::SHIFT, Key::F2);
    desk.type_text(second.to_str().unwrap());
    desk.key(Key::Enter);
    desk.key(Key::Tab);
    assert_eq!(desk.window.query_all_by_label_contains(" needed, ").count(), 2, "room of both");
    let into = |folder: &Path| format!("Into {}", folder.display());
    desk.window.get_by_label(&into(&archive));
    desk.key(Key::F3);
    desk.window.get_by_label(&into(&second));
    desk.key_with(CTRL_SHIFT, Key::F);
    assert_eq!(desk.window.query_all_by_label("Receipt").count(), 2);
    assert_eq!(desk.window.query_all_by_label_contains("The card may be wiped").count(), 2);
    assert_eq!(desk.window.query_all_by_label("7 sidecars written.").count(), 2);
    assert_eq!(pictures(&archive), pictures(&second));
    assert_eq!(pictures(&archive).len(), 7);
}

#[test]
fn an_archive_that_cannot_be_is_said_and_nothing_may_be_wiped() {
    let (mut desk, archive) = at_filing();
    // The second archive within the first.
    desk.key_with(Modifiers::SHIFT, Key::F2);
    desk.type_text(archive.join("inside").to_str().unwrap());
    desk.key(Key::Enter);
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    assert!(desk.says("The two archives are the same folder"));
    assert!(!desk.says("may be wiped"));
    assert_eq!(pictures(&archive), Vec::<String>::new());
}

#[test]
fn names_are_chosen_by_keys_shown_live_left_taken_and_undone() {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    let open = |desk: &mut Desk| {
        desk.key_with(CTRL_SHIFT, Key::N);
        desk.window.get_by_label("Names of folders and files");
    };
    open(&mut desk);
    assert!(desk.says("Such as 001/"));
    desk.window.get_by_role_and_label(Role::CheckBox, "date, 1 in file names");
    // Left: nothing is changed.
    desk.key(Key::Space);
    assert!(desk.says("Such as 001/001_frame_01"), "the date is out");
    desk.key(Key::Escape);
    assert_eq!(desk.undo_words(), None);
    // The view first, then the date; the joiner a dash.
    open(&mut desk);
    desk.key(Key::ArrowDown);
    desk.key(Key::ArrowDown);
    desk.ctrl(Key::ArrowUp);
    desk.ctrl(Key::ArrowUp);
    desk.key(Key::ArrowRight);
    desk.key(Key::ArrowDown);
    desk.window.get_by_role_and_label(Role::CheckBox, "view, 1 in file names");
    let date = desk.app().day().unwrap().session.date().unwrap();
    desk.window.get_by_label(&format!("Such as 001/frame-{date}-001-01"));
    desk.window.get_by_label("Every folder and every file is told apart by these names.");
    desk.key(Key::Enter);
    assert_eq!(desk.undo_words(), Some("chose other names"));
    assert!(lines(&desk)[0].ends_with(&format!("001/frame-{date}-001-01.png")), "{:?}", lines(&desk));
    desk.ctrl(Key::Z);
    assert!(lines(&desk)[0].ends_with("_001_frame_01.png"));
    desk.key_with(CTRL_SHIFT, Key::Z);
    desk.key_with(CTRL_SHIFT, Key::F);
    assert!(pictures(&archive).contains(&format!("frame-{date}-001-01.png")), "{:?}", pictures(&archive));
}

#[test]
fn names_that_cannot_be_or_tell_nothing_apart_say_so() {
    let (mut desk, _) = at_filing();
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::N);
    // By mouse: the number goes out, then date and specimen.
    for field in ["number, 4 in file names", "date, 1 in file names", "specimen, 1 in file names"] {
        desk.window.get_by_role_and_label(Role::Button, &format!("Take out: {field}")).click();
        desk.wait();
    }
    desk.window.get_by_label("For 4 files these fields do not differ from others’: a number is added there.");
    desk.window.get_by_role_and_label(Role::Button, "Take out: view, 1 in file names").click();
    desk.wait();
    assert!(desk.says("A name needs at least one field"));
    desk.key(Key::Enter);
    desk.window.get_by_label("Names of folders and files");
    assert_eq!(desk.undo_words(), None, "what cannot be is not taken");
    desk.window.get_by_role_and_label(Role::Button, "Put in: original, not in file names").click();
    desk.wait();
    desk.window.get_by_role_and_label(Role::Button, "Take out: specimen, 1 in folder names").click();
    desk.wait();
    assert!(desk.says("A name needs at least one field"));
    desk.window.get_by_role_and_label(Role::Button, "Put in: session, not in folder names").click();
    desk.wait();
    desk.window
        .get_by_label("For 1 folder these fields do not differ from another’s: a number is added there.");
    desk.window.get_by_label("Such as heath/INV_0001");
    desk.window.get_by_role_and_label(Role::Button, "Leave it").click();
    desk.wait();
    assert_eq!(desk.undo_words(), None);
}

#[test]
fn a_label_that_changed_moves_the_file_and_the_plan_says_so() {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.key(Key::F8);
    let moved: Vec<String> =
        lines(&desk).into_iter().filter(|l| l.starts_with("moves in the archive")).collect();
    assert!(
        moved[0].contains("_001_frame_01.png → 001/") && moved[0].ends_with("_001_side_01.png"),
        "{moved:?}"
    );
    assert!(lines(&desk).iter().any(|l| l.starts_with("sidecar, moves: ")));
    assert!(lines(&desk).iter().any(|l| l.starts_with("filed before: ")));
    assert!(desk.says("its labels, jar or names have changed"));
    desk.window.get_by_label("Move 2 files");
    desk.key_with(CTRL_SHIFT, Key::F);
    assert!(desk.says("file was moved to another name"), "{:?}", desk.app().notice_words());
    assert!(pictures(&archive)[0..].iter().any(|p| p.ends_with("_001_side_01.png")));
    desk.window.get_by_label("Everything is filed: check it again");
}

/// Has a filing rest, then go on or be stopped; `false` where a quick disk was done before it heard the key.
fn rests(stops: bool) -> bool {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    // Both in one frame, so that no filing is done between them.
    desk.at_once(&[(CTRL_SHIFT, Key::F), (Modifiers::NONE, Key::F4)]);
    desk.wait_until(|desk| desk.says("Paused at ") || desk.says("files copied and read back"));
    if !desk.says("Paused at ") {
        return false;
    }
    assert!(desk.says("The card may be taken out"));
    assert!(desk.app().is_busy());
    let there = pictures(&archive).len();
    std::thread::sleep(std::time::Duration::from_millis(150));
    assert_eq!(pictures(&archive).len(), there, "nothing goes on");
    if stops {
        desk.key(Key::Escape);
        assert!(desk.says("Filing was stopped as asked"));
        assert!(!desk.says("may be wiped"));
    } else {
        desk.window.get_by_role_and_label(Role::Button, "Go on").click();
        desk.wait();
        assert_eq!(pictures(&archive).len(), 7);
        assert!(desk.says("The card may be wiped"));
    }
    true
}

#[test]
fn filing_rests_by_a_key_says_what_is_safe_and_goes_on_or_is_stopped() {
    const TRIES: usize = 20;
    for stops in [false, true] {
        assert!((0..TRIES).any(|_| rests(stops)), "filing never rested: it was done before it heard the key");
    }
}

#[test]
fn names_that_had_to_be_changed_are_counted_marked_and_given_their_reason() {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    assert!(!desk.says("Names changed"));
    // Named by the date alone, all folders are called alike.
    desk.key_with(CTRL_SHIFT, Key::N);
    desk.window.get_by_role_and_label(Role::Button, "Take out: specimen, 1 in folder names").click();
    desk.wait();
    desk.window.get_by_role_and_label(Role::Button, "Put in: session, not in folder names").click();
    desk.wait();
    desk.key(Key::Enter);
    desk.window.get_by_label("Names changed");
    let changed: Vec<String> =
        lines(&desk).into_iter().filter(|l| l.starts_with("to copy, name changed")).collect();
    assert_eq!(changed.len(), 2, "both frames of the second set: {:?}", lines(&desk));
    assert!(changed.iter().all(|line| line.contains(" → heath_2/")), "{changed:?}");
    // Sorted by state, they come first of what is copied, and the reason is told below.
    for _ in 0..4 {
        desk.key_with(CTRL_SHIFT, Key::S);
    }
    assert_eq!(lines(&desk)[..2], changed[..]);
    assert!(desk.says("Another has this name, so a number was added"));
    assert!(!archive.exists(), "nothing was done");
}

#[test]
fn the_last_filing_is_taken_back_once_that_is_confirmed() {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::U);
    assert!(desk.app().notice_words().unwrap().starts_with("There is nothing to take back"));
    desk.key(Key::Escape);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.window.get_by_label("Filing: filed");
    desk.key_with(CTRL_SHIFT, Key::U);
    desk.window.get_by_label("Take the last filing back?");
    assert!(desk.says("7 copies go, "));
    // Left, it changes nothing.
    desk.key(Key::Escape);
    assert_eq!(pictures(&archive).len(), 7);
    desk.key_with(CTRL_SHIFT, Key::U);
    desk.key(Key::Enter);
    assert!(desk.app().notice_words().unwrap().starts_with("Taken back: 7 copies"));
    assert_eq!(pictures(&archive), Vec::<String>::new());
    assert!(!desk.says("Filing: filed"));
    assert!(desk.app().day().unwrap().session.filed.is_empty());
    // It can be filed anew.
    desk.key_with(CTRL_SHIFT, Key::F);
    assert_eq!(pictures(&archive).len(), 7);
}

#[test]
fn what_was_changed_since_is_not_taken_back_and_the_reason_is_said() {
    let (mut desk, archive) = at_filing();
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    let folder =
        std::fs::read_dir(&archive).unwrap().map(|e| e.unwrap().path()).find(|p| p.is_dir()).unwrap();
    let mut inside = std::fs::read_dir(folder.join("001")).unwrap().map(|e| e.unwrap().path());
    let picture = inside.find(|p| p.extension().is_some_and(|e| e == "png")).unwrap();
    std::fs::write(&picture, "mine").unwrap();
    desk.key_with(CTRL_SHIFT, Key::U);
    let said = desk.app().notice_words().unwrap();
    assert!(said.contains("was changed since it was filed") && !said.contains("--card"), "{said}");
    assert_eq!(pictures(&archive).len(), 7);
}

#[test]
fn a_filing_that_was_cut_is_offered_at_the_next_start_and_gone_on_with() {
    let desk = cut_short();
    let mut desk = desk.open_again(None);
    desk.window.get_by_label("A filing was not brought to its end");
    assert!(desk.says("7 of 7 files are in the archive"));
    desk.key(Key::Escape);
    assert_eq!(desk.app().screen(), Screen::Start);
    let mut desk = desk.open_again(None);
    desk.key(Key::Enter);
    desk.wait();
    assert_eq!(desk.app().screen(), Screen::Filing);
    assert!(!lines(&desk).is_empty());
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    assert!(desk.says("The card may be wiped"));
    let desk = desk.open_again(Some("heath"));
    assert!(!desk.says("A filing was not brought to its end"), "it is over");
}

#[test]
fn opening_the_card_of_a_filing_that_was_cut_offers_it_too_and_another_card_does_not() {
    let desk = cut_short();
    crate::desk::draw_card(&desk.folder.path().join("moor"), "ffff_");
    let desk = desk.open_again(Some("moor"));
    assert!(!desk.says("A filing was not brought to its end"));
    let mut desk = desk.open_again(Some("heath"));
    desk.window.get_by_label("A filing was not brought to its end");
    desk.window.get_by_role_and_label(Role::Button, "Go on").click();
    desk.wait();
    assert_eq!(desk.app().screen(), Screen::Filing);
}

#[test]
fn everything_that_can_be_acted_on_here_has_a_name() {
    let (mut desk, _) = at_filing();
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::N);
    assert_eq!(desk.window.unnamed_widgets(), Vec::<String>::new());
    desk.key(Key::Escape);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.key_with(CTRL_SHIFT, Key::U);
    assert_eq!(desk.window.unnamed_widgets(), Vec::<String>::new());
}

#[test]
fn what_was_planned_for_another_archive_is_never_carried_out() {
    let (mut desk, first) = at_filing();
    let second = desk.folder.path().join("elsewhere");
    // Typed over, and filed in the same breath: the plan on the screen is still that of the first.
    desk.key(Key::F2);
    desk.ctrl(Key::A);
    desk.window.event(egui::Event::Text(second.to_str().unwrap().to_owned()));
    desk.window.step();
    desk.tap(CTRL_SHIFT, Key::F);
    desk.wait();
    assert_eq!((pictures(&first), pictures(&second)), (Vec::new(), Vec::new()));
    desk.key(Key::Enter);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.wait_for("the receipt", |desk| desk.says("may be wiped"));
    assert_eq!((pictures(&first).len(), pictures(&second).len()), (0, 7));
    // What is changed since was not filed: the word on wiping goes.
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.key(Key::F8);
    assert!(!desk.says("may be wiped"));
}

#[test]
fn enter_on_a_button_is_that_button_s() {
    let (mut desk, archive) = at_filing();
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.wait_for("the receipt", |desk| desk.says("may be wiped"));
    desk.key_with(CTRL_SHIFT, Key::U);
    desk.wait_for("the question", |desk| desk.app().floats());
    for _ in 0..8 {
        let leave = desk.window.query_all_by_role_and_label(Role::Button, "Leave it").next();
        if leave.is_some_and(|button| button.accesskit_node().is_focused()) {
            break;
        }
        desk.key(Key::Tab);
    }
    desk.key(Key::Enter);
    assert!(!desk.app().floats());
    assert_eq!(pictures(&archive).len(), 7, "left as it is");
}

//! The record of a specimen and of the day: fields filled in by keys, checked as typed, carried over, filled in for several;
//! names set beside each other.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;
use record::{Standing, Term};

use crate::desk::Desk;

const DAY: &str = "fffff_fffff_ffff_";
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// What stands in a field of the specimen of a set.
fn own(desk: &Desk, set: usize, term: Term) -> Option<String> {
    let session = &desk.app().day().unwrap().session;
    session.record_of(&session.sets[set])?.fields.get(&term).map(|entry| entry.text.clone())
}

/// Goes from the focused field down to one of this name and types there.
fn fill(desk: &mut Desk, name: &str, text: &str) {
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, name).focus();
    desk.wait();
    desk.ctrl(Key::A);
    desk.type_text(text);
    desk.key(Key::Enter);
}

#[test]
fn fields_are_filled_in_one_after_the_other_by_keys() {
    let mut desk = Desk::on(DAY);
    desk.key_with(Modifiers::SHIFT, Key::F6);
    assert_eq!(desk.app().screen(), Screen::Specimen);
    // The first field has the keyboard: the site, then the coordinates, which are shown as they are understood.
    desk.type_text("West bank");
    desk.key(Key::Enter);
    desk.type_text("52°12′0″N 0°7′13″E");
    desk.window.get_by_label_contains("Understood as 52.2000, 0.1203");
    desk.key(Key::Enter);
    assert_eq!(own(&desk, 0, Term::Locality).as_deref(), Some("West bank"));
    assert_eq!(own(&desk, 0, Term::Coordinates).as_deref(), Some("52°12′0″N 0°7′13″E"));
    assert_eq!(desk.undo_words(), Some("wrote coordinates of 1"));
    // What is not as it should be is not written, and says why.
    desk.type_text("0");
    desk.key(Key::Enter);
    desk.window.get_by_label_contains("write metres above 0");
    assert_eq!(own(&desk, 0, Term::CoordinateUncertaintyInMeters), None);
    fill(&mut desk, "Uncertainty, m", "12");
    assert_eq!(own(&desk, 0, Term::CoordinateUncertaintyInMeters).as_deref(), Some("12"));
    // In a field undo is the field's.
    desk.key(Key::Escape);
    for _ in 0..3 {
        desk.ctrl(Key::Z);
    }
    assert_eq!(own(&desk, 0, Term::Locality), None);
}

#[test]
fn what_is_wrong_is_kept_only_when_the_person_says_so_and_esc_leaves_the_field_as_it_was() {
    let mut desk = Desk::on(DAY);
    desk.key_with(Modifiers::SHIFT, Key::F6);
    fill(&mut desk, "Caught at", "about noon");
    assert_eq!(own(&desk, 0, Term::EventTime), None);
    // It stays typed while one looks elsewhere.
    desk.key(Key::F6);
    desk.key(Key::F7);
    desk.window.get_by_label_contains("“about noon” is no time of day");
    desk.window.get_by_label("Keep it as it is").click();
    desk.wait();
    assert_eq!(own(&desk, 0, Term::EventTime).as_deref(), Some("about noon"));
    desk.window.get_by_label("Kept all the same.");
    fill(&mut desk, "Sex", "m");
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, "Sex").focus();
    desk.wait();
    desk.key_with(Modifiers::SHIFT, Key::Enter);
    assert_eq!(own(&desk, 0, Term::Sex).as_deref(), Some("m"));
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, "Plant or ground").focus();
    desk.wait();
    desk.type_text("clover");
    desk.key(Key::Escape);
    assert_eq!((own(&desk, 0, Term::Plant), desk.app().screen()), (None, Screen::Specimen));
}

#[test]
fn values_there_are_and_values_used_before_are_offered() {
    let mut desk = Desk::on(DAY);
    desk.key_with(Modifiers::SHIFT, Key::F6);
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, "Sex").focus();
    desk.wait();
    desk.type_text("ma");
    desk.key(Key::ArrowDown);
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    assert_eq!(own(&desk, 0, Term::Sex).as_deref(), Some("male"));
    fill(&mut desk, "Plant or ground", "red clover");
    let mut desk = desk.open_again(Some("heath"));
    desk.key(Key::F7);
    desk.key(Key::PageDown);
    desk.key_with(Modifiers::SHIFT, Key::F6);
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, "Plant or ground").focus();
    desk.wait();
    desk.type_text("clo");
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    assert_eq!(own(&desk, 1, Term::Plant).as_deref(), Some("red clover"));
}

#[test]
fn the_day_s_fields_hold_for_all_and_who_works_is_remembered() {
    let mut desk = Desk::on(DAY);
    desk.key_with(CTRL_SHIFT, Key::D);
    fill(&mut desk, "Recorded by", "R. Imaginary | B. Invented");
    fill(&mut desk, "Site", "West bank");
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, "Habitat").focus();
    desk.wait();
    desk.type_text("ditch");
    // Closing the panel writes what is typed.
    desk.key(Key::Escape);
    let session = &desk.app().day().unwrap().session;
    assert_eq!(session.fields[&Term::Habitat].text, "ditch");
    desk.key_with(Modifiers::SHIFT, Key::F6);
    desk.window.get_by_label("Site: West bank (the day’s)");

    let other = desk.folder.path().join("fen");
    crate::desk::draw_bodies(&other, "Two:f:10:00:00 Two:f:10:00:10 Two:_:10:00:30");
    let desk = desk.open_again(Some("fen"));
    let fields = &desk.app().day().unwrap().session.fields;
    assert_eq!(fields[&Term::RecordedBy].text, "R. Imaginary | B. Invented");
    assert!(!fields.contains_key(&Term::Locality), "another day is elsewhere");
    let mut desk = desk;
    desk.ctrl(Key::O);
    assert!(desk.says("West bank"), "the page of cards says where a day was");
}

#[test]
fn a_field_is_carried_over_and_filled_in_for_several_as_one_change() {
    let mut desk = Desk::on(DAY);
    desk.key_with(Modifiers::SHIFT, Key::F6);
    fill(&mut desk, "Plant or ground", "vetch");
    desk.key(Key::Escape);
    desk.key(Key::F7);
    desk.key(Key::PageDown);
    desk.key_with(Modifiers::SHIFT, Key::F4);
    assert_eq!(own(&desk, 1, Term::Plant).as_deref(), Some("vetch"));
    assert_eq!(desk.undo_words(), Some("carried over to 2"));
    desk.key_with(Modifiers::SHIFT, Key::F4);
    assert!(desk.says("says nothing of where and how"));
    desk.key(Key::Escape);

    desk.key(Key::F6);
    desk.ctrl(Key::A);
    desk.key_with(CTRL_SHIFT, Key::A);
    desk.window.get_by_label_contains("Fill in for 3 specimens");
    desk.window.get_by_label("Plant or ground: not the same in all of them");
    fill(&mut desk, "Habitat", "mown bank");
    desk.key(Key::Escape);
    for set in 0..3 {
        assert_eq!(own(&desk, set, Term::Habitat).as_deref(), Some("mown bank"));
    }
    assert_eq!(desk.undo_words(), Some("wrote habitat of 3 specimens"));
    desk.ctrl(Key::Z);
    assert_eq!(own(&desk, 0, Term::Habitat), None);
}

#[test]
fn names_are_set_beside_each_other_accepted_and_superseded() {
    let mut desk = Desk::on(DAY);
    let standings = |desk: &Desk| -> Vec<(String, Standing)> {
        let session = &desk.app().day().unwrap().session;
        let given = &session.record_of(&session.sets[0]).unwrap().determinations;
        given.iter().map(|d| (d.words(), d.standing.clone())).collect()
    };
    desk.key_with(Modifiers::SHIFT, Key::F8);
    desk.window.get_by_label_contains("Nobody has named it yet");
    desk.type_text("Bombus cf. lucorum");
    desk.key(Key::Enter);
    desk.window.get_by_label_contains("is a qualifier: write it in its own field");
    fill(&mut desk, "Given by", "A. Nobody");
    fill(&mut desk, "Qualifier", "cf.");
    fill(&mut desk, "Name", "Bombus lucorum");
    assert_eq!(standings(&desk), [("Bombus cf. lucorum".to_owned(), Standing::Given)]);
    fill(&mut desk, "Name", "Bombus terrestris");
    desk.window.get_by_label("they differ");
    desk.window.get_by_label("Accept Bombus terrestris").click();
    desk.wait();
    desk.window.get_by_label("they differ, one is accepted");
    desk.window.get_by_label("Supersede Bombus lucorum").click();
    desk.wait();
    desk.type_text("seen again, worn");
    desk.key(Key::Enter);
    assert_eq!(
        standings(&desk),
        [
            ("Bombus cf. lucorum".to_owned(), Standing::Superseded("seen again, worn".into())),
            ("Bombus terrestris".to_owned(), Standing::Accepted),
        ]
    );
    let session = &desk.app().day().unwrap().session;
    let given = &session.record_of(&session.sets[0]).unwrap().determinations;
    assert_eq!(given[1].by, "A. Nobody", "who gave the last name is offered again");
    for _ in 0..4 {
        desk.ctrl(Key::Z);
    }
    assert!(session_of(&desk).specimens.is_empty());
}

fn session_of(desk: &Desk) -> &record::Session {
    &desk.app().day().unwrap().session
}

#[test]
fn what_was_sent_is_noted_answered_and_overdue() {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    desk.ctrl(Key::Enter);
    desk.key_with(Modifiers::SHIFT, Key::ArrowDown);
    desk.key_with(Modifiers::SHIFT, Key::F11);
    desk.window.get_by_label("Send the 2 chosen specimens");
    fill(&mut desk, "Answer wanted by", "2001-13-01");
    fill(&mut desk, "To whom or where", "an invented museum");
    desk.window.get_by_label_contains("“2001-13-01” is no day");
    fill(&mut desk, "Answer wanted by", "2001-01-31");
    let sendings = |desk: &Desk| session_of(desk).sendings.values().cloned().collect::<Vec<_>>();
    let [sending] = &sendings(&desk)[..] else { panic!("none is noted") };
    assert_eq!((sending.specimens.len(), sending.frames.len()), (2, 5), "one of them is confirmed");
    assert!(desk.says("days overdue"));
    desk.window.get_by_label("Note the answer of an invented museum").click();
    desk.wait();
    fill(&mut desk, "What came back", "two names");
    assert!(desk.says("answered") && desk.says("two names"));
    desk.key(Key::Escape);
    desk.ctrl(Key::Z);
    assert_eq!(sendings(&desk)[0].heard, None);
    desk.ctrl(Key::Z);
    assert!(sendings(&desk).is_empty());
}

#[test]
fn a_site_named_again_brings_its_place_and_names_are_offered_from_a_list() {
    let mut desk = Desk::on(DAY);
    desk.key_with(CTRL_SHIFT, Key::D);
    fill(&mut desk, "Site", "West bank");
    fill(&mut desk, "Coordinates", "53.4012, 0.2107");
    fill(&mut desk, "Uncertainty, m", "20");
    desk.key(Key::Escape);
    let lists = desk.folder.path().join("home/checklists");
    std::fs::create_dir_all(&lists).unwrap();
    let names = "scientificName,authorship,rank,vernacular,sensitive\nBombus inventus,Nobody 2026,species,made-up bee,yes\n";
    std::fs::write(lists.join("bees.csv"), names).unwrap();
    let other = desk.folder.path().join("fen");
    crate::desk::draw_bodies(&other, "Two:f:10:00:00 Two:f:10:00:10 Two:_:10:00:30");
    let mut desk = desk.open_again(Some("fen"));
    desk.key_with(CTRL_SHIFT, Key::D);
    fill(&mut desk, "Site", "West bank");
    let fields = &session_of(&desk).fields;
    assert_eq!(fields[&Term::Coordinates].text, "53.4012, 0.2107");
    assert_eq!(fields[&Term::CoordinateUncertaintyInMeters].text, "20");
    desk.key(Key::Escape);

    desk.key_with(Modifiers::SHIFT, Key::F8);
    desk.type_text("made");
    desk.key(Key::ArrowDown);
    desk.key(Key::Enter);
    desk.window.get_by_role_and_label(egui::accesskit::Role::TextInput, "Name").focus();
    desk.wait();
    desk.key(Key::Enter);
    let given = &session_of(&desk).specimens[0].determinations[0];
    assert_eq!(
        (given.name.as_str(), given.authorship.as_str(), given.rank.as_str()),
        ("Bombus inventus", "Nobody 2026", "species")
    );
    desk.window.get_by_label_contains("calls this name sensitive");
}

//! Notes of the field read into a day: a notebook looked at, its doubts decided and taken as one change; a track; the map.

#![allow(clippy::unwrap_used, reason = "a desk that cannot be set up ends its test")]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::Term;

use crate::desk::{Desk, draw_bodies};

/// Three animals on 14 June 2026, from 10:00 on.
fn desk() -> Desk {
    let day = (0..3).flat_map(|set| {
        let frames = (0..4).map(move |n| format!("One:f:10:{:02}:{:02}", 2 * set, 10 * n));
        frames.chain([format!("One:_:10:{:02}:50", 2 * set)])
    });
    let day = day.collect::<Vec<_>>().join(" ");
    Desk::on_card(|card| draw_bodies(card, &day))
}

fn put(desk: &Desk, name: &str, text: &str) -> String {
    let path = desk.folder.path().join(name);
    std::fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

fn field(desk: &Desk, set: usize, term: Term) -> Option<String> {
    let session = &desk.app().day().unwrap().session;
    session.record_of(&session.sets[set])?.fields.get(&term).map(|entry| entry.text.clone())
}

/// Reads a file of notes by keys.
fn read(desk: &mut Desk, path: &str) {
    desk.key_with(Modifiers::COMMAND, Key::F5);
    desk.type_text(path);
    desk.key(Key::Enter);
}

#[test]
fn a_notebook_is_looked_at_its_columns_changed_and_taken_as_one_change() {
    let mut desk = desk();
    let path = put(&desk, "book.csv", "No;Flower;Sexe;Remarks\n1;thrift;f;wet\n2;clover;m;\n3;vetch;f;\n");
    read(&mut desk, &path);
    desk.window.get_by_label("Field notebook: book.csv");
    desk.window.get_by_label("No: Number");
    desk.window.get_by_label_contains("Line 2, 1");
    // The second column gets another meaning and its own again.
    desk.key(Key::ArrowDown);
    let before = desk.window.query_by_label("Flower: Plant or ground").is_some();
    desk.key(Key::ArrowRight);
    assert!(desk.window.query_by_label("Flower: Plant or ground").is_none(), "changed by a key");
    desk.key(Key::ArrowLeft);
    assert_eq!(desk.window.query_by_label("Flower: Plant or ground").is_some(), before);
    assert!(before, "guessed by its header");
    desk.key(Key::Enter);
    assert_eq!(field(&desk, 0, Term::Plant).as_deref(), Some("thrift"));
    assert_eq!(field(&desk, 1, Term::Sex).as_deref(), Some("male"));
    assert_eq!(desk.app().day().unwrap().session.specimens[0].note, "wet");
    assert_eq!(desk.undo_words(), Some("took the notebook book.csv"));
    read(&mut desk, &path);
    desk.window.get_by_label_contains("Nothing in it is new");
    desk.key(Key::Escape);
    desk.ctrl(Key::Z);
    assert!(desk.app().day().unwrap().session.specimens.is_empty(), "all of it is taken back");
}

#[test]
fn doubtful_rows_are_decided_or_left_out_and_esc_takes_nothing() {
    let mut desk = desk();
    let path = put(&desk, "book.csv", "No,Jar,Plant\n1,21,thrift\n1,21,clover\n");
    read(&mut desk, &path);
    desk.window.get_by_label("one to decide");
    desk.window.get_by_label_contains("The doubtful row is left out until you decide");
    desk.key(Key::Escape);
    assert_eq!(desk.undo_words(), None);
    read(&mut desk, &path);
    // The second row, after three columns: as proposed, then another animal.
    for _ in 0..4 {
        desk.key(Key::ArrowDown);
    }
    desk.key(Key::ArrowRight);
    desk.window.get_by_label_contains("clover: 2, as you decided");
    desk.key(Key::ArrowRight);
    desk.window.get_by_label_contains("clover: 3, as you decided");
    desk.key(Key::Enter);
    let plants: Vec<_> = (0..3).map(|set| field(&desk, set, Term::Plant)).collect();
    assert_eq!(plants, [Some("thrift".to_owned()), None, Some("clover".to_owned())]);
}

#[test]
fn what_cannot_be_read_says_why_and_where() {
    let mut desk = desk();
    let path = put(&desk, "sheet.xlsx", "PK\u{3}\u{4} not a table");
    read(&mut desk, &path);
    assert!(desk.says("Save the sheet as CSV") && desk.says("Nothing was written"));
    desk.key(Key::Escape);
    read(&mut desk, "/nowhere/walk.gpx");
    assert!(desk.says("/nowhere/walk.gpx"));
    desk.key(Key::Escape);
    assert_eq!(desk.undo_words(), None);
}

#[test]
fn a_track_places_the_animals_once_its_zone_is_said_and_the_map_shows_them() {
    let mut desk = desk();
    desk.key_with(Modifiers::SHIFT, Key::F12);
    desk.window.get_by_label_contains("No place is known yet");
    desk.key(Key::Escape);
    let point = |min: u32, lat: &str| {
        format!("<trkpt lat=\"{lat}\" lon=\"0.12\"><time>2026-06-14T09:{min:02}:00Z</time></trkpt>")
    };
    let points: String = (0..6)
        .map(|n| point(n, ["52.2000", "52.2001", "52.2002", "52.2003", "52.2004", "52.2005"][n as usize]))
        .collect();
    let gpx = format!("<gpx version=\"1.1\" creator=\"invented\"><trk><trkseg>{points}</trkseg></trk></gpx>");
    let path = put(&desk, "walk.gpx", &gpx);
    read(&mut desk, &path);
    desk.window.get_by_label("Track: walk.gpx");
    assert!(desk.says("The frames do not say their zone: ← → says") && desk.says("1: no place"));
    desk.key(Key::ArrowRight);
    assert!(desk.says("local time is taken as UTC +00:00") && desk.says("after the track ends"));
    for _ in 0..2 {
        desk.key(Key::ArrowRight);
    }
    assert!(desk.says("1: 52.20000, 0.12000, within 3") && desk.says("3: 52.20040, 0.12000"));
    desk.key(Key::Enter);
    assert_eq!(field(&desk, 1, Term::Coordinates).as_deref(), Some("52.20020, 0.12000"));
    assert_eq!(desk.undo_words(), Some("took the track walk.gpx"));
    desk.key_with(Modifiers::SHIFT, Key::F12);
    desk.window.get_by_label("Map with 3 specimens");
    // What has a place keeps it, unless it is to be written over.
    desk.key(Key::Escape);
    read(&mut desk, &path);
    assert!(desk.says("have a place already, which stays"));
    desk.key(Key::Escape);
    desk.ctrl(Key::Z);
    assert_eq!(field(&desk, 1, Term::Coordinates), None);
}

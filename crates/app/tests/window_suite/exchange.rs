//! The exchange step: what is made of a filed day, and what comes back, by keys and names.

#![allow(clippy::unwrap_used, reason = "an archive that cannot be looked at ends its test")]

use std::path::{Path, PathBuf};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use endleaf::window::Screen;
use record::Standing;

use crate::desk::Desk;

const DAY: &str = "fff_ff_";
const CTRL_SHIFT: Modifiers = Modifiers { shift: true, ..Modifiers::COMMAND };

/// A desk whose day is filed, two views of its first animal confirmed and a record begun of either, at the exchange step.
fn at_exchange() -> Desk {
    let mut desk = Desk::on(DAY);
    desk.key(Key::F6);
    for jar in ["21", "22"] {
        desk.key(Key::F2);
        desk.type_text(jar);
        desk.key(Key::Enter);
        desk.key(Key::Escape);
    }
    desk.key(Key::Home);
    desk.key(Key::F7);
    desk.key(Key::S);
    desk.key(Key::F);
    desk.file();
    desk.ctrl(Key::F8);
    assert_eq!(desk.app().screen(), Screen::Exchange);
    desk
}

/// Says how an animal without a name counts.
fn say_unnamed(desk: &mut Desk, category: &str) {
    desk.window.get_by_role_and_label(Role::CheckBox, &format!("Without a name: {category}")).click();
    desk.wait();
}

/// Types where the document is to stand and makes it.
fn make(desk: &mut Desk, name: &str) -> PathBuf {
    let to = desk.folder.path().join(name);
    desk.key_with(Modifiers::SHIFT, Key::F2);
    desk.ctrl(Key::A);
    desk.type_text(to.to_str().unwrap());
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.wait();
    to
}

fn down(desk: &mut Desk, times: usize) {
    desk.key(Key::Home);
    for _ in 0..times {
        desk.key(Key::ArrowDown);
    }
}

#[test]
fn nothing_is_made_before_it_is_said_how_an_animal_without_a_name_counts() {
    let mut desk = at_exchange();
    assert!(desk.says("How sensitive does an animal count"));
    let pack = make(&mut desk, "pack");
    assert!(!pack.exists());
    assert!(desk.app().notice_words().unwrap().contains("say first how sensitive"));
    desk.key(Key::Escape);
    say_unnamed(&mut desk, "none");
    assert!(desk.says("2 records, none with a coarsened place"), "what others would get is shown");
    assert!(desk.says("no name: scientificName is empty"));
    // It is asked once: another window knows.
    let mut desk = desk.open_again(Some("heath"));
    desk.ctrl(Key::F8);
    assert!(!desk.says("How sensitive does an animal count") && desk.says("2 records"));
}

#[test]
fn every_document_is_made_whole_and_a_name_that_is_taken_is_refused() {
    let mut desk = at_exchange();
    say_unnamed(&mut desk, "none");
    for (nth, name, holds) in [
        (0, "pack", "index.html"),
        (1, "sheets.pdf", ""),
        (2, "labels.pdf", ""),
        (3, "records.zip", ""),
        (4, "tables", "occurrence.csv"),
        (5, "bag", "manifest-sha512.txt"),
    ] {
        down(&mut desk, nth);
        let to = make(&mut desk, name);
        let whole = if holds.is_empty() { to.clone() } else { to.join(holds) };
        assert!(whole.exists(), "{name}: {:?}", desk.app().notice_words());
        assert!(desk.says(&to.display().to_string()), "{name} is told");
        make(&mut desk, name);
        assert!(desk.says("Something has this name already"), "{name}");
        assert!(whole.exists());
    }
    let inside = make(&mut desk, "archive/bag");
    assert!(!inside.exists() && desk.says("This lies in the archive"));
    // Only what was confirmed has a name.
    let folder = std::fs::read_dir(desk.folder.path().join("pack")).unwrap().map(Result::unwrap);
    let folder = folder.map(|e| e.path()).find(|path| path.is_dir()).unwrap();
    let mut pictures: Vec<String> =
        std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    pictures.sort();
    assert!(pictures.iter().any(|name| name.contains("_side_")), "{pictures:?}");
    assert!(pictures.iter().any(|name| name.contains("_frame_")), "{pictures:?}");
}

/// Folders of specimens in a pack.
fn specimens(pack: &Path) -> usize {
    std::fs::read_dir(pack).unwrap().filter(|entry| entry.as_ref().unwrap().path().is_dir()).count()
}

#[test]
fn a_pack_holds_the_rows_that_were_chosen_those_without_a_name_or_the_day() {
    let mut desk = at_exchange();
    say_unnamed(&mut desk, "none");
    for (scope, name, expected) in
        [("the chosen row", "one", 1), ("without an accepted name", "unnamed", 2), ("this day", "day", 2)]
    {
        desk.window.get_by_role_and_label(Role::CheckBox, &format!("Of: {scope}")).click();
        desk.wait();
        assert_eq!(specimens(&make(&mut desk, name)), expected, "{scope}");
    }
    // Rows chosen on the day sheet stay chosen here.
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk.key_with(Modifiers::SHIFT, Key::ArrowDown);
    desk.ctrl(Key::F8);
    desk.window.get_by_role_and_label(Role::CheckBox, "Of: 2 chosen rows").click();
    desk.wait();
    assert_eq!(specimens(&make(&mut desk, "chosen")), 2);
    // One that has a name to go by is no longer among those without.
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk.key_with(Modifiers::SHIFT, Key::F8);
    desk.type_text("Bombus pratorum");
    desk.key(Key::Enter);
    desk.key(Key::Escape);
    desk.key(Key::F8);
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.ctrl(Key::F8);
    desk.window.get_by_role_and_label(Role::CheckBox, "Of: without an accepted name").click();
    desk.wait();
    assert_eq!(specimens(&make(&mut desk, "left")), 1, "{:?}", desk.app().notice_words());
}

#[test]
fn a_set_with_several_records_goes_out_as_its_first() {
    let mut desk = at_exchange();
    say_unnamed(&mut desk, "none");
    desk.key(Key::F6);
    desk.key(Key::Home);
    desk.key_with(CTRL_SHIFT, Key::J);
    assert_eq!(desk.app().day().unwrap().session.sets[0].specimens.len(), 2);
    desk.key(Key::F8);
    desk.key(Key::Tab);
    desk.key_with(CTRL_SHIFT, Key::F);
    desk.ctrl(Key::F8);
    assert!(desk.says("its set has several records"));
    desk.window.get_by_role_and_label(Role::CheckBox, "Of: this day").click();
    desk.wait();
    assert_eq!(specimens(&make(&mut desk, "day")), 1, "{:?}", desk.app().notice_words());
}

/// What is said of the whole in a Darwin Core archive.
fn credits(archive: &Path) -> String {
    let mut zip = zip::ZipArchive::new(std::fs::File::open(archive).unwrap()).unwrap();
    std::io::read_to_string(zip.by_name("eml.xml").unwrap()).unwrap()
}

/// A day whose only notes are these, filed, at the exchange step.
fn filed_with_notes(notes: &str) -> Desk {
    let mut desk = Desk::on(DAY);
    let notebook = desk.folder.path().join("notes.csv");
    std::fs::write(&notebook, notes).unwrap();
    desk.key(Key::F6);
    desk.ctrl(Key::F5);
    desk.type_text(notebook.to_str().unwrap());
    desk.key(Key::Enter);
    desk.wait();
    desk.key(Key::Enter);
    desk.file();
    desk.ctrl(Key::F8);
    desk
}

#[test]
fn names_of_people_go_out_with_the_document_they_were_ticked_for_alone() {
    let mut desk = filed_with_notes("number,creator\n1,P. Invented\n2,P. Invented\n");
    let people = "names of people go out with this one";
    desk.window.get_by_role_and_label(Role::CheckBox, people).click();
    desk.wait();
    // The archive is looked at while it is ticked.
    say_unnamed(&mut desk, "none");
    down(&mut desk, 3);
    assert!(credits(&make(&mut desk, "with.zip")).contains("P. Invented"));
    assert!(!credits(&make(&mut desk, "without.zip")).contains("P. Invented"));
}

#[test]
fn pictures_are_served_below_an_address_of_the_web_or_none() {
    let mut desk = at_exchange();
    say_unnamed(&mut desk, "none");
    down(&mut desk, 4);
    for (typed, is_taken) in [("example.org/pictures", false), ("https://example.org/pictures", true)] {
        desk.window.get_by_role_and_label(Role::TextInput, "Served below").focus();
        desk.wait();
        desk.ctrl(Key::A);
        desk.type_text(typed);
        desk.key(Key::Tab);
        desk.wait();
        assert_eq!(make(&mut desk, "tables").exists(), is_taken, "{typed}");
        desk.key(Key::Escape);
    }
}

#[test]
fn what_gives_a_sensitive_place_away_is_decided_about_first() {
    let mut desk = filed_with_notes(
        "number,locality,decimalLatitude,decimalLongitude,eventDate,sensitivity\n\
         1,Old quarry,52.20025,0.12035,2026-06-14,high\n\
         2,Old quarry,52.20026,0.12036,2026-06-14,none\n",
    );
    say_unnamed(&mut desk, "none");
    assert!(desk.says("A record of the stop of a sensitive animal gives its place away"));
    down(&mut desk, 4);
    let tables = make(&mut desk, "tables");
    assert!(!tables.exists());
    assert!(desk.app().notice_words().unwrap().contains("give a sensitive place away"));
    desk.key(Key::Escape);
    for (choice, name, is_told) in
        [("share them as held", "exact", true), ("coarsen them too", "coarse", false)]
    {
        desk.window.get_by_role_and_label(Role::CheckBox, &format!("Those: {choice}")).click();
        desk.wait();
        let text = std::fs::read_to_string(make(&mut desk, name).join("occurrence.csv")).unwrap();
        assert_eq!(text.contains("52.2002"), is_told, "{choice}: {text}");
        assert_eq!(text.contains("Old quarry"), is_told, "{choice}: {text}");
    }
}

#[test]
fn a_pack_is_kept_as_sent_and_what_comes_back_stands_beside_what_is_accepted() {
    let mut desk = at_exchange();
    say_unnamed(&mut desk, "none");
    desk.window.get_by_role_and_label(Role::TextInput, "For whom").focus();
    desk.wait();
    desk.type_text("an invented museum");
    desk.key(Key::Tab);
    let pack = make(&mut desk, "pack");
    let sent = desk.app().day().unwrap().session.sendings[&0].clone();
    assert_eq!((sent.to.as_str(), sent.specimens.len()), ("an invented museum", 1));
    assert_eq!(sent.frames.len(), 3, "two views and a frame");
    assert!(desk.says("an invented museum") && desk.says("not heard of yet"));
    assert_eq!(desk.undo_words(), Some("sent to an invented museum"));

    // The specialist fills the table in.
    let summary = pack.join("summary.csv");
    let text = std::fs::read_to_string(&summary).unwrap();
    let mut reader = csv::Reader::from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let heads = reader.headers().unwrap().clone();
    let mut rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let at = |name: &str| heads.iter().position(|head| head == name).unwrap();
    let filled: Vec<String> = rows[0]
        .iter()
        .enumerate()
        .map(|(n, cell)| match n {
            n if n == at("scientificName") => "Bombus pratorum".to_owned(),
            n if n == at("identifiedBy") => "I. Imaginary".to_owned(),
            n if n == at("dateIdentified") => "2026-07-02".to_owned(),
            _ => cell.to_owned(),
        })
        .collect();
    rows[0] = filled.into();
    let mut writer = csv::Writer::from_path(&summary).unwrap();
    writer.write_record(&heads).unwrap();
    for row in &rows {
        writer.write_record(row).unwrap();
    }
    writer.flush().unwrap();
    drop(writer);
    for again in [false, true] {
        desk.ctrl(Key::F5);
        desk.type_text(summary.to_str().unwrap());
        desk.key(Key::Enter);
        desk.wait();
        assert!(desk.says("Names that came back: summary.csv"));
        assert!(desk.says(if again { "is there already" } else { "to be written" }));
        desk.key(Key::Enter);
        desk.key(Key::Escape);
        let session = &desk.app().day().unwrap().session;
        let names = &session.specimens[0].determinations;
        assert_eq!((names.len(), names[0].name.as_str()), (1, "Bombus pratorum"), "again: {again}");
        assert_ne!(names[0].standing, Standing::Accepted);
    }
    assert_eq!(desk.undo_words(), Some("wrote the names of summary.csv"));
    // Documents are made of what is filed: the day has to be filed again first.
    desk.key(Key::F6);
    desk.ctrl(Key::F8);
    desk.wait();
    assert!(desk.says("The day was changed since it was filed"));
}

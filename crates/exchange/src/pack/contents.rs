//! What goes into a pack: specimens, their cells, and the pictures of each.
//!
//! Goes in: a session and the folder it is filed in. Come out: [`Item`]s that need the session no longer. It reads no picture.

use std::collections::BTreeMap;

use filing::{Caption, orientation_iri, part_iri};
use grouping::group;
use imaging::measuring::Scale;
use record::{Frame, Session, SpecimenId, Term, View, listed};
use uuid::Uuid;

use super::columns::{Cell, cells};
use super::{Wanted, Which};
use crate::cells::one_line;
use crate::round::{Round, filed_frame, round};
use crate::scale::scale_of;
use crate::shown::{Shown, shares};

/// A specimen of a pack.
pub(super) struct Item {
    pub(super) id: Uuid,
    pub(super) is_coarsened: bool,
    /// The folder of its session.
    pub(super) session: String,
    pub(super) specimen: SpecimenId,
    /// What it is called in this pack: also the name of its folder.
    pub(super) label: String,
    pub(super) cells: Vec<Cell>,
    pub(super) pictures: Vec<Planned>,
    /// Required views of the plan of which there is no picture.
    pub(super) gaps: Vec<String>,
}

/// A picture to be made.
pub(super) struct Planned {
    /// The frame as it lies in the archive.
    pub(super) frame: Frame,
    /// Name of the view, with its place among several; `Frame` where that is not confirmed.
    pub(super) view: String,
    /// What stands in the name of its file for that.
    pub(super) key: String,
    /// The scale of the full picture and the size it holds for.
    pub(super) scale: Option<(Scale, (u32, u32))>,
    /// What stands under it: the specimen, view and day; then the name it goes by.
    pub(super) lines: [String; 2],
    /// What it says of itself as data: an XMP packet.
    pub(super) packet: String,
}

impl Item {
    /// What stands in a column.
    pub(super) fn text(&self, column: &str) -> &str {
        self.cells.iter().find(|cell| cell.column == column).map_or("", |cell| cell.text.as_str())
    }

    /// Where a picture of it stands in the pack.
    pub(super) fn path(&self, picture: &Planned) -> String {
        format!("{0}/{0}_{1}.jpg", self.label, picture.key)
    }
}

/// The specimens of a session that are wanted. `names` counts the labels given so far.
pub(super) fn items(
    folder: &str,
    session: &Session,
    wanted: &Wanted,
    names: &mut BTreeMap<String, usize>,
) -> Vec<Item> {
    let shares = shares(session, &wanted.audience);
    let is_wanted = |id: &Uuid| wanted.specimens.as_ref().is_none_or(|chosen| chosen.contains(id));
    if !shares.all.iter().any(|shown| is_wanted(&shown.id)) {
        return Vec::new();
    }
    let grouping = group(session);
    // The name of a session is as a rule that of a place: beside a coarsened animal it would tell.
    let hides = shares.all.iter().any(Shown::is_coarsened);
    let date = session.date().unwrap_or_else(|| "specimen".to_owned());
    let chosen = shares.all.iter().filter(|shown| is_wanted(&shown.id));
    let item = |shown: &Shown<'_>| {
        let label = label(if hides { &date } else { folder }, shown, names);
        let round = round(shown, &shares.filed, &grouping);
        let cells = cells(shown, &label, wanted.audience.people);
        let mut item = Item {
            id: shown.id,
            is_coarsened: shown.is_coarsened(),
            session: folder.to_owned(),
            specimen: shown.specimen.id,
            label,
            cells,
            pictures: Vec::new(),
            gaps: round
                .slots
                .iter()
                .filter(|s| s.view.required && s.best().is_none())
                .map(|s| view_name(s.view))
                .collect(),
        };
        item.pictures = planned(folder, shown, &round, wanted, &item);
        item
    };
    chosen.map(item).collect()
}

/// Characters of a label taken from the name of a session's folder.
const LABEL_CHARS: usize = 60;

/// What a specimen is called in the pack: by its session and number, a coarsened one by its occurrence alone, since either would
/// tell more. Letters, digits, dashes and underscores; each given once, whatever the case.
fn label(session: &str, shown: &Shown<'_>, names: &mut BTreeMap<String, usize>) -> String {
    let plain = |c: char| if c.is_alphanumeric() || c == '_' { c } else { '-' };
    let label = if shown.is_coarsened() {
        format!("specimen_{}", &shown.id.simple().to_string()[..8])
    } else {
        let session: String = session.chars().map(plain).take(LABEL_CHARS).collect();
        format!("{session}_{:03}", shown.set.number)
    };
    let given = names.entry(label.to_lowercase()).or_default();
    *given += 1;
    if *given == 1 { label } else { format!("{label}-{given}") }
}

/// The name of a view, which the plan of a day may have in any words.
fn view_name(view: &View) -> String {
    one_line(&view.name).into_owned()
}

fn planned(folder: &str, shown: &Shown<'_>, round: &Round<'_>, wanted: &Wanted, item: &Item) -> Vec<Planned> {
    let (which, people) = (wanted.which, wanted.audience.people);
    let mut all: Vec<(Option<&View>, String, &str, &[&Frame])> = Vec::new();
    for slot in &round.slots {
        let frames = match which {
            Which::All => &slot.frames[..],
            Which::Best => &slot.frames[..slot.frames.len().min(1)],
        };
        all.push((Some(slot.view), view_name(slot.view), slot.view.key.as_str(), frames));
    }
    let has_gap = round.slots.iter().any(|slot| slot.view.required && slot.best().is_none());
    if which == Which::All || has_gap {
        all.push((None, "Frame".to_owned(), "frame", &round.frames));
    }
    let sign = match shown.text(Term::Sex) {
        Some("female") => " ♀",
        Some("male") => " ♂",
        _ => "",
    };
    let name = item.text("previousIdentifications").split(" | ").next().unwrap_or_default();
    let own_name = shown.name.map_or("", |_| name);
    let name = format!("{own_name}{sign}");
    let caption = caption(shown, item, own_name, people);
    let picture = |of_plan: Option<&View>, view: &str, key: &str, frame: &Frame, nth: usize, of: usize| {
        let view = if of > 1 { format!("{view} {nth}") } else { view.to_owned() };
        let first: Vec<&str> =
            [item.text("specimen"), &view, item.text("date")].into_iter().filter(|t| !t.is_empty()).collect();
        let title = first.join(" · ");
        let part = of_plan.and_then(|view| part_iri(&view.subject_part)).unwrap_or_default();
        let orientation =
            of_plan.and_then(|view| orientation_iri(&view.subject_orientation)).unwrap_or_default();
        Planned {
            packet: Caption { title: cut(&title), part, orientation, ..caption.clone() }.packet(),
            frame: filed_frame(folder, shown.session, frame),
            scale: scale_of(&shown.session.marks, frame.id),
            lines: [title, name.trim().to_owned()],
            key: format!("{key}_{nth}"),
            view,
        }
    };
    let pictures = all.iter().flat_map(|(of_plan, view, key, frames)| {
        frames
            .iter()
            .zip(1..)
            .map(move |(frame, nth)| (*of_plan, view.as_str(), *key, *frame, nth, frames.len()))
    });
    pictures.map(|(of_plan, view, key, frame, nth, of)| picture(of_plan, view, key, frame, nth, of)).collect()
}

/// Characters of a text that a caption takes over: a packet has to fit into a segment of a JPEG, some 65 000 bytes.
const CAPTION_CHARS: usize = 500;

fn cut(text: &str) -> String {
    text.chars().take(CAPTION_CHARS).collect()
}

/// What each picture of a specimen says of it.
fn caption(shown: &Shown<'_>, item: &Item, name: &str, people: bool) -> Caption {
    let text = |term| cut(shown.unless_telling(shown.text(term).filter(|_| people).unwrap_or_default()));
    let creators = text(Term::Creator);
    Caption {
        occurrence: item.text("occurrenceID").to_owned(),
        name: cut(name),
        date: item.text("date").to_owned(),
        creators: listed(&creators).map(str::to_owned).collect(),
        holder: text(Term::RightsHolder),
        licence: cut(item.text("license")),
        ..Caption::default()
    }
}

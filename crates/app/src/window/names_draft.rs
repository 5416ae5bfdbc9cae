//! A choice of names while it is made: which fields, in which order, and what joins them.
//!
//! Goes in: the session's naming, and what a person asks of it. Comes out: another naming, with an example of what it would
//! give. Nothing of the session is changed here.

use std::collections::BTreeMap;

use filing::{NamePreview, preview_names};
use record::{FrameId, NameField, NameForm, Naming};

use super::open_day::OpenDay;
use super::words::tell;

/// What can be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Part {
    /// Fields of the folders' names.
    Folder,
    /// Fields of the files' names.
    File,
    /// What stands between fields.
    Joiner,
}

/// What may stand between fields.
pub(crate) const JOINERS: [&str; 6] = ["_", "-", "+", "=", " ", ""];

/// The fields that can name a folder.
const OF_FOLDER: [NameField; 4] = [NameField::Date, NameField::Session, NameField::Specimen, NameField::Jar];

/// A choice that is being made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NamesDraft {
    pub(crate) naming: Naming,
    /// Where the keyboard is.
    pub(crate) part: Part,
    /// The line it is at.
    pub(crate) at: usize,
    /// The frame that is named as an example.
    frame: FrameId,
    /// Whether proposed views stand in names.
    takes_proposed: bool,
    /// What the choice gives, or why it cannot be.
    pub(crate) preview: Result<Option<NamePreview>, String>,
}

impl NamesDraft {
    /// Begins with the names as they are.
    pub(crate) fn of(open: &OpenDay, frame: Option<FrameId>, takes_proposed: bool) -> Self {
        let session = &open.day.session;
        let labelled = || session.decisions.labels.keys().next().copied();
        let in_set = frame.filter(|f| open.sheet.set_of.contains_key(f));
        let first = session.frames.first().map_or(FrameId(0), |f| f.id);
        let mut draft = Self {
            naming: session.naming.or_usual(),
            part: Part::File,
            at: 0,
            frame: in_set.or_else(labelled).unwrap_or(first),
            takes_proposed,
            preview: Ok(None),
        };
        draft.look(open);
        draft
    }

    /// Works out anew what the choice gives.
    pub(crate) fn look(&mut self, open: &OpenDay) {
        let proposals = if self.takes_proposed { open.day.proposed_views() } else { BTreeMap::new() };
        let preview = preview_names(&open.day.session, &self.naming, &proposals, self.frame);
        self.preview = preview.map_err(|fault| fault.to_string());
    }

    fn form(&mut self, part: Part) -> &mut NameForm {
        if part == Part::Folder { &mut self.naming.folder } else { &mut self.naming.file }
    }

    /// The fields of a part: first those in the name, in order, then the others; and how many are in it.
    pub(crate) fn fields(&self, part: Part) -> (Vec<NameField>, usize) {
        let (form, all) = match part {
            Part::Folder => (&self.naming.folder, &OF_FOLDER[..]),
            _ => (&self.naming.file, &NameField::ALL[..]),
        };
        let others = all.iter().filter(|field| !form.name.contains(field));
        (form.name.iter().chain(others).copied().collect(), form.name.len())
    }

    fn lines(&self, part: Part) -> usize {
        if part == Part::Joiner { JOINERS.len() } else { self.fields(part).0.len() }
    }

    /// Goes to a line of a part.
    pub(crate) fn go(&mut self, part: Part, at: usize) {
        self.part = part;
        self.at = at.min(self.lines(part).saturating_sub(1));
        if part == Part::Joiner {
            let joiner = JOINERS[self.at];
            joiner.clone_into(&mut self.naming.folder.joiner);
            joiner.clone_into(&mut self.naming.file.joiner);
        }
    }

    /// Goes to another part, there to what is chosen.
    pub(crate) fn go_to(&mut self, part: Part) {
        let joiner = || JOINERS.iter().position(|j| *j == self.naming.file.joiner).unwrap_or(0);
        let at = if part == Part::Joiner { joiner() } else { 0 };
        self.part = part;
        self.at = at;
    }

    /// Puts a field at the end of the name, or takes it out.
    pub(crate) fn put_in_or_take_out(&mut self, part: Part, at: usize) {
        let (fields, of_name) = self.fields(part);
        let Some(field) = fields.get(at).copied().filter(|_| part != Part::Joiner) else { return };
        let name = &mut self.form(part).name;
        if at < of_name {
            name.remove(at);
        } else {
            name.push(field);
        }
        let (fields, _) = self.fields(part);
        let at = fields.iter().position(|f| *f == field).unwrap_or(0);
        self.go(part, at);
    }

    /// Moves a field of the name up or down among the others in it.
    pub(crate) fn shift(&mut self, part: Part, at: usize, down: bool) {
        let of_name = self.fields(part).1;
        let to = if down { at + 1 } else { at.wrapping_sub(1) };
        if part == Part::Joiner || at >= of_name || to >= of_name {
            return;
        }
        self.form(part).name.swap(at, to);
        self.go(part, to);
    }
}

/// What a field is called.
pub(crate) fn field_words(field: NameField) -> String {
    match field {
        NameField::Date => tell!("names-field-date"),
        NameField::Time => tell!("names-field-time"),
        NameField::Session => tell!("names-field-session"),
        NameField::Specimen => tell!("names-field-specimen"),
        NameField::Jar => tell!("names-field-jar"),
        NameField::View => tell!("names-field-view"),
        NameField::Original => tell!("names-field-original"),
        NameField::N => tell!("names-field-n"),
    }
}

/// What joins, in words where it cannot be seen.
pub(crate) fn joiner_words(joiner: &str) -> String {
    match joiner {
        "" => tell!("names-joiner-none"),
        " " => tell!("names-joiner-space"),
        seen => seen.to_owned(),
    }
}

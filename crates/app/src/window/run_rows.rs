//! What the commands about rows of specimens do.

use grouping::SlotState;
use record::{Departure, Edit, FrameId, ViewKey, Way};

use super::app::App;
use super::command::Command;
use super::held_words::told;
use super::open_day::OpenDay;
use super::sheet_order::{chosen, needs_work, shown};
use super::state::{Field, Overlay, Question, Screen, SheetState, Typing};
use super::words::tell;

impl App {
    pub(super) fn run_on_rows(&mut self, command: Command) {
        let set = self.state.set;
        match command {
            Command::RowUp => self.step_row(-1),
            Command::RowDown => self.step_row(1),
            Command::RowsUp => self.step_row(-(self.state.sheet.rows_shown.max(1).cast_signed())),
            Command::RowsDown => self.step_row(self.state.sheet.rows_shown.max(1).cast_signed()),
            Command::FirstRow => self.step_row(isize::MIN),
            Command::LastRow => self.step_row(isize::MAX),
            Command::PreviousSpecimen => self.choose_row(set.saturating_sub(1)),
            Command::NextSpecimen => self.choose_row(set + 1),
            Command::NextIncomplete => self.next_incomplete(),
            Command::LargerPictures => self.scale_pictures(self.state.sheet.scale + 1),
            Command::SmallerPictures => self.scale_pictures(self.state.sheet.scale.saturating_sub(1)),
            Command::SortRows => {
                self.rearrange_rows(|sheet| sheet.sort = sheet.sort.next());
                self.step_row(isize::MIN);
            }
            Command::FilterRows => self.rearrange_rows(|sheet| sheet.only = sheet.only.next()),
            Command::ChooseUp | Command::ChooseDown => {
                self.keep_chosen(true);
                self.step_row(if command == Command::ChooseUp { -1 } else { 1 });
            }
            Command::ChooseBesides => self.keep_chosen(false),
            Command::ChooseAll => self.choose_all(),
            Command::EditJar => self.edit_jar(),
            Command::EditNote => self.edit_note(),
            Command::JoinPrevious => self.join_chosen(),
            Command::JoinNext => self.join(set + 1),
            Command::ConfirmProposed => self.confirm_proposed(),
            Command::TakeAsRetake => {
                let first = self.open.as_ref().and_then(|open| open.first_frame(set));
                self.state.overlay = first.map(|frame| Overlay::ask(Question::RetakeOf(frame)));
            }
            _ => self.run_on_frame(command),
        }
    }

    /// Goes so many rows down, among those shown.
    fn step_row(&mut self, rows: isize) {
        let Some(open) = &self.open else { return };
        let shown = shown(open, &self.state.sheet);
        let at = shown.iter().position(|set| *set == self.state.set);
        let to = match at {
            Some(at) => at.saturating_add_signed(rows).min(shown.len().saturating_sub(1)),
            None => 0,
        };
        if let Some(set) = shown.get(to) {
            self.choose_row(*set);
        }
    }

    pub(super) fn choose_row(&mut self, row: usize) {
        let first = self.open.as_ref().and_then(|open| open.first_frame(row));
        if let Some(frame) = first.filter(|_| row != self.state.set) {
            self.choose_frame(frame);
        }
        self.state.sheet.reveal = true;
    }

    fn next_incomplete(&mut self) {
        let Some(open) = &self.open else { return };
        let rows = open.sheet.rows.len();
        let next = (1..=rows)
            .map(|step| (self.state.set + step) % rows)
            .find(|at| needs_work(&open.sheet.rows[*at]));
        if let Some(row) = next {
            self.choose_row(row);
        }
    }

    fn scale_pictures(&mut self, scale: usize) {
        self.state.sheet.scale = scale.min(SheetState::SCALES.len() - 1);
        self.state.sheet.reveal = true;
    }

    /// Changes which rows are shown, and in which order; the keyboard stays at its row while that is shown.
    fn rearrange_rows(&mut self, change: impl FnOnce(&mut SheetState)) {
        change(&mut self.state.sheet);
        let Some(open) = &self.open else { return };
        let shown = shown(open, &self.state.sheet);
        if let Some(first) = shown.first().filter(|_| !shown.contains(&self.state.set)) {
            self.choose_row(*first);
        }
        self.state.sheet.reveal = true;
    }

    /// Keeps the row that the keyboard is at chosen; or, unless it is to stay, no longer.
    pub(super) fn keep_chosen(&mut self, stays: bool) {
        let first = self.open.as_ref().and_then(|open| open.first_frame(self.state.set));
        let Some(frame) = first else { return };
        let also = &mut self.state.sheet.also;
        if !also.insert(frame) && !stays {
            also.remove(&frame);
        }
    }

    /// Chooses every row from the one that the keyboard is at to this one, and goes there.
    pub(super) fn choose_to(&mut self, row: usize) {
        let Some(open) = &self.open else { return };
        let shown = shown(open, &self.state.sheet);
        let place = |row| shown.iter().position(|set| *set == row);
        let (Some(from), Some(to)) = (place(self.state.set), place(row)) else { return };
        let sets = shown[from.min(to)..=from.max(to)].iter();
        self.state.sheet.also.extend(sets.filter_map(|set| open.first_frame(*set)));
        self.choose_row(row);
    }

    fn choose_all(&mut self) {
        let Some(open) = &self.open else { return };
        let shown = shown(open, &self.state.sheet).into_iter();
        self.state.sheet.also = shown.filter_map(|set| open.first_frame(set)).collect();
    }

    fn edit_jar(&mut self) {
        if self.state.screen == Screen::Specimen {
            self.state.specimen.focus = Some(Field::Jar);
            return;
        }
        self.commit_typing();
        let Some(open) = &self.open else { return };
        let session = &open.day.session;
        let record = session.sets.get(self.state.set).and_then(|s| session.record_of(s));
        let text = record.map(|s| s.jar.clone()).unwrap_or_default();
        self.state.sheet.jar = Some(Typing { set: self.state.set, text });
        self.state.sheet.reveal = true;
    }

    /// Begins a jar label anew with this digit.
    pub(super) fn begin_jar(&mut self, digit: char) {
        self.run(Command::EditJar);
        if let Some(typing) = &mut self.state.sheet.jar {
            typing.text = digit.to_string();
        }
    }

    /// On the specimen page its note; on the day sheet one for all chosen rows.
    fn edit_note(&mut self) {
        if self.state.screen == Screen::Specimen {
            self.state.specimen.focus = Some(Field::Note);
            return;
        }
        let Some(open) = &self.open else { return };
        let sets = chosen(open, &self.state);
        let session = &open.day.session;
        let frames = sets.iter().filter_map(|set| open.first_frame(*set)).collect();
        let note = session.sets.get(self.state.set).and_then(|s| Some(session.record_of(s)?.note.clone()));
        let text = note.unwrap_or_default();
        self.state.overlay = Some(Overlay::Ask { question: Question::Note(frames), text, refused: None });
    }

    /// Joins the chosen sets, or the one that is chosen with the one before it.
    fn join_chosen(&mut self) {
        let Some(open) = &self.open else { return };
        let sets: Vec<usize> = chosen(open, &self.state).into_iter().collect();
        if sets.len() < 2 {
            return self.join(self.state.set);
        }
        if sets.windows(2).any(|pair| pair[0] + 1 != pair[1]) {
            let words = format!("{}.", tell!("not-not-neighbours"));
            return self.say(words);
        }
        let words = tell!("undo-join-several", specimens = numbers(open, &sets));
        let edits = sets[1..].iter().filter_map(|set| open.day.session.join_with_previous(*set)).collect();
        self.state.sheet.also.clear();
        self.edit(&words, Some(Edit::Many(edits)));
    }

    /// Joins a set with the one before it.
    fn join(&mut self, set: usize) {
        let Some(open) = &self.open else { return };
        let (first, second) = (open.set_number(set.saturating_sub(1)), open.set_number(set));
        let words = tell!("undo-join", first = first, second = second);
        let edit = open.day.session.join_with_previous(set);
        self.edit(&words, edit);
    }

    /// Confirms all that is proposed of the chosen specimens, as one change.
    fn confirm_proposed(&mut self) {
        let Some(open) = &self.open else { return };
        let sets: Vec<usize> = chosen(open, &self.state).into_iter().collect();
        let words = tell!("undo-confirm", specimen = numbers(open, &sets));
        let edit = open.day.session.one_after_another(&sets, |session, set| {
            let slots = open.sheet.rows.get(set)?.coverage.slots.iter();
            let proposed = slots.filter(|s| s.state == SlotState::Proposed);
            let views: Vec<(FrameId, ViewKey)> =
                proposed.flat_map(|s| s.frames.iter().map(|f| (*f, s.view.clone()))).collect();
            session.label_frames(set, &views).filter(|_| !views.is_empty())
        });
        self.edit(&words, edit);
    }

    /// Notes that the chosen animals left now, or takes that back where the first of them left in that way. In the large
    /// retake list the one that is chosen there is meant.
    pub(super) fn note_left(&mut self, way: Way) {
        let Some(open) = &self.open else { return };
        let sets: Vec<usize> = match &self.state.overlay {
            Some(Overlay::Retakes(list)) => list.set(open).into_iter().collect(),
            _ => chosen(open, &self.state).into_iter().collect(),
        };
        self.note_left_of(&sets, way);
    }

    /// The same of the animals of these sets.
    pub(super) fn note_left_of(&mut self, sets: &[usize], way: Way) {
        let (Some(open), [first, ..]) = (&self.open, sets) else { return };
        if let Some(Overlay::Retakes(list)) = &mut self.state.overlay {
            list.leaves(open, *first);
        }
        let session = &open.day.session;
        let before = sets.first().and_then(|at| session.left(session.sets.get(*at)?));
        let now = (self.clock)();
        let left = before.is_none_or(|b| b.way != way).then_some(Departure { way, at: Some(now) });
        let specimens = numbers(open, sets);
        let words = if let Some(left) = left {
            tell!("undo-left", specimens = specimens, left = left.words())
        } else {
            tell!("undo-left-not", specimens = specimens)
        };
        let edit = session.one_after_another(sets, |session, set| session.note_left(set, left));
        self.edit(&words, edit);
    }

    /// Copies the retake list as text.
    pub(super) fn copy_retakes(&mut self) {
        let Some(open) = &self.open else { return };
        let line = |held: &grouping::Held| {
            let jar = open.jar_words(held.retake.set);
            let told = told(held, &open.day.session.plan, &jar);
            let words = tell!("retakes-line", number = held.retake.number, lacks = told.lacks);
            [words, told.time, jar].into_iter().filter(|s| !s.is_empty()).collect::<Vec<_>>().join(", ")
        };
        let lines: Vec<String> = open.held.iter().map(line).collect();
        self.ctx.copy_text(lines.join("\n") + "\n");
        self.say(tell!("retakes-copied", n = lines.len()));
    }
}

/// `3, 4, 7`: numbers of specimens for people; of many the first and how they end.
fn numbers(open: &OpenDay, sets: &[usize]) -> String {
    let number = |set: &usize| open.set_number(*set).to_string();
    match sets {
        [first, .., last] if sets.len() > 4 => format!("{} … {}", number(first), number(last)),
        sets => sets.iter().map(number).collect::<Vec<_>>().join(", "),
    }
}

//! What the commands about characters do: going through the list, scoring, showing the frame that shows one best.

use record::{Character, Characters, Edit, Score};

use super::app::App;
use super::chord::Chord;
use super::marking::mark_key;
use super::open_day::OpenDay;
use super::scoring::{ListKey, ScoreAsk, beside, best_frame, chosen, list_id, list_key, scored, shared};
use super::side_page::SidePage;
use super::state::Screen;
use super::words::tell;

impl App {
    /// Which keys a mark that is open takes, or the list while it has the keyboard.
    pub(super) fn takes_here(&self, ctx: &egui::Context) -> Option<fn(Chord) -> bool> {
        let marking = &self.state.specimen.marking;
        if self.state.screen == Screen::Specimen && marking.is_open() {
            return Some(if marking.placing.is_some() {
                |chord| mark_key(chord, true).is_some()
            } else {
                |chord| mark_key(chord, false).is_some()
            });
        }
        let shown = self.state.screen == Screen::Specimen && self.state.specimen.page == SidePage::Characters;
        let has_keyboard = ctx.memory(egui::Memory::focused) == Some(list_id());
        (shown && has_keyboard).then_some(|chord| list_key(chord).is_some())
    }

    /// Does what a key means to the mark or the list.
    pub(super) fn key_here(&mut self, chord: Chord) {
        if self.state.specimen.marking.is_open() {
            return self.mark_key(chord);
        }
        let Some(key) = list_key(chord) else { return };
        self.commit_typing();
        let scoring = &mut self.state.specimen.scoring;
        let Some((open, characters)) = self.open.as_ref().and_then(with_characters) else { return };
        let Some(character) = characters.all.get(scoring.at) else { return };
        match key {
            ListKey::Step(by) => {
                let to = scoring.at.saturating_add_signed(by).min(characters.all.len() - 1);
                self.go_to_character(to);
            }
            ListKey::Beside(by) if character.most > 1 => {
                scoring.state = scoring.state.saturating_add_signed(by).min(character.states.len() - 1);
            }
            ListKey::Beside(by) => {
                let session = &open.day.session;
                let record = session.sets.get(self.state.set).and_then(|set| session.record_of(set));
                let to = beside(character, scored(record, character), by);
                let new = vec![Score::from(character.states[to].key.as_str())];
                self.score(&character.clone(), new);
            }
            ListKey::State(state) => {
                let at = scoring.at;
                self.choose_state(at, state);
            }
            ListKey::Take if character.most > 1 => {
                let (at, state) = (scoring.at, scoring.state);
                self.choose_state(at, state);
            }
            ListKey::Take => {}
            ListKey::Share(by) => {
                let session = &open.day.session;
                let record = session.sets.get(self.state.set).and_then(|set| session.record_of(set));
                let new = shared(scored(record, character), by);
                if character.is_colour {
                    self.score(&character.clone(), new);
                }
            }
            ListKey::Empty => self.score(&character.clone(), Vec::new()),
        }
    }

    /// Does what the list asked for.
    pub(super) fn score_asked(&mut self, ask: ScoreAsk) {
        self.commit_typing();
        match ask {
            ScoreAsk::GoTo(at) => self.go_to_character(at),
            ScoreAsk::Choose(at, state) => {
                if at != self.state.specimen.scoring.at {
                    self.go_to_character(at);
                }
                self.choose_state(at, state);
            }
        }
        self.state.specimen.scoring.focus = true;
    }

    fn go_to_character(&mut self, at: usize) {
        let scoring = &mut self.state.specimen.scoring;
        (scoring.at, scoring.state, scoring.reveal) = (at, 0, true);
    }

    fn choose_state(&mut self, at: usize, state: usize) {
        let Some((open, characters)) = self.open.as_ref().and_then(with_characters) else { return };
        let Some(character) = characters.all.get(at) else { return };
        let Some(state_key) = character.states.get(state).map(|s| &s.key) else { return };
        let session = &open.day.session;
        let record = session.sets.get(self.state.set).and_then(|set| session.record_of(set));
        let new = chosen(character, scored(record, character), state_key);
        self.state.specimen.scoring.state = state;
        self.score(&character.clone(), new);
    }

    /// Scores a character of the open specimen. What was picked of a colour goes with its last state.
    fn score(&mut self, character: &Character, scores: Vec<Score>) {
        let Some(open) = &self.open else { return };
        let (session, set) = (&open.day.session, self.state.set);
        let number = open.set_number(set);
        let name = character.name.to_lowercase();
        let empties = scores.is_empty();
        let edits = [
            session.score(set, &character.key, scores),
            session.note_colour(set, &character.key, None).filter(|_| empties),
        ];
        let edits: Vec<Edit> = edits.into_iter().flatten().collect();
        let words = if empties {
            tell!("undo-unscore", character = name, specimen = number)
        } else {
            tell!("undo-score", character = name, specimen = number)
        };
        if !edits.is_empty() {
            self.edit(&words, Some(Edit::Many(edits)));
        }
    }

    /// Shows the frame that shows the chosen character best.
    pub(super) fn show_best_frame(&mut self) {
        let at = self.state.specimen.scoring.at;
        let Some((open, characters)) = self.open.as_ref().and_then(with_characters) else { return };
        let Some(character) = characters.all.get(at) else { return };
        if let Some((_, frame)) = best_frame(open, self.state.set, character) {
            self.choose_frame(frame);
        } else {
            let views = view_names(open, character);
            self.say(tell!("characters-no-frame", views = views));
        }
    }
}

/// A day with the characters of its plan, when that has any.
pub(crate) fn with_characters(open: &OpenDay) -> Option<(&OpenDay, &Characters)> {
    open.characters.as_ref().ok().map(|characters| (open, characters))
}

/// The names of the views that can show a character: `face or side`.
pub(crate) fn view_names(open: &OpenDay, character: &Character) -> String {
    let plan = &open.day.session.plan;
    let names = character.views.iter().map(|view| plan.name_of(view).to_lowercase());
    let mut names: Vec<String> = names.collect();
    match names.pop() {
        Some(last) if !names.is_empty() => {
            tell!("characters-views", first = names.join(", "), last = last)
        }
        last => last.unwrap_or_default(),
    }
}

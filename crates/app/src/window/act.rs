//! Carries out what screens asked for.

use std::collections::BTreeMap;

use record::{Edit, FrameId};

use super::action::Action;
use super::app::App;
use super::marking::Marking;
use super::sheet_order::{run_of_jars, shown};
use super::state::{Screen, Typing};
use super::words::tell;

impl App {
    /// Does one thing that was asked for.
    pub(super) fn act(&mut self, action: Action) {
        match action {
            Action::Run(command) => self.run(command),
            Action::Open(card) => self.open_card(card),
            Action::OpenAgain(card, key) => self.open_again(card, &key),
            Action::Watch(folder) => self.watch(folder),
            Action::OpenDemo(demo) => {
                self.name = Some(demo.name);
                let made_for = self.shelf.plans.iter().position(|p| Some(&p.key) == demo.plan.as_ref());
                self.state.start.plan = self.state.start.plan.or(made_for);
                self.open_card(demo.card);
            }
            Action::AskFolder(wanted) => self.ask_folder(wanted),
            Action::ChooseDocument(document) => self.choose_document(document),
            Action::Survey => self.survey_archive(),
            Action::SetUnnamed(category) => self.set_unnamed(category),
            Action::Edit { words, edit } => self.edit(&words, Some(edit)),
            Action::KeepTyped(owner, term) => self.keep_typed(&owner, term),
            Action::Determine => self.determine(),
            Action::Stand(at, standing) => self.set_standing(at, standing),
            Action::ReadNotes(path) => self.read_notes(path),
            Action::TakeNotes => self.take_notes(),
            Action::NoteSent => self.note_sent(),
            Action::NoteHeard => self.note_heard(),
            Action::Score(ask) => self.score_asked(ask),
            Action::PickColour(place) => self.pick_colour_at(place),
            Action::Mark(ask) => self.mark_asked(ask),
            Action::OpenPage(page) => self.open_page(page),
            Action::Answer { query, answer } => self.answer(query, answer),
            Action::Go(screen) => self.go(screen),
            Action::ChooseSet(set) => {
                self.state.sheet.also.clear();
                self.choose_set(set);
            }
            Action::ChooseSetBesides(set) => {
                self.keep_chosen(true);
                self.choose_set(set);
            }
            Action::ChooseSetsTo(set) => self.choose_to(set),
            Action::OpenSet(set) => {
                self.choose_set(set);
                self.go(Screen::Specimen);
            }
            Action::ChooseFrame(frame) => self.choose_frame(frame),
            Action::MoveFrame { frame, set } => self.move_frame(frame, set),
            Action::LabelByLetter(letter) => self.label_by_letter(letter),
            Action::Label { frame, view } => {
                self.label(frame, &view);
            }
            Action::NoteLeft { set, way } => self.note_left_of(&[set], way),
            Action::FocusQuery(query) => self.focus_query(query),
            Action::ForgetViews => self.forget_views(),
            Action::TakePlan(at) => self.take_another_plan(at),
            Action::Float(overlay) => self.state.overlay = overlay,
            Action::Reply { question, text } => self.reply(question, text),
            Action::LineUp { stays, moves } => self.line_up(stays, moves),
            Action::CommitTyping => self.commit_typing(),
            Action::CloseNotice => self.state.notice = None,
            Action::StopJob => self.jobs.stop(),
            Action::HoldFiling => self.jobs.filing.hold_or_go_on(),
            Action::SetKey(command, chord) => self.change_keys(|keys| keys.set(command, chord)),
            Action::TurnKeyOff(command) => self.change_keys(|keys| {
                keys.turn_off(command);
                Ok(())
            }),
            Action::ResetKey(command) => self.change_keys(|keys| keys.reset(command)),
            Action::PlanFiling => self.plan_filing(),
            action => self.act_on_filing(action),
        }
    }

    /// Makes a change under these words; nothing when there is none to make.
    pub(super) fn edit(&mut self, words: &str, edit: Option<Edit>) {
        self.try_edit(words, edit);
    }

    /// The same; says whether there was a change to make and it was made.
    pub(super) fn try_edit(&mut self, words: &str, edit: Option<Edit>) -> bool {
        let (Some(open), Some(edit)) = (&mut self.open, edit) else { return false };
        match open.edit(words, &edit) {
            Ok(()) => {
                self.settle();
                true
            }
            Err(refused) => {
                self.complain(refused);
                false
            }
        }
    }

    /// Brings what is chosen into line with the session as it is now, and keeps the session.
    pub(super) fn settle(&mut self) {
        let Some(open) = &self.open else { return };
        let state = &mut self.state;
        let here = state.frame.and_then(|f| open.sheet.home(f));
        state.set = here.unwrap_or(state.set).min(open.sheet.rows.len().saturating_sub(1));
        state.query = state.query.min(open.day.grouping.queries.len().saturating_sub(1));
        state.card.preview = None;
        state.sheet.reveal = true;
        let stays = state.screen == Screen::Start
            || !open.sheet.rows.is_empty()
            || !matches!(state.screen, Screen::DaySheet | Screen::Specimen);
        if !stays {
            state.screen = Screen::Card;
        }
        self.save();
        match self.state.screen {
            Screen::Filing => self.plan_filing(),
            Screen::Exchange => self.survey_archive(),
            _ => {}
        }
    }

    /// Opens a screen.
    pub(super) fn go(&mut self, screen: Screen) {
        self.commit_typing();
        let Some(open) = &self.open else { return };
        self.state.screen = screen;
        self.state.card.preview = None;
        match screen {
            Screen::Start => {
                self.state.start.focus = true;
                self.remember_day();
            }
            Screen::DaySheet => self.state.sheet.reveal = true,
            Screen::Specimen => {
                let frames = open.sheet.rows.get(self.state.set).map_or(&[][..], |r| &r.frames);
                if !self.state.frame.is_some_and(|f| frames.contains(&f)) {
                    self.state.frame = frames.first().copied();
                }
            }
            Screen::Filing => {
                self.state.filing.focus = self.state.filing.archives[0].is_empty().then_some(0);
                self.plan_filing();
            }
            Screen::Exchange => self.open_exchange(),
            Screen::Card => {}
        }
    }

    /// Chooses a specimen and its first frame.
    pub(super) fn choose_set(&mut self, set: usize) {
        self.commit_typing();
        let Some(open) = &self.open else { return };
        let Some(frames) = open.day.session.sets.get(set).map(|s| &s.frames) else { return };
        if !self.state.frame.is_some_and(|f| frames.contains(&f)) {
            self.choose_frame(frames[0]);
        }
        self.state.set = set;
        self.state.sheet.reveal = true;
    }

    /// Chooses a frame, and its specimen when it has one.
    pub(super) fn choose_frame(&mut self, frame: FrameId) {
        self.commit_typing();
        let Some(open) = &self.open else { return };
        if self.state.frame != Some(frame) {
            self.state.specimen.marking = Marking::default();
            self.state.specimen.pick.forget();
        }
        self.state.frame = Some(frame);
        if let Some(set) = open.sheet.home(frame) {
            self.state.set = set;
        }
        if let Some(place) = open.sheet.places.get(&frame) {
            let share = (*place as f32 + 0.5) / open.day.session.frames.len() as f32;
            self.state.card.part = self.state.card.part.showing(share);
        }
        // Beside another, the next frame is looked at where this one was.
        if self.state.specimen.beside.is_none() {
            self.state.specimen.zoom = None;
            self.state.specimen.middle = egui::vec2(0.5, 0.5);
        }
    }

    /// Focuses a query and chooses what it is about.
    pub(super) fn focus_query(&mut self, query: usize) {
        let Some(open) = &self.open else { return };
        let Some(frame) = open.day.grouping.queries.get(query).and_then(|q| q.frames.last().copied()) else {
            return;
        };
        self.choose_frame(frame);
        self.state.query = query;
        self.state.sheet.reveal = true;
    }

    /// Answers a query.
    pub(super) fn answer(&mut self, query: usize, answer: usize) {
        self.commit_typing();
        let Some(open) = &self.open else { return };
        let Some(query) = open.day.grouping.queries.get(query) else { return };
        let Some(answer) = query.answers.get(answer) else { return };
        let about = query.frames.last().map(|f| open.sheet.number(*f)).unwrap_or_default();
        let words = tell!("undo-answer", answer = answer.words.to_lowercase(), number = about);
        let edit = answer.edit.clone();
        self.edit(&words, Some(edit));
    }

    /// Writes what is being typed into the record.
    pub(super) fn commit_typing(&mut self) {
        let jars = [self.state.sheet.jar.take(), self.state.specimen.jar.take()];
        for typing in jars.into_iter().flatten() {
            self.write_jar(&typing);
        }
        if let Some(typing) = self.state.specimen.note.take() {
            self.write_note(&typing);
        }
        self.commit_fields();
        self.commit_marks();
    }

    fn write_jar(&mut self, typing: &Typing) {
        let Some(open) = &self.open else { return };
        let session = &open.day.session;
        let Some(set) = session.sets.get(typing.set) else { return };
        let text = typing.text.trim();
        let run = run_of_jars(text).filter(|_| self.state.screen == Screen::DaySheet);
        if let Some(jars) = run {
            self.write_jars(typing.set, text, &jars);
        } else if session.record_of(set).map_or("", |s| s.jar.as_str()) != text {
            let words = tell!("undo-write-jar", specimen = set.number);
            let edit = session.write_jar(typing.set, text);
            self.edit(&words, edit);
        }
    }

    /// Writes a run of jars from this row down, as far as the rows go.
    fn write_jars(&mut self, from: usize, run: &str, jars: &[String]) {
        let Some(open) = &self.open else { return };
        let rows = shown(open, &self.state.sheet).into_iter().skip_while(|set| *set != from);
        let sets: Vec<usize> = rows.take(jars.len()).collect();
        let jar_of: BTreeMap<usize, &String> = sets.iter().copied().zip(jars).collect();
        let edit =
            open.day.session.one_after_another(&sets, |session, set| session.write_jar(set, jar_of[&set]));
        self.edit(&tell!("undo-write-jars", run = run), edit);
        if sets.len() < jars.len() {
            self.say(tell!("sheet-jar-run", run = run, jars = jars.len(), rows = sets.len()));
        }
    }

    fn write_note(&mut self, typing: &Typing) {
        let Some(open) = &self.open else { return };
        let session = &open.day.session;
        let Some(set) = session.sets.get(typing.set) else { return };
        let text = typing.text.trim();
        if session.record_of(set).map_or("", |s| s.note.as_str()) != text {
            let words = tell!("undo-write-note", specimen = set.number);
            let edit = session.write_note(typing.set, text);
            self.edit(&words, edit);
        }
    }

    fn take_another_plan(&mut self, at: usize) {
        self.state.overlay = None;
        let Some(plan) = self.shelf.plans.get(at).cloned() else { return };
        let on_day = self.open.as_ref().filter(|_| self.state.screen != Screen::Start);
        match on_day {
            None => self.state.start.plan = Some(at),
            Some(open) if open.day.session.plan == plan => {}
            Some(_) => {
                let words = tell!("undo-take-plan", plan = plan.name.to_lowercase());
                self.edit(&words, Some(Edit::Plan(Box::new(plan))));
            }
        }
    }
}

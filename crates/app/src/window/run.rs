//! What each command does.

use record::{Edit, FrameId, FrameKind, ViewKey, Way};

use super::app::App;
use super::command::{Command, Group};
use super::enabled::enabled;
use super::far_list::FarList;
use super::side_page::SidePage;
use super::state::{FolderFor, Overlay, Question, Screen};
use super::words::tell;

/// One nudge of the blank line: a twentieth up, or as much down.
const NUDGE: f32 = 1.05;

impl App {
    /// Runs a command, if it can be run just now.
    pub(super) fn run(&mut self, command: Command) {
        // Typing is put into the record first, so that commands see it; Esc and the jar have their own way.
        if !matches!(command, Command::Back | Command::EditJar) {
            self.commit_typing();
        }
        self.asked = Some(command);
        if let Err(why) = enabled(command, self.open.as_ref(), &self.state) {
            if !command.only_goes() {
                self.say(format!("{why}."));
            }
            return;
        }
        match command {
            Command::Help => self.toggle(&Overlay::Help),
            Command::Commands => self.toggle(&Overlay::commands()),
            Command::Menu => self.toggle(&Overlay::menu(self.state.chosen_at)),
            Command::RetakeList => self.toggle(&Overlay::Retakes(FarList::default())),
            Command::Released => self.note_left(Way::Released),
            Command::Flew => self.note_left(Way::Flew),
            Command::CopyRetakes => self.copy_retakes(),
            Command::PrintRetakes => self.print_retakes(),
            Command::Sound => self.sound_on_or_off(),
            Command::FindRow => self.state.overlay = Some(Overlay::ask(Question::Find)),
            Command::Evidence => self.toggle(&Overlay::Evidence),
            Command::ChoosePlan => self.choose_plan(),
            Command::SwitchTheme => self.switch_theme(),
            Command::Back => self.back(),
            Command::Undo => self.undo(),
            Command::Redo => self.redo(),
            Command::OpenCard => self.go(Screen::Start),
            Command::ChooseFolder => self.ask_folder(FolderFor::Card),
            Command::ReadTyped => self.open_card(self.state.start.path.trim().into()),
            Command::WatchTyped => self.watch(self.state.start.path.trim().into()),
            Command::Watch => self.watch_or_stop(),
            Command::HoldingLimit => self.ask_limit(),
            Command::LookCloser => self.look_or_stop(),
            Command::ForgetViews => self.ask_forget(),
            Command::GoCard => self.go(Screen::Card),
            Command::GoDaySheet | Command::ToDaySheet => self.go(Screen::DaySheet),
            Command::GoSpecimen | Command::OpenSpecimen => self.go(Screen::Specimen),
            Command::GoFiling => self.go(Screen::Filing),
            Command::GoExchange => self.go(Screen::Exchange),
            Command::PreviousFrame => self.step_frame(false),
            Command::NextFrame => self.step_frame(true),
            Command::LineUp => self.nudge_line(NUDGE),
            Command::LineDown => self.nudge_line(1.0 / NUDGE),
            Command::LineByDay => self.edit(&tell!("undo-line-by-day"), Some(Edit::BlankLine(None))),
            Command::NextQuery => self.step_query(true),
            Command::PreviousQuery => self.step_query(false),
            Command::AnswerFirst => self.answer(self.state.query, 0),
            Command::AnswerSecond => self.answer(self.state.query, 1),
            Command::AnswerThird => self.answer(self.state.query, 2),
            Command::AnswerFourth => self.answer(self.state.query, 3),
            Command::LettersOff => self.letters_on_or_off(),
            Command::EmptyPreviews => self.empty_previews(),
            Command::PageViews => self.open_page(SidePage::Views),
            Command::PageRecord => self.open_page(SidePage::Record),
            Command::PageNames => self.open_page(SidePage::Names),
            Command::PageCharacters => self.open_page(SidePage::Characters),
            Command::ShowBestFrame => self.show_best_frame(),
            Command::TakeOffered => self.take_offered(),
            Command::PickColour => self.pick_colour(),
            Command::LargerPatch => self.step_patch(1),
            Command::SmallerPatch => self.step_patch(-1),
            Command::PageMeasures => self.open_page(SidePage::Measures),
            Command::CarryOver => self.carry_over(),
            Command::SentAndHeard => self.sent_and_heard(),
            Command::ReadNotes => self.ask_notes(),
            Command::Map => self.toggle(&Overlay::Map),
            Command::AboutDay => self.about_day(),
            Command::FillIn => self.fill_in_chosen(),
            _ if command.entry().group == Group::Measures => self.run_on_marks(command),
            _ if self.state.screen == Screen::Filing => self.run_on_filing(command),
            _ if self.state.screen == Screen::Exchange => self.run_on_exchange(command),
            _ => self.run_on_rows(command),
        }
    }

    pub(super) fn run_on_frame(&mut self, command: Command) {
        let Some(frame) = self.state.frame else { return };
        let Some(open) = &self.open else { return };
        let (session, number) = (&open.day.session, open.sheet.number(frame));
        match command {
            Command::SplitBefore => {
                let edit = session.split_before(frame);
                self.edit(&tell!("undo-split-before", number = number), edit);
            }
            Command::ClearLabel => {
                let edit = session.label_frame(frame, None);
                self.edit(&tell!("undo-clear-view", number = number), edit);
            }
            Command::PreferFrame => self.prefer(frame),
            Command::SetAside => self.take_for(frame, FrameKind::SetAside),
            Command::TakeForBlank => self.take_for(frame, FrameKind::Blank),
            Command::TakeForReference => self.take_for(frame, FrameKind::Reference),
            Command::MoveFrame => {
                self.state.overlay = Some(Overlay::ask(Question::MoveTo(frame)));
            }
            _ if command.entry().group == Group::Looking => self.run_on_view(command),
            _ => self.run_on_clock(command),
        }
    }

    fn toggle(&mut self, overlay: &Overlay) {
        let same = |open: &Overlay| std::mem::discriminant(open) == std::mem::discriminant(overlay);
        let closes = self.state.overlay.as_ref().is_some_and(same);
        self.state.overlay = if closes { None } else { Some(overlay.clone()) };
    }

    fn choose_plan(&mut self) {
        self.read_learned();
        let now = match &self.open {
            Some(open) if self.state.screen != Screen::Start => {
                self.shelf.plans.iter().position(|p| *p == open.day.session.plan)
            }
            _ => self.state.start.plan,
        };
        self.state.overlay = Some(Overlay::Plans { at: now.unwrap_or(0) });
    }

    fn ask_limit(&mut self) {
        let limit = self.open.as_ref().and_then(|o| o.day.session.decisions.holding_limit_min);
        let text = limit.map(|min| min.to_string()).unwrap_or_default();
        self.state.overlay = Some(Overlay::Ask { question: Question::Limit, text, refused: None });
    }

    fn switch_theme(&self) {
        let dark = self.ctx.theme() == egui::Theme::Dark;
        self.ctx.set_theme(if dark { egui::Theme::Light } else { egui::Theme::Dark });
    }

    /// Closes what is uppermost: a panel, a message, the opened specimen, the page of cards.
    fn back(&mut self) {
        let state = &mut self.state;
        if matches!(state.overlay, Some(Overlay::Fields(_))) {
            state.overlay = None;
            self.commit_fields();
        } else if state.overlay.is_some() {
            state.overlay = None;
        } else if state.notice.is_some() {
            state.notice = None;
            // Esc took the keyboard from the list as well.
            state.specimen.scoring.focus = true;
        } else if state.screen == Screen::DaySheet && !state.sheet.also.is_empty() {
            state.sheet.also.clear();
        } else if state.screen == Screen::Specimen && self.cancel_mark() {
        } else if self.state.screen == Screen::Specimen {
            self.go(Screen::DaySheet);
        } else if self.state.screen == Screen::Start && self.open.is_some() {
            self.go(Screen::Card);
        }
    }

    fn undo(&mut self) {
        if self.open.as_mut().and_then(super::open_day::OpenDay::undo).is_some() {
            self.settle();
            self.follow_marks();
        }
    }

    fn redo(&mut self) {
        if self.open.as_mut().and_then(super::open_day::OpenDay::redo).is_some() {
            self.settle();
            self.follow_marks();
        }
    }

    /// On the specimen page the frames of the specimen, else those of the day.
    fn step_frame(&mut self, forward: bool) {
        let Some(open) = &self.open else { return };
        let of_day: Vec<FrameId>;
        let frames: &[FrameId] = if self.state.screen == Screen::Specimen {
            open.sheet.rows.get(self.state.set).map_or(&[], |r| &r.frames)
        } else {
            of_day = open.day.session.frames.iter().map(|f| f.id).collect();
            &of_day
        };
        let at = frames.iter().position(|f| Some(*f) == self.state.frame);
        let to = match (at, forward) {
            (None, _) => 0,
            (Some(at), true) => at + 1,
            (Some(at), false) => at.saturating_sub(1),
        };
        if let Some(frame) = frames.get(to).copied() {
            self.choose_frame(frame);
        }
    }

    fn nudge_line(&mut self, factor: f32) {
        let Some(open) = &self.open else { return };
        let level = open.day.line.level * factor;
        let words = tell!("undo-move-line", level = format!("{level:.1}"));
        self.edit(&words, Some(Edit::BlankLine(Some(level))));
    }

    fn step_query(&mut self, forward: bool) {
        let Some(open) = &self.open else { return };
        let last = open.day.grouping.queries.len().saturating_sub(1);
        let at = self.state.query;
        self.focus_query(if forward { (at + 1).min(last) } else { at.saturating_sub(1) });
    }

    /// Takes a frame for the best of its view, or leaves that to the measures again.
    fn prefer(&mut self, frame: FrameId) {
        let Some(open) = &self.open else { return };
        let Some(slot) = open.slot_of(frame) else { return };
        let (session, number) = (&open.day.session, open.sheet.number(frame));
        let words = if session.decisions.preferred.contains(&frame) {
            tell!("undo-best-by-measures", number = number)
        } else {
            tell!("undo-take-best", number = number)
        };
        let edit = session.prefer_frame(frame, &slot.frames);
        self.edit(&words, Some(edit));
    }

    /// Takes a frame for something, or for a specimen again when it is that already.
    fn take_for(&mut self, frame: FrameId, kind: FrameKind) {
        let Some(open) = &self.open else { return };
        let number = open.sheet.number(frame);
        let (kind, words) = if open.kind(frame) == kind {
            (FrameKind::Specimen, tell!("undo-take-for-specimen", number = number))
        } else if kind == FrameKind::SetAside {
            (kind, tell!("undo-set-aside", number = number))
        } else {
            (kind, tell!("undo-take-for", number = number, kind = kind.word()))
        };
        let next = self.neighbour(frame);
        let edit = open.day.session.decide_kind(&[frame], kind);
        let on_specimen = self.state.screen == Screen::Specimen;
        let taken = self.try_edit(&words, Some(edit));
        // The specimen page stays with the specimen the frame was in.
        if let Some(next) = next.filter(|_| taken && on_specimen && kind != FrameKind::Specimen) {
            self.choose_frame(next);
        }
    }

    /// The frame after this one in its set, else the one before.
    fn neighbour(&self, frame: FrameId) -> Option<FrameId> {
        let open = self.open.as_ref()?;
        let frames = &open.day.session.sets.get(*open.sheet.set_of.get(&frame)?)?.frames;
        let at = frames.iter().position(|f| *f == frame)?;
        frames.get(at + 1).or_else(|| frames.get(at.checked_sub(1)?)).copied()
    }

    /// Confirms the view of this letter for the chosen frame, and goes on to the next.
    pub(super) fn label_by_letter(&mut self, letter: char) {
        self.commit_typing();
        let (Some(open), Some(frame)) = (&self.open, self.state.frame) else { return };
        let views = &open.day.session.plan.views;
        let Some(view) = views.iter().find(|v| v.letter == letter).map(|v| v.key.clone()) else { return };
        if self.label(frame, &view) {
            self.step_frame(true);
        }
    }

    /// Confirms that a frame shows a view; says whether that changed anything.
    pub(super) fn label(&mut self, frame: FrameId, view: &ViewKey) -> bool {
        let Some(open) = &self.open else { return false };
        let session = &open.day.session;
        let (number, name) = (open.sheet.number(frame), session.plan.name_of(view).to_lowercase());
        let edit = session.label_frame(frame, Some(view.clone()));
        self.try_edit(&tell!("undo-label", number = number, view = name), edit)
    }

    /// Moves a frame to another specimen. The specimen page stays with the one it was in.
    pub(super) fn move_frame(&mut self, frame: FrameId, set: usize) {
        let next = self.neighbour(frame).filter(|_| self.state.screen == Screen::Specimen);
        let moved = match self.moved_to(frame, set) {
            Ok((words, edit)) => self.try_edit(&words, Some(edit)),
            Err(why) => {
                self.say(why);
                false
            }
        };
        if let Some(next) = next.filter(|_| moved) {
            self.choose_frame(next);
        }
    }
}

//! What each command of the filing step does.

use record::Edit;

use super::action::Action;
use super::app::App;
use super::command::Command;
use super::names_draft::NamesDraft;
use super::state::{FolderFor, Overlay};
use super::words::tell;

impl App {
    pub(super) fn run_on_filing(&mut self, command: Command) {
        let filing = &mut self.state.filing;
        let (at, page) = (filing.at, filing.lines_shown);
        match command {
            Command::EditArchive => filing.focus = Some(0),
            Command::EditSecond => filing.focus = Some(1),
            Command::ChooseArchive => self.ask_folder(FolderFor::Archive(0)),
            Command::ChooseSecond => self.ask_folder(FolderFor::Archive(1)),
            Command::UseProposed => {
                filing.take_proposed = !filing.take_proposed;
                self.plan_filing();
            }
            Command::ChooseNames => self.choose_names(),
            Command::SortPlan => {
                filing.sort = filing.sort.next();
                self.choose_line(0);
            }
            Command::ReversePlan => {
                filing.reversed = !filing.reversed;
                self.choose_line(0);
            }
            Command::OtherPlan => {
                filing.shown = 1 - filing.shown.min(1);
                self.choose_line(0);
            }
            Command::RowUp => self.choose_line(at.saturating_sub(1)),
            Command::RowDown => self.choose_line(at + 1),
            Command::RowsUp => self.choose_line(at.saturating_sub(page)),
            Command::RowsDown => self.choose_line(at + page),
            Command::FirstRow => self.choose_line(0),
            Command::LastRow => self.choose_line(usize::MAX),
            Command::TakeBack => self.ask_take_back(),
            Command::FileNow => self.file_now(),
            _ => {}
        }
    }

    /// Does one thing that the filing step asked for.
    pub(super) fn act_on_filing(&mut self, action: Action) {
        match action {
            Action::SortPlan(column) => {
                let filing = &mut self.state.filing;
                filing.reversed = filing.sort == column && !filing.reversed;
                filing.sort = column;
                self.choose_line(0);
            }
            Action::ChooseLine(at) => self.state.filing.at = at,
            Action::TakeNames(naming) => {
                self.state.overlay = None;
                let same = self.open.as_ref().is_some_and(|open| open.day.session.naming == *naming);
                self.edit(&tell!("undo-take-names"), (!same).then_some(Edit::Naming(naming)));
            }
            Action::TakeBack => self.take_filing_back(),
            Action::GoOn => self.go_on(),
            _ => {}
        }
    }

    /// Chooses a line of the plan that is shown, and has it in view.
    fn choose_line(&mut self, at: usize) {
        let filing = &mut self.state.filing;
        let plans = self.open.as_ref().map_or(&[][..], |open| open.filing.plans());
        let lines = plans.get(filing.shown).map_or(0, |one| one.lines.len());
        filing.at = at.min(lines.saturating_sub(1));
        filing.reveal = true;
    }

    fn choose_names(&mut self) {
        let Some(open) = &self.open else { return };
        let draft = NamesDraft::of(open, self.state.frame, self.state.filing.take_proposed);
        self.state.overlay = Some(Overlay::Names(Box::new(draft)));
    }
}

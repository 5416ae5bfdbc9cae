//! What each command of the exchange step does.

use super::app::App;
use super::command::Command;
use super::exchange_state::{Document, ExchangeField};
use super::state::FolderFor;

impl App {
    pub(super) fn run_on_exchange(&mut self, command: Command) {
        let at = Document::ALL.iter().position(|d| *d == self.state.exchange.document).unwrap_or(0);
        let nth = |at: usize| Document::ALL[at.min(Document::ALL.len() - 1)];
        match command {
            Command::EditArchive => self.state.exchange.focus = Some(ExchangeField::Archive),
            Command::EditTarget => self.state.exchange.focus = Some(ExchangeField::To),
            Command::ChooseArchive => self.ask_folder(FolderFor::Exchange),
            Command::ChooseTarget => self.ask_folder(FolderFor::Target),
            Command::RowUp => self.choose_document(nth(at.saturating_sub(1))),
            Command::RowDown => self.choose_document(nth(at + 1)),
            Command::RowsUp | Command::FirstRow => self.choose_document(nth(0)),
            Command::RowsDown | Command::LastRow => self.choose_document(nth(usize::MAX)),
            Command::MakeDocument => self.make_document(),
            _ => {}
        }
    }

    /// Prepares the exchange step: with the archive that was filed into last.
    pub(super) fn open_exchange(&mut self) {
        if self.state.exchange.archive.trim().is_empty() {
            let typed = self.state.filing.archives_typed().into_iter().next();
            let known = typed.unwrap_or_else(|| self.settings.archives[0].clone());
            self.state.exchange.archive = known;
        }
        let is_empty = self.state.exchange.archive.trim().is_empty();
        self.state.exchange.focus = is_empty.then_some(ExchangeField::Archive);
        self.survey_archive();
    }

    /// Chooses what is to be made.
    pub(super) fn choose_document(&mut self, document: Document) {
        let step = &mut self.state.exchange;
        if document != step.document {
            step.document = document;
            // A name that was meant for something else.
            step.to.clear();
        }
    }
}

//! The screens: each is drawn from shared references and what the window remembers of it, and asks for
//! changes by actions.

pub(crate) mod card;
pub(crate) mod card_panels;
pub(crate) mod carry;
pub(crate) mod characters_page;
pub(crate) mod clocks_panel;
pub(crate) mod colour_over;
pub(crate) mod colour_panel;
pub(crate) mod day_sheet;
pub(crate) mod exchange;
pub(crate) mod exchange_form;
pub(crate) mod exchange_side;
pub(crate) mod filing;
pub(crate) mod filing_side;
pub(crate) mod filing_table;
pub(crate) mod form;
pub(crate) mod frame_line;
pub(crate) mod mark_panel;
pub(crate) mod marks_over;
pub(crate) mod measures_page;
pub(crate) mod names_page;
pub(crate) mod record_panel;
pub(crate) mod row;
pub(crate) mod side;
pub(crate) mod specimen;
pub(crate) mod start;
pub(crate) mod strip;
pub(crate) mod trace;
pub(crate) mod trace_line;
pub(crate) mod trace_queries;
pub(crate) mod trace_times;
pub(crate) mod viewer;

use super::action::Action;
use super::name_lists::NameLists;
use super::over::Overs;
use super::pictures::Pictures;
use super::settings::Settings;
use super::state::Overlay;
use super::thumbs::Thumbs;

/// What screens draw with and ask by.
pub(crate) struct Tools<'a> {
    /// Small pictures.
    pub(crate) thumbs: &'a mut Thumbs,
    /// Full-size pictures.
    pub(crate) pictures: &'a mut Pictures,
    /// What is shown over those.
    pub(crate) overs: &'a mut Overs,
    /// What is remembered from one day to the next.
    pub(crate) known: &'a Settings,
    /// Lists of names that the person added.
    pub(crate) names: &'a NameLists,
    /// What is asked for.
    pub(crate) actions: &'a mut Vec<Action>,
}

impl Tools<'_> {
    /// Opens the menu at the pointer when something that can be chosen is pressed for it.
    pub(crate) fn menu(&mut self, response: &egui::Response, choose: Action) {
        let corner = response.interact_pointer_pos().filter(|_| response.secondary_clicked());
        if let Some(corner) = corner {
            self.actions.push(choose);
            self.actions.push(Action::Float(Some(Overlay::menu(corner))));
        }
    }
}

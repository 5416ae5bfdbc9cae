//! The screens: each is drawn from shared references and what the window remembers of it, and asks for
//! changes by actions.

pub(crate) mod card;
pub(crate) mod card_panels;
pub(crate) mod clocks_panel;
pub(crate) mod day_sheet;
pub(crate) mod filing;
pub(crate) mod filing_side;
pub(crate) mod filing_table;
pub(crate) mod record_panel;
pub(crate) mod row;
pub(crate) mod side;
pub(crate) mod specimen;
pub(crate) mod start;
pub(crate) mod strip;
pub(crate) mod trace;
pub(crate) mod trace_line;
pub(crate) mod viewer;

use super::action::Action;
use super::pictures::Pictures;
use super::thumbs::Thumbs;

/// What screens draw with and ask by.
pub(crate) struct Tools<'a> {
    /// Small pictures.
    pub(crate) thumbs: &'a mut Thumbs,
    /// Full-size pictures.
    pub(crate) pictures: &'a mut Pictures,
    /// What is asked for.
    pub(crate) actions: &'a mut Vec<Action>,
}

//! Beside the exchange step: what others would see, what a data manager would question, what was made and sent.

use egui::{Align2, Id, Ui};
use record::Reply;

use super::exchange::Page;
use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::exchange_state::ExchangeState;
use crate::window::look::{BUTTON_PX, Type, tokens};
use crate::window::surveyed::Surveyed;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::queries;
use crate::window::words::tell;

/// Documents named that were made.
const MADE: usize = 4;

/// Fills the column.
pub(super) fn ui(
    ui: &mut Ui,
    flow: &mut Flow,
    page: &Page<'_>,
    step: &ExchangeState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    if !step.made.is_empty() {
        flow.head(ui, &tell!("exchange-made"), "");
        flow.gap(8.0);
        for made in step.made.iter().take(MADE) {
            match made {
                Ok(words) => flow.para(ui, Type::Small, t.ink, words),
                Err(why) => flow.para(ui, Type::Small, t.gone, why),
            };
            flow.gap(6.0);
        }
        flow.gap(12.0);
    }
    flow.head(ui, &tell!("exchange-found"), "");
    flow.gap(8.0);
    match &page.open.exchange {
        _ if page.surveys => drop(flow.para(ui, Type::Small, t.soft, &tell!("survey-archive"))),
        Some((_, Ok(found))) => surveyed(ui, flow, found, actions),
        Some((_, Err(why))) => drop(flow.para(ui, Type::Small, t.gone, why)),
        None => drop(flow.para(ui, Type::Small, t.soft, &tell!("exchange-nothing-yet"))),
    }
    flow.gap(18.0);
    heard(ui, flow, page, actions);
    flow.gap(18.0);
    for caution in &cautions().sharing {
        queries::caution(ui, flow, 0.0, &caution.text);
    }
}

/// What would be shared and questioned.
fn surveyed(ui: &mut Ui, flow: &mut Flow, found: &Surveyed, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    if found.filed.is_none() || found.is_behind {
        let words = if found.is_behind { tell!("exchange-behind") } else { tell!("exchange-unfiled") };
        queries::warning(ui, flow, &words, "");
        flow.gap(6.0);
        let (words, key) = (tell!("exchange-go-filing"), Command::GoFiling.key_words(ui));
        let button = Button::new(&words, Weight::Plain).key(&key);
        if button.show(ui, Id::unique("exchange to filing"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::GoFiling));
        }
        flow.gap(BUTTON_PX + 10.0);
    }
    let words = tell!("exchange-records", records = found.records, coarsened = found.coarsened);
    flow.para(ui, Type::SmallMedium, t.ink, &words);
    flow.gap(8.0);
    for asked in &found.asked {
        let words = tell!("exchange-question", n = asked.records, question = asked.question.words());
        flow.para(ui, Type::Small, t.ink, &words);
        for (folder, numbers, more) in &asked.folders {
            let named: Vec<String> = numbers.iter().map(u32::to_string).collect();
            let named = named.join(", ");
            let words = match more {
                0 => tell!("exchange-numbers", folder = folder, numbers = named),
                more => tell!("exchange-numbers-more", folder = folder, numbers = named, more = *more),
            };
            flow.para(ui, Type::Small, t.soft, &words);
        }
        flow.gap(6.0);
    }
    if found.asked.is_empty() {
        flow.para(ui, Type::Small, t.soft, &tell!("exchange-no-questions"));
    }
}

/// What went out to be named, and the ways to note and to read what came back.
fn heard(ui: &mut Ui, flow: &mut Flow, page: &Page<'_>, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let sendings = &page.open.day.session.sendings;
    flow.head(ui, &tell!("exchange-sent"), "");
    flow.gap(8.0);
    for sending in sendings.values().rev().take(MADE) {
        let (words, ink) = match sending.reply(&page.today) {
            Reply::Heard => (tell!("exchange-sent-heard", to = &sending.to, on = &sending.sent), t.soft),
            Reply::Open => (tell!("exchange-sent-open", to = &sending.to, on = &sending.sent), t.ink),
            Reply::Overdue(days) => {
                let days = usize::try_from(days).unwrap_or(0);
                (tell!("exchange-sent-overdue", to = &sending.to, on = &sending.sent, days = days), t.warn)
            }
        };
        flow.para(ui, Type::Small, ink, &words);
        flow.gap(3.0);
    }
    if sendings.is_empty() {
        flow.para(ui, Type::Small, t.soft, &tell!("sent-none"));
    }
    flow.gap(6.0);
    for (command, words) in [
        (Command::SentAndHeard, tell!("exchange-note-sent")),
        (Command::ReadNotes, tell!("exchange-read-answers")),
    ] {
        let key = command.key_words(ui);
        let button = Button::new(&words, Weight::Plain).key(&key).within(flow.width);
        if button.show(ui, Id::unique(("exchange", command)), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(command));
        }
        flow.gap(button.size(ui).y + 6.0);
    }
}

//! The choices of the exchange step: those of each document, and what others may see.

use egui::{Align2, Id, Ui, pos2};
use exchange::Sensitivity;
use exchange::darwin_core::{Basis, Status};
use exchange::sheets::{LabelSize, Paper};

use super::exchange::{NAME_PX, Page};
use crate::orders::Neighbours;
use crate::window::action::Action;
use crate::window::exchange_state::{AT_MOST_KB, Document, ExchangeState, LONG_SIDES_PX, Scope};
use crate::window::look::{FIELD_PX, Type, tokens};
use crate::window::widgets::chip::{Chip, chips};
use crate::window::widgets::control::{field, tick};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{queries, text};
use crate::window::words::tell;

/// What belongs to the chosen document.
pub(super) fn choices(
    ui: &mut Ui,
    flow: &mut Flow,
    page: &Page<'_>,
    step: &mut ExchangeState,
    actions: &mut Vec<Action>,
) {
    let scopes = step.document.scopes();
    let of_jars = step.document == Document::Labels && !step.jars.trim().is_empty();
    if scopes.len() > 1 && !of_jars {
        let words = |scope: &Scope| match scope {
            Scope::Chosen => tell!("scope-chosen-n", n = page.chosen),
            scope => scope.words(),
        };
        if let Some(scope) = one_of(ui, flow, &tell!("exchange-of"), scopes, step.scope(), words) {
            step.scope = scope;
        }
    }
    match step.document {
        Document::Pack => pack(ui, flow, step),
        Document::Sheets => {
            let kinds = [false, true];
            let words = |as_page: &bool| if *as_page { tell!("sheets-page") } else { tell!("sheets-paper") };
            if let Some(as_page) = one_of(ui, flow, &tell!("sheets-as"), &kinds, step.as_page, words) {
                step.as_page = as_page;
                step.to.clear();
            }
            if !step.as_page {
                paper(ui, flow, step);
            }
        }
        Document::Labels => {
            let (name, hint) = (tell!("labels-jars"), tell!("labels-jars-hint"));
            typed(ui, flow, "labels-of-jars", &name, &hint, &mut step.jars);
            paper(ui, flow, step);
            let words = |size: &LabelSize| {
                let (wide, high) = size.mm();
                tell!("labels-mm", wide = format!("{wide:.0}"), high = format!("{high:.0}"))
            };
            if let Some(size) = one_of(ui, flow, &tell!("labels-size"), &LabelSize::ALL, step.label, words) {
                step.label = size;
            }
        }
        Document::DarwinCore | Document::Tables => {
            let words = |basis: &Basis| basis.word().to_owned();
            if let Some(basis) = one_of(ui, flow, "basisOfRecord", &Basis::ALL, step.basis, words) {
                step.basis = basis;
            }
            let words = |status: &Status| status.word().to_owned();
            if let Some(status) = one_of(ui, flow, "occurrenceStatus", &Status::ALL, step.status, words) {
                step.status = status;
            }
            let (name, hint) = (tell!("exchange-address"), tell!("exchange-address-hint"));
            if typed(ui, flow, "address-of-pictures", &name, &hint, &mut step.media_base) {
                actions.push(Action::Survey);
            }
        }
        Document::Bags => {}
    }
}

fn pack(ui: &mut Ui, flow: &mut Flow, step: &mut ExchangeState) {
    let (name, hint) = (tell!("pack-to"), tell!("pack-to-hint"));
    typed(ui, flow, "recipient", &name, &hint, &mut step.recipient);
    let words = |all: &bool| if *all { tell!("pack-all") } else { tell!("pack-best") };
    if let Some(all) = one_of(ui, flow, &tell!("pack-frames"), &[false, true], step.all_frames, words) {
        step.all_frames = all;
    }
    let words = |cropped: &bool| if *cropped { tell!("pack-cropped") } else { tell!("pack-whole") };
    if let Some(cropped) = one_of(ui, flow, &tell!("pack-crop"), &[false, true], step.cropped, words) {
        step.cropped = cropped;
    }
    let all: Vec<usize> = (0..LONG_SIDES_PX.len()).collect();
    let words = |at: &usize| match LONG_SIDES_PX[*at] {
        0 => tell!("pack-full-size"),
        px => tell!("pack-px", px = px as usize),
    };
    if let Some(at) = one_of(ui, flow, &tell!("pack-long-side"), &all, step.long_side, words) {
        step.long_side = at;
    }
    let all: Vec<usize> = (0..AT_MOST_KB.len()).collect();
    let words = |at: &usize| match AT_MOST_KB[*at] {
        0 => tell!("pack-any-size"),
        kb => tell!("pack-kb", kb = kb),
    };
    if let Some(at) = one_of(ui, flow, &tell!("pack-at-most"), &all, step.at_most, words) {
        step.at_most = at;
    }
    let words = |zipped: &bool| if *zipped { tell!("pack-zip") } else { tell!("pack-folder") };
    if let Some(zipped) = one_of(ui, flow, &tell!("pack-as"), &[false, true], step.zipped, words) {
        step.zipped = zipped;
        step.to.clear();
    }
}

fn paper(ui: &mut Ui, flow: &mut Flow, step: &mut ExchangeState) {
    let words = |paper: &Paper| match paper {
        Paper::A4 => tell!("paper-a4"),
        Paper::Letter => tell!("paper-letter"),
    };
    if let Some(paper) =
        one_of(ui, flow, &tell!("sheets-size"), &[Paper::A4, Paper::Letter], step.paper, words)
    {
        step.paper = paper;
    }
}

/// What others may see: animals without a name, people, and records that give a coarsened place away.
pub(super) fn audience(
    ui: &mut Ui,
    flow: &mut Flow,
    page: &Page<'_>,
    step: &mut ExchangeState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    flow.gap(4.0);
    let unnamed = page.known.unnamed();
    let words = |category: &Option<Sensitivity>| category.map_or(String::new(), |c| c.word().to_owned());
    let all = Sensitivity::ALL.map(Some);
    if let Some(Some(category)) = one_of(ui, flow, &tell!("exchange-unnamed"), &all, unnamed, words) {
        actions.push(Action::SetUnnamed(category));
    }
    if unnamed.is_none() {
        flow.para(ui, Type::Small, t.warn, &tell!("exchange-unnamed-what"));
        flow.gap(8.0);
    }
    let at = pos2(flow.left + NAME_PX, flow.y + 12.0);
    if tick(ui, Id::unique("people"), at, step.people, &tell!("exchange-people"), "").clicked() {
        step.people = !step.people;
    }
    flow.gap(34.0);
    let found = page.open.exchange.as_ref().and_then(|(_, found)| found.as_ref().ok());
    let telling = found.map_or(0, |found| found.telling);
    if telling > 0 {
        queries::warning(ui, flow, &tell!("exchange-neighbours", n = telling), "");
        flow.gap(6.0);
        let words = |choice: &Option<Neighbours>| {
            if *choice == Some(Neighbours::Coarse) {
                tell!("neighbours-coarse")
            } else {
                tell!("neighbours-exact")
            }
        };
        let all = [Some(Neighbours::Coarse), Some(Neighbours::Exact)];
        if let Some(choice) = one_of(ui, flow, &tell!("exchange-neighbours-do"), &all, step.neighbours, words)
        {
            step.neighbours = choice;
        }
    }
}

/// Chips of which one is chosen, with a name before them; the one that was clicked.
fn one_of<T: Copy + PartialEq>(
    ui: &mut Ui,
    flow: &mut Flow,
    name: &str,
    all: &[T],
    now: T,
    words: impl Fn(&T) -> String,
) -> Option<T> {
    let t = tokens(ui);
    let middle = pos2(flow.left, flow.y + 13.0);
    text::cut(ui, middle, Align2::LEFT_CENTER, Type::Small, t.soft, NAME_PX - 8.0, name);
    let words: Vec<String> = all.iter().map(words).collect();
    let spoken: Vec<String> =
        words.iter().map(|words| tell!("exchange-choice", name = name, choice = words)).collect();
    let each = all.iter().zip(&words).zip(&spoken);
    let list: Vec<Chip<'_>> =
        each.map(|((value, words), name)| Chip::choice(words, name, *value == now)).collect();
    let mut column = Flow::new(pos2(flow.left + NAME_PX, flow.y), flow.width - NAME_PX);
    let clicked = chips(ui, &mut column, Id::unique(("choice", name)), &list);
    flow.y = column.y + 8.0;
    clicked.iter().position(egui::Response::clicked).map(|nth| all[nth])
}

/// A line to be typed; whether that is done.
fn typed(ui: &mut Ui, flow: &mut Flow, id: &str, name: &str, hint: &str, text: &mut String) -> bool {
    let place = flow.named(ui, name, NAME_PX);
    let response = field(ui, place, Id::unique(id), text, hint, name);
    debug_assert!(place.height() >= FIELD_PX - 1.0);
    flow.gap(8.0);
    response.lost_focus()
}

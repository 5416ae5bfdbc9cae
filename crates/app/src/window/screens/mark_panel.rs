//! What a chosen mark measures: its value with what makes up its uncertainty, its scale, what it is divided by, and what
//! follows from it.

use egui::{Align2, Id, Ui};
use imaging::Uncertain;
use imaging::intertegular::{CANE_1987, KENDALL_2019_BOMBUS, OutOfRange, out_of_range};
use record::{INTERTEGULAR_DISTANCE, Mark, ScaleUsed};

use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::mark_values::{
    carried_words, frames_with_scale, known_on, mm_of, name, px_of, ratio_of, state_of_ratio,
};
use crate::window::marking::{MarkAsk, marks_of};
use crate::window::open_day::OpenDay;
use crate::window::widgets::chip::{Chip, chips};
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::queries;
use crate::window::words::tell;

/// The value, at once and twice its standard uncertainty, and what makes that up.
pub(super) fn value(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, mark: &Mark) {
    let t = tokens(ui);
    let Some(px) = px_of(mark) else { return };
    let percent = |share: f64| format!("{:.2}", 100.0 * share);
    if let Some(length) = mm_of(&open.day.session, mark) {
        flow.para(ui, Type::Number, t.ink, &tell!("measure-mm", value = length.mm.words()));
        let twice = length.mm.expanded().words();
        flow.para(ui, Type::Small, t.soft, &tell!("measure-twice", value = twice));
        let [placing, scale, tilt, depth] = length.shares.map(percent);
        let words = tell!("measure-made-of", placing = placing, scale = scale, tilt = tilt, depth = depth);
        flow.para(ui, Type::Small, t.soft, &words);
        flow.gap(2.0);
    }
    placing(ui, flow, mark, px);
    flow.gap(10.0);
}

/// The length in px, and how well its points were placed.
pub(super) fn placing(ui: &mut Ui, flow: &mut Flow, mark: &Mark, px: Uncertain) {
    let words = tell!("measure-placing", value = px.words(), placing = format!("{:.1}", mark.placing_px));
    flow.para(ui, Type::Small, tokens(ui).soft, &words);
}

/// What turns it into millimetres, and what speaks against that.
pub(super) fn scale(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, mark: &Mark, actions: &mut Vec<Action>) {
    let session = &open.day.session;
    let mut ways = vec![(ScaleUsed::Unscaled, tell!("measure-scale-none"))];
    if known_on(session, mark.frame).is_some() {
        ways.push((ScaleUsed::SameFrame, tell!("measure-scale-own")));
    }
    let others = frames_with_scale(session, mark.frame);
    let carried = |frame| tell!("measure-scale-carried", number = open.sheet.number(frame));
    ways.extend(others.iter().map(|frame| (ScaleUsed::Carried(*frame), carried(*frame))));
    let t = tokens(ui);
    flow.para(ui, Type::SmallMedium, t.ink, &tell!("measure-scale"));
    flow.gap(4.0);
    if ways.len() == 1 {
        flow.para(ui, Type::Small, t.soft, &tell!("measure-scale-nowhere"));
    } else {
        let all: Vec<Chip<'_>> =
            ways.iter().map(|(way, words)| Chip::choice(words, words, *way == mark.scale)).collect();
        let clicked = chips(ui, flow, Id::unique("scale of mark"), &all);
        if let Some(nth) = clicked.iter().position(egui::Response::clicked) {
            actions.push(Action::Mark(MarkAsk::Scale(ways[nth].0)));
        }
    }
    flow.gap(6.0);
    let several = marks_of(session, mark.frame).filter(|m| m.known.is_some()).count() > 1;
    if several && mark.scale == ScaleUsed::SameFrame {
        flow.para(ui, Type::Small, t.warn, &tell!("measure-scale-last"));
        flow.gap(2.0);
    }
    for (words, differs) in carried_words(session, mark) {
        if differs {
            queries::warning(ui, flow, &words, "");
            flow.gap(6.0);
        } else {
            flow.para(ui, Type::Small, t.warn, &words);
        }
        flow.gap(2.0);
    }
    flow.gap(4.0);
}

/// What it is divided by, the ratio, and the state that stands for.
pub(super) fn divide(
    ui: &mut Ui,
    flow: &mut Flow,
    open: &OpenDay,
    (mark, marks): (&Mark, &[&Mark]),
    actions: &mut Vec<Action>,
) {
    let others: Vec<&&Mark> = marks.iter().filter(|m| m.id != mark.id && m.known.is_none()).collect();
    if others.is_empty() {
        return;
    }
    let t = tokens(ui);
    flow.para(ui, Type::SmallMedium, t.ink, &tell!("measure-divide"));
    flow.gap(4.0);
    let mut ways = vec![(None, tell!("measure-divide-none"))];
    ways.extend(others.iter().map(|other| (Some(other.id), name(other))));
    let all: Vec<Chip<'_>> =
        ways.iter().map(|(way, words)| Chip::choice(words, words, *way == mark.ratio_to)).collect();
    let clicked = chips(ui, flow, Id::unique("divided by"), &all);
    if let Some(nth) = clicked.iter().position(egui::Response::clicked) {
        actions.push(Action::Mark(MarkAsk::Ratio(ways[nth].0)));
    }
    flow.gap(6.0);
    let session = &open.day.session;
    if let Some(ratio) = ratio_of(session, mark) {
        flow.para(ui, Type::Medium, t.ink, &tell!("measure-ratio", value = ratio.words()));
    }
    let found = open.characters.as_ref().ok().and_then(|all| state_of_ratio(session, all, mark));
    if let Some(found) = found {
        let (character, state) = (found.character.name.to_lowercase(), &found.state.name);
        let words = tell!("measure-state", character = character, state = state);
        flow.gap(4.0);
        let key = Command::TakeOffered.key_words(ui);
        let button = Button::new(&words, Weight::Plain).key(&key).within(flow.width);
        if button.show(ui, Id::unique("take state"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::TakeOffered));
        }
        flow.gap(button.size(ui).y + 4.0);
        if let Some(or) = found.or {
            flow.para(ui, Type::Small, t.warn, &tell!("measure-state-or", state = &or.name));
        }
    }
    flow.gap(10.0);
}

/// Of an intertegular distance, what is odd about it and the dry mass it would stand for.
pub(super) fn mass(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, mark: &Mark) {
    let is_usual = |measure: &str| {
        open.characters.as_ref().is_ok_and(|characters| characters.measures.iter().any(|m| m == measure))
    };
    if mark.what != INTERTEGULAR_DISTANCE || !is_usual(INTERTEGULAR_DISTANCE) {
        return;
    }
    let Some(length) = mm_of(&open.day.session, mark) else { return };
    let t = tokens(ui);
    let odd = out_of_range(length.mm.value).map(|odd| match odd {
        OutOfRange::Implausible => tell!("measure-implausible"),
        OutOfRange::OutsideData => tell!("measure-outside"),
    });
    if let Some(words) = odd {
        queries::warning(ui, flow, &words, "");
        flow.gap(6.0);
    }
    flow.para(ui, Type::SmallMedium, t.ink, &tell!("measure-mass"));
    flow.gap(2.0);
    for regression in [KENDALL_2019_BOMBUS, CANE_1987] {
        let Some(estimate) = regression.estimate(length.mm) else { continue };
        flow.para(ui, Type::Small, t.ink, &tell!("measure-mass-mg", value = estimate.mg.words()));
        let spread = if let Some(factor) = estimate.spread_factor {
            let (from, to) = (estimate.mg.value / factor, estimate.mg.value * factor);
            tell!("measure-mass-spread", from = format!("{from:.0}"), to = format!("{to:.0}"))
        } else {
            tell!("measure-mass-no-spread")
        };
        flow.para(ui, Type::Small, t.soft, &spread);
        flow.para(ui, Type::Small, t.soft, &tell!("characters-source", source = estimate.source));
        flow.gap(4.0);
    }
    flow.para(ui, Type::Small, t.warn, &tell!("measure-mass-what"));
    flow.gap(10.0);
}

//! The colour picked for a region: how to pick it, what was picked with its spread and every doubt, and the word it offers.

use egui::{Align2, Color32, Id, Stroke, Ui, pos2, vec2};
use imaging::cielab::{to_coded, to_linear};
use record::{Character, Picked, Specimen};

use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{BUTTON_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::words::tell;

/// Draws what there is about the colour of an opened region.
pub(crate) fn ui(
    ui: &mut Ui,
    column: &mut Flow,
    open: &OpenDay,
    record: Option<&Specimen>,
    state: &UiState,
    character: &Character,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let pick = &state.specimen.pick;
    let (words, key) = (tell!("colour-pick"), Command::PickColour.key_words(ui));
    let button = Button::new(&words, Weight::Quiet).key(&key);
    if button.show(ui, Id::unique("pick colour"), column.at(), Align2::LEFT_TOP).clicked() {
        actions.push(Action::Run(Command::PickColour));
    }
    column.gap(BUTTON_PX);
    let offered = pick.offered.as_ref().filter(|o| o.region == character.key);
    let kept = record.and_then(|r| r.colours.get(&character.key)).and_then(|note| note.picked.as_ref());
    if pick.waits.as_ref() == Some(&character.key) {
        column.para(ui, Type::Small, t.soft, &tell!("colour-waits"));
    } else if let Some(offered) = offered {
        picked(ui, column, open, character, &offered.picked);
        let word = character.state(&offered.word).map_or(offered.word.as_str(), |s| &s.name);
        let (words, key) = (tell!("colour-take", word = word), Command::TakeOffered.key_words(ui));
        column.gap(4.0);
        let button = Button::new(&words, Weight::Plain).key(&key);
        if button.show(ui, Id::unique("take colour"), column.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::TakeOffered));
        }
        column.gap(BUTTON_PX);
    } else if let Some(kept) = kept {
        picked(ui, column, open, character, kept);
    } else if let Some(why) = &pick.refused {
        column.para(ui, Type::Small, t.warn, why);
    } else {
        let keys = [Command::LargerPatch, Command::SmallerPatch].map(|c| c.key_words(ui));
        let words = tell!("colour-how", larger = &keys[0], smaller = &keys[1]);
        column.para(ui, Type::Small, t.soft, &words);
    }
    column.gap(4.0);
}

/// What was picked: the colour itself, its numbers, the nearest words, what it was balanced by, and every doubt.
fn picked(ui: &mut Ui, column: &mut Flow, open: &OpenDay, character: &Character, picked: &Picked) {
    let t = tokens(ui);
    let [r, g, b] = to_coded(to_linear(picked.lab)).0;
    let swatch = egui::Rect::from_min_size(column.at() + vec2(0.0, 2.0), vec2(34.0, 34.0));
    ui.painter().rect(
        swatch,
        4.0,
        Color32::from_rgb(r, g, b),
        Stroke::new(1.0, t.edge),
        egui::StrokeKind::Inside,
    );
    let one = |n: usize| format!("{:.0} ± {:.0}", picked.lab[n], picked.spread[n]);
    let mut beside = Flow::new(pos2(swatch.right() + 10.0, column.y), column.width - 44.0);
    let lab = tell!("colour-lab", l = one(0), a = one(1), b = one(2));
    beside.para(ui, Type::Small, t.ink, &lab);
    let name = |n: usize| character.state(&picked.nearest[n].0).map_or("", |s| &s.name);
    let far = |n: usize| format!("{:.0}", picked.nearest[n].1);
    let nearest = tell!("colour-nearest", first = name(0), far = far(0), second = name(1), further = far(1));
    beside.para(ui, Type::Small, t.soft, &nearest);
    column.y = beside.y.max(swatch.bottom()) + 4.0;
    let from = tell!("viewer-frame", number = open.sheet.number(picked.frame));
    let words = if let Some(blank) = picked.neutral {
        tell!("colour-balanced", frame = &from, blank = open.sheet.number(blank))
    } else {
        tell!("colour-unbalanced", frame = &from)
    };
    column.para(ui, Type::Small, t.soft, &words);
    for doubt in &picked.doubts {
        column.para(ui, Type::Small, t.warn, &tell!("colour-doubt", doubt = doubt));
    }
}

//! The help page: every key and what it does, made from the table of commands and the plan.

use std::path::Path;

use egui::{Align2, Color32, ScrollArea, Ui, UiBuilder, pos2, vec2};
use filing::previews;

use super::{moving, panel};
use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::command::{COMMANDS, Command, Entry, Group};
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::widgets::control::{Button, Weight, keycap};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

const GROUPS: [Group; 13] = [
    Group::Always,
    Group::Steps,
    Group::Card,
    Group::Clocks,
    Group::Queries,
    Group::DaySheet,
    Group::Specimen,
    Group::Looking,
    Group::Record,
    Group::Measures,
    Group::Sets,
    Group::Filing,
    Group::Exchange,
];

/// Draws the page. `kept` is the data folder and that of the preview cache.
pub(crate) fn ui(ui: &mut Ui, open: Option<&OpenDay>, kept: [Option<&Path>; 2], actions: &mut Vec<Action>) {
    let window = ui.max_rect().size();
    let size = vec2((window.x - 80.0).min(1080.0), window.y - 72.0);
    panel(ui, "help", size, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let at = rect.min + vec2(24.0, 26.0);
        text::line(ui, at, Align2::LEFT_CENTER, Type::Number, t.ink, &tell!("help-head"));
        let close = tell!("close");
        let key = Command::Back.key_words(ui);
        let close = Button::new(&close, Weight::Quiet).key(&key);
        let at = pos2(rect.right() - 24.0, rect.top() + 26.0);
        if close.show(ui, egui::Id::unique("close help"), at, Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Float(None));
        }
        let inner = egui::Rect::from_min_max(rect.min + vec2(24.0, 52.0), rect.max - vec2(12.0, 12.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner));
        ScrollArea::vertical().auto_shrink(false).show(&mut child, |ui| {
            moving::scroll(ui);
            page(ui, open, kept);
        });
    });
}

fn page(ui: &mut Ui, open: Option<&OpenDay>, kept: [Option<&Path>; 2]) {
    let at = ui.cursor().min;
    let width = (ui.available_width() - 44.0) / 2.0;
    let mut left = Flow::new(at, width);
    let mut right = Flow::new(at + vec2(width + 32.0, 0.0), width);
    for group in GROUPS {
        let flow = if left.y <= right.y { &mut left } else { &mut right };
        flow.gap(8.0);
        flow.head(ui, &group.words(), "");
        flow.gap(6.0);
        for entry in COMMANDS.iter().filter(|e| e.group == group) {
            line(ui, flow, entry);
        }
        if group == Group::Specimen {
            views(ui, flow, open);
        }
        flow.gap(8.0);
    }
    let flow = if left.y <= right.y { &mut left } else { &mut right };
    let t = tokens(ui);
    flow.gap(8.0);
    flow.head(ui, &tell!("help-care"), "");
    for caution in &cautions().handling {
        flow.gap(6.0);
        flow.para(ui, Type::Small, t.soft, &caution.text);
    }
    let flow = if left.y <= right.y { &mut left } else { &mut right };
    flow.gap(16.0);
    trade_words(ui, flow);
    let [home, cache] = kept.map(|folder| folder.map(|f| f.display().to_string()));
    let home = home.map(|home| tell!("help-kept-where", home = home));
    let (most, key) = (bytes_words(previews::MOST_BYTES), Command::EmptyPreviews.key_words(ui));
    let cache = cache.map(|cache| tell!("help-kept-previews", most = most, key = key, cache = cache));
    let flow = if left.y <= right.y { &mut left } else { &mut right };
    flow.gap(16.0);
    flow.head(ui, &tell!("help-kept"), "");
    for words in home.into_iter().chain(cache) {
        flow.gap(6.0);
        flow.para(ui, Type::Small, t.soft, &words);
    }
    left.y = left.y.max(right.y);
    left.end(ui);
}

/// The words of the trade, as the window uses them.
fn trade_words(ui: &mut Ui, flow: &mut Flow) {
    let t = tokens(ui);
    flow.head(ui, &tell!("help-words"), "");
    let words = [
        (tell!("help-word-plan"), tell!("help-word-plan.meaning")),
        (tell!("help-word-blank"), tell!("help-word-blank.meaning")),
        (tell!("help-word-set"), tell!("help-word-set.meaning")),
        (tell!("help-word-retake"), tell!("help-word-retake.meaning")),
        (tell!("help-word-reference"), tell!("help-word-reference.meaning")),
        (tell!("help-word-aside"), tell!("help-word-aside.meaning")),
        (tell!("help-word-query"), tell!("help-word-query.meaning")),
        (tell!("help-word-unchecked"), tell!("help-word-unchecked.meaning")),
    ];
    for (word, meaning) in words {
        flow.gap(6.0);
        let (at, room) = (flow.at(), flow.width - 118.0);
        text::cut(ui, at, Align2::LEFT_TOP, Type::SmallMedium, t.ink, 110.0, &word);
        flow.y = text::para(ui, at + vec2(118.0, 0.0), room, Type::Small, t.soft, &meaning).bottom();
    }
}

fn line(ui: &mut Ui, flow: &mut Flow, entry: &Entry) {
    let t = tokens(ui);
    let top = flow.y;
    keycap(ui, pos2(flow.left, top + 10.0), t.soft, Color32::TRANSPARENT, &entry.command.key_words(ui));
    let at = pos2(flow.left + 118.0, top + 2.0);
    let width = flow.width - 118.0;
    let words = text::line(ui, at, Align2::LEFT_TOP, Type::SmallMedium, t.ink, &entry.words());
    let help = text::para(ui, pos2(at.x, words.bottom() + 1.0), width, Type::Small, t.soft, &entry.help());
    flow.y = help.bottom() + 6.0;
}

/// The letters of the plan's views, which label on the specimen page.
fn views(ui: &mut Ui, flow: &mut Flow, open: Option<&OpenDay>) {
    let t = tokens(ui);
    let Some(open) = open else { return };
    for view in &open.day.session.plan.views {
        let letter = view.letter.to_ascii_uppercase().to_string();
        keycap(ui, pos2(flow.left, flow.y + 10.0), t.soft, Color32::TRANSPARENT, &letter);
        let words = tell!("help-label", view = view.name.to_lowercase());
        let at = pos2(flow.left + 118.0, flow.y + 2.0);
        text::line(ui, at, Align2::LEFT_TOP, Type::SmallMedium, t.ink, &words);
        flow.gap(24.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_stands_on_the_page() {
        for entry in COMMANDS {
            assert!(GROUPS.contains(&entry.group), "{:?}", entry.command);
        }
    }
}

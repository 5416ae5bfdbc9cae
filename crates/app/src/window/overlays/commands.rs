//! The list of commands, to be searched and run.

use egui::accesskit::Role;
use egui::{
    Align2, Color32, Id, Key, Modifiers, Rect, Response, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2,
    vec2,
};

use super::panel;
use crate::window::action::Action;
use crate::window::command::{COMMANDS, Entry};
use crate::window::enabled::enabled;
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::{field, keycap};
use crate::window::widgets::text;

const LINE_PX: f32 = 34.0;

/// Draws the list; `text` is what is typed, `at` the chosen line.
pub(crate) fn ui(
    ui: &mut Ui,
    typed: &mut String,
    at: &mut usize,
    open: Option<&OpenDay>,
    state: &UiState,
    actions: &mut Vec<Action>,
) {
    let size = vec2(620.0, (ui.max_rect().height() - 160.0).min(560.0));
    panel(ui, "commands", size, Some(Action::Float(None)), actions, |ui, actions| {
        let rect = ui.max_rect();
        let id = Id::unique("search commands");
        let place = Rect::from_min_size(rect.min + vec2(16.0, 16.0), vec2(rect.width() - 32.0, 34.0));
        if field(ui, place, id, typed, "Search the commands", "Search the commands").changed() {
            *at = 0;
        }
        ui.memory_mut(|m| m.request_focus(id));
        let found = found(typed, state);
        *at = (*at).min(found.len().saturating_sub(1));
        let mut moved = false;
        ui.input_mut(|i| {
            if i.consume_key(Modifiers::NONE, Key::ArrowDown) {
                *at = (*at + 1).min(found.len().saturating_sub(1));
                moved = true;
            }
            if i.consume_key(Modifiers::NONE, Key::ArrowUp) {
                *at = at.saturating_sub(1);
                moved = true;
            }
        });
        let chosen = found.get(*at).copied();
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
            run(chosen, open, state, actions);
        }
        let inner = Rect::from_min_max(place.left_bottom() + vec2(0.0, 8.0), rect.max - vec2(16.0, 12.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner));
        if found.is_empty() {
            let soft = tokens(&child).soft;
            let at = inner.min + vec2(28.0, 8.0);
            let words = "No command of this step says that.";
            text::line(&mut child, at, Align2::LEFT_TOP, Type::Body, soft, words);
        }
        ScrollArea::vertical().auto_shrink(false).show(&mut child, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for (n, entry) in found.iter().enumerate() {
                let response = line(ui, entry, n == *at, open, state);
                if moved && n == *at {
                    response.scroll_to_me(None);
                }
                if response.clicked() {
                    run(Some(entry), open, state, actions);
                }
            }
        });
    });
}

/// The commands of this screen whose words or help hold every typed word.
fn found(typed: &str, state: &UiState) -> Vec<&'static Entry> {
    let typed = typed.to_lowercase();
    let here = COMMANDS.iter().filter(|e| e.on.contains(&state.screen));
    here.filter(|e| {
        let said = format!("{} {}", e.words, e.help).to_lowercase();
        typed.split_whitespace().all(|word| said.contains(word))
    })
    .collect()
}

fn run(entry: Option<&Entry>, open: Option<&OpenDay>, state: &UiState, actions: &mut Vec<Action>) {
    let Some(entry) = entry else { return };
    if enabled(entry.command, open, state).is_ok() {
        actions.push(Action::Float(None));
        actions.push(Action::Run(entry.command));
    }
}

fn line(ui: &mut Ui, entry: &Entry, chosen: bool, open: Option<&OpenDay>, state: &UiState) -> Response {
    let t = tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), LINE_PX), Sense::CLICK);
    let why_not = enabled(entry.command, open, state).err();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, why_not.is_none(), entry.words));
    if chosen {
        ui.painter().rect_filled(rect, CONTROL_CORNER, t.accent_ground);
    }
    let ink = if why_not.is_some() { t.soft } else { t.ink };
    let middle = pos2(rect.left() + 12.0, rect.center().y);
    let words = text::line(ui, middle, Align2::LEFT_CENTER, Type::Body, ink, entry.words);
    let key = entry.keys[0].words();
    let key_left = rect.right() - 20.0 - text::size(ui, Type::Key, &key).x;
    keycap(ui, pos2(key_left, middle.y), t.soft, Color32::TRANSPARENT, &key);
    let note = why_not.unwrap_or(entry.help);
    let note_left = (words.right() + 14.0).max(rect.left() + 190.0);
    let room = key_left - 14.0 - note_left;
    text::cut(ui, pos2(note_left, middle.y), Align2::LEFT_CENTER, Type::Small, t.soft, room, note);
    response
}

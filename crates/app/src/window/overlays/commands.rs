//! The list of commands, to be searched and run.

use egui::accesskit::Role;
use egui::{
    Align2, Color32, Event, Id, Key, Modifiers, Rect, Response, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo,
    pos2, vec2,
};

use super::moving::step;
use super::{entered, panel};
use crate::window::action::Action;
use crate::window::chord::Chord;
use crate::window::command::{COMMANDS, Entry};
use crate::window::enabled::enabled;
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::control::{Button, Weight, field, keycap};
use crate::window::widgets::text;
use crate::window::words::tell;

const LINE_PX: f32 = 34.0;
/// Lines that a Page key goes.
const PAGE_LINES: usize = 12;

/// The list as it stands.
#[derive(Debug)]
pub(crate) struct List<'a> {
    /// Typed so far.
    pub(crate) typed: &'a mut String,
    /// Chosen line.
    pub(crate) at: &'a mut usize,
    /// Whether the next key becomes that of the chosen command.
    pub(crate) changing: &'a mut bool,
    /// Why the last key could not be had.
    pub(crate) refused: &'a mut Option<String>,
}

/// Draws the list.
pub(crate) fn ui(
    ui: &mut Ui,
    list: List<'_>,
    open: Option<&OpenDay>,
    state: &UiState,
    actions: &mut Vec<Action>,
) {
    let size = vec2(660.0, (ui.max_rect().height() - 160.0).min(600.0));
    panel(ui, "commands", size, Some(Action::Float(None)), actions, |ui, actions| {
        let List { typed, at, changing, refused } = list;
        let rect = ui.max_rect();
        let id = Id::unique("search commands");
        let place = Rect::from_min_size(rect.min + vec2(16.0, 16.0), vec2(rect.width() - 32.0, 34.0));
        let found = found(typed, state);
        *at = (*at).min(found.len().saturating_sub(1));
        let chosen = found.get(*at).copied();
        let mut moved = false;
        if let Some(entry) = chosen.filter(|_| *changing) {
            changed_key(ui, entry, changing, actions);
        } else {
            moved = step(ui, at, found.len(), PAGE_LINES);
            if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::F2)) {
                (*changing, *refused) = (chosen.is_some(), None);
            }
            if entered(ui) {
                run(chosen, open, state, actions);
            }
            let search = tell!("commands-search");
            if field(ui, place, id, typed, &search, &search).changed() {
                *at = 0;
            }
            ui.memory_mut(|m| m.request_focus(id));
        }
        let foot = Rect::from_min_max(pos2(place.left(), rect.bottom() - 44.0), rect.max - vec2(16.0, 8.0));
        if *changing {
            ask_key(ui, place, chosen, refused.as_deref());
        } else {
            offer_change(ui, foot, changing, refused);
        }
        let inner = Rect::from_min_max(place.left_bottom() + vec2(0.0, 8.0), pos2(foot.right(), foot.top()));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner));
        if found.is_empty() {
            let soft = tokens(&child).soft;
            let at = inner.min + vec2(28.0, 8.0);
            text::line(&mut child, at, Align2::LEFT_TOP, Type::Body, soft, &tell!("commands-none"));
        }
        ScrollArea::vertical().auto_shrink(false).show(&mut child, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for (n, entry) in found.iter().enumerate() {
                let response = line(ui, entry, n == *at, Beside::Help, open, state);
                if moved && n == *at {
                    response.scroll_to_me(None);
                }
                if response.clicked() && !*changing {
                    run(Some(entry), open, state, actions);
                }
            }
        });
    });
}

/// Takes the key that is pressed for the command.
fn changed_key(ui: &mut Ui, entry: &Entry, changing: &mut bool, actions: &mut Vec<Action>) {
    let pressed = ui.input_mut(|i| {
        let mut keys = i.events.iter().filter_map(|event| match event {
            Event::Key { key, pressed: true, modifiers, .. } if !modifiers.alt && !only_modifies(*key) => {
                Some(Chord { ctrl: modifiers.command, shift: modifiers.shift, key: *key })
            }
            _ => None,
        });
        let last = keys.next_back();
        i.events.retain(|event| !matches!(event, Event::Key { .. } | Event::Text(_)));
        last
    });
    let Some(chord) = pressed else { return };
    let bare = !chord.ctrl && !chord.shift;
    match chord.key {
        Key::Escape => *changing = false,
        Key::Delete if bare => actions.push(Action::TurnKeyOff(entry.command)),
        Key::Backspace if bare => actions.push(Action::ResetKey(entry.command)),
        _ => actions.push(Action::SetKey(entry.command, chord)),
    }
}

/// Whether a key is only held down beside others: real windows tell of it as of any key.
fn only_modifies(key: Key) -> bool {
    matches!(
        key,
        Key::ShiftLeft
            | Key::ShiftRight
            | Key::ControlLeft
            | Key::ControlRight
            | Key::AltLeft
            | Key::AltRight
            | Key::SuperLeft
            | Key::SuperRight
    )
}

/// Says in place of the search which key is waited for, or why the last could not be had.
fn ask_key(ui: &mut Ui, place: Rect, chosen: Option<&Entry>, refused: Option<&str>) {
    let t = tokens(ui);
    let command = chosen.map(Entry::words).unwrap_or_default();
    let words = refused.map_or_else(|| tell!("keys-press", command = command), str::to_owned);
    let (ground, ink) = if refused.is_some() { (t.gone_ground, t.gone) } else { (t.accent_ground, t.ink) };
    ui.painter().rect_filled(place, CONTROL_CORNER, ground);
    let at = pos2(place.left() + 10.0, place.center().y);
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, ink, place.width() - 20.0, &words);
}

/// Offers to change the key of the chosen command.
fn offer_change(ui: &mut Ui, foot: Rect, changing: &mut bool, refused: &mut Option<String>) {
    let words = tell!("keys-change");
    let button = Button::new(&words, Weight::Quiet).key("F2");
    let at = pos2(foot.left() + 12.0, foot.center().y);
    if button.show(ui, Id::unique("change key"), at, Align2::LEFT_CENTER).clicked() {
        (*changing, *refused) = (true, None);
    }
}

/// The commands of this screen whose words or help hold every typed word.
fn found(typed: &str, state: &UiState) -> Vec<&'static Entry> {
    let typed = typed.to_lowercase();
    let here = COMMANDS.iter().filter(|e| e.on.contains(&state.screen));
    here.filter(|e| {
        let said = format!("{} {}", e.words(), e.help()).to_lowercase();
        typed.split_whitespace().all(|word| said.contains(word))
    })
    .collect()
}

pub(super) fn run(entry: Option<&Entry>, open: Option<&OpenDay>, state: &UiState, actions: &mut Vec<Action>) {
    let Some(entry) = entry else { return };
    if enabled(entry.command, open, state).is_ok() {
        actions.push(Action::Float(None));
        actions.push(Action::Run(entry.command));
    }
}

/// What stands beside a command.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Beside {
    /// What it does, or why it cannot be run just now.
    Help,
    /// Only why it cannot be run.
    WhyNot,
}

/// Draws a command with its key and what stands beside it.
pub(super) fn line(
    ui: &mut Ui,
    entry: &Entry,
    chosen: bool,
    beside: Beside,
    open: Option<&OpenDay>,
    state: &UiState,
) -> Response {
    let t = tokens(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), LINE_PX), Sense::CLICK);
    let why_not = enabled(entry.command, open, state).err();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, why_not.is_none(), entry.words()));
    if chosen {
        ui.painter().rect_filled(rect, CONTROL_CORNER, t.accent_ground);
    }
    let ink = if why_not.is_some() { t.soft } else { t.ink };
    let middle = pos2(rect.left() + 12.0, rect.center().y);
    let words = text::line(ui, middle, Align2::LEFT_CENTER, Type::Body, ink, &entry.words());
    let own = entry.command.key_words(ui);
    let key = if own.is_empty() { tell!("keys-off") } else { own };
    let key_left = rect.right() - 20.0 - text::size(ui, Type::Key, &key).x;
    keycap(ui, pos2(key_left, middle.y), t.soft, Color32::TRANSPARENT, &key);
    let Some(note) = why_not.or_else(|| (beside == Beside::Help).then(|| entry.help())) else {
        return response;
    };
    let note_left = (words.right() + 14.0).max(rect.left() + 190.0);
    let room = key_left - 14.0 - note_left;
    text::cut(ui, pos2(note_left, middle.y), Align2::LEFT_CENTER, Type::Small, t.soft, room, &note);
    response
}

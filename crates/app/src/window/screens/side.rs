//! The side panel: queries on the card step, the retake list above them on the day sheet.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use grouping::Held;

use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::held_words::told;
use crate::window::look::{BUTTON_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{queries, text};
use crate::window::words::tell;

/// Draws the panel's sheet and gives what fills it a column.
pub(crate) fn panel(ui: &mut Ui, rect: Rect, name: &str, fill: impl FnOnce(&mut Ui, &mut Flow)) {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 0.0, t.sheet);
    ui.painter().vline(rect.left() + 0.5, rect.y_range(), t.rule_stroke());
    let inner = Rect::from_min_max(rect.min + vec2(4.0, 0.0), rect.max - vec2(4.0, 0.0));
    let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt(name));
    child.shrink_clip_rect(rect);
    ScrollArea::vertical().id_salt(name).auto_shrink(false).show(&mut child, |ui| {
        let at = ui.cursor().min + vec2(14.0, 12.0);
        let mut flow = Flow::new(at, rect.width() - 37.0);
        fill(ui, &mut flow);
        flow.gap(16.0);
        flow.end(ui);
    });
}

/// The queries alone.
pub(crate) fn queries(ui: &mut Ui, rect: Rect, open: &OpenDay, focused: usize, actions: &mut Vec<Action>) {
    panel(ui, rect, "queries", |ui, flow| queries::list(ui, flow, open, focused, actions));
}

/// The retake list, the queries, and a caution at the foot.
pub(crate) fn retakes(ui: &mut Ui, rect: Rect, open: &OpenDay, focused: usize, actions: &mut Vec<Action>) {
    panel(ui, rect, "retakes", |ui, flow| {
        let t = tokens(ui);
        retake_head(ui, flow, actions);
        limit(ui, flow, open, actions);
        if open.held.is_empty() {
            flow.gap(8.0);
            flow.para(ui, Type::Small, t.soft, &tell!("retakes-none-known"));
        }
        let last = open.held.len();
        for (n, held) in open.held.iter().enumerate() {
            one(ui, flow, open, held, actions);
            if n + 1 < last {
                flow.rule(ui);
            }
        }
        flow.gap(18.0);
        queries::list(ui, flow, open, focused, actions);
        if let Some(caution) = cautions().handling.first() {
            queries::caution(ui, flow, rect.bottom() - 16.0, &caution.text);
        }
    });
}

fn retake_head(ui: &mut Ui, flow: &mut Flow, actions: &mut Vec<Action>) {
    let middle = flow.y + 12.0;
    let right = flow.right();
    flow.head(ui, &tell!("retakes-head"), "");
    let key = Command::RetakeList.key_words(ui);
    let (words, name) = (tell!("retakes-large"), tell!("retakes-large-name"));
    let large = Button::new(&words, Weight::Quiet).key(&key).name(&name);
    if large.show(ui, Id::unique("large retakes"), pos2(right, middle), Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(Command::RetakeList));
    }
}

/// The person's holding limit, and the way to set it.
fn limit(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, actions: &mut Vec<Action>) {
    let key = Command::HoldingLimit.key_words(ui);
    let words = open.limit_words();
    let button = Button::new(&words, Weight::Quiet).key(&key);
    flow.gap(4.0);
    if button.show(ui, Id::unique("holding limit"), flow.at(), Align2::LEFT_TOP).clicked() {
        actions.push(Action::Run(Command::HoldingLimit));
    }
    flow.gap(BUTTON_PX);
}

/// One animal: its number, what is missing or that it is to be let go, how long it is held, its jar.
fn one(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, held: &Held, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let top = flow.y;
    let told = told(held, &open.day.session.plan, &open.jar_words(held.retake.set));
    let left = flow.left + 42.0;
    let room = flow.right() - left;
    let number = held.retake.number.to_string();
    text::line(ui, pos2(flow.left, top + 20.0), Align2::LEFT_CENTER, Type::Number, t.ink, &number);
    let ink = if held.is_past() { t.gone } else { t.ink };
    let mut bottom = text::para(ui, pos2(left, top + 9.0), room, Type::Medium, ink, &told.head).bottom();
    // Time stands out where it is told; otherwise only since when.
    let time = if held.holding.is_some() { (Type::SmallMedium, t.ink) } else { (Type::Small, t.soft) };
    // Where it does not fit in one line, what is left of the limit begins the next.
    let fits = text::size(ui, time.0, &told.time).x <= room;
    let told_time = if fits { told.time } else { told.time.replace(", ", "\n") };
    let why = told.why.join("\n");
    let lines = [(time, &told_time), ((Type::Small, t.warn), &why), ((Type::Small, t.soft), &told.rest)];
    for ((kind, ink), words) in lines {
        if !words.is_empty() {
            bottom = text::para(ui, pos2(left, bottom + 1.0), room, kind, ink, words).bottom();
        }
    }
    flow.y = bottom + 9.0;
    let place = Rect::from_min_max(pos2(flow.left, top), pos2(flow.right(), flow.y));
    let id = Id::unique(("retake", held.retake.set));
    let response = ui.interact(place, id, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &told.name));
    if response.has_focus() {
        ui.painter().rect_stroke(place, 4.0, egui::Stroke::new(2.0, t.accent), egui::StrokeKind::Inside);
    }
    if response.clicked() {
        actions.push(Action::ChooseSet(held.retake.set));
    }
}

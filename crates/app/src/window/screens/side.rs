//! The side panel: queries on the card step, the retake list above them on the day sheet.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use grouping::Retake;

use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::minute;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{queries, text};

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
        if open.sheet.retakes.is_empty() {
            flow.gap(10.0);
            flow.para(ui, Type::Small, t.soft, "No animal is known to lack a view.");
        }
        let last = open.sheet.retakes.len();
        for (n, retake) in open.sheet.retakes.iter().enumerate() {
            one(ui, flow, open, retake, actions);
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
    flow.head(ui, "Retake list", "");
    let key = Command::RetakeList.key_words();
    let large =
        Button::new("fill window", Weight::Quiet).key(&key).name("Fill the window with the retake list");
    if large.show(ui, Id::unique("large retakes"), pos2(right, middle), Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(Command::RetakeList));
    }
}

/// One animal: its number, what is missing, its jar, and since when it is held.
fn one(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, retake: &Retake, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let top = flow.y;
    let words = retake.words(&open.day.session.plan);
    let since = retake.since.as_ref().map(|s| format!("since {}", minute(s))).unwrap_or_default();
    let since_width = text::size(ui, Type::Small, &since).x;
    let left = flow.left + 42.0;
    let room = flow.right() - left - since_width - 10.0;
    // What is missing stands out; that it is not known yet is said quietly below.
    let (head, rest) = words.split_once(", which").map_or((words.as_str(), ""), |(a, b)| (a, b));
    let head_rect = text::para(ui, pos2(left, top + 9.0), room, Type::Medium, t.ink, head);
    text::line(
        ui,
        pos2(flow.left, top + 20.0),
        Align2::LEFT_CENTER,
        Type::Number,
        t.ink,
        &retake.number.to_string(),
    );
    text::line(ui, pos2(flow.right(), top + 19.0), Align2::RIGHT_CENTER, Type::Small, t.soft, &since);
    let jar = (!retake.jar.is_empty()).then(|| format!("jar {}", retake.jar));
    let rest = (!rest.is_empty()).then(|| format!("which{rest}"));
    let below = [jar, rest].into_iter().flatten().collect::<Vec<_>>().join(", ");
    let mut bottom = head_rect.bottom();
    if !below.is_empty() {
        bottom = text::para(ui, pos2(left, bottom + 1.0), room + since_width, Type::Small, t.soft, &below)
            .bottom();
    }
    flow.y = bottom + 9.0;
    let place = Rect::from_min_max(pos2(flow.left, top), pos2(flow.right(), flow.y));
    let id = Id::unique(("retake", retake.set));
    let response = ui.interact(place, id, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Button, true, format!("Retake {}: {words}", retake.number))
    });
    if response.has_focus() {
        ui.painter().rect_stroke(place, 4.0, egui::Stroke::new(2.0, t.accent), egui::StrokeKind::Inside);
    }
    if response.clicked() {
        actions.push(Action::ChooseSet(retake.set));
    }
}

//! The retake list over the whole window, to be read at arm's length: letters of at least 32 px, full ink on
//! the ground, lines of at least 44 px to press.

use egui::accesskit::Role;
use egui::{
    Align2, Area, CursorIcon, Id, Order, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2,
};

use crate::window::action::Action;
use crate::window::held_words::told;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::text;
use crate::window::words::tell;

const LINE_PX: f32 = 112.0;

/// Draws the list over everything.
pub(crate) fn ui(ui: &mut Ui, open: Option<&OpenDay>, actions: &mut Vec<Action>) {
    let Some(open) = open else { return };
    let whole = ui.ctx().content_rect();
    let area = Area::new(Id::unique("retakes")).order(Order::Foreground).fixed_pos(whole.min).fade_in(false);
    area.show(ui.ctx(), |ui| {
        let t = tokens(ui);
        ui.set_min_size(whole.size());
        ui.painter().rect_filled(whole, 0.0, t.ground);
        // Keeps clicks from what lies below.
        ui.interact(whole, Id::unique("retakes ground"), Sense::CLICK | Sense::DRAG);
        let middle = whole.top() + 52.0;
        let n = open.held.len();
        let head = if n == 0 { tell!("retakes-none") } else { tell!("retakes-count", n = n) };
        text::line(ui, pos2(whole.left() + 40.0, middle), Align2::LEFT_CENTER, Type::Far, t.ink, &head);
        let (words, name) = (tell!("close"), tell!("retakes-close"));
        let close = Button::new(&words, Weight::Plain).key("Esc").name(&name);
        let at = pos2(whole.right() - 40.0, middle);
        if close.show(ui, Id::unique("close retakes"), at, Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Float(None));
        }
        let inner = Rect::from_min_max(whole.min + vec2(40.0, 96.0), whole.max - vec2(40.0, 20.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner));
        ScrollArea::vertical().auto_shrink(false).show_rows(&mut child, LINE_PX, n, |ui, rows| {
            ui.spacing_mut().item_spacing.y = 0.0;
            for at in rows {
                line(ui, open, at, actions);
            }
        });
    });
}

fn line(ui: &mut Ui, open: &OpenDay, at: usize, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let held = &open.held[at];
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), LINE_PX), Sense::click());
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    let jar = open.jar_words(held.retake.set);
    let told = told(held, &open.day.session.plan, &jar);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &told.name));
    ui.painter().hline(rect.x_range(), rect.top() + 0.5, t.rule_stroke());
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 0.0, t.accent_ground);
    }
    let (upper, lower) = (rect.top() + 34.0, rect.top() + 80.0);
    let number = held.retake.number.to_string();
    text::line(ui, pos2(rect.left() + 8.0, upper), Align2::LEFT_CENTER, Type::Far, t.ink, &number);
    let left = rect.left() + 110.0;
    let at_right = pos2(rect.right() - 8.0, upper);
    let right = text::line(ui, at_right, Align2::RIGHT_CENTER, Type::FarLight, t.ink, &jar).left() - 24.0;
    // All that is missing, also that it is not known yet, as far as there is room.
    let room = right - left;
    let fits = text::size(ui, Type::Far, &told.lacks).x <= room;
    let words = if fits { &told.lacks } else { &told.head };
    text::cut(ui, pos2(left, upper), Align2::LEFT_CENTER, Type::Far, t.ink, room, words);
    let room = rect.right() - 8.0 - left;
    text::cut(ui, pos2(left, lower), Align2::LEFT_CENTER, Type::FarLight, t.ink, room, &told.time);
    if response.clicked() {
        actions.push(Action::Float(None));
        actions.push(Action::OpenSet(held.retake.set));
    }
}

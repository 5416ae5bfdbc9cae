//! The plans to choose from, with what was learned of their views on this computer.

use egui::accesskit::Role;
use egui::{Align2, Id, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};
use record::Plan;

use super::moving::step;
use super::{entered, panel};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::learned::Learned;
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::text;
use crate::window::words::tell;

const LINE_PX: f32 = 56.0;
/// Lines that a Page key goes.
const PAGE_LINES: usize = 8;
/// Height of what was learned of a plan, px.
const LEARNED_PX: f32 = 20.0;

/// Draws the list; `at` is the chosen line.
pub(crate) fn ui(
    ui: &mut Ui,
    plans: &[Plan],
    learned: &Learned,
    at: &mut usize,
    open: Option<&OpenDay>,
    actions: &mut Vec<Action>,
) {
    let known = plans.iter().filter(|plan| learned.words(plan).is_some()).count();
    let height =
        (plans.len() as f32 * LINE_PX + known as f32 * LEARNED_PX + 72.0).min(ui.max_rect().height() - 100.0);
    panel(ui, "plans", vec2(720.0, height), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let middle = rect.top() + 28.0;
        let head = pos2(rect.left() + 24.0, middle);
        text::line(ui, head, Align2::LEFT_CENTER, Type::Section, t.ink, &tell!("plans-head"));
        let close = tell!("close");
        let back_key = Command::Back.key_words(ui);
        let close = Button::new(&close, Weight::Quiet).key(&back_key);
        if close
            .show(ui, Id::unique("close plans"), pos2(rect.right() - 24.0, middle), Align2::RIGHT_CENTER)
            .clicked()
        {
            actions.push(Action::Float(None));
        }
        step(ui, at, plans.len(), PAGE_LINES);
        if entered(ui) {
            actions.push(Action::TakePlan(*at));
        }
        let inner = Rect::from_min_max(rect.min + vec2(12.0, 52.0), rect.max - vec2(12.0, 12.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner));
        ScrollArea::vertical().auto_shrink(false).show(&mut child, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let now = open.map(|o| &o.day.session.plan);
            for (n, plan) in plans.iter().enumerate() {
                let views = plan.required().count();
                let in_use = now == Some(plan);
                let note = if in_use {
                    tell!("plans-in-use", views = views)
                } else {
                    tell!("plans-views", views = views)
                };
                if line(ui, plan, learned.words(plan).as_deref(), n == *at, &note) {
                    actions.push(Action::TakePlan(n));
                }
            }
        });
    });
}

fn line(ui: &mut Ui, plan: &Plan, learned: Option<&str>, chosen: bool, note: &str) -> bool {
    let t = tokens(ui);
    let height = LINE_PX + learned.map_or(0.0, |_| LEARNED_PX);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::CLICK);
    response.widget_info(|| {
        WidgetInfo::selected(Role::RadioButton, true, chosen, tell!("plans-plan", plan = &plan.name))
    });
    if chosen {
        ui.painter().rect_filled(rect, CONTROL_CORNER, t.accent_ground);
        response.scroll_to_me(None);
    }
    let left = rect.left() + 12.0;
    let words =
        text::line(ui, pos2(left, rect.top() + 9.0), Align2::LEFT_TOP, Type::Strong, t.ink, &plan.name);
    text::line(
        ui,
        pos2(words.right() + 12.0, words.center().y),
        Align2::LEFT_CENTER,
        Type::Small,
        t.soft,
        note,
    );
    let names: Vec<&str> = plan.required().map(|v| v.name.as_str()).collect();
    let at = pos2(left, rect.top() + 30.0);
    text::cut(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, rect.width() - 24.0, &names.join(", "));
    if let Some(learned) = learned {
        let at = pos2(left, rect.top() + 50.0);
        text::cut(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, rect.width() - 24.0, learned);
    }
    response.clicked()
}

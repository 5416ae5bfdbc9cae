//! Every file of a filing: from where on the card, to where in the archive, and its size.

use egui::{Align2, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use filing::{FilingPlan, Step};

use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::widgets::text;
use crate::window::words::tell;

const LINE_PX: f32 = 26.0;
const HEAD_PX: f32 = 28.0;

/// Left edges of the columns, and the right edge.
#[derive(Debug, Clone, Copy)]
struct Edges {
    from: f32,
    to: f32,
    size: f32,
    state: f32,
    right: f32,
}

/// Draws the table; only the lines on screen.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, plan: &FilingPlan) {
    let t = tokens(ui);
    let right = rect.right() - 10.0;
    let state = right - 92.0;
    let size = state - 84.0;
    let room = size - rect.left() - 56.0;
    let edges = Edges { from: rect.left() + 52.0, to: rect.left() + 52.0 + room * 0.42, size, state, right };
    let middle = rect.top() + 12.0;
    let mut head = |x: f32, anchor: Align2, words: &str| {
        text::line(ui, pos2(x, middle), anchor, Type::SmallMedium, t.ink, words);
    };
    head(rect.left() + 6.0, Align2::LEFT_CENTER, &tell!("filing-column-frame"));
    head(edges.from, Align2::LEFT_CENTER, &tell!("filing-column-from"));
    head(edges.to, Align2::LEFT_CENTER, &tell!("filing-column-to"));
    head(edges.state - 16.0, Align2::RIGHT_CENTER, &tell!("filing-column-size"));
    let y = rect.top() + HEAD_PX - 0.5;
    ui.painter().hline(rect.left()..=edges.right, y, t.rule_stroke());
    let body = Rect::from_min_max(rect.min + vec2(0.0, HEAD_PX), rect.max);
    let mut child = ui.new_child(UiBuilder::new().max_rect(body).id_salt("filing table"));
    child.spacing_mut().item_spacing.y = 0.0;
    ScrollArea::vertical().auto_shrink(false).show_viewport(&mut child, |ui, seen| {
        ui.set_height(plan.steps.len() as f32 * LINE_PX + 12.0);
        let top = ui.max_rect().top();
        let first = (seen.top() / LINE_PX).floor().max(0.0) as usize;
        let last = ((seen.bottom() / LINE_PX).ceil() as usize).min(plan.steps.len());
        for n in first..last {
            let middle = top + (n as f32 + 0.5) * LINE_PX;
            line(ui, &edges, rect.left() + 6.0, middle, open, &plan.steps[n]);
        }
    });
}

fn line(ui: &mut Ui, edges: &Edges, left: f32, y: f32, open: &OpenDay, step: &Step) {
    let t = tokens(ui);
    let number = open.sheet.number(step.frame).to_string();
    let soft = if step.done_before { t.soft } else { t.ink };
    text::line(ui, pos2(left, y), Align2::LEFT_CENTER, Type::Small, t.soft, &number);
    let room = edges.to - edges.from - 30.0;
    let from = text::cut(ui, pos2(edges.from, y), Align2::LEFT_CENTER, Type::Small, t.soft, room, &step.from);
    let arrow = (from.right() + 8.0).max(edges.to - 22.0);
    text::line(ui, pos2(arrow, y), Align2::LEFT_CENTER, Type::Small, t.soft, "→");
    let room = edges.size - edges.to - 8.0;
    text::cut(ui, pos2(edges.to, y), Align2::LEFT_CENTER, Type::Small, soft, room, &step.to);
    let size = bytes_words(step.bytes);
    text::line(ui, pos2(edges.state - 16.0, y), Align2::RIGHT_CENTER, Type::Small, t.soft, &size);
    let state = if step.done_before { tell!("filing-step-done") } else { tell!("filing-step-to-do") };
    text::line(ui, pos2(edges.state, y), Align2::LEFT_CENTER, Type::Small, t.soft, &state);
}

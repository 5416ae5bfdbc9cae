//! What was read of a card, in three panels: bodies and clocks, faults, what was left out or went away.

use std::collections::BTreeMap;

use egui::{Align2, Rect, ScrollArea, StrokeKind, Ui, UiBuilder, pos2, vec2};

use super::clocks_panel;
use crate::window::action::Action;
use crate::window::clocks::Phrase as Line;
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Draws the panels side by side.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) {
    // Clocks have the most to say, and keys beside.
    let wide = (rect.width() * 0.5).round();
    let width = (rect.width() - wide - 28.0) / 2.0;
    let clocks = Rect::from_min_size(rect.min, vec2(wide, rect.height()));
    clocks_panel::ui(ui, clocks, open, state, actions);
    let panels = [(tell!("card-faults"), faults(open)), (tell!("card-skipped"), skipped(open))];
    for (n, (head, lines)) in panels.iter().enumerate() {
        let left = (clocks.right() + 14.0 + n as f32 * (width + 14.0)).round();
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width, rect.height()));
        panel(ui, place, head, lines);
    }
}

fn panel(ui: &mut Ui, rect: Rect, head: &str, lines: &[Line]) {
    let t = tokens(ui);
    ui.painter().rect(rect, CONTROL_CORNER, t.sheet, t.rule_stroke(), StrokeKind::Inside);
    let at = rect.min + vec2(13.0, 21.0);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Strong, t.ink, head);
    let inner = Rect::from_min_max(rect.min + vec2(13.0, 38.0), rect.max - vec2(6.0, 8.0));
    let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt(head));
    ScrollArea::vertical().id_salt(head).auto_shrink(false).show(&mut child, |ui| {
        let mut flow = Flow::new(ui.cursor().min, ui.available_width() - 8.0);
        for (words, warns) in lines {
            flow.para(ui, Type::Small, if *warns { t.warn } else { t.soft }, words);
            flow.gap(2.0);
        }
        flow.end(ui);
    });
}

fn faults(open: &OpenDay) -> Vec<Line> {
    let faulty = open.day.session.frames.iter().filter(|f| !f.faults.is_empty());
    let mut lines: Vec<Line> = faulty
        .map(|f| (tell!("card-file-says", file = f.file_name(), says = f.faults.join("; ")), true))
        .collect();
    if lines.is_empty() {
        lines.push((tell!("card-no-faults"), false));
    }
    let looks = open.day.session.frames.iter().filter_map(|f| f.looks.as_ref());
    let without_blank = looks.filter(|l| l.without_blank).count();
    if without_blank > 0 {
        lines.push((tell!("card-without-blank", frames = without_blank), false));
    }
    lines
}

/// What went away, and what was left out, alike things counted together.
fn skipped(open: &OpenDay) -> Vec<Line> {
    let gone = open.day.session.frames.iter().filter(|f| open.is_gone(f.id));
    let gone = gone.map(|f| (tell!("card-gone", file = f.file_name()), true));
    let mut reasons: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for skipped in &open.day.skipped {
        reasons.entry(&skipped.reason).or_default().push(&skipped.path);
    }
    let left_out = reasons.into_iter().map(|(reason, paths)| match paths[..] {
        [one] => (tell!("card-file-says", file = one, says = reason), false),
        [first, ..] => (tell!("card-entries", n = paths.len(), first = first, reason = reason), false),
        [] => (reason.to_owned(), false),
    });
    let mut lines: Vec<Line> = gone.chain(left_out).collect();
    let companions = open.day.session.frames.iter().map(|f| f.files.len() - 1).sum::<usize>();
    if companions > 0 {
        lines.push((tell!("card-companions", n = companions), false));
    }
    if lines.is_empty() {
        lines.push((tell!("card-nothing-skipped"), false));
    }
    lines
}

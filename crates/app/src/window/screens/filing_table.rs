//! Every line of a filing: from where, to where, its size and what becomes of it; sorted by any column.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::filing_lines::{Column, Fate, OnePlan, Told};
use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::state::FilingState;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::text;
use crate::window::words::tell;

const LINE_PX: f32 = 26.0;
const HEAD_PX: f32 = 30.0;
/// What is said of the chosen line, below the table.
const FOOT_PX: f32 = 78.0;

/// Left edges of the columns, and the right edge.
#[derive(Debug, Clone, Copy)]
struct Edges {
    frame: f32,
    from: f32,
    to: f32,
    size: f32,
    state: f32,
    right: f32,
}

impl Edges {
    fn of(rect: Rect) -> Self {
        let right = rect.right() - 10.0;
        let state = right - 148.0;
        let size = state - 82.0;
        let from = rect.left() + 72.0;
        Self { frame: rect.left() + 6.0, from, to: from + (size - from) * 0.4, size, state, right }
    }

    /// Where a column begins and ends.
    fn span(&self, column: Column) -> (f32, f32) {
        match column {
            Column::Frame => (self.frame - 6.0, self.from - 8.0),
            Column::From => (self.from - 8.0, self.to - 8.0),
            Column::To => (self.to - 8.0, self.size),
            Column::Size => (self.size, self.state - 8.0),
            Column::State => (self.state - 8.0, self.right),
        }
    }
}

/// Draws the table; only the lines on screen.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    open: &OpenDay,
    one: &OnePlan,
    takes_proposed: bool,
    state: &mut FilingState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let rect = other(ui, rect, open, one, actions);
    let edges = Edges::of(rect);
    for column in Column::ALL {
        head(ui, &edges, rect.top(), column, state, actions);
    }
    let y = rect.top() + HEAD_PX - 0.5;
    ui.painter().hline(rect.left()..=edges.right, y, t.rule_stroke());
    let body = Rect::from_min_max(rect.min + vec2(0.0, HEAD_PX), rect.max - vec2(0.0, FOOT_PX));
    let at = state.at.min(one.lines.len().saturating_sub(1));
    let told = |n| one.lines.told(&one.plan, state.sort, state.reversed, n);
    let mut child = ui.new_child(UiBuilder::new().max_rect(body).id_salt("filing table"));
    child.spacing_mut().item_spacing.y = 0.0;
    let mut area = ScrollArea::vertical().auto_shrink(false);
    state.lines_shown = (body.height() / LINE_PX).floor().max(1.0) as usize;
    if std::mem::take(&mut state.reveal) {
        let (top, bottom) = (at as f32 * LINE_PX, (at + 1) as f32 * LINE_PX);
        area = area.vertical_scroll_offset(state.offset_px.min(top).max(bottom - body.height()).max(0.0));
    }
    let shown = area.show_viewport(&mut child, |ui, seen| {
        ui.set_height(one.lines.len() as f32 * LINE_PX);
        let top = ui.max_rect().top();
        let first = (seen.top() / LINE_PX).floor().max(0.0) as usize;
        let last = ((seen.bottom() / LINE_PX).ceil() as usize).min(one.lines.len());
        for n in first..last {
            let Some(told) = told(n) else { continue };
            let middle = top + (n as f32 + 0.5) * LINE_PX;
            if line(ui, &edges, middle, open, &told, (n, n == at)) {
                actions.push(Action::ChooseLine(n));
            }
        }
    });
    state.offset_px = shown.state.unclamped_offset().y;
    if let Some(told) = told(at) {
        let foot = Rect::from_min_max(pos2(rect.left(), body.bottom()), pos2(edges.right, rect.bottom()));
        about(ui, foot, open, &told, takes_proposed);
    }
}

/// Says of which archive the plan is, where there are two.
fn other(ui: &mut Ui, rect: Rect, open: &OpenDay, one: &OnePlan, actions: &mut Vec<Action>) -> Rect {
    if open.filing.plans().len() < 2 {
        return rect;
    }
    let t = tokens(ui);
    let middle = rect.top() + 14.0;
    let (words, key) = (tell!("filing-other"), Command::OtherPlan.key_words(ui));
    let button = Button::new(&words, Weight::Quiet).key(&key);
    let at = pos2(rect.right() - 10.0, middle);
    if button.show(ui, Id::unique("other plan"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(Command::OtherPlan));
    }
    let words = tell!("filing-into", archive = one.archive.display().to_string());
    let room = rect.width() - button.size(ui).x - 30.0;
    text::cut(
        ui,
        pos2(rect.left() + 6.0, middle),
        Align2::LEFT_CENTER,
        Type::SmallMedium,
        t.ink,
        room,
        &words,
    );
    Rect::from_min_max(rect.min + vec2(0.0, 30.0), rect.max)
}

/// A column's head, which sorts by it.
fn head(
    ui: &mut Ui,
    edges: &Edges,
    top: f32,
    column: Column,
    state: &FilingState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let (left, right) = edges.span(column);
    let rect = Rect::from_min_max(pos2(left, top), pos2(right, top + HEAD_PX - 2.0));
    let response = ui.interact(rect, Id::unique(("filing column", column)), Sense::click());
    let response = response.on_hover_cursor(CursorIcon::PointingHand);
    let words = column.words();
    let sorts = state.sort == column;
    let name = match (sorts, state.reversed) {
        (false, _) => tell!("filing-sort-by", column = &words),
        (true, false) => tell!("filing-sorted", column = &words),
        (true, true) => tell!("filing-sorted-back", column = &words),
    };
    response.widget_info(|| WidgetInfo::selected(Role::ColumnHeader, true, sorts, &name));
    let ink = if sorts || response.hovered() { t.ink } else { t.soft };
    let arrow = match (sorts, state.reversed) {
        (false, _) => "",
        (true, false) => " ↓",
        (true, true) => " ↑",
    };
    let shown = format!("{words}{arrow}");
    let (at, anchor) = if column == Column::Size {
        (pos2(edges.state - 18.0, rect.center().y), Align2::RIGHT_CENTER)
    } else {
        let own = if column == Column::Frame { 6.0 } else { 8.0 };
        (pos2(left + own, rect.center().y), Align2::LEFT_CENTER)
    };
    let galley = text::laid(ui, Type::SmallMedium, ink, &shown, rect.width() - 8.0, 1);
    let place = anchor.anchor_size(at, galley.size());
    ui.painter().galley(place.min.round(), galley, ink);
    if response.has_focus() {
        ui.painter().rect_stroke(
            rect,
            CONTROL_CORNER,
            egui::Stroke::new(2.0, t.accent),
            egui::StrokeKind::Inside,
        );
    }
    if response.clicked() {
        actions.push(Action::SortPlan(column));
    }
}

fn line(
    ui: &mut Ui,
    edges: &Edges,
    y: f32,
    open: &OpenDay,
    told: &Told<'_>,
    (n, chosen): (usize, bool),
) -> bool {
    let t = tokens(ui);
    let fate = told.fate_words();
    let rect =
        Rect::from_min_max(pos2(edges.frame - 6.0, y - LINE_PX / 2.0), pos2(edges.right, y + LINE_PX / 2.0));
    let response = ui.interact(rect, Id::unique(("filing line", n)), Sense::CLICK);
    response.widget_info(|| {
        let name = tell!("filing-line", state = &fate, from = told.from, to = told.to);
        WidgetInfo::selected(Role::Row, true, chosen, &name)
    });
    if chosen {
        ui.painter().rect_filled(rect, CONTROL_CORNER, t.accent_ground);
    }
    let ink = match told.fate {
        Fate::Left => t.warn,
        Fate::ToCopy | Fate::Moves | Fate::SidecarMoves => t.ink,
        _ => t.soft,
    };
    let put = |x: f32, room: f32, ink: egui::Color32, words: &str| {
        let galley = text::laid(ui, Type::Small, ink, words, room, 1);
        let at = Align2::LEFT_CENTER.anchor_size(pos2(x, y), galley.size());
        let right = x + galley.size().x;
        ui.painter().galley(at.min.round(), galley, ink);
        right
    };
    if let Some(frame) = told.frame {
        put(edges.frame, edges.from - edges.frame, t.soft, &open.sheet.number(frame).to_string());
    }
    let from = put(edges.from, edges.to - edges.from - 30.0, t.soft, told.from);
    if !told.to.is_empty() {
        put((from + 8.0).max(edges.to - 22.0), 20.0, t.soft, "→");
        put(edges.to, edges.size - edges.to - 8.0, ink, told.to);
    }
    put(edges.state, edges.right - edges.state - 4.0, ink, &fate);
    if let Some(bytes) = told.bytes {
        let galley = text::laid(ui, Type::Small, t.soft, &bytes_words(bytes), f32::INFINITY, 1);
        let at = Align2::RIGHT_CENTER.anchor_size(pos2(edges.state - 18.0, y), galley.size());
        ui.painter().galley(at.min.round(), galley, t.soft);
    }
    response.clicked()
}

/// The chosen line in full, and why.
fn about(ui: &mut Ui, foot: Rect, open: &OpenDay, told: &Told<'_>, takes_proposed: bool) {
    let t = tokens(ui);
    ui.painter().hline(foot.x_range(), foot.top() + 0.5, t.rule_stroke());
    let at = |nth: f32| pos2(foot.left() + 6.0, foot.top() + 16.0 + nth * 21.0);
    let room = foot.width() - 12.0;
    if !told.from.is_empty() {
        text::cut(ui, at(0.0), Align2::LEFT_CENTER, Type::Small, t.soft, room, told.from);
    }
    if !told.to.is_empty() {
        let to = tell!("filing-to", to = told.to);
        text::cut(ui, at(1.0), Align2::LEFT_CENTER, Type::Small, t.ink, room, &to);
    }
    let (fate, why) = (told.fate_words(), told.reason_words(&open.day.session, takes_proposed));
    let why = tell!("filing-why", state = fate, why = why);
    text::cut(ui, at(2.0), Align2::LEFT_CENTER, Type::Small, t.soft, room, &why);
}

//! The retake list over the whole window, to be read and worked at arm's length: letters of at least 32 px, full ink on the
//! ground, targets of at least 44 px.
//!
//! One line is chosen, and marked by shape. Keys mean its animal; the two buttons of a line mean that line's.

use egui::accesskit::Role;
use egui::style::ScrollAnimation;
use egui::{
    Align2, Color32, CursorIcon, Frame, Id, Modal, Pos2, Rect, ScrollArea, Sense, Shape, Stroke, StrokeKind,
    Ui, UiBuilder, Vec2, WidgetInfo, pos2, vec2,
};
use record::Way;

use super::entered;
use super::moving::step;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::enabled::enabled;
use crate::window::far_list::FarList;
use crate::window::held_words::told;
use crate::window::look::{CONTROL_CORNER, FAR_BUTTON_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::watch_line;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::text;
use crate::window::words::tell;

/// Between the window's edge and the list, px.
const EDGE_PX: f32 = 24.0;
/// Height of the first line of the head, and of the foot, px.
const HEAD_PX: f32 = 80.0;
const FOOT_PX: f32 = 68.0;
/// Rows that the watch line takes at most.
const WATCH_ROWS: usize = 3;
/// Above and below what stands in a line, px.
const PAD_PX: f32 = 8.0;
/// Height of a line at least: its two buttons, one over the other, px.
const LINE_PX: f32 = 2.0 * FAR_BUTTON_PX + 3.0 * PAD_PX;
/// Before what leads a line: room for the mark of the chosen one, px.
const MARK_PX: f32 = 30.0;
/// Between the columns of a line, px.
const GAP_PX: f32 = 22.0;
/// The share of the list that what leads the lines takes at most.
const LEAD_MOST: f32 = 0.3;

/// Draws the list over everything, and keeps the keyboard in it.
pub(crate) fn ui(
    ui: &mut Ui,
    list: &mut FarList,
    open: Option<&OpenDay>,
    state: &UiState,
    actions: &mut Vec<Action>,
) {
    let Some(open) = open else { return };
    list.settle(open);
    let whole = ui.ctx().content_rect();
    let id = Id::unique("retakes");
    let area = Modal::default_area(id).anchor(Align2::LEFT_TOP, Vec2::ZERO).fade_in(false);
    let frame = Frame::NONE.fill(tokens(ui).ground);
    let modal = Modal::new(id).area(area).frame(frame).backdrop_color(Color32::TRANSPARENT);
    modal.show(ui.ctx(), |ui| {
        ui.set_min_size(whole.size());
        ui.set_max_size(whole.size());
        let top = head(ui, whole, open, state, list.reveal && open.held.is_empty(), actions);
        let foot_top = whole.bottom() - FOOT_PX;
        let inner =
            Rect::from_min_max(pos2(whole.left() + EDGE_PX, top), pos2(whole.right() - EDGE_PX, foot_top));
        let seen = (inner.height() / LINE_PX).max(1.0) as usize;
        let mut at = list.at;
        if step(ui, &mut at, open.held.len(), seen) {
            list.choose(open, at);
            list.reveal = true;
        }
        if let Some(set) = list.set(open).filter(|_| entered(ui)) {
            opens(set, actions);
        }
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner));
        ScrollArea::vertical().id_salt("retakes").auto_shrink(false).show(&mut child, |ui| {
            ui.spacing_mut().item_spacing.y = 0.0;
            let columns = columns(ui, open);
            for n in 0..open.held.len() {
                line(ui, list, open, n, columns, actions);
            }
        });
        list.reveal = false;
        foot(
            ui,
            Rect::from_min_max(pos2(inner.left(), foot_top), pos2(inner.right(), whole.bottom())),
            open,
            state,
            actions,
        );
    });
}

/// How many there are, the way out, and how watching stands; gives where the list begins.
fn head(
    ui: &mut Ui,
    whole: Rect,
    open: &OpenDay,
    state: &UiState,
    focus: bool,
    actions: &mut Vec<Action>,
) -> f32 {
    let t = tokens(ui);
    let middle = whole.top() + HEAD_PX / 2.0;
    let n = open.held.len();
    let words = if n == 0 { tell!("retakes-none") } else { tell!("retakes-count", n = n) };
    text::line(ui, pos2(whole.left() + EDGE_PX, middle), Align2::LEFT_CENTER, Type::Far, t.ink, &words);
    let (words, name) = (tell!("close"), tell!("retakes-close"));
    let key = Command::Back.key_words(ui);
    let close = Button::new(&words, Weight::Far).key(&key).name(&name);
    let at = pos2(whole.right() - EDGE_PX, middle);
    let close = close.show(ui, Id::unique("close retakes"), at, Align2::RIGHT_CENTER);
    if focus {
        close.request_focus();
    }
    if close.clicked() {
        actions.push(Action::Float(None));
    }
    let top = whole.top() + HEAD_PX;
    let Some(watch) = &state.watch else { return top };
    let at = pos2(whole.left() + EDGE_PX, top - PAD_PX);
    let words = watch_line::words(watch, Some(open));
    let width = whole.width() - 2.0 * EDGE_PX;
    text::rows(ui, at, width, WATCH_ROWS, Type::FarLight, t.ink, &words).bottom() + PAD_PX
}

/// What undo would take back, and the keys that mean the chosen animal.
fn foot(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let middle = rect.center().y;
    let key = |command: Command, does: String| {
        let key = command.key_words(ui);
        (!key.is_empty()).then(|| tell!("retakes-key", key = key, does = does.to_lowercase()))
    };
    let keys = [key(Command::Released, tell!("retakes-released")), key(Command::Flew, tell!("retakes-flew"))];
    let keys = keys.into_iter().flatten().filter(|_| !open.held.is_empty()).collect::<Vec<_>>().join(", ");
    let mut left = rect.left();
    if let Some(what) =
        open.history.undo_words().filter(|_| enabled(Command::Undo, Some(open), state).is_ok())
    {
        let key = Command::Undo.key_words(ui);
        let words = tell!("tool-undo-what", what = what);
        let room = rect.width() - text::size(ui, Type::FarLight, &keys).x - GAP_PX;
        let button = Button::new(&words, Weight::Far).key(&key).name(&words).within(room);
        if button.show(ui, Id::unique("undo in retakes"), pos2(left, middle), Align2::LEFT_CENTER).clicked() {
            actions.push(Action::Run(Command::Undo));
        }
        left += button.size(ui).x + GAP_PX;
    }
    // What was refused is said here too: the line that says it lies beneath.
    let refused = state.notice.as_ref().filter(|notice| notice.grave).map(|notice| notice.words.as_str());
    let (at, room) = (pos2(rect.right(), middle), rect.right() - left);
    text::cut(ui, at, Align2::RIGHT_CENTER, Type::FarLight, t.ink, room, refused.unwrap_or(&keys));
}

/// Opens the specimen of a set.
fn opens(set: usize, actions: &mut Vec<Action>) {
    actions.push(Action::Float(None));
    actions.push(Action::OpenSet(set));
}

/// What leads a line: the jar, which is what the person holds, and the number beneath; without a jar the number.
fn lead(open: &OpenDay, n: usize) -> [String; 2] {
    let retake = &open.held[n].retake;
    let jar = open.jar_words(retake.set);
    if jar.is_empty() {
        [retake.number.to_string(), String::new()]
    } else {
        [jar, tell!("retakes-specimen", number = retake.number)]
    }
}

/// Widths of the columns before and after what is said of an animal.
fn columns(ui: &Ui, open: &OpenDay) -> [f32; 2] {
    let width = |n: usize| {
        let [first, second] = lead(open, n);
        text::size(ui, Type::Far, &first).x.max(text::size(ui, Type::FarLight, &second).x)
    };
    let widest = (0..open.held.len()).map(width).fold(0.0, f32::max);
    let button = |words: &str| Button::new(words, Weight::Far).size(ui).x;
    let buttons = button(&tell!("retakes-released")).max(button(&tell!("retakes-flew")));
    // A little more, so that no rounding breaks it into two rows.
    [(widest + 2.0).ceil().min(LEAD_MOST * ui.available_width()), buttons]
}

/// Draws the line of an animal, as high as its words need.
fn line(
    ui: &mut Ui,
    list: &mut FarList,
    open: &OpenDay,
    n: usize,
    [lead_px, buttons_px]: [f32; 2],
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let held = &open.held[n];
    let set = held.retake.set;
    let jar = open.jar_words(set);
    let told = told(held, &open.day.session.plan, &jar);
    let width = ui.available_width();
    let room = width - MARK_PX - lead_px - buttons_px - 3.0 * GAP_PX;
    let fits = |ui: &Ui, kind: Type, words: &str| text::size(ui, kind, words).x <= room;
    // All that is missing, also that it is not known yet, as far as there is room.
    let lacks = if fits(ui, Type::Far, &told.lacks) { told.lacks.clone() } else { told.head };
    let time = if fits(ui, Type::FarLight, &told.time) { told.time } else { told.time.replace(", ", "\n") };
    let [first, second] = lead(open, n);
    let height = |px: f32, kind: Type, words: &str| {
        if words.is_empty() { 0.0 } else { text::laid(ui, kind, t.ink, words, px, usize::MAX).size().y }
    };
    let [first_px, lacks_px] = [height(lead_px, Type::Far, &first), height(room, Type::Far, &lacks)];
    let words_px = (first_px + height(lead_px, Type::FarLight, &second))
        .max(lacks_px + height(room, Type::FarLight, &time));
    let place = vec2(width, (words_px + 2.0 * PAD_PX).max(LINE_PX).ceil());
    let (rect, _) = ui.allocate_exact_size(place, Sense::hover());
    let chosen = n == list.at;
    if chosen && list.reveal {
        ui.scroll_to_rect_animation(rect, None, ScrollAnimation::none());
    }
    if !chosen && !ui.is_rect_visible(rect) {
        return;
    }
    let id = Id::unique(("far retake", open.first_frame(set)));
    let response = ui.interact(rect, id, Sense::click()).on_hover_cursor(CursorIcon::PointingHand);
    let number = held.retake.number;
    let name = if jar.is_empty() {
        told.name
    } else {
        tell!("retakes-name-jar", number = number, jar = jar, lacks = told.lacks)
    };
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &name));
    if chosen && list.reveal {
        response.request_focus();
    }
    ui.painter().hline(rect.x_range(), rect.top() + 0.5, t.rule_stroke());
    if response.hovered() {
        ui.painter().rect_filled(rect.shrink(1.0), CONTROL_CORNER, t.accent_ground);
    }
    if chosen {
        mark(ui, rect);
    }
    let top = rect.top() + PAD_PX;
    let left = rect.left() + MARK_PX;
    text::para(ui, pos2(left, top), lead_px, Type::Far, t.ink, &first);
    if !second.is_empty() {
        text::para(ui, pos2(left, top + first_px), lead_px, Type::FarLight, t.ink, &second);
    }
    let left = left + lead_px + GAP_PX;
    text::para(ui, pos2(left, top), room, Type::Far, t.ink, &lacks);
    text::para(ui, pos2(left, top + lacks_px), room, Type::FarLight, t.ink, &time);
    let mut came = response.gained_focus();
    let ways = [
        (Way::Released, tell!("retakes-released"), tell!("retakes-released-name", number = number)),
        (Way::Flew, tell!("retakes-flew"), tell!("retakes-flew-name", number = number)),
    ];
    let mut at = pos2(rect.right() - GAP_PX / 2.0 - buttons_px, top);
    for (way, words, name) in ways {
        let button = Button::new(&words, Weight::Far).name(&name).at_least(buttons_px);
        let response = button.show(ui, id.with(&words), at, Align2::LEFT_TOP);
        came |= response.gained_focus();
        if response.clicked() {
            actions.push(Action::NoteLeft { set, way });
        }
        at.y += FAR_BUTTON_PX + PAD_PX;
    }
    if response.clicked() {
        opens(set, actions);
    }
    // What the keyboard went to by Tab is what its keys mean.
    if came && !chosen {
        list.choose(open, n);
        ui.scroll_to_rect_animation(rect, None, ScrollAnimation::none());
        ui.ctx().request_repaint();
    }
}

/// Marks the chosen line by shape: an outline, and a wedge before it.
fn mark(ui: &Ui, rect: Rect) {
    let t = tokens(ui);
    let stroke = Stroke::new(3.0, t.ink);
    ui.painter().rect_stroke(rect.shrink(1.0), CONTROL_CORNER, stroke, StrokeKind::Inside);
    let tip = pos2(rect.left() + 22.0, rect.center().y);
    let wedge: Vec<Pos2> = vec![tip, tip + vec2(-13.0, -14.0), tip + vec2(-13.0, 14.0)];
    ui.painter().add(Shape::convex_polygon(wedge, t.ink, Stroke::NONE));
}

//! The exchange step: what can be made of what is filed, and all that is chosen for it.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Key, Rect, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, pos2, vec2};

use super::{exchange_form, exchange_side, side};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::exchange_state::{Document, ExchangeField, ExchangeState};
use crate::window::look::{CONTROL_CORNER, MARGIN_PX, Type, side_px, tokens};
use crate::window::open_day::OpenDay;
use crate::window::settings::Settings;
use crate::window::state::FolderFor;
use crate::window::widgets::control::{Button, Weight, field, keycap};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Width of the list of documents, px.
const LIST_PX: f32 = 232.0;
/// Height of a line of it, px.
const ROW_PX: f32 = 64.0;
/// Room for the name of a field, px.
pub(super) const NAME_PX: f32 = 124.0;

/// What the step draws from.
pub(crate) struct Page<'a> {
    /// The day.
    pub(crate) open: &'a OpenDay,
    /// What is remembered from one day to the next.
    pub(crate) known: &'a Settings,
    /// Whether the archive is being looked at.
    pub(crate) surveys: bool,
    /// What is missing before the document can be made.
    pub(crate) missing: Option<String>,
    /// How many specimens are chosen on the day sheet.
    pub(crate) chosen: usize,
    /// The day, as `2026-11-25`.
    pub(crate) today: String,
}

/// Draws the step.
pub(crate) fn ui(
    ui: &mut Ui,
    room: Rect,
    page: &Page<'_>,
    step: &mut ExchangeState,
    actions: &mut Vec<Action>,
) {
    let side_left = room.right() - side_px(room.width());
    let list_right = room.left() + MARGIN_PX + LIST_PX;
    let list = Rect::from_min_max(pos2(room.left() + MARGIN_PX, room.top()), pos2(list_right, room.bottom()));
    documents(ui, list, step, actions);
    let form = Rect::from_min_max(pos2(list_right + 24.0, room.top()), pos2(side_left - 12.0, room.bottom()));
    let mut child = ui.new_child(UiBuilder::new().max_rect(form).id_salt("exchange form"));
    child.shrink_clip_rect(form.expand2(vec2(4.0, 0.0)));
    ScrollArea::vertical().id_salt("exchange form").auto_shrink(false).show(&mut child, |ui| {
        let mut flow = Flow::new(ui.cursor().min + vec2(0.0, 4.0), form.width() - 20.0);
        whole_form(ui, &mut flow, page, step, actions);
        flow.gap(16.0);
        flow.end(ui);
    });
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    side::panel(ui, side, "exchange", |ui, flow| exchange_side::ui(ui, flow, page, step, actions));
}

/// The list of what can be made.
fn documents(ui: &mut Ui, rect: Rect, step: &ExchangeState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    for (nth, document) in Document::ALL.into_iter().enumerate() {
        let top = rect.top() + 4.0 + nth as f32 * ROW_PX;
        let place = Rect::from_min_size(pos2(rect.left() - 6.0, top), vec2(rect.width() + 6.0, ROW_PX - 6.0));
        let is_chosen = step.document == document;
        let (words, what) = document.words();
        let response = ui.interact(place, Id::unique(("document", document)), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_chosen, &words));
        if is_chosen || response.hovered() || response.has_focus() {
            ui.painter().rect_filled(place, CONTROL_CORNER, t.accent_ground);
        }
        if is_chosen {
            let bar = Rect::from_min_size(place.min + vec2(0.0, 4.0), vec2(4.0, place.height() - 8.0));
            ui.painter().rect_filled(bar, 2.0, t.accent);
        }
        let left = place.left() + 14.0;
        let kind = if is_chosen { Type::Strong } else { Type::Medium };
        text::cut(ui, pos2(left, top + 8.0), Align2::LEFT_TOP, kind, t.ink, place.right() - left, &words);
        let at = pos2(left, top + 30.0);
        text::cut(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, place.right() - left - 6.0, &what);
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
            actions.push(Action::ChooseDocument(document));
        }
    }
}

fn whole_form(
    ui: &mut Ui,
    flow: &mut Flow,
    page: &Page<'_>,
    step: &mut ExchangeState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let (words, _) = step.document.words();
    flow.head(ui, &words, "");
    flow.gap(8.0);
    if step.document.is_private() {
        flow.para(ui, Type::SmallMedium, t.warn, &tell!("exchange-private"));
        flow.gap(8.0);
    }
    let archive = Line {
        name: tell!("exchange-archive"),
        hint: tell!("exchange-archive-hint"),
        which: ExchangeField::Archive,
        edit: Command::EditArchive,
        choose: Command::ChooseArchive,
        wanted: FolderFor::Exchange,
    };
    if path(ui, flow, &archive, &mut step.archive, &mut step.focus, actions) {
        actions.push(Action::Survey);
    }
    flow.gap(6.0);
    exchange_form::choices(ui, flow, page, step, actions);
    if !step.document.is_private() {
        exchange_form::audience(ui, flow, page, step, actions);
    }
    let ending = step.document.ending(step);
    let target = Line {
        name: tell!("exchange-to"),
        hint: if ending.is_empty() {
            tell!("exchange-to-folder")
        } else {
            tell!("exchange-to-file", ending = ending)
        },
        which: ExchangeField::To,
        edit: Command::EditTarget,
        choose: Command::ChooseTarget,
        wanted: FolderFor::Target,
    };
    path(ui, flow, &target, &mut step.to, &mut step.focus, actions);
    flow.gap(14.0);
    let (make, key) = (tell!("exchange-make"), Command::MakeDocument.key_words(ui));
    let button = Button::new(&make, Weight::Main).key(&key).enabled(page.missing.is_none());
    if button.show(ui, Id::unique("make document"), flow.at(), Align2::LEFT_TOP).clicked() {
        actions.push(Action::Run(Command::MakeDocument));
    }
    let beside = pos2(flow.left + button.size(ui).x + 14.0, flow.y + button.size(ui).y / 2.0);
    if let Some(missing) = &page.missing {
        let room = flow.right() - beside.x;
        text::cut(ui, beside, Align2::LEFT_CENTER, Type::Small, t.warn, room, missing);
    }
    flow.gap(button.size(ui).y + 12.0);
    flow.para(ui, Type::Small, t.soft, &tell!("exchange-whole"));
}

/// A path to be typed or chosen.
struct Line {
    name: String,
    hint: String,
    which: ExchangeField,
    edit: Command,
    choose: Command,
    wanted: FolderFor,
}

/// Draws the field of a path with its keys; whether what is typed is done.
fn path(
    ui: &mut Ui,
    flow: &mut Flow,
    line: &Line,
    typed: &mut String,
    focus: &mut Option<ExchangeField>,
    actions: &mut Vec<Action>,
) -> bool {
    let t = tokens(ui);
    let (words, key) = (tell!("choose"), line.choose.key_words(ui));
    let name = tell!("exchange-choose-name", name = &line.name);
    let button = Button::new(&words, Weight::Plain).key(&key).name(&name);
    let top = flow.y;
    let mut place = flow.named(ui, &line.name, NAME_PX);
    let middle = place.center().y;
    let edit = line.edit.key_words(ui);
    let width = keycap(ui, pos2(place.left(), middle), t.soft, egui::Color32::TRANSPARENT, &edit);
    place.min.x += width + 10.0;
    place.max.x -= button.size(ui).x + 10.0;
    let id = Id::unique(("exchange field", line.which));
    let response = field(ui, place, id, typed, &line.hint, &line.name);
    if focus.take_if(|f| *f == line.which).is_some() {
        response.request_focus();
    }
    let at = pos2(flow.right(), middle);
    if button.show(ui, id.with("choose"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::AskFolder(line.wanted));
    }
    flow.y = top + place.height() + 6.0;
    response.lost_focus() || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter)))
}

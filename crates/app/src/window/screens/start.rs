//! The page before a card is open: how to open one, with which plan, and what to mind.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Key, Rect, Sense, Ui, WidgetInfo, pos2, vec2};
use record::Plan;

use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::day_words::stand_words;
use crate::window::demo::Demo;
use crate::window::look::{CONTROL_CORNER, MARGIN_PX, Type, tokens};
use crate::window::settings::Recent;
use crate::window::sheet::date_words;
use crate::window::state::{FolderFor, StartState};
use crate::window::widgets::control::{Button, Weight, field};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{mark, text};
use crate::window::words::tell;

/// Height of the line of a day opened before, px.
const RECENT_PX: f32 = 28.0;

/// Most width of such a line, px: more than the rest of the page has, as all that is open and a path stand in it.
const RECENT_MOST_PX: f32 = 860.0;

/// Height of the head of those lines and of the demo sessions, px.
const BELOW_RECENT_PX: f32 = 118.0;

/// What the page shows.
#[derive(Debug)]
pub(crate) struct Page<'a> {
    /// Plans to choose from.
    pub(crate) plans: &'a [Plan],
    /// Demo sessions found.
    pub(crate) demos: &'a [Demo],
    /// The days opened last.
    pub(crate) recent: &'a [Recent],
    /// The plan to begin with.
    pub(crate) chosen_plan: usize,
    /// Whether a card is open to go back to.
    pub(crate) goes_back: bool,
}

/// Draws the page.
pub(crate) fn ui(
    ui: &mut Ui,
    room: Rect,
    page: &Page<'_>,
    state: &mut StartState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let width = 620.0;
    let care = care_place(ui, room);
    let share = if page.recent.is_empty() { 0.1 } else { 0.04 };
    let top = room.top() + (room.height() * share).clamp(20.0, 110.0);
    let mut flow = Flow::new(pos2((room.center().x - width / 2.0).round(), top.round()), width);
    if page.goes_back {
        let back = tell!("start-back");
        let back_key = Command::Back.key_words(ui);
        let back = Button::new(&back, Weight::Quiet).key(&back_key);
        if back
            .show(ui, Id::unique("back to card"), pos2(flow.right(), flow.y + 12.0), Align2::RIGHT_CENTER)
            .clicked()
        {
            actions.push(Action::Run(Command::Back));
        }
    }
    flow.para(ui, Type::Number, t.ink, &tell!("start-head"));
    flow.gap(6.0);
    flow.para(ui, Type::Body, t.soft, &tell!("start-what"));
    flow.gap(20.0);
    drop_zone(ui, &mut flow, actions);
    flow.gap(20.0);
    typed_path(ui, &mut flow, state, actions);
    flow.gap(24.0);
    plan(ui, &mut flow, page, actions);
    if !page.recent.is_empty() {
        flow.gap(20.0);
        // As many as leave room for what comes below them.
        let fit = ((care.top() - flow.y - BELOW_RECENT_PX) / RECENT_PX).max(1.0) as usize;
        let width = (room.right() - MARGIN_PX - flow.left).min(RECENT_MOST_PX);
        recent(ui, &mut flow, width, &page.recent[..fit.min(page.recent.len())], actions);
    }
    if !page.demos.is_empty() {
        flow.gap(20.0);
        demos(ui, &mut flow, page.demos, actions);
    }
    care_words(ui, care);
}

/// The place to drop a folder on, with the button that asks for one.
fn drop_zone(ui: &mut Ui, flow: &mut Flow, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let rect = Rect::from_min_size(flow.at(), vec2(flow.width, 112.0));
    let hovers = ui.input(|i| !i.raw.hovered_files.is_empty());
    let ground = if hovers { t.accent_ground } else { t.sheet };
    ui.painter().rect_filled(rect, CONTROL_CORNER, ground);
    let ink = if hovers { t.accent } else { t.edge };
    mark::dashed(ui, rect, egui::Stroke::new(1.5, ink));
    mark::leaf(ui, pos2(rect.left() + 32.0, rect.center().y - 11.0), t.soft);
    let at = pos2(rect.left() + 72.0, rect.center().y - 10.0);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Medium, t.ink, &tell!("start-drop"));
    let at = pos2(rect.left() + 72.0, rect.center().y + 11.0);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.soft, &tell!("start-drop-any"));
    let key = Command::ChooseFolder.key_words(ui);
    let (words, name) = (tell!("choose"), tell!("start-choose-name"));
    let choose = Button::new(&words, Weight::Plain).key(&key).name(&name);
    let at = pos2(rect.right() - 20.0, rect.center().y);
    if choose.show(ui, Id::unique("choose folder"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::AskFolder(FolderFor::Card));
    }
    flow.y = rect.bottom();
}

fn typed_path(ui: &mut Ui, flow: &mut Flow, state: &mut StartState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.para(ui, Type::SmallMedium, t.soft, &tell!("start-type-path"));
    flow.gap(6.0);
    let id = Id::unique("card path");
    let is_typed = !state.path.trim().is_empty();
    let key = Command::WatchTyped.key_words(ui);
    let (read, watch, watch_name) = (tell!("start-read"), tell!("start-watch"), tell!("start-watch-name"));
    let read = Button::new(&read, Weight::Main).key("Enter").enabled(is_typed);
    let watch = Button::new(&watch, Weight::Plain).key(&key).enabled(is_typed).name(&watch_name);
    let button_width = read.size(ui).x + 8.0 + watch.size(ui).x;
    let rect = Rect::from_min_size(flow.at(), vec2(flow.width - button_width - 12.0, 32.0));
    let (hint, name) = (tell!("start-path-hint"), tell!("start-path-name"));
    let response = field(ui, rect, id, &mut state.path, &hint, &name);
    if std::mem::take(&mut state.focus) {
        response.request_focus();
    }
    let entered = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    let at = pos2(flow.right(), rect.center().y);
    let clicked = read.show(ui, Id::unique("read path"), at, Align2::RIGHT_CENTER).clicked();
    if (entered || clicked) && !state.path.trim().is_empty() {
        actions.push(Action::Open(state.path.trim().into()));
    }
    let at = pos2(flow.right() - read.size(ui).x - 8.0, rect.center().y);
    if watch.show(ui, Id::unique("watch path"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Watch(state.path.trim().into()));
    }
    flow.y = rect.bottom() + 6.0;
    flow.para(ui, Type::Small, t.soft, &tell!("start-watch-what"));
}

fn plan(ui: &mut Ui, flow: &mut Flow, page: &Page<'_>, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let Some(plan) = page.plans.get(page.chosen_plan) else { return };
    let words = flow.para(ui, Type::SmallMedium, t.soft, &tell!("start-plan"));
    flow.gap(6.0);
    let key = Command::ChoosePlan.key_words(ui);
    let label = tell!("start-plan-choose", plan = &plan.name);
    let name = tell!("start-plan-name", plan = &plan.name);
    let button = Button::new(&label, Weight::Plain).key(&key).name(&name);
    let at = pos2(words.left(), flow.y);
    if button.show(ui, Id::unique("start plan"), at, Align2::LEFT_TOP).clicked() {
        actions.push(Action::Run(Command::ChoosePlan));
    }
    let names: Vec<String> = plan.required().map(|v| v.name.to_lowercase()).collect();
    let left = flow.left + button.size(ui).x + 14.0;
    let words = tell!("start-views", n = names.len(), names = names.join(", "));
    let middle = pos2(left, flow.y + 14.0);
    text::cut(ui, middle, Align2::LEFT_CENTER, Type::Small, t.soft, flow.right() - left, &words);
    flow.gap(28.0);
}

/// The days opened last, a line each up to this wide: name and date, how it stands, where its card was.
fn recent(ui: &mut Ui, flow: &mut Flow, width: f32, days: &[Recent], actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.para(ui, Type::SmallMedium, t.soft, &tell!("start-recent"));
    flow.gap(2.0);
    for day in days {
        let place = Rect::from_min_size(flow.at(), vec2(width, RECENT_PX));
        let response = ui
            .interact(place, Id::unique(("recent", &day.card, &day.key)), Sense::click())
            .on_hover_cursor(CursorIcon::PointingHand);
        let head = match day.date.as_str() {
            "" => day.name.clone(),
            date => tell!("session-name-date", name = &day.name, date = date_words(date)),
        };
        let head = if day.place.is_empty() {
            head
        } else {
            tell!("start-recent-place", day = head, place = &day.place)
        };
        let stand = stand_words(day);
        let name = tell!("start-recent-name", day = &head, stand = &stand);
        response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &name));
        if response.hovered() || response.has_focus() {
            ui.painter().rect_filled(place, CONTROL_CORNER, t.accent_ground);
        }
        let middle = place.left_center() + vec2(8.0, 0.0);
        let end = text::cut(ui, middle, Align2::LEFT_CENTER, Type::Body, t.ink, 240.0, &head).right() + 12.0;
        let end =
            text::line(ui, pos2(end, middle.y), Align2::LEFT_CENTER, Type::Small, t.soft, &stand).right();
        let room = place.right() - 8.0 - end - 16.0;
        let card = day.card.display().to_string();
        if room > 60.0 {
            let right = pos2(place.right() - 8.0, middle.y);
            text::cut_front(ui, right, Align2::RIGHT_CENTER, Type::Small, t.soft, room, &card);
        }
        if response.clicked() {
            actions.push(Action::OpenAgain(day.card.clone(), day.key.clone()));
        }
        flow.y = place.bottom();
    }
}

fn demos(ui: &mut Ui, flow: &mut Flow, demos: &[Demo], actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.para(ui, Type::SmallMedium, t.soft, &tell!("start-demos"));
    flow.gap(6.0);
    let mut left = flow.left;
    for demo in demos {
        let name = tell!("start-demo-name", demo = &demo.name);
        let button = Button::new(&demo.name, Weight::Plain).name(&name);
        if button.show(ui, Id::unique(("demo", &demo.name)), pos2(left, flow.y), Align2::LEFT_TOP).clicked() {
            actions.push(Action::OpenDemo(demo.clone()));
        }
        left += button.size(ui).x + 8.0;
    }
    flow.gap(28.0);
}

/// The first cautions in a row.
fn care() -> String {
    cautions().handling.iter().map(|c| c.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// Where they stand: along the lower edge.
fn care_place(ui: &Ui, room: Rect) -> Rect {
    let width = (room.width() - 2.0 * MARGIN_PX).min(980.0);
    let height = text::laid(ui, Type::Small, tokens(ui).soft, &care(), width - 28.0, 6).size().y + 20.0;
    let left = (room.center().x - width / 2.0).round();
    Rect::from_min_size(pos2(left, room.bottom() - MARGIN_PX - height), vec2(width, height))
}

fn care_words(ui: &mut Ui, place: Rect) {
    let t = tokens(ui);
    ui.painter().rect_filled(place, CONTROL_CORNER, t.well);
    text::para(ui, place.min + vec2(14.0, 10.0), place.width() - 28.0, Type::Small, t.soft, &care());
}

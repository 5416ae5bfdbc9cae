//! The record beside the picture: jar and note, what is missing, what the view should show, the evidence for the frame,
//! and a caution.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Key, Rect, Response, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::form::{self, Form};
use super::{Tools, characters_page, measures_page, names_page, side, strip};
use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::clocks::time_words;
use crate::window::command::Command;
use crate::window::evidence;
use crate::window::key_map::KeyMap;
use crate::window::look::{BUTTON_PX, FIELD_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::side_page::SidePage;
use crate::window::state::{Field, Typing, UiState};
use crate::window::typed::Owner;
use crate::window::widgets::control::{Button, Weight, area, field};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{queries, text};
use crate::window::words::tell;

/// Height of the names of the pages, px.
const PAGES_PX: f32 = 36.0;
/// Where they begin, px.
const PAGES_LEFT_PX: f32 = 14.0;
/// Space between two of them, at least where they stand in one line and at most, px.
const PAGE_GAPS_PX: [f32; 2] = [6.0, 18.0];

/// Draws the open page about the opened specimen.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let below = pages(ui, rect, state.specimen.page, tools.actions);
    let rect = Rect::from_min_max(pos2(rect.left(), below), rect.max);
    match state.specimen.page {
        SidePage::Views => {}
        SidePage::Record => return fields(ui, rect, open, state, tools),
        SidePage::Names => return names_page::ui(ui, rect, open, state, tools),
        SidePage::Measures => return measures_page::ui(ui, rect, open, state, tools.actions),
        SidePage::Characters => return characters_page::ui(ui, rect, open, state, tools.actions),
    }
    let actions = &mut *tools.actions;
    side::panel(ui, rect, "record", |ui, flow| {
        record(ui, flow, open, state, actions);
        views(ui, flow, open, state, actions);
        time(ui, flow, open, state);
        faults(ui, flow, open, state);
        reasons(ui, flow, open, state, actions);
        hint(ui, flow, open, state);
        let short = open.sheet.rows.get(state.set).is_some_and(|r| r.coverage.short > 0);
        let cautions = &cautions().handling;
        let words = if short { cautions.last() } else { cautions.first() };
        if let Some(caution) = words {
            queries::caution(ui, flow, rect.bottom() - 16.0, &caution.text);
        }
    });
}

/// The names of the pages, the open one marked; gives where the page begins.
fn pages(ui: &mut Ui, rect: Rect, open: SidePage, actions: &mut Vec<Action>) -> f32 {
    let t = tokens(ui);
    let places = page_places(ui, rect);
    let bottom = places.last().map_or(rect.top(), Rect::bottom);
    let strip = Rect::from_min_max(rect.min, pos2(rect.right(), bottom));
    ui.painter().rect_filled(strip, 0.0, t.sheet);
    ui.painter().vline(rect.left() + 0.5, strip.y_range(), t.rule_stroke());
    for (page, place) in SidePage::ALL.into_iter().zip(places) {
        let (words, key) = (page.words(), page.command().key_words(ui));
        let kind = if page == open { Type::SmallMedium } else { Type::Small };
        let response =
            ui.interact(place.expand2(vec2(6.0, 0.0)), Id::unique(("page", page.command())), Sense::click());
        response.widget_info(|| WidgetInfo::selected(Role::Tab, true, page == open, &words));
        let response = response.on_hover_cursor(CursorIcon::PointingHand).on_hover_text(key);
        let ink = if page == open || response.hovered() { t.ink } else { t.soft };
        text::line(ui, place.left_center(), Align2::LEFT_CENTER, kind, ink, &words);
        if page == open || response.has_focus() {
            let stroke = Stroke::new(2.0, t.accent);
            ui.painter().hline(place.x_range(), place.bottom() - 5.0, stroke);
        }
        if response.clicked() {
            actions.push(Action::OpenPage(page));
        }
    }
    ui.painter().hline(rect.x_range(), strip.bottom() - 0.5, t.rule_stroke());
    strip.bottom()
}

/// Where the names of the pages stand: one after the other, in a second line where the panel is too narrow for one.
fn page_places(ui: &Ui, rect: Rect) -> Vec<Rect> {
    let widths = SidePage::ALL.map(|page| text::size(ui, Type::SmallMedium, &page.words()).x.ceil());
    let (first, room) = (rect.left() + PAGES_LEFT_PX, rect.width() - 2.0 * PAGES_LEFT_PX);
    let gap = (room - widths.iter().sum::<f32>()) / (widths.len() as f32 - 1.0);
    let fits = gap >= PAGE_GAPS_PX[0];
    let (gap, height) =
        if fits { (gap.min(PAGE_GAPS_PX[1]), PAGES_PX) } else { (PAGE_GAPS_PX[1], PAGES_PX - 8.0) };
    let mut at = pos2(first, rect.top());
    let mut place = |width: f32| {
        // A hair's breadth is left for rounding.
        if at.x + width > first + room + 0.5 {
            at = pos2(first, at.y + height);
        }
        let place = Rect::from_min_size(at, vec2(width, height));
        at.x += width + gap;
        place
    };
    widths.map(&mut place).to_vec()
}

/// The fields of the record.
fn fields(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let session = &open.day.session;
    let Some(first) = session.sets.get(state.set).and_then(|set| set.frames.first()) else { return };
    let owner = Owner::Sets(vec![*first]);
    side::panel(ui, rect, "fields", |ui, flow| {
        let (carry, day) = (tell!("record-carry"), tell!("record-day"));
        let (carry_key, day_key) = (Command::CarryOver.key_words(ui), Command::AboutDay.key_words(ui));
        let carry = Button::new(&carry, Weight::Quiet).key(&carry_key).enabled(state.set > 0);
        if carry.show(ui, Id::unique("carry over"), flow.at(), Align2::LEFT_TOP).clicked() {
            tools.actions.push(Action::Run(Command::CarryOver));
        }
        flow.gap(BUTTON_PX);
        let day = Button::new(&day, Weight::Quiet).key(&day_key);
        if day.show(ui, Id::unique("about the day"), flow.at(), Align2::LEFT_TOP).clicked() {
            tools.actions.push(Action::Run(Command::AboutDay));
        }
        flow.gap(BUTTON_PX + 6.0);
        let (typed, known, actions) = (&mut state.typed, tools.known, &mut *tools.actions);
        form::fields(ui, flow, &mut Form { session, owner: &owner, typed, known, actions });
        if let Some(caution) = cautions().handling.last() {
            queries::caution(ui, flow, rect.bottom() - 16.0, &caution.text);
        }
    });
}

fn record(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &mut UiState, actions: &mut Vec<Action>) {
    let session = &open.day.session;
    let set = state.set;
    let record = session.sets.get(set).and_then(|s| session.record_of(s));
    flow.head(ui, &tell!("record-head"), "");
    flow.gap(10.0);
    let focus = state.specimen.focus.take();

    let mut jar = typed(state.specimen.jar.as_ref(), set, record.map_or("", |s| s.jar.as_str()));
    let name = tell!("record-jar");
    let place = named_place(ui, flow, &name, FIELD_PX, &Command::EditJar.key_words(ui));
    let read = session.sets.get(set).filter(|s| open.jar_is_read(s)).map(|s| session.jar_of(s));
    let hint = read.map(|jar| tell!("record-jar-read", jar = jar));
    let hint = hint.unwrap_or_else(|| tell!("record-jar-hint"));
    let response = field(ui, place, Id::unique(("jar", set)), &mut jar, &hint, &name);
    state.specimen.jar =
        follow(ui, &response, focus == Some(Field::Jar), set, jar, state.specimen.jar.take(), actions);

    flow.gap(8.0);
    let mut note = typed(state.specimen.note.as_ref(), set, record.map_or("", |s| s.note.as_str()));
    let (name, hint) = (tell!("record-note"), tell!("record-note-hint"));
    let place = named_place(ui, flow, &name, 76.0, &Command::EditNote.key_words(ui));
    let response = area(ui, place, Id::unique(("note", set)), &mut note, &hint, &name);
    state.specimen.note =
        follow(ui, &response, focus == Some(Field::Note), set, note, state.specimen.note.take(), actions);
    flow.gap(16.0);
}

/// The text as typed so far, else as it stands in the record.
fn typed(typing: Option<&Typing>, set: usize, kept: &str) -> String {
    typing.filter(|t| t.set == set).map_or(kept, |t| &t.text).to_owned()
}

/// Writes a field's name, with the key that goes there, and gives the field's place.
fn named_place(ui: &mut Ui, flow: &mut Flow, name: &str, height: f32, key: &str) -> Rect {
    let t = tokens(ui);
    let at = pos2(flow.left, flow.y + FIELD_PX / 2.0);
    let words = text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.soft, name);
    let key_at = pos2(words.right() + 8.0, at.y);
    crate::window::widgets::control::keycap(ui, key_at, t.soft, egui::Color32::TRANSPARENT, key);
    let left = flow.left + 104.0;
    let place = Rect::from_min_max(pos2(left, flow.y), pos2(flow.right(), flow.y + height));
    flow.y = place.bottom();
    place
}

/// Follows a field: gives it the keyboard when asked, remembers what is typed, and has it written when the
/// field is left; Esc leaves the record as it was.
fn follow(
    ui: &Ui,
    response: &Response,
    focus: bool,
    set: usize,
    text: String,
    typing: Option<Typing>,
    actions: &mut Vec<Action>,
) -> Option<Typing> {
    if focus {
        response.request_focus();
    }
    if response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter) && !i.modifiers.shift) {
        response.surrender_focus();
        actions.push(Action::CommitTyping);
    }
    if response.lost_focus() {
        if ui.input(|i| i.key_pressed(Key::Escape)) {
            return None;
        }
        actions.push(Action::CommitTyping);
    }
    if response.changed() { Some(Typing { set, text }) } else { typing }
}

/// What the specimen lacks, and the way to confirm what is proposed.
fn views(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let Some(row) = open.sheet.rows.get(state.set) else { return };
    let coverage = &row.coverage;
    let slots = coverage.slots.iter();
    let confirmed = slots.clone().filter(|s| s.state == grouping::SlotState::Confirmed).count();
    let proposed = slots.clone().filter(|s| s.state == grouping::SlotState::Proposed).count();
    let asked = open.day.session.plan.required().count();
    let confirmed = tell!("record-confirmed", confirmed = confirmed, asked = asked);
    flow.head(ui, &tell!("record-views"), &confirmed);
    flow.gap(8.0);
    if let Some(held) = open.held.iter().find(|held| held.retake.set == state.set) {
        // Past the limit nothing is said of what it lacks.
        let words = if let Some(holding) = held.holding.filter(|_| held.is_past()) {
            tell!("record-past", held = holding.words())
        } else {
            tell!("record-short", lacks = held.retake.words(&open.day.session.plan).to_lowercase())
        };
        queries::warning(ui, flow, &words, "");
        flow.gap(8.0);
    }
    let words = if coverage.complete() {
        tell!("record-all-confirmed")
    } else if proposed > 0 {
        let looked_at = coverage.inadequate.is_some();
        if looked_at { tell!("record-proposed-by-looks") } else { tell!("record-proposed-by-order") }
    } else if !coverage.unlabelled.is_empty() {
        tell!("record-press-letter")
    } else {
        tell!("record-all-labelled")
    };
    let unsaid = proposed > 0 || !coverage.unlabelled.is_empty();
    let words = if unsaid && KeyMap::of(ui.ctx()).letters_off {
        tell!("letters-off", key = Command::LettersOff.key_words(ui))
    } else {
        words
    };
    flow.para(ui, Type::Small, t.soft, &words);
    if proposed > 0 {
        flow.gap(8.0);
        let key = Command::ConfirmProposed.key_words(ui);
        let words = tell!("record-confirm", n = proposed);
        let button = Button::new(&words, Weight::Plain).key(&key);
        if button.show(ui, Id::unique("confirm proposed"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::ConfirmProposed));
        }
        flow.gap(BUTTON_PX);
    }
    flow.gap(16.0);
}

/// When the chosen frame was taken, what that rests on, and how long its animal has been held.
fn time(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &UiState) {
    let t = tokens(ui);
    let Some(frame) = state.frame.and_then(|id| open.sheet.frame(&open.day, id)) else { return };
    flow.head(ui, &tell!("record-time"), &tell!("record-this-frame"));
    flow.gap(8.0);
    for (words, warns) in time_words(open, frame) {
        flow.para(ui, Type::Small, if warns { t.warn } else { t.soft }, &words);
    }
    let set = open.day.session.sets.get(state.set);
    let holding =
        set.zip(open.day.moment()).and_then(|(set, at)| grouping::holding(&open.day.session, set, &at));
    if let Some(holding) = holding {
        flow.gap(4.0);
        let ink = if holding.is_past() { t.gone } else { t.ink };
        flow.para(ui, Type::SmallMedium, ink, &tell!("record-held", held = holding.words()));
    }
    flow.gap(16.0);
}

/// What the view of the chosen frame should show, else that of the first one that is not there.
fn hint(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &UiState) {
    let t = tokens(ui);
    let (plan, Some(frame)) = (&open.day.session.plan, state.frame) else { return };
    let known = strip::known(open, frame);
    let shown = plan.views.iter().find(|v| v.name == known.words);
    let lacking = || {
        let row = open.sheet.rows.get(state.set)?;
        plan.view(row.coverage.missing.first()?)
    };
    let Some(view) = shown.or_else(lacking).filter(|v| !v.hint.is_empty()) else { return };
    let which = if shown.is_some() { tell!("record-this-frame") } else { tell!("record-missing") };
    flow.head(ui, &view.name, &which);
    flow.gap(8.0);
    flow.para(ui, Type::Small, t.soft, &view.hint);
    flow.gap(16.0);
}

fn faults(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &UiState) {
    let t = tokens(ui);
    let Some(frame) = state.frame.and_then(|id| open.sheet.frame(&open.day, id)) else { return };
    if frame.faults.is_empty() {
        return;
    }
    flow.head(ui, &tell!("record-faults"), &tell!("record-this-frame"));
    flow.gap(8.0);
    for fault in &frame.faults {
        flow.para(ui, Type::Small, t.warn, fault);
        flow.gap(4.0);
    }
    flow.gap(12.0);
}

/// What speaks for how the chosen frame was taken.
fn reasons(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) {
    let Some(frame) = state.frame else { return };
    let at = pos2(flow.right(), flow.y + 12.0);
    flow.head(ui, &tell!("record-evidence"), "");
    let key = Command::Evidence.key_words(ui);
    let (words, name) = (tell!("record-this-frame"), tell!("record-evidence-large"));
    let large = Button::new(&words, Weight::Quiet).key(&key).name(&name);
    if large.show(ui, Id::unique("large evidence"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(Command::Evidence));
    }
    flow.gap(8.0);
    evidence::write(ui, flow, open, frame);
    flow.gap(12.0);
}

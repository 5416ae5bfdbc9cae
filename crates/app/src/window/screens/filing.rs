//! The filing step: where to, how names are made, every file before it is copied.

use egui::{Align2, Id, Key, Rect, Ui, pos2, vec2};

use super::{filing_side, filing_table, side};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::filing_lines::OnePlan;
use crate::window::look::{CONTROL_CORNER, MARGIN_PX, Type, side_px, tokens};
use crate::window::names_draft::field_words;
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::state::{FilingState, FolderFor};
use crate::window::widgets::control::{Button, Weight, field, keycap, tick};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Draws the step. `planning` is whether a plan is being worked out.
pub(crate) fn ui(
    ui: &mut Ui,
    room: Rect,
    open: &OpenDay,
    state: &mut FilingState,
    planning: bool,
    actions: &mut Vec<Action>,
) {
    let side_left = room.right() - side_px(room.width());
    let main = Rect::from_min_max(
        pos2(room.left() + MARGIN_PX, room.top()),
        pos2(side_left - MARGIN_PX, room.bottom()),
    );
    let mut flow = Flow::new(main.min, main.width());
    for which in [0, 1] {
        archive(ui, &mut flow, which, open, state, actions);
    }
    names(ui, &mut flow, open, state, actions);
    let table = Rect::from_min_max(flow.at(), main.max);
    match &open.filing.plan {
        Some((planned, Ok(plans))) => {
            if let Some(one) = plans.get(state.shown).or(plans.first()) {
                filing_table::ui(ui, table, open, one, planned.take_proposed, state, actions);
            }
        }
        Some((_, Err(why))) => empty(ui, table, why, true),
        None if planning => empty(ui, table, &tell!("filing-planning"), false),
        None => empty(ui, table, &tell!("filing-name-archive"), false),
    }
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    side::panel(ui, side, "filing", |ui, flow| filing_side::ui(ui, flow, open, state, actions));
}

/// The field of an archive, with what is needed and free there once that is known.
fn archive(
    ui: &mut Ui,
    flow: &mut Flow,
    which: usize,
    open: &OpenDay,
    state: &mut FilingState,
    actions: &mut Vec<Action>,
) {
    const LABEL_PX: f32 = 104.0;
    const ROOM_PX: f32 = 188.0;
    let t = tokens(ui);
    let (label, name, hint, edit, choose, choose_name) = if which == 0 {
        let (edit, choose) = (Command::EditArchive, Command::ChooseArchive);
        let words = [tell!("filing-archive"), tell!("filing-archive-name"), tell!("filing-archive-hint")];
        let [label, name, hint] = words;
        (label, name, hint, edit, choose, tell!("filing-choose-name"))
    } else {
        let (edit, choose) = (Command::EditSecond, Command::ChooseSecond);
        let words = [tell!("filing-second"), tell!("filing-second-name"), tell!("filing-second-hint")];
        let [label, name, hint] = words;
        (label, name, hint, edit, choose, tell!("filing-choose-second-name"))
    };
    let middle = flow.y + 16.0;
    text::line(ui, pos2(flow.left, middle), Align2::LEFT_CENTER, Type::Small, t.soft, &label);
    let key = edit.key_words(ui);
    let at = pos2(flow.left + LABEL_PX, middle);
    keycap(ui, at, t.soft, egui::Color32::TRANSPARENT, &key);
    let (words, key) = (tell!("choose"), choose.key_words(ui));
    let button = Button::new(&words, Weight::Plain).key(&key).name(&choose_name);
    let right = flow.right() - ROOM_PX;
    let left = flow.left + LABEL_PX + 70.0;
    let place = Rect::from_min_max(pos2(left, flow.y), pos2(right - button.size(ui).x - 10.0, flow.y + 32.0));
    let id = Id::unique(("archive", which));
    let response = field(ui, place, id, &mut state.archives[which], &hint, &name);
    if state.focus == Some(which) {
        state.focus = None;
        response.request_focus();
    }
    if response.lost_focus() || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter))) {
        actions.push(Action::PlanFiling);
    }
    let at = pos2(right, middle);
    if button.show(ui, Id::unique(("choose archive", which)), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::AskFolder(FolderFor::Archive(which)));
    }
    // The plans are of the archives that are typed; a second one alone is the first of them.
    let nth = if state.archives[0].trim().is_empty() { which.checked_sub(1) } else { Some(which) };
    let of_this = |one: &&OnePlan| one.archive.as_os_str() == state.archives[which].trim();
    if let Some(one) = nth.and_then(|nth| open.filing.plans().get(nth)).filter(of_this) {
        let needed = one.plan.bytes_to_copy();
        let (words, ink) = match one.free_bytes {
            Some(free) if free < needed => (room_words(needed, free), t.gone),
            Some(free) => (room_words(needed, free), t.soft),
            None => (tell!("filing-needs", needed = bytes_words(needed)), t.soft),
        };
        let at = pos2(right + 14.0, middle);
        text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, ink, ROOM_PX - 14.0, &words);
    }
    flow.gap(40.0);
}

fn room_words(needed: u64, free: u64) -> String {
    let (needed, free_words) = (bytes_words(needed), bytes_words(free));
    tell!("filing-room", needed = needed, free = free_words)
}

/// How names are made, with the way to change that.
fn names(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, state: &FilingState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let (words, key) = (tell!("filing-names"), Command::ChooseNames.key_words(ui));
    let middle = flow.y + 14.0;
    let button = Button::new(&words, Weight::Plain).key(&key);
    if button.show(ui, Id::unique("names"), pos2(flow.left, middle), Align2::LEFT_CENTER).clicked() {
        actions.push(Action::Run(Command::ChooseNames));
    }
    let naming = &open.day.session.naming;
    let fields = |form: &record::NameForm| {
        let words: Vec<String> = form.name.iter().map(|field| field_words(*field)).collect();
        words.join(&form.joiner)
    };
    let example = format!("{}/{}", fields(&naming.folder), fields(&naming.file));
    let at = pos2(flow.left + button.size(ui).x + 12.0, middle);
    let room = flow.right() - at.x;
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, t.soft, room, &example);
    flow.gap(34.0);
    let key = Command::UseProposed.key_words(ui);
    let words = tell!("filing-use-proposed");
    let at = pos2(flow.left, flow.y + 12.0);
    if tick(ui, Id::unique("take proposed"), at, state.take_proposed, &words, &key).clicked() {
        actions.push(Action::Run(Command::UseProposed));
    }
    flow.gap(36.0);
}

fn empty(ui: &mut Ui, rect: Rect, words: &str, grave: bool) {
    let t = tokens(ui);
    let width = (rect.width() - 40.0).min(560.0);
    let (ground, ink) = if grave { (t.gone_ground, t.gone) } else { (t.well, t.soft) };
    let height = text::laid(ui, Type::Body, ink, words, width - 32.0, 12).size().y + 28.0;
    let place = Rect::from_min_size(rect.min + vec2(0.0, 12.0), vec2(width, height));
    ui.painter().rect_filled(place, CONTROL_CORNER, ground);
    text::para(ui, place.min + vec2(16.0, 14.0), width - 32.0, Type::Body, ink, words);
}

//! The filing step: where to, every file before it is copied, and what was done.

use egui::{Align2, Id, Key, Rect, Ui, pos2, vec2};
use filing::FilingPlan;

use super::{filing_table, side};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{CONTROL_CORNER, MARGIN_PX, Type, side_px, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::state::{FilingState, FolderFor};
use crate::window::widgets::control::{Button, Weight, field, tick};
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
    archive(ui, &mut flow, state, actions);
    flow.gap(14.0);
    let table = Rect::from_min_max(flow.at(), main.max);
    match &open.filing.plan {
        Some((_, Ok(plan))) => filing_table::ui(ui, table, open, plan),
        Some((_, Err(why))) => empty(ui, table, why, true),
        None if planning => empty(ui, table, &tell!("filing-planning"), false),
        None => empty(ui, table, &tell!("filing-name-archive"), false),
    }
    let side = Rect::from_min_max(pos2(side_left, room.top()), room.max);
    side::panel(ui, side, "filing", |ui, flow| summary(ui, flow, open, actions));
}

fn archive(ui: &mut Ui, flow: &mut Flow, state: &mut FilingState, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    let key = Command::EditArchive.key_words(ui);
    let middle = flow.y + 16.0;
    let at = pos2(flow.left, middle);
    let words = text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.soft, &tell!("filing-archive"));
    let used = crate::window::widgets::control::keycap(
        ui,
        pos2(words.right() + 8.0, middle),
        t.soft,
        egui::Color32::TRANSPARENT,
        &key,
    );
    let left = words.right() + 8.0 + used + 12.0;
    let choose_key = Command::ChooseArchive.key_words(ui);
    let (choose, name) = (tell!("choose"), tell!("filing-choose-name"));
    let choose = Button::new(&choose, Weight::Plain).key(&choose_key).name(&name);
    let width = choose.size(ui).x;
    let place = Rect::from_min_max(pos2(left, flow.y), pos2(flow.right() - width - 10.0, flow.y + 32.0));
    let (hint, name) = (tell!("filing-archive-hint"), tell!("filing-archive-name"));
    let response = field(ui, place, Id::unique("archive"), &mut state.archive, &hint, &name);
    if std::mem::take(&mut state.focus) {
        response.request_focus();
    }
    if response.lost_focus() || (response.has_focus() && ui.input(|i| i.key_pressed(Key::Enter))) {
        actions.push(Action::PlanFiling);
    }
    let at = pos2(flow.right(), middle);
    if choose.show(ui, Id::unique("choose archive"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::AskFolder(FolderFor::Archive));
    }
    flow.gap(46.0);
    let key = Command::UseProposed.key_words(ui);
    let words = tell!("filing-use-proposed");
    let at = pos2(flow.left, flow.y + 12.0);
    if tick(ui, Id::unique("take proposed"), at, state.take_proposed, &words, &key).clicked() {
        actions.push(Action::Run(Command::UseProposed));
    }
    flow.gap(24.0);
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

fn summary(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.head(ui, &tell!("filing-head"), "");
    flow.gap(10.0);
    if let Some((planned, Ok(plan))) = &open.filing.plan {
        planned_lines(ui, flow, open, plan, planned.take_proposed);
        flow.gap(14.0);
        let ready = plan.files_to_copy() > 0;
        let key = Command::FileNow.key_words(ui);
        let words =
            if ready { tell!("filing-go", files = plan.files_to_copy()) } else { tell!("filing-all-filed") };
        let name = tell!("filing-go-name");
        let button = Button::new(&words, Weight::Main).key(&key).enabled(ready).name(&name);
        if button.show(ui, Id::unique("file now"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::FileNow));
        }
        flow.gap(52.0);
    } else {
        flow.para(ui, Type::Small, t.soft, &tell!("filing-nothing-yet"));
        flow.gap(20.0);
    }
    if let Some(fault) = &open.filing.fault {
        flow.head(ui, &tell!("filing-not-wholly"), "");
        flow.gap(8.0);
        flow.para(ui, Type::Small, t.gone, fault);
        flow.gap(20.0);
    }
    if let Some(receipt) = &open.filing.receipt {
        flow.head(ui, &tell!("filing-receipt"), "");
        flow.gap(8.0);
        let bytes = bytes_words(receipt.copied_bytes);
        let words = tell!("filing-copied", files = receipt.copied, bytes = bytes);
        flow.para(ui, Type::Small, t.ink, &words);
        if receipt.filed_before > 0 {
            let words = tell!("filing-filed-before", files = receipt.filed_before);
            flow.para(ui, Type::Small, t.soft, &words);
        }
        flow.gap(6.0);
        let ink = if receipt.account.is_whole() { t.ink } else { t.warn };
        flow.para(ui, Type::Small, ink, &receipt.account.words());
        flow.gap(6.0);
        flow.para(ui, Type::Small, t.soft, &receipt.folder.display().to_string());
    }
}

fn planned_lines(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, plan: &FilingPlan, take_proposed: bool) {
    let t = tokens(ui);
    let before = plan.steps.len() - plan.files_to_copy();
    let lines = [
        (tell!("filing-folder"), plan.folder.clone()),
        (
            tell!("filing-to-copy"),
            tell!(
                "filing-files-bytes",
                files = plan.files_to_copy(),
                bytes = bytes_words(plan.bytes_to_copy())
            ),
        ),
        (tell!("filing-there"), tell!("count-files", n = before)),
        (tell!("filing-specimens"), open.sheet.rows.len().to_string()),
    ];
    for (name, value) in lines {
        let at = flow.at();
        text::line(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, &name);
        let left = flow.left + 104.0;
        let rect = text::para(ui, pos2(left, at.y - 1.0), flow.right() - left, Type::Small, t.ink, &value);
        flow.y = rect.bottom() + 5.0;
    }
    flow.gap(6.0);
    let confirmed = open.day.session.decisions.labels.len();
    if confirmed == 0 && !take_proposed {
        flow.para(ui, Type::Small, t.warn, &tell!("filing-none-confirmed"));
        flow.gap(6.0);
    }
    for remark in &plan.remarks {
        flow.para(ui, Type::Small, t.warn, remark);
        flow.gap(6.0);
    }
    flow.para(ui, Type::Small, t.soft, &tell!("filing-safe"));
}

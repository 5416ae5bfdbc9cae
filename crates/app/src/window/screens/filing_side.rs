//! Beside the plan of a filing: what it does in numbers, the way to begin it, what was done, and taking that back.

use egui::{Align2, Id, Ui, pos2};
use filing::Receipt;

use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::filing_lines::OnePlan;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::bytes_words;
use crate::window::state::FilingState;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Fills the column.
pub(crate) fn ui(
    ui: &mut Ui,
    flow: &mut Flow,
    open: &OpenDay,
    state: &FilingState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    // What was done comes first, unless more is to be done.
    let all_done = open.filing.plans().iter().all(|one| one.plan.is_all_filed());
    if all_done {
        receipts(ui, flow, open);
    }
    flow.head(ui, &tell!("filing-head"), "");
    flow.gap(10.0);
    let plans = open.filing.plans();
    if let Some(one) = plans.get(state.shown).or(plans.first()) {
        planned(ui, flow, open, one, plans.len() > 1);
        flow.gap(10.0);
        let files = plans.iter().map(|one| one.plan.files_to_copy()).max().unwrap_or_default();
        let moves = plans.iter().map(|one| one.plan.moves().count()).max().unwrap_or_default();
        let words = match (files, moves) {
            (0, 0) => tell!("filing-all-filed"),
            (0, moves) => tell!("filing-go-moves", files = moves),
            (files, _) => tell!("filing-go", files = files),
        };
        let key = Command::FileNow.key_words(ui);
        let weight = if files + moves > 0 { Weight::Main } else { Weight::Plain };
        let button = Button::new(&words, weight).key(&key).enabled(open.can_file(state)).within(flow.width);
        if button.show(ui, Id::unique("file now"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::FileNow));
        }
        flow.gap(button.size(ui).y + 10.0);
        remarks(ui, flow, open, one);
        flow.para(ui, Type::Small, t.soft, &tell!("filing-safe"));
    } else {
        flow.para(ui, Type::Small, t.soft, &tell!("filing-nothing-yet"));
    }
    flow.gap(16.0);
    if !all_done {
        receipts(ui, flow, open);
    }
    if state.archives.iter().any(|archive| !archive.trim().is_empty()) {
        flow.rule(ui);
        flow.gap(12.0);
        let (words, key) = (tell!("filing-take-back"), Command::TakeBack.key_words(ui));
        let button = Button::new(&words, Weight::Plain).key(&key).within(flow.width);
        if button.show(ui, Id::unique("take back"), flow.at(), Align2::LEFT_TOP).clicked() {
            actions.push(Action::Run(Command::TakeBack));
        }
        flow.gap(button.size(ui).y + 8.0);
        flow.para(ui, Type::Small, t.soft, &tell!("filing-take-back-note"));
    }
}

/// What a filing does, in numbers; what is nothing is left out.
fn planned(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, one: &OnePlan, of_two: bool) {
    let t = tokens(ui);
    let plan = &one.plan;
    let (files, moves) = (plan.files_to_copy(), plan.moves().count());
    let moving = plan.steps.iter().filter(|step| step.moved_from.is_some()).count();
    let before = plan.steps.len() - files - moving;
    let bytes = bytes_words(plan.bytes_to_copy());
    let files_of = |n: usize| if n > 0 { tell!("count-files", n = n) } else { String::new() };
    let altered = plan.folder_altered.map_or(String::new(), |altered| format!("\n{}", altered.words()));
    let lines = [
        (tell!("filing-plan-of"), if of_two { one.archive.display().to_string() } else { String::new() }),
        (tell!("filing-folder"), plan.folder.clone() + &altered),
        (tell!("filing-to-copy"), tell!("filing-files-bytes", files = files, bytes = bytes)),
        (tell!("filing-to-move"), files_of(moves)),
        (tell!("filing-altered"), files_of(plan.files_altered())),
        (tell!("filing-sidecars"), files_of(plan.sidecars.len())),
        (tell!("filing-there"), files_of(before)),
        (tell!("filing-same"), files_of(plan.copies.len())),
        (tell!("filing-left"), files_of(plan.left.len())),
        (tell!("filing-specimens"), open.sheet.rows.len().to_string()),
    ];
    for (name, value) in lines.into_iter().filter(|(_, value)| !value.is_empty()) {
        let at = flow.at();
        text::line(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, &name);
        let left = flow.left + 104.0;
        let rect = text::para(ui, pos2(left, at.y - 1.0), flow.right() - left, Type::Small, t.ink, &value);
        flow.y = rect.bottom() + 5.0;
    }
}

fn remarks(ui: &mut Ui, flow: &mut Flow, open: &OpenDay, one: &OnePlan) {
    const SHOWN: usize = 8;
    let t = tokens(ui);
    let takes_proposed = open.filing.plan.as_ref().is_some_and(|(planned, _)| planned.take_proposed);
    if open.day.session.decisions.labels.is_empty() && !takes_proposed {
        flow.para(ui, Type::Small, t.warn, &tell!("filing-none-confirmed"));
        flow.gap(6.0);
    }
    for remark in one.plan.remarks.iter().take(SHOWN) {
        flow.para(ui, Type::Small, t.warn, remark);
        flow.gap(6.0);
    }
    more(ui, flow, one.plan.remarks.len().saturating_sub(SHOWN));
}

/// Says that there is more than is shown.
fn more(ui: &mut Ui, flow: &mut Flow, n: usize) {
    if n > 0 {
        flow.para(ui, Type::Small, tokens(ui).warn, &tell!("filing-more", n = n));
        flow.gap(6.0);
    }
}

/// What the last filing did in each archive.
fn receipts(ui: &mut Ui, flow: &mut Flow, open: &OpenDay) {
    let t = tokens(ui);
    let all_filed = open.filing.done.iter().all(Result::is_ok);
    for done in &open.filing.done {
        match done {
            Ok(receipt) => {
                flow.head(ui, &tell!("filing-receipt"), "");
                flow.gap(8.0);
                receipt_lines(ui, flow, receipt, all_filed);
            }
            Err(fault) => {
                flow.head(ui, &tell!("filing-not-wholly"), "");
                flow.gap(8.0);
                flow.para(ui, Type::Small, t.gone, fault);
            }
        }
        flow.gap(18.0);
    }
}

fn receipt_lines(ui: &mut Ui, flow: &mut Flow, receipt: &Receipt, all_filed: bool) {
    const SHOWN: usize = 8;
    let t = tokens(ui);
    // Whether the card may be wiped comes first; not while another archive lacks something.
    let (verdict, ink) = if !all_filed {
        (tell!("filing-other-not-whole"), t.warn)
    } else if receipt.account.is_whole() {
        (receipt.account.words(), t.accent)
    } else {
        (receipt.account.words(), t.warn)
    };
    flow.para(ui, Type::SmallMedium, ink, &verdict);
    flow.gap(6.0);
    let mut lines = Vec::new();
    if receipt.copied > 0 {
        let bytes = bytes_words(receipt.copied_bytes);
        lines.push(tell!("filing-copied", files = receipt.copied, bytes = bytes));
    }
    if receipt.filed_before > 0 {
        lines.push(tell!("filing-filed-before", files = receipt.filed_before));
    }
    if receipt.moved > 0 {
        lines.push(tell!("filing-moved", files = receipt.moved));
    }
    if receipt.sidecars > 0 {
        lines.push(tell!("filing-sidecars-written", files = receipt.sidecars));
    }
    for (folder, files) in &receipt.elsewhere {
        lines.push(tell!("filing-lie-elsewhere", files = *files, folder = folder));
    }
    if receipt.copies > 0 {
        lines.push(tell!("filing-copies-on-card", files = receipt.copies));
    }
    for line in &lines {
        flow.para(ui, Type::Small, t.ink, line);
        flow.gap(3.0);
    }
    for remark in receipt.remarks.iter().take(SHOWN) {
        flow.para(ui, Type::Small, t.warn, remark);
        flow.gap(3.0);
    }
    more(ui, flow, receipt.remarks.len().saturating_sub(SHOWN));
    flow.gap(3.0);
    flow.para(
        ui,
        Type::Small,
        t.soft,
        &tell!("filing-receipt-lies", folder = receipt.folder.display().to_string()),
    );
}

//! What was sent to be named, what came back and what is overdue, and the fields to note another sending.

use egui::{Align2, Id, Key, Rect, ScrollArea, Ui, UiBuilder, pos2, vec2};
use record::{Heard, Reply, Sending, Session};

use super::panel;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{BUTTON_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sent_draft::{HeardDraft, SentDraft};
use crate::window::widgets::control::{Button, Weight, field};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Size of the panel, px.
const WIDTH_PX: f32 = 600.0;
const HEIGHT_PX: f32 = 540.0;
/// Room for a field's name, px.
const NAME_PX: f32 = 130.0;

/// Draws the panel. `today` is the day, as `2026-06-14`.
pub(in crate::window) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    draft: &mut SentDraft,
    today: &str,
    actions: &mut Vec<Action>,
) {
    let Some(open) = open else { return };
    panel(ui, "sent", vec2(WIDTH_PX, HEIGHT_PX), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let at = pos2(left, rect.top() + 28.0);
        text::line(ui, at, Align2::LEFT_CENTER, Type::Section, t.ink, &tell!("sent-head"));
        let foot = rect.bottom() - 20.0;
        let inner = Rect::from_min_max(pos2(left, rect.top() + 48.0), pos2(rect.right() - 12.0, foot - 40.0));
        let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt("sent-list"));
        child.shrink_clip_rect(inner.expand(4.0));
        ScrollArea::vertical().id_salt("sent-list").auto_shrink(false).show(&mut child, |ui| {
            let mut flow = Flow::new(ui.cursor().min, inner.width() - 16.0);
            let session = &open.day.session;
            if session.sendings.is_empty() {
                flow.para(ui, Type::Small, t.soft, &tell!("sent-none"));
            }
            for (number, sending) in &session.sendings {
                one(ui, &mut flow, session, (*number, sending), draft, today, actions);
            }
            flow.gap(16.0);
            new(ui, &mut flow, draft, actions);
            flow.end(ui);
        });
        let done = tell!("fields-done");
        let back_key = Command::Back.key_words(ui);
        let done = Button::new(&done, Weight::Plain).key(&back_key);
        if done.show(ui, Id::unique("sent done"), pos2(left, foot), Align2::LEFT_BOTTOM).clicked() {
            actions.push(Action::Float(None));
        }
    });
}

/// One sending and what came of it.
fn one(
    ui: &mut Ui,
    flow: &mut Flow,
    session: &Session,
    (number, sending): (u32, &Sending),
    draft: &mut SentDraft,
    today: &str,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    flow.para(ui, Type::Medium, t.ink, &tell!("sent-to", to = &sending.to, on = &sending.sent));
    let shown = |id: &record::SpecimenId| {
        let of = |set: &&record::Set| set.specimens.contains(id);
        session.sets.iter().find(of).map(|set| set.number.to_string())
    };
    let numbers: Vec<String> = sending.specimens.iter().filter_map(shown).collect();
    let pictures = sending.frames.len();
    flow.para(
        ui,
        Type::Small,
        t.soft,
        &tell!("sent-what", numbers = numbers.join(", "), pictures = pictures),
    );
    let (words, ink) = match (sending.reply(today), &sending.heard) {
        (Reply::Heard, Some(heard)) => (tell!("sent-heard", on = &heard.on, what = &heard.what), t.ink),
        (Reply::Overdue(days), _) => (
            tell!("sent-overdue", by = &sending.wanted_by, days = usize::try_from(days).unwrap_or(0)),
            t.warn,
        ),
        _ if sending.wanted_by.is_empty() => (tell!("sent-open"), t.soft),
        _ => (tell!("sent-open-by", by = &sending.wanted_by), t.soft),
    };
    flow.para(ui, Type::SmallMedium, ink, &words);
    flow.gap(4.0);
    if let Some(heard) = draft.heard.as_mut().filter(|heard| heard.of == number) {
        reply(ui, flow, heard, actions);
    } else if sending.heard.is_none() {
        let words = tell!("sent-note-heard");
        let name = tell!("sent-note-heard-name", to = &sending.to);
        let button = Button::new(&words, Weight::Quiet).name(&name);
        if button.show(ui, Id::unique(("heard", number)), flow.at(), Align2::LEFT_TOP).clicked() {
            let heard = Heard { on: today.to_owned(), what: String::new() };
            draft.heard = Some(HeardDraft { of: number, heard });
        }
        flow.gap(BUTTON_PX);
    }
    flow.gap(4.0);
    flow.rule(ui);
    flow.gap(8.0);
}

/// The fields for what came back.
fn reply(ui: &mut Ui, flow: &mut Flow, draft: &mut HeardDraft, actions: &mut Vec<Action>) {
    let heard = &mut draft.heard;
    let fields = [
        (tell!("sent-heard-on"), tell!("names-date-hint"), &mut heard.on),
        (tell!("sent-heard-what"), tell!("sent-heard-what-hint"), &mut heard.what),
    ];
    if lines(ui, flow, "heard", fields) {
        actions.push(Action::NoteHeard);
    }
}

/// The fields for another sending.
fn new(ui: &mut Ui, flow: &mut Flow, draft: &mut SentDraft, actions: &mut Vec<Action>) {
    let t = tokens(ui);
    flow.head(ui, &tell!("sent-new", n = draft.sets.len()), "");
    flow.gap(8.0);
    let fields = [
        (tell!("sent-whom"), tell!("sent-whom-hint"), &mut draft.to),
        (tell!("sent-on"), tell!("names-date-hint"), &mut draft.sent),
        (tell!("sent-wanted-by"), tell!("sent-wanted-by-hint"), &mut draft.wanted_by),
    ];
    let entered = lines(ui, flow, "sent", fields);
    if let Some(refused) = &draft.refused {
        flow.para(ui, Type::Small, t.warn, refused);
        flow.gap(6.0);
    }
    let words = tell!("sent-add");
    let add = Button::new(&words, Weight::Main).key("Enter").enabled(!draft.to.trim().is_empty());
    let clicked = add.show(ui, Id::unique("note sending"), flow.at(), Align2::LEFT_TOP).clicked();
    flow.gap(BUTTON_PX + 12.0);
    flow.para(ui, Type::Small, t.soft, &tell!("sent-pictures"));
    if clicked || entered {
        actions.push(Action::NoteSent);
    }
}

/// Fields one below the other; whether Enter was pressed in one of them.
fn lines<const N: usize>(
    ui: &mut Ui,
    flow: &mut Flow,
    of: &str,
    fields: [(String, String, &mut String); N],
) -> bool {
    let mut entered = false;
    for (at, (name, hint, typed)) in fields.into_iter().enumerate() {
        let place = flow.named(ui, &name, NAME_PX);
        let response = field(ui, place, Id::unique((of, at)), typed, &hint, &name);
        entered |= response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
        if at == 0 && ui.memory(|m| m.focused().is_none()) {
            response.request_focus();
        }
        flow.gap(6.0);
    }
    entered
}

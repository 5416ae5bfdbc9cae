//! The fields of a record, one below the other: what stands in each, what is wrong with what is typed, and what is offered.

use egui::{Align2, Id, Key, Modifiers, Ui, pos2};
use record::{Session, Term, parse_coordinates};

use crate::cautions::cautions;
use crate::window::action::Action;
use crate::window::look::{BUTTON_PX, Type, tokens};
use crate::window::settings::Settings;
use crate::window::term_words;
use crate::window::typed::{Kept, Owner, Typed, kept, offers};
use crate::window::widgets::control::{Button, Weight, field};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::offers as offers_list;
use crate::window::words::tell;

/// Room for a field's name, px.
const NAME_PX: f32 = 104.0;

/// What the fields are drawn from.
pub(crate) struct Form<'a> {
    pub(crate) session: &'a Session,
    pub(crate) owner: &'a Owner,
    pub(crate) typed: &'a mut Typed,
    pub(crate) known: &'a Settings,
    pub(crate) actions: &'a mut Vec<Action>,
}

/// Draws all fields of an owner.
pub(crate) fn fields(ui: &mut Ui, flow: &mut Flow, form: &mut Form<'_>) {
    // Whose they are is found once: several specimens may be many.
    let held = form.owner.fields(form.session);
    let terms: Vec<Term> = form.owner.terms().collect();
    for (at, term) in terms.iter().enumerate() {
        let next = terms.get(at + 1).copied();
        one(ui, flow, form, (*term, next), &kept(&held, *term));
        flow.gap(6.0);
    }
}

fn one(
    ui: &mut Ui,
    flow: &mut Flow,
    form: &mut Form<'_>,
    (term, next): (Term, Option<Term>),
    kept: &Kept<'_>,
) {
    let t = tokens(ui);
    let key = (form.owner.clone(), term);
    let before = form.typed.texts.get(&key).map_or(kept.text(), String::as_str).to_owned();
    let name = term_words::name(term);
    let place = flow.named(ui, &name, NAME_PX);
    let id = Id::unique(("field", form.owner, term));
    let has_keyboard = ui.memory(|m| m.has_focus(id));
    let offered = if has_keyboard { offers(term, &before, form.known) } else { Vec::new() };
    if has_keyboard {
        offers_list::choose(ui, &mut form.typed.offered, offered.len());
    }
    // Asked for before the field sees it.
    let keeps = has_keyboard && ui.input_mut(|i| i.consume_key(Modifiers::SHIFT, Key::Enter));
    let mut text = before.clone();
    let elsewhere = elsewhere(form, kept, term);
    let hint = elsewhere.clone().unwrap_or_else(|| term_words::hint(term));
    let spoken =
        elsewhere.map_or_else(|| name.clone(), |words| tell!("form-name", name = &name, words = words));
    let response = field(ui, place, id, &mut text, &hint, &spoken);
    if form.typed.focus == Some(term) {
        form.typed.focus = None;
        response.request_focus();
        ui.scroll_to_rect(place, None);
    }
    if response.gained_focus() || response.changed() {
        form.typed.offered = None;
    }
    let entered = response.lost_focus() && ui.input(|i| i.key_pressed(Key::Enter));
    if response.lost_focus() && ui.input(|i| i.key_pressed(Key::Escape)) {
        form.typed.texts.remove(&key);
        return;
    }
    if let Some(offer) = form.typed.offered.take_if(|_| entered).and_then(|at| offered.get(at)) {
        text.clone_from(offer);
    }
    if text != before {
        form.typed.texts.insert(key.clone(), text.clone());
    }
    if response.lost_focus() {
        form.actions.push(Action::CommitTyping);
        if entered {
            form.typed.focus = next;
        }
    }
    let chosen = form.typed.offered;
    if let Some(taken) = offers_list::list(ui, flow, NAME_PX, term, &offered, chosen) {
        form.typed.texts.insert(key, offered[taken].clone());
        form.actions.push(Action::CommitTyping);
        return;
    }
    if has_keyboard && let Some(caution) = caution(term) {
        let column = &mut Flow::new(pos2(flow.left + NAME_PX, flow.y + 3.0), flow.width - NAME_PX);
        column.para(ui, Type::Small, t.soft, caution);
        flow.y = column.y;
    }
    note(ui, flow, form, term, (&text, keeps), kept);
}

/// What to mind while a field is filled in.
fn caution(term: Term) -> Option<&'static str> {
    let recording = &cautions().recording;
    let caution = match term {
        Term::HeldFrom => &recording.cold,
        Term::ReleasedAt => &recording.release,
        Term::SamplingProtocol => &recording.permit,
        Term::Sensitivity => &recording.place,
        _ => return None,
    };
    Some(&caution.text)
}

/// What holds for a field that is empty itself.
fn elsewhere(form: &Form<'_>, kept: &Kept<'_>, term: Term) -> Option<String> {
    let of_day = form.session.fields.get(&term).filter(|_| *form.owner != Owner::Day);
    match (kept, of_day) {
        (Kept::Various, _) => Some(tell!("form-various")),
        (Kept::Empty, Some(entry)) => Some(tell!("form-of-day", text = &entry.text)),
        _ => None,
    }
}

/// What is wrong with a text, with the way to keep it all the same; or how a place was understood.
fn note(
    ui: &mut Ui,
    flow: &mut Flow,
    form: &mut Form<'_>,
    term: Term,
    (text, keeps): (&str, bool),
    kept: &Kept<'_>,
) {
    let t = tokens(ui);
    let text = text.trim();
    if text.is_empty() {
        return;
    }
    let column = &mut Flow::new(pos2(flow.left + NAME_PX, flow.y + 3.0), flow.width - NAME_PX);
    match term.check(text) {
        Err(fault) => {
            column.para(ui, Type::Small, t.warn, &tell!("form-fault", fault = fault.to_string()));
            let is_kept = matches!(kept, Kept::Entry(entry) if entry.knowingly && entry.text == text);
            column.gap(2.0);
            if is_kept {
                column.para(ui, Type::Small, t.soft, &tell!("form-kept-so"));
            } else {
                let words = tell!("form-keep");
                let button = Button::new(&words, Weight::Quiet).key("Shift Enter");
                let id = Id::unique(("keep", form.owner, term));
                let clicked = button.show(ui, id, column.at(), Align2::LEFT_TOP).clicked();
                if clicked || keeps {
                    form.actions.push(Action::KeepTyped(form.owner.clone(), term));
                }
                column.gap(BUTTON_PX);
            }
            flow.y = column.y;
        }
        Ok(()) if term == Term::Coordinates => {
            let Ok(place) = parse_coordinates(text) else { return };
            let (lat, lon) = place.decimal_text();
            if text == format!("{lat}, {lon}") {
                return;
            }
            let metres = format!("{:.0}", place.least_uncertainty_m().ceil());
            column.para(ui, Type::Small, t.soft, &tell!("form-place", lat = lat, lon = lon, metres = metres));
            flow.y = column.y;
        }
        Ok(()) => {}
    }
}

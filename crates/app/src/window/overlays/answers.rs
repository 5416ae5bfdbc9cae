//! Names that a specialist sent back, before they are taken: what each row would write.

use std::collections::BTreeMap;

use egui::{Align2, Rect, Ui, pos2, vec2};
use exchange::answers::{Outcome, PlannedAnswer};
use record::SpecimenId;

use super::notes_in::{SIZE_PX, list};
use super::{answered, panel};
use crate::window::action::Action;
use crate::window::look::{Type, tokens};
use crate::window::notes_draft::AnswersDraft;
use crate::window::open_day::OpenDay;
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Room for the number of a specimen and for its name, px.
const NUMBER_PX: f32 = 40.0;
const NAME_PX: f32 = 320.0;

/// Draws the rows that give a name, and those that cannot be taken.
pub(in crate::window) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    draft: &AnswersDraft,
    actions: &mut Vec<Action>,
) {
    let Some(session) = open.map(|open| &open.day.session) else { return };
    panel(ui, "answers", SIZE_PX, Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let (left, room) = (rect.left() + 24.0, rect.width() - 48.0);
        let head = tell!("answers-head", name = &draft.name);
        text::cut(ui, pos2(left, rect.top() + 28.0), Align2::LEFT_CENTER, Type::Section, t.ink, room, &head);
        let mut note = tell!("answers-what");
        for told in draft.read.told.iter().map(ToString::to_string) {
            note.push(' ');
            note.push_str(&told);
            note.push('.');
        }
        let note = text::para(ui, pos2(left, rect.top() + 46.0), room, Type::Small, t.soft, &note);
        let foot = rect.bottom() - 20.0;
        let mut flow = Flow::new(pos2(left, note.bottom() + 12.0), room);
        let unnamed = draft.plan.rows.iter().filter(|row| row.outcome == Outcome::NoName).count();
        let right = if unnamed > 0 { tell!("answers-none", n = unnamed) } else { String::new() };
        flow.head(ui, &tell!("answers-rows", n = draft.shown.len()), &right);
        let inner = Rect::from_min_max(pos2(left, flow.y + 4.0), pos2(rect.right() - 24.0, foot - 54.0));
        let numbers: BTreeMap<SpecimenId, u32> =
            session.sets.iter().flat_map(|set| set.specimens.iter().map(|id| (*id, set.number))).collect();
        list(ui, inner, "answers", draft.shown.len(), |ui, at, place| {
            let row = &draft.plan.rows[draft.shown[at]];
            let given = draft.read.rows[draft.shown[at]].given.as_ref();
            let number = row.specimen.and_then(|id| numbers.get(&id)).map_or(String::new(), u32::to_string);
            one(ui, place, row, &number, given.map_or("", |given| given.name.as_str()));
        });
        let added = draft.plan.added();
        let (go, leave) = (tell!("answers-take", n = added), tell!("leave"));
        if answered(ui, "answers", pos2(left, foot), [&go, &leave], added > 0, actions) {
            actions.push(Action::TakeNotes);
        }
    });
}

/// A row: the specimen, the name given, what becomes of it.
fn one(ui: &mut Ui, place: Rect, row: &PlannedAnswer, number: &str, name: &str) {
    let t = tokens(ui);
    let (words, ink) = match &row.outcome {
        Outcome::Adds => (tell!("answers-adds"), t.ink),
        Outcome::Differs => (tell!("answers-differs"), t.warn),
        Outcome::Against(accepted) => (tell!("answers-against", accepted = accepted), t.warn),
        Outcome::Known => (tell!("answers-known"), t.soft),
        Outcome::NoName => (String::new(), t.soft),
        Outcome::NoSpecimen => (tell!("answers-no-specimen"), t.soft),
        Outcome::Amiss(fault) => {
            (tell!("answers-amiss", line = row.line as usize, fault = fault.to_string()), t.warn)
        }
    };
    let middle = place.left_center() + vec2(8.0, 0.0);
    text::cut(ui, middle, Align2::LEFT_CENTER, Type::SmallMedium, t.ink, NUMBER_PX - 8.0, number);
    let at = middle + vec2(NUMBER_PX, 0.0);
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, t.ink, NAME_PX - 12.0, name);
    let at = middle + vec2(NUMBER_PX + NAME_PX, 0.0);
    text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, ink, place.right() - at.x, &words);
}

//! All frames of a specimen in shot order, each with the view it shows.

use egui::accesskit::Role;
use egui::{
    Align2, CursorIcon, Id, Rect, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder, WidgetInfo, pos2,
    vec2,
};
use grouping::{PROPOSE_FROM, SlotState, flaw_word};
use record::{FrameId, FrameKind};

use super::{Tools, carry};
use crate::window::action::Action;
use crate::window::look::{PICTURE_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::UiState;
use crate::window::widgets::mark::Stand;
use crate::window::widgets::{mark, picture, text};
use crate::window::words::tell;

/// Height of the strip, px.
pub(crate) const HEIGHT_PX: f32 = 84.0;
const WIDTH_PX: f32 = 82.0;
const STEP_PX: f32 = 96.0;

/// What is known of a frame's view.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Known {
    /// The view's name, or what stands for it.
    pub(crate) words: String,
    /// How it is known; `None` for frames that play no part.
    pub(crate) state: Option<SlotState>,
}

/// What is known of a frame's view.
pub(crate) fn known(open: &OpenDay, frame: FrameId) -> Known {
    let plan = &open.day.session.plan;
    let kind = open.kind(frame);
    if kind != FrameKind::Specimen {
        return Known { words: open.kind_word(frame), state: None };
    }
    if let Some(label) = open.day.session.decisions.labels.get(&frame) {
        return Known { words: plan.name_of(&label.view).to_owned(), state: Some(SlotState::Confirmed) };
    }
    match open.day.grouping.views.get(&frame).filter(|p| p.prob >= PROPOSE_FROM) {
        Some(proposal) => {
            Known { words: plan.name_of(&proposal.view).to_owned(), state: Some(SlotState::Proposed) }
        }
        None => Known { words: tell!("frame-not-labelled"), state: Some(SlotState::Open) },
    }
}

/// Draws the strip.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, tools: &mut Tools<'_>) {
    let Some(row) = open.sheet.rows.get(state.set) else { return };
    let inner = Rect::from_min_max(rect.min + vec2(0.0, 8.0), rect.max);
    let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt("strip"));
    let area = ScrollArea::horizontal().id_salt(("strip", state.set)).auto_shrink(false);
    area.show(&mut child, |ui| {
        let left = ui.max_rect().left() + 2.0;
        let whole = Rect::from_min_size(
            pos2(left - 2.0, inner.top()),
            vec2(row.frames.len() as f32 * STEP_PX, inner.height() - 4.0),
        );
        for (n, frame) in row.frames.iter().enumerate() {
            let at = pos2(left + n as f32 * STEP_PX, inner.top() + 2.0);
            let place = Rect::from_min_size(at, vec2(WIDTH_PX, 52.0));
            let chosen = state.frame == Some(*frame);
            if chosen {
                state.chosen_at = place.center();
            }
            one(ui, place, open, *frame, chosen, tools);
        }
        ui.allocate_rect(whole, Sense::hover());
    });
}

fn one(ui: &mut Ui, place: Rect, open: &OpenDay, id: FrameId, chosen: bool, tools: &mut Tools<'_>) {
    let Some(frame) = open.sheet.frame(&open.day, id) else { return };
    let t = tokens(ui);
    let known = known(open, id);
    let stand = known.state.map(|state| open.stand(Some(id), state));
    picture::small(ui, place, tools.thumbs, frame, if known.state.is_some() { 1.0 } else { 0.5 });
    let flaw = stand.and_then(Stand::flaw);
    if known.state == Some(SlotState::Proposed) {
        mark::dashed(ui, place, Stroke::new(1.0, t.ink));
    }
    if open.is_gone(id) {
        mark::struck(ui, place);
    }
    let response = ui
        .interact(place, Id::unique(("strip", id)), Sense::CLICK | Sense::DRAG)
        .on_hover_cursor(CursorIcon::PointingHand);
    let number = open.sheet.number(id);
    response.widget_info(|| {
        let name = if let Some(why) = flaw {
            tell!("frame-name-flaw", number = number, view = &known.words, flaw = flaw_word(why))
        } else {
            tell!("frame-name", number = number, view = &known.words)
        };
        WidgetInfo::selected(Role::Button, true, chosen, name)
    });
    if chosen {
        ui.painter().rect_stroke(place, PICTURE_CORNER, Stroke::new(2.5, t.accent), StrokeKind::Outside);
        if !ui.clip_rect().contains_rect(place) {
            ui.scroll_to_rect(place.expand(STEP_PX), None);
        }
    }
    let below = pos2(place.left(), place.bottom() + 11.0);
    let mut left = below.x;
    if let Some(stand) = stand {
        mark::stand(ui, below + vec2(5.5, 0.0), stand);
        left += 15.5;
    }
    let (kind, ink) = if chosen { (Type::SmallMedium, t.ink) } else { (Type::Small, t.soft) };
    let room = place.left() + STEP_PX - 4.0 - left;
    text::cut(ui, pos2(left, below.y), Align2::LEFT_CENTER, kind, ink, room, &known.words);
    carry::from(&response, id);
    tools.menu(&response, Action::ChooseFrame(id));
    if response.clicked() {
        tools.actions.push(Action::ChooseFrame(id));
    }
}

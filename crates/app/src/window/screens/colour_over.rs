//! The circle over the picture from which the colour of a region is picked, and the one that was picked.

use egui::{Color32, CursorIcon, Painter, Pos2, Response, Stroke, Ui};
use record::{Frame, Patch};

use super::Tools;
use super::marks_over::{Lain, hint};
use crate::window::action::Action;
use crate::window::look::{MARK_CHOSEN, MARK_HALO, MARK_LINE};
use crate::window::open_day::OpenDay;
use crate::window::state::SpecimenState;
use crate::window::words::tell;

/// Draws the circles while a region of colour is open; a click picks.
pub(crate) fn ui(
    ui: &mut Ui,
    lain: &Lain,
    open: &OpenDay,
    frame: &Frame,
    (state, response): (&SpecimenState, &Response),
    tools: &mut Tools<'_>,
) {
    let characters = open.characters.as_ref().ok();
    let Some(character) = characters.and_then(|c| c.all.get(state.scoring.at)).filter(|c| c.is_colour) else {
        return;
    };
    let painter = ui.painter().with_clip_rect(lain.rect);
    let px = lain.place.width() / lain.size_px.x;
    let session = &open.day.session;
    let record = session.set_of(frame.id).and_then(|set| session.record_of(&session.sets[set]));
    let kept = record.and_then(|r| r.colours.get(&character.key)).and_then(|note| note.picked.as_ref());
    let offered = state.pick.offered.as_ref().filter(|o| o.region == character.key).map(|o| &o.picked);
    if let Some(picked) = offered.or(kept).filter(|picked| picked.frame == frame.id)
        && let Patch::Circle { centre, radius } = picked.patch
    {
        circle(&painter, lain.at(centre), radius as f32 * px, MARK_LINE);
    }
    let at = state.pick.pointer.map_or(lain.rect.center(), |place| lain.at(place));
    let radius = state.pick.radius(f64::from(lain.size_px.max_elem()));
    circle(&painter, at, radius as f32 * px, MARK_CHOSEN);
    if state.pick.pointer.is_some() {
        ui.ctx().set_cursor_icon(CursorIcon::Crosshair);
    }
    let clicked = response.interact_pointer_pos().filter(|_| response.clicked());
    if let Some(at) = clicked.filter(|at| lain.place.contains(*at)) {
        tools.actions.push(Action::PickColour(lain.place_at(at)));
    }
    if offered.is_none() && kept.is_none() {
        hint(ui, &painter, lain, &tell!("colour-hint", px = format!("{radius:.0}")));
    }
}

fn circle(painter: &Painter, at: Pos2, radius: f32, color: Color32) {
    for stroke in [Stroke::new(4.0, MARK_HALO), Stroke::new(1.6, color)] {
        painter.circle_stroke(at, radius.max(2.0), stroke);
    }
}

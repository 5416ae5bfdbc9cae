//! The line below the picture that says what frame it is, its place among the others and how it is shown.

use egui::{Align2, Id, Rect, Ui, pos2};
use grouping::SlotState;
use record::{Frame, TimeSource};

use super::{Tools, strip};
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::over::Over;
use crate::window::state::UiState;
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::mark::Stand;
use crate::window::widgets::text;
use crate::window::words::tell;

/// Draws the line about the frame: its number, view, time and faults; its place and how it is shown.
pub(crate) fn ui(
    ui: &mut Ui,
    rect: Rect,
    open: &OpenDay,
    frame: &Frame,
    state: &UiState,
    shown: bool,
    tools: &mut Tools<'_>,
) {
    let t = tokens(ui);
    let y = rect.center().y;
    let mut right = rect.right();
    let row = open.sheet.rows.get(state.set);
    let zoom = state.specimen.lies.zoom;
    if shown {
        let how = match (state.specimen.zoom, state.specimen.pixels) {
            (None, false) => tell!("viewer-fitted", percent = format!("{:.0}", zoom * 100.0)),
            (None, true) => tell!("viewer-pixels"),
            (Some(_), _) => tell!("viewer-zoomed", percent = format!("{:.0}", zoom * 100.0)),
        };
        let key = Command::ZoomPixels.key_words(ui);
        let name = tell!("viewer-zoom-name");
        let button = Button::new(&how, Weight::Quiet).key(&key).name(&name);
        if button.show(ui, Id::unique("zoom"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
            tools.actions.push(Action::Run(Command::ZoomPixels));
        }
        right -= button.size(ui).x + 18.0;
    }
    if let Some(over) = state.specimen.over.filter(|_| shown) {
        right = over_words(ui, pos2(right, y), frame, over, tools) - 18.0;
    }
    if let Some(at) = row.and_then(|r| r.frames.iter().position(|f| *f == frame.id)) {
        let (next, previous) = (tell!("next-frame"), tell!("previous-frame"));
        let keys = [Command::NextFrame, Command::PreviousFrame].map(|command| command.key_words(ui));
        let next = Button::new("", Weight::Quiet).key(&keys[0]).name(&next);
        let previous = Button::new("", Weight::Quiet).key(&keys[1]).name(&previous);
        if next.show(ui, Id::unique("next frame"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
            tools.actions.push(Action::Run(Command::NextFrame));
        }
        right -= next.size(ui).x;
        if previous.show(ui, Id::unique("previous frame"), pos2(right, y), Align2::RIGHT_CENTER).clicked() {
            tools.actions.push(Action::Run(Command::PreviousFrame));
        }
        right -= previous.size(ui).x + 2.0;
        let words = tell!("viewer-nth", nth = at + 1, of = row.map_or(0, |r| r.frames.len()));
        right =
            text::line(ui, pos2(right, y), Align2::RIGHT_CENTER, Type::Small, t.soft, &words).left() - 18.0;
    }
    about(ui, pos2(rect.left() + 2.0, y), right, open, frame);
}

/// Says what the marks over the picture mean, and gives where that begins.
fn over_words(ui: &mut Ui, right: egui::Pos2, frame: &Frame, over: Over, tools: &mut Tools<'_>) -> f32 {
    let command = match over {
        Over::Sharp => Command::ShowSharp,
        Over::Lost => Command::ShowLost,
    };
    let overs = &tools.overs;
    let words = match over {
        _ if overs.waits(frame.id, over) => tell!("viewer-over-coming"),
        _ if overs.is_blind(frame.id, over) => tell!("viewer-over-blind"),
        Over::Sharp if overs.finds_nothing(frame.id, over) => tell!("viewer-over-no-sharp"),
        Over::Lost if overs.finds_nothing(frame.id, over) => tell!("viewer-over-no-lost"),
        Over::Sharp => tell!("viewer-over-sharp"),
        Over::Lost => tell!("viewer-over-lost"),
    };
    let key = command.key_words(ui);
    let button = Button::new(&words, Weight::Quiet).key(&key);
    if button.show(ui, Id::unique("over the picture"), right, Align2::RIGHT_CENTER).clicked() {
        tools.actions.push(Action::Run(command));
    }
    right.x - button.size(ui).x
}

fn about(ui: &mut Ui, at: egui::Pos2, right: f32, open: &OpenDay, frame: &Frame) {
    let t = tokens(ui);
    let known = strip::known(open, frame.id);
    let words = tell!("viewer-frame", number = open.sheet.number(frame.id));
    let mut x = text::line(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, t.ink, &words).right() + 16.0;
    let stand = known.state.map(|state| open.stand(Some(frame.id), state));
    let nth = open.slot_of(frame.id).and_then(|slot| open.nth_words(slot, frame.id));
    let view = match stand {
        Some(stand) if stand.state != SlotState::Open => {
            let (view, word) = (known.words.to_lowercase(), stand.word());
            if let Some(nth) = nth {
                tell!("viewer-view-nth", view = view, stand = word, nth = nth)
            } else {
                tell!("viewer-view", view = view, stand = word)
            }
        }
        _ => known.words.clone(),
    };
    let flaw = stand.and_then(Stand::flaw).map(str::to_owned);
    let taken = frame.when().map(|t| t.time_of_day());
    let doubt = (frame.time_source != TimeSource::Original).then(|| frame.time_source.words().to_owned());
    let faults = (!frame.faults.is_empty()).then(|| frame.faults.join("; "));
    let parts = [
        (Some(view), t.soft),
        (flaw, t.warn),
        (taken, t.soft),
        (doubt, t.warn),
        (faults, t.warn),
        (Some(frame.file_name().to_owned()), t.soft),
    ];
    for (words, color) in parts {
        let Some(words) = words else { continue };
        if right - x < 40.0 {
            return;
        }
        let end = text::cut(ui, pos2(x, at.y), Align2::LEFT_CENTER, Type::Small, color, right - x, &words);
        x = end.right() + 16.0;
    }
}

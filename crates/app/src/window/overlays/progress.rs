//! How far work is, with a button that stops it, and one that holds it up where it can be.

use egui::accesskit::Role;
use egui::{Align2, Id, Pos2, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::panel;
use crate::first_sets::FirstSets;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::job::Hold;
use crate::window::look::{Type, tokens};
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::text;
use crate::window::words::tell;
use crate::window::work::Shown;

/// Animals short of a view that are shown while a card is still read.
const SHORT_MOST: usize = 6;
/// Height of a line of them, px.
const LINE_PX: f32 = 22.0;

/// Draws the panel.
pub(in crate::window) fn ui(ui: &mut Ui, work: &Shown, actions: &mut Vec<Action>) {
    let size = match (work.held, &work.first_sets) {
        (Some(_), _) => vec2(520.0, 196.0),
        (None, Some(_)) => vec2(520.0, 158.0 + LINE_PX * (1 + SHORT_MOST) as f32),
        (None, None) => vec2(460.0, 150.0),
    };
    panel(ui, "progress", size, None, actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let (left, right) = (rect.left() + 24.0, rect.right() - 24.0);
        let room = right - left;
        text::cut(
            ui,
            pos2(left, rect.top() + 20.0),
            Align2::LEFT_TOP,
            Type::Strong,
            t.ink,
            room,
            &work.words,
        );
        let track = Rect::from_min_max(pos2(left, rect.top() + 52.0), pos2(right, rect.top() + 58.0));
        ui.painter().rect_filled(track, 3.0, t.rule);
        let share = if work.of == 0 { 0.0 } else { work.done as f32 / work.of as f32 };
        let done = Rect::from_min_size(track.min, vec2(track.width() * share.min(1.0), track.height()));
        ui.painter().rect_filled(done, 3.0, t.accent);
        let response = ui.interact(track, Id::unique("progress track"), Sense::hover());
        response.widget_info(|| WidgetInfo {
            value: Some(f64::from(share) * 100.0),
            ..WidgetInfo::labeled(Role::ProgressIndicator, true, &work.words)
        });
        let words = match (work.stopping, work.of) {
            (true, _) => tell!("progress-stopping"),
            (false, 0) => tell!("progress-looking"),
            (false, _) => work.counted.clone(),
        };
        text::line(ui, pos2(left, rect.top() + 68.0), Align2::LEFT_TOP, Type::Small, t.soft, &words);
        let at = pos2(right, rect.top() + 68.0);
        if let Some(words) = work.left.as_ref().filter(|_| !work.stopping) {
            text::line(ui, at, Align2::RIGHT_TOP, Type::Small, t.soft, words);
        }
        if let Some(sets) = &work.first_sets {
            first_sets(ui, pos2(left, rect.top() + 100.0), room, sets);
        }
        let bottom = rect.bottom() - 20.0;
        let mut next = left;
        if let Some(held) = work.held {
            let (files, all) = (held.files, held.all);
            let safe = match held.hold {
                Hold::Off => String::new(),
                Hold::Asked => tell!("progress-pausing"),
                Hold::Rests => tell!("progress-paused", files = files, all = all),
            };
            if !safe.is_empty() && !work.stopping {
                text::para(ui, pos2(left, rect.top() + 88.0), room, Type::Small, t.ink, &safe);
            }
            let key = Command::HoldFiling.key_words(ui);
            let words =
                if held.hold == Hold::Off { tell!("progress-pause") } else { tell!("progress-go-on") };
            let weight = if held.hold == Hold::Off { Weight::Plain } else { Weight::Main };
            let button = Button::new(&words, weight).key(&key).enabled(!work.stopping);
            let at = pos2(next, bottom);
            if button.show(ui, Id::unique("hold job"), at, Align2::LEFT_BOTTOM).clicked() {
                actions.push(Action::HoldFiling);
            }
            next += button.size(ui).x + 10.0;
        }
        let stop = tell!("progress-stop");
        let stop = Button::new(&stop, Weight::Plain).key("Esc").enabled(!work.stopping && work.can_stop);
        if stop.show(ui, Id::unique("stop job"), pos2(next, bottom), Align2::LEFT_BOTTOM).clicked() {
            actions.push(Action::StopJob);
        }
    });
}

/// Draws what is known of a card before it is read to its end.
fn first_sets(ui: &mut Ui, at: Pos2, room: f32, sets: &FirstSets) {
    let t = tokens(ui);
    let head = match sets.closed {
        0 => tell!("progress-first-set"),
        closed => tell!("progress-sets", closed = closed, short = sets.short.len()),
    };
    text::line(ui, at, Align2::LEFT_TOP, Type::SmallMedium, t.ink, &head);
    for ((number, lacks), line) in sets.short.iter().take(SHORT_MOST).zip(1..) {
        let at = at + vec2(0.0, LINE_PX * line as f32);
        let words = tell!("progress-set", number = *number, lacks = lacks.to_lowercase());
        text::cut(ui, at, Align2::LEFT_TOP, Type::Small, t.soft, room, &words);
    }
}

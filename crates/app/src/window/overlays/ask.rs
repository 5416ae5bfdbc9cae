//! A question answered by typing: where a frame belongs, whose retake a set is, how far a clock was off, which time a
//! frame shows, how long an animal may be held.

use egui::{Align2, Id, Rect, Ui, pos2, vec2};
use record::parse_shift;

use super::{answered, panel};
use crate::window::action::Action;
use crate::window::clocks::{body_words, off_words, shown_time, time_words};
use crate::window::look::{FIELD_PX, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::state::Question;
use crate::window::thumbs::Thumbs;
use crate::window::widgets::control::field;
use crate::window::widgets::{picture, text};
use crate::window::words::tell;

/// Width of the panel; of one with a picture; height of such a picture, px.
const WIDTH_PX: f32 = 500.0;
const WIDE_PX: f32 = 640.0;
const PICTURE_PX: f32 = 400.0;

/// A question, the answer so far, and how the last one went.
#[derive(Debug)]
pub(crate) struct Asked<'a> {
    /// What is asked.
    pub(crate) question: &'a Question,
    /// Typed so far.
    pub(crate) typed: &'a mut String,
    /// What was wrong with the last answer, until another is typed.
    pub(crate) refused: &'a mut Option<String>,
}

/// What is said around the field.
struct Words {
    head: String,
    /// What the field is called.
    name: String,
    hint: String,
    /// Below the field: what may be typed, or what it would do.
    note: String,
    /// On the button.
    go: String,
}

/// Draws the question.
pub(crate) fn ui(
    ui: &mut Ui,
    open: Option<&OpenDay>,
    asked: Asked<'_>,
    thumbs: Option<&mut Thumbs>,
    actions: &mut Vec<Action>,
) {
    let Some(open) = open else { return };
    let Asked { question, typed, refused } = asked;
    let words = words(open, question, typed);
    let shown = match question {
        Question::Shown(frame) => open.sheet.frame(&open.day, *frame).zip(thumbs),
        _ => None,
    };
    let (width, above) = if shown.is_some() { (WIDE_PX, PICTURE_PX + 16.0) } else { (WIDTH_PX, 0.0) };
    panel(ui, "ask", vec2(width, 184.0 + above), Some(Action::Float(None)), actions, |ui, actions| {
        let t = tokens(ui);
        let rect = ui.max_rect();
        let left = rect.left() + 24.0;
        let room = rect.width() - 48.0;
        let head = pos2(left, rect.top() + 28.0);
        text::cut(ui, head, Align2::LEFT_CENTER, Type::Section, t.ink, room, &words.head);
        if let Some((frame, thumbs)) = shown {
            let place = Rect::from_min_size(pos2(left, rect.top() + 50.0), vec2(room, PICTURE_PX));
            picture::whole_of(ui, place, thumbs, frame);
        }
        let id = Id::unique("answer to question");
        let top = rect.top() + 52.0 + above;
        let place = Rect::from_min_size(pos2(left, top), vec2(room, FIELD_PX));
        if field(ui, place, id, typed, &words.hint, &words.name).changed() {
            *refused = None;
        }
        ui.memory_mut(|m| m.request_focus(id));
        let (note, ink) =
            refused.as_deref().map_or((words.note.as_str(), t.soft), |refused| (refused, t.gone));
        text::para(ui, pos2(left, place.bottom() + 8.0), room, Type::Small, ink, note);
        let bottom = rect.bottom() - 20.0;
        let leave = tell!("leave");
        if answered(ui, "ask", pos2(left, bottom), [&words.go, &leave], true, actions) {
            actions.push(Action::Reply { question: question.clone(), text: typed.clone() });
        }
    });
}

fn words(open: &OpenDay, question: &Question, typed: &str) -> Words {
    match question {
        Question::MoveTo(frame) => {
            let last = open.day.session.sets.iter().map(|s| s.number).max().unwrap_or(0);
            Words {
                head: tell!("ask-move", number = open.sheet.number(*frame)),
                name: tell!("ask-move-name"),
                hint: tell!("ask-number-hint"),
                note: tell!("ask-move-note", last = last),
                go: tell!("ask-move-go"),
            }
        }
        Question::RetakeOf(frame) => {
            let set = open.sheet.set_of.get(frame).copied().unwrap_or_default();
            Words {
                head: tell!("ask-retake", number = open.set_number(set)),
                name: tell!("ask-retake-name"),
                hint: tell!("ask-number-hint"),
                note: tell!("ask-retake-note"),
                go: tell!("ask-retake-go"),
            }
        }
        Question::Shift(body) => Words {
            head: tell!("ask-shift", body = body_words(body)),
            name: tell!("ask-shift-name"),
            hint: tell!("ask-shift-hint"),
            note: match parse_shift(typed) {
                Ok(0.0) => tell!("ask-shift-none"),
                Ok(secs) => tell!("ask-shift-was", off = off_words(secs)),
                Err(_) => tell!("ask-shift-note"),
            },
            go: tell!("ask-correct-go"),
        },
        Question::Shown(frame) => Words {
            head: tell!("ask-shown", number = open.sheet.number(*frame)),
            name: tell!("ask-shown-name"),
            hint: tell!("ask-shown-hint"),
            note: shown_note(open, *frame, typed),
            go: tell!("ask-correct-go"),
        },
        Question::Find => Words {
            head: tell!("ask-find"),
            name: tell!("ask-find-name"),
            hint: tell!("ask-find-hint"),
            note: tell!("ask-find-note"),
            go: tell!("ask-find-go"),
        },
        Question::Note(frames) => Words {
            head: tell!("ask-note", n = frames.len()),
            name: tell!("ask-note-name"),
            hint: String::new(),
            note: tell!("ask-note-note"),
            go: tell!("ask-note-go"),
        },
        Question::Limit => Words {
            head: tell!("ask-limit"),
            name: tell!("ask-limit-name"),
            hint: tell!("ask-limit-hint"),
            note: tell!("ask-limit-note"),
            go: tell!("ask-limit-go"),
        },
    }
}

/// What the typed time would do, else what the frame's camera said.
fn shown_note(open: &OpenDay, id: record::FrameId, typed: &str) -> String {
    let Some(frame) = open.sheet.frame(&open.day, id) else { return String::new() };
    let shift = shown_time(typed, frame).and_then(|shown| record::shift_from_shown(frame, shown));
    match (shift, frame.taken) {
        (Some(0.0), _) => tell!("ask-shown-right"),
        (Some(secs), _) => tell!("ask-shown-was", off = off_words(secs)),
        (None, Some(taken)) => {
            tell!("ask-shown-said", date = taken.date(), time = taken.time_of_day())
        }
        (None, None) => time_words(open, frame).into_iter().map(|(words, _)| words).collect(),
    }
}

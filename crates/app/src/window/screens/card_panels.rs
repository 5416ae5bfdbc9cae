//! What was read of a card, in three panels: cameras and clocks, faults, what was left out.

use std::collections::BTreeMap;

use egui::{Align2, Rect, ScrollArea, StrokeKind, Ui, UiBuilder, pos2, vec2};
use record::{Body, TimeSource};

use crate::window::look::{CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::count;
use crate::window::widgets::flow::Flow;
use crate::window::widgets::text;

/// Draws the panels side by side.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay) {
    let width = (rect.width() - 28.0) / 3.0;
    let panels =
        [("Cameras and clocks", cameras(open)), ("Faults", faults(open)), ("Skipped", skipped(open))];
    for (n, (head, lines)) in panels.iter().enumerate() {
        let left = (rect.left() + n as f32 * (width + 14.0)).round();
        let place = Rect::from_min_size(pos2(left, rect.top()), vec2(width, rect.height()));
        panel(ui, place, head, lines);
    }
}

/// A line, and whether it stands out as a warning.
type Line = (String, bool);

fn panel(ui: &mut Ui, rect: Rect, head: &str, lines: &[Line]) {
    let t = tokens(ui);
    ui.painter().rect(rect, CONTROL_CORNER, t.sheet, t.rule_stroke(), StrokeKind::Inside);
    let at = rect.min + vec2(13.0, 21.0);
    text::line(ui, at, Align2::LEFT_CENTER, Type::Strong, t.ink, head);
    let inner = Rect::from_min_max(rect.min + vec2(13.0, 38.0), rect.max - vec2(6.0, 8.0));
    let mut child = ui.new_child(UiBuilder::new().max_rect(inner).id_salt(head));
    ScrollArea::vertical().id_salt(head).auto_shrink(false).show(&mut child, |ui| {
        let mut flow = Flow::new(ui.cursor().min, ui.available_width() - 8.0);
        for (words, warns) in lines {
            flow.para(ui, Type::Small, if *warns { t.warn } else { t.soft }, words);
            flow.gap(2.0);
        }
        flow.end(ui);
    });
}

fn cameras(open: &OpenDay) -> Vec<Line> {
    let frames = &open.day.session.frames;
    let mut bodies: BTreeMap<&Body, usize> = BTreeMap::new();
    let mut sources: BTreeMap<TimeSource, usize> = BTreeMap::new();
    for frame in frames {
        *bodies.entry(&frame.body).or_default() += 1;
        *sources.entry(frame.time_source).or_default() += 1;
    }
    let mut lines: Vec<Line> = bodies
        .into_iter()
        .map(|(body, n)| (format!("{}: {}", body_words(body), count(n, "frame", "frames")), false))
        .collect();
    for (source, n) in sources {
        let all = n == frames.len();
        let words = source.words();
        let line = if all {
            format!("All frames: {words}")
        } else {
            format!("{}: {words}", count(n, "frame", "frames"))
        };
        lines.push((line, source != TimeSource::Original));
    }
    lines
}

/// `Field One, body 0001`.
fn body_words(body: &Body) -> String {
    let make = body.make.trim();
    let model = body.model.trim();
    // Makers often begin the model with their own name.
    let mut words =
        if model.starts_with(make) { model.to_owned() } else { format!("{make} {model}").trim().to_owned() };
    if words.is_empty() {
        "A camera that is not named".clone_into(&mut words);
    }
    if body.serial.is_empty() { words } else { format!("{words}, body {}", body.serial) }
}

fn faults(open: &OpenDay) -> Vec<Line> {
    let faulty = open.day.session.frames.iter().filter(|f| !f.faults.is_empty());
    let mut lines: Vec<Line> =
        faulty.map(|f| (format!("{}: {}", f.file_name(), f.faults.join("; ")), true)).collect();
    if lines.is_empty() {
        lines.push(("Every file could be read.".to_owned(), false));
    }
    lines
}

/// What was left out, alike things counted together.
fn skipped(open: &OpenDay) -> Vec<Line> {
    let mut reasons: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for skipped in &open.day.skipped {
        reasons.entry(&skipped.reason).or_default().push(&skipped.path);
    }
    let mut lines: Vec<Line> = reasons
        .into_iter()
        .map(|(reason, paths)| match paths[..] {
            [one] => (format!("{one}: {reason}"), false),
            [first, ..] => {
                (format!("{} such as {first}: {reason}", count(paths.len(), "entry", "entries")), false)
            }
            [] => (reason.to_owned(), false),
        })
        .collect();
    let companions = open.day.session.frames.iter().map(|f| f.files.len() - 1).sum::<usize>();
    if companions > 0 {
        lines.push((format!("{}.", travel(companions)), false));
    }
    if lines.is_empty() {
        lines.push(("Nothing was left out.".to_owned(), false));
    }
    lines
}

fn travel(companions: usize) -> String {
    match companions {
        1 => "1 more file travels with its frame".to_owned(),
        n => format!("{n} more files travel with their frames"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_camera_is_named_once() {
        let body = |make: &str, model: &str, serial: &str| Body {
            make: make.into(),
            model: model.into(),
            serial: serial.into(),
        };
        assert_eq!(body_words(&body("Field", "Field One", "0001")), "Field One, body 0001");
        assert_eq!(body_words(&body("Field", "One", "")), "Field One");
        assert_eq!(body_words(&body("", "", "")), "A camera that is not named");
    }
}

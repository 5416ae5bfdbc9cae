//! A specimen's row: number and jar, one slot a view, how it stands. The day sheet draws it for each
//! specimen, the specimen step for the opened one, in the same columns.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Pos2, Rect, Sense, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2};
use grouping::{Slot, SlotState};
use record::FrameId;

use super::{Tools, carry};
use crate::window::action::Action;
use crate::window::bars::tone_color;
use crate::window::look::{PICTURE_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::sheet::Row;
use crate::window::widgets::mark::Stand;
use crate::window::widgets::{mark, picture, text};
use crate::window::words::tell;

/// Width of the number and jar, px.
const NUMBER_PX: f32 = 72.0;
/// Width of the words at the end, as a share of the row, and at least and most, px.
const WORDS: (f32, f32, f32) = (0.142, 104.0, 150.0);
/// Height of the words under a picture, px.
pub(crate) const BELOW_PX: f32 = 20.0;

/// Where the columns of a row lie.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Columns {
    left: f32,
    pitch: f32,
    /// Size of a picture.
    pub(crate) picture: Vec2,
    words_left: f32,
    right: f32,
}

impl Columns {
    /// Columns between two edges; `scale` is the size of pictures against the usual.
    pub(crate) fn of(left: f32, right: f32, count: usize, scale: f32) -> Self {
        let words = ((right - left) * WORDS.0).clamp(WORDS.1, WORDS.2);
        let pitch = ((right - left - NUMBER_PX - words) / count.max(1) as f32).floor().min(300.0);
        let width = (pitch * 0.74).clamp(72.0, 176.0) * scale;
        let width = width.min(pitch - 14.0).round();
        let words_left = left + NUMBER_PX + pitch * count as f32;
        Self { left, pitch, picture: vec2(width, (width * 2.0 / 3.0).round()), words_left, right }
    }

    /// Left edge of a column.
    pub(crate) fn x(&self, column: usize) -> f32 {
        self.left + NUMBER_PX + self.pitch * column as f32
    }

    /// Size of the place for a column's head, this high: clear of the next one.
    pub(crate) fn head(&self, height: f32) -> Vec2 {
        vec2(self.pitch - 4.0, height)
    }

    /// The place of a picture whose upper edge is here.
    pub(crate) fn place(&self, column: usize, top: f32) -> Rect {
        Rect::from_min_size(pos2(self.x(column), top), self.picture)
    }

    /// The place of the jar label under the number, for a row whose pictures begin at `top`.
    pub(crate) fn jar(&self, top: f32) -> Rect {
        let middle = top + self.picture.y / 2.0;
        Rect::from_min_size(pos2(self.left + 6.0, middle + 4.0), vec2(NUMBER_PX - 14.0, 26.0))
    }
}

/// For each column the frame without a view that is shown in its open slot: those frames in shot order.
fn fillers(row: &Row, columns: &[usize]) -> Vec<Option<FrameId>> {
    let mut unlabelled = row.coverage.unlabelled.iter().copied();
    columns
        .iter()
        .map(|at| if row.coverage.slots[*at].state == SlotState::Open { unlabelled.next() } else { None })
        .collect()
}

/// Draws a specimen's number and, unless it is being typed, its jar.
pub(crate) fn number(ui: &mut Ui, columns: &Columns, top: f32, open: &OpenDay, set: usize, with_jar: bool) {
    let t = tokens(ui);
    let middle = top + columns.picture.y / 2.0;
    let jar = open.jar_words(set);
    let alone = with_jar && jar.is_empty();
    let at = pos2(columns.left + 12.0, if alone { middle } else { middle - 10.0 });
    let number = open.set_number(set).to_string();
    text::line(ui, at, Align2::LEFT_CENTER, Type::Number, t.ink, &number);
    if with_jar && !alone {
        let at = at + vec2(0.0, 22.0);
        text::cut(ui, at, Align2::LEFT_CENTER, Type::Small, t.soft, NUMBER_PX - 16.0, &jar);
    }
}

/// Draws the slots of a row with their pictures from `top` on.
pub(crate) fn slots(
    ui: &mut Ui,
    columns: &Columns,
    top: f32,
    open: &OpenDay,
    set: usize,
    chosen: Option<FrameId>,
    tools: &mut Tools<'_>,
) {
    let Some(row) = open.sheet.rows.get(set) else { return };
    let fillers = fillers(row, &open.sheet.columns);
    for (column, (at, filler)) in open.sheet.columns.iter().zip(fillers).enumerate() {
        let slot = &row.coverage.slots[*at];
        let place = columns.place(column, top);
        // The chosen frame stands for its slot, so that what is looked at is what is shown.
        let shown = chosen.filter(|c| slot.frames.contains(c)).or(slot.frames.first().copied()).or(filler);
        let stand = open.stand(shown.filter(|f| slot.frames.contains(f)), slot.state);
        draw(ui, place, open, stand, shown, tools);
        below(ui, place, columns.pitch - 6.0, open, slot, stand, shown);
        let name = open.day.session.plan.view(&slot.view).map_or("", |v| v.name.as_str());
        let sense = if shown.is_some() { Sense::CLICK | Sense::DRAG } else { Sense::hover() };
        let response = ui.interact(place, Id::unique(("slot", set, column)), sense);
        response.widget_info(|| {
            let (specimen, word) = (open.set_number(set), stand.word());
            let words = if let Some(why) = stand.flaw() {
                tell!("row-slot-why", view = name, specimen = specimen, stand = word, why = why)
            } else {
                tell!("row-slot", view = name, specimen = specimen, stand = word)
            };
            WidgetInfo::labeled(Role::Image, true, words)
        });
        // On the specimen page a frame let go over a view shows it; on the day sheet the row takes it.
        if let Some(frame) = chosen.and_then(|_| carry::onto(ui, &response, |f| !slot.frames.contains(&f))) {
            tools.actions.push(Action::Label { frame, view: slot.view.clone() });
        }
        let Some(frame) = shown else { continue };
        carry::from(&response, frame);
        if chosen == Some(frame) {
            let stroke = Stroke::new(2.5, tokens(ui).accent);
            ui.painter().rect_stroke(place, PICTURE_CORNER, stroke, egui::StrokeKind::Outside);
        }
        let response = response.on_hover_cursor(CursorIcon::PointingHand);
        tools.menu(&response, Action::ChooseFrame(frame));
        if response.double_clicked() {
            tools.actions.push(Action::OpenSet(set));
        } else if response.clicked() {
            tools.actions.push(Action::ChooseFrame(frame));
        }
    }
}

fn draw(
    ui: &mut Ui,
    place: Rect,
    open: &OpenDay,
    stand: Stand<'_>,
    shown: Option<FrameId>,
    tools: &mut Tools<'_>,
) {
    let t = tokens(ui);
    let frame = shown.and_then(|id| open.sheet.frame(&open.day, id));
    let poor = stand.flaw().is_some();
    match (stand.state, frame) {
        (SlotState::Confirmed, Some(frame)) => {
            picture::small(ui, place, tools.thumbs, frame, 1.0);
            if poor {
                let stroke = Stroke::new(2.0, t.warn);
                ui.painter().rect_stroke(place, PICTURE_CORNER, stroke, egui::StrokeKind::Inside);
            }
        }
        (SlotState::Proposed, Some(frame)) => {
            picture::small(ui, place, tools.thumbs, frame, 0.78);
            mark::dashed(ui, place, if poor { Stroke::new(2.0, t.warn) } else { Stroke::new(1.5, t.ink) });
        }
        (SlotState::Missing, _) => {
            ui.painter().rect_filled(place, PICTURE_CORNER, t.gone_ground);
            mark::dashed(ui, place, Stroke::new(1.5, t.gone));
        }
        (SlotState::Open, frame) => {
            mark::dashed(ui, place, Stroke::new(1.0, t.edge));
            if let Some(frame) = frame {
                let inner = Rect::from_center_size(place.center(), (place.size() * 0.78).round());
                picture::small(ui, inner, tools.thumbs, frame, 1.0);
            }
        }
        _ => {}
    }
}

/// The mark and word under a picture.
fn below(
    ui: &mut Ui,
    place: Rect,
    room: f32,
    open: &OpenDay,
    slot: &Slot,
    stand: Stand<'_>,
    shown: Option<FrameId>,
) {
    let t = tokens(ui);
    let at = pos2(place.left() + 5.5, place.bottom() + 11.0);
    if slot.state == SlotState::NotAsked {
        let middle = at + vec2(-5.5, -place.height() / 2.0 - 11.0);
        text::line(ui, middle, Align2::LEFT_CENTER, Type::Small, t.soft, "–");
        return;
    }
    mark::stand(ui, at, stand);
    let word = stand.word();
    let room = room - 16.0;
    let whole = shown
        .and_then(|id| open.nth_words(slot, id))
        .map(|nth| tell!("row-word-nth", word = &word, nth = nth));
    let words = whole.filter(|w| text::size(ui, Type::Small, w).x <= room).unwrap_or(word);
    let strong = slot.state == SlotState::Missing || stand.flaw().is_some();
    let kind = if strong { Type::SmallMedium } else { Type::Small };
    text::cut(ui, at + vec2(10.5, 0.0), Align2::LEFT_CENTER, kind, stand.color(t), room, &words);
}

/// Draws how the specimen stands, at the end of its row around a middle.
pub(crate) fn words(ui: &mut Ui, columns: &Columns, middle: f32, row: &Row, tone_shows: bool) {
    let t = tokens(ui);
    let room = columns.right - columns.words_left - 6.0;
    let (kind, color) = match row.tone {
        crate::window::sheet::Tone::Quiet => (Type::Small, t.soft),
        tone => (Type::SmallMedium, tone_color(tone, t)),
    };
    let mut lines: Vec<(Type, egui::Color32, String)> = Vec::new();
    if tone_shows {
        lines.push((kind, color, row.words.clone()));
    }
    if row.more > 0 {
        lines.push((Type::Small, t.soft, tell!("row-more", n = row.more)));
    }
    if row.aside > row.gone {
        lines.push((Type::Small, t.soft, tell!("row-set-aside", n = row.aside - row.gone)));
    }
    if row.gone > 0 {
        lines.push((Type::SmallMedium, t.gone, tell!("row-gone", n = row.gone)));
    }
    if !tone_shows && !row.coverage.unlabelled.is_empty() {
        let words = tell!("row-not-labelled", n = row.coverage.unlabelled.len());
        lines.insert(0, (Type::Small, t.soft, words));
    }
    let laid: Vec<_> = lines
        .iter()
        .map(|(kind, color, words)| text::laid(ui, *kind, *color, words, room, 3).size().y)
        .collect();
    let mut at = Pos2::new(columns.words_left, middle - laid.iter().sum::<f32>() / 2.0);
    for ((kind, color, words), height) in lines.iter().zip(laid) {
        text::para(ui, at, room, *kind, *color, words);
        at.y += height;
    }
}

/// What a row is called for those who hear the window.
pub(crate) fn name(open: &OpenDay, set: usize, row: &Row) -> String {
    let jar = open.jar_words(set);
    let (number, frames) = (open.set_number(set), row.frames.len() - row.aside);
    if jar.is_empty() {
        tell!("row-name", number = number, words = &row.words, frames = frames)
    } else {
        tell!("row-name-jar", number = number, jar = jar, words = &row.words, frames = frames)
    }
}

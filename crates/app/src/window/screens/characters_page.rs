//! The visible characters of a specimen: what does not go together first, then one row a character; the one the keyboard is
//! at opens to its states, what to look for, and the frame that shows it best.

use egui::accesskit::Role;
use egui::{Align2, Color32, Id, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use imaging::ColourWord;
use record::{Character, Characters, Contradiction, NOT_SEEN, Score, Specimen, contradictions, rule_fields};

use super::{colour_panel, side};
use crate::cautions::cautions;
use crate::characters::NoCharacters;
use crate::window::action::Action;
use crate::window::command::Command;
use crate::window::look::{BUTTON_PX, CONTROL_CORNER, Type, tokens};
use crate::window::open_day::OpenDay;
use crate::window::run_characters::view_names;
use crate::window::scoring::{STING, ScoreAsk, best_frame, list_id, scored};
use crate::window::state::UiState;
use crate::window::widgets::chip::{Chip, chips};
use crate::window::widgets::control::{Button, Weight};
use crate::window::widgets::flow::Flow;
use crate::window::widgets::{queries, text};
use crate::window::words::tell;

/// Height of a row that is not open, px.
const ROW_PX: f32 = 27.0;
/// Room for the mark at the left of a row, px.
const MARK_PX: f32 = 18.0;
/// How much lower the states stand where they do not fit beside the name, px.
const BELOW_PX: f32 = 17.0;

/// What the rows are drawn from.
struct Page<'a> {
    open: &'a OpenDay,
    record: Option<&'a Specimen>,
    set: usize,
    /// Whether the list has the keyboard.
    has_keyboard: bool,
    /// What does not go together.
    odd: Vec<Contradiction>,
    /// Whether that is seen at the top.
    odd_is_seen: bool,
}

impl Page<'_> {
    /// What does not go together with a character.
    fn odd_of(&self, character: &Character) -> impl Iterator<Item = &Contradiction> {
        let rests_on = move |odd: &&Contradiction| odd.keys.iter().any(|key| key == character.key.as_str());
        self.odd.iter().filter(rests_on)
    }
}

/// Draws the page.
pub(crate) fn ui(ui: &mut Ui, rect: Rect, open: &OpenDay, state: &mut UiState, actions: &mut Vec<Action>) {
    let session = &open.day.session;
    let record = session.sets.get(state.set).and_then(|set| session.record_of(set));
    let characters = match &open.characters {
        Ok(characters) => characters,
        Err(why) => return without(ui, rect, why),
    };
    let id = list_id();
    let list = ui.interact(rect, id, Sense::focusable_noninteractive());
    list.widget_info(|| WidgetInfo::labeled(Role::List, true, tell!("characters-list")));
    if std::mem::take(&mut state.specimen.scoring.focus) {
        list.request_focus();
    }
    let odd =
        record.map(|r| contradictions(characters, &r.scores, &rule_fields(&r.fields))).unwrap_or_default();
    let mut page =
        Page { open, record, set: state.set, has_keyboard: list.has_focus(), odd, odd_is_seen: false };
    side::panel(ui, rect, "characters", |ui, flow| {
        let top = flow.at();
        all_odd(ui, flow, &page, characters);
        page.odd_is_seen = ui.is_rect_visible(Rect::from_two_pos(top, pos2(flow.right(), flow.y - 30.0)));
        for is_colour in [false, true] {
            let group = characters.all.iter().enumerate().filter(|(_, c)| c.is_colour == is_colour);
            let looked = group.clone().filter(|(_, c)| !scored(record, c).is_empty()).count();
            let count = tell!("characters-count", looked = looked, of = group.clone().count());
            let head = if is_colour { tell!("characters-colours") } else { tell!("characters-parts") };
            flow.head(ui, &head, &count);
            flow.gap(4.0);
            for (at, character) in group {
                row(ui, flow, &page, state, (at, character), actions);
            }
            flow.gap(14.0);
        }
        flow.para(ui, Type::Small, tokens(ui).soft, &tell!("characters-what"));
    });
}

/// Says why there is nothing to score, and what to do.
fn without(ui: &mut Ui, rect: Rect, why: &NoCharacters) {
    side::panel(ui, rect, "characters", |ui, flow| {
        flow.head(ui, &tell!("characters-parts"), "");
        flow.gap(8.0);
        let words = match why {
            NoCharacters::NotWritten => tell!("characters-none"),
            NoCharacters::NotFitting(fault) => tell!("characters-not-fitting", fault = &fault.reason),
        };
        flow.para(ui, Type::Small, tokens(ui).soft, &words);
    });
}

/// What does not go together, and what is scored that no frame can show. Nothing is corrected.
fn all_odd(ui: &mut Ui, flow: &mut Flow, page: &Page<'_>, characters: &Characters) {
    let Some(record) = page.record else { return };
    let has_frame = |view: &record::ViewKey| {
        let slots = page.open.sheet.rows.get(page.set).map(|row| &row.coverage.slots);
        slots.is_some_and(|slots| slots.iter().any(|s| s.view == *view && !s.frames.is_empty()))
    };
    let unseen: Vec<String> =
        characters.scored_without_frame(&record.scores, has_frame).map(|c| c.name.to_lowercase()).collect();
    if page.odd.is_empty() && unseen.is_empty() {
        return;
    }
    flow.head(ui, &tell!("characters-odd"), "");
    flow.gap(8.0);
    for contradiction in &page.odd {
        let source = tell!("characters-source", source = &contradiction.source);
        queries::warning(ui, flow, &contradiction.words, &source);
        flow.gap(6.0);
    }
    if !unseen.is_empty() {
        let words = tell!("characters-unseen", characters = unseen.join("; "));
        queries::warning(ui, flow, &words, "");
        flow.gap(6.0);
    }
    flow.gap(10.0);
}

/// One character: its mark, its name and what is scored; opened to its choices where the keyboard is.
fn row(
    ui: &mut Ui,
    flow: &mut Flow,
    page: &Page<'_>,
    state: &mut UiState,
    (at, character): (usize, &Character),
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let is_open = state.specimen.scoring.at == at;
    let scores = scored(page.record, character);
    let words = scored_words(character, scores);
    let top = flow.y;
    let (kind, ink) = if is_open { (Type::SmallMedium, t.ink) } else { (Type::Small, t.ink) };
    // What does not fit beside the name goes below it.
    let room = flow.width - MARK_PX;
    let beside_px = text::size(ui, kind, &character.name).x + text::size(ui, Type::Small, &words).x + 12.0;
    let fits = beside_px <= room;
    let two_lines = !fits && !is_open;
    let high = if two_lines { ROW_PX + BELOW_PX } else { ROW_PX };
    let place = Rect::from_min_size(flow.at(), vec2(flow.width, high));
    let response = ui.interact(place.expand2(vec2(6.0, 0.0)), Id::unique(("character", at)), Sense::CLICK);
    let name = tell!("characters-row", character = &character.name, scored = &words);
    response.widget_info(|| WidgetInfo::selected(Role::ListItem, true, is_open, &name));
    if response.hovered() && !is_open {
        ui.painter().rect_filled(response.rect, CONTROL_CORNER, t.accent_ground);
    }
    if response.clicked() {
        actions.push(Action::Score(ScoreAsk::GoTo(at)));
    }
    let middle = place.top() + ROW_PX / 2.0;
    let is_odd = page.odd_of(character).next().is_some();
    mark(ui, pos2(flow.left + 5.0, middle), scores, is_odd);
    let states_ink = if is_odd {
        t.warn
    } else if scores.is_empty() || scores.iter().all(|s| s.state.as_str() == NOT_SEEN) {
        t.soft
    } else {
        t.accent
    };
    let left = pos2(flow.left + MARK_PX, middle);
    let right = pos2(flow.right(), middle);
    if two_lines {
        let below = vec2(0.0, BELOW_PX);
        text::cut(ui, left, Align2::LEFT_CENTER, kind, ink, room, &character.name);
        text::cut(ui, left + below, Align2::LEFT_CENTER, Type::Small, states_ink, room, &words);
    } else if !fits {
        // Its choices stand below.
        text::cut(ui, left, Align2::LEFT_CENTER, kind, ink, room, &character.name);
    } else {
        text::line(ui, left, Align2::LEFT_CENTER, kind, ink, &character.name);
        text::line(ui, right, Align2::RIGHT_CENTER, Type::Small, states_ink, &words);
    }
    flow.y = place.bottom();
    if is_open {
        opened(ui, flow, page, state, (at, character), actions);
        // A bar at the left says where the keyboard is, or would be.
        let bar = Rect::from_min_max(pos2(flow.left - 12.0, top + 3.0), pos2(flow.left - 8.0, flow.y - 6.0));
        let color = if page.has_keyboard { t.accent } else { t.rule };
        ui.painter().rect_filled(bar, 2.0, color);
        if std::mem::take(&mut state.specimen.scoring.reveal) {
            // With the first, all that stands above it.
            let from = if at == 0 { ui.min_rect().top() } else { top - 8.0 };
            let all = Rect::from_min_max(pos2(flow.left, from), pos2(flow.right(), flow.y));
            ui.scroll_to_rect(all, None);
        }
    }
}

/// What is scored, in words.
fn scored_words(character: &Character, scores: &[Score]) -> String {
    let word = |score: &Score| {
        let known = character.state(&score.state).map(|s| s.name.clone());
        let word = known.unwrap_or_else(|| score.state.to_string());
        match score.percent {
            Some(percent) => tell!("characters-share", state = word, percent = u16::from(percent)),
            None => word,
        }
    };
    if scores.is_empty() {
        return tell!("characters-empty");
    }
    scores.iter().map(word).collect::<Vec<_>>().join(" + ")
}

/// The mark of a row: an open ring where nobody looked, a ring with a bar where it was not seen, else a disc; a triangle where
/// it does not go together with something.
fn mark(ui: &Ui, middle: egui::Pos2, scores: &[Score], is_odd: bool) {
    let t = tokens(ui);
    if is_odd {
        let corners = [vec2(0.0, -5.0), vec2(5.5, 4.5), vec2(-5.5, 4.5)].map(|c| middle + c);
        ui.painter().add(egui::Shape::convex_polygon(corners.to_vec(), t.warn, Stroke::NONE));
        return;
    }
    let seen = scores.iter().any(|s| s.state.as_str() != NOT_SEEN);
    if seen {
        ui.painter().circle_filled(middle, 4.5, t.accent);
        return;
    }
    ui.painter().circle_stroke(middle, 4.5, Stroke::new(1.5, t.soft));
    if !scores.is_empty() {
        ui.painter().hline(middle.x - 4.5..=middle.x + 4.5, middle.y, Stroke::new(1.5, t.soft));
    }
}

/// The colour that a state names.
fn colour_of(character: &Character, state: &record::StateKey) -> Option<Color32> {
    let word = ColourWord::SINGLE.into_iter().find(|w| w.word() == state.as_str());
    let [r, g, b] = word.filter(|_| character.is_colour)?.centre()?;
    Some(Color32::from_rgb(r, g, b))
}

/// The choices of the character that the keyboard is at, and what helps to choose.
fn opened(
    ui: &mut Ui,
    flow: &mut Flow,
    page: &Page<'_>,
    state: &mut UiState,
    (at, character): (usize, &Character),
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let scores = scored(page.record, character);
    flow.gap(2.0);
    let mut column = Flow::new(pos2(flow.left + MARK_PX, flow.y), flow.width - MARK_PX);
    let keys: Vec<String> = (1..=character.states.len()).map(|n| n.to_string()).collect();
    let names: Vec<String> = character
        .states
        .iter()
        .map(|s| tell!("characters-row", character = &character.name, scored = &s.name))
        .collect();
    let all: Vec<Chip<'_>> = character
        .states
        .iter()
        .enumerate()
        .map(|(nth, known)| Chip {
            words: &known.name,
            name: &names[nth],
            key: &keys[nth],
            chosen: scores.iter().any(|s| s.state == known.key),
            ring: page.has_keyboard && character.most > 1 && nth == state.specimen.scoring.state,
            colour: colour_of(character, &known.key),
            stops: false,
        })
        .collect();
    let clicked = chips(ui, &mut column, Id::unique(("states", at)), &all);
    if let Some(nth) = clicked.iter().position(egui::Response::clicked) {
        actions.push(Action::Score(ScoreAsk::Choose(at, nth)));
    }
    column.gap(6.0);
    // What stands at the top is said again once that is scrolled away.
    for odd in page.odd_of(character).filter(|_| !page.odd_is_seen) {
        queries::warning(ui, &mut column, &odd.words, "");
        column.gap(6.0);
    }
    if character.most > 1 {
        column.para(ui, Type::Small, t.soft, &tell!("characters-most", most = character.most));
        column.gap(2.0);
    }
    if character.is_colour && scores.iter().any(|s| s.state.as_str() != NOT_SEEN) {
        column.para(ui, Type::Small, t.soft, &tell!("characters-share-how"));
        column.gap(2.0);
    }
    frame(ui, &mut column, page, state, character, actions);
    if character.is_colour {
        colour_panel::ui(ui, &mut column, page.open, page.record, state, character, actions);
    }
    column.gap(2.0);
    column.para(ui, Type::Small, t.ink, &character.hint);
    column.para(ui, Type::Small, t.soft, &tell!("characters-source", source = &character.source));
    if character.key.as_str() == STING && page.has_keyboard {
        queries::caution(ui, &mut column, 0.0, &cautions().recording.sting.text);
    }
    flow.y = column.y + 12.0;
}

/// The frame that shows the character best, and the way to it; or that there is none.
fn frame(
    ui: &mut Ui,
    column: &mut Flow,
    page: &Page<'_>,
    state: &UiState,
    character: &Character,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let Some((slot, frame)) = best_frame(page.open, page.set, character) else {
        let words = tell!("characters-no-frame", views = view_names(page.open, character));
        column.para(ui, Type::Small, t.warn, &words);
        return;
    };
    let number = page.open.sheet.number(frame);
    let view = page.open.day.session.plan.name_of(&slot.view).to_lowercase();
    if state.frame == Some(frame) {
        column.para(ui, Type::Small, t.soft, &tell!("characters-frame-shown", number = number, view = view));
        return;
    }
    let words = tell!("characters-show-frame", number = number, view = view);
    let key = Command::ShowBestFrame.key_words(ui);
    let button = Button::new(&words, Weight::Quiet).key(&key).within(column.width);
    let high = button.size(ui).y.max(BUTTON_PX);
    if button.show(ui, Id::unique("best frame"), column.at(), Align2::LEFT_TOP).clicked() {
        actions.push(Action::Run(Command::ShowBestFrame));
    }
    column.gap(high);
}

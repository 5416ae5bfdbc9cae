//! The bar with the steps, the line below it that says which session this is, and messages.

use egui::accesskit::Role;
use egui::{Align2, CursorIcon, Id, Rect, Sense, Ui, WidgetInfo, pos2, vec2};

use super::action::Action;
use super::command::Command;
use super::day_words::{day_words, short_day_words};
use super::look::{MARGIN_PX, Type, tokens};
use super::open_day::OpenDay;
use super::sheet::{Tone, bytes_words, date_words, minute};
use super::sheet_order::chosen;
use super::state::{FolderFor, Notice, Screen, UiState};
use super::widgets::control::{Button, Weight};
use super::widgets::{mark, text};
use super::words::tell;

/// Where the steps begin, px.
const STEPS_LEFT_PX: f32 = 142.0;
/// Between two tools, px.
const TOOL_GAP_PX: f32 = 16.0;
/// Least width of undo and of redo, which are cut where there is no room, px.
const NAMED_LEAST_PX: f32 = 130.0;

/// Draws the program's mark, the steps that can be taken, and undo, commands and help.
pub(crate) fn steps(
    ui: &mut Ui,
    bar: Rect,
    open: Option<&OpenDay>,
    state: &UiState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let middle = bar.center().y - 1.0;
    ui.painter().hline(bar.x_range(), bar.bottom() - 0.5, t.rule_stroke());
    mark::leaf(ui, pos2(bar.left() + MARGIN_PX + 1.0, middle - 11.0), t.ink);
    let name = pos2(bar.left() + MARGIN_PX + 29.0, middle);
    text::line(ui, name, Align2::LEFT_CENTER, Type::Name, t.ink, "Endleaf");
    let mut left = bar.left() + STEPS_LEFT_PX;
    if let Some(open) = open {
        let room = bar.right() - tools_width(ui, open) - left;
        let mut steps = steps_of(open, state);
        let wide: f32 = steps.iter().map(|(_, words, second)| step_width(ui, words, second)).sum();
        if let Some((.., second)) =
            steps.iter_mut().find(|(screen, ..)| wide > room && *screen == Screen::DaySheet)
        {
            let (_, short, unchecked) = open.sheet.tally();
            *second = short_day_words(open.sheet.rows.len(), short, unchecked);
        }
        for (screen, words, second) in steps {
            left += step(ui, left, bar, screen == state.screen, &words, &second, || {
                actions.push(Action::Go(screen));
            });
        }
    }
    tools(ui, bar, left, open, actions);
}

/// The steps whose work can be done, each with its own state.
fn steps_of(open: &OpenDay, state: &UiState) -> Vec<(Screen, String, String)> {
    let rows = open.sheet.rows.len();
    let frames = open.day.session.frames.len();
    let mut steps = vec![(Screen::Card, tell!("step-card"), tell!("count-frames", n = frames))];
    if rows > 0 {
        let (_, short, unchecked) = open.sheet.tally();
        let second = day_words(rows, short, unchecked);
        steps.push((Screen::DaySheet, tell!("step-day-sheet"), second));
        let nth = tell!("step-specimen-nth", nth = state.set + 1, of = rows);
        steps.push((Screen::Specimen, tell!("step-specimen"), nth));
    }
    if frames > 0 {
        let filed = match open.filed() {
            (0, _) => tell!("step-filing-none"),
            (done, all) if done == all => tell!("step-filing-done"),
            (done, all) => tell!("step-filing-to-go", left = all - done),
        };
        steps.push((Screen::Filing, tell!("step-filing"), filed));
        if !open.day.session.filed.is_empty() {
            steps.push((Screen::Exchange, tell!("step-exchange"), sent_words(open)));
        }
    }
    steps
}

/// What was sent to be named and not heard of yet.
fn sent_words(open: &OpenDay) -> String {
    let sendings = &open.day.session.sendings;
    match sendings.values().filter(|sending| sending.heard.is_none()).count() {
        0 if sendings.is_empty() => tell!("step-exchange-none"),
        0 => tell!("step-exchange-heard"),
        n => tell!("step-exchange-open", n = n),
    }
}

/// How wide a step with these words is, px.
fn step_width(ui: &Ui, words: &str, second: &str) -> f32 {
    (text::size(ui, Type::Strong, words).x.max(text::size(ui, Type::Small, second).x) + 28.0).round()
}

/// Draws one step and gives its width.
fn step(
    ui: &mut Ui,
    left: f32,
    bar: Rect,
    is_open: bool,
    words: &str,
    second: &str,
    go: impl FnOnce(),
) -> f32 {
    let t = tokens(ui);
    let rect = Rect::from_min_size(pos2(left, bar.top()), vec2(step_width(ui, words, second), bar.height()));
    let response = ui
        .interact(rect, Id::unique(("step", words)), Sense::click())
        .on_hover_cursor(CursorIcon::PointingHand);
    response.widget_info(|| {
        WidgetInfo::selected(Role::Tab, true, is_open, tell!("step-name", step = words, state = second))
    });
    let (kind, ink) = match (is_open, response.hovered()) {
        (true, _) => (Type::Strong, t.ink),
        (false, true) => (Type::Medium, t.ink),
        (false, false) => (Type::Medium, t.soft),
    };
    let at = rect.left_top() + vec2(14.0, 8.0);
    text::line(ui, at, Align2::LEFT_TOP, kind, ink, words);
    text::line(ui, at + vec2(0.0, 18.0), Align2::LEFT_TOP, Type::Small, ink, second);
    if is_open {
        let line = Rect::from_min_max(pos2(rect.left(), bar.bottom() - 3.0), rect.max);
        ui.painter().rect_filled(line, 0.0, t.accent);
    }
    if response.has_focus() {
        let stroke = egui::Stroke::new(2.0, t.accent);
        ui.painter().rect_stroke(rect.shrink(3.0), 6.0, stroke, egui::StrokeKind::Inside);
    }
    if response.clicked() {
        go();
    }
    rect.width()
}

/// How wide the tools are with the margin beside them, undo and redo as short as they may be, px.
fn tools_width(ui: &Ui, open: &OpenDay) -> f32 {
    let history = &open.history;
    let named = [history.undo_words(), history.redo_words()].into_iter().flatten().count() as f32;
    let always = [(tell!("tool-help"), Command::Help), (tell!("tool-commands"), Command::Commands)];
    let width = |(words, command): (String, Command)| {
        Button::new(&words, Weight::Quiet).key(&command.key_words(ui)).size(ui).x + TOOL_GAP_PX
    };
    MARGIN_PX + always.into_iter().map(width).sum::<f32>() + named * (NAMED_LEAST_PX + TOOL_GAP_PX)
}

/// Draws the tools of every screen from the right; undo and redo say what they do, cut where the steps leave too little room.
fn tools(ui: &mut Ui, bar: Rect, steps_right: f32, open: Option<&OpenDay>, actions: &mut Vec<Action>) {
    let whole = f32::INFINITY;
    let right = (bar.right() - MARGIN_PX, whole);
    let right = tool(ui, bar, right, &tell!("tool-help"), Command::Help, actions);
    let mut right = tool(ui, bar, (right, whole), &tell!("tool-commands"), Command::Commands, actions);
    let Some(open) = open else { return };
    let redo = open.history.redo_words().map(|what| (Command::Redo, tell!("tool-redo-what", what = what)));
    let undo = open.history.undo_words().map(|what| (Command::Undo, tell!("tool-undo-what", what = what)));
    let mut left = usize::from(redo.is_some()) + usize::from(undo.is_some());
    for (command, words) in redo.into_iter().chain(undo) {
        let room = (right - steps_right) / left as f32 - TOOL_GAP_PX;
        right = tool(ui, bar, (right, room), &words, command, actions);
        left -= 1;
    }
}

/// Draws one tool with its right edge here, as wide as this at most, and gives the right edge of the next.
fn tool(
    ui: &mut Ui,
    bar: Rect,
    (right, most_px): (f32, f32),
    words: &str,
    command: Command,
    actions: &mut Vec<Action>,
) -> f32 {
    let key = command.key_words(ui);
    let button = Button::new(words, Weight::Quiet).key(&key).name(words).within(most_px);
    let at = pos2(right, bar.center().y - 1.0);
    if button.show(ui, Id::unique(("tool", command)), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::Run(command));
    }
    right - button.size(ui).x - TOOL_GAP_PX
}

/// Draws which session this is: name, date, plan, times; on the right what belongs to the screen.
pub(crate) fn session_line(
    ui: &mut Ui,
    line: Rect,
    open: &OpenDay,
    state: &UiState,
    actions: &mut Vec<Action>,
) {
    let t = tokens(ui);
    let y = line.center().y;
    let tools_left = screen_tools(ui, line, open, state, actions);
    let mut x = warned(ui, line, open, actions);
    let mut say = |ui: &mut Ui, kind: Type, color: egui::Color32, words: &str, gap: f32| {
        let rect = text::line(ui, pos2(x, y), Align2::LEFT_CENTER, kind, color, words);
        x = rect.right() + gap;
    };
    if state.screen == Screen::Specimen {
        let row = open.sheet.rows.get(state.set);
        say(ui, Type::Section, t.ink, &tell!("session-specimen", number = open.set_number(state.set)), 18.0);
        let frames = open.day.session.sets.get(state.set).map_or(0, |s| s.frames.len());
        let mut words = tell!("count-frames", n = frames);
        if let Some((first, last)) = row.and_then(|r| r.times) {
            let (first, last) = (first.time_of_day(), last.time_of_day());
            words = tell!("session-frames-from-to", frames = words, first = first, last = last);
        }
        say(ui, Type::Small, t.soft, &words, 18.0);
        if let Some(row) = row {
            say(ui, Type::SmallMedium, tone_color(row.tone, t), &row.words, 18.0);
        }
    } else {
        let date = open.day.session.date().map(|d| date_words(&d));
        let name = &open.day.session.name;
        let head = date.map_or(name.clone(), |d| tell!("session-name-date", name = name, date = d));
        say(ui, Type::Section, t.ink, &head, 18.0);
        let plan = &open.day.session.plan;
        let (name, views) = (plan.name.to_lowercase(), plan.required().count());
        let words = tell!("session-plan", plan = name, views = views);
        let key =
            if state.screen == Screen::Card { Command::ChoosePlan.key_words(ui) } else { String::new() };
        let button = Button::new(&words, Weight::Quiet).key(&key);
        let at = pos2(x, y);
        if button.show(ui, Id::unique("plan of session"), at, Align2::LEFT_CENTER).clicked() {
            actions.push(Action::Run(Command::ChoosePlan));
        }
        x += button.size(ui).x + 18.0;
        let several = chosen(open, state).len();
        let words = if several > 1 {
            tell!("sheet-chosen", n = several)
        } else if let Some((first, last)) = open.sheet.times {
            tell!("session-from-to", first = minute(&first), last = minute(&last))
        } else {
            String::new()
        };
        if x + text::size(ui, Type::Small, &words).x < tools_left {
            x = text::line(ui, pos2(x, y), Align2::LEFT_CENTER, Type::Small, t.soft, &words).right() + 18.0;
        }
        if state.screen == Screen::Card {
            let room = tools_left - x;
            text::cut(ui, pos2(x, y), Align2::LEFT_CENTER, Type::Small, t.soft, room, &read_words(open));
        }
    }
}

/// Draws what keeps the session from being worked on as usual, with the way out; gives where the rest begins.
fn warned(ui: &mut Ui, line: Rect, open: &OpenDay, actions: &mut Vec<Action>) -> f32 {
    let at = pos2(line.left() + MARGIN_PX, line.center().y);
    let say = |ui: &mut Ui, words: &str| {
        text::line(ui, at, Align2::LEFT_CENTER, Type::SmallMedium, tokens(ui).warn, words).right()
    };
    if open.is_others() {
        say(ui, &tell!("session-others")) + 18.0
    } else if open.day.card_is_away {
        let left = say(ui, &tell!("session-card-away")) + 10.0;
        let words = tell!("session-find-card");
        let find = Button::new(&words, Weight::Plain);
        if find.show(ui, Id::unique("find card"), pos2(left, at.y), Align2::LEFT_CENTER).clicked() {
            actions.push(Action::AskFolder(FolderFor::Card));
        }
        left + find.size(ui).x + 18.0
    } else {
        at.x
    }
}

/// How much of the card was read, and that it was known from before.
fn read_words(open: &OpenDay) -> String {
    let day = &open.day;
    let read = read_of(day.bytes_read, day.bytes_on_card);
    match day.resumed.map(|merged| merged.new) {
        None => tell!("session-read", read = read),
        Some(0) => tell!("session-read-on", read = read),
        Some(n) => tell!("session-read-since", read = read, frames = n),
    }
}

/// `1.2 MB of 640 MB`; without the second once more was read than the card holds, as some of it was read again.
fn read_of(read: u64, on_card: u64) -> String {
    let words = bytes_words(read);
    if read > on_card { words } else { tell!("session-read-of", read = words, of = bytes_words(on_card)) }
}

/// The colour that repeats a tone.
pub(crate) fn tone_color(tone: Tone, t: &super::look::Tokens) -> egui::Color32 {
    match tone {
        Tone::Quiet => t.soft,
        Tone::Accent => t.accent,
        Tone::Warn => t.warn,
        Tone::Gone => t.gone,
    }
}

/// Draws what belongs to the screen and gives where it begins.
fn screen_tools(ui: &mut Ui, line: Rect, open: &OpenDay, state: &UiState, actions: &mut Vec<Action>) -> f32 {
    let has_rows = !open.sheet.rows.is_empty();
    let tools = match state.screen {
        Screen::Card if has_rows => vec![(Command::ToDaySheet, tell!("tool-to-day-sheet"), Weight::Main)],
        Screen::DaySheet => vec![
            (Command::SortRows, state.sheet.sort.words(), Weight::Quiet),
            (Command::FilterRows, state.sheet.only.words(), Weight::Quiet),
            (Command::EditJar, tell!("tool-jar"), Weight::Quiet),
            (Command::NextIncomplete, tell!("tool-next-to-do"), Weight::Quiet),
        ],
        Screen::Specimen => vec![
            (Command::SetAside, tell!("tool-set-aside"), Weight::Quiet),
            (Command::SplitBefore, tell!("tool-split-before"), Weight::Quiet),
            (Command::NextIncomplete, tell!("tool-next-to-do"), Weight::Quiet),
        ],
        _ => Vec::new(),
    };
    let mut right = line.right() - MARGIN_PX;
    for (command, words, weight) in tools {
        let key = command.key_words(ui);
        let button = Button::new(&words, weight).key(&key);
        let at = pos2(right, line.center().y);
        if button.show(ui, Id::unique(("screen tool", command)), at, Align2::RIGHT_CENTER).clicked() {
            actions.push(Action::Run(command));
        }
        right -= button.size(ui).x + 18.0;
    }
    right
}

/// Draws a message over the whole width and gives where it ends.
pub(crate) fn notice(ui: &mut Ui, whole: Rect, top: f32, notice: &Notice, actions: &mut Vec<Action>) -> f32 {
    let t = tokens(ui);
    let (ground, ink) = if notice.grave { (t.gone_ground, t.gone) } else { (t.accent_ground, t.ink) };
    let width = whole.width() - 2.0 * MARGIN_PX - 110.0;
    let height = text::laid(ui, Type::Body, ink, &notice.words, width, 4).size().y + 18.0;
    let rect = Rect::from_min_size(pos2(whole.left(), top), vec2(whole.width(), height));
    ui.painter().rect_filled(rect, 0.0, ground);
    let galley = text::laid(ui, Type::Body, ink, &notice.words, width, 4);
    ui.painter().galley((rect.min + vec2(MARGIN_PX, 9.0)).round(), galley, ink);
    text::tell_at_once(ui, rect, Id::unique("notice"), &notice.words);
    let key = Command::Back.key_words(ui);
    let (words, name) = (tell!("close"), tell!("close-message"));
    let close = Button::new(&words, Weight::Quiet).key(&key).name(&name);
    let at = pos2(rect.right() - MARGIN_PX, rect.center().y);
    if close.show(ui, Id::unique("close notice"), at, Align2::RIGHT_CENTER).clicked() {
        actions.push(Action::CloseNotice);
    }
    rect.bottom()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_is_never_said_to_be_read_of_less() {
        assert_eq!(read_of(400_000, 2_500_000), "400 kB of 2.5 MB");
        assert_eq!(read_of(2_500_000, 2_500_000), "2.5 MB of 2.5 MB");
        assert_eq!(read_of(2_700_000, 2_500_000), "2.7 MB");
    }
}

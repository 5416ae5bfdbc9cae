//! What can be done to what is chosen, where the pointer is: a short list from the table of commands.

use egui::{Area, Id, Margin, Order, Pos2, Sense, Ui, vec2};

use super::commands::{Beside, line, run};
use super::moving::step;
use super::{entered, floating};
use crate::window::action::Action;
use crate::window::command::{Command, Entry};
use crate::window::open_day::OpenDay;
use crate::window::state::{Screen, UiState};

/// Width of the list, px: room for a command, its key, and why it cannot be run just now.
const WIDTH_PX: f32 = 520.0;

/// What can be done to a frame.
const FRAME: &[Command] = &[
    Command::HoldBeside,
    Command::ShowSharp,
    Command::ShowLost,
    Command::Evidence,
    Command::ClearLabel,
    Command::PreferFrame,
    Command::MoveFrame,
    Command::SplitBefore,
    Command::SetAside,
    Command::TakeForBlank,
    Command::TakeForReference,
];

/// What can be done to a specimen.
const SPECIMEN: &[Command] = &[
    Command::OpenSpecimen,
    Command::EditJar,
    Command::EditNote,
    Command::ConfirmProposed,
    Command::Released,
    Command::Flew,
    Command::TakeAsRetake,
    Command::JoinPrevious,
    Command::JoinNext,
];

/// What there is to do on a screen to what is chosen there.
fn entries(screen: Screen) -> Vec<&'static Entry> {
    let commands: &[&[Command]] = match screen {
        Screen::Card => &[FRAME],
        Screen::DaySheet => &[SPECIMEN],
        Screen::Specimen => &[FRAME, SPECIMEN],
        Screen::Start | Screen::Filing | Screen::Exchange => &[],
    };
    let entries = commands.iter().flat_map(|part| part.iter().map(|c| c.entry()));
    entries.filter(|e| e.on.contains(&screen)).collect()
}

/// Draws the list with its corner here, or as near as it has room.
pub(crate) fn ui(
    ui: &mut Ui,
    corner: Pos2,
    at: &mut usize,
    open: Option<&OpenDay>,
    state: &UiState,
    actions: &mut Vec<Action>,
) {
    let entries = entries(state.screen);
    let whole = ui.ctx().content_rect();
    let beneath = Area::new(Id::unique("beneath menu")).order(Order::Middle).fixed_pos(whole.min);
    beneath.fade_in(false).show(ui.ctx(), |ui| {
        let beneath = ui.interact(whole, Id::unique("beside menu"), Sense::CLICK);
        ui.allocate_rect(whole, Sense::empty());
        if beneath.clicked() || beneath.secondary_clicked() {
            actions.push(Action::Float(None));
        }
    });
    let area = Area::new(Id::unique("menu")).order(Order::Foreground).constrain(true).fade_in(false);
    area.fixed_pos(corner).show(ui.ctx(), |ui| {
        floating(ui).inner_margin(Margin::same(6)).show(ui, |ui| {
            ui.set_width(WIDTH_PX);
            ui.spacing_mut().item_spacing = vec2(0.0, 0.0);
            step(ui, at, entries.len(), entries.len());
            if entered(ui) {
                run(entries.get(*at).copied(), open, state, actions);
            }
            for (n, entry) in entries.iter().enumerate() {
                let response = line(ui, entry, n == *at, Beside::WhyNot, open, state);
                if response.hovered() && ui.input(|i| i.pointer.is_moving()) {
                    *at = n;
                }
                if response.clicked() {
                    run(Some(entry), open, state, actions);
                }
            }
        });
    });
}

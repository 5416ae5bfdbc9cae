//! Whether a command can be run just now, and if not, why not.

use grouping::SlotState;
use import::ClockSource;

use super::clocks::{clock_of, has_camera_time};
use super::command::Command;
use super::open_day::OpenDay;
use super::state::{Screen, UiState};

/// Says why a command cannot be run.
///
/// # Errors
/// The reason in a few words, to be shown beside the command.
pub(crate) fn enabled(command: Command, open: Option<&OpenDay>, ui: &UiState) -> Result<(), &'static str> {
    use Command as C;
    match command {
        C::Help
        | C::Commands
        | C::SwitchTheme
        | C::LettersOff
        | C::Back
        | C::ChooseFolder
        | C::ChoosePlan => return Ok(()),
        C::ReadTyped | C::WatchTyped => {
            return require(!ui.start.path.trim().is_empty(), "No path is typed");
        }
        C::Watch if ui.watch.is_some() => return Ok(()),
        _ => {}
    }
    let open = open.ok_or("No card is open")?;
    let session = &open.day.session;
    let row = open.sheet.rows.get(ui.set);
    let frame = ui.frame.and_then(|id| open.sheet.frame(&open.day, id));
    let query = open.day.grouping.queries.get(ui.query);
    match command {
        C::Undo => require(open.history.undo_words().is_some(), "Nothing was done yet"),
        C::Redo => require(open.history.redo_words().is_some(), "Nothing was taken back"),
        C::GoDaySheet | C::ToDaySheet | C::GoSpecimen | C::OpenSpecimen | C::RetakeList => {
            require(row.is_some(), "There are no specimens")
        }
        C::LineByDay => require(session.decisions.blank_line.is_some(), "The day places the line already"),
        C::NextQuery | C::PreviousQuery => require(query.is_some(), "There are no queries"),
        C::AnswerFirst => require(query.is_some_and(|q| !q.answers.is_empty()), "No query waits for this"),
        C::AnswerSecond => require(query.is_some_and(|q| q.answers.len() > 1), "No query waits for this"),
        C::AnswerThird => require(query.is_some_and(|q| q.answers.len() > 2), "No query waits for this"),
        C::AnswerFourth => require(query.is_some_and(|q| q.answers.len() > 3), "No query waits for this"),
        C::SetClock | C::ClockShown | C::LineUpClocks => require(
            frame.is_some_and(|f| has_camera_time(f) && clock_of(open, f).is_some()),
            "This frame has no time by a camera",
        ),
        C::ClearClock => require(
            frame.and_then(|f| clock_of(open, f)).is_some_and(|c| c.source == ClockSource::ByHand),
            "Nothing was decided about this clock",
        ),
        C::ForgetViews => require(open.day.key.is_some(), "Nothing is kept on this computer"),
        C::LookCloser => {
            require(open.look.going.is_some() || open.can_look_closer(), "Every frame was looked at")
        }
        C::SetAside | C::TakeForBlank | C::TakeForReference if frame.is_some_and(|f| open.is_gone(f.id)) => {
            Err("The frame is gone from its folder")
        }
        C::RowUp
        | C::RowDown
        | C::RowsUp
        | C::RowsDown
        | C::FirstRow
        | C::LastRow
        | C::EditJar
        | C::EditNote => require(row.is_some(), "There are no specimens"),
        C::NextIncomplete => {
            require(open.sheet.rows.iter().any(|r| !r.coverage.complete()), "All are complete")
        }
        C::LargerPictures => require(
            ui.sheet.scale + 1 < super::state::SheetState::SCALES.len(),
            "They are as large as can be",
        ),
        C::SmallerPictures => require(ui.sheet.scale > 0, "They are as small as can be"),
        C::PreviousSpecimen | C::JoinPrevious | C::TakeAsRetake => {
            require(ui.set > 0, "This is the first specimen")
        }
        C::NextSpecimen | C::JoinNext => {
            require(ui.set + 1 < open.sheet.rows.len(), "This is the last specimen")
        }
        C::ConfirmProposed => require(
            row.is_some_and(|r| r.coverage.slots.iter().any(|s| s.state == SlotState::Proposed)),
            "Nothing is proposed for this specimen",
        ),
        C::ClearLabel => require(
            frame.is_some_and(|f| session.decisions.labels.contains_key(&f.id)),
            "This frame has no confirmed view",
        ),
        C::PreferFrame => require(
            frame.and_then(|f| open.slot_of(f.id)).is_some_and(|slot| slot.frames.len() > 1),
            "No other frame shows this view",
        ),
        C::SplitBefore => require(
            frame.is_some_and(|f| session.split_before(f.id).is_some()),
            "A specimen begins here already",
        ),
        C::MoveFrame => require(
            frame.is_some_and(|f| open.sheet.set_of.contains_key(&f.id)),
            "No frame of a specimen is chosen",
        ),
        C::PreviousFrame | C::NextFrame | C::SetAside | C::TakeForBlank | C::TakeForReference => {
            require(frame.is_some() || !session.frames.is_empty(), "There are no frames")
        }
        C::ZoomPixels | C::Evidence => require(frame.is_some(), "No frame is chosen"),
        C::FileNow => require(
            ui.screen == Screen::Filing
                && matches!(&open.filing.plan, Some((_, Ok(plan))) if plan.files_to_copy() > 0),
            "There is nothing to copy",
        ),
        _ => Ok(()),
    }
}

fn require(holds: bool, why_not: &'static str) -> Result<(), &'static str> {
    if holds { Ok(()) } else { Err(why_not) }
}

//! Whether a command can be run just now, and if not, why not.

use grouping::SlotState;
use import::ClockSource;

use super::clocks::{clock_of, has_camera_time};
use super::command::Command;
use super::mark_values::state_of_ratio;
use super::marking::marks_of;
use super::open_day::OpenDay;
use super::sheet::Row;
use super::sheet_order::{chosen, needs_work};
use super::side_page::SidePage;
use super::state::{Screen, UiState};
use super::words::tell;

/// Says why a command cannot be run.
///
/// # Errors
/// The reason in a few words, to be shown beside the command.
pub(crate) fn enabled(command: Command, open: Option<&OpenDay>, ui: &UiState) -> Result<(), String> {
    use Command as C;
    match command {
        C::Help
        | C::Commands
        | C::SwitchTheme
        | C::LettersOff
        | C::EmptyPreviews
        | C::Sound
        | C::Back
        | C::ChooseFolder
        | C::ChoosePlan => return Ok(()),
        C::ReadTyped | C::WatchTyped => {
            return require(!ui.start.path.trim().is_empty(), || tell!("not-no-path"));
        }
        C::Watch if ui.watch.is_some() => return Ok(()),
        _ => {}
    }
    let open = open.ok_or_else(|| tell!("not-no-card"))?;
    let session = &open.day.session;
    let row = open.sheet.rows.get(ui.set);
    let frame = ui.frame.and_then(|id| open.sheet.frame(&open.day, id));
    let query = open.day.grouping.queries.get(ui.query);
    match command {
        C::Undo => require(open.history.undo_words().is_some(), || tell!("not-nothing-done")),
        C::Redo => require(open.history.redo_words().is_some(), || tell!("not-nothing-back")),
        C::Menu if ui.screen == Screen::Card => require(frame.is_some(), || tell!("not-no-frame")),
        C::Menu | C::GoDaySheet | C::ToDaySheet | C::GoSpecimen | C::OpenSpecimen | C::RetakeList => {
            require(row.is_some(), || tell!("not-no-specimens"))
        }
        C::LineByDay => require(session.decisions.blank_line.is_some(), || tell!("not-line-by-day")),
        C::NextQuery | C::PreviousQuery => require(query.is_some(), || tell!("not-no-queries")),
        C::AnswerFirst => require(query.is_some_and(|q| !q.answers.is_empty()), || tell!("not-no-answer")),
        C::AnswerSecond => require(query.is_some_and(|q| q.answers.len() > 1), || tell!("not-no-answer")),
        C::AnswerThird => require(query.is_some_and(|q| q.answers.len() > 2), || tell!("not-no-answer")),
        C::AnswerFourth => require(query.is_some_and(|q| q.answers.len() > 3), || tell!("not-no-answer")),
        C::SetClock | C::ClockShown | C::LineUpClocks => {
            require(frame.is_some_and(|f| has_camera_time(f) && clock_of(open, f).is_some()), || {
                tell!("not-no-camera-time")
            })
        }
        C::ClearClock => require(
            frame.and_then(|f| clock_of(open, f)).is_some_and(|c| c.source == ClockSource::ByHand),
            || tell!("not-clock-undecided"),
        ),
        C::GoExchange => require(!session.filed.is_empty(), || tell!("not-nothing-filed")),
        C::EditJar | C::EditNote | C::FileNow | C::TakeBack | C::ForgetViews if open.is_others() => {
            Err(tell!("not-others"))
        }
        C::ForgetViews => require(open.day.key.is_some(), || tell!("not-nothing-kept")),
        C::LookCloser | C::FileNow if open.day.card_is_away => Err(tell!("not-card-away")),
        C::LookCloser => {
            require(open.look.going.is_some() || open.can_look_closer(), || tell!("not-all-looked-at"))
        }
        C::SetAside | C::TakeForBlank | C::TakeForReference if frame.is_some_and(|f| open.is_gone(f.id)) => {
            Err(tell!("not-frame-gone"))
        }
        C::ClearLabel => require(frame.is_some_and(|f| session.decisions.labels.contains_key(&f.id)), || {
            tell!("not-no-view")
        }),
        C::PreferFrame => {
            require(frame.and_then(|f| open.slot_of(f.id)).is_some_and(|slot| slot.frames.len() > 1), || {
                tell!("not-only-frame")
            })
        }
        C::SplitBefore => {
            require(frame.is_some_and(|f| session.split_before(f.id).is_some()), || tell!("not-begins-here"))
        }
        C::MoveFrame => require(frame.is_some_and(|f| open.sheet.set_of.contains_key(&f.id)), || {
            tell!("not-no-frame-of-specimen")
        }),
        C::PreviousFrame | C::NextFrame | C::SetAside | C::TakeForBlank | C::TakeForReference => {
            require(frame.is_some() || !session.frames.is_empty(), || tell!("not-no-frames"))
        }
        C::HoldBeside if ui.specimen.beside.is_some() => Ok(()),
        C::ZoomPixels | C::HoldBeside | C::ShowSharp | C::ShowLost | C::Evidence => {
            require(frame.is_some(), || tell!("not-no-frame"))
        }
        _ if ui.screen == Screen::Filing => for_filing(command, open, ui),
        C::RowUp | C::RowDown | C::RowsUp | C::RowsDown | C::FirstRow | C::LastRow
            if ui.screen == Screen::Exchange =>
        {
            Ok(())
        }
        _ => for_rows(command, open, ui),
    }
}

/// The same for commands of the filing step.
fn for_filing(command: Command, open: &OpenDay, ui: &UiState) -> Result<(), String> {
    use Command as C;
    let plans = open.filing.plans();
    match command {
        C::FileNow => require(open.can_file(&ui.filing), || tell!("not-nothing-planned")),
        C::OtherPlan => require(plans.len() > 1, || tell!("not-one-archive")),
        C::RowUp
        | C::RowDown
        | C::RowsUp
        | C::RowsDown
        | C::FirstRow
        | C::LastRow
        | C::SortPlan
        | C::ReversePlan => require(!plans.is_empty(), || tell!("not-nothing-planned")),
        C::TakeBack => {
            require(ui.filing.archives.iter().any(|a| !a.trim().is_empty()), || tell!("not-no-archive"))
        }
        C::HoldFiling => Err(tell!("not-no-filing")),
        _ => Ok(()),
    }
}

/// The same for commands about rows of specimens.
fn for_rows(command: Command, open: &OpenDay, ui: &UiState) -> Result<(), String> {
    use Command as C;
    let row = open.sheet.rows.get(ui.set);
    let sets = chosen(open, ui);
    let several = sets.len();
    match command {
        C::RowUp
        | C::RowDown
        | C::RowsUp
        | C::RowsDown
        | C::FirstRow
        | C::LastRow
        | C::EditJar
        | C::EditNote
        | C::Released
        | C::Flew
        | C::FindRow
        | C::SortRows
        | C::FilterRows
        | C::ChooseUp
        | C::ChooseDown
        | C::ChooseBesides
        | C::ChooseAll => require(row.is_some(), || tell!("not-no-specimens")),
        C::PageViews
        | C::PageRecord
        | C::PageNames
        | C::PageCharacters
        | C::PageMeasures
        | C::FillIn
        | C::SentAndHeard => require(row.is_some(), || tell!("not-no-specimens")),
        C::MarkKnown | C::MarkLine | C::MarkPolyline => require(ui.frame.is_some(), || tell!("not-no-frame")),
        C::EndMark => require(ui.specimen.marking.is_open(), || tell!("not-no-mark-open")),
        C::PreviousMark | C::NextMark => {
            let any = ui.frame.is_some_and(|f| marks_of(&open.day.session, f).next().is_some());
            require(any, || tell!("not-no-marks"))
        }
        C::DeleteMark => require(ui.specimen.marking.chosen.is_some(), || tell!("not-no-mark-chosen")),
        C::PickColour | C::LargerPatch | C::SmallerPatch => {
            let at = open.characters.as_ref().ok().and_then(|all| all.all.get(ui.specimen.scoring.at));
            let is_open = ui.specimen.page == SidePage::Characters && at.is_some_and(|c| c.is_colour);
            require(is_open, || tell!("not-no-region"))
        }
        C::TakeOffered => require(is_offered(open, ui), || tell!("not-nothing-offered")),
        C::ShowBestFrame => {
            let shows = ui.specimen.page == SidePage::Characters && open.characters.is_ok();
            require(shows, || tell!("not-no-characters"))
        }
        C::CarryOver => require(ui.set > 0, || tell!("not-first-specimen")),
        C::NextIncomplete => require(open.sheet.rows.iter().any(needs_work), || tell!("not-all-complete")),
        C::LargerPictures => {
            require(ui.sheet.scale + 1 < super::state::SheetState::SCALES.len(), || tell!("not-largest"))
        }
        C::SmallerPictures => require(ui.sheet.scale > 0, || tell!("not-smallest")),
        C::PreviousSpecimen | C::TakeAsRetake => require(ui.set > 0, || tell!("not-first-specimen")),
        C::JoinPrevious => require(ui.set > 0 || several > 1, || tell!("not-first-specimen")),
        C::CopyRetakes | C::PrintRetakes => require(!open.held.is_empty(), || tell!("not-no-retakes")),
        C::NextSpecimen | C::JoinNext => {
            require(ui.set + 1 < open.sheet.rows.len(), || tell!("not-last-specimen"))
        }
        C::ConfirmProposed => {
            require(sets.iter().filter_map(|at| open.sheet.rows.get(*at)).any(has_proposed), || {
                tell!("not-nothing-proposed")
            })
        }
        _ => Ok(()),
    }
}

/// Whether something is offered to be taken: the word of a colour, or a state by a ratio.
fn is_offered(open: &OpenDay, ui: &UiState) -> bool {
    if ui.specimen.page == SidePage::Characters {
        let at = open.characters.as_ref().ok().and_then(|all| all.all.get(ui.specimen.scoring.at));
        return ui.specimen.pick.offered.as_ref().zip(at).is_some_and(|(o, c)| o.region == c.key);
    }
    let session = &open.day.session;
    let mark = ui.specimen.marking.chosen.and_then(|id| session.marks.get(&id));
    let by_ratio = mark.zip(open.characters.as_ref().ok());
    by_ratio.is_some_and(|(mark, characters)| state_of_ratio(session, characters, mark).is_some())
}

fn has_proposed(row: &Row) -> bool {
    row.coverage.slots.iter().any(|s| s.state == SlotState::Proposed)
}

fn require(holds: bool, why_not: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(why_not()) }
}

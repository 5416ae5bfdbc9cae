//! The one table of commands. Keys, the searchable list, the help page and the buttons' keycaps are made from it.
//!
//! A [`Command`] is what can be asked for; it holds no data. What it does is in `run`.

use egui::{Key, Ui};

use super::chord::{Chord, bare, ctrl, ctrl_shift, shift};
use super::key_map::KeyMap;
use super::state::Screen;
use super::words::tell;

/// Everything that can be asked for by a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each has its words and its help in the table")]
pub enum Command {
    Help,
    Commands,
    Menu,
    SwitchTheme,
    LettersOff,
    EmptyPreviews,
    Back,
    OpenCard,
    ChooseFolder,
    ChoosePlan,
    ReadTyped,
    WatchTyped,
    Watch,
    Undo,
    Redo,
    GoCard,
    GoDaySheet,
    GoSpecimen,
    GoFiling,
    GoExchange,
    ToDaySheet,
    PreviousFrame,
    NextFrame,
    LineUp,
    LineDown,
    LineByDay,
    SetClock,
    ClockShown,
    LineUpClocks,
    ClearClock,
    LookCloser,
    ForgetViews,
    Evidence,
    NextQuery,
    PreviousQuery,
    AnswerFirst,
    AnswerSecond,
    AnswerThird,
    AnswerFourth,
    RowUp,
    RowDown,
    RowsUp,
    RowsDown,
    FirstRow,
    LastRow,
    OpenSpecimen,
    NextIncomplete,
    EditJar,
    EditNote,
    LargerPictures,
    SmallerPictures,
    RetakeList,
    HoldingLimit,
    CopyRetakes,
    PrintRetakes,
    Sound,
    Released,
    Flew,
    FindRow,
    SortRows,
    FilterRows,
    ChooseUp,
    ChooseDown,
    ChooseBesides,
    ChooseAll,
    PreviousSpecimen,
    NextSpecimen,
    ClearLabel,
    ConfirmProposed,
    PreferFrame,
    SplitBefore,
    JoinPrevious,
    JoinNext,
    SetAside,
    TakeForBlank,
    TakeForReference,
    MoveFrame,
    TakeAsRetake,
    ZoomPixels,
    ZoomIn,
    ZoomOut,
    ZoomWhole,
    PanLeft,
    PanRight,
    PanUp,
    PanDown,
    HoldBeside,
    ShowSharp,
    ShowLost,
    PageViews,
    PageRecord,
    PageNames,
    PageCharacters,
    ShowBestFrame,
    TakeOffered,
    PickColour,
    LargerPatch,
    SmallerPatch,
    PageMeasures,
    MarkKnown,
    MarkLine,
    MarkPolyline,
    EndMark,
    PreviousMark,
    NextMark,
    DeleteMark,
    CarryOver,
    SentAndHeard,
    ReadNotes,
    Map,
    AboutDay,
    FillIn,
    EditArchive,
    ChooseArchive,
    EditSecond,
    ChooseSecond,
    UseProposed,
    ChooseNames,
    SortPlan,
    ReversePlan,
    OtherPlan,
    HoldFiling,
    TakeBack,
    FileNow,
    EditTarget,
    ChooseTarget,
    MakeDocument,
}

/// Where a command belongs on the help page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Everywhere.
    Always,
    /// Going from step to step.
    Steps,
    /// The card step.
    Card,
    /// The cameras' clocks.
    Clocks,
    /// Queries.
    Queries,
    /// The day sheet.
    DaySheet,
    /// The specimen step.
    Specimen,
    /// Looking at pictures and at the trace.
    Looking,
    /// The record of a specimen and of the day.
    Record,
    /// Marks on pictures.
    Measures,
    /// Sets and frames.
    Sets,
    /// The filing step.
    Filing,
    /// The exchange step.
    Exchange,
}

impl Group {
    /// Its head.
    pub fn words(self) -> String {
        tell!(&format!("group-{}", dashed(&format!("{self:?}"))))
    }
}

/// A command with all that is said about it.
#[derive(Debug)]
pub struct Entry {
    /// Which.
    pub command: Command,
    /// Where it stands on the help page.
    pub group: Group,
    /// Its keys; the first is shown.
    pub keys: &'static [Chord],
    /// The screens it works on.
    pub on: &'static [Screen],
}

use Screen::{Card, DaySheet, Exchange, Filing, Specimen, Start};

const ALL: &[Screen] = &[Start, Card, DaySheet, Specimen, Filing, Exchange];
const OPEN: &[Screen] = &[Card, DaySheet, Specimen, Filing, Exchange];
const QUERIES: &[Screen] = &[Card, DaySheet];
const FRAMES: &[Screen] = &[Card, Specimen];
const ROWS: &[Screen] = &[DaySheet, Specimen];
const EVIDENCE: &[Screen] = &[Card, DaySheet, Specimen];
const SHEET: &[Screen] = &[DaySheet];
const LISTS: &[Screen] = &[DaySheet, Filing, Exchange];
const ARCHIVES: &[Screen] = &[Filing, Exchange];
const SENT: &[Screen] = &[Card, DaySheet, Specimen, Exchange];

/// Plus, with and without Shift, as keyboards have it.
const PLUS: &[Chord] = &[ctrl(Key::Plus), ctrl(Key::Equals), ctrl_shift(Key::Plus), ctrl_shift(Key::Equals)];

const fn entry(command: Command, group: Group, keys: &'static [Chord], on: &'static [Screen]) -> Entry {
    Entry { command, group, keys, on }
}

/// Every command.
#[rustfmt::skip]
pub const COMMANDS: &[Entry] = &[
    entry(Command::Help, Group::Always, &[bare(Key::F1)], ALL),
    entry(Command::Commands, Group::Always, &[bare(Key::F10)], ALL),
    entry(Command::Menu, Group::Always, &[shift(Key::F10)], EVIDENCE),
    entry(Command::SwitchTheme, Group::Always, &[ctrl_shift(Key::L)], ALL),
    entry(Command::LettersOff, Group::Always, &[ctrl_shift(Key::K)], ALL),
    entry(Command::EmptyPreviews, Group::Always, &[ctrl_shift(Key::E)], ALL),
    entry(Command::Back, Group::Always, &[bare(Key::Escape)], ALL),
    entry(Command::Undo, Group::Always, &[ctrl(Key::Z)], OPEN),
    entry(Command::Redo, Group::Always, &[ctrl_shift(Key::Z)], OPEN),
    entry(Command::OpenCard, Group::Steps, &[ctrl(Key::O)], OPEN),
    entry(Command::ChooseFolder, Group::Steps, &[ctrl_shift(Key::O)], &[Start]),
    entry(Command::ReadTyped, Group::Steps, &[ctrl(Key::Enter)], &[Start]),
    entry(Command::WatchTyped, Group::Steps, &[ctrl_shift(Key::Enter)], &[Start]),
    entry(Command::Watch, Group::Steps, &[bare(Key::F9)], ALL),
    entry(Command::ChoosePlan, Group::Steps, &[ctrl(Key::P)], ALL),
    entry(Command::ForgetViews, Group::Steps, &[ctrl_shift(Key::Delete)], OPEN),
    entry(Command::GoCard, Group::Steps, &[bare(Key::F5)], OPEN),
    entry(Command::GoDaySheet, Group::Steps, &[bare(Key::F6)], OPEN),
    entry(Command::GoSpecimen, Group::Steps, &[bare(Key::F7)], OPEN),
    entry(Command::GoFiling, Group::Steps, &[bare(Key::F8)], OPEN),
    entry(Command::GoExchange, Group::Steps, &[ctrl(Key::F8)], OPEN),
    entry(Command::ToDaySheet, Group::Card, &[bare(Key::Enter)], &[Card]),
    entry(Command::PreviousFrame, Group::Sets, &[bare(Key::ArrowLeft)], FRAMES),
    entry(Command::NextFrame, Group::Sets, &[bare(Key::ArrowRight)], FRAMES),
    entry(Command::LineUp, Group::Card, &[ctrl(Key::ArrowUp)], &[Card]),
    entry(Command::LineDown, Group::Card, &[ctrl(Key::ArrowDown)], &[Card]),
    entry(Command::LineByDay, Group::Card, &[ctrl(Key::Home)], &[Card]),
    entry(Command::SetClock, Group::Clocks, &[ctrl(Key::T)], FRAMES),
    entry(Command::ClockShown, Group::Clocks, &[ctrl_shift(Key::T)], FRAMES),
    entry(Command::LineUpClocks, Group::Clocks, &[ctrl(Key::L)], FRAMES),
    entry(Command::ClearClock, Group::Clocks, &[ctrl(Key::Delete)], FRAMES),
    entry(Command::LookCloser, Group::Sets, &[ctrl(Key::E)], OPEN),
    entry(Command::Evidence, Group::Sets, &[bare(Key::F12)], EVIDENCE),
    entry(Command::NextQuery, Group::Queries, &[bare(Key::F3)], QUERIES),
    entry(Command::PreviousQuery, Group::Queries, &[shift(Key::F3)], QUERIES),
    entry(Command::AnswerFirst, Group::Queries, &[bare(Key::Y)], QUERIES),
    entry(Command::AnswerSecond, Group::Queries, &[bare(Key::N)], QUERIES),
    entry(Command::AnswerThird, Group::Queries, &[ctrl(Key::Num3)], QUERIES),
    entry(Command::AnswerFourth, Group::Queries, &[ctrl(Key::Num4)], QUERIES),
    entry(Command::RowUp, Group::DaySheet, &[bare(Key::ArrowUp)], LISTS),
    entry(Command::RowDown, Group::DaySheet, &[bare(Key::ArrowDown)], LISTS),
    entry(Command::RowsUp, Group::DaySheet, &[bare(Key::PageUp)], LISTS),
    entry(Command::RowsDown, Group::DaySheet, &[bare(Key::PageDown)], LISTS),
    entry(Command::FirstRow, Group::DaySheet, &[bare(Key::Home)], LISTS),
    entry(Command::LastRow, Group::DaySheet, &[bare(Key::End)], LISTS),
    entry(Command::OpenSpecimen, Group::DaySheet, &[bare(Key::Enter)], SHEET),
    entry(Command::LargerPictures, Group::DaySheet, PLUS, SHEET),
    entry(Command::SmallerPictures, Group::DaySheet, &[ctrl(Key::Minus)], SHEET),
    entry(Command::RetakeList, Group::DaySheet, &[bare(Key::F11)], OPEN),
    entry(Command::HoldingLimit, Group::DaySheet, &[ctrl(Key::H)], OPEN),
    entry(Command::CopyRetakes, Group::DaySheet, &[ctrl_shift(Key::R)], OPEN),
    entry(Command::PrintRetakes, Group::DaySheet, &[ctrl_shift(Key::P)], ROWS),
    entry(Command::Sound, Group::DaySheet, &[ctrl_shift(Key::N)], EVIDENCE),
    entry(Command::Released, Group::DaySheet, &[ctrl(Key::U)], ROWS),
    entry(Command::Flew, Group::DaySheet, &[ctrl_shift(Key::U)], ROWS),
    entry(Command::FindRow, Group::DaySheet, &[ctrl(Key::F)], ROWS),
    entry(Command::SortRows, Group::DaySheet, &[ctrl_shift(Key::S)], SHEET),
    entry(Command::FilterRows, Group::DaySheet, &[ctrl_shift(Key::F)], SHEET),
    entry(Command::ChooseUp, Group::DaySheet, &[shift(Key::ArrowUp)], SHEET),
    entry(Command::ChooseDown, Group::DaySheet, &[shift(Key::ArrowDown)], SHEET),
    entry(Command::ChooseBesides, Group::DaySheet, &[ctrl(Key::Space)], SHEET),
    entry(Command::ChooseAll, Group::DaySheet, &[ctrl(Key::A)], SHEET),
    entry(Command::NextIncomplete, Group::DaySheet, &[bare(Key::F4)], ROWS),
    entry(Command::EditJar, Group::Specimen, &[bare(Key::F2)], ROWS),
    entry(Command::EditNote, Group::Specimen, &[shift(Key::F2)], ROWS),
    entry(Command::PreviousSpecimen, Group::Specimen, &[bare(Key::PageUp)], &[Specimen]),
    entry(Command::NextSpecimen, Group::Specimen, &[bare(Key::PageDown)], &[Specimen]),
    entry(Command::ClearLabel, Group::Specimen, &[bare(Key::Backspace)], &[Specimen]),
    entry(Command::ConfirmProposed, Group::Specimen, &[ctrl(Key::Enter)], ROWS),
    entry(Command::PreferFrame, Group::Specimen, &[ctrl(Key::G)], &[Specimen]),
    entry(Command::ZoomIn, Group::Looking, PLUS, FRAMES),
    entry(Command::ZoomOut, Group::Looking, &[ctrl(Key::Minus)], FRAMES),
    entry(Command::ZoomWhole, Group::Looking, &[ctrl(Key::Num0)], FRAMES),
    entry(Command::ZoomPixels, Group::Looking, &[ctrl(Key::Num1)], &[Specimen]),
    entry(Command::PanLeft, Group::Looking, &[shift(Key::ArrowLeft)], FRAMES),
    entry(Command::PanRight, Group::Looking, &[shift(Key::ArrowRight)], FRAMES),
    entry(Command::PanUp, Group::Looking, &[shift(Key::ArrowUp)], &[Specimen]),
    entry(Command::PanDown, Group::Looking, &[shift(Key::ArrowDown)], &[Specimen]),
    entry(Command::HoldBeside, Group::Looking, &[ctrl_shift(Key::B)], &[Specimen]),
    entry(Command::ShowSharp, Group::Looking, &[ctrl(Key::I)], &[Specimen]),
    entry(Command::ShowLost, Group::Looking, &[ctrl_shift(Key::I)], &[Specimen]),
    entry(Command::PageViews, Group::Record, &[shift(Key::F5)], EVIDENCE),
    entry(Command::PageRecord, Group::Record, &[shift(Key::F6)], EVIDENCE),
    entry(Command::PageNames, Group::Record, &[shift(Key::F8)], EVIDENCE),
    entry(Command::PageCharacters, Group::Record, &[shift(Key::F7)], EVIDENCE),
    entry(Command::ShowBestFrame, Group::Record, &[ctrl_shift(Key::G)], &[Specimen]),
    entry(Command::TakeOffered, Group::Record, &[ctrl_shift(Key::Enter)], &[Specimen]),
    entry(Command::PickColour, Group::Record, &[ctrl_shift(Key::H)], &[Specimen]),
    entry(Command::LargerPatch, Group::Record, &[ctrl(Key::ArrowUp)], &[Specimen]),
    entry(Command::SmallerPatch, Group::Record, &[ctrl(Key::ArrowDown)], &[Specimen]),
    entry(Command::PageMeasures, Group::Measures, &[shift(Key::F9)], EVIDENCE),
    entry(Command::MarkKnown, Group::Measures, &[ctrl_shift(Key::S)], &[Specimen]),
    entry(Command::MarkLine, Group::Measures, &[ctrl(Key::F9)], &[Specimen]),
    entry(Command::MarkPolyline, Group::Measures, &[ctrl_shift(Key::F9)], &[Specimen]),
    entry(Command::EndMark, Group::Measures, &[bare(Key::Enter)], &[Specimen]),
    entry(Command::PreviousMark, Group::Measures, &[ctrl(Key::ArrowLeft)], &[Specimen]),
    entry(Command::NextMark, Group::Measures, &[ctrl(Key::ArrowRight)], &[Specimen]),
    entry(Command::DeleteMark, Group::Measures, &[bare(Key::Delete)], &[Specimen]),
    entry(Command::CarryOver, Group::Record, &[shift(Key::F4)], ROWS),
    entry(Command::SentAndHeard, Group::Record, &[shift(Key::F11)], SENT),
    entry(Command::ReadNotes, Group::Record, &[ctrl(Key::F5)], SENT),
    entry(Command::Map, Group::Record, &[shift(Key::F12)], EVIDENCE),
    entry(Command::AboutDay, Group::Record, &[ctrl_shift(Key::D)], EVIDENCE),
    entry(Command::FillIn, Group::Record, &[ctrl_shift(Key::A)], SHEET),
    entry(Command::SplitBefore, Group::Sets, &[ctrl(Key::B)], FRAMES),
    entry(Command::JoinPrevious, Group::Sets, &[ctrl(Key::J)], ROWS),
    entry(Command::JoinNext, Group::Sets, &[ctrl_shift(Key::J)], ROWS),
    entry(Command::SetAside, Group::Sets, &[ctrl(Key::D)], FRAMES),
    entry(Command::TakeForBlank, Group::Sets, &[ctrl(Key::K)], FRAMES),
    entry(Command::TakeForReference, Group::Sets, &[ctrl(Key::R)], FRAMES),
    entry(Command::MoveFrame, Group::Sets, &[ctrl(Key::M)], FRAMES),
    entry(Command::TakeAsRetake, Group::Sets, &[ctrl_shift(Key::M)], ROWS),
    entry(Command::EditArchive, Group::Filing, &[bare(Key::F2)], ARCHIVES),
    entry(Command::ChooseArchive, Group::Filing, &[ctrl_shift(Key::O)], ARCHIVES),
    entry(Command::EditSecond, Group::Filing, &[shift(Key::F2)], &[Filing]),
    entry(Command::ChooseSecond, Group::Filing, &[ctrl_shift(Key::B)], &[Filing]),
    entry(Command::ChooseNames, Group::Filing, &[ctrl_shift(Key::N)], &[Filing]),
    entry(Command::SortPlan, Group::Filing, &[ctrl_shift(Key::S)], &[Filing]),
    entry(Command::ReversePlan, Group::Filing, &[ctrl(Key::R)], &[Filing]),
    entry(Command::OtherPlan, Group::Filing, &[bare(Key::F3)], &[Filing]),
    entry(Command::HoldFiling, Group::Filing, &[bare(Key::F4)], &[Filing]),
    entry(Command::TakeBack, Group::Filing, &[ctrl_shift(Key::U)], &[Filing]),
    entry(Command::UseProposed, Group::Filing, &[ctrl_shift(Key::P)], &[Filing]),
    entry(Command::FileNow, Group::Filing, &[ctrl_shift(Key::F)], &[Filing]),
    entry(Command::EditTarget, Group::Exchange, &[shift(Key::F2)], &[Exchange]),
    entry(Command::ChooseTarget, Group::Exchange, &[ctrl_shift(Key::B)], &[Exchange]),
    entry(Command::MakeDocument, Group::Exchange, &[ctrl_shift(Key::F)], &[Exchange]),
];

impl Entry {
    /// What it is called.
    pub fn words(&self) -> String {
        tell!(&self.message())
    }

    /// What it does, in one sentence.
    pub fn help(&self) -> String {
        tell!(&format!("{}.help", self.message()))
    }

    /// The name of its words.
    fn message(&self) -> String {
        format!("command-{}", dashed(&format!("{:?}", self.command)))
    }
}

/// `switch-theme` from `SwitchTheme`.
fn dashed(name: &str) -> String {
    let mut dashed = String::new();
    for c in name.chars() {
        if c.is_uppercase() && !dashed.is_empty() {
            dashed.push('-');
        }
        dashed.extend(c.to_lowercase());
    }
    dashed
}

impl Command {
    /// What the table says of it.
    pub fn entry(self) -> &'static Entry {
        COMMANDS.iter().find(|e| e.command == self).expect("a test holds that every command is in the table")
    }

    /// Whether it only goes from one thing to the next, or answers: at the end of a list nobody needs to be told why not.
    pub(crate) fn only_goes(self) -> bool {
        use Key::{ArrowDown, ArrowLeft, ArrowRight, ArrowUp, End, Home, PageDown, PageUp};
        let goes = [ArrowDown, ArrowLeft, ArrowRight, ArrowUp, End, Home, PageDown, PageUp];
        let entry = self.entry();
        entry.group == Group::Queries || entry.keys.iter().all(|chord| goes.contains(&chord.key))
    }

    /// The words on the keycap of its first key, as the person has it.
    pub(crate) fn key_words(self, ui: &Ui) -> String {
        KeyMap::of(ui.ctx()).words(self)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_command_is_in_the_table_once_with_words_help_key_and_screen() {
        // `MakeDocument` is the last variant, so its number says how many there are.
        let listed: BTreeSet<usize> = COMMANDS.iter().map(|e| e.command as usize).collect();
        assert_eq!(listed.len(), COMMANDS.len(), "one is listed twice");
        assert_eq!(listed, (0..=Command::MakeDocument as usize).collect());
        for e in COMMANDS {
            assert!(e.words() != e.message() && e.help().ends_with('.'), "{:?}", e.command);
            assert!(!e.keys.is_empty() && !e.on.is_empty(), "{:?}", e.command);
        }
    }

    #[test]
    fn no_two_commands_share_a_key_on_one_screen() {
        for screen in ALL {
            let keys: Vec<Chord> =
                COMMANDS.iter().filter(|e| e.on.contains(screen)).flat_map(|e| e.keys).copied().collect();
            let distinct: BTreeSet<Chord> = keys.iter().copied().collect();
            assert_eq!(keys.len(), distinct.len(), "{screen:?}");
        }
    }

    #[test]
    fn bare_letters_belong_to_views_on_the_specimen_page() {
        for e in COMMANDS.iter().filter(|e| e.on.contains(&Specimen)) {
            for chord in e.keys.iter().filter(|c| !c.ctrl) {
                assert!(chord.key.name().len() > 1, "{:?}", e.command);
            }
        }
    }
}

//! The one table of commands. Keys, the searchable list, the help page and the buttons' keycaps are made from it.
//!
//! A [`Command`] is what can be asked for; it holds no data. What it does is in `run`.

use egui::Key;

use super::state::Screen;

/// Everything that can be asked for by a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each has its words and its help in the table")]
pub enum Command {
    Help,
    Commands,
    SwitchTheme,
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
    EditArchive,
    ChooseArchive,
    UseProposed,
    FileNow,
}

/// A key with its modifiers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chord {
    /// Ctrl, or Command on a Mac.
    pub ctrl: bool,
    /// Shift.
    pub shift: bool,
    /// The key.
    pub key: Key,
}

const fn bare(key: Key) -> Chord {
    Chord { ctrl: false, shift: false, key }
}
const fn shift(key: Key) -> Chord {
    Chord { ctrl: false, shift: true, key }
}
const fn ctrl(key: Key) -> Chord {
    Chord { ctrl: true, shift: false, key }
}
const fn ctrl_shift(key: Key) -> Chord {
    Chord { ctrl: true, shift: true, key }
}

impl Chord {
    /// The words on its keycap.
    pub fn words(self) -> String {
        let key = match self.key {
            Key::ArrowLeft => "←",
            Key::ArrowRight => "→",
            Key::ArrowUp => "↑",
            Key::ArrowDown => "↓",
            Key::PageUp => "PgUp",
            Key::PageDown => "PgDn",
            Key::Escape => "Esc",
            Key::Plus => "+",
            Key::Minus => "−",
            Key::Num1 => "1",
            other => other.name(),
        };
        let mut words = String::new();
        if self.ctrl {
            words.push_str("Ctrl ");
        }
        if self.shift {
            words.push_str("Shift ");
        }
        words + key
    }

    /// Whether a text field being typed in needs this key for itself.
    pub(crate) fn belongs_to_text(self) -> bool {
        let function = self.key >= Key::F1 && self.key <= Key::F35;
        let edits = [
            Key::Z,
            Key::Backspace,
            Key::Delete,
            Key::ArrowLeft,
            Key::ArrowRight,
            Key::ArrowUp,
            Key::ArrowDown,
        ];
        !function && self.key != Key::Escape && (!self.ctrl || edits.contains(&self.key))
    }
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
    /// Sets and frames.
    Sets,
    /// The filing step.
    Filing,
}

impl Group {
    /// Its head.
    pub fn words(self) -> &'static str {
        match self {
            Self::Always => "Everywhere",
            Self::Steps => "Steps",
            Self::Card => "Card",
            Self::Clocks => "Clocks",
            Self::Queries => "Queries",
            Self::DaySheet => "Day sheet",
            Self::Specimen => "Specimen",
            Self::Sets => "Frames and sets",
            Self::Filing => "Filing",
        }
    }
}

/// A command with all that is said about it.
#[derive(Debug)]
pub struct Entry {
    /// Which.
    pub command: Command,
    /// What it is called.
    pub words: &'static str,
    /// What it does, in one sentence.
    pub help: &'static str,
    /// Where it stands on the help page.
    pub group: Group,
    /// Its keys; the first is shown.
    pub keys: &'static [Chord],
    /// The screens it works on.
    pub on: &'static [Screen],
}

use Screen::{Card, DaySheet, Filing, Specimen, Start};

const ALL: &[Screen] = &[Start, Card, DaySheet, Specimen, Filing];
const OPEN: &[Screen] = &[Card, DaySheet, Specimen, Filing];
const QUERIES: &[Screen] = &[Card, DaySheet];
const FRAMES: &[Screen] = &[Card, Specimen];
const ROWS: &[Screen] = &[DaySheet, Specimen];
const EVIDENCE: &[Screen] = &[Card, DaySheet, Specimen];
const SHEET: &[Screen] = &[DaySheet];

const fn entry(
    command: Command,
    group: Group,
    keys: &'static [Chord],
    on: &'static [Screen],
    words: &'static str,
    help: &'static str,
) -> Entry {
    Entry { command, words, help, group, keys, on }
}

/// Every command.
#[rustfmt::skip]
pub const COMMANDS: &[Entry] = &[
    entry(Command::Help, Group::Always, &[bare(Key::F1)], ALL, "Help", "Shows all keys and what they do."),
    entry(Command::Commands, Group::Always, &[bare(Key::F10)], ALL, "Commands", "Lists what can be done here, to search and run."),
    entry(Command::SwitchTheme, Group::Always, &[ctrl_shift(Key::L)], ALL, "Light or dark", "Switches between the light and the dark look."),
    entry(Command::Back, Group::Always, &[bare(Key::Escape)], ALL, "Back", "Closes what is open, or goes back one step."),
    entry(Command::Undo, Group::Always, &[ctrl(Key::Z)], OPEN, "Undo", "Takes the last change back."),
    entry(Command::Redo, Group::Always, &[ctrl_shift(Key::Z)], OPEN, "Redo", "Does again what was taken back."),
    entry(Command::OpenCard, Group::Steps, &[ctrl(Key::O)], OPEN, "Another card", "Goes to the page where a card is chosen; the session is kept."),
    entry(Command::ChooseFolder, Group::Steps, &[ctrl_shift(Key::O)], &[Start], "Choose a folder", "Asks for the folder to read."),
    entry(Command::ReadTyped, Group::Steps, &[ctrl(Key::Enter)], &[Start], "Read the folder", "Reads the folder whose path is typed."),
    entry(Command::WatchTyped, Group::Steps, &[ctrl_shift(Key::Enter)], &[Start], "Watch the folder", "Takes frames in as they arrive in the folder whose path is typed; it may be empty still."),
    entry(Command::Watch, Group::Steps, &[bare(Key::F9)], ALL, "Watch, or stop watching", "Takes frames in as they arrive in the open folder, or stops doing so."),
    entry(Command::ChoosePlan, Group::Steps, &[ctrl(Key::P)], ALL, "Choose the plan", "Lists the rounds of views to choose from."),
    entry(Command::ForgetViews, Group::Steps, &[ctrl_shift(Key::Delete)], OPEN, "Forget learned views", "Asks whether to forget what this computer learned of the plan’s views from frames you confirmed."),
    entry(Command::GoCard, Group::Steps, &[bare(Key::F5)], OPEN, "Card", "Goes to what was read and where blanks lie."),
    entry(Command::GoDaySheet, Group::Steps, &[bare(Key::F6)], OPEN, "Day sheet", "Goes to the table of specimens and views."),
    entry(Command::GoSpecimen, Group::Steps, &[bare(Key::F7)], OPEN, "Specimen", "Opens the chosen specimen."),
    entry(Command::GoFiling, Group::Steps, &[bare(Key::F8)], OPEN, "Filing", "Goes to copying and renaming into the archive."),
    entry(Command::ToDaySheet, Group::Card, &[bare(Key::Enter)], &[Card], "To the day sheet", "Goes on to the table of specimens."),
    entry(Command::PreviousFrame, Group::Sets, &[bare(Key::ArrowLeft)], FRAMES, "Previous frame", "Chooses the frame before this one."),
    entry(Command::NextFrame, Group::Sets, &[bare(Key::ArrowRight)], FRAMES, "Next frame", "Chooses the frame after this one."),
    entry(Command::LineUp, Group::Card, &[ctrl(Key::ArrowUp)], &[Card], "Move the line up", "Lets a little more count as blank."),
    entry(Command::LineDown, Group::Card, &[ctrl(Key::ArrowDown)], &[Card], "Move the line down", "Lets a little less count as blank."),
    entry(Command::LineByDay, Group::Card, &[ctrl(Key::Home)], &[Card], "Let the day place the line", "Takes the line back from your hand; the day’s own frames place it."),
    entry(Command::SetClock, Group::Clocks, &[ctrl(Key::T)], FRAMES, "Correct this camera’s clock", "Types how far the clock of the chosen frame’s camera was off."),
    entry(Command::ClockShown, Group::Clocks, &[ctrl_shift(Key::T)], FRAMES, "This frame shows the time", "Types the time that can be read in the chosen frame; its camera is corrected by it."),
    entry(Command::LineUpClocks, Group::Clocks, &[ctrl(Key::L)], FRAMES, "Line two cameras up", "Marks this frame; pressed again on a frame of another camera that shows the same moment, corrects that one."),
    entry(Command::ClearClock, Group::Clocks, &[ctrl(Key::Delete)], FRAMES, "Clear the correction", "Takes back what was decided about the clock of the chosen frame’s camera."),
    entry(Command::LookCloser, Group::Sets, &[ctrl(Key::E)], OPEN, "Look closer, or stop", "Looks closer at every frame that was not looked at yet, or stops doing so."),
    entry(Command::Evidence, Group::Sets, &[bare(Key::F12)], EVIDENCE, "Evidence", "Shows what speaks for how the chosen frame was taken: kind, boundaries, view, quality."),
    entry(Command::NextQuery, Group::Queries, &[bare(Key::F3)], QUERIES, "Next query", "Focuses the next query."),
    entry(Command::PreviousQuery, Group::Queries, &[shift(Key::F3)], QUERIES, "Previous query", "Focuses the query before."),
    entry(Command::AnswerFirst, Group::Queries, &[bare(Key::Y)], QUERIES, "First answer", "Gives the focused query its first answer."),
    entry(Command::AnswerSecond, Group::Queries, &[bare(Key::N)], QUERIES, "Second answer", "Gives the focused query its second answer."),
    entry(Command::AnswerThird, Group::Queries, &[bare(Key::Num3)], QUERIES, "Third answer", "Gives the focused query its third answer, if it has one."),
    entry(Command::AnswerFourth, Group::Queries, &[bare(Key::Num4)], QUERIES, "Fourth answer", "Gives the focused query its fourth answer, if it has one."),
    entry(Command::RowUp, Group::DaySheet, &[bare(Key::ArrowUp)], SHEET, "Row up", "Chooses the specimen above."),
    entry(Command::RowDown, Group::DaySheet, &[bare(Key::ArrowDown)], SHEET, "Row down", "Chooses the specimen below."),
    entry(Command::RowsUp, Group::DaySheet, &[bare(Key::PageUp)], SHEET, "Page up", "Goes up by what fits on the screen."),
    entry(Command::RowsDown, Group::DaySheet, &[bare(Key::PageDown)], SHEET, "Page down", "Goes down by what fits on the screen."),
    entry(Command::FirstRow, Group::DaySheet, &[bare(Key::Home)], SHEET, "First specimen", "Chooses the first specimen."),
    entry(Command::LastRow, Group::DaySheet, &[bare(Key::End)], SHEET, "Last specimen", "Chooses the last specimen."),
    entry(Command::OpenSpecimen, Group::DaySheet, &[bare(Key::Enter)], SHEET, "Open the specimen", "Opens the chosen row."),
    entry(Command::LargerPictures, Group::DaySheet, &[ctrl(Key::Plus), ctrl(Key::Equals), ctrl_shift(Key::Plus), ctrl_shift(Key::Equals)], SHEET, "Larger pictures", "Makes the pictures of the sheet larger."),
    entry(Command::SmallerPictures, Group::DaySheet, &[ctrl(Key::Minus)], SHEET, "Smaller pictures", "Makes the pictures of the sheet smaller."),
    entry(Command::RetakeList, Group::DaySheet, &[bare(Key::F11)], OPEN, "Retake list, large", "Fills the window with the retake list, to be read at arm’s length."),
    entry(Command::HoldingLimit, Group::DaySheet, &[ctrl(Key::H)], OPEN, "Your holding limit", "Types how long you mean to hold an animal at most, by your own rule or your permit."),
    entry(Command::NextIncomplete, Group::DaySheet, &[bare(Key::F4)], ROWS, "Next incomplete", "Chooses the next specimen that is not complete."),
    entry(Command::EditJar, Group::Specimen, &[bare(Key::F2)], ROWS, "Write the jar", "Types the jar label of the chosen specimen; Enter goes on to the next row."),
    entry(Command::EditNote, Group::Specimen, &[shift(Key::F2)], &[Specimen], "Write a note", "Types the note of this specimen."),
    entry(Command::PreviousSpecimen, Group::Specimen, &[bare(Key::PageUp)], &[Specimen], "Previous specimen", "Opens the specimen before this one."),
    entry(Command::NextSpecimen, Group::Specimen, &[bare(Key::PageDown)], &[Specimen], "Next specimen", "Opens the specimen after this one."),
    entry(Command::ClearLabel, Group::Specimen, &[bare(Key::Backspace)], &[Specimen], "Clear the view", "Takes the confirmed view off this frame."),
    entry(Command::ConfirmProposed, Group::Specimen, &[ctrl(Key::Enter)], ROWS, "Confirm what is proposed", "Confirms every proposed view of this specimen."),
    entry(Command::PreferFrame, Group::Specimen, &[ctrl(Key::G)], &[Specimen], "Best of its view, or not", "Takes this frame for the best of its view, or leaves that to the measures again."),
    entry(Command::ZoomPixels, Group::Specimen, &[ctrl(Key::Num1)], &[Specimen], "Fitted or pixels", "Shows the picture fitted, or pixel for pixel."),
    entry(Command::SplitBefore, Group::Sets, &[ctrl(Key::B)], FRAMES, "Split before this frame", "Begins a new specimen with this frame."),
    entry(Command::JoinPrevious, Group::Sets, &[ctrl(Key::J)], ROWS, "Join with the previous", "Makes this specimen and the one before it one."),
    entry(Command::JoinNext, Group::Sets, &[ctrl_shift(Key::J)], ROWS, "Join with the next", "Makes this specimen and the one after it one."),
    entry(Command::SetAside, Group::Sets, &[ctrl(Key::D)], FRAMES, "Set aside, or take back", "Keeps the frame without using it, or uses it again."),
    entry(Command::TakeForBlank, Group::Sets, &[ctrl(Key::K)], FRAMES, "Blank or specimen", "Takes the frame for a blank, or for a specimen when it is one."),
    entry(Command::TakeForReference, Group::Sets, &[ctrl(Key::R)], FRAMES, "Reference frame", "Takes the frame for a ruler, grey card or clock, or back."),
    entry(Command::MoveFrame, Group::Sets, &[ctrl(Key::M)], FRAMES, "Move to another specimen", "Asks to which specimen this frame belongs."),
    entry(Command::TakeAsRetake, Group::Sets, &[ctrl_shift(Key::M)], ROWS, "A retake of an earlier one", "Asks of which earlier specimen this one is a retake, and joins them."),
    entry(Command::EditArchive, Group::Filing, &[bare(Key::F2)], &[Filing], "Type the archive", "Types the folder to file into."),
    entry(Command::ChooseArchive, Group::Filing, &[ctrl_shift(Key::O)], &[Filing], "Choose the archive", "Asks for the folder to file into."),
    entry(Command::UseProposed, Group::Filing, &[ctrl_shift(Key::P)], &[Filing], "Proposed views in names", "Lets views that are only proposed stand in file names, or not."),
    entry(Command::FileNow, Group::Filing, &[ctrl_shift(Key::F)], &[Filing], "File", "Copies, checks and renames everything into the archive."),
];

impl Command {
    /// What the table says of it.
    pub fn entry(self) -> &'static Entry {
        COMMANDS.iter().find(|e| e.command == self).expect("a test holds that every command is in the table")
    }

    /// The words on the keycap of its first key.
    pub(crate) fn key_words(self) -> String {
        self.entry().keys[0].words()
    }
}

/// The command of a key on a screen.
pub(crate) fn matching(screen: Screen, chord: Chord) -> Option<Command> {
    COMMANDS.iter().find(|e| e.on.contains(&screen) && e.keys.contains(&chord)).map(|e| e.command)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_command_is_in_the_table_once_with_words_help_key_and_screen() {
        // `FileNow` is the last variant, so its number says how many there are.
        let listed: BTreeSet<usize> = COMMANDS.iter().map(|e| e.command as usize).collect();
        assert_eq!(listed.len(), COMMANDS.len(), "one is listed twice");
        assert_eq!(listed, (0..=Command::FileNow as usize).collect());
        for e in COMMANDS {
            assert!(!e.words.is_empty() && e.help.ends_with('.'), "{:?}", e.command);
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

    #[test]
    fn text_fields_keep_what_they_need() {
        for chord in [bare(Key::Y), ctrl(Key::Z), ctrl_shift(Key::Z), bare(Key::Enter), bare(Key::ArrowLeft)]
        {
            assert!(chord.belongs_to_text(), "{chord:?}");
        }
        for chord in [ctrl(Key::D), bare(Key::F2), ctrl(Key::Enter), bare(Key::Escape), ctrl_shift(Key::F)] {
            assert!(!chord.belongs_to_text(), "{chord:?}");
        }
        assert_eq!(ctrl_shift(Key::Z).words(), "Ctrl Shift Z");
        assert_eq!(ctrl(Key::Minus).words(), "Ctrl −");
    }
}

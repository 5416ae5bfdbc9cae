//! What the window remembers that the session does not: the open screen, what is chosen, text being typed.

use std::collections::BTreeSet;
use std::path::PathBuf;

use filing::Unfinished;
use record::{Body, Determination, FrameId};

use super::colour_pick::ColourPick;
use super::exchange_state::ExchangeState;
use super::far_list::FarList;
use super::filing_lines::Column;
use super::marking::Marking;
use super::names_draft::NamesDraft;
use super::notes_draft::{AnswersDraft, NotebookDraft, TrackDraft};
use super::over::Over;
use super::preview::Preview;
use super::scoring::Scoring;
use super::sent_draft::SentDraft;
use super::sheet_order::{Only, Sort};
use super::side_page::SidePage;
use super::typed::{Owner, Typed};

/// The steps of the job, and the page before them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// No card yet.
    #[default]
    Start,
    /// The trace and what was read.
    Card,
    /// One row a specimen.
    DaySheet,
    /// One specimen, opened.
    Specimen,
    /// Copying into the archive.
    Filing,
    /// What is made of what is filed.
    Exchange,
}

/// What floats over a screen.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Overlay {
    /// All keys and what they do.
    Help,
    /// A list of commands to search; the text typed and the place chosen.
    Commands {
        /// Typed so far.
        text: String,
        /// Chosen line.
        at: usize,
        /// Whether the next key pressed becomes that of the chosen command.
        changing: bool,
        /// Why the last key could not be had.
        refused: Option<String>,
    },
    /// The plans to choose from.
    Plans {
        /// Chosen line.
        at: usize,
    },
    /// A question answered by typing.
    Ask {
        /// What is asked.
        question: Question,
        /// Typed so far.
        text: String,
        /// What was wrong with the last answer.
        refused: Option<String>,
    },
    /// Whether two frames of two cameras show one moment.
    LineUp {
        /// The frame whose camera's clock stands.
        stays: FrameId,
        /// The frame whose camera's clock is corrected.
        moves: FrameId,
    },
    /// The fields of the day, or of several specimens.
    Fields(Owner),
    /// What was sent to be named, and a sending as it is typed.
    Sent(Box<SentDraft>),
    /// Which file of notes to read; what was wrong with the last.
    ReadNotes {
        /// As typed.
        path: String,
        /// Why the last could not be read.
        refused: Option<String>,
    },
    /// A field notebook before it is taken.
    Notebook(Box<NotebookDraft>),
    /// A track before it is taken.
    Track(Box<TrackDraft>),
    /// Names that came back before they are taken.
    Answers(Box<AnswersDraft>),
    /// The map of the day.
    Map,
    /// How folders and files are named.
    Names(Box<NamesDraft>),
    /// Whether to take the last filing back.
    TakeBack,
    /// Whether to go on with a filing that was cut short.
    GoOn,
    /// Whether to forget what was learned of the plan's views.
    Forget,
    /// The retake list, large.
    Retakes(FarList),
    /// What speaks for how the frame in view was taken.
    Evidence,
    /// What can be done to what is chosen.
    Menu {
        /// Where it stands.
        corner: egui::Pos2,
        /// Chosen line.
        at: usize,
    },
}

/// What is asked and answered by typing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Question {
    /// To which specimen a frame belongs.
    MoveTo(FrameId),
    /// Of which earlier specimen the set of a frame is a retake.
    RetakeOf(FrameId),
    /// By how much the clock of a camera is to be corrected.
    Shift(Body),
    /// Which time a frame shows.
    Shown(FrameId),
    /// How long the person means to hold an animal at most.
    Limit,
    /// Which jar or number to go to.
    Find,
    /// The note of the sets of these frames.
    Note(Vec<FrameId>),
}

impl Overlay {
    /// The list of commands with nothing typed yet.
    pub(crate) fn commands() -> Self {
        Self::Commands { text: String::new(), at: 0, changing: false, refused: None }
    }

    /// What can be done, with its corner here.
    pub(crate) fn menu(corner: egui::Pos2) -> Self {
        Self::Menu { corner, at: 0 }
    }

    /// A question with nothing typed yet.
    pub(crate) fn ask(question: Question) -> Self {
        Self::Ask { question, text: String::new(), refused: None }
    }
}

/// How watching a folder stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct WatchState {
    /// The folder.
    pub(crate) folder: PathBuf,
    /// Why there is nothing to read in it just now.
    pub(crate) nothing: Option<&'static str>,
    /// How many frames came while it was watched.
    pub(crate) came: usize,
    /// The sets that closed last: the first frame of each, and in words that it closed and how it stands.
    pub(crate) closed: Vec<(FrameId, String)>,
    /// Frames read and frames to read, while it reads.
    pub(crate) reading: Option<(usize, usize)>,
}

/// A message that stays until it is closed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Notice {
    /// Whole sentences.
    pub(crate) words: String,
    /// Whether something went wrong.
    pub(crate) grave: bool,
}

/// The page before a card is open.
#[derive(Debug, Clone, Default)]
pub(crate) struct StartState {
    /// The path being typed.
    pub(crate) path: String,
    /// The plan to begin with, as a place on the shelf; `None` while none was chosen.
    pub(crate) plan: Option<usize>,
    /// Whether the path field should take the keyboard.
    pub(crate) focus: bool,
}

/// The card step.
#[derive(Debug, Clone, Default)]
pub(crate) struct CardState {
    /// The day as it would be with the line where it is being dragged.
    pub(crate) preview: Option<Preview>,
    /// The part of the day that the trace shows.
    pub(crate) part: Part,
}

/// A part of the day's frames, as shares of them from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Part {
    /// Where it begins.
    pub(crate) from: f32,
    /// Where it ends.
    pub(crate) to: f32,
}

impl Default for Part {
    fn default() -> Self {
        Self { from: 0.0, to: 1.0 }
    }
}

impl Part {
    /// Made narrower or wider by a factor about a share of the day that stays where it is; no narrower than `least`.
    pub(crate) fn zoomed(self, factor: f32, about: f32, least: f32) -> Self {
        let wide = (self.to - self.from) / factor;
        let wide = wide.clamp(least.min(1.0), 1.0);
        let from = about - (about - self.from) * wide / (self.to - self.from);
        Self::from_share(from, wide)
    }

    /// Moved by a share of the day.
    pub(crate) fn moved(self, by: f32) -> Self {
        Self::from_share(self.from + by, self.to - self.from)
    }

    /// Moved no more than needed for this share of the day to be in it.
    pub(crate) fn showing(self, share: f32) -> Self {
        self.moved((share - self.to).max(0.0) - (self.from - share).max(0.0))
    }

    fn from_share(from: f32, wide: f32) -> Self {
        let from = from.clamp(0.0, 1.0 - wide);
        Self { from, to: from + wide }
    }

    /// Whether it is the whole day.
    pub(crate) fn is_whole(self) -> bool {
        self.to - self.from >= 1.0
    }
}

/// A text of a record while it is typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Typing {
    /// Place of the set it belongs to.
    pub(crate) set: usize,
    /// As typed.
    pub(crate) text: String,
}

/// The day sheet.
#[derive(Debug, Clone)]
pub(crate) struct SheetState {
    /// Size of its pictures, as a place in [`SheetState::SCALES`].
    pub(crate) scale: usize,
    /// The jar label being typed.
    pub(crate) jar: Option<Typing>,
    /// Whether the chosen row should be scrolled to.
    pub(crate) reveal: bool,
    /// What its rows are sorted by.
    pub(crate) sort: Sort,
    /// Which rows it shows.
    pub(crate) only: Only,
    /// First frames of the sets chosen besides the one the keyboard is at.
    pub(crate) also: BTreeSet<FrameId>,
    /// Rows that fit on the screen, as last drawn.
    pub(crate) rows_shown: usize,
    /// The set whose row those who hear the window were at last, before something else had the keyboard.
    pub(crate) heard: Option<usize>,
}

impl SheetState {
    /// Sizes of pictures against the usual.
    pub(crate) const SCALES: [f32; 5] = [0.7, 0.85, 1.0, 1.3, 1.7];
}

impl Default for SheetState {
    fn default() -> Self {
        Self {
            scale: 2,
            jar: None,
            reveal: true,
            sort: Sort::default(),
            only: Only::default(),
            also: BTreeSet::new(),
            rows_shown: 5,
            heard: None,
        }
    }
}

/// The specimen step.
#[derive(Debug, Clone, Default)]
pub(crate) struct SpecimenState {
    /// Picture shown pixel for pixel rather than fitted.
    pub(crate) pixels: bool,
    /// Screen pixels a picture pixel when zoomed by the wheel; `None` for fitted or pixel for pixel.
    pub(crate) zoom: Option<f32>,
    /// Point of the picture in the middle, in parts of its size.
    pub(crate) middle: egui::Vec2,
    /// How the picture lay when it was last drawn.
    pub(crate) lies: Lies,
    /// What is shown over it.
    pub(crate) over: Option<Over>,
    /// The frame that is held beside the chosen one.
    pub(crate) beside: Option<FrameId>,
    /// The jar label being typed.
    pub(crate) jar: Option<Typing>,
    /// The note being typed.
    pub(crate) note: Option<Typing>,
    /// A field that should take the keyboard.
    pub(crate) focus: Option<Field>,
    /// The open page of the panel beside it.
    pub(crate) page: SidePage,
    /// Where the keyboard is in the list of characters.
    pub(crate) scoring: Scoring,
    /// The marks that are placed, moved and chosen.
    pub(crate) marking: Marking,
    /// The colour that is picked.
    pub(crate) pick: ColourPick,
}

/// A name that is being given to a specimen.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct NamingState {
    /// As typed so far.
    pub(crate) given: Determination,
    /// What was wrong with it.
    pub(crate) refused: Option<String>,
    /// Whether its first field should take the keyboard.
    pub(crate) focus: bool,
    /// The chosen one of the names offered.
    pub(crate) offered: Option<usize>,
    /// The name that is going to be superseded, and why, as typed so far.
    pub(crate) superseding: Option<(usize, String)>,
}

/// How a picture lies in its place.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Lies {
    /// Screen pixels a picture pixel.
    pub(crate) zoom: f32,
    /// The same if it were fitted.
    pub(crate) fitted: f32,
    /// Share of the picture that is seen, across and down.
    pub(crate) seen: egui::Vec2,
    /// Width and height of the full-size upright picture, px; `None` while they are not known.
    pub(crate) picture_px: Option<egui::Vec2>,
}

/// A text field of the specimen step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Field {
    /// The jar label.
    Jar,
    /// The note.
    Note,
}

/// The filing step.
#[derive(Debug, Clone, Default)]
pub(crate) struct FilingState {
    /// The archive, and a second one, as typed.
    pub(crate) archives: [String; 2],
    /// Whether proposed views stand in names.
    pub(crate) take_proposed: bool,
    /// Which of the two fields should take the keyboard.
    pub(crate) focus: Option<usize>,
    /// Of which archive the plan is shown.
    pub(crate) shown: usize,
    /// What its lines are sorted by.
    pub(crate) sort: Column,
    /// Whether the last comes first.
    pub(crate) reversed: bool,
    /// The chosen line.
    pub(crate) at: usize,
    /// Whether that should be scrolled to.
    pub(crate) reveal: bool,
    /// How far the lines are scrolled, as last drawn, px.
    pub(crate) offset_px: f32,
    /// Lines that fit on the screen, as last drawn.
    pub(crate) lines_shown: usize,
    /// How many filings and takings back ended since the window opened.
    pub(crate) filings: usize,
    /// What a filing that was cut short says of itself, once it was offered to go on with it.
    pub(crate) unfinished: Option<Unfinished>,
}

impl FilingState {
    /// The archives that are typed, the first of them first.
    pub(crate) fn archives_typed(&self) -> Vec<String> {
        let typed = self.archives.iter().map(|archive| archive.trim().to_owned());
        typed.filter(|archive| !archive.is_empty()).collect()
    }
}

/// All of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct UiState {
    /// The open screen.
    pub(crate) screen: Screen,
    /// What floats over it.
    pub(crate) overlay: Option<Overlay>,
    /// What is to be said.
    pub(crate) notice: Option<Notice>,
    /// The chosen specimen, as the place of its set.
    pub(crate) set: usize,
    /// The chosen frame.
    pub(crate) frame: Option<FrameId>,
    /// The frame marked to line two cameras up.
    pub(crate) marked: Option<FrameId>,
    /// The folder that is being watched.
    pub(crate) watch: Option<WatchState>,
    /// The focused query.
    pub(crate) query: usize,
    /// Where what is chosen was drawn last: there the menu opens when a key asks for it.
    pub(crate) chosen_at: egui::Pos2,
    /// The page before a card is open.
    pub(crate) start: StartState,
    /// The card step.
    pub(crate) card: CardState,
    /// The day sheet.
    pub(crate) sheet: SheetState,
    /// The specimen step.
    pub(crate) specimen: SpecimenState,
    /// The name being given.
    pub(crate) naming: NamingState,
    /// What is typed in fields of records.
    pub(crate) typed: Typed,
    /// The filing step.
    pub(crate) filing: FilingState,
    /// The exchange step.
    pub(crate) exchange: ExchangeState,
    /// The step to open once the card is read.
    pub(crate) opens: Option<Screen>,
}

impl UiState {
    /// Lets go of all that belongs to one day; sizes, archives and the like stay.
    pub(crate) fn forget_day(&mut self) {
        self.card = CardState::default();
        self.specimen = SpecimenState { page: self.specimen.page, ..SpecimenState::default() };
        self.typed = Typed::default();
        self.naming = NamingState::default();
        self.sheet.jar = None;
        self.sheet.also.clear();
        self.marked = None;
        (self.filing.at, self.filing.shown) = (0, 0);
    }
}

/// What a folder was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FolderFor {
    /// To be read.
    Card,
    /// To be filed into: the first archive or the second.
    Archive(usize),
    /// The archive that documents are made of.
    Exchange,
    /// Where a document is to stand.
    Target,
}

/// What a folder dialog answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum FolderAnswer {
    /// A folder.
    Chosen(PathBuf),
    /// The person closed it.
    Closed,
    /// It never showed.
    NoDialog,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_part_of_the_day_stays_within_it() {
        let part = Part::default().zoomed(4.0, 0.5, 0.01);
        assert_eq!(part, Part { from: 0.375, to: 0.625 }, "what is pointed at stays");
        assert_eq!(part.zoomed(2.0, 0.625, 0.01), Part { from: 0.5, to: 0.625 });
        assert_eq!(part.moved(-1.0), Part { from: 0.0, to: 0.25 });
        assert_eq!(part.moved(0.9), Part { from: 0.75, to: 1.0 });
        assert_eq!(part.showing(0.75), Part { from: 0.5, to: 0.75 });
        assert_eq!(part.showing(0.25), Part { from: 0.25, to: 0.5 });
        assert_eq!(part.showing(0.5), part);
        assert!(part.zoomed(0.1, 0.4, 0.01).is_whole() && !part.is_whole());
        let narrow = part.zoomed(1e6, 0.5, 0.05);
        assert!((narrow.to - narrow.from - 0.05).abs() < 1e-6, "no narrower than asked");
        assert_eq!(Part::default().zoomed(2.0, 0.5, 3.0), Part::default(), "a day of few frames");
    }
}

//! What screens ask for while they are drawn. Nothing happens before the frame is drawn.

use std::path::PathBuf;

use record::{Edit, FrameId, Naming, Standing, Term, ViewKey, Way};

use super::chord::Chord;
use super::command::Command;
use super::demo::Demo;
use super::exchange_state::Document;
use super::filing_lines::Column;
use super::marking::{MarkAsk, Place};
use super::scoring::ScoreAsk;
use super::side_page::SidePage;
use super::state::{FolderFor, Overlay, Question, Screen};
use super::typed::Owner;

/// Something to be done after the frame is drawn.
#[derive(Debug, Clone)]
pub(crate) enum Action {
    /// Runs a command, as its key would.
    Run(Command),
    /// Reads a folder.
    Open(PathBuf),
    /// Opens a day that was open before: the folder of its card, and the key of its session.
    OpenAgain(PathBuf, String),
    /// Watches a folder.
    Watch(PathBuf),
    /// Reads the card of a demo session, under its own name.
    OpenDemo(Demo),
    /// Asks for a folder.
    AskFolder(FolderFor),
    /// Writes a field as it is typed, although it is not as it should be.
    KeepTyped(Owner, Term),
    /// Sets the name that was typed beside those given to the specimen.
    Determine,
    /// Says how a name of the specimen stands, by its place.
    Stand(usize, Standing),
    /// Reads a file of notes.
    ReadNotes(PathBuf),
    /// Takes the notebook or track that is looked at.
    TakeNotes,
    /// Notes the sending that was typed.
    NoteSent,
    /// Notes the answer that was typed.
    NoteHeard,
    /// Scores a character, or goes to one.
    Score(ScoreAsk),
    /// Picks the colour there in the picture.
    PickColour(Place),
    /// Places, moves or measures a mark.
    Mark(MarkAsk),
    /// Opens a page of the panel beside the specimen.
    OpenPage(SidePage),
    /// Changes the session.
    Edit {
        /// What was done, for undo: “labelled frame 24 face”.
        words: String,
        /// The change.
        edit: Edit,
    },
    /// Answers a query.
    Answer {
        /// Which query.
        query: usize,
        /// Which of its answers.
        answer: usize,
    },
    /// Opens a screen.
    Go(Screen),
    /// Chooses a specimen, by the place of its set.
    ChooseSet(usize),
    /// Chooses a specimen besides those chosen already.
    ChooseSetBesides(usize),
    /// Chooses all specimens from the one the keyboard is at to this one, as the rows are shown.
    ChooseSetsTo(usize),
    /// Opens a specimen.
    OpenSet(usize),
    /// Chooses a frame.
    ChooseFrame(FrameId),
    /// Moves a frame to a specimen, by the place of its set.
    MoveFrame {
        /// Which frame.
        frame: FrameId,
        /// Where to.
        set: usize,
    },
    /// Confirms that the chosen frame shows the view with this letter, and goes on to the next frame.
    LabelByLetter(char),
    /// Confirms that a frame shows a view.
    Label {
        /// Which frame.
        frame: FrameId,
        /// Which view.
        view: ViewKey,
    },
    /// Focuses a query.
    FocusQuery(usize),
    /// Notes that the animal of a set left now.
    NoteLeft {
        /// The place of its set.
        set: usize,
        /// How it left.
        way: Way,
    },
    /// Forgets what was learned of the plan's views.
    ForgetViews,
    /// Takes another plan, by its place on the shelf.
    TakePlan(usize),
    /// Shows something over the screen, or nothing.
    Float(Option<Overlay>),
    /// Answers a question by what was typed.
    Reply {
        /// What was asked.
        question: Question,
        /// The answer as typed.
        text: String,
    },
    /// Corrects the clock of the second frame's camera, so that both show one moment.
    LineUp {
        /// The frame whose camera's clock stands.
        stays: FrameId,
        /// The frame whose camera's clock is corrected.
        moves: FrameId,
    },
    /// Writes what is being typed into the record.
    CommitTyping,
    /// Closes the message.
    CloseNotice,
    /// Asks the running job to stop.
    StopJob,
    /// Has filing rest, or go on.
    HoldFiling,
    /// Gives a command a key of the person's own.
    SetKey(Command, Chord),
    /// Turns the keys of a command off.
    TurnKeyOff(Command),
    /// Gives a command the keys of the table again.
    ResetKey(Command),
    /// Chooses what is to be made.
    ChooseDocument(Document),
    /// Looks at the archive that documents are made of.
    Survey,
    /// Says how sensitive an animal without a name counts.
    SetUnnamed(exchange::Sensitivity),
    /// Works out anew what filing would do.
    PlanFiling,
    /// Sorts the plan of filing by a column, the other way round when it is sorted by that already.
    SortPlan(Column),
    /// Chooses a line of that plan.
    ChooseLine(usize),
    /// Takes names that were chosen.
    TakeNames(Box<Naming>),
    /// Takes the last filing back.
    TakeBack,
    /// Goes on with a filing that was cut short.
    GoOn,
}

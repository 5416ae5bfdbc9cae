//! What the tool is unsure of: a question, its evidence, and answers that are edits.

use crate::{Edit, FrameId};

/// What a query is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum QueryKind {
    /// A frame lies between blank and specimen.
    BlankOrSpecimen,
    /// A set may hold two animals, or two sets one.
    WhereToSplit,
    /// No frame of the day is a blank.
    NoBlank,
    /// A short set may be a retake of an earlier specimen.
    Retake,
    /// A frame that stands alone may be a test shot.
    Stray,
    /// Two bodies' clocks seem to differ.
    ClockShift,
    /// A body's clock cannot be right: it was never set, or is ahead of the day the card is read.
    ClockSuspicious,
    /// A body's clock jumped, or its zone changed, between two frames.
    ClockJump,
}

impl QueryKind {
    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Self::BlankOrSpecimen => "blank-or-specimen",
            Self::WhereToSplit => "where-to-split",
            Self::NoBlank => "no-blank",
            Self::Retake => "retake",
            Self::Stray => "stray",
            Self::ClockShift => "clock-shift",
            Self::ClockSuspicious => "clock-suspicious",
            Self::ClockJump => "clock-jump",
        }
    }
}

/// An answer to a query, and what it does to the session.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Words on its button.
    pub words: String,
    /// The edit that records it.
    pub edit: Edit,
}

/// A question with its evidence.
#[derive(Debug, Clone, PartialEq)]
pub struct Query {
    /// What it is about.
    pub kind: QueryKind,
    /// The frames it is about, in order.
    pub frames: Vec<FrameId>,
    /// The question, in a few words.
    pub question: String,
    /// What speaks for it, in one or two sentences.
    pub evidence: String,
    /// What can be answered; the first is what the tool holds likelier, and has acted on. Empty where a
    /// person can only look.
    pub answers: Vec<Answer>,
}

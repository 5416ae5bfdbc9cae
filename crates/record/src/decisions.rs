//! What a person decided, kept apart from what was read and worked out, so that a card can be read
//! again and sets worked out again around it.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::{FrameId, FrameKind, SpecimenId, ViewKey};

/// A person's word on the place just before a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Boundary {
    /// A new set starts here.
    Split,
    /// The set goes on here, whatever lies between.
    Join,
}

/// A confirmed view.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Label {
    /// Which view the frame shows.
    pub view: ViewKey,
    /// Of which specimen.
    pub specimen: SpecimenId,
}

/// All decisions of a person about the frames of a session.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Decisions {
    /// Spread level below which a frame is a blank, when set by hand.
    pub blank_line: Option<f32>,
    /// Frames whose kind was decided.
    pub kinds: BTreeMap<FrameId, FrameKind>,
    /// Places just before a frame that were decided.
    pub boundaries: BTreeMap<FrameId, Boundary>,
    /// Frames moved by hand: into the set that holds the other frame.
    pub moves: BTreeMap<FrameId, FrameId>,
    /// Confirmed views.
    pub labels: BTreeMap<FrameId, Label>,
}

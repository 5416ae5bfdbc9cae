//! What a person decided, kept apart from what was read and worked out, so that a card can be read
//! again and sets worked out again around it.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::{Body, Frame, FrameId, FrameKind, SpecimenId, ViewKey};

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
    /// Frames taken for the best of their view, whatever was measured.
    #[serde(skip_serializing_if = "BTreeSet::is_empty")]
    pub preferred: BTreeSet<FrameId>,
    /// Seconds to add to what a body's clock said; 0 leaves a clock alone that would otherwise be corrected by
    /// estimate. Bodies that are not in it were not decided.
    pub clocks: BTreeMap<Body, f64>,
    /// First frames of sets that show an animal of their own, although each may look like a retake of an earlier one.
    pub own_animals: BTreeSet<FrameId>,
    /// How long, in minutes, the person means to hold an animal at most: their own limit or their permit's. None is
    /// claimed otherwise.
    pub holding_limit_min: Option<u16>,
}

impl Decisions {
    /// What part a frame plays: as decided, else as its blank verdict says; a frame that could not be judged
    /// counts as a specimen, so that it is never lost from its set.
    pub fn kind(&self, frame: &Frame) -> FrameKind {
        let judged = || match &frame.blank {
            Some(verdict) if verdict.is_blank() => FrameKind::Blank,
            _ => FrameKind::Specimen,
        };
        self.kinds.get(&frame.id).copied().unwrap_or_else(judged)
    }
}

//! Sets of frames, and the specimens that are written about.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::{CharacterKey, ColourNote, Departure, Determination, Fields, FrameId, Scores};

/// Names a specimen within its session. Given when something is first written or confirmed of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct SpecimenId(pub u32);

/// An animal and its record.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Specimen {
    /// Its name within the session.
    pub id: SpecimenId,
    /// The frames its set held when the record was begun: what it is known by while no view of it is
    /// confirmed. Never empty.
    pub anchors: Vec<FrameId>,
    /// The number it was filed under; `None` until filed.
    #[serde(default)]
    pub number: Option<u32>,
    /// Label of its jar.
    #[serde(default)]
    pub jar: String,
    /// Free words.
    #[serde(default)]
    pub note: String,
    /// How it left; `None` while it is held, or nobody noted it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<Departure>,
    /// What is filled in of it.
    #[serde(default, skip_serializing_if = "Fields::is_empty")]
    pub fields: Fields,
    /// The names given to it, in the order in which they were written down.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub determinations: Vec<Determination>,
    /// What was scored of its visible characters.
    #[serde(default, skip_serializing_if = "Scores::is_empty")]
    pub scores: Scores,
    /// The colours picked of its parts, beside the words scored.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub colours: BTreeMap<CharacterKey, ColourNote>,
}

impl Specimen {
    /// A record with nothing written in it, of the animal that these frames show.
    pub fn new(id: SpecimenId, anchors: Vec<FrameId>) -> Self {
        Self {
            id,
            anchors,
            number: None,
            jar: String::new(),
            note: String::new(),
            left: None,
            fields: Fields::new(),
            determinations: Vec::new(),
            scores: Scores::new(),
            colours: BTreeMap::new(),
        }
    }
}

/// The frames between two separators, as last worked out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Set {
    /// The number shown: the filed one, else its place in the day.
    pub number: u32,
    /// Its frames, in order. Never empty.
    pub frames: Vec<FrameId>,
    /// The blank that closes it.
    #[serde(default)]
    pub closed_by: Option<FrameId>,
    /// What the jar card says that was photographed with it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jar_card: Option<String>,
    /// The specimens whose record stands here; the first is the set's own. More than one when sets
    /// that both had a record were joined.
    #[serde(default)]
    pub specimens: Vec<SpecimenId>,
}

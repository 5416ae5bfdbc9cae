//! What a labelled card really holds: its `truth.json`.

use std::collections::BTreeSet;
use std::path::Path;

use anyhow::Context as _;
use serde::Deserialize;

/// A labelled card.
#[derive(Debug, Deserialize)]
pub(super) struct Truth {
    /// What the card tries.
    pub scenario: String,
    /// All frames, in the order they were shot.
    pub frames: Vec<TrueFrame>,
}

/// A labelled frame.
#[derive(Debug, Deserialize)]
pub(super) struct TrueFrame {
    /// Path on the card.
    pub path: String,
    /// Whether it is a blank.
    pub is_blank: bool,
    /// Number of its specimen; `None` for a blank.
    pub set: Option<usize>,
    /// What shows that a set starts here: `blank`, `gap` or `none`; only at the first frame of a set.
    #[serde(default)]
    pub boundary: Option<String>,
    /// What the frame shows, where that is labelled.
    #[serde(default)]
    pub view: Option<String>,
}

impl Truth {
    /// Reads a label file.
    pub(super) fn read(path: &Path) -> anyhow::Result<Self> {
        let text =
            std::fs::read_to_string(path).with_context(|| format!("Cannot be read: {}", path.display()))?;
        serde_json::from_str(&text).with_context(|| format!("No labels of a card: {}", path.display()))
    }

    /// Whether views are labelled, not sets alone.
    pub(super) fn has_views(&self) -> bool {
        self.frames.iter().any(|f| f.view.is_some())
    }

    /// The frames of each specimen, in order.
    pub(super) fn sets(&self) -> Vec<Vec<&TrueFrame>> {
        let numbers: BTreeSet<usize> = self.frames.iter().filter_map(|f| f.set).collect();
        numbers.iter().map(|n| self.frames.iter().filter(|f| f.set == Some(*n)).collect()).collect()
    }
}

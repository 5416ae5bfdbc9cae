//! What a labelled card really holds: its `truth.json`, or the `expected.json` of a demo session.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use anyhow::Context as _;
use serde::Deserialize;

/// A labelled card.
#[derive(Debug, Deserialize)]
pub(super) struct Truth {
    /// What the card tries, where that is said.
    #[serde(default)]
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
    #[serde(alias = "blank")]
    pub is_blank: bool,
    /// Number of its specimen, from 0; `None` for a blank.
    pub set: Option<usize>,
    /// What shows that a set starts here: `blank`, `gap` or `none`; only at the first frame of a set.
    #[serde(default)]
    pub boundary: Option<String>,
    /// What the frame shows, where that is labelled.
    #[serde(default)]
    pub view: Option<String>,
}

impl Truth {
    /// The label file of a folder that holds a card; `None` when there is none.
    pub(super) fn file_in(folder: &Path) -> Option<PathBuf> {
        ["truth.json", "expected.json"].map(|name| folder.join(name)).into_iter().find(|path| path.is_file())
    }

    /// Reads a label file.
    pub(super) fn read(path: &Path) -> anyhow::Result<Self> {
        let text =
            std::fs::read_to_string(path).with_context(|| format!("Cannot be read: {}", path.display()))?;
        Self::from_text(&text).with_context(|| format!("No labels of a card: {}", path.display()))
    }

    fn from_text(text: &str) -> serde_json::Result<Self> {
        let mut truth: Self = serde_json::from_str(text)?;
        let first = truth.frames.iter().filter_map(|f| f.set).min().unwrap_or(0);
        for set in truth.frames.iter_mut().filter_map(|f| f.set.as_mut()) {
            *set -= first;
        }
        Ok(truth)
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_kinds_of_label_files_are_read() {
        let made = r#"{"scenario":"x","frames":[{"path":"a","is_blank":false,"set":0,"view":"side"},
            {"path":"b","is_blank":true,"set":null}]}"#;
        let demo = r#"{"about":"x","plan":"p","frames":[{"path":"a","blank":false,"set":1,"view":"side","taken":null},
            {"path":"b","blank":true,"set":null,"view":null}]}"#;
        for text in [made, demo] {
            let truth = Truth::from_text(text).unwrap();
            assert!(truth.has_views() && truth.frames[1].is_blank, "{truth:?}");
            assert_eq!((truth.frames[0].set, truth.frames[1].set, truth.sets().len()), (Some(0), None, 1));
        }
    }
}

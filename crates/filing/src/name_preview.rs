//! How the files of a session would be called, to be shown while names are chosen.
//!
//! Goes in: a session and a naming that it need not have. Comes out: names as filing would give them in an empty archive.

use std::collections::{BTreeMap, BTreeSet};

use record::{FrameId, Naming, NamingFault, Session, ViewKey};

use crate::names;
use crate::stems::Stems;

/// An example of names, and how far they tell folders and frames apart by themselves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamePreview {
    /// Path of the frame in the session's folder, without the ending of its file.
    pub path: String,
    /// Folders of specimens that only a number added to the name tells from others.
    pub folders_alike: usize,
    /// Frames that only a number added to the name tells from others; none where the number is one of the fields.
    pub frames_alike: usize,
}

/// Names a frame by a naming.
///
/// # Errors
/// Says what is wrong with the naming.
pub fn preview_names(
    session: &Session,
    naming: &Naming,
    proposals: &BTreeMap<FrameId, ViewKey>,
    frame: FrameId,
) -> Result<Option<NamePreview>, NamingFault> {
    naming.check()?;
    let stems = Stems::named(session, naming.clone(), proposals);
    let mut preview = None;
    let (mut known, mut frames_alike) = (BTreeSet::new(), 0);
    for one in &session.frames {
        let stem = stems.stem(one);
        if one.id == frame {
            preview = Some(stem.numbered(1));
        }
        if !stem.has_n && !known.insert(names::folded(&stem.numbered(1))) {
            frames_alike += 1;
        }
    }
    let folders_alike = stems.folders_alike();
    Ok(preview.map(|path| NamePreview { path, folders_alike, frames_alike }))
}

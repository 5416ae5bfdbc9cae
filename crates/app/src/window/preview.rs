//! The day as it would be with the blank line somewhere else, while a person drags it.

use record::FrameId;

use crate::day::Day;

/// Days of more frames are split only when the drag ends: up to here it takes a few milliseconds.
const FRAMES_MOST: usize = 4_000;

/// A day split along another line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Preview {
    /// Where the line is.
    pub(crate) level: f32,
    /// For each frame of the day whether it would be a blank.
    pub(crate) blanks: Vec<bool>,
    /// The frames of each set there would be.
    pub(crate) sets: Vec<Vec<FrameId>>,
}

impl Preview {
    /// Splits a copy of the day's session along a line at `level`.
    pub(crate) fn of(day: &Day, level: f32) -> Self {
        let mut session = day.session.clone();
        session.decisions.blank_line = Some(level);
        import::judge_blanks(&mut session.frames, Some(level));
        let blanks = session.frames.iter().map(|f| session.kind(f) == record::FrameKind::Blank).collect();
        let sets = if session.frames.len() <= FRAMES_MOST {
            grouping::group_with(&session, &day.learned).sets.into_iter().map(|(frames, _)| frames).collect()
        } else {
            session.sets.iter().map(|s| s.frames.clone()).collect()
        };
        Self { level, blanks, sets }
    }
}

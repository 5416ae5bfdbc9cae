//! Where the frames of a session stand in its list, so that finding one takes no search.
//!
//! This is a hint, not knowledge: lists are rearranged from outside, so whoever asks looks whether the frame is there,
//! and searches when it is not. It is no part of what a session is: two sessions that differ in it alone are equal, and
//! it is not written.

use crate::{Frame, FrameId};

/// For each id the place of its frame when it was last noted. Ids are given in order, so the list has few holes.
#[derive(Debug, Clone, Default)]
pub struct Places(Vec<u32>);

impl Places {
    /// Notes where frames stand.
    pub(crate) fn of(frames: &[Frame]) -> Self {
        let ids = frames.iter().map(|f| f.id.0 as usize + 1).max().unwrap_or(0);
        // An id far beyond the number of frames is of a text written by hand; it is searched for.
        let mut places = vec![u32::MAX; ids.min(2 * frames.len())];
        for (frame, at) in frames.iter().zip(0..) {
            if let Some(place) = places.get_mut(frame.id.0 as usize) {
                *place = at;
            }
        }
        Self(places)
    }

    /// The place noted for an id; before any was noted that of a card read once, which has frames in order of id.
    pub(crate) fn hint(&self, id: FrameId) -> usize {
        self.0.get(id.0 as usize).map_or(id.0, |at| *at) as usize
    }
}

impl PartialEq for Places {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Session;
    use crate::edit::tests::{day, frame};

    #[test]
    fn notes_are_of_the_frames_given() {
        let frames = [7, 2, 9].map(|id| frame(id, "10:00:00"));
        let places = Places::of(&frames);
        assert_eq!(places.hint(FrameId(2)), 1);
        assert_eq!(places.0.len(), 6, "no list as long as the largest id");
        assert_eq!(Places::default().hint(FrameId(3)), 3);
    }

    #[test]
    fn after_arranging_every_hint_holds() {
        let mut session = day(40);
        session.frames.reverse();
        session.arrange(vec![]);
        for (frame, at) in session.frames.iter().zip(0..) {
            assert_eq!(session.places.hint(frame.id), at);
        }
        assert_eq!(session, Session { places: Places::default(), ..session.clone() });
    }

    proptest! {
        /// Whatever was done to the list since it was noted, a frame is found just when it is there.
        #[test]
        fn a_stale_hint_never_misleads(
            before in prop::collection::vec(0u32..12, 0..10),
            after in prop::collection::vec(0u32..12, 0..10),
        ) {
            let list = |ids: &[u32]| -> Vec<Frame> {
                let ids: std::collections::BTreeSet<&u32> = ids.iter().collect();
                let mut frames: Vec<Frame> = ids.into_iter().map(|id| frame(*id, "10:00:00")).collect();
                let half = frames.len() / 2;
                frames.rotate_left(half);
                frames
            };
            let mut session = day(0);
            session.frames = list(&before);
            session.arrange(vec![]);
            session.frames = list(&after);
            for id in 0..12 {
                let found = session.frame(FrameId(id)).map(|f| f.id.0);
                prop_assert_eq!(found, after.contains(&id).then_some(id));
            }
        }
    }
}

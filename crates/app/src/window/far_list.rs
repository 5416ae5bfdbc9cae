//! The large retake list: which of its lines is chosen, by the animal and not by the place, so that a line that comes or
//! goes puts nobody else under the keys. Nothing is drawn here.

use record::FrameId;

use super::open_day::OpenDay;

/// The large retake list as it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct FarList {
    /// The first frame of the chosen animal.
    animal: Option<FrameId>,
    /// The place of its line.
    pub(crate) at: usize,
    /// The animal that left last by this list: when that is taken back, it is the chosen one again.
    left: Option<FrameId>,
    /// Whether the chosen line should be scrolled to and take the keyboard.
    pub(crate) reveal: bool,
}

impl FarList {
    /// Brings the chosen line into line with the list as it is now. Where its animal has gone, the next one is chosen.
    pub(crate) fn settle(&mut self, open: &OpenDay) {
        if self.left.and_then(|left| place(open, left)).is_some() {
            self.animal = self.left.take();
            self.reveal = true;
        }
        match self.animal.and_then(|animal| place(open, animal)) {
            Some(at) => self.at = at,
            None => self.stand_at(open, self.at.min(open.held.len().saturating_sub(1))),
        }
    }

    /// Chooses the line at this place.
    pub(crate) fn choose(&mut self, open: &OpenDay, at: usize) {
        self.left = None;
        self.stand_at(open, at);
    }

    fn stand_at(&mut self, open: &OpenDay, at: usize) {
        let animal = open.held.get(at).and_then(|held| open.first_frame(held.retake.set));
        self.reveal |= at != self.at || animal != self.animal;
        (self.at, self.animal) = (at, animal);
    }

    /// The place of the chosen animal's set; `None` where it is on the list no more.
    pub(crate) fn set(&self, open: &OpenDay) -> Option<usize> {
        let at = place(open, self.animal?)?;
        Some(open.held[at].retake.set)
    }

    /// Remembers that the animal of this set leaves now.
    pub(crate) fn leaves(&mut self, open: &OpenDay, set: usize) {
        self.left = open.first_frame(set);
    }
}

/// The line of the animal that a frame shows.
fn place(open: &OpenDay, frame: FrameId) -> Option<usize> {
    let set = open.day.session.set_of(frame)?;
    open.held.iter().position(|held| held.retake.set == set)
}

//! The specimen frames of a session and what lies between them: what the day is split by.

use record::{Frame, FrameId, FrameKind, Session};

use crate::looks::Scale;
use crate::views::Known;
use crate::whiten::distance2;
use crate::{Place, Split};

/// The specimen frames of a day and what lies between them.
pub(crate) struct Day<'a> {
    pub shown: Vec<&'a Frame>,
    pub places: Vec<Place>,
    /// The first blank at each place, and after the last frame.
    blanks: Vec<Option<FrameId>>,
    /// Jar cards that were photographed alone.
    cards: Vec<Card<'a>>,
}

/// A jar card that was photographed alone.
struct Card<'a> {
    text: &'a str,
    /// How many specimen frames lie before it.
    before: usize,
    /// Whether a blank lies between it and the specimen frame before, or after.
    blank_before: bool,
    blank_after: bool,
}

impl<'a> Day<'a> {
    /// Frames that were moved by hand are left out: they follow the frame they were moved to.
    pub(crate) fn of(session: &'a Session, known: &Known<'_>) -> Self {
        let mut day = Self { shown: Vec::new(), places: Vec::new(), blanks: Vec::new(), cards: Vec::new() };
        let scale = day_scale(session);
        let mut place = Place::default();
        // No blank counts before the first frame.
        let mut blank_here = false;
        for frame in &session.frames {
            match session.kind(frame) {
                FrameKind::Specimen if !session.decisions.moves.contains_key(&frame.id) => {
                    if let Some(last) = day.shown.last() {
                        place.gap_secs = match (last.when(), frame.when()) {
                            // Time falls where a clock was reset: how long the pause was is not known.
                            (Some(a), Some(b)) => Some(b.secs_since(&a)).filter(|secs| *secs >= 0.0),
                            _ => None,
                        };
                        place.decided = session.decisions.boundaries.get(&frame.id).copied();
                        place.change = scale.as_ref().and_then(|scale| change(scale, last, frame));
                        place.restart = known.restart_odds(last.id, frame.id);
                        if let (None, Some(a), Some(b)) = (place.jar_card, &last.jar_card, &frame.jar_card) {
                            place.jar_card = Some(a != b);
                        }
                        day.places.push(place);
                    }
                    place = Place::default();
                    blank_here = false;
                    day.shown.push(frame);
                    day.blanks.push(None);
                }
                FrameKind::Blank => {
                    let decided = session.decisions.kinds.contains_key(&frame.id);
                    let prob = frame.blank.as_ref().filter(|_| !decided).map_or(1.0, |b| f64::from(b.prob));
                    place.blank_prob = place.blank_prob.max(prob);
                    blank_here = true;
                    let before = day.shown.len();
                    day.cards
                        .iter_mut()
                        .filter(|c| c.before == before)
                        .for_each(|c| c.blank_after |= !c.blank_before);
                    if let Some(blank) = day.blanks.last_mut() {
                        blank.get_or_insert(frame.id);
                    }
                }
                FrameKind::Reference => {
                    if let Some(text) = &frame.jar_card {
                        place.jar_card = Some(true);
                        let before = day.shown.len();
                        day.cards.push(Card { text, before, blank_before: blank_here, blank_after: false });
                    }
                }
                _ => {}
            }
        }
        day
    }

    /// The frames and closing blank of each set.
    pub(crate) fn sets(&self, split: &Split) -> Vec<(Vec<FrameId>, Option<FrameId>)> {
        let mut sets: Vec<(Vec<FrameId>, Option<FrameId>)> = Vec::new();
        for (at, frame) in self.shown.iter().enumerate() {
            match sets.last_mut() {
                Some(set) if !split.ends[at - 1] => set.0.push(frame.id),
                _ => sets.push((vec![frame.id], None)),
            }
            let ends = at + 1 == self.shown.len() || split.ends[at];
            if let (true, Some(set)) = (ends, sets.last_mut()) {
                set.1 = self.blanks[at];
            }
        }
        sets
    }

    /// Whether a blank follows any specimen frame.
    pub(crate) fn has_blanks(&self) -> bool {
        self.blanks.iter().any(Option::is_some)
    }

    /// The jar label of each set, as its card or the frames themselves say. A card between two sets belongs to the side
    /// of the blank it lies on; with no blank there, to the side on which this person's cards usually lie, by default
    /// to the set that follows.
    pub(crate) fn jar_cards(&self, split: &Split) -> Vec<Option<String>> {
        let opens = self.cards.iter().filter(|c| c.blank_before).count();
        let closes = self.cards.iter().filter(|c| c.blank_after).count();
        // For each specimen frame the set it is in.
        let mut set_of = Vec::with_capacity(self.shown.len());
        for at in 0..self.shown.len() {
            let before: usize = set_of.last().copied().unwrap_or(0);
            set_of.push(if at > 0 && split.ends[at - 1] { before + 1 } else { before });
        }
        let mut labels: Vec<Option<String>> = vec![None; set_of.last().map_or(0, |last| last + 1)];
        for card in &self.cards {
            let (last, next) =
                (card.before.checked_sub(1).map(|at| set_of[at]), set_of.get(card.before).copied());
            let closing = card.blank_after || !card.blank_before && closes > opens;
            let set = match (last, next) {
                (Some(last), Some(next)) => Some(if closing { last } else { next }),
                (None, next) => next,
                // Its animal is still to come.
                (Some(last), None) => (!card.blank_before).then_some(last),
            };
            if let Some(label) = set.and_then(|set| labels.get_mut(set)) {
                label.get_or_insert_with(|| card.text.to_owned());
            }
        }
        for (frame, set) in self.shown.iter().zip(&set_of) {
            if let (None, Some(text)) = (&labels[*set], &frame.jar_card) {
                labels[*set] = Some(text.clone());
            }
        }
        labels
    }
}

/// The scale of the day's descriptors; `None` where nothing was looked at.
fn day_scale(session: &Session) -> Option<Scale> {
    let all = session.frames.iter().filter_map(|f| Some(f.looks.as_ref()?.descriptor.as_slice()));
    let size = all.clone().map(<[f32]>::len).find(|n| *n > 0)?;
    Some(Scale::of(all.filter(|d| d.len() == size), size))
}

/// How unlike two frames look: root mean square of the differences of their descriptors on the day's scale.
fn change(scale: &Scale, a: &Frame, b: &Frame) -> Option<f64> {
    let on_scale = |f: &Frame| {
        let looks = f.looks.as_ref().filter(|l| scale.fits(&l.descriptor))?;
        Some(scale.apply(&looks.descriptor))
    };
    let (a, b) = (on_scale(a)?, on_scale(b)?);
    Some((distance2(&a, &b) / a.len() as f64).sqrt())
}

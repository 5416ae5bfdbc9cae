//! What a person noted of the colour of a part of an animal, and what was picked from a picture beside it.
//!
//! The word is the person's; what was picked is evidence and never changes it. Nothing is measured here.

use serde::{Deserialize, Serialize};

use crate::{CharacterKey, FrameId, StateKey};

/// A patch of a picture, px of the full-size picture, upright, from its upper left corner.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Patch {
    /// All within `radius` of `centre`.
    Circle {
        /// Its middle.
        centre: (f64, f64),
        /// px, above 0.
        radius: f64,
    },
    /// Upright, between two opposite corners.
    Rectangle((f64, f64), (f64, f64)),
    /// Within a closed line through three points or more.
    Polygon(Vec<(f64, f64)>),
}

/// A colour as picked from a picture.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Picked {
    /// The frame it was picked from.
    pub frame: FrameId,
    /// Where.
    pub patch: Patch,
    /// Width and height of the full-size upright picture then, px.
    pub picture_px: (u32, u32),
    /// Mean L\*, a\*, b\* (CIELAB, D65).
    pub lab: [f64; 3],
    /// Its spread on each axis, as a standard deviation.
    pub spread: [f64; 3],
    /// How many pixels were taken.
    pub pixels: u64,
    /// The two nearest words and how far each is, ΔE00; nearest first.
    pub nearest: [(StateKey, f64); 2],
    /// The blank it was balanced by; `None` when by none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub neutral: Option<FrameId>,
    /// Why the number is unsafe, in words; empty when nothing speaks against it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<String>,
}

/// The colour of a part of an animal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ColourNote {
    /// The part: a character whose states are colours.
    pub region: CharacterKey,
    /// Its colour, in the person's word.
    pub word: StateKey,
    /// What was picked beside it; `None` when it was judged by eye.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub picked: Option<Picked>,
}

/// What cannot be right about a picked colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, thiserror::Error)]
pub enum PickFault {
    /// A number is not finite.
    #[error("A number of the picked colour is not a number.")]
    NotFinite,
    /// The patch has no area: no radius, two corners in line, or fewer than three points.
    #[error("The patch has no area.")]
    NoArea,
    /// A point of the patch lies outside the picture; of a circle, its middle.
    #[error("The patch lies outside the picture.")]
    Outside,
    /// A polygon has a point twice.
    #[error("Two points of the patch lie at one place.")]
    Repeated,
    /// No pixel was taken, or the lightness, a spread or a distance is below 0.
    #[error("The picked colour cannot be one: no pixels, or numbers out of range.")]
    Range,
}

impl Picked {
    /// What cannot be right: the first thing found.
    pub fn check(&self) -> Result<(), PickFault> {
        let (points, area) = match &self.patch {
            Patch::Circle { centre, radius } => (vec![*centre], *radius),
            Patch::Rectangle(a, b) => (vec![*a, *b], (b.0 - a.0).abs() * (b.1 - a.1).abs()),
            Patch::Polygon(points) => (points.clone(), if points.len() < 3 { 0.0 } else { 1.0 }),
        };
        let far = [self.nearest[0].1, self.nearest[1].1];
        let places = points.iter().flat_map(|p| [&p.0, &p.1]);
        let mut numbers = places.chain(&self.lab).chain(&self.spread).chain(&far).chain([&area]);
        let (width, height) = (f64::from(self.picture_px.0), f64::from(self.picture_px.1));
        let outside = |p: &(f64, f64)| !((0.0..=width).contains(&p.0) && (0.0..=height).contains(&p.1));
        let twice = || points.iter().enumerate().any(|(i, p)| points[..i].contains(p));
        let not_below_0 = self.spread.iter().chain(&far).chain(&self.lab[..1]).all(|v| *v >= 0.0);
        if !numbers.all(|v| v.is_finite()) {
            Err(PickFault::NotFinite)
        } else if area <= 0.0 {
            Err(PickFault::NoArea)
        } else if points.iter().any(outside) {
            Err(PickFault::Outside)
        } else if twice() {
            Err(PickFault::Repeated)
        } else if self.pixels == 0 || !not_below_0 {
            Err(PickFault::Range)
        } else {
            Ok(())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn picked(patch: Patch) -> Picked {
        Picked {
            frame: FrameId(4),
            patch,
            picture_px: (600, 400),
            lab: [71.5, 2.0, 60.25],
            spread: [5.0, 1.0, 4.0],
            pixels: 1200,
            nearest: [("yellow".into(), 6.0), ("orange".into(), 19.5)],
            neutral: Some(FrameId(9)),
            doubts: vec![],
        }
    }

    #[test]
    fn a_note_keeps_all_of_itself_in_text() {
        for patch in [
            Patch::Circle { centre: (10.5, 20.0), radius: 6.0 },
            Patch::Rectangle((0.0, 0.0), (9.0, 8.0)),
            Patch::Polygon(vec![(0.0, 0.0), (9.0, 0.0), (4.5, 7.25)]),
        ] {
            let mut picked = picked(patch);
            assert_eq!(picked.check(), Ok(()));
            picked.doubts = vec!["the blank is dark: lightness 12 of 100".into()];
            let mut note =
                ColourNote { region: "hair-t2".into(), word: "yellow".into(), picked: Some(picked) };
            assert_eq!(ron::from_str::<ColourNote>(&ron::to_string(&note).unwrap()).unwrap(), note);
            note.picked = None;
            assert_eq!(ron::to_string(&note).unwrap(), "(region:\"hair-t2\",word:\"yellow\")");
        }
    }

    #[test]
    fn what_cannot_be_right_is_told() {
        let patch = |patch: Patch, fault: PickFault| assert_eq!(picked(patch).check(), Err(fault));
        patch(Patch::Circle { centre: (5.0, 5.0), radius: 0.0 }, PickFault::NoArea);
        patch(Patch::Circle { centre: (5.0, f64::NAN), radius: 1.0 }, PickFault::NotFinite);
        patch(Patch::Circle { centre: (605.0, 5.0), radius: 9.0 }, PickFault::Outside);
        patch(Patch::Rectangle((5.0, 5.0), (5.0, 9.0)), PickFault::NoArea);
        patch(Patch::Rectangle((5.0, 5.0), (9.0, 401.0)), PickFault::Outside);
        patch(Patch::Polygon(vec![(1.0, 1.0), (2.0, 2.0)]), PickFault::NoArea);
        patch(Patch::Polygon(vec![(1.0, 1.0), (2.0, 2.0), (1.0, 1.0)]), PickFault::Repeated);
        let number = |change: &dyn Fn(&mut Picked), fault: PickFault| {
            let mut picked = picked(Patch::Rectangle((0.0, 0.0), (9.0, 8.0)));
            change(&mut picked);
            assert_eq!(picked.check(), Err(fault));
        };
        number(&|p| p.pixels = 0, PickFault::Range);
        number(&|p| p.lab[0] = -1.0, PickFault::Range);
        number(&|p| p.spread[2] = -1.0, PickFault::Range);
        number(&|p| p.nearest[1].1 = -1.0, PickFault::Range);
        number(&|p| p.lab[1] = f64::INFINITY, PickFault::NotFinite);
    }
}

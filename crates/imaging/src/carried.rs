//! Whether a scale measured on one frame may be used on another.
//!
//! Go in: what is known of how either was taken. Come out: what differs, which changes how large things look, and what
//! cannot be checked because a camera did not record it. Either is for a person to judge; nothing is refused here.

/// How a frame was taken, as far as it tells how large things look on it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Setup {
    /// The body, in any words that tell it from others.
    pub body: Option<String>,
    /// The lens, likewise.
    pub lens: Option<String>,
    /// mm.
    pub focal_length_mm: Option<f64>,
    /// Distance focused at, mm.
    pub focus_distance_mm: Option<f64>,
    /// Width and height of the full-size picture, px.
    pub size_px: Option<(u32, u32)>,
}

/// What two frames should have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Common {
    /// The camera body.
    Body,
    /// The lens.
    Lens,
    /// The focal length.
    FocalLength,
    /// The distance focused at.
    FocusDistance,
    /// The size of the picture, upright or not.
    PictureSize,
}

impl Common {
    /// The words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Body => "camera body",
            Self::Lens => "lens",
            Self::FocalLength => "focal length",
            Self::FocusDistance => "focus distance",
            Self::PictureSize => "size of the picture",
        }
    }
}

/// What speaks against carrying a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Caveat {
    /// It differs: the scale is likely wrong.
    Differs(Common),
    /// One of the frames does not tell it: it cannot be checked.
    Unknown(Common),
}

/// Values of a camera within this share are the same. Exif keeps focal lengths to a tenth of a millimetre or coarser and
/// focus distances to a few digits; beyond it a length would change by as much. Our own choice.
const SAME: f64 = 0.01;

/// All that speaks against using a scale of `reference` on `frame`, in a fixed order; empty when all agrees.
pub fn caveats(reference: &Setup, frame: &Setup) -> Vec<Caveat> {
    let near = |a: &f64, b: &f64| (a - b).abs() <= SAME * a.abs().max(b.abs());
    let long_side_first = |(w, h): (u32, u32)| (w.max(h), w.min(h));
    let sizes = (reference.size_px.map(long_side_first), frame.size_px.map(long_side_first));
    [
        compared(Common::Body, reference.body.as_ref(), frame.body.as_ref(), |a, b| a == b),
        compared(Common::Lens, reference.lens.as_ref(), frame.lens.as_ref(), |a, b| a == b),
        compared(
            Common::FocalLength,
            reference.focal_length_mm.as_ref(),
            frame.focal_length_mm.as_ref(),
            near,
        ),
        compared(
            Common::FocusDistance,
            reference.focus_distance_mm.as_ref(),
            frame.focus_distance_mm.as_ref(),
            near,
        ),
        compared(Common::PictureSize, sizes.0.as_ref(), sizes.1.as_ref(), |a, b| a == b),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn compared<T>(
    what: Common,
    one: Option<&T>,
    other: Option<&T>,
    same: impl Fn(&T, &T) -> bool,
) -> Option<Caveat> {
    match (one, other) {
        (Some(one), Some(other)) => (!same(one, other)).then_some(Caveat::Differs(what)),
        _ => Some(Caveat::Unknown(what)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Caveat::{Differs, Unknown};
    use Common::{Body, FocalLength, FocusDistance, Lens, PictureSize};

    fn setup() -> Setup {
        Setup {
            body: Some("Invented One 4711".into()),
            lens: Some("Invented 60 mm".into()),
            focal_length_mm: Some(60.0),
            focus_distance_mm: Some(250.0),
            size_px: Some((6000, 4000)),
        }
    }

    fn check(change: impl Fn(&mut Setup), expected: &[Caveat]) {
        let mut other = setup();
        change(&mut other);
        assert_eq!(caveats(&setup(), &other), expected);
        assert_eq!(caveats(&other, &setup()), expected, "either way round");
    }

    #[test]
    fn what_differs_and_what_is_not_known_are_told_apart() {
        check(|_| (), &[]);
        check(|s| s.body = Some("Invented Two".into()), &[Differs(Body)]);
        check(|s| s.lens = Some("Invented 100 mm".into()), &[Differs(Lens)]);
        check(|s| s.lens = None, &[Unknown(Lens)]);
        check(|s| s.focal_length_mm = Some(60.3), &[]);
        check(|s| s.focal_length_mm = Some(62.0), &[Differs(FocalLength)]);
        check(|s| s.focus_distance_mm = Some(240.0), &[Differs(FocusDistance)]);
        check(|s| s.focus_distance_mm = None, &[Unknown(FocusDistance)]);
        check(|s| s.size_px = Some((4000, 6000)), &[]);
        check(|s| s.size_px = Some((3000, 2000)), &[Differs(PictureSize)]);
        let all = [Body, Lens, FocalLength, FocusDistance, PictureSize].map(Unknown);
        check(|s| *s = Setup::default(), &all);
    }
}

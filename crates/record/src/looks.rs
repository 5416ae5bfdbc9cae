//! What a closer look at a frame's subject brought: how good the picture of it is, and numbers to compare it by.
//!
//! These are measures and no judgement: what is good enough, and which view a frame shows, is worked out from those of
//! the whole day elsewhere. The look is taken in a second pass and may be missing.

use serde::{Deserialize, Serialize};

/// What a frame looks like.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Looks {
    /// The subject's shape, symmetry, size, texture and colour as numbers, all finite. Always as many, and in the same
    /// order, for frames looked at by one version of the program; each has its own scale. Empty when no subject was
    /// found.
    pub descriptor: Vec<f32>,
    /// How good the picture of the subject is.
    pub quality: Quality,
    /// Whether no usable blank lay near it, so that its own border stood in for the background.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub without_blank: bool,
}

/// How good the picture of a subject is.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Quality {
    /// How sharp the subject is, above 0. Comparable only between frames of one view on one day: some views have finer
    /// structure than others.
    pub focus: f32,
    /// Share of the subject that is blown out to white, 0..=1.
    pub blown_share: f32,
    /// Share of the subject that is lost in black, 0..=1.
    pub black_share: f32,
    /// Share of the frame that the subject covers, 0..=1.
    pub subject_share: f32,
    /// Whether the edge of the frame cuts the subject, and more of it than the tip of an antenna or a foot.
    pub edge_cut: bool,
    /// Whether a subject was found. If not, all else was measured over the whole frame and says little.
    pub subject_found: bool,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edit::tests::day;

    #[test]
    fn a_frame_keeps_its_looks_in_text_and_when_it_is_read_again() {
        let mut session = day(2);
        let unseen = session.frames[0].clone();
        assert!(
            !ron::to_string(&unseen).unwrap().contains("looks"),
            "nothing is written of what was not looked at"
        );
        let quality = Quality {
            focus: 3.5,
            blown_share: 0.01,
            black_share: 0.0,
            subject_share: 0.2,
            edge_cut: false,
            subject_found: true,
        };
        session.frames[0].looks = Some(Looks { descriptor: vec![0.25, -1.0], quality, without_blank: true });
        session.frames[0].jar_card = Some("21".into());
        let text = ron::to_string(&session.frames[0]).unwrap();
        assert_eq!(ron::from_str::<crate::Frame>(&text).unwrap(), session.frames[0]);

        // The picture was measured instead of its thumbnail.
        session.frames[0].spread =
            Some(crate::Spread { level: 9.0, frame: 9.0, tile: 9.0, grain: 1.0, mean: 99.0 });
        session.frames[0].faults.push("its thumbnail misleads".into());
        let seen = session.frames[0].clone();
        session.merge(vec![unseen]);
        assert_eq!(session.frames[0], seen, "read again without a closer look");
    }
}

//! Blanks told by the day's own line, or by one that a person placed.

use imaging::{Measured, blank};
use record::{BlankVerdict, Frame, Spread};

/// The line between blanks and specimens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlankLine {
    /// Spread level of the line: below it a frame is rather a blank.
    pub level: f32,
    /// Whether a person placed it.
    pub by_hand: bool,
    /// Whether the day showed no two classes, so that the usual line stands.
    pub one_class: bool,
}

/// Judges all frames that were measured and gives the line; the others keep no verdict.
///
/// Without a line by hand the day's own levels place it. A line by hand that is not above zero counts as none.
pub fn judge_blanks(frames: &mut [Frame], line_by_hand: Option<f32>) -> BlankLine {
    let line_by_hand = line_by_hand.filter(|line| line.is_finite() && *line > 0.0);
    let measures: Vec<Measured> = frames.iter().filter_map(|f| f.spread.map(measured)).collect();
    let day = blank::judge(&measures, line_by_hand);
    let mut verdicts = day.verdicts.into_iter();
    for frame in frames {
        frame.blank = match frame.spread {
            Some(_) => verdicts.next().map(|v| BlankVerdict { prob: v.prob, reason: v.reason }),
            None => None,
        };
    }
    BlankLine { level: day.line, by_hand: line_by_hand.is_some(), one_class: day.one_class }
}

fn measured(spread: Spread) -> Measured {
    let Spread { level, frame, tile, grain, mean } = spread;
    Measured { level, frame, tile, grain, mean }
}

#[cfg(test)]
mod tests {
    use record::TimeSource;

    use super::*;
    use crate::sample::frame;

    #[test]
    fn verdicts_go_to_their_own_frames() {
        let levels = [Some(20.0), None, Some(0.5), Some(30.0), Some(0.6)];
        let mut frames: Vec<Frame> = levels
            .iter()
            .map(|level| Frame {
                spread: level.map(|level| Spread { level, frame: 0.0, tile: 0.0, grain: 0.0, mean: 128.0 }),
                ..frame(0, "a.jpg", None, TimeSource::Absent)
            })
            .collect();
        let blanks = |frames: &[Frame]| -> Vec<_> {
            frames.iter().map(|f| f.blank.as_ref().map(BlankVerdict::is_blank)).collect()
        };
        let line = judge_blanks(&mut frames, None);
        assert_eq!(blanks(&frames), [Some(false), None, Some(true), Some(false), Some(true)]);
        assert!(!line.by_hand && !line.one_class);
        let line = judge_blanks(&mut frames, Some(25.0));
        assert_eq!(line, BlankLine { level: 25.0, by_hand: true, one_class: false });
        assert_eq!(blanks(&frames), [Some(true), None, Some(true), Some(false), Some(true)]);
        assert!(!judge_blanks(&mut frames, Some(-1.0)).by_hand);
    }
}

//! Blank or not: the day's own frames place the line between the two, within absolute limits.
//!
//! In go the measures of a day's frames; out come the line, whether the day showed two classes at all, and for
//! each frame the probability of a blank with its reason. What a person does about doubt is not decided here.

use crate::{Measured, otsu};

/// The line never lies lower: below this only grain, paper and rounding were measured. 18 of 21 labelled blanks
/// (sheets, open sky, capped lenses) lay below, no subject did.
const LOWEST_LINE: f64 = 2.2;

/// The line never lies higher: of 58 labelled subjects 55 lay above, the others being far out of focus or four stops
/// under. The highest blank lay at 3.7, and at 6.5 once a tray's rim was drawn into it.
const HIGHEST_LINE: f64 = 10.0;

/// The line of a day that shows only one class: midway, as a ratio, between the highest blank (3.7) and the least
/// subject (5.4) of 79 labelled pictures. Over 18 treatments each (1422 pictures) lines of 3.8 to 4.5 left 28 to 32
/// on the wrong side.
const SAFE_LINE: f64 = 4.4;

/// Levels are taken as no smaller and no larger than these when the day is split: how far below any line a
/// sheet lies, or how bold an animal is, says nothing about where the line is.
const SPLIT_RANGE: (f64, f64) = (1.0, 40.0);

/// Least share of variance between the classes. An even spread of values gives 0.75 (Otsu 1979), so less
/// than that is no split.
const LEAST_SEPARABILITY: f64 = 0.75;

/// Least ratio between the classes' nearest members for a split; closer than this they are one class.
const LEAST_GAP: f64 = 1.25;

/// How far, in log level, a day's line may lie from the usual one before its gap counts for less: a factor of
/// e at two of these. Otsu's criterion likes equal classes, and a day has some five subjects to a blank, so
/// without this the line creeps up among faint subjects.
const USUAL_WIDTH: f64 = 0.5;

/// Softness of the verdict in log level, when the day placed the line and when it could not. The doubtful band
/// (0.1..0.9) is ±2.2 of it: within a factor of 1.3 and 1.4 of the line. Of 1422 pictures 18 lay wrong outside the band
/// at 0.12 and 12 at 0.15, and 3 % and 4 % inside it.
const SOFTNESS: (f64, f64) = (0.12, 0.15);

/// Softness when a person placed the line: they looked, so it is meant.
const SOFTNESS_BY_HAND: f64 = 0.1;

/// Mean luma below which a reason speaks of darkness, and above which of glare.
const DARK_AND_BRIGHT: (f32, f32) = (16.0, 250.0);

/// A day's frames judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Level of the line: below it a frame is rather a blank.
    pub line: f32,
    /// Whether the day showed no two classes, so that the line is the safe one. Never with a line by hand.
    pub one_class: bool,
    /// One a frame, in order.
    pub verdicts: Vec<Verdict>,
}

/// A frame judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Probability that the frame is a blank, 0..=1; falls as the level rises.
    pub prob: f32,
    /// Why, in words.
    pub reason: String,
}

/// Judges a day's frames; a line by hand stands as given, unless it is not above zero.
///
/// The probability is 1/(1 + (level/line)^(1/softness)), a smooth function of the ratio alone.
/// No frames give the safe line and no verdicts.
pub fn judge(measures: &[Measured], line_by_hand: Option<f32>) -> Day {
    let by_hand = line_by_hand.map(f64::from).filter(|line| line.is_finite() && *line > 0.0);
    let (line, softness, one_class) = match (by_hand, line_of_day(measures)) {
        (Some(line), _) => (line, SOFTNESS_BY_HAND, false),
        (None, Some(line)) => (line, SOFTNESS.0, false),
        (None, None) => (SAFE_LINE, SOFTNESS.1, true),
    };
    let verdicts = measures.iter().map(|m| verdict(m, line, softness, one_class)).collect();
    Day { line: line as f32, one_class, verdicts }
}

/// Splits the day and gives the line; `None` when there is one class only.
///
/// The split is of log level, since classes differ by a ratio. Of the gaps that reach between the absolute
/// limits, Otsu's criterion chooses, with more trust in those near the usual line; gaps elsewhere lie within one
/// class, however wide.
fn line_of_day(measures: &[Measured]) -> Option<f64> {
    let logs: Vec<f64> =
        measures.iter().map(|m| f64::from(m.level).clamp(SPLIT_RANGE.0, SPLIT_RANGE.1).ln()).collect();
    let (lowest, highest) = (LOWEST_LINE.ln(), HIGHEST_LINE.ln());
    let line = |low: f64, high: f64| f64::midpoint(low, high).clamp(lowest, highest);
    let split = otsu(&logs, |low, high| {
        if high < lowest || low > highest {
            return 0.0;
        }
        let off = (line(low, high) - SAFE_LINE.ln()) / USUAL_WIDTH;
        (-off * off / 4.0).exp()
    })?;
    let (low, high) = split.gap;
    let clear = split.separability >= LEAST_SEPARABILITY && high - low >= LEAST_GAP.ln();
    clear.then(|| line(low, high).exp())
}

fn verdict(measured: &Measured, line: f64, softness: f64, one_class: bool) -> Verdict {
    // Far below any line all levels are alike; this also keeps the logarithm finite.
    let level = f64::from(measured.level).max(0.01);
    let prob = (1.0 / (1.0 + ((level / line).ln() / softness).exp())) as f32;
    let seen = if prob >= 0.9 {
        "even all over"
    } else if prob <= 0.1 {
        "something stands out"
    } else {
        "close to the line"
    };
    let mut reason = format!("{seen}: spread {:.1}, line {line:.1}", measured.level);
    if measured.mean < DARK_AND_BRIGHT.0 {
        reason += "; very dark";
    }
    if measured.mean > DARK_AND_BRIGHT.1 {
        reason += "; very bright";
    }
    if one_class {
        reason += "; the day shows no clear split, so the usual line stands";
    }
    Verdict { prob, reason }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(levels: &[f32], line: Option<f32>) -> Day {
        let measures: Vec<_> = levels
            .iter()
            .map(|level| Measured { level: *level, mean: 128.0, ..Measured::default() })
            .collect();
        judge(&measures, line)
    }

    fn marks(day: &Day) -> String {
        day.verdicts.iter().map(|v| if v.prob >= 0.5 { '_' } else { 'f' }).collect()
    }

    #[test]
    fn the_day_places_its_line_in_the_gap() {
        let plain = day(&[20.0, 25.0, 1.0, 30.0, 18.0, 1.5, 22.0], None);
        assert_eq!(marks(&plain), "ff_ff_f");
        assert!(!plain.one_class && (2.2..=10.0).contains(&plain.line), "{plain:?}");
        assert!(plain.verdicts.iter().all(|v| v.prob < 0.1 || v.prob > 0.9));
        // Rough cloth and bold animals move the line up; fine paper and faint animals down.
        assert_eq!(marks(&day(&[6.0, 30.0, 25.0, 6.5, 40.0, 35.0, 6.2], None)), "_ff_ff_");
        assert_eq!(marks(&day(&[0.8, 4.5, 4.6, 0.9, 4.4, 5.0, 0.8], None)), "_ff_ff_");
    }

    #[test]
    fn one_class_gets_the_safe_line() {
        let subjects = day(&[12.0, 14.0, 40.0, 45.0, 50.0, 13.0], None);
        assert!(subjects.one_class);
        assert_eq!(marks(&subjects), "ffffff");
        let blanks = day(&[0.2, 0.4, 1.8, 2.0], None);
        assert!(blanks.one_class);
        assert_eq!(marks(&blanks), "____");
        assert!(day(&[], None).one_class);
        assert!((day(&[5.0], None).line - 4.4).abs() < 1e-6);
        assert!(day(&[3.0, 3.5, 4.0, 4.5, 5.0, 5.5, 6.0], None).one_class, "evenly spread");
        assert!(day(&[7.0; 300], None).one_class && day(&vec![0.0; 10_000], None).one_class);
    }

    #[test]
    fn probability_falls_as_the_level_rises() {
        for line in [None, Some(1.0), Some(30.0)] {
            let levels: Vec<f32> = (0..400).map(|i| i as f32 * 0.2).collect();
            let day = day(&levels, line);
            assert!(day.verdicts.windows(2).all(|v| v[0].prob >= v[1].prob && v[1].prob >= 0.0), "{line:?}");
            assert!(day.verdicts.iter().all(|v| v.prob.is_finite()));
        }
    }

    #[test]
    fn a_line_by_hand_stands_and_only_the_ratio_counts() {
        let low = day(&[1.0, 2.0, 4.0], Some(2.0));
        let high = day(&[10.0, 20.0, 40.0], Some(20.0));
        assert_eq!((low.line, low.one_class), (2.0, false));
        for (a, b) in low.verdicts.iter().zip(&high.verdicts) {
            assert!((a.prob - b.prob).abs() < 1e-6);
        }
        assert!((low.verdicts[1].prob - 0.5).abs() < 1e-6, "on the line");
        assert_eq!(marks(&low), "__f");
        assert!(day(&[1.0], Some(f32::NAN)).one_class);
        assert!(day(&[1.0], Some(0.0)).one_class);
    }

    #[test]
    fn reasons_are_words_with_numbers() {
        let reasons: Vec<_> =
            day(&[20.0, 1.0, 1.0, 25.0], None).verdicts.into_iter().map(|v| v.reason).collect();
        assert!(reasons[0].starts_with("something stands out: spread 20.0, line "), "{reasons:?}");
        assert!(reasons[1].starts_with("even all over: spread 1.0, line "), "{reasons:?}");
        let dark = judge(&[Measured { mean: 3.0, ..Measured::default() }], None);
        assert!(dark.verdicts[0].reason.contains("very dark"));
    }
}

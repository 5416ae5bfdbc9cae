//! Pauses that are longer than is usual for the day: a meal, a walk to the next place, a flat battery.
//!
//! What is usual is learned from the day's own pauses, as it is for the evidence of boundaries. Where in a place the pause
//! lies is told from all frames there, blanks too.

use record::{FrameId, Session};

use crate::Split;
use crate::day::Day;

/// A pause that is longer than is usual for the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pause {
    /// The last frame before it, of any kind.
    pub before: FrameId,
    /// The first frame after it.
    pub after: FrameId,
    /// How long it is.
    pub secs: f64,
}

/// The long pauses of a day in order, at most one between two neighbouring specimen frames.
pub(crate) fn long_pauses(session: &Session, day: &Day<'_>, split: &Split) -> Vec<Pause> {
    let long = (0..day.places.len()).filter(|at| split.typical.is_long_pause(&day.places[*at]));
    long.filter_map(|at| longest_step(session, day.shown[at].id, day.shown[at + 1].id)).collect()
}

/// The longest step from one frame to the next between two frames of the day.
fn longest_step(session: &Session, from: FrameId, to: FrameId) -> Option<Pause> {
    let place = |id| session.frames.iter().position(|f| f.id == id);
    let between = session.frames.get(place(from)?..=place(to)?)?;
    let timed: Vec<_> = between.iter().filter_map(|f| Some((f.id, f.when()?))).collect();
    let steps = timed.windows(2).map(|step| {
        let secs = step[1].1.secs_since(&step[0].1);
        Pause { before: step[0].0, after: step[1].0, secs }
    });
    steps.max_by(|a, b| a.secs.total_cmp(&b.secs))
}

#[cfg(test)]
mod tests {
    use crate::group;
    use crate::group::tests::day;

    /// Long pauses as `3-4: 40 s`, by the places of the frames beside them.
    fn check(text: &str, expected: &[&str]) {
        let pauses = group(&day(text)).pauses;
        let words: Vec<String> =
            pauses.iter().map(|p| format!("{}-{}: {:.0} s", p.before.0, p.after.0, p.secs)).collect();
        assert_eq!(words, expected, "{text}");
    }

    #[test]
    fn an_ordinary_rhythm_has_no_long_pause() {
        check("fff_fff_fff_fff_", &[]);
        check("fff", &[]);
        check("f", &[]);
        check("", &[]);
        // Between all sets a minute is waited: that is the rhythm of this day.
        check("fff_~fff_~fff_~fff_", &[]);
    }

    #[test]
    fn a_longer_pause_lies_where_most_of_it_was_waited() {
        check("fff_~~~fff_fff_fff_fff_", &["3-4: 220 s"]);
        check("fff~~~_fff_fff_fff_fff_", &["2-3: 190 s"]);
        check("fff_fff_fff_ff~~~f_fff_fff_", &["13-14: 190 s"]);
    }

    #[test]
    fn a_pause_within_a_set_as_between_sets_is_ordinary() {
        // 70 s where sets lie 50 s apart.
        check("fff_fff_fff_ff~f_fff_fff_", &[]);
    }
}

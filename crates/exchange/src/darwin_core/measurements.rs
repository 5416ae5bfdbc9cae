//! Rows of measurements: lengths and ratios marked on the pictures, worked out by `imaging`, and scored characters.
//!
//! A mark without a scale, and not set beside another, has no length and no row. Accuracy is the expanded uncertainty (k = 2).

use std::collections::BTreeSet;

use imaging::Uncertain;
use imaging::measuring::{OutOfPlane, length, length_px, ratio};
use record::{FrameId, Mark, ScaleUsed};

use super::{Row, Table};
use crate::identity;
use crate::scale::scale_from;
use crate::shown::Shown;

const METHOD: &str = "measured on a photograph against a known length in it";
const METHOD_CARRIED: &str = "measured on a photograph against a known length in another taken alike";
const METHOD_RATIO: &str = "ratio of two lengths on one photograph";
pub(crate) const METHOD_SCORED: &str = "scored from photographs";

/// Rows of a specimen's marks and scores.
pub(super) fn rows(shown: &Shown<'_>) -> Vec<Row> {
    let frames: BTreeSet<FrameId> = shown.frames.iter().map(|frame| frame.id).collect();
    let marks =
        shown.session.marks.values().filter(|mark| mark.known.is_none() && frames.contains(&mark.frame));
    let measured = marks.filter_map(|mark| {
        let (value, unit, method) = worked_out(shown, mark)?;
        let expanded = value.expanded();
        let (value, accuracy) = places(expanded);
        Some(row(shown, &format!("mark {}", mark.id.0), &[&mark.what, &value, unit, &accuracy, method]))
    });
    let scores = shown.specimen.scores.iter().map(|(character, states)| {
        let share = |percent: Option<u8>| percent.map_or(String::new(), |percent| format!(" {percent} %"));
        let states: Vec<String> =
            states.iter().map(|score| format!("{}{}", score.state.as_str(), share(score.percent))).collect();
        let character = character.as_str();
        row(
            shown,
            &format!("character {character}"),
            &[character, &states.join(" | "), "", "", METHOD_SCORED],
        )
    });
    measured.chain(scores).collect()
}

/// The same in words, a line each: `intertegular distance 4.02 ± 0.04 mm`.
pub(crate) fn words(shown: &Shown<'_>) -> Vec<String> {
    let rows = rows(shown);
    let cell = |row: &Row, name: &str| row.cells[Table::Measurement.place(name)].clone();
    let words = |row: &Row| {
        let [what, value, unit, accuracy] =
            ["measurementType", "measurementValue", "measurementUnit", "measurementAccuracy"]
                .map(|name| cell(row, name));
        let accuracy = if accuracy.is_empty() { accuracy } else { format!(" ± {accuracy}") };
        format!("{what} {value}{accuracy} {unit}").trim_end().to_owned()
    };
    rows.iter().map(words).collect()
}

fn row(shown: &Shown<'_>, name: &str, [what, value, unit, accuracy, method]: &[&str; 5]) -> Row {
    Row::of(
        Table::Measurement,
        &[
            ("occurrenceID", &identity::urn(shown.id)),
            ("measurementID", &identity::urn(identity::measurement(shown.id, name))),
            ("measurementType", what),
            ("measurementValue", value),
            ("measurementUnit", unit),
            ("measurementAccuracy", accuracy),
            ("measurementMethod", method),
        ],
    )
}

/// A mark's length in mm or its ratio to another, its unit and how it was got.
fn worked_out(shown: &Shown<'_>, mark: &Mark) -> Option<(Uncertain, &'static str, &'static str)> {
    let marks = &shown.session.marks;
    let out = OutOfPlane { tilt_deg: mark.tilt_deg, depth_share: mark.depth_share };
    let px = length_px(&mark.points, mark.placing_px)?;
    if let Some(other) = mark.ratio_to {
        let other = marks.get(&other)?;
        let other_px = length_px(&other.points, other.placing_px)?;
        return Some((ratio(px, other_px, out)?, "", METHOD_RATIO));
    }
    let (frame, method) = match mark.scale {
        ScaleUsed::Unscaled => return None,
        ScaleUsed::SameFrame => (mark.frame, METHOD),
        ScaleUsed::Carried(frame) => (frame, METHOD_CARRIED),
    };
    let scale = scale_from(marks, frame, mark.picture_px)?;
    Some((length(px, scale, out).mm, "mm", method))
}

/// Value and uncertainty to the same place, as [`Uncertain::words`] has them.
fn places(value: Uncertain) -> (String, String) {
    let words = value.words();
    match words.split_once(" ± ") {
        Some((value, accuracy)) => (value.to_owned(), accuracy.to_owned()),
        None => (words, String::new()),
    }
}

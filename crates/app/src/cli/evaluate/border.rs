//! What the rim of a picture alone gives away of its view: a yardstick that a look at the subject must beat.

use std::collections::BTreeMap;
use std::path::Path;

use record::{Frame, ViewKey};

/// Pictures are reduced to so many columns and rows before their outermost ones are compared.
const GRID: (usize, usize) = (18, 12);
/// How many of the nearest confirmed frames vote.
const VOTES: usize = 5;

/// How many of the `rest` are told right by the five nearest confirmed frames, by border pixels alone.
pub(super) fn right(
    card: &Path,
    frames: &[Frame],
    known: &[(String, ViewKey)],
    rest: &BTreeMap<&str, &str>,
) -> usize {
    let rims: BTreeMap<&str, Vec<f64>> =
        frames.iter().filter_map(|f| Some((f.path(), rim(card, f)?))).collect();
    let taught: Vec<(&Vec<f64>, &ViewKey)> =
        known.iter().filter_map(|(path, view)| Some((rims.get(path.as_str())?, view))).collect();
    let is_right = |(path, view): &(&&str, &&str)| {
        rims.get(**path).and_then(|rim| vote(rim, &taught)).is_some_and(|v| v.as_str() == **view)
    };
    rest.iter().filter(is_right).count()
}

fn vote<'a>(rim: &[f64], taught: &[(&Vec<f64>, &'a ViewKey)]) -> Option<&'a ViewKey> {
    let distance = |other: &[f64]| -> f64 { rim.iter().zip(other).map(|(a, b)| (a - b).powi(2)).sum() };
    let mut nearest: Vec<(f64, &ViewKey)> = taught.iter().map(|(r, view)| (distance(r), *view)).collect();
    nearest.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut votes: BTreeMap<&ViewKey, usize> = BTreeMap::new();
    for (_, view) in nearest.iter().take(VOTES) {
        *votes.entry(view).or_default() += 1;
    }
    votes.into_iter().max_by_key(|(_, n)| *n).map(|(view, _)| view)
}

/// The outermost cells of a reduced picture, red, green and blue.
fn rim(card: &Path, frame: &Frame) -> Option<Vec<f64>> {
    let picture = import::thumbnail(card, frame, 160).ok()?.picture;
    let (columns, rows) = GRID;
    let mut cells = Vec::new();
    for cell in 0..columns * rows {
        let (x, y) = (cell % columns, cell / columns);
        if x > 0 && y > 0 && x + 1 < columns && y + 1 < rows {
            continue;
        }
        let at = (y * picture.height / rows * picture.width + x * picture.width / columns) * 3;
        cells.extend(picture.rgb.get(at..at + 3)?.iter().map(|v| f64::from(*v)));
    }
    Some(cells)
}

//! The places of a day, to be drawn.

use record::{Session, Term, parse_coordinates};

use super::widgets::map::Spot;

/// Where the specimens are by their records, and the day's own site. `chosen` is the place of a set.
pub(crate) fn spots(session: &Session, chosen: Option<usize>) -> Vec<Spot> {
    let place = |text: &str| parse_coordinates(text).ok().map(|place| (place.latitude, place.longitude));
    let mut spots = Vec::new();
    if let Some(at) = session.fields.get(&Term::Coordinates).and_then(|entry| place(&entry.text)) {
        let words = session.fields.get(&Term::Locality).map_or(String::new(), |entry| entry.text.clone());
        spots.push(Spot { at, words, is_specimen: false, chosen: false });
    }
    for (n, set) in session.sets.iter().enumerate() {
        let own = session.record_of(set).and_then(|s| s.fields.get(&Term::Coordinates));
        if let Some(at) = own.and_then(|entry| place(&entry.text)) {
            let words = set.number.to_string();
            spots.push(Spot { at, words, is_specimen: true, chosen: chosen == Some(n) });
        }
    }
    spots
}

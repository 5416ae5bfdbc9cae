//! A track becomes the places of a day's specimens, as one change.
//!
//! In goes a session with tracks as read; out comes a plan to be looked at. The place is that of the photograph: it is where
//! the animal was caught only if it was photographed there, which the record says.

use jiff::tz::Offset;
use notes::Tracks;
use record::{DayTrack, Edit, Entry, Session, Taken, Term};

use crate::field_notes::apply_next;
use crate::plans_of_notes::TrackPlan;

/// How far a camera's clock is thought to be wrong once it is corrected, s: it tells whole seconds, and was set by eye.
const CLOCK_ERROR_SECS: f64 = 2.0;

/// Works out where the first frame of each set was taken. `zone_min` is how far local time is ahead of UTC where the frames
/// do not say it. A place that stands already is written over only when `replaces` says so.
pub fn plan_track(
    session: &Session,
    name: &str,
    tracks: &Tracks,
    zone_min: Option<i16>,
    replaces: bool,
) -> TrackPlan {
    let (mut places, mut kept, mut edits) = (Vec::new(), Vec::new(), Vec::new());
    let mut session = session.clone();
    for set in 0..session.sets.len() {
        let record = session.record_of(&session.sets[set]);
        if record.is_some_and(|s| s.fields.contains_key(&Term::Coordinates)) && !replaces {
            kept.push(set);
            continue;
        }
        let first = session.sets[set].frames.first().and_then(|f| session.frame(*f)?.when());
        let found = match first.map(|taken| instant(&taken, zone_min)) {
            None => Err("its frames have no time".to_owned()),
            Some(None) => {
                Err("its frames do not say their zone: say how far local time is ahead of UTC".to_owned())
            }
            Some(Some(at)) => {
                notes::place_at(tracks, at, CLOCK_ERROR_SECS).map_err(|reason| reason.to_string())
            }
        };
        if let Ok(placed) = &found {
            let (lat, lon) = placed.decimal_text();
            let metres = format!("{:.0}", placed.uncertainty.total_m().ceil());
            let source = format!("track {name}, where the photograph was taken");
            for (term, text) in [
                (Term::Coordinates, format!("{lat}, {lon}")),
                (Term::CoordinateUncertaintyInMeters, metres),
                (Term::GeoreferenceSources, source),
            ] {
                let Some(edit) = session.fill_in(set, term, Some(Entry::knowingly(term, &text))) else {
                    continue;
                };
                apply_next(&mut session, set, &edit);
                edits.push(edit);
            }
        }
        places.push((set, found));
    }
    let points = |s: &notes::Segment| s.points.iter().map(|p| (p.latitude, p.longitude)).collect::<Vec<_>>();
    let stretches: Vec<_> = tracks.segments.iter().map(points).collect();
    let track = DayTrack::thinned(name, &stretches);
    if session.track.as_ref() != Some(&track) {
        edits.push(Edit::Track(Some(Box::new(track.clone()))));
    }
    let told = tracks.told.iter().map(ToString::to_string).collect();
    TrackPlan { places, kept, track, told, edit: (!edits.is_empty()).then_some(Edit::Many(edits)) }
}

/// The moment in UTC; `None` when no zone is known.
fn instant(taken: &Taken, zone_min: Option<i16>) -> Option<jiff::Timestamp> {
    let offset = taken.offset_min().or(zone_min)?;
    let offset = Offset::from_seconds(i32::from(offset) * 60).ok()?;
    offset.to_timestamp(taken.local()).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::day::{Day, OpenOptions};

    /// The demo session, whose frames say that they are an hour east of Greenwich.
    fn demo() -> Session {
        let card =
            std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-sessions/salt-marsh-bank/card");
        Day::open(&card, &OpenOptions::default(), None, &record::Silent).unwrap().session
    }

    /// An invented walk: north at a metre a second, from ten minutes before the first frame to a time after it.
    fn walk(session: &Session, minutes: i64) -> Tracks {
        let first = session.frames.iter().find_map(record::Frame::when).unwrap();
        let begins = instant(&first, None).unwrap().as_second() - 600;
        let point = |secs: i64| {
            let at = jiff::Timestamp::from_second(begins + secs).unwrap();
            // 60 m north are 0.000539 degrees.
            let lat = 52.2 + 0.000_539 * secs as f64 / 60.0;
            format!("<trkpt lat=\"{lat:.6}\" lon=\"0.12\"><time>{at}</time></trkpt>")
        };
        let points: String = (0..=minutes).map(|minute| point(minute * 60)).collect();
        let gpx = format!(
            "<gpx version=\"1.1\" creator=\"invented\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>{points}\
             </trkseg></trk></gpx>"
        );
        notes::read_gpx(gpx.as_bytes()).unwrap()
    }

    #[test]
    fn specimens_get_the_place_at_which_they_were_photographed_and_the_others_say_why_not() {
        let mut session = demo();
        let before = session.clone();
        let plan = plan_track(&session, "walk.gpx", &walk(&session, 30), None, false);
        let placed = plan.places.iter().filter(|(_, place)| place.is_ok()).count();
        assert!(placed > 2 && placed < session.sets.len(), "{placed} of {}", session.sets.len());
        let (_, last) = plan.places.last().unwrap();
        assert!(last.as_ref().unwrap_err().contains("after the track ends"), "{last:?}");
        let back = session.apply(plan.edit.as_ref().unwrap()).unwrap();
        let sets = session.sets.iter().map(|set| (set.frames.clone(), set.closed_by)).collect();
        session.arrange(sets);
        let text = |term| session.entry(session.record_of(&session.sets[0]), term).unwrap().text.clone();
        // Ten minutes of the walk: 600 m.
        assert_eq!(text(Term::Coordinates), "52.20539, 0.12000");
        // The receiver's 30 m, half of the leg of 60 m at most, and two seconds of walking.
        let metres: f64 = text(Term::CoordinateUncertaintyInMeters).parse().unwrap();
        assert!((30.0..=63.0).contains(&metres), "{metres}");
        assert!(text(Term::GeoreferenceSources).contains("walk.gpx"));
        assert!(session.track.is_some());
        // What has a place keeps it.
        let again = plan_track(&session, "walk.gpx", &walk(&session, 30), None, false);
        assert_eq!((again.kept.len(), &again.edit), (placed, &None));
        session.apply(&back).unwrap();
        assert_eq!(session.specimens, before.specimens);
    }

    #[test]
    fn without_a_zone_nothing_is_guessed() {
        let mut session = demo();
        let tracks = walk(&session, 30);
        for frame in &mut session.frames {
            let bare = |taken: Taken| Taken::new(taken.local(), "", None);
            (frame.taken, frame.at) = (frame.taken.map(bare), frame.at.map(bare));
        }
        let plan = plan_track(&session, "walk.gpx", &tracks, None, false);
        assert!(
            plan.places.iter().all(|(_, p)| p.as_ref().is_err_and(|e| e.contains("do not say their zone")))
        );
        let plan = plan_track(&session, "walk.gpx", &tracks, Some(60), false);
        assert!(plan.places[0].1.is_ok());
    }
}

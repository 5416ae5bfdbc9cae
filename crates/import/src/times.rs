//! When a frame was taken: the ladder of Exif dates, then the file's own time.
//!
//! Dates that are blank or cannot be are passed over, each with a fault in words. No zone is ever invented.

use std::time::SystemTime;

use jiff::Timestamp;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use record::{Frame, Taken, TimeSource};

use crate::pages::Pages;
use crate::tiff::Walk;

/// Tags of a date, its sub-second and its offset (CIPA DC-008), the rung of the ladder it is, and its name in words.
const LADDER: [(u16, u16, u16, TimeSource, &str); 3] = [
    (0x9003, 0x9291, 0x9011, TimeSource::Original, "capture time"),
    (0x9004, 0x9292, 0x9012, TimeSource::Digitized, "time of digitising"),
    (0x0132, 0x9290, 0x9010, TimeSource::Changed, "time of last change"),
];

/// The best date of a file's camera data; `None` when it has none that can be.
pub(crate) fn camera_time(
    pages: &mut Pages<'_>,
    camera: &Walk,
    faults: &mut Vec<String>,
) -> Option<(Taken, TimeSource)> {
    for (date, subsec, offset, source, words) in LADDER {
        let Some(text) = camera.text(pages, date) else { continue };
        match civil(&text) {
            Date::Is(local, remark) => {
                if let Some(remark) = remark {
                    faults.push(format!("the {words} {remark}"));
                }
                let offset = camera.text(pages, offset).and_then(|t| Taken::offset_from_exif(&t));
                let subsec = camera.text(pages, subsec).unwrap_or_default();
                return Some((Taken::new(local, &subsec, offset), source));
            }
            Date::Blank => faults.push(format!("the {words} in the camera data is blank")),
            Date::Impossible => {
                faults.push(format!("the {words} in the camera data cannot be: “{text}”"));
            }
        }
    }
    None
}

enum Date {
    /// A date, and what had to be put right in it.
    Is(DateTime, Option<&'static str>),
    Blank,
    Impossible,
}

/// Reads `2026:06:14 10:23:45` (Exif 2.32, 4.6.5), also with other marks between the numbers.
fn civil(text: &str) -> Date {
    let numbers: Vec<&str> = text.split(|c: char| !c.is_ascii_digit()).filter(|n| !n.is_empty()).collect();
    if numbers.iter().all(|n| n.bytes().all(|b| b == b'0')) {
        return Date::Blank;
    }
    let parsed: Option<Vec<i16>> = numbers.iter().take(6).map(|n| n.parse().ok()).collect();
    let Some([year, month, day, hour, minute, second]) =
        parsed.as_deref().and_then(|p| p.first_chunk()).copied()
    else {
        return Date::Impossible;
    };
    // Some writers round up to second 60.
    let remark = (second == 60).then_some("says second 60, which was read as 59");
    let small = |n: i16| i8::try_from(n).unwrap_or(-1);
    let second = if second == 60 { 59 } else { small(second) };
    match DateTime::new(year, small(month), small(day), small(hour), small(minute), second, 0) {
        // Year 0 stands for an unknown year.
        Ok(local) if year > 0 => Date::Is(local, remark),
        _ => Date::Impossible,
    }
}

/// A file's own time, in UTC and saying so: where the clock that wrote it stood is not known.
pub(crate) fn file_time(modified: Option<SystemTime>) -> Option<Taken> {
    let moment = Timestamp::try_from(modified?).ok()?;
    Some(Taken::new(TimeZone::UTC.to_datetime(moment).with().subsec_nanosecond(0).build().ok()?, "", Some(0)))
}

/// Most that the shift between camera and file time may differ between frames to be believed, in seconds.
/// FAT keeps file times in steps of 2 s, and a large file takes some seconds to be written.
const SHIFT_SLACK_SECS: f64 = 10.0;

/// Sets file times by the camera's clock where other frames of the card show how the two differ.
///
/// `modified` holds the file time of every frame. The shift is the median over frames that have both
/// times; it is used when more than half of those agree with it to within 10 s. Otherwise (a folder
/// copied without its times) nothing is changed.
pub(crate) fn set_file_times(frames: &mut [Frame], modified: &[Option<Taken>]) {
    let by_camera = |f: &Frame| matches!(f.time_source, TimeSource::Original | TimeSource::Digitized);
    let pairs = frames.iter().zip(modified).filter(|(f, _)| by_camera(f));
    let mut shifts: Vec<f64> = pairs.filter_map(|(f, m)| Some(f.taken?.secs_since(m.as_ref()?))).collect();
    shifts.sort_by(f64::total_cmp);
    let Some(shift) = shifts.get(shifts.len() / 2).copied() else { return };
    let agreeing = shifts.iter().filter(|s| (*s - shift).abs() <= SHIFT_SLACK_SECS).count();
    if agreeing * 2 <= shifts.len() {
        return;
    }
    let span = jiff::SignedDuration::from_secs(shift.round() as i64);
    for frame in frames.iter_mut().filter(|f| f.time_source == TimeSource::File) {
        if let Some(local) = frame.taken.and_then(|t| t.local().checked_add(span).ok()) {
            frame.taken = Some(Taken::new(local, "", None));
        }
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use super::*;
    use crate::sample::{Sample, frame};

    fn read(sample: &Sample) -> (Option<(String, TimeSource)>, Vec<String>) {
        let (stream, mut faults) = (sample.tiff_stream(), vec![]);
        let bytes = stream.as_slice();
        let mut pages = Pages::new(&bytes);
        let camera = crate::tiff::walk(&mut pages, 0, u64::MAX).unwrap();
        let time = camera_time(&mut pages, &camera, &mut faults);
        (time.map(|(t, s)| (t.to_string(), s)), faults)
    }

    #[test]
    fn each_rung_has_its_own_fraction_and_offset() {
        let mut sample = Sample {
            original: Some("2026:06:14 10:23:45"),
            subsec: Some("12"),
            offset: Some("+01:00"),
            digitized: Some("2026:06:14 11:00:00"),
            changed: Some("2026:06:20 20:00:00"),
            ..Sample::default()
        };
        // Exif 2.32: `SubSec` 12 is .12 s.
        let of = |text: &str, source| (Some((text.to_owned(), source)), vec![]);
        assert_eq!(read(&sample), of("2026-06-14T10:23:45.12+01:00", TimeSource::Original));
        sample.original = None;
        assert_eq!(
            read(&sample),
            of("2026-06-14T11:00:00", TimeSource::Digitized),
            "not the shutter's fraction"
        );
        sample.digitized = None;
        assert_eq!(read(&sample), of("2026-06-20T20:00:00", TimeSource::Changed));
        sample.changed = None;
        assert_eq!(read(&sample), (None, vec![]));
    }

    #[test]
    fn dates_that_cannot_be_are_passed_over_with_a_fault() {
        for (bad, words) in [
            ("    :  :     :  :  ", "is blank"),
            ("0000:00:00 00:00:00", "is blank"),
            ("2026:02:30 10:00:00", "cannot be: “2026:02:30 10:00:00”"),
            ("2026:06:14", "cannot be"),
            ("0000:06:14 10:00:00", "cannot be"),
            ("2026:06:14 25:00:00", "cannot be"),
            ("99999:99:99 1:1:1", "cannot be"),
        ] {
            let sample =
                Sample { original: Some(bad), changed: Some("2026:06:14 12:00:00"), ..Sample::default() };
            let (time, faults) = read(&sample);
            assert_eq!(time, Some(("2026-06-14T12:00:00".to_owned(), TimeSource::Changed)), "{bad}");
            assert!(faults.len() == 1 && faults[0].contains(words), "{bad}: {faults:?}");
        }
    }

    #[test]
    fn other_spellings_are_read() {
        for text in
            ["2026-06-14 10:23:45", "2026/06/14 10:23:45", "2026:06:14T10:23:45", "2026:06:14 10:23:45 "]
        {
            let (time, faults) = read(&Sample { original: Some(text), ..Sample::default() });
            assert_eq!((&time.unwrap().0[..19], faults.len()), ("2026-06-14T10:23:45", 0), "{text}");
        }
        let (time, faults) = read(&Sample { original: Some("2026:06:14 10:23:60"), ..Sample::default() });
        assert_eq!(&time.unwrap().0[..19], "2026-06-14T10:23:59");
        assert!(faults[0].contains("second 60"));
    }

    #[test]
    fn file_times_follow_the_cards_own_camera() {
        let at = |secs| file_time(Some(SystemTime::UNIX_EPOCH + Duration::from_secs(secs)));
        assert_eq!(at(1_781_432_625).unwrap().to_string(), "2026-06-14T10:23:45+00:00");
        assert_eq!(file_time(None), None);
        // Camera local time is two hours ahead of the file times.
        let mut frames = vec![
            frame(0, "a.jpg", Some("2026-06-14T12:23:45.50"), TimeSource::Original),
            frame(1, "b.jpg", Some("2026-06-14T10:23:55+00:00"), TimeSource::File),
            frame(2, "c.jpg", Some("2026-06-14T12:24:09"), TimeSource::Original),
        ];
        let modified = [at(1_781_432_625), at(1_781_432_635), at(1_781_432_648)];
        set_file_times(&mut frames, &modified);
        assert_eq!(frames[1].taken.unwrap().to_string(), "2026-06-14T12:23:56");
        // A copied folder: every file was written in the same second, which says nothing.
        frames[1].taken = at(0);
        frames[0].taken = "2026-06-14T08:00:00".parse().ok();
        let mut others = frames.clone();
        others[0].taken = "2026-06-14T06:00:00".parse().ok();
        frames.append(&mut others);
        let copied = [at(1_781_432_625); 6];
        set_file_times(&mut frames, &copied);
        assert_eq!(frames[1].taken, at(0));
    }
}

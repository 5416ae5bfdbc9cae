//! The order of the day.
//!
//! Capture time first, with its sub-seconds; within one second by DCF folder and number, with the wrap
//! 9999 → 0001; then by path. Never by the order in which the file system lists. A frame without a camera time
//! takes its place by number: right after the frame of its folder and prefix with the number before it.
//! Where there is no such neighbour its file time decides, and without that it comes last.

use record::{Frame, FrameId, TimeSource};

use crate::dcf;

/// A frame's place on the card, as far as its path is by the DCF rule.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Place {
    /// 0 for a folder whose name is not by the rule.
    folder_number: u16,
    folder: String,
    /// The first four characters, upper case.
    prefix: String,
    number: u16,
}

fn place(frame: &Frame) -> Option<Place> {
    let (folder, name) = frame.path().rsplit_once('/').unwrap_or(("", frame.path()));
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let number = dcf::file_number(stem)?;
    let folder_number = dcf::folder_number(folder.rsplit('/').next().unwrap_or_default()).unwrap_or(0);
    Some(Place { folder_number, folder: folder.to_owned(), prefix: stem[..4].to_uppercase(), number })
}

/// Puts frames in the order of the day and numbers them from 0.
pub(crate) fn arrange(frames: &mut Vec<Frame>) {
    let (mut timed, mut timeless): (Vec<Frame>, Vec<Frame>) = std::mem::take(frames)
        .into_iter()
        .partition(|f| f.taken.is_some() && f.time_source < TimeSource::File);
    timed.sort_by(|a, b| (a.taken.map(|t| t.local()), a.path()).cmp(&(b.taken.map(|t| t.local()), b.path())));
    for moment in timed.chunk_by_mut(|a, b| a.taken.map(|t| t.local()) == b.taken.map(|t| t.local())) {
        arrange_moment(moment);
    }
    timeless.sort_by_cached_key(|f| (place(f), f.taken, f.path().to_owned()));
    let mut placed: Vec<(Option<Place>, Frame)> = timed.into_iter().map(|f| (place(&f), f)).collect();
    for frame in timeless {
        let place = place(&frame);
        let at = position(&placed, place.as_ref(), &frame);
        placed.insert(at, (place, frame));
    }
    *frames = placed.into_iter().map(|(_, frame)| frame).collect();
    for (frame, id) in frames.iter_mut().zip(0..) {
        frame.id = FrameId(id);
    }
}

/// Numbers further apart than this, half of all, lie on both sides of the wrap.
const HALF: u16 = 5000;

/// Orders frames of one moment: by folder and number, then path. In a folder that holds numbers of both ends, the
/// low ones come after the high ones: the counter ran over within the moment.
fn arrange_moment(frames: &mut [Frame]) {
    if frames.len() < 2 {
        return;
    }
    let places: Vec<_> = frames.iter().filter_map(place).collect();
    let runs_over = |of: &Place| {
        let mut numbers = places.iter().filter(|p| p.folder == of.folder).map(|p| p.number);
        numbers.any(|n| n.saturating_sub(of.number) > HALF)
    };
    frames.sort_by_cached_key(|f| {
        let place = place(f);
        let over = place.as_ref().is_some_and(&runs_over);
        let by_number = place.map(|p| (p.folder_number, p.folder, over, p.number));
        (by_number.is_none(), by_number, f.path().to_owned())
    });
}

/// Where a frame without a camera time belongs among those that have their place.
fn position(placed: &[(Option<Place>, Frame)], own: Option<&Place>, frame: &Frame) -> usize {
    if let Some(own) = own {
        let neighbours = || {
            let with_place = placed.iter().enumerate().filter_map(|(i, (p, _))| Some((i, p.as_ref()?)));
            with_place.filter(|(_, p)| p.folder == own.folder && p.prefix == own.prefix)
        };
        let before = neighbours().filter(|(_, p)| p.number <= own.number).max_by_key(|(i, p)| (p.number, *i));
        if let Some((i, _)) = before {
            return i + 1;
        }
        if let Some((i, _)) = neighbours().min_by_key(|(i, p)| (p.number, *i)) {
            return i;
        }
    }
    match frame.taken {
        Some(taken) => placed.partition_point(|(_, f)| f.taken.is_some_and(|t| t.local() <= taken.local())),
        None => placed.len(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::frame;

    /// Arranges frames given as path and second of the minute, with fraction; `file` marks a file time.
    fn arranged(frames: &[(&str, &str)]) -> Vec<String> {
        let mut frames: Vec<_> = frames
            .iter()
            .map(|(path, time)| {
                let (time, source) = match time.split_once(' ') {
                    Some((time, _)) => (Some(time), TimeSource::File),
                    None if time.is_empty() => (None, TimeSource::Absent),
                    None => (Some(*time), TimeSource::Original),
                };
                let taken = time.map(|t| format!("2026-06-14T10:00:{t}"));
                frame(99, path, taken.as_deref(), source)
            })
            .collect();
        arrange(&mut frames);
        assert!(frames.iter().zip(0..).all(|(f, i)| f.id == FrameId(i)));
        frames.iter().map(|f| f.path().trim_start_matches("DCIM/").to_owned()).collect()
    }

    #[test]
    fn time_then_number_then_path() {
        assert_eq!(
            arranged(&[
                ("DCIM/100ABCDE/DSC_0003.JPG", "05"),
                ("DCIM/100ABCDE/DSC_0002.JPG", "05"),
                ("DCIM/100ABCDE/DSC_0009.JPG", "04.50"),
                ("DCIM/100ABCDE/DSC_0001.JPG", "04.75"),
                ("b.jpg", "05"),
                ("a.jpg", "05"),
            ]),
            [
                "100ABCDE/DSC_0009.JPG",
                "100ABCDE/DSC_0001.JPG",
                "100ABCDE/DSC_0002.JPG",
                "100ABCDE/DSC_0003.JPG",
                "a.jpg",
                "b.jpg"
            ]
        );
    }

    #[test]
    fn numbers_wrap_into_the_next_folder_and_within_one() {
        // DCF: after 9999 comes 0001, usually in the next directory.
        assert_eq!(
            arranged(&[("DCIM/101ABCDE/DSC_0001.JPG", "05"), ("DCIM/100ABCDE/DSC_9999.JPG", "05")]),
            ["100ABCDE/DSC_9999.JPG", "101ABCDE/DSC_0001.JPG"]
        );
        assert_eq!(
            arranged(&[("D/DSC_0001.JPG", "05"), ("D/DSC_9999.JPG", "05"), ("D/DSC_9998.JPG", "05")]),
            ["D/DSC_9998.JPG", "D/DSC_9999.JPG", "D/DSC_0001.JPG"]
        );
    }

    #[test]
    fn a_frame_without_camera_time_stands_by_its_number() {
        assert_eq!(
            arranged(&[
                ("D/DSC_0001.JPG", "10"),
                ("D/DSC_0002.JPG", ""),
                ("D/DSC_0003.JPG", "00 file"),
                ("D/DSC_0004.JPG", "20"),
                ("D/IMG_0003.JPG", "15"),
            ]),
            ["D/DSC_0001.JPG", "D/DSC_0002.JPG", "D/DSC_0003.JPG", "D/IMG_0003.JPG", "D/DSC_0004.JPG"]
        );
        assert_eq!(
            arranged(&[("D/DSC_0002.JPG", "10"), ("D/DSC_0001.JPG", "")]),
            ["D/DSC_0001.JPG", "D/DSC_0002.JPG"]
        );
    }

    #[test]
    fn without_neighbours_the_file_time_decides_then_the_path() {
        assert_eq!(
            arranged(&[("b.png", ""), ("a.png", ""), ("c.png", "07 file"), ("x.jpg", "05"), ("y.jpg", "09")]),
            ["x.jpg", "c.png", "y.jpg", "a.png", "b.png"]
        );
        // No camera time anywhere: numbers, whatever copying made of the file times.
        assert_eq!(
            arranged(&[
                ("D/DSC_0003.JPG", "01 file"),
                ("D/DSC_0001.JPG", "09 file"),
                ("D/DSC_0002.JPG", "05 file")
            ]),
            ["D/DSC_0001.JPG", "D/DSC_0002.JPG", "D/DSC_0003.JPG"]
        );
    }
}

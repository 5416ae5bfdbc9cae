//! Orders of small cards: folders, numbers, bursts, renamed files, two cards, clocks that fall.

use record::TimeSource;

use super::*;
use crate::clocks::Bodies;
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
    let body_of = Bodies::of(&frames).of;
    sort(&mut frames, &body_of);
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

#[test]
fn folders_count_on_and_one_number_may_be_in_two() {
    assert_eq!(
        arranged(&[
            ("DCIM/101ABCDE/DSC_0007.JPG", "05"),
            ("DCIM/100ABCDE/DSC_0007.JPG", "05"),
            ("DCIM/100ABCDE/DSC_0008.JPG", "05"),
        ]),
        ["100ABCDE/DSC_0007.JPG", "100ABCDE/DSC_0008.JPG", "101ABCDE/DSC_0007.JPG"]
    );
}

#[test]
fn a_burst_goes_by_its_fractions_unless_one_of_its_second_lacks_them() {
    let burst = [("D/DSC_0002.JPG", "05.25"), ("D/DSC_0003.JPG", "05.12"), ("D/DSC_0001.JPG", "05.50")];
    assert_eq!(arranged(&burst), ["D/DSC_0003.JPG", "D/DSC_0002.JPG", "D/DSC_0001.JPG"]);
    let lacking = [("D/DSC_0002.JPG", "05.25"), ("D/DSC_0003.JPG", "05"), ("D/DSC_0001.JPG", "05.50")];
    assert_eq!(arranged(&lacking), ["D/DSC_0001.JPG", "D/DSC_0002.JPG", "D/DSC_0003.JPG"]);
}

#[test]
fn files_renamed_on_the_card_go_by_time() {
    // Numbers that fall and rise at random say nothing against the clock.
    let names = ["D/BEES0003.JPG", "D/BEES0006.JPG", "D/BEES0001.JPG", "D/BEES0005.JPG", "D/BEES0002.JPG"];
    let renamed = [(names[0], "00"), (names[1], "10"), (names[2], "20"), (names[3], "30"), (names[4], "40")];
    assert_eq!(arranged(&renamed), renamed.map(|(path, _)| path));
    assert_eq!(
        arranged(&[("bee.jpg", "20"), ("another.jpg", "30"), ("D/DSC_0001.JPG", "25")]),
        ["bee.jpg", "D/DSC_0001.JPG", "another.jpg"]
    );
}

#[test]
fn two_cards_of_one_day_are_read_as_one() {
    // The second card has lower numbers and comes between: two trees are not held against each other.
    assert_eq!(
        arranged(&[
            ("one/DCIM/100ABCDE/DSC_0500.JPG", "00"),
            ("one/DCIM/100ABCDE/DSC_0501.JPG", "30"),
            ("two/DCIM/100ABCDE/DSC_0001.JPG", "10"),
            ("two/DCIM/100ABCDE/DSC_0002.JPG", "20"),
        ]),
        [
            "one/DCIM/100ABCDE/DSC_0500.JPG",
            "two/DCIM/100ABCDE/DSC_0001.JPG",
            "two/DCIM/100ABCDE/DSC_0002.JPG",
            "one/DCIM/100ABCDE/DSC_0501.JPG"
        ]
    );
}

#[test]
fn after_a_fall_of_the_clock_the_numbers_rule() {
    assert_eq!(
        arranged(&[
            ("DCIM/100ABCDE/DSC_9998.JPG", "30"),
            ("DCIM/100ABCDE/DSC_9999.JPG", "40"),
            ("DCIM/101ABCDE/DSC_0001.JPG", "00"),
            ("DCIM/101ABCDE/DSC_0003.JPG", "20"),
            ("DCIM/101ABCDE/DSC_0002.JPG", "10"),
        ]),
        [
            "100ABCDE/DSC_9998.JPG",
            "100ABCDE/DSC_9999.JPG",
            "101ABCDE/DSC_0001.JPG",
            "101ABCDE/DSC_0002.JPG",
            "101ABCDE/DSC_0003.JPG"
        ]
    );
    // Also where the numbers run over within one folder.
    assert_eq!(
        arranged(&[
            ("D/DSC_9998.JPG", "40"),
            ("D/DSC_9999.JPG", "50"),
            ("D/DSC_0001.JPG", "00"),
            ("D/DSC_0002.JPG", "05")
        ]),
        ["D/DSC_9998.JPG", "D/DSC_9999.JPG", "D/DSC_0001.JPG", "D/DSC_0002.JPG"]
    );
    // A counter that was set back is no clock that fell.
    assert_eq!(
        arranged(&[
            ("D/DSC_0500.JPG", "00"),
            ("D/DSC_0501.JPG", "10"),
            ("D/DSC_0001.JPG", "20"),
            ("D/DSC_0002.JPG", "30")
        ]),
        ["D/DSC_0500.JPG", "D/DSC_0501.JPG", "D/DSC_0001.JPG", "D/DSC_0002.JPG"]
    );
}

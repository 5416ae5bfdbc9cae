//! Demo (a): fourteen bumble bees of an invented salt-marsh bank, with everything that goes wrong on a real day.

use crate::random::Random;
use crate::script::{Animals, Body, Companion, Day, Script, Trouble};

/// The habitual round.
const ROUND: [&str; 5] = ["side", "head-top", "face", "above", "tip"];

/// The morning of the fourteen bees.
///
/// Wrong on purpose: numbers wrap in the middle of bee 5; bee 4 has two blanks; the blank after bee 7 was forgotten;
/// bee 6 lacks its face, bee 10 its tip; the face of bee 11 is out of focus; the view from above of bee 13 is cut short.
pub fn salt_marsh_bank() -> Script {
    // 09:12:05.37
    let start_hundredths = 9 * 360_000 + 12 * 6_000 + 537;
    let mut day = Day::begin(["MARSH", "MRS_"], [100, 9971], start_hundredths, Random::new(&[14, 6]));
    for bee in 1..=14 {
        match bee {
            1 => {}
            // The blank after bee 7 was forgotten while its jar was put away.
            8 => day.wait(96, 96),
            _ => day.next_jar(),
        }
        day.animal(&round_of(bee));
        change_frames(&mut day, bee);
        match bee {
            4 => {
                day.blank();
                day.blank();
            }
            7 => {}
            _ => day.blank(),
        }
    }
    Script {
        name: "salt-marsh-bank",
        about: "Invented: fourteen drawn bumble bees of a salt-marsh bank that does not exist, made by the generator beside it",
        plan: "bumble-bee",
        views: &ROUND,
        body: Body {
            make: "Invented Optics",
            model: "Field One",
            serial: "IO1-004417",
            focal_mm: 60,
            iso: 400,
        },
        date: "2026-06-14",
        offset: "+01:00",
        animals: Animals::BumbleBees,
        shots: day.end(),
        stray: vec![(
            "DCIM/100MARSH/READ_ME.TXT",
            "This card is invented. The bees on it are drawn, the camera was never built.\r\n",
        )],
    }
}

fn round_of(bee: u32) -> Vec<&'static str> {
    match bee {
        2 => vec!["side", "head-top", "face", "face", "above", "tip"],
        6 => vec!["side", "head-top", "above", "tip"],
        10 => vec!["side", "head-top", "face", "above"],
        12 => vec!["side", "head-top", "face", "above", "tip", "tip"],
        _ => ROUND.to_vec(),
    }
}

fn change_frames(day: &mut Day, bee: u32) {
    match bee {
        1 => day.change("side", |shot| shot.companions = vec![Companion::Raw]),
        8 => day.change("side", |shot| shot.companions = vec![Companion::SoundNote]),
        9 => day.hold_upright(),
        11 => day.change("face", |shot| shot.trouble = Some(Trouble::OutOfFocus)),
        13 => day.change("above", |shot| shot.trouble = Some(Trouble::CutShort)),
        14 => day.change("face", |shot| shot.companions = vec![Companion::Raw]),
        _ => {}
    }
}

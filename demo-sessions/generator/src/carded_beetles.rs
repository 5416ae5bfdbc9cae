//! Demo (b): six carded beetles on an evening at the bench, with another invented body and another plan.

use crate::random::Random;
use crate::script::{Animals, Body, Day, Script};

/// The habitual round; all four are required.
const ROUND: [&str; 4] = ["above", "side", "face", "underside"];

/// The evening of the six beetles.
///
/// Wrong on purpose: beetle 4 lacks its underside, and the last blank was not shot.
pub fn carded_beetles() -> Script {
    // 20:41:18.06
    let start_hundredths = 20 * 360_000 + 41 * 6_000 + 1_806;
    let mut day = Day::begin(["CARDS", "BTL_"], [104, 412], start_hundredths, Random::new(&[6, 4]));
    for beetle in 1..=6 {
        if beetle > 1 {
            day.next_jar();
        }
        let shot = if beetle == 4 { &ROUND[..3] } else { &ROUND[..] };
        day.animal(shot);
        if beetle < 6 {
            day.blank();
        }
    }
    Script {
        name: "carded-beetles",
        about: "Invented: six drawn beetles on cards, of no real species, made by the generator beside it",
        plan: "beetle",
        views: &ROUND,
        body: Body {
            make: "Invented Optics",
            model: "Bench Two",
            serial: "IO2-000923",
            focal_mm: 100,
            iso: 200,
        },
        date: "2026-07-02",
        offset: "+01:00",
        animals: Animals::Beetles,
        shots: day.end(),
        stray: Vec::new(),
    }
}

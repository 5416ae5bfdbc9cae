//! Colours of drawn patches under known light, and each reason to doubt one.

use crate::colour::Rgb;
use crate::colour_note::{ColourNote, Doubt, note};
use crate::{ColourWord, Region, cielab, delta_e};

const PATCH: Region = Region::Rectangle((100.0, 60.0), (140.0, 90.0));

/// A picture whose pixels follow from their place.
fn drawn(colour: impl Fn(usize, usize) -> [u8; 3]) -> Rgb {
    let (width, height) = (240, 160);
    let values = (0..width * height).flat_map(|i| colour(i % width, i / width)).collect();
    Rgb::new(width, height, values).unwrap()
}

/// Under light of this colour: each colour's linear light multiplied.
fn lit(colour: [u8; 3], light: [f64; 3]) -> [u8; 3] {
    let linear = colour.map(cielab::linear);
    cielab::to_coded([0, 1, 2].map(|i| linear[i] * light[i])).0
}

/// Grain of ±`by` that does not change means.
fn grained(colour: [u8; 3], x: usize, y: usize, by: u8) -> [u8; 3] {
    if (x + y).is_multiple_of(2) {
        colour.map(|c| c.saturating_add(by))
    } else {
        colour.map(|c| c.saturating_sub(by))
    }
}

fn told(patch: [u8; 3], ground: [u8; 3]) -> ColourNote {
    note(&drawn(|x, y| grained(patch, x, y, 3)), &PATCH, Some(&drawn(|_, _| ground))).unwrap()
}

#[test]
fn a_patch_under_grey_light_is_told_as_it_is() {
    for word in ColourWord::SINGLE {
        let centre = word.centre().unwrap();
        let said = told(centre, [180; 3]);
        assert_eq!((said.word, said.pixels), (word, 1200));
        assert!(delta_e(said.lab, cielab::lab(centre)) < 0.5, "{said:?}");
        assert_eq!(said.doubts, [], "{word:?}");
        assert!(said.shown().iter().zip(centre).all(|(g, e)| g.abs_diff(e) <= 1), "{:?}", said.shown());
    }
}

#[test]
fn the_colour_of_the_light_is_taken_away_by_the_blank() {
    // By the documented formula the light's colour goes exactly, but for rounding to 8 bits, and luminance of the blank
    // stays: here 0.2127 × 1.08 + 0.7152 × 1 + 0.0722 × 0.8 of the ground's.
    let light = [1.08, 1.0, 0.80];
    let brightness = 0.212_672_9 * 1.08 + 0.715_152_2 + 0.072_175 * 0.80;
    for word in ColourWord::SINGLE {
        let centre = word.centre().unwrap();
        let said = told(lit(centre, light), lit([150; 3], light));
        let expected = cielab::of_linear(centre.map(|c| cielab::linear(c) * brightness));
        assert!(delta_e(said.lab, expected) < 1.0, "{word:?}: {said:?}");
        assert_eq!(said.word, word);
        let without = note(&drawn(|_, _| lit(centre, light)), &PATCH, None).unwrap();
        assert!(delta_e(without.lab, expected) > delta_e(said.lab, expected));
        assert!(without.doubts.contains(&Doubt::NoNeutral) && without.neutral.is_none());
    }
}

#[test]
fn the_blank_itself_becomes_grey_and_keeps_its_luminance() {
    let blank = drawn(|_, _| [210, 140, 60]);
    let said = note(&blank, &PATCH, Some(&blank)).unwrap();
    assert!(said.lab[1].hypot(said.lab[2]) < 0.01, "{said:?}");
    assert!((said.lab[0] - cielab::lab([210, 140, 60])[0]).abs() < 0.01, "{said:?}");
}

#[test]
fn a_speck_on_the_blank_under_a_small_patch_does_not_matter() {
    let speck = |x: usize, y: usize| (48..52).contains(&x) && (48..52).contains(&y);
    let blank = drawn(|x, y| if speck(x, y) { [60, 20, 20] } else { [180; 3] });
    let patch = Region::Circle { centre: (50.0, 50.0), radius: 2.0 };
    let neutral = note(&drawn(|_, _| [90; 3]), &patch, Some(&blank)).unwrap().neutral.unwrap();
    assert!(delta_e(neutral.lab, cielab::lab([180; 3])) < 0.01, "{neutral:?}");
}

#[test]
fn light_that_changes_colour_over_the_frame_is_taken_where_the_patch_lies() {
    let light = |x: usize| [1.0 - x as f64 / 1500.0, 1.0, 0.8 + x as f64 / 1500.0];
    let blank = drawn(|x, _| lit([170; 3], light(x)));
    let picture = drawn(|x, _| lit([120; 3], light(x)));
    for from in [10.0, 190.0] {
        let patch = Region::Rectangle((from, 60.0), (from + 30.0, 90.0));
        let said = note(&picture, &patch, Some(&blank)).unwrap();
        assert!(said.lab[1].hypot(said.lab[2]) < 1.0, "{said:?}");
    }
    // A preview of the blank at a third of the size is the same part of the scene; a square one is not.
    let small = blank.clone().reduced(80);
    assert!(!note(&picture, &PATCH, Some(&small)).unwrap().doubts.contains(&Doubt::NeutralElsewhere));
    let square = Rgb::new(100, 100, vec![170; 30_000]).unwrap();
    assert_eq!(note(&picture, &PATCH, Some(&square)).unwrap().doubts[0], Doubt::NeutralElsewhere);
}

#[test]
fn stray_hairs_and_glints_do_not_move_the_mean() {
    let centre = ColourWord::Yellow.centre().unwrap();
    let clean = told(centre, [180; 3]);
    // Of every 25 columns one is white and one black.
    let stray = drawn(|x, y| match x % 25 {
        3 => [250; 3],
        11 => [10; 3],
        _ => grained(centre, x, y, 3),
    });
    let said = note(&stray, &PATCH, Some(&drawn(|_, _| [180; 3]))).unwrap();
    assert!(delta_e(said.lab, clean.lab) < 0.5, "{said:?}");
    assert!((said.spread[0] - clean.spread[0]).abs() < 0.5, "{said:?}");
}

#[test]
fn the_spread_is_a_standard_deviation() {
    // Grey levels of a normal distribution by its quantiles, L* 50 ± 5.
    let levels: Vec<[u8; 3]> = (0..200)
        .map(|i| {
            // An approximation to the normal quantile, here of the upper half; within 0.01 for the inner 80 %.
            let p: f64 = (f64::from(i) + 0.5) / 200.0;
            let upper = p.max(1.0 - p);
            let z = (p - 0.5).signum() * 5.5556 * (1.0 - ((1.0 - upper) / upper).powf(0.1186));
            cielab::to_coded(cielab::to_linear([50.0 + 5.0 * z, 0.0, 0.0])).0
        })
        .collect();
    let picture = drawn(|x, y| levels[(x + 37 * y) % 200]);
    let whole = Region::Rectangle((0.0, 0.0), (240.0, 160.0));
    let said = note(&picture, &whole, Some(&drawn(|_, _| [180; 3]))).unwrap();
    assert!((said.spread[0] - 5.0).abs() < 0.3, "{:?}", said.spread);
    assert!((said.lab[0] - 50.0).abs() < 0.3, "{:?}", said.lab);
}

/// The only doubt there is of a patch of this picture against this blank.
fn only_doubt(picture: &Rgb, region: &Region, blank: &Rgb) -> (ColourNote, Doubt) {
    let said = note(picture, region, Some(blank)).unwrap();
    let [doubt] = said.doubts[..] else { panic!("{:?}", said.doubts) };
    assert!(!doubt.words().is_empty());
    (said, doubt)
}

#[test]
fn each_reason_to_doubt_is_told_alone() {
    let yellow = ColourWord::Yellow.centre().unwrap();
    let (plain, grey) = (drawn(|_, _| yellow), drawn(|_, _| [180; 3]));
    let only = |blank: Rgb| only_doubt(&plain, &PATCH, &blank).1;
    let of = |picture: Rgb| only_doubt(&picture, &PATCH, &grey);
    assert!(matches!(only(drawn(|_, _| [200, 180, 150])), Doubt::NeutralNotGrey(c) if c > 15.0));
    assert!(matches!(only(drawn(|_, _| [45; 3])), Doubt::NeutralTooDark(l) if l < 20.0));
    let spotted = |x: usize, y: usize| if (x + y).is_multiple_of(8) { [255; 3] } else { [235; 3] };
    assert!(matches!(only(drawn(spotted)), Doubt::NeutralBlown(s) if (s - 0.125).abs() < 0.01));
    let fading = drawn(|x, _| [(200 - x / 3) as u8; 3]);
    assert!(matches!(only(fading), Doubt::LightUneven(t) if t > 2.0 && t < 4.0));
    let glossy = drawn(|x, y| if (x + y).is_multiple_of(15) { [255; 3] } else { yellow });
    assert!(matches!(of(glossy).1, Doubt::PatchBlown(s) if s > 0.05 && s < 0.08));
    let dark = drawn(|x, y| if (x + y).is_multiple_of(2) { [1; 3] } else { [12; 3] });
    assert!(matches!(of(dark).1, Doubt::PatchBlack(s) if (s - 0.5).abs() < 0.01));
    let small = Region::Circle { centre: (50.0, 50.0), radius: 5.0 };
    assert!(matches!(only_doubt(&plain, &small, &grey).1, Doubt::PatchSmall(60..=100)));
    let (said, doubt) = of(drawn(|x, _| if x % 8 < 4 { yellow } else { [30; 3] }));
    assert!(matches!(doubt, Doubt::SpreadWide(s) if s > 30.0) && said.word == ColourWord::Mixed);
    assert!(matches!(of(drawn(|_, _| [228, 161, 50])).1, Doubt::TwoWordsNear(a) if a < 5.0));
    assert!(matches!(of(drawn(|_, _| [0, 0, 200])).1, Doubt::FarFromWords(f) if f > 30.0));
}

#[test]
fn what_cannot_be_told_is_not_told() {
    let picture = drawn(|_, _| [90; 3]);
    let beyond = Region::Rectangle((500.0, 0.0), (600.0, 100.0));
    assert_eq!(note(&picture, &beyond, None), None);
    assert_eq!(note(&Rgb::default(), &PATCH, Some(&picture)), None);
    // A blank without blue light cannot balance.
    let said = note(&picture, &PATCH, Some(&drawn(|_, _| [200, 200, 0]))).unwrap();
    assert!(said.neutral.is_none() && said.doubts == [Doubt::NoNeutral], "{said:?}");
    assert!(note(&picture, &PATCH, Some(&Rgb::default())).unwrap().neutral.is_none());
}

#[test]
fn a_patch_cut_by_the_edge_takes_the_part_within() {
    let blank = drawn(|x, _| if x < 30 { [200, 190, 180] } else { [60; 3] });
    let picture = drawn(|_, _| [120; 3]);
    let said = note(&picture, &Region::Rectangle((-400.0, 20.0), (20.0, 60.0)), Some(&blank)).unwrap();
    let expected = cielab::lab([200, 190, 180]);
    assert!(delta_e(said.neutral.unwrap().lab, expected) < 0.5, "{said:?}");
}

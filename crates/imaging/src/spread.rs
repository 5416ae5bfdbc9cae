//! How far luma spreads over a preview, and the one level by which blanks are told.
//!
//! Plain variance calls a vignetted sheet full and a dark bee blank. So, from a preview of some 160 px: luma becomes
//! contrast on a logarithmic scale, on which light multiplies away; the light is taken off over the whole frame
//! ([`Surface`]) and once more as a plane in each of many windows; what is left in a window is cleared of what most
//! windows have (grain, paper, cloth), of what strong light leaves behind, and of what runs one way only (folds, rims,
//! edges of a sheet). The strongest window speaks, since an animal may be small, or the whole frame, since one out of
//! focus is smooth within any window.
//!
//! The constants were chosen on 79 labelled pictures under 18 treatments each: exposure, grain, vignette, shadow,
//! slanting light, dust, fold, rim, defocus, low contrast, strong JPEG. "AUC" below is the area under the curve over
//! these, as given or under the treatment named.

use crate::variance::{exact, of_values};
use crate::windows::{Window, windows};
use crate::{Field, Luma, Surface};

/// Long side of the preview that is measured. Exif thumbnails have 160 px; larger ones are reduced.
pub const PREVIEW_LONG_SIDE_PX: usize = 160;

/// Sides of the windows, for a preview of [`PREVIEW_LONG_SIDE_PX`]: an animal of a twelfth of the frame fills the
/// smaller, one out of focus shows in the larger. With 13 and 21 the least subject lay above all blanks; with 11 and 17,
/// or 9, 15 and 21, flecks of a capped lens came between (AUC .998).
const WINDOW_SIDES_PX: [usize; 2] = [13, 21];

/// Weight, in standard deviation, of windows at one side of the frame and in its corners: a tray's rim, a sheet's edge or
/// a finger shows there, an animal seldom, and then it is cut and large. With the same weight everywhere frames with a
/// rim came out worse by .02, and nothing else changed by more than .001.
const SIDE_WEIGHT: [f64; 3] = [1.0, 0.7, 0.5];

/// Share of windows taken as ground, by variance: below a half, so that an animal filling half the frame leaves
/// enough of it. Ranks of .25 and .5 gave capped lenses levels higher by 1 with the same subjects.
const GROUND_RANK: f64 = 0.4;

/// How far the strongest of many windows of nothing but ground lies above the common one, in variance. White noise alone
/// gives 1 + 3·√(2/169) = 1.3 (a window of 13 × 13 px, the highest of hundreds); JPEG and demosaicing smear
/// noise, which leaves fewer independent pixels. At 1.3 capped lenses came out as high as a bee out of focus (4.9), at
/// 1.5 to 1.8 at 3.6 and below.
const GROUND_MARGIN: f64 = 1.6;

/// Most that counts as texture of the ground beyond grain, as contrast: the roughest paper measured had a standard
/// deviation of 0.02. Without a limit a furry animal that fills the frame would be taken for cloth.
const MOST_TEXTURE: f64 = 0.03;

/// How much more grain there may be than its finest scale shows: JPEG smears grain over its neighbours, which the mask
/// reads too low, by up to a third on previews reduced from grainy pictures.
const SMEARED_GRAIN: f64 = 1.5;

/// Least standard deviation of the ground in levels of coded luma: rounding to whole levels makes up to one half
/// (a value between two levels falls to either), which counts near black where contrast is steep.
const ROUNDING: f64 = 0.5;

/// Shares of the light's own standard deviation that may be left of it within a window and over the frame: strong light is
/// not quite a quadratic, and what remains is in proportion to it. Within a window a storm sky kept .2 of its light;
/// at .1 it lay above five subjects, at .25 animals under a vignette began to suffer (AUC .990 there, .998 at .2). Over the
/// frame open skies and blurred gardens kept .15 to .66, an animal out of focus under even light 1.9.
const LIGHT_LEFT: (f64, f64) = (0.2, 0.7);

/// Luma added before the logarithm. Near black, coded luma of 8 bits holds rounding and grain rather than contrast, so a
/// capped lens must not be scaled up. At 20 capped lenses lay higher by 1, at 30 animals three stops under by 1 lower.
const BLACK_LIFT: f64 = 25.0;

/// Luma at which a step of contrast equals a step of luma: mid grey of 8 bits.
const MID_GREY: f64 = 128.0;

/// What a preview measures. Levels are of 0..=255 luma as the same contrast would be at mid grey.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// The one number by which blanks are told: the larger of `tile` and `frame`.
    pub level: f32,
    /// Standard deviation over the whole frame; light, what may be left of it, and the ground's grain and texture
    /// taken off.
    pub frame: f32,
    /// Standard deviation in the strongest window; light, what may be left of it, the ground's grain and texture, and
    /// what runs one way only taken off.
    pub tile: f32,
    /// Standard deviation of the grain, in plain luma.
    pub grain: f32,
    /// Mean luma.
    pub mean: f32,
}

/// Measures a preview. It is reduced to [`PREVIEW_LONG_SIDE_PX`] first if it is larger.
///
/// An empty picture gives zeros, as does an even one save for its mean; no result is ever not a number.
/// Flips and quarter turns change the measures only by how windows fall on the last pixel.
///
/// Grain is measured after the reduction, on the scale on which the spread is taken, because averaging
/// k × k pixels divides independent noise by k but hardly any that JPEG or demosaicing has smeared over its
/// neighbours.
pub fn spread(picture: &Luma) -> Measured {
    let picture = &picture.reduced(PREVIEW_LONG_SIDE_PX);
    if picture.pixels.is_empty() || picture.pixels.len() != picture.width * picture.height {
        return Measured::default();
    }
    let (mean, _) = exact(&picture.pixels);
    let contrast = Field::through(picture, &contrasts());
    let left = Surface::fit(&contrast).residual(&contrast);
    let (_, whole) = of_values(&left.values);
    let light = (of_values(&contrast.values).1 - whole).max(0.0);
    let (mut tile, mut grain, mut ground) = (0.0f64, 0.0, 0.0);
    for windows in windows(&left, picture, WINDOW_SIDES_PX) {
        grain = ranked(windows.iter().map(|w| w.grain).collect(), 0.5);
        ground = ground_of(&windows, grain * steepness(mean), ROUNDING * steepness(mean));
        tile = windows.iter().map(|w| standing_out(w, ground)).fold(tile, f64::max);
    }
    let left_of_light = |share: f64| share * share * light;
    let tile = (tile - left_of_light(LIGHT_LEFT.0)).max(0.0).sqrt() as f32;
    let frame = (whole - GROUND_MARGIN * ground - left_of_light(LIGHT_LEFT.1)).max(0.0).sqrt() as f32;
    Measured { level: tile.max(frame), frame, tile, grain: grain as f32, mean: mean as f32 }
}

/// Contrast of each luma: its logarithm, scaled to rise as luma does at mid grey.
fn contrasts() -> [f32; 256] {
    let scale = MID_GREY + BLACK_LIFT;
    std::array::from_fn(|luma| (scale * ((luma as f64 + BLACK_LIFT) / scale).ln()) as f32)
}

/// How much faster contrast rises than luma does.
fn steepness(luma: f64) -> f64 {
    (MID_GREY + BLACK_LIFT) / (luma + BLACK_LIFT)
}

/// Variance of the ground, between what rounding makes and what grain and paper can.
fn ground_of(windows: &[Window], grain: f64, rounding: f64) -> f64 {
    let common = ranked(windows.iter().map(|w| w.variance).collect(), GROUND_RANK);
    let texture = MOST_TEXTURE * (MID_GREY + BLACK_LIFT);
    common.min(texture.powi(2) + (SMEARED_GRAIN * grain).powi(2)).max(rounding.powi(2))
}

/// Variance by which a window stands out from the ground, less where its slopes all run one way: by the sine of what
/// would be the angle, so that a fold counts nothing and a wing's outline most of what it has.
fn standing_out(window: &Window, ground: f64) -> f64 {
    let weight = SIDE_WEIGHT[usize::from(window.sides.min(2))];
    let shaped = (1.0 - window.directed.powi(2)).sqrt();
    weight * weight * shaped * (window.variance - GROUND_MARGIN * ground).max(0.0)
}

/// The value at a rank of 0..=1 of the values in order; 0 when there are none.
fn ranked(mut values: Vec<f64>, rank: f64) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let at = (rank * (values.len() - 1) as f64).round() as usize;
    *values.select_nth_unstable_by(at, f64::total_cmp).1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Noise without a random source: the low bits of a multiplicative sequence (Lehmer), some ±2.
    fn noisy(w: usize, h: usize, f: impl Fn(f64, f64) -> f64) -> Luma {
        let mut state = 1u64;
        let pixels = (0..w * h).map(|i| {
            state = state * 48271 % 2_147_483_647;
            let noise = (state % 5) as f64 - 2.0;
            (f((i % w) as f64 / w as f64, (i / w) as f64 / w as f64) + noise).clamp(0.0, 255.0) as u8
        });
        Luma::new(w, h, pixels.collect()).unwrap()
    }

    fn disc(x: f64, y: f64, r: f64, inside: f64, outside: f64) -> f64 {
        if (x - 0.5).hypot(y - 0.33) < r { inside } else { outside }
    }

    #[test]
    fn empty_tiny_and_even_pictures_measure_nothing() {
        assert_eq!(spread(&Luma::default()), Measured::default());
        for (w, h) in [(1, 1), (1, 40), (40, 1), (2, 2), (3, 7), (160, 120)] {
            for value in [0, 7, 255] {
                let m = spread(&Luma { width: w, height: h, pixels: vec![value; w * h] });
                assert!(m.level.abs() < 1e-3 && m.frame.abs() < 1e-3 && m.grain == 0.0, "{w}×{h}: {m:?}");
                assert!((m.mean - f32::from(value)).abs() < 1e-6);
            }
        }
        let torn = Luma { width: 9, height: 9, pixels: vec![0; 3] };
        assert_eq!(spread(&torn), Measured::default());
    }

    #[test]
    fn light_and_grain_are_no_subject() {
        let even = spread(&noisy(160, 107, |_, _| 180.0));
        let vignetted =
            spread(&noisy(160, 107, |x, y| 200.0 - 300.0 * ((x - 0.4).powi(2) + (y - 0.3).powi(2))));
        assert!(even.level < 1.5, "{even:?}");
        assert!(vignetted.level < 1.5, "{vignetted:?}");
        // Σ(k²)/5 over −2..2 is 2: the grain put in has a standard deviation of √2.
        assert!((even.grain - 2f32.sqrt()).abs() < 0.25, "{even:?}");
    }

    #[test]
    fn strong_grain_is_no_subject() {
        // Six times the grain of the other tests: a standard deviation of 6√2 ≈ 8.5, as at high sensitivity.
        let fine = noisy(160, 107, |_, _| 128.0);
        let pixels = fine.pixels.iter().map(|p| (128 + 6 * (i32::from(*p) - 128)) as u8).collect();
        let m = spread(&Luma { pixels, ..fine });
        assert!((m.grain - 8.5).abs() < 1.0, "{m:?}");
        assert!(m.level < 4.5, "under the safe line: {m:?}");
    }

    #[test]
    fn small_pale_and_dark_subjects_stand_out() {
        let blank = spread(&noisy(160, 107, |_, _| 200.0)).level;
        for (what, picture) in [
            ("small", noisy(160, 107, |x, y| disc(x, y, 0.02, 60.0, 200.0))),
            ("pale", noisy(160, 107, |x, y| disc(x, y, 0.15, 165.0, 200.0))),
            ("filling", noisy(160, 107, |x, y| disc(x, y, 0.3, 60.0, 200.0))),
            ("dark frame", noisy(160, 107, |x, y| disc(x, y, 0.1, 6.0, 24.0))),
        ] {
            let m = spread(&picture);
            assert!(m.level > 6.0 * blank.max(1.0), "{what}: {m:?} against {blank}");
        }
    }

    #[test]
    fn turning_a_frame_changes_next_to_nothing() {
        let picture = noisy(160, 120, |x, y| disc(x, y, 0.1, 90.0, 200.0));
        let upside_down = Luma { pixels: picture.pixels.iter().rev().copied().collect(), ..picture };
        let turned: Vec<u8> = (0..160)
            .flat_map(|x| (0..120).rev().map(move |y| (x, y)))
            .map(|(x, y)| picture.row(y)[x])
            .collect();
        let level = spread(&picture).level;
        assert!((spread(&upside_down).level / level - 1.0).abs() < 0.03);
        assert!((spread(&Luma::new(120, 160, turned).unwrap()).level / level - 1.0).abs() < 0.03);
    }

    #[test]
    fn contrast_rises_as_luma_does_at_mid_grey() {
        let contrast = contrasts();
        assert!((contrast[129] - contrast[127] - 2.0).abs() < 1e-3);
        // A tenth of the light more is the same contrast wherever it falls, save near black.
        let step = |from: usize, to: usize| contrast[to] - contrast[from];
        assert!((step(100, 120) - step(200, 236)).abs() < 0.2, "{} {}", step(100, 120), step(200, 236));
        assert!(contrast.windows(2).all(|c| c[0] < c[1] && c[0].is_finite()));
        assert!((steepness(128.0) - 1.0).abs() < 1e-12);
    }
}

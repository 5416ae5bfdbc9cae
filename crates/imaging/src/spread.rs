//! How far luma spreads over a preview, and the one level by which blanks are told.
//!
//! Plain variance calls a vignetted sheet full and a dark bee blank. So, from a preview of some 160 px:
//! the light is taken off over the whole frame ([`Surface`]) and once more as a plane in each tile; what
//! is left in a tile is cleared of what every tile has (grain, paper, cloth); the strongest tile speaks,
//! since an animal may be small, or the whole frame, since one out of focus is smooth within any tile; and
//! the result is put in proportion to the exposure.

use crate::grain::immerkaer;
use crate::variance::{Running, exact};
use crate::{Luma, Surface};

/// Long side of the preview that is measured. Exif thumbnails have 160 px; larger ones are reduced.
pub const PREVIEW_LONG_SIDE_PX: usize = 160;

/// Tiles along the long and the short side. Of 6×4, 8×6, 10×8 and 12×9 tried on 79 labelled pictures under
/// 15 treatments each (exposure, grain, vignette, shadow, dust, rim, defocus), 8×6 told blanks best:
/// area under the curve .972 against .969, .966, .966.
const TILES: (usize, usize) = (8, 6);

/// Smallest side of a tile: below it a plane takes off most of what there is.
const LEAST_TILE_PX: usize = 5;

/// Weight of tiles at the frame's edge, in standard deviation: a tray's rim, a sheet's edge or a finger
/// shows there, an animal seldom. Same pictures: with a rim .956 at weight 1, .985 at 0.7; without it .999
/// and 1.000. At 0.5 dust and tiny animals began to suffer.
const EDGE_WEIGHT: f64 = 0.7;

/// Share of tiles taken as ground, by the tile variance at this rank: even when an animal fills half the
/// frame a quarter of the tiles is ground. Ranks of 0.1 and 0.5 differed by less than .001.
const GROUND_RANK: f64 = 0.25;

/// Most that counts as texture of the ground, as a share of brightness: the roughest paper measured had a
/// standard deviation of 0.02 of it; without a limit a furry animal that fills the frame would be
/// taken for cloth.
const MOST_TEXTURE: f64 = 0.05;

/// Share of the light's own standard deviation that may be left of it: strong light is not quite a quadratic,
/// and what remains is in proportion to it. Three open skies kept 0.15, 0.22 and 0.66 of theirs, an animal out of
/// focus under even light 1.9. Of 0.25, 0.35, 0.5 and 0.7 tried, 0.5 and 0.7 were best.
const LIGHT_LEFT: f64 = 0.5;

/// Luma added to the mean before it counts as brightness. Near black, coded luma of 8 bits holds rounding and
/// grain rather than contrast, so a capped lens must not be scaled up. Of 5, 10, 20, 30 and 40, values of 20
/// and 30 were best (.972, .974; 10 gave .958).
const BLACK_LIFT: f64 = 20.0;

/// Mean luma at which the level equals the spread: mid grey of 8 bits.
const MID_GREY: f64 = 128.0;

/// What a preview measures, in levels of 0..=255 luma.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// The one number by which blanks are told: the larger of `tile` and `frame`, as it would be at a mean of
    /// mid grey. Over all pictures and treatments the larger of both gave 58 errors of 1185, `tile` alone 66.
    pub level: f32,
    /// Standard deviation over the whole frame; light, what may be left of it, and the ground's grain and texture taken off.
    pub frame: f32,
    /// Standard deviation in the strongest tile, light, grain and the ground's texture taken off.
    pub tile: f32,
    /// Standard deviation of the grain.
    pub grain: f32,
    /// Mean luma.
    pub mean: f32,
}

/// Measures a preview. It is reduced to [`PREVIEW_LONG_SIDE_PX`] first if it is larger.
///
/// An empty picture gives zeros, as does an even one save for its mean; no result is ever not a number.
/// Flips and quarter turns change the measures only by how tiles fall on the last pixel.
///
/// Grain is measured after the reduction, on the scale on which the spread is taken, because averaging
/// k × k pixels divides independent noise by k but hardly any that JPEG or demosaicing has smeared over its
/// neighbours. The mask sees only the finest scale and so reads smeared grain too low; what it misses lies
/// in every tile alike and goes with the ground's texture.
pub fn spread(picture: &Luma) -> Measured {
    let picture = &picture.reduced(PREVIEW_LONG_SIDE_PX);
    if picture.pixels.is_empty() || picture.pixels.len() != picture.width * picture.height {
        return Measured::default();
    }
    let (mean, variance) = exact(&picture.pixels);
    let left = Surface::fit(picture).residual(picture);
    let tiles = tiles(picture.width, picture.height);
    let grain = median(tiles.iter().filter_map(|t| immerkaer(&t.of(picture))).collect());
    let brightness = mean + BLACK_LIFT;
    let (parts, variances): (Vec<_>, Vec<_>) = tiles.iter().map(|t| t.vary(&left, picture.width)).unzip();
    let ground = ranked(variances.clone(), GROUND_RANK).min((MOST_TEXTURE * brightness).powi(2));
    let ground = ground.max(grain * grain);
    let strongest = tiles.iter().zip(&variances).map(|(tile, variance)| {
        let weight = if tile.at_edge { EDGE_WEIGHT } else { 1.0 };
        weight * (variance - ground).max(0.0).sqrt()
    });
    let tile = strongest.fold(0.0, f64::max);
    // The tiles cover the frame.
    let whole = parts.into_iter().fold(Running::default(), Running::merge).variance();
    let light = (variance - whole).max(0.0);
    let frame = (whole - ground - LIGHT_LEFT * LIGHT_LEFT * light).max(0.0).sqrt();
    Measured {
        level: level_of(tile.max(frame) as f32, mean as f32),
        frame: frame as f32,
        tile: tile as f32,
        grain: grain as f32,
        mean: mean as f32,
    }
}

/// The level of a spread at a mean luma: what the same contrast would be at mid grey.
pub fn level_of(spread: f32, mean: f32) -> f32 {
    spread * (MID_GREY + BLACK_LIFT) as f32 / (mean + BLACK_LIFT as f32)
}

/// A part of the frame.
struct Tile {
    x: usize,
    y: usize,
    width: usize,
    height: usize,
    at_edge: bool,
}

/// Cuts a frame into tiles, fewer when it is small.
fn tiles(width: usize, height: usize) -> Vec<Tile> {
    let (across, down) = if width >= height { TILES } else { (TILES.1, TILES.0) };
    let across = across.min(width / LEAST_TILE_PX).max(1);
    let down = down.min(height / LEAST_TILE_PX).max(1);
    let mut tiles = Vec::with_capacity(across * down);
    for j in 0..down {
        for i in 0..across {
            let (x, y) = (i * width / across, j * height / down);
            tiles.push(Tile {
                x,
                y,
                width: (i + 1) * width / across - x,
                height: (j + 1) * height / down - y,
                // A frame of so few tiles that all lie at its edge has no inside to prefer.
                at_edge: across > 2 && down > 2 && (i == 0 || j == 0 || i + 1 == across || j + 1 == down),
            });
        }
    }
    tiles
}

impl Tile {
    fn of(&self, picture: &Luma) -> Luma {
        picture.crop(self.x, self.y, self.width, self.height)
    }

    /// The tile's values as they vary, and their variance once the plane that fits them best is taken off. On a full
    /// grid the constant and the two slopes are independent, so each is a plain quotient.
    fn vary(&self, values: &[f64], row_length: usize) -> (Running, f64) {
        let centre = |n: usize| (n as f64 - 1.0) / 2.0;
        let (mut all, mut by_x, mut by_y) = (Running::default(), 0.0, 0.0);
        for j in 0..self.height {
            let start = (self.y + j) * row_length + self.x;
            let row = &values[start..start + self.width];
            let running = Running::from(row);
            all = all.merge(running);
            by_y += running.mean() * row.len() as f64 * (j as f64 - centre(self.height));
            by_x += row.iter().enumerate().map(|(i, v)| v * (i as f64 - centre(self.width))).sum::<f64>();
        }
        // Σ(i − centre)² over a grid of n columns and m rows is m·n(n² − 1)/12.
        let squares = |n: usize, m: usize| (m * n) as f64 * ((n * n) as f64 - 1.0) / 12.0;
        let explained = |cross: f64, squares: f64| if squares > 0.0 { cross * cross / squares } else { 0.0 };
        let slopes = explained(by_x, squares(self.width, self.height))
            + explained(by_y, squares(self.height, self.width));
        (all, (all.variance() - slopes / all.count().max(1) as f64).max(0.0))
    }
}

fn median(values: Vec<f64>) -> f64 {
    ranked(values, 0.5)
}

/// The value at a rank of 0..=1 of the sorted values; 0 when there are none.
fn ranked(mut values: Vec<f64>, rank: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let at = (rank * values.len().saturating_sub(1) as f64).round() as usize;
    values.get(at).copied().unwrap_or(0.0)
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
    fn a_subject_out_of_focus_shows_over_the_whole_frame() {
        // So smooth that the plane in each tile takes nearly all of it.
        let m = spread(&noisy(160, 107, |x, y| {
            200.0 - 90.0 * (-((x - 0.5).powi(2) + (y - 0.33).powi(2)) / 0.02).exp()
        }));
        assert!(m.frame > 1.2 * m.tile && m.frame > 8.0, "{m:?}");
        assert!((m.level - level_of(m.frame, m.mean)).abs() < 1e-3, "{m:?}");
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
        assert!((spread(&upside_down).level - level).abs() < 1e-3);
        assert!((spread(&Luma::new(120, 160, turned).unwrap()).level - level).abs() < 1e-3);
    }

    #[test]
    fn the_level_is_the_spread_at_mid_grey() {
        assert!((level_of(12.0, 128.0) - 12.0).abs() < 1e-4);
        // A quarter of the brightness, a quarter of the contrast.
        assert!((level_of(3.0, 17.0) - 12.0).abs() < 1e-4);
        assert!(level_of(0.6, 0.0).is_finite());
    }
}

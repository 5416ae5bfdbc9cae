//! What can be shown over a picture, place by place: where it is sharpest, where it is blown out, where lost in black.
//!
//! Goes in: a picture of any size. Comes out: a grid of [`Places`], squares of [`SHARP_PX`] or [`LOST_PX`] pixels of it, the
//! last of a row or column cut by the picture's edge. It tells where the focus lies, never whether it is good
//! enough: that is [`crate::focus`]'s and the day's.

use crate::colour::Rgb;
use crate::focus::laplacian;
use crate::quality::{is_black, is_blown};
use crate::{Field, Luma};

/// Side of a place that is sharp or not, px: a few hairs wide at pixel scale, and wide enough for a mean of energy.
pub const SHARP_PX: usize = 12;

/// Side of a place that is lost or not, px.
pub const LOST_PX: usize = 4;

/// A place is among the sharpest from this share of the sharp end of the picture on.
const SHARE: f64 = 0.5;

/// The sharp end: this share of all places answers more strongly. A spot of dust is less.
const END: f64 = 0.01;

/// The sharp end answers with at least this many times the energy of the middling place, or nothing is sharp. In frames
/// blurred all over, grain and the blocks of JPEG make it 2 to 3 times, in such with anything sharp it was 9 and more.
const OVER_MIDDLING: f64 = 6.0;

/// The least energy of the Laplacian that is seen at all: steps of two in luma.
const LEAST_ENERGY: f64 = 4.0;

/// A grid of places of a picture, and which of them are meant.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Places {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row-major, `width × height` of them.
    pub meant: Vec<bool>,
}

impl Places {
    fn of(picture: (usize, usize), side_px: usize, meant: impl FnMut((usize, usize)) -> bool) -> Self {
        let (width, height) = (picture.0.div_ceil(side_px), picture.1.div_ceil(side_px));
        let places = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        Self { width, height, meant: places.map(meant).collect() }
    }
}

/// Where a picture is sharpest: places whose mean energy of the Laplacian, less that of the middling place, has a root of at
/// least half that of the sharp end. None where nothing stands out.
pub fn sharpest(picture: &Luma) -> Places {
    let (width, height) = (picture.width, picture.height);
    let columns = width.div_ceil(SHARP_PX);
    let mut energies = Vec::with_capacity(columns * height.div_ceil(SHARP_PX));
    for top in (0..height).step_by(SHARP_PX) {
        // The mask needs a row above and one below.
        let from = top.saturating_sub(1);
        let rows = picture.crop(0, from, width, (top + SHARP_PX + 1).min(height) - from);
        energies.extend(row_energies(&laplacian(&rows), columns));
    }
    let mut sorted = energies.clone();
    sorted.sort_by(f64::total_cmp);
    let middling = sorted.get(sorted.len() / 2).copied().unwrap_or_default();
    let end =
        sorted.get(sorted.len() - (END * sorted.len() as f64).ceil() as usize).copied().unwrap_or_default();
    let stands_out = end >= (OVER_MIDDLING * middling).max(LEAST_ENERGY);
    let from = SHARE * SHARE * (end - middling) + middling;
    Places::of((width, height), SHARP_PX, |(x, y)| stands_out && energies[y * columns + x] >= from)
}

/// Mean energy in each place of one row of places.
fn row_energies(response: &Field, columns: usize) -> Vec<f64> {
    let mut sums = vec![(0.0, 0u32); columns];
    for y in 0..response.height {
        for (x, value) in response.row(y).iter().enumerate() {
            let sum = &mut sums[(x + 1) / SHARP_PX];
            sum.0 += f64::from(*value).powi(2);
            sum.1 += 1;
        }
    }
    sums.into_iter().map(|(sum, n)| sum / f64::from(n.max(1))).collect()
}

/// Where a picture is blown out, and where it is lost in black: places of which at least half the pixels are.
pub fn lost(picture: &Rgb) -> [Places; 2] {
    let (width, height) = (picture.width, picture.height);
    let half = |(x, y): (usize, usize), is: fn([u8; 3]) -> bool| {
        let across = x * LOST_PX..((x + 1) * LOST_PX).min(width);
        let down = y * LOST_PX..((y + 1) * LOST_PX).min(height);
        let rows = down.clone().map(|y| &picture.values.as_chunks::<3>().0[y * width..][across.clone()]);
        2 * rows.flatten().filter(|pixel| is(**pixel)).count() >= across.len() * down.len()
    };
    [is_blown, is_black].map(|is| Places::of((width, height), LOST_PX, |place| half(place, is)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Columns and rows of the places that are meant, from and to.
    fn bounds(places: &Places) -> Option<[usize; 4]> {
        let all = (0..places.meant.len()).filter(|i| places.meant[*i]);
        all.map(|i| (i % places.width, i / places.width)).fold(None, |bounds: Option<[usize; 4]>, (x, y)| {
            Some(bounds.map_or([x, x, y, y], |b| [b[0].min(x), b[1].max(x), b[2].min(y), b[3].max(y)]))
        })
    }

    /// Stripes of this contrast between x 96 and 191 and y 48 and 95, the same smeared right of them, grain all over.
    fn picture(contrast: u8, grain: u8) -> Luma {
        let mut state = 7u32;
        let mut noise = move || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            ((state >> 16) % (u32::from(grain) + 1)) as u8
        };
        let pixel = |i: usize| {
            let (x, y) = (i % 300, i / 300);
            let stripes = match (x, y) {
                (96..192, 48..96) => contrast * u8::from(x % 6 < 3),
                (192..288, 48..96) => contrast / 6 * (x % 12).min(12 - x % 12) as u8,
                _ => 0,
            };
            100 + stripes + noise()
        };
        Luma::new(300, 140, (0..300 * 140).map(pixel).collect()).unwrap()
    }

    #[test]
    fn the_sharp_stripes_are_found_and_not_the_smeared_ones() {
        for grain in [0, 4] {
            let sharp = sharpest(&picture(60, grain));
            assert_eq!((sharp.width, sharp.height), (25, 12));
            // The outermost place may reach one pixel over the edge of the stripes.
            let [left, right, top, bottom] = bounds(&sharp).unwrap();
            assert!((7..=8).contains(&left) && (15..=16).contains(&right), "{grain}: {left} {right}");
            assert!((3..=4).contains(&top) && (7..=8).contains(&bottom), "{grain}: {top} {bottom}");
            assert!(sharp.meant.iter().filter(|m| **m).count() >= 8 * 4, "all of the stripes");
        }
    }

    #[test]
    fn nothing_is_sharp_in_grain_or_in_an_even_picture() {
        assert_eq!(bounds(&sharpest(&picture(0, 8))), None);
        assert_eq!(bounds(&sharpest(&picture(0, 0))), None);
    }

    #[test]
    fn blown_by_one_colour_black_by_all() {
        let pixel = |i: usize| match i % 16 {
            0..4 => [255, 240, 120],
            4..8 => [0, 1, 0],
            8..12 => [0, 40, 0],
            _ if i.is_multiple_of(2) => [255; 3],
            _ => [90; 3],
        };
        let [blown, black] = lost(&Rgb::new(16, 6, (0..16 * 6).flat_map(pixel).collect()).unwrap());
        assert_eq!((blown.width, blown.height), (4, 2));
        assert_eq!(blown.meant[..4], [true, false, false, true]);
        assert_eq!(black.meant[4..], [false, true, false, false], "the cut row too");
    }

    #[test]
    fn odd_sizes_have_as_many_places_as_said() {
        for (width, height) in [(0, 0), (1, 1), (2, 30), (13, 13), (25, 7)] {
            let even = Rgb::new(width, height, vec![255; 3 * width * height]).unwrap();
            let [blown, black] = lost(&even);
            let sharp = sharpest(&even.luma());
            for places in [&blown, &black, &sharp] {
                assert_eq!(places.meant.len(), places.width * places.height, "{width}×{height}");
            }
            assert!(blown.meant.iter().all(|m| *m) && !black.meant.iter().chain(&sharp.meant).any(|m| *m));
        }
    }
}

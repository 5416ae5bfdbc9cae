//! Where the subject is: its mask, box, share of the frame, and whether the frame's edge cuts it.
//!
//! In go a working preview in colour and the [`Background`]; out comes a [`Subject`]. What stands out from the background
//! by more than the background varies is subject; loose specks are dropped and holes filled. Which animal it is, or
//! which part, is not decided here.

use crate::background::{Background, SMALL_PX, contrast_of, in_border, middle};
use crate::colour::Rgb;
use crate::{Field, otsu};

/// Least difference from the background, in levels at mid grey, that counts as subject: a faint animal on paper
/// differs by some 15, grain and paper at this scale by up to 5 in all three colours together.
const LEAST_DIFFERENCE: f64 = 8.0;

/// Most difference needed, whatever the day's light: bold animals have pale parts that belong to them.
const MOST_DIFFERENCE: f64 = 30.0;

/// Robust standard deviations of the border by which a subject differs at the least.
const DEVIATIONS: f64 = 5.0;

/// A part loose from the largest counts when it has this share of its pixels: an antenna does, a speck of dust not.
const LEAST_PART: f64 = 0.05;

/// Least share of the frame that is a subject: 12 px of 160 × 107, as of an animal of a fortieth of the width.
const LEAST_SHARE: f64 = 0.0007;

/// The edge cuts a subject that lies on it in one piece over at least this share of the long side: JPEG may smear a
/// pixel.
const LEAST_CUT: f64 = 0.025;

/// And over at least this share of the side of a square as large as the subject: what is lost then is more than the tip
/// of an antenna or a foot. A bumble bee 15 mm long and 8 mm wide is as large as a square of 11 mm; at this scale an
/// antenna is 0.6 mm wide, a leg 1 mm and the head 4 mm, so a leg is a tenth of that side and the head a third. This lies
/// halfway between them, as ratios go.
const LEAST_CUT_OF_SUBJECT: f64 = 0.2;

/// Where the subject of a frame is.
#[derive(Debug, Clone, PartialEq)]
pub struct Subject {
    /// Columns of the mask, some 160 on the long side.
    pub width: usize,
    /// Rows of the mask.
    pub height: usize,
    /// Row-major, whether a place is subject; all false when none was found.
    pub mask: Vec<bool>,
    /// First column and row, and number of columns and rows, that hold all of it; `None` when none was found.
    pub bounds: Option<[usize; 4]>,
    /// Share of the frame, 0..=1.
    pub share: f64,
    /// Length along the frame's edge on which it lies, as a share of the whole edge, 0..=1.
    pub edge_share: f64,
    /// Whether the frame's edge cuts it, and more of it than the tip of an antenna or a foot.
    pub edge_cut: bool,
}

impl Subject {
    /// Whether a place of the mask and its neighbours are all subject; at the frame's edge what is there counts.
    pub fn surrounded(&self, x: usize, y: usize) -> bool {
        let mut rows = y.saturating_sub(1)..(y + 2).min(self.height);
        rows.all(|row| {
            let columns = x.saturating_sub(1)..(x + 2).min(self.width);
            self.mask[row * self.width..][columns].iter().all(|m| *m)
        })
    }
}

/// Finds the subject of a working preview. Without a background of the same shape its own border stands in.
///
/// An empty or even picture has none.
pub fn find(preview: &Rgb, background: Option<&Background>) -> Subject {
    let small = preview.clone().reduced(SMALL_PX);
    let contrast = contrast_of(&small);
    let fits = |b: &&Background| b.colours[0].width == small.width && b.colours[0].height == small.height;
    let own;
    let background = if let Some(given) = background.filter(fits) {
        given
    } else {
        own = Background::of_border(&contrast);
        &own
    };
    let difference = difference(&contrast, background);
    let (width, height) = (small.width, small.height);
    let limit = limit(&difference);
    let mut mask: Vec<bool> = difference.values.iter().map(|d| f64::from(*d) > limit).collect();
    keep_large_parts(&mut mask, width);
    fill_holes(&mut mask, width);
    describe(mask, width, height)
}

/// How far each place differs from the background in all colours together, a change of exposure between the two left
/// out: the border tells it.
fn difference(frame: &[Field; 3], background: &Background) -> Field {
    let (width, height) = (frame[0].width, frame[0].height);
    let mut squares = vec![0.0; width * height];
    for (own, ground) in frame.iter().zip(&background.colours) {
        let off: Vec<f32> = own.values.iter().zip(&ground.values).map(|(o, g)| o - g).collect();
        let border = (0..off.len()).filter(|i| in_border(i % width, i / width, width, height));
        let exposure = middle(&mut border.map(|i| off[i]).collect::<Vec<_>>());
        squares.iter_mut().zip(&off).for_each(|(sum, off)| *sum += (off - exposure).powi(2));
    }
    Field { width, height, values: squares.into_iter().map(f32::sqrt).collect() }
}

/// The difference from which on a place is subject: where Otsu's criterion splits its logarithm, within what the border
/// varies by and what any subject has.
fn limit(difference: &Field) -> f64 {
    let (width, height) = (difference.width, difference.height);
    let places = 0..difference.values.len();
    let border = places.filter(|i| in_border(i % width, i / width, width, height));
    let varies = f64::from(1.4826 * middle(&mut border.map(|i| difference.values[i]).collect::<Vec<_>>()));
    let least = (DEVIATIONS * varies).clamp(LEAST_DIFFERENCE, MOST_DIFFERENCE);
    let logs: Vec<f64> = difference.values.iter().map(|d| f64::from(d.max(1.0)).ln()).collect();
    let split = otsu(&logs, |_, _| 1.0).map_or(least, |split| split.at.exp());
    split.clamp(least, MOST_DIFFERENCE)
}

/// Labels connected places (8 neighbours) and keeps the largest part and what is not much smaller.
fn keep_large_parts(mask: &mut [bool], width: usize) {
    let parts = parts(mask, width);
    let largest = parts.iter().map(Vec::len).max().unwrap_or(0);
    for part in parts.iter().filter(|p| (p.len() as f64) < LEAST_PART * largest as f64) {
        for i in part {
            mask[*i] = false;
        }
    }
    if (largest as f64) < LEAST_SHARE * mask.len() as f64 {
        mask.fill(false);
    }
}

/// What does not reach the frame's edge and is no subject lies within it: a pale band, a highlight.
fn fill_holes(mask: &mut [bool], width: usize) {
    if mask.is_empty() {
        return;
    }
    let height = mask.len() / width;
    let outside: Vec<bool> = mask.iter().map(|m| !m).collect();
    let at_edge = |i: &usize| [0, width - 1].contains(&(i % width)) || [0, height - 1].contains(&(i / width));
    for part in parts(&outside, width).into_iter().filter(|p| !p.iter().any(at_edge)) {
        for i in part {
            mask[i] = true;
        }
    }
}

/// Connected parts of a mask.
fn parts(mask: &[bool], width: usize) -> Vec<Vec<usize>> {
    let height = mask.len().checked_div(width).unwrap_or(0);
    let mut seen = vec![false; mask.len()];
    let mut parts = vec![];
    for start in 0..mask.len() {
        if !mask[start] || seen[start] {
            continue;
        }
        seen[start] = true;
        let (mut part, mut next) = (vec![start], 0);
        while let Some(i) = part.get(next).copied() {
            next += 1;
            let (x, y) = (i % width, i / width);
            for row in y.saturating_sub(1)..(y + 2).min(height) {
                for beside in x.saturating_sub(1)..(x + 2).min(width) {
                    let j = row * width + beside;
                    if mask[j] && !seen[j] {
                        seen[j] = true;
                        part.push(j);
                    }
                }
            }
        }
        parts.push(part);
    }
    parts
}

fn describe(mask: Vec<bool>, width: usize, height: usize) -> Subject {
    let places = || mask.iter().enumerate().filter(|(_, m)| **m).map(|(i, _)| (i % width, i / width));
    let extent = |of: fn((usize, usize)) -> usize| {
        let least = places().map(of).min()?;
        Some((least, places().map(of).max()? - least + 1))
    };
    let bounds = extent(|p| p.0).zip(extent(|p| p.1)).map(|((x, w), (y, h))| [x, y, w, h]);
    let area = places().count() as f64;
    let share = area / mask.len().max(1) as f64;
    let edge = edge(width, height);
    let on_edge = edge.iter().filter(|i| mask[**i]).count();
    let least_cut = (LEAST_CUT * width.max(height) as f64).max(LEAST_CUT_OF_SUBJECT * area.sqrt()).max(1.0);
    let edge_cut = longest_piece(&mask, &edge) as f64 >= least_cut;
    let edge_share = on_edge as f64 / edge.len().max(1) as f64;
    Subject { width, height, mask, bounds, share, edge_share, edge_cut }
}

/// The places along the edge of a frame, once round it.
fn edge(width: usize, height: usize) -> Vec<usize> {
    if width == 0 || height == 0 {
        return vec![];
    }
    let (top, right) = (0..width, (1..height).map(|y| y * width + width - 1));
    let last_row = (height - 1) * width;
    let bottom = (0..width - 1).rev().filter(|_| height > 1).map(|x| last_row + x);
    let left = (1..height.max(2) - 1).rev().filter(|_| width > 1).map(|y| y * width);
    top.chain(right).chain(bottom).chain(left).collect()
}

/// How many places of the longest piece of subject along the edge; it may reach round a corner.
fn longest_piece(mask: &[bool], edge: &[usize]) -> usize {
    let (mut piece, mut longest) = (0, 0);
    for i in edge.iter().chain(edge) {
        piece = if mask[*i] { piece + 1 } else { 0 };
        longest = longest.max(piece);
    }
    longest.min(edge.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paper(width: usize, height: usize) -> Rgb {
        // Light that rises to the right, faint grain.
        let luma = |i: usize| (150 + i % width * 60 / width + i * 7919 % 5) as u8;
        Rgb::new(width, height, (0..width * height).flat_map(|i| [luma(i), luma(i), luma(i) - 6]).collect())
            .unwrap()
    }

    fn with_box(mut picture: Rgb, [x, y, w, h]: [usize; 4], rgb: [u8; 3]) -> Rgb {
        for row in y..y + h {
            for column in x..x + w {
                let at = 3 * (row * picture.width + column);
                picture.values[at..at + 3].copy_from_slice(&rgb);
            }
        }
        picture
    }

    fn check(frame: &Rgb, expected: [usize; 4], edge_cut: bool) {
        let blank = Background::of_blanks(&[paper(160, 107)], (160, 107)).unwrap();
        for background in [Some(&blank), None] {
            let subject = find(frame, background);
            let bounds = subject.bounds.unwrap();
            assert!(bounds.iter().zip(expected).all(|(b, e)| b.abs_diff(e) <= 1), "{bounds:?}, {expected:?}");
            assert_eq!(subject.edge_cut, edge_cut, "{expected:?}");
            let share = (expected[2] * expected[3]) as f64 / (160.0 * 107.0);
            assert!((subject.share - share).abs() < 0.1 * share, "{} {share}", subject.share);
        }
    }

    #[test]
    fn a_subject_is_found_by_light_or_colour_alone() {
        check(&with_box(paper(160, 107), [50, 40, 30, 20], [60, 50, 40]), [50, 40, 30, 20], false);
        check(&with_box(paper(160, 107), [90, 30, 40, 50], [200, 170, 120]), [90, 30, 40, 50], false);
        check(&with_box(paper(160, 107), [20, 70, 5, 4], [30, 30, 30]), [20, 70, 5, 4], false);
    }

    #[test]
    fn the_edge_of_the_frame_cuts() {
        check(&with_box(paper(160, 107), [0, 40, 30, 20], [60, 50, 40]), [0, 40, 30, 20], true);
        check(&with_box(paper(160, 107), [80, 97, 60, 10], [60, 50, 40]), [80, 97, 60, 10], true);
    }

    #[test]
    fn the_tip_of_an_antenna_or_a_foot_on_the_edge_is_no_cut() {
        // A body of 60 × 50 with parts that reach the edge: two of 4 px, one of 9; a fifth of the side is 11.
        let body = with_box(paper(160, 107), [50, 40, 60, 50], [60, 50, 40]);
        let antennae =
            with_box(with_box(body.clone(), [60, 0, 4, 41], [60, 50, 40]), [90, 0, 4, 41], [60, 50, 40]);
        check_cut(&antennae, false);
        check_cut(&with_box(antennae, [70, 80, 9, 27], [60, 50, 40]), false);
        check_cut(&with_box(body.clone(), [60, 0, 16, 41], [60, 50, 40]), true);
        // As wide a piece in a corner, half of it along either side.
        check_cut(&with_box(with_box(body, [0, 0, 52, 8], [60, 50, 40]), [44, 0, 8, 41], [60, 50, 40]), true);
    }

    fn check_cut(frame: &Rgb, expected: bool) {
        let blank = Background::of_blanks(&[paper(160, 107)], (160, 107)).unwrap();
        assert_eq!(find(frame, Some(&blank)).edge_cut, expected);
    }

    #[test]
    fn every_place_of_the_edge_is_passed_once() {
        for (width, height) in [(0, 0), (0, 3), (1, 1), (1, 4), (4, 1), (2, 2), (5, 3), (3, 5)] {
            let mut passed = edge(width, height);
            passed.sort_unstable();
            let on_edge = |i: &usize| {
                let (x, y) = (i % width, i / width);
                x == 0 || y == 0 || x + 1 == width || y + 1 == height
            };
            assert_eq!(passed, (0..width * height).filter(on_edge).collect::<Vec<_>>(), "{width}×{height}");
        }
    }

    #[test]
    fn specks_are_dropped_and_holes_filled() {
        let ring = with_box(paper(160, 107), [50, 30, 40, 40], [60, 50, 40]);
        let ring = with_box(ring, [62, 42, 16, 16], [185, 185, 179]);
        check(&with_box(ring, [10, 10, 2, 2], [40, 40, 40]), [50, 30, 40, 40], false);
    }

    #[test]
    fn another_exposure_is_no_subject() {
        let blank = Background::of_blanks(&[paper(160, 107)], (160, 107)).unwrap();
        let mut darker = paper(160, 107);
        darker.values.iter_mut().for_each(|v| *v = (f32::from(*v) * 0.7) as u8);
        let subject = find(&darker, Some(&blank));
        assert!(
            subject.bounds.is_none() && !subject.edge_cut && subject.share == 0.0,
            "{:?}",
            subject.bounds
        );
    }

    #[test]
    fn odd_pictures_have_no_subject() {
        for (width, height) in [(0, 0), (1, 1), (1, 50), (50, 1), (2, 2), (640, 427)] {
            for value in [0, 128, 255] {
                let even = Rgb::new(width, height, vec![value; 3 * width * height]).unwrap();
                let subject = find(&even, None);
                assert!(subject.bounds.is_none() && subject.share == 0.0, "{width}×{height}");
            }
        }
    }
}

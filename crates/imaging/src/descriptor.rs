//! What a subject looks like, in numbers that name views: shape, symmetry, size, texture and colour.
//!
//! Only the subject's own places count, since a pin or a tray would give a view away that another day lacks. Numbers of
//! shape are taken along the subject's own long axis, so a turn of the animal on the sheet changes little; how it lies in
//! the frame is kept in numbers of its own. What the numbers mean for a view is learned elsewhere.

use crate::background::Background;
use crate::cielab::lab;
use crate::colour::Rgb;
use crate::focus::laplacian;
use crate::subject::Subject;

/// How many numbers describe a subject.
pub const ENTRIES: usize = 40;

/// Parts along the long axis in which width and light are taken.
const PARTS: usize = 6;

/// Numbers that describe a subject, all finite, each on a scale of about 0..1 or −1..1:
///
/// | entries | what |
/// | --- | --- |
/// | 0 | root of the share of the frame |
/// | 1 | short over long axis, from second moments |
/// | 2 | share of its box that it fills |
/// | 3 | share of its ellipse of equal moments that it fills: low with legs spread |
/// | 4 | roundness 4π·area/outline² |
/// | 5, 6 | direction of the long axis in the frame, cosine and sine of twice the angle, less the rounder it is |
/// | 7, 8 | symmetry of the outline about the long and the short axis, 0..1 |
/// | 9, 10 | symmetry of light about them, −1..1 |
/// | 11, 12 | lopsidedness along the long axis (0 or more, the heavy end first) and across it |
/// | 13..19 | width in six parts along the long axis, as shares of the widest, the heavy end first |
/// | 19..25 | lightness in these parts, less its mean |
/// | 25 | share of the frame's edge on which it lies |
/// | 26, 27 | distance of its middle from the frame's, across and down |
/// | 28, 29 | texture at one and at four pixels of the working preview: log of the Laplacian's energy against contrast |
/// | 30..33 | mean L\*, a\*, b\* |
/// | 33..36 | their standard deviations |
/// | 36 | share darker than its mean by a standard deviation |
/// | 37..40 | how far a\*, b\* and L\* of its middle differ from those of its rim |
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Descriptor(pub [f32; ENTRIES]);

/// A place of the mask that is subject: where, seen from the middle along and across the long axis, and its colour.
struct Place {
    along: f64,
    across: f64,
    lab: [f64; 3],
}

/// Describes a subject on its working preview, its light and colours as they would be in even light on a grey ground where
/// blanks tell what the light was; `None` when there is none.
pub fn describe(preview: &Rgb, subject: &Subject, background: Option<&Background>) -> Option<Descriptor> {
    let [_, _, box_width, box_height] = subject.bounds?;
    let small = preview.clone().reduced(subject.width.max(subject.height));
    let (width, height) = (subject.width, subject.height);
    if (small.width, small.height) != (width, height) {
        return None;
    }
    let small = background.and_then(|b| b.calibrated(&small)).unwrap_or(small);
    let axes = Axes::of(subject);
    let inside = small.pixels().enumerate().filter(|(i, _)| subject.mask[*i]);
    let places: Vec<Place> = inside
        .map(|(i, rgb)| {
            let (along, across) = axes.place((i % width) as f64, (i / width) as f64);
            Place { along, across, lab: lab(rgb) }
        })
        .collect();
    let mean = |of: &dyn Fn(&Place) -> f64| places.iter().map(of).sum::<f64>() / places.len() as f64;
    let area = places.len() as f64;
    let mut entries = Vec::with_capacity(ENTRIES);
    let ellipse = std::f64::consts::PI * 4.0 * (axes.long * axes.short).max(0.25);
    let outline = outline(subject) as f64;
    entries.extend([
        subject.share.sqrt(),
        axes.short / axes.long.max(0.5),
        area / (box_width * box_height) as f64,
        (area / ellipse).min(2.0),
        (4.0 * std::f64::consts::PI * area / (outline * outline).max(1.0)).min(2.0),
    ]);
    let long = 1.0 - axes.short / axes.long.max(0.5);
    entries.extend([long * (2.0 * axes.turn).cos(), long * (2.0 * axes.turn).sin()]);
    let mirrored =
        [Mirrored::about_long(&axes, subject, &small), Mirrored::about_short(&axes, subject, &small)];
    entries.extend(mirrored.iter().map(|m| m.outline).chain(mirrored.iter().map(|m| m.light)));
    let lopsided = |of: &dyn Fn(&Place) -> f64, axis: f64| mean(&|p| of(p).powi(3)) / axis.max(0.5).powi(3);
    entries.extend([lopsided(&|p| p.along, axes.long), lopsided(&|p| p.across, axes.short).abs()]);
    entries.extend(profile(&places));
    entries.push(subject.edge_share);
    entries.extend(
        [(axes.middle.0 + 0.5) / width as f64, (axes.middle.1 + 0.5) / height as f64]
            .map(|m| 2.0 * (m - 0.5).abs()),
    );
    entries.extend(textures(preview, subject));
    entries.extend(colours(&places, &axes));
    let mut described = [0.0; ENTRIES];
    for (entry, value) in described.iter_mut().zip(entries) {
        *entry = if value.is_finite() { value as f32 } else { 0.0 };
    }
    Some(Descriptor(described))
}

/// Middle and axes of a subject: one standard deviation of its places along and across, in pixels of the mask.
struct Axes {
    middle: (f64, f64),
    /// Angle of the long axis, so that the heavier end, which lies nearer the middle, points back.
    turn: f64,
    long: f64,
    short: f64,
}

impl Axes {
    fn of(subject: &Subject) -> Self {
        let places = || {
            let inside = subject.mask.iter().enumerate().filter(|(_, m)| **m);
            inside.map(|(i, _)| ((i % subject.width) as f64, (i / subject.width) as f64))
        };
        let n = places().count().max(1) as f64;
        let mean = |of: &dyn Fn(f64, f64) -> f64| places().map(|(x, y)| of(x, y)).sum::<f64>() / n;
        let middle = (mean(&|x, _| x), mean(&|_, y| y));
        let xx = mean(&|x, _| (x - middle.0).powi(2));
        let yy = mean(&|_, y| (y - middle.1).powi(2));
        let xy = mean(&|x, y| (x - middle.0) * (y - middle.1));
        let (half, off) = (f64::midpoint(xx, yy), ((xx - yy) / 2.0).hypot(xy));
        let turn = 0.5 * (2.0 * xy).atan2(xx - yy);
        let mut axes =
            Self { middle, turn, long: (half + off).max(0.0).sqrt(), short: (half - off).max(0.0).sqrt() };
        if mean(&|x, y| axes.place(x, y).0.powi(3)) < 0.0 {
            axes.turn += std::f64::consts::PI;
        }
        axes
    }

    /// Where a column and row lie along and across.
    fn place(&self, x: f64, y: f64) -> (f64, f64) {
        let (dx, dy) = (x - self.middle.0, y - self.middle.1);
        let (cos, sin) = (self.turn.cos(), self.turn.sin());
        (dx * cos + dy * sin, dy * cos - dx * sin)
    }

    /// The column and row that lie there.
    fn back(&self, along: f64, across: f64) -> (f64, f64) {
        let (cos, sin) = (self.turn.cos(), self.turn.sin());
        (self.middle.0 + along * cos - across * sin, self.middle.1 + along * sin + across * cos)
    }
}

/// How far a subject is its own mirror image.
struct Mirrored {
    /// Share of its places whose image is subject.
    outline: f64,
    /// Correlation of luma with that of the image, where both are subject.
    light: f64,
}

impl Mirrored {
    fn about_long(axes: &Axes, subject: &Subject, small: &Rgb) -> Self {
        Self::by(axes, subject, small, |along, across| (along, -across))
    }

    fn about_short(axes: &Axes, subject: &Subject, small: &Rgb) -> Self {
        Self::by(axes, subject, small, |along, across| (-along, across))
    }

    fn by(axes: &Axes, subject: &Subject, small: &Rgb, mirror: fn(f64, f64) -> (f64, f64)) -> Self {
        let (width, height) = (subject.width as f64, subject.height as f64);
        let luma = small.luma();
        let (mut all, mut pairs) = (0u32, vec![]);
        for i in (0..subject.mask.len()).filter(|i| subject.mask[*i]) {
            all += 1;
            let (along, across) = axes.place((i % subject.width) as f64, (i / subject.width) as f64);
            let (along, across) = mirror(along, across);
            let (x, y) = axes.back(along, across);
            let (x, y) = (x.round(), y.round());
            if x >= 0.0 && y >= 0.0 && x < width && y < height {
                let image = y as usize * subject.width + x as usize;
                if subject.mask[image] {
                    pairs.push((f64::from(luma.pixels[i]), f64::from(luma.pixels[image])));
                }
            }
        }
        Self { outline: pairs.len() as f64 / f64::from(all.max(1)), light: correlation(&pairs) }
    }
}

/// Pearson's correlation; 0 where either does not vary.
fn correlation(pairs: &[(f64, f64)]) -> f64 {
    let n = pairs.len().max(1) as f64;
    let (a, b) = (pairs.iter().map(|p| p.0).sum::<f64>() / n, pairs.iter().map(|p| p.1).sum::<f64>() / n);
    let (mut aa, mut bb, mut ab) = (0.0, 0.0, 0.0);
    for (x, y) in pairs {
        aa += (x - a).powi(2);
        bb += (y - b).powi(2);
        ab += (x - a) * (y - b);
    }
    if aa > 0.0 && bb > 0.0 { ab / (aa * bb).sqrt() } else { 0.0 }
}

/// Width, then lightness, in parts along the long axis.
fn profile(places: &[Place]) -> impl Iterator<Item = f64> {
    let ends =
        places.iter().fold((f64::MAX, f64::MIN), |(low, high), p| (low.min(p.along), high.max(p.along)));
    let length = (ends.1 - ends.0).max(1.0);
    let (mut many, mut light) = ([0.0; PARTS], [0.0; PARTS]);
    for place in places {
        let part = (((place.along - ends.0) / length * PARTS as f64) as usize).min(PARTS - 1);
        many[part] += 1.0;
        light[part] += place.lab[0];
    }
    let most = many.iter().copied().fold(1.0, f64::max);
    let mean = places.iter().map(|p| p.lab[0]).sum::<f64>() / places.len().max(1) as f64;
    let widths = many.map(|n| n / most);
    let lights: [f64; PARTS] =
        std::array::from_fn(|i| if many[i] > 0.0 { (light[i] / many[i] - mean) / 50.0 } else { 0.0 });
    widths.into_iter().chain(lights)
}

/// Sides of places that are subject beside places that are not, or beside the end of the frame.
fn outline(subject: &Subject) -> usize {
    let is =
        |x: usize, y: usize| x < subject.width && y < subject.height && subject.mask[y * subject.width + x];
    let sides = |i: usize| {
        let (x, y) = (i % subject.width, i / subject.width);
        [(x.wrapping_sub(1), y), (x + 1, y), (x, y.wrapping_sub(1)), (x, y + 1)]
            .into_iter()
            .filter(|(x, y)| !is(*x, *y))
            .count()
    };
    (0..subject.mask.len()).filter(|i| subject.mask[*i]).map(sides).sum()
}

/// Log of the Laplacian's energy against the variance of luma, within the subject, on the working preview and on one a
/// quarter its size.
fn textures(preview: &Rgb, subject: &Subject) -> [f64; 2] {
    let full = preview.luma();
    let quarter = full.reduced(full.width.max(full.height) / 4);
    [full, quarter].map(|luma| {
        let response = laplacian(&luma);
        let (mut n, mut energy, mut sum, mut squares) = (0.0, 0.0, 0.0, 0.0);
        for y in 0..response.height {
            let row = (y + 1) * subject.height / luma.height;
            for (x, value) in response.row(y).iter().enumerate() {
                if subject.surrounded((x + 1) * subject.width / luma.width, row) {
                    let own = f64::from(luma.pixels[(y + 1) * luma.width + x + 1]);
                    n += 1.0;
                    energy += f64::from(*value).powi(2);
                    sum += own;
                    squares += own * own;
                }
            }
        }
        let variance = if n > 0.0 { (squares / n - (sum / n).powi(2)).max(1.0) } else { 1.0 };
        ((energy / f64::max(n, 1.0) + 1.0) / variance).ln() / 5.0
    })
}

/// Means and deviations of colour, the dark share, and the middle against the rim.
fn colours(places: &[Place], axes: &Axes) -> impl Iterator<Item = f64> {
    let n = places.len().max(1) as f64;
    let mean: [f64; 3] = std::array::from_fn(|i| places.iter().map(|p| p.lab[i]).sum::<f64>() / n);
    let sd: [f64; 3] = std::array::from_fn(|i| {
        (places.iter().map(|p| (p.lab[i] - mean[i]).powi(2)).sum::<f64>() / n).sqrt()
    });
    let dark = places.iter().filter(|p| p.lab[0] < mean[0] - sd[0]).count() as f64 / n;
    // Within one standard deviation of both axes lies the middle.
    let central = |p: &&Place| (p.along / axes.long.max(0.5)).hypot(p.across / axes.short.max(0.5)) < 1.0;
    let of = |middle: bool, i: usize| {
        let (sum, n) = places
            .iter()
            .filter(|p| central(p) == middle)
            .fold((0.0, 0.0), |(s, n), p| (s + p.lab[i], n + 1.0));
        if n > 0.0 { sum / n } else { mean[i] }
    };
    let against = [1, 2, 0].map(|i| (of(true, i) - of(false, i)) / 50.0);
    let scaled = mean.map(|m| m / 50.0).into_iter().chain(sd.map(|s| s / 25.0));
    scaled.chain([dark]).chain(against).collect::<Vec<_>>().into_iter()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::subject::find;

    /// A subject drawn on pale ground: inside where `shape` says so, of this colour.
    fn drawn(shape: impl Fn(f64, f64) -> bool, rgb: impl Fn(f64, f64) -> [u8; 3]) -> [f32; ENTRIES] {
        let pixel = |i: usize| {
            let (x, y) = ((i % 640) as f64 - 320.0, (i / 640) as f64 - 213.0);
            if shape(x, y) { rgb(x, y) } else { [215, 214, 210] }
        };
        let preview = Rgb::new(640, 427, (0..640 * 427).flat_map(pixel).collect()).unwrap();
        describe(&preview, &find(&preview, None), None).unwrap().0
    }

    fn brown(_: f64, _: f64) -> [u8; 3] {
        [90, 60, 30]
    }

    #[test]
    fn a_disc_is_round_and_its_own_mirror() {
        let disc = drawn(|x, y| x.hypot(y) < 120.0, brown);
        assert!(disc[1] > 0.97 && disc[7] > 0.95 && disc[8] > 0.95, "{disc:?}");
        assert!((disc[2] - std::f32::consts::FRAC_PI_4).abs() < 0.04, "a disc in its box: {}", disc[2]);
        assert!((disc[3] - 1.0).abs() < 0.05, "its own ellipse: {}", disc[3]);
        assert!(disc[25].abs() < 1e-6 && disc[26] < 0.02 && disc[27] < 0.02);
        // π·120² of 640 × 427.
        assert!((disc[0].powi(2) - 0.1655).abs() < 0.01, "{}", disc[0]);
        let [l, a, b] = lab([90, 60, 30]).map(|v| v as f32 / 50.0);
        // Its rim is mixed with the ground.
        assert!((disc[30] - l).abs() < 0.1 && (disc[31] - a).abs() < 0.05 && (disc[32] - b).abs() < 0.05);
    }

    #[test]
    fn a_drop_has_a_heavy_end_and_one_mirror_line() {
        let drop = |x: f64, y: f64| {
            (x + 60.0).hypot(y) < 70.0
                || (-60.0..200.0).contains(&x) && y.abs() < 60.0 * (1.0 - (x + 60.0) / 260.0)
        };
        let drop = drawn(drop, brown);
        assert!(drop[7] > 0.95 && drop[8] < 0.85, "{} {}", drop[7], drop[8]);
        assert!(drop[11] > 0.2 && drop[12] < 0.1, "{} {}", drop[11], drop[12]);
        assert!(drop[13] > drop[17] && drop[18] < 0.3, "{:?}", &drop[13..19]);
    }

    #[test]
    fn a_turn_changes_where_it_points_and_little_else() {
        let long = |x: f64, y: f64| (x / 180.0).hypot(y / 70.0) < 1.0;
        let (lying, standing) = (drawn(long, brown), drawn(|x, y| long(y, x), brown));
        assert!(lying[5] > 0.5 && standing[5] < -0.5);
        for i in (0..5).chain(7..25).filter(|i| *i != 2) {
            assert!((lying[i] - standing[i]).abs() < 0.12, "{i}: {} {}", lying[i], standing[i]);
        }
    }

    #[test]
    fn stripes_and_colour_count() {
        let disc = |x: f64, y: f64| x.hypot(y) < 120.0;
        let even = drawn(disc, brown);
        let striped =
            drawn(disc, |x, _| if (x + 320.0) % 16.0 < 8.0 { [180, 140, 20] } else { [20, 20, 20] });
        let broad = drawn(disc, |x, _| if (x + 320.0) % 64.0 < 32.0 { [180, 140, 20] } else { [20, 20, 20] });
        assert!(
            striped[28] > broad[28] + 0.1 && striped[33] > even[33] + 0.3,
            "{} {}",
            striped[28],
            broad[28]
        );
        let eyed = drawn(disc, |x, y| if x.hypot(y) < 50.0 { [160, 40, 40] } else { [60, 60, 60] });
        assert!(eyed[37] > 0.3, "{}", eyed[37]);
    }

    #[test]
    fn odd_subjects_give_finite_numbers_and_no_subject_none() {
        for shape in [
            |x: f64, _: f64| x.abs() < 3.0,
            |x: f64, y: f64| x.abs().max(y.abs()) < 7.0,
            |x: f64, _: f64| x < 0.0,
        ] {
            assert!(drawn(shape, brown).iter().all(|v| v.is_finite()));
        }
        let even = Rgb::new(640, 427, vec![200; 3 * 640 * 427]).unwrap();
        assert_eq!(describe(&even, &find(&even, None), None), None);
    }
}

//! How sharp a picture is at a place: the operators, and the focus of a subject.
//!
//! Pertuz S, Puig D, García MA (2013) *Pattern Recognit.* 46:1415–1432 compare 36 operators; those that rest on the
//! Laplacian do best and suffer most from grain, so here grain is taken off. All grow with contrast, so results
//! are put in proportion to brightness, and only frames of one view on one day are ever compared.

use crate::subject::Subject;
use crate::variance::of_values;
use crate::{Field, Luma};

/// Response to the Laplacian [0 1 0; 1 −4 1; 0 1 0] where it fits: two columns and two rows fewer than the picture.
pub fn laplacian(picture: &Luma) -> Field {
    inner(picture, |[above, here, below]| {
        let beside = i32::from(here[0]) + i32::from(here[2]);
        beside + i32::from(above[1]) + i32::from(below[1]) - 4 * i32::from(here[1])
    })
}

/// Squared gradient by Sobel's masks, gx² + gy², where they fit (Tenenbaum's measure).
pub fn tenengrad(picture: &Luma) -> Field {
    inner(picture, |[above, here, below]| {
        let weighed = |row: &[u8; 3]| i32::from(row[0]) + 2 * i32::from(row[1]) + i32::from(row[2]);
        let step = |row: &[u8; 3]| i32::from(row[2]) - i32::from(row[0]);
        let (across, down) = (step(above) + 2 * step(here) + step(below), weighed(below) - weighed(above));
        across * across + down * down
    })
}

/// Variance of the Laplacian (Pech-Pacheco JL et al. 2000); 0 where no mask fits.
pub fn laplacian_variance(picture: &Luma) -> f64 {
    of_values(&laplacian(picture).values).1
}

/// What a mask gives at every pixel whose eight neighbours there are.
fn inner(picture: &Luma, mask: impl Fn([&[u8; 3]; 3]) -> i32) -> Field {
    let (w, h) = (picture.width, picture.height);
    if w < 3 || h < 3 || picture.pixels.len() != w * h {
        return Field::default();
    }
    let mut values = Vec::with_capacity((w - 2) * (h - 2));
    for y in 1..h - 1 {
        let rows = [y - 1, y, y + 1].map(|y| picture.row(y).array_windows::<3>());
        let [above, here, below] = rows;
        values.extend(above.zip(here).zip(below).map(|((a, b), c)| mask([a, b, c]) as f32));
    }
    Field { width: w - 2, height: h - 2, values }
}

/// Share of the subject by which its focus is told: a macro lens holds a slice of the animal sharp, and that it does is
/// what counts.
const SHARPEST: f64 = 0.2;

/// Share of the subject, the least sharp, whose response counts as grain: bare dark cuticle shows nothing finer.
const SMOOTHEST: f64 = 0.1;

/// Luma added to brightness before dividing by it, as for contrast.
const BLACK_LIFT: f64 = 25.0;

/// Least focus, so that it is above 0 and ratios exist.
const LEAST: f64 = 1e-3;

/// Focus of a subject on a working preview: the root of the mean energy of the Laplacian in the sharpest fifth of its
/// places, less that in the smoothest tenth (grain), as a share of brightness. Above 0, and small when nothing is
/// sharp.
///
/// Only places whose neighbours are all subject count, so that neither its outline nor the background has a say; where
/// there are none, all places of it do. Without a subject the whole frame is measured.
pub fn of_subject(preview: &Luma, subject: &Subject) -> f64 {
    let energies = {
        let inside = places(preview, subject, |x, y| subject.surrounded(x, y));
        if inside.is_empty() { places(preview, subject, |_, _| true) } else { inside }
    };
    if energies.is_empty() {
        return LEAST;
    }
    let mut sorted: Vec<f64> = energies.iter().map(|(energy, _)| *energy).collect();
    sorted.sort_by(f64::total_cmp);
    let part = |share: f64| ((share * sorted.len() as f64).ceil() as usize).clamp(1, sorted.len());
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let (sharp, grain) = (mean(&sorted[sorted.len() - part(SHARPEST)..]), mean(&sorted[..part(SMOOTHEST)]));
    let luma = energies.iter().map(|(_, luma)| luma).sum::<f64>() / energies.len() as f64;
    ((sharp - grain).max(0.0).sqrt() / (luma + BLACK_LIFT)).max(LEAST)
}

/// How many places to each side a place's energy is a mean over: 5 × 5 places are some 400 px, over which the energy of
/// grain alone varies by a tenth, so that its sharpest fifth and its smoothest tenth lie close together.
const NEAR: usize = 2;

/// Mean energy of the Laplacian and mean luma around each place of the mask that is subject and wanted; of all places
/// when no subject was found.
fn places(preview: &Luma, subject: &Subject, wanted: impl Fn(usize, usize) -> bool) -> Vec<(f64, f64)> {
    let response = laplacian(preview);
    let mut sums = vec![(0.0, 0.0, 0u32); subject.width * subject.height];
    for y in 0..response.height {
        let row = (y + 1) * subject.height / preview.height;
        for (x, value) in response.row(y).iter().enumerate() {
            let place = row * subject.width + (x + 1) * subject.width / preview.width;
            let sum = &mut sums[place];
            sum.0 += f64::from(*value).powi(2);
            sum.1 += f64::from(preview.pixels[(y + 1) * preview.width + x + 1]);
            sum.2 += 1;
        }
    }
    let anywhere = subject.bounds.is_none();
    for (i, sum) in sums.iter_mut().enumerate() {
        let counts = anywhere || subject.mask[i] && wanted(i % subject.width, i / subject.width);
        if !counts {
            *sum = (0.0, 0.0, 0);
        }
    }
    let around = |i: usize| {
        let (x, y) = (i % subject.width, i / subject.width);
        let rows = y.saturating_sub(NEAR)..(y + NEAR + 1).min(subject.height);
        let columns = x.saturating_sub(NEAR)..(x + NEAR + 1).min(subject.width);
        let near = rows.flat_map(|row| &sums[row * subject.width..][columns.clone()]);
        let (energy, luma, n) =
            near.fold((0.0, 0.0, 0), |all, one| (all.0 + one.0, all.1 + one.1, all.2 + one.2));
        (energy / f64::from(n), luma / f64::from(n))
    };
    (0..sums.len()).filter(|i| sums[*i].2 > 0).map(around).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Rgb;
    use crate::subject::find;

    /// Five equal rows.
    fn rows(row: [u8; 5]) -> Luma {
        Luma::new(5, 5, row.repeat(5)).unwrap()
    }

    #[test]
    fn worked_values() {
        // By hand over the inner 3 × 3: sharp 0 40 −40, soft 20 0 −20, ramp 0.
        for (row, lapv, teng) in [
            ([10, 10, 10, 50, 50], 3200.0 / 3.0, 51_200.0 / 3.0),
            ([10, 10, 30, 50, 50], 800.0 / 3.0, 12_800.0),
            ([10, 20, 30, 40, 50], 0.0, 6_400.0),
        ] {
            assert!((laplacian_variance(&rows(row)) - lapv).abs() < 1e-3, "{row:?}");
            assert!((of_values(&tenengrad(&rows(row)).values).0 - teng).abs() < 1e-2, "{row:?}");
        }
        assert_eq!(laplacian(&Luma::new(2, 9, vec![0; 18]).unwrap()), Field::default());
    }

    #[test]
    fn what_must_hold_for_any_picture() {
        let noise = |k: u32, plus: u8| {
            let pixels =
                (0..30 * 20u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 26) as u8 * k as u8 + plus);
            Luma::new(30, 20, pixels.collect()).unwrap()
        };
        let measures = |p: &Luma| [laplacian_variance(p), of_values(&tenengrad(p).values).0];
        let close = |a: [f64; 2], b: [f64; 2]| a.iter().zip(b).all(|(a, b)| (a / b - 1.0).abs() < 1e-5);
        let plain = noise(1, 0);
        assert!(
            close(measures(&noise(2, 0)), measures(&plain).map(|m| 4.0 * m)),
            "twice the contrast, four times"
        );
        assert!(close(measures(&noise(1, 20)), measures(&plain)), "brightness added");
        let flipped = Luma { pixels: plain.pixels.iter().rev().copied().collect(), ..plain };
        assert!(close(measures(&flipped), measures(&noise(1, 0))), "turned half round");
    }

    /// A striped animal on ground with stripes of its own, each smeared by a mean over this many pixels.
    fn frame(animal_px: usize, ground_px: usize) -> Rgb {
        let stripe = |x: usize, over: usize, period: usize| -> f64 {
            (0..over).map(|i| f64::from(u8::from((x + i) % period < period / 2))).sum::<f64>() / over as f64
        };
        let pixel = |i: usize| {
            let (x, y) = (i % 640, i / 640);
            let animal = x.abs_diff(320) < 120 && y.abs_diff(210) < 80;
            let luma = if animal {
                30.0 + 60.0 * stripe(x, animal_px, 24)
            } else {
                200.0 + 6.0 * stripe(y, ground_px, 20)
            };
            [luma as u8; 3]
        };
        Rgb::new(640, 427, (0..640 * 427).flat_map(pixel).collect()).unwrap()
    }

    fn focus(frame: &Rgb) -> f64 {
        of_subject(&frame.luma(), &find(frame, None))
    }

    #[test]
    fn blur_of_the_subject_counts_and_that_of_the_ground_does_not() {
        let sharp = focus(&frame(1, 1));
        let blurred: Vec<f64> = [2, 4, 8].map(|px| focus(&frame(px, 1))).to_vec();
        assert!(sharp > blurred[0] && blurred.windows(2).all(|f| f[0] > f[1]), "{sharp} {blurred:?}");
        assert!((focus(&frame(1, 8)) / sharp - 1.0).abs() < 0.05);
        assert!((focus(&frame(4, 8)) / blurred[1] - 1.0).abs() < 0.05);
    }

    #[test]
    fn grain_is_not_sharpness() {
        // Sums of four even values of −3..=3 have a variance of 4·(7² − 1)/12 = 16.
        let mut state = 1u32;
        let mut noise = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f64::from((state >> 16) % 7) - 3.0
        };
        let mut grainy = frame(640, 1);
        for pixel in grainy.values.as_chunks_mut::<3>().0 {
            let more = noise() + noise() + noise() + noise();
            *pixel = pixel.map(|v| (f64::from(v) + more).clamp(0.0, 255.0) as u8);
        }
        // Grain answers the Laplacian with √20 times its deviation (1 + 1 + 1 + 1 + 16); the animal's mean is 60.
        let uncorrected = 20f64.sqrt() * 4.0 / (60.0 + BLACK_LIFT);
        assert!(focus(&grainy) < 0.6 * uncorrected, "{} {uncorrected}", focus(&grainy));
    }

    #[test]
    fn odd_pictures_have_the_least_focus() {
        for (width, height) in [(0, 0), (1, 1), (2, 2), (1, 90), (640, 427)] {
            let even = Rgb::new(width, height, vec![90; 3 * width * height]).unwrap();
            assert!((focus(&even) - LEAST).abs() < 1e-12, "{width}×{height}");
        }
    }
}

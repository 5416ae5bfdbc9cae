//! What each view looks like, learned from frames of which it is known: a small model of descriptors.
//!
//! Descriptors are brought to the day's own scale; each view has a mean, all views share one covariance, shrunken because
//! there are few examples. How sharply the model may speak is learned as well: each specimen in turn is left out, judged
//! by the rest, and one temperature chosen that makes those judgements neither too bold nor too timid. The same examples
//! give the same model.

use crate::whiten::{Factor, distance2, shrunken_covariance};

/// A frame of which it is known what it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Example<'a> {
    /// Its descriptor.
    pub descriptor: &'a [f32],
    /// The view, as a place in the plan.
    pub view: usize,
    /// Of which specimen; frames of one specimen are left out together.
    pub specimen: usize,
}

/// A learned model of views.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Appearance {
    scale: Scale,
    core: Core,
    /// Distances are divided by this: 1 says what the covariance says, more is more careful.
    temperature: f64,
    /// A frame farther from all views than this shows none of them more probably than any.
    far: f64,
}

/// Fewest specimens that something can be learned from: one must be left out and others remain.
const FEWEST_SPECIMENS: usize = 2;
/// Most parts that examples are cut into for leaving out. More cost time and say little more.
const MOST_FOLDS: usize = 8;
/// Covariance is drawn towards a round one by at least this many rows among those there are.
const ROUND_ROWS: f64 = 8.0;
/// Temperatures that are tried, each about 1.4 times the one before; the range is wide since descriptors differ in how
/// many of their numbers say the same.
const TEMPERATURES: [f64; 14] =
    [1.0, 1.4, 2.0, 2.8, 4.0, 5.7, 8.0, 11.3, 16.0, 22.6, 32.0, 45.3, 64.0, 128.0];
/// One in so many frames of its own view lies farther from it than [`Appearance::far`].
const FAR_ONE_IN: usize = 20;

impl Appearance {
    /// Learns from examples; `day` holds all descriptors of the day, for their scale. `None` while there are too few:
    /// fewer than two specimens, or fewer than two views among them. Descriptors of another length than the first
    /// example's are left out.
    pub(crate) fn learn<'a>(
        day: impl Iterator<Item = &'a [f32]> + Clone,
        examples: &[Example<'a>],
        views: usize,
    ) -> Option<Self> {
        let size = examples.first().map(|e| e.descriptor.len()).filter(|n| *n > 0)?;
        let examples: Vec<&Example<'a>> = examples.iter().filter(|e| e.descriptor.len() == size).collect();
        let scale =
            Scale::of(day.filter(|d| d.len() == size).chain(examples.iter().map(|e| e.descriptor)), size);
        let scaled: Vec<Vec<f64>> = examples.iter().map(|e| scale.apply(e.descriptor)).collect();
        let mut specimens: Vec<usize> = examples.iter().map(|e| e.specimen).collect();
        specimens.sort_unstable();
        specimens.dedup();
        let rows: Vec<Row<'_>> = examples.iter().zip(&scaled).map(|(e, x)| Row { x, view: e.view }).collect();
        let core = Core::fit(&rows, views)?;
        if specimens.len() < FEWEST_SPECIMENS || core.means.iter().flatten().count() < 2 {
            return None;
        }
        let folds = specimens.len().min(MOST_FOLDS);
        let fold_of = |e: &Example<'_>| specimens.partition_point(|s| *s < e.specimen) % folds;
        let mut judged = Vec::new();
        for fold in 0..folds {
            let (out, kept): (Vec<_>, Vec<_>) =
                rows.iter().zip(&examples).partition(|(_, e)| fold_of(e) == fold);
            let kept: Vec<Row<'_>> = kept.into_iter().map(|(row, _)| *row).collect();
            let Some(core) = Core::fit(&kept, views) else { continue };
            judged.extend(out.into_iter().filter_map(|(row, _)| Judged::of(&core, row)));
        }
        // Those judgements were made by fewer specimens than there are now, and so a little worse than need be.
        let temperature = best_temperature(&judged) * (1.0 - 1.0 / specimens.len() as f64);
        let mut own: Vec<f64> = judged.iter().map(|j| j.own).collect();
        own.sort_by(f64::total_cmp);
        // Nothing could be judged where no view has frames of two specimens.
        let far = own.get((own.len() * (FAR_ONE_IN - 1)) / FAR_ONE_IN).copied().unwrap_or(f64::INFINITY);
        Some(Self { scale, core, temperature, far })
    }

    /// How well a descriptor fits each view, and last none of them, as factors of which the largest is 1. A view of
    /// which nothing is known fits as well as none. All 1 for a descriptor of another length.
    pub(crate) fn fits(&self, descriptor: &[f32]) -> Vec<f64> {
        let views = self.core.means.len();
        if !self.scale.fits(descriptor) {
            return vec![1.0; views + 1];
        }
        let distances = self.core.distances(&self.scale.apply(descriptor));
        let far = if self.far.is_finite() {
            self.far
        } else {
            distances.iter().flatten().copied().fold(0.0, f64::max)
        };
        let row: Vec<f64> = distances.iter().map(|d| d.unwrap_or(far)).chain([far]).collect();
        let least = row.iter().copied().fold(f64::INFINITY, f64::min);
        row.iter().map(|d| (-(d - least) / (2.0 * self.temperature)).exp()).collect()
    }
}

/// Mean and standard deviation of each number of a descriptor, over the day.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Scale(Vec<(f64, f64)>);

impl Scale {
    /// Of descriptors of one size. None give numbers as they are.
    pub(crate) fn of<'a>(day: impl Iterator<Item = &'a [f32]> + Clone, size: usize) -> Self {
        let n = day.clone().count().max(1) as f64;
        let mut mean = vec![0.0; size];
        for d in day.clone() {
            mean.iter_mut().zip(d).for_each(|(m, x)| *m += f64::from(*x) / n);
        }
        let mut var = vec![0.0; size];
        for d in day {
            for ((v, x), m) in var.iter_mut().zip(d).zip(&mean) {
                *v += (f64::from(*x) - m).powi(2) / n;
            }
        }
        // What never changes says nothing, and must not be blown up.
        let sd = |v: &f64| if *v > 1e-12 { v.sqrt() } else { 1.0 };
        Self(mean.into_iter().zip(var.iter().map(sd)).collect())
    }

    /// Whether a descriptor is of the size that this is the scale of.
    pub(crate) fn fits(&self, descriptor: &[f32]) -> bool {
        descriptor.len() == self.0.len()
    }

    /// A descriptor on the day's scale. Beyond five standard deviations it makes no difference how far.
    pub(crate) fn apply(&self, descriptor: &[f32]) -> Vec<f64> {
        let on_scale = |((mean, sd), x): (&(f64, f64), &f32)| ((f64::from(*x) - mean) / sd).clamp(-5.0, 5.0);
        self.0.iter().zip(descriptor).map(on_scale).collect()
    }
}

/// An example on the day's scale.
#[derive(Debug, Clone, Copy)]
struct Row<'a> {
    x: &'a [f64],
    view: usize,
}

/// Means of views and the covariance within them.
#[derive(Debug, Clone, PartialEq)]
struct Core {
    factor: Factor,
    /// Degrees of freedom of the covariance, at least 1.
    free: f64,
    /// Whitened mean of each view, and of how many examples; `None` for a view without any.
    means: Vec<Option<(Vec<f64>, f64)>>,
}

impl Core {
    fn fit(rows: &[Row<'_>], views: usize) -> Option<Self> {
        let size = rows.first()?.x.len();
        let mut sums = vec![(vec![0.0; size], 0.0); views];
        for row in rows {
            let (sum, n) = &mut sums[row.view];
            sum.iter_mut().zip(row.x).for_each(|(s, x)| *s += x);
            *n += 1.0;
        }
        let means: Vec<Option<(Vec<f64>, f64)>> = sums
            .into_iter()
            .map(|(sum, n)| (n > 0.0).then(|| (sum.iter().map(|s| s / n).collect(), n)))
            .collect();
        let from_mean = |row: &Row<'_>| -> Option<Vec<f64>> {
            let (mean, n) = means[row.view].as_ref()?;
            (*n > 1.0).then(|| row.x.iter().zip(mean).map(|(x, m)| x - m).collect())
        };
        let within: Vec<Vec<f64>> = rows.iter().filter_map(from_mean).collect();
        let groups = means.iter().flatten().filter(|(_, n)| *n > 1.0).count();
        let free = within.len().saturating_sub(groups).max(1);
        let least = ROUND_ROWS / (ROUND_ROWS + free as f64);
        let cov = if within.is_empty() {
            shrunken_covariance(&[vec![0.0; size]], 1, 1.0)
        } else {
            shrunken_covariance(&within, free, least)
        };
        let factor = Factor::of(&cov)?;
        let means = means.into_iter().map(|m| m.map(|(mean, n)| (factor.whiten(&mean), n))).collect();
        Some(Self { factor, free: free as f64, means })
    }

    /// How far a descriptor is from each view: −2 × the logarithm of the density of a multivariate t, which is what a
    /// Gaussian becomes whose covariance was estimated from few rows, and whose mean from as few; up to a constant.
    /// Far out it grows slowly, so that one odd frame does not make the whole model timid. `None` for a view without
    /// examples.
    fn distances(&self, x: &[f64]) -> Vec<Option<f64>> {
        let white = self.factor.whiten(x);
        let to = |(mean, n): &(Vec<f64>, f64)| {
            let squared = distance2(mean, &white) / (1.0 + 1.0 / n);
            (self.free + x.len() as f64) * (1.0 + squared / self.free).ln()
        };
        self.means.iter().map(|m| m.as_ref().map(to)).collect()
    }
}

/// What a model said of a frame that it had not seen.
struct Judged {
    /// Distance to the view it shows.
    own: f64,
    /// Distances to the other views.
    others: Vec<f64>,
}

impl Judged {
    fn of(core: &Core, row: &Row<'_>) -> Option<Self> {
        let distances = core.distances(row.x);
        let others = |(view, d): (usize, &Option<f64>)| d.filter(|_| view != row.view);
        Some(Self {
            own: distances[row.view]?,
            others: distances.iter().enumerate().filter_map(others).collect(),
        })
    }
}

/// The temperature at which the judgements cost least in logarithms of probability. The view a frame shows is wanted
/// with probability (n + 1) / (n + 2) and not with certainty (Platt 1999), so that a few frames judged right do not make
/// the model certain.
fn best_temperature(judged: &[Judged]) -> f64 {
    let n = judged.len() as f64;
    let wanted = (n + 1.0) / (n + 2.0);
    let loss = |temperature: f64| -> f64 {
        let one = |j: &Judged| {
            let weight = |d: &f64| -d / (2.0 * temperature);
            let all = j.others.iter().map(weight).chain([weight(&j.own)]);
            let most = all.clone().fold(f64::NEG_INFINITY, f64::max);
            let log_sum = most + all.map(|w| (w - most).exp()).sum::<f64>().ln();
            let others: f64 = j.others.iter().map(|d| log_sum - weight(d)).sum();
            wanted * (log_sum - weight(&j.own)) + (1.0 - wanted) * others / j.others.len().max(1) as f64
        };
        judged.iter().map(one).sum()
    };
    let by_loss = |a: &f64, b: &f64| loss(*a).total_cmp(&loss(*b));
    // Of equal ones the more careful; with nothing judged the most careful.
    TEMPERATURES.iter().copied().rev().min_by(by_loss).unwrap_or(1.0)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// Numbers that look random and are always the same (a linear congruential generator; constants of Knuth's MMIX),
    /// roughly normal by summing twelve.
    pub(crate) struct Noise(pub u64);

    impl Noise {
        pub(crate) fn next(&mut self) -> f64 {
            let mut uniform = || {
                self.0 =
                    self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                (self.0 >> 11) as f64 / (1u64 << 53) as f64
            };
            (0..12).map(|_| uniform()).sum::<f64>() - 6.0
        }
    }

    /// A descriptor of a view: its own corner, the animal's own shift, and noise.
    pub(crate) fn descriptor(view: usize, animal: usize, noise: &mut Noise, blur: f64) -> Vec<f32> {
        let mut of_animal = Noise(animal as u64 * 77 + 5);
        (0..12)
            .map(|i| {
                let corner = if i % 5 == view { 3.0 } else { 0.0 };
                (corner + of_animal.next() + blur * noise.next()) as f32
            })
            .collect()
    }

    fn model(animals: usize, views: usize, blur: f64) -> Option<Appearance> {
        let mut noise = Noise(1);
        let of = |n: usize, noise: &mut Noise| descriptor(n % views, n / views, noise, blur);
        let known: Vec<Vec<f32>> = (0..animals * views).map(|n| of(n, &mut noise)).collect();
        let examples: Vec<Example<'_>> = known
            .iter()
            .enumerate()
            .map(|(n, d)| Example { descriptor: d, view: n % views, specimen: n / views })
            .collect();
        Appearance::learn(std::iter::empty(), &examples, views + 1)
    }

    /// Share right, and mean probability of the likeliest view, on animals the model has not seen.
    fn judged(model: &Appearance, blur: f64) -> (f64, f64) {
        let mut noise = Noise(99);
        let (mut right, mut sure) = (0.0, 0.0);
        for n in 0..400 {
            let fits = model.fits(&descriptor(n % 4, 100 + n / 4, &mut noise, blur));
            let fits = &fits[..4];
            let best = (0..4).max_by(|a, b| fits[*a].total_cmp(&fits[*b])).unwrap();
            right += f64::from(u8::from(best == n % 4)) / 400.0;
            sure += fits[best] / fits.iter().sum::<f64>() / 400.0;
        }
        (right, sure)
    }

    #[test]
    fn views_of_other_animals_are_told_and_the_certainty_is_earned() {
        for (animals, blur, least) in [(5, 0.5, 0.97), (5, 2.0, 0.6), (12, 2.0, 0.7)] {
            let (right, sure) = judged(&model(animals, 4, blur).unwrap(), blur);
            assert!(right >= least, "{animals} animals, blur {blur}: {right} right");
            assert!(
                (right - sure).abs() < 0.12,
                "{animals} animals, blur {blur}: {right} right, {sure} sure"
            );
        }
    }

    #[test]
    fn what_is_unlike_all_views_fits_none_of_them_best() {
        let model = model(6, 4, 0.5).unwrap();
        let fits = model.fits(&[9.0; 12]);
        assert_eq!(fits.len(), 6, "a fifth view has no example");
        assert!(fits[..4].iter().all(|f| *f < 0.5), "{fits:?}");
        assert_eq!(fits[4..], [1.0, 1.0]);
    }

    #[test]
    fn too_little_gives_no_model_and_odd_input_no_opinion() {
        assert_eq!(model(1, 4, 0.5), None);
        assert_eq!(model(4, 1, 0.5), None);
        assert_eq!(Appearance::learn(std::iter::empty(), &[], 3), None);
        let same: Vec<Example<'_>> =
            (0..8).map(|n| Example { descriptor: &[1.0, 1.0], view: n % 2, specimen: n / 2 }).collect();
        let model = Appearance::learn(std::iter::empty(), &same, 2).unwrap();
        assert_eq!(model.fits(&[1.0, 1.0]), [1.0; 3], "all identical");
        assert_eq!(model.fits(&[]), [1.0; 3]);
        assert!(model.fits(&[1e30, -1e30]).iter().all(|f| f.is_finite()));
    }
}

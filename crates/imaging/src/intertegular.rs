//! Body mass of a bee as estimated from its intertegular distance, by published regressions.
//!
//! Goes in: the distance between the inner edges of the two tegulae, mm. Come out: estimates of dry mass, each with its
//! source and spread, and warnings where the distance is out of range. Within a species the distance predicts mass poorly
//! (R² 0.02 to 0.66 in Kendall et al. 2019), so an estimate is never a weight, and is shown only when asked for.

use crate::uncertain::Uncertain;

/// A regression ln(mass in mg) = `intercept` + `slope` · ln(distance in mm).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regression {
    /// ln mg at 1 mm.
    pub intercept: f64,
    /// ln mg per ln mm.
    pub slope: f64,
    /// Standard deviation of single values about the line, in ln mg; `None` where not known to us.
    pub residual_sd: Option<f64>,
    /// Where it is from, and of which bees.
    pub source: &'static str,
}

/// Cane JH 1987, *Journal of the Kansas Entomological Society* 60:145–147: 20 solitary species, females. The same as the
/// power form distance = 0.77 · mass^0.405. How far single bees lie from it is not known to us.
pub const CANE_1987: Regression = Regression {
    intercept: 0.6453,
    slope: 2.4691,
    residual_sd: None,
    source: "Cane 1987, J. Kansas Entomol. Soc. 60:145–147 (females of 20 solitary species)",
};

/// Fitted anew by least squares to the 589 single *Bombus* in the open data of Kendall LK et al. 2019, *Ecology and
/// Evolution* 9:1702–1714 (CC BY 4.0): R² 0.61. Its residual spread follows from slope, R² and the spread of the distances:
/// `slope · SD(ln distance) · √((1 − R²) / R²)`, with SD(ln distance) 0.188 worked out from the means and standard
/// deviations of both sexes there as if log-normal. It is good to a tenth or so.
pub const KENDALL_2019_BOMBUS: Regression = Regression {
    intercept: 0.972,
    slope: 2.227,
    residual_sd: Some(0.335),
    source: "refitted from Kendall et al. 2019 data, Ecol. Evol. 9:1702–1714 (589 Bombus, R² 0.61)",
};

/// A mass as estimated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// Dry mass in mg; its uncertainty is that of the measured distance alone.
    pub mg: Uncertain,
    /// About two thirds of single bees lie between this factor below and above; `None` where not known.
    pub spread_factor: Option<f64>,
    /// Where it is from.
    pub source: &'static str,
}

impl Regression {
    /// The mass it gives for a distance in mm; `None` unless the distance is finite and above 0. A relative error passes on
    /// multiplied by the slope.
    pub fn estimate(&self, distance_mm: Uncertain) -> Option<Estimate> {
        let value = (self.intercept + self.slope * distance_mm.value.ln()).exp();
        let usable = distance_mm.value > 0.0 && value.is_finite();
        usable.then(|| Estimate {
            mg: Uncertain { value, standard: value * self.slope * distance_mm.relative() },
            spread_factor: self.residual_sd.map(f64::exp),
            source: self.source,
        })
    }
}

/// The range of distances of *Bombus* in the data of Kendall et al. 2019, mm.
pub const DATA_RANGE_MM: (f64, f64) = (2.5, 6.5);

/// Beyond this range a measured bumble bee is questioned, mm. Our own choice.
pub const PLAUSIBLE_MM: (f64, f64) = (2.0, 8.0);

/// How a distance lies against what is known of bumble bees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OutOfRange {
    /// Outside [`DATA_RANGE_MM`]: look again at scale and points.
    OutsideData,
    /// Outside [`PLAUSIBLE_MM`]: the scale or the points are likely wrong.
    Implausible,
}

/// What is odd about a distance for a bumble bee; `None` when nothing is. What is not a number is implausible.
pub fn out_of_range(distance_mm: f64) -> Option<OutOfRange> {
    let within = |range: (f64, f64)| (range.0..=range.1).contains(&distance_mm);
    match (within(DATA_RANGE_MM), within(PLAUSIBLE_MM)) {
        (true, _) => None,
        (_, true) => Some(OutOfRange::OutsideData),
        _ => Some(OutOfRange::Implausible),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(value: f64) -> Uncertain {
        Uncertain { value, standard: 0.0 }
    }

    #[test]
    fn six_lengths_by_canes_log_form() {
        // ln M = 0.6453 + 2.4691 ln d, worked by hand: at 4 mm 4.068200, so 58.45 mg.
        for (mm, mg) in [(2.5, 18.31), (3.0, 28.73), (3.5, 42.03), (4.0, 58.45), (5.0, 101.41), (6.0, 159.07)]
        {
            let got = CANE_1987.estimate(exact(mm)).unwrap().mg.value;
            assert!((got - mg).abs() < 0.005, "{mm} mm: {got}");
            // The power form as remembered, 0.77 · M^0.405, gives the distance back.
            assert!((0.77 * got.powf(0.405) - mm).abs() < 0.005 * mm);
        }
    }

    #[test]
    fn an_error_of_the_distance_grows_by_the_slope() {
        // 4.00 ± 0.05 mm (1.25 %) makes ± 3.1 %, ± 1.8 mg.
        let got = CANE_1987.estimate(Uncertain { value: 4.0, standard: 0.05 }).unwrap();
        assert!((got.mg.relative() - 0.031).abs() < 5e-4);
        assert_eq!(got.mg.words(), "58.5 ± 1.8");
        assert_eq!(got.spread_factor, None);
    }

    #[test]
    fn the_refit_for_bumble_bees_has_its_spread() {
        let got = KENDALL_2019_BOMBUS.estimate(exact(4.0)).unwrap();
        assert!((got.mg.value - 57.9).abs() < 0.05, "{got:?}");
        // 469 females of mean 4.02 and SD 0.78 mm, 120 males of 3.89 and 0.67 mm; both as log-normal.
        let log = |mean: f64, sd: f64| {
            let variance = (sd / mean).powi(2).ln_1p();
            (mean.ln() - variance / 2.0, variance)
        };
        let ((f, fv), (m, mv), share) = (log(4.02, 0.78), log(3.89, 0.67), 469.0 / 589.0);
        let variance: f64 = share * fv + (1.0 - share) * mv + share * (1.0 - share) * (f - m).powi(2);
        assert!((variance.sqrt() - 0.188).abs() < 5e-4, "{}", variance.sqrt());
        let sd = KENDALL_2019_BOMBUS.slope * variance.sqrt() * (0.39_f64 / 0.61).sqrt();
        assert!((sd - KENDALL_2019_BOMBUS.residual_sd.unwrap()).abs() < 2e-3, "{sd}");
        assert!((got.spread_factor.unwrap() - 1.40).abs() < 5e-3);
    }

    #[test]
    fn odd_distances_are_pointed_out() {
        let check = |mm: f64, expected: Option<OutOfRange>| assert_eq!(out_of_range(mm), expected, "{mm}");
        check(4.0, None);
        check(2.5, None);
        check(6.5, None);
        check(2.49, Some(OutOfRange::OutsideData));
        check(8.0, Some(OutOfRange::OutsideData));
        check(8.1, Some(OutOfRange::Implausible));
        check(1.9, Some(OutOfRange::Implausible));
        check(f64::NAN, Some(OutOfRange::Implausible));
        for mm in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(CANE_1987.estimate(exact(mm)), None);
        }
    }
}

//! A value with its standard uncertainty, and how the two are written.
//!
//! Uncertainty is that of JCGM 100:2008 (GUM): a standard deviation, passed on to first order. What makes it up is not told
//! here.

/// A value and its standard uncertainty, of one unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty (k = 1), 0 or more.
    pub standard: f64,
}

impl Uncertain {
    /// Its standard uncertainty as a share of it.
    pub fn relative(&self) -> f64 {
        self.standard / self.value.abs()
    }

    /// The same value at the coverage factor 2, some 95 % where the distribution is normal (GUM 6.3.3).
    #[must_use]
    pub fn expanded(self) -> Self {
        Self { standard: 2.0 * self.standard, ..self }
    }

    /// Value and uncertainty, `4.02 ± 0.02`: the uncertainty to one significant digit, to two where the first is a 1 (GUM
    /// 7.2.6 allows one or two at most; which is our own choice), the value to the same place.
    pub fn words(&self) -> String {
        let size = |v: f64| v.log10().floor() as i32;
        if !(self.standard.is_finite() && self.standard > 0.0) {
            return format!("{:.3}", self.value);
        }
        // Rounded to two digits first: 0.0197 is 0.020, whose first digit is no 1.
        let second = 10f64.powi(size(self.standard) - 1);
        let rounded = (self.standard / second).round() * second * (1.0 + 1e-12);
        let first = rounded / 10f64.powi(size(rounded));
        let places = usize::try_from(i32::from(first < 2.0) - size(rounded)).unwrap_or(0);
        format!("{:.places$} ± {:.places$}", self.value, self.standard)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn value_and_uncertainty_end_at_one_place() {
        let check = |value: f64, standard: f64, expected: &str| {
            assert_eq!(Uncertain { value, standard }.words(), expected);
        };
        check(4.016_667, 0.019_677, "4.02 ± 0.02");
        check(4.016_667, 0.012, "4.017 ± 0.012");
        check(4.016_667, 0.099_7, "4.02 ± 0.10");
        check(58.45, 1.8, "58.5 ± 1.8");
        check(1234.5, 31.0, "1234 ± 31");
        check(0.082, 0.004, "0.082 ± 0.004");
        check(2.5, 0.0, "2.500");
        check(2.5, f64::NAN, "2.500");
    }
}

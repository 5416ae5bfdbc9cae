//! A place made as coarse as the sensitivity of its animal asks, and what has to be said of that.
//!
//! Goes in: a place as held, with its uncertainty, and how it may be shared. Comes out: the place as text, its uncertainty,
//! and the words of Darwin Core's `dataGeneralizations` and `informationWithheld`. The categories, the grid instead of a
//! random shift, and that only the shared copy is coarsened: Chapman AD (2020), Current Best Practices for Generalizing
//! Sensitive Species Occurrence Data, GBIF Secretariat, <https://doi.org/10.15468/doc-5jp4-5g10>. Who decides on a category is
//! the local authority or the holder of the data, never this crate. Other records that give the place away are
//! [`crate::stops`]'s matter.

use record::{Coordinates, precision_uncertainty_m};

/// How much harm the exact place could do: the categories of Chapman 2020, from the least on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Sensitivity {
    /// None: the place is shared as held.
    #[default]
    None,
    /// Category 4.
    Low,
    /// Category 3.
    Medium,
    /// Category 2.
    High,
    /// Category 1.
    Extreme,
}

impl Sensitivity {
    /// All, from the least on.
    pub const ALL: [Self; 5] = [Self::None, Self::Low, Self::Medium, Self::High, Self::Extreme];

    /// The word for it, as it stands in a record ([`record::Term::Sensitivity`]).
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Low => "low",
            Self::Medium => "medium",
            Self::High => "high",
            Self::Extreme => "extreme",
        }
    }

    /// The category of this word.
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|category| category.word() == word)
    }

    /// How its place is shared (Chapman 2020): rounded to 0.001, 0.01 or 0.1 degree; for the first category not at all,
    /// the stricter of the two ways the guide leaves open.
    pub fn sharing(self) -> Sharing {
        match self {
            Self::None => Sharing::AsHeld,
            Self::Low => Sharing::Rounded { decimals: 3 },
            Self::Medium => Sharing::Rounded { decimals: 2 },
            Self::High => Sharing::Rounded { decimals: 1 },
            Self::Extreme => Sharing::Withheld,
        }
    }
}

/// How a place is shared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sharing {
    /// As it is held.
    AsHeld,
    /// On a grid of decimal degrees with this many digits behind the point.
    Rounded {
        /// 0 to 10.
        decimals: u8,
    },
    /// Not at all.
    Withheld,
}

/// A place as the record holds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeldPlace {
    /// Where.
    pub at: Coordinates,
    /// Radius of the circle that surely holds it, metres above 0; `None` when nobody said.
    pub uncertainty_m: Option<f64>,
}

/// A place as it is shared. Every text is empty where there is nothing to say.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SharedPlace {
    /// `decimalLatitude`.
    pub latitude: String,
    /// `decimalLongitude`.
    pub longitude: String,
    /// `coordinateUncertaintyInMeters`, whole metres where it was worked out.
    pub uncertainty_m: String,
    /// `coordinatePrecision` in decimal degrees, where coordinates were rounded.
    pub precision: String,
    /// `dataGeneralizations`.
    pub generalized: String,
    /// What stands in place of a locality that is not shared.
    pub instead_of_locality: String,
}

/// A step of a grid in words: `0.01 degree`, `1 degree`.
fn degrees(decimals: u8) -> String {
    let step = if decimals == 0 { "1".to_owned() } else { format!("0.{:0>1$}", 1, usize::from(decimals)) };
    format!("{step} degree")
}

/// The place as it may be shared.
///
/// Coordinates are rounded half away from zero on their decimal digits, never to more digits than are held. The uncertainty
/// of a rounded one is that of a whole step at the shared latitude ([`precision_uncertainty_m`]) and the held one's own,
/// rounded up: taken at the held latitude it would give that away.
pub fn coarsen(held: Option<&HeldPlace>, sharing: Sharing) -> SharedPlace {
    let text = held.map(|held| held.at.decimal_text());
    match (held.zip(text), sharing) {
        (None, Sharing::AsHeld) => SharedPlace::default(),
        (Some((held, (latitude, longitude))), Sharing::AsHeld) => SharedPlace {
            latitude,
            longitude,
            uncertainty_m: held.uncertainty_m.map_or(String::new(), |metres| metres.to_string()),
            ..SharedPlace::default()
        },
        (Some((held, (latitude, longitude))), Sharing::Rounded { decimals }) => {
            rounded(held, [&latitude, &longitude], decimals)
        }
        (None, Sharing::Rounded { .. }) | (_, Sharing::Withheld) => SharedPlace {
            generalized: "Place and time of day are not shared.".to_owned(),
            instead_of_locality: "withheld".to_owned(),
            ..SharedPlace::default()
        },
    }
}

fn rounded(held: &HeldPlace, texts: [&str; 2], decimals: u8) -> SharedPlace {
    let [latitude, longitude] = texts.map(|text| rounded_text(text, decimals));
    let held_decimals = texts.map(|text| text.split_once('.').map_or(0, |(_, digits)| digits.len() as u8));
    let coarsest = |decimals: [u8; 2]| decimals[0].min(decimals[1]);
    // What was held more coarsely than the grid stays as coarse.
    let shared = coarsest(held_decimals).min(decimals);
    let step_deg = 0.1_f64.powi(i32::from(shared));
    let at = latitude.parse().unwrap_or(held.at.latitude);
    let metres = precision_uncertainty_m(step_deg, at) + held.uncertainty_m.unwrap_or(0.0);
    let mut generalized = format!(
        "Coordinates rounded to {} on a decimal geographic grid; held at {}. Locality and other words that tell the place \
         replaced; time of day left out.",
        degrees(decimals),
        degrees(coarsest(held_decimals)),
    );
    if held.uncertainty_m.is_none() {
        generalized.push_str(" The uncertainty of the place held is not known and not counted.");
    }
    SharedPlace {
        latitude,
        longitude,
        uncertainty_m: format!("{:.0}", metres.ceil()),
        precision: degrees(shared).trim_end_matches(" degree").to_owned(),
        generalized,
        instead_of_locality: format!("withheld, within the {} cell", degrees(shared)),
    }
}

/// A decimal number of degrees rounded half away from zero to so many digits behind the point, on its digits. One with
/// fewer stays as it is; zero has no sign.
fn rounded_text(text: &str, decimals: u8) -> String {
    let (sign, number) = text.strip_prefix('-').map_or(("", text), |number| ("-", number));
    let (whole, fraction) = number.split_once('.').unwrap_or((number, ""));
    let decimals = usize::from(decimals);
    if fraction.len() <= decimals {
        return text.to_owned();
    }
    let (kept, cut) = fraction.split_at(decimals);
    // At most three digits of degrees and ten behind the point.
    let all: u64 = format!("{whole}{kept}").parse().unwrap_or(0);
    let all = all + u64::from(cut.as_bytes()[0] >= b'5');
    let width = decimals + 1;
    let digits = format!("{all:0>width$}");
    let (whole, fraction) = digits.split_at(digits.len() - decimals);
    let sign = if all == 0 { "" } else { sign };
    if decimals == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{fraction}") }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use record::parse_coordinates;

    use super::*;

    fn held(text: &str, uncertainty_m: Option<f64>) -> HeldPlace {
        HeldPlace { at: parse_coordinates(text).unwrap(), uncertainty_m }
    }

    /// Rounding half away from zero, worked out by hand on the digits; places of invented records.
    #[test]
    fn coordinates_are_rounded_on_their_digits() {
        let check = |text, expected: [&str; 3]| {
            for (decimals, expected) in [1, 2, 3].into_iter().zip(expected) {
                let shared = coarsen(Some(&held(text, None)), Sharing::Rounded { decimals });
                assert_eq!(format!("{}, {}", shared.latitude, shared.longitude), expected);
            }
        };
        check("52.20025, 0.12035", ["52.2, 0.1", "52.20, 0.12", "52.200, 0.120"]);
        check("-33.86785, 151.20732", ["-33.9, 151.2", "-33.87, 151.21", "-33.868, 151.207"]);
        check("-0.04000, 0.04000", ["0.0, 0.0", "-0.04, 0.04", "-0.040, 0.040"]);
        check("59.96000, 179.97000", ["60.0, 180.0", "59.96, 179.97", "59.960, 179.970"]);
        // No digit is added to what was held.
        check("59.96, -179.9", ["60.0, -179.9", "59.96, -179.9", "59.96, -179.9"]);
        check("-0.0504, 9.9995", ["-0.1, 10.0", "-0.05, 10.00", "-0.050, 10.000"]);
        check("52, 0.1203", ["52, 0.1", "52, 0.12", "52, 0.120"]);
        let whole = coarsen(Some(&held("52.51, -0.49", None)), Sharing::Rounded { decimals: 0 });
        assert_eq!((whole.latitude.as_str(), whole.longitude.as_str()), ("53", "0"));
    }

    /// Table of Wieczorek (2001) and Wieczorek, Guo & Hijmans (2004), as in Chapman & Wieczorek 2020, Georeferencing Best
    /// Practices: metres by precision at 0, 30, 60 and 85 degrees. The printed table is not rounded up everywhere, so
    /// one metre is allowed.
    #[test]
    fn uncertainty_of_a_step_is_the_published_one() {
        let table = [
            (0, [156_904, 146_962, 124_605, 112_109]),
            (1, [15_691, 14_697, 12_461, 11_211]),
            (2, [1_570, 1_470, 1_246, 1_121]),
            (3, [157, 147, 125, 112]),
        ];
        for (decimals, row) in table {
            for (latitude, metres) in [0, 30, 60, 85].into_iter().zip(row) {
                let place = held(&format!("{latitude}.00001, 10.00001"), Some(25.0));
                let shared = coarsen(Some(&place), Sharing::Rounded { decimals });
                let got: i32 = shared.uncertainty_m.parse().unwrap();
                assert!((got - 25 - metres).abs() <= 1, "{decimals} {latitude}: {got} instead of {metres}");
            }
        }
    }

    #[test]
    fn categories_have_the_published_steps_and_words() {
        let steps = Sensitivity::ALL.map(|category| match category.sharing() {
            Sharing::AsHeld => None,
            Sharing::Rounded { decimals } => Some(Some(decimals)),
            Sharing::Withheld => Some(None),
        });
        assert_eq!(steps, [None, Some(Some(3)), Some(Some(2)), Some(Some(1)), Some(None)]);
        let words = Sensitivity::ALL.map(Sensitivity::word);
        assert_eq!(words, *record::Term::Sensitivity.values(), "the words of the record");
        assert!(Sensitivity::ALL.iter().all(|s| Sensitivity::of_word(s.word()) == Some(*s)));
        assert_eq!(Sensitivity::of_word("secret"), None);
    }

    #[test]
    fn what_was_done_is_said() {
        let place = held("52.20025, 0.12035", Some(8.0));
        let shared = coarsen(Some(&place), Sensitivity::High.sharing());
        assert_eq!(shared.precision, "0.1");
        assert_eq!(shared.instead_of_locality, "withheld, within the 0.1 degree cell");
        assert!(
            shared.generalized.starts_with(
                "Coordinates rounded to 0.1 degree on a decimal geographic grid; held at 0.00001"
            )
        );
        assert!(!shared.generalized.contains("not known"));
        let unknown = coarsen(Some(&held("52.20025, 0.12035", None)), Sensitivity::High.sharing());
        assert!(unknown.generalized.contains("not known"));

        let withheld = coarsen(Some(&place), Sensitivity::Extreme.sharing());
        assert_eq!(withheld, coarsen(None, Sensitivity::Low.sharing()));
        assert_eq!((withheld.latitude.as_str(), withheld.uncertainty_m.as_str()), ("", ""));
        assert!(!withheld.generalized.is_empty() && !withheld.instead_of_locality.is_empty());

        let same = coarsen(Some(&place), Sharing::AsHeld);
        assert_eq!(
            (same.latitude.as_str(), same.longitude.as_str(), same.uncertainty_m.as_str()),
            ("52.20025", "0.12035", "8")
        );
        assert_eq!((same.generalized.as_str(), same.instead_of_locality.as_str()), ("", ""));
        assert_eq!(coarsen(None, Sharing::AsHeld), SharedPlace::default());
    }

    proptest! {
        #[test]
        fn no_digit_is_finer_than_the_cell_and_the_uncertainty_covers_the_place(
            lat in -9_000_000_i64..=9_000_000, lon in -18_000_000_i64..=18_000_000, decimals in 0_u8..=3,
            own in 0.1_f64..500.0,
        ) {
            let text = |v: i64| format!("{}{}.{:05}", if v < 0 { "-" } else { "" }, v.abs() / 100_000, v.abs() % 100_000);
            let place = held(&format!("{}, {}", text(lat), text(lon)), Some(own));
            let shared = coarsen(Some(&place), Sharing::Rounded { decimals });
            for text in [&shared.latitude, &shared.longitude] {
                let digits = text.split_once('.').map_or(0, |(_, digits)| digits.len());
                prop_assert_eq!(digits, usize::from(decimals));
                prop_assert!(!(text.starts_with('-') && text.bytes().all(|b| b"-0.".contains(&b))), "{}", text);
            }
            let (to_lat, to_lon): (f64, f64) = (shared.latitude.parse().unwrap(), shared.longitude.parse().unwrap());
            let (true_lat, true_lon) = (lat as f64 / 1e5, lon as f64 / 1e5);
            let step = 0.1_f64.powi(i32::from(decimals));
            prop_assert!((to_lat - true_lat).abs() <= step / 2.0 + 1e-9);
            prop_assert!((to_lon - true_lon).abs() <= step / 2.0 + 1e-9);
            // Haversine on the mean sphere (6 371 008.8 m) is at most 0.56 % off the ellipsoid; the step is twice the
            // largest shift, so that is far within.
            let h = ((to_lat - true_lat).to_radians() / 2.0).sin().powi(2)
                + true_lat.to_radians().cos() * to_lat.to_radians().cos()
                    * ((to_lon - true_lon).to_radians() / 2.0).sin().powi(2);
            let shifted_m = 2.0 * 6_371_008.8 * h.sqrt().asin();
            prop_assert!(shared.uncertainty_m.parse::<f64>().unwrap() >= shifted_m * 1.0056 + own);
        }

        #[test]
        fn places_of_one_cell_are_shared_alike(lat in 0_i64..9999, other in 0_i64..9999, decimals in 1_u8..=3) {
            // All digits behind the step differ; what is shared tells nothing of them.
            let cut = 10_i64.pow(5 - u32::from(decimals));
            let text = |v: i64| format!("52.{:05}, 0.12345", 20_000 + v % (cut / 2));
            let shared = |v| coarsen(Some(&held(&text(v), Some(10.0))), Sharing::Rounded { decimals });
            prop_assert_eq!(shared(lat), shared(other));
        }
    }
}

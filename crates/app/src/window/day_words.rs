//! How a day stands, in words: in the bar with the steps, and in the list of days opened before.
//!
//! Goes in: what was counted. Comes out: a few words that leave out what is zero.

use super::settings::Recent;
use super::words::tell;

/// How a day of so many specimens stands, of which so many lack a view and so many others are unchecked.
pub(crate) fn day_words(specimens: usize, incomplete: usize, unchecked: usize) -> String {
    let words = tell!("count-specimens", n = specimens);
    match (incomplete, unchecked) {
        (0, 0) => tell!("step-day-complete", specimens = words),
        (0, n) if n == specimens => tell!("step-day-none-checked", specimens = words),
        (0, n) => {
            tell!("step-day-unchecked", specimens = words, complete = specimens - n, unchecked = n)
        }
        (n, 0) => tell!("step-day-incomplete", specimens = words, incomplete = n),
        (n, m) => tell!("step-day-incomplete-unchecked", specimens = words, incomplete = n, unchecked = m),
    }
}

/// The same where there is less room: the unchecked are left out beside the incomplete.
pub(crate) fn short_day_words(specimens: usize, incomplete: usize, unchecked: usize) -> String {
    day_words(specimens, incomplete, if incomplete == 0 { unchecked } else { 0 })
}

/// What is open in a day: `14 specimens, 5 incomplete, 9 unchecked, 1 query, not filed`.
pub(crate) fn stand_words(day: &Recent) -> String {
    let mut stand = day_words(day.specimens, day.incomplete, day.unchecked);
    if day.queries > 0 {
        stand = tell!("start-recent-queries", stand = stand, n = day.queries);
    }
    let filing = match day.filed {
        (done, all) if done == all => return stand,
        (0, _) => tell!("step-filing-none"),
        (done, all) => tell!("step-filing-to-go", left = all - done),
    };
    tell!("start-recent-filing", stand = stand, filing = filing)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_says_what_is_open_and_not_what_is_zero() {
        assert_eq!(day_words(14, 0, 0), "14 specimens, all complete");
        assert_eq!(day_words(14, 0, 14), "14 specimens, none checked");
        assert_eq!(day_words(14, 0, 9), "14 specimens, 5 complete, 9 unchecked");
        assert_eq!(day_words(14, 5, 0), "14 specimens, 5 incomplete");
        assert_eq!(day_words(14, 5, 9), "14 specimens, 5 incomplete, 9 unchecked");
        assert_eq!(short_day_words(14, 5, 9), "14 specimens, 5 incomplete");
        assert_eq!(short_day_words(14, 0, 14), "14 specimens, none checked");
    }

    #[test]
    fn a_day_opened_before_says_all_that_is_open() {
        let stand = |incomplete, unchecked, queries, filed| {
            stand_words(&Recent {
                card: "/m/heath".into(),
                key: String::new(),
                name: "heath".to_owned(),
                date: String::new(),
                place: String::new(),
                specimens: 14,
                incomplete,
                unchecked,
                queries,
                filed,
            })
        };
        let all = "14 specimens, 5 incomplete, 9 unchecked, 1 query, not filed";
        assert_eq!(stand(5, 9, 1, (0, 98)), all);
        assert_eq!(stand(5, 0, 2, (90, 98)), "14 specimens, 5 incomplete, 2 queries, filed, 8 to go");
        assert_eq!(stand(0, 0, 0, (98, 98)), "14 specimens, all complete");
        // As an older program remembered it.
        assert_eq!(stand(2, 0, 0, (0, 0)), "14 specimens, 2 incomplete");
    }
}

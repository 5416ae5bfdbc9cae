//! Which animals lack a view, most urgent first.

use record::{Plan, Session, Taken, ViewKey};

use crate::{Grouping, coverage, flaw_word};

/// One animal of the retake list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Retake {
    /// Index of its set in the session.
    pub set: usize,
    /// Its number.
    pub number: u32,
    /// Its jar label, empty when none.
    pub jar: String,
    /// When its first frame was taken.
    pub since: Option<Taken>,
    /// How many required views are not there, or not well enough.
    pub short: usize,
    /// Those known by name.
    pub missing: Vec<ViewKey>,
    /// Required views that are there, but not well enough, and what is wrong.
    pub again: Vec<(ViewKey, String)>,
}

impl Retake {
    /// Says what is missing: `Face`, `Face and Abdomen tip`, `Side, Face and Abdomen tip`, `One view short, which is not known yet`,
    /// `Face again, soft: 20 % as sharp as is usual for Face today`.
    pub fn words(&self, plan: &Plan) -> String {
        self.said(plan, |why| why)
    }

    /// The same with what is wrong in one word each: `Face again, soft`.
    pub fn short_words(&self, plan: &Plan) -> String {
        self.said(plan, flaw_word)
    }

    fn said(&self, plan: &Plan, reason: fn(&str) -> &str) -> String {
        let names: Vec<&str> = self.missing.iter().map(|view| plan.name_of(view)).collect();
        let again =
            self.again.iter().map(|(view, why)| format!("{} again, {}", plan.name_of(view), reason(why)));
        let unnamed = self.short.saturating_sub(self.missing.len() + self.again.len());
        let views = if unnamed == 1 { "view" } else { "views" };
        let missing = match (names.is_empty(), unnamed) {
            (true, 0) => None,
            (true, n) => {
                let mut words = format!("{} {views} short, which is not known yet", spelled(n));
                words[..1].make_ascii_uppercase();
                Some(words)
            }
            (false, 0) => Some(listed(&names)),
            (false, n) => {
                Some(format!("{} and {} more {views}, not known yet", names.join(", "), spelled(n)))
            }
        };
        missing.into_iter().chain(again).collect::<Vec<_>>().join("; ")
    }
}

/// Names one after the other: `Side`, `Side and Face`, `Side, Top of head and Face`.
fn listed(names: &[&str]) -> String {
    match names {
        [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        names => names.concat(),
    }
}

/// A small number in words, up to six; a larger one in figures.
pub fn spelled(n: usize) -> String {
    let words = ["no", "one", "two", "three", "four", "five", "six"];
    words.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// The animals short of a required view that have not left, the one whose first frame is longest ago first; those without a
/// time come last, in the order of the day.
pub fn retake_list(session: &Session, grouping: &Grouping) -> Vec<Retake> {
    let mut list: Vec<Retake> = session
        .sets
        .iter()
        .enumerate()
        .filter(|(_, set)| session.left(set).is_none())
        .filter_map(|(at, set)| {
            let coverage = coverage(session, grouping, set);
            (coverage.short > 0).then(|| Retake {
                set: at,
                number: set.number,
                jar: session.jar_of(set).to_owned(),
                since: set.frames.iter().find_map(|f| session.frame(*f)?.when()),
                short: coverage.short,
                again: coverage.again(&session.plan),
                missing: coverage.missing,
            })
        })
        .collect();
    list.sort_by_key(|r| (r.since.is_none(), r.since, r.set));
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_parted_by_commas_with_one_and_before_the_last() {
        let check = |names: &[&str], expected: &str| assert_eq!(listed(names), expected);
        check(&["Side"], "Side");
        check(&["Side", "Face"], "Side and Face");
        check(&["Side", "Top of head", "Face", "Abdomen tip"], "Side, Top of head, Face and Abdomen tip");
    }
}

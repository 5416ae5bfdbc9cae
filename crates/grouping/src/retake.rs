//! Which animals lack a view, most urgent first.

use record::{Plan, Session, Taken, ViewKey};

use crate::{Grouping, coverage};

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
    /// How many required views are not there.
    pub short: usize,
    /// Those known by name.
    pub missing: Vec<ViewKey>,
}

impl Retake {
    /// Says what is missing: `Face`, `Face and Abdomen tip`, `One view short, which is not known yet`.
    pub fn words(&self, plan: &Plan) -> String {
        let names: Vec<&str> =
            self.missing.iter().filter_map(|k| plan.view(k)).map(|v| v.name.as_str()).collect();
        let unnamed = self.short.saturating_sub(self.missing.len());
        let views = if unnamed == 1 { "view" } else { "views" };
        match (names.is_empty(), unnamed) {
            (true, n) => {
                let mut words = format!("{} {views} short, which is not known yet", spelled(n));
                words[..1].make_ascii_uppercase();
                words
            }
            (false, 0) => names.join(" and "),
            (false, n) => format!("{} and {} more {views}, not known yet", names.join(", "), spelled(n)),
        }
    }
}

/// A small number in words, up to six; a larger one in figures.
pub fn spelled(n: usize) -> String {
    let words = ["no", "one", "two", "three", "four", "five", "six"];
    words.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// The animals short of a required view, the one whose first frame is longest ago first; those without a
/// time come last, in the order of the day.
pub fn retake_list(session: &Session, grouping: &Grouping) -> Vec<Retake> {
    let mut list: Vec<Retake> = session
        .sets
        .iter()
        .enumerate()
        .filter_map(|(at, set)| {
            let coverage = coverage(session, grouping, set);
            (coverage.short > 0).then(|| Retake {
                set: at,
                number: set.number,
                jar: session.record_of(set).map(|s| s.jar.clone()).unwrap_or_default(),
                since: set.frames.iter().find_map(|f| session.frame(*f)?.when()),
                short: coverage.short,
                missing: coverage.missing,
            })
        })
        .collect();
    list.sort_by_key(|r| (r.since.is_none(), r.since, r.set));
    list
}

//! What was learned of views from frames that a person confirmed: their descriptors, specimen by specimen.
//!
//! It is kept on the person's own computer, one text a plan, and is nothing but the examples themselves, so that it can be
//! read, carried along or thrown away.

use serde::{Deserialize, Serialize};

use crate::{Session, ViewKey};

/// Most specimens that are kept; the oldest go first.
const MOST_SPECIMENS: usize = 40;

/// Examples of the views of a plan.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LearnedViews {
    /// Key of the plan.
    pub plan: String,
    /// For each specimen, oldest first, the view and descriptor of each confirmed frame; never empty ones.
    pub specimens: Vec<Vec<(ViewKey, Vec<f32>)>>,
}

impl LearnedViews {
    /// The confirmed frames of a session that were looked at, in the order of its specimens.
    pub fn of(session: &Session) -> Self {
        let examples = |specimen: &crate::Specimen| -> Vec<(ViewKey, Vec<f32>)> {
            let own = session.decisions.labels.iter().filter(|(_, label)| label.specimen == specimen.id);
            own.filter_map(|(frame, label)| {
                let looks = session.frame(*frame)?.looks.as_ref().filter(|l| !l.descriptor.is_empty())?;
                Some((label.view.clone(), looks.descriptor.clone()))
            })
            .collect()
        };
        let mut specimens: Vec<_> = session.specimens.iter().map(examples).collect();
        specimens.retain(|s| !s.is_empty());
        Self { plan: session.plan.key.clone(), specimens }
    }

    /// Takes in newer examples of the same plan.
    pub fn extend(&mut self, newer: Self) {
        self.specimens.extend(newer.specimens);
        let over = self.specimens.len().saturating_sub(MOST_SPECIMENS);
        self.specimens.drain(..over);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_specimens_go_first() {
        let of = |n: usize| vec![(ViewKey::from("side"), vec![n as f32])];
        let mut learned = LearnedViews { plan: "p".into(), specimens: (0..39).map(of).collect() };
        learned.extend(LearnedViews { plan: "p".into(), specimens: (39..43).map(of).collect() });
        assert_eq!(learned.specimens.len(), 40);
        assert_eq!((&learned.specimens[0], &learned.specimens[39]), (&of(3), &of(42)));
    }
}

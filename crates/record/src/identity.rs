//! Which set a specimen's record stands in, after any re-splitting.

use std::collections::BTreeMap;

use crate::{Decisions, FrameId, Specimen, SpecimenId};

/// Places each specimen in the set where its confirmed frames are, else where its anchors are.
///
/// `sets` are the frames of each set in order. The result has one list a set, each in the order of
/// `specimens`; a specimen stands in at most one of them. Where its frames ended in several sets the
/// larger part decides, then the earlier set. A specimen none of whose frames is in any set is in no list:
/// its record is kept by the session and comes back with its frames.
///
/// This depends on nothing but its arguments, so taking an edit back also takes back what it did here.
pub fn place_specimens(
    sets: &[Vec<FrameId>],
    decisions: &Decisions,
    specimens: &[Specimen],
) -> Vec<Vec<SpecimenId>> {
    let set_of: BTreeMap<FrameId, usize> =
        sets.iter().enumerate().flat_map(|(s, frames)| frames.iter().map(move |f| (*f, s))).collect();
    let mut confirmed: BTreeMap<SpecimenId, Vec<FrameId>> = BTreeMap::new();
    for (frame, label) in &decisions.labels {
        confirmed.entry(label.specimen).or_default().push(*frame);
    }
    let mut placed = vec![Vec::new(); sets.len()];
    for specimen in specimens {
        let by_confirmed = confirmed.get(&specimen.id).and_then(|frames| fullest(frames, &set_of));
        if let Some(set) = by_confirmed.or_else(|| fullest(&specimen.anchors, &set_of)) {
            placed[set].push(specimen.id);
        }
    }
    placed
}

/// The set that holds most of these frames, the earlier of equals; `None` when none is in a set.
fn fullest(frames: &[FrameId], set_of: &BTreeMap<FrameId, usize>) -> Option<usize> {
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for set in frames.iter().filter_map(|f| set_of.get(f)) {
        *counts.entry(*set).or_default() += 1;
    }
    counts.into_iter().max_by(|a, b| a.1.cmp(&b.1).then(b.0.cmp(&a.0))).map(|(set, _)| set)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::Label;

    fn specimen(id: u32, anchors: &[u32]) -> Specimen {
        Specimen::new(SpecimenId(id), anchors.iter().copied().map(FrameId).collect())
    }

    fn label(specimen: u32) -> Label {
        Label { view: "side".into(), specimen: SpecimenId(specimen) }
    }

    /// Cuts frames 0..n into sets before each frame that `cuts` names.
    fn split(n: u32, cuts: &[u32]) -> Vec<Vec<FrameId>> {
        let mut sets: Vec<Vec<FrameId>> = vec![];
        for f in 0..n {
            if sets.is_empty() || cuts.contains(&f) {
                sets.push(vec![]);
            }
            sets.last_mut().unwrap().push(FrameId(f));
        }
        sets
    }

    #[test]
    fn record_goes_with_confirmed_frames_not_with_the_anchors() {
        let mut decisions = Decisions::default();
        decisions.labels.insert(FrameId(7), label(1));
        let placed = place_specimens(&split(10, &[5]), &decisions, &[specimen(1, &[0, 1, 2])]);
        assert_eq!(placed, [vec![], vec![SpecimenId(1)]]);
    }

    #[test]
    fn setting_one_frame_aside_does_not_lose_the_record() {
        let without_first = [vec![FrameId(1), FrameId(2)]];
        let placed = place_specimens(&without_first, &Decisions::default(), &[specimen(1, &[0, 1, 2])]);
        assert_eq!(placed, [vec![SpecimenId(1)]]);
    }

    #[test]
    fn a_record_whose_frames_are_gone_is_in_no_set() {
        let placed = place_specimens(&split(3, &[]), &Decisions::default(), &[specimen(1, &[9])]);
        assert_eq!(placed, [vec![]]);
    }

    proptest! {
        /// However a day is cut, a specimen is in exactly one set: the one with most of its
        /// confirmed frames, or without any, with most of its anchors.
        #[test]
        fn identity_survives_resplits(
            cuts in prop::collection::vec(1u32..30, 0..12),
            labels in prop::collection::btree_map(0u32..30, 0u32..4, 0..20),
            anchors in prop::collection::vec(prop::collection::vec(0u32..30, 1..5), 4),
        ) {
            let sets = split(30, &cuts);
            let specimens: Vec<_> = anchors.iter().zip(0..).map(|(a, i)| specimen(i, a)).collect();
            let mut decisions = Decisions::default();
            for (f, s) in &labels {
                decisions.labels.insert(FrameId(*f), label(*s));
            }
            let placed = place_specimens(&sets, &decisions, &specimens);
            for specimen in &specimens {
                let homes: Vec<usize> =
                    (0..sets.len()).filter(|s| placed[*s].contains(&specimen.id)).collect();
                prop_assert_eq!(homes.len(), 1);
                let own: Vec<FrameId> = labels
                    .iter()
                    .filter(|(_, s)| SpecimenId(**s) == specimen.id)
                    .map(|(f, _)| FrameId(*f))
                    .collect();
                let known_by = if own.is_empty() { &specimen.anchors } else { &own };
                let in_set = |s: &Vec<FrameId>| known_by.iter().filter(|f| s.contains(f)).count();
                prop_assert_eq!(Some(in_set(&sets[homes[0]])), sets.iter().map(in_set).max());
            }
        }
    }
}

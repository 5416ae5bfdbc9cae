//! Frames without a camera time put among those that have their place, in one pass.
//!
//! What is placed is a chain; putting a frame in costs the search for its neighbour and no more, so a card without any
//! camera time takes as long as one with.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::{Key, Place};

/// A link of the chain: its neighbours, and what it counts as on the common scale.
struct Link {
    before: Option<usize>,
    after: Option<usize>,
    key: Option<Key>,
}

/// The chain. Frames are known by the order in which they were put in, from 0.
#[derive(Default)]
pub(super) struct Chain {
    links: Vec<Link>,
    first: Option<usize>,
    last: Option<usize>,
    /// For each folder and prefix, the first and last frame of each number in the order of the chain.
    numbered: BTreeMap<(String, String), BTreeMap<u16, (usize, usize)>>,
    /// The last frame of each moment.
    moments: BTreeMap<Key, usize>,
}

impl Chain {
    /// Adds a frame at the end: for those that are in order already.
    pub(super) fn push(&mut self, place: Option<Place>, key: Option<Key>) {
        self.put_after(self.last, place, key);
    }

    /// Puts in a frame without a camera time: after the frame of its folder and prefix with the number before it, else
    /// before that with the next; without such a neighbour by `key`, its file time, and without that last.
    pub(super) fn place(&mut self, place: Option<Place>, key: Option<Key>) {
        let of_folder = place.as_ref().and_then(|own| {
            let numbers = self.numbered.get(&(own.folder.clone(), own.prefix.clone()))?;
            let before = numbers.range(..=own.number).next_back().map(|(_, (_, last))| (*last, true));
            before.or_else(|| numbers.iter().next().map(|(_, (first, _))| (*first, false)))
        });
        match (of_folder, key) {
            (Some((neighbour, true)), _) => {
                self.put_after(Some(neighbour), place, self.links[neighbour].key);
            }
            (Some((neighbour, false)), _) => {
                self.put_after(self.links[neighbour].before, place, self.links[neighbour].key);
            }
            (None, Some(own)) => {
                let earlier = self.moments.range(..=own).next_back().map(|(_, at)| *at);
                self.put_after(earlier, place, key);
            }
            (None, None) => self.put_after(self.last, place, None),
        }
    }

    /// Links the next frame in after another, or first.
    fn put_after(&mut self, before: Option<usize>, place: Option<Place>, key: Option<Key>) {
        let own = self.links.len();
        let after = before.map_or(self.first, |at| self.links[at].after);
        self.links.push(Link { before, after, key });
        match before {
            Some(at) => self.links[at].after = Some(own),
            None => self.first = Some(own),
        }
        match after {
            Some(at) => self.links[at].before = Some(own),
            None => self.last = Some(own),
        }
        if let Some(key) = key {
            self.note_moment(own, key);
        }
        if let Some(place) = place {
            match self.numbered.entry((place.folder, place.prefix)).or_default().entry(place.number) {
                Entry::Vacant(entry) => drop(entry.insert((own, own))),
                // A frame comes after those of its number.
                Entry::Occupied(mut entry) => entry.get_mut().1 = own,
            }
        }
    }

    /// A frame is the last of its moment unless one of the same moment follows.
    fn note_moment(&mut self, own: usize, key: Key) {
        let next = self.links[own].after;
        if next.is_none_or(|next| self.links[next].key != Some(key)) {
            self.moments.insert(key, own);
        }
    }

    /// The frames in order, each by when it was put in.
    pub(super) fn order(&self) -> impl Iterator<Item = usize> {
        std::iter::successors(self.first, |at| self.links[*at].after)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// A frame to be placed: its folder and number where it has one, and its moment.
    type Given = (Option<(u8, u16)>, Option<Key>);

    fn place(given: Given) -> Option<Place> {
        let (folder, number) = given.0?;
        Some(Place { folder_number: 0, folder: folder.to_string(), prefix: "DSC_".into(), number })
    }

    /// The place of a frame as the rule has it, found by looking at all that are placed.
    fn place_by_hand(placed: &mut Vec<(usize, Option<Place>, Option<Key>)>, at: usize, given: Given) {
        let own = place(given);
        let neighbours: Vec<(usize, u16)> = placed
            .iter()
            .enumerate()
            .filter_map(|(i, (_, p, _))| Some((i, p.as_ref()?)))
            .filter(|(_, p)| {
                own.as_ref().is_some_and(|own| (&p.folder, &p.prefix) == (&own.folder, &own.prefix))
            })
            .map(|(i, p)| (i, p.number))
            .collect();
        let number = own.as_ref().map_or(0, |own| own.number);
        let before = neighbours.iter().filter(|(_, n)| *n <= number).max_by_key(|(i, n)| (*n, *i));
        let after = neighbours.iter().min_by_key(|(i, n)| (*n, *i));
        let (to, key) = match (before, after, given.1) {
            (Some((i, _)), _, _) => (i + 1, placed[*i].2),
            (None, Some((i, _)), _) => (*i, placed[*i].2),
            (None, None, Some(own)) => (
                placed.iter().rposition(|(_, _, key)| key.is_some_and(|k| k <= own)).map_or(0, |i| i + 1),
                given.1,
            ),
            (None, None, None) => (placed.len(), None),
        };
        placed.insert(to, (at, own, key));
    }

    fn given() -> impl Strategy<Value = Given> {
        (prop::option::weighted(0.7, (0u8..2, 1u16..6)), prop::option::weighted(0.6, 0i128..8))
    }

    proptest! {
        /// The chain puts every frame where a search over all of them would.
        #[test]
        fn the_chain_agrees_with_a_search(
            timed in prop::collection::vec(given(), 0..12),
            timeless in prop::collection::vec(given(), 0..12),
        ) {
            let mut timed: Vec<Given> = timed.into_iter().map(|(p, key)| (p, Some(key.unwrap_or(3)))).collect();
            timed.sort_by_key(|(_, key)| *key);
            let (mut chain, mut by_hand) = (Chain::default(), vec![]);
            for (at, given) in timed.iter().enumerate() {
                chain.push(place(*given), given.1);
                by_hand.push((at, place(*given), given.1));
            }
            for (at, given) in timeless.iter().enumerate() {
                chain.place(place(*given), given.1);
                place_by_hand(&mut by_hand, timed.len() + at, *given);
            }
            let by_hand: Vec<usize> = by_hand.into_iter().map(|(at, _, _)| at).collect();
            prop_assert_eq!(chain.order().collect::<Vec<_>>(), by_hand);
        }
    }
}

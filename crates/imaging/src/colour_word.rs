//! Plain words for colours of hair and cuticle, and which of them a colour is nearest to.
//!
//! The words are those in which keys and field guides to bumble bees tell the hair of a region. Their centres are our own
//! choice, since no published CIELAB values of them are known to us: each is an sRGB colour that most people would give
//! that word, moved until the plainest colours of that name fall to it, as the tests say. They order and hint; they name no
//! pigment.

use crate::cielab::lab;
use crate::delta_e;

/// A plain word for a colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ColourWord {
    /// Black.
    Black,
    /// Yellow, from lemon to golden.
    Yellow,
    /// White and cream.
    White,
    /// Red.
    Red,
    /// Orange.
    Orange,
    /// Brown.
    Brown,
    /// Grey.
    Grey,
    /// Of several colours; it has no centre.
    Mixed,
}

impl ColourWord {
    /// All words that have a centre.
    pub const SINGLE: [Self; 7] =
        [Self::Black, Self::Yellow, Self::White, Self::Red, Self::Orange, Self::Brown, Self::Grey];

    /// The word used in files and on screens.
    pub fn word(self) -> &'static str {
        match self {
            Self::Black => "black",
            Self::Yellow => "yellow",
            Self::White => "white",
            Self::Red => "red",
            Self::Orange => "orange",
            Self::Brown => "brown",
            Self::Grey => "grey",
            Self::Mixed => "mixed",
        }
    }

    /// Its centre as coded sRGB; `None` for [`ColourWord::Mixed`]. Our own choice.
    pub fn centre(self) -> Option<[u8; 3]> {
        Some(match self {
            Self::Black => [32, 30, 28],
            Self::Yellow => [232, 196, 64],
            Self::White => [240, 236, 226],
            Self::Red => [190, 36, 32],
            Self::Orange => [226, 126, 36],
            Self::Brown => [122, 76, 40],
            Self::Grey => [128, 127, 125],
            Self::Mixed => return None,
        })
    }

    /// The nearest word to a colour of CIELAB and the second nearest, each with its ΔE00. So large a ΔE00 orders words;
    /// it is not a measure of how different they look.
    pub fn nearest(colour: [f64; 3]) -> [(Self, f64); 2] {
        let far = |word: Self| word.centre().map_or(f64::INFINITY, |centre| delta_e(colour, lab(centre)));
        let mut all = Self::SINGLE.map(|word| (word, far(word)));
        all.sort_by(|a, b| a.1.total_cmp(&b.1));
        [all[0], all[1]]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ColourWord::{Black, Brown, Grey, Orange, Red, White, Yellow};

    #[test]
    fn each_centre_has_its_own_word() {
        for word in ColourWord::SINGLE {
            let [first, second] = ColourWord::nearest(lab(word.centre().unwrap()));
            assert_eq!(first.0, word);
            assert!(first.1 < 1e-9 && second.1 > 15.0, "{word:?}: {second:?}");
        }
        assert_eq!(ColourWord::Mixed.centre(), None);
    }

    #[test]
    fn the_words_are_the_states_that_hair_is_scored_by() {
        let characters = include_str!("../../../assets/characters/bumble-bee.ron");
        let (_, colours) = characters.split_once("colours: [").unwrap();
        let (colours, _) = colours.split_once(']').unwrap();
        let states: Vec<&str> =
            colours.split("key: \"").skip(1).filter_map(|s| s.split('"').next()).collect();
        let words = ColourWord::SINGLE.into_iter().chain([ColourWord::Mixed]).map(ColourWord::word);
        assert_eq!(states, words.chain(["not-seen"]).collect::<Vec<_>>());
    }

    #[test]
    fn plain_colours_have_the_word_anyone_would_give() {
        // Named colours of CSS Color Module Level 4 (W3C) where the name holds the word, and shades beside them.
        let named: [(ColourWord, &[[u8; 3]]); 7] = [
            (Black, &[[0, 0, 0], [20, 20, 20], [45, 40, 35]]),
            (White, &[[255, 255, 255], [250, 235, 215], [255, 250, 240], [245, 245, 245], [230, 225, 215]]),
            (Yellow, &[[255, 255, 0], [255, 215, 0], [240, 230, 140], [218, 165, 32], [230, 200, 90]]),
            (Red, &[[255, 0, 0], [139, 0, 0], [178, 34, 34], [220, 20, 60]]),
            (Orange, &[[255, 165, 0], [255, 140, 0], [255, 69, 0], [210, 105, 30]]),
            (Brown, &[[139, 69, 19], [160, 82, 45], [101, 67, 33], [92, 64, 51]]),
            (Grey, &[[128, 128, 128], [105, 105, 105], [169, 169, 169], [119, 136, 153]]),
        ];
        for (word, colours) in named {
            for colour in colours {
                assert_eq!(ColourWord::nearest(lab(*colour))[0].0, word, "{colour:?}");
            }
        }
    }
}

//! How the files of a card are accounted for after a filing.

use serde::{Deserialize, Serialize};

use crate::count;

/// A number of files and their size together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Tally {
    /// How many.
    pub files: usize,
    /// Their bytes.
    pub bytes: u64,
}

impl Tally {
    /// Counts one more.
    pub fn add(&mut self, bytes: u64) {
        self.files += 1;
        self.bytes += bytes;
    }
}

/// A file that is not filed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Left {
    /// Path on the card.
    pub path: String,
    /// Why, in words.
    pub reason: String,
    /// Whether it is, or may be, a part of a frame, so that wiping the card would lose it.
    pub of_frame: bool,
}

/// What became of every file of a card, as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Account {
    /// When: UTC, ISO 8601.
    pub at: String,
    /// Filed in the session's own folder, each read back and compared.
    pub filed: Tally,
    /// Those of them that belong to frames set aside.
    pub set_aside: Tally,
    /// Filed before by other sessions, known by their bytes.
    pub filed_before: Tally,
    /// Copies of those on the card, told by their bytes when it was read.
    pub copies: Tally,
    /// All others.
    pub left: Vec<Left>,
}

impl Account {
    /// Whether every frame is filed with all that travels with it.
    pub fn is_whole(&self) -> bool {
        !self.left.iter().any(|left| left.of_frame)
    }

    /// Says whether the card may be wiped.
    pub fn words(&self) -> String {
        let missing = self.left.iter().filter(|left| left.of_frame).count();
        let others = self.left.len() - missing;
        match (missing, others) {
            (0, 0) => "Every frame of this card, as it was read, is filed and was read back. The card may be wiped; \
                       Endleaf never does that."
                .to_owned(),
            (0, others) => format!(
                "Every frame of this card, as it was read, is filed and was read back. The card may be wiped once you \
                 have looked at what is left on it besides ({}); Endleaf never does that.",
                count(others, "file", "files")
            ),
            (missing, _) => format!(
                "Not every frame of this card is filed: {} left. Do not wipe the card.",
                count(missing, "file is", "files are")
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_whole_account_says_that_the_card_may_be_wiped() {
        let left = |of_frame| Left { path: "a".into(), reason: "b".into(), of_frame };
        let words = |left: &[Left]| Account { left: left.to_vec(), ..Account::default() }.words();
        assert!(words(&[]).contains("read back. The card may be wiped; Endleaf never"));
        assert!(
            words(&[left(false)]).contains("once you have looked at what is left on it besides (1 file)")
        );
        let not = words(&[left(false), left(true), left(true)]);
        assert_eq!(not, "Not every frame of this card is filed: 2 files are left. Do not wipe the card.");
    }
}

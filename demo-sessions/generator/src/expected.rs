//! What a perfect reader of a card would say, worked out from the script and from nothing else.

use serde::Serialize;

use crate::script::{Script, Shot, Subject, Trouble};

/// The whole expected result of one card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Expected {
    /// Says that all is invented.
    pub about: String,
    /// Key of the plan.
    pub plan: String,
    /// One entry for each exposure, in order of shooting.
    pub frames: Vec<ExpectedFrame>,
    /// One entry for each animal.
    pub sets: Vec<ExpectedSet>,
    /// Files that belong to no frame.
    pub stray: Vec<String>,
}

/// One exposure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ExpectedFrame {
    /// The JPEG, relative to the card.
    pub path: String,
    /// All files: the JPEG, then the raw, then other companions.
    pub files: Vec<String>,
    /// Local time with hundredths and offset, as ISO 8601.
    pub taken: String,
    /// Nothing is on it.
    pub blank: bool,
    /// Number of the animal; none for a blank.
    pub set: Option<u32>,
    /// Key of the view; none for a blank.
    pub view: Option<String>,
    /// The file ends too early.
    pub damaged: bool,
    /// The animal is out of focus.
    pub blurred: bool,
}

/// One animal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ExpectedSet {
    /// From 1, in order of shooting.
    pub number: u32,
    /// Paths of its frames.
    pub frames: Vec<String>,
    /// Views of the plan that were never shot, in plan order.
    pub missing: Vec<String>,
    /// Path of the blank right after the last frame; none where it was forgotten.
    pub closed_by: Option<String>,
}

impl Script {
    /// The expected result of this day.
    pub fn expected(&self) -> Expected {
        let mut numbers: Vec<u32> = self.shots.iter().filter_map(Shot::set).collect();
        numbers.dedup();
        Expected {
            about: self.about.to_owned(),
            plan: self.plan.to_owned(),
            frames: self.shots.iter().map(|shot| self.expected_frame(shot)).collect(),
            sets: numbers.into_iter().map(|number| self.expected_set(number)).collect(),
            stray: self.stray.iter().map(|(path, _)| (*path).to_owned()).collect(),
        }
    }

    fn expected_frame(&self, shot: &Shot) -> ExpectedFrame {
        let [hour, minute, second, hundredths] = shot.clock();
        ExpectedFrame {
            path: shot.path(),
            files: shot.files(),
            taken: format!("{}T{hour}:{minute}:{second}.{hundredths}{}", self.date, self.offset),
            blank: shot.subject == Subject::Blank,
            set: shot.set(),
            view: shot.view().map(str::to_owned),
            damaged: shot.trouble == Some(Trouble::CutShort),
            blurred: shot.trouble == Some(Trouble::OutOfFocus),
        }
    }

    fn expected_set(&self, number: u32) -> ExpectedSet {
        let shots: Vec<&Shot> = self.shots.iter().filter(|shot| shot.set() == Some(number)).collect();
        let shown = |view: &&&str| shots.iter().any(|shot| shot.view() == Some(**view));
        let last = self.shots.iter().rposition(|shot| shot.set() == Some(number));
        let next = last.and_then(|index| self.shots.get(index + 1));
        ExpectedSet {
            number,
            frames: shots.iter().map(|shot| shot.path()).collect(),
            missing: self.views.iter().filter(|view| !shown(view)).map(|view| (*view).to_owned()).collect(),
            closed_by: next.filter(|shot| shot.subject == Subject::Blank).map(Shot::path),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::{carded_beetles, salt_marsh_bank};

    #[test]
    fn what_goes_wrong_is_in_the_expected_result() {
        let marsh = salt_marsh_bank().expected();
        assert_eq!((marsh.sets.len(), marsh.frames.len()), (14, 84));
        assert_eq!(marsh.frames[0].taken, "2026-06-14T09:12:05.37+01:00");
        let short: Vec<_> = marsh
            .sets
            .iter()
            .filter(|set| !set.missing.is_empty())
            .map(|set| (set.number, &set.missing))
            .collect();
        assert_eq!(short, [(6, &vec!["face".to_owned()]), (10, &vec!["tip".to_owned()])]);
        let unclosed: Vec<_> =
            marsh.sets.iter().filter(|set| set.closed_by.is_none()).map(|set| set.number).collect();
        assert_eq!(unclosed, [7]);
        assert_eq!(marsh.frames.iter().filter(|frame| frame.blank).count(), 14);
        assert_eq!(marsh.sets[4].frames[2], "DCIM/100MARSH/MRS_9999.JPG", "the numbers wrap within bee 5");
        assert_eq!(marsh.sets[4].frames[3], "DCIM/101MARSH/MRS_0001.JPG");

        let beetles = carded_beetles().expected();
        assert_eq!((beetles.sets.len(), beetles.frames.len()), (6, 28));
        assert_eq!(beetles.sets[3].missing, ["underside"]);
        assert_eq!(beetles.sets[5].closed_by, None);
    }

    #[test]
    fn the_forgotten_blank_leaves_a_pause_of_96_seconds() {
        let script = salt_marsh_bank();
        let last = script.shots.iter().rposition(|shot| shot.set() == Some(7)).unwrap();
        let pause = script.shots[last + 1].at_hundredths - script.shots[last].at_hundredths;
        assert_eq!((script.shots[last + 1].set(), pause), (Some(8), 9_600));
    }

    #[test]
    fn dropping_any_frame_changes_the_expected_result() {
        for script in [salt_marsh_bank(), carded_beetles()] {
            for index in 0..script.shots.len() {
                let mut shorter = script.clone();
                shorter.shots.remove(index);
                assert_ne!(shorter.expected(), script.expected());
            }
        }
    }
}

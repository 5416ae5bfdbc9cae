//! The script of a day: what was photographed when, and what went wrong.
//!
//! Pure values and the small builder [`Day`]. The two days themselves are in [`crate::salt_marsh_bank`] and
//! [`crate::carded_beetles`]; pictures and the expected result are made from a [`Script`] and nothing else.

use crate::random::Random;

/// One invented day with one invented camera.
#[derive(Debug, Clone, PartialEq)]
pub struct Script {
    /// Folder name below `demo-sessions`.
    pub name: &'static str,
    /// One sentence for the reader of the expected result.
    pub about: &'static str,
    /// Key of the plan.
    pub plan: &'static str,
    /// View keys of the plan in shooting order.
    pub views: &'static [&'static str],
    /// The camera.
    pub body: Body,
    /// The day as `YYYY-MM-DD`.
    pub date: &'static str,
    /// Offset from universal time as `+HH:MM`.
    pub offset: &'static str,
    /// What is drawn.
    pub animals: Animals,
    /// Every exposure in order of shooting.
    pub shots: Vec<Shot>,
    /// Files on the card that belong to no frame: path below the card, and text.
    pub stray: Vec<(&'static str, &'static str)>,
}

/// An invented camera body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Body {
    /// Maker, as in the Exif tag.
    pub make: &'static str,
    /// Model, as in the Exif tag.
    pub model: &'static str,
    /// Serial number, as in the Exif tag.
    pub serial: &'static str,
    /// Focal length of the lens in millimetres.
    pub focal_mm: u32,
    /// Sensitivity, as in the Exif tag.
    pub iso: u16,
}

/// Which animals a script shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Animals {
    /// Hairy bumble bees on paper.
    BumbleBees,
    /// Shiny beetles on cards.
    Beetles,
}

/// One exposure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shot {
    /// Path below the card without extension, such as `DCIM/100MARSH/MRS_9971`.
    pub stem: String,
    /// Local time in hundredths of a second since midnight.
    pub at_hundredths: u32,
    /// What is on it.
    pub subject: Subject,
    /// What went wrong with it, if anything.
    pub trouble: Option<Trouble>,
    /// The camera was held upright (Exif orientation 6).
    pub portrait: bool,
    /// Further files of this exposure.
    pub companions: Vec<Companion>,
}

/// What an exposure shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Subject {
    /// Bare paper that closes a set.
    Blank,
    /// An animal, counted from 1, from a view of the plan.
    Animal {
        /// Number of the animal, which is the number of its set.
        number: u32,
        /// Key of the view.
        view: &'static str,
    },
}

/// What can go wrong with one exposure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// The JPEG ends after about three fifths of its bytes.
    CutShort,
    /// The whole animal is out of focus.
    OutOfFocus,
}

/// Files that travel with a JPEG.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Companion {
    /// A raw file of the same exposure.
    Raw,
    /// A spoken note.
    SoundNote,
}

impl Companion {
    /// The extension of such a file.
    pub fn extension(self) -> &'static str {
        match self {
            Self::Raw => "DNG",
            Self::SoundNote => "WAV",
        }
    }
}

impl Shot {
    /// Path of the JPEG below the card.
    pub fn path(&self) -> String {
        format!("{}.JPG", self.stem)
    }

    /// Paths of all files of the exposure, the JPEG first, then in the order of [`Shot::companions`].
    pub fn files(&self) -> Vec<String> {
        let further = self.companions.iter().map(|kind| format!("{}.{}", self.stem, kind.extension()));
        std::iter::once(self.path()).chain(further).collect()
    }

    /// Number of the set the exposure belongs to; none for a blank.
    pub fn set(&self) -> Option<u32> {
        match self.subject {
            Subject::Blank => None,
            Subject::Animal { number, .. } => Some(number),
        }
    }

    /// Key of the view; none for a blank.
    pub fn view(&self) -> Option<&'static str> {
        match self.subject {
            Subject::Blank => None,
            Subject::Animal { view, .. } => Some(view),
        }
    }

    /// Hour, minute, second and hundredths, each with two digits.
    pub fn clock(&self) -> [String; 4] {
        let at = self.at_hundredths;
        [at / 360_000, at / 6_000 % 60, at / 100 % 60, at % 100].map(|part| format!("{part:02}"))
    }
}

/// Writes down a day shot by shot: keeps the clock and counts file numbers as the camera does.
#[derive(Debug)]
pub(crate) struct Day {
    folder_number: u32,
    folder_letters: &'static str,
    file_letters: &'static str,
    next_number: u32,
    clock_hundredths: u32,
    animals: u32,
    random: Random,
    shots: Vec<Shot>,
}

impl Day {
    /// Begins a day at `start_hundredths` after midnight; `first` is the number of its first folder and first file.
    pub(crate) fn begin(
        letters: [&'static str; 2],
        first: [u32; 2],
        start_hundredths: u32,
        random: Random,
    ) -> Self {
        Self {
            folder_number: first[0],
            folder_letters: letters[0],
            file_letters: letters[1],
            next_number: first[1],
            clock_hundredths: start_hundredths,
            animals: 0,
            random,
            shots: Vec::new(),
        }
    }

    fn shoot(&mut self, subject: Subject) {
        let Self { folder_number, folder_letters, file_letters, next_number, .. } = self;
        let stem = format!("DCIM/{folder_number}{folder_letters}/{file_letters}{next_number:04}");
        self.shots.push(Shot {
            stem,
            at_hundredths: self.clock_hundredths,
            subject,
            trouble: None,
            portrait: false,
            companions: Vec::new(),
        });
        // DCF file numbers end at 9999; the camera then opens the next folder and starts at 1.
        self.next_number += 1;
        if self.next_number > 9999 {
            self.next_number = 1;
            self.folder_number += 1;
        }
    }

    /// Lets the clock run for some time between two bounds in seconds, with odd hundredths.
    pub(crate) fn wait(&mut self, least_secs: u32, most_secs: u32) {
        self.clock_hundredths += self.random.whole(least_secs * 100, most_secs * 100);
    }

    /// Photographs the next animal from these views, 6 to 15 s apart.
    pub(crate) fn animal(&mut self, views: &[&'static str]) {
        self.animals += 1;
        for (index, view) in views.iter().enumerate() {
            if index > 0 {
                self.wait(6, 15);
            }
            self.shoot(Subject::Animal { number: self.animals, view });
        }
    }

    /// A blank 3 to 6 s after the last frame.
    pub(crate) fn blank(&mut self) {
        self.wait(3, 6);
        self.shoot(Subject::Blank);
    }

    /// The next jar is opened: 30 to 80 s.
    pub(crate) fn next_jar(&mut self) {
        self.wait(30, 80);
    }

    /// Changes the latest exposures of a view of the animal in hand.
    pub(crate) fn change(&mut self, view: &str, change: impl Fn(&mut Shot)) {
        let number = self.animals;
        let of_view = |shot: &&mut Shot| shot.set() == Some(number) && shot.view() == Some(view);
        self.shots.iter_mut().filter(of_view).for_each(change);
    }

    /// The animal in hand was photographed with the camera upright.
    pub(crate) fn hold_upright(&mut self) {
        let number = self.animals;
        for shot in self.shots.iter_mut().filter(|shot| shot.set() == Some(number)) {
            shot.portrait = true;
        }
    }

    /// The finished day.
    pub(crate) fn end(self) -> Vec<Shot> {
        self.shots
    }
}

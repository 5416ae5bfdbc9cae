//! Writes a whole demo session: the card with all its files, and the expected result beside it.
//!
//! In: a script and the folder to write into. What lay there under the same names before is replaced.

use std::path::Path;
use std::{fs, io};

use rayon::prelude::*;

use crate::picture::{STORED_PX, draw};
use crate::script::{Companion, Script};
use crate::{dng, sound};

impl Script {
    /// The bytes of every file of one shot, the JPEG first, in the order of [`crate::Shot::files`].
    ///
    /// # Errors
    /// When the JPEG cannot be encoded, which no picture of this size should bring about.
    pub fn files_of_shot(&self, index: usize) -> io::Result<Vec<Vec<u8>>> {
        let shot = &self.shots[index];
        let picture = draw(self, index, STORED_PX);
        let mut files = vec![picture.file(self, shot).map_err(io::Error::other)?];
        for companion in &shot.companions {
            files.push(match companion {
                Companion::Raw => dng::file(self, shot, &picture),
                Companion::SoundNote => sound::file(),
            });
        }
        Ok(files)
    }

    /// The expected result as the text of `expected.json`.
    ///
    /// # Errors
    /// When the result cannot be put into words of JSON, which plain text and numbers always can.
    pub fn expected_text(&self) -> io::Result<String> {
        Ok(serde_json::to_string_pretty(&self.expected())? + "\n")
    }

    /// Writes `card` and `expected.json` into the session's folder below `demo_sessions`, replacing what was there.
    ///
    /// # Errors
    /// When a file cannot be written or an old one not be removed.
    pub fn write_into(&self, demo_sessions: &Path) -> io::Result<()> {
        let session = demo_sessions.join(self.name);
        let card = session.join("card");
        if card.exists() {
            fs::remove_dir_all(&card)?;
        }
        for shot in &self.shots {
            fs::create_dir_all(card.join(shot.path()).parent().unwrap_or(&card))?;
        }
        for (path, text) in &self.stray {
            fs::write(card.join(path), text)?;
        }
        fs::write(session.join("expected.json"), self.expected_text()?)?;
        (0..self.shots.len()).into_par_iter().try_for_each(|index| {
            let paths = self.shots[index].files();
            for (path, bytes) in paths.iter().zip(self.files_of_shot(index)?) {
                fs::write(card.join(path), bytes)?;
            }
            Ok(())
        })
    }
}

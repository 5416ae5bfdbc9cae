//! Sessions not yet filed, in the user's data folder: `<home>/sessions/<key>/session.ron`; beside them, in
//! `<home>/views/<plan>.ron`, what confirmed frames taught of a plan's views.
//!
//! Goes in: sessions and keys. Comes out: the same, or a fault that names the file. Saving replaces the old
//! text whole or not at all. It does not file anything, and knows no card.

use std::collections::BTreeSet;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use etcetera::BaseStrategy;
use record::{Frame, LearnedViews, Plan, Session, TextFault};

use crate::claim::Claimed;
use crate::disk::{self, Disk, LocalDisk};
use crate::fault::io_words;
use crate::{Undo, names};

/// Names a saved session within its store: the name of its folder.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct SessionKey(String);

impl SessionKey {
    /// The key as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for SessionKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Why a session could not be kept or read.
#[derive(Debug, thiserror::Error)]
pub enum StoreFault {
    /// The system names no data folder for this person.
    #[error(
        "This computer does not say where your data folder is, so sessions cannot be kept. \
         Set ENDLEAF_HOME to a folder of your own and start again"
    )]
    NoHome,
    /// The folder or a file in it could not be written.
    #[error("The session could not be saved: {}. What was saved before is unchanged. \
             Make room or choose another folder with ENDLEAF_HOME, then save again: {}", io_words(reason), path.display())]
    Unwritable {
        /// What the system said.
        reason: io::Error,
        /// The file or folder.
        path: PathBuf,
    },
    /// The folder or a file in it could not be read.
    #[error("A saved session could not be read: {}. Nothing was changed. \
             Check the folder and its permissions: {}", io_words(reason), path.display())]
    Unreadable {
        /// What the system said.
        reason: io::Error,
        /// The file or folder.
        path: PathBuf,
    },
    /// The text is of another version, damaged, or not what should stand there.
    #[error("{reason}: {}", path.display())]
    Text {
        /// What is wrong with it.
        reason: TextFault,
        /// The file.
        path: PathBuf,
    },
    /// Another window or program has the session.
    #[error(
        "The session kept of this card is open in another window of Endleaf, so it was not told. The archive is as it \
         should be. Open the card there again: {}", path.display()
    )]
    InUse {
        /// The session's file.
        path: PathBuf,
    },
}

/// A saved session that could not be read.
#[derive(Debug)]
pub struct Unread {
    /// Why.
    pub fault: StoreFault,
    /// Whether it is of a day of the card, as far as its name and what stands in it tell.
    pub of_day: bool,
}

/// What was found for a card.
#[derive(Debug, Default)]
pub struct Found {
    /// The saved session that shares most frames with the card; `None` when none shares any.
    pub session: Option<(SessionKey, Session)>,
    /// Saved sessions that could not be read and so were not looked at.
    pub unread: Vec<Unread>,
}

/// The folder in which sessions are kept until filed, and after.
#[derive(Debug, Clone)]
pub struct Store {
    sessions: PathBuf,
    views: PathBuf,
    settings: PathBuf,
    pages: PathBuf,
}

impl Store {
    /// The user's data folder for Endleaf: `ENDLEAF_HOME` when set, else the system's data folder.
    ///
    /// # Errors
    /// [`StoreFault::NoHome`] when neither is known.
    pub fn default_home() -> Result<PathBuf, StoreFault> {
        if let Some(home) = std::env::var_os("ENDLEAF_HOME").filter(|home| !home.is_empty()) {
            return Ok(home.into());
        }
        match etcetera::base_strategy::choose_native_strategy() {
            Ok(folders) => Ok(folders.data_dir().join("endleaf")),
            Err(_) => Err(StoreFault::NoHome),
        }
    }

    /// Opens the store below `home`, making its folders when they are not there.
    ///
    /// # Errors
    /// [`StoreFault::Unwritable`] when they cannot be made.
    pub fn open(home: &Path) -> Result<Self, StoreFault> {
        let sessions = home.join("sessions");
        match disk::make_folder(&LocalDisk, &sessions) {
            Ok(()) => Ok(Self {
                sessions,
                views: home.join("views"),
                settings: home.join("window.ron"),
                pages: home.join("pages"),
            }),
            Err(reason) => Err(StoreFault::Unwritable { reason, path: sessions }),
        }
    }

    /// The data folder that all this lies in.
    pub fn home(&self) -> &Path {
        self.sessions.parent().expect("the folder of sessions lies in the data folder")
    }

    /// Where the session under a key is kept.
    pub fn path(&self, key: &SessionKey) -> PathBuf {
        self.sessions.join(&key.0).join(disk::SESSION_FILE)
    }

    /// When the session under a key was saved last; `None` when it never was.
    pub fn saved_at(&self, key: &SessionKey) -> Option<SystemTime> {
        changed_at(&self.path(key))
    }

    /// A key that no saved session has: `<date>_<name>`, with `_2`, `_3` … when that is taken, also by a name that differs
    /// in case alone: on a disk that knows no case those two are one folder.
    pub fn new_key(&self, session: &Session) -> SessionKey {
        let there = disk::entries_of(&LocalDisk, &self.sessions).unwrap_or_default();
        let there: BTreeSet<String> = there.iter().map(|(name, _)| names::folded(name)).collect();
        let taken = |name: &str| there.contains(&names::folded(name)) || self.sessions.join(name).exists();
        SessionKey(names::free_folder(session, taken).0)
    }

    /// The key of a saved session by its text; `None` when none is saved under it.
    pub fn key_named(&self, text: &str) -> Option<SessionKey> {
        let key = SessionKey(text.to_owned());
        let names_a_folder = Path::new(text).file_name().is_some_and(|name| name == text);
        (names_a_folder && self.path(&key).is_file()).then_some(key)
    }

    /// Saves a session under a key, replacing what was saved there, whole or not at all.
    ///
    /// # Errors
    /// [`StoreFault::Unwritable`]; the old text then stands as it was.
    pub fn save(&self, key: &SessionKey, session: &Session) -> Result<(), StoreFault> {
        let path = self.path(key);
        let text = record::session_to_text(session);
        disk::make_folder(&LocalDisk, &self.sessions.join(&key.0))
            .and_then(|()| disk::replace_text(&LocalDisk, &path, &text))
            .map_err(|reason| StoreFault::Unwritable { reason, path })
    }

    /// Reads the session under a key.
    ///
    /// # Errors
    /// [`StoreFault::Unreadable`] or, for another version or damaged text, [`StoreFault::Text`].
    pub fn load(&self, key: &SessionKey) -> Result<Session, StoreFault> {
        read_session(&self.path(key))
    }

    /// What confirmed frames taught of a plan's views; nothing when none did yet.
    ///
    /// # Errors
    /// [`StoreFault::Unreadable`] and [`StoreFault::Text`].
    pub fn learned(&self, plan: &Plan) -> Result<LearnedViews, StoreFault> {
        let path = self.learned_path(plan);
        match disk::read_text_if_there(&LocalDisk, &path) {
            Ok(Some(text)) => {
                LearnedViews::from_text(&text).map_err(|reason| StoreFault::Text { reason, path })
            }
            Ok(None) => Ok(LearnedViews::default()),
            Err(reason) => Err(StoreFault::Unreadable { reason, path }),
        }
    }

    /// Takes in what the session under a key teaches, in place of what it taught before. What cannot be read is begun
    /// anew.
    ///
    /// # Errors
    /// [`StoreFault::Unwritable`].
    pub fn learn(&self, key: &SessionKey, session: &Session) -> Result<(), StoreFault> {
        let before = self.learned(&session.plan).unwrap_or_default();
        let mut learned = before.clone();
        learned.teach(&key.0, session);
        if learned.specimens().eq(before.specimens()) { Ok(()) } else { self.keep(&session.plan, &learned) }
    }

    /// Forgets what was learned of a plan's views. A session that is edited after this teaches again.
    ///
    /// # Errors
    /// [`StoreFault::Unwritable`].
    pub fn forget(&self, plan: &Plan) -> Result<(), StoreFault> {
        self.keep(plan, &LearnedViews::default())
    }

    fn keep(&self, plan: &Plan, learned: &LearnedViews) -> Result<(), StoreFault> {
        let path = self.learned_path(plan);
        disk::make_folder(&LocalDisk, &self.views)
            .and_then(|()| disk::replace_text(&LocalDisk, &path, &learned.to_text()))
            .map_err(|reason| StoreFault::Unwritable { reason, path })
    }

    /// The text of the person's settings; `None` when nothing was set yet.
    ///
    /// # Errors
    /// [`StoreFault::Unreadable`].
    pub fn settings(&self) -> Result<Option<String>, StoreFault> {
        let unreadable = |reason| StoreFault::Unreadable { reason, path: self.settings.clone() };
        disk::read_text_if_there(&LocalDisk, &self.settings).map_err(unreadable)
    }

    /// Keeps the text of the person's settings, whole or not at all.
    ///
    /// # Errors
    /// [`StoreFault::Unwritable`]; the old text then stands as it was.
    pub fn keep_settings(&self, text: &str) -> Result<(), StoreFault> {
        let path = self.settings.clone();
        disk::replace_text(&LocalDisk, &path, text).map_err(|reason| StoreFault::Unwritable { reason, path })
    }

    /// Writes what another program is to open, in place of what it was last; gives where it lies.
    ///
    /// # Errors
    /// [`StoreFault::Unwritable`].
    pub fn keep_page(&self, name: &str, content: &[u8]) -> Result<PathBuf, StoreFault> {
        let path = self.pages.join(name);
        match disk::make_folder(&LocalDisk, &self.pages)
            .and_then(|()| disk::replace_bytes(&LocalDisk, &path, content))
        {
            Ok(()) => Ok(path),
            Err(reason) => Err(StoreFault::Unwritable { reason, path }),
        }
    }

    /// Where what was learned of a plan's views is kept. A plan's key is letters, digits and dashes.
    pub fn learned_path(&self, plan: &Plan) -> PathBuf {
        self.views.join(format!("{}.ron", plan.key))
    }

    /// Has the session kept of a card forget that its files were filed, after that was taken back.
    ///
    /// # Errors
    /// [`StoreFault`] when the sessions cannot be looked at, or when the one cannot be saved or another has it.
    pub fn unfile(&self, undo: &Undo) -> Result<(), StoreFault> {
        let Some(filed) = &undo.session else { return Ok(()) };
        let Some((key, mut session)) = self.find_for_card(&filed.frames)?.session else { return Ok(()) };
        if matches!(self.claim(&key), Claimed::Others) {
            return Err(StoreFault::InUse { path: self.path(&key) });
        }
        undo.forget_in(&mut session);
        self.save(&key, &session)
    }

    /// The session that was saved last; `None` when there is none. Ones that cannot be read are passed over.
    ///
    /// # Errors
    /// [`StoreFault::Unreadable`] when the store itself cannot be listed.
    pub fn latest(&self) -> Result<Option<Session>, StoreFault> {
        let unreadable = |reason| StoreFault::Unreadable { reason, path: self.sessions.clone() };
        let names = disk::entries_of(&LocalDisk, &self.sessions).map_err(unreadable)?;
        let paths = names.into_iter().map(|(name, _)| self.path(&SessionKey(name)));
        let mut saved: Vec<_> = paths.filter_map(|path| Some((changed_at(&path)?, path))).collect();
        saved.sort();
        Ok(saved.iter().rev().find_map(|(_, path)| read_session(path).ok()))
    }

    /// Looks for the saved session that shares most frames with those just read from a card; of equals the
    /// first by name. Saved sessions that cannot be read are passed over and given beside.
    ///
    /// # Errors
    /// [`StoreFault::Unreadable`] when the store itself cannot be listed.
    pub fn find_for_card(&self, frames: &[Frame]) -> Result<Found, StoreFault> {
        let unreadable = |reason| StoreFault::Unreadable { reason, path: self.sessions.clone() };
        let mut found = Found::default();
        let mut most = 0;
        for (name, _) in disk::entries_of(&LocalDisk, &self.sessions).map_err(unreadable)? {
            let key = SessionKey(name);
            let path = self.path(&key);
            if !path.exists() {
                continue;
            }
            match read_if_sharing(&LocalDisk, &path, frames) {
                Ok(None) => {}
                Ok(Some((shared, session))) => {
                    if shared > most {
                        most = shared;
                        found.session = Some((key, session));
                    }
                }
                Err(fault) => found.unread.push(Unread { fault, of_day: self.is_of_day(&key, frames) }),
            }
        }
        Ok(found)
    }

    /// Whether a session that cannot be read is of a day of these frames, by its name or by what of it is text.
    fn is_of_day(&self, key: &SessionKey, frames: &[Frame]) -> bool {
        let text = disk::read_text(&LocalDisk, &self.path(key)).unwrap_or_default();
        let says = |date: &String| key.0.starts_with(date) || text.contains(&format!("\"{date}T"));
        dates_of(frames).iter().any(says)
    }
}

/// Dates of frames, as they stand in names; of frames without a time the word for that.
fn dates_of(frames: &[Frame]) -> BTreeSet<String> {
    frames.iter().map(|f| f.taken.map_or(names::UNDATED.to_owned(), |taken| taken.date())).collect()
}

/// Reads one session file.
pub(crate) fn read_session(path: &Path) -> Result<Session, StoreFault> {
    session_from(&read_text(&LocalDisk, path)?, path)
}

/// Reads a session file when it shares frames with these, and says how many. One that is whole and names none
/// of their dates is not taken apart: a season of 60 sessions of 1,000 frames is then searched in 0.3 s instead
/// of 2.6 s (unoptimised build).
pub(crate) fn read_if_sharing(
    disk: &dyn Disk,
    path: &Path,
    frames: &[Frame],
) -> Result<Option<(usize, Session)>, StoreFault> {
    let text = read_text(disk, path)?;
    let dates: Option<BTreeSet<String>> = frames.iter().map(|f| Some(f.taken?.date())).collect();
    let is_whole = text.ends_with(")\n");
    if is_whole && dates.is_some_and(|dates| !dates.iter().any(|date| text.contains(&format!("\"{date}T")))) {
        return Ok(None);
    }
    let session = session_from(&text, path)?;
    let shared = session.overlap(frames);
    Ok((shared > 0).then_some((shared, session)))
}

fn read_text(disk: &dyn Disk, path: &Path) -> Result<String, StoreFault> {
    disk::read_text(disk, path).map_err(|reason| StoreFault::Unreadable { reason, path: path.to_owned() })
}

/// When a file was last changed; `None` when it is not there.
fn changed_at(path: &Path) -> Option<SystemTime> {
    LocalDisk.about(path).ok()?.changed
}

fn session_from(text: &str, path: &Path) -> Result<Session, StoreFault> {
    record::session_from_text(text).map_err(|reason| StoreFault::Text { reason, path: path.to_owned() })
}

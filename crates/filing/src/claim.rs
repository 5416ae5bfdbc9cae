//! One program at a time changes a session: who opens it first has it until it is let go or its program ends.
//!
//! Goes in: the key of a session. Comes out: a [`Claim`] that holds as long as it lives, or that another has it. It is a lock
//! of the system on a file beside the session, so a program that dies leaves none. Reading needs no claim.

use std::fs::{File, OpenOptions, TryLockError};

use crate::disk::{self, LocalDisk};
use crate::store::{SessionKey, Store};

/// What the file is called that is locked; it is empty and stays.
const CLAIM_FILE: &str = "in-use";

/// Holds a session.
#[derive(Debug)]
pub struct Claim {
    /// The system lets go of the lock when the file is closed.
    _file: File,
}

/// What came of asking for a session.
#[derive(Debug)]
pub enum Claimed {
    /// It can be changed here.
    Mine(Claim),
    /// Another window or program has it.
    Others,
    /// This disk knows no locks, or nothing can be written: whoever opens it may change it.
    Unknown,
}

impl Store {
    /// Asks for the session under a key.
    pub fn claim(&self, key: &SessionKey) -> Claimed {
        let path = self.path(key).with_file_name(CLAIM_FILE);
        let made = path.parent().is_some_and(|folder| disk::make_folder(&LocalDisk, folder).is_ok());
        let opened = OpenOptions::new().write(true).create(true).truncate(false).open(&path);
        let (true, Ok(file)) = (made, opened) else { return Claimed::Unknown };
        match file.try_lock() {
            Ok(()) => Claimed::Mine(Claim { _file: file }),
            Err(TryLockError::WouldBlock) => Claimed::Others,
            Err(TryLockError::Error(_)) => Claimed::Unknown,
        }
    }
}

#[cfg(test)]
mod tests {
    use record::{Plan, Session};

    use super::*;

    #[test]
    fn a_session_is_one_s_until_it_is_let_go() {
        let home = tempfile::tempdir().unwrap();
        let store = Store::open(home.path()).unwrap();
        let plan = Plan { key: "round".into(), name: "Round".into(), views: Vec::new() };
        let (heath, fen) = (Session::new("heath", plan.clone()), Session::new("fen", plan));
        let (heath, fen) = (store.new_key(&heath), store.new_key(&fen));
        let Claimed::Mine(first) = store.claim(&heath) else { panic!("nobody has it") };
        assert!(matches!(store.claim(&heath), Claimed::Others));
        assert!(matches!(store.claim(&fen), Claimed::Mine(_)), "another session is free");
        drop(first);
        assert!(matches!(store.claim(&heath), Claimed::Mine(_)));
    }

    #[test]
    fn where_nothing_can_be_written_it_is_not_known() {
        let home = tempfile::tempdir().unwrap();
        let store = Store::open(home.path()).unwrap();
        let key = store.new_key(&Session::new(
            "heath",
            Plan { key: "round".into(), name: String::new(), views: Vec::new() },
        ));
        std::fs::write(home.path().join("sessions").join(key.as_str()), "a file in the way").unwrap();
        assert!(matches!(store.claim(&key), Claimed::Unknown));
    }
}

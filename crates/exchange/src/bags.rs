//! Filed sessions as bags (RFC 8493): each as it lies in the archive, with what is said of it taken from its record.
//!
//! Goes in: an archive and the day of packing. Comes out: a bag a session, each whole or not there, through `filing`. What is in
//! a bag is private: places as they were held, names of people. For others there is the Darwin Core archive.

use std::path::{Path, PathBuf};

use filing::store::StoreFault;
use filing::{BagFault, Bagged, filed_session, filed_sessions, put_bag};
use record::{Progress, Session, Term, count};

use crate::archive::ExportFault;
use crate::identity;

/// What every bag says of whom it is for.
const PRIVATE: &str = "Private: it holds exact places, also those of sensitive animals, and names of people. \
                       For its keeper's own use; what may be published is exported apart.";

/// Why a session has no bag.
#[derive(Debug, thiserror::Error)]
pub enum SessionBagFault {
    /// Its record cannot be read.
    #[error(transparent)]
    Session(#[from] StoreFault),
    /// The bag was not made.
    #[error(transparent)]
    Bag(#[from] BagFault),
}

/// What became of the bag of a session.
#[derive(Debug)]
pub struct SessionBag {
    /// The folder of the session in the archive.
    pub folder: String,
    /// Where its bag stands, or would.
    pub path: PathBuf,
    /// The bag, or why there is none.
    pub made: Result<Bagged, SessionBagFault>,
}

/// What `bag-info.txt` says of a session that is filed in this folder and packed on a day as `2026-11-25`: labels of RFC 8493
/// (2.2.2) with their values, in order.
pub fn bag_info(folder: &str, session: &Session, day: &str) -> Vec<(String, String)> {
    let specimens = count(session.sets.len(), "specimen", "specimens");
    let frames = count(session.frames.len(), "frame", "frames");
    let date = session.date().map_or(String::new(), |date| format!(", {date}"));
    let elsewhere = session.filed.values().filter(|filed| filed.session.is_some()).count();
    let elsewhere = match elsewhere {
        0 => String::new(),
        files => format!(
            " {} filed with other sessions and so not in this bag.",
            count(files, "of its files was", "of its files were")
        ),
    };
    let holder = session.fields.get(&Term::RightsHolder).map(|entry| entry.text.clone());
    let first = session.frames.iter().filter_map(|frame| Some((frame.id, session.filed.get(frame.path())?)));
    let first = first.min_by_key(|(id, _)| *id).map(|(_, filed)| identity::session(&filed.sha256));
    let described = format!("Session “{}”{date}: {specimens}, {frames}.{elsewhere}", session.name);
    [
        ("Source-Organization", holder),
        ("External-Description", Some(described)),
        ("External-Description", Some(PRIVATE.to_owned())),
        ("Bagging-Date", Some(day.to_owned())),
        ("External-Identifier", first.map(identity::urn)),
        ("Internal-Sender-Identifier", Some(folder.to_owned())),
    ]
    .into_iter()
    .filter_map(|(label, value)| Some((label.to_owned(), value?)))
    .collect()
}

/// Packs one session of an archive as a bag under a new name, on a day as `2026-11-25`. Progress is told in bytes.
///
/// # Errors
/// As [`put_bag`]; and when the session's record cannot be read.
pub fn export_bag(
    archive: &Path,
    folder: &str,
    path: &Path,
    day: &str,
    progress: &dyn Progress,
) -> Result<Bagged, SessionBagFault> {
    let session = filed_session(archive, folder)?;
    Ok(put_bag(archive, folder, &bag_info(folder, &session, day), path, progress)?)
}

/// Packs all sessions of an archive, each as a bag in `bags` under the name of its folder. One that fails does not keep the
/// others; when stopped, those that follow are not begun. Progress is told in bytes of each bag in turn.
///
/// # Errors
/// When there is no session, or the archive cannot be listed.
pub fn export_bags(
    archive: &Path,
    bags: &Path,
    day: &str,
    progress: &dyn Progress,
) -> Result<Vec<SessionBag>, ExportFault> {
    let folders = filed_sessions(archive)?;
    if folders.is_empty() {
        return Err(ExportFault::NoSession(archive.to_owned()));
    }
    let mut all = Vec::new();
    for folder in folders {
        let path = bags.join(&folder);
        let made = export_bag(archive, &folder, &path, day, progress);
        let is_stopped = matches!(made, Err(SessionBagFault::Bag(BagFault::Stopped)));
        all.push(SessionBag { folder, path, made });
        if is_stopped {
            break;
        }
    }
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn what_is_said_of_a_bag_follows_from_the_record() {
        let mut session = sample::session();
        let said = |session: &Session| -> String {
            let said = bag_info(sample::FOLDER, session, "2026-11-25");
            said.into_iter().flat_map(|(label, value)| [label, ": ".into(), value, "\n".into()]).collect()
        };
        // Identifier by Python's `uuid.uuid5(NAMESPACE, "session/" + 64 * "0")`.
        assert_eq!(
            said(&session),
            format!(
                "Source-Organization: Example Group\n\
                 External-Description: Session “Bank”, 2026-06-14: 3 specimens, 6 frames.\n\
                 External-Description: {PRIVATE}\n\
                 Bagging-Date: 2026-11-25\n\
                 External-Identifier: urn:uuid:d89c2210-3ff1-5ab8-b104-8e082d32170d\n\
                 Internal-Sender-Identifier: 2026-06-14_bank\n"
            )
        );

        // A new name of the session or a new determination leave its identifier, as do frames that came later.
        let identifier =
            |said: &str| said.lines().find(|line| line.starts_with("External-Id")).map(str::to_owned);
        let before = identifier(&said(&session));
        session.name = "Bank, lower".into();
        session.specimens[0].determinations.clear();
        session.frames.reverse();
        session.fields.remove(&Term::RightsHolder);
        assert_eq!(identifier(&said(&session)), before);
        for filed in session.filed.values_mut().take(2) {
            filed.session = Some("2026-06-13_bank".into());
        }
        let words = said(&session);
        assert!(words.contains("2 of its files were filed with other sessions"), "{words}");
        session.filed.clear();
        assert_eq!(identifier(&said(&session)), None);
    }
}

//! What can be made of the sessions filed in an archive: the orders that the window and the command line give, and carrying
//! them out.
//!
//! Goes in: an archive, what is wanted of it and where to. Comes out: a document that stands whole under its name, and what is
//! to be told of it; or why there is none. What documents are is `exchange`'s.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use exchange::archive::{export_darwin_core, export_tables};
use exchange::bags::{export_bag, export_bags};
use exchange::darwin_core::Profile;
use exchange::pack::{self, SentFrom};
use exchange::sheets::{self, Label, LabelSize, Paper, contact_sheets, drawer_labels, labels_pdf};
use exchange::{Audience, occurrences};
use filing::{DocumentFault, filed_session, put_document, refuse_document};
use record::{Progress, Session, count, current_name};
use uuid::Uuid;

/// What is wanted.
#[derive(Debug)]
pub(crate) enum Order {
    /// A Darwin Core archive of all sessions, published on this day as `2026-11-25`.
    DarwinCore(Profile, String),
    /// Its tables for people.
    Tables(Profile, String),
    /// A pack for a specialist.
    Pack(pack::Wanted),
    /// Contact sheets of the session in this folder: for paper, else as a page to look at.
    Sheets(String, sheets::Wanted, Option<Paper>),
    /// Labels.
    Labels(Labels, Paper, LabelSize),
    /// A bag of the session in this folder, or of each, on this day as `2026-11-25`.
    Bags(Option<String>, String),
}

/// Which labels are wanted.
#[derive(Debug)]
pub(crate) enum Labels {
    /// Of these jars.
    Jars(Vec<String>),
    /// For the drawer, of the session in this folder or of these of its occurrences.
    Drawer(String, Audience, Option<BTreeSet<Uuid>>),
}

/// What was made.
#[derive(Debug, Default)]
pub(crate) struct Done {
    /// What did not go well of it, in whole sentences.
    pub(crate) remarks: Vec<String>,
    /// What went out of which session.
    pub(crate) sent: Vec<SentFrom>,
}

impl Order {
    /// Makes it under a new name.
    ///
    /// # Errors
    /// Says why it was not; nothing stands under its name then that did not before.
    pub(crate) fn make(&self, archive: &Path, to: &Path, progress: &dyn Progress) -> Result<Done, String> {
        let words = |fault: &dyn std::fmt::Display| fault.to_string();
        let mut done = Done::default();
        match self {
            Self::DarwinCore(profile, day) => {
                export_darwin_core(archive, profile, day, to, progress).map_err(|f| words(&f))?;
            }
            Self::Tables(profile, day) => {
                export_tables(archive, profile, day, to, progress).map_err(|f| words(&f))?;
            }
            Self::Pack(wanted) => {
                let sent = pack::pack(archive, wanted, to, progress).map_err(|f| words(&f))?;
                done = Done { remarks: sent.faults, sent: sent.sessions };
            }
            Self::Sheets(folder, wanted, paper) => {
                refuse_document(archive, to).map_err(|f| words(&f))?;
                let made = contact_sheets(archive, folder, wanted, progress).map_err(|f| words(&f))?;
                let bytes = match paper {
                    Some(paper) => made.pdf(*paper).map_err(|f| words(&f))?,
                    None => made.html(),
                };
                put(to, &bytes).map_err(|f| words(&f))?;
                done.remarks = made.faults().to_vec();
            }
            Self::Labels(labels, paper, size) => {
                refuse_document(archive, to).map_err(|f| words(&f))?;
                let (labels, date) = labels.of(archive)?;
                let bytes = labels_pdf(&labels, *paper, *size, ["Labels", "en", &date]);
                put(to, &bytes.map_err(|f| words(&f))?).map_err(|f| words(&f))?;
            }
            Self::Bags(Some(folder), day) => {
                let bag = export_bag(archive, folder, to, day, progress).map_err(|f| words(&f))?;
                done.remarks = left_out(folder, &bag.left_out);
            }
            Self::Bags(None, day) => {
                refuse_document(archive, to).map_err(|f| words(&f))?;
                for bag in export_bags(archive, to, day, progress).map_err(|f| words(&f))? {
                    match bag.made {
                        Ok(made) => done.remarks.extend(left_out(&bag.folder, &made.left_out)),
                        Err(fault) => done.remarks.push(fault.to_string()),
                    }
                }
            }
        }
        Ok(done)
    }
}

fn put(to: &Path, bytes: &[u8]) -> Result<(), DocumentFault> {
    put_document(to, &mut &bytes[..])
}

fn left_out(folder: &str, files: &[String]) -> Vec<String> {
    let Some(first) = files.first() else { return Vec::new() };
    let number = count(files.len(), "file is", "files are");
    vec![format!(
        "{number} not in the bag, since no list of the archive names them, the first of them: {folder}/{first}"
    )]
}

impl Labels {
    /// The labels, and the day they are of.
    fn of(&self, archive: &Path) -> Result<(Vec<Label>, String), String> {
        match self {
            Self::Jars(jars) => {
                let label = |jar: &String| Label::jar(jar).map_err(|fault| format!("{fault}: {jar}"));
                Ok((jars.iter().map(label).collect::<Result<_, _>>()?, String::new()))
            }
            Self::Drawer(folder, audience, chosen) => {
                let session = filed_session(archive, folder).map_err(|fault| fault.to_string())?;
                let labels = drawer_labels(folder, &session, audience, chosen.as_ref());
                if labels.is_empty() {
                    return Err(format!(
                        "None of the chosen specimens has a record and a filed picture. Nothing was written. Choose others: {folder}"
                    ));
                }
                Ok((labels, session.date().unwrap_or_default()))
            }
        }
    }
}

/// What becomes of records that give a coarsened place away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Neighbours {
    /// They are coarsened as well.
    Coarse,
    /// They are shared as they are held.
    Exact,
}

/// Which specimens of a session are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Those {
    /// All.
    All,
    /// Those that have no name to go by.
    Unnamed,
    /// Those of these numbers.
    Numbers(BTreeSet<u32>),
}

impl Those {
    /// Their occurrences: of each set that of its first record, as documents are made of it.
    pub(crate) fn of(&self, session: &Session) -> BTreeSet<Uuid> {
        let ids = occurrences(session);
        let wanted = |set: &&record::Set| match self {
            Self::All => true,
            Self::Unnamed => {
                session.record_of(set).is_some_and(|record| current_name(&record.determinations).is_none())
            }
            Self::Numbers(numbers) => numbers.contains(&set.number),
        };
        let of_set = |set: &record::Set| ids.get(set.specimens.first()?).copied();
        session.sets.iter().filter(wanted).filter_map(of_set).collect()
    }
}

/// Where a document was asked to stand, whole.
///
/// # Errors
/// Says why the path cannot be.
pub(crate) fn absolute(path: &Path) -> Result<PathBuf, String> {
    std::path::absolute(path)
        .map_err(|reason| format!("This is no place for a document: {reason}: {}", path.display()))
}

//! Packs for specialists: sized and captioned pictures of chosen specimens, a page to look through and a table to answer in.
//!
//! Goes in: an archive and what is [`Wanted`]. Comes out: a folder, or one zip, with a folder a specimen holding its pictures,
//! `index.html`, `summary.txt` and `summary.csv`; and what was [`Sent`], for the record. Only confirmed views have names, all
//! else is `frame`. What is coarsened shows neither its held place nor its number, hour, notes or files' names, and
//! stands after the rest in an order of its own. The same archive and wishes give the same bytes.

mod columns;
mod contents;
mod letters;
mod page;
mod strip;
mod summary;
mod write;

use std::collections::BTreeSet;
use std::io;
use std::path::PathBuf;

use filing::store::StoreFault;
use filing::{DocumentFault, FilingFault};
use record::{FrameId, SpecimenId, count};
use uuid::Uuid;

use crate::Audience;

pub use write::pack;

/// Which frames go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Which {
    /// Of each view its best frame; while a required view is a gap, also the frames whose view nobody has confirmed, since
    /// they may show it.
    #[default]
    Best,
    /// All that show the animal.
    All,
}

/// What is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Form {
    /// A folder.
    #[default]
    Folder,
    /// One zip of the same files.
    Zip,
}

/// What a pack is to hold.
#[derive(Debug, Clone)]
pub struct Wanted {
    /// What of the records is for the specialist.
    pub audience: Audience,
    /// Occurrences that go; `None` for all.
    pub specimens: Option<BTreeSet<Uuid>>,
    /// Which of their frames.
    pub which: Which,
    /// Whether pictures are cut to the subject with a margin, where one is found.
    pub around_subject: bool,
    /// Long side of the pictures in px, without the strip under them; what is smaller is not enlarged.
    pub long_side_px: u32,
    /// How many bytes a picture may have; `None` for any number.
    pub at_most_bytes: Option<usize>,
    /// What is written.
    pub form: Form,
}

/// What went out, to be kept in the record.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sent {
    /// By the folder of its session, those without any left out.
    pub sessions: Vec<SentFrom>,
    /// What is wrong with pictures that did not go, in whole sentences, the path in the archive last.
    pub faults: Vec<String>,
}

/// What went out of a session.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SentFrom {
    /// The folder of the session in the archive.
    pub folder: String,
    /// The specimens.
    pub specimens: Vec<SpecimenId>,
    /// The frames whose picture went.
    pub frames: Vec<FrameId>,
}

/// Why there is no pack.
#[derive(Debug, thiserror::Error)]
pub enum PackFault {
    /// The archive cannot be looked at.
    #[error(transparent)]
    Archive(#[from] FilingFault),
    /// One of its sessions cannot be read.
    #[error(transparent)]
    Session(#[from] StoreFault),
    /// The pack cannot be written.
    #[error(transparent)]
    Document(#[from] DocumentFault),
    /// Nothing to send.
    #[error("No specimen with a filed picture is in this archive. Nothing was written. Name the folder that sessions are filed into: {}", .0.display())]
    Nothing(PathBuf),
    /// Some chosen specimens are not there.
    #[error("{} not in this archive, or without a filed picture. Nothing was written. Choose among those that are there: {}", count(*.specimens, "chosen specimen is", "chosen specimens are"), .archive.display())]
    NotThere {
        /// How many.
        specimens: usize,
        /// The archive.
        archive: PathBuf,
    },
    /// What was made could not be kept meanwhile.
    #[error("No room for temporary files: {0}. Nothing was written. Free some space and pack again")]
    Temporary(#[source] io::Error),
    /// It was asked to.
    #[error("Stopped. Nothing was written")]
    Stopped,
}

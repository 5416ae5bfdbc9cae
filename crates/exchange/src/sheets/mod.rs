//! What is printed: contact sheets of a session, labels for jars and drawers, and the retake list.
//!
//! Values go in, the bytes of a document come out; the same values give the same bytes. Text that has no room is cut, and how
//! much is left out is said; nothing is drawn beyond the paper's edge. Only [`contact_sheets`] reads from a disk, and nothing
//! here writes to one.

mod cells;
mod code;
mod contact;
mod html;
mod labels;
mod letters;
mod overview;
mod page;
mod pdf;
mod pictures;
mod retakes;
mod specimen;
mod values;
mod wrap;

use std::path::PathBuf;

use filing::store::StoreFault;
use jiff::civil::Date;

pub use contact::{ContactSheets, Wanted, contact_sheets};
pub(crate) use letters::Face;

pub use labels::{Label, LabelFault, LabelSize, drawer_labels, labels_pdf};
pub use page::Paper;
pub use retakes::{RetakeList, RetakeRow, retakes_pdf};

/// Why a document was not made.
#[derive(Debug, thiserror::Error)]
pub enum SheetFault {
    /// The session cannot be read.
    #[error(transparent)]
    Session(#[from] StoreFault),
    /// Nothing of it is to be shown.
    #[error("No specimen here has a record and a filed picture, or none of those chosen. Nothing was made. Choose others: {}", .0.display())]
    NoSpecimen(PathBuf),
    /// It was asked to.
    #[error("Stopped. Nothing was made")]
    Stopped,
    /// A picture cannot be put in.
    #[error(
        "A picture cannot be put into the document: {reason}. Nothing was made. Leave its specimen out: {what}"
    )]
    Picture {
        /// What it shows.
        what: String,
        /// What is wrong with it.
        reason: String,
    },
    /// The document cannot be put together.
    #[error("The document cannot be put together: {0}. Nothing was made")]
    Document(String),
}

/// The day of a document, when a text says one.
fn day(text: &str) -> Option<Date> {
    text.parse().ok()
}

//! Why a card could not be read as a whole, in words for a person.
//!
//! What is wrong with a single file is no such fault: it stands on its frame, or among the skipped files.

use std::path::PathBuf;

/// A card that could not be read. Nothing on it was changed, whatever the fault.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadFault {
    /// Nothing of this name.
    #[error(
        "There is no such folder. Check the path, and that the card is in its reader: {}", .0.display()
    )]
    NotThere(PathBuf),
    /// A file, not a folder.
    #[error("This is a file. Choose the card or a folder that holds pictures: {}", .0.display())]
    NotAFolder(PathBuf),
    /// The folder itself could not be opened.
    #[error(
        "The folder could not be opened: {reason}. Check that you may read it, or copy the card elsewhere and read \
         the copy: {}", .path.display()
    )]
    Unreadable {
        /// The folder.
        path: PathBuf,
        /// What the system says, in words.
        reason: String,
    },
    /// Nothing in the folder.
    #[error(
        "The folder is empty: nothing to read. Choose the card itself, or another folder: {}", .0.display()
    )]
    Empty(PathBuf),
    /// Files, but no picture.
    #[error(
        "No pictures were found. {}. Choose the folder that holds the pictures: {}",
        left_out(.skipped), .path.display()
    )]
    NoPictures {
        /// The folder.
        path: PathBuf,
        /// What was found instead.
        skipped: Vec<crate::Skipped>,
    },
    /// The card went away while it was read.
    #[error(
        "The card went away while it was read. Nothing was changed. Put it back in and read it again: {}",
        .0.display()
    )]
    CardGone(PathBuf),
    /// The person stopped it.
    #[error("Reading was stopped. Nothing was changed; read the card again whenever you like.")]
    Stopped,
}

/// Says how many files were left out, with an example.
fn left_out(skipped: &[crate::Skipped]) -> String {
    match skipped {
        [] => "The folder holds only empty folders".to_owned(),
        [one] => format!("1 entry was left out ({}: {})", one.path, one.reason),
        [first, ..] => {
            format!("{} entries were left out, such as {} ({})", skipped.len(), first.path, first.reason)
        }
    }
}

/// What the system says about a file that could not be opened or read, in plain words.
pub(crate) fn io_words(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::NotFound => "it is not there any more".to_owned(),
        ErrorKind::PermissionDenied => "you may not read it".to_owned(),
        ErrorKind::UnexpectedEof => "it ends early".to_owned(),
        _ => "the card or disk gave a read error".to_owned(),
    }
}

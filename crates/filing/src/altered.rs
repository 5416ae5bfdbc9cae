//! Why a name in the archive is not what a person wrote.

/// What had to be done to a name so that any disk can hold it beside the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Altered {
    /// Spaces, dots, and characters that some disk cannot hold became dashes, or the name of a device was lengthened.
    Letters,
    /// It was too long.
    Long,
    /// Another has the name, as far as disks that ignore case can tell.
    Taken,
    /// A file that is none of this session's stands in the archive under the name that was next.
    Occupied,
}

impl Altered {
    /// The same as a sentence without its full stop.
    pub fn words(self) -> &'static str {
        match self {
            Self::Letters => "Spaces, dots and signs that some disks cannot hold are written as dashes",
            Self::Long => "The name is cut, as longer ones cannot be opened everywhere",
            Self::Taken => "Another has this name, so a number was added",
            Self::Occupied => {
                "A file of another stands in the archive under the name that was next, and stays there"
            }
        }
    }
}

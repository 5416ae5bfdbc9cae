//! What of filed records is for others: settings of everything that leaves this computer.

use std::collections::BTreeMap;

use uuid::Uuid;

use crate::Sensitivity;

/// What those may see whom an export is for.
#[derive(Debug, Clone, Default)]
pub struct Audience {
    /// How sensitive an animal counts that has no name and of which nothing else is said.
    pub unnamed: Sensitivity,
    /// Occurrences coarsened although nothing asks for it, as those of [`crate::darwin_core::Survey::neighbours`].
    pub also_coarsened: BTreeMap<Uuid, Sensitivity>,
    /// Whether names of people go out: recorders, determiners, photographers, holders of rights.
    pub people: bool,
}

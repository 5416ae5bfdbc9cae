//! What is told of a source that was read all the same: each kind once, with its first line and how often it was met.

use std::fmt::{self, Display};

/// A doubt about a source, where it was met first, and how often.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told<W> {
    /// What is so.
    pub what: W,
    /// Line of its first place, from 1.
    pub line: u64,
    /// How often, at least 1.
    pub count: u64,
}

impl<W: Display> Display for Told<W> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.count {
            1 => write!(f, "{} (line {})", self.what, self.line),
            times => write!(f, "{} ({times} times, first at line {})", self.what, self.line),
        }
    }
}

/// Notes one more of a kind. Kinds are few, so they are searched one by one.
pub(crate) fn tell<W: PartialEq>(told: &mut Vec<Told<W>>, what: W, line: u64, count: u64) {
    match told.iter_mut().find(|t| t.what == what) {
        Some(known) => known.count += count,
        None if count > 0 => told.push(Told { what, line, count }),
        None => {}
    }
}

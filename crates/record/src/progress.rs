//! How long work reports and is stopped, without knowing who listens.

/// What reading a card is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stage {
    /// Looking what is there; how much that is, is not known yet.
    #[default]
    Looking,
    /// Reading exposures.
    Reading,
    /// Looking closer at doubtful blanks, and for copies.
    Checking,
}

/// What long work tells its caller, and how the caller stops it.
pub trait Progress: Sync {
    /// Reports that `done` of `of` steps are finished. Called often; must be cheap.
    fn at(&self, done: usize, of: usize);
    /// Says whether the person asked to stop. Work ends at the next safe place.
    fn stopped(&self) -> bool;
    /// Reports that `done` of `of` files are finished, by work that goes file by file.
    fn files(&self, _done: usize, _of: usize) {}
    /// Reports what work in stages is at.
    fn stage(&self, _stage: Stage) {}
    /// Says whether the person asked to hold the work up. Work that can be held first brings itself to where it can
    /// rest for as long as is liked, then [waits](Progress::wait).
    fn held_up(&self) -> bool {
        false
    }
    /// Comes back when work may go on, or shall stop.
    fn wait(&self) {}
}

/// Reports nothing and never stops.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent;

impl Progress for Silent {
    fn at(&self, _done: usize, _of: usize) {}
    fn stopped(&self) -> bool {
        false
    }
}

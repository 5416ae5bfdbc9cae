//! How long work reports and is stopped, without knowing who listens.

/// What long work tells its caller, and how the caller stops it.
pub trait Progress: Sync {
    /// Reports that `done` of `of` steps are finished. Called often; must be cheap.
    fn at(&self, done: usize, of: usize);
    /// Says whether the person asked to stop. Work ends at the next safe place.
    fn stopped(&self) -> bool;
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

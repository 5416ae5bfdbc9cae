//! Progress of long work on a terminal: shown after a moment, on standard error, and only there.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use record::Progress;

/// A line that counts up. Draws nothing where standard error is not a terminal.
pub(super) struct Meter(ProgressBar);

impl Meter {
    /// For reading a card, which counts frames.
    pub(super) fn reading() -> Self {
        Self::new("Reading the card: {pos} of {len} frames")
    }

    /// For looking closer, which counts frames.
    pub(super) fn looking() -> Self {
        Self::new("Looking closer: {pos} of {len} frames")
    }

    /// For looking what the archive holds already, which counts bytes.
    pub(super) fn comparing() -> Self {
        Self::new("Comparing with the archive: {decimal_bytes} of {decimal_total_bytes}")
    }

    /// For reading an archive again, which counts bytes.
    pub(super) fn auditing() -> Self {
        Self::new("Reading the archive: {decimal_bytes} of {decimal_total_bytes}")
    }

    /// For making documents, which counts sessions.
    pub(super) fn exporting() -> Self {
        Self::new("Making documents: {pos} of {len} sessions")
    }

    /// For filing, which counts bytes.
    pub(super) fn filing() -> Self {
        Self::new("Filing: {decimal_bytes} of {decimal_total_bytes}")
    }

    fn new(template: &str) -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr_with_hz(15));
        bar.set_style(ProgressStyle::with_template(template).expect("all templates are tested"));
        Self(bar)
    }

    /// Takes the line away.
    pub(super) fn clear(&self) {
        self.0.finish_and_clear();
    }
}

impl Progress for Meter {
    fn at(&self, done: usize, of: usize) {
        // Short work is over before anyone could read a line about it.
        if self.0.elapsed() > Duration::from_millis(250) {
            self.0.set_length(of as u64);
            self.0.set_position(done as u64);
        }
    }

    fn stopped(&self) -> bool {
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_templates_hold() {
        let all =
            [Meter::reading(), Meter::looking(), Meter::comparing(), Meter::filing(), Meter::exporting()];
        for meter in all {
            meter.at(1, 2);
            meter.clear();
            assert!(meter.0.is_finished());
        }
    }
}

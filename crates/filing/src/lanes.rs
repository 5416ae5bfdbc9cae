//! Copying from one card into one archive or several at once: each file is read once and written to all that want it.
//!
//! Goes in: filings that were begun. Comes out: each with what became of its files. One that cannot be written to any
//! more ends by itself; the others go on.

use std::collections::BTreeMap;
use std::path::Path;

use record::Session;

use crate::batch::{Batch, BatchTrouble, Read, Writing, read_into};
use crate::disk::{self, CopyTrouble, Disk};
use crate::fault::io_words;
use crate::journal::Journal;
use crate::opened::Opened;
use crate::receipt::Receipt;
use crate::run::Run;
use crate::settle::Meter;
use crate::{FilingFault, Step};

/// A filing into one archive.
pub(crate) struct Lane<'a> {
    run: Run<'a>,
    /// Holds the archive for this run.
    _opened: Opened<'a>,
    /// `None` where nothing is to be done.
    open: Option<(Journal<'a>, Batch<'a, 'a>)>,
    /// The first file of the card that was left.
    first_left: Option<(String, &'a Step)>,
    ended: Result<(), FilingFault>,
}

impl<'a> Lane<'a> {
    /// A filing that was begun.
    pub(crate) fn open(run: Run<'a>, opened: Opened<'a>, journal: Journal<'a>) -> Self {
        let batch = Batch::new(run.disk, run.receipt.folder.clone(), &run.plan.folder);
        Self { run, _opened: opened, open: Some((journal, batch)), first_left: None, ended: Ok(()) }
    }

    /// One of which nothing is to be done any more.
    pub(crate) fn over(run: Run<'a>, opened: Opened<'a>, ended: Result<(), FilingFault>) -> Self {
        Self { run, _opened: opened, open: None, first_left: None, ended }
    }

    fn goes_on(&self) -> bool {
        self.open.is_some() && self.ended.is_ok()
    }

    /// Ends copying. What was copied until then is brought to its end; why it ended weighs more than how that went.
    fn stop(&mut self, step: &'a Step, trouble: &CopyTrouble) {
        self.finish_batch();
        self.ended = Err(self.run.why_ended(step, trouble));
    }

    /// Gives the files of the batch their names.
    fn finish_batch(&mut self) {
        let Some((journal, batch)) = &mut self.open else { return };
        let run = &mut self.run;
        let finished = batch.finish(journal, &mut |step, sha256| run.record(step, sha256));
        let finished = finished.map_err(|trouble| match trouble {
            BatchTrouble::Differs(step) => FilingFault::CopyDiffers { from: step.from.clone() },
            BatchTrouble::Target(error, path) => self.run.target_trouble(&error, path),
        });
        if self.ended.is_ok() {
            self.ended = finished;
        }
    }

    fn take(&mut self, writing: Writing<'a, 'a>, read: &Read) {
        let Some((_, batch)) = &mut self.open else { return };
        batch.take(writing, read);
        if batch.is_full() {
            self.finish_batch();
        }
    }

    fn drop_writing(&mut self, writing: Writing<'a, 'a>) {
        if let Some((_, batch)) = &self.open {
            batch.drop_writing(writing);
        }
    }

    /// Leaves a file of the card, and goes on.
    fn leave(&mut self, step: &'a Step, reason: &str) {
        self.run.reasons.insert(&step.from, reason.to_owned());
        self.first_left.get_or_insert((reason.to_owned(), step));
    }

    /// Writes the record of what was filed, and gives the session and what became of it all.
    pub(crate) fn end(mut self) -> (Session, Result<Receipt, FilingFault>) {
        if let Some((mut journal, _)) = self.open.take() {
            let listed = self.run.write_lists(&mut journal);
            let run = &self.run;
            self.ended = self.ended.and(listed).and_then(|()| run.end(&mut journal));
        }
        self.run.receipt.account = self.run.account();
        let receipt = self.run.receipt;
        (self.run.session, self.ended.map(|()| receipt))
    }
}

/// Copies every step that is not done, in order.
pub(crate) fn copy_all<'a>(disk: &'a dyn Disk, card: &Path, lanes: &mut [Lane<'a>], meter: &mut Meter<'_>) {
    for (_, wanted) in in_order(lanes) {
        if meter.progress().held_up() {
            // Nothing waits half-written, and the card may be taken out meanwhile.
            lanes.iter_mut().filter(|lane| lane.goes_on()).for_each(Lane::finish_batch);
            meter.rest();
        }
        let wanted: Vec<(usize, &Step)> = wanted.into_iter().filter(|(n, _)| lanes[*n].goes_on()).collect();
        let Some((_, step)) = wanted.first().copied() else { continue };
        if meter.stopped() {
            for (n, step) in wanted {
                lanes[n].stop(step, &CopyTrouble::Stopped);
            }
            continue;
        }
        let mut writings: Vec<(usize, &'a Step, Writing<'a, 'a>)> = Vec::new();
        for (n, step) in &wanted {
            let begun = lanes[*n].open.as_ref().map(|(_, batch)| batch.begin(step));
            match begun {
                Some(Ok(writing)) => writings.push((*n, step, writing)),
                Some(Err(error)) => lanes[*n].stop(step, &CopyTrouble::Target(error)),
                None => {}
            }
        }
        if writings.is_empty() {
            continue;
        }
        let progress = meter.progress();
        let mut targets: Vec<&mut Writing<'_, '_>> =
            writings.iter_mut().map(|(_, _, writing)| writing).collect();
        let read = read_into(disk, card, step, &mut targets, &|| progress.stopped(), &mut |b| meter.moved(b));
        meter.finished(step.bytes);
        for (n, step, mut writing) in writings {
            let failed = writing.failed.take().map(CopyTrouble::Target);
            match (&read, failed) {
                (Ok(read), None) => lanes[n].take(writing, read),
                (Err(trouble), None) => {
                    lanes[n].drop_writing(writing);
                    give_up(disk, card, &mut lanes[n], step, trouble);
                }
                (_, Some(trouble)) => {
                    lanes[n].drop_writing(writing);
                    lanes[n].stop(step, &trouble);
                }
            }
        }
    }
    for lane in lanes.iter_mut().filter(|lane| lane.goes_on()) {
        lane.finish_batch();
        if let (Ok(()), Some((reason, first))) = (&lane.ended, lane.first_left.take()) {
            lane.ended = Err(lane.run.source_trouble(reason, first));
        }
    }
}

/// Leaves a file that cannot be read, or ends where the card is gone.
fn give_up<'a>(disk: &dyn Disk, card: &Path, lane: &mut Lane<'a>, step: &'a Step, trouble: &CopyTrouble) {
    match trouble {
        CopyTrouble::Source(error) if disk::is_filled_folder(disk, card) => {
            lane.leave(step, &io_words(error));
        }
        CopyTrouble::SourceChanged { found_bytes } => {
            let was = step.bytes;
            lane.leave(step, &format!("it had {was} bytes when read and has {found_bytes} now"));
        }
        trouble => lane.stop(step, trouble),
    }
}

/// The files of the card that any archive wants, in the order of the day, each with those that do.
fn in_order<'a>(lanes: &[Lane<'a>]) -> BTreeMap<(usize, &'a str), Vec<(usize, &'a Step)>> {
    let mut all: BTreeMap<(usize, &str), Vec<(usize, &Step)>> = BTreeMap::new();
    for (n, lane) in lanes.iter().enumerate() {
        // Plans of one session agree in the order of their steps.
        for (at, step) in lane.run.plan.steps.iter().enumerate().filter(|(_, step)| !step.done_before) {
            all.entry((at, step.from.as_str())).or_default().push((n, step));
        }
    }
    all
}

//! Whatever is on a card, decided about it and filed before: taking back is the inverse of filing, and what was cut and
//! gone on with is as what was not.

use proptest::prelude::*;
use record::{Edit, FrameId, FrameKind, NameField, NameForm, Naming, Session, Silent};

use super::bench::{archive, but_journal, but_kept, card, common, file};
use super::{After, Fate, ModelDisk};
use crate::FilingFault;
use crate::undo::{Undo, undo_on};

/// What a person does between two filings.
#[derive(Debug, Clone)]
enum Change {
    Label(u32, Option<bool>),
    Kind(u32, Option<FrameKind>),
    Jar(usize, String),
    Name(String),
    Naming(Vec<NameField>, Vec<NameField>),
    /// So many frames more are read from the card.
    Read(usize),
}

fn change() -> impl Strategy<Value = Change> {
    let kind = prop::sample::select(vec![
        FrameKind::Specimen,
        FrameKind::Blank,
        FrameKind::Reference,
        FrameKind::SetAside,
    ]);
    let of_folder = prop::sample::subsequence(
        vec![NameField::Date, NameField::Session, NameField::Specimen, NameField::Jar],
        1..=4,
    );
    let of_file = prop::sample::subsequence(NameField::ALL.to_vec(), 1..=8);
    prop_oneof![
        4 => (0u32..12, prop::option::of(any::<bool>())).prop_map(|(frame, view)| Change::Label(frame, view)),
        2 => (0u32..12, prop::option::of(kind)).prop_map(|(frame, kind)| Change::Kind(frame, kind)),
        2 => (0usize..4, "[aA\u{e4}/. ]{0,3}").prop_map(|(set, jar)| Change::Jar(set, jar)),
        1 => "[a-c/ ]{0,6}".prop_map(Change::Name),
        2 => (of_folder.prop_shuffle(), of_file.prop_shuffle()).prop_map(|(folder, file)| Change::Naming(folder, file)),
        2 => (1usize..5).prop_map(Change::Read),
    ]
}

/// A card, what was done with it, and the archive before and after the last filing that did anything.
struct Story {
    before: ModelDisk,
    after: ModelDisk,
    /// The session as it went into that filing.
    session: Session,
}

impl Story {
    fn of(frames: &str, first_read: usize, rounds: &[Vec<Change>]) -> Self {
        let day = common::day(frames);
        let mut disk = ModelDisk::new();
        for (path, (bytes, _)) in common::tree(&day.card) {
            disk.put(&card().join(path), &bytes);
        }
        disk.put(&archive().join("mine.txt"), b"mine");
        let mut session = day.session.clone();
        session.frames.truncate(first_read);
        common::arrange(&mut session);
        let mut last = None;
        for changes in rounds {
            for change in changes {
                apply(change, &mut session, &day.session);
            }
            let (before, went_in) = (disk.with(Fate::default()), session.clone());
            disk = disk.with(Fate::default());
            file(&disk, &mut session).unwrap();
            if disk.tree(&archive()) != before.tree(&archive()) {
                last = Some(Self { before, after: disk.with(Fate::default()), session: went_in });
            }
        }
        last.expect("the first filing writes at least its lists")
    }

    /// Operations of the last filing.
    fn calls(&self) -> usize {
        let disk = self.before.with(Fate::default());
        file(&disk, &mut self.session.clone()).unwrap();
        disk.calls()
    }
}

fn apply(change: &Change, session: &mut Session, all: &Session) {
    let views = ["side", "face"];
    let edit = match change {
        Change::Label(frame, view) => {
            let known = session.frame(FrameId(*frame)).is_some();
            known
                .then(|| {
                    session.label_frame(FrameId(*frame), view.map(|first| views[usize::from(first)].into()))
                })
                .flatten()
        }
        Change::Kind(frame, kind) => {
            session.frame(FrameId(*frame)).is_some().then_some(Edit::Kind(FrameId(*frame), *kind))
        }
        Change::Jar(set, jar) => (*set < session.sets.len()).then(|| session.write_jar(*set, jar)).flatten(),
        Change::Name(name) => {
            session.name.clone_from(name);
            None
        }
        Change::Naming(folder, file) => {
            let form = |name: &Vec<NameField>| NameForm { name: name.clone(), joiner: "-".into() };
            Some(Edit::Naming(Box::new(Naming { folder: form(folder), file: form(file) })))
        }
        Change::Read(more) => {
            let read = (session.frames.len() + more).min(all.frames.len());
            session.merge(all.frames[..read].to_vec());
            for frame in &all.frames[..read] {
                let kind = all.decisions.kinds[&frame.id];
                session.decisions.kinds.entry(frame.id).or_insert(kind);
            }
            None
        }
    };
    if let Some(edit) = edit {
        session.apply(&edit).unwrap();
    }
    common::arrange(session);
}

fn undo(disk: &ModelDisk) -> Result<Undo, FilingFault> {
    undo_on(disk, &archive(), None, &Silent)
}

fn rounds() -> impl Strategy<Value = Vec<Vec<Change>>> {
    prop::collection::vec(prop::collection::vec(change(), 0..5), 1..4)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn filed_and_taken_back_all_is_as_before(frames in "[fwnra_]{1,12}", read in 1usize..12, rounds in rounds()) {
        let story = Story::of(&frames, read, &rounds);
        let disk = story.after.with(Fate::default());
        let undone = undo(&disk).unwrap();
        prop_assert_eq!(but_journal(&disk), but_journal(&story.before));
        prop_assert_eq!(disk.tree(&card()), story.before.tree(&card()));
        // And filed once more it is as if nothing had been taken back.
        let mut session = story.session.clone();
        undone.forget_in(&mut session);
        file(&disk, &mut session).unwrap();
        prop_assert_eq!(but_kept(&disk), but_kept(&story.after));
    }

    #[test]
    fn cut_anywhere_and_gone_on_with_all_is_as_uncut(
        frames in "[fwnra_]{1,12}",
        read in 1usize..12,
        rounds in rounds(),
        cuts in prop::collection::vec((0.0..1.0, prop::sample::select(After::ALL.to_vec())), 1..4),
    ) {
        let story = Story::of(&frames, read, &rounds);
        let calls = story.calls();
        let mut disk = story.before.with(Fate::default());
        for (share, after) in cuts {
            let n = 1 + (calls as f64 * share) as usize;
            let cut = disk.with(Fate { ends_at: Some(n), ..Fate::default() });
            file(&cut, &mut story.session.clone()).ok();
            disk = cut.after(after);
            prop_assert_eq!(disk.tree(&card()), story.before.tree(&card()));
        }
        let instead = disk.with(Fate::default());
        file(&disk, &mut story.session.clone()).unwrap();
        prop_assert_eq!(but_kept(&disk), but_kept(&story.after));
        undo(&disk).unwrap();
        prop_assert_eq!(but_journal(&disk), but_journal(&story.before));
        // Taken back at once, where it was begun, it is as before too.
        let is_begun = crate::journal::Log::read(&instead, &archive()).unwrap().open().is_some();
        if is_begun {
            undo(&instead).unwrap();
            prop_assert_eq!(but_journal(&instead), but_journal(&story.before));
        }
    }
}

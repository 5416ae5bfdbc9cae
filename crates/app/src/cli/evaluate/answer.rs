//! What the program says of a card, given nothing but its pictures and, for views, what a person would have confirmed.

use std::collections::BTreeMap;
use std::path::Path;

use record::{FrameId, Plan, QueryKind, Silent, ViewKey};

use crate::day::{Day, OpenOptions};

/// What was said of a card's sets.
pub(super) struct SaidOfSets {
    /// Paths of the frames of each set.
    pub sets: Vec<Vec<String>>,
    /// Paths of frames taken for blanks.
    pub blanks: Vec<String>,
    /// What was asked, and of which frames.
    pub queries: Vec<(QueryKind, Vec<String>)>,
}

/// What was said of one frame's view.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct SaidOfView {
    /// The likeliest.
    pub view: String,
    /// Its probability.
    pub prob: f32,
    /// Whether it was proposed.
    pub proposed: bool,
}

/// What was said of a card's views.
#[derive(Default)]
pub(super) struct SaidOfViews {
    /// By path.
    pub frames: BTreeMap<String, SaidOfView>,
    /// For each set its frames by path, and the view that was named missing, where one alone was.
    pub missing: Vec<(Vec<String>, Option<String>)>,
}

/// Splits a card as `endleaf split` does.
pub(super) fn sets(card: &Path, plan: &Plan) -> anyhow::Result<SaidOfSets> {
    let day = open(card, plan)?;
    let paths = |frames: &[FrameId]| paths(&day, frames);
    let blank = |f: &&record::Frame| day.session.kind(f) == record::FrameKind::Blank;
    Ok(SaidOfSets {
        sets: day.session.sets.iter().map(|set| paths(&set.frames)).collect(),
        blanks: day.session.frames.iter().filter(blank).map(|f| f.path().to_owned()).collect(),
        queries: day.grouping.queries.iter().map(|q| (q.kind, paths(&q.frames))).collect(),
    })
}

/// Reads a card, and looks closer at its frames.
pub(super) fn look(card: &Path, plan: &Plan) -> anyhow::Result<Day> {
    let mut day = open(card, plan)?;
    day.look_closer(&Silent);
    Ok(day)
}

/// Says what the frames of a day show after a person has confirmed some of them.
pub(super) fn views(mut day: Day, confirmed: &[(String, ViewKey)]) -> anyhow::Result<SaidOfViews> {
    let by_path: BTreeMap<String, FrameId> =
        day.session.frames.iter().map(|f| (f.path().to_owned(), f.id)).collect();
    for (path, view) in confirmed {
        let edit = by_path.get(path).and_then(|f| day.session.label_frame(*f, Some(view.clone())));
        if let Some(edit) = edit {
            day.session.apply(&edit)?;
            // A record that was begun stands in its set from now on.
            day.session.arrange(day.grouping.sets.clone());
        }
    }
    day.rearrange();
    let said = |(frame, p): (&FrameId, &grouping::ViewProposal)| {
        let said = SaidOfView { view: p.view.to_string(), prob: p.prob, proposed: p.is_proposed() };
        Some((day.session.frame(*frame)?.path().to_owned(), said))
    };
    let missing = day.session.sets.iter().map(|set| {
        let missing = grouping::coverage(&day.session, &day.grouping, set).missing;
        let named = if let [one] = missing.as_slice() { Some(one.to_string()) } else { None };
        (paths(&day, &set.frames), named)
    });
    Ok(SaidOfViews {
        frames: day.grouping.views.iter().filter_map(said).collect(),
        missing: missing.collect(),
    })
}

fn open(card: &Path, plan: &Plan) -> anyhow::Result<Day> {
    let options = OpenOptions { plan: Some(plan.clone()), ..OpenOptions::default() };
    Ok(Day::open(card, &options, None, &Silent)?)
}

fn paths(day: &Day, frames: &[FrameId]) -> Vec<String> {
    frames.iter().filter_map(|f| Some(day.session.frame(*f)?.path().to_owned())).collect()
}

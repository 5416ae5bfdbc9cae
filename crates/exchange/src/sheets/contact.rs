//! Contact sheets: the day at a glance, then a page for each specimen with its views, its record and its names.
//!
//! Goes in: a session filed in an archive, whom the sheets are for, and which specimens. Comes out: a [`ContactSheets`], all
//! words and picture copies of it, from which a PDF and a page for browsers are made. Pictures are read one after the other;
//! nothing is written. Where a place is coarsened, the name of the session, which may tell it, stands nowhere.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use record::{Progress, count};
use uuid::Uuid;

use super::page::Paper;
use super::pdf::{self, About};
use super::pictures::{self, Pictures, pictures};
use super::values::{self, Values};
use super::{SheetFault, day, html, overview, specimen};
use crate::darwin_core::Profile;
use crate::round::round;
use crate::shown::shares;
use crate::{Audience, identity};

/// Bytes that all large copies of a document have at most, together: with the small ones of 500 views 44 MB, which are 59 MB as
/// text within a page for browsers.
const ALL_BYTES: usize = 40_000_000;
/// Bytes of a large copy at most: at this one of 1200 px has the best quality there is, as a rule.
const LARGE_BYTES: usize = 400_000;

/// What contact sheets are to hold.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// Whom they are for.
    pub audience: Audience,
    /// The occurrences wanted; `None` for all.
    pub chosen: Option<BTreeSet<Uuid>>,
}

/// What is told and shown of a specimen.
#[derive(Debug, Clone)]
pub(crate) struct Sheet {
    pub(crate) values: Values,
    pub(crate) pictures: Pictures,
}

/// Contact sheets, before they are a document.
#[derive(Debug, Clone)]
pub struct ContactSheets {
    pub(crate) title: String,
    pub(crate) about: String,
    date: String,
    /// Names of the plan's views.
    pub(crate) views: Vec<String>,
    pub(crate) sheets: Vec<Sheet>,
    faults: Vec<String>,
}

/// Makes contact sheets of a session that is filed in this folder of an archive. Progress is told in specimens.
///
/// # Errors
/// When the session cannot be read, nothing of it is wanted, or it was stopped. A picture that cannot be read is a gap:
/// see [`ContactSheets::faults`].
pub fn contact_sheets(
    archive: &Path,
    folder: &str,
    wanted: &Wanted,
    progress: &dyn Progress,
) -> Result<ContactSheets, SheetFault> {
    let session = filing::filed_session(archive, folder)?;
    let shares = shares(&session, &wanted.audience);
    let is_chosen = |id: &Uuid| wanted.chosen.as_ref().is_none_or(|chosen| chosen.contains(id));
    let all: Vec<_> = shares.all.iter().filter(|shown| is_chosen(&shown.id)).collect();
    if all.is_empty() {
        return Err(SheetFault::NoSpecimen(archive.join(folder)));
    }
    let grouping = grouping::group(&session);
    let rounds: Vec<_> = all.iter().map(|shown| round(shown, &shares.filed, &grouping)).collect();
    let shown: usize = rounds.iter().map(pictures::count).sum();
    let at_most_bytes = (ALL_BYTES / shown.max(1)).min(LARGE_BYTES);
    let profile = Profile { audience: wanted.audience.clone(), ..Profile::default() };
    let (mut sheets, mut faults) = (Vec::new(), Vec::new());
    for (done, (shown, round)) in all.iter().zip(&rounds).enumerate() {
        if progress.stopped() {
            return Err(SheetFault::Stopped);
        }
        progress.at(done, all.len());
        let values = values::of(folder, shown, &shares.filed, &profile);
        let (pictures, unread) = pictures((archive, folder), shown, round, &grouping, at_most_bytes);
        faults.extend(unread.iter().map(ToString::to_string));
        sheets.push(Sheet { values, pictures });
    }
    let date = session.date().unwrap_or_default();
    let is_open = !all.iter().any(|shown| shown.is_coarsened());
    let name = if is_open { session.name.as_str() } else { "Contact sheets" };
    let title = if date.is_empty() { name.to_owned() } else { format!("{name}, {date}") };
    let number = count(sheets.len(), "specimen", "specimens");
    let plan = &session.plan;
    let required = count(plan.required().count(), "required view", "required views");
    let about = format!("{number}. Plan: {}, {required}.", plan.name);
    // A view that is not required and that no animal has takes no room.
    let has = |at: usize| sheets.iter().any(|sheet: &Sheet| sheet.pictures.views[at].shot.is_some());
    let kept: Vec<bool> = plan.views.iter().enumerate().map(|(at, view)| view.required || has(at)).collect();
    let views =
        plan.views.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(view, _)| view.name.clone()).collect();
    for sheet in &mut sheets {
        let mut kept = kept.iter();
        sheet.pictures.views.retain(|_| *kept.next().expect("there are as many as views in the plan"));
    }
    Ok(ContactSheets { title, about, date, views, sheets, faults })
}

impl ContactSheets {
    /// As a PDF: an overview, then a page a specimen, each with a bookmark.
    ///
    /// # Errors
    /// [`SheetFault::Document`].
    pub fn pdf(&self, paper: Paper) -> Result<Vec<u8>, SheetFault> {
        let all: Vec<_> = self.sheets.iter().map(|sheet| (&sheet.values, &sheet.pictures)).collect();
        let mut pages = overview::pages(paper, &self.title, &self.about, &self.views, &all);
        let mut marks = vec![(0, "Overview".to_owned())];
        for (values, pictures) in all {
            marks.push((pages.len(), format!("{}, {}", values.title, values.name)));
            pages.push(specimen::page(paper, values, pictures, &self.title));
        }
        pdf::number_pages(&mut pages, paper, &self.title);
        let ids: Vec<String> = self.sheets.iter().map(|sheet| sheet.values.id.to_string()).collect();
        let about = About {
            title: self.title.clone(),
            language: "en".to_owned(),
            date: day(&self.date),
            id: identity::document(&format!("contact sheets/{paper:?}/{}", ids.join("/"))),
        };
        pdf::write(&pages, paper, &about, &marks)
    }

    /// As one page for browsers that needs nothing beside it.
    pub fn html(&self) -> Vec<u8> {
        html::page(self)
    }

    /// The copies of pictures, as they stand in the documents byte for byte: the large ones by specimens, then the small ones.
    pub fn jpegs(&self) -> impl Iterator<Item = &[u8]> {
        let shots = || {
            let cells = self.sheets.iter().flat_map(|s| s.pictures.views.iter().chain(&s.pictures.others));
            cells.filter_map(|cell| cell.shot.as_ref())
        };
        let views = self.sheets.iter().flat_map(|s| &s.pictures.views).filter_map(|cell| cell.shot.as_ref());
        let small = views.map(|shot| &shot.small);
        shots().map(|shot| &shot.jpeg).chain(small).map(|jpeg: &Arc<Vec<u8>>| jpeg.as_slice())
    }

    /// Which pictures could not be shown, in words with their paths in the archive.
    pub fn faults(&self) -> &[String] {
        &self.faults
    }
}

#[cfg(test)]
#[path = "contact_tests.rs"]
mod tests;

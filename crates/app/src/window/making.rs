//! The order that the exchange step gives, worked out from all that is chosen.
//!
//! Goes in: the open day, the choices, what is known of the archive. Comes out: an [`Order`], or what is missing.

use std::path::{Path, PathBuf};

use exchange::Sensitivity;
use exchange::darwin_core::is_address;
use exchange::pack::{self, Form, Which};
use exchange::sheets;
use record::Progress;

use super::exchange_state::{AT_MOST_KB, Document, ExchangeState, LONG_SIDES_PX, Scope};
use super::open_day::OpenDay;
use super::sheet_order::{chosen, run_of_jars};
use super::state::UiState;
use super::surveyed::Surveyed;
use super::words::tell;
use crate::orders::{self, Done, Labels, Neighbours, Order, Those};

/// An order and where to.
#[derive(Debug)]
pub(crate) struct Asked {
    archive: PathBuf,
    to: PathBuf,
    what: Order,
}

/// What is known of the archive and how animals without a name count, when all that is needed to make the chosen document is
/// there.
///
/// # Errors
/// Says what is missing.
pub(crate) fn ready<'a>(
    open: &'a OpenDay,
    step: &ExchangeState,
    unnamed: Option<Sensitivity>,
) -> Result<(&'a Surveyed, Sensitivity), String> {
    let unnamed = unnamed.ok_or_else(|| tell!("not-unnamed-unsaid"))?;
    let known = open.exchange.as_ref().filter(|(known, _)| known.archive == step.archive.trim());
    let Some((_, Ok(surveyed))) = known else { return Err(tell!("not-archive-unread")) };
    let tells = surveyed.telling > 0 && !step.document.is_private();
    let base = step.media_base.trim();
    let serves = matches!(step.document, Document::DarwinCore | Document::Tables) && !base.is_empty();
    if step.scope() != Scope::Archive && surveyed.filed.is_none() {
        Err(tell!("not-day-unfiled"))
    } else if tells && step.neighbours.is_none() {
        Err(tell!("not-neighbours-unsaid"))
    } else if serves && !is_address(base) {
        Err(tell!("not-no-address"))
    } else if step.to.trim().is_empty() {
        Err(tell!("not-no-target"))
    } else {
        Ok((surveyed, unnamed))
    }
}

/// The jars that labels are typed for: runs such as `21-34` and single ones, parted by commas.
pub(crate) fn jars(typed: &str) -> Vec<String> {
    let one = |part: &str| run_of_jars(part).unwrap_or_else(|| vec![part.trim().to_owned()]);
    let all = typed.split([',', ';']).flat_map(one);
    all.filter(|jar| !jar.is_empty()).collect()
}

impl Asked {
    /// Works an order out from all that is chosen.
    ///
    /// # Errors
    /// Says what is missing.
    pub(crate) fn of(
        open: &OpenDay,
        state: &UiState,
        unnamed: Option<Sensitivity>,
        today: &str,
    ) -> Result<Self, String> {
        let step = &state.exchange;
        let (surveyed, unnamed) = ready(open, step, unnamed)?;
        let mut profile = step.profile(unnamed);
        if step.neighbours == Some(Neighbours::Coarse) {
            profile.audience.also_coarsened = surveyed.also_coarsened.clone();
        }
        let those = match step.scope() {
            Scope::Chosen => {
                Those::Numbers(chosen(open, state).into_iter().map(|set| open.set_number(set)).collect())
            }
            Scope::Unnamed => Those::Unnamed,
            // Of a day all are as many as the archive has of it, which may be fewer than all.
            Scope::Day | Scope::Archive => Those::All,
        };
        let of_day = surveyed.filed.as_ref().map(|(folder, session)| (folder.clone(), those.of(session)));
        let (folder, ids) = of_day.unwrap_or_default();
        let audience = profile.audience.clone();
        let what = match step.document {
            Document::DarwinCore => Order::DarwinCore(profile, today.to_owned()),
            Document::Tables => Order::Tables(profile, today.to_owned()),
            Document::Pack => Order::Pack(pack::Wanted {
                audience,
                specimens: Some(ids),
                which: if step.all_frames { Which::All } else { Which::Best },
                around_subject: step.cropped,
                long_side_px: match LONG_SIDES_PX[step.long_side] {
                    0 => u32::MAX,
                    px => px,
                },
                at_most_bytes: Some(1000 * AT_MOST_KB[step.at_most]).filter(|bytes| *bytes > 0),
                form: if step.zipped { Form::Zip } else { Form::Folder },
            }),
            Document::Sheets => {
                let wanted = sheets::Wanted { audience, chosen: Some(ids) };
                Order::Sheets(folder, wanted, (!step.as_page).then_some(step.paper))
            }
            Document::Labels if !step.jars.trim().is_empty() => {
                Order::Labels(Labels::Jars(jars(&step.jars)), step.paper, step.label)
            }
            Document::Labels => {
                Order::Labels(Labels::Drawer(folder, audience, Some(ids)), step.paper, step.label)
            }
            Document::Bags => {
                let one = (step.scope() == Scope::Day).then_some(folder);
                Order::Bags(one, today.to_owned())
            }
        };
        let to = orders::absolute(Path::new(step.to.trim()))?;
        Ok(Self { archive: PathBuf::from(step.archive.trim()), to, what })
    }

    /// Makes it.
    ///
    /// # Errors
    /// Says why it was not.
    pub(crate) fn make(self, progress: &dyn Progress) -> Result<(PathBuf, Done), String> {
        let done = self.what.make(&self.archive, &self.to, progress)?;
        Ok((self.to, done))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jars_are_runs_and_single_ones() {
        for (typed, expected) in [
            ("21-23", "21 22 23"),
            ("7b, 008-010; moth 3", "7b 008 009 010 moth 3"),
            (" , ", ""),
            ("24-21", "24-21"),
        ] {
            assert_eq!(jars(typed).join(" "), expected, "{typed}");
        }
    }
}

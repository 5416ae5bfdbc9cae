//! What must not be begun.
//!
//! Goes in: a plan and the folders. Comes out: leave, or a refusal. It only looks.

use std::path::Path;

use record::Session;

use crate::disk::{self, Disk};
use crate::{FilingFault, FilingPlan};

/// Refuses what must not be begun.
pub(crate) fn refuse_beforehand(
    disk: &dyn Disk,
    plan: &FilingPlan,
    session: &Session,
    card: &Path,
    archive: &Path,
) -> Result<(), FilingFault> {
    if session.frames.is_empty() {
        return Err(FilingFault::NothingToFile { name: session.name.clone() });
    }
    if disk.about(archive).is_ok_and(|about| about.is_file) {
        return Err(FilingFault::ArchiveIsFile { path: archive.to_owned() });
    }
    let folder = archive.join(&plan.folder);
    let resolved = |path: &Path| disk.true_path(path).map_err(FilingFault::unusable(path));
    let (true_card, true_folder) = (resolved(card)?, resolved(&folder)?);
    if true_folder.starts_with(&true_card) || true_card.starts_with(&true_folder) {
        return Err(FilingFault::ArchiveOnCard { path: archive.to_owned() });
    }
    if plan.files_to_copy() > 0 && !disk::is_folder(disk, card) {
        return Err(FilingFault::CardAbsent { path: card.to_owned() });
    }
    Ok(())
}

/// Refuses what cannot fit. Where the system does not say how much is free, the copying will show.
pub(crate) fn refuse_without_room(
    disk: &dyn Disk,
    plan: &FilingPlan,
    archive: &Path,
) -> Result<(), FilingFault> {
    let needed_bytes = plan.bytes_to_copy();
    match disk.free_bytes(archive) {
        Some(free_bytes) if free_bytes < needed_bytes => {
            Err(FilingFault::NoRoom { needed_bytes, free_bytes, path: archive.to_owned() })
        }
        _ => Ok(()),
    }
}

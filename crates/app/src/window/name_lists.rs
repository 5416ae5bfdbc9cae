//! Lists of names that the person put into the data folder, read beside the window, to be offered as one types.

use std::path::{Path, PathBuf};

use notes::{Checklist, Sensitivity, Taxon, read_checklist};

use super::app::App;
use super::job::Job;
use super::words::tell;
use super::work::ended;

/// The folder of lists, in the data folder.
const FOLDER: &str = "checklists";
/// Names offered at once.
const OFFERED_MOST: usize = 6;

/// The lists, and the work that reads them.
#[derive(Debug, Default)]
pub(crate) struct NameLists {
    lists: Vec<Checklist>,
    going: Option<Job<Read>>,
}

/// What was read: lists, and in sentences which could not be.
type Read = (Vec<Checklist>, Vec<String>);

impl NameLists {
    /// Whether they are being read.
    pub(crate) fn are_read(&self) -> bool {
        self.going.is_some()
    }

    /// Whether there is none.
    pub(crate) fn is_empty(&self) -> bool {
        self.lists.is_empty()
    }

    /// The names that fit what is typed.
    pub(crate) fn find(&self, typed: &str) -> Vec<&Taxon> {
        if typed.trim().is_empty() {
            return Vec::new();
        }
        let found = self.lists.iter().flat_map(|list| list.find(typed, OFFERED_MOST));
        let mut offered: Vec<&Taxon> = Vec::new();
        for taxon in found {
            if taxon.name != typed.trim() && !offered.iter().any(|other| other.name == taxon.name) {
                offered.push(taxon);
            }
        }
        offered.truncate(OFFERED_MOST);
        offered
    }

    /// Whether some list calls a name sensitive.
    pub(crate) fn is_sensitive(&self, name: &str) -> bool {
        let of = |list: &Checklist| list.sensitivity(name).is_some_and(|degree| degree != Sensitivity::No);
        self.lists.iter().any(of)
    }
}

fn read(folder: &Path) -> Read {
    let (mut lists, mut refused) = (Vec::new(), Vec::new());
    let entries = std::fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok);
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.path()).collect();
    paths.sort();
    for path in paths.into_iter().filter(|path| path.is_file()) {
        let read = std::fs::read(&path).map_err(|fault| fault.to_string());
        let read = read.and_then(|bytes| read_checklist(&bytes, None).map_err(|fault| fault.to_string()));
        match read {
            Ok(list) => lists.push(list),
            Err(fault) => {
                refused.push(tell!("lists-refused", fault = fault, path = path.display().to_string()));
            }
        }
    }
    (lists, refused)
}

impl App {
    /// The folder of lists of names.
    pub(super) fn lists_folder(&self) -> Option<PathBuf> {
        self.store.as_ref().map(|store| store.home().join(FOLDER))
    }

    /// Begins to read the lists of names.
    pub(super) fn read_name_lists(&mut self) {
        let Some(folder) = self.lists_folder() else { return };
        let job =
            Job::start("read lists", String::new(), self.now_secs, self.waker(), move |_| read(&folder));
        self.name_lists.going = Some(job);
    }

    /// Takes the lists that were read.
    pub(super) fn take_name_lists(&mut self) {
        let Some(Ok((lists, refused))) = ended(&mut self.name_lists.going) else { return };
        self.name_lists.lists = lists;
        if !refused.is_empty() {
            self.complain(refused.join(" "));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_are_read_from_a_folder_and_a_broken_one_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
        put(
            "bees.csv",
            "scientificName,authorship,vernacular,rank,sensitive\nBombus inventus,Nobody 2026,made-up bee,species,yes\n",
        );
        put("more.csv", "name;rank\nBombus imaginarius;species\n");
        put("not.csv", "one,two\n1,2\n");
        let (lists, refused) = read(folder.path());
        assert_eq!((lists.len(), refused.len()), (2, 1));
        assert!(refused[0].contains("not.csv"), "{refused:?}");
        let names = NameLists { lists, going: None };
        let found: Vec<&str> = names.find("bom i").iter().map(|taxon| taxon.name.as_str()).collect();
        assert_eq!(found, ["Bombus inventus", "Bombus imaginarius"]);
        assert_eq!(names.find("made")[0].authorship, "Nobody 2026");
        assert!(names.find(" ").is_empty());
        assert!(names.is_sensitive("Bombus inventus") && !names.is_sensitive("Bombus imaginarius"));
        let (none, refused) = read(&folder.path().join("none"));
        assert!(none.is_empty() && refused.is_empty());
    }
}

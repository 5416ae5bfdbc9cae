//! The plans on hand: those built in, and those in the `plans` folder of the user's data folder.

use std::fs;
use std::path::{Path, PathBuf};

use record::Plan;

const BUILT_IN: [(&str, &str); 6] = [
    ("bumble-bee.ron", include_str!("../../../assets/plans/bumble-bee.ron")),
    ("beetle.ron", include_str!("../../../assets/plans/beetle.ron")),
    ("moth.ron", include_str!("../../../assets/plans/moth.ron")),
    ("spider.ron", include_str!("../../../assets/plans/spider.ron")),
    ("fungus.ron", include_str!("../../../assets/plans/fungus.ron")),
    ("flowering-plant.ron", include_str!("../../../assets/plans/flowering-plant.ron")),
];

/// All plans that can be chosen, and what is wrong with those that cannot.
#[derive(Debug, Clone, Default)]
pub struct PlanShelf {
    /// The plans, built-in ones first. A plan of the user's with the key of a built-in one stands for it.
    pub plans: Vec<Plan>,
    /// Plan files that were refused: what is wrong, on which line of which file.
    pub refused: Vec<String>,
}

/// The plans built into the program; the first is the one taken when none is named.
pub fn built_in() -> Vec<Plan> {
    BUILT_IN
        .iter()
        .map(|(file, text)| Plan::from_text(text).unwrap_or_else(|e| panic!("built-in plan {file}: {e}")))
        .collect()
}

/// The plan taken when none is named.
pub fn usual() -> Plan {
    built_in().swap_remove(0)
}

/// The plans built in, with those of `<home>/plans/*.ron`, in the order of their file names. A file that is
/// broken is refused by name; the rest load.
pub fn shelf(home: &Path) -> PlanShelf {
    let mut shelf = PlanShelf { plans: built_in(), refused: Vec::new() };
    let mut files: Vec<PathBuf> = fs::read_dir(home.join("plans"))
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .collect();
    files.sort();
    for file in files {
        match read(&file) {
            Ok(plan) => match shelf.plans.iter_mut().find(|p| p.key == plan.key) {
                Some(same) => *same = plan,
                None => shelf.plans.push(plan),
            },
            Err(refused) => shelf.refused.push(refused),
        }
    }
    shelf
}

/// Finds a plan by its key, or reads it from a file.
///
/// # Errors
/// Says what is wrong with the file, or which plans there are when nothing has that name.
pub fn find(shelf: &PlanShelf, name_or_file: &str) -> Result<Plan, String> {
    if let Some(plan) = shelf.plans.iter().find(|p| p.key == name_or_file) {
        return Ok(plan.clone());
    }
    let path = Path::new(name_or_file);
    if path.is_file() {
        return read(path);
    }
    let keys: Vec<&str> = shelf.plans.iter().map(|p| p.key.as_str()).collect();
    Err(format!(
        "There is no plan or plan file of this name. Choose one of {}, or give a plan file: {name_or_file}",
        keys.join(", ")
    ))
}

fn read(path: &Path) -> Result<Plan, String> {
    let text = fs::read_to_string(path)
        .map_err(|e| format!("The plan could not be read: {e}. Choose another: {}", path.display()))?;
    Plan::from_text(&text).map_err(|fault| {
        format!("This plan cannot be used: {fault} Mend the file, or choose another plan: {}", path.display())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_plans_load_and_the_bumble_bee_is_first() {
        let keys: Vec<String> = built_in().into_iter().map(|p| p.key).collect();
        assert_eq!(keys, ["bumble-bee", "beetle", "moth", "spider", "fungus", "flowering-plant"]);
        let bee: Vec<String> = built_in()[0].required().map(|v| v.key.to_string()).collect();
        assert_eq!(bee, ["side", "head-top", "face", "above", "tip"]);
    }

    #[test]
    fn a_broken_plan_is_refused_by_file_line_and_reason_and_the_rest_load() {
        let home = tempfile::tempdir().unwrap();
        let plans = home.path().join("plans");
        fs::create_dir(&plans).unwrap();
        let good = BUILT_IN[1].1.replace("key: \"beetle\"", "key: \"my-beetle\"");
        fs::write(plans.join("a.ron"), &good).unwrap();
        fs::write(plans.join("b.ron"), good.replace("letter: 'u'", "letter: 'a'")).unwrap();
        fs::write(plans.join("c.txt"), "not a plan").unwrap();
        let shelf = shelf(home.path());
        assert_eq!(shelf.plans.len(), BUILT_IN.len() + 1);
        assert_eq!(shelf.refused.len(), 1);
        let words = &shelf.refused[0];
        assert!(
            words.contains("line 23") && words.contains("same letter a") && words.ends_with("b.ron"),
            "{words}"
        );
        assert_eq!(find(&shelf, "my-beetle").unwrap().key, "my-beetle");
        let file = plans.join("a.ron");
        assert_eq!(find(&shelf, file.to_str().unwrap()).unwrap().key, "my-beetle");
        assert!(find(&shelf, "newt").unwrap_err().contains("flowering-plant"));
    }
}

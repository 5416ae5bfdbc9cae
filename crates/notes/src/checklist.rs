//! A list of names that a person adds: scientific and vernacular names, and which of them are sensitive.
//!
//! In come the bytes of a CSV file; out comes a list that is looked up as one types, and asked whether a name is
//! sensitive. It brings no names of its own and judges none: what is sensitive is for the list's author to say.

mod index;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::fold::{folded, words};
use crate::header::{self, known_header};
use crate::table::{Row, TableDoubt, TableFault, read_table};
use crate::told::{Told, tell};
use index::Index;

/// What a column of a checklist holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum ListColumn {
    /// The scientific name without its author.
    ScientificName,
    /// Who gave the name, and when.
    Authorship,
    /// Names in a language of the people.
    Vernacular,
    /// Species, genus and so on.
    Rank,
    /// Whether places of it are held back.
    Sensitive,
    /// Nothing that is taken.
    LeaveOut,
}

/// How sensitive a name is, by its list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Sensitivity {
    /// It is not.
    No,
    /// It is, in a degree that the list does not say.
    Yes,
    /// One of the four categories of Chapman (2020), Current Best Practices for Generalizing Sensitive Species
    /// Occurrence Data, <https://doi.org/10.15468/doc-5jp4-5g10>: 1 extreme, 2 high, 3 medium, 4 low.
    Category(u8),
}

/// A name of a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taxon {
    /// The scientific name without its author.
    pub name: String,
    /// Who gave it, and when.
    pub authorship: String,
    /// Names in a language of the people, as written.
    pub vernacular: String,
    /// As written.
    pub rank: String,
    /// As the list says.
    pub sensitivity: Sensitivity,
}

/// Why a list gives no names.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ListFault {
    /// It is no table.
    #[error(transparent)]
    Table(#[from] TableFault),
    /// No column holds scientific names.
    #[error("No column of this list is headed “scientific name”. Say which one holds the names")]
    NoNames,
}

/// What a list was read in spite of.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ListDoubt {
    /// Of the table's form.
    #[error(transparent)]
    Table(TableDoubt),
    /// A row without a scientific name.
    #[error("a row without a scientific name was passed over")]
    NameMissing,
    /// A word for sensitive that is none of those known.
    #[error(
        "a word for sensitive or not is unknown; write yes, no or 1 to 4. The name is treated as sensitive"
    )]
    Sensitivity,
}

/// A list of names, ready to be looked up.
#[derive(Debug, Clone)]
pub struct Checklist {
    /// Headers by column.
    pub headers: Vec<String>,
    /// What each column was taken for.
    pub columns: Vec<ListColumn>,
    /// Names in the list's order.
    pub taxa: Vec<Taxon>,
    /// What is doubtful.
    pub told: Vec<Told<ListDoubt>>,
    index: Index,
    /// By name, and by name with its author, folded.
    sensitivity: BTreeMap<String, Sensitivity>,
}

/// Headers by meaning, as in notebooks; Darwin Core's among them.
const HEADERS: [(ListColumn, &str, &str); 5] = [
    (
        ListColumn::ScientificName,
        "name",
        "scientificname|scientific name|species|taxon|taxon name|name|latin name|canonicalname|wissenschaftlicher name|art|artname|nom scientifique|espece|nom latin",
    ),
    (ListColumn::Authorship, "author", "scientificnameauthorship|authorship|author|authority|autor|auteur"),
    (
        ListColumn::Vernacular,
        "vernacular",
        "vernacularname|vernacular|vernacular name|common name|english name|deutscher name|trivialname|nom vernaculaire|nom francais|nom commun",
    ),
    (ListColumn::Rank, "rank", "taxonrank|taxon rank|rank|rang"),
    (
        ListColumn::Sensitive,
        "sensitive",
        "sensitive|sensitivity|sensitive category|sensitivity category|confidential|sensibel|schutzbedurftig|sensible|sensibilite",
    ),
];

fn meaning(header: &str) -> Option<ListColumn> {
    let table = HEADERS.map(|(_, key, phrases)| (key, phrases));
    let key = known_header(header, &table, &["name", "art"])?;
    HEADERS.iter().find(|(_, k, _)| *k == key).map(|(column, ..)| *column)
}

/// Reads a list. `columns` says what its columns are where a person said so; else their headers do.
pub fn read_checklist(bytes: &[u8], columns: Option<&[ListColumn]>) -> Result<Checklist, ListFault> {
    let table = read_table(bytes)?;
    let mut of_table = table.told;
    let (headers, below) = header::find(&table.rows, &mut of_table, |cell| meaning(cell).is_some());
    let guessed = || {
        let mut columns: Vec<ListColumn> = Vec::new();
        for column in headers.iter().map(|h| meaning(h).unwrap_or(ListColumn::LeaveOut)) {
            let first = !columns.contains(&column);
            columns.push(if first { column } else { ListColumn::LeaveOut });
        }
        columns
    };
    let columns = columns.map_or_else(guessed, <[ListColumn]>::to_vec);
    let at = |wanted| columns.iter().position(|c| *c == wanted);
    let name = at(ListColumn::ScientificName).ok_or(ListFault::NoNames)?;
    let [authorship, vernacular, rank, sensitive] =
        [ListColumn::Authorship, ListColumn::Vernacular, ListColumn::Rank, ListColumn::Sensitive].map(at);
    let wrapped = |t: Told<TableDoubt>| Told { what: ListDoubt::Table(t.what), line: t.line, count: t.count };
    let mut told: Vec<Told<ListDoubt>> = of_table.into_iter().map(wrapped).collect();
    let cell = |row: &Row, at: Option<usize>| at.map_or("", |at| row.cell(at)).to_owned();
    let mut taxa = Vec::new();
    for row in &table.rows[below..] {
        if row.cell(name).is_empty() {
            tell(&mut told, ListDoubt::NameMissing, row.line, 1);
            continue;
        }
        let written = cell(row, sensitive);
        let sensitivity = Sensitivity::read(&written).unwrap_or_else(|| {
            tell(&mut told, ListDoubt::Sensitivity, row.line, 1);
            Sensitivity::Yes
        });
        taxa.push(Taxon {
            name: cell(row, Some(name)),
            authorship: cell(row, authorship),
            vernacular: cell(row, vernacular),
            rank: cell(row, rank),
            sensitivity,
        });
    }
    let index = Index::new(&taxa);
    let mut sensitivity: BTreeMap<String, Sensitivity> = BTreeMap::new();
    for taxon in &taxa {
        let with_author = format!("{} {}", taxon.name, taxon.authorship);
        for written in [taxon.name.as_str(), with_author.as_str()] {
            let known = sensitivity.entry(exact(written)).or_insert(taxon.sensitivity);
            *known = known.stricter(taxon.sensitivity);
        }
    }
    Ok(Checklist { headers, columns, taxa, told, index, sensitivity })
}

/// A name as it is compared: without case, accents and doubled blanks.
fn exact(name: &str) -> String {
    folded(name).split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Sensitivity {
    /// Reads yes, no or a category, in English, German and French; nothing written is no. `None` for other words.
    fn read(text: &str) -> Option<Self> {
        let text = words(text);
        let bare =
            ["category", "cat", "kategorie", "kat", "categorie"].iter().find_map(|w| text.strip_prefix(w));
        Some(match bare.unwrap_or(&text).trim() {
            "" if bare.is_none() => Self::No,
            "no" | "n" | "false" | "nein" | "non" | "none" | "0" => Self::No,
            "yes" | "y" | "true" | "ja" | "j" | "oui" | "o" | "x" => Self::Yes,
            "1" => Self::Category(1),
            "2" => Self::Category(2),
            "3" => Self::Category(3),
            "4" => Self::Category(4),
            _ => return None,
        })
    }

    /// The stricter of two; yes without a category is next to category 1, since it may be that.
    fn stricter(self, other: Self) -> Self {
        let strict = |s: Self| match s {
            Self::No => 0,
            Self::Category(category) => 10 - 2 * i32::from(category),
            Self::Yes => 7,
        };
        if strict(other) > strict(self) { other } else { self }
    }
}

impl Checklist {
    /// Names in which the typed words begin some word of the scientific or vernacular name, at most `limit`.
    ///
    /// Case and accents do not matter. Scientific names that begin with what is typed come first, then names with a
    /// word that does, then those in which each typed word begins one: `b terr` finds Bombus terrestris.
    pub fn find(&self, typed: &str, limit: usize) -> Vec<&Taxon> {
        self.index.find(&exact(typed), limit).into_iter().map(|at| &self.taxa[at]).collect()
    }

    /// How sensitive a name is, written with or without its author; `None` if the list does not have it. Of a name
    /// that stands there twice, the stricter.
    pub fn sensitivity(&self, name: &str) -> Option<Sensitivity> {
        self.sensitivity.get(&exact(name)).copied()
    }
}

#[cfg(test)]
mod tests;

//! Reading a bag against what it says of itself, whoever made it.
//!
//! Goes in: a bag. Comes out: an [`Audit`] of it by RFC 8493, section 3: complete, and every checksum as told. Checksums
//! other than SHA-256 and SHA-512 are not compared, and that is said. It only reads.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use record::{Progress, count};
use sha2::{Digest, Sha512};

use super::text::{self, Listed, Version};
use super::{DECLARATION_FILE, FETCH_FILE, INFO_FILE, OXUM, PAYLOAD, manifest_file};
use crate::FilingFault;
use crate::audit::{Audit, AuditOptions, Finding, Wrong};
use crate::disk::{self, CopyTrouble, Disk};
use crate::journal::JOURNAL_FILE;
use crate::settle::Meter;
use crate::tree::Tree;

/// Kinds of checksums that are compared, with their hexadecimal digits.
const COMPARED: [(&str, usize); 2] = [("sha256", 64), ("sha512", 128)];

/// Whether a folder is a bag, or was one, and no archive.
pub(crate) fn is_bag(disk: &dyn Disk, folder: &Path) -> bool {
    let has = |name: &str| disk::size_of(disk, &folder.join(name)).is_some();
    let lists = || {
        let names = disk.entries(folder).unwrap_or_default();
        names.iter().any(|(name, is_folder)| !is_folder && kind_of(name, false).is_some())
    };
    let was = || disk::is_folder(disk, &folder.join(PAYLOAD)) && lists();
    !has(JOURNAL_FILE) && (has(DECLARATION_FILE) || was())
}

/// The kind of checksums that a manifest of this name lists.
fn kind_of(name: &str, of_tags: bool) -> Option<&str> {
    let kind = if of_tags { name.strip_prefix("tagmanifest-") } else { name.strip_prefix("manifest-") };
    kind?
        .strip_suffix(".txt")
        .filter(|kind| kind.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()))
}

/// Reads a bag. Looking quickly, it reads the bag's own texts and compares the payload by names, number and size alone.
///
/// # Errors
/// When the folder cannot be listed, or it is asked to stop.
pub(crate) fn audit_bag(
    disk: &dyn Disk,
    bag: &Path,
    options: AuditOptions<'_>,
    progress: &dyn Progress,
) -> Result<Audit, FilingFault> {
    let tree = Tree::of(disk, bag).map_err(FilingFault::unusable(bag))?;
    let mut reading = Reading { disk, bag, tree: &tree, wrong: BTreeMap::new(), remarks: Vec::new() };
    let version = reading.declaration();
    let payload = reading.manifests(false, version);
    let tags = reading.manifests(true, version);
    reading.completeness(version, &payload, &tags);
    reading.info();
    if tree.files.contains_key(FETCH_FILE) {
        reading.remarks.push(format!("{FETCH_FILE} names files that lie elsewhere; none was fetched."));
    }
    if options.beside.is_some() {
        reading
            .remarks
            .push("This is a bag: no good copies were looked for, and nothing of it is repaired.".to_owned());
    }
    let (files, bytes) = reading.sums(options.quick, &payload, &tags, progress)?;
    let mut findings: Vec<Finding> =
        reading.wrong.iter().map(|(path, wrong)| Finding::of_no_list(path, *wrong)).collect();
    for finding in &mut findings {
        let told = payload.iter().chain(&tags).find(|manifest| manifest.kind == "sha256");
        let sum = told.and_then(|manifest| manifest.listed.sums.get(&finding.path));
        finding.sha256 = sum.cloned().unwrap_or_default();
    }
    let remarks = reading.remarks;
    Ok(Audit { id: None, files, bytes, whole: !options.quick, is_bag: true, findings, remarks })
}

/// A manifest as read.
struct Manifest {
    file: String,
    kind: String,
    listed: Listed,
}

impl Manifest {
    fn is_compared(&self) -> bool {
        COMPARED.iter().any(|(kind, _)| *kind == self.kind)
    }
}

struct Reading<'a> {
    disk: &'a dyn Disk,
    bag: &'a Path,
    tree: &'a Tree,
    /// By path; of several, what was found first that is amiss.
    wrong: BTreeMap<String, Wrong>,
    remarks: Vec<String>,
}

impl Reading<'_> {
    fn find(&mut self, path: &str, wrong: Wrong) {
        let known = self.wrong.entry(path.to_owned()).or_insert(wrong);
        if *known == Wrong::Unlisted {
            *known = wrong;
        }
    }

    fn malformed(&mut self, path: &str, words: &str) {
        self.find(path, Wrong::Malformed);
        self.remarks.push(format!("{path}: {words}."));
    }

    /// The version of the standard that the bag says it keeps to.
    fn declaration(&mut self) -> Version {
        match disk::read_bytes(self.disk, &self.bag.join(DECLARATION_FILE))
            .map(|bytes| text::declared(&bytes))
        {
            Ok(Ok(version)) => return version,
            Ok(Err(words)) => self.malformed(DECLARATION_FILE, words),
            Err(_) if self.tree.files.contains_key(DECLARATION_FILE) => {
                self.find(DECLARATION_FILE, Wrong::Unreadable);
            }
            Err(_) => self.find(DECLARATION_FILE, Wrong::Missing),
        }
        text::FIRST_STRICT
    }

    /// A text of the bag; `None`, and told, when it cannot be read.
    fn text(&mut self, file: &str) -> Option<String> {
        match disk::read_bytes(self.disk, &self.bag.join(file)).map(String::from_utf8) {
            Ok(Ok(text)) => return Some(text),
            Ok(Err(_)) => self.malformed(file, "it is not UTF-8"),
            Err(_) => self.find(file, Wrong::Unreadable),
        }
        None
    }

    fn manifests(&mut self, of_tags: bool, version: Version) -> Vec<Manifest> {
        let mut all = Vec::new();
        let tree = self.tree;
        for file in tree.files.keys() {
            let Some(kind) = kind_of(file, of_tags) else { continue };
            let Some(text) = self.text(file) else { continue };
            let digits = COMPARED.iter().find(|(name, _)| *name == kind).map(|(_, digits)| *digits);
            let listed = text::listed(&text, digits, of_tags, version);
            for (line, words) in &listed.amiss {
                self.malformed(file, &format!("line {line}: {words}"));
            }
            all.push(Manifest { file: file.clone(), kind: kind.to_owned(), listed });
        }
        if !of_tags && !all.iter().any(Manifest::is_compared) {
            self.find(&manifest_file(false, COMPARED[1].0), Wrong::Missing);
            self.remarks.push(
                "Its payload has no checksums that could be compared: SHA-256 and SHA-512 are.".to_owned(),
            );
        }
        for manifest in all.iter().filter(|manifest| !manifest.is_compared()) {
            self.remarks.push(format!("Checksums of this kind were not compared: {}", manifest.file));
        }
        all
    }

    /// Whether everything that has to be listed is, and is there.
    fn completeness(&mut self, version: Version, payload: &[Manifest], tags: &[Manifest]) {
        let listed = |manifests: &[Manifest]| -> BTreeSet<String> {
            manifests.iter().flat_map(|manifest| manifest.listed.sums.keys().cloned()).collect()
        };
        let (of_payload, of_tags) = (listed(payload), listed(tags));
        for manifest in payload.iter().filter(|_| version >= text::FIRST_STRICT) {
            let left: Vec<&String> =
                of_payload.iter().filter(|path| !manifest.listed.sums.contains_key(*path)).collect();
            if let [first, ..] = left[..] {
                let words = format!(
                    "{} that another manifest lists, as {first}",
                    count(left.len(), "file is missing in it", "files are missing in it")
                );
                self.malformed(&manifest.file, &words);
            }
        }
        for manifest in tags {
            if payload.iter().any(|other| !manifest.listed.sums.contains_key(&other.file)) {
                self.malformed(&manifest.file, "it does not list every payload manifest");
            }
        }
        let tree = self.tree;
        let there = tree.standing(self.disk, self.bag, of_payload.iter().chain(&of_tags));
        for path in of_payload.iter().chain(&of_tags).filter(|path| !there.contains_key(path)) {
            self.find(path, Wrong::Missing);
        }
        let named: BTreeSet<&String> = there.values().map(|(path, _)| *path).collect();
        for path in tree.files.keys().filter(|path| !named.contains(path)) {
            if path.starts_with(PAYLOAD) {
                self.find(path, Wrong::Added);
            } else if !tags.is_empty()
                && [false, true].iter().all(|of_tags| kind_of(path, *of_tags).is_none())
            {
                self.find(path, Wrong::Unlisted);
            }
        }
        for folder in &tree.closed {
            self.find(folder, Wrong::Unreadable);
        }
    }

    /// Compares number and size of the payload with what is said of them.
    fn info(&mut self) {
        if !self.tree.files.contains_key(INFO_FILE) {
            return;
        }
        let Some(text) = self.text(INFO_FILE) else { return };
        let (labels, amiss) = text::labels(&text);
        if let Some(line) = amiss {
            self.malformed(INFO_FILE, &format!("line {line}: it is no label and value"));
        }
        let is_oxum = |label: &&(String, String)| label.0.eq_ignore_ascii_case(OXUM);
        let Some((_, told)) = labels.iter().find(is_oxum) else {
            self.remarks.push(format!("{INFO_FILE} does not tell how many files and bytes there are."));
            return;
        };
        let payload = || self.tree.files.iter().filter(|(path, _)| path.starts_with(PAYLOAD));
        let (bytes, files) = (payload().map(|(_, bytes)| bytes).sum::<u64>(), payload().count());
        match text::oxum(told) {
            None => self.malformed(INFO_FILE, &format!("{OXUM} is not two numbers")),
            Some(told) if told != (bytes, files) => {
                let (told_bytes, told_files) = told;
                self.find(INFO_FILE, Wrong::Miscounted);
                self.remarks.push(format!(
                    "{INFO_FILE} tells of {} with {told_bytes} bytes; {} with {bytes} bytes lie in the payload.",
                    count(told_files, "file", "files"),
                    count(files, "file", "files")
                ));
            }
            Some(_) => {}
        }
    }

    /// Reads what is listed and compares its sums; gives files looked at and their bytes.
    fn sums(
        &mut self,
        quick: bool,
        payload: &[Manifest],
        tags: &[Manifest],
        progress: &dyn Progress,
    ) -> Result<(usize, u64), FilingFault> {
        let mut told: BTreeMap<&String, Vec<(&str, &String)>> = BTreeMap::new();
        for manifest in payload.iter().chain(tags).filter(|manifest| manifest.is_compared()) {
            for (path, sum) in &manifest.listed.sums {
                told.entry(path).or_default().push((&manifest.kind, sum));
            }
        }
        let tree = self.tree;
        let there = tree.standing(self.disk, self.bag, told.keys().copied());
        let is_read = |path: &str| !quick || !path.starts_with(PAYLOAD);
        let ahead = || there.iter().filter(|(path, _)| is_read(path));
        let mut meter = Meter::new(ahead().count(), ahead().map(|(_, (_, bytes))| **bytes).sum(), progress);
        for (path, (_, bytes)) in ahead() {
            match self.compare(path, &told[path], &mut meter) {
                Ok(true) => {}
                Ok(false) => self.find(path, Wrong::Changed),
                Err(CopyTrouble::Stopped) => return Err(FilingFault::PlanStopped),
                Err(_) => self.find(path, Wrong::Unreadable),
            }
            meter.finished(**bytes);
        }
        Ok((there.len(), there.values().map(|(_, bytes)| **bytes).sum()))
    }

    /// Whether a file has all the sums that are told of it; it is read once.
    fn compare(
        &self,
        path: &str,
        told: &[(&str, &String)],
        meter: &mut Meter<'_>,
    ) -> Result<bool, CopyTrouble> {
        let mut file = self.disk.open(&self.bag.join(path)).map_err(CopyTrouble::Source)?;
        file.forget_cached();
        let mut sha512 = told.iter().any(|(kind, _)| *kind == "sha512").then(Sha512::new);
        let progress = meter.progress();
        let mut also = |bytes: &[u8]| {
            if let Some(sum) = &mut sha512 {
                sum.update(bytes);
            }
            meter.moved(bytes.len() as u64);
            Ok(())
        };
        let (sha256, _) = disk::pour(&mut *file, &mut also, &|| progress.stopped())?;
        let sha512 = sha512.map(|sum| disk::hex(&sum.finalize())).unwrap_or_default();
        Ok(told.iter().all(|(kind, sum)| **sum == if *kind == "sha512" { &sha512 } else { &sha256 }[..]))
    }
}

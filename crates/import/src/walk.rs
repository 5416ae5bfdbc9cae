//! Finds the files of a card: any folder, with DCIM or without.
//!
//! Hidden and system entries are left out and links are not followed; both are reported with their reason.
//! Opens no file but those whose name says nothing. Paths are relative to the card, with `/`.

use std::path::Path;
use std::time::SystemTime;

use walkdir::{DirEntry, WalkDir};

use crate::fault::io_words;
use crate::kind::{Content, Kind, SNIFFED_BYTES};
use crate::source::{Meter, Source};
use crate::{ReadFault, Skipped};

/// A file that may belong to a frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Found {
    /// Path relative to the card, with `/`.
    pub(crate) path: String,
    pub(crate) bytes: u64,
    pub(crate) modified: Option<SystemTime>,
    pub(crate) kind: Kind,
}

impl Found {
    /// Path of its folder relative to the card; empty for the card itself.
    pub(crate) fn folder(&self) -> &str {
        self.path.rsplit_once('/').map_or("", |(folder, _)| folder)
    }

    /// The last part of its path.
    pub(crate) fn name(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or_default()
    }

    /// Its name without extension. A sidecar may keep its picture's extension: `A.JPG.xmp` has stem `A`.
    pub(crate) fn stem(&self) -> &str {
        let stem = |name| str::rsplit_once(name, '.').map_or(name, |(stem, _)| stem);
        let first = stem(self.name());
        if self.kind == Kind::Sidecar && Kind::by_name(first).leads() { stem(first) } else { first }
    }
}

/// What a walk brought, in order of path.
#[derive(Debug, Default)]
pub(crate) struct Walked {
    pub(crate) files: Vec<Found>,
    pub(crate) skipped: Vec<Skipped>,
}

/// Walks a card. Entries that cannot be opened are reported and the rest goes on.
///
/// # Errors
/// When the folder itself is not there, is no folder, cannot be opened, or has nothing in it.
pub(crate) fn walk(root: &Path, meter: &Meter, stopped: impl Fn() -> bool) -> Result<Walked, ReadFault> {
    let about = std::fs::metadata(root);
    match about {
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Err(ReadFault::NotThere(root.into())),
        Ok(about) if !about.is_dir() => return Err(ReadFault::NotAFolder(root.into())),
        _ => {}
    }
    match std::fs::read_dir(root).map(|mut entries| entries.next().is_none()) {
        Err(e) => return Err(ReadFault::Unreadable { path: root.into(), reason: io_words(&e) }),
        Ok(true) => return Err(ReadFault::Empty(root.into())),
        Ok(false) => {}
    }
    let mut walked = Walked::default();
    let mut entries = WalkDir::new(root).min_depth(1).sort_by_file_name().into_iter();
    while let Some(entry) = entries.next() {
        if stopped() {
            return Err(ReadFault::Stopped);
        }
        let entry = match entry {
            Ok(entry) => entry,
            Err(e) => {
                let path = e.path().map_or(String::new(), |p| relative(root, p).0);
                let reason = e.io_error().map_or_else(|| "it lies in a circle of links".to_owned(), io_words);
                walked.skipped.push(Skipped::unseen(path, format!("could not be opened: {reason}")));
                continue;
            }
        };
        let (path, is_text) = relative(root, entry.path());
        if let Some(reason) = unwanted(&entry, is_text) {
            if entry.file_type().is_dir() {
                entries.skip_current_dir();
            }
            walked.skipped.push(Skipped { unseen: !is_text, ..Skipped::new(path, reason) });
        } else if entry.file_type().is_file() {
            walked.files.push(found(&entry, path, meter));
        }
    }
    Ok(walked)
}

/// Path relative to the card with `/`, and whether it is wholly text.
fn relative(root: &Path, path: &Path) -> (String, bool) {
    let inside = path.strip_prefix(root).unwrap_or(path);
    let parts: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
    (parts.join("/"), inside.to_str().is_some())
}

/// Why an entry is left out by its name or nature alone.
fn unwanted(entry: &DirEntry, is_text: bool) -> Option<&'static str> {
    let name = entry.file_name().to_string_lossy().to_lowercase();
    if !is_text {
        Some("its name holds bytes that are not text; rename it to have it read")
    } else if name.starts_with("._") {
        Some("a shadow file that a computer left beside the real one")
    } else if name.starts_with('.') {
        Some("hidden")
    } else if record::is_the_systems(&name) {
        Some("belongs to the system")
    } else if entry.path_is_symlink() {
        Some("a link; links are not followed")
    } else if !entry.file_type().is_dir() && !entry.file_type().is_file() {
        Some("neither a file nor a folder")
    } else {
        None
    }
}

fn found(entry: &DirEntry, path: String, meter: &Meter) -> Found {
    let about = entry.metadata().ok();
    let by_name = Kind::by_name(&entry.file_name().to_string_lossy());
    let kind = if by_name == Kind::Other { kind_by_content(entry.path(), meter) } else { by_name };
    Found {
        path,
        bytes: about.as_ref().map_or(0, std::fs::Metadata::len),
        modified: about.and_then(|a| a.modified().ok()),
        kind,
    }
}

/// Looks into a file whose name says nothing; it may be a picture that lost its extension.
fn kind_by_content(path: &Path, meter: &Meter) -> Kind {
    let mut head = [0; SNIFFED_BYTES];
    let read = meter.open(path).and_then(|file| file.read_at(0, &mut head));
    read.ok().and_then(|come| Content::of(&head[..come]).kind()).unwrap_or(Kind::Other)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn put(root: &Path, path: &str, bytes: &[u8]) {
        let path = root.join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }

    #[test]
    fn clutter_is_left_out_and_said() {
        let card = tempfile::tempdir().unwrap();
        for path in [
            "DCIM/100ABCDE/DSC_0001.JPG",
            "DCIM/100ABCDE/._DSC_0001.JPG",
            "DCIM/100ABCDE/Thumbs.db",
            ".Trashes/501/DSC_0002.JPG",
            "System Volume Information/x",
            "notes.txt",
            "naïve name, é.jpg",
        ] {
            put(card.path(), path, b"x");
        }
        let walked = walk(card.path(), &Meter::default(), || false).unwrap();
        let files: Vec<_> = walked.files.iter().map(|f| f.path.as_str()).collect();
        assert_eq!(files, ["DCIM/100ABCDE/DSC_0001.JPG", "naïve name, é.jpg", "notes.txt"]);
        let skipped: Vec<_> = walked.skipped.iter().map(|s| (s.path.as_str(), s.reason.as_str())).collect();
        assert_eq!(
            skipped,
            [
                (".Trashes", "hidden"),
                ("DCIM/100ABCDE/._DSC_0001.JPG", "a shadow file that a computer left beside the real one"),
                ("DCIM/100ABCDE/Thumbs.db", "belongs to the system"),
                ("System Volume Information", "belongs to the system"),
            ]
        );
        assert!(walked.skipped.iter().all(|s| !s.unseen));
        assert_eq!(walked.files[0].folder(), "DCIM/100ABCDE");
        assert_eq!(walked.files[1].folder(), "");
    }

    #[cfg(unix)]
    #[test]
    fn links_are_not_followed() {
        let card = tempfile::tempdir().unwrap();
        put(card.path(), "a.jpg", b"x");
        std::os::unix::fs::symlink("/", card.path().join("everything")).unwrap();
        std::os::unix::fs::symlink("nowhere.jpg", card.path().join("b.jpg")).unwrap();
        let walked = walk(card.path(), &Meter::default(), || false).unwrap();
        assert_eq!(walked.files.len(), 1);
        let skipped: Vec<_> = walked.skipped.iter().map(|s| s.path.as_str()).collect();
        assert_eq!(skipped, ["b.jpg", "everything"]);
        assert!(walked.skipped.iter().all(|s| s.reason.contains("link")));
    }

    #[test]
    fn a_picture_without_an_extension_is_found_by_its_content() {
        let card = tempfile::tempdir().unwrap();
        put(card.path(), "scan", b"\xFF\xD8\xFF\xE0\0\x10JFIF");
        put(card.path(), "README", b"words");
        let kinds: Vec<_> =
            walk(card.path(), &Meter::default(), || false).unwrap().files.iter().map(|f| f.kind).collect();
        assert_eq!(kinds, [Kind::Other, Kind::Jpeg]);
    }

    #[test]
    fn a_folder_named_like_a_picture_is_a_folder() {
        let card = tempfile::tempdir().unwrap();
        put(card.path(), "x.jpg/y.jpg", b"x");
        assert_eq!(walk(card.path(), &Meter::default(), || false).unwrap().files[0].path, "x.jpg/y.jpg");
    }

    #[test]
    fn whole_card_faults() {
        let card = tempfile::tempdir().unwrap();
        let fault = |path: &Path| walk(path, &Meter::default(), || false).unwrap_err();
        assert_eq!(fault(card.path()), ReadFault::Empty(card.path().into()));
        let none = card.path().join("none");
        assert_eq!(fault(&none), ReadFault::NotThere(none.clone()));
        put(card.path(), "file", b"x");
        let file = card.path().join("file");
        assert_eq!(fault(&file), ReadFault::NotAFolder(file.clone()));
        assert_eq!(walk(card.path(), &Meter::default(), || true).unwrap_err(), ReadFault::Stopped);
    }

    #[test]
    fn a_sidecar_may_keep_its_pictures_extension() {
        let stem = |path: &str| {
            let kind = Kind::by_name(path);
            Found { path: path.into(), bytes: 0, modified: None, kind }.stem().to_owned()
        };
        assert_eq!(stem("d/DSC_0001.JPG.xmp"), "DSC_0001");
        assert_eq!(stem("d/DSC_0001.xmp"), "DSC_0001");
        assert_eq!(stem("d/a.b.jpg"), "a.b");
        assert_eq!(stem("none"), "none");
    }
}

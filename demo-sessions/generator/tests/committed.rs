//! The committed demo sessions agree with their scripts: same files, same words, same bytes.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::{fs, io};

use demo_sessions::{Script, carded_beetles, salt_marsh_bank};

/// Both sessions together, in bytes.
const LARGEST_BYTES: u64 = 25_000_000;

fn session_folder(script: &Script) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(script.name)
}

/// Paths of all files below a folder, relative to it, with `/`, and their total size.
fn files_below(folder: &Path, prefix: &str, found: &mut BTreeSet<String>) -> io::Result<u64> {
    let mut bytes = 0;
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let path = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            bytes += files_below(&entry.path(), &format!("{path}/"), found)?;
        } else {
            bytes += entry.metadata()?.len();
            found.insert(path);
        }
    }
    Ok(bytes)
}

#[test]
fn the_committed_result_is_that_of_the_script() {
    for script in [salt_marsh_bank(), carded_beetles()] {
        let committed = fs::read_to_string(session_folder(&script).join("expected.json")).unwrap();
        assert!(committed == script.expected_text().unwrap(), "run the generator again: {}", script.name);
    }
}

#[test]
fn the_cards_hold_the_files_named_and_no_others_and_stay_small() {
    let mut bytes = 0;
    for script in [salt_marsh_bank(), carded_beetles()] {
        let expected = script.expected();
        let named: BTreeSet<String> =
            expected.frames.into_iter().flat_map(|frame| frame.files).chain(expected.stray).collect();
        let mut found = BTreeSet::new();
        bytes += files_below(&session_folder(&script).join("card"), "", &mut found).unwrap();
        assert_eq!(named, found, "{}", script.name);
    }
    assert!(bytes <= LARGEST_BYTES, "{bytes} bytes");
}

/// A shot with a raw file, a blank, one cut short and a beetle: drawn again, they are what was committed.
#[test]
fn some_frames_drawn_again_give_the_committed_bytes() {
    let (marsh, beetles) = (salt_marsh_bank(), carded_beetles());
    let cut = marsh.expected().frames.iter().position(|frame| frame.damaged).unwrap();
    for (script, index) in [(&marsh, 0), (&marsh, 5), (&marsh, cut), (&beetles, 1)] {
        for (path, bytes) in script.shots[index].files().iter().zip(script.files_of_shot(index).unwrap()) {
            let committed = fs::read(session_folder(script).join("card").join(path)).unwrap();
            assert!(committed == bytes, "run the generator again: {path}");
        }
    }
}

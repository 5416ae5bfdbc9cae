//! What the file operations promise, each on its own.

use std::fs;

use super::local::{rename_folder, rename_to_reserved};
use super::*;

#[test]
fn a_name_that_is_taken_is_never_given() {
    let dir = tempfile::tempdir().unwrap();
    let (part, target) = (dir.path().join(".a.part"), dir.path().join("a"));
    let rename_new = |from: &Path, to: &Path| LocalDisk.rename_new(from, to);
    for rename in [&rename_new as &dyn Fn(&Path, &Path) -> io::Result<()>, &rename_to_reserved] {
        fs::write(&part, "new").unwrap();
        fs::write(&target, "old").unwrap();
        assert_eq!(rename(&part, &target).unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(fs::read_to_string(&target).unwrap(), "old");
        fs::remove_file(&target).unwrap();
        rename(&part, &target).unwrap();
        assert_eq!((fs::read_to_string(&target).unwrap().as_str(), part.exists()), ("new", false));
        // Without a part, no empty file is left under the name.
        fs::remove_file(&target).unwrap();
        assert_eq!(rename(&part, &target).unwrap_err().kind(), ErrorKind::NotFound);
        assert!(!target.exists());
    }
}

#[test]
fn a_name_reserved_by_a_run_that_was_cut_is_free() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    fs::write(at(".a.part"), "new").unwrap();
    fs::write(at("a"), "").unwrap();
    assert!(!is_taken(&LocalDisk, &at("a")));
    assert!(files_below(&LocalDisk, dir.path()).unwrap().is_empty());
    free_reserved(&LocalDisk, &at("a")).unwrap();
    assert!(!at("a").exists() && at(".a.part").exists());
    fs::write(at("b"), "").unwrap();
    free_reserved(&LocalDisk, &at("b")).unwrap();
    assert!(is_taken(&LocalDisk, &at("b")), "an empty file without a part is somebody's");
}

#[test]
fn a_file_of_nothing_and_of_several_buffers_has_its_hash() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("file");
    // coreutils 9.1: `head -c N /dev/zero | sha256sum`.
    for (bytes, expected) in [
        (0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
        (3_000_000, "35bce4eae54ec8e6cc2868baa8d157914d6ae2858811b4cc0c078c94460fa26f"),
    ] {
        fs::File::create(&path).unwrap().set_len(bytes).unwrap();
        assert_eq!(hash_file(&LocalDisk, &path, &|| false).unwrap(), expected);
    }
}

#[test]
fn relative_paths_stay_below() {
    for path in ["a", "a/b.c", "..a/b", "a..b"] {
        assert!(is_plain_relative(path), "{path}");
    }
    for path in ["", "/a", "../a", "a/../b", "a/..", "."] {
        assert!(!is_plain_relative(path), "{path}");
    }
}

#[test]
fn a_folder_gets_a_name_that_is_free_and_no_other() {
    let dir = tempfile::tempdir().unwrap();
    let (part, target) = (dir.path().join(".a.part"), dir.path().join("a"));
    let rename_new = |from: &Path, to: &Path| LocalDisk.rename_new(from, to);
    for rename in [&rename_new as &dyn Fn(&Path, &Path) -> io::Result<()>, &rename_folder] {
        fs::create_dir(&part).unwrap();
        fs::write(part.join("x"), "new").unwrap();
        fs::create_dir(&target).unwrap();
        assert_eq!(rename(&part, &target).unwrap_err().kind(), ErrorKind::AlreadyExists);
        fs::remove_dir(&target).unwrap();
        rename(&part, &target).unwrap();
        assert_eq!((fs::read_to_string(target.join("x")).unwrap().as_str(), part.exists()), ("new", false));
        fs::remove_dir_all(&target).unwrap();
    }
}

//! Brings the files of one exposure together.
//!
//! In one folder, files with the same DCF number are one exposure whatever their first four characters
//! (`_DSC0001.JPG`, `DSC_0001.NEF`); other files are by the same stem, case not distinguished. Two pictures of one
//! kind that share a number but were taken at different times are two exposures.

use std::collections::BTreeMap;

use record::Taken;

use crate::Skipped;
use crate::dcf;
use crate::kind::Kind;
use crate::walk::Found;

/// Files of one exposure; the one to be scored comes first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Exposure {
    pub(crate) files: Vec<Found>,
    /// Why it was kept apart from another with its number.
    pub(crate) remark: Option<String>,
}

/// What makes files of one folder one exposure.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Key {
    Number(u16),
    Stem(String),
}

fn key(file: &Found) -> Key {
    let stem = file.stem();
    dcf::file_number(stem).map_or_else(|| Key::Stem(stem.to_lowercase()), Key::Number)
}

/// Most seconds between the camera times of a raw and a JPEG of one exposure whose names differ: both carry the
/// moment of the shutter, but some writers round.
const SAME_EXPOSURE_SECS: f64 = 2.0;

/// Pairs files. `taken` reads the camera time of a file; it is asked only where names leave it open. Files
/// that travel with no picture are given back with the reason.
pub(crate) fn pair(
    files: Vec<Found>,
    taken: impl Fn(&Found) -> Option<Taken>,
) -> (Vec<Exposure>, Vec<Skipped>) {
    let mut groups: BTreeMap<(String, Key), Vec<Found>> = BTreeMap::new();
    for file in files {
        groups.entry((file.folder().to_owned(), key(&file))).or_default().push(file);
    }
    let (mut exposures, mut skipped) = (Vec::new(), Vec::new());
    for (_, mut group) in groups {
        group.sort_by(|a, b| (a.kind, &a.path).cmp(&(b.kind, &b.path)));
        let companions = group.split_off(group.partition_point(|f| f.kind.leads()));
        let mut exposures_here = part(group, &taken);
        for companion in companions {
            let of_its_stem = |e: &Exposure| {
                e.files.iter().any(|f| f.kind.leads() && f.stem().eq_ignore_ascii_case(companion.stem()))
            };
            let at = exposures_here.iter().position(of_its_stem).unwrap_or(0);
            if let Some(exposure) = exposures_here.get_mut(at) {
                exposure.files.push(companion);
            } else {
                let reason = companion.kind.alone();
                skipped.push(Skipped::new(companion.path, reason));
            }
        }
        exposures.append(&mut exposures_here);
    }
    (exposures, skipped)
}

/// Parts pictures that share a key into exposures. Nearly always they are one.
fn part(pictures: Vec<Found>, taken: &impl Fn(&Found) -> Option<Taken>) -> Vec<Exposure> {
    let mut exposures: Vec<Exposure> = Vec::new();
    for picture in pictures {
        match exposures.iter_mut().find(|e| e.files.iter().all(|f| one_exposure(f, &picture, taken))) {
            Some(exposure) => exposure.files.push(picture),
            None => exposures.push(Exposure { files: vec![picture], remark: None }),
        }
    }
    if exposures.len() > 1 {
        let names: Vec<_> = exposures.iter().map(|e| e.files[0].name().to_owned()).collect();
        for (i, exposure) in exposures.iter_mut().enumerate() {
            let other = &names[usize::from(i == 0)];
            exposure.remark = Some(format!(
                "its number or name is also that of another picture, kept as a frame of its own: {other}"
            ));
        }
    }
    exposures
}

fn one_exposure(a: &Found, b: &Found, taken: &impl Fn(&Found) -> Option<Taken>) -> bool {
    let same_stem = a.stem().eq_ignore_ascii_case(b.stem());
    let same_kind = a.kind == b.kind && (a.kind != Kind::Raw || same_extension(a, b));
    match (same_stem, same_kind) {
        (true, false) => true,
        (_, true) => taken(a).zip(taken(b)).is_some_and(|(a, b)| a == b),
        (false, false) => {
            taken(a).zip(taken(b)).is_none_or(|(a, b)| a.secs_since(&b).abs() <= SAME_EXPOSURE_SECS)
        }
    }
}

fn same_extension(a: &Found, b: &Found) -> bool {
    crate::kind::extension(a.name()) == crate::kind::extension(b.name())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pairs files; `times` gives the second at which files of a name were taken. One line an exposure, its
    /// files parted by `+`.
    fn paired(paths: &[&str], times: &[(&str, u8)]) -> (Vec<String>, Vec<String>) {
        let found = |path: &&str| Found {
            path: (*path).to_owned(),
            bytes: 1,
            modified: None,
            kind: Kind::by_name(path),
        };
        let taken = |f: &Found| {
            let second = times.iter().find(|(path, _)| *path == f.path)?.1;
            format!("2026-06-14T10:00:{second:02}").parse().ok()
        };
        let (exposures, skipped) = pair(paths.iter().map(found).collect(), taken);
        let line = |e: &Exposure| {
            let files: Vec<_> = e.files.iter().map(|f| f.path.as_str()).collect();
            files.join("+") + if e.remark.is_some() { " !" } else { "" }
        };
        let skipped = skipped.into_iter().map(|s| format!("{}: {}", s.path, s.reason)).collect();
        (exposures.iter().map(line).collect(), skipped)
    }

    #[test]
    fn one_number_is_one_exposure() {
        // DCF (JEITA CP-3461): one file number in one directory is one object.
        let (exposures, skipped) = paired(
            &[
                "D/DSC_0001.NEF",
                "D/DSC_0001.JPG",
                "D/SND_0001.WAV",
                "D/_DSC0002.JPG",
                "D/DSC_0002.NEF",
                "E/DSC_0001.JPG",
            ],
            &[],
        );
        assert_eq!(
            exposures,
            [
                "D/DSC_0001.JPG+D/DSC_0001.NEF+D/SND_0001.WAV",
                "D/_DSC0002.JPG+D/DSC_0002.NEF",
                "E/DSC_0001.JPG"
            ]
        );
        assert_eq!(skipped, [""; 0]);
    }

    #[test]
    fn other_names_go_by_their_stem() {
        let (exposures, _) = paired(
            &[
                "IMG_20260614_101010.jpg",
                "img_20260614_101010.dng",
                "bee 1.png",
                "bee 1.txt",
                "bee 1.png.xmp",
                "bee 2.png",
            ],
            &[],
        );
        assert_eq!(
            exposures,
            [
                "bee 1.png+bee 1.png.xmp+bee 1.txt",
                "bee 2.png",
                "IMG_20260614_101010.jpg+img_20260614_101010.dng"
            ]
        );
    }

    #[test]
    fn two_pictures_with_one_number_are_two_frames_unless_taken_at_once() {
        let paths = ["D/IMG_0001.JPG", "D/_MG_0001.JPG", "D/_MG_0001.CR2", "D/_MG_0001.XMP"];
        let apart = ["D/IMG_0001.JPG !", "D/_MG_0001.JPG+D/_MG_0001.CR2+D/_MG_0001.XMP !"];
        let times = [("D/IMG_0001.JPG", 10), ("D/_MG_0001.JPG", 40), ("D/_MG_0001.CR2", 40)];
        assert_eq!(paired(&paths, &times).0, apart);
        assert_eq!(paired(&paths[..2], &[]).0, ["D/IMG_0001.JPG !", "D/_MG_0001.JPG !"], "times not known");
        let at_once = [("D/IMG_0001.JPG", 10), ("D/_MG_0001.JPG", 10)];
        assert_eq!(paired(&paths[..2], &at_once).0, ["D/IMG_0001.JPG+D/_MG_0001.JPG"]);
    }

    #[test]
    fn a_raw_of_another_camera_with_the_same_number_stays_apart() {
        let paths = ["D/IMG_0001.JPG", "D/DSC_0001.NEF"];
        assert_eq!(paired(&paths, &[]).0.len(), 1);
        let times = [("D/IMG_0001.JPG", 10), ("D/DSC_0001.NEF", 50)];
        assert_eq!(paired(&paths, &times).0, ["D/IMG_0001.JPG !", "D/DSC_0001.NEF !"]);
    }

    #[test]
    fn companions_without_a_picture_are_said() {
        let (exposures, skipped) = paired(&["A.WAV", "B.MOV", "C.XMP", "D.txt", "E.gif"], &[]);
        assert_eq!(exposures, [""; 0]);
        assert_eq!(
            skipped,
            [
                "A.WAV: a sound note without its picture",
                "B.MOV: a film without a picture of the same name; films are not frames",
                "C.XMP: a sidecar without its picture",
                "D.txt: not a picture",
                "E.gif: a picture of a kind that is not read",
            ]
        );
    }
}

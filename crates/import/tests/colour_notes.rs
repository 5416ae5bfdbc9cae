//! Colour notes on real pictures that are not part of this project: which blanks can serve as neutral reference, and how
//! often a patch of an animal would be called mixed.
//!
//! `ENDLEAF_CORPUS` names a folder that holds `photos/separators` with `labels.csv`. Run with
//! `cargo test -p import --test colour_notes -- --ignored --nocapture`.
#![allow(clippy::print_stderr, reason = "figures for whoever runs these by hand")]
#![allow(clippy::unwrap_used, reason = "all of this file is test")]

use std::path::PathBuf;

use imaging::colour::Rgb;
use imaging::colour_note::{Doubt, note};
use imaging::{ColourWord, Region};

/// Pictures whose label and tags begin like this.
fn pictures(label: &str, tags: &str) -> Vec<(String, Rgb)> {
    let folder = PathBuf::from(std::env::var_os("ENDLEAF_CORPUS").expect("set ENDLEAF_CORPUS"));
    let folder = folder.join("photos/separators");
    let labels = std::fs::read_to_string(folder.join("labels.csv")).unwrap();
    let wanted = labels.lines().filter(|line| {
        let fields: Vec<&str> = line.split(',').collect();
        // An origin may hold a comma within quotes; tags are looked for behind the label all the same.
        fields.len() > 4 && fields[1] == label && fields[2..].iter().any(|f| f.starts_with(tags))
    });
    let opened = wanted.map(|line| {
        let file = line.split(',').next().unwrap();
        let picture = image::open(folder.join(file)).unwrap().into_rgb8();
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        (file.to_owned(), Rgb::new(width, height, picture.into_raw()).unwrap())
    });
    let opened: Vec<_> = opened.collect();
    assert!(!opened.is_empty(), "no {label} tagged {tags}");
    opened
}

/// The doubts about a patch in the middle of a blank, told by itself.
fn doubts(blank: &Rgb) -> Vec<Doubt> {
    let (x, y) = (blank.width as f64 / 2.0, blank.height as f64 / 2.0);
    note(blank, &Region::Circle { centre: (x, y), radius: x.min(y) / 8.0 }, Some(blank)).unwrap().doubts
}

#[test]
#[ignore = "needs ENDLEAF_CORPUS"]
fn white_paper_serves_and_what_is_no_reference_is_doubted() {
    for (file, blank) in pictures("blank", "white-paper") {
        assert_eq!(doubts(&blank), [], "{file}");
    }
    for (file, blank) in pictures("blank", "lens-cap") {
        assert!(doubts(&blank).iter().any(|d| matches!(d, Doubt::NeutralTooDark(_))), "{file}");
    }
    for (file, blank) in pictures("blank", "uneven-light") {
        assert!(doubts(&blank).iter().any(|d| matches!(d, Doubt::LightUneven(t) if *t > 2.0)), "{file}");
    }
}

#[test]
#[ignore = "needs ENDLEAF_CORPUS"]
fn patches_of_real_bees_are_seldom_mixed() {
    let (mut all, mut mixed) = (0, 0);
    for (_, picture) in pictures("subject", "bee") {
        let (width, height) = (picture.width as f64, picture.height as f64);
        let side = width.min(height) / 16.0;
        for i in 0..64_u32 {
            let (x, y) = (width * f64::from(4 + i % 8) / 16.0, height * f64::from(4 + i / 8) / 16.0);
            let patch = Region::Rectangle((x, y), (x + side, y + side));
            all += 1;
            mixed += u32::from(note(&picture, &patch, None).unwrap().word == ColourWord::Mixed);
        }
    }
    eprintln!("{mixed} of {all} patches mixed");
    assert!(mixed * 100 <= all, "{mixed} of {all}");
}

use std::collections::BTreeMap;
use std::fs;

use image::{Rgb, RgbImage};
use record::{
    Determination, FrameId, FrameKind, KnownLength, Mark, MarkId, MarkKind, ScaleUsed, Session, Silent,
    Spread, Standing, Term,
};
use tempfile::TempDir;

use super::*;
use crate::sample::{FOLDER, entry, session};
use crate::sheets::page::{Item, Page};

/// All specimens, with names of people.
fn with_people() -> Wanted {
    Wanted { audience: Audience { people: true, ..Audience::default() }, ..Wanted::default() }
}

/// The sample filed with pictures of 1500 × 100 px; the first animal has all there can be, the third nothing.
fn filed(change: impl FnOnce(&mut Session)) -> TempDir {
    let archive = TempDir::new().unwrap();
    let mut session = session();
    let full = &mut session.specimens[0];
    let given = |name: &str, standing| Determination {
        name: name.into(),
        by: "E. Example".into(),
        date: "2026-08-02".into(),
        ground: "cheek longer than wide".into(),
        standing,
        ..Determination::default()
    };
    full.determinations.push(given("Bombus hortorum", Standing::Given));
    full.determinations.push(given("Bombus jonellus", Standing::Superseded("worn".into())));
    full.determinations[0].standing = Standing::Accepted;
    full.note = "left antenna short,\nwings worn ".repeat(30);
    full.scores.insert("face-hair".into(), vec!["yellow".into()]);
    full.fields.insert(Term::Sex, entry("female"));
    let line = |id, points, known| Mark {
        id: MarkId(id),
        frame: FrameId(0),
        picture_px: (1500, 100),
        kind: MarkKind::Line,
        points,
        placing_px: 1.0,
        what: if known { String::new() } else { "intertegular distance".into() },
        known: known.then_some(KnownLength { mm: 5.0, standard_mm: 0.01 }),
        ratio_to: None,
        scale: if known { ScaleUsed::Unscaled } else { ScaleUsed::SameFrame },
        tilt_deg: 0.0,
        depth_share: 0.0,
    };
    session.marks.insert(MarkId(0), line(0, vec![(100.0, 90.0), (600.0, 90.0)], true));
    session.marks.insert(MarkId(1), line(1, vec![(300.0, 30.0), (702.0, 30.0)], false));
    session.decisions.kinds.insert(FrameId(1), FrameKind::SetAside);
    let third = &mut session.specimens[2];
    session.decisions.labels.remove(&third.anchors[0]);
    change(&mut session);
    let mut sizes = BTreeMap::new();
    for frame in &session.frames {
        let Some(filed) = session.filed.get(frame.path()) else { continue };
        let path = archive.path().join(filed.path_in_archive(FOLDER));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        let shade = frame.id.0 as u8 * 20;
        RgbImage::from_fn(1500, 100, |x, y| Rgb([shade, (x / 6) as u8, (y / 4) as u8])).save(&path).unwrap();
        sizes.insert(frame.path().to_owned(), fs::metadata(path).unwrap().len());
    }
    for frame in &mut session.frames {
        frame.size_px = Some((1500, 100));
        frame.spread = Some(Spread { level: 9.0, frame: 9.0, tile: 9.0, grain: 1.0, mean: 99.0 });
        frame.files[0].bytes = sizes.get(frame.path()).copied().unwrap_or(10);
    }
    session.filed.iter_mut().for_each(|(path, filed)| filed.bytes = sizes[path]);
    fs::write(archive.path().join(FOLDER).join("session.ron"), record::session_to_text(&session)).unwrap();
    archive
}

fn made(archive: &TempDir) -> ContactSheets {
    contact_sheets(archive.path(), FOLDER, &with_people(), &Silent).unwrap()
}

/// All pages, which are within the paper's edges.
fn pages(sheets: &ContactSheets, paper: Paper) -> Vec<Page> {
    let all: Vec<_> = sheets.sheets.iter().map(|sheet| (&sheet.values, &sheet.pictures)).collect();
    let mut pages = overview::pages(paper, &sheets.title, &sheets.about, &sheets.views, &all);
    pages.extend(
        all.into_iter().map(|(values, pictures)| specimen::page(paper, values, pictures, &sheets.title)),
    );
    for page in &pages {
        page.assert_within(paper, pdf::MARGIN);
    }
    pages
}

#[test]
fn a_specimen_has_a_page_with_all_there_is_of_it() {
    let archive = filed(|_| ());
    let sheets = made(&archive);
    for paper in Paper::ALL {
        let pages = pages(&sheets, paper);
        assert_eq!(pages.len(), 4);
        let text = pages[1].texts().join("\n");
        for words in [
            "Specimen 1",
            "Bombus cf. lucorum",
            "accepted: Bombus cf. lucorum",
            "dissents: Bombus hortorum",
            "no longer holds: Bombus jonellus",
            "E. Example; 2026-08-02; cheek longer than wide",
            "4.02 ± 0.04 mm",
            "face hair",
            "scale, face",
            "100.0 ± 0.7 px/mm",
            "female ♀",
            "more characters)",
            "missing",
            "confirmed",
            "5\u{a0}mm",
        ] {
            assert!(
                text.replace('\u{a0}', " ").contains(&words.replace('\u{a0}', " ")),
                "{words} is not in {text}"
            );
        }
        let pictures =
            |page: &Page| page.items.iter().filter(|item| matches!(item, Item::Picture { .. })).count();
        assert_eq!(
            pages.iter().map(pictures).collect::<Vec<_>>(),
            [2, 1, 2, 2],
            "overview, then each animal"
        );
    }
}

/// The known length of 5 mm spans 500 px of 1500; as drawn, its bar of 5 mm is a third as wide as the picture.
#[test]
fn a_scale_bar_is_as_long_as_what_it_says() {
    let archive = filed(|_| ());
    let sheets = made(&archive);
    assert!(String::from_utf8(sheets.html()).unwrap().contains("width:33.33%"));
    let page = &pages(&sheets, Paper::A4)[1];
    let width = page.items.iter().find_map(|item| match item {
        Item::Picture { area, alt, .. } if alt.ends_with("Face") => Some(area.width),
        _ => None,
    });
    let (area, bar) = (
        width.unwrap(),
        page.items.iter().find_map(|item| match item {
            Item::Shape { steps, pen: Some(pen), .. } if pen.width > 1.1 => match steps[..] {
                [super::super::page::Step::To(left, _), super::super::page::Step::Line(right, _)]
                    if right > left =>
                {
                    Some(right - left)
                }
                _ => None,
            },
            _ => None,
        }),
    );
    assert!((bar.unwrap() / area - 1.0 / 3.0).abs() < 0.002, "{bar:?} of {area}");
}

#[test]
fn documents_hold_the_copies_byte_for_byte_and_follow_from_the_record() {
    let archive = filed(|_| ());
    let (one, two) = (made(&archive), made(&archive));
    let pdf = one.pdf(Paper::A4).unwrap();
    assert!(pdf == two.pdf(Paper::A4).unwrap() && one.html() == two.html());
    let jpegs: Vec<&[u8]> = one.jpegs().collect();
    assert_eq!(jpegs.len(), 5 + 2);
    for jpeg in jpegs {
        assert!(
            pdf.windows(jpeg.len()).any(|bytes| bytes == jpeg),
            "a picture is not in the document as it was made"
        );
        assert!(!jpeg.windows(4).any(|bytes| bytes == b"Exif"));
    }
    for words in [&b"D:20260614"[..], b"/Lang"] {
        assert!(pdf.windows(words.len()).any(|bytes| bytes == words), "{}", String::from_utf8_lossy(words));
    }
}

#[test]
fn what_is_coarsened_stands_nowhere() {
    let archive = filed(|session| session.name = "Old quarry".into());
    let sheets = made(&archive);
    let rare = sheets.sheets.iter().find(|sheet| sheet.values.name == "Bombus rarus").unwrap();
    let chosen = Some(BTreeSet::from([rare.values.id]));
    let wanted = Wanted { chosen, ..Wanted::default() };
    let alone = contact_sheets(archive.path(), FOLDER, &wanted, &Silent).unwrap();
    assert_eq!(alone.title, "Contact sheets, 2026-06-14");
    let html = String::from_utf8(alone.html()).unwrap().to_lowercase();
    let words: String =
        pages(&alone, Paper::A4).iter().flat_map(Page::texts).collect::<Vec<_>>().join(" ").to_lowercase();
    for secret in
        ["quarry", "52.200", "0.1203", "08:43", "gate", "north face", "specimen 2", "jar 22", "10:01"]
    {
        assert!(!html.contains(secret) && !words.contains(secret), "{secret} is told");
    }
    assert!(html.contains("52.2, 0.1") && words.contains("52.2, 0.1"), "what may be told is");
    assert!(
        String::from_utf8(sheets.html()).unwrap().contains("52.20025"),
        "the open ones are shared as held"
    );
}

#[test]
fn a_picture_that_cannot_be_read_is_a_gap_that_says_so() {
    let archive = filed(|_| ());
    fs::write(archive.path().join(FOLDER).join("001/0-0 f.jpg"), "torn").unwrap();
    let sheets = made(&archive);
    assert_eq!(sheets.faults().len(), 1);
    assert!(sheets.faults()[0].ends_with("001/0-0 f.jpg"), "{:?}", sheets.faults());
    let text = pages(&sheets, Paper::Letter)[1].texts().join("\n");
    assert!(text.contains("cannot be read"), "{text}");
}

#[test]
fn words_of_any_kind_stay_on_the_page() {
    let long = "\u{202e}x\u{308}🐝 蜂 Ωμ пчела ❦\n".repeat(700);
    let archive = filed(|session| {
        let specimen = &mut session.specimens[0];
        specimen.note.clone_from(&long);
        specimen.jar = "W".repeat(400);
        for name in &mut specimen.determinations {
            name.name = format!("Bombus {}", "w".repeat(300));
            name.ground.clone_from(&long);
        }
        let names = specimen.determinations.clone();
        specimen.determinations.extend(names.iter().cycle().take(40).cloned());
        for term in [Term::Habitat, Term::Behavior, Term::Plant, Term::SamplingProtocol] {
            specimen.fields.insert(term, entry(&"wide word ".repeat(1000)));
        }
        session.plan.views[0].name = "Face ".repeat(60);
    });
    let sheets = made(&archive);
    for paper in Paper::ALL {
        let text = pages(&sheets, paper)[1].texts().join("\n");
        assert!(text.contains("more entries have no room here"), "{text}");
        assert!(sheets.pdf(paper).unwrap().len() > 10_000);
    }
}

#[test]
fn a_specimen_of_which_nothing_is_known_has_a_page_and_none_at_all_is_refused() {
    let archive = filed(|session| {
        session.fields.clear();
        session.specimens.truncate(1);
        session.specimens[0] = record::Specimen::new(session.specimens[0].id, vec![FrameId(0)]);
        session.decisions.labels.clear();
        session.decisions.kinds.clear();
        session.marks.clear();
    });
    let text = pages(&made(&archive), Paper::A4)[1].texts().join("\n");
    assert!(text.contains("no name yet") && text.contains("Views not confirmed: Face, Above."), "{text}");
    let nobody = Wanted { chosen: Some(BTreeSet::new()), ..Wanted::default() };
    let refused = contact_sheets(archive.path(), FOLDER, &nobody, &Silent);
    assert!(matches!(refused, Err(SheetFault::NoSpecimen(_))));
}

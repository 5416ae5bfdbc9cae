//! Labelled blanks and subjects: how well they are told apart, beside plain measures.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;

use anyhow::{Context as _, bail};
use imaging::blank::judge;
use imaging::{Luma, Measured, otsu};
use record::{Silent, Spread};
use serde::Deserialize;

use super::share;

/// A row of `labels.csv`; other columns are not read.
#[derive(Debug, Deserialize)]
struct Row {
    file: String,
    label: String,
    source: String,
}

/// A labelled picture as measured.
struct Picture {
    is_blank: bool,
    source: String,
    measured: Measured,
    /// Plain standard deviation of luma.
    plain: f64,
}

/// Measures every picture, and judges them as one day and with the line placed without each source in turn.
pub(super) fn report(folder: &Path, labels: &Path) -> anyhow::Result<String> {
    let measured = measure_all(folder)?;
    let mut pictures = Vec::new();
    let mut rows =
        csv::Reader::from_path(labels).with_context(|| format!("Cannot be read: {}", labels.display()))?;
    for row in rows.deserialize() {
        let row: Row = row.with_context(|| format!("No labels of pictures: {}", labels.display()))?;
        let Some((measured, plain)) = measured.get(&row.file).copied() else {
            bail!("A labelled picture could not be measured: {}", folder.join(&row.file).display());
        };
        pictures.push(Picture { is_blank: row.label == "blank", source: row.source, measured, plain });
    }
    let mut text = String::new();
    let everything = |_: &Picture| true;
    writeln!(text, "{}", as_one_day(&pictures, "as one day", everything))?;
    for source in pictures.iter().map(|p| p.source.clone()).collect::<BTreeSet<_>>() {
        writeln!(text, "{}", as_one_day(&pictures, &format!("without {source}"), |p| p.source != source))?;
    }
    for (name, score) in [
        ("spread", (|p: &Picture| f64::from(p.measured.level)) as fn(&Picture) -> f64),
        ("plain standard deviation", |p| p.plain),
    ] {
        let right = by_otsu(&pictures, score);
        writeln!(
            text,
            "{name:32} AUC {:.4}; split by Otsu alone: wrong {}",
            auc(&pictures, score),
            share(pictures.len() - right, pictures.len())
        )?;
    }
    Ok(text)
}

/// Measures of every picture of a folder, and its plain standard deviation, by path; labels are not seen here.
fn measure_all(folder: &Path) -> anyhow::Result<BTreeMap<String, (Measured, f64)>> {
    let mut all = BTreeMap::new();
    for frame in import::read_card(folder, &Silent)?.frames {
        let Some(Spread { level, frame: over_frame, tile, grain, mean }) = frame.spread else { continue };
        let picture = import::thumbnail(folder, &frame, 160).map_err(anyhow::Error::msg)?.picture;
        let luma = Luma::from_rgb(picture.width, picture.height, &picture.rgb).unwrap_or_default();
        let n = luma.pixels.len().max(1) as f64;
        let of = |f: &dyn Fn(f64) -> f64| luma.pixels.iter().map(|p| f(f64::from(*p))).sum::<f64>() / n;
        let plain_mean = of(&|p| p);
        let plain = of(&|p| (p - plain_mean).powi(2)).sqrt();
        all.insert(
            frame.path().to_owned(),
            (Measured { level, frame: over_frame, tile, grain, mean }, plain),
        );
    }
    Ok(all)
}

/// Places the line by some of the pictures and judges the others by it, or all when none is left out.
fn as_one_day(pictures: &[Picture], name: &str, places: impl Fn(&Picture) -> bool) -> String {
    let placing: Vec<Measured> = pictures.iter().filter(|p| places(p)).map(|p| p.measured).collect();
    let day = judge(&placing, None);
    let judged: Vec<&Picture> = if placing.len() == pictures.len() {
        pictures.iter().collect()
    } else {
        pictures.iter().filter(|p| !places(p)).collect()
    };
    let verdicts = if placing.len() == pictures.len() {
        day.verdicts
    } else {
        let measures: Vec<Measured> = judged.iter().map(|p| p.measured).collect();
        judge(&measures, Some(day.line)).verdicts
    };
    let (mut doubtful, mut wrong) = (0, 0);
    for (picture, verdict) in judged.iter().zip(&verdicts) {
        let in_band =
            verdict.prob > record::BlankVerdict::DOUBT_FROM && verdict.prob < record::BlankVerdict::DOUBT_TO;
        doubtful += usize::from(in_band);
        wrong += usize::from(!in_band && (verdict.prob >= 0.5) != picture.is_blank);
    }
    format!(
        "{name:32} line {:.2}; wrong outside the doubtful band {}; in the band {}",
        day.line,
        share(wrong, judged.len()),
        share(doubtful, judged.len())
    )
}

/// Chance that a blank scores below a subject; ties count half.
fn auc(pictures: &[Picture], score: fn(&Picture) -> f64) -> f64 {
    let of = |blank: bool| pictures.iter().filter(move |p| p.is_blank == blank).map(score);
    let pairs = of(true).flat_map(|b| of(false).map(move |s| (b, s)));
    let (mut below, mut all) = (0.0, 0.0);
    for (blank, subject) in pairs {
        all += 1.0;
        below += if blank < subject {
            1.0
        } else if blank > subject {
            0.0
        } else {
            0.5
        };
    }
    below / f64::max(all, 1.0)
}

/// How many are right when log scores are split by Otsu's criterion alone.
fn by_otsu(pictures: &[Picture], score: fn(&Picture) -> f64) -> usize {
    let logs: Vec<f64> = pictures.iter().map(|p| score(p).max(0.1).ln()).collect();
    let Some(split) = otsu(&logs, |_, _| 1.0) else { return 0 };
    let line = f64::midpoint(split.gap.0, split.gap.1);
    pictures.iter().zip(&logs).filter(|(p, log)| (**log < line) == p.is_blank).count()
}

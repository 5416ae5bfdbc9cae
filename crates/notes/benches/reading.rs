//! How long field notes take to be read, and how much memory they need. Prints milliseconds, the best of three, and the
//! most memory that the program ever held.
//!
//! `cargo bench -p notes`
#![expect(clippy::disallowed_methods, reason = "the clock is what a benchmark is about")]
#![expect(clippy::print_stdout, reason = "a benchmark prints")]
#![expect(clippy::unwrap_used, reason = "a benchmark may stop")]

use std::fmt::Write;
use std::time::Instant;

fn main() {
    track();
    notebook();
    checklist();
}

/// The best of three runs, in milliseconds.
fn best_ms(mut run: impl FnMut()) -> f64 {
    let once = |run: &mut dyn FnMut()| {
        let start = Instant::now();
        run();
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..3).map(|_| once(&mut run)).fold(f64::INFINITY, f64::min)
}

/// The most memory the program has held so far, in megabytes, where the system tells.
fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"));
    line.and_then(|l| l.trim().trim_end_matches(" kB").parse().ok()).map_or(f64::NAN, |kb: f64| kb / 1024.0)
}

/// A track of 50 MB, a point a second, made while it is read.
fn track() {
    const POINT_BYTES: usize = 100;
    let points = 50_000_000 / POINT_BYTES;
    let head = "<gpx version='1.1' creator='bench'><trk><trkseg>";
    let before = peak_mb();
    let ms = best_ms(|| {
        let mut number = 0;
        let source = Made(
            std::iter::from_fn(|| {
                number += 1;
                let mut text = String::new();
                if number == 1 {
                    text.push_str(head);
                }
                if number > points {
                    (number == points + 1).then(|| "</trkseg></trk></gpx>".to_owned())
                } else {
                    let (hours, minutes, seconds) = (number / 3600, number / 60 % 60, number % 60);
                    let (day, hour) = (1 + hours / 24, hours % 24);
                    writeln!(
                    text,
                    "<trkpt lat='{:.6}' lon='0.120700'><ele>14.0</ele><time>2026-06-{day:02}T{hour:02}:{minutes:02}:{seconds:02}Z</time></trkpt>",
                    52.0 + number as f64 * 1e-6
                )
                .unwrap();
                    Some(text)
                }
            }),
            Vec::new(),
            0,
        );
        let tracks = notes::read_gpx(std::io::BufReader::new(source)).unwrap();
        assert_eq!(tracks.segments.first().map(|s| s.points.len()), Some(points));
        assert!(tracks.told.is_empty());
    });
    println!("track of {points} points: {ms:.0} ms, peak memory {before:.0} to {:.0} MB", peak_mb());
}

/// A reader of texts that are made as they are wanted.
struct Made<I>(I, Vec<u8>, usize);

impl<I: Iterator<Item = String>> std::io::Read for Made<I> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.2 == self.1.len() {
            self.1 = self.0.next().unwrap_or_default().into_bytes();
            self.2 = 0;
        }
        let given = (&self.1[self.2..]).read(into)?;
        self.2 += given;
        Ok(given)
    }
}

/// A notebook of 100,000 rows, read and typed.
fn notebook() {
    const ROWS: usize = 100_000;
    let mut text = "Jar;No;Datum;Uhrzeit;Breite;Länge;Genauigkeit;Pflanze;Geschlecht;Bemerkung\n".to_owned();
    for row in 0..ROWS {
        writeln!(
            text,
            "{};{row};{}.6.2026;{}:{:02};52,{row:06};0,1203;5 m;Wiesen-Flockenblume;w;\"an der Böschung; kalt\"",
            row % 90,
            row % 28 + 1,
            row % 24,
            row % 60
        )
        .unwrap();
    }
    let ms = best_ms(|| {
        let read = notes::read_notebook(text.as_bytes(), &notes::Remembered::default()).unwrap();
        let reading = read.reading(&read.mapping);
        let cells: usize = read.rows.iter().map(|row| row.values(&reading).len()).sum();
        // The longitude's stand with the latitude's.
        assert_eq!((read.rows.len(), cells), (ROWS, ROWS * 9));
    });
    println!("notebook of {ROWS} rows, {:.1} MB: {ms:.0} ms", text.len() as f64 / 1e6);
}

/// A checklist of 200,000 invented names, and the slowest of what is typed letter by letter.
fn checklist() {
    const NAMES: usize = 200_000;
    let syllables = ["ba", "ter", "mo", "lus", "ni", "cor", "fa", "gra", "pe", "os", "vi", "dus"];
    let word = |mut number: usize| {
        let mut word = String::new();
        for _ in 0..4 {
            word.push_str(syllables[number % syllables.len()]);
            number /= syllables.len();
        }
        word
    };
    let mut text = "Scientific name,Author,Vernacular name,Rank,Sensitive\n".to_owned();
    for number in 0..NAMES {
        let (genus, species) = (word(number / 20), word(number * 7919 % 20_736));
        writeln!(
            text,
            "{genus} {species},Nobody,{} {} bee,species,no",
            word(number % 997),
            word(number % 1_009)
        )
        .unwrap();
    }
    let mut list = None;
    let ms = best_ms(|| list = Some(notes::read_checklist(text.as_bytes(), None).unwrap()));
    let list = list.unwrap();
    println!("checklist of {NAMES} names, {:.1} MB: {ms:.0} ms to read", text.len() as f64 / 1e6);
    let mut slowest = (0.0, "");
    for typed in ["baterm b", "bee", "b b b", "corfa gra", "zzzz", "os", "bee cor ni vi"] {
        for (end, _) in typed.char_indices().skip(1).chain([(typed.len(), ' ')]) {
            let us = 1e3 * best_ms(|| assert!(list.find(&typed[..end], 20).len() <= 20));
            if us > slowest.0 {
                slowest = (us, &typed[..end]);
            }
        }
    }
    println!("looking up 20 names as one types: {:.0} µs at most, for “{}”", slowest.0, slowest.1);
}

//! Answers what this crate makes of colours and lengths, so that other libraries can be asked the same: see
//! `tests/reference/colours.py`.
//!
//! Each line of standard input is a word and numbers; each line of standard output a JSON list of numbers, or `null`.
//! `lab R G B`, `coded L A B`, `difference L A B L A B`, `note W H X0 Y0 X1 Y1 V… V…` (a picture and its blank), `length
//! NX NY NX NY PLACING MM UMM TILT DEPTH X Y …` (ends of the known length, then the line), `ratio PLACING TILT DEPTH N X Y …`
//! (N numbers of the first line, then the second), `mass MM UMM` (Cane 1987).
#![allow(clippy::print_stdout, reason = "its answers are for a script")]

use std::io::{BufRead, stdin};

use imaging::colour::Rgb;
use imaging::measuring::{OutOfPlane, Scale, length, length_px, ratio};
use imaging::{Point, Region, Uncertain, cielab, colour_note, delta_e, intertegular};

fn answer(word: &str, n: &[f64]) -> Option<Vec<f64>> {
    let both = |u: Uncertain| vec![u.value, u.standard];
    Some(match word {
        "lab" => cielab::lab(n.first_chunk::<3>()?.map(|v| v as u8)).to_vec(),
        "coded" => {
            let (coded, cut) = cielab::to_coded(cielab::to_linear(*n.first_chunk()?));
            coded.map(f64::from).into_iter().chain([f64::from(u8::from(cut))]).collect()
        }
        "difference" => vec![delta_e(*n.first_chunk()?, *n.last_chunk()?)],
        "note" => {
            let [w, h, x0, y0, x1, y1] = *n.first_chunk()?;
            let (w, h) = (w as usize, h as usize);
            let (picture, blank) = n[6..].split_at_checked(3 * w * h)?;
            let rgb = |values: &[f64]| Rgb::new(w, h, values.iter().map(|v| *v as u8).collect());
            let region = Region::Rectangle((x0, y0), (x1, y1));
            let note = colour_note::note(&rgb(picture)?, &region, Some(&rgb(blank)?))?;
            let far = note.nearest.map(|(_, far)| far);
            note.lab.into_iter().chain(note.spread).chain([note.pixels as f64]).chain(far).collect()
        }
        "length" => {
            let [x0, y0, x1, y1, placing, mm, standard, tilt_deg, depth_share] = *n.first_chunk()?;
            let scale = Scale::of([(x0, y0), (x1, y1)], placing, Uncertain { value: mm, standard })?;
            let px = length_px(&points(&n[9..]), placing)?;
            both(length(px, scale, OutOfPlane { tilt_deg, depth_share }).mm)
        }
        "ratio" => {
            let [placing, tilt_deg, depth_share, first] = *n.first_chunk()?;
            let (one, other) = n[4..].split_at_checked(first as usize)?;
            let line = |n| length_px(&points(n), placing);
            both(ratio(line(one)?, line(other)?, OutOfPlane { tilt_deg, depth_share })?)
        }
        "mass" => {
            let [value, standard] = *n.first_chunk()?;
            both(intertegular::CANE_1987.estimate(Uncertain { value, standard })?.mg)
        }
        _ => return None,
    })
}

fn points(numbers: &[f64]) -> Vec<Point> {
    numbers.as_chunks::<2>().0.iter().map(|[x, y]| (*x, *y)).collect()
}

fn main() {
    for line in stdin().lock().lines().map_while(Result::ok) {
        let mut words = line.split_whitespace();
        let word = words.next().unwrap_or_default();
        let numbers: Vec<f64> = words.filter_map(|n| n.parse().ok()).collect();
        match answer(word, &numbers) {
            Some(said) => println!("{said:?}"),
            None => println!("null"),
        }
    }
}

//! Answers what this crate makes of arrays, so that other libraries can be asked the same: see
//! `tests/reference/pixels.py`.
//!
//! Each line of standard input is a word and whole numbers; each line of standard output its answer.
//! `otsu V…`, `variance V…`, `lab R G B`, and with width and height first `laplacian W H V…`, `tenengrad W H V…`,
//! `grain W H V…`.
#![allow(clippy::print_stdout, reason = "its answers are for a script")]

use std::io::{BufRead, stdin};

use imaging::{Luma, cielab, focus, grain, otsu, variance};

fn answer(word: &str, values: &[u8], size: (usize, usize)) -> Option<Vec<f64>> {
    let picture = || Luma::new(size.0, size.1, values.to_vec());
    let of_field = |field: imaging::Field| field.values.iter().map(|v| f64::from(*v)).collect();
    Some(match word {
        "otsu" => {
            let split = otsu(&values.iter().map(|v| f64::from(*v)).collect::<Vec<_>>(), |_, _| 1.0)?;
            vec![split.gap.0, split.gap.1, split.between]
        }
        "variance" => {
            let (mean, exact) = variance::exact(values);
            let reals: Vec<f64> = values.iter().map(|v| f64::from(*v)).collect();
            let of_reals = variance::of_values(&reals);
            vec![mean, exact, of_reals.0, of_reals.1]
        }
        "lab" => cielab::lab(*values.first_chunk()?).to_vec(),
        "laplacian" => of_field(focus::laplacian(&picture()?)),
        "tenengrad" => of_field(focus::tenengrad(&picture()?)),
        "grain" => vec![grain::immerkaer(&picture()?)?],
        _ => return None,
    })
}

fn main() {
    for line in stdin().lock().lines().map_while(Result::ok) {
        let mut words = line.split_whitespace();
        let word = words.next().unwrap_or_default();
        let numbers: Vec<usize> = words.filter_map(|n| n.parse().ok()).collect();
        let sized = matches!(word, "laplacian" | "tenengrad" | "grain") && numbers.len() > 2;
        let (size, values) = numbers.split_at(if sized { 2 } else { 0 });
        let size = size.first().zip(size.get(1)).map_or((0, 0), |(w, h)| (*w, *h));
        let values: Vec<u8> = values.iter().map(|v| (*v).min(255) as u8).collect();
        let said = answer(word, &values, size);
        let said = said.map(|s| s.iter().map(f64::to_string).collect::<Vec<_>>().join(" "));
        println!("{}", said.as_deref().unwrap_or("none"));
    }
}

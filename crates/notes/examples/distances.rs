//! Answers how far two places are from each other, so that another library can be asked the same: see
//! `tests/reference/geodesic.py`.
//!
//! Each line of standard input is latitude, longitude, latitude and longitude; each line of standard output metres.
#![allow(clippy::print_stdout, reason = "its answers are for a script")]

use std::io::{BufRead, stdin};

fn main() {
    for line in stdin().lock().lines().map_while(Result::ok) {
        let numbers: Vec<f64> = line.split_whitespace().filter_map(|n| n.parse().ok()).collect();
        match numbers[..] {
            [a, b, c, d] => println!("{}", notes::distance_m((a, b), (c, d))),
            _ => println!("none"),
        }
    }
}

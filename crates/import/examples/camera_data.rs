//! Prints the camera data of every frame of a folder, as the program knows them, for comparison with other readers.
//!
//! `cargo run -p import --example camera_data -- FOLDER` gives a line of JSON for each frame, in the order of the day.
//! A time that is not the camera's own is left out. Writes nothing else and judges nothing.
#![allow(clippy::print_stdout, reason = "printing is all it does")]

use std::path::PathBuf;

use record::{Frame, Silent};
use serde_json::{Value, json};

fn main() {
    let folder = std::env::args_os().nth(1).map(PathBuf::from).expect("name the folder to read");
    let intake = import::read_card(&folder, &Silent).expect("the folder holds pictures");
    intake.frames.iter().for_each(|frame| println!("{}", camera_data(frame)));
}

fn camera_data(frame: &Frame) -> Value {
    let by_camera = frame.taken.filter(|_| frame.by_camera());
    json!({
        "path": frame.path(),
        "taken": by_camera.map(|t| t.to_string()),
        "when": frame.when().map(|t| t.to_string()),
        "make": frame.body.make,
        "model": frame.body.model,
        "serial": frame.body.serial,
        "lens": frame.shot.lens,
        "focal_length_mm": frame.shot.focal_length_mm,
        "focus_distance_m": frame.shot.focus_distance_m,
        "orientation": frame.orientation,
        "size_px": frame.size_px,
        "latitude_deg": frame.shot.position.map(|p| p.latitude_deg),
        "longitude_deg": frame.shot.position.map(|p| p.longitude_deg),
    })
}

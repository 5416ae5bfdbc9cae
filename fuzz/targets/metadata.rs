//! Camera data of any bytes, as a picture and as a raw. Nothing may crash, hang or point outside of the file.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    for name in ["a.jpg", "a.nef"] {
        let reading = import::read_source(&bytes, name);
        assert!((1..=8).contains(&reading.orientation));
        for span in &reading.previews {
            let end = span.offset.checked_add(span.bytes).expect("within the numbers there are");
            assert!(end <= bytes.len() as u64, "within the file");
        }
        if let Some(place) = reading.shot.position {
            assert!(place.latitude_deg.abs() <= 90.0 && place.longitude_deg.abs() <= 180.0);
        }
    }
});

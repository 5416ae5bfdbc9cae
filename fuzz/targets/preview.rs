//! The preview of any bytes, found, decoded and measured, as a picture and as a raw.
#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    for name in ["a.jpg", "a.nef"] {
        if let Ok(spread) = import::measure_source(&bytes, name) {
            assert!(spread.level.is_finite() && spread.level >= 0.0);
            assert!((0.0..=255.0).contains(&spread.mean));
        }
    }
});

//! What any first bytes are taken for does not hang on what follows them.
#![no_main]

use import::Content;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let head = &bytes[..bytes.len().min(32)];
    assert_eq!(Content::of(bytes), Content::of(head));
    assert_eq!(Content::of(bytes) == Content::Empty, bytes.is_empty());
});

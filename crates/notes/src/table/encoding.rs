//! Bytes of a text file become text: UTF-8, UTF-16 with its mark, else Windows-1252.

use encoding_rs::{Encoding, UTF_8, WINDOWS_1252};

use crate::table::TableDoubt;
use crate::told::{Told, tell};

/// The text without its byte order mark, and the name of its encoding.
///
/// Windows-1252 gives a text for any bytes, so it comes last and is told; it holds Latin-1 as spreadsheets write it.
pub(super) fn decode(bytes: &[u8], told: &mut Vec<Told<TableDoubt>>) -> (String, &'static str) {
    let (encoding, mark) = match Encoding::for_bom(bytes) {
        Some(marked) => marked,
        None if std::str::from_utf8(bytes).is_ok() => (UTF_8, 0),
        None => {
            tell(told, TableDoubt::EncodingGuessed, 1, 1);
            (WINDOWS_1252, 0)
        }
    };
    let (text, replaced) = encoding.decode_without_bom_handling(&bytes[mark..]);
    if replaced {
        tell(told, TableDoubt::Characters, 1, 1);
    }
    (text.into_owned(), encoding.name())
}

//! Writes TIFF directories, little-endian, as Exif and DNG are built of.
//!
//! Layout after TIFF 6.0 §2: a count, 12-byte entries in tag order, the place of the next directory, then the values
//! that did not fit into an entry. Reads nothing.

/// A value of an entry.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Bytes(Vec<u8>),
    /// Text; the closing zero byte is added here.
    Text(String),
    Shorts(Vec<u16>),
    Longs(Vec<u32>),
    Rationals(Vec<[u32; 2]>),
    Undefined(Vec<u8>),
    SignedRationals(Vec<[i32; 2]>),
}

impl Value {
    /// Type number, count and bytes, as TIFF 6.0 §2 lists them.
    fn coded(&self) -> (u16, u32, Vec<u8>) {
        match self {
            Self::Bytes(bytes) => (1, bytes.len() as u32, bytes.clone()),
            Self::Text(text) => (2, text.len() as u32 + 1, [text.as_bytes(), &[0]].concat()),
            Self::Shorts(list) => (3, list.len() as u32, list.iter().flat_map(|x| x.to_le_bytes()).collect()),
            Self::Longs(list) => (4, list.len() as u32, list.iter().flat_map(|x| x.to_le_bytes()).collect()),
            Self::Rationals(list) => {
                (5, list.len() as u32, list.iter().flatten().flat_map(|x| x.to_le_bytes()).collect())
            }
            Self::Undefined(bytes) => (7, bytes.len() as u32, bytes.clone()),
            Self::SignedRationals(list) => {
                (10, list.len() as u32, list.iter().flatten().flat_map(|x| x.to_le_bytes()).collect())
            }
        }
    }
}

/// Header of a little-endian TIFF whose first directory follows at once.
pub(crate) const HEADER: [u8; 8] = [b'I', b'I', 42, 0, 8, 0, 0, 0];

/// A directory: tags with their values, in any order.
pub(crate) type Directory = Vec<(u16, Value)>;

/// Bytes a directory takes, with its outlying values.
pub(crate) fn size_bytes(directory: &Directory) -> u32 {
    let outlying: usize = directory
        .iter()
        .map(|(_, value)| value.coded().2.len())
        .filter(|length| *length > 4)
        .map(|length| length + length % 2)
        .sum();
    (2 + 12 * directory.len() + 4 + outlying) as u32
}

/// Writes a directory that will lie at `place` and is followed by the one at `next` (0: none).
pub(crate) fn written(directory: &Directory, place: u32, next: u32) -> Vec<u8> {
    let mut sorted: Vec<_> = directory.iter().collect();
    sorted.sort_by_key(|(tag, _)| *tag);
    let mut entries = (sorted.len() as u16).to_le_bytes().to_vec();
    let mut outlying = Vec::new();
    let outlying_place = place + 2 + 12 * sorted.len() as u32 + 4;
    for (tag, value) in sorted {
        let (kind, count, mut bytes) = value.coded();
        entries.extend(tag.to_le_bytes());
        entries.extend(kind.to_le_bytes());
        entries.extend(count.to_le_bytes());
        if bytes.len() <= 4 {
            bytes.resize(4, 0);
            entries.extend(bytes);
        } else {
            entries.extend((outlying_place + outlying.len() as u32).to_le_bytes());
            // Values begin at even places.
            bytes.resize(bytes.len() + bytes.len() % 2, 0);
            outlying.extend(bytes);
        }
    }
    entries.extend(next.to_le_bytes());
    entries.extend(outlying);
    entries
}

//! The outline of a JPEG file: its segments up to the picture data, and whether the data end as they should.
//!
//! Reads headers only; decodes nothing.

use std::io::{self, BufReader, Read, Seek, SeekFrom};

/// What stands before the picture data of a JPEG.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Outline {
    /// The TIFF stream of the first Exif segment.
    pub(crate) exif: Option<Vec<u8>>,
    /// Width and height from the frame header.
    pub(crate) size_px: Option<(u32, u32)>,
    /// Where the first scan starts, counted from the start of the file; `None` when the file ends before it.
    pub(crate) scan_at: Option<u64>,
}

/// Segments before the picture data: real files have some tens, so more means that this is no JPEG.
const MOST_SEGMENTS: usize = 2000;

/// Reads the outline of a JPEG that starts at `base`. What stands before the file ends, or before its
/// segments stop making sense, is given; the rest is absent.
///
/// # Errors
/// When reading fails for another reason than the end of the file.
pub(crate) fn outline<R: Read + Seek>(reader: &mut BufReader<R>, base: u64) -> io::Result<Outline> {
    let mut outline = Outline::default();
    reader.seek(SeekFrom::Start(base + 2))?;
    match segments(reader, &mut outline) {
        Err(e) if e.kind() != io::ErrorKind::UnexpectedEof => Err(e),
        _ => Ok(outline),
    }
}

fn segments<R: Read + Seek>(reader: &mut BufReader<R>, outline: &mut Outline) -> io::Result<()> {
    for _ in 0..MOST_SEGMENTS {
        let mut byte = [0u8; 1];
        // Any bytes may stand before a marker, and a marker may be led by more than one FF (ITU-T T.81 B.1.1.2).
        while byte[0] != 0xFF {
            reader.read_exact(&mut byte)?;
        }
        while byte[0] == 0xFF {
            reader.read_exact(&mut byte)?;
        }
        match byte[0] {
            // Markers without a length.
            0x00 | 0x01 | 0xD0..=0xD8 => continue,
            0xD9 => return Ok(()),
            _ => {}
        }
        let mut length = [0u8; 2];
        reader.read_exact(&mut length)?;
        let mut left = u16::from_be_bytes(length).saturating_sub(2);
        match byte[0] {
            0xDA => {
                reader.seek_relative(left.into())?;
                outline.scan_at = Some(reader.stream_position()?);
                return Ok(());
            }
            // Frame headers: C0..CF but DHT, JPG and DAC (ITU-T T.81 table B.1).
            0xC0..=0xCF if ![0xC4, 0xC8, 0xCC].contains(&byte[0]) && left >= 5 => {
                let mut header = [0u8; 5];
                reader.read_exact(&mut header)?;
                left -= 5;
                let side = |i| u32::from(u16::from_be_bytes([header[i], header[i + 1]]));
                outline.size_px = Some((side(3), side(1))).filter(|(w, h)| *w > 0 && *h > 0);
            }
            0xE1 if outline.exif.is_none() && left > 6 => {
                let mut mark = [0u8; 6];
                reader.read_exact(&mut mark)?;
                left -= 6;
                if &mark[..5] == b"Exif\0" {
                    let mut stream = Vec::with_capacity(left.into());
                    reader.by_ref().take(left.into()).read_to_end(&mut stream)?;
                    left = 0;
                    outline.exif = Some(stream);
                }
            }
            _ => {}
        }
        reader.seek_relative(left.into())?;
    }
    Ok(())
}

/// How much of a file's end is searched for the end mark. Cameras pad, and files with several pictures carry
/// more behind the first; each of those pictures ends with the same mark.
const SEARCHED_BYTES: u64 = 64 * 1024;

/// A first look that is enough for nearly every file.
const FIRST_LOOK_BYTES: u64 = 512;

/// Says whether a JPEG has its end mark (FF D9) somewhere after the start of its scan, near the end of the file.
///
/// # Errors
/// When reading fails.
pub(crate) fn ends_properly<R: Read + Seek>(reader: &mut R, scan_at: u64, bytes: u64) -> io::Result<bool> {
    for searched in [FIRST_LOOK_BYTES, SEARCHED_BYTES] {
        let from = bytes.saturating_sub(searched).max(scan_at);
        if from >= bytes {
            return Ok(false);
        }
        reader.seek(SeekFrom::Start(from))?;
        let mut tail = Vec::new();
        reader.by_ref().take(bytes - from).read_to_end(&mut tail)?;
        if tail.windows(2).any(|pair| pair == [0xFF, 0xD9]) {
            return Ok(true);
        }
    }
    Ok(false)
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use super::*;
    use crate::sample::Sample;

    fn of(bytes: &[u8]) -> Outline {
        outline(&mut BufReader::new(Cursor::new(bytes)), 0).unwrap()
    }

    #[test]
    fn outline_of_a_whole_file() {
        let bytes = Sample { width: 48, height: 32, ..Sample::default() }.jpeg();
        let outline = of(&bytes);
        assert_eq!(outline.size_px, Some((48, 32)));
        assert!(outline.exif.is_some_and(|e| e.starts_with(b"II*\0")));
        let scan_at = outline.scan_at.unwrap();
        let whole = bytes.len() as u64;
        assert!(ends_properly(&mut Cursor::new(&bytes), scan_at, whole).unwrap());
        let half = scan_at + (whole - scan_at) / 2;
        assert!(!ends_properly(&mut Cursor::new(&bytes[..half as usize]), scan_at, half).unwrap());
        let mut padded = bytes.clone();
        padded.resize(bytes.len() + 5000, 0);
        assert!(ends_properly(&mut Cursor::new(&padded), scan_at, padded.len() as u64).unwrap());
    }

    #[test]
    fn any_cut_gives_what_stands_before_it() {
        let bytes = Sample::default().jpeg();
        let whole = of(&bytes);
        for end in 0..bytes.len() {
            let cut = of(&bytes[..end]);
            assert!(cut.size_px.is_none() || cut.size_px == whole.size_px);
            assert!(cut.scan_at.is_none() || cut.scan_at == whole.scan_at);
        }
    }

    #[test]
    fn noise_is_no_outline() {
        let noise: Vec<u8> = (0..20_000u32).map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8).collect();
        assert_eq!(of(&noise).exif, None);
        assert_eq!(of(&vec![0xFF; 70_000]), Outline::default());
    }
}

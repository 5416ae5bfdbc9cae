//! Makers' raws, written by hand for tests in the layout each is known by, with no raw picture in them.

use crate::sample::{Entry, Sample, Stream, directory};

fn boxed(kind: [u8; 4], body: &[u8]) -> Vec<u8> {
    let mut out = (body.len() as u32 + 8).to_be_bytes().to_vec();
    out.extend(kind);
    out.extend(body);
    out
}

impl Sample {
    /// A raw of the TIFF family: a thumbnail in the second directory, `preview` as the only strip of one
    /// sub-directory and by its offset in another; in a third a lossless JPEG, as raws have, and in a fourth plain
    /// data. The raw picture is `width` × `height` px.
    pub(crate) fn raw_with_previews(&self, preview: &[u8], width: u32, height: u32) -> Vec<u8> {
        let mut stream = Stream::new();
        let mut exif = self.exif_entries();
        let mut main = self.main_entries();
        main.push(Entry::Long(0x8769, stream.put(&mut exif, 0)));
        let (small, bytes) = (self.thumbnail_jpeg(), preview.len() as u32);
        let mut subs = vec![];
        let at = stream.bytes(preview);
        subs.push(stream.put(&mut [Entry::Long(0x0111, at), Entry::Long(0x0117, bytes)], 0));
        let at = stream.bytes(preview);
        subs.push(stream.put(&mut [Entry::Long(0x0201, at), Entry::Long(0x0202, bytes)], 0));
        let at = stream.bytes(&[1; 999]);
        let mut raw = [Entry::Long(0x0100, width), Entry::Long(0x0101, height), Entry::Long(0x0111, at)];
        subs.push(stream.put(&mut [&raw[..], &[Entry::Long(0x0117, 999)]].concat(), 0));
        raw[2] = Entry::Short(0x0103, 7);
        subs.push(stream.put(&mut raw, 0));
        let list = stream.bytes(&subs.iter().flat_map(|at| at.to_le_bytes()).collect::<Vec<_>>());
        let at = stream.bytes(&small);
        let next = stream.put(&mut [Entry::Long(0x0201, at), Entry::Long(0x0202, small.len() as u32)], 0);
        main.push(Entry::Long(0x014A, list));
        let mut bytes = stream.finish(&mut main, next);
        // Four offsets instead of one.
        let entry = bytes.windows(4).rposition(|w| w == [0x4A, 0x01, 4, 0]).unwrap();
        bytes[entry + 4] = 4;
        bytes
    }

    /// A raw whose maker's note starts with `mark` and names `preview` in its camera settings or, in the oldest form,
    /// in itself. Offsets count from the note, or from the file's stream.
    pub(crate) fn orf(&self, preview: &[u8], mark: &[u8], from_note: bool) -> Vec<u8> {
        let mut stream = Stream::new();
        // The note is longer than four bytes, so it stands alone, right after the mark of the stream.
        let note_at = stream.bytes(&[]) as usize;
        let preview_bytes = preview.len() as u32;
        let base = if from_note { note_at } else { 0 };
        let main_at = note_at + mark.len();
        let mut note = mark.to_vec();
        if from_note {
            let settings_at = main_at + 18;
            let preview_at = (settings_at + 30 - base) as u32;
            note.extend(directory(&mut [Entry::Long(0x2020, (settings_at - base) as u32)], main_at, 0));
            let mut settings = [Entry::Long(0x0101, preview_at), Entry::Long(0x0102, preview_bytes)];
            note.extend(directory(&mut settings, settings_at, 0));
        } else {
            let preview_at = (main_at + 30) as u32;
            let mut main = [Entry::Long(0x0088, preview_at), Entry::Long(0x0089, preview_bytes)];
            note.extend(directory(&mut main, main_at, 0));
        }
        note.extend(preview);
        stream.bytes(&note);
        let mut exif = self.exif_entries();
        exif.push(Entry::Bytes(0x927C, vec![0; note.len()]));
        let exif_at = stream.put(&mut exif, 0);
        let mut main = self.main_entries();
        main.push(Entry::Long(0x8769, exif_at));
        let mut bytes = stream.finish(&mut main, 0);
        let entry = bytes.windows(4).rposition(|w| w == [0x7C, 0x92, 7, 0]).unwrap();
        bytes[entry + 8..entry + 12].copy_from_slice(&(note_at as u32).to_le_bytes());
        bytes[2..4].copy_from_slice(b"RO");
        bytes
    }

    /// A raw in boxes with a thumbnail and a preview.
    pub(crate) fn cr3(&self, thumbnail: &[u8], preview: &[u8]) -> Vec<u8> {
        let alone = |mut entries: Vec<Entry>| Stream::new().finish(&mut entries, 0);
        let long = |bytes: &[u8]| (bytes.len() as u32).to_be_bytes();
        let thmb = [&[0; 4], &[0, 160, 0, 120][..], &long(thumbnail), &[0; 4], thumbnail].concat();
        let prvw = [&[0; 4], &[0, 0, 2, 128, 1, 174, 0, 1][..], &long(preview), preview].concat();
        let inner = [
            b"maker's own name".to_vec(),
            boxed(*b"CNCV", b"version"),
            boxed(*b"CMT1", &alone(self.main_entries())),
            boxed(*b"CMT2", &alone(self.exif_entries())),
            boxed(*b"CMT4", &alone(self.gps_entries())),
            boxed(*b"THMB", &thmb),
        ]
        .concat();
        let outer =
            [b"another own name".to_vec(), vec![0, 0, 0, 0, 0, 0, 0, 1], boxed(*b"PRVW", &prvw)].concat();
        [
            boxed(*b"ftyp", b"crx \0\0\0\x01crx isom"),
            boxed(*b"moov", &boxed(*b"uuid", &inner)),
            boxed(*b"uuid", &outer),
            boxed(*b"mdat", &[5; 3000]),
        ]
        .concat()
    }
}

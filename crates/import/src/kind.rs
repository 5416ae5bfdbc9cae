//! What a file is: by its name, and by its first bytes.

use record::FileRole;

/// What a file's name says it is. The order is the order in which files of one frame are scored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Jpeg,
    Heif,
    Tiff,
    Png,
    WebP,
    Raw,
    Sound,
    Film,
    Sidecar,
    /// A picture format that is not read.
    OtherPicture,
    Other,
}

impl Kind {
    /// Tells the kind by the extension, case not distinguished.
    pub(crate) fn by_name(name: &str) -> Self {
        match extension(name).as_str() {
            "jpg" | "jpeg" | "jpe" => Self::Jpeg,
            "heic" | "heif" | "hif" => Self::Heif,
            "tif" | "tiff" => Self::Tiff,
            "png" => Self::Png,
            "webp" => Self::WebP,
            "dng" | "nef" | "nrw" | "cr2" | "cr3" | "crw" | "arw" | "sr2" | "srf" | "orf" | "rw2" | "rwl"
            | "raf" | "pef" | "srw" | "3fr" | "fff" | "iiq" | "kdc" | "dcr" | "erf" | "mef" | "mos"
            | "mrw" | "x3f" | "gpr" => Self::Raw,
            "wav" | "mp3" | "m4a" | "aac" => Self::Sound,
            "mov" | "mp4" | "m4v" | "avi" | "mts" | "m2ts" | "mpg" | "3gp" => Self::Film,
            "xmp" | "thm" => Self::Sidecar,
            "gif" | "bmp" | "psd" | "avif" | "jxl" | "jp2" | "svg" => Self::OtherPicture,
            _ => Self::Other,
        }
    }

    /// Whether such a file makes a frame by itself.
    pub(crate) fn leads(self) -> bool {
        self <= Self::Raw
    }

    /// The part it plays in its frame.
    pub(crate) fn role(self) -> FileRole {
        match self {
            Self::Jpeg | Self::Heif | Self::Tiff | Self::Png | Self::WebP => FileRole::Picture,
            Self::Raw => FileRole::Raw,
            Self::Sound => FileRole::Sound,
            Self::Film => FileRole::Film,
            Self::Sidecar | Self::OtherPicture | Self::Other => FileRole::Sidecar,
        }
    }

    /// Why such a file without a frame to travel with is left out.
    pub(crate) fn alone(self) -> &'static str {
        match self {
            Self::Sound => "a sound note without its picture",
            Self::Film => "a film without a picture of the same name; films are not frames",
            Self::Sidecar => "a sidecar without its picture",
            Self::OtherPicture => "a picture of a kind that is not read",
            _ => "not a picture",
        }
    }
}

/// The extension in lower case, without its dot; empty when there is none.
pub(crate) fn extension(name: &str) -> String {
    name.rsplit_once('.').map_or(String::new(), |(_, ext)| ext.to_ascii_lowercase())
}

/// What the first bytes of a file say it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Content {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
    /// WebP.
    WebP,
    /// TIFF itself and makers' raws that keep to it, also those that changed its mark.
    Tiff,
    /// HEIF with any coding, HEIC above all.
    Heif,
    /// A raw whose camera data stand in a JPEG inside (RAF).
    Raf,
    /// A raw in boxes (CR3).
    Boxed,
    /// No bytes at all.
    Empty,
    /// None of these.
    Unknown,
}

/// Major brands of HEIF files with pictures in HEVC, and the two that name no coding (ISO/IEC 23008-12, 10 and B.4).
const HEIF_BRANDS: [&[u8; 4]; 9] =
    [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"mif2", b"msf1"];

/// How many first bytes [`Content::of`] looks at.
pub(crate) const SNIFFED_BYTES: usize = 32;

impl Content {
    /// Tells the content by its first bytes.
    pub fn of(head: &[u8]) -> Self {
        let at = |from: usize, mark: &[u8]| head.get(from..from + mark.len()) == Some(mark);
        // TIFF 6.0; ORF writes RO or RS, RW2 U and a zero, in place of 42.
        let tiff = [b"II*\0", b"MM\0*", b"IIRO", b"IIRS", b"MMOR", b"IIU\0"];
        match head {
            [] => Self::Empty,
            [0xFF, 0xD8, 0xFF, ..] => Self::Jpeg,
            _ if at(0, b"\x89PNG\r\n\x1a\n") => Self::Png,
            _ if tiff.iter().any(|mark| at(0, *mark)) => Self::Tiff,
            _ if at(0, b"RIFF") && at(8, b"WEBP") => Self::WebP,
            _ if at(0, b"FUJIFILMCCD-RAW") => Self::Raf,
            _ if at(4, b"ftypcrx") => Self::Boxed,
            _ if at(4, b"ftyp") && HEIF_BRANDS.iter().any(|brand| at(8, *brand)) => Self::Heif,
            _ => Self::Unknown,
        }
    }

    /// The kind of file that holds such content, where the content alone says so.
    pub(crate) fn kind(self) -> Option<Kind> {
        match self {
            Self::Jpeg => Some(Kind::Jpeg),
            Self::Png => Some(Kind::Png),
            Self::WebP => Some(Kind::WebP),
            Self::Tiff => Some(Kind::Tiff),
            Self::Heif => Some(Kind::Heif),
            Self::Raf | Self::Boxed => Some(Kind::Raw),
            Self::Empty | Self::Unknown => None,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Jpeg => "a JPEG picture",
            Self::Png => "a PNG picture",
            Self::WebP => "a WebP picture",
            Self::Tiff => "a TIFF picture",
            Self::Heif => "a HEIC picture",
            Self::Raf | Self::Boxed => "a maker's raw file",
            Self::Empty => "empty",
            Self::Unknown => "something else",
        }
    }

    /// What is wrong when a file of this name holds this content; `None` when they agree.
    pub(crate) fn mismatch(self, name: &str) -> Option<String> {
        let named = Kind::by_name(name);
        match self {
            Self::Empty => Some("the file is empty".to_owned()),
            Self::Unknown if named == Kind::Raw => {
                Some("this kind of raw file is not read yet, or the file is damaged".to_owned())
            }
            Self::Unknown => Some("this is not a picture although its name says so".to_owned()),
            // Most raws are TIFF inside.
            Self::Tiff if named == Kind::Raw => None,
            _ if self.kind() == Some(named) => None,
            _ => match extension(name).as_str() {
                "" => Some(format!("its name does not say so, but it is {}", self.words())),
                ext => Some(format!("named .{ext} but is {}", self.words())),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_by_name() {
        for (name, kind) in [
            ("DSC_0001.JPG", Kind::Jpeg),
            ("a.b.jpeg", Kind::Jpeg),
            ("X.NEF", Kind::Raw),
            ("X.Cr3", Kind::Raw),
            ("note.wav", Kind::Sound),
            ("M.MTS", Kind::Film),
            ("X.THM", Kind::Sidecar),
            ("notes.txt", Kind::Other),
            ("JPG", Kind::Other),
            ("", Kind::Other),
        ] {
            assert_eq!(Kind::by_name(name), kind, "{name}");
        }
        assert!(Kind::Raw.leads() && !Kind::Sound.leads());
    }

    #[test]
    fn content_and_name_may_disagree() {
        let png = Content::of(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR");
        assert_eq!(png.mismatch("A.JPG").as_deref(), Some("named .jpg but is a PNG picture"));
        assert_eq!(png.mismatch("a.png"), None);
        assert_eq!(
            Content::of(b"\xFF\xD8\xFF\xE0").mismatch("a.nef").unwrap(),
            "named .nef but is a JPEG picture"
        );
        assert_eq!(Content::of(b"II*\0\x08\0\0\0").mismatch("a.nef"), None);
        assert_eq!(Content::of(b"IIRO\x08\0\0\0"), Content::Tiff);
        assert_eq!(Content::of(b"\0\0\0\x18ftypheic\0\0\0\0"), Content::Heif);
        assert_eq!(Content::of(b"\0\0\0\x18ftypcrx \0\0\0\0"), Content::Boxed);
        assert_eq!(Content::of(b"RIFF\x10\0\0\0WEBPVP8 "), Content::WebP);
        assert_eq!(Content::of(b"RIFF\x10\0\0\0WAVEfmt "), Content::Unknown);
        assert!(Content::of(b"day one\n").mismatch("a.jpg").unwrap().contains("not a picture"));
        assert!(Content::of(b"").mismatch("a.jpg").unwrap().contains("empty"));
        assert!(Content::of(b"\xFF\xD8\xFF\xE0").mismatch("scan").unwrap().contains("a JPEG picture"));
    }
}

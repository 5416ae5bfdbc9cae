//! One exposure and what was read of it.

use serde::{Deserialize, Serialize};

use crate::{Looks, Taken};

/// Names a frame within its session. Given once, in order of first reading; never reused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct FrameId(pub u32);

/// What a file of a frame is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FileRole {
    /// A picture that can be shown as it is: JPEG, HEIC, TIFF, PNG or WebP.
    Picture,
    /// A maker's raw file.
    Raw,
    /// A sound note.
    Sound,
    /// A film.
    Film,
    /// A sidecar or another file that travels with the frame.
    Sidecar,
}

/// One file of a frame.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FrameFile {
    /// Path relative to the card, with `/`.
    pub path: String,
    /// Size when read.
    pub bytes: u64,
    /// What it is.
    pub role: FileRole,
}

/// Where a frame's capture time came from, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum TimeSource {
    /// Exif `DateTimeOriginal`: the shutter.
    Original,
    /// Exif `DateTimeDigitized`.
    Digitized,
    /// Exif `DateTime`: when the file was last changed.
    Changed,
    /// The file's own modification time; on FAT in steps of two seconds and without a zone.
    File,
    /// No time at all.
    Absent,
}

impl TimeSource {
    /// Says in words what the time rests on.
    pub fn words(self) -> &'static str {
        match self {
            Self::Original => "capture time from the camera",
            Self::Digitized => "time of digitising, no capture time",
            Self::Changed => "time of last change, no capture time",
            Self::File => "file time only, no capture time in the picture",
            Self::Absent => "no time known",
        }
    }
}

/// One camera, told by make, model and serial.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Body {
    /// Maker, as Exif says it.
    pub make: String,
    /// Model, as Exif says it.
    pub model: String,
    /// Serial number of the body, empty when not recorded.
    pub serial: String,
}

/// A place by satellite, WGS 84 as cameras record it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Position {
    /// Degrees north, -90..=90.
    pub latitude_deg: f64,
    /// Degrees east, -180..=180.
    pub longitude_deg: f64,
    /// Metres above the sea, below it negative.
    #[serde(default)]
    pub altitude_m: Option<f64>,
}

/// How and where a frame was taken, as far as the camera recorded it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Shot {
    /// Exposure time in seconds, above 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exposure_secs: Option<f64>,
    /// F-number, above 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub f_number: Option<f64>,
    /// Photographic sensitivity (ISO), above 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub iso: Option<u32>,
    /// Focal length of the lens in millimetres, above 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub focal_length_mm: Option<f64>,
    /// The lens by model and serial number, as far as recorded; empty when neither is.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub lens: String,
    /// Distance focused at in metres, above 0; `None` also for one that is not finite.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub focus_distance_m: Option<f64>,
    /// Where.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
}

impl Shot {
    /// Whether nothing was recorded.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// How far luminance spreads over a frame's preview, in levels of 0..=255 luma.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    /// The one number by which blanks are told, worked out from the others: what the trace shows.
    pub level: f32,
    /// Standard deviation over the whole frame, light surface and grain taken off.
    pub frame: f32,
    /// The same in the strongest tile.
    pub tile: f32,
    /// Standard deviation of the grain that was taken off.
    pub grain: f32,
    /// Mean luma.
    pub mean: f32,
}

/// Whether a frame is a blank, as judged against its day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BlankVerdict {
    /// Probability that the frame is a blank, 0..=1.
    pub prob: f32,
    /// Why, in words without a full stop.
    pub reason: String,
}

impl BlankVerdict {
    /// Below this a frame is taken for a specimen without asking; the doubtful band starts here.
    pub const DOUBT_FROM: f32 = 0.1;
    /// Above this a frame is taken for a blank without asking; the doubtful band ends here.
    pub const DOUBT_TO: f32 = 0.9;

    /// Whether the frame counts as a blank: at one half and above.
    pub fn is_blank(&self) -> bool {
        self.prob >= 0.5
    }

    /// Whether the frame lies in the doubtful band, where a person is asked.
    pub fn is_doubtful(&self) -> bool {
        self.prob > Self::DOUBT_FROM && self.prob < Self::DOUBT_TO
    }

    /// The reason and the probability, as evidence: `even all over: spread 1.0, line 4.4. Chance of a blank: 99 %.`
    pub fn words(&self) -> String {
        format!("{}. Chance of a blank: {:.0} %.", self.reason, 100.0 * self.prob)
    }
}

/// What part a frame plays in the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FrameKind {
    /// Shows a specimen and belongs to a set.
    Specimen,
    /// Nothing on it; closes a set.
    Blank,
    /// A ruler, grey card or clock face.
    Reference,
    /// Kept and filed, but not used.
    SetAside,
}

impl FrameKind {
    /// The word used in files and on screens.
    pub fn word(self) -> &'static str {
        match self {
            Self::Specimen => "specimen",
            Self::Blank => "blank",
            Self::Reference => "reference",
            Self::SetAside => "set aside",
        }
    }
}

/// One exposure: its files, time, body, measures and faults.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Frame {
    /// Its name within the session.
    pub id: FrameId,
    /// All its files; the picture that was scored comes first. Never empty.
    pub files: Vec<FrameFile>,
    /// Files elsewhere on the card that hold the same bytes as one of its own: they are no frames, and nothing is lost
    /// without them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub copies: Vec<FrameFile>,
    /// When it was taken by its body's clock, uncorrected.
    pub taken: Option<Taken>,
    /// When it was taken by the day's common clock; worked out anew from the corrections of the bodies' clocks,
    /// never written into a file. `None` where that is [`Frame::taken`] itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Taken>,
    /// What that time rests on.
    pub time_source: TimeSource,
    /// The camera.
    #[serde(default)]
    pub body: Body,
    /// Exif orientation, 1..=8.
    pub orientation: u8,
    /// Width and height as stored, when known.
    pub size_px: Option<(u32, u32)>,
    /// Exposure and place. Texts of before it was read have none.
    #[serde(default, skip_serializing_if = "Shot::is_empty")]
    pub shot: Shot,
    /// Luminance measures of the preview; `None` when no preview could be had.
    pub spread: Option<Spread>,
    /// Whether it is a blank; `None` when it could not be judged.
    pub blank: Option<BlankVerdict>,
    /// What a closer look brought; `None` when none was taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub looks: Option<Looks>,
    /// Text of a QR code on a jar card or note in the picture, trimmed and not empty; `None` when none was read or
    /// looked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub jar_card: Option<String>,
    /// What is wrong with its files, in words; empty when nothing is.
    #[serde(default)]
    pub faults: Vec<String>,
}

impl Frame {
    /// A frame of these files, of which nothing else is known. `files` is not empty; the picture to be scored comes first.
    pub fn new(id: FrameId, files: Vec<FrameFile>) -> Self {
        Self {
            id,
            files,
            copies: Vec::new(),
            taken: None,
            at: None,
            time_source: TimeSource::Absent,
            body: Body::default(),
            orientation: 1,
            size_px: None,
            shot: Shot::default(),
            spread: None,
            blank: None,
            looks: None,
            jar_card: None,
            faults: Vec::new(),
        }
    }

    /// Whether its time is by its camera, however far down the ladder; not the file's own, and not absent.
    pub fn by_camera(&self) -> bool {
        self.taken.is_some() && self.time_source < TimeSource::File
    }

    /// When it was taken by the day's common clock: what order and pauses go by.
    pub fn when(&self) -> Option<Taken> {
        self.at.or(self.taken)
    }

    /// Path of the picture that was scored, relative to the card.
    pub fn path(&self) -> &str {
        &self.files[0].path
    }

    /// The last part of [`Frame::path`].
    pub fn file_name(&self) -> &str {
        self.path().rsplit('/').next().unwrap_or_default()
    }

    /// [`Frame::file_name`] without its extension.
    pub fn stem(&self) -> &str {
        let name = self.file_name();
        name.rsplit_once('.').map_or(name, |(stem, _)| stem)
    }

    /// Whether the frame can show anything: its picture could be read, or it has a raw file that may be.
    pub fn can_show(&self) -> bool {
        self.spread.is_some() || self.files.iter().any(|f| f.role == FileRole::Raw && f.bytes > 0)
    }

    /// All files on the card that hold this exposure: its own, and copies of them.
    pub fn places(&self) -> impl Iterator<Item = &FrameFile> {
        self.files.iter().chain(&self.copies)
    }

    /// Takes over what a closer look found at the same exposure: its looks, the text of a jar card, and its spread with
    /// the fault that says so where the picture was measured instead of a thumbnail that misled. Without one nothing.
    pub fn take_closer(&mut self, seen: Self) {
        if seen.looks.is_none() {
            return;
        }
        self.looks = seen.looks;
        self.jar_card = seen.jar_card;
        self.spread = seen.spread;
        let new = seen.faults.into_iter().filter(|fault| !self.faults.contains(fault)).collect::<Vec<_>>();
        self.faults.extend(new);
    }

    /// Whether `other` is the same exposure read again: at least one picture or raw, or a copy of it, by path in both,
    /// each of those of the same size, and the same capture time. One of its files may have come or gone in between. A
    /// time that is only a file's is not compared: it is worked out anew with every reading.
    pub fn same_exposure(&self, other: &Self) -> bool {
        let leads = |f: &&FrameFile| matches!(f.role, FileRole::Picture | FileRole::Raw);
        let mut shared = self.places().filter(leads).filter_map(|own| {
            let same = other.places().find(|f| f.path == own.path)?;
            Some(same.bytes == own.bytes)
        });
        shared.next().is_some_and(|first| first && shared.all(|same| same))
            && (self.taken == other.taken || !self.by_camera() && !other.by_camera())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frame_text_of_before_exposure_was_read_still_reads() {
        let mut frame = crate::edit::tests::day(1).frames.remove(0);
        let old = ron::to_string(&frame).unwrap();
        assert!(!old.contains("shot"), "{old}");
        assert_eq!(ron::from_str::<Frame>(&old).unwrap(), frame);
        let position = Position { latitude_deg: 52.2005, longitude_deg: -0.125, altitude_m: None };
        frame.shot = Shot { exposure_secs: Some(0.008), position: Some(position), ..Shot::default() };
        let text = ron::to_string(&frame).unwrap();
        assert!(text.contains("exposure_secs:Some(0.008)") && !text.contains("f_number"), "{text}");
        assert_eq!(ron::from_str::<Frame>(&text).unwrap(), frame);
    }
}

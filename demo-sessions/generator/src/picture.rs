//! One shot becomes one picture: animal, camera place, ground, focus, grain; and from that the JPEG with its thumbnail.
//!
//! The drawn scene is upright; a camera held upright still stores a landscape picture, so such a scene is turned at the end.

use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;

use crate::canvas::{Canvas, Spot};
use crate::maths::V3;
use crate::paper::{Ground, cast_on_itself, cast_shadow, developed, ground};
use crate::random::Random;
use crate::scene::{Camera, Scene};
use crate::script::{Animals, Script, Shot, Subject, Trouble};
use crate::softness::{blurred_spots, focused};
use crate::{bee, beetle, exif};

/// Width and height of the stored pictures of the cards.
pub const STORED_PX: [usize; 2] = [1200, 800];
/// Size of the Exif thumbnail, fixed by DCF.
const THUMBNAIL_PX: [usize; 2] = [160, 120];
/// Rows of a 3 : 2 picture in it; seven black rows above and seven below make it 4 : 3.
const THUMBNAIL_ROWS: usize = 106;
const QUALITY: u8 = 83;
const THUMBNAIL_QUALITY: u8 = 78;

/// A picture of bytes: red, green, blue, row by row from the top left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Picture {
    pub(crate) width_px: usize,
    pub(crate) height_px: usize,
    pub(crate) rgb: Vec<u8>,
}

/// An animal set up before the camera.
pub(crate) struct View {
    pub(crate) scene: Scene,
    pub(crate) camera: Camera,
    /// Depth of the plane in focus, in body units from the camera's target.
    pub(crate) focus: f32,
}

/// Draws the shot with the given index, `stored_px` wide and high as stored.
pub(crate) fn draw(script: &Script, index: usize, stored_px: [usize; 2]) -> Picture {
    let shot = &script.shots[index];
    let [width_px, height_px] = if shot.portrait { [stored_px[1], stored_px[0]] } else { stored_px };
    let mut random = Random::new(&[script.animals as u64, index as u64, 77]);
    let sheet = sheet_of(script.animals, &mut random);
    let mut light = ground(&sheet, width_px, height_px);
    if let Subject::Animal { number, view } = shot.subject {
        let size_px = [width_px as f32, height_px as f32];
        let view = match script.animals {
            Animals::BumbleBees => bee::set_up(number, view, size_px, &mut random),
            Animals::Beetles => beetle::set_up(number, view, size_px, &mut random),
        };
        let spots = seen(&view, shot, [width_px, height_px]);
        cast_shadow(&mut light, &spots, width_px);
        for (under, spot) in light.iter_mut().zip(&spots) {
            *under = *under * (1.0 - spot.cover) + spot.colour;
        }
    }
    let rgb = developed(&light, &sheet, width_px, &mut random);
    let picture = Picture { width_px, height_px, rgb };
    if shot.portrait { picture.turned_for_orientation_6() } else { picture }
}

/// The animal alone, as sharp as the lens shows it.
fn seen(view: &View, shot: &Shot, size_px: [usize; 2]) -> Vec<Spot> {
    let mut canvas = Canvas::new(size_px[0], size_px[1]);
    view.scene.draw(&view.camera, &mut canvas);
    let short_px = size_px[0].min(size_px[1]) as f32;
    // The farther in the camera goes, the shallower its focus.
    let mut sharp = canvas.pixels();
    cast_on_itself(&mut sharp, size_px[0], view.camera.scale_px);
    let spots = focused(&sharp, size_px[0], view.focus, view.camera.scale_px * 0.018);
    if shot.trouble == Some(Trouble::OutOfFocus) {
        return blurred_spots(&spots, size_px[0], short_px * 0.024);
    }
    spots
}

fn sheet_of(animals: Animals, random: &mut Random) -> Ground {
    let (colour, grain) = match animals {
        Animals::BumbleBees => (V3(0.945, 0.925, 0.880), 0.0115),
        Animals::Beetles => (V3(0.770, 0.785, 0.790), 0.0085),
    };
    Ground {
        colour,
        exposure: random.between(0.975, 1.02),
        fibre: 0.022,
        grain: grain * random.between(0.9, 1.15),
        sheet: animals as u64 + 400,
        nudge: [random.between(-0.01, 0.01), random.between(-0.01, 0.01)],
    }
}

impl Picture {
    /// Stores an upright scene as a camera held upright does: shown turned a quarter clockwise, it is upright again.
    fn turned_for_orientation_6(&self) -> Self {
        let mut rgb = Vec::with_capacity(self.rgb.len());
        for row in 0..self.width_px {
            // Exif 2.32: with 6, stored row 0 is the right side of the scene and stored column 0 its top.
            let scene_x = self.width_px - 1 - row;
            for scene_y in 0..self.height_px {
                let at = (scene_y * self.width_px + scene_x) * 3;
                rgb.extend(&self.rgb[at..at + 3]);
            }
        }
        Self { width_px: self.height_px, height_px: self.width_px, rgb }
    }

    /// The picture made smaller: each pixel is the mean of those it covers.
    pub(crate) fn reduced(&self, width_px: usize, height_px: usize) -> Self {
        let mut rgb = Vec::with_capacity(width_px * height_px * 3);
        for row in 0..height_px {
            let rows = row * self.height_px / height_px..(row + 1) * self.height_px / height_px;
            for column in 0..width_px {
                let columns = column * self.width_px / width_px..(column + 1) * self.width_px / width_px;
                let mut sums = [0_usize; 3];
                for y in rows.clone() {
                    for x in columns.clone() {
                        let at = (y * self.width_px + x) * 3;
                        for (sum, value) in sums.iter_mut().zip(&self.rgb[at..at + 3]) {
                            *sum += usize::from(*value);
                        }
                    }
                }
                let count = rows.len() * columns.len();
                rgb.extend(sums.map(|sum| ((sum + count / 2) / count) as u8));
            }
        }
        Self { width_px, height_px, rgb }
    }

    /// The picture with black rows above and below, as a thumbnail of fixed shape needs.
    fn padded(mut self, height_px: usize) -> Self {
        let above = vec![0; (height_px - self.height_px) / 2 * self.width_px * 3];
        self.rgb.splice(0..0, above);
        self.rgb.resize(height_px * self.width_px * 3, 0);
        Self { height_px, ..self }
    }

    fn jpeg(&self, quality: u8) -> Result<Vec<u8>, image::ImageError> {
        let mut bytes = Vec::new();
        JpegEncoder::new_with_quality(&mut bytes, quality).encode(
            &self.rgb,
            self.width_px as u32,
            self.height_px as u32,
            ExtendedColorType::Rgb8,
        )?;
        Ok(bytes)
    }

    /// The whole file of a shot, Exif and thumbnail included; cut short if the script says so.
    pub(crate) fn file(&self, script: &Script, shot: &Shot) -> Result<Vec<u8>, image::ImageError> {
        let thumbnail = self.reduced(THUMBNAIL_PX[0], THUMBNAIL_ROWS).padded(THUMBNAIL_PX[1]);
        let thumbnail = without_app0(&thumbnail.jpeg(THUMBNAIL_QUALITY)?);
        let size_px = [self.width_px as u32, self.height_px as u32];
        let segment = exif::segment(script, shot, size_px, &thumbnail);
        let plain = without_app0(&self.jpeg(QUALITY)?);
        let mut file = [&plain[..2], &segment, &plain[2..]].concat();
        if shot.trouble == Some(Trouble::CutShort) {
            file.truncate(file.len() * 3 / 5);
        }
        Ok(file)
    }
}

/// Takes out the JFIF segment that the encoder puts behind the start marker: Exif takes its place.
fn without_app0(jpeg: &[u8]) -> Vec<u8> {
    if jpeg.get(2..4) != Some(&[0xFF, 0xE0]) {
        return jpeg.to_vec();
    }
    let length = usize::from(u16::from_be_bytes([jpeg[4], jpeg[5]]));
    [&jpeg[..2], &jpeg[4 + length..]].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture one pixel a letter, told by the red value.
    fn letters(width_px: usize, rows: &str) -> Picture {
        let rgb: Vec<u8> = rows.bytes().flat_map(|letter| [letter, 0, 0]).collect();
        Picture { width_px, height_px: rows.len() / width_px, rgb }
    }

    #[test]
    fn an_upright_scene_is_stored_so_that_orientation_6_shows_it_upright() {
        // Stored AB/CD/EF is shown as ECA/FDB under orientation 6.
        assert_eq!(letters(3, "ECAFDB").turned_for_orientation_6(), letters(2, "ABCDEF"));
    }

    #[test]
    fn a_thumbnail_is_padded_evenly() {
        let padded = letters(1, "A").padded(3);
        assert_eq!(padded.rgb, [0, 0, 0, b'A', 0, 0, 0, 0, 0]);
    }

    #[test]
    fn drawing_twice_gives_the_same_bytes() {
        let script = crate::salt_marsh_bank();
        let file = || draw(&script, 2, [240, 160]).file(&script, &script.shots[2]).unwrap();
        assert_eq!(file(), file());
    }
}

//! Where the camera stands for a view, and how it is a little off each time.
//!
//! In: a perfect stand and chance. Out: a camera. Bees and beetles share it.

use crate::maths::{V3, turned};
use crate::random::Random;
use crate::scene::Camera;

/// A camera place for one view of an animal of ordinary size in a perfect pose.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stand {
    /// From the animal to the camera.
    pub(crate) toward: V3,
    /// About up in the picture.
    pub(crate) up: V3,
    /// The point in the middle of the picture.
    pub(crate) target: V3,
    /// The point in focus.
    pub(crate) sharp: V3,
    /// Body units along the shorter side of the picture.
    pub(crate) field: f32,
}

impl Stand {
    /// The camera of one frame, turned a little, as no two animals ever lie the same way.
    /// `quarter` turns the picture a quarter round; `size` is the animal's against an ordinary one.
    pub(crate) fn camera(&self, quarter: bool, size: f32, size_px: [f32; 2], random: &mut Random) -> Camera {
        let quarter = if quarter { std::f32::consts::FRAC_PI_2 } else { 0.0 };
        let roll = quarter + 0.11 * random.bell().clamp(-1.6, 1.6);
        let (yaw, pitch) = (0.07 * random.bell(), 0.06 * random.bell());
        let toward = self.toward.unit();
        let right = self.up.cross(toward).unit();
        let up = toward.cross(right);
        let (toward, right) = (turned(toward, right, yaw), turned(right, toward * -1.0, yaw));
        let (toward, up) = (turned(toward, up, pitch), turned(up, toward * -1.0, pitch));
        let (right, up) = (turned(right, up, roll), turned(up, right * -1.0, roll));
        let aside = right * random.between(-0.05, 0.05) + up * random.between(-0.04, 0.04);
        let short_px = size_px[0].min(size_px[1]);
        Camera {
            target: self.target + aside * self.field,
            right,
            up,
            toward,
            scale_px: short_px / self.field * size * random.between(0.95, 1.05),
            middle_px: [size_px[0] / 2.0, size_px[1] / 2.0],
        }
    }
}

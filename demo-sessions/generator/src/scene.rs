//! Skins, hair and wing veins seen by a camera: turns an animal in space into pixels.
//!
//! The camera sees without perspective, as a long lens at a distance nearly does. The lamp stands up and left of the
//! camera whatever the view, as on a copy stand.

use crate::canvas::{Canvas, Corner};
use crate::hair::Hair;
use crate::maths::{V3, sharpened};
use crate::surface::Surface;

/// Everything of one animal, in body space.
#[derive(Debug, Clone, Default)]
pub(crate) struct Scene {
    pub(crate) surfaces: Vec<Surface>,
    pub(crate) hairs: Vec<Hair>,
    /// Veins: rows of points with a half-opaque dark line through them.
    pub(crate) veins: Vec<Vec<V3>>,
}

/// Where the camera is and what it looks at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Camera {
    /// The point shown in the middle of the picture.
    pub(crate) target: V3,
    pub(crate) right: V3,
    pub(crate) up: V3,
    /// From the animal towards the camera.
    pub(crate) toward: V3,
    /// Pixels a body unit takes.
    pub(crate) scale_px: f32,
    /// The middle of the picture.
    pub(crate) middle_px: [f32; 2],
}

impl Camera {
    fn see(&self, point: V3, colour: V3) -> Corner {
        let from = point - self.target;
        Corner {
            x_px: self.middle_px[0] + from.dot(self.right) * self.scale_px,
            y_px: self.middle_px[1] - from.dot(self.up) * self.scale_px,
            depth: from.dot(self.toward),
            colour,
        }
    }

    fn lamp(&self) -> V3 {
        (self.right * -0.42 + self.up * 0.55 + self.toward * 0.75).unit()
    }
}

impl Scene {
    /// Draws all of it: solid skins, then hair, then what shines through.
    pub(crate) fn draw(&self, camera: &Camera, canvas: &mut Canvas) {
        for surface in self.surfaces.iter().filter(|surface| surface.cover >= 1.0) {
            draw_surface(surface, camera, canvas);
        }
        for hair in &self.hairs {
            draw_hair(hair, camera, canvas);
        }
        for surface in self.surfaces.iter().filter(|surface| surface.cover < 1.0) {
            draw_surface(surface, camera, canvas);
        }
        for vein in &self.veins {
            for pair in vein.windows(2) {
                let dark = V3(0.20, 0.13, 0.07);
                let width_px = 0.011 * camera.scale_px;
                let lifted = camera.toward * 0.004;
                let (from, to) = (camera.see(pair[0] + lifted, dark), camera.see(pair[1] + lifted, dark));
                canvas.stroke(from, to, [width_px; 2], 0.75);
            }
        }
    }
}

fn draw_surface(surface: &Surface, camera: &Camera, canvas: &mut Canvas) {
    let corners: Vec<Corner> = (0..surface.points.len())
        .map(|k| {
            let normal = surface.normals[k];
            let away = surface.sheet && normal.dot(camera.toward) < 0.0;
            let normal = if away { normal * -1.0 } else { normal };
            camera.see(surface.points[k], lit(normal, surface.colours[k], surface, camera))
        })
        .collect();
    let columns = surface.across + 1;
    for row in 0..surface.along {
        for column in 0..surface.across {
            let at = |down: usize, right: usize| corners[(row + down) * columns + column + right];
            canvas.triangle([at(0, 0), at(1, 0), at(0, 1)], surface.cover);
            canvas.triangle([at(1, 0), at(1, 1), at(0, 1)], surface.cover);
        }
    }
}

/// The colour of a skin under the lamp: some light from everywhere, more from the lamp, and a highlight if it shines.
fn lit(normal: V3, colour: V3, surface: &Surface, camera: &Camera) -> V3 {
    let lamp = camera.lamp();
    let halfway = (lamp + camera.toward).unit();
    let facing = normal.dot(camera.toward).max(0.0);
    let light = 0.46 + 0.66 * normal.dot(lamp).max(0.0);
    let highlight = sharpened(normal.dot(halfway), 6) * 0.85 + sharpened(normal.dot(halfway), 3) * 0.18;
    // Polished skins mirror the pale room at a glancing angle.
    let glance = sharpened(1.0 - facing, 2) * 0.22;
    let colour = surface.sheen.map_or(colour, |sheen| colour.mix(sheen, 1.0 - facing));
    let white = surface.gloss * (highlight + glance);
    colour * light + V3(white, white, white * 0.97)
}

fn draw_hair(hair: &Hair, camera: &Camera, canvas: &mut Canvas) {
    if hair.normal.dot(camera.toward) < -0.35 {
        return;
    }
    let lean = (hair.normal + (hair.tip - hair.root).unit() * 0.5).unit();
    let light = 0.52 + 0.68 * lean.dot(camera.lamp()).max(0.0);
    let width_px = (hair.width * camera.scale_px).max(0.9);
    // Three pieces of a curve; the root lies in the shade of its neighbours, the tip stands in the light.
    let at = |share: f32| {
        let (first, second) = (hair.root.mix(hair.bend, share), hair.bend.mix(hair.tip, share));
        camera.see(first.mix(second, share), hair.colour * (light * (0.42 + 0.68 * share)))
    };
    for piece in 0..3_u8 {
        let (start, end) = (f32::from(piece) / 3.0, f32::from(piece + 1) / 3.0);
        let taper = |share: f32| width_px * (1.0 - 0.75 * share * share);
        canvas.stroke(at(start), at(end), [taper(start), taper(end)], 1.0);
    }
}

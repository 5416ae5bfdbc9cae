//! The ground under the animals: warm paper with faint fibres, uneven light, and the animal's shadow on it.
//!
//! Colours are coded values 0..=1. Also the camera's part after the light has fallen: darker corners and grain.

use crate::canvas::Spot;
use crate::maths::{V3, ramp, sine};
use crate::random::Random;
use crate::softness::blurred;

/// How the ground of one frame is.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ground {
    pub(crate) colour: V3,
    /// Exposure of this frame, about 1.
    pub(crate) exposure: f32,
    /// Strength of the fibres, in coded values.
    pub(crate) fibre: f32,
    /// Standard deviation of the grain, in coded values.
    pub(crate) grain: f32,
    /// Seed of the sheet: the same sheet lies there all day.
    pub(crate) sheet: u64,
    /// How far the sheet was nudged since the first frame, as a share of the picture's shorter side.
    pub(crate) nudge: [f32; 2],
}

/// The bare ground, row by row.
pub(crate) fn ground(of: &Ground, width_px: usize, height_px: usize) -> Vec<V3> {
    let short_px = width_px.min(height_px) as f32;
    let mut texture = vec![0.0; width_px * height_px];
    lay_fibres(&mut texture, width_px, of);
    let texture = blurred(&texture, width_px, short_px / 1200.0);
    (0..width_px * height_px)
        .map(|k| {
            let (x, y) = ((k % width_px) as f32 / short_px, (k / width_px) as f32 / short_px);
            // Slow waves: the sheet is not flat, and the lamp stands to the upper left.
            let waves = 0.010 * sine(x * 2.3 + y * 1.1 + 0.7) + 0.007 * sine(y * 3.1 - x * 1.7 + 2.0);
            let light = 1.0 + waves - 0.030 * x - 0.022 * y;
            of.colour * light + V3(1.0, 0.97, 0.9) * texture[k]
        })
        .collect()
}

/// Draws some hundred faint curved fibres, lighter and darker than the sheet.
fn lay_fibres(texture: &mut [f32], width_px: usize, of: &Ground) {
    let height_px = texture.len() / width_px;
    let short_px = width_px.min(height_px) as f32;
    let mut random = Random::new(&[of.sheet]);
    for _ in 0..900 {
        let mut x = (random.between(-0.1, 1.6) + of.nudge[0]) * short_px;
        let mut y = (random.between(-0.1, 1.6) + of.nudge[1]) * short_px;
        let mut heading = random.between(0.0, std::f32::consts::TAU);
        let bend = random.between(-0.02, 0.02) * 800.0 / short_px;
        let tone = of.fibre * random.bell();
        for _ in 0..(random.between(0.02, 0.09) * short_px) as usize {
            if x >= 0.0 && y >= 0.0 && (x as usize) < width_px && (y as usize) < height_px {
                texture[y as usize * width_px + x as usize] += tone;
            }
            x += crate::maths::cosine(heading);
            y += sine(heading);
            heading += bend;
        }
    }
}

/// Darkens the ground where the animal keeps the light away: a tight shadow where it touches, a wide one around.
pub(crate) fn cast_shadow(ground: &mut [V3], spots: &[Spot], width_px: usize) {
    let short_px = width_px.min(spots.len() / width_px) as f32;
    let cover: Vec<f32> = spots.iter().map(|spot| spot.cover).collect();
    for (sigma, right, down, depth) in [(0.014, 0.010, 0.014, 0.40), (0.055, 0.028, 0.038, 0.34)] {
        let shade = blurred(&cover, width_px, sigma * short_px);
        let shift = [(right * short_px) as usize, (down * short_px) as usize];
        for (k, colour) in ground.iter_mut().enumerate() {
            let (x, y) = (k % width_px, k / width_px);
            let from = y.saturating_sub(shift[1]) * width_px + x.saturating_sub(shift[0]);
            let dark = depth * ramp(0.0, 1.0, shade[from]);
            // Shade is a little bluer than the lamp.
            *colour =
                V3(colour.0 * (1.0 - dark), colour.1 * (1.0 - 0.98 * dark), colour.2 * (1.0 - 0.93 * dark));
        }
    }
}

/// Darkens parts of the animal that lie behind nearer parts up and left of them: a leg's shadow on the body, the body's on
/// its card. `scale_px` is what a body unit takes.
pub(crate) fn cast_on_itself(spots: &mut [Spot], width_px: usize, scale_px: f32) {
    let sigma_px = scale_px * 0.045;
    let cover: Vec<f32> = spots.iter().map(|spot| spot.cover).collect();
    let depth: Vec<f32> = spots.iter().map(|spot| spot.cover * spot.depth).collect();
    let (cover, depth) = (blurred(&cover, width_px, sigma_px), blurred(&depth, width_px, sigma_px));
    let shift = [(scale_px * 0.030) as usize, (scale_px * 0.040) as usize];
    for (k, spot) in spots.iter_mut().enumerate() {
        let (x, y) = (k % width_px, k / width_px);
        let from = y.saturating_sub(shift[1]) * width_px + x.saturating_sub(shift[0]);
        if cover[from] > 0.05 {
            let nearer = depth[from] / cover[from] - spot.depth;
            spot.colour = spot.colour * (1.0 - 0.50 * ramp(0.02, 0.40, nearer) * cover[from].min(1.0));
        }
    }
}

/// Develops the picture: corners fall off, grain falls on, and values become bytes.
pub(crate) fn developed(light: &[V3], of: &Ground, width_px: usize, random: &mut Random) -> Vec<u8> {
    let height_px = light.len() / width_px;
    let (half_x, half_y) = (width_px as f32 / 2.0, height_px as f32 / 2.0);
    let corner = half_x * half_x + half_y * half_y;
    let mut bytes = Vec::with_capacity(light.len() * 3);
    for (k, colour) in light.iter().enumerate() {
        let (x, y) = ((k % width_px) as f32 - half_x, (k / width_px) as f32 - half_y);
        let fallen = (x * x + y * y) / corner;
        let lens = of.exposure * (1.0 - 0.07 * fallen - 0.06 * fallen * fallen);
        let grain = of.grain * random.bell();
        let tint = of.grain * 0.2 * random.bell();
        for (value, tint) in [(colour.0, tint), (colour.1, 0.0), (colour.2, -tint)] {
            bytes.push(((value * lens + grain + tint) * 255.0 + 0.5).clamp(0.0, 255.0) as u8);
        }
    }
    bytes
}

//! A picture of the animal alone, with depth: triangles and strokes go in, nearest wins.
//!
//! Drawn at twice the size in each direction and averaged down, which smooths every edge alike. Knows nothing of
//! animals, paper or light.

use std::ops::Range;

use crate::maths::V3;

/// How many samples a side each pixel is made of.
const SAMPLES: usize = 2;

/// One sample or pixel: colour multiplied by cover, cover 0..=1, and depth (larger is nearer).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Spot {
    pub(crate) colour: V3,
    pub(crate) cover: f32,
    pub(crate) depth: f32,
}

/// What a sample is before anything was drawn on it.
const BARE: Spot = Spot { colour: V3(0.0, 0.0, 0.0), cover: 0.0, depth: -1e9 };

/// A corner of a triangle: place in pixels from the top left, depth and colour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    pub(crate) x_px: f32,
    pub(crate) y_px: f32,
    pub(crate) depth: f32,
    pub(crate) colour: V3,
}

/// A canvas of `width_px` × `height_px` pixels.
#[derive(Debug, Clone)]
pub(crate) struct Canvas {
    pub(crate) width_px: usize,
    pub(crate) height_px: usize,
    samples: Vec<Spot>,
}

impl Canvas {
    pub(crate) fn new(width_px: usize, height_px: usize) -> Self {
        Self { width_px, height_px, samples: vec![BARE; width_px * height_px * SAMPLES * SAMPLES] }
    }

    /// Draws a triangle. One that covers fully (`cover` 1) hides what is behind it; a thinner one tints it.
    pub(crate) fn triangle(&mut self, corners: [Corner; 3], cover: f32) {
        let scale = SAMPLES as f32;
        let corners = corners.map(|k| Corner { x_px: k.x_px * scale, y_px: k.y_px * scale, ..k });
        let Some(shares) = shares(&corners) else { return };
        let row_samples = self.width_px * SAMPLES;
        let columns = span(corners.map(|k| k.x_px), row_samples);
        for row in span(corners.map(|k| k.y_px), self.height_px * SAMPLES) {
            let middle_y = row as f32 + 0.5;
            for column in narrowed(&columns, &shares, middle_y) {
                let share = shares.map(|slope| slope.at(column as f32 + 0.5, middle_y));
                if share.iter().all(|part| *part >= 0.0) {
                    put(&mut self.samples[row * row_samples + column], &corners, share, cover);
                }
            }
        }
    }

    /// Draws a straight stroke that may taper, as two triangles.
    pub(crate) fn stroke(&mut self, from: Corner, to: Corner, widths_px: [f32; 2], cover: f32) {
        let (along_x, along_y) = (to.x_px - from.x_px, to.y_px - from.y_px);
        let length = (along_x * along_x + along_y * along_y).sqrt();
        if length < 1e-4 {
            return;
        }
        let beside = |k: Corner, width_px: f32| Corner {
            x_px: k.x_px - along_y / length * width_px * 0.5,
            y_px: k.y_px + along_x / length * width_px * 0.5,
            ..k
        };
        let start = [beside(from, widths_px[0]), beside(from, -widths_px[0])];
        let end = [beside(to, widths_px[1]), beside(to, -widths_px[1])];
        self.triangle([start[0], start[1], end[0]], cover);
        self.triangle([start[1], end[1], end[0]], cover);
    }

    /// Averages the samples into pixels, row by row from the top left.
    pub(crate) fn pixels(&self) -> Vec<Spot> {
        let mut pixels = Vec::with_capacity(self.width_px * self.height_px);
        for row in 0..self.height_px {
            for column in 0..self.width_px {
                pixels.push(self.pixel(row, column));
            }
        }
        pixels
    }

    fn pixel(&self, row: usize, column: usize) -> Spot {
        let share = 1.0 / (SAMPLES * SAMPLES) as f32;
        let mut sum = Spot { depth: 0.0, ..BARE };
        for index in 0..SAMPLES * SAMPLES {
            let (y, x) = (row * SAMPLES + index / SAMPLES, column * SAMPLES + index % SAMPLES);
            let spot = self.samples[y * self.width_px * SAMPLES + x];
            sum.colour = sum.colour + spot.colour * share;
            sum.cover += spot.cover * share;
            if spot.cover > 0.0 {
                sum.depth += spot.depth * spot.cover * share;
            }
        }
        let depth = if sum.cover > 0.0 { sum.depth / sum.cover } else { 0.0 };
        Spot { depth, ..sum }
    }
}

/// A value that changes evenly over the picture.
#[derive(Debug, Clone, Copy)]
struct Slope {
    start: f32,
    per_column: f32,
    per_row: f32,
}

impl Slope {
    fn at(self, x: f32, y: f32) -> f32 {
        self.start + self.per_column * x + self.per_row * y
    }
}

/// How much of each corner is in a place: 1 at the corner, 0 on the side across. None for a triangle without area.
fn shares(corners: &[Corner; 3]) -> Option<[Slope; 3]> {
    let [first, second, third] = corners;
    let area = (second.x_px - first.x_px) * (third.y_px - first.y_px)
        - (third.x_px - first.x_px) * (second.y_px - first.y_px);
    if area.abs() < 1e-6 {
        return None;
    }
    Some([(second, third), (third, first), (first, second)].map(|(from, to)| {
        let per_column = (from.y_px - to.y_px) / area;
        let per_row = (to.x_px - from.x_px) / area;
        Slope { start: -(per_column * from.x_px + per_row * from.y_px), per_column, per_row }
    }))
}

/// The part of a row in which no share can be negative, a sample wider on both sides.
fn narrowed(columns: &Range<usize>, shares: &[Slope; 3], middle_y: f32) -> Range<usize> {
    let (mut first, mut end) = (columns.start as f32, columns.end as f32);
    for slope in shares {
        let crossing = -(slope.start + slope.per_row * middle_y) / slope.per_column;
        if slope.per_column > 1e-9 {
            first = first.max(crossing - 1.5);
        } else if slope.per_column < -1e-9 {
            end = end.min(crossing + 1.5);
        }
    }
    first as usize..(end.max(0.0) as usize).min(columns.end)
}

/// Lays a triangle's colour on a sample unless something nearer is there.
fn put(spot: &mut Spot, corners: &[Corner; 3], share: [f32; 3], cover: f32) {
    let [first, second, third] = corners;
    let depth = first.depth * share[0] + second.depth * share[1] + third.depth * share[2];
    if depth <= spot.depth {
        return;
    }
    let colour = first.colour * share[0] + second.colour * share[1] + third.colour * share[2];
    let bare_behind = spot.cover < 0.01;
    spot.colour = spot.colour * (1.0 - cover) + colour * cover;
    spot.cover = spot.cover * (1.0 - cover) + cover;
    // What shines through keeps the depth of what is behind it, if anything is.
    if cover > 0.99 || bare_behind {
        spot.depth = depth;
    }
}

/// The samples whose middles lie between the least and the greatest of three places, kept inside `0..limit`.
fn span(places: [f32; 3], limit: usize) -> Range<usize> {
    let least = places[0].min(places[1]).min(places[2]);
    let greatest = places[0].max(places[1]).max(places[2]);
    let first = (least - 0.5).ceil().max(0.0) as usize;
    let end = (greatest + 0.5).floor().clamp(0.0, limit as f32) as usize;
    first.min(end)..end
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(canvas: &mut Canvas, depth: f32, colour: V3) {
        let at = |x_px, y_px| Corner { x_px, y_px, depth, colour };
        canvas.triangle([at(0.0, 0.0), at(2.0, 0.0), at(0.0, 2.0)], 1.0);
        canvas.triangle([at(2.0, 0.0), at(2.0, 2.0), at(0.0, 2.0)], 1.0);
    }

    #[test]
    fn the_nearer_hides_the_farther_in_either_order() {
        let (near, far) = (V3(1.0, 0.0, 0.0), V3(0.0, 1.0, 0.0));
        for turn in [[(2.0, near), (1.0, far)], [(1.0, far), (2.0, near)]] {
            let mut canvas = Canvas::new(4, 3);
            for (depth, colour) in turn {
                square(&mut canvas, depth, colour);
            }
            let pixels = canvas.pixels();
            assert_eq!(pixels[0].colour, near);
            assert!((pixels[1].cover - 1.0).abs() < 1e-6);
            assert!(pixels[3].cover.abs() < 1e-6, "outside the square stays bare");
        }
    }
}

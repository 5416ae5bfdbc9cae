//! Curved skins of an animal: grids of points with outward normals and colours.
//!
//! In: shapes as formulas. Out: [`Surface`] values for [`crate::scene`]. Units are body units: a bumble bee is about two long.
//! x runs forward, y to the animal's left, z up.

use crate::maths::{V3, cosine, sine};

/// A grid of points, row by row; each row has `across + 1` points.
#[derive(Debug, Clone)]
pub(crate) struct Surface {
    pub(crate) along: usize,
    pub(crate) across: usize,
    pub(crate) points: Vec<V3>,
    pub(crate) normals: Vec<V3>,
    pub(crate) colours: Vec<V3>,
    /// Strength of the highlight, 0 dull to 1 polished.
    pub(crate) gloss: f32,
    /// Colour that a metallic skin turns to where it curves away.
    pub(crate) sheen: Option<V3>,
    /// 1 hides what is behind; a wing membrane less.
    pub(crate) cover: f32,
    /// Seen from both sides, like a sheet.
    pub(crate) sheet: bool,
}

/// Three directions square to each other, in which a part is built: its own forward, left and up.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Axes {
    pub(crate) origin: V3,
    pub(crate) forward: V3,
    pub(crate) left: V3,
    pub(crate) up: V3,
}

impl Axes {
    /// Axes at `origin` looking along `forward`, with left as level as can be.
    pub(crate) fn looking(origin: V3, forward: V3) -> Self {
        let forward = forward.unit();
        let about_up = if forward.2.abs() > 0.95 { V3(1.0, 0.0, 0.0) } else { V3(0.0, 0.0, 1.0) };
        let left = about_up.cross(forward).unit();
        Self { origin, forward, left, up: forward.cross(left) }
    }

    /// A place given in these axes, in body space.
    pub(crate) fn place(&self, at: V3) -> V3 {
        self.origin + self.forward * at.0 + self.left * at.1 + self.up * at.2
    }
}

impl Surface {
    /// A skin from a grid formula; `closed` when the last column meets the first.
    fn from_grid(along: usize, across: usize, closed: bool, place: impl Fn(f32, f32) -> V3) -> Self {
        let mut points = Vec::with_capacity((along + 1) * (across + 1));
        for row in 0..=along {
            for column in 0..=across {
                points.push(place(row as f32 / along as f32, column as f32 / across as f32));
            }
        }
        let mut surface = Self {
            along,
            across,
            normals: Vec::new(),
            colours: vec![V3::default(); points.len()],
            points,
            gloss: 0.0,
            sheen: None,
            cover: 1.0,
            sheet: !closed,
        };
        surface.find_normals(closed);
        surface
    }

    /// Works out the normals from neighbouring points; those of a closed skin point outward.
    fn find_normals(&mut self, closed: bool) {
        let (rows, columns) = (self.along + 1, self.across + 1);
        let at = |row: usize, column: usize| self.points[row * columns + column];
        let mut normals = Vec::with_capacity(self.points.len());
        for row in 0..rows {
            let middle =
                (0..self.across).fold(V3::default(), |sum, k| sum + at(row, k)) * (1.0 / self.across as f32);
            let (before, after) = (row.saturating_sub(1), (row + 1).min(self.along));
            for column in 0..columns {
                let (left, right) = if closed {
                    ((column + self.across - 1) % self.across, (column + 1) % self.across)
                } else {
                    (column.saturating_sub(1), (column + 1).min(self.across))
                };
                let normal =
                    (at(after, column) - at(before, column)).cross(at(row, right) - at(row, left)).unit();
                let inward = closed && normal.dot(at(row, column) - middle) < 0.0;
                normals.push(if inward { normal * -1.0 } else { normal });
            }
        }
        self.normals = normals;
    }

    /// A rounded body along the axes' forward. For `t` 0..=1 `ring` gives the place along, half width, half height, and rise.
    pub(crate) fn turned(axes: Axes, steps: [usize; 2], ring: impl Fn(f32) -> [f32; 4]) -> Self {
        Self::from_grid(steps[0], steps[1], true, |t, v| {
            let [along, wide, high, rise] = ring(0.002 + 0.996 * t);
            let angle = v * std::f32::consts::TAU;
            axes.place(V3(along, wide * sine(angle), rise + high * cosine(angle)))
        })
    }

    /// An egg with the three half-axes of `half` along forward, left and up.
    pub(crate) fn egg(axes: Axes, half: V3, fineness: usize) -> Self {
        Self::turned(axes, [fineness, fineness], |t| {
            // Rings follow the sine, so that they crowd where the skin curves away.
            let angle = (t - 0.5) * std::f32::consts::PI;
            [half.0 * sine(angle), half.1 * cosine(angle), half.2 * cosine(angle), 0.0]
        })
    }

    /// A limb segment between two points with a half width at each end; `flat` below 1 presses it sideways.
    pub(crate) fn limb(from: V3, to: V3, half: [f32; 2], flat: f32) -> Self {
        let length = (to - from).length();
        Self::turned(Axes::looking(from, to - from), [14, 14], |t| {
            // A barrel whose ends are rounded over the first and last eighth.
            let end = (t.min(1.0 - t) * 8.0).min(1.0);
            let round = (end * (2.0 - end)).sqrt();
            let half = (half[0] + (half[1] - half[0]) * t) * round;
            [t * length, half * flat, half, 0.0]
        })
    }

    /// An open sheet from a formula over 0..=1 in both directions.
    pub(crate) fn sheet(steps: [usize; 2], place: impl Fn(f32, f32) -> V3) -> Self {
        Self::from_grid(steps[0], steps[1], false, place)
    }

    /// Colours every point by formula and sets the gloss.
    pub(crate) fn painted(mut self, gloss: f32, colour: impl Fn(V3) -> V3) -> Self {
        self.colours = self.points.iter().map(|point| colour(*point)).collect();
        self.gloss = gloss;
        self
    }

    /// Gives the skin a second colour where it curves away.
    pub(crate) fn with_sheen(mut self, sheen: Option<V3>) -> Self {
        self.sheen = sheen;
        self
    }

    /// Lets what is behind shine through.
    pub(crate) fn thinned(mut self, cover: f32) -> Self {
        self.cover = cover;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normals_of_an_egg_point_outward() {
        let axes = Axes::looking(V3(3.0, 1.0, 0.0), V3(1.0, 0.0, 0.0));
        let egg = Surface::egg(axes, V3(1.0, 2.0, 0.5), 12);
        for (point, normal) in egg.points.iter().zip(&egg.normals) {
            assert!(normal.dot(*point - axes.origin) > 0.0);
        }
    }
}

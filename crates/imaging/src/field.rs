//! A picture of real values: what is left of luma once light is taken off, or a reduced luma before it is rounded.
//!
//! Holds values and reduces them; what they mean is said where they are made.

use crate::Luma;

/// Real values, row-major, `width × height` of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Field {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row-major values; `width × height` of them, all finite.
    pub values: Vec<f32>,
}

impl Field {
    /// The values of a picture, each put through a table of what every luma stands for. Empty when the picture is
    /// torn, that is, its pixels are not as many as its sides say.
    pub fn through(picture: &Luma, table: &[f32; 256]) -> Self {
        if picture.pixels.len() != picture.width * picture.height {
            return Self::default();
        }
        let values = picture.pixels.iter().map(|p| table[usize::from(*p)]).collect();
        Self { width: picture.width, height: picture.height, values }
    }

    /// The plain values of a picture.
    pub fn of(picture: &Luma) -> Self {
        Self::through(picture, &std::array::from_fn(|i| i as f32))
    }

    /// One row; empty past the last.
    pub fn row(&self, y: usize) -> &[f32] {
        self.values.get(y * self.width..(y + 1) * self.width).unwrap_or_default()
    }

    /// Means of boxes of `factor × factor` values, those at the right and lower edge smaller; a factor below 2 gives
    /// the field itself.
    #[must_use]
    pub fn boxed(&self, factor: usize) -> Self {
        if factor < 2 || self.values.is_empty() {
            return self.clone();
        }
        let (width, height) = (self.width.div_ceil(factor), self.height.div_ceil(factor));
        let mut values = vec![0.0; width * height];
        for y in 0..self.height {
            let sums = &mut values[y / factor * width..][..width];
            for (x, value) in self.row(y).iter().enumerate() {
                sums[x / factor] += value;
            }
        }
        for (i, sum) in values.iter_mut().enumerate() {
            let columns = factor.min(self.width - i % width * factor);
            let rows = factor.min(self.height - i / width * factor);
            *sum /= (columns * rows) as f32;
        }
        Self { width, height, values }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_torn_picture_has_no_values() {
        let torn = Luma { width: 3, height: 3, pixels: vec![0; 2] };
        assert_eq!(Field::of(&torn), Field::default());
    }

    #[test]
    fn boxes_take_means_also_at_the_edges() {
        let field = Field::of(&Luma::new(3, 3, vec![0, 2, 7, 4, 6, 9, 10, 20, 50]).unwrap());
        assert_eq!(field.boxed(2).values, [3.0, 8.0, 15.0, 50.0]);
        assert_eq!(field.boxed(1), field);
        assert_eq!(Field::default().boxed(2), Field::default());
    }
}

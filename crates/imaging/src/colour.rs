//! A picture in colour and its reduction.
//!
//! Values are sRGB as coded in files. Nothing here decodes pictures or corrects colours; [`crate::cielab`] is for those of
//! single pixels.

use crate::Luma;

/// A colour picture, row-major, 3 bytes a pixel: red, green, blue.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rgb {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// `3 × width × height` values.
    pub values: Vec<u8>,
}

impl Rgb {
    /// Makes a picture; `None` when the number of values is not `3 × width × height`.
    pub fn new(width: usize, height: usize, values: Vec<u8>) -> Option<Self> {
        let fits = width.checked_mul(height)?.checked_mul(3)? == values.len();
        fits.then_some(Self { width, height, values })
    }

    /// Its pixels in order.
    pub fn pixels(&self) -> impl Iterator<Item = [u8; 3]> {
        self.values.as_chunks().0.iter().copied()
    }

    /// Its luma; empty when the picture is torn.
    pub fn luma(&self) -> Luma {
        Luma::from_rgb(self.width, self.height, &self.values).unwrap_or_default()
    }

    /// The picture with its long side reduced to at most `long_side_px`, each value the mean of the box of pixels it
    /// stands for. A picture that is small enough comes back as it is.
    #[must_use]
    pub fn reduced(self, long_side_px: usize) -> Self {
        let long = self.width.max(self.height);
        if long <= long_side_px || long_side_px == 0 || self.values.len() != 3 * self.width * self.height {
            return self;
        }
        let scaled = |side: usize| ((side * long_side_px + long / 2) / long).max(1);
        let (width, height) = (scaled(self.width), scaled(self.height));
        let mut values = Vec::with_capacity(3 * width * height);
        let mut sums = vec![0u32; 3 * self.width];
        for y in 0..height {
            let rows = y * self.height / height..(y + 1) * self.height / height;
            sums.fill(0);
            // Whole rows first: this touches every value once and needs no places.
            for row in rows.clone() {
                let row = &self.values[3 * row * self.width..3 * (row + 1) * self.width];
                sums.iter_mut().zip(row).for_each(|(sum, value)| *sum += u32::from(*value));
            }
            for x in 0..width {
                let columns = x * self.width / width..(x + 1) * self.width / width;
                let n = (rows.len() * columns.len()) as u64;
                let mut pixel = [0u64; 3];
                for sum in sums[3 * columns.start..3 * columns.end].as_chunks::<3>().0 {
                    pixel.iter_mut().zip(sum).for_each(|(total, sum)| *total += u64::from(*sum));
                }
                values.extend(pixel.map(|total| ((total + n / 2) / n) as u8));
            }
        }
        Self { width, height, values }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reduction_takes_means_of_boxes_in_each_colour() {
        let pixels = [[0, 10, 200], [10, 20, 100], [40, 50, 60], [40, 50, 60]];
        let picture = Rgb::new(4, 1, pixels.concat()).unwrap();
        assert_eq!(picture.clone().reduced(2).values, [5, 15, 150, 40, 50, 60]);
        assert_eq!(picture.clone().reduced(4), picture);
        assert_eq!(Rgb::new(2, 2, vec![0; 11]), None);
        assert_eq!(Rgb::default().reduced(640), Rgb::default());
        let line = Rgb::new(1000, 1, vec![7; 3000]).unwrap().reduced(640);
        assert_eq!((line.width, line.height, line.values[5]), (640, 1, 7));
    }
}

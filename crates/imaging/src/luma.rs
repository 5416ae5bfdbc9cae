//! A picture of luma values, its reduction and its parts.
//!
//! Luma is BT.601, full range, as in the Y of a JPEG. Nothing here decodes or shows pictures.

/// Luma of a picture, row-major, `width × height` bytes of 0..=255.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Luma {
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// Row-major values; `width × height` of them.
    pub pixels: Vec<u8>,
}

impl Luma {
    /// Makes a picture; `None` when the number of values is not `width × height`.
    pub fn new(width: usize, height: usize, pixels: Vec<u8>) -> Option<Self> {
        (width.checked_mul(height) == Some(pixels.len())).then_some(Self { width, height, pixels })
    }

    /// Luma of row-major pixels of 3 bytes (red, green, blue); `None` when their number does not fit.
    pub fn from_rgb(width: usize, height: usize, rgb: &[u8]) -> Option<Self> {
        // BT.601-7: 0.299 R + 0.587 G + 0.114 B on coded values, rounded.
        let luma = |p: &[u8]| {
            ((299 * u32::from(p[0]) + 587 * u32::from(p[1]) + 114 * u32::from(p[2]) + 500) / 1000) as u8
        };
        let fits = width.checked_mul(height)?.checked_mul(3)? == rgb.len();
        fits.then(|| Self { width, height, pixels: rgb.chunks_exact(3).map(luma).collect() })
    }

    /// One row; empty past the last.
    pub fn row(&self, y: usize) -> &[u8] {
        self.pixels.get(y * self.width..(y + 1) * self.width).unwrap_or_default()
    }

    /// The part that starts at (`x`, `y`), cut to what the picture has. Empty when it lies outside.
    #[must_use]
    pub fn crop(&self, x: usize, y: usize, width: usize, height: usize) -> Self {
        let (x, y) = (x.min(self.width), y.min(self.height));
        let (width, height) = (width.min(self.width - x), height.min(self.height - y));
        let mut pixels = Vec::with_capacity(width * height);
        (y..y + height).for_each(|row| pixels.extend_from_slice(&self.row(row)[x..x + width]));
        Self { width, height, pixels }
    }

    /// The picture with its long side reduced to at most `long_side_px`, each value the mean of the box of
    /// pixels it stands for, so that independent grain falls by the square root of their number.
    /// A picture that is small enough comes back as it is.
    #[must_use]
    pub fn reduced(&self, long_side_px: usize) -> Self {
        let long = self.width.max(self.height);
        if long <= long_side_px || long_side_px == 0 || self.pixels.len() != self.width * self.height {
            return self.clone();
        }
        let scaled = |side: usize| ((side * long_side_px + long / 2) / long).max(1);
        let (width, height) = (scaled(self.width), scaled(self.height));
        let mut pixels = Vec::with_capacity(width * height);
        // Whole rows are added up first: that reads the picture straight through.
        let mut columns = vec![0u32; self.width];
        for y in 0..height {
            let rows = y * self.height / height..(y + 1) * self.height / height;
            columns.fill(0);
            for row in rows.clone() {
                columns.iter_mut().zip(self.row(row)).for_each(|(sum, p)| *sum += u32::from(*p));
            }
            for x in 0..width {
                let part = &columns[x * self.width / width..(x + 1) * self.width / width];
                let n = (rows.len() * part.len()) as u64;
                let sum: u64 = part.iter().map(|column| u64::from(*column)).sum();
                pixels.push(((sum + n / 2) / n) as u8);
            }
        }
        Self { width, height, pixels }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn luma_weights_are_bt_601() {
        // ITU-R BT.601-7: (255,0,0) 76.245, (0,255,0) 149.685, (0,0,255) 29.070, (200,170,60) 166.430.
        let rgb = [255, 0, 0, 0, 255, 0, 0, 0, 255, 200, 170, 60, 77, 77, 77];
        assert_eq!(Luma::from_rgb(5, 1, &rgb).unwrap().pixels, [76, 150, 29, 166, 77]);
        assert_eq!(Luma::from_rgb(2, 2, &rgb), None);
        assert_eq!(Luma::new(2, 2, vec![0; 3]), None);
    }

    #[test]
    fn reduction_takes_means_of_boxes() {
        let picture = Luma::new(4, 2, vec![0, 10, 100, 100, 20, 30, 100, 104]).unwrap();
        assert_eq!(picture.reduced(2), Luma::new(2, 1, vec![15, 101]).unwrap());
        assert_eq!(picture.reduced(4), picture, "small enough");
        let odd = Luma { width: 7, height: 5, pixels: vec![9; 35] }.reduced(3);
        assert_eq!((odd.width, odd.height), (3, 2));
        assert!(odd.pixels.iter().all(|p| *p == 9));
        assert_eq!(Luma::default().reduced(160), Luma::default());
        let line = Luma { width: 1000, height: 1, pixels: vec![5; 1000] }.reduced(160);
        assert_eq!((line.width, line.height), (160, 1));
    }

    #[test]
    fn crop_stays_inside() {
        let picture = Luma::new(3, 2, vec![1, 2, 3, 4, 5, 6]).unwrap();
        assert_eq!(picture.crop(1, 1, 5, 5), Luma::new(2, 1, vec![5, 6]).unwrap());
        assert_eq!(picture.crop(7, 7, 1, 1).pixels, []);
    }
}

//! A part of a picture at half its size, each pixel the mean of four.

/// Half of a part (first column and row, columns and rows) of a picture of three bytes a pixel, and its columns and rows. An odd
/// last column or row is left out.
pub(super) fn halved(rgb: &[u8], width: usize, part: [usize; 4]) -> (usize, usize, Vec<u8>) {
    let [left, top, columns, rows] = part;
    let (columns, rows) = (columns / 2, rows / 2);
    let mut half = vec![0; 3 * columns * rows];
    let mut sums = vec![0u16; 6 * columns];
    for (row, into) in half.chunks_exact_mut(3 * columns.max(1)).enumerate() {
        let from = |row: usize| &rgb[3 * ((top + row) * width + left)..][..6 * columns];
        let pairs = from(2 * row).iter().zip(from(2 * row + 1));
        // Whole rows first: this goes many bytes at a time.
        sums.iter_mut().zip(pairs).for_each(|(sum, (one, other))| *sum = u16::from(*one) + u16::from(*other));
        for (pixel, four) in into.as_chunks_mut::<3>().0.iter_mut().zip(sums.as_chunks::<6>().0) {
            *pixel = [0, 1, 2].map(|colour| ((four[colour] + four[colour + 3] + 2) / 4) as u8);
        }
    }
    (columns, rows, half)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_pixel_is_the_mean_of_four() {
        // Four columns and three rows; the part begins in the second column.
        let value = |x: usize, y: usize| [(10 * x + 100 * y) as u8, x as u8, 200];
        let rgb: Vec<u8> = (0..12).flat_map(|i| value(i % 4, i / 4)).collect();
        assert_eq!(halved(&rgb, 4, [0, 0, 4, 3]), (2, 1, vec![55, 1, 200, 75, 3, 200]));
        assert_eq!(halved(&rgb, 4, [1, 1, 3, 2]), (1, 1, vec![165, 2, 200]));
        assert_eq!(halved(&rgb, 4, [0, 0, 1, 3]).2, [0u8; 0]);
    }
}

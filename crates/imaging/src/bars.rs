//! Bars that pad a thumbnail to another shape than its picture's.
//!
//! The Exif thumbnail is often 160 × 120 whatever the picture's shape, with even bars above and below or left
//! and right. They would count as an edge of great contrast, so they are found and cut off here. A thumbnail
//! whose shape still is not its picture's was made of something else and is not to be trusted.

use crate::Luma;
use crate::variance::exact;

/// The part of a thumbnail that shows the picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Column where it starts.
    pub x: usize,
    /// Row where it starts.
    pub y: usize,
    /// Columns.
    pub width: usize,
    /// Rows.
    pub height: usize,
}

/// How far the sides of picture and thumbnail may disagree, in thumbnail pixels: one for rounding at each
/// side, and one for makers that crop to whole blocks.
const SLACK_PX: f64 = 3.0;

/// Rows cut off beyond a bar's reckoned edge: one for rounding, one where JPEG mixed bar and picture.
const BEYOND_PX: usize = 2;

/// Most standard deviation in a bar. Even bars next to a picture measured below 5 after JPEG at quality 80,
/// for its 8-pixel blocks ring; real picture content seldom stays below this over a whole side.
const MOST_IN_BAR: f64 = 8.0;

/// Most difference between the means of the two bars of one thumbnail.
const MOST_BETWEEN_BARS: f64 = 8.0;

/// Finds the part of a thumbnail that shows a picture of this size; all of it when their shapes agree, `None`
/// when they do not and what differs is not even bars. `None` also when either has no pixels.
pub fn shown_part(thumbnail: &Luma, picture_size_px: (u32, u32)) -> Option<Part> {
    let (w, h) = (thumbnail.width, thumbnail.height);
    let (pw, ph) = (f64::from(picture_size_px.0), f64::from(picture_size_px.1));
    if w == 0 || h == 0 || pw < 1.0 || ph < 1.0 || thumbnail.pixels.len() != w * h {
        return None;
    }
    let (bar_x, bar_y) = (w as f64 - h as f64 * pw / ph, h as f64 - w as f64 * ph / pw);
    if bar_x.max(bar_y) <= SLACK_PX {
        return Some(Part { x: 0, y: 0, width: w, height: h });
    }
    let across = bar_x > bar_y;
    let bar = (bar_x.max(bar_y) / 2.0).floor() as usize;
    let side = if across { w } else { h };
    if side <= 2 * (bar + BEYOND_PX) {
        return None;
    }
    let strip = |start: usize| {
        if across { thumbnail.crop(start, 0, bar, h) } else { thumbnail.crop(0, start, w, bar) }
    };
    let (first, second) = (exact(&strip(0).pixels), exact(&strip(side - bar).pixels));
    let even = [first, second].iter().all(|(_, variance)| variance.sqrt() <= MOST_IN_BAR);
    if !even || (first.0 - second.0).abs() > MOST_BETWEEN_BARS {
        return None;
    }
    let (start, length) = (bar + BEYOND_PX, side - 2 * (bar + BEYOND_PX));
    Some(if across {
        Part { x: start, y: 0, width: length, height: h }
    } else {
        Part { x: 0, y: start, width: w, height: length }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A 160 × 120 thumbnail with bars of this value where a 3 : 2 picture leaves them, busy inside.
    fn barred(bar: u8) -> Luma {
        let pixels =
            (0..160 * 120).map(|i| if (7..113).contains(&(i / 160)) { (i * 37 % 251) as u8 } else { bar });
        Luma::new(160, 120, pixels.collect()).unwrap()
    }

    #[test]
    fn bars_of_a_3_to_2_picture_are_cut_off() {
        // 160 × 2/3 = 106.7 rows of picture: bars of 6.67 rows above and below.
        for bar in [0, 128, 255] {
            let part = shown_part(&barred(bar), (6000, 4000)).unwrap();
            assert_eq!(part, Part { x: 0, y: 8, width: 160, height: 104 });
        }
        let upright = barred(0);
        let turned =
            (0..160).flat_map(|y| (0..120).map(move |x| (x, y))).map(|(x, y)| upright.row(x)[y]).collect();
        let part = shown_part(&Luma::new(120, 160, turned).unwrap(), (4000, 6000)).unwrap();
        assert_eq!(part, Part { x: 8, y: 0, width: 104, height: 160 });
    }

    #[test]
    fn the_same_shape_is_kept_whole() {
        let all = Some(Part { x: 0, y: 0, width: 160, height: 120 });
        assert_eq!(shown_part(&barred(0), (4000, 3000)), all);
        assert_eq!(shown_part(&barred(0), (4032, 3024)), all);
        assert_eq!(shown_part(&barred(0), (4000, 3040)), all, "within rounding");
    }

    #[test]
    fn another_shape_is_not_trusted() {
        let busy = Luma::new(160, 120, (0..160 * 120).map(|i| (i * 37 % 251) as u8).collect()).unwrap();
        assert_eq!(shown_part(&busy, (6000, 4000)), None, "what would be cut off is picture");
        assert_eq!(shown_part(&barred(0), (3000, 4000)), None, "made before the picture was turned");
        let mut lopsided = barred(0);
        lopsided.pixels[..160 * 7].fill(200);
        assert_eq!(shown_part(&lopsided, (6000, 4000)), None);
        assert_eq!(shown_part(&Luma::default(), (6000, 4000)), None);
        assert_eq!(shown_part(&barred(0), (0, 0)), None);
    }
}

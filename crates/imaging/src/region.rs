//! A part of a picture marked by a person: circle, rectangle or polygon.
//!
//! Places are in pixels of the picture from its upper left corner, x to the right and y down, so that the first pixel's
//! middle is (0.5, 0.5). A pixel belongs to a region when its middle does. Parts beyond the picture hold no pixels.

/// A place in a picture, px: x and y.
pub type Point = (f64, f64);

/// A marked part of a picture.
#[derive(Debug, Clone, PartialEq)]
pub enum Region {
    /// All within `radius` of `centre`.
    Circle {
        /// Its middle.
        centre: Point,
        /// px, above 0.
        radius: f64,
    },
    /// Upright, between two opposite corners in any order.
    Rectangle(Point, Point),
    /// Within a closed line through these points; where it crosses itself, by the rule of even and odd.
    Polygon(Vec<Point>),
}

impl Region {
    /// The least upright rectangle around it: upper left and lower right corner. `None` when there is none.
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let around = |points: &[Point]| {
            let (xs, ys) = (points.iter().map(|p| p.0), points.iter().map(|p| p.1));
            let low = (xs.clone().fold(f64::INFINITY, f64::min), ys.clone().fold(f64::INFINITY, f64::min));
            let high = (xs.fold(f64::NEG_INFINITY, f64::max), ys.fold(f64::NEG_INFINITY, f64::max));
            (low.0 <= high.0 && low.1 <= high.1).then_some((low, high))
        };
        match self {
            Self::Circle { centre: (x, y), radius } => {
                around(&[(x - radius, y - radius), (x + radius, y + radius)])
            }
            Self::Rectangle(one, other) => around(&[*one, *other]),
            Self::Polygon(points) => around(points),
        }
    }

    /// Whether a place lies within it.
    pub fn holds(&self, (x, y): Point) -> bool {
        match self {
            Self::Circle { centre, radius } => (x - centre.0).hypot(y - centre.1) <= *radius,
            Self::Rectangle(one, other) => {
                let between = |v: f64, a: f64, b: f64| (a.min(b)..=a.max(b)).contains(&v);
                between(x, one.0, other.0) && between(y, one.1, other.1)
            }
            Self::Polygon(points) => {
                let ends = points.iter().zip(points.iter().cycle().skip(1));
                let crossed = ends.filter(|(a, b)| {
                    (a.1 > y) != (b.1 > y) && x < (b.0 - a.0) * (y - a.1) / (b.1 - a.1) + a.0
                });
                crossed.count() % 2 == 1
            }
        }
    }

    /// The pixels of a picture of this size that belong to it, as columns and rows, row by row. Where more than `most`
    /// could, every second, third, … column and row is taken alone, so that they stay spread evenly.
    pub fn pixels(&self, (width, height): (usize, usize), most: usize) -> Vec<(usize, usize)> {
        let Some((low, high)) = self.bounds() else { return vec![] };
        // A cast brings what is below 0 to 0.
        let columns = low.0.floor() as usize..(high.0.ceil() as usize).min(width);
        let rows = low.1.floor() as usize..(high.1.ceil() as usize).min(height);
        let all = columns.len().saturating_mul(rows.len());
        let step = (all as f64 / most.max(1) as f64).sqrt().ceil().max(1.0) as usize;
        let places = rows.step_by(step).flat_map(|y| columns.clone().step_by(step).map(move |x| (x, y)));
        places.filter(|(x, y)| self.holds((*x as f64 + 0.5, *y as f64 + 0.5))).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pixels_are_those_whose_middle_lies_inside() {
        let count = |region: &Region| region.pixels((100, 80), 1 << 20).len();
        assert_eq!(count(&Region::Rectangle((2.0, 3.0), (5.0, 5.0))), 6);
        assert_eq!(count(&Region::Rectangle((5.0, 5.0), (2.4, 3.0))), 6, "corners in any order");
        let area = count(&Region::Circle { centre: (50.0, 40.0), radius: 30.0 }) as f64;
        assert!((area / (std::f64::consts::PI * 900.0) - 1.0).abs() < 0.01, "{area}");
        // A right-angled triangle has half the area of its rectangle.
        let triangle = Region::Polygon(vec![(0.0, 0.0), (60.0, 0.0), (0.0, 40.0)]);
        assert!(count(&triangle).abs_diff(1200) < 50);
        assert!(triangle.holds((10.0, 10.0)) && !triangle.holds((40.0, 30.0)));
    }

    #[test]
    fn what_lies_beyond_the_picture_or_has_no_area_holds_nothing() {
        let none = |region: Region| assert_eq!(region.pixels((10, 10), 100), [], "{region:?}");
        none(Region::Polygon(vec![]));
        none(Region::Polygon(vec![(1.0, 1.0), (5.0, 5.0)]));
        none(Region::Circle { centre: (-9.0, 3.0), radius: 4.0 });
        none(Region::Circle { centre: (5.0, 5.0), radius: f64::NAN });
        none(Region::Rectangle((20.0, 2.0), (30.0, 4.0)));
        none(Region::Rectangle((-30.0, -3.0), (-2.0, -1.0)));
        let cut = Region::Circle { centre: (0.0, 0.0), radius: 1e12 };
        assert_eq!(cut.pixels((10, 10), 100).len(), 100);
    }

    #[test]
    fn a_large_region_is_taken_evenly() {
        let some = Region::Rectangle((0.0, 0.0), (100.0, 100.0)).pixels((100, 100), 400);
        assert_eq!(some.len(), 400);
        assert_eq!((some[1], some[399]), ((5, 0), (95, 95)));
    }
}

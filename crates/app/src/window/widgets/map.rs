//! A small map of a day, drawn from coordinates alone: the way, the places of specimens and named sites, with a scale and
//! north. Nothing is fetched.

use egui::accesskit::Role;
use egui::{Align2, Pos2, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use imaging::measuring::round_length;

use super::text;
use crate::window::look::{Type, tokens};
use crate::window::words::tell;

/// Something at a place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spot {
    /// Latitude and longitude, degrees.
    pub(crate) at: (f64, f64),
    /// What stands beside it.
    pub(crate) words: String,
    /// Whether it is a specimen; else a site.
    pub(crate) is_specimen: bool,
    /// Whether it is the chosen one.
    pub(crate) chosen: bool,
}

/// How degrees lie on the map: equirectangular about its middle, which is right for the few kilometres of a day.
struct Lay {
    middle: (f64, f64),
    /// Screen pixels a metre.
    px_per_m: f64,
    centre: Pos2,
    /// Metres a degree of latitude and of longitude.
    degree_m: (f64, f64),
}

impl Lay {
    fn of(points: &[(f64, f64)], rect: Rect) -> Option<Self> {
        let first = points.first()?;
        let (mut low, mut high) = (*first, *first);
        for point in points {
            low = (low.0.min(point.0), low.1.min(point.1));
            high = (high.0.max(point.0), high.1.max(point.1));
        }
        let middle = (f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1));
        let degree_m = (
            notes::distance_m((middle.0 - 0.005, middle.1), (middle.0 + 0.005, middle.1)) * 100.0,
            notes::distance_m((middle.0, middle.1 - 0.005), (middle.0, middle.1 + 0.005)) * 100.0,
        );
        let (high_m, wide_m) = ((high.0 - low.0) * degree_m.0, (high.1 - low.1) * degree_m.1);
        // A day that stood still still shows its surroundings.
        let (high_m, wide_m) = (high_m.max(40.0), wide_m.max(40.0));
        let px_per_m = (f64::from(rect.height()) / high_m).min(f64::from(rect.width()) / wide_m);
        Some(Self { middle, px_per_m, centre: rect.center(), degree_m })
    }

    fn at(&self, (lat, lon): (f64, f64)) -> Pos2 {
        let east = (lon - self.middle.1) * self.degree_m.1 * self.px_per_m;
        let north = (lat - self.middle.0) * self.degree_m.0 * self.px_per_m;
        self.centre + vec2(east as f32, -north as f32)
    }

    /// A round length that takes at most so many pixels: its metres.
    fn scale_m(&self, most_px: f64) -> f64 {
        let most_m = most_px / self.px_per_m;
        round_length(most_m).unwrap_or(most_m)
    }
}

/// Draws the map; says in words what is on it.
pub(crate) fn map(ui: &mut Ui, rect: Rect, stretches: &[Vec<(f64, f64)>], spots: &[Spot]) {
    let t = tokens(ui);
    ui.painter().rect_filled(rect, 3.0, t.well);
    let specimens = spots.iter().filter(|spot| spot.is_specimen).count();
    let name = tell!("map-name", n = specimens);
    let response = ui.interact(rect, egui::Id::unique("map of the day"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
    let mut points: Vec<(f64, f64)> = stretches.iter().flatten().copied().collect();
    points.extend(spots.iter().map(|spot| spot.at));
    let Some(lay) = Lay::of(&points, rect.shrink2(vec2(48.0, 44.0))) else {
        text::line(ui, rect.center(), Align2::CENTER_CENTER, Type::Small, t.soft, &tell!("map-empty"));
        return;
    };
    let clip = ui.painter().with_clip_rect(rect);
    for stretch in stretches {
        let line: Vec<Pos2> = stretch.iter().map(|point| lay.at(*point)).collect();
        clip.line(line, Stroke::new(1.5, t.edge));
    }
    for spot in spots.iter().filter(|spot| !spot.chosen).chain(spots.iter().filter(|spot| spot.chosen)) {
        let at = lay.at(spot.at);
        let ink = if spot.chosen { t.accent } else { t.ink };
        if spot.is_specimen {
            clip.circle(at, if spot.chosen { 6.0 } else { 4.0 }, ink, Stroke::new(1.5, t.sheet));
        } else {
            // A site is a square on its tip.
            let corner = |x: f32, y: f32| at + vec2(x, y);
            let square = vec![corner(0.0, -6.0), corner(6.0, 0.0), corner(0.0, 6.0), corner(-6.0, 0.0)];
            clip.add(egui::Shape::convex_polygon(square, t.sheet, Stroke::new(1.5, ink)));
        }
    }
    labels(ui, rect, &lay, spots);
    scale(ui, rect, &lay);
    north(ui, pos2(rect.right() - 24.0, rect.top() + 30.0));
}

/// Names beside the spots, as far as they do not lie over one another.
fn labels(ui: &mut Ui, rect: Rect, lay: &Lay, spots: &[Spot]) {
    let t = tokens(ui);
    let mut taken: Vec<Rect> = Vec::new();
    for spot in spots.iter().filter(|spot| spot.chosen).chain(spots.iter().filter(|spot| !spot.chosen)) {
        let size = text::size(ui, Type::Small, &spot.words);
        let at = lay.at(spot.at) + vec2(9.0, 0.0);
        let place = Rect::from_min_size(pos2(at.x, at.y - size.y / 2.0), size);
        if rect.contains_rect(place) && !taken.iter().any(|other| other.intersects(place)) {
            text::line(ui, at, Align2::LEFT_CENTER, Type::Small, t.ink, &spot.words);
            taken.push(place);
        }
    }
}

fn scale(ui: &mut Ui, rect: Rect, lay: &Lay) {
    let t = tokens(ui);
    let metres = lay.scale_m(120.0);
    let width = (metres * lay.px_per_m) as f32;
    let at = pos2(rect.left() + 16.0, rect.bottom() - 16.0);
    let stroke = Stroke::new(1.5, t.ink);
    ui.painter().hline(at.x..=at.x + width, at.y, stroke);
    for x in [at.x, at.x + width] {
        ui.painter().vline(x, at.y - 4.0..=at.y, stroke);
    }
    let words = if metres >= 1000.0 {
        tell!("map-kilometres", n = (metres / 1000.0).round() as usize)
    } else {
        tell!("map-metres", n = metres.round() as usize)
    };
    text::line(ui, at - vec2(0.0, 8.0), Align2::LEFT_BOTTOM, Type::Small, t.ink, &words);
}

fn north(ui: &mut Ui, at: Pos2) {
    let t = tokens(ui);
    let arrow = vec![at + vec2(0.0, -14.0), at + vec2(5.0, 4.0), at, at + vec2(-5.0, 4.0)];
    ui.painter().add(egui::Shape::closed_line(arrow, Stroke::new(1.5, t.ink)));
    text::line(ui, at + vec2(0.0, 8.0), Align2::CENTER_TOP, Type::Small, t.ink, &tell!("map-north"));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_metre_is_as_long_to_the_north_as_to_the_east() {
        let rect = Rect::from_min_size(Pos2::ZERO, vec2(400.0, 300.0));
        // 60 degrees north a degree of longitude is about half as long as one of latitude.
        let lay = Lay::of(&[(60.0, 10.0), (60.01, 10.02)], rect).unwrap();
        let (a, b) = (lay.at((60.0, 10.0)), lay.at((60.01, 10.02)));
        let (wide, high) = (b.x - a.x, a.y - b.y);
        assert!(high > 0.0 && wide > 0.0, "north is up, east is right");
        assert!((wide / high - 1.0).abs() < 0.02, "{wide} {high}");
        assert!(rect.contains(a) && rect.contains(b));
        // By the ellipsoid 0.01 degrees of latitude are 1114 m there.
        assert!((f64::from(high) / lay.px_per_m - 1114.0).abs() < 2.0);
        let scale = lay.scale_m(120.0);
        assert!([1.0, 2.0, 5.0].contains(&(scale / 10f64.powf(scale.log10().floor())).round()), "{scale}");
        assert!(scale * lay.px_per_m <= 120.0);
        assert!(Lay::of(&[], rect).is_none());
    }
}

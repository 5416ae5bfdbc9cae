//! The build of a beetle: wing cases, pronotum, head, under side, legs, and the card it is glued to.
//!
//! In: its look. Out: skins. Proportions were set by eye, after no real species.

use crate::maths::{V3, cosine, ramp, sine};
use crate::surface::{Axes, Surface};

const DARK: V3 = V3(0.10, 0.075, 0.06);
const CARD: V3 = V3(0.97, 0.965, 0.945);
/// Where the wing cases begin, just behind the pronotum.
const SHOULDER_X: f32 = 0.05;
/// Height of the card's upper side.
const CARD_Z: f32 = -0.34;

/// What is painted on the wing cases.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pattern {
    Plain,
    /// Round spots, some on the seam.
    Spots,
    /// Two jagged bands across.
    Bands,
    /// Lines along.
    Stripes,
}

/// What tells one beetle from another; lengths in body units.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// Against an ordinary beetle.
    pub(crate) size: f32,
    pub(crate) case_length: f32,
    pub(crate) half_width: f32,
    pub(crate) height: f32,
    /// Half width of the pronotum.
    pub(crate) neck: f32,
    pub(crate) case: V3,
    pub(crate) mark: V3,
    pub(crate) pattern: Pattern,
    /// Second colour of a metallic skin.
    pub(crate) sheen: Option<V3>,
    pub(crate) pronotum: V3,
    pub(crate) leg: V3,
    pub(crate) below: V3,
    /// Depth of the rows along the wing cases, 0 smooth to 1.
    pub(crate) rows: f32,
    /// The antennae end in a club.
    pub(crate) club: bool,
}

/// All skins of a beetle; `on_back` puts a plain card behind its back instead of a pinned one below its feet.
pub(crate) fn skins(look: &Look, on_back: bool) -> Vec<Surface> {
    let mut skins = vec![wing_cases(look), pronotum(look)];
    skins.extend(head(look));
    skins.extend(under_side(look));
    for side in [1.0, -1.0] {
        skins.extend(antenna(look, side));
        skins.extend(legs(look, side));
    }
    let height = if on_back { look.height + 0.06 } else { CARD_Z };
    skins.extend(card(height));
    if !on_back {
        skins.extend(pin());
    }
    skins
}

/// Half width of the wing cases as a share of the greatest; `t` 0 at the shoulders, 1 at the end.
fn outline(t: f32) -> f32 {
    if t < 0.3 {
        return 0.80 + 0.20 * sine(t / 0.3 * std::f32::consts::FRAC_PI_2);
    }
    let off = ((t - 0.45) / 0.55).max(0.0);
    let root = (1.0 - off * off).max(0.0).sqrt();
    0.35 * root.sqrt() + 0.65 * root
}

fn wing_cases(look: &Look) -> Surface {
    let axes = Axes::looking(V3(SHOULDER_X, 0.0, -0.05), V3(-1.0, 0.0, 0.0));
    let skin = Surface::turned(axes, [150, 260], |t| {
        let share = outline(t);
        [look.case_length * t, look.half_width * share, look.height * (0.25 + 0.75 * share) * share, 0.0]
    });
    let flattened = flat_below(skin, -0.05, 0.35);
    flattened.painted(0.75, |point| case_colour(look, point)).with_sheen(look.sheen)
}

/// Presses what lies below `level` to a share of its depth.
fn flat_below(mut skin: Surface, level: f32, share: f32) -> Surface {
    for point in &mut skin.points {
        if point.2 < level {
            point.2 = level + (point.2 - level) * share;
        }
    }
    skin
}

fn case_colour(look: &Look, point: V3) -> V3 {
    let t = ((SHOULDER_X - point.0) / look.case_length).clamp(0.0, 1.0);
    let across = point.1 / (look.half_width * outline(t).max(0.05));
    let mut colour = look.case.mix(look.mark, marked(look.pattern, t, across));
    let row = sine(across.abs() * 9.0 * std::f32::consts::TAU);
    let point_in_row = 0.6 + 0.4 * sine(t * 170.0);
    colour = colour * (1.0 - 0.42 * look.rows * (row - 0.35).max(0.0) / 0.65 * point_in_row);
    // The seam where the two cases meet.
    if point.1.abs() < 0.011 { colour * 0.35 } else { colour }
}

/// How far a place is inside a mark, 0..=1 with soft edges; `t` along and `across` -1..=1 from edge to edge.
fn marked(pattern: Pattern, t: f32, across: f32) -> f32 {
    let within = |distance: f32, reach: f32| 1.0 - ramp(reach - 0.012, reach + 0.012, distance);
    let spot = |at_t: f32, at_across: f32, reach: f32| {
        let (along, aside) = ((t - at_t) * 1.25, (across.abs() - at_across) * 0.9);
        within((along * along + aside * aside).sqrt(), reach)
    };
    match pattern {
        Pattern::Plain => 0.0,
        Pattern::Spots => spot(0.10, 0.0, 0.14).max(spot(0.36, 0.55, 0.17)).max(spot(0.66, 0.38, 0.16)),
        Pattern::Bands => {
            let jag = 0.035 * sine(across * 14.0);
            within((t - 0.24 + jag).abs(), 0.09).max(within((t - 0.68 - jag).abs(), 0.075))
        }
        Pattern::Stripes => {
            within((across.abs() - 0.34).abs(), 0.085).max(within((across.abs() - 0.80).abs(), 0.08))
        }
    }
}

fn pronotum(look: &Look) -> Surface {
    let axes = Axes::looking(V3(0.03, 0.0, -0.05), V3(1.0, 0.0, 0.0));
    let skin = Surface::turned(axes, [60, 80], |t| {
        let ends = (1.0 - (2.0 * t - 1.0) * (2.0 * t - 1.0) * (2.0 * t - 1.0) * (2.0 * t - 1.0)).sqrt();
        let wide = look.neck * (0.94 + 0.16 * t - 0.34 * t * t);
        [0.46 * t, wide * ends, look.height * (0.82 - 0.18 * t) * ends, 0.0]
    });
    flat_below(skin, -0.05, 0.5).painted(0.8, |_| look.pronotum).with_sheen(look.sheen)
}

fn head(look: &Look) -> Vec<Surface> {
    let egg = |at: V3, half: V3, gloss: f32, colour: V3| {
        Surface::egg(Axes::looking(at, V3(0.95, 0.0, -0.3)), half, 36).painted(gloss, |_| colour)
    };
    let wide = look.neck * 0.56;
    let skin = look.pronotum * 0.85;
    let mut parts = vec![
        egg(V3(0.54, 0.0, -0.08), V3(0.20, wide, 0.17), 0.7, skin).with_sheen(look.sheen),
        // Clypeus and upper lip.
        egg(V3(0.70, 0.0, -0.14), V3(0.07, wide * 0.55, 0.06), 0.6, look.leg),
        egg(V3(0.74, 0.0, -0.19), V3(0.05, wide * 0.40, 0.035), 0.6, look.leg.mix(CARD, 0.15)),
    ];
    for side in [1.0, -1.0] {
        parts.push(egg(V3(0.56, wide * 0.93 * side, -0.05), V3(0.09, 0.07, 0.10), 1.0, V3(0.07, 0.06, 0.06)));
        let (hinge, tip) = (V3(0.70, wide * 0.52 * side, -0.19), V3(0.84, wide * 0.04 * side, -0.24));
        parts.push(Surface::limb(hinge, tip, [0.055, 0.022], 0.7).painted(0.8, |_| DARK));
        let (root, end) = (V3(0.66, 0.10 * side, -0.24), V3(0.76, 0.15 * side, -0.30));
        parts.push(Surface::limb(root, end, [0.020, 0.024], 1.0).painted(0.4, |_| look.leg));
    }
    parts
}

fn antenna(look: &Look, side: f32) -> Vec<Surface> {
    let mut from = V3(0.67, look.neck * 0.42 * side, -0.06);
    (0..11_u8)
        .map(|joint| {
            let share = f32::from(joint) / 10.0;
            let to = from + V3(0.75 - 0.5 * share, 0.75 * side, 0.30 - 0.6 * share).unit() * 0.062;
            let thick = if look.club && joint > 7 { 0.040 } else { 0.019 };
            let skin = Surface::limb(from, to, [thick * 0.75, thick], 1.0).painted(0.4, |_| look.leg);
            from = to;
            skin
        })
        .collect()
}

fn under_side(look: &Look) -> Vec<Surface> {
    // Five plates of the abdomen.
    let axes = Axes::looking(V3(-0.28, 0.0, -0.12), V3(-1.0, 0.0, 0.0));
    let length = look.case_length - 0.38;
    let abdomen = Surface::turned(axes, [110, 60], |t| {
        let place = 0.33 + 0.63 * t;
        let within = t * 5.0 - (t * 5.0).floor();
        let start = (t * 12.0).min(1.0).sqrt();
        let half = outline(place) * (0.80 + 0.035 * within) * start;
        [length * t, look.half_width * half, 0.16 * half, 0.0]
    })
    .painted(0.6, |point| {
        let place = (-0.28 - point.0) / length * 5.0;
        let within = place - place.floor();
        look.below * if within < 0.13 { 0.45 } else { 0.85 + 0.25 * within }
    });
    let plate = |at: V3, half: V3, shade: f32| {
        Surface::egg(Axes::looking(at, V3(1.0, 0.0, 0.0)), half, 40).painted(0.6, move |_| look.below * shade)
    };
    let mut parts = vec![
        abdomen,
        plate(V3(-0.12, 0.0, -0.13), V3(0.26, look.half_width * 0.78, 0.16), 0.9),
        plate(V3(0.24, 0.0, -0.13), V3(0.20, look.neck * 0.74, 0.13), 0.8),
        plate(V3(0.20, 0.0, -0.20), V3(0.20, 0.05, 0.10), 1.1),
    ];
    for side in [1.0, -1.0] {
        for (x, y) in [(0.22, 0.14), (-0.02, 0.17), (-0.30, 0.17)] {
            parts.push(plate(V3(x, y * side, -0.23), V3(0.075, 0.115, 0.075), 1.25));
        }
    }
    parts
}

fn legs(look: &Look, side: f32) -> Vec<Surface> {
    let reach = look.half_width - 0.45;
    let at = |x: f32, y: f32, z: f32| V3(x, (y + if y > 0.3 { reach } else { 0.0 }) * side, z);
    let legs = [
        [at(0.22, 0.16, -0.25), at(0.44, 0.52, -0.20), at(0.68, 0.62, -0.30), at(0.88, 0.60, -0.32)],
        [at(-0.02, 0.20, -0.25), at(0.00, 0.66, -0.18), at(-0.12, 0.88, -0.30), at(-0.26, 1.00, -0.32)],
        [at(-0.30, 0.20, -0.25), at(-0.52, 0.62, -0.18), at(-0.86, 0.74, -0.30), at(-1.06, 0.80, -0.32)],
    ];
    let mut skins = Vec::new();
    for [hip, knee, ankle, toe] in legs {
        skins.push(Surface::limb(hip, knee, [0.060, 0.050], 0.8).painted(0.7, |_| look.leg));
        skins.push(Surface::limb(knee, ankle, [0.030, 0.042], 0.8).painted(0.6, |_| look.leg));
        for joint in 0..5_u8 {
            let (from, to) = (f32::from(joint) / 5.0, f32::from(joint + 1) / 5.0);
            let foot = Surface::limb(ankle.mix(toe, from), ankle.mix(toe, to), [0.016, 0.026], 1.0);
            skins.push(foot.painted(0.4, |_| look.leg));
        }
    }
    skins
}

/// A thin card, its upper side at `height`.
fn card(height: f32) -> Vec<Surface> {
    let (half_x, half_y, thick) = (1.38, 1.12, 0.035);
    // A little more card behind the beetle, for the pin.
    let behind = -0.10;
    let face = |z: f32| {
        Surface::sheet([2, 2], move |s, v| V3(half_x * (2.0 * s - 1.0) + behind, half_y * (2.0 * v - 1.0), z))
            .painted(0.0, |_| CARD)
    };
    let edge = |turn: f32| {
        let (c, s) = (cosine(turn), sine(turn));
        let (out, wide) = if c.abs() > 0.5 { (half_x, half_y) } else { (half_y, half_x) };
        Surface::sheet([2, 2], move |along, down| {
            let aside = wide * (2.0 * along - 1.0);
            V3(out * c - aside * s + behind, out * s + aside * c, height - thick * down)
        })
        .painted(0.0, |_| CARD * 0.90)
    };
    let quarter = std::f32::consts::FRAC_PI_2;
    let mut parts = vec![face(height), face(height - thick)];
    parts.extend((0..4_u8).map(|side| edge(f32::from(side) * quarter)));
    parts
}

/// The pin that holds the card, behind the beetle.
fn pin() -> Vec<Surface> {
    let steel = V3(0.46, 0.46, 0.48);
    let (foot, top) = (V3(-1.33, 0.0, -0.95), V3(-1.33, 0.0, 0.62));
    let knob = Surface::egg(Axes::looking(top, V3(1.0, 0.0, 0.0)), V3(0.045, 0.045, 0.035), 20);
    vec![Surface::limb(foot, top, [0.016, 0.016], 1.0).painted(0.9, |_| steel), knob.painted(0.9, |_| steel)]
}

//! Hair and colours of the fourteen bees.
//!
//! The patterns are put together so that neighbours in the day differ; they portray no species.

use crate::bee_body::{Body, TERGA, abdomen_axes, along_abdomen, head_axes};
use crate::hair::{Coat, Hair, grow};
use crate::maths::V3;
use crate::random::Random;

const BLACK: V3 = V3(0.115, 0.10, 0.09);
const YELLOW: V3 = V3(0.93, 0.74, 0.20);
const LEMON: V3 = V3(0.95, 0.88, 0.46);
const GOLD: V3 = V3(0.86, 0.58, 0.16);
const WHITE: V3 = V3(0.97, 0.95, 0.89);
const BUFF: V3 = V3(0.86, 0.68, 0.46);
const RED: V3 = V3(0.84, 0.33, 0.10);
const GINGER: V3 = V3(0.76, 0.45, 0.17);
const GREY: V3 = V3(0.66, 0.63, 0.56);
const BROWN: V3 = V3(0.42, 0.28, 0.16);

const DARK_LEG: V3 = V3(0.10, 0.08, 0.07);
const PALE_LEG: V3 = V3(0.26, 0.15, 0.08);
const CLEAR_WING: V3 = V3(0.62, 0.55, 0.42);
const SMOKY_WING: V3 = V3(0.34, 0.25, 0.17);

/// What tells one bee from another.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// Against an ordinary bee.
    pub(crate) size: f32,
    vertex: V3,
    face: V3,
    collar: V3,
    between_wings: V3,
    back: V3,
    flank: V3,
    /// Hair of the six plates from waist to tip.
    terga: [V3; 6],
    pub(crate) leg: V3,
    pub(crate) wing: V3,
}

const fn look(size: f32, head: [V3; 2], thorax: [V3; 4], terga: [V3; 6], limbs: [V3; 2]) -> Look {
    let ([vertex, face], [collar, between_wings, back, flank], [leg, wing]) = (head, thorax, limbs);
    Look { size, vertex, face, collar, between_wings, back, flank, terga, leg, wing }
}

/// The bees in order of the day.
#[rustfmt::skip]
pub(crate) const LOOKS: [Look; 14] = [
    look(1.00, [BLACK, BLACK], [YELLOW, BLACK, BLACK, BLACK], [BLACK, YELLOW, BLACK, WHITE, WHITE, WHITE], [DARK_LEG, SMOKY_WING]),
    look(0.90, [GINGER, BUFF], [GINGER, GINGER, GINGER, BUFF], [BROWN, BROWN, GINGER, GINGER, GINGER, BUFF], [PALE_LEG, CLEAR_WING]),
    look(0.96, [BLACK, BLACK], [BLACK, BLACK, BLACK, BLACK], [BLACK, BLACK, BLACK, RED, RED, RED], [DARK_LEG, CLEAR_WING]),
    look(1.04, [LEMON, LEMON], [LEMON, BLACK, LEMON, LEMON], [LEMON, BLACK, BLACK, WHITE, WHITE, WHITE], [DARK_LEG, CLEAR_WING]),
    look(0.86, [LEMON, BLACK], [LEMON, BLACK, LEMON, LEMON], [YELLOW, YELLOW, BLACK, BUFF, RED, RED], [PALE_LEG, CLEAR_WING]),
    look(1.06, [BLACK, BLACK], [GOLD, BLACK, BLACK, BLACK], [BLACK, GOLD, BLACK, BUFF, BUFF, BUFF], [DARK_LEG, SMOKY_WING]),
    look(0.94, [GREY, GREY], [GREY, BLACK, GREY, GREY], [GREY, GREY, BLACK, BLACK, BLACK, BLACK], [DARK_LEG, CLEAR_WING]),
    look(0.92, [BLACK, LEMON], [YELLOW, YELLOW, YELLOW, YELLOW], [YELLOW, BLACK, YELLOW, BLACK, RED, RED], [PALE_LEG, CLEAR_WING]),
    look(1.00, [BLACK, BLACK], [YELLOW, BLACK, YELLOW, BLACK], [YELLOW, BLACK, BLACK, WHITE, WHITE, BLACK], [DARK_LEG, SMOKY_WING]),
    look(0.88, [GINGER, GINGER], [GINGER, GINGER, GINGER, GINGER], [BLACK, BLACK, BLACK, WHITE, WHITE, WHITE], [DARK_LEG, CLEAR_WING]),
    look(1.05, [BLACK, BLACK], [BLACK, BLACK, BLACK, BLACK], [BLACK, YELLOW, BLACK, BLACK, WHITE, WHITE], [DARK_LEG, SMOKY_WING]),
    look(0.97, [LEMON, LEMON], [LEMON, BLACK, LEMON, WHITE], [LEMON, LEMON, BLACK, LEMON, BLACK, BUFF], [PALE_LEG, CLEAR_WING]),
    look(0.91, [BROWN, BROWN], [GOLD, BROWN, BROWN, BUFF], [GOLD, BROWN, BUFF, BROWN, BUFF, BUFF], [PALE_LEG, CLEAR_WING]),
    look(1.02, [BLACK, LEMON], [YELLOW, BLACK, BLACK, BLACK], [YELLOW, YELLOW, BLACK, RED, RED, RED], [DARK_LEG, SMOKY_WING]),
];

/// Grows the whole coat of a bee.
pub(crate) fn hairs(look: &Look, body: &Body, random: &mut Random) -> Vec<Hair> {
    let mut hairs = abdomen(look, body, random);
    hairs.extend(thorax(look, body, random));
    hairs.extend(head(look, body, random));
    let short =
        Coat { density: 3_600.0, length: 0.040, width: 0.0042, lean: V3(-0.3, 0.0, -0.6), scatter: 0.4 };
    for limb in &body.limbs {
        hairs.extend(grow(limb, &short, random, |_, _| Some(look.leg.mix(BROWN, 0.35))));
    }
    let fringe =
        Coat { density: 2_000.0, length: 0.14, width: 0.0055, lean: V3(-0.5, 0.0, -0.1), scatter: 0.35 };
    for tibia in &body.hind_tibiae {
        // The outer face is bare; hair stands along the two edges.
        let edge = |point: V3, random: &mut Random| {
            let outside = (point.1.abs() - 0.50) / 0.16;
            (random.unit() > outside * 2.2 + 0.2).then_some(look.leg.mix(BUFF, 0.30))
        };
        hairs.extend(grow(tibia, &fringe, random, edge));
    }
    hairs
}

fn abdomen(look: &Look, body: &Body, random: &mut Random) -> Vec<Hair> {
    let coat =
        Coat { density: 10_000.0, length: 0.115, width: 0.0055, lean: V3(-0.75, 0.0, -0.1), scatter: 0.34 };
    let up = abdomen_axes().up;
    grow(&body.abdomen, &coat, random, |point, random| {
        let place = along_abdomen(point) * TERGA + 0.16 * random.bell();
        let colour = look.terga[place.clamp(0.0, TERGA - 0.5) as usize];
        // The last plate is nearly bare in front of its point.
        if place > TERGA - 0.75 && random.unit() < 0.6 {
            return None;
        }
        // Darker below.
        let below = (point - abdomen_axes().origin).dot(up) + 0.07 * random.bell() < -0.20;
        Some(if below { colour.mix(BROWN, 0.45) } else { colour })
    })
}

fn thorax(look: &Look, body: &Body, random: &mut Random) -> Vec<Hair> {
    let coat =
        Coat { density: 10_000.0, length: 0.185, width: 0.0057, lean: V3(-0.45, 0.0, 0.15), scatter: 0.42 };
    grow(&body.thorax, &coat, random, |point, random| {
        let (x, z) = (point.0 + 0.025 * random.bell(), point.2 + 0.03 * random.bell());
        Some(match () {
            () if z < 0.02 => look.flank,
            () if x > 0.50 => look.collar,
            () if x > 0.24 => look.between_wings,
            () => look.back,
        })
    })
}

fn head(look: &Look, body: &Body, random: &mut Random) -> Vec<Hair> {
    let axes = head_axes();
    let at = |point: V3| {
        let from = point - axes.origin;
        V3(from.dot(axes.forward), from.dot(axes.left), from.dot(axes.up))
    };
    let tall =
        Coat { density: 6_500.0, length: 0.13, width: 0.0058, lean: V3(0.1, 0.0, 0.35), scatter: 0.35 };
    let mut hairs = grow(&body.head, &tall, random, |point, random| {
        let place = at(point);
        let vertex = place.2 > 0.13 && place.1.abs() < 0.17 && place.0 < 0.15;
        let cheek = place.0 < -0.02 && place.2 < 0.1;
        (vertex || (cheek && random.unit() < 0.5)).then_some(look.vertex)
    });
    let short =
        Coat { density: 9_000.0, length: 0.075, width: 0.005, lean: V3(0.2, 0.0, -0.2), scatter: 0.45 };
    hairs.extend(grow(&body.head, &short, random, |point, random| {
        let place = at(point);
        // A tuft between and above the antennae, and down beside the clypeus.
        let tuft = place.0 > 0.06 && place.1.abs() < 0.15 && place.2 > -0.04 && place.2 < 0.23;
        let beside = place.0 > 0.05 && place.1.abs() > 0.10 && place.1.abs() < 0.17 && place.2 <= -0.04;
        // Some hairs are dusted with pollen.
        let dust = if random.unit() < 0.25 { 0.4 } else { 0.0 };
        (tuft || beside).then_some(look.face.mix(GREY, dust))
    }));
    hairs
}

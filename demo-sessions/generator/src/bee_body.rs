//! The build of a bumble bee: skins of head, thorax, abdomen, legs and wings.
//!
//! In: its look and pose. Out: skins, some of which [`crate::bee_coat`] grows hair on. Proportions were set by eye; this is a
//! bee to try a program on, not to learn anatomy from.

use crate::bee_coat::Look;
use crate::maths::{V3, cosine, ramp, sine};
use crate::surface::{Axes, Surface};

const CUTICLE: V3 = V3(0.13, 0.11, 0.10);
const CLYPEUS: V3 = V3(0.19, 0.155, 0.13);
const EYE: V3 = V3(0.24, 0.15, 0.12);
/// Number of back plates of the abdomen that show from above in a female.
pub(crate) const TERGA: f32 = 6.0;
/// Length of the abdomen in body units.
const ABDOMEN: f32 = 1.16;

/// How the movable parts are held.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pose {
    /// Radians from straight back.
    pub(crate) wing_spread: f32,
    /// How far the wing tips are lifted, in wing lengths.
    pub(crate) wing_rise: f32,
    /// How steeply the wing's hind edge is raised, 0 flat.
    pub(crate) wing_tilt: f32,
    /// Stretches the legs downward, 1 as when standing.
    pub(crate) leg_drop: f32,
    /// How far the legs reach from the body, 1 as when standing.
    pub(crate) leg_reach: f32,
    /// Radians by which the antennae are raised.
    pub(crate) antenna_lift: f32,
}

/// The skins of a bee, by how they are haired.
#[derive(Debug)]
pub(crate) struct Body {
    pub(crate) abdomen: Surface,
    pub(crate) thorax: Surface,
    pub(crate) head: Surface,
    /// Femora and tibiae: shortly haired.
    pub(crate) limbs: Vec<Surface>,
    /// The hind tibiae, with a fringe.
    pub(crate) hind_tibiae: Vec<Surface>,
    /// Eyes, mouth parts, antennae, feet, wings.
    bare: Vec<Surface>,
}

/// Axes of the abdomen: forward points to its tip.
pub(crate) fn abdomen_axes() -> Axes {
    Axes::looking(V3(0.08, 0.0, -0.02), V3(-1.0, 0.0, -0.08))
}

/// Axes of the head: forward is where the face looks, a little down.
pub(crate) fn head_axes() -> Axes {
    Axes::looking(V3(0.92, 0.0, -0.05), V3(0.93, 0.0, -0.36))
}

/// Place along the abdomen, 0 at the waist and 1 at the tip.
pub(crate) fn along_abdomen(point: V3) -> f32 {
    let axes = abdomen_axes();
    ((point - axes.origin).dot(axes.forward) / ABDOMEN).clamp(0.0, 1.0)
}

impl Body {
    /// Builds a bee.
    pub(crate) fn posed(look: &Look, pose: &Pose) -> Self {
        let mut body = Self {
            abdomen: abdomen(),
            thorax: Surface::egg(
                Axes::looking(V3(0.40, 0.0, 0.10), V3(1.0, 0.0, 0.0)),
                V3(0.40, 0.39, 0.36),
                48,
            )
            .painted(0.2, |_| CUTICLE),
            head: Surface::egg(head_axes(), V3(0.17, 0.265, 0.26), 48).painted(0.35, |_| CUTICLE),
            limbs: Vec::new(),
            hind_tibiae: Vec::new(),
            bare: Vec::new(),
        };
        body.add_face();
        for side in [1.0, -1.0] {
            body.add_antenna(side, pose);
            body.add_legs(side, look, pose);
            let wing = Wing { side, pose };
            for (hind, cover) in [(true, 0.22), (false, 0.26)] {
                let skin = Surface::sheet([72, 16], |s, v| wing.place(hind, s, v));
                body.bare.push(skin.painted(0.45, |_| look.wing).thinned(cover));
            }
            let tegula = Axes::looking(V3(0.50, 0.345 * side, 0.27), V3(1.0, 0.0, 0.0));
            body.bare.push(Surface::egg(tegula, V3(0.07, 0.05, 0.045), 20).painted(0.7, |_| CUTICLE));
        }
        body
    }

    /// All skins together.
    pub(crate) fn into_skins(self) -> Vec<Surface> {
        let mut skins = vec![self.abdomen, self.thorax, self.head];
        skins.extend(self.limbs);
        skins.extend(self.hind_tibiae);
        skins.extend(self.bare);
        skins
    }

    fn add_face(&mut self) {
        // Cheeks and the front of the head below the antennae.
        self.bare.push(on_head(V3(0.02, 0.0, -0.19), V3(0.13, 0.175, 0.15), 0.4, CUTICLE));
        // Clypeus, labrum.
        self.bare.push(on_head(V3(0.10, 0.0, -0.13), V3(0.085, 0.125, 0.105), 0.8, CLYPEUS));
        self.bare.push(on_head(V3(0.11, 0.0, -0.265), V3(0.05, 0.085, 0.035), 0.6, CLYPEUS));
        let ocellus = V3(0.02, 0.02, 0.02);
        self.bare.push(on_head(V3(0.10, 0.0, 0.225), ocellus, 1.0, EYE));
        for side in [1.0, -1.0] {
            self.bare.push(on_head(V3(0.0, 0.225 * side, 0.03), V3(0.145, 0.096, 0.215), 0.9, EYE));
            self.bare.push(on_head(V3(0.075, 0.055 * side, 0.235), ocellus, 1.0, EYE));
            let (hinge, tip) = (V3(0.09, 0.135 * side, -0.27), V3(0.15, 0.015 * side, -0.355));
            let jaw = Surface::limb(head_axes().place(hinge), head_axes().place(tip), [0.062, 0.020], 0.75);
            self.bare.push(jaw.painted(0.8, |_| V3(0.24, 0.14, 0.08)));
        }
    }

    fn add_antenna(&mut self, side: f32, pose: &Pose) {
        let head = head_axes();
        let colour = V3(0.22, 0.16, 0.12);
        let elbow = V3(0.25, 0.19 * side, 0.20);
        let socket = head.place(V3(0.155, 0.06 * side, 0.01));
        self.bare
            .push(Surface::limb(socket, head.place(elbow), [0.020, 0.024], 1.0).painted(0.5, |_| colour));
        // Ten segments of the flagellum, as a female has, on a bow that leads outward, forward and then down.
        let mut from = elbow;
        for segment in 0..10_u8 {
            let share = f32::from(segment) / 9.0;
            let lift = pose.antenna_lift + 0.25 - 0.75 * share;
            let to = from + V3(0.66, (0.72 - 0.35 * share) * side, lift).unit() * 0.050;
            let joint = Surface::limb(head.place(from), head.place(to), [0.021, 0.025], 1.0);
            self.bare.push(joint.painted(0.4, |_| colour));
            from = to;
        }
    }

    fn add_legs(&mut self, side: f32, look: &Look, pose: &Pose) {
        let at = |x: f32, y: f32, z: f32| V3(x, y * side, -0.16 + (z + 0.16) * pose.leg_drop);
        let legs = [
            [
                at(0.64, 0.14, -0.20),
                at(0.86, 0.38, -0.20),
                at(1.00, 0.50, -0.44),
                at(1.06, 0.54, -0.54),
                at(1.17, 0.58, -0.58),
            ],
            [
                at(0.42, 0.18, -0.24),
                at(0.46, 0.56, -0.18),
                at(0.38, 0.72, -0.44),
                at(0.33, 0.80, -0.56),
                at(0.26, 0.88, -0.60),
            ],
            [
                at(0.20, 0.16, -0.24),
                at(-0.08, 0.50, -0.16),
                at(-0.40, 0.66, -0.40),
                at(-0.58, 0.72, -0.54),
                at(-0.76, 0.76, -0.60),
            ],
        ];
        for (index, [hip, knee, ankle, heel, toe]) in legs.into_iter().enumerate() {
            let [knee, ankle, heel, toe] = [knee, ankle, heel, toe].map(|at| {
                let from = at - hip;
                hip + V3(from.0 * pose.leg_reach, from.1 * pose.leg_reach, from.2)
            });
            let hind = index == 2;
            let colour = move |_| look.leg;
            self.limbs.push(Surface::limb(hip, knee, [0.065, 0.045], 0.8).painted(0.5, colour));
            if hind {
                // Broad, flat and polished outside: the pollen basket.
                self.hind_tibiae.push(Surface::limb(knee, ankle, [0.045, 0.095], 0.45).painted(0.8, colour));
            } else {
                self.limbs.push(Surface::limb(knee, ankle, [0.040, 0.048], 0.8).painted(0.5, colour));
            }
            let heel_half = if hind { 0.062 } else { 0.034 };
            self.limbs
                .push(Surface::limb(ankle, heel, [heel_half, heel_half * 0.9], 0.6).painted(0.4, colour));
            for joint in 0..4_u8 {
                let (from, to) = (f32::from(joint) / 4.0, f32::from(joint + 1) / 4.0);
                let foot = Surface::limb(heel.mix(toe, from), heel.mix(toe, to), [0.020, 0.026], 1.0);
                self.bare.push(foot.painted(0.4, |_| V3(0.16, 0.10, 0.06)));
            }
        }
    }
}

/// An egg-shaped part of the head; `at` and `half` in the head's axes.
fn on_head(at: V3, half: V3, gloss: f32, colour: V3) -> Surface {
    let head = head_axes();
    Surface::egg(Axes { origin: head.place(at), ..head }, half, 40).painted(gloss, |_| colour)
}

fn abdomen() -> Surface {
    Surface::turned(abdomen_axes(), [120, 56], |t| {
        let widest = 0.40;
        let outline = if t < widest {
            let off = (widest - t) / widest;
            (1.0 - off * off).sqrt()
        } else {
            let off = (t - widest) / (1.0 - widest);
            let root = (1.0 - off * off).sqrt();
            root * (0.25 * root + 0.75 * root.sqrt())
        };
        // Each plate slips under the one before, so the outline steps in behind every hind edge.
        let within = (t * TERGA) - (t * TERGA).floor();
        let half = outline * (0.955 + 0.045 * within);
        [ABDOMEN * t, 0.475 * half, 0.41 * half, -0.10 * t * t]
    })
    .painted(0.35, |_| CUTICLE)
}

/// The wings of one side.
struct Wing<'a> {
    side: f32,
    pose: &'a Pose,
}

impl Wing<'_> {
    /// A place on a wing: `s` from base to tip, `v` from front to hind edge.
    fn place(&self, hind: bool, s: f32, v: f32) -> V3 {
        let (length, breadth, more) = if hind { (0.96, 0.31, -0.16) } else { (1.38, 0.44, 0.0) };
        let angle = self.pose.wing_spread + more;
        let along = V3(-cosine(angle), sine(angle) * self.side, self.pose.wing_rise).unit();
        let behind = V3(-sine(angle), -cosine(angle) * self.side, self.pose.wing_tilt).unit();
        let tip = ((s - 0.52) / 0.48).max(0.0);
        let end = (1.0 - tip * tip).max(0.0).sqrt();
        let chord = breadth * (0.22 + 0.78 * ramp(0.0, 0.65, s)) * end * end.sqrt();
        let base = V3(if hind { 0.36 } else { 0.45 }, 0.33 * self.side, if hind { 0.22 } else { 0.25 });
        // A slight billow keeps the sheet from being seen as a flat board.
        let billow = V3(0.0, 0.0, 0.02 * sine(s * 9.0 + v * 4.0));
        base + along * (length * s)
            + behind * (chord * (v - 0.30) + 0.10 * s * (1.0 - s) + 0.05 * tip * tip)
            + billow
    }
}

impl Pose {
    /// The veins of all four wings.
    pub(crate) fn veins(&self) -> Vec<Vec<V3>> {
        // Places (s, v) that each vein runs through.
        let fore: [&[(f32, f32)]; 9] = [
            &[(0.0, 0.1), (0.25, 0.03), (0.5, 0.02), (0.75, 0.02), (0.88, 0.06)],
            &[(0.0, 0.3), (0.2, 0.22), (0.45, 0.12), (0.6, 0.04)],
            &[(0.0, 0.5), (0.25, 0.48), (0.5, 0.52), (0.62, 0.62)],
            &[(0.0, 0.8), (0.25, 0.82), (0.45, 0.88)],
            &[(0.42, 0.13), (0.44, 0.30), (0.42, 0.50)],
            &[(0.44, 0.30), (0.60, 0.30), (0.75, 0.27), (0.86, 0.08)],
            &[(0.58, 0.30), (0.60, 0.45), (0.56, 0.56)],
            &[(0.72, 0.28), (0.73, 0.45), (0.66, 0.62)],
            &[(0.28, 0.48), (0.27, 0.66), (0.25, 0.82)],
        ];
        let hind: [&[(f32, f32)]; 3] = [
            &[(0.0, 0.1), (0.4, 0.04), (0.8, 0.04)],
            &[(0.0, 0.4), (0.35, 0.40), (0.6, 0.30)],
            &[(0.35, 0.40), (0.5, 0.65)],
        ];
        let mut veins = Vec::new();
        for side in [1.0, -1.0] {
            let wing = Wing { side, pose: self };
            for (is_hind, rows) in [(false, &fore[..]), (true, &hind[..])] {
                let placed =
                    |row: &&[(f32, f32)]| row.iter().map(|(s, v)| wing.place(is_hind, *s, *v)).collect();
                veins.extend(rows.iter().map(placed));
                veins.push((0..=24_u8).map(|k| wing.place(is_hind, f32::from(k) / 24.0, 1.0)).collect());
                veins.push((0..=24_u8).map(|k| wing.place(is_hind, f32::from(k) / 24.0, 0.0)).collect());
            }
        }
        veins
    }
}

//! A bumble bee before the camera: how it lies for each view, and where the camera stands.
//!
//! In: number of the bee, key of the view, chance. Out: a [`View`] ready to be drawn. The bee's build is in
//! [`crate::bee_body`], its hair and colours in [`crate::bee_coat`].

use crate::bee_body::{Body, Pose};
use crate::bee_coat::{self, LOOKS};
use crate::maths::V3;
use crate::picture::View;
use crate::random::Random;
use crate::scene::Scene;
use crate::stand::Stand;

/// Sets up a bee (counted from 1) for a view of the bumble bee plan in a picture of the given width and height.
pub(crate) fn set_up(number: u32, view: &str, size_px: [f32; 2], random: &mut Random) -> View {
    let look = &LOOKS[(number as usize - 1) % LOOKS.len()];
    let (mut stand, pose) = stand(view);
    let upright = size_px[1] > size_px[0];
    if upright && view != "side" {
        // Wings and legs need more room across than a picture held upright has; the side view is turned instead.
        stand.field *= 1.15;
    }
    let pose = Pose {
        wing_spread: pose.wing_spread + random.between(-0.10, 0.10),
        wing_rise: pose.wing_rise + random.between(-0.04, 0.04),
        leg_drop: pose.leg_drop * random.between(0.92, 1.08),
        antenna_lift: random.between(-0.15, 0.15),
        ..pose
    };
    let body = Body::posed(look, &pose);
    // The same bee has the same hairs in all its frames.
    let hairs = bee_coat::hairs(look, &body, &mut Random::new(&[u64::from(number), 31]));
    let scene = Scene { surfaces: body.into_skins(), hairs, veins: pose.veins() };
    let camera = stand.camera(view == "side" && upright, look.size, size_px, random);
    let focus = (stand.sharp - camera.target).dot(camera.toward);
    View { scene, camera, focus }
}

/// The camera place and the pose for a view.
fn stand(view: &str) -> (Stand, Pose) {
    let pose = |wing_spread, wing_rise, wing_tilt, [leg_drop, leg_reach]: [f32; 2]| Pose {
        wing_spread,
        wing_rise,
        wing_tilt,
        leg_drop,
        leg_reach,
        antenna_lift: 0.0,
    };
    match view {
        "side" => (
            Stand {
                toward: V3(0.06, 1.0, 0.10),
                up: V3(0.0, 0.0, 1.0),
                target: V3(0.06, 0.0, -0.10),
                sharp: V3(0.2, 0.36, 0.0),
                field: 2.25,
            },
            pose(0.40, 0.15, 0.80, [1.35, 1.0]),
        ),
        "head-top" => (
            Stand {
                toward: V3(0.40, 0.0, 0.92),
                up: V3(0.92, 0.0, -0.40),
                target: V3(0.98, 0.0, 0.02),
                sharp: V3(0.95, 0.0, 0.18),
                field: 1.22,
            },
            pose(0.75, 0.05, 0.15, [1.2, 0.55]),
        ),
        "face" => (
            Stand {
                toward: V3(0.98, 0.0, -0.20),
                up: V3(0.20, 0.0, 0.98),
                target: V3(0.94, 0.0, -0.10),
                sharp: V3(1.06, 0.0, -0.10),
                field: 1.24,
            },
            pose(0.45, 0.05, 0.3, [1.0, 0.80]),
        ),
        "above" => (
            Stand {
                toward: V3(0.0, 0.0, 1.0),
                up: V3(1.0, 0.0, 0.0),
                target: V3(0.14, 0.0, 0.0),
                sharp: V3(0.1, 0.0, 0.36),
                field: 2.95,
            },
            pose(0.95, 0.04, 0.12, [1.0, 1.0]),
        ),
        // The abdomen tip.
        _ => (
            Stand {
                toward: V3(-0.42, 0.0, 0.91),
                up: V3(0.91, 0.0, 0.42),
                target: V3(-0.84, 0.0, 0.0),
                sharp: V3(-0.90, 0.0, 0.16),
                field: 1.22,
            },
            pose(1.35, 0.08, 0.1, [1.0, 0.9]),
        ),
    }
}

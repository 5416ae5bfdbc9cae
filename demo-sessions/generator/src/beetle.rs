//! A carded beetle before the camera: the six looks, and where the camera stands for each view.
//!
//! In: number of the beetle, key of the view, chance. Out: a [`View`] ready to be drawn. The build is in
//! [`crate::beetle_body`].

use crate::beetle_body::{Look, Pattern, skins};
use crate::maths::V3;
use crate::picture::View;
use crate::random::Random;
use crate::scene::Scene;
use crate::stand::Stand;

/// The beetles in order of the evening.
const LOOKS: [Look; 6] = [
    // Long, metallic green that turns coppery.
    Look {
        size: 1.0,
        case_length: 1.16,
        half_width: 0.44,
        height: 0.34,
        neck: 0.36,
        case: V3(0.10, 0.48, 0.22),
        mark: V3(0.0, 0.0, 0.0),
        pattern: Pattern::Plain,
        sheen: Some(V3(0.62, 0.36, 0.14)),
        pronotum: V3(0.12, 0.50, 0.26),
        leg: V3(0.36, 0.18, 0.08),
        below: V3(0.16, 0.24, 0.16),
        rows: 1.0,
        club: false,
    },
    // Broad and brown, clubbed.
    Look {
        size: 0.98,
        case_length: 1.06,
        half_width: 0.54,
        height: 0.44,
        neck: 0.46,
        case: V3(0.55, 0.30, 0.13),
        mark: V3(0.0, 0.0, 0.0),
        pattern: Pattern::Plain,
        sheen: None,
        pronotum: V3(0.34, 0.17, 0.09),
        leg: V3(0.40, 0.21, 0.10),
        below: V3(0.44, 0.27, 0.15),
        rows: 0.7,
        club: true,
    },
    // Black with orange bands.
    Look {
        size: 1.02,
        case_length: 1.04,
        half_width: 0.47,
        height: 0.36,
        neck: 0.40,
        case: V3(0.075, 0.070, 0.070),
        mark: V3(0.88, 0.42, 0.08),
        pattern: Pattern::Bands,
        sheen: None,
        pronotum: V3(0.08, 0.075, 0.075),
        leg: V3(0.09, 0.08, 0.08),
        below: V3(0.15, 0.13, 0.12),
        rows: 0.2,
        club: true,
    },
    // Round and red with black spots.
    Look {
        size: 0.92,
        case_length: 1.02,
        half_width: 0.64,
        height: 0.56,
        neck: 0.42,
        case: V3(0.78, 0.17, 0.08),
        mark: V3(0.08, 0.06, 0.06),
        pattern: Pattern::Spots,
        sheen: None,
        pronotum: V3(0.09, 0.08, 0.08),
        leg: V3(0.10, 0.08, 0.07),
        below: V3(0.18, 0.13, 0.11),
        rows: 0.0,
        club: true,
    },
    // Blue, nearly black, violet at the edges.
    Look {
        size: 0.96,
        case_length: 0.98,
        half_width: 0.56,
        height: 0.48,
        neck: 0.44,
        case: V3(0.08, 0.14, 0.38),
        mark: V3(0.0, 0.0, 0.0),
        pattern: Pattern::Plain,
        sheen: Some(V3(0.34, 0.16, 0.44)),
        pronotum: V3(0.08, 0.13, 0.34),
        leg: V3(0.10, 0.10, 0.16),
        below: V3(0.12, 0.13, 0.22),
        rows: 0.45,
        club: false,
    },
    // Narrow, straw-coloured with dark lines.
    Look {
        size: 1.0,
        case_length: 1.18,
        half_width: 0.38,
        height: 0.32,
        neck: 0.33,
        case: V3(0.82, 0.66, 0.34),
        mark: V3(0.22, 0.13, 0.07),
        pattern: Pattern::Stripes,
        sheen: None,
        pronotum: V3(0.60, 0.34, 0.16),
        leg: V3(0.56, 0.34, 0.16),
        below: V3(0.50, 0.34, 0.20),
        rows: 0.5,
        club: false,
    },
];

/// Sets up a beetle (counted from 1) for a view of the beetle plan in a picture of the given width and height.
pub(crate) fn set_up(number: u32, view: &str, size_px: [f32; 2], random: &mut Random) -> View {
    let look = &LOOKS[(number as usize - 1) % LOOKS.len()];
    let stand = stand(view);
    let camera = stand.camera(false, look.size, size_px, random);
    let scene = Scene { surfaces: skins(look, view == "underside"), ..Scene::default() };
    View { scene, camera, focus: (stand.sharp - camera.target).dot(camera.toward) }
}

fn stand(view: &str) -> Stand {
    match view {
        "above" => Stand {
            toward: V3(0.0, 0.0, 1.0),
            up: V3(1.0, 0.0, 0.0),
            target: V3(-0.05, 0.0, 0.0),
            sharp: V3(-0.3, 0.0, 0.25),
            field: 3.25,
        },
        "side" => Stand {
            toward: V3(0.0, 1.0, 0.14),
            up: V3(0.0, 0.0, 1.0),
            target: V3(-0.08, 0.0, -0.08),
            sharp: V3(-0.3, 0.40, 0.0),
            field: 2.10,
        },
        "face" => Stand {
            toward: V3(0.97, 0.0, 0.10),
            up: V3(0.0, 0.0, 1.0),
            target: V3(0.70, 0.0, -0.04),
            sharp: V3(0.70, 0.0, -0.08),
            field: 1.62,
        },
        // The under side, the beetle laid on its back.
        _ => Stand {
            toward: V3(0.0, 0.0, -1.0),
            up: V3(1.0, 0.0, 0.0),
            target: V3(-0.08, 0.0, 0.0),
            sharp: V3(-0.2, 0.0, -0.25),
            field: 3.10,
        },
    }
}

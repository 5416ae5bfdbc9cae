//! Hair: thousands of short strokes that grow out of a skin.
//!
//! In: a skin and how its coat is. Out: single hairs in body space. How they are lit is [`crate::scene`]'s matter.

use crate::maths::V3;
use crate::random::Random;
use crate::surface::Surface;

/// One hair, a curve from root over `bend` to tip, in body units.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hair {
    pub(crate) root: V3,
    pub(crate) bend: V3,
    pub(crate) tip: V3,
    /// The skin's normal at the root.
    pub(crate) normal: V3,
    pub(crate) colour: V3,
    pub(crate) width: f32,
}

/// How hair grows on a skin.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Coat {
    /// Hairs on a square of one body unit.
    pub(crate) density: f32,
    /// Body units.
    pub(crate) length: f32,
    pub(crate) width: f32,
    /// Where the hair is combed to; its length says how strongly.
    pub(crate) lean: V3,
    /// How far directions scatter, 0 combed to 1 wild.
    pub(crate) scatter: f32,
}

/// Grows hair on a skin. `colour` gives the colour at a place, or nothing where the skin is bare.
pub(crate) fn grow(
    surface: &Surface,
    coat: &Coat,
    random: &mut Random,
    colour: impl Fn(V3, &mut Random) -> Option<V3>,
) -> Vec<Hair> {
    let columns = surface.across + 1;
    let mut hairs = Vec::new();
    for row in 0..surface.along {
        for column in 0..surface.across {
            let corner = row * columns + column;
            let [a, b, c] =
                [surface.points[corner], surface.points[corner + 1], surface.points[corner + columns]];
            let wanted = (b - a).length() * (c - a).length() * coat.density;
            let count = (wanted + random.unit()).floor() as usize;
            for _ in 0..count {
                let root = a + (b - a) * random.unit() + (c - a) * random.unit();
                if let Some(colour) = colour(root, random) {
                    hairs.push(single(root, surface.normals[corner], colour, coat, random));
                }
            }
        }
    }
    hairs
}

fn single(root: V3, normal: V3, colour: V3, coat: &Coat, random: &mut Random) -> Hair {
    let stray = V3(random.bell(), random.bell(), random.bell()) * coat.scatter;
    let growth = (normal + coat.lean * 0.6 + stray * 0.6).unit();
    let end = (normal + coat.lean * 1.4 + stray).unit();
    let length = coat.length * random.between(0.65, 1.2);
    let bend = root + growth * (length * 0.55);
    let shade = random.between(0.80, 1.18);
    Hair { root, bend, tip: bend + end * (length * 0.5), normal, colour: colour * shade, width: coat.width }
}

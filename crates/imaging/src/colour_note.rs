//! The colour of a patch of a picture, told against the day's blank as neutral reference, with what makes it unsafe.
//!
//! Go in: a picture, a [`Region`] of it, and a blank of the same light. Comes out: a [`ColourNote`]: mean and spread as
//! CIELAB of D65, the plain word nearest to it, and every [`Doubt`]. Pictures are as the camera developed them, so the
//! numbers tell one day's colours apart; they are no calibrated colorimetry. Lightness stays as the frame was exposed:
//! camera and exposure may differ between frame and blank, so that the blank tells the light's colour only.
//!
//! White balance is von Kries's coefficient law (von Kries 1902, from memory) upon sRGB's own primaries in linear light, as
//! is common practice: each colour is multiplied by `Y / mean`, `mean` being that colour's mean over the blank and `Y` the
//! luminance of the three means, so that the blank becomes grey and keeps its luminance. Paper is no standard: brighteners
//! make it bluish.

use crate::cielab::{linear, luminance, of_linear, to_coded, to_linear};
use crate::colour::Rgb;
use crate::colour_word::ColourWord;
use crate::quality::{is_black, is_blown};
use crate::region::Region;

/// At each end of each of L\*, a\* and b\* (and of the blank's colours) this share of pixels is left out of the mean. Glints,
/// dust and stray hairs lie there. Our own choice.
const TRIMMED: f64 = 0.1;

/// The range between the ends of a normal distribution trimmed by [`TRIMMED`], in standard deviations: 2 × 1.28155.
const TRIMMED_RANGE_SDS: f64 = 2.563_103;

/// No more pixels than this are taken of a patch; more would only cost time.
const MOST_PIXELS: usize = 1 << 20;

/// The blank is taken over a square of at least this share of its long side, so that grain and dust do not matter.
const NEUTRAL_SHARE: f64 = 1.0 / 16.0;

/// Frames as wide for their height as the blank to within this are the same part of the scene; previews round by a pixel.
const SHAPE: f64 = 0.01;

// When a number is unsafe: all limits are our own choice, with what they rest on.

/// Share of the patch blown out or lost in black: half of what the mean leaves out at that end.
const LOST_SHARE: f64 = TRIMMED / 2.0;

/// Pixels of a patch: one block of a JPEG with halved colour, 16 × 16; fewer have no colour of their own.
const FEWEST_PIXELS: usize = 256;

/// Spread over all three axes from which a patch has several colours. Of 2457 small patches within 27 real pictures of bees 99
/// in 100 stay below 12; equal parts of black and yellow make more than 30.
const MIXED_FROM: f64 = 20.0;

/// Two words this near to each other in ΔE00 might change places by the camera's own rendering, some 5.
const WORDS_APART: f64 = 5.0;

/// Farther than this ΔE00 from every centre no word fits: the plain colours of each name lie within it.
const WORD_REACH: f64 = 20.0;

/// Chroma of the blank before balance beyond which scaling of three colours is a poor model of the light. White paper in real
/// pictures had 2 to 6, tinted paper 11 to 18.
const NEUTRAL_CHROMA: f64 = 10.0;

/// L\* of the blank below which half a code value is more than 1.5 % of its light. White paper had 92 to 97, a capped lens 1
/// to 3.
const NEUTRAL_DARK: f64 = 30.0;

/// The blank's lightest place over its darkest, in linear light: at 1.5 L\* changes by some 10 across the frame. Even paper in
/// real pictures had up to 1.07, paper with light that falls off 2.9.
const LIGHT_UNEVEN: f64 = 1.5;

/// Places a side in which the evenness of light is looked at.
const LIGHT_PLACES: f64 = 8.0;

/// No more pixels than this are taken of each.
const PLACE_PIXELS: usize = 1 << 10;

/// Why the number, or its word, should not be relied on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// No blank: nothing was balanced.
    NoNeutral,
    /// The blank has another shape, so that its middle was taken instead of the patch's place.
    NeutralElsewhere,
    /// The blank has this chroma before balance: coloured ground or strongly coloured light.
    NeutralNotGrey(f64),
    /// The blank is this dark, L\*.
    NeutralTooDark(f64),
    /// This share of the blank at that place is blown out, 0..=1.
    NeutralBlown(f64),
    /// The blank's lightest place has this many times the light of its darkest.
    LightUneven(f64),
    /// This share of the patch is blown out, 0..=1.
    PatchBlown(f64),
    /// This share of the patch is lost in black, 0..=1.
    PatchBlack(f64),
    /// The patch has this few pixels.
    PatchSmall(usize),
    /// The spread over all three axes is this large: several colours.
    SpreadWide(f64),
    /// The two nearest words differ by this little ΔE00 in how near they are.
    TwoWordsNear(f64),
    /// The nearest word is this far, ΔE00.
    FarFromWords(f64),
}

impl Doubt {
    /// Says it in words, without a full stop.
    pub fn words(self) -> String {
        match self {
            Self::NoNeutral => "no blank to tell the light's colour by".into(),
            Self::NeutralElsewhere => "the blank has another shape, so its middle was taken".into(),
            Self::NeutralNotGrey(chroma) => format!("the blank is not grey: chroma {chroma:.0}"),
            Self::NeutralTooDark(l) => format!("the blank is dark: lightness {l:.0} of 100"),
            Self::NeutralBlown(share) => format!("{:.0} % of the blank is blown out there", 100.0 * share),
            Self::LightUneven(times) => format!("light is uneven: {times:.1} times as strong in places"),
            Self::PatchBlown(share) => format!("{:.0} % of the patch is blown out", 100.0 * share),
            Self::PatchBlack(share) => format!("{:.0} % of the patch is lost in black", 100.0 * share),
            Self::PatchSmall(pixels) => format!("the patch has {pixels} pixels only"),
            Self::SpreadWide(spread) => format!("the patch has several colours: spread {spread:.0}"),
            Self::TwoWordsNear(apart) => format!("two words are nearly as near: {apart:.1} apart"),
            Self::FarFromWords(far) => format!("no word is near: the nearest is {far:.0} away"),
        }
    }
}

/// The neutral reference that was used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neutral {
    /// Its colour as photographed, CIELAB of D65.
    pub lab: [f64; 3],
    /// Standard deviation of its red, green and blue in linear light, as shares of their means.
    pub spread: [f64; 3],
}

/// The colour of a patch.
#[derive(Debug, Clone, PartialEq)]
pub struct ColourNote {
    /// L\*, a\*, b\* (D65, balanced): on each axis the mean without the outer tenth at either end.
    pub lab: [f64; 3],
    /// Spread on each axis: the range without the outer tenths over 2.563, which is the standard deviation if normal.
    pub spread: [f64; 3],
    /// How many pixels were taken.
    pub pixels: usize,
    /// The word: the nearest, or [`ColourWord::Mixed`].
    pub word: ColourWord,
    /// The two nearest words and their ΔE00, nearest first; also when the patch is mixed.
    pub nearest: [(ColourWord, f64); 2],
    /// What it was balanced by; `None` when nothing could be.
    pub neutral: Option<Neutral>,
    /// Why the number is unsafe; empty when nothing speaks against it.
    pub doubts: Vec<Doubt>,
}

impl ColourNote {
    /// The mean as coded sRGB, to be shown beside its word.
    pub fn shown(&self) -> [u8; 3] {
        to_coded(to_linear(self.lab)).0
    }
}

/// Tells the colour of a patch. `None` when no pixel of the picture lies in it.
pub fn note(picture: &Rgb, region: &Region, blank: Option<&Rgb>) -> Option<ColourNote> {
    let patch = pixels_of(picture, region, MOST_PIXELS);
    if patch.is_empty() {
        return None;
    }
    let share = |is: fn([u8; 3]) -> bool| {
        patch.iter().filter(|pixel| is(**pixel)).count() as f64 / patch.len() as f64
    };
    let mut doubts = Vec::new();
    let neutral = blank.and_then(|blank| neutral_of(blank, picture, region, &mut doubts));
    let gains = neutral.map_or([1.0; 3], |(_, gains)| gains);
    if neutral.is_none() {
        doubts.push(Doubt::NoNeutral);
    }

    let table: [f64; 256] = std::array::from_fn(|v| linear(v as u8));
    let labs: Vec<[f64; 3]> = patch
        .iter()
        .map(|pixel| of_linear([0, 1, 2].map(|i| gains[i] * table[usize::from(pixel[i])])))
        .collect();
    let axes = [0, 1, 2].map(|axis| trimmed(labs.iter().map(|lab| lab[axis]).collect()));
    let (lab, spread) = (axes.map(|a| a.0), axes.map(|a| a.1));
    let nearest = ColourWord::nearest(lab);
    let wide = spread.iter().map(|s| s * s).sum::<f64>().sqrt();
    let apart = nearest[1].1 - nearest[0].1;

    let [light, dark] = [is_blown, is_black].map(share);
    doubts.extend((light > LOST_SHARE).then_some(Doubt::PatchBlown(light)));
    doubts.extend((dark > LOST_SHARE).then_some(Doubt::PatchBlack(dark)));
    doubts.extend((patch.len() < FEWEST_PIXELS).then_some(Doubt::PatchSmall(patch.len())));
    let mixed = wide > MIXED_FROM;
    if mixed {
        doubts.push(Doubt::SpreadWide(wide));
    } else {
        doubts.extend((apart < WORDS_APART).then_some(Doubt::TwoWordsNear(apart)));
        doubts.extend((nearest[0].1 > WORD_REACH).then_some(Doubt::FarFromWords(nearest[0].1)));
    }
    let word = if mixed { ColourWord::Mixed } else { nearest[0].0 };
    let neutral = neutral.map(|(neutral, _)| neutral);
    Some(ColourNote { lab, spread, pixels: patch.len(), word, nearest, neutral, doubts })
}

/// The blank's colour where the patch lies, and what each colour of linear light is to be multiplied by. `None` when it has
/// no pixels or a colour without any light.
fn neutral_of(
    blank: &Rgb,
    picture: &Rgb,
    region: &Region,
    doubts: &mut Vec<Doubt>,
) -> Option<(Neutral, [f64; 3])> {
    let (width, height) = (blank.width as f64, blank.height as f64);
    let scale = (width / picture.width as f64, height / picture.height as f64);
    let same_shape = (scale.0 / scale.1 - 1.0).abs() <= SHAPE;
    let (low, high) = region.bounds()?;
    let (middle, half) = if same_shape {
        let least = NEUTRAL_SHARE / 2.0 * width.max(height);
        // Of a patch that the edge cuts, the part within.
        let within = |from: f64, to: f64, scale: f64, side: f64| {
            let (from, to) = ((from * scale).clamp(0.0, side), (to * scale).clamp(0.0, side));
            (from.midpoint(to), ((to - from) / 2.0).max(least))
        };
        let (across, down) = (within(low.0, high.0, scale.0, width), within(low.1, high.1, scale.1, height));
        ((across.0, down.0), (across.1, down.1))
    } else {
        ((width / 2.0, height / 2.0), (width / 4.0, height / 4.0))
    };
    let corners = ((middle.0 - half.0, middle.1 - half.1), (middle.0 + half.0, middle.1 + half.1));
    let pixels = pixels_of(blank, &Region::Rectangle(corners.0, corners.1), MOST_PIXELS);
    if pixels.is_empty() {
        return None;
    }
    let colours = [0, 1, 2].map(|i| trimmed(pixels.iter().map(|pixel| linear(pixel[i])).collect()));
    let means = colours.map(|c| c.0);
    if means.iter().any(|mean| *mean <= 0.0) {
        return None;
    }
    let lab = of_linear(means);

    let (chroma, blown) = (lab[1].hypot(lab[2]), pixels.iter().filter(|p| is_blown(**p)).count());
    let (blown, uneven) = (blown as f64 / pixels.len() as f64, unevenness(blank));
    doubts.extend((!same_shape).then_some(Doubt::NeutralElsewhere));
    doubts.extend((chroma > NEUTRAL_CHROMA).then_some(Doubt::NeutralNotGrey(chroma)));
    doubts.extend((lab[0] < NEUTRAL_DARK).then_some(Doubt::NeutralTooDark(lab[0])));
    doubts.extend((blown > LOST_SHARE).then_some(Doubt::NeutralBlown(blown)));
    doubts.extend((uneven > LIGHT_UNEVEN).then_some(Doubt::LightUneven(uneven)));
    let neutral = Neutral { lab, spread: colours.map(|c| c.1 / c.0) };
    Some((neutral, means.map(|mean| luminance(means) / mean)))
}

/// How many times the light of the darkest place the lightest has.
fn unevenness(blank: &Rgb) -> f64 {
    let (across, down) = (blank.width as f64 / LIGHT_PLACES, blank.height as f64 / LIGHT_PLACES);
    let side = 0..LIGHT_PLACES as usize;
    let places = side.clone().flat_map(|y| side.clone().map(move |x| (x as f64, y as f64)));
    let lights = places.filter_map(|(x, y)| {
        let corners = ((x * across, y * down), ((x + 1.0) * across, (y + 1.0) * down));
        let pixels = pixels_of(blank, &Region::Rectangle(corners.0, corners.1), PLACE_PIXELS);
        let lights: Vec<f64> = pixels.into_iter().map(|pixel| luminance(pixel.map(linear))).collect();
        (!lights.is_empty()).then(|| trimmed(lights).0)
    });
    let (low, high) =
        lights.fold((f64::INFINITY, 0.0_f64), |(low, high), light| (low.min(light), high.max(light)));
    high / low.max(linear(1))
}

fn pixels_of(picture: &Rgb, region: &Region, most: usize) -> Vec<[u8; 3]> {
    let all = picture.values.as_chunks::<3>().0;
    let places = region.pixels((picture.width, picture.height), most);
    places.into_iter().filter_map(|(x, y)| all.get(y * picture.width + x).copied()).collect()
}

/// Mean of the values without the outer tenths, and their spread as a standard deviation. Not empty.
fn trimmed(mut values: Vec<f64>) -> (f64, f64) {
    values.sort_unstable_by(f64::total_cmp);
    let cut = (TRIMMED * values.len() as f64) as usize;
    let inner = &values[cut..values.len() - cut];
    let mean = inner.iter().sum::<f64>() / inner.len() as f64;
    (mean, (inner[inner.len() - 1] - inner[0]) / TRIMMED_RANGE_SDS)
}

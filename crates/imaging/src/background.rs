//! What a frame would show with nothing in front of it: ground and light, colour by colour.
//!
//! The blanks shot near a set show just that, so their median is the best model. Without a usable blank the frame's own
//! border gives it, which is worse where an animal reaches the border; [`Source`] says which it was. Colours are on the
//! logarithmic scale on which light multiplies away, so a change of exposure is one number a colour.

use crate::colour::Rgb;
use crate::{Field, Luma, Surface};

/// Long side on which ground and subject are told apart, as for blanks: a leg is a pixel wide.
pub(crate) const SMALL_PX: usize = 160;

/// Luma added before the logarithm, and scale of the result, as for blanks: steps are those of luma at mid grey.
const BLACK_LIFT: f32 = 25.0;
const SCALE: f32 = 128.0 + BLACK_LIFT;

/// Share of the short side that counts as border.
const BORDER: f64 = 0.06;

/// How far the shapes of blank and frame may differ, in the logarithm of width over height: where bars were cut off a
/// thumbnail some rows of the picture went with them.
const OTHER_SHAPE: f64 = 0.06;

/// How many times the border is fitted anew without what stands out from it; the fourth changes the last digit only.
const FITS: usize = 4;

/// Power by which linear light follows coded values, about (IEC 61966-2-1).
const GAMMA: f32 = 2.2;

/// What a background was made from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// This many blanks.
    Blanks(usize),
    /// The frame's own border, there being no usable blank.
    Border,
}

impl Source {
    /// Says in words what subject and light rest on.
    pub fn words(self) -> String {
        match self {
            Self::Blanks(1) => "background and light from a blank nearby".to_owned(),
            Self::Blanks(n) => format!("background and light from {n} blanks nearby"),
            Self::Border => {
                "no usable blank nearby, so background and light are taken from the frame's own border"
                    .to_owned()
            }
        }
    }
}

/// Ground and light, colour by colour, as contrast: logarithms of coded values, on which light multiplies away.
#[derive(Debug, Clone, PartialEq)]
pub struct Background {
    /// Red, green and blue.
    pub(crate) colours: [Field; 3],
    /// What it was made from.
    pub source: Source,
}

/// Red, green and blue of a picture reduced for telling the subject, as contrast.
pub(crate) fn contrast_of(small: &Rgb) -> [Field; 3] {
    let table: [f32; 256] = std::array::from_fn(|v| SCALE * ((f32::from(v as u8) + BLACK_LIFT) / SCALE).ln());
    [0, 1, 2].map(|colour| {
        let values = small.pixels().map(|p| table[usize::from(p[colour])]).collect();
        Field { width: small.width, height: small.height, values }
    })
}

impl Background {
    /// The median of blanks, which pictures of this size can be told from; blanks of another shape are left out.
    /// `None` when none is left.
    ///
    /// Each blank is brought to a common exposure first. The median is smoothed, because a hand-held camera never shows
    /// the same speck in the same place twice.
    pub fn of_blanks(blanks: &[Rgb], size_px: (usize, usize)) -> Option<Self> {
        let shape = small_size(size_px);
        if shape.0 == 0 || shape.1 == 0 {
            return None;
        }
        let small = blanks.iter().map(|b| b.clone().reduced(SMALL_PX));
        let fitting: Vec<_> = small.filter_map(|b| fitted(&b, shape)).map(|b| contrast_of(&b)).collect();
        if fitting.is_empty() {
            return None;
        }
        let colours = [0, 1, 2].map(|colour| {
            let layers: Vec<&Field> = fitting.iter().map(|blank| &blank[colour]).collect();
            let levels: Vec<f32> = layers.iter().map(|l| middle(&mut l.values.clone())).collect();
            let common = middle(&mut levels.clone());
            let values = (0..shape.0 * shape.1).map(|i| {
                middle(
                    &mut layers
                        .iter()
                        .zip(&levels)
                        .map(|(l, own)| l.values[i] - own + common)
                        .collect::<Vec<_>>(),
                )
            });
            smoothed(&Field { width: shape.0, height: shape.1, values: values.collect() })
        });
        Some(Self { colours, source: Source::Blanks(fitting.len()) })
    }

    /// A surface through the frame's border, without what stands out from it.
    pub(crate) fn of_border(frame: &[Field; 3]) -> Self {
        let colours = [0, 1, 2].map(|colour| border_surface(&frame[colour]));
        Self { colours, source: Source::Border }
    }

    /// Light over the background as shares of its mean, row-major on its own small scale: what a frame's linear values
    /// are divided by to make its light even. Ground that is not even in itself counts as light.
    pub fn flat_field(&self) -> Field {
        let green = &self.colours[1];
        let light = Surface::fit(green);
        let left = light.residual(green);
        let coded: Vec<f32> = green
            .values
            .iter()
            .zip(&left.values)
            .map(|(v, l)| SCALE * ((v - l) / SCALE).exp() - BLACK_LIFT)
            .collect();
        let linear: Vec<f32> = coded.iter().map(|c| (c.max(1.0) / 255.0).powf(GAMMA)).collect();
        let mean = linear.iter().sum::<f32>() / linear.len().max(1) as f32;
        Field { values: linear.iter().map(|l| l / mean).collect(), ..*green }
    }

    /// A picture on the background's own small scale as it would be in even light on a grey ground, however it was
    /// exposed: its linear values divided by the light over them, its colours in proportion to the ground's. `None` when
    /// it has another size.
    pub fn calibrated(&self, small: &Rgb) -> Option<Rgb> {
        let light = self.flat_field();
        if (small.width, small.height) != (light.width, light.height) {
            return None;
        }
        let ground = self.neutral().map(|coded| coded.max(1.0));
        let grey = ground.iter().sum::<f32>() / 3.0;
        let values = small.pixels().zip(&light.values).flat_map(|(pixel, light)| {
            // A power of a quotient is the quotient of powers, so coded values need not be made linear first.
            let even = light.powf(-1.0 / GAMMA);
            let own = [0, 1, 2].map(|i| f32::from(pixel[i]) * even * grey / ground[i]);
            own.map(|coded| coded.round().clamp(0.0, 255.0) as u8)
        });
        Rgb::new(small.width, small.height, values.collect())
    }

    /// The background's own colour, coded, in its middle value: what a neutral ground is made grey by.
    pub fn neutral(&self) -> [f32; 3] {
        [0, 1, 2].map(|i| SCALE * (middle(&mut self.colours[i].values.clone()) / SCALE).exp() - BLACK_LIFT)
    }
}

/// Size of a picture once reduced for telling the subject.
fn small_size((width, height): (usize, usize)) -> (usize, usize) {
    let blank = Luma { width, height, pixels: vec![] };
    let long = blank.width.max(blank.height);
    if long <= SMALL_PX {
        return (width, height);
    }
    let scaled = |side: usize| ((side * SMALL_PX + long / 2) / long).max(1);
    (scaled(width), scaled(height))
}

/// A picture stretched to a size of about its own shape; `None` when it is of another.
fn fitted(picture: &Rgb, (width, height): (usize, usize)) -> Option<Rgb> {
    let shape = (picture.width * height) as f64 / (picture.height * width).max(1) as f64;
    if picture.values.is_empty() || (shape.ln()).abs() > OTHER_SHAPE {
        return None;
    }
    let place =
        |i: usize| (i / width * picture.height / height) * picture.width + i % width * picture.width / width;
    let pixels = picture.values.as_chunks::<3>().0;
    Rgb::new(width, height, (0..width * height).flat_map(|i| pixels[place(i)]).collect())
}

/// Middle value, the upper one of two; 0 of none. Sorts in place.
pub(crate) fn middle(values: &mut [f32]) -> f32 {
    let at = values.len() / 2;
    if values.is_empty() { 0.0 } else { *values.select_nth_unstable_by(at, f32::total_cmp).1 }
}

/// Whether a place lies in the border.
pub(crate) fn in_border(x: usize, y: usize, width: usize, height: usize) -> bool {
    let deep = ((BORDER * width.min(height) as f64) as usize).max(1);
    x < deep || y < deep || x + deep >= width || y + deep >= height
}

fn border_surface(field: &Field) -> Field {
    let (width, height) = (field.width, field.height);
    let all: Vec<usize> =
        (0..width * height).filter(|i| in_border(i % width, i / width, width, height)).collect();
    // A half of the border is ground, or there is nothing to go by: start from what lies nearest its middle value.
    let level = middle(&mut all.iter().map(|i| field.values[*i]).collect::<Vec<_>>());
    let mut surface = Field { values: vec![level; width * height], ..*field };
    for _ in 0..FITS {
        let off = |i: usize| (field.values[i] - surface.values[i]).abs();
        // Three robust standard deviations (1.4826 × the median deviation), or two levels.
        let most = (3.0 * 1.4826 * middle(&mut all.iter().map(|i| off(*i)).collect::<Vec<_>>())).max(2.0);
        let ground: Vec<usize> = all.iter().copied().filter(|i| off(*i) <= most).collect();
        let left = Surface::fit_at(field, &ground).residual(field);
        surface.values = field.values.iter().zip(&left.values).map(|(v, l)| v - l).collect();
    }
    surface
}

/// Means over 9 × 9 values, fewer at the edges, as two runs of means along rows and columns.
fn smoothed(field: &Field) -> Field {
    const REACH: usize = 4;
    let run = |values: &[f32], width: usize, height: usize, step: usize, length: usize| -> Vec<f32> {
        (0..width * height)
            .map(|i| {
                let at = if step == 1 { i % width } else { i / width };
                let (from, to) = (at.saturating_sub(REACH), (at + REACH).min(length - 1));
                (from..=to).map(|j| values[i - at * step + j * step]).sum::<f32>() / (to - from + 1) as f32
            })
            .collect()
    };
    let (w, h) = (field.width, field.height);
    let across = run(&field.values, w, h, 1, w);
    Field { values: run(&across, w, h, w, h), ..*field }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even(width: usize, height: usize, rgb: [u8; 3]) -> Rgb {
        Rgb::new(width, height, rgb.repeat(width * height)).unwrap()
    }

    #[test]
    fn blanks_of_any_exposure_make_one_ground() {
        let blanks =
            [even(160, 107, [200, 190, 180]), even(160, 107, [100, 95, 90]), even(120, 160, [9, 9, 9])];
        let background = Background::of_blanks(&blanks, (160, 107)).unwrap();
        assert_eq!(background.source, Source::Blanks(2), "one is of another shape");
        let [r, g, b] = background.neutral();
        assert!(r > g && g > b && (r - 200.0).abs() < 0.1, "{r} {g} {b}");
        // Three exposures of one sheet that brightens to the right, each stop its own middle: the ramp stays what it is.
        let ramp = |share: f64| {
            let row = (0..160).flat_map(|x| [(share * (100.0 + 0.5 * f64::from(x))) as u8; 3]);
            Rgb::new(160, 107, row.collect::<Vec<_>>().repeat(107)).unwrap()
        };
        let spots = |share: f64, at: usize| {
            let mut sheet = ramp(share);
            sheet.values[3 * 160 * at..3 * 160 * (at + 30)].fill(20);
            sheet
        };
        let three = [spots(1.0, 0), spots(0.8, 35), spots(0.6, 70)];
        let median = Background::of_blanks(&three, (160, 107)).unwrap();
        let column = |y: usize| median.colours[1].row(y)[80];
        assert!(
            [15, 50, 85, 100].iter().all(|y| (column(*y) - column(33)).abs() < 3.0),
            "what one sheet shows is gone"
        );
        assert!(Background::of_blanks(&blanks, (160, 90)).is_none());
        assert!(Background::of_blanks(&[], (160, 107)).is_none());
        assert!(background.flat_field().values.iter().all(|v| (v - 1.0).abs() < 1e-3));
    }

    #[test]
    fn light_of_a_blank_is_its_flat_field() {
        let values = (0..160 * 107).flat_map(|i| [(100 + i % 160 / 2) as u8; 3]).collect();
        let flat =
            Background::of_blanks(&[Rgb::new(160, 107, values).unwrap()], (160, 107)).unwrap().flat_field();
        let (left, right) = (flat.row(50)[8], flat.row(50)[151]);
        // Coded 104 and 175, in linear light a ratio of 1.683^2.2.
        assert!((right / left - 1.683f32.powf(2.2)).abs() < 0.2, "{left} {right}");
    }

    #[test]
    fn even_light_and_a_grey_ground_are_left_of_a_warm_lamp_at_one_side() {
        // Coded values that a lamp makes: what a thing reflects, by the lamp's colour and by the fall of its light.
        let lamp = |x: usize| 0.6 + 0.4 * x as f32 / 159.0;
        let shot = |animal: bool| {
            let pixel = |i: usize| {
                let inside = animal && (40..120).contains(&(i % 160)) && (30..80).contains(&(i / 160));
                let reflects = if inside { 90.0 } else { 200.0 };
                [1.0, 0.9, 0.7].map(|colour| (reflects * colour * lamp(i % 160)) as u8)
            };
            Rgb::new(160, 107, (0..160 * 107).flat_map(pixel).collect()).unwrap()
        };
        let background = Background::of_blanks(&[shot(false)], (160, 107)).unwrap();
        let even = background.calibrated(&shot(true)).unwrap();
        let animal: Vec<[u8; 3]> = even
            .pixels()
            .enumerate()
            .filter(|(i, _)| (45..115).contains(&(i % 160)) && i / 160 == 50)
            .map(|p| p.1)
            .collect();
        let range = |of: usize| {
            let values = || animal.iter().map(|p| p[of]);
            values().min().zip(values().max()).unwrap()
        };
        let ([red, green, blue], before) =
            ([range(0), range(1), range(2)], shot(true).pixels().nth(50 * 160 + 50).unwrap());
        assert!(before[0] > before[2] + 15);
        for (least, most) in [red, green, blue] {
            assert!(most - least < 6 && least.abs_diff(red.0) < 5, "{red:?} {green:?} {blue:?}");
        }
        assert_eq!(background.calibrated(&Rgb::default()), None);
    }

    #[test]
    fn the_border_stands_in_for_a_blank() {
        let mut frame = even(160, 107, [180, 180, 180]);
        for y in 20..80 {
            frame.values[3 * (y * 160 + 30)..3 * (y * 160 + 120)].fill(30);
        }
        // The animal reaches the border at one place.
        for y in 40..50 {
            frame.values[3 * y * 160..3 * (y * 160 + 40)].fill(30);
        }
        let background = Background::of_border(&contrast_of(&frame));
        assert!(background.neutral().iter().all(|v| (v - 180.0).abs() < 4.0), "{:?}", background.neutral());
        assert!(background.source.words().contains("no usable blank"));
    }
}

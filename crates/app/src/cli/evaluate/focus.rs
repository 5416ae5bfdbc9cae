//! Focus of real pictures blurred by known amounts: whether more blur is always told, and whether the ground has no say.

use std::path::Path;

use image::{RgbImage, Rgba32FImage, imageops};
use imaging::background::Background;
use imaging::colour::Rgb;
use imaging::subject::Subject;
use imaging::{focus, subject};
use record::{Frame, FrameKind, Session};

use super::share;
use super::truth::Truth;

/// Long side of the pictures that are blurred, as of those looked at closer.
const WORKING_PX: u32 = 640;

/// Blurs compared with the next stronger one, and the first with none, as σ in pixels: each loses half the energy of the
/// finest detail left.
const SIGMAS_PX: [f32; 5] = [0.7, 1.0, 1.4, 2.0, 2.8];

/// Blur of the ground alone.
const GROUND_SIGMA_PX: f32 = 4.0;

/// Most that the ground's blur may change the subject's focus, as a share.
const MOST_CHANGE: f64 = 0.05;

/// Counts over pictures.
#[derive(Debug, Default, Clone, PartialEq)]
pub(super) struct Ranked {
    pictures: usize,
    pairs: usize,
    right: usize,
    /// How much the ground's blur changed each picture, as a share.
    changes: Vec<f64>,
}

impl Ranked {
    /// Takes in the labelled subjects of a card, told from the ground by its blanks.
    pub(super) fn add_card(&mut self, card: &Path, session: &Session, truth: &Truth) {
        let blanks: Vec<Rgb> = session
            .frames
            .iter()
            .filter(|f| session.kind(f) == FrameKind::Blank)
            .filter_map(|f| working(card, f))
            .take(5)
            .collect();
        let subjects = truth.frames.iter().filter(|f| f.view.is_some());
        for frame in subjects.filter_map(|t| session.frames.iter().find(|f| f.path() == t.path)) {
            self.add(working(card, frame), &blanks);
        }
    }

    fn add(&mut self, picture: Option<Rgb>, blanks: &[Rgb]) {
        let Some(picture) = picture else { return };
        let background = Background::of_blanks(blanks, (picture.width, picture.height));
        let look = |picture: &Rgb| {
            let found = subject::find(picture, background.as_ref());
            found.bounds.is_some().then(|| (focus::of_subject(&picture.luma(), &found), found))
        };
        let focus = |picture: &Rgb| look(picture).map(|(focus, _)| focus);
        // Where no subject is found the frame would be measured, which is another question.
        let Some((plain, found)) = look(&picture) else { return };
        self.pictures += 1;
        let mut before = plain;
        for sigma in SIGMAS_PX {
            let Some(now) = blurred(&picture, sigma).as_ref().and_then(focus) else { continue };
            self.pairs += 1;
            self.right += usize::from(now < before);
            before = now;
        }
        if let Some(now) = on_soft_ground(&picture, &found).as_ref().and_then(focus) {
            self.changes.push((now / plain - 1.0).abs());
        }
    }

    pub(super) fn line(&self) -> String {
        let within = self.changes.iter().filter(|c| **c <= MOST_CHANGE).count();
        let most = self.changes.iter().copied().fold(0.0, f64::max);
        format!(
            "focus of {} subjects: blurs of σ {:.1} to {:.1} px ranked right {}; σ {GROUND_SIGMA_PX} px on the ground alone \
             changes at most {:.0} % in {}, at most {:.1} %\n",
            self.pictures,
            SIGMAS_PX[0],
            SIGMAS_PX[SIGMAS_PX.len() - 1],
            share(self.right, self.pairs),
            100.0 * MOST_CHANGE,
            share(within, self.changes.len()),
            100.0 * most
        )
    }
}

fn working(folder: &Path, frame: &Frame) -> Option<Rgb> {
    let picture = import::thumbnail(folder, frame, WORKING_PX).ok()?.picture;
    Rgb::new(picture.width, picture.height, picture.rgb)
}

fn blurred(picture: &Rgb, sigma: f32) -> Option<Rgb> {
    let image = RgbImage::from_raw(picture.width as u32, picture.height as u32, picture.values.clone())?;
    Rgb::new(picture.width, picture.height, imageops::blur(&image, sigma).into_raw())
}

/// A picture with its ground blurred, each pixel of it by the ground near it alone, so that no colour of the subject
/// spreads onto it.
fn on_soft_ground(picture: &Rgb, subject: &Subject) -> Option<Rgb> {
    let (width, height) = (picture.width, picture.height);
    // Places beside the subject hold some of it as well.
    let is_subject = |i: usize| {
        let (x, y) = (i % width * subject.width / width, i / width * subject.height / height);
        let columns = x.saturating_sub(1)..(x + 2).min(subject.width);
        let mut rows = y.saturating_sub(1)..(y + 2).min(subject.height);
        rows.any(|row| subject.mask[row * subject.width..][columns.clone()].contains(&true))
    };
    // Weights stand in the fourth channel, and the colours are weighed by them.
    let weighed = picture.pixels().enumerate().flat_map(|(i, p)| {
        let weight = f32::from(u8::from(!is_subject(i)));
        [
            weight * f32::from(p[0]) / 255.0,
            weight * f32::from(p[1]) / 255.0,
            weight * f32::from(p[2]) / 255.0,
            weight,
        ]
    });
    let image = Rgba32FImage::from_raw(width as u32, height as u32, weighed.collect())?;
    let soft = imageops::blur(&image, GROUND_SIGMA_PX);
    let values = picture.pixels().zip(soft.pixels()).enumerate().flat_map(|(i, (own, soft))| {
        let [colours @ .., weight] = soft.0;
        if is_subject(i) || weight < 1e-3 { own } else { colours.map(|c| (255.0 * c / weight).round() as u8) }
    });
    Rgb::new(width, height, values.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hairy_animal_is_ranked_and_a_bare_one_cannot_be() {
        let picture = |animal: fn(usize) -> u8| {
            let pixel = |i: usize| {
                let (x, y) = (i % 640, i / 640);
                let inside = x.abs_diff(320) < 120 && y.abs_diff(210) < 80;
                [if inside { animal(x) } else { 200 + (i * 7919 % 5) as u8 }; 3]
            };
            Rgb::new(640, 427, (0..640 * 427).flat_map(pixel).collect())
        };
        let mut hairy = Ranked::default();
        // Bare at its ends: what is the same all over counts as grain.
        hairy.add(picture(|x| if x.abs_diff(320) < 60 && x % 16 < 8 { 30 } else { 90 }), &[]);
        assert_eq!((hairy.pictures, hairy.pairs, hairy.right), (1, 5, 5));
        assert!(hairy.changes[0] < MOST_CHANGE, "{hairy:?}");
        assert!(hairy.line().contains("ranked right 5 of 5, 1.000"), "{}", hairy.line());
        let mut bare = Ranked::default();
        bare.add(picture(|_| 60), &[]);
        assert!(bare.pairs == 5 && bare.right < 5, "{bare:?}");
        bare.add(None, &[]);
        assert_eq!(bare.pictures, 1);
    }
}
